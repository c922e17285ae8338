/*
 * What a pattern that somebody typed is on a device.
 */
#ifndef JOB_SIGHT_H
#define JOB_SIGHT_H

#include "job/shelf.h"

#include <lampwright/pattern.h>

struct sighting {
	char pattern[LW_PATTERN_MAX];	/* canonical */
	const struct lw_device *device; /* NULL: known on none */
	const struct lw_code *code;	/* NULL: known on none */
};

/*
 * Read `typed` with the coding of the device's lamps (lamp NULL: any of them)
 * and find its code. device NULL: on whatever device has it; on none is
 * LW_OK, without a code. Errors as lw_job_new has them.
 */
enum lw_status sight_pattern(struct sighting *sighting, struct shelf *shelf,
    const struct lw_device *device, const char *lamp, const char *typed,
    struct lw_err *err);

/* A device's lamp by id, or NULL. */
const struct lw_lamp *sight_lamp(
    const struct lw_device *device, const char *id);

#endif
