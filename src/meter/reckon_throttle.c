/* Throttle signals: what share of full a reading asks for, with the dead band
 * at each end, and what no sound throttle gives. */
#include "meter/reckon.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>
#include <string.h>

static const char *const words[] = {
    "hall", "wiper", "0-5V", "0-5k", "5k-0", "0-10V", "other", NULL};
static const char *const also[] = {"hall", "potentiometer", "zero-five",
    "rheostat-0-5k", "rheostat-5k-0", "zero-ten", "own", NULL};
static const char *const titles[] = {"three wires, Hall sensor",
    "three wires, resistance track with a wiper", "a signal from 0 to 5 V",
    "two wires, 0 ohm at rest and 5 kohm at full",
    "two wires, 5 kohm at rest and 0 ohm at full", "a signal from 0 to 10 V",
    "another: give rest and full", NULL};

static const struct lw_reckon_input inputs[] = {
    {
	.key = "kind",
	.title = "Kind of throttle",
	.help = "By its label or the vehicle's papers; for another one give "
		"what it reads at rest and at full.",
	.words = words,
	.word_titles = titles,
	.also = also,
	.needed = true,
	.rig = "throttle.kind",
    },
    {
	.key = "reading",
	.title = "Reading of its signal",
	.help = "In volts, or in ohms with a two-wire throttle unplugged; OL "
		"where it is open.",
	.needed = true,
    },
    {
	.key = "rest",
	.title = "Signal at rest",
	.help = "As the controller is set, or by the throttle's papers. Left "
		"out: what is common for its kind.",
	.rig = "throttle.rest",
    },
    {
	.key = "full",
	.title = "Signal at full",
	.help = "As the controller is set, or by the throttle's papers. Left "
		"out: what is common for its kind.",
	.rig = "throttle.full",
    },
    {
	.key = "dead",
	.title = "Dead band at each end",
	.help = "The share of the travel that still counts as rest, and as "
		"full.",
	.unit = "%",
	.usual = "5 %",
	.rig = "throttle.dead",
	.high = 45,
    },
};

/* Common practice for each kind, in its unit. `low` and `high`: what no sound
 * throttle goes past; below zero where there is no such limit. */
static const struct kind {
	const char *word;
	const char *unit;
	const char *rest;
	const char *full;
	double most; /* of what can be read at all */
	double low;
	double high;
	const char *usual; /* what a sound one reads */
	const char *warning;
} kinds[] = {
    {"hall", "V", "0.8 V", "4.2 V", 30, 0.5, 4.5,
	"A Hall throttle on 5 V reads about 0.8 V at rest and 4.2 V at full; "
	"below 0.5 V or above 4.5 V a wire is off or shorted.",
	NULL},
    {"wiper", "V", "0 V", "5 V", 30, -1, -1,
	"A three-wire throttle on 5 V reads below 0.5 V at rest and above "
	"4.5 V at full.",
	"A wiper that has lost its contact floats and may read anything; "
	"that is no position of the pedal."},
    {"0-5V", "V", "0 V", "5 V", 30, -1, -1,
	"A 0 to 5 V throttle reads below 0.5 V at rest and above 4.5 V at "
	"full.",
	NULL},
    {"0-5k", "ohm", "0 ohm", "5 kohm", 100e6, -1, 7000,
	"A 0 to 5 kohm throttle reads below 0.3 kohm at rest and above "
	"4.5 kohm at full; above about 7 kohm it is open.",
	NULL},
    {"5k-0", "ohm", "5 kohm", "0 ohm", 100e6, -1, 7000,
	"A 5 kohm to 0 throttle reads above 4.5 kohm at rest and below "
	"0.3 kohm at full; above about 7 kohm it is open.",
	"A short between its two wires reads as full: this kind does not "
	"fail safely, so look for chafed wires."},
    {"0-10V", "V", "0 V", "10 V", 50, -1, 10.5,
	"A 0 to 10 V throttle reads below 0.5 V at rest and above 9.5 V at "
	"full; above 10.5 V is a fault.",
	NULL},
};
static const struct kind other_volts = {
    "other", "V", NULL, NULL, 150, -1, -1, NULL, NULL};
static const struct kind other_ohms = {
    "other", "ohm", NULL, NULL, 100e6, -1, -1, NULL, NULL};

enum { POINTS = 121 };

struct signal {
	double reading;
	double rest;
	double full;
	double percent; /* 0-1 */
};

static const struct kind *
kind_of(const struct reckon *reckon)
{
	const char *word = reckon_text(reckon, "kind");
	struct lw_quantity quantity;
	size_t i;

	for (i = 0; i < sizeof kinds / sizeof kinds[0]; i++)
		if (strcmp(kinds[i].word, word) == 0)
			return &kinds[i];
	if (lw_quantity_parse(
		&quantity, reckon_text(reckon, "reading"), "V", NULL) == LW_OK)
		return &other_volts;
	return &other_ohms;
}

static bool
is_open(const char *reading)
{
	return strcmp(reading, "OL") == 0 || strcmp(reading, "ol") == 0 ||
	       strcmp(reading, "O.L") == 0 || strcmp(reading, "open") == 0;
}

static enum lw_status
take_end(struct reckon *reckon, const char *key, const struct kind *kind,
    const char *usual, struct lw_err *err)
{
	enum lw_status status =
	    reckon_take(reckon, key, kind->unit, 0, kind->most, usual, err);

	if (status == LW_OK && reckon_quantity(reckon, key) == NULL)
		return reckon_refuse(reckon, key, err,
		    "this is needed: the signal at %s, in %s", key, kind->unit);
	return status;
}

/* An open throttle has no number. */
static enum lw_status
say_open(struct reckon *reckon, const struct kind *kind, struct lw_err *err)
{
	if (strcmp(kind->unit, "ohm") != 0)
		return reckon_refuse(reckon, "reading", err,
		    "a voltage is never open; take a higher range of volts");
	reckon_words(reckon, "verdict", "Verdict",
	    "fault: open, a wire is off or the track is worn through");
	if (kind->usual != NULL)
		reckon_remark(reckon, "%s", kind->usual);
	reckon_source(reckon, "what throttles read: common practice");
	return LW_OK;
}

static enum lw_status
take(struct reckon *reckon, const struct kind *kind, struct signal *signal,
    struct lw_err *err)
{
	enum lw_status status;

	status = reckon_take(
	    reckon, "reading", kind->unit, 0, kind->most, NULL, err);
	if (status == LW_OK)
		status = take_end(reckon, "rest", kind, kind->rest, err);
	if (status == LW_OK)
		status = take_end(reckon, "full", kind, kind->full, err);
	if (status != LW_OK)
		return status;
	signal->reading = reckon_quantity(reckon, "reading")->value;
	signal->rest = reckon_quantity(reckon, "rest")->value;
	signal->full = reckon_quantity(reckon, "full")->value;
	if (signal->rest == signal->full)
		return reckon_refuse(reckon, "full", err,
		    "this is the same as rest, so there is no travel; give "
		    "what it reads pressed to the end");
	return LW_OK;
}

static enum lw_status
work(struct reckon *reckon, const struct kind *kind, struct signal *signal,
    struct lw_err *err)
{
	enum lw_status status;
	double value;

	status = reckon_formula(reckon, &value, "live-from",
	    "Signal at which it begins to ask", kind->unit,
	    "rest + dead * (full - rest)", err);
	if (status == LW_OK)
		status = reckon_formula(reckon, &value, "live-to",
		    "Signal from which it asks for full", kind->unit,
		    "full - dead * (full - rest)", err);
	if (status == LW_OK)
		status = reckon_formula(reckon, &value, "travel",
		    "Share of the travel", "%",
		    "(reading - rest) / (full - rest)", err);
	if (status == LW_OK)
		status = reckon_formula(reckon, &signal->percent, "percent",
		    "Throttle that is asked for", "%",
		    "max(0 %, min(100 %,"
		    " throttle_share(reading, rest, full, dead)))",
		    err);
	return status;
}

/* A throttle whose own figures go past what is common for its kind is made
 * for another supply: those limits say nothing of it. */
static bool
is_common(const struct kind *kind, const struct signal *signal)
{
	return fmin(signal->rest, signal->full) >= kind->low &&
	       (kind->high < 0 ||
		   fmax(signal->rest, signal->full) <= kind->high);
}

static void
say_verdict(
    struct reckon *reckon, const struct kind *kind, const struct signal *signal)
{
	bool common = is_common(kind, signal);

	if (common && kind->low >= 0 && signal->reading < kind->low)
		reckon_words(reckon, "verdict", "Verdict",
		    "fault: below %s, which no sound one reads",
		    reckon_say(reckon, kind->low, kind->unit));
	else if (common && kind->high >= 0 && signal->reading > kind->high)
		reckon_words(reckon, "verdict", "Verdict",
		    "fault: above %s, which no sound one reads",
		    reckon_say(reckon, kind->high, kind->unit));
	else if (signal->percent <= 0)
		reckon_words(reckon, "verdict", "Verdict", "at rest");
	else if (signal->percent >= 1)
		reckon_words(reckon, "verdict", "Verdict", "at full");
	else
		reckon_words(reckon, "verdict", "Verdict", "asks for %s",
		    reckon_say(reckon, signal->percent, "%"));
}

static void
draw(
    struct reckon *reckon, const struct kind *kind, const struct signal *signal)
{
	bool ohms = strcmp(kind->unit, "ohm") == 0;
	double dead = reckon_quantity(reckon, "dead")->value;
	double low = fmin(signal->rest, signal->full);
	double span = fabs(signal->full - signal->rest);
	double x[POINTS], y[POINTS], at;
	size_t i;

	for (i = 0; i < POINTS; i++) {
		x[i] = low + span * (double)i / (POINTS - 1);
		at = (x[i] - signal->rest) / (signal->full - signal->rest);
		y[i] = 100 * fmax(0, fmin(1, (at - dead) / (1 - 2 * dead)));
		if (ohms)
			x[i] /= 1000;
	}
	reckon_plot(
	    reckon, "Throttle", "signal", ohms ? "kohm" : "V", "throttle", "%");
	reckon_curve(reckon, "throttle that is asked for", x, y, POINTS);
	reckon_level(reckon, 100 * signal->percent, "this reading, %s",
	    reckon_say(reckon, signal->percent, "%"));
}

static enum lw_status
run(struct reckon *reckon, struct lw_err *err)
{
	const struct kind *kind = kind_of(reckon);
	struct signal signal;
	enum lw_status status;

	if (is_open(reckon_text(reckon, "reading")))
		return say_open(reckon, kind, err);
	status = take(reckon, kind, &signal, err);
	if (status == LW_OK)
		status = work(reckon, kind, &signal, err);
	if (status != LW_OK)
		return status;
	say_verdict(reckon, kind, &signal);
	if (kind->usual != NULL && is_common(kind, &signal))
		reckon_remark(reckon, "%s", kind->usual);
	if (kind->warning != NULL)
		reckon_remark(reckon, "%s", kind->warning);
	if (signal.percent > 0)
		reckon_remark(reckon,
		    "A throttle that is not at rest when the key is turned on "
		    "keeps most controllers from starting: let it go first.");
	reckon_source(reckon, "what throttles read: common practice");
	draw(reckon, kind, &signal);
	return LW_OK;
}

const struct reckoner reckon_throttle = {
    .face =
	{
	    .name = "throttle",
	    .title = "Throttle",
	    .summary = "What share of full a throttle signal asks for, and "
		       "whether a sound one can read that",
	    .inputs = inputs,
	    .input_count = sizeof inputs / sizeof inputs[0],
	    .plots = true,
	    .example = "kind=hall reading=1.65V",
	},
    .run = run,
};
