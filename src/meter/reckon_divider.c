/* A voltage divider or a potentiometer, also with what loads it: a meter, an
 * input. */
#include "meter/reckon.h"

#include <stdbool.h>
#include <stddef.h>

static const struct lw_reckon_input inputs[] = {
    {
	.key = "volts",
	.title = "Voltage across the divider",
	.help = "The supply: both resistors together.",
	.unit = "V",
	.needed = true,
	.low = 0.001,
	.high = 1000,
    },
    {
	.key = "upper",
	.title = "Upper resistor",
	.help = "From the supply's plus to the tap.",
	.unit = "ohm",
	.low = 0.01,
	.high = 1e9,
    },
    {
	.key = "lower",
	.title = "Lower resistor",
	.help = "From the tap to the supply's minus.",
	.unit = "ohm",
	.low = 0.01,
	.high = 1e9,
    },
    {
	.key = "pot",
	.title = "Or a potentiometer, end to end",
	.help = "Instead of the two resistors.",
	.unit = "ohm",
	.low = 1,
	.high = 1e8,
    },
    {
	.key = "position",
	.title = "Where its wiper stands",
	.help = "0 % at the minus end, 100 % at the plus end. Left out: in "
		"the middle.",
	.unit = "%",
	.high = 100,
    },
    {
	.key = "load",
	.title = "What loads the tap",
	.help = "The meter or the input, from the tap to minus. Left out: "
		"nothing.",
	.unit = "ohm",
	.low = 1,
	.high = 1e12,
    },
};

enum { POINTS = 101 };

/* The formulas of one kind of divider. */
struct forms {
	const char *unloaded;
	const char *loaded;
	const char *source;
	const char *current;
};

static const struct forms resistors = {
    .unloaded = "divide(volts, upper, lower)",
    .loaded = "divide(volts, upper, parallel(lower, load))",
    .source = "parallel(upper, lower)",
    .current = "volts / (upper + lower)",
};
static const struct forms wiper = {
    .unloaded = "volts * position",
    .loaded = "volts * position / (1 + pot / load * position"
	      " * (1 - position))",
    .source = "pot * position * (1 - position)",
    .current = "volts / pot",
};

static enum lw_status
check(struct reckon *reckon, struct lw_err *err)
{
	bool pot = reckon_quantity(reckon, "pot") != NULL;
	bool upper = reckon_quantity(reckon, "upper") != NULL;
	bool lower = reckon_quantity(reckon, "lower") != NULL;

	if (pot && (upper || lower))
		return reckon_refuse(reckon, "pot", err,
		    "give either the potentiometer or upper and lower, not "
		    "both");
	if (!pot && !upper)
		return reckon_refuse(reckon, "upper", err,
		    "this is needed: the upper resistor, in ohm (or pot, for "
		    "a potentiometer)");
	if (!pot && !lower)
		return reckon_refuse(reckon, "lower", err,
		    "this is needed: the lower resistor, in ohm");
	if (pot)
		return reckon_take(
		    reckon, "position", "%", 0, 100, "50 %", err);
	return LW_OK;
}

static enum lw_status
work(struct reckon *reckon, const struct forms *forms, double *volts,
    double *unloaded, struct lw_err *err)
{
	bool loaded = reckon_quantity(reckon, "load") != NULL;
	enum lw_status status;
	double value;

	status = reckon_formula(reckon, volts, "output", "Voltage at the tap",
	    "V", loaded ? forms->loaded : forms->unloaded, err);
	*unloaded = *volts;
	if (status == LW_OK && loaded)
		status = reckon_formula(reckon, unloaded, "unloaded",
		    "Voltage at the tap without the load", "V", forms->unloaded,
		    err);
	if (status == LW_OK)
		status = reckon_formula(reckon, &value, "output-share",
		    "Share of the supply", "%", "output / volts", err);
	if (status == LW_OK)
		status = reckon_formula(reckon, &value, "source",
		    "Resistance that the tap has as a source", "ohm",
		    forms->source, err);
	if (status == LW_OK)
		status = reckon_formula(reckon, &value, "current",
		    "Current through the divider", "A", forms->current, err);
	if (status == LW_OK)
		status = reckon_formula(reckon, &value, "power",
		    "Power in the divider", "W", "volts * current", err);
	return status;
}

static void
remark_load(struct reckon *reckon, double volts, double unloaded)
{
	double lost = unloaded - volts;

	if (reckon_quantity(reckon, "load") == NULL)
		return;
	if (lost > 0.01 * unloaded)
		reckon_remark(reckon,
		    "The load of %s pulls the tap down by %s (%s): what is "
		    "read is not what is there without it.",
		    reckon_plain(reckon, "load"), reckon_say(reckon, lost, "V"),
		    reckon_say(reckon, lost / unloaded, "%"));
	else if (unloaded > 0)
		reckon_remark(reckon,
		    "The load of %s takes %s of it, which hardly counts.",
		    reckon_plain(reckon, "load"),
		    reckon_say(reckon, lost / unloaded, "%"));
}

static void
draw(struct reckon *reckon)
{
	const struct lw_quantity *load = reckon_quantity(reckon, "load");
	double volts = reckon_quantity(reckon, "volts")->value;
	double pot = reckon_quantity(reckon, "pot")->value;
	double x[POINTS], y[POINTS], part;
	size_t i;

	for (i = 0; i < POINTS; i++) {
		part = (double)i / (POINTS - 1);
		x[i] = 100 * part;
		y[i] = volts * part;
	}
	reckon_plot(reckon, "Potentiometer", "wiper", "%", "tap", "V");
	reckon_curve(reckon, "without a load", x, y, POINTS);
	if (load == NULL)
		return;
	for (i = 0; i < POINTS; i++) {
		part = (double)i / (POINTS - 1);
		y[i] =
		    volts * part / (1 + pot / load->value * part * (1 - part));
	}
	reckon_curve(reckon, "with the load", x, y, POINTS);
}

static enum lw_status
run(struct reckon *reckon, struct lw_err *err)
{
	bool pot = reckon_quantity(reckon, "pot") != NULL;
	enum lw_status status = check(reckon, err);
	double volts, unloaded;

	if (status == LW_OK)
		status = work(
		    reckon, pot ? &wiper : &resistors, &volts, &unloaded, err);
	if (status != LW_OK)
		return status;
	remark_load(reckon, volts, unloaded);
	if (pot)
		reckon_remark(reckon,
		    "A wiper whose minus end comes off floats up to the "
		    "supply, and one whose own wire comes off floats anywhere: "
		    "neither reads as at rest.");
	reckon_source(reckon, "Ohm's law: a divider, with its load in parallel "
			      "to the lower resistor");
	if (pot)
		draw(reckon);
	return LW_OK;
}

const struct reckoner reckon_divider = {
    .face =
	{
	    .name = "divider",
	    .title = "Voltage divider",
	    .summary = "The voltage between two resistors or at a wiper, also "
		       "with a meter on it",
	    .inputs = inputs,
	    .input_count = sizeof inputs / sizeof inputs[0],
	    .plots = true,
	    .example = "volts=5V pot=5k position=44% load=100k",
	},
    .run = run,
};
