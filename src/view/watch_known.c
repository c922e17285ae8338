/* Finds out which lamps of a device were recorded, and what its table says of
 * them. Reading the recording is left to lamp. */
#include "view/watch_known.h"

#include "base/arena.h"
#include "base/buf.h"
#include "base/err.h"
#include "view/hint.h"

#include <string.h>

static char
lower(char c)
{
	return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

/* Whether two names are the same but for the case of ASCII letters. */
static bool
same_name(const char *one, const char *other)
{
	if (one == NULL || other == NULL)
		return false;
	while (*one != '\0' && lower(*one) == lower(*other)) {
		one++;
		other++;
	}
	return *one == *other;
}

/* A device's lamp by its id, its title or a colour that no other has. */
static const struct lw_lamp *
lamp_named(const struct lw_device *device, const char *name)
{
	const struct lw_lamp *found = NULL;
	size_t i, colours = 0;

	for (i = 0; i < device->lamp_count; i++) {
		if (same_name(device->lamps[i].id, name) ||
		    same_name(device->lamps[i].title, name))
			return &device->lamps[i];
		if (same_name(device->lamps[i].colour, name)) {
			found = &device->lamps[i];
			colours++;
		}
	}
	return colours == 1 ? found : NULL;
}

/* --- what is known of a lamp ---------------------------------------------- */

static bool
add_pattern(struct lw_arena *arena, struct lw_known_lamp *known, size_t *room,
    const char *pattern)
{
	const char **to;
	size_t i;

	/* What several lamps show together is none's own. */
	if (strchr(pattern, ':') != NULL)
		return true;
	for (i = 0; i < known->pattern_count; i++)
		if (strcmp(known->patterns[i], pattern) == 0)
			return true;
	to = arena_grow(
	    arena, &known->patterns, &known->pattern_count, room, sizeof *to);
	if (to != NULL)
		*to = pattern;
	return to != NULL;
}

/* Of one lamp; `lamp` NULL: what all of the device's have in common, and
 * what any of them has listed. */
static enum lw_status
know_lamp(struct lw_known_lamp *known, struct lw_arena *arena,
    const struct lw_device *device, const struct lw_lamp *lamp,
    struct lw_err *err)
{
	const struct lw_lamp *one = lamp != NULL ? lamp : device->lamps;
	size_t i, room = 0;

	if (device->lamp_count == 0)
		return LW_OK;
	known->coding = one->coding;
	known->on_s = one->on_s;
	known->gap_s = one->gap_s;
	known->group_gap_s = one->group_gap_s;
	known->pause_s = one->pause_s;
	for (i = 0; lamp == NULL && i < device->lamp_count; i++) {
		const struct lw_lamp *other = &device->lamps[i];

		if (other->coding != known->coding)
			known->coding = LW_CODING_UNKNOWN;
		known->on_s = other->on_s == known->on_s ? known->on_s : 0;
		known->gap_s = other->gap_s == known->gap_s ? known->gap_s : 0;
		known->group_gap_s = other->group_gap_s == known->group_gap_s
					 ? known->group_gap_s
					 : 0;
		known->pause_s =
		    other->pause_s == known->pause_s ? known->pause_s : 0;
	}
	for (i = 0; i < device->code_count; i++) {
		if (lamp != NULL &&
		    strcmp(device->codes[i].lamp, lamp->id) != 0)
			continue;
		if (!add_pattern(arena, known, &room, device->codes[i].pattern))
			return err_no_memory(err);
	}
	return LW_OK;
}

/* --- which column is which lamp ------------------------------------------- */

static const char *
column_name(const struct lw_series *series, size_t column)
{
	return series->lamps != NULL && column < series->lamp_count
		   ? series->lamps[column]
		   : NULL;
}

static enum lw_status
no_column(const struct lw_series *series, const char *lamp, struct lw_err *err)
{
	struct buf names;
	size_t i;

	buf_init(&names, 300);
	for (i = 0; i < series->lamp_count; i++) {
		const char *name = column_name(series, i);

		buf_printf(&names, "%s%.40s", i == 0 ? "" : ", ",
		    name != NULL ? name : "one without a name");
	}
	err_set(err, LW_NOT_FOUND,
	    "no column of the recording is the lamp %.60s; it has %s", lamp,
	    buf_text(&names));
	buf_clear(&names);
	return LW_NOT_FOUND;
}

/* Leave one column of several. */
static enum lw_status
keep_one(struct watch_known *known, const struct lw_lamp *lamp,
    const char *name, struct lw_err *err)
{
	struct lw_series *series = &known->series;
	size_t i;

	for (i = 0; i < series->lamp_count; i++) {
		if (lamp != NULL ? known->lamps[i] == lamp
				 : same_name(column_name(series, i), name))
			break;
	}
	if (i == series->lamp_count)
		return no_column(series, name, err);
	series->levels += i * series->count;
	series->lamp_count = 1;
	if (series->lamps != NULL)
		series->lamps += i;
	known->lamps += i;
	known->lamp_count = 1;
	return LW_OK;
}

/* Each column's lamp by its name; none is two columns. */
static void
match_columns(struct watch_known *known, const struct lw_device *device)
{
	const struct lw_lamp *lamp;
	size_t i, k;

	for (i = 0; i < known->lamp_count; i++) {
		lamp = lamp_named(device, column_name(&known->series, i));
		for (k = 0; k < i; k++)
			if (known->lamps[k] == lamp)
				lamp = NULL;
		known->lamps[i] = lamp;
	}
	if (known->lamp_count == 1 && device->lamp_count == 1)
		known->lamps[0] = &device->lamps[0];
}

/* The device's names for its lamps, so that its table has them. */
static bool
rename_columns(struct watch_known *known, struct lw_arena *arena)
{
	struct lw_series *series = &known->series;
	const char **names;
	size_t i;

	if (series->lamp_count < 2)
		return true;
	names = arena_array(arena, series->lamp_count, sizeof *names);
	if (names == NULL)
		return false;
	for (i = 0; i < series->lamp_count; i++)
		names[i] = known->lamps[i] != NULL ? known->lamps[i]->id
						   : column_name(series, i);
	series->lamps = names;
	return true;
}

/* A sentence for one column that may be any of the device's lamps. */
static bool
say_which(struct watch_known *known, struct lw_arena *arena,
    const struct lw_device *device)
{
	if (known->lamp_count != 1 || known->lamps[0] != NULL ||
	    device->lamp_count < 2)
		return true;
	known->remark = arena_printf(arena,
	    "%s has %zu lamps; saying which of them it was (%s, %s%s) makes "
	    "the reading surer.",
	    device->title != NULL ? device->title : device->id,
	    device->lamp_count, device->lamps[0].id, device->lamps[1].id,
	    device->lamp_count > 2 ? " ..." : "");
	return known->remark != NULL;
}

/* A sentence for columns that are no lamp of the device. */
static bool
say_strange(struct watch_known *known, struct lw_arena *arena,
    const struct lw_device *device)
{
	struct buf strange, names;
	size_t i, n = 0;

	buf_init(&strange, 300);
	buf_init(&names, 300);
	for (i = 0; known->lamp_count > 1 && i < known->lamp_count; i++) {
		const char *name = column_name(&known->series, i);

		if (known->lamps[i] == NULL)
			buf_printf(&strange, "%s%.40s", n++ == 0 ? "" : " or ",
			    name != NULL ? name : "without a name");
	}
	for (i = 0; i < device->lamp_count; i++) {
		buf_printf(
		    &names, "%s%.40s", i == 0 ? "" : ", ", device->lamps[i].id);
		if (device->lamps[i].colour != NULL)
			buf_printf(&names, " (%.40s)", device->lamps[i].colour);
	}
	if (n > 0)
		known->remark = arena_printf(arena,
		    "%s has no lamp %s, and what %s is not looked up; it has "
		    "%s.",
		    device->title != NULL ? device->title : device->id,
		    buf_text(&strange), n == 1 ? "that shows" : "those show",
		    buf_text(&names));
	buf_clear(&names);
	buf_clear(&strange);
	return n == 0 || known->remark != NULL;
}

enum lw_status
watch_know(struct watch_known *known, struct lw_arena *arena,
    const struct lw_series *series, const struct lw_device *device,
    const char *lamp, struct lw_err *err)
{
	const struct lw_lamp *only = NULL;
	enum lw_status status = LW_OK;
	size_t i;

	memset(known, 0, sizeof *known);
	known->series = *series;
	known->lamp_count = series->lamp_count > 0 ? series->lamp_count : 1;
	known->lamps =
	    arena_array(arena, known->lamp_count, sizeof *known->lamps);
	known->known =
	    arena_array(arena, known->lamp_count, sizeof *known->known);
	if (known->lamps == NULL || known->known == NULL)
		return err_no_memory(err);
	if (device != NULL && lamp != NULL) {
		only = lamp_named(device, lamp);
		if (only == NULL)
			status = view_lamp(&only, device, lamp, err);
	}
	if (status != LW_OK)
		return status;
	if (device != NULL)
		match_columns(known, device);
	if (lamp != NULL && known->lamp_count > 1)
		status = keep_one(known, only, lamp, err);
	else if (only != NULL)
		known->lamps[0] = only;
	for (i = 0; status == LW_OK && device != NULL && i < known->lamp_count;
	     i++) {
		/* A column that no lamp has the name of is not known, but one
		 * alone is one of the device's. */
		if (known->lamps[i] != NULL || known->lamp_count == 1)
			status = know_lamp(&known->known[i], arena, device,
			    known->lamps[i], err);
	}
	if (status == LW_OK && device != NULL &&
	    (!rename_columns(known, arena) ||
		!say_which(known, arena, device) ||
		!say_strange(known, arena, device)))
		status = err_no_memory(err);
	return status;
}
