/* Cable drop and heat, by the resistivity of copper and by the tables of
 * sizes. Whether a cable may carry the current is left to reckon_fuse.c. */
#include "meter/conductor.h"
#include "meter/reckon.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

static const struct lw_reckon_input inputs[] = {
    {
	.key = "size",
	.title = "Cross-section of the copper",
	.help = "In mm2 or as an AWG size, printed on the cable's sheath.",
	.unit = "mm2",
	.needed = true,
	.rig = "cable.size",
	.low = 0.05,
	.high = 1000,
    },
    {
	.key = "length",
	.title = "Length of the whole loop",
	.help = "There and back: plus and minus cable added.",
	.unit = "m",
	.needed = true,
	.rig = "cable.length",
	.low = 0.01,
	.high = 1000,
    },
    {
	.key = "amps",
	.title = "Current",
	.help = "What flows while the drop is measured, or the most that the "
		"controller takes.",
	.unit = "A",
	.needed = true,
	.rig = "controller.current",
	.low = 0.001,
	.high = 5000,
    },
    {
	.key = "temperature",
	.title = "Temperature of the copper",
	.help = "Warm cable has more resistance: about 0.4 % a degree.",
	.unit = "degC",
	.usual = "20 degC",
	.low = -50,
	.high = 200,
    },
    {
	.key = "volts",
	.title = "Pack voltage",
	.help = "To say what share of it is lost.",
	.unit = "V",
	.rig = "pack.nominal",
	.low = 1,
	.high = 1000,
    },
};

/* Army TM 10-3930-671-24: a whole circuit, 0.20 V per 100 A. */
static const double CIRCUIT_OHMS = 0.20 / 100;

enum { FORMULA_MAX = 160 };

/* By resistivity. `drop` and `heat` come out in SI. */
static enum lw_status
work_copper(struct reckon *reckon, double *drop, struct lw_err *err)
{
	enum lw_status status;
	double value;

	status = reckon_formula(reckon, &value, "resistance",
	    "Resistance of the loop", "ohm",
	    "wire_ohms(size, length, temperature)", err);
	if (status == LW_OK)
		status = reckon_formula(reckon, drop, "drop", "Voltage drop",
		    "V", "amps * resistance", err);
	if (status == LW_OK)
		status = reckon_formula(reckon, &value, "heat",
		    "Heat in the cable", "W", "amps^2 * resistance", err);
	if (status == LW_OK)
		status = reckon_formula(reckon, &value, "heat-per-metre",
		    "Heat in each metre of it", "W", "heat * 1 m / length",
		    err);
	if (status == LW_OK && reckon_quantity(reckon, "volts") != NULL)
		status = reckon_formula(reckon, &value, "drop-share",
		    "Share of the pack's voltage", "%", "drop / volts", err);
	return status;
}

/* By the table of its size. */
static enum lw_status
work_table(struct reckon *reckon, const struct conductor *conductor,
    double *drop, struct lw_err *err)
{
	char formula[FORMULA_MAX];
	enum lw_status status;
	double value;

	if (conductor->table == CONDUCTOR_NEC)
		snprintf(formula, sizeof formula,
		    "%s ohm / 1000 ft * length"
		    " * (1 + 0.00323 * (temperature - 75 degC) / 1 K)",
		    conductor->ohms);
	else
		snprintf(formula, sizeof formula,
		    "%s ohm / 1000 m * length"
		    " * (1 + 0.00393 * (temperature - 20 degC) / 1 K)",
		    conductor->ohms);
	status = reckon_formula(reckon, &value, "table-resistance",
	    "Resistance of the loop, by the table", "ohm", formula, err);
	if (status == LW_OK)
		status = reckon_formula(reckon, drop, "table-drop",
		    "Voltage drop, by the table", "V",
		    "amps * table_resistance", err);
	if (status == LW_OK)
		status = reckon_formula(reckon, &value, "table-heat",
		    "Heat in the cable, by the table", "W",
		    "amps^2 * table_resistance", err);
	return status;
}

static void
remark_table(struct reckon *reckon, const struct conductor *conductor,
    double drop, double by_table)
{
	if (conductor->table == CONDUCTOR_NONE) {
		reckon_remark(reckon,
		    "%s is in neither table of standard sizes, so it is "
		    "reckoned by the resistivity of copper alone.",
		    reckon_plain(reckon, "size"));
		return;
	}
	if (by_table >= drop)
		reckon_remark(reckon,
		    "By the table %s of %s drops %s, %s more than solid copper "
		    "of that cross-section: strands are twisted, so the copper "
		    "is longer than the cable. Hold a reading against that "
		    "one.",
		    reckon_plain(reckon, "length"), conductor->size,
		    reckon_say(reckon, by_table, "V"),
		    reckon_say(reckon, by_table / drop - 1, "%"));
	reckon_source(reckon,
	    conductor->table == CONDUCTOR_NEC
		? "NEC chapter 9, table 8: stranded, uncoated copper at "
		  "75 degC; R2 = R1 (1 + 0.00323 (T - 75))"
		: "IEC 60228, class 5: plain copper, the most at 20 degC");
}

/* The size with which the cable alone would keep to the rule. */
static void
remark_rule(struct reckon *reckon, double drop)
{
	double amps = reckon_quantity(reckon, "amps")->value;
	double length = reckon_quantity(reckon, "length")->value;
	double warmth = reckon_quantity(reckon, "temperature")->value;
	double allowed = CIRCUIT_OHMS * amps;
	const char *size = conductor_size_for(
	    CIRCUIT_OHMS / length / (1 + 0.00393 * (warmth - 293.15)));

	if (drop <= allowed) {
		reckon_remark(reckon,
		    "A rule of thumb gives the whole circuit 0.20 V per "
		    "100 A, here %s: the cable takes %s of it, which leaves "
		    "%s for lugs, fuse, disconnect and contactor.",
		    reckon_say(reckon, allowed, "V"),
		    reckon_say(reckon, drop / allowed, "%"),
		    reckon_say(reckon, allowed - drop, "V"));
	} else {
		reckon_remark(reckon,
		    "A rule of thumb gives the whole circuit 0.20 V per "
		    "100 A, here %s: the cable alone takes %s of it.",
		    reckon_say(reckon, allowed, "V"),
		    reckon_say(reckon, drop / allowed, "%"));
		if (size != NULL)
			reckon_remark(reckon,
			    "To keep to that the cable would have to be %s or "
			    "more, or shorter.",
			    size);
	}
	reckon_source(reckon, "0.20 V per 100 A: Army TM 10-3930-671-24");
}

static void
say_verdict(struct reckon *reckon, double drop)
{
	double allowed = CIRCUIT_OHMS * reckon_quantity(reckon, "amps")->value;

	reckon_words(reckon, "verdict", "Verdict",
	    drop <= allowed
		? "%s, within the %s that the whole circuit may lose"
		: "%s, more than the %s that the whole circuit may lose",
	    reckon_say(reckon, drop, "V"), reckon_say(reckon, allowed, "V"));
}

static enum lw_status
run(struct reckon *reckon, struct lw_err *err)
{
	struct conductor conductor;
	double drop, by_table = 0;
	enum lw_status status;

	conductor_find(&conductor, reckon_quantity(reckon, "size")->value);
	status = work_copper(reckon, &drop, err);
	if (status == LW_OK && conductor.table != CONDUCTOR_NONE)
		status = work_table(reckon, &conductor, &by_table, err);
	if (status != LW_OK)
		return status;
	reckon_source(reckon,
	    "copper: 1/58 ohm mm2/m at 20 degC, and 0.00393 a degree "
	    "(IEC 60028)");
	say_verdict(reckon, by_table > drop ? by_table : drop);
	remark_table(reckon, &conductor, drop, by_table);
	remark_rule(reckon, by_table > drop ? by_table : drop);
	reckon_remark(reckon,
	    "This is sound cable alone. Every bolted joint and closed "
	    "contact adds its own; more than 0.1 V across one of them under "
	    "load is worth a look (common practice).");
	reckon_remark(reckon,
	    "A small drop does not make a cable thick enough: a short thin one "
	    "loses little and burns. What it may carry is said by its maker's "
	    "papers or the electrical code.");
	return LW_OK;
}

const struct reckoner reckon_drop = {
    .face =
	{
	    .name = "drop",
	    .title = "Cable drop",
	    .summary = "What a sound cable loses: volts, watts, and how much "
		       "of what the circuit may lose",
	    .inputs = inputs,
	    .input_count = sizeof inputs / sizeof inputs[0],
	    .example = "size=35mm2 length=4m amps=200A temperature=60degC",
	},
    .run = run,
};
