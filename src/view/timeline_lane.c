/* What of a lamp's stretches is seen in one row, and how its flashes are
 * counted. Which rows there are is left to timeline_pick.c. */
#include "view/timeline_lane.h"

#include "base/arena.h"
#include "base/err.h"

#include <math.h>

enum { BACK_MOST = 200 /* stretches that are looked back for a group */ };

/* --- stretches ------------------------------------------------------------ */

static void
add_tap(struct lw_stretch *to, size_t *count, double at, bool mended)
{
	struct lw_stretch *tap = &to[(*count)++];

	tap->from_s = tap->to_s = at;
	tap->on = true;
	tap->kind = LW_STRETCH_FLASH;
	tap->mended = mended;
}

/* Taps are given from one to the next; here each is lit, and dark after it. */
static size_t
part_taps(struct lw_stretch *to, const struct lw_sight *sight,
    const struct timeline_source *from)
{
	size_t i, count = 0;

	for (i = 0; i < sight->stretch_count; i++) {
		const struct lw_stretch *stretch = &sight->stretches[i];
		bool lit = count > 0 && to[count - 1].on;

		if (stretch->on || !lit)
			add_tap(to, &count, stretch->from_s, stretch->mended);
		if (stretch->on && stretch->kind < LW_STRETCH_GAP)
			continue;
		to[count] = *stretch;
		to[count].from_s = to[count - 1].from_s;
		to[count++].on = false;
	}
	/* Nothing follows the last one where nobody said until when. */
	if (count > 0 && !to[count - 1].on && from->count > 0 &&
	    to[count - 1].to_s <= from->seconds[from->count - 1])
		add_tap(to, &count, from->seconds[from->count - 1], false);
	return count;
}

enum lw_status
timeline_stretches(struct timeline_stretches *stretches, struct lw_arena *arena,
    const struct timeline_source *from, size_t lamp, struct lw_err *err)
{
	const struct lw_sight *sight = from->lamps[lamp].sight;
	struct lw_stretch *parts;

	stretches->items = sight->stretches;
	stretches->count = sight->stretch_count;
	if (from->lamps[lamp].levels != NULL)
		return LW_OK;
	parts = arena_array(arena, 2 * sight->stretch_count + 1, sizeof *parts);
	if (parts == NULL)
		return err_no_memory(err);
	stretches->count = part_taps(parts, sight, from);
	stretches->items = parts;
	return LW_OK;
}

/* The first stretch that ends after a time. */
static size_t
stretch_at(const struct timeline_stretches *of, double at)
{
	size_t low = 0, high = of->count, middle;

	while (low < high) {
		middle = low + (high - low) / 2;
		if (of->items[middle].to_s > at ||
		    (of->items[middle].to_s == at && of->items[middle].on &&
			of->items[middle].from_s == at))
			high = middle;
		else
			low = middle + 1;
	}
	return low;
}

/* --- counting ------------------------------------------------------------- */

struct counting {
	const struct timeline_stretches *of;
	const struct lw_sight *sight;
	bool inverted;		   /* it is lit, and goes out to count */
	size_t number;		   /* of the flash before, in its group */
	bool known;		   /* the group's beginning was seen */
	enum lw_stretch_kind kind; /* of the group's flashes */
};

static bool
is_between(const struct lw_stretch *stretch)
{
	return stretch->kind >= LW_STRETCH_GAP;
}

/* Whether the lamp goes out to count, by the first stretch that says so. */
static bool
is_inverted(const struct timeline_stretches *of)
{
	size_t i;

	for (i = 0; i < of->count && i < BACK_MOST; i++)
		if (of->items[i].kind != LW_STRETCH_OTHER &&
		    of->items[i].kind != LW_STRETCH_LIT &&
		    of->items[i].kind != LW_STRETCH_DARK &&
		    !of->items[i].mended)
			return of->items[i].on == is_between(&of->items[i]);
	return false;
}

static bool
is_lit(const struct counting *counting, const struct lw_stretch *stretch)
{
	return stretch->on != counting->inverted;
}

static bool
ends_group(const struct counting *counting, const struct lw_stretch *stretch)
{
	return !is_lit(counting, stretch) && stretch->kind > LW_STRETCH_GAP;
}

static bool
is_flash(const struct counting *counting, const struct lw_stretch *stretch)
{
	return is_lit(counting, stretch) &&
	       (stretch->kind == LW_STRETCH_FLASH ||
		   stretch->kind == LW_STRETCH_LONG);
}

/* How many flashes a mended stretch hides: those that its length has room
 * for. */
static size_t
hidden(const struct counting *counting, const struct lw_stretch *stretch)
{
	double on = counting->sight->on_s, gap = counting->sight->gap_s;
	double over = stretch->to_s - stretch->from_s -
		      (is_lit(counting, stretch) ? on : gap);

	if (!stretch->mended || !(on + gap > 0) ||
	    counting->sight->coding == LW_CODING_LONG_SHORT ||
	    ends_group(counting, stretch))
		return 0;
	over = round(over / (on + gap));
	return over >= 1 && over < 20 ? (size_t)over : 0;
}

/* Whether a flash is the rest of the one before, which was seen twice. */
static bool
goes_on(const struct counting *counting, size_t at)
{
	const struct lw_stretch *items = counting->of->items;

	return at >= 2 && items[at].mended && items[at - 1].mended &&
	       is_flash(counting, &items[at - 2]) && items[at - 2].mended &&
	       items[at].to_s - items[at - 2].from_s <
		   1.5 * counting->sight->on_s;
}

static bool
counts(const struct lw_sight *sight)
{
	return sight->coding != LW_CODING_RATE &&
	       sight->coding != LW_CODING_STEADY;
}

/* The number that a stretch has in its group; 0: none. */
static size_t
count_on(struct counting *counting, size_t at)
{
	const struct lw_stretch *stretch = &counting->of->items[at];
	size_t number;

	if (ends_group(counting, stretch)) {
		counting->number = 0;
		counting->known = true;
		return 0;
	}
	if (!counts(counting->sight) || goes_on(counting, at))
		return 0;
	if (is_flash(counting, stretch)) {
		if (counting->sight->coding == LW_CODING_LONG_SHORT &&
		    counting->number > 0 && stretch->kind != counting->kind) {
			counting->number = 0;
			counting->known = true;
		}
		counting->kind = stretch->kind;
		number = ++counting->number;
		counting->number += hidden(counting, stretch);
		return number;
	}
	if (!is_lit(counting, stretch))
		counting->number += hidden(counting, stretch);
	return 0;
}

/* Count from where the group began that is going on at a stretch. */
static void
begin_counting(struct counting *counting, size_t at)
{
	size_t i = at, back = 0;

	counting->known = true;
	while (i > 0 && !ends_group(counting, &counting->of->items[i - 1]) &&
	       back < BACK_MOST) {
		i--;
		back++;
	}
	if (back == BACK_MOST || (i == 0 && counting->of->items[0].open))
		counting->known = false;
	for (; i < at; i++)
		count_on(counting, i);
}

/* --- the lane ------------------------------------------------------------- */

static void
take_mark(struct timeline_mark *mark, const struct lw_stretch *stretch,
    const struct timeline_row *row, bool first, bool last)
{
	mark->from_s = fmax(stretch->from_s, row->start_s);
	mark->to_s = fmin(stretch->to_s, row->end_s);
	mark->on = stretch->on;
	mark->mended = stretch->mended;
	mark->kind = stretch->kind;
	mark->open_start =
	    stretch->open && first && stretch->from_s >= row->start_s;
	mark->open_end = stretch->open && last && stretch->to_s <= row->end_s;
}

/* Add a numbered flash to the lane's last group, or begin one. */
static void
join_group(struct timeline_lane *lane, const struct counting *counting,
    const struct timeline_mark *mark)
{
	struct timeline_group *group = NULL;

	if (lane->group_count > 0 && mark->number > 1)
		group = &lane->groups[lane->group_count - 1];
	if (group == NULL) {
		group = &lane->groups[lane->group_count++];
		group->from_s = mark->from_s;
	}
	group->to_s = mark->to_s;
	group->count = counting->number;
	group->open = !counting->known;
	if (counting->sight->coding == LW_CODING_LONG_SHORT) {
		group->is_long = mark->kind == LW_STRETCH_LONG;
		group->is_short = !group->is_long;
	}
}

/* A group that goes on in the next row has the count of all of it; more may
 * have come where the recording ends in it. */
static void
count_to_end(struct timeline_group *group, struct counting *counting, size_t at)
{
	const struct lw_stretch *items = counting->of->items;
	size_t i;

	for (i = at; i < counting->of->count && i - at < BACK_MOST; i++) {
		if (ends_group(counting, &items[i]) ||
		    (counting->sight->coding == LW_CODING_LONG_SHORT &&
			is_flash(counting, &items[i]) &&
			items[i].kind != counting->kind))
			return;
		count_on(counting, i);
		group->count = counting->number;
	}
	group->open = true;
}

static void
fill_lane(struct timeline_lane *lane, const struct timeline_row *row,
    const struct timeline_stretches *of, const struct lw_sight *sight,
    size_t first, size_t end)
{
	struct counting counting = {
	    .of = of, .sight = sight, .inverted = is_inverted(of)};
	size_t i;

	begin_counting(&counting, first);
	for (i = first; i < end; i++) {
		struct timeline_mark *mark = &lane->marks[lane->mark_count++];

		take_mark(mark, &of->items[i], row, i == 0, i + 1 == of->count);
		mark->number = count_on(&counting, i);
		lane->mended = lane->mended || mark->mended;
		if (mark->number > 0) {
			join_group(lane, &counting, mark);
		} else if (lane->group_count > 0 && counting.number > 0) {
			lane->groups[lane->group_count - 1].count =
			    counting.number;
			if (is_lit(&counting, &of->items[i]))
				lane->groups[lane->group_count - 1].to_s =
				    mark->to_s;
		}
		if (!counting.known)
			mark->number = 0;
	}
	if (lane->group_count > 0 && counting.number > 0)
		count_to_end(
		    &lane->groups[lane->group_count - 1], &counting, end);
}

/* A hair may be on the row's end by rounding; a last tap stands there. */
static bool
is_in_row(const struct timeline_stretches *of, size_t at,
    const struct timeline_row *row)
{
	double from = of->items[at].from_s, hair;

	hair = 1e-9 + fabs(row->end_s) * 1e-12;
	if (at + 1 == of->count && from == of->items[at].to_s)
		return from < row->end_s + hair;
	return from < row->end_s - hair;
}

enum lw_status
timeline_lane(struct timeline_lane *lane, struct lw_arena *arena,
    const struct timeline_row *row, const struct timeline_stretches *of,
    const struct lw_sight *sight, struct lw_err *err)
{
	size_t first = stretch_at(of, row->start_s), end = first;

	while (end < of->count && is_in_row(of, end, row) &&
	       end - first <= TIMELINE_MARKS_MOST)
		end++;
	lane->crowded = end - first > TIMELINE_MARKS_MOST;
	lane->steady = of->count == 1 && !of->items[0].on;
	if (lane->crowded || end == first)
		return LW_OK;
	lane->marks = arena_array(arena, end - first, sizeof *lane->marks);
	lane->groups = arena_array(arena, end - first, sizeof *lane->groups);
	if (lane->marks == NULL || lane->groups == NULL)
		return err_no_memory(err);
	fill_lane(lane, row, of, sight, first, end);
	return LW_OK;
}
