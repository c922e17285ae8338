/* Bleed-down: how long charged capacitors keep their voltage. The rule of the
 * discharge is that of meter/bleed.h; making safe is left to the book. */
#include "meter/bleed.h"
#include "meter/reckon.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>

static const struct lw_reckon_input inputs[] = {
    {
	.key = "volts",
	.title = "Voltage at the start",
	.help = "What the bus is charged to: the highest of the pack, or "
		"what the meter says.",
	.unit = "V",
	.needed = true,
	.rig = "pack.full",
	.low = 1,
	.high = 1000,
    },
    {
	.key = "capacitor",
	.title = "Bus capacitors together",
	.help = "In the controller's papers, as input capacitance. Those of "
		"several devices on the bus add up.",
	.unit = "F",
	.needed = true,
	.rig = "bus.capacitor",
	.low = 20e-6,
	.high = 10,
    },
    {
	.key = "resistor",
	.title = "Resistor that empties them",
	.help = "The bleed resistor, or one with insulated clips across the "
		"terminals. Left out: a meter alone.",
	.unit = "ohm",
	.usual = "10 Mohm",
	.rig = "bleed.resistor",
	.low = 0.1,
	.high = 1e9,
    },
    {
	.key = "to",
	.title = "Another voltage to come down to",
	.help = "Besides 60, 50 and 5 V.",
	.unit = "V",
	.low = 0.01,
	.high = 1000,
    },
    {
	.key = "watts",
	.title = "Power rating of the resistor",
	.help = "Marked on it, or by its maker's papers.",
	.unit = "W",
	.low = 0.01,
	.high = 10000,
    },
};

enum { POINTS = 121 };

/* Above this no bleed resistor is meant: it is a meter, or nothing. */
static const double METER_OHMS = 1e6;
static const double DEAD_VOLTS = 5;

static enum lw_status
work_time(struct reckon *reckon, double to, const char *name, const char *title,
    const char *formula, struct lw_err *err)
{
	double value;

	if (reckon_quantity(reckon, "volts")->value > to)
		return reckon_formula(
		    reckon, &value, name, title, "s", formula, err);
	reckon_words(reckon, name, title, "it is there already");
	return LW_OK;
}

static enum lw_status
work_times(struct reckon *reckon, struct lw_err *err)
{
	const struct lw_quantity *to = reckon_quantity(reckon, "to");
	enum lw_status status;

	status = work_time(reckon, 60, "time-60", "Time to 60 V",
	    "bleed_time(resistor, capacitor, volts, 60 V)", err);
	if (status == LW_OK)
		status = work_time(reckon, 50, "time-50", "Time to 50 V",
		    "bleed_time(resistor, capacitor, volts, 50 V)", err);
	if (status == LW_OK)
		status = work_time(reckon, DEAD_VOLTS, "time-5", "Time to 5 V",
		    "bleed_time(resistor, capacitor, volts, 5 V)", err);
	if (status == LW_OK && to != NULL)
		status = work_time(reckon, to->value, "time-to",
		    "Time to the voltage that is wanted",
		    "bleed_time(resistor, capacitor, volts, to)", err);
	return status;
}

static enum lw_status
work(struct reckon *reckon, struct lw_err *err)
{
	enum lw_status status;
	double value;

	status = reckon_formula(reckon, &value, "energy",
	    "Energy in the charged bus", "J", "energy(capacitor, volts)", err);
	if (status == LW_OK)
		status = reckon_formula(reckon, &value, "peak-current",
		    "Current at the start", "A", "volts / resistor", err);
	if (status == LW_OK)
		status = reckon_formula(reckon, &value, "peak-power",
		    "Power in the resistor at the start", "W",
		    "volts^2 / resistor", err);
	if (status == LW_OK)
		status = reckon_formula(reckon, &value, "time-constant",
		    "Time constant", "s", "resistor * capacitor", err);
	if (status == LW_OK)
		status = work_times(reckon, err);
	if (status == LW_OK)
		status = reckon_formula(reckon, &value, "after-minute",
		    "Voltage left after one minute", "V",
		    "bleed_volts(volts, resistor, capacitor, 60 s)", err);
	return status;
}

/* "50 V after 0.6523 s; 5 V after 2.955 s", at the latest. */
static void
say_verdict(struct reckon *reckon, double volts, double ohms, double farads)
{
	const char *dead = reckon_say(
	    reckon, bleed_seconds(ohms, farads, volts, DEAD_VOLTS), "s");

	if (volts <= DEAD_VOLTS)
		reckon_words(reckon, "verdict", "Verdict", "below 5 V already");
	else if (volts <= 50)
		reckon_words(reckon, "verdict", "Verdict",
		    "below 50 V already, which is not dead; 5 V after %s",
		    dead);
	else
		reckon_words(reckon, "verdict", "Verdict",
		    "50 V after %s; 5 V after %s",
		    reckon_say(
			reckon, bleed_seconds(ohms, farads, volts, 50), "s"),
		    dead);
}

static void
remark_wait(struct reckon *reckon, double volts, double ohms, double farads)
{
	static const double MINUTE = 60;
	double seconds = bleed_seconds(ohms, farads, volts, DEAD_VOLTS), wanted;

	if (ohms >= METER_OHMS)
		reckon_remark(reckon,
		    "A meter does not discharge a bus: %s alone would take "
		    "%s to 5 V.",
		    reckon_plain(reckon, "resistor"),
		    reckon_say(reckon, seconds, "s"));
	if (seconds <= MINUTE)
		return;
	wanted = MINUTE / (farads * log(volts / DEAD_VOLTS));
	reckon_remark(reckon,
	    "To be below 5 V within a minute takes %s or less; that one would "
	    "take %s at the start.",
	    reckon_say(reckon, wanted, "ohm"),
	    reckon_say(reckon, volts * volts / wanted, "W"));
}

static void
remark_power(struct reckon *reckon, double volts, double ohms, double farads)
{
	const struct lw_quantity *rating = reckon_quantity(reckon, "watts");
	double peak = volts * volts / ohms;

	if (ohms >= METER_OHMS)
		return;
	if (rating != NULL && peak > rating->value)
		reckon_remark(reckon,
		    "Its %s at the start is %s times its rating of %s: for "
		    "%s of energy in so short a time look into its maker's "
		    "papers, and never leave it on a live bus.",
		    reckon_say(reckon, peak, "W"),
		    reckon_say(reckon, peak / rating->value, ""),
		    reckon_plain(reckon, "watts"),
		    reckon_say(reckon, bleed_joules(farads, volts), "J"));
	else if (rating != NULL)
		reckon_remark(reckon,
		    "Its %s at the start is within its rating of %s.",
		    reckon_say(reckon, peak, "W"),
		    reckon_plain(reckon, "watts"));
	else
		reckon_remark(reckon,
		    "The resistor takes %s at the start, and all of that for "
		    "as long as the pack is still on the bus.",
		    reckon_say(reckon, peak, "W"));
}

/* Limits for fixed machines and wiring, to compare with. */
static void
remark_limits(struct reckon *reckon, double volts, double ohms, double farads)
{
	double sixty = bleed_seconds(ohms, farads, volts, 60);
	double fifty = bleed_seconds(ohms, farads, volts, 50);

	if (volts <= 50)
		return;
	reckon_remark(reckon,
	    "Two rules to compare with, made for other equipment: machines are "
	    "to be at 60 V or less 5 s after switching off (here %s), "
	    "capacitors in fixed wiring at 50 V or less after a minute (here "
	    "%s).",
	    volts <= 60 ? "at once" : reckon_say(reckon, sixty, "s"),
	    reckon_say(reckon, fifty, "s"));
	reckon_source(reckon, "60 V within 5 s: IEC 60204-1, 6.2.4");
	reckon_source(reckon, "50 V within a minute: NEC 460.6");
}

static void
draw(struct reckon *reckon, double volts, double tau)
{
	static const double levels[] = {60, 50, 5};
	double x[POINTS], y[POINTS], end = 5 * tau;
	size_t i;

	if (volts > DEAD_VOLTS && tau * log(volts / DEAD_VOLTS) * 1.05 > end)
		end = tau * log(volts / DEAD_VOLTS) * 1.05;
	for (i = 0; i < POINTS; i++) {
		x[i] = end * (double)i / (POINTS - 1);
		y[i] = volts * exp(-x[i] / tau);
	}
	reckon_plot(reckon, "Bleed-down", "time", "s", "bus voltage", "V");
	reckon_curve(reckon, "bus voltage", x, y, POINTS);
	for (i = 0; i < sizeof levels / sizeof levels[0]; i++)
		if (volts > levels[i])
			reckon_level(reckon, levels[i], "%s",
			    reckon_say(reckon, levels[i], "V"));
}

static enum lw_status
run(struct reckon *reckon, struct lw_err *err)
{
	const struct lw_quantity *start = reckon_quantity(reckon, "volts");
	const struct lw_quantity *resistor =
	    reckon_quantity(reckon, "resistor");
	const struct lw_quantity *capacitor =
	    reckon_quantity(reckon, "capacitor");
	/* What is said is at the latest, by what tolerance allows. */
	double volts = start->high, ohms = resistor->high;
	double farads = capacitor->high;
	enum lw_status status = work(reckon, err);

	if (status != LW_OK)
		return status;
	say_verdict(reckon, volts, ohms, farads);
	remark_wait(reckon, volts, ohms, farads);
	remark_power(reckon, volts, resistor->low, farads);
	remark_limits(reckon, volts, ohms, farads);
	reckon_remark(reckon,
	    "The time is worked out and no proof: measure that it is below "
	    "5 V, and measure again a minute later, since capacitors recover "
	    "some voltage by themselves.");
	reckon_source(reckon,
	    "discharging through a resistor: t = R C ln(V0 / V), energy "
	    "C V^2 / 2");
	reckon_voltage_class(reckon, volts);
	draw(reckon, start->value, resistor->value * capacitor->value);
	return LW_OK;
}

const struct reckoner reckon_bleed = {
    .face =
	{
	    .name = "bleed",
	    .title = "Bleed-down",
	    .summary = "How long the bus keeps its charge after switching "
		       "off: to 60, 50 and 5 V",
	    .inputs = inputs,
	    .input_count = sizeof inputs / sizeof inputs[0],
	    .plots = true,
	    .example = "volts=58.8V capacitor=10mF resistor=1k",
	},
    .run = run,
};
