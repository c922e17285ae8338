/*
 * Which two causes at once would explain what no single one does.
 */
#ifndef JOB_TOGETHER_H
#define JOB_TOGETHER_H

#include "job/evidence.h"

/*
 * *wide: the causes of `play` and, after them, the likeliest pairs (`also`
 * set, with the weight of a pair beside the shares in `prior`); *any false:
 * none is likely enough, and *wide is untouched.
 */
enum lw_status together_find(bool *any, struct play *wide,
    struct lw_arena *arena, const struct play *play,
    const struct weighing *weighing, const struct evidence *evidence,
    const struct repair *repair, const double *prior, struct lw_err *err);

#endif
