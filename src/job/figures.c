/* Works out voltage, energy and bleed-down for a rig; the hazards themselves
 * are the packs' cautions. */
#include "job/figures.h"

#include "base/arena.h"
#include "base/err.h"
#include "meter/bleed.h"

#include <lampwright/reading.h>

#include <math.h>

/* Below this the circuit counts as dead. */
static const double DEAD_VOLTS = 5;

enum { FIGURES_MAX = 4 };

bool
figures_apply(const struct lw_caution *caution, const struct lw_rig *rig)
{
	double volts, farads;

	if (!lw_rig_holds(rig, &caution->only))
		return false;
	if (!lw_rig_quantity(rig, "pack.full", &volts))
		return true;
	if (caution->from_volts > 0 && volts < caution->from_volts)
		return false;
	return !(caution->from_joules > 0 &&
		 lw_rig_quantity(rig, "bus.capacitor", &farads) &&
		 bleed_joules(farads, volts) < caution->from_joules);
}

static const char *
say_volts(struct lw_arena *arena, bool known, double volts)
{
	if (!known)
		return "The full pack's voltage is not known: count on more "
		       "than 60 V.";
	if (volts > 60)
		return arena_printf(arena,
		    "The full pack gives %.4g V: above 50 V, where touching "
		    "counts as a shock hazard, and above 60 V DC.",
		    volts);
	if (volts >= 50)
		return arena_printf(arena,
		    "The full pack gives %.4g V: 50 V or more, where touching "
		    "counts as a shock hazard.",
		    volts);
	return arena_printf(arena,
	    "The full pack gives %.4g V: below 50 V, and it still burns where "
	    "metal bridges it.",
	    volts);
}

static const char *
say_energy(struct lw_arena *arena, bool known, double farads, double volts)
{
	if (!known)
		return "The controller's capacitors are not known: count on a "
		       "burn from what they store.";
	return arena_printf(arena,
	    "The controller's capacitors store %.3g J when charged to %.4g V.",
	    bleed_joules(farads, volts), volts);
}

static const char *
say_bleed(struct lw_arena *arena, bool known, double ohms, double farads,
    double volts)
{
	char resistor[LW_READING_MAX];
	double seconds;

	if (!known)
		return "How long it bleeds down is not known: wait until it "
		       "measures below 5 V, and measure again after a minute.";
	if (ohms < 1000)
		lw_reading_format(resistor, ohms, "ohm");
	else
		lw_reading_format(resistor, ohms / 1000, "kohm");
	seconds = ceil(bleed_seconds(ohms, farads, volts, DEAD_VOLTS));
	if (seconds > 180)
		return arena_printf(arena,
		    "Through %s it falls from %.4g V to %.0f V in about "
		    "%.0f minutes: wait so long, then measure.",
		    resistor, volts, DEAD_VOLTS, ceil(seconds / 60));
	return arena_printf(arena,
	    "Through %s it falls from %.4g V to %.0f V in about %.0f "
	    "seconds: wait so long, then measure.",
	    resistor, volts, DEAD_VOLTS, seconds);
}

enum lw_status
figures_say(const char *const **figures, size_t *count, struct lw_arena *arena,
    const struct lw_rig *rig, enum lw_power into, struct lw_err *err)
{
	double volts = 0, farads = 0, ohms = 0;
	bool has_volts, has_farads, has_ohms;
	const char **list;
	size_t n = 0, i;

	*count = 0;
	has_volts = lw_rig_quantity(rig, "pack.full", &volts);
	has_farads = lw_rig_quantity(rig, "bus.capacitor", &farads);
	has_ohms = lw_rig_quantity(rig, "bleed.resistor", &ohms);
	list = arena_array(arena, FIGURES_MAX, sizeof *list);
	if (list == NULL)
		return err_no_memory(err);
	list[n++] = say_volts(arena, has_volts, volts);
	if (into == LW_POWER_ISOLATED || into >= LW_POWER_PRECHARGED)
		list[n++] =
		    say_energy(arena, has_volts && has_farads, farads, volts);
	if (into == LW_POWER_ISOLATED)
		list[n++] = say_bleed(arena,
		    has_volts && has_farads && has_ohms, ohms, farads, volts);
	if (into == LW_POWER_LIVE_FREE && lw_rig_fact(rig, "motor") == NULL)
		list[n++] = "The kind of motor is not known: treat it as "
			    "series-wound, and let it creep only.";
	for (i = 0; i < n; i++)
		if (list[i] == NULL)
			return err_no_memory(err);
	*figures = list;
	*count = n;
	return LW_OK;
}
