/* What checks tell of causes, as rows of how often each outcome is seen. How
 * the engine weighs them is left to job: here it is enough that a cause which
 * a check does not name gives what is expected in nineteen of twenty cases. */
#include "pack/advice.h"

#include "base/err.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { OUTCOMES_MAX = 30 };

static const double UNNAMED = 0.95; /* kb/README.md, `speaks` */
/* Rows are told apart where their probabilities differ so much, half summed:
 * less than lies between "usually" and "sometimes". */
static const double APART = 0.25;
static const double SLACK = 0.05; /* of what tells as much */
static const double SPEAKS = 0.3; /* "sometimes" speaks for a cause */

/* The checks whose outcomes name a cause. */
struct named {
	const char *id;
	size_t *checks;
	size_t count, room;
};

struct rows {
	struct advice *advice;
	struct pack_map causes; /* id -> struct named */
	struct pack_map told;	/* "one other": pairs of causes */
	struct pack_map walked; /* checks of walk-throughs */
};

/* --- one row ---------------------------------------------------------------
 */

/* How often each outcome of a check is seen with a cause; NULL: one that no
 * outcome names. False where no outcome names it. */
static bool
fill_row(
    double row[OUTCOMES_MAX], const struct lw_check *check, const char *cause)
{
	size_t count = check->outcome_count, expected = count, i, j, free = 0;
	double sum = 0, left;
	bool named = false;

	for (i = 0; i < count; i++) {
		row[i] = -1;
		if (check->outcomes[i].expected)
			expected = i;
		for (j = 0;
		     cause != NULL && j < check->outcomes[i].speaks.count;
		     j++) {
			if (strcmp(check->outcomes[i].speaks.items[j].id,
				cause) != 0)
				continue;
			row[i] = lw_likelihood_value(
			    check->outcomes[i].speaks.items[j].word);
			sum += row[i];
			named = true;
		}
		free += row[i] < 0;
	}
	if (!named && expected < count) {
		row[expected] = count > 1 ? UNNAMED : 1;
		sum = row[expected];
		free = count - 1;
	}
	left = sum < 1 && free > 0 ? (1 - sum) / (double)free : 0;
	for (i = 0; i < count; i++)
		if (row[i] < 0)
			row[i] = left;
	for (i = 0, sum = 0; i < count; i++)
		sum += row[i];
	for (i = 0; i < count; i++)
		row[i] /= sum;
	return named;
}

/* Total variation between two causes' rows: 0 alike, 1 nothing in common. */
static double
apart_by(const struct lw_check *check, const char *one, const char *other)
{
	double a[OUTCOMES_MAX], b[OUTCOMES_MAX], sum = 0;
	size_t i;

	fill_row(a, check, one);
	fill_row(b, check, other);
	for (i = 0; i < check->outcome_count; i++)
		sum += fabs(a[i] - b[i]);
	return sum / 2;
}

/* --- which checks name which cause -----------------------------------------
 */

static enum lw_status
note(struct rows *rows, const char *cause, size_t check, struct lw_err *err)
{
	struct lw_arena *arena = rows->advice->set->arena;
	struct named *named = arena_alloc(arena, sizeof *named);
	size_t *place;

	if (named == NULL)
		return err_no_memory(err);
	memset(named, 0, sizeof *named);
	named->id = cause;
	named = (struct named *)(uintptr_t)pack_map_put(
	    &rows->causes, cause, named);
	if (named == NULL)
		return err_no_memory(err);
	if (named->count > 0 && named->checks[named->count - 1] == check)
		return LW_OK;
	place = arena_grow(
	    arena, &named->checks, &named->count, &named->room, sizeof *place);
	if (place == NULL)
		return err_no_memory(err);
	*place = check;
	return LW_OK;
}

static enum lw_status
find_named(struct rows *rows, struct lw_err *err)
{
	const struct lw_check *check;
	enum lw_status status = LW_OK;
	size_t i, j, k;

	for (i = 0; i < rows->advice->check_count; i++) {
		check = rows->advice->checks[i];
		for (j = 0; j < check->outcome_count; j++)
			for (k = 0; k < check->outcomes[j].speaks.count &&
				    status == LW_OK;
			     k++)
				status = note(rows,
				    check->outcomes[j].speaks.items[k].id, i,
				    err);
	}
	return status;
}

/* --- causes ----------------------------------------------------------------
 */

static bool
has_expected(const struct lw_check *check)
{
	size_t i;

	for (i = 0; i < check->outcome_count; i++)
		if (check->outcomes[i].expected)
			return true;
	return false;
}

/* Whether an outcome that a sound vehicle does not give is seen with it. */
static bool
speaks_for(const struct lw_check *check, const char *cause)
{
	double row[OUTCOMES_MAX];
	size_t i;

	if (!fill_row(row, check, cause))
		return false;
	if (!has_expected(check))
		return true;
	for (i = 0; i < check->outcome_count; i++)
		if (!check->outcomes[i].expected && row[i] >= SPEAKS)
			return true;
	return false;
}

static void
look_at_cause(struct rows *rows, const struct pack_item *item)
{
	const struct named *named = pack_map_find(&rows->causes, item->id);
	size_t i;

	for (i = 0; named != NULL && i < named->count; i++)
		if (speaks_for(
			rows->advice->checks[named->checks[i]], item->id))
			return;
	pack_tell(item->file, pack_node_where(item->node, "id"),
	    "cause-unchecked",
	    "no check speaks for the cause \"%s\"; name it in an outcome that "
	    "a sound vehicle does not give",
	    pack_quote(rows->advice->set, item->id));
}

static bool
is_listed(const struct lw_refs *refs, const char *id)
{
	size_t i;

	for (i = 0; i < refs->count; i++)
		if (strcmp(refs->items[i].id, id) == 0)
			return true;
	return false;
}

/* Whether one of the two is marked as being like the other. */
static bool
is_meant(const struct rows *rows, const char *one, const char *other)
{
	struct pack_set *set = rows->advice->set;
	const struct pack_item *a = pack_items_find(set, PACK_CAUSE, one);
	const struct pack_item *b = pack_items_find(set, PACK_CAUSE, other);

	/* Of causes of the book it is not asked. */
	if (a == NULL || b == NULL)
		return true;
	return is_listed(&((const struct lw_cause *)a->item)->alike, other) ||
	       is_listed(&((const struct lw_cause *)b->item)->alike, one);
}

static bool
is_apart(struct rows *rows, const char *one, const char *other)
{
	const char *const ids[] = {one, other};
	const struct named *named;
	size_t i, j;

	for (i = 0; i < 2; i++) {
		named = pack_map_find(&rows->causes, ids[i]);
		for (j = 0; named != NULL && j < named->count; j++)
			if (apart_by(rows->advice->checks[named->checks[j]],
				one, other) >= APART)
				return true;
	}
	return false;
}

/* The causes of a fault or symptom, two by two. */
static enum lw_status
look_at_pairs(struct rows *rows, const struct pack_item *item,
    const struct lw_refs *causes, struct lw_err *err)
{
	struct pack_set *set = rows->advice->set;
	const char *one, *other, *pair;
	size_t i, j;

	for (i = 0; i < causes->count; i++)
		for (j = 0; j < i; j++) {
			if (!advice_take(rows->advice, item, 200))
				return LW_OK;
			one = causes->items[j].id;
			other = causes->items[i].id;
			if (is_meant(rows, one, other) ||
			    is_apart(rows, one, other))
				continue;
			pair =
			    strcmp(one, other) < 0
				? arena_printf(set->arena, "%s %s", one, other)
				: arena_printf(set->arena, "%s %s", other, one);
			if (pair == NULL)
				return err_no_memory(err);
			if (pack_map_find(&rows->told, pair) != NULL)
				continue;
			if (pack_map_put(&rows->told, pair, pair) == NULL)
				return err_no_memory(err);
			pack_tell(item->file, causes->items[i].at,
			    "causes-alike",
			    "no check tells \"%s\" from \"%s\"; let one speak, "
			    "or mark them with \"alike\"",
			    pack_quote(set, other), pack_quote(set, one));
		}
	return LW_OK;
}

/* --- live checks -----------------------------------------------------------
 */

static bool
enters(const struct lw_check *check)
{
	size_t i;

	for (i = 0; i < check->outcome_count; i++)
		if (check->outcomes[i].enters != LW_POWER_UNKNOWN)
			return true;
	return false;
}

/* The causes that a check names, each once, and NULL for all others. */
static size_t
list_causes(const char **ids, size_t most, const struct lw_check *check)
{
	size_t count = 0, i, j, k;

	ids[count++] = NULL;
	for (i = 0; i < check->outcome_count; i++)
		for (j = 0; j < check->outcomes[i].speaks.count; j++) {
			for (k = 1; k < count; k++)
				if (strcmp(ids[k], check->outcomes[i]
						       .speaks.items[j]
						       .id) == 0)
					break;
			if (k == count && count < most)
				ids[count++] =
				    check->outcomes[i].speaks.items[j].id;
		}
	return count;
}

enum { CAUSES_MAX = 64 };

/* Whether an isolated check tells whatever a live one tells. */
static bool
tells_as_much(const struct lw_check *isolated, const struct lw_check *live,
    const char *const *ids, size_t count)
{
	double live_apart;
	size_t i, j;

	for (i = 0; i < count; i++)
		for (j = 0; j < i; j++) {
			live_apart = apart_by(live, ids[i], ids[j]);
			if (live_apart >= APART &&
			    apart_by(isolated, ids[i], ids[j]) <
				live_apart - SLACK)
				return false;
		}
	return true;
}

/* The checks of walk-throughs: they are there to be passed, not to tell causes
 * apart. */
static enum lw_status
find_walked(struct rows *rows, struct lw_err *err)
{
	struct pack_set *set = rows->advice->set;
	const struct lw_tree *tree;
	size_t i, j;

	pack_map_init(&rows->walked, set->arena);
	for (i = 0; i < set->item_count; i++) {
		tree = set->items[i]->item;
		if (set->items[i]->kind != PACK_TREE || !tree->walk)
			continue;
		for (j = 0; j < tree->step_count; j++)
			if (pack_map_put(&rows->walked, tree->steps[j].check,
				tree) == NULL)
				return err_no_memory(err);
	}
	return LW_OK;
}

static void
look_at_live(struct rows *rows, const struct pack_item *item)
{
	struct advice *advice = rows->advice;
	const struct lw_check *live = item->item, *other;
	const char *ids[CAUSES_MAX];
	size_t count, i, j;
	bool any = false;

	if (live->power == LW_POWER_ISOLATED || enters(live) ||
	    pack_map_find(&rows->walked, live->id) != NULL)
		return;
	count = list_causes(ids, CAUSES_MAX, live);
	for (i = 0; i < count && !any; i++)
		for (j = 0; j < i && !any; j++)
			any = apart_by(live, ids[i], ids[j]) >= APART;
	if (!any)
		return;
	for (i = 0; i < advice->check_count; i++) {
		other = advice->checks[i];
		if (other->power != LW_POWER_ISOLATED || enters(other))
			continue;
		if (!advice_take(advice, item, count * count))
			return;
		if (!tells_as_much(other, live, ids, count))
			continue;
		pack_tell(item->file, pack_node_where(item->node, "power"),
		    "live-needlessly",
		    "\"%s\" tells as much of the same causes with the vehicle "
		    "isolated; leave this one out, or let it speak for more",
		    pack_quote(advice->set, other->id));
		return;
	}
}

enum lw_status
advice_rows(struct advice *advice, struct lw_err *err)
{
	struct rows rows = {.advice = advice};
	struct pack_set *set = advice->set;
	const struct pack_item *item;
	enum lw_status status;
	size_t i;

	pack_map_init(&rows.causes, set->arena);
	pack_map_init(&rows.told, set->arena);
	status = find_named(&rows, err);
	if (status == LW_OK)
		status = find_walked(&rows, err);
	for (i = 0; i < set->item_count && status == LW_OK; i++) {
		item = set->items[i];
		if (item->kind == PACK_CAUSE)
			look_at_cause(&rows, item);
		else if (item->kind == PACK_CHECK)
			look_at_live(&rows, item);
		else if (item->kind == PACK_FAULT)
			status = look_at_pairs(&rows, item,
			    &((const struct lw_fault *)item->item)->causes,
			    err);
		else if (item->kind == PACK_SYMPTOM)
			status = look_at_pairs(&rows, item,
			    &((const struct lw_symptom *)item->item)->causes,
			    err);
	}
	return status;
}
