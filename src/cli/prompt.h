/* Asking the person at the terminal. */
#ifndef CLI_PROMPT_H
#define CLI_PROMPT_H

#include <stdbool.h>
#include <stddef.h>

#define PROMPT_MAX 4096

/*
 * Let Ctrl-C, a terminal that goes away and a wish to end the program end the
 * waiting for a line, and not the program; `end` puts back what was there.
 */
void prompt_begin(void);
void prompt_end(void);

/* Read a line from standard input, without its end and the space around it.
 * The prompt is shown on a terminal only. False: the input has ended, or
 * it was interrupted. What is past PROMPT_MAX is dropped. */
bool prompt_line(char line[PROMPT_MAX], const char *prompt);

/* Ask for yes or no on the terminal itself, standard input being taken.
 * False: no, or there is no terminal; `asked` says whether there was one. */
bool prompt_yes(bool *asked, const char *question);

#endif
