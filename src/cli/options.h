/*
 * Arguments: options by their long names, and words. A word may begin with a
 * hyphen where it cannot be an option: "-", "-0.4", "-- .". After "--" all
 * are words.
 */
#ifndef CLI_OPTIONS_H
#define CLI_OPTIONS_H

#include <stdbool.h>
#include <stddef.h>

struct option {
	const char *name;  /* without the hyphens; NULL ends a table */
	const char *value; /* what its value is called; NULL: it has none */
	const char *help;  /* one line */
};

struct given {
	const struct option *option;
	const char *value; /* NULL for an option without one */
};

struct args {
	const char **words;
	size_t word_count;
	struct given *given;
	size_t given_count;
};

#define ARGS_SENTENCE 300

/* Room for argc arguments; false when memory has run out. */
bool args_init(struct args *args, int argc);
void args_free(struct args *args);

/*
 * Read arguments from *at on, by one or two tables (the second may be NULL).
 * With `stop` it ends before the first word. False, with a sentence, at
 * what cannot be read.
 */
bool args_read(struct args *args, const struct option *options,
    const struct option *more, int argc, char **argv, int *at, bool stop,
    char sentence[ARGS_SENTENCE]);

bool args_has(const struct args *args, const char *name);
/* The last value given; NULL where the option was not. */
const char *args_value(const struct args *args, const char *name);
/* All values, in order; how many. `values` has room for `room`. */
size_t args_values(const struct args *args, const char *name,
    const char **values, size_t room);

/* The nearest of `count` names to a word, or NULL where none is near. */
const char *args_nearest(
    const char *word, const char *const *names, size_t count);

#endif
