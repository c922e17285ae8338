/* Works out voltage, energy and bleed-down for a rig, at the high end of what
 * its values can be; the hazards themselves are the packs' cautions. */
#include "job/figures.h"

#include "base/arena.h"
#include "base/err.h"
#include "meter/bleed.h"

#include <lampwright/quantity.h>

#include <math.h>

/* Below this the circuit counts as dead. */
static const double DEAD_VOLTS = 5;

enum { FIGURES_MAX = 4 };

/* What a rig's figures are: `most` is what they may be at the high end of
 * their tolerance, by which the rig is classed. */
struct figure {
	bool known;
	bool open; /* the tolerance leaves something open */
	double middle;
	double most;
};

/* Whether a rig's value measures what the unit does: packs may bring another
 * one under its id. */
static bool
measures(const struct lw_rig *rig, const char *key, const char *unit)
{
	const struct lw_rig_value *value = lw_rig_value(rig, key);
	struct lw_dimension is, wanted;

	return value != NULL && value->value->unit != NULL &&
	       lw_unit_dimension(&is, value->value->unit, NULL) == LW_OK &&
	       lw_unit_dimension(&wanted, unit, NULL) == LW_OK &&
	       lw_dimension_equal(is, wanted);
}

/* In SI, whatever the unit is that the pack gives it in. */
static struct figure
find_figure(const struct lw_rig *rig, const char *key, const char *unit)
{
	const struct lw_rig_value *value = lw_rig_value(rig, key);
	struct figure figure = {.known = false};

	figure.known = measures(rig, key, unit) &&
		       lw_rig_quantity(rig, key, &figure.middle);
	if (!figure.known)
		return figure;
	figure.middle = value->nominal;
	figure.most = value->high;
	figure.open = value->high - value->low > 0.001 * value->high;
	return figure;
}

bool
figures_apply(const struct lw_caution *caution, const struct lw_rig *rig)
{
	struct figure volts, farads;

	if (!lw_rig_holds(rig, &caution->only))
		return false;
	volts = find_figure(rig, "pack.full", "V");
	if (!volts.known)
		return true;
	if (caution->from_volts > 0 && volts.most < caution->from_volts)
		return false;
	farads = find_figure(rig, "bus.capacitor", "F");
	return !(caution->from_joules > 0 && farads.known &&
		 bleed_joules(farads.most, volts.most) < caution->from_joules);
}

/* What the voltage that it charges to means, whatever the pack is called. */
static const char *
say_class(double volts)
{
	if (volts > 60)
		return "above 50 V, where touching counts as a shock hazard, "
		       "and above 60 V DC";
	if (volts >= 50)
		return "50 V or more, where touching counts as a shock hazard";
	return "below 50 V, and it still burns where metal bridges it";
}

static const char *
say_volts(struct lw_arena *arena, const struct lw_rig *rig)
{
	const struct figure full = find_figure(rig, "pack.full", "V");
	const struct figure named = find_figure(rig, "pack.nominal", "V");
	const struct lw_rig_value *value = lw_rig_value(rig, "pack.full");
	const char *up_to = full.open ? "as much as " : "";
	const char *worked =
	    value != NULL && value->from != NULL
		? arena_printf(arena, " (worked out: %s)", value->from)
		: "";

	if (!full.known)
		return "The full pack's voltage is not known: count on more "
		       "than 60 V.";
	if (worked == NULL)
		return NULL;
	if (named.known && named.middle < full.most)
		return arena_printf(arena,
		    "A pack called %.4g V charges to %s%.4g V%s and counts by "
		    "that: %s.",
		    named.middle, up_to, full.most, worked,
		    say_class(full.most));
	return arena_printf(arena, "The full pack gives %s%.4g V%s: %s.", up_to,
	    full.most, worked, say_class(full.most));
}

static const char *
say_energy(struct lw_arena *arena, const struct figure *farads,
    const struct figure *volts)
{
	if (!farads->known || !volts->known)
		return "The controller's capacitors are not known: count on a "
		       "burn from what they store.";
	return arena_printf(arena,
	    "The controller's capacitors store %s%.3g J when charged to %.4g "
	    "V.",
	    farads->open || volts->open ? "up to " : "",
	    bleed_joules(farads->most, volts->most), volts->most);
}

static const char *
say_bleed(struct lw_arena *arena, const struct figure *ohms,
    const struct figure *farads, const struct figure *volts)
{
	const char *most;
	char resistor[LW_QUANTITY_MAX];
	double seconds;

	if (!ohms->known || !farads->known || !volts->known)
		return "How long it bleeds down is not known: wait until it "
		       "measures below 5 V, and measure again after a minute.";
	lw_quantity_say(resistor, ohms->middle, "ohm", 4);
	seconds = ceil(
	    bleed_seconds(ohms->most, farads->most, volts->most, DEAD_VOLTS));
	most = ohms->open || farads->open || volts->open
		   ? ", counting what tolerance allows"
		   : "";
	if (seconds > 180)
		return arena_printf(arena,
		    "Through %s it falls from %.4g V to %.0f V in about "
		    "%.0f minutes%s: wait so long, then measure.",
		    resistor, volts->most, DEAD_VOLTS, ceil(seconds / 60),
		    most);
	return arena_printf(arena,
	    "Through %s it falls from %.4g V to %.0f V in about %.0f "
	    "seconds%s: wait so long, then measure.",
	    resistor, volts->most, DEAD_VOLTS, seconds, most);
}

enum lw_status
figures_say(const char *const **figures, size_t *count, struct lw_arena *arena,
    const struct lw_rig *rig, enum lw_power into, struct lw_err *err)
{
	const struct figure volts = find_figure(rig, "pack.full", "V");
	const struct figure farads = find_figure(rig, "bus.capacitor", "F");
	const struct figure ohms = find_figure(rig, "bleed.resistor", "ohm");
	const char **list;
	size_t n = 0, i;

	*count = 0;
	list = arena_array(arena, FIGURES_MAX, sizeof *list);
	if (list == NULL)
		return err_no_memory(err);
	list[n++] = say_volts(arena, rig);
	if (into == LW_POWER_ISOLATED || into >= LW_POWER_PRECHARGED)
		list[n++] = say_energy(arena, &farads, &volts);
	if (into == LW_POWER_ISOLATED)
		list[n++] = say_bleed(arena, &ohms, &farads, &volts);
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
