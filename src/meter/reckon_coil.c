/* A contactor's coil, cold and hot: current, resistance, and where it pulls in
 * and lets go. Coils with electronics inside are left to their makers. */
#include "meter/reckon.h"

#include <stdbool.h>
#include <stddef.h>
#include <string.h>

static const struct lw_reckon_input inputs[] = {
    {
	.key = "volts",
	.title = "Rated voltage of the coil",
	.help = "On the contactor's plate or beside the coil's terminals.",
	.unit = "V",
	.needed = true,
	.rig = "contactor.volts",
	.low = 1,
	.high = 1000,
    },
    {
	.key = "watts",
	.title = "Power of the coil",
	.help = "By the contactor's papers, cold. This, ohms, or both.",
	.unit = "W",
	.rig = "contactor.watts",
	.low = 0.01,
	.high = 1000,
    },
    {
	.key = "ohms",
	.title = "Resistance of the coil",
	.help = "As it was measured, at the temperature below.",
	.unit = "ohm",
	.low = 0.1,
	.high = 1e6,
    },
    {
	.key = "cold",
	.title = "Temperature of the coil when cold",
	.help = "That at which the ohms were measured.",
	.unit = "degC",
	.usual = "20 degC",
	.low = -40,
	.high = 120,
    },
    {
	.key = "hot",
	.title = "Temperature of the coil when hot",
	.help = "After an hour of driving; a coil is often too hot to touch.",
	.unit = "degC",
	.usual = "80 degC",
	.low = -40,
	.high = 200,
    },
    {
	.key = "supply",
	.title = "Lowest voltage that reaches the coil",
	.help = "Measured at its terminals while it pulls in.",
	.unit = "V",
	.low = 0.1,
	.high = 1000,
    },
};

/* A coil that is further off than this is another one. */
static const double OFF_BY = 0.15;

struct coil {
	bool rated;    /* its power is known */
	bool measured; /* its ohms are */
	double cold;   /* ohms by its rating */
	double pull_in_hot;
};

/* A formula over the coil's resistance at a temperature. */
struct form {
	const char *name;
	const char *title;
	const char *unit;
	const char *measured; /* by the ohms; NULL: the same as by the rating */
	const char *rated;
};

static const struct form forms[] = {
    {"current-cold", "Current when cold", "A", "volts / ohms",
	"volts / ohms_expected"},
    {"power-cold", "Power when cold", "W", "volts^2 / ohms",
	"volts^2 / ohms_expected"},
    {"ohms-hot", "Resistance when hot", "ohm", "copper_at(ohms, cold, hot)",
	"copper_at(ohms_expected, cold, hot)"},
    {"current-hot", "Current when hot", "A", NULL, "volts / ohms_hot"},
    {"power-hot", "Power when hot", "W", NULL, "volts^2 / ohms_hot"},
    {"pull-in", "Pulls in at, when cold", "V", NULL, "0.75 * volts"},
    {"pull-in-hot", "Pulls in at, when hot", "V", NULL,
	"0.75 * volts * copper_at(1 ohm, 20 degC, hot) / 1 ohm"},
    {"drop-out", "Lets go below", "V", NULL, "0.1 * volts"},
};

static enum lw_status
check(struct coil *coil, const struct reckon *reckon, struct lw_err *err)
{
	coil->rated = reckon_quantity(reckon, "watts") != NULL;
	coil->measured = reckon_quantity(reckon, "ohms") != NULL;
	if (!coil->rated && !coil->measured)
		return reckon_refuse(reckon, "watts", err,
		    "this or ohms is needed, like watts=15W; a coil's papers "
		    "say the one, a meter the other");
	return LW_OK;
}

static enum lw_status
work(struct coil *coil, struct reckon *reckon, struct lw_err *err)
{
	enum lw_status status = LW_OK;
	const struct form *form;
	double value;
	size_t i;

	/* Ratings hold at 20 degC. */
	if (coil->rated)
		status = reckon_formula(reckon, &coil->cold, "ohms-expected",
		    "Resistance by its rating, cold", "ohm",
		    "copper_at(volts^2 / watts, 20 degC, cold)", err);
	for (i = 0; i < sizeof forms / sizeof forms[0] && status == LW_OK;
	     i++) {
		form = &forms[i];
		status = reckon_formula(reckon, &value, form->name, form->title,
		    form->unit,
		    coil->measured && form->measured != NULL ? form->measured
							     : form->rated,
		    err);
		if (strcmp(form->name, "pull-in-hot") == 0)
			coil->pull_in_hot = value;
	}
	return status;
}

static void
say_verdict(struct reckon *reckon, const struct coil *coil)
{
	double ohms = reckon_quantity(reckon, "ohms")->value;

	if (ohms < coil->cold * (1 - OFF_BY)) {
		reckon_words(
		    reckon, "verdict", "Verdict", "lower than its rating says");
		reckon_remark(reckon,
		    "Turns are shorted, or it is another coil: it draws more, "
		    "grows hotter, and may burn what drives it.");
	} else if (ohms > coil->cold * (1 + OFF_BY)) {
		reckon_words(reckon, "verdict", "Verdict",
		    "higher than its rating says");
		reckon_remark(reckon,
		    "The coil is warm still, it is another one, or a joint or "
		    "plug in between has resistance: measure at the coil "
		    "itself.");
	} else {
		reckon_words(
		    reckon, "verdict", "Verdict", "as its rating says");
	}
}

static void
remark_supply(struct reckon *reckon, const struct coil *coil)
{
	const struct lw_quantity *supply = reckon_quantity(reckon, "supply");
	double volts = reckon_quantity(reckon, "volts")->value;

	if (supply == NULL)
		return;
	if (supply->value < 0.75 * volts)
		reckon_remark(reckon,
		    "%s is too low: even a cold coil may not pull in.",
		    reckon_text(reckon, "supply"));
	else if (supply->value < coil->pull_in_hot)
		reckon_remark(reckon,
		    "%s pulls in a cold coil, and may not pull in a hot one: "
		    "a fault that comes with driving and goes with a rest.",
		    reckon_text(reckon, "supply"));
	else
		reckon_remark(reckon, "%s pulls it in, cold and hot.",
		    reckon_text(reckon, "supply"));
}

static enum lw_status
run(struct reckon *reckon, struct lw_err *err)
{
	struct coil coil = {.cold = 0};
	enum lw_status status = check(&coil, reckon, err);

	if (status == LW_OK)
		status = work(&coil, reckon, err);
	if (status != LW_OK)
		return status;
	if (coil.rated && coil.measured)
		say_verdict(reckon, &coil);
	remark_supply(reckon, &coil);
	reckon_remark(reckon,
	    "What pulls is current, so a hot coil, which has more resistance, "
	    "needs more volts.");
	reckon_remark(reckon,
	    "That is for a plain coil. One with electronics in it, or driven "
	    "in pulses after it has pulled in, shows other ohms and amps. A "
	    "diode across it stands with its cathode (the ring) to plus; "
	    "measured backwards it hides the coil.");
	reckon_source(reckon,
	    "copper: (234.5 + hot) / (234.5 + cold), in degC; IEC 60028, from "
	    "memory");
	reckon_source(reckon,
	    "pulls in by 75 %, lets go not before 10 % of its rated voltage: "
	    "common practice");
	return LW_OK;
}

const struct reckoner reckon_coil = {
    .face =
	{
	    .name = "coil",
	    .title = "Contactor coil",
	    .summary = "Current and resistance cold and hot, and the voltage "
		       "at which it pulls in and lets go",
	    .inputs = inputs,
	    .input_count = sizeof inputs / sizeof inputs[0],
	    .example = "volts=48V watts=15W",
	},
    .run = run,
};
