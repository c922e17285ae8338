/*
 * What the bands of a check that takes a reading are on a vehicle: their ends
 * worked out from what is known of it.
 *
 * An end that is an expression over values with tolerances is taken outwards,
 * as seen from the expected band: what is below it at the low end of what it
 * can be, what is above it at the high end. Where a value is not known, or
 * what was said of it contradicts something else, the end is all that it can
 * be, and no reading within can be told.
 */
#ifndef JOB_BANDS_H
#define JOB_BANDS_H

#include "meter/accuracy.h"
#include "meter/verdict.h"

#include <lampwright/arena.h>
#include <lampwright/job.h>

struct bands {
	const struct lw_job_band *shown;  /* one for each outcome */
	const struct verdict_band *chain; /* from the lowest to the highest */
	const size_t *outcomes; /* of each of the chain: its outcome */
	size_t count;		/* 0: the check takes no reading */
	const struct lw_rig_value *const *uses; /* values behind the expected
						 * band's ends, each once */
	size_t use_count;
	const struct lw_rig_value *const *lacks; /* those behind any end that
						  * are not known, or in a
						  * conflict */
	size_t lack_count;
	const char *trouble; /* why an end cannot be worked out; or NULL */
};

/* `vehicle`: a rig, or lw_rig_of; NULL: nothing is known, and no name has a
 * meaning. */
enum lw_status bands_find(struct bands *bands, struct lw_arena *arena,
    const struct lw_check *check, const struct lw_rig *vehicle,
    struct lw_err *err);

/* What a lacking value is called, and that it is in a conflict; NULL: no
 * memory. */
const char *bands_lack(
    struct lw_arena *arena, const struct lw_rig_value *value);

/* Whether any of its ends is an expression. */
bool bands_depend(const struct lw_check *check);

/* The value to ask for: of what is lacking the first that nobody was asked
 * for (`asked`), or what it is worked out from; then what was taken as usual.
 * NULL for none. */
const struct lw_value *bands_ask(const struct bands *bands,
    const struct lw_rig *vehicle,
    bool (*asked)(const void *context, const char *key), const void *context);

/* How far the meter of a check may be off on a vehicle. */
struct bands_meter {
	bool known; /* false: nothing is known of it, and no more is said */
	bool usual; /* nobody said: the usual of such a meter */
	struct accuracy accuracy;
};

void bands_meter_find(struct bands_meter *meter, const struct lw_check *check,
    const struct lw_rig *vehicle);

#endif
