/* Readings that cannot be, or that deserve a second look. */
#ifndef JOB_PLAUSIBLE_H
#define JOB_PLAUSIBLE_H

#include <lampwright/catalogue.h>
#include <lampwright/rig.h>

/*
 * LW_BAD_INPUT for a reading (in the check's unit) beyond what any vehicle
 * of 24-120 V can give, whether `sure` or not; and, unless `sure`, for a
 * voltage well above the rig's full pack. Infinity (OL) is fine.
 */
enum lw_status plausible_check(const struct lw_check *check,
    const struct lw_rig *rig, double value, bool sure, struct lw_err *err);

#endif
