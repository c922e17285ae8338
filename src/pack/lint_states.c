/* Power states over all files and the book: a check that leads into each one
 * that is used, and cautions where the vehicle is not isolated. */
#include "base/err.h"
#include "pack/set.h"

#include <string.h>

struct states {
	const struct pack_item *used[LW_POWER_COUNT]; /* the first check */
	bool entered[LW_POWER_COUNT];
	bool cautioned[LW_POWER_COUNT];
};

static void
look_at_check(bool entered[LW_POWER_COUNT], const struct lw_check *check)
{
	size_t i;

	for (i = 0; i < check->outcome_count; i++)
		entered[check->outcomes[i].enters] = true;
}

static void
look_at_files(struct states *states, const struct pack_set *set)
{
	const struct pack_item *item;
	const struct lw_check *check;
	const struct lw_caution *caution;
	size_t i, state;

	for (i = 0; i < set->item_count; i++) {
		item = set->items[i];
		if (item->item == NULL)
			continue;
		if (item->kind == PACK_CHECK) {
			check = item->item;
			look_at_check(states->entered, check);
			if (states->used[check->power] == NULL)
				states->used[check->power] = item;
		} else if (item->kind == PACK_CAUTION) {
			caution = item->item;
			for (state = 0; state < LW_POWER_COUNT; state++)
				if (caution->states[state])
					states->cautioned[state] = true;
		}
	}
}

/* Whether a state that the files use is not entered by one of their checks. */
static bool
lacks_gate(const struct states *states)
{
	size_t i;

	for (i = 1; i < LW_POWER_COUNT; i++)
		if (states->used[i] != NULL && !states->entered[i])
			return true;
	return false;
}

/* The states that checks of the book's other packs enter. */
static enum lw_status
look_at_gates(struct states *states, struct pack_set *set, struct lw_err *err)
{
	struct lw_entries checks = {0};
	const struct lw_check *check;
	enum lw_status status;
	size_t i;

	if (set->book == NULL)
		return LW_OK;
	status = lw_book_list(set->book, set->arena, "check", &checks, err);
	if (status != LW_OK && status != LW_NOT_FOUND)
		return status;
	for (i = 0; i < checks.count; i++) {
		status = pack_check_of(set, &check, checks.items[i].id, err);
		if (status != LW_OK)
			return status;
		if (check != NULL)
			look_at_check(states->entered, check);
	}
	return LW_OK;
}

/* The states that cautions of the book's other packs go with. */
static enum lw_status
look_at_cautions(
    struct states *states, struct pack_set *set, struct lw_err *err)
{
	const struct lw_caution **cautions;
	enum lw_status status;
	const char *pack;
	size_t i, count, state;
	bool there;

	if (set->book == NULL)
		return LW_OK;
	for (state = LW_POWER_CONTROL; state < LW_POWER_COUNT; state++) {
		if (states->cautioned[state] || states->used[state] == NULL)
			continue;
		count = 0;
		status = lw_book_cautions_in(set->book, set->arena,
		    (enum lw_power)state, &cautions, &count, err);
		if (status != LW_OK && status != LW_NOT_FOUND)
			return status;
		for (i = 0; i < count; i++) {
			status = pack_in_book(set, &there, &pack, PACK_CAUTION,
			    cautions[i]->id, err);
			if (status != LW_OK)
				return status;
			if (there)
				states->cautioned[state] = true;
		}
	}
	return LW_OK;
}

static void
tell_gates(const struct states *states)
{
	const struct pack_item *item;
	size_t state;

	for (state = 1; state < LW_POWER_COUNT; state++) {
		item = states->used[state];
		if (item == NULL || states->entered[state])
			continue;
		pack_tell(item->file, pack_node_where(item->node, "power"),
		    "no-gate",
		    "no check leads into the state %s; give the outcome of "
		    "one \"enters: %s\"",
		    lw_power_name((enum lw_power)state),
		    lw_power_name((enum lw_power)state));
	}
}

static void
tell_cautions(const struct states *states, const struct pack_set *set)
{
	const struct pack_item *item;
	const struct lw_check *check;
	size_t i;

	for (i = 0; i < set->item_count; i++) {
		item = set->items[i];
		if (item->item == NULL || item->kind != PACK_CHECK)
			continue;
		check = item->item;
		if (check->power >= LW_POWER_CONTROL &&
		    check->cautions.count == 0 &&
		    !states->cautioned[check->power])
			pack_tell(item->file,
			    pack_node_where(item->node, "power"),
			    "live-without-cautions",
			    "a check in the state %s needs \"cautions\", or a "
			    "caution "
			    "that goes with that state",
			    lw_power_name(check->power));
	}
}

enum lw_status
pack_lint_states(struct pack_set *set, struct lw_err *err)
{
	struct states states = {0};
	enum lw_status status;

	/* What was left out may be what is missing. */
	if (set->unread)
		return LW_OK;
	look_at_files(&states, set);
	if (!set->broken[PACK_CHECK] && lacks_gate(&states)) {
		status = look_at_gates(&states, set, err);
		if (status != LW_OK)
			return status;
		tell_gates(&states);
	}
	if (!set->broken[PACK_CAUTION]) {
		status = look_at_cautions(&states, set, err);
		if (status != LW_OK)
			return status;
		tell_cautions(&states, set);
	}
	return LW_OK;
}
