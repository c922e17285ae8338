/* Resistance of a source from its voltage at two loads, and its voltage at
 * another. How to load a vehicle is left to the book's checks. */
#include "meter/accuracy.h"
#include "meter/reckon.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>

static const struct lw_reckon_input inputs[] = {
    {
	.key = "volts1",
	.title = "Voltage at the first load",
	.help = "At the battery's own terminals for the battery alone; "
		"further on, cables and contacts count as well.",
	.unit = "V",
	.needed = true,
	.high = 1000,
    },
    {
	.key = "amps1",
	.title = "Current at the first load",
	.help = "0 A at rest.",
	.unit = "A",
	.usual = "0 A",
	.high = 5000,
    },
    {
	.key = "volts2",
	.title = "Voltage at the second load",
	.help = "At the same two points, some seconds later.",
	.unit = "V",
	.needed = true,
	.high = 1000,
    },
    {
	.key = "amps2",
	.title = "Current at the second load",
	.help = "By a clamp, or what the controller shows as battery "
		"current.",
	.unit = "A",
	.needed = true,
	.high = 5000,
    },
    {
	.key = "at",
	.title = "Another current, to foretell the voltage",
	.help = "The highest that the controller takes, for example.",
	.unit = "A",
	.rig = "controller.current",
	.high = 5000,
    },
    {
	.key = "accuracy",
	.title = "Accuracy of the meter on volts",
	.help = "By its papers: percent of the reading and counts of the "
		"last digit, like 0.5 % + 2.",
	.rig = "meter.volts",
    },
    {
	.key = "clamp",
	.title = "Accuracy of the clamp",
	.help = "By its papers, like 2.5 % + 5.",
	.rig = "meter.clamp",
    },
};

/* No two loads are nearer together than this. */
static const double AMPS_LEAST = 1e-3;
/* From there on the result is no more than a hint. */
static const double COARSE = 0.2, HOPELESS = 1;

struct source {
	double volts; /* difference */
	double amps;
	double ohms;
	double spread; /* U of ohms; 0: not known */
	double one;    /* U of a voltage at the first load, by both meters */
	double two;
};

static enum lw_status
check(struct source *source, const struct reckon *reckon, struct lw_err *err)
{
	source->volts = reckon_quantity(reckon, "volts1")->value -
			reckon_quantity(reckon, "volts2")->value;
	source->amps = reckon_quantity(reckon, "amps2")->value -
		       reckon_quantity(reckon, "amps1")->value;
	if (fabs(source->amps) < AMPS_LEAST)
		return reckon_refuse(reckon, "amps2", err,
		    "it is the same as amps1; two different loads are needed");
	if (source->volts / source->amps < 0)
		return reckon_refuse(reckon, "volts2", err,
		    "the voltage is higher at the larger current, which no "
		    "source does: readings are swapped, or it was charged "
		    "meanwhile");
	return LW_OK;
}

/* U of one reading; 0 where nothing is known of the meter. */
static enum lw_status
spread_of(double *spread, const struct reckon *reckon, const char *stated,
    const char *reading, struct lw_err *err)
{
	const char *text = reckon_text(reckon, stated);
	const struct lw_quantity *of = reckon_quantity(reckon, reading);
	struct accuracy accuracy;
	struct lw_err why;

	*spread = 0;
	if (text == NULL)
		return LW_OK;
	if (accuracy_parse(&accuracy, text, &why) != LW_OK)
		return reckon_refuse(reckon, stated, err, "%s", why.text);
	/* At rest no clamp is needed to know that it is zero. */
	if (of->value > 0)
		*spread = accuracy_expanded(&accuracy, of->value, of->step);
	return LW_OK;
}

/* Readings are taken as not correlated: relative ones add as squares. */
static enum lw_status
work_spread(struct source *source, struct reckon *reckon, struct lw_err *err)
{
	double v1, v2, a1, a2, volts, amps;
	enum lw_status status;

	status = spread_of(&v1, reckon, "accuracy", "volts1", err);
	if (status == LW_OK)
		status = spread_of(&v2, reckon, "accuracy", "volts2", err);
	if (status == LW_OK)
		status = spread_of(&a1, reckon, "clamp", "amps1", err);
	if (status == LW_OK)
		status = spread_of(&a2, reckon, "clamp", "amps2", err);
	if (status != LW_OK)
		return status;
	volts = hypot(v1, v2);
	amps = hypot(a1, a2);
	source->spread = hypot(volts, source->ohms * amps) / fabs(source->amps);
	source->one = hypot(v1, source->ohms * a1);
	source->two = hypot(v2, source->ohms * a2);
	if (volts > 0)
		reckon_number(reckon, "difference-uncertainty",
		    "How far the difference may be off", volts, "V",
		    "the root of both readings' U squared and added");
	if (!(source->spread > 0))
		return LW_OK;
	reckon_number(reckon, "resistance-uncertainty",
	    "How far the resistance may be off", source->spread, "ohm",
	    "the root of the squares of what volts and amps add to it");
	reckon_source(reckon,
	    "uncertainty: percent and counts as a rectangular distribution "
	    "(GUM, from memory), two readings not correlated, U = 2 u "
	    "(NIST TN 1297, section 6)");
	return LW_OK;
}

static enum lw_status
work(struct source *source, struct reckon *reckon, struct lw_err *err)
{
	enum lw_status status;
	double value;

	status = reckon_formula(reckon, &value, "difference",
	    "Difference of the voltages", "V", "volts1 - volts2", err);
	if (status == LW_OK)
		status = reckon_formula(reckon, &source->ohms, "resistance",
		    "Resistance of the source", "ohm",
		    "(volts1 - volts2) / (amps2 - amps1)", err);
	if (status == LW_OK)
		status = work_spread(source, reckon, err);
	if (status == LW_OK)
		status = reckon_formula(reckon, &value, "rest-voltage",
		    "Voltage without a load", "V",
		    "volts1 + amps1 * (volts1 - volts2) / (amps2 - amps1)",
		    err);
	if (status == LW_OK)
		status = reckon_formula(reckon, &value, "heat",
		    "Heat in it at the second load", "W",
		    "amps2^2 * resistance", err);
	return status;
}

/* U of the voltage at another current: on the line through both readings each
 * of them counts by how far it is from the other. */
static double
spread_at(const struct source *source, double one, double at)
{
	double share = (at - one) / source->amps;

	return hypot((1 - share) * source->one, share * source->two);
}

static enum lw_status
foretell(struct reckon *reckon, const struct source *source, struct lw_err *err)
{
	const struct lw_quantity *at = reckon_quantity(reckon, "at");
	double one = reckon_quantity(reckon, "amps1")->value;
	double two = reckon_quantity(reckon, "amps2")->value;
	enum lw_status status;
	double volts;

	if (at == NULL)
		return LW_OK;
	status = reckon_formula(reckon, &volts, "voltage-at",
	    "Voltage at the other current", "V",
	    "volts1 - (at - amps1) * (volts1 - volts2) / (amps2 - amps1)", err);
	if (status != LW_OK)
		return status;
	if (volts < 0)
		reckon_remark(reckon,
		    "It cannot give %s: its voltage would be gone before.",
		    reckon_text(reckon, "at"));
	else if (at->value > 2 * fmax(one, two))
		reckon_remark(reckon,
		    "%s is far beyond what was measured; take that as a hint, "
		    "and measure nearer to it.",
		    reckon_text(reckon, "at"));
	if (source->spread > 0)
		reckon_remark(reckon,
		    "By the meter the voltage at %s is within %s.",
		    reckon_text(reckon, "at"),
		    reckon_say(reckon, spread_at(source, one, at->value), "V"));
	return LW_OK;
}

static void
remark_spread(struct reckon *reckon, const struct source *source)
{
	double share;

	if (!(source->spread > 0)) {
		reckon_remark(reckon,
		    "The difference of two large voltages is small, and takes "
		    "the whole fault of both: give the meter's accuracy to see "
		    "how much that is.");
		return;
	}
	share = source->spread / source->ohms;
	if (!(source->ohms > 0) || share >= HOPELESS)
		reckon_remark(reckon,
		    "The meter cannot tell that from nothing at all: load it "
		    "more, or measure the drop across the part itself.");
	else if (share >= COARSE)
		reckon_remark(reckon,
		    "It is between %s and %s: a small difference of large "
		    "numbers, so it may be off by %s. A larger load, or a "
		    "finer range, tells more; readings of one meter on one "
		    "range mostly agree better than its papers promise.",
		    reckon_say(reckon, source->ohms - source->spread, "ohm"),
		    reckon_say(reckon, source->ohms + source->spread, "ohm"),
		    reckon_say(reckon, share, "%"));
	else
		reckon_remark(reckon, "It is between %s and %s by the meter.",
		    reckon_say(reckon, source->ohms - source->spread, "ohm"),
		    reckon_say(reckon, source->ohms + source->spread, "ohm"));
}

static enum lw_status
run(struct reckon *reckon, struct lw_err *err)
{
	struct source source;
	enum lw_status status = check(&source, reckon, err);

	if (status == LW_OK)
		status = work(&source, reckon, err);
	if (status == LW_OK)
		status = foretell(reckon, &source, err);
	if (status != LW_OK)
		return status;
	remark_spread(reckon, &source);
	reckon_remark(reckon,
	    "Read both within some seconds and at the same two points: a "
	    "battery's voltage goes on falling under load, and rises for "
	    "minutes after it. A cold or empty one has far more resistance.");
	reckon_source(reckon, "source resistance (V1 - V2) / (I2 - I1)");
	return LW_OK;
}

const struct reckoner reckon_sag = {
    .face =
	{
	    .name = "source",
	    .title = "Resistance of a battery or supply",
	    .summary = "From its voltage at two loads: its resistance, how "
		       "sure that is, and the voltage at another current",
	    .inputs = inputs,
	    .input_count = sizeof inputs / sizeof inputs[0],
	    .example = "volts1=52.80V volts2=51.20V amps2=100A",
	},
    .run = run,
};
