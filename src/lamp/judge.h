/*
 * From sightings to patterns with their probabilities.
 */
#ifndef LAMP_JUDGE_H
#define LAMP_JUDGE_H

#include "lamp/fit.h"

#include <lampwright/light.h>

#define FITTED_MAX 24 /* cycles that are fitted, besides even flashes */
#define JUDGED_MAX (2 * (FITTED_MAX + 1)) /* each is up to two patterns */

/* A pattern and how likely it is. */
struct verdict_on {
	struct lw_pattern pattern;
	double share;
};

struct judgement {
	struct verdict_on patterns[JUDGED_MAX]; /* likeliest first */
	size_t count;
	double nothing; /* share of "nothing that repeats" */
	bool has_fit;	/* fit and marks are of the likeliest cycle */
	struct fit fit;
	struct cycle cycle; /* the same, with the flashes of taps */
	struct mark marks[ALIGN_RUNS_MAX];
};

/* known may be NULL. LW_NO_MEMORY. */
enum lw_status judge_sightings(struct judgement *judgement,
    const struct sightings *seen, const struct lw_known_lamp *known,
    struct lw_err *err);

#endif
