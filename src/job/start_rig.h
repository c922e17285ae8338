/* Which vehicle a new job is for. */
#ifndef JOB_START_RIG_H
#define JOB_START_RIG_H

#include "job/shelf.h"

#include <lampwright/job.h>

/*
 * The rig that was named, else the one in hand where it fits (*rig NULL:
 * none), and the device: an id, as given or by the rig's name for it, or the
 * rig's only one where a pattern is to be read (*device NULL: not known).
 * LW_NOT_FOUND: no such rig, or it was taken out.
 */
enum lw_status start_find_rig(const char **rig, const char **device,
    struct shelf *shelf, const struct lw_job_start *start, struct lw_err *err);

#endif
