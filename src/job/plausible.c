/* Judges whether a reading can be at all; which outcome it is, is left to
 * answer. */
#include "job/plausible.h"

#include "base/err.h"
#include "meter/unit.h"

#include <lampwright/reading.h>

#include <math.h>
#include <string.h>

/* Generous limits, in the kind's own unit: a 120 V pack charges to about
 * 150 V; controllers of this size give less than 1500 A. Common practice. */
static const struct {
	enum unit_kind kind;
	double most;
	const char *look_at;
} limits[] = {
    {UNIT_VOLTS, 200, "the range, the decimal point and the jacks"},
    {UNIT_AMPS, 2000, "the range, the decimal point and the jacks"},
    {UNIT_CELSIUS, 600, "the range and the decimal point"},
    {UNIT_HERTZ, 1e6, "the range"},
    {UNIT_TURNS, 30000, "the range"},
    {UNIT_SECONDS, 30 * 86400.0, "the unit"},
};

/* So far above a full pack nothing is but a fault of the meter, or of the
 * charger or the braking while it is driven. */
static const double FULL_TIMES = 1.25;

/* The most that the full pack may have, in V, by all that was said of it. */
static bool
find_full(double *volts, const struct lw_rig *rig)
{
	const struct lw_rig_value *value = lw_rig_value(rig, "pack.full");
	const struct unit *unit;
	double low;

	if (!lw_rig_range(rig, "pack.full", &low, volts))
		return false;
	unit = unit_named(value->value->unit);
	*volts = value->high;
	return unit != NULL && unit->kind == UNIT_VOLTS;
}

enum lw_status
plausible_check(const struct lw_check *check, const struct lw_rig *rig,
    double value, bool sure, struct lw_err *err)
{
	const struct unit *unit;
	char text[LW_READING_MAX];
	double own, full;
	size_t i;

	/* What is read off a label is no reading of this vehicle: fuses are made
	 * for more volts than it has. */
	if (check->unit == NULL || check->meter == LW_METER_NONE ||
	    isinf(value))
		return LW_OK;
	unit = unit_find(check->unit, strlen(check->unit), false);
	if (unit == NULL)
		return LW_OK;
	own = fabs(value) * unit->times * pow(10, unit->exponent);
	lw_reading_format(text, value, check->unit);
	for (i = 0; i < sizeof limits / sizeof limits[0]; i++)
		if (limits[i].kind == unit->kind && own > limits[i].most)
			return err_set(err, LW_BAD_INPUT,
			    "%s cannot be on such a vehicle: look at %s, try "
			    "the meter on a battery that you know, and read "
			    "again",
			    text, limits[i].look_at);
	if (!sure && unit->kind == UNIT_VOLTS && find_full(&full, rig) &&
	    own > full * FULL_TIMES)
		return err_set(err, LW_BAD_INPUT,
		    "%s is far above this vehicle's full pack of %.4g V: look "
		    "at the range and the decimal point, read again, and say "
		    "so if it stays",
		    text, full);
	return LW_OK;
}
