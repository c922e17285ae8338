/* How far a reading may be off by its meter, and whether it keeps a limit. What
 * percent and counts make of it is that of meter/accuracy.c, the judgement
 * that of meter/verdict.c. */
#include "meter/accuracy.h"
#include "meter/reckon.h"
#include "meter/verdict.h"

#include "base/num.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

static const char *const sides[] = {"most", "least", NULL};
static const char *const side_titles[] = {
    "at most: it may not be above", "at least: it may not be below", NULL};

static const struct lw_reckon_input inputs[] = {
    {
	.key = "reading",
	.title = "What the meter reads",
	.help = "With its unit and every digit that is shown: 48.00 V is "
		"finer than 48.0 V.",
	.needed = true,
    },
    {
	.key = "accuracy",
	.title = "Accuracy of the meter",
	.help = "By its papers, for that range: percent of the reading and "
		"counts of the last digit.",
	.usual = "0.5 % + 2",
    },
    {
	.key = "resolution",
	.title = "One count of the last digit",
	.help = "Left out: by the digits of the reading.",
    },
    {
	.key = "limit",
	.title = "Limit to compare with",
	.help = "In the same unit.",
    },
    {
	.key = "side",
	.title = "What the limit is",
	.help = "The most or the least that it may be.",
	.words = sides,
	.word_titles = side_titles,
	.usual = "most",
    },
};

/* Hand-held meters count no further, for the most part. */
static const double COUNTS_MOST = 60000;
static const double MOST = 1e12; /* in SI */

struct metered {
	const char *unit;
	struct accuracy accuracy;
	double reading;
	double step;
	double expanded;
};

/* --- what was given ---------------------------------------------------------
 */

static enum lw_status
take_reading(struct metered *metered, struct reckon *reckon, struct lw_err *err)
{
	const char *text = reckon_text(reckon, "reading");
	const struct lw_quantity *of;
	struct lw_quantity first;
	struct lw_err why;
	enum lw_status status;

	if (lw_quantity_parse(&first, text, NULL, &why) != LW_OK)
		return reckon_refuse(reckon, "reading", err, "%s", why.text);
	metered->unit = first.unit;
	if (fabs(first.value) > MOST)
		return reckon_refuse(reckon, "reading", err,
		    "no meter reads so much; look at the unit");
	if (first.toleranced)
		return reckon_refuse(reckon, "reading", err,
		    "a reading has no tolerance; what its meter may be off is "
		    "given as accuracy");
	if (first.dimension.k != 0 || strcmp(first.unit, "AWG") == 0)
		return reckon_refuse(reckon, "reading", err,
		    "percent and counts are for volts, amps, ohms and the "
		    "like; of a temperature or a wire size they say nothing");
	status = reckon_take(reckon, "reading", metered->unit, 0, 0, NULL, err);
	if (status != LW_OK)
		return status;
	of = reckon_quantity(reckon, "reading");
	metered->reading = of->value;
	metered->step = of->step;
	return LW_OK;
}

static enum lw_status
take_resolution(
    struct metered *metered, struct reckon *reckon, struct lw_err *err)
{
	const struct lw_quantity *resolution;
	enum lw_status status;

	status =
	    reckon_take(reckon, "resolution", metered->unit, 0, 0, NULL, err);
	if (status != LW_OK)
		return status;
	resolution = reckon_quantity(reckon, "resolution");
	if (resolution != NULL &&
	    (!(resolution->value > 0) || resolution->value > MOST))
		return reckon_refuse(reckon, "resolution", err,
		    "one count of the last digit is above zero, like 0.01 V");
	if (resolution != NULL)
		metered->step = resolution->value;
	return LW_OK;
}

static enum lw_status
take_all(struct metered *metered, struct reckon *reckon, struct lw_err *err)
{
	enum lw_status status = take_reading(metered, reckon, err);
	struct lw_err why;

	if (status == LW_OK)
		status = take_resolution(metered, reckon, err);
	if (status == LW_OK)
		status = reckon_take(
		    reckon, "limit", metered->unit, 0, 0, NULL, err);
	if (status != LW_OK)
		return status;
	if (accuracy_parse(&metered->accuracy, reckon_text(reckon, "accuracy"),
		&why) != LW_OK)
		return reckon_refuse(reckon, "accuracy", err, "%s", why.text);
	return LW_OK;
}

/* --- how far it may be off --------------------------------------------------
 */

static enum lw_status
work(struct metered *metered, struct reckon *reckon, struct lw_err *err)
{
	char formula[160], percent[32], counts[32];
	const char *unit = metered->unit;
	enum lw_status status;
	double value;

	num_format(percent, sizeof percent, metered->accuracy.percent);
	num_format(counts, sizeof counts, metered->accuracy.counts);
	snprintf(formula, sizeof formula, "%s %% * abs(reading) + %s * count",
	    percent, counts);
	reckon_number(reckon, "count", "One count of the last digit",
	    metered->step, unit, NULL);
	status = reckon_formula(reckon, &value, "limit-of-error",
	    "What it may be off by its papers", unit, formula, err);
	if (status == LW_OK)
		status = reckon_formula(reckon, &value, "standard-uncertainty",
		    "Standard uncertainty u", unit, "limit_of_error / sqrt(3)",
		    err);
	if (status == LW_OK)
		status = reckon_formula(reckon, &metered->expanded,
		    "expanded-uncertainty", "Expanded uncertainty U", unit,
		    "2 * limit_of_error / sqrt(3)", err);
	if (status == LW_OK)
		status = reckon_formula(reckon, &value, "lowest",
		    "Lowest that it may be", unit,
		    "reading - expanded_uncertainty", err);
	if (status == LW_OK)
		status = reckon_formula(reckon, &value, "highest",
		    "Highest that it may be", unit,
		    "reading + expanded_uncertainty", err);
	if (status != LW_OK)
		return status;
	reckon_source(reckon,
	    "percent and counts as a rectangular distribution, u = a / sqrt 3: "
	    "JCGM 100:2008 (GUM), from memory");
	reckon_source(reckon, "U = 2 u: NIST TN 1297, section 6");
	return LW_OK;
}

/* --- the limit ---------------------------------------------------------------
 */

/* The coarsest step, in powers of ten, at which it would be clear; 0: none
 * that a hand-held meter has. */
static double
clear_step(const struct metered *metered, double margin)
{
	double step;

	if (!(metered->step > 0))
		return 0;
	for (step = metered->step / 10;
	     fabs(metered->reading) / step <= COUNTS_MOST; step /= 10)
		if (accuracy_expanded(
			&metered->accuracy, metered->reading, step) < margin)
			return step;
	return 0;
}

static void
remark_settle(
    struct reckon *reckon, const struct metered *metered, double margin)
{
	double step = clear_step(metered, margin);

	if (step > 0)
		reckon_remark(reckon,
		    "A range that shows steps of %s would settle it, at the "
		    "same accuracy.",
		    reckon_say(reckon, step, metered->unit));
	if (margin > 0)
		reckon_remark(reckon,
		    "%s a meter whose U is below %s would settle it.",
		    step > 0 ? "Otherwise" : "No finer range does;",
		    reckon_say(reckon, margin, metered->unit));
	else
		reckon_remark(reckon,
		    "It lies right on the limit: no meter settles that. Read "
		    "again, or do what the limit is for.");
}

static void
judge(struct reckon *reckon, const struct metered *metered)
{
	const struct lw_quantity *limit = reckon_quantity(reckon, "limit");
	bool most = strcmp(reckon_text(reckon, "side"), "most") == 0;
	struct verdict_band bands[2] = {{.below.there = true}};
	struct verdict verdict;
	double margin, edge;

	if (limit == NULL)
		return;
	/* The limit itself is kept: bands end just above the most. */
	edge = most ? nextafter(limit->value, INFINITY) : limit->value;
	bands[0].below.low = bands[0].below.high = edge;
	bands[1].from = bands[0].below;
	verdict_judge(&verdict, bands, 2, metered->reading, metered->expanded);
	margin = metered->reading == limit->value ? 0 : verdict.margin;
	reckon_number(reckon, "margin", "From the reading to the limit",
	    fabs(limit->value - metered->reading), metered->unit, NULL);
	if (verdict.close)
		reckon_words(reckon, "verdict", "Verdict", "undecided");
	else
		reckon_words(reckon, "verdict", "Verdict",
		    (verdict.band == 0) == most ? "pass" : "fail");
	if (verdict.close)
		remark_settle(reckon, metered, margin);
	reckon_source(reckon,
	    "pass where y + U keeps the limit, fail where y - U is beyond it, "
	    "otherwise undecided: ISO 14253-1");
}

static void
remark_share(struct reckon *reckon, const struct metered *metered)
{
	double share;

	if (!(fabs(metered->reading) > 0))
		return;
	share =
	    metered->accuracy.counts * metered->step / fabs(metered->reading);
	if (metered->step > 0 && share > metered->accuracy.percent / 100)
		reckon_remark(reckon,
		    "The counts weigh more than the percent here: a finer "
		    "range would tell more, if there is one.");
}

static enum lw_status
run(struct reckon *reckon, struct lw_err *err)
{
	struct metered metered = {.step = 0};
	enum lw_status status = take_all(&metered, reckon, err);

	if (status == LW_OK)
		status = work(&metered, reckon, err);
	if (status != LW_OK)
		return status;
	judge(reckon, &metered);
	remark_share(reckon, &metered);
	reckon_remark(reckon,
	    "Only what the meter adds: probes, contacts, and what the meter "
	    "draws come on top. The papers' figure holds for a year or so "
	    "after it was calibrated, at about 23 degC.");
	return LW_OK;
}

const struct reckoner reckon_meter = {
    .face =
	{
	    .name = "meter",
	    .title = "Accuracy of a reading",
	    .summary = "How far a meter's reading may be off, and whether it "
		       "keeps a limit",
	    .inputs = inputs,
	    .input_count = sizeof inputs / sizeof inputs[0],
	    .example = "reading=0.198V accuracy=0.5%+2 limit=0.200V",
	},
    .run = run,
};
