/* A person's text within a sentence: short, whole, and without controls. */
#ifndef JOB_QUOTE_H
#define JOB_QUOTE_H

#define QUOTE_SIZE 64

/* Copy what fits into `quoted`, which has QUOTE_SIZE bytes; returns it. A
 * text that is cut ends in "...". */
const char *quote(char *quoted, const char *text);

#endif
