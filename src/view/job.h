/* The parts of a job's document that stand in files of their own. Each puts
 * its keys into the object that it is given. */
#ifndef VIEW_JOB_H
#define VIEW_JOB_H

#include "view/parts.h"

/* `findings`, `checks` and `answered`. */
void view_findings(struct view *view, json_t *object, const struct lw_job *job);

/* `cause`, `likely`, `excluded`, `hints`, and the words of the end. */
void view_ends(struct view *view, json_t *object, const struct lw_job *job);

/* `put_aside`: each check with the words that were said to it. */
void view_put_aside(
    struct view *view, json_t *object, const struct lw_job *job);

#endif
