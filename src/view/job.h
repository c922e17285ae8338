/* The parts of a job's document that stand in files of their own. Each puts
 * its keys into the object that it is given. */
#ifndef VIEW_JOB_H
#define VIEW_JOB_H

#include "view/parts.h"

/* `findings`, `checks` and `answered`. */
void view_findings(struct view *view, json_t *object, const struct lw_job *job);

/* `reading`, `spread` and `also` of a finding. */
void view_reading(
    struct view *view, json_t *object, const struct lw_finding *finding);

/* `walk`: how far a walk-through has come; null where none leads. */
void view_walk(struct view *view, json_t *object, const struct lw_job *job);

/* `suspects`, `next`, `deferred`, `tools`, `fixes`, and what does not go
 * together. */
void view_reasons(struct view *view, json_t *object, const struct lw_job *job);
/* The keys of a check that would tell something. */
void view_next(struct view *view, json_t *object, const struct lw_next *next);

/* Minutes as a number; null where there are none. As text, see
 * view_minutes_text: "under 1 min", "31 min", "2.5 h"; "" where there are
 * none. */
void view_minutes(
    struct view *view, json_t *object, const char *key, double minutes);
enum { VIEW_MINUTES_MAX = 40 };
const char *view_minutes_text(char *text, double minutes);

/* `cause`, `likely`, `excluded`, and the words of the end. */
void view_ends(struct view *view, json_t *object, const struct lw_job *job);

/* `put_aside`: each check with the words that were said to it. */
void view_put_aside(
    struct view *view, json_t *object, const struct lw_job *job);
/* What the person said when a check was put aside last; or NULL. */
const char *view_words_aside(const struct lw_job *job, const char *check);

#endif
