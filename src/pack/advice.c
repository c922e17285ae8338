/* Gathers the checks of files and book, and has them looked at. What is
 * looked at is left to the advice_ files. */
#include "pack/advice.h"

#include "base/err.h"

enum { STEPS = 60000000 };

bool
advice_take(struct advice *advice, const struct pack_item *item, size_t steps)
{
	if (advice->left >= steps) {
		advice->left -= steps;
		return true;
	}
	if (!advice->spent)
		pack_tell(item->file, item->node->at, "too-big",
		    "there are more causes and checks than can be compared; "
		    "check fewer packs at a time");
	advice->spent = true;
	advice->left = 0;
	return false;
}

static size_t
count_checks(const struct pack_set *set)
{
	size_t i, count = 0;

	for (i = 0; i < set->item_count; i++)
		count += set->items[i]->kind == PACK_CHECK;
	return count;
}

/* The checks of the book's other packs. */
static enum lw_status
add_book(
    struct advice *advice, const struct lw_entries *known, struct lw_err *err)
{
	struct pack_set *set = advice->set;
	const struct lw_check *check;
	enum lw_status status;
	const char *pack;
	size_t i;
	bool there;

	for (i = 0; i < known->count; i++) {
		if (pack_items_find(set, PACK_CHECK, known->items[i].id) !=
		    NULL)
			continue;
		status = pack_in_book(
		    set, &there, &pack, PACK_CHECK, known->items[i].id, err);
		if (status == LW_OK && there)
			status =
			    pack_check_of(set, &check, known->items[i].id, err);
		if (status != LW_OK)
			return status;
		if (there && check != NULL)
			advice->checks[advice->check_count++] = check;
	}
	return LW_OK;
}

static enum lw_status
gather(struct advice *advice, struct lw_err *err)
{
	struct pack_set *set = advice->set;
	size_t room = count_checks(set), i;
	struct lw_entries known = {0};
	enum lw_status status = LW_OK;

	if (set->book != NULL)
		status =
		    lw_book_list(set->book, set->arena, "check", &known, err);
	if (status != LW_OK && status != LW_NOT_FOUND)
		return status;
	room += known.count;
	advice->checks = arena_array(set->arena, room, sizeof *advice->checks);
	advice->items = arena_array(set->arena, room, sizeof *advice->items);
	if (advice->checks == NULL || advice->items == NULL)
		return err_no_memory(err);
	for (i = 0; i < set->item_count; i++) {
		if (set->items[i]->kind != PACK_CHECK)
			continue;
		advice->items[advice->check_count] = set->items[i];
		advice->checks[advice->check_count++] = set->items[i]->item;
	}
	return add_book(advice, &known, err);
}

enum lw_status
pack_advise(struct pack_set *set, struct lw_err *err)
{
	struct advice advice = {.set = set, .left = STEPS};
	enum lw_status status;
	size_t i;

	/* What is wrong is mended first: much would follow from it. */
	if (set->told > 0)
		return LW_OK;
	status = gather(&advice, err);
	for (i = 0; i < advice.check_count && status == LW_OK; i++)
		if (advice.items[i] != NULL)
			advice_actions(advice.items[i]->file, advice.checks[i]);
	if (status == LW_OK)
		status = advice_ways(&advice, err);
	if (status == LW_OK)
		status = advice_names(&advice, err);
	if (status == LW_OK)
		status = advice_rows(&advice, err);
	return status;
}
