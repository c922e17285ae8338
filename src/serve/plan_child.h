/*
 * The process that works out one tree, so that the server need not wait. It is
 * forked and never execs: it closes what it inherited, opens the book anew, and
 * leaves its answer in a file that has no name.
 */
#ifndef SERVE_PLAN_CHILD_H
#define SERVE_PLAN_CHILD_H

#include <lampwright/plan.h>
#include <lampwright/status.h>

#include <stdint.h>
#include <sys/types.h>

/* How long the search may take, and how long all of it before it is ended. */
#define PLAN_CHILD_S 10
#define PLAN_CHILD_ENDED_S 20
/* Of a document; a larger one is not for a page. */
#define PLAN_CHILD_BYTES_MAX (2u << 20)

struct plan_task {
	const char *book; /* its path */
	struct lw_plan_for plan;
	const char *title; /* to keep the tree under; NULL: it is only shown */
	int64_t now_s;
};

struct plan_answer {
	struct lw_err err; /* code LW_OK: there is a document */
	char *text;	   /* it, as JSON; free it */
	size_t length;
};

/* Begin. No transaction of a book may be open, and no other thread may run.
 * `file` is where the answer will be; close it. LW_FAILED, LW_NO_MEMORY. */
enum lw_status plan_child_start(
    pid_t *child, int *file, const struct plan_task *task, struct lw_err *err);

/* What it left, once it has ended. LW_FAILED: nothing whole. */
enum lw_status plan_child_read(
    struct plan_answer *answer, int file, struct lw_err *err);

#endif
