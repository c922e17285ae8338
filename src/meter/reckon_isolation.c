/* Isolation resistance between pack and chassis, from two or three voltages.
 * How to measure them is left to the book's checks. */
#include "meter/reckon.h"

#include <stdbool.h>
#include <stddef.h>

static const struct lw_reckon_input inputs[] = {
    {
	.key = "v1",
	.title = "V1, from pack minus to chassis",
	.help = "Without its sign. With the pack connected and the charger "
		"unplugged.",
	.unit = "V",
	.needed = true,
	.high = 1000,
    },
    {
	.key = "v2",
	.title = "V2, from chassis to pack plus",
	.help = "Without its sign.",
	.unit = "V",
	.needed = true,
	.high = 1000,
    },
    {
	.key = "pack",
	.title = "Voltage of the pack",
	.help = "Measured at the same time, from minus to plus.",
	.unit = "V",
	.needed = true,
	.low = 1,
	.high = 1000,
    },
    {
	.key = "resistor",
	.title = "Known resistor that is put in",
	.help = "From the chassis to the side that read more. About 500 ohm "
		"for each volt of the pack serves well.",
	.unit = "ohm",
	.low = 100,
	.high = 10e6,
    },
    {
	.key = "with",
	.title = "The larger voltage again, with the resistor in place",
	.help = "Where V1 was the larger one: minus to chassis; otherwise "
		"chassis to plus.",
	.unit = "V",
	.high = 1000,
    },
    {
	.key = "meter",
	.title = "Resistance of the meter",
	.help = "By its papers; 10 Mohm is common.",
	.unit = "ohm",
	.usual = "10 Mohm",
	.rig = "meter.resistance",
	.low = 1e3,
	.high = 1e12,
    },
};

/* UN R100, 5.1.3.1; ISO 6469-4, 5.2.3. */
static const double DC_LIMIT = 100, AC_LIMIT = 500; /* ohm/V */
/* Three readings of 0.5 % each may be off together by so much of the pack. */
static const double METER_OFF = 0.01;

struct readings {
	double v1;
	double v2;
	double pack;
	double with; /* below zero: not given */
	bool minus;  /* V1 is the larger one */
};

static enum lw_status
check(struct reckon *reckon, struct readings *readings, struct lw_err *err)
{
	const struct lw_quantity *with = reckon_quantity(reckon, "with");
	const struct lw_quantity *resistor =
	    reckon_quantity(reckon, "resistor");
	double larger;

	readings->v1 = reckon_quantity(reckon, "v1")->value;
	readings->v2 = reckon_quantity(reckon, "v2")->value;
	readings->pack = reckon_quantity(reckon, "pack")->value;
	readings->minus = readings->v1 >= readings->v2;
	readings->with = with == NULL ? -1 : with->value;
	if (with == NULL && resistor == NULL)
		return LW_OK;
	if (resistor == NULL)
		return reckon_refuse(reckon, "resistor", err,
		    "this is needed beside \"with\": the resistor that was "
		    "put in, in ohm");
	if (with == NULL)
		return reckon_refuse(reckon, "with", err,
		    "this is needed beside \"resistor\": the larger voltage, "
		    "with it in place");
	larger = readings->minus ? readings->v1 : readings->v2;
	if (with->value >= larger)
		return reckon_refuse(reckon, "with", err,
		    "the resistor can only bring %s down, from %s; measure "
		    "both again, at the side that read more",
		    readings->minus ? "V1" : "V2",
		    reckon_text(reckon, readings->minus ? "v1" : "v2"));
	return LW_OK;
}

/* --- three voltages ------------------------------------------------------ */

static enum lw_status
work_three(struct reckon *reckon, const struct readings *readings, double *ohms,
    struct lw_err *err)
{
	enum lw_status status;
	double value;

	status = reckon_formula(reckon, ohms, "isolation",
	    "Isolation resistance, by UN R100", "ohm",
	    readings->minus ? "isolation_ohms(pack, v1, with, resistor)"
			    : "isolation_ohms(pack, v2, with, resistor)",
	    err);
	if (status == LW_OK)
		status = reckon_formula(reckon, &value, "isolation-fmvss",
		    "Isolation resistance, by 49 CFR 571.305", "ohm",
		    readings->minus
			? "resistor * (1 + v2 / v1) * (v1 - with) / with"
			: "resistor * (1 + v1 / v2) * (v2 - with) / with",
		    err);
	if (status == LW_OK)
		status = reckon_formula(reckon, &value, "forms-ratio",
		    "The second form as a share of the first", "%",
		    "(v1 + v2) / pack", err);
	return status;
}

static void
remark_forms(struct reckon *reckon, const struct readings *readings)
{
	double ratio = (readings->v1 + readings->v2) / readings->pack;

	reckon_remark(reckon,
	    "The two published forms differ by (V1 + V2) / pack, here %s. An "
	    "ideal meter makes it 100 %%: then V1 and V2 add up to the pack. "
	    "A real meter's own resistance loads what it measures, the sum is "
	    "less, and the form of 49 CFR 571.305 reads low by that; the one "
	    "of UN R100 puts the pack's voltage in its place and does not.",
	    reckon_say(reckon, ratio, "%"));
	if (ratio > 1.03)
		reckon_remark(reckon,
		    "V1 and V2 together are more than the pack, which cannot "
		    "be: the pack's voltage moved meanwhile, or a reading is "
		    "wrong. Measure all again.");
	if (reckon_quantity(reckon, "meter")->value < 10e6 * 0.99)
		reckon_remark(reckon,
		    "Both standards ask for a meter of at least 10 Mohm.");
}

/* --- two voltages -------------------------------------------------------- */

static enum lw_status
work_two(struct reckon *reckon, const struct readings *readings, double *ohms,
    struct lw_err *err)
{
	enum lw_status status;
	double value, lost;

	status = reckon_formula(reckon, &value, "isolation-plus",
	    "From plus to chassis", "ohm", "leak_ohms(meter, pack, v1, v2)",
	    err);
	if (status == LW_OK)
		status = reckon_formula(reckon, &value, "isolation-minus",
		    "From minus to chassis", "ohm",
		    "leak_ohms(meter, pack, v2, v1)", err);
	if (status == LW_OK)
		status = reckon_formula(reckon, ohms, "isolation",
		    "Isolation resistance: the lower of both", "ohm",
		    readings->minus ? "isolation_plus" : "isolation_minus",
		    err);
	reckon_remark(reckon,
	    "It is in proportion to the meter's own resistance, taken as %s: "
	    "look that up, and use no range of low impedance.",
	    reckon_plain(reckon, "meter"));
	lost = readings->pack - readings->v1 - readings->v2;
	if (lost < 5 * METER_OFF * readings->pack)
		reckon_remark(reckon,
		    "This rests on the %s by which V1 and V2 fall short of the "
		    "pack, and a meter may well be off by %s there: take it as "
		    "a rough figure. With a known resistor of about %s it "
		    "comes out far better.",
		    reckon_say(reckon, lost, "V"),
		    reckon_say(reckon, METER_OFF * readings->pack, "V"),
		    reckon_say(reckon, AC_LIMIT * readings->pack, "ohm"));
	return status;
}

static bool
two_can_tell(const struct readings *readings)
{
	return readings->v1 > 0 && readings->v2 > 0 &&
	       readings->v1 + readings->v2 < readings->pack;
}

/* --- what it means ------------------------------------------------------- */

static void
say_verdict(struct reckon *reckon, double per_volt)
{
	if (per_volt < DC_LIMIT)
		reckon_words(reckon, "verdict", "Verdict",
		    "too low: less than the 100 ohm/V that are asked of a DC "
		    "circuit");
	else if (per_volt < AC_LIMIT)
		reckon_words(reckon, "verdict", "Verdict",
		    "enough for a DC circuit (100 ohm/V), too low where "
		    "AC is joined to it (500 ohm/V)");
	else
		reckon_words(reckon, "verdict", "Verdict",
		    "enough: above 100 ohm/V for DC and 500 ohm/V for AC");
}

/* By two voltages it is told from what they fall short of the pack, so the
 * verdict is on the least that it can be with a meter that is off. */
static enum lw_status
judge(struct reckon *reckon, const struct readings *readings, double ohms,
    struct lw_err *err)
{
	double value, lost, least = ohms;
	enum lw_status status;

	status = reckon_formula(reckon, &value, "ohm-per-volt",
	    "For each volt of the pack", "ohm/V", "isolation / pack", err);
	if (status != LW_OK)
		return status;
	lost = readings->pack - readings->v1 - readings->v2;
	if (readings->with < 0)
		least = ohms * (lost - METER_OFF * readings->pack) / lost;
	if (readings->with < 0 && least < DC_LIMIT * readings->pack)
		reckon_words(reckon, "verdict", "Verdict",
		    "not to be told from two voltages: they fall short of the "
		    "pack by %s, and the meter may be off by as much; it takes "
		    "a known resistor",
		    reckon_say(reckon, lost, "V"));
	else
		say_verdict(reckon, least / readings->pack);
	return LW_OK;
}

/* Nothing to divide by. */
static void
say_beyond(struct reckon *reckon, const struct readings *readings)
{
	bool nothing = readings->v1 == 0 && readings->v2 == 0;
	bool hard = !nothing && readings->with < 0 &&
		    (readings->v1 == 0 || readings->v2 == 0);

	if (readings->with == 0) {
		reckon_words(reckon, "isolation", "Isolation resistance",
		    "too high to tell");
		reckon_words(reckon, "verdict", "Verdict",
		    "not proved: 0 V is also what a probe without contact "
		    "reads; try the meter on the pack, then measure again");
		return;
	}
	reckon_words(reckon, "isolation", "Isolation resistance",
	    "not to be told from these readings");
	if (nothing)
		reckon_words(reckon, "verdict", "Verdict",
		    "nothing leaks, or a probe had no contact: try the meter "
		    "on the pack, then measure again");
	else if (hard)
		reckon_words(reckon, "verdict", "Verdict",
		    "%s seems to be tied to the chassis",
		    readings->v2 == 0 ? "plus" : "minus");
	else
		reckon_words(reckon, "verdict", "Verdict",
		    "far less than the meter's own resistance: V1 and V2 add "
		    "up to the pack, so it takes a known resistor to tell");
}

static void
remark_side(
    struct reckon *reckon, const struct readings *readings, bool may_be_hard)
{
	double larger = readings->minus ? readings->v1 : readings->v2;
	double smaller = readings->minus ? readings->v2 : readings->v1;
	const char *side = readings->minus ? "plus" : "minus";

	if (may_be_hard && larger > 0.95 * readings->pack &&
	    smaller < 0.05 * readings->pack)
		reckon_remark(reckon,
		    "The chassis is at nearly the voltage of %s: %s is tied "
		    "hard to it, by a fault or because the vehicle is made "
		    "that way.",
		    side, side);
	else if (larger > 1.1 * smaller)
		reckon_remark(reckon,
		    "More of it leaks from the %s side: there the voltage to "
		    "the chassis is the smaller one.",
		    side);
}

/* What the method cannot say. */
static void
remark_limits(struct reckon *reckon, const struct readings *readings)
{
	static const double SMALL = 0.5; /* W, of a common resistor */
	const struct lw_quantity *resistor =
	    reckon_quantity(reckon, "resistor");
	double watts = resistor == NULL
			   ? 0
			   : readings->pack * readings->pack / resistor->value;

	if (watts > SMALL)
		reckon_remark(reckon,
		    "Where the other side is tied to the chassis, the resistor "
		    "takes %s: it has to be made for that, and is put in with "
		    "insulated clips.",
		    reckon_say(reckon, watts, "W"));
	reckon_remark(reckon,
	    "It holds for what was connected, as dry as it was: behind an "
	    "open contactor, controller and motor are not in it. It never "
	    "makes a pole of the pack safe to touch.");
}

static void
add_sources(struct reckon *reckon)
{
	reckon_remark(reckon,
	    "Both forms are made for road vehicles above 60 V DC; for smaller "
	    "ones the method is borrowed.");
	reckon_source(reckon, "49 CFR 571.305 (FMVSS 305): "
			      "Ri = Ro (1 + V2/V1) (V1 - V1') / V1'");
	reckon_source(reckon, "UN R100, annex on isolation resistance: "
			      "Ri = Ro Vb (1/V1' - 1/V1)");
	reckon_source(reckon, "100 ohm/V for DC, 500 ohm/V for AC: UN R100, "
			      "5.1.3.1; ISO 6469-4, 5.2.3");
}

static enum lw_status
run(struct reckon *reckon, struct lw_err *err)
{
	struct readings readings;
	enum lw_status status;
	bool told;
	double ohms = 0;

	status = check(reckon, &readings, err);
	if (status != LW_OK)
		return status;
	told =
	    readings.with > 0 || (readings.with < 0 && two_can_tell(&readings));
	if (readings.with > 0)
		status = work_three(reckon, &readings, &ohms, err);
	else if (told)
		status = work_two(reckon, &readings, &ohms, err);
	if (status == LW_OK && told)
		status = judge(reckon, &readings, ohms, err);
	if (status != LW_OK)
		return status;
	if (!told)
		say_beyond(reckon, &readings);
	if (readings.with > 0)
		remark_forms(reckon, &readings);
	remark_side(
	    reckon, &readings, !told || ohms < DC_LIMIT * readings.pack);
	if (readings.with < 0)
		reckon_source(reckon,
		    "two voltages and a known meter: the meter's resistance "
		    "and both leaks as a divider");
	remark_limits(reckon, &readings);
	add_sources(reckon);
	return LW_OK;
}

const struct reckoner reckon_isolation = {
    .face =
	{
	    .name = "isolation",
	    .title = "Isolation",
	    .summary = "How well pack and chassis are kept apart, from two "
		       "or three voltages",
	    .inputs = inputs,
	    .input_count = sizeof inputs / sizeof inputs[0],
	    .example = "v1=54V v2=18V pack=72V resistor=36k with=29.45V",
	},
    .run = run,
};
