/* A resistor by its colour bands, its code or its value: what it may measure,
 * and which preferred value it is. Reading what stands on it is left to
 * meter/marking. */
#include "meter/accuracy.h"
#include "meter/marking.h"
#include "meter/preferred.h"
#include "meter/reckon.h"
#include "meter/verdict.h"

#include "base/buf.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

static const struct lw_reckon_input inputs[] = {
    {
	.key = "bands",
	.title = "Colour bands",
	.help = "Three to six, from the end where they stand closer together "
		"or nearer to the edge: yellow, violet, red, gold.",
    },
    {
	.key = "code",
	.title = "Code on it",
	.help = "With R, K or M where the point is: 4K7, R47, 470RJ; or "
		"three or four digits on a chip.",
    },
    {
	.key = "value",
	.title = "Value",
	.help = "With its tolerance, where it is known: 470 ohm 5 %.",
	.unit = "ohm",
	.low = 1e-3,
	.high = 1e12,
    },
    {
	.key = "measured",
	.title = "What the meter reads",
	.help = "With one end of it off the circuit, proved dead.",
	.unit = "ohm",
	.high = 1e12,
    },
    {
	.key = "accuracy",
	.title = "Accuracy of the meter on ohms",
	.help = "By its papers: percent of the reading and counts of the "
		"last digit, like 0.9 % + 2.",
	.rig = "meter.ohms",
    },
};

static const char *const series_names[PREFERRED_SERIES] = {
    "E3", "E6", "E12", "E24", "E48", "E96", "E192"};
static const double SMALL_TOLERANCE = 0.02; /* from there on three digits */

struct identity {
	double ohms;
	double low;
	double high;
	double tolerance; /* a share; below 0 where none is known */
	bool uneven;	  /* its tolerance is not the same both ways */
};

/* --- what it is ------------------------------------------------------------
 */

static enum lw_status
pass_on(struct reckon *reckon, const char *key, const struct lw_err *why,
    struct lw_err *err)
{
	return reckon_refuse(reckon, key, err, "%s", why->text);
}

static void
take_marking(struct identity *identity, const struct marking *marking)
{
	double off =
	    marking->tolerance < 0 ? 0 : marking->tolerance * marking->ohms;

	identity->ohms = marking->ohms;
	identity->tolerance = marking->tolerance;
	identity->low = marking->ohms - off;
	identity->high = marking->ohms + off;
}

/* Whether a value is in the series that its tolerance goes with. */
static bool
is_usual(const struct marking *marking)
{
	size_t i, most = marking->tolerance <= SMALL_TOLERANCE ? 7 : 4;

	if (!(marking->ohms > 0))
		return false;
	for (i = 0; i < most; i++)
		if (preferred_has(preferred_series[i], marking->ohms))
			return true;
	return false;
}

static void
remark_other_end(struct reckon *reckon, const struct marking_bands *bands,
    const struct marking *marking)
{
	struct marking back;

	if (marking_of_bands(&back, bands, true, NULL) != LW_OK ||
	    (back.number == marking->number &&
		back.exponent == marking->exponent) ||
	    !is_usual(&back))
		return;
	if (is_usual(marking))
		reckon_remark(reckon,
		    "From the other end the bands would be %s, which is a "
		    "usual value too: the tolerance stands apart from the "
		    "others, or measure it.",
		    reckon_say(reckon, back.ohms, "ohm"));
	else
		reckon_remark(reckon,
		    "%s is no usual value for that tolerance. From the other "
		    "end the bands are %s, which is one: look which end they "
		    "begin at, or measure it.",
		    reckon_say(reckon, marking->ohms, "ohm"),
		    reckon_say(reckon, back.ohms, "ohm"));
}

static void
remark_bands(struct reckon *reckon, const struct marking_bands *bands,
    const struct marking *marking)
{
	remark_other_end(reckon, bands, marking);
	if (bands->count == 3)
		reckon_remark(reckon,
		    "No band for the tolerance means 20 %%. Of a newer "
		    "resistor look again: a band may be hard to see.");
	if (marking->tolerance > 0 && marking->tolerance < 0.00015)
		reckon_remark(reckon,
		    "A grey tolerance is 0.01 %% by the newer rule and was "
		    "0.05 %% before; far more often it is another band, "
		    "grown dull.");
	reckon_remark(reckon,
	    "Heat changes colours: red, brown and orange are taken for each "
	    "other. What was hot is measured, not read.");
	reckon_source(
	    reckon, "colour bands: IEC 60062 (2016 edition, from memory)");
}

static enum lw_status
by_bands(struct identity *identity, struct reckon *reckon, struct lw_err *err)
{
	struct marking_bands bands;
	struct marking marking;
	struct lw_err why;
	char formula[60];

	if (marking_bands_parse(&bands, reckon_text(reckon, "bands"), &why) !=
		LW_OK ||
	    marking_of_bands(&marking, &bands, false, &why) != LW_OK)
		return pass_on(reckon, "bands", &why, err);
	take_marking(identity, &marking);
	snprintf(formula, sizeof formula, "%d * 10^%d ohm", marking.number,
	    marking.exponent);
	reckon_number(
	    reckon, "resistance", "Resistance", marking.ohms, "ohm", formula);
	if (marking.ppm > 0)
		reckon_words(reckon, "temperature-coefficient",
		    "Change with temperature", "%d ppm/K", (int)marking.ppm);
	remark_bands(reckon, &bands, &marking);
	return LW_OK;
}

static enum lw_status
by_code(struct identity *identity, struct reckon *reckon, struct lw_err *err)
{
	const char *code = reckon_text(reckon, "code");
	struct marking marking;
	struct lw_err why;
	char formula[60];

	if (marking_of_code(&marking, code, &why) != LW_OK)
		return pass_on(reckon, "code", &why, err);
	take_marking(identity, &marking);
	snprintf(formula, sizeof formula, "%d * 10^%d ohm", marking.number,
	    marking.exponent);
	reckon_number(reckon, "resistance", "Resistance", marking.ohms, "ohm",
	    marking.digits ? formula : NULL);
	if (marking.digits)
		reckon_remark(reckon,
		    "%s is read as a chip is marked: the last digit is how "
		    "many zeros follow. Where it is the value itself, give it "
		    "as value.",
		    code);
	else if (marking.tolerance < 0 && marking.ohms > 0)
		reckon_remark(reckon,
		    "The code says no tolerance; a letter after it would, "
		    "such as F for 1 %%, J for 5 %%, K for 10 %%.");
	reckon_source(reckon, marking.digits
				  ? "digits on chip resistors: common practice"
				  : "RKM code: IEC 60062");
	return LW_OK;
}

static enum lw_status
by_value(struct identity *identity, struct reckon *reckon)
{
	const struct lw_quantity *value = reckon_quantity(reckon, "value");
	double up = value->high / value->value - 1;
	double down = 1 - value->low / value->value;

	identity->ohms = value->value;
	identity->low = value->low;
	identity->high = value->high;
	identity->uneven = fabs(up - down) > 1e-9;
	identity->tolerance = value->toleranced ? round(up * 1e9) / 1e9 : -1;
	reckon_number(
	    reckon, "resistance", "Resistance", value->value, "ohm", NULL);
	return LW_OK;
}

static enum lw_status
identify(struct identity *identity, struct reckon *reckon, struct lw_err *err)
{
	bool bands = reckon_text(reckon, "bands") != NULL;
	bool code = reckon_text(reckon, "code") != NULL;
	bool value = reckon_text(reckon, "value") != NULL;

	if (!bands && !code && !value)
		return reckon_refuse(reckon, "bands", err,
		    "this, code or value is needed, like bands="
		    "yellow,violet,red,gold or code=4K7");
	if (bands + code + value > 1)
		return reckon_refuse(reckon, bands ? "bands" : "code", err,
		    "of bands, code and value only one is taken at a time");
	if (bands)
		return by_bands(identity, reckon, err);
	return code ? by_code(identity, reckon, err)
		    : by_value(identity, reckon);
}

/* --- what follows ----------------------------------------------------------
 */

static enum lw_status
say_range(
    struct reckon *reckon, const struct identity *identity, struct lw_err *err)
{
	enum lw_status status;
	double value;

	if (identity->tolerance < 0)
		return LW_OK;
	if (identity->uneven) {
		reckon_number(
		    reckon, "lowest", "Lowest", identity->low, "ohm", NULL);
		reckon_number(
		    reckon, "highest", "Highest", identity->high, "ohm", NULL);
		return LW_OK;
	}
	reckon_number(reckon, "tolerance", "Tolerance, up and down",
	    identity->tolerance, "%", NULL);
	status = reckon_formula(reckon, &value, "lowest", "Lowest", "ohm",
	    "resistance * (1 - tolerance)", err);
	if (status == LW_OK)
		status = reckon_formula(reckon, &value, "highest", "Highest",
		    "ohm", "resistance * (1 + tolerance)", err);
	return status;
}

static void
say_nearest(struct reckon *reckon, unsigned series, const char *name,
    const char *title, double ohms)
{
	double below, above;

	preferred_around(&below, &above, series, ohms);
	reckon_number(reckon, name, title,
	    ohms / below < above / ohms ? below : above, "ohm", NULL);
}

static void
remark_between(struct reckon *reckon, double ohms)
{
	double below, above;

	preferred_around(&below, &above, 24, ohms);
	reckon_remark(reckon,
	    "%s is in no E series, between %s and %s of E24. It is left as it "
	    "is: power resistors and makers' own values need not be in one, "
	    "and a measured value seldom is.",
	    reckon_say(reckon, ohms, "ohm"), reckon_say(reckon, below, "ohm"),
	    reckon_say(reckon, above, "ohm"));
}

static void
say_series(struct reckon *reckon, double ohms)
{
	struct buf list;
	size_t i;

	buf_init(&list, 100);
	for (i = 0; i < PREFERRED_SERIES; i++)
		if (preferred_has(preferred_series[i], ohms))
			buf_printf(&list, "%s%s", list.length == 0 ? "" : ", ",
			    series_names[i]);
	reckon_source(reckon, "E series: IEC 60063");
	if (list.length > 0) {
		reckon_words(reckon, "series", "E series that it is in", "%s",
		    buf_text(&list));
		buf_clear(&list);
		return;
	}
	buf_clear(&list);
	reckon_words(reckon, "series", "E series that it is in", "none");
	say_nearest(reckon, 12, "nearest-e12", "Nearest of E12", ohms);
	say_nearest(reckon, 24, "nearest-e24", "Nearest of E24", ohms);
	say_nearest(reckon, 96, "nearest-e96", "Nearest of E96", ohms);
	remark_between(reckon, ohms);
}

static void
say_marks(struct reckon *reckon, const struct identity *identity)
{
	double tolerance = identity->uneven ? -1 : identity->tolerance;
	char text[MARKING_MAX];

	marking_write_bands(text, identity->ohms, tolerance, 2);
	if (text[0] != '\0' && (tolerance < 0 || tolerance > SMALL_TOLERANCE))
		reckon_words(reckon, "bands-short", "Bands, with two digits",
		    "%s", text);
	marking_write_bands(text, identity->ohms, tolerance, 3);
	if (text[0] != '\0')
		reckon_words(reckon, "bands-long", "Bands, with three digits",
		    "%s", text);
	else
		reckon_remark(reckon,
		    "Colour bands cannot say %s: they have three digits and a "
		    "power of ten.",
		    reckon_say(reckon, identity->ohms, "ohm"));
	marking_write_code(text, identity->ohms, tolerance);
	if (text[0] != '\0')
		reckon_words(reckon, "marked", "Marked as", "%s", text);
	if (text[0] != '\0')
		reckon_source(reckon, "RKM code: IEC 60062");
}

/* --- what was measured ---------------------------------------------------- */

static void
say_verdict(struct reckon *reckon, const struct verdict *verdict,
    const struct lw_quantity *measured)
{
	static const char *const words[] = {
	    "below its range", "within its range", "above its range"};

	if (verdict->close)
		reckon_words(reckon, "verdict", "Verdict",
		    "too close to call: %s or %s", words[verdict->band],
		    words[verdict->other]);
	else
		reckon_words(
		    reckon, "verdict", "Verdict", "%s", words[verdict->band]);
	if (verdict->close)
		reckon_remark(reckon,
		    "A meter that is within %s would settle it.",
		    reckon_say(reckon, verdict->margin, "ohm"));
	if (verdict->band == 0)
		reckon_remark(reckon,
		    "%s is low: whatever lies beside it in the circuit lowers "
		    "a reading, so measure it with one end off.",
		    reckon_say(reckon, measured->value, "ohm"));
	if (verdict->band == 2)
		reckon_remark(reckon,
		    "%s is high: nothing beside it raises a reading, so it is "
		    "burnt, of another value, or the probes do not touch well.",
		    reckon_say(reckon, measured->value, "ohm"));
}

static enum lw_status
judge_measured(
    struct reckon *reckon, const struct identity *identity, struct lw_err *err)
{
	const struct lw_quantity *measured =
	    reckon_quantity(reckon, "measured");
	const char *stated = reckon_text(reckon, "accuracy");
	/* The highest that it may be is within. */
	const double above = nextafter(identity->high, INFINITY);
	const struct verdict_edge low = {true, identity->low, identity->low};
	const struct verdict_edge high = {true, above, above};
	const struct verdict_band bands[] = {
	    {.below = low}, {low, high}, {.from = high}};
	struct accuracy accuracy = {0, 0};
	struct verdict verdict;
	struct lw_err why;

	if (stated != NULL && accuracy_parse(&accuracy, stated, &why) != LW_OK)
		return pass_on(reckon, "accuracy", &why, err);
	if (measured == NULL)
		return LW_OK;
	if (identity->tolerance < 0) {
		reckon_remark(reckon,
		    "Without a tolerance it cannot be judged whether %s is "
		    "right.",
		    reckon_text(reckon, "measured"));
		return LW_OK;
	}
	verdict_judge(&verdict, bands, 3, measured->value,
	    accuracy_expanded(&accuracy, measured->value, measured->step));
	say_verdict(reckon, &verdict, measured);
	if (stated == NULL)
		reckon_remark(reckon,
		    "Judged as if the meter was exact; give its accuracy to "
		    "see what it leaves open.");
	else
		reckon_source(reckon, "judged by the rule of ISO 14253-1");
	return LW_OK;
}

static enum lw_status
run(struct reckon *reckon, struct lw_err *err)
{
	struct identity identity = {.tolerance = -1};
	enum lw_status status = identify(&identity, reckon, err);

	if (status != LW_OK)
		return status;
	if (!(identity.ohms > 0)) {
		reckon_remark(reckon,
		    "A link: a piece of wire in a resistor's body, to close a "
		    "gap on a board.");
		return LW_OK;
	}
	status = say_range(reckon, &identity, err);
	if (status != LW_OK)
		return status;
	say_series(reckon, identity.ohms);
	say_marks(reckon, &identity);
	return judge_measured(reckon, &identity, err);
}

const struct reckoner reckon_resistor = {
    .face =
	{
	    .name = "resistor",
	    .title = "Resistor by its marks",
	    .summary = "What colour bands or a code say, what it may measure, "
		       "and which preferred value it is",
	    .inputs = inputs,
	    .input_count = sizeof inputs / sizeof inputs[0],
	    .example = "bands=yellow,violet,red,gold",
	},
    .run = run,
};
