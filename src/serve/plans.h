/*
 * The trees that are being worked out, each by a process of its own, two at
 * once and one for a screen; and what came of the last few, kept for some
 * minutes, so that looking again costs nothing. Time is that of conns_now.
 */
#ifndef SERVE_PLANS_H
#define SERVE_PLANS_H

#include "serve/plan_child.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#define PLANS_AT_ONCE 2
#define PLANS_KEPT 8
#define PLANS_KEPT_MS (5 * 60 * 1000)

struct plans;

/* What is asked, by whom, of the book as it stood at that change. */
struct plans_question {
	struct lw_plan_for plan;
	const char *asker; /* the screen's id */
	int64_t change;
	int64_t now_s;
};

enum plans_state {
	PLANS_NONE,	/* nothing is known of it */
	PLANS_WORKING,	/* being worked out */
	PLANS_DONE,	/* there is a document */
	PLANS_REFUSED,	/* there is a sentence */
	PLANS_DIED,	/* the process ended in no good way */
	PLANS_FULL,	/* not begun: two others are being worked out */
	PLANS_OWN_FIRST /* not begun: another one of this asker's is */
};

struct plans_found {
	enum plans_state state;
	const char *text; /* the document as JSON, until the next sweep */
	size_t length;
	struct lw_err err;
	const char
	    *title;	 /* what it was to be kept under, until then; or NULL */
	int64_t since_s; /* for how long it has been worked on */
};

/* None yet, for the book at that path. NULL when memory has run out. */
struct plans *plans_new(const char *book);
/* Ends the processes that still run. NULL is fine. */
void plans_free(struct plans *plans);

/* Take what has come of them, end those that take too long, and drop what is
 * old. Never waits. */
void plans_sweep(struct plans *plans, int64_t now_ms);

/* What is known of a question; where nothing is, it is begun. What went wrong
 * by chance is told once, so that asking again begins anew. */
void plans_look(struct plans_found *found, struct plans *plans,
    const struct plans_question *question, int64_t now_ms);

/* Begin to keep a tree under a title; while the same is being done, it is not
 * done twice. *number is what plans_saved knows it by. */
void plans_save(struct plans_found *found, int64_t *number, struct plans *plans,
    const struct plans_question *question, const char *title, int64_t now_ms);
/* How that stands. PLANS_NONE: nothing is known of that number. */
void plans_saved(struct plans_found *found, struct plans *plans, int64_t number,
    int64_t now_ms);

/* What was worked out for a question before, however the book has changed
 * since; nothing is begun. */
void plans_recall(struct plans_found *found, struct plans *plans,
    const struct plans_question *question, int64_t now_ms);

#endif
