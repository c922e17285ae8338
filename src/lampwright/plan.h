/*
 * The cheapest decision tree for a table of causes and checks, or for what the
 * book has on a fault or symptom. The mathematics is that of src/reason.
 */
#ifndef LAMPWRIGHT_PLAN_H
#define LAMPWRIGHT_PLAN_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include <lampwright/book.h>
#include <lampwright/doc.h>
#include <lampwright/status.h>

#ifdef __cplusplus
extern "C" {
#endif

/* How far to go. The library asks no clock: `stop` is asked now and then, and
 * says true when time is up. */
struct lw_plan_limits {
	size_t bytes; /* 0: no limit */
	bool (*stop)(void *what); /* NULL: never */
	void *what;
};

/*
 * A table as comma-separated values: header cause,weight,NAME:COST,... (cost 1
 * where left out), a row a cause, cells are outcome names. `name` is what
 * errors call it. LW_BAD_INPUT and LW_TOO_BIG with line and column. Running
 * into a limit is no error: the best tree so far, `optimal` false.
 */
enum lw_status lw_plan_matrix(struct lw_doc **doc, const char *text,
    size_t length, const char *name, const struct lw_plan_limits *limits,
    struct lw_err *err);

/* What a tree is to be for, and what is known of the vehicle. */
struct lw_plan_for {
	const char *what;   /* a symptom's or fault's id, words that find a
			     * symptom, or a pattern as typed */
	const char *device; /* id or the rig's name for it; or NULL */
	const char *rig;    /* its tools and facts count; or NULL */
};

/*
 * Compile the book's causes and checks for it into a tree, with power states
 * and what it takes to change them. LW_NOT_FOUND: no such symptom, fault or
 * pattern, or nothing to compile, since no check speaks about its causes.
 * LW_UNDECIDED: more than one is meant; the sentence names them.
 */
enum lw_status lw_plan_book(struct lw_doc **doc, struct lw_book *book,
    const struct lw_plan_for *plan, const struct lw_plan_limits *limits,
    struct lw_err *err);

/* As lw_plan_book, and keep the tree among the builder's own under this title
 * (its id is made of it), in place of one that was kept under it before.
 * LW_BAD_INPUT: not a title. LW_CONFLICT: a pack has a tree of that id. */
enum lw_status lw_plan_save(struct lw_doc **doc, struct lw_book *book,
    const struct lw_plan_for *plan, const char *title,
    const struct lw_plan_limits *limits, int64_t now_s, struct lw_err *err);

#ifdef __cplusplus
}
#endif
#endif
