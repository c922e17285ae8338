/*
 * What may be done to a job besides answering its step: a word each, the same
 * at the prompt of `lampwright trace` and after `lampwright job`.
 */
#ifndef CLI_ACT_H
#define CLI_ACT_H

#include <lampwright/job.h>

enum act_takes {
	ACT_BARE,  /* the word alone */
	ACT_WORDS, /* needs further words */
	ACT_MAY	   /* further words are welcome */
};

struct act {
	const char *name;
	enum act_takes takes;
	const char
	    *missing; /* of ACT_WORDS: the sentence where there are none */
	enum lw_status (*run)(struct lw_book *book, int64_t job,
	    const char *words, const struct lw_actor *actor,
	    struct lw_err *err);
};

/* The act of that name, or NULL. */
const struct act *act_find(const char *name);

/*
 * The act that a line begins with, whatever the case, and its words (NULL:
 * none); NULL where it is none: an act that takes no words is the whole line.
 */
const struct act *act_read(const char **words, const char *line);

/*
 * Do it. `words` may be NULL. Statuses as the function of lampwright/job.h,
 * and LW_BAD_INPUT where words are missing.
 */
enum lw_status act_do(const struct act *act, struct lw_book *book, int64_t job,
    const char *words, struct lw_err *err);

#endif
