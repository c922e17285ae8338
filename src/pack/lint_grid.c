/* Bands whose ends are expressions, tried on plausible rigs: a band that is
 * empty or upside down, or one that no meter on such a vehicle reads. Which
 * rigs those are is left to grid.c. */
#include "pack/chain.h"

#include "pack/grid.h"

#include <lampwright/quantity.h>
#include <lampwright/reading.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { ENDS_MAX = 64, SAY_MAX = 500, DIGITS = 4 };

/*
 * What a meter on a vehicle of 24-120 V reads, generously: such a pack charges
 * to 150 V at most, controllers of this size give less than 1500 A. Common
 * practice. Of two rows that measure the same, the one of the unit counts.
 */
static const struct {
	const char *unit;
	double least;
	double most;
} limits[] = {
    {"V", -200, 200},
    {"A", -2000, 2000},
    {"ohm", 0, 1e12},
    {"degC", -60, 600},
    {"F", 0, 100},
    {"s", 0, 30 * 86400.0},
    {"rpm", -30000, 30000},
    {"Hz", 0, 1e6},
};

struct judge {
	const struct pack_chain *chain;
	struct grid grid;
	double ends[ENDS_MAX]; /* below each band but the last, in the unit */
	bool told[ENDS_MAX];   /* of each band */
	double least, most;    /* what a meter reads, in the unit */
	double ten;	       /* 10 A in the unit; 0: not in line */
	char with[SAY_MAX];
};

/* --- limits -----------------------------------------------------------------
 */

void
pack_chain_limits(double *least, double *most, const char *unit)
{
	struct lw_dimension one, other;
	size_t i, found = sizeof limits / sizeof limits[0];

	*least = -INFINITY;
	*most = INFINITY;
	if (lw_unit_dimension(&one, unit, NULL) != LW_OK)
		return;
	for (i = sizeof limits / sizeof limits[0]; i-- > 0;)
		if (strcmp(limits[i].unit, unit) == 0 ||
		    (lw_unit_dimension(&other, limits[i].unit, NULL) == LW_OK &&
			lw_dimension_equal(one, other) &&
			(found == sizeof limits / sizeof limits[0])))
			found = i;
	if (found == sizeof limits / sizeof limits[0])
		return;
	*least = lw_quantity_in(
	    lw_quantity_from(limits[found].least, limits[found].unit), unit);
	*most = lw_quantity_in(
	    lw_quantity_from(limits[found].most, limits[found].unit), unit);
}

/* --- telling ----------------------------------------------------------------
 */

static const char *
say_number(char text[LW_QUANTITY_MAX], const struct judge *judge, double number)
{
	const char *unit = judge->chain->check->unit;

	if (isinf(number))
		lw_reading_format(text, number, unit);
	else
		lw_quantity_say(
		    text, lw_quantity_from(number, unit), unit, DIGITS);
	return text;
}

/* Where a band's lower end stands; where it has none, its upper one. */
static const struct pack_end *
end_of(const struct pack_band *band)
{
	return band->from.there ? &band->from : &band->below;
}

static void
tell_band(struct judge *judge, size_t i, const char *what)
{
	const struct pack_chain *chain = judge->chain;
	char from[LW_QUANTITY_MAX], below[LW_QUANTITY_MAX];

	if (judge->told[i])
		return;
	judge->told[i] = true;
	grid_say(judge->with, sizeof judge->with, &judge->grid);
	if (i == 0)
		pack_tell(chain->file, end_of(&chain->bands[i])->node->at,
		    "band-grid", "%s the band is below %s: %s", judge->with,
		    say_number(below, judge, judge->ends[0]), what);
	else if (i + 1 == chain->count)
		pack_tell(chain->file, end_of(&chain->bands[i])->node->at,
		    "band-grid", "%s the band is from %s up: %s", judge->with,
		    say_number(from, judge, judge->ends[i - 1]), what);
	else
		pack_tell(chain->file, end_of(&chain->bands[i])->node->at,
		    "band-grid", "%s the band is from %s to below %s: %s",
		    judge->with, say_number(from, judge, judge->ends[i - 1]),
		    say_number(below, judge, judge->ends[i]), what);
}

/* --- one rig ----------------------------------------------------------------
 */

/* What the ends come to; false where one cannot be worked out. */
static bool
find_ends(struct judge *judge)
{
	const struct pack_chain *chain = judge->chain;
	const struct pack_end *end;
	struct lw_err err = {0};
	double number;
	size_t i;

	for (i = 0; i + 1 < chain->count; i++) {
		end = &chain->bands[i].below;
		judge->ends[i] = end->number;
		if (end->expr == NULL)
			continue;
		if (grid_number(&number, &judge->grid, end->expr, end->says,
			&err) == LW_OK) {
			judge->ends[i] =
			    lw_quantity_in(number, chain->check->unit);
			continue;
		}
		grid_say(judge->with, sizeof judge->with, &judge->grid);
		if (!judge->told[i])
			pack_tell(chain->file,
			    pack_formula_place(end->node, err.column),
			    "band-grid", "%s this cannot be worked out: %s",
			    judge->with, err.text);
		judge->told[i] = true;
		return false;
	}
	return true;
}

static bool
is_absurd(const struct judge *judge, size_t end)
{
	const struct pack_end *below = &judge->chain->bands[end].below;
	double number = judge->ends[end];

	return below->says != NULL &&
	       !(number >= judge->least && number <= judge->most);
}

/* In line, on a range whose fuse does not carry it. */
static void
judge_amps(struct judge *judge)
{
	const struct pack_chain *chain = judge->chain;
	size_t i;

	for (i = 0; judge->ten > 0 && i + 1 < chain->count; i++) {
		if (!(fabs(judge->ends[i]) > judge->ten))
			continue;
		grid_say(judge->with, sizeof judge->with, &judge->grid);
		pack_tell(chain->file, chain->bands[i].below.node->at,
		    "over-ten-amps",
		    "%s this is over 10 A, which a meter does not carry in "
		    "line; measure more with \"meter: clamp dc\"",
		    judge->with);
		judge->ten = 0;
	}
}

static void
judge_rig(struct judge *judge)
{
	const struct pack_chain *chain = judge->chain;
	size_t last = chain->count - 1, i;

	for (i = 1; i < last; i++)
		if (!(judge->ends[i - 1] < judge->ends[i]))
			tell_band(judge, i, "no reading is in it");
	for (i = 0; i <= last; i++) {
		if (!chain->bands[i].expected)
			continue;
		if ((i > 0 && is_absurd(judge, i - 1)) ||
		    (i < last && is_absurd(judge, i)))
			tell_band(
			    judge, i, "no meter on such a vehicle reads that");
	}
	judge_amps(judge);
}

/* --- all of them ------------------------------------------------------------
 */

/* FNV-1a, 64 bits: the rigs that are drawn go by the check's id. */
static uint64_t
seed_of(const char *id)
{
	uint64_t h = 14695981039346656037u;

	for (; *id != '\0'; id++)
		h = (h ^ (unsigned char)*id) * 1099511628211u;
	return h;
}

static void
try_all(struct judge *judge)
{
	const struct pack_chain *chain = judge->chain;
	struct lw_where at = end_of(&chain->bands[chain->count - 1])->node->at;
	bool any = false;

	while (grid_next(&judge->grid)) {
		any = true;
		if (find_ends(judge))
			judge_rig(judge);
	}
	if (judge->grid.set->values->spent)
		pack_tell(chain->file, at, "too-big",
		    "there are more expressions than can be tried on rigs; "
		    "leave some out");
	else if (!any)
		pack_tell(chain->file, at, "band-grid",
		    "there is no plausible rig for this: whatever is said, "
		    "what is worked out from it lies outside what is "
		    "plausible");
}

void
pack_lint_grid(const struct pack_chain *chain)
{
	const struct expr *exprs[ENDS_MAX];
	struct judge *judge;
	size_t i;

	/* An item has at most thirty outcomes. */
	if (chain->count < 2 || chain->count > ENDS_MAX)
		return;
	judge = arena_alloc(chain->arena, sizeof *judge);
	if (judge == NULL) {
		chain->file->set->no_memory = true;
		return;
	}
	judge->chain = chain;
	for (i = 0; i + 1 < chain->count; i++)
		exprs[i] = chain->bands[i].below.expr;
	pack_chain_limits(&judge->least, &judge->most, chain->check->unit);
	if (chain->check->meter == LW_METER_AMPS_DC &&
	    lw_reading_parse(&judge->ten, "10 A", chain->check->unit, NULL) !=
		LW_OK)
		judge->ten = 0;
	if (grid_start(&judge->grid, chain->file,
		end_of(&chain->bands[chain->count - 1])->node->at, chain->arena,
		seed_of(chain->check->id), exprs, chain->count - 1))
		try_all(judge);
}
