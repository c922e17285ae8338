/* All that can be said of a rig, built in and by packs, and looking a rig's
 * values up. What they come to is left to rig_resolve.c. */
#include "book/rig_values.h"

#include "base/arena.h"
#include "base/err.h"
#include "book/catalogue.h"
#include "book/kept.h"

#include <lampwright/quantity.h>

#include <string.h>

const struct lw_value *
rig_values_find(const struct rig_values *values, const char *id)
{
	size_t i;

	for (i = 0; i < values->count; i++)
		if (strcmp(values->items[i]->id, id) == 0)
			return values->items[i];
	return NULL;
}

/* What is built in, then what packs bring; of one id the first. */
static enum lw_status
gather(struct rig_values *values, struct lw_book *book, struct lw_arena *arena,
    struct lw_err *err)
{
	const struct lw_value *const *more;
	const struct lw_value *own, **items;
	size_t own_count, more_count, i;
	enum lw_status status;

	status = catalogue_values(book, arena, &more, &more_count, err);
	if (status != LW_OK)
		return status;
	own = lw_rig_built_in(&own_count);
	items = arena_array(arena, own_count + more_count, sizeof *items);
	if (items == NULL)
		return err_no_memory(err);
	values->items = items;
	for (i = 0; i < own_count; i++)
		items[values->count++] = &own[i];
	for (i = 0; i < more_count; i++)
		if (rig_values_find(values, more[i]->id) == NULL)
			items[values->count++] = more[i];
	return LW_OK;
}

enum lw_status
rig_values_all(struct rig_values *values, struct lw_book *book,
    struct lw_arena *arena, struct lw_err *err)
{
	struct rig_values *read;
	struct kept kept;
	enum lw_status status;

	memset(values, 0, sizeof *values);
	status = kept_begin(&kept, book, arena, "rig values", NULL, NULL, err);
	if (status != LW_OK)
		return status;
	if (kept.what == NULL) {
		kept.what = read = arena_alloc(kept.arena, sizeof *read);
		status = read == NULL ? err_no_memory(err)
				      : gather(read, book, kept.arena, err);
	}
	status = kept_end(&kept, status, err);
	if (status == LW_OK)
		*values = *(const struct rig_values *)kept.what;
	return status;
}

enum lw_status
lw_rig_values(struct lw_book *book, struct lw_arena *arena,
    const struct lw_value *const **values, size_t *count, struct lw_err *err)
{
	struct rig_values all;
	enum lw_status status;

	status = rig_values_all(&all, book, arena, err);
	*values = all.items;
	*count = all.count;
	return status;
}

/* --- looking them up ------------------------------------------------------ */

const struct lw_rig_value *
lw_rig_value(const struct lw_rig *rig, const char *key)
{
	size_t i;

	for (i = 0; rig != NULL && i < rig->value_count; i++)
		if (strcmp(rig->values[i].value->id, key) == 0)
			return &rig->values[i];
	return NULL;
}

/* A quantity that was said or worked out; what is merely usual is no more
 * than a guess. */
static const struct lw_rig_value *
find_known(const struct lw_rig *rig, const char *key)
{
	const struct lw_rig_value *found = lw_rig_value(rig, key);

	if (found == NULL || found->value->kind != LW_VALUE_QUANTITY ||
	    (found->known != LW_KNOWN_GIVEN && found->known != LW_KNOWN_WORKED))
		return NULL;
	return found;
}

bool
lw_rig_quantity(const struct lw_rig *rig, const char *key, double *value)
{
	const struct lw_rig_value *found = find_known(rig, key);

	if (found == NULL)
		return false;
	*value = lw_quantity_in(found->nominal, found->value->unit);
	return true;
}

bool
lw_rig_range(
    const struct lw_rig *rig, const char *key, double *low, double *high)
{
	const struct lw_rig_value *found = find_known(rig, key);
	double one, other;

	if (found == NULL)
		return false;
	/* The larger size has the smaller AWG. */
	one = lw_quantity_in(found->low, found->value->unit);
	other = lw_quantity_in(found->high, found->value->unit);
	*low = one < other ? one : other;
	*high = one < other ? other : one;
	return true;
}
