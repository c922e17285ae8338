/*
 * What waits for tools, gathered job by job: checks and fixes, by the tool
 * that they need. All texts live in the view's arena.
 */
#ifndef VIEW_WAITS_H
#define VIEW_WAITS_H

#include "view/parts.h"

/* A check, or a cause's fix, that waits for a tool. */
struct wait {
	const char *tool;
	int64_t job;
	const char *rig; /* the vehicle's name; NULL: the job has none */
	const char *rig_title;
	enum lw_power power; /* of a check; a fix is done isolated */
	bool is_fix;
	const char *id; /* of the check, or of the cause */
	const char *title;
	const char *words;	    /* that it was put aside with, or NULL */
	const char *why;	    /* what it would tell, or NULL */
	const char *const *besides; /* what else is lacking for it */
	size_t besides_count;
	bool put_aside;
	double minutes;
	double share; /* of a fix: its cause's */
};

struct waits {
	struct view *view;
	struct wait *items; /* free() */
	size_t count;
	size_t room;
	size_t jobs; /* that wait */
};

/* A copy in the view's arena; NULL stays NULL. */
const char *waits_keep(struct view *view, const char *text);
/* Whether a check that waits for a tool tells enough to be listed by it, beside
 * the one that tells most. */
bool waits_worth(const struct lw_job *job, const struct lw_next *next);
/* Everything of a job that waits for a tool. */
void waits_gather(struct waits *waits, const struct lw_job *job);

/* `tools`: each with what to do while it is here, vehicle by vehicle, from the
 * safest power state up, so that each is entered once; and the fixes. */
void waits_put_tools(struct waits *waits, json_t *root);

#endif
