/* A motor's winding: its resistance at another temperature, and what it draws
 * and does at a voltage. Which limits hold is left to controller and maker. */
#include "meter/reckon.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>

static const struct lw_reckon_input inputs[] = {
    {
	.key = "resistance",
	.title = "Resistance of the winding",
	.help = "Of a brushed motor from brush to brush; of a brushless one "
		"between two of its three cables.",
	.unit = "ohm",
	.needed = true,
	.rig = "motor.ohms",
	.low = 1e-5,
	.high = 1e4,
    },
    {
	.key = "temperature",
	.title = "Temperature at which it was measured",
	.help = "That of the winding: of the room, after a night's rest.",
	.unit = "degC",
	.usual = "20 degC",
	.low = -40,
	.high = 250,
    },
    {
	.key = "to",
	.title = "Another temperature of the winding",
	.help = "Hot after driving, 75 degC or more.",
	.unit = "degC",
	.usual = "75 degC",
	.low = -40,
	.high = 250,
    },
    {
	.key = "hot",
	.title = "Resistance measured hot",
	.help = "Of the same winding: it tells how hot it is inside.",
	.unit = "ohm",
	.low = 1e-5,
	.high = 1e4,
    },
    {
	.key = "volts",
	.title = "Voltage across it",
	.help = "Of the pack, or across the field.",
	.unit = "V",
	.low = 0.1,
	.high = 1000,
    },
    {
	.key = "amps",
	.title = "Current through it",
	.help = "While it drives.",
	.unit = "A",
	.low = 0,
	.high = 5000,
    },
    {
	.key = "kv",
	.title = "Turns a minute for each volt (Kv)",
	.help = "By the motor's papers, in rpm/V. This or kt.",
	.unit = "rpm/V",
	.low = 0.1,
	.high = 1e5,
    },
    {
	.key = "kt",
	.title = "Torque for each ampere (Kt)",
	.help = "By the motor's papers, in N m/A.",
	.unit = "N m/A",
	.low = 1e-5,
	.high = 100,
    },
};

static const double METER_OHMS = 1;   /* below it a plain meter misleads */
static const double TOO_HOT = 428.15; /* K; 155 degC, insulation class F */
static const double COLDEST = 233.15;

static bool
has(const struct reckon *reckon, const char *key)
{
	return reckon_quantity(reckon, key) != NULL;
}

static enum lw_status
work_temperature(struct reckon *reckon, struct lw_err *err)
{
	enum lw_status status;
	double value;

	status = reckon_formula(reckon, &value, "resistance-to",
	    "Resistance at the other temperature", "ohm",
	    "copper_at(resistance, temperature, to)", err);
	if (status != LW_OK || !has(reckon, "hot"))
		return status;
	status = reckon_formula(reckon, &value, "winding-temperature",
	    "Temperature of the hot winding", "degC",
	    "38.65 K + hot / resistance * (temperature - 38.65 K)", err);
	if (status != LW_OK)
		return status;
	if (value > TOO_HOT)
		reckon_remark(reckon,
		    "%s is more than common insulation stands (155 degC, "
		    "class F): let it cool, and look for what overloads it. "
		    "Or the cables and contacts added to the reading.",
		    reckon_say(reckon, value, "degC"));
	else if (value < COLDEST)
		reckon_remark(reckon,
		    "No winding is so cold: it has shorted turns, or one of "
		    "the readings is wrong.");
	return LW_OK;
}

static enum lw_status
work_current(struct reckon *reckon, struct lw_err *err)
{
	enum lw_status status;
	double value;

	if (!has(reckon, "volts"))
		return LW_OK;
	status = reckon_formula(reckon, &value, "stall-current",
	    "Current while it stands still", "A", "volts / resistance", err);
	if (status == LW_OK)
		status = reckon_formula(reckon, &value, "stall-current-to",
		    "The same at the other temperature", "A",
		    "volts / resistance_to", err);
	if (status != LW_OK)
		return status;
	reckon_remark(reckon,
	    "That is what would flow with nothing to limit it; the "
	    "controller, the pack and the cables do. Never try it: a motor "
	    "that is held still burns in seconds.");
	return LW_OK;
}

/* A constant of the motor that was given gives the other one. */
static enum lw_status
work_constants(struct reckon *reckon, struct lw_err *err)
{
	enum lw_status status;
	double value;

	if (has(reckon, "kv") && has(reckon, "kt"))
		return reckon_refuse(reckon, "kt", err,
		    "of kv and kt only one is taken, since one gives the "
		    "other");
	status = reckon_formula(reckon, &value, "torque-constant",
	    "Torque for each ampere", "N m/A",
	    has(reckon, "kt") ? "kt" : "1 / (2 * 3.14159265359 * kv)", err);
	if (status == LW_OK)
		status = reckon_formula(reckon, &value, "speed-constant",
		    "Turns for each volt", "rpm/V",
		    has(reckon, "kv") ? "kv" : "1 / (2 * 3.14159265359 * kt)",
		    err);
	return status;
}

static enum lw_status
work_turning(struct reckon *reckon, struct lw_err *err)
{
	enum lw_status status;
	double speed;

	status = reckon_formula(reckon, &speed, "no-load-speed",
	    "Speed without a load", "rpm", "speed_constant * volts", err);
	if (status != LW_OK || !has(reckon, "amps"))
		return status;
	status =
	    reckon_formula(reckon, &speed, "speed", "Speed at that current",
		"rpm", "speed_constant * (volts - amps * resistance)", err);
	if (status == LW_OK && speed < 0)
		reckon_remark(reckon,
		    "At that current more than the whole voltage would be "
		    "lost in the winding: it cannot flow.");
	return status;
}

static enum lw_status
work_magnets(struct reckon *reckon, struct lw_err *err)
{
	enum lw_status status = work_constants(reckon, err);
	double value;

	if (status == LW_OK && has(reckon, "volts"))
		status = work_turning(reckon, err);
	if (status == LW_OK && has(reckon, "amps"))
		status = reckon_formula(reckon, &value, "torque",
		    "Torque at that current", "N m", "torque_constant * amps",
		    err);
	if (status != LW_OK)
		return status;
	reckon_remark(reckon,
	    "Kv and Kt hold for permanent magnets. Magnets weaken when hot, "
	    "by some percent: it turns faster and pulls less.");
	reckon_source(reckon,
	    "permanent-magnet motor: Kt = 60 / (2 pi Kv) with Kv in rpm/V; "
	    "V = n / Kv + I R");
	return LW_OK;
}

static enum lw_status
run(struct reckon *reckon, struct lw_err *err)
{
	const struct lw_quantity *ohms;
	enum lw_status status;
	double value;

	status = work_temperature(reckon, err);
	if (status == LW_OK)
		status = work_current(reckon, err);
	if (status == LW_OK && has(reckon, "amps"))
		status = reckon_formula(reckon, &value, "heat",
		    "Heat in the winding at that current", "W",
		    "amps^2 * resistance", err);
	if (status == LW_OK && (has(reckon, "kv") || has(reckon, "kt")))
		status = work_magnets(reckon, err);
	if (status != LW_OK)
		return status;
	ohms = reckon_quantity(reckon, "resistance");
	if (ohms->value < METER_OHMS)
		reckon_remark(reckon,
		    "Below 1 ohm leads and probes add to what a plain meter "
		    "shows: take a milliohm meter with four wires, or the "
		    "voltage at a known current.");
	reckon_source(reckon,
	    "copper: (234.5 + T2) / (234.5 + T1), in degC; IEC 60028, from "
	    "memory");
	return LW_OK;
}

const struct reckoner reckon_motor = {
    .face =
	{
	    .name = "motor",
	    .title = "Motor winding",
	    .summary = "Its resistance at another temperature, the current "
		       "when it stands still, speed and torque",
	    .inputs = inputs,
	    .input_count = sizeof inputs / sizeof inputs[0],
	    .example = "resistance=0.420ohm temperature=22degC to=75degC",
	},
    .run = run,
};
