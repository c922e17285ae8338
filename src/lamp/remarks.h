/* Sentences on what was seen, one after another, in an arena. */
#ifndef LAMP_REMARKS_H
#define LAMP_REMARKS_H

#include "lamp/judge.h"
#include "lamp/runs.h"

#include <lampwright/arena.h>
#include <lampwright/light.h>

struct remarks {
	struct lw_arena *arena;
	const char **items;
	size_t count;
	size_t room;
	bool failed; /* memory has run out */
};

/* A sentence at the end. */
void remark(struct remarks *remarks, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* All that is to be said of a sight that is filled in but for its remarks. */
void remarks_on_sight(struct remarks *remarks, const struct lw_sight *sight,
    const struct judgement *judgement, const struct sightings *seen,
    const struct lamp_runs *runs, const struct lw_known_lamp *known);

#endif
