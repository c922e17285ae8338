/* What the voltage at rest says of a battery's charge, and what the pack has
 * at most and at least. Checks under load are left to the book. */
#include "meter/reckon.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

static const char *const kinds[] = {"lead", "lfp", "nmc", NULL};
static const char *const kind_titles[] = {"lead-acid",
    "lithium iron phosphate (LFP, LiFePO4)",
    "other lithium-ion (NMC and the like)", NULL};
static const char *const kinds_also[] = {"lead-acid", "lifepo4", "li-ion"};

static const struct lw_reckon_input inputs[] = {
    {
	.key = "kind",
	.title = "Kind of battery",
	.help = "Its label says so; lead-acid is heavy and often has caps or "
		"vents.",
	.words = kinds,
	.word_titles = kind_titles,
	.also = kinds_also,
	.needed = true,
	.rig = "pack.kind",
    },
    {
	.key = "volts",
	.title = "Voltage at rest",
	.help = "Of the pack, or of one block with blocks=1: some hours after "
		"charging or driving, nothing switched on. Left out: only "
		"what the pack has at most and at least.",
	.unit = "V",
	.low = 0.1,
	.high = 1000,
    },
    {
	.key = "cells",
	.title = "Cells in series",
	.help = "Lead-acid has six in a 12 V block. A lithium pack's label "
		"says so: 16S is sixteen.",
	.unit = "number",
	.rig = "pack.cells",
	.low = 1,
	.high = 400,
    },
    {
	.key = "blocks",
	.title = "Or 12 V lead-acid blocks in series",
	.help = "Goes before the number of cells.",
	.unit = "number",
	.low = 1,
	.high = 60,
    },
};

/* What a cell takes while it charges, and its low limit under load. Lead-acid
 * from memory, lithium by makers' common figures. */
static const struct kind {
	const char *word;
	const char *full; /* formulas over the cells */
	const char *nominal;
	const char *low;
	double least; /* of a cell that is none of that kind, or broken */
	double most;
	const char *source;
} chemistries[] = {
    {"lead", "2.45 V", "2 V", "1.75 V", 1.0, 2.8,
	"lead-acid 2.45 V a cell while charging, 1.75 V at least under load: "
	"from memory"},
    {"lfp", "3.65 V", "3.2 V", "2.5 V", 1.5, 4.2,
	"LFP 3.65 V a cell at most, 2.5 V at least (2.8 to 3.0 V in practice): "
	"cell makers' common figures"},
    {"nmc", "4.2 V", "3.6 V", "3 V", 1.5, 4.6,
	"NMC 4.20 V a cell at most, 3.0 V at least: cell makers' common "
	"figures"},
};

/* Volts of a lead-acid cell at rest, and the share of charge. */
struct point {
	double volts;
	double share;
};

/* SG + 0.845 for SG 1.120, 1.155, 1.190, 1.225, 1.265. */
static const struct point by_gravity[] = {
    {1.965, 0}, {2.000, 0.25}, {2.035, 0.5}, {2.070, 0.75}, {2.110, 1}};
/* A 12 V block: 11.7, 12.0, 12.2, 12.4, 12.6 V. */
static const struct point by_block[] = {{11.7 / 6, 0}, {12.0 / 6, 0.25},
    {12.2 / 6, 0.5}, {12.4 / 6, 0.75}, {12.6 / 6, 1}};
enum { POINTS = 5 };

/* A cell that rests above this was charged not long ago. */
static const double RESTED = 2.15;
/* LFP cells between 20 and 80 %. */
static const double PLATEAU_LOW = 3.27, PLATEAU_HIGH = 3.32;

static const struct kind *
find_kind(const char *word)
{
	size_t i;

	for (i = 0; i + 1 < sizeof chemistries / sizeof chemistries[0]; i++)
		if (strcmp(chemistries[i].word, word) == 0)
			break;
	return &chemistries[i];
}

static bool
is_whole(const struct lw_quantity *number)
{
	return fabs(number->value - round(number->value)) < 1e-9 &&
	       !number->toleranced;
}

/* How many cells, and the text that formulas have for it. */
static enum lw_status
count_cells(double *cells, const char **text, struct reckon *reckon,
    const struct kind *kind, struct lw_err *err)
{
	const struct lw_quantity *of = reckon_quantity(reckon, "cells");
	const struct lw_quantity *blocks = reckon_quantity(reckon, "blocks");

	if (of != NULL && !is_whole(of))
		return reckon_refuse(
		    reckon, "cells", err, "that is a whole number, like 24");
	if (blocks == NULL) {
		if (of == NULL)
			return reckon_refuse(reckon, "cells", err,
			    "this is needed: how many cells are in series, "
			    "like 24; or blocks, of 12 V");
		*cells = of->value;
		*text = "cells";
		return LW_OK;
	}
	if (!is_whole(blocks))
		return reckon_refuse(
		    reckon, "blocks", err, "that is a whole number, like 4");
	if (strcmp(kind->word, "lead") != 0)
		return reckon_refuse(reckon, "blocks", err,
		    "only lead-acid blocks have six cells; give the cells in "
		    "series instead");
	*cells = 6 * blocks->value;
	*text = "6 * blocks";
	if (of != NULL && fabs(of->value - *cells) > 0.5)
		reckon_remark(reckon,
		    "%s blocks of six cells are %s cells, and not the %s that "
		    "cells says; the blocks are taken.",
		    reckon_say(reckon, blocks->value, ""),
		    reckon_say(reckon, *cells, ""),
		    reckon_say(reckon, of->value, ""));
	return LW_OK;
}

static enum lw_status
say_of_cells(struct reckon *reckon, double *value, const char *name,
    const char *title, const char *cells, const char *volts, struct lw_err *err)
{
	char formula[60];

	snprintf(formula, sizeof formula, "%s * %s", cells, volts);
	return reckon_formula(reckon, value, name, title, "V", formula, err);
}

static enum lw_status
say_limits(struct reckon *reckon, const struct kind *kind, const char *cells,
    struct lw_err *err)
{
	enum lw_status status;
	double full, value;

	status = say_of_cells(reckon, &full, "full-voltage",
	    "Highest, while charging", cells, kind->full, err);
	if (status == LW_OK)
		status = say_of_cells(reckon, &value, "nominal-voltage",
		    "What it is called", cells, kind->nominal, err);
	if (status == LW_OK)
		status = say_of_cells(reckon, &value, "low-voltage",
		    "Lowest, under load", cells, kind->low, err);
	if (status != LW_OK)
		return status;
	reckon_source(reckon, kind->source);
	reckon_remark(reckon,
	    "The highest and lowest are common figures; those of the "
	    "battery's maker go before.");
	reckon_full_class(reckon, full);
	return LW_OK;
}

/* --- lead-acid ------------------------------------------------------------ */

/* By straight lines between the points; 0 and 1 beyond them. */
static double
share_at(const struct point *points, double volts)
{
	size_t i = 1;

	if (volts <= points[0].volts)
		return 0;
	if (volts >= points[POINTS - 1].volts)
		return 1;
	while (volts > points[i].volts)
		i++;
	return points[i - 1].share +
	       (volts - points[i - 1].volts) /
		   (points[i].volts - points[i - 1].volts) *
		   (points[i].share - points[i - 1].share);
}

static void
remark_lead(struct reckon *reckon, double cell)
{
	if (cell > RESTED)
		reckon_remark(reckon,
		    "%s a cell is more than a full battery has at rest: it is "
		    "being charged, or was not long ago, or the number of "
		    "cells is another.",
		    reckon_say(reckon, cell, "V"));
	if (cell < by_block[0].volts)
		reckon_remark(reckon,
		    "%s a cell at rest is empty: charge it soon, and look "
		    "whether one block is lower than the others, which would "
		    "be a cell that has failed.",
		    reckon_say(reckon, cell, "V"));
	reckon_remark(reckon,
	    "Only at rest and at about 25 degC: for hours after charging the "
	    "voltage is too high, after driving too low. Sealed batteries "
	    "rest a little higher than these; their maker's table goes "
	    "before.");
	reckon_remark(reckon,
	    "The two tables differ by up to 8 %%: a voltage is no finer gauge "
	    "than that. Charge is not health: a worn battery reads full as "
	    "well, and shows it under load.");
}

static enum lw_status
say_lead(struct reckon *reckon, double cell, struct lw_err *err)
{
	enum lw_status status;
	double gravity;

	status = reckon_formula(reckon, &gravity, "specific-gravity",
	    "Specific gravity that goes with it", "number",
	    "cell_voltage / 1 V - 0.845", err);
	if (status != LW_OK)
		return status;
	reckon_number(reckon, "charge", "Charge, by specific gravity",
	    share_at(by_gravity, cell), "%",
	    "a cell at 2.110 V is full, 2.070 V 75 %, 2.035 V 50 %, 2.000 V "
	    "25 %, 1.965 V empty; straight lines between");
	reckon_number(reckon, "charge-by-block", "Charge, by the 12 V table",
	    share_at(by_block, cell), "%",
	    "a block of six cells at 12.6 V is full, 12.4 V 75 %, 12.2 V "
	    "50 %, 12.0 V 25 %, 11.7 V empty; straight lines between");
	reckon_source(reckon,
	    "cell volts = specific gravity + 0.845: DOE-HDBK-1084-95; the "
	    "specific gravities of charge from memory");
	reckon_source(
	    reckon, "12 V table: Army TM 5-3805-262-20, state of charge");
	remark_lead(reckon, cell);
	return LW_OK;
}

/* --- lithium -------------------------------------------------------------- */

static void
remark_limits(struct reckon *reckon, const struct kind *kind, double cell)
{
	bool lfp = strcmp(kind->word, "lfp") == 0;
	double full = lfp ? 3.65 : 4.2, low = lfp ? 2.5 : 3.0;

	if (cell > full)
		reckon_remark(reckon,
		    "%s a cell is above its charging limit of %s: stop "
		    "charging, keep away, and have it looked at by somebody "
		    "qualified for lithium.",
		    reckon_say(reckon, cell, "V"),
		    reckon_say(reckon, full, "V"));
	else if (cell < low)
		reckon_remark(reckon,
		    "%s a cell is below its limit of %s: do not charge it. "
		    "What is left to do is said by its maker, or somebody "
		    "qualified for lithium.",
		    reckon_say(reckon, cell, "V"),
		    reckon_say(reckon, low, "V"));
	reckon_remark(reckon,
	    "That is the mean of all cells: one of them may be far off. The "
	    "battery monitor shows each.");
}

static void
say_lfp(struct reckon *reckon, double cell)
{
	reckon_words(reckon, "charge", "Charge", "not to be told from volts");
	reckon_remark(reckon,
	    "From 20 to 80 %% an LFP cell rests between %s and %s, and 10 mV "
	    "are about 30 %% of charge: less than what cells, temperature and "
	    "a meter differ by. Count the charge, or charge it full.",
	    reckon_say(reckon, PLATEAU_LOW, "V"),
	    reckon_say(reckon, PLATEAU_HIGH, "V"));
	if (cell > PLATEAU_HIGH + 0.02)
		reckon_remark(reckon,
		    "%s a cell is above that level: nearly full, or charged "
		    "not long ago.",
		    reckon_say(reckon, cell, "V"));
	else if (cell < PLATEAU_LOW - 0.07)
		reckon_remark(reckon,
		    "%s a cell is below that level: not much is left in it.",
		    reckon_say(reckon, cell, "V"));
	reckon_source(reckon,
	    "LFP at rest, 3.27 to 3.32 V from 20 to 80 %: published open "
	    "circuit curves");
}

static void
say_nmc(struct reckon *reckon)
{
	reckon_words(reckon, "charge", "Charge",
	    "only roughly to be told from volts, and not worked out here");
	reckon_remark(reckon,
	    "The voltage of NMC cells falls all the way, but by another curve "
	    "for each maker: look into the papers of the cell.");
}

/* --- all of them ------------------------------------------------------------
 */

static enum lw_status
say_cell(struct reckon *reckon, const struct kind *kind, double cells,
    const char *text, struct lw_err *err)
{
	const struct lw_quantity *volts = reckon_quantity(reckon, "volts");
	enum lw_status status;
	char formula[60];
	double cell;

	if (volts == NULL)
		return LW_OK;
	cell = volts->value / cells;
	if (cell < kind->least || cell > kind->most)
		return reckon_refuse(reckon, "volts", err,
		    "%s over %s cells is %s a cell, which no such cell has; "
		    "look at the number of cells",
		    reckon_say(reckon, volts->value, "V"),
		    reckon_say(reckon, cells, ""),
		    reckon_say(reckon, cell, "V"));
	snprintf(formula, sizeof formula, "volts / (%s)", text);
	status = reckon_formula(reckon, &cell, "cell-voltage",
	    "Voltage of one cell", "V",
	    strcmp(text, "cells") == 0 ? "volts / cells" : formula, err);
	if (status != LW_OK)
		return status;
	if (strcmp(kind->word, "lead") == 0)
		return say_lead(reckon, cell, err);
	if (strcmp(kind->word, "lfp") == 0)
		say_lfp(reckon, cell);
	else
		say_nmc(reckon);
	remark_limits(reckon, kind, cell);
	return LW_OK;
}

static enum lw_status
run(struct reckon *reckon, struct lw_err *err)
{
	const struct kind *kind = find_kind(reckon_text(reckon, "kind"));
	const char *text = NULL;
	enum lw_status status;
	double cells = 0;

	status = count_cells(&cells, &text, reckon, kind, err);
	if (status == LW_OK)
		status = say_cell(reckon, kind, cells, text, err);
	if (status == LW_OK)
		status = say_limits(reckon, kind, text, err);
	return status;
}

const struct reckoner reckon_charge = {
    .face =
	{
	    .name = "charge",
	    .title = "Charge by the voltage at rest",
	    .summary = "How full a lead-acid battery is, why volts do not tell "
		       "it of LFP, and what a pack has at most and at least",
	    .inputs = inputs,
	    .input_count = sizeof inputs / sizeof inputs[0],
	    .example = "kind=lead volts=49.7V blocks=4",
	},
    .run = run,
};
