/* What a page says after a form was taken: short words in the address stand
 * for sentences, so that nobody else's sentence can be put on a page. */
#ifndef SERVE_SAID_H
#define SERVE_SAID_H

/* The sentence for a word; NULL where there is none. */
const char *said_sentence(const char *word);

#endif
