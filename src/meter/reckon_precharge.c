/* Pre-charge: a resistor fills the bus capacitors before the contactor
 * closes. What a voltage is classed as is left to reckon_class.c. */
#include "meter/reckon.h"

#include <math.h>
#include <stddef.h>

static const struct lw_reckon_input inputs[] = {
    {
	.key = "volts",
	.title = "Pack voltage",
	.help = "The highest that the pack has when pre-charging: fully "
		"charged.",
	.unit = "V",
	.needed = true,
	.rig = "pack.full",
	.low = 1,
	.high = 1000,
    },
    {
	.key = "resistor",
	.title = "Pre-charge resistor",
	.help = "Marked on the resistor, or measured with the vehicle "
		"isolated and one end off.",
	.unit = "ohm",
	.needed = true,
	.rig = "precharge.resistor",
	.low = 0.1,
	.high = 10e6,
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
	.key = "load",
	.title = "Standing load on the bus",
	.help = "What draws current while the bus fills, a DC-DC converter "
		"or a display, as a resistance: volts divided by amps. Left "
		"out: none.",
	.unit = "ohm",
	.rig = "bus.load",
	.low = 0.1,
	.high = 100e6,
    },
    {
	.key = "bleed",
	.title = "Bleed resistor across the bus",
	.help = "It draws current too while the bus fills. Left out: none.",
	.unit = "ohm",
	.rig = "bleed.resistor",
	.low = 0.1,
	.high = 100e6,
    },
    {
	.key = "share",
	.title = "How full the bus has to be",
	.help = "Of the pack's voltage, before the contactor closes.",
	.unit = "%",
	.usual = "95 %",
	.low = 1,
	.high = 99.999,
    },
    {
	.key = "time",
	.title = "How long the controller waits",
	.help = "From key on until it closes the contactor or gives up.",
	.unit = "s",
	.rig = "precharge.time",
	.low = 1e-3,
	.high = 86400,
    },
    {
	.key = "watts",
	.title = "Power rating of the resistor",
	.help = "Marked on it, or by its maker's papers.",
	.unit = "W",
	.rig = "precharge.watts",
	.low = 0.01,
	.high = 10000,
    },
    {
	.key = "loop",
	.title = "Resistance of pack, cables and contactor together",
	.help = "It limits what rushes in when the contactor closes: some "
		"tens of milliohms.",
	.unit = "ohm",
	.usual = "30 mohm",
	.low = 1e-4,
	.high = 100,
    },
};

enum { POINTS = 121 };

/* What the run worked out, in SI. */
struct bus {
	double volts;
	double tau;
	double final; /* V */
	double load;  /* ohm; of all that stands on the bus */
	double share; /* wanted */
	bool loaded;
	bool arrives;	/* at the share that is wanted */
	double arrival; /* s */
};

static enum lw_status
work_load(struct reckon *reckon, struct bus *bus, struct lw_err *err)
{
	bool load = reckon_quantity(reckon, "load") != NULL;
	bool bleed = reckon_quantity(reckon, "bleed") != NULL;

	bus->loaded = load || bleed;
	if (!bus->loaded)
		return LW_OK;
	return reckon_formula(reckon, &bus->load, "standing-load",
	    "Standing load, as a resistance", "ohm",
	    !bleed  ? "load"
	    : !load ? "bleed"
		    : "parallel(load, bleed)",
	    err);
}

static enum lw_status
work_start(struct reckon *reckon, struct bus *bus, struct lw_err *err)
{
	enum lw_status status;
	double value;

	status = reckon_formula(reckon, &value, "peak-current",
	    "Current at the start", "A", "volts / resistor", err);
	if (status == LW_OK)
		status = reckon_formula(reckon, &value, "peak-power",
		    "Power in the resistor at the start", "W",
		    "volts^2 / resistor", err);
	if (status != LW_OK)
		return status;
	status = work_load(reckon, bus, err);
	if (status != LW_OK)
		return status;
	if (!bus->loaded)
		return reckon_formula(reckon, &bus->tau, "time-constant",
		    "Time constant", "s", "resistor * capacitor", err);
	return reckon_formula(reckon, &bus->tau, "time-constant",
	    "Time constant", "s",
	    "parallel(resistor, standing_load) * capacitor", err);
}

static enum lw_status
work_end(struct reckon *reckon, struct bus *bus, struct lw_err *err)
{
	enum lw_status status;
	double value;

	if (!bus->loaded) {
		bus->final = bus->volts;
		status = reckon_formula(reckon, &value, "final-voltage",
		    "Voltage at which it settles", "V", "volts", err);
		if (status == LW_OK)
			status = reckon_formula(reckon, &value, "energy",
			    "Energy in the charged bus", "J",
			    "energy(capacitor, volts)", err);
		if (status == LW_OK)
			status = reckon_formula(reckon, &value, "heat",
			    "Heat in the resistor, in all", "J",
			    "energy(capacitor, volts)", err);
		return status;
	}
	status = reckon_formula(reckon, &bus->final, "final-voltage",
	    "Voltage at which it settles", "V",
	    "precharge_final(volts, resistor, standing_load)", err);
	if (status == LW_OK)
		status = reckon_formula(reckon, &value, "final-share",
		    "Share of the pack's voltage", "%",
		    "1 / (1 + resistor / standing_load)", err);
	if (status == LW_OK)
		status = reckon_formula(reckon, &value, "energy",
		    "Energy in the charged bus", "J",
		    "energy(capacitor, final_voltage)", err);
	if (status == LW_OK)
		status = reckon_formula(reckon, &value, "standing-power",
		    "Power in the resistor for as long as it stays on", "W",
		    "(volts / (resistor + standing_load))^2 * resistor", err);
	return status;
}

static enum lw_status
work_time(struct reckon *reckon, const struct bus *bus, double share,
    const char *name, const char *title, const char *loaded, const char *alone,
    struct lw_err *err)
{
	double value;

	if (share * bus->volts < bus->final)
		return reckon_formula(reckon, &value, name, title, "s",
		    bus->loaded ? loaded : alone, err);
	reckon_words(reckon, name, title, "never: it settles at %s",
	    reckon_say(reckon, bus->final, "V"));
	return LW_OK;
}

static enum lw_status
work_times(struct reckon *reckon, struct bus *bus, struct lw_err *err)
{
	enum lw_status status;

	status = work_time(reckon, bus, 0.90, "time-90", "Time to 90 %",
	    "-time_constant * ln(1 - 90 % / final_share)",
	    "precharge_time(resistor, capacitor, 90 %)", err);
	if (status == LW_OK)
		status = work_time(reckon, bus, 0.95, "time-95", "Time to 95 %",
		    "-time_constant * ln(1 - 95 % / final_share)",
		    "precharge_time(resistor, capacitor, 95 %)", err);
	if (status == LW_OK)
		status = work_time(reckon, bus, 0.99, "time-99", "Time to 99 %",
		    "-time_constant * ln(1 - 99 % / final_share)",
		    "precharge_time(resistor, capacitor, 99 %)", err);
	if (status != LW_OK || fabs(bus->share - 0.90) < 1e-9 ||
	    fabs(bus->share - 0.95) < 1e-9 || fabs(bus->share - 0.99) < 1e-9)
		return status;
	return work_time(reckon, bus, bus->share, "time-share",
	    "Time to the share that is wanted",
	    "-time_constant * ln(1 - share / final_share)",
	    "precharge_time(resistor, capacitor, share)", err);
}

/* What rushes in when the contactor closes on what is left. */
static enum lw_status
work_inrush(struct reckon *reckon, const struct bus *bus, struct lw_err *err)
{
	bool timed = reckon_quantity(reckon, "time") != NULL;
	enum lw_status status;
	double value;

	status = reckon_formula(reckon, &value, "inrush-without",
	    "Inrush without pre-charge", "A", "volts / loop", err);
	if (status != LW_OK)
		return status;
	if (timed) {
		status = reckon_formula(reckon, &value, "time-voltage",
		    "Bus voltage after the time that the controller waits", "V",
		    "final_voltage * (1 - exp(-time / time_constant))", err);
		if (status == LW_OK)
			status = reckon_formula(reckon, &value, "time-reached",
			    "Share of the pack's voltage by then", "%",
			    "time_voltage / volts", err);
		if (status == LW_OK)
			status = reckon_formula(reckon, &value, "inrush-after",
			    "Inrush that is left then", "A",
			    "(volts - time_voltage) / loop", err);
		return status;
	}
	return reckon_formula(reckon, &value, "inrush-after",
	    "Inrush that is left when the contactor closes", "A",
	    bus->arrives ? "volts * (1 - share) / loop"
			 : "(volts - final_voltage) / loop",
	    err);
}

static double
reached(const struct bus *bus, double seconds)
{
	return bus->final * -expm1(-seconds / bus->tau);
}

/* When the share that is wanted is there at the latest, by what tolerance
 * allows; infinite: never. */
static double
latest(const struct reckon *reckon, const struct bus *bus)
{
	const struct lw_quantity *load = reckon_quantity(reckon, "load");
	const struct lw_quantity *bleed = reckon_quantity(reckon, "bleed");
	double ohms = reckon_quantity(reckon, "resistor")->high;
	double farads = reckon_quantity(reckon, "capacitor")->high;
	double siemens = (load == NULL ? 0 : 1 / load->low) +
			 (bleed == NULL ? 0 : 1 / bleed->low);
	double part = 1 / (1 + ohms * siemens); /* at which it settles */

	if (bus->share >= part)
		return INFINITY;
	return -ohms * part * farads * log1p(-bus->share / part);
}

static void
say_verdict(struct reckon *reckon, const struct bus *bus)
{
	double late = latest(reckon, bus);
	const struct lw_quantity *time = reckon_quantity(reckon, "time");
	const char *share = reckon_say(reckon, bus->share, "%");

	if (!bus->arrives)
		reckon_words(reckon, "verdict", "Verdict",
		    "never reaches %s: it settles at %s, %s of the pack", share,
		    reckon_say(reckon, bus->final, "V"),
		    reckon_say(reckon, bus->final / bus->volts, "%"));
	else if (time == NULL)
		reckon_words(reckon, "verdict", "Verdict", "reaches %s in %s",
		    share, reckon_say(reckon, bus->arrival, "s"));
	else if (bus->arrival <= time->value && isinf(late))
		reckon_words(reckon, "verdict", "Verdict",
		    "not surely in time: by what tolerance allows it never "
		    "reaches %s",
		    share);
	else if (bus->arrival <= time->value && late > time->low)
		reckon_words(reckon, "verdict", "Verdict",
		    "not surely in time: by what tolerance allows %s takes up "
		    "to %s, and the controller waits %s",
		    share, reckon_say(reckon, late, "s"),
		    reckon_say(reckon, time->low, "s"));
	else if (bus->arrival <= time->value)
		reckon_words(reckon, "verdict", "Verdict",
		    "in time: %s after %s of %s", share,
		    reckon_say(reckon, bus->arrival, "s"),
		    reckon_say(reckon, time->value, "s"));
	else
		reckon_words(reckon, "verdict", "Verdict",
		    "too slow: %s takes %s, and the controller waits %s", share,
		    reckon_say(reckon, bus->arrival, "s"),
		    reckon_say(reckon, time->value, "s"));
}

static void
remark_start(struct reckon *reckon, const struct bus *bus)
{
	static const double A_WHILE = 5; /* s */
	double ohms = reckon_quantity(reckon, "resistor")->value;

	if (bus->arrives)
		reckon_remark(reckon,
		    "%s onto %s at %s starts at %s and takes %s to %s.",
		    reckon_say(reckon, ohms, "ohm"),
		    reckon_plain(reckon, "capacitor"),
		    reckon_say(reckon, bus->volts, "V"),
		    reckon_say(reckon, bus->volts / ohms, "A"),
		    reckon_say(reckon, bus->arrival, "s"),
		    reckon_say(reckon, bus->share, "%"));
	else
		reckon_remark(reckon,
		    "The standing load of %s holds the bus at %s, %s of the "
		    "pack's %s: however long it waits, it never reaches %s.",
		    reckon_say(reckon, bus->load, "ohm"),
		    reckon_say(reckon, bus->final, "V"),
		    reckon_say(reckon, bus->final / bus->volts, "%"),
		    reckon_say(reckon, bus->volts, "V"),
		    reckon_say(reckon, bus->share, "%"));
	if (bus->arrives && bus->arrival > 2 * A_WHILE &&
	    reckon_quantity(reckon, "time") == NULL)
		reckon_remark(reckon,
		    "After %s the bus is at %s (%s): a controller that waits "
		    "no longer than that sees a pre-charge that failed, or "
		    "closes its contactor onto a bus that is far from full.",
		    reckon_say(reckon, A_WHILE, "s"),
		    reckon_say(reckon, reached(bus, A_WHILE), "V"),
		    reckon_say(
			reckon, reached(bus, A_WHILE) / bus->volts, "%"));
}

/* The load that would just let it settle at the share that is wanted. */
static void
remark_load(struct reckon *reckon, const struct bus *bus)
{
	double ohms = reckon_quantity(reckon, "resistor")->value;
	double share = bus->share;

	if (!bus->loaded || bus->arrives)
		return;
	reckon_remark(reckon,
	    "With this resistor the load has to be above %s, or with this load "
	    "the resistor below %s. Look for what draws current before the "
	    "contactor closes.",
	    reckon_say(reckon, ohms * share / (1 - share), "ohm"),
	    reckon_say(reckon, bus->load * (1 - share) / share, "ohm"));
}

static void
remark_power(struct reckon *reckon, const struct bus *bus)
{
	const struct lw_quantity *rating = reckon_quantity(reckon, "watts");
	double ohms = reckon_quantity(reckon, "resistor")->value;
	double peak = bus->volts * bus->volts / ohms;
	const char *said = reckon_say(reckon, peak, "W");

	if (rating == NULL)
		reckon_remark(reckon,
		    "The resistor takes %s at the start; with the bus shorted "
		    "it takes that for as long as it is on. Give its rating as "
		    "watts to compare.",
		    said);
	else if (peak <= rating->value)
		reckon_remark(reckon,
		    "The resistor's %s at the start is within its rating of "
		    "%s, so it also stands a shorted bus, if it is cooled as "
		    "its maker asks. It can get hot enough to burn.",
		    said, reckon_plain(reckon, "watts"));
	else
		reckon_remark(reckon,
		    "The resistor's %s at the start is %s times its rating of "
		    "%s. As a short pulse it may stand that, by its maker's "
		    "papers; with the bus shorted it lasts, and the resistor "
		    "burns unless something switches it off.",
		    said, reckon_say(reckon, peak / rating->value, ""),
		    reckon_plain(reckon, "watts"));
}

static void
remark_inrush(struct reckon *reckon, const struct bus *bus)
{
	const struct lw_quantity *time = reckon_quantity(reckon, "time");
	double at = bus->arrives ? bus->share * bus->volts : bus->final;
	double loop = reckon_quantity(reckon, "loop")->value;

	if (time != NULL)
		at = reached(bus, time->value);
	reckon_remark(reckon,
	    "Closing at %s leaves %s across the contactor and an inrush of "
	    "about %s, against %s onto an empty bus.",
	    reckon_say(reckon, at, "V"),
	    reckon_say(reckon, bus->volts - at, "V"),
	    reckon_say(reckon, (bus->volts - at) / loop, "A"),
	    reckon_say(reckon, bus->volts / loop, "A"));
	if (at < 0.9 * bus->volts)
		reckon_remark(reckon,
		    "That is less than 90 %% of the pack, where a contactor "
		    "is commonly allowed to close: the contacts may weld.");
}

static void
draw(struct reckon *reckon, const struct bus *bus)
{
	double x[POINTS], y[POINTS], end = 5 * bus->tau;
	const struct lw_quantity *time = reckon_quantity(reckon, "time");
	size_t i;

	if (bus->arrives && bus->arrival * 1.05 > end)
		end = bus->arrival * 1.05;
	if (time != NULL && time->value > end && time->value < 2 * end)
		end = time->value;
	for (i = 0; i < POINTS; i++) {
		x[i] = end * (double)i / (POINTS - 1);
		y[i] = reached(bus, x[i]);
	}
	reckon_plot(reckon, "Pre-charge", "time", "s", "bus voltage", "V");
	reckon_curve(reckon, "bus voltage", x, y, POINTS);
	reckon_level(reckon, bus->volts, "pack, %s",
	    reckon_say(reckon, bus->volts, "V"));
	reckon_level(reckon, bus->share * bus->volts, "%s",
	    reckon_say(reckon, bus->share, "%"));
	if (bus->loaded)
		reckon_level(reckon, bus->final, "settles at %s",
		    reckon_say(reckon, bus->final, "V"));
}

static enum lw_status
run(struct reckon *reckon, struct lw_err *err)
{
	struct bus bus = {
	    .volts = reckon_quantity(reckon, "volts")->value,
	    .share = reckon_quantity(reckon, "share")->value,
	};
	enum lw_status status;

	status = work_start(reckon, &bus, err);
	if (status == LW_OK)
		status = work_end(reckon, &bus, err);
	if (status != LW_OK)
		return status;
	bus.arrives = bus.share * bus.volts < bus.final;
	if (bus.arrives)
		bus.arrival =
		    -bus.tau * log1p(-bus.share * bus.volts / bus.final);
	status = work_times(reckon, &bus, err);
	if (status == LW_OK)
		status = work_inrush(reckon, &bus, err);
	if (status != LW_OK)
		return status;
	say_verdict(reckon, &bus);
	remark_start(reckon, &bus);
	remark_load(reckon, &bus);
	remark_power(reckon, &bus);
	remark_inrush(reckon, &bus);
	reckon_source(reckon,
	    "charging through a resistor: V (1 - exp(-t / RC)); heat in the "
	    "resistor C V^2 / 2, whatever its resistance");
	reckon_source(reckon,
	    "at least 90 % before the contactor closes: a student-racing rule "
	    "(EV.5.6.1); 90 to 95 % is common practice");
	reckon_voltage_class(reckon, bus.volts);
	draw(reckon, &bus);
	return LW_OK;
}

const struct reckoner reckon_precharge = {
    .face =
	{
	    .name = "precharge",
	    .title = "Pre-charge",
	    .summary = "How a resistor fills the bus before the contactor "
		       "closes: current, power, time, and whether it arrives",
	    .inputs = inputs,
	    .input_count = sizeof inputs / sizeof inputs[0],
	    .plots = true,
	    .example = "volts=48V resistor=10k capacitor=10mF",
	},
    .run = run,
};
