/* Chooses what of a recording is shown, a row a cycle. What stands in the rows
 * is left to timeline_lane.c, drawing them to timeline.c. */
#include "view/timeline_lane.h"

#include "base/arena.h"
#include "base/err.h"
#include "base/num.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { PER_ROW = 24 /* stretches, where there are no cycles */ };

/* A cycle, or what was seen of one. */
struct cycle {
	double from_s;
	double to_s;
	bool cut_start;
	bool cut_end;
	bool mended;
};

/* --- cycles --------------------------------------------------------------- */

static bool
has_cycles(const struct timeline_stretches *of)
{
	size_t i;

	for (i = 0; i + 1 < of->count; i++)
		if (of->items[i].kind == LW_STRETCH_PAUSE)
			return true;
	return false;
}

/* The lamp whose cycles are the rows: the first that has any, else the one
 * that changes most. */
static size_t
leader(const struct timeline_stretches *lamps, size_t count)
{
	size_t i, most = 0;

	for (i = 0; i < count; i++)
		if (has_cycles(&lamps[i]))
			return i;
	for (i = 1; i < count; i++)
		if (lamps[i].count > lamps[most].count)
			most = i;
	return most;
}

/* From one pause to the next, the beginning and the end of the recording as
 * they come. How many; `cycles` has room for each stretch and one more. */
static size_t
find_cycles(struct cycle *cycles, const struct timeline_stretches *of)
{
	struct cycle *cycle = NULL;
	size_t i, count = 0;
	bool after_pause = false;

	for (i = 0; i < of->count; i++) {
		const struct lw_stretch *stretch = &of->items[i];

		if (stretch->kind != LW_STRETCH_PAUSE &&
		    (cycle == NULL || after_pause)) {
			cycle = &cycles[count++];
			memset(cycle, 0, sizeof *cycle);
			cycle->from_s =
			    after_pause ? stretch->from_s : of->items[0].from_s;
			cycle->cut_start = !after_pause && of->items[0].open;
		}
		after_pause = stretch->kind == LW_STRETCH_PAUSE;
		if (cycle == NULL)
			continue;
		cycle->to_s = stretch->to_s;
		cycle->mended = cycle->mended || stretch->mended;
		cycle->cut_end = i + 1 == of->count && !after_pause;
	}
	return count;
}

static bool
is_whole(const struct cycle *cycle)
{
	return !cycle->cut_start && !cycle->cut_end;
}

/* The more lamps, the fewer rows. */
static size_t
rows_most(const struct timeline *timeline)
{
	size_t rows = TIMELINE_LANES / timeline->from->lamp_count;

	if (rows < 1)
		return 1;
	return rows < TIMELINE_ROWS ? rows : TIMELINE_ROWS;
}

/* The first of the rows: whole cycles are worth most, then those that were
 * mended. */
static size_t
best_first(const struct cycle *cycles, size_t count, size_t rows)
{
	size_t first, i, best = 0, most = 0, worth;

	for (first = 0; first + rows <= count; first++) {
		worth = 1;
		for (i = first; i < first + rows; i++)
			worth += is_whole(&cycles[i])
				     ? (cycles[i].mended ? 11 : 10)
				     : 0;
		if (worth > most) {
			most = worth;
			best = first;
		}
	}
	return best;
}

static void
rows_by_cycle(
    struct timeline *timeline, const struct cycle *cycles, size_t count)
{
	size_t rows = rows_most(timeline), first = 0, i;
	double whole = 0, any = 0, length;

	timeline->by_cycle = true;
	for (i = 0; i < count; i++)
		if (is_whole(&cycles[i]))
			timeline->cycles++;
	if (count > rows)
		first = best_first(cycles, count, rows);
	timeline->row_count = count < rows ? count : rows;
	for (i = 0; i < timeline->row_count; i++) {
		const struct cycle *cycle = &cycles[first + i];

		length = cycle->to_s - cycle->from_s;
		any = fmax(any, length);
		if (is_whole(cycle)) {
			whole = fmax(whole, length);
			timeline->shown_cycles++;
		}
	}
	timeline->span_s = whole > 0 ? whole : any;
	for (i = 0; i < timeline->row_count; i++) {
		const struct cycle *cycle = &cycles[first + i];
		struct timeline_row *row = &timeline->rows[i];

		row->start_s = cycle->from_s;
		row->end_s = cycle->to_s;
		row->cut_start = cycle->cut_start;
		row->cut_end = cycle->cut_end;
		/* The end of a cycle stands below the ends of the others. */
		row->from_s = cycle->from_s;
		if (cycle->cut_start && !cycle->cut_end) {
			row->from_s = cycle->to_s - timeline->span_s;
			row->start_s = fmax(row->start_s, row->from_s);
		}
		row->end_s = fmin(row->end_s, row->from_s + timeline->span_s);
	}
}

/* --- rows by time --------------------------------------------------------- */

static void
rows_by_time(struct timeline *timeline, const struct timeline_stretches *of)
{
	double length = timeline->last_s - timeline->first_s;
	size_t i, rows = (of->count + PER_ROW - 1) / PER_ROW, most;

	rows = rows < 1 ? 1 : rows;
	most = rows_most(timeline);
	timeline->span_s = length / (double)rows;
	timeline->row_count = rows < most ? rows : most;
	for (i = 0; i < timeline->row_count; i++) {
		struct timeline_row *row = &timeline->rows[i];

		row->from_s = row->start_s =
		    timeline->first_s + timeline->span_s * (double)i;
		row->end_s = row->from_s + timeline->span_s;
	}
}

/* --- all of it ------------------------------------------------------------ */

static void
find_ends(struct timeline *timeline, const struct timeline_stretches *lamps)
{
	size_t i;

	timeline->first_s = INFINITY;
	timeline->last_s = -INFINITY;
	for (i = 0; i < timeline->from->lamp_count; i++) {
		const struct timeline_stretches *of = &lamps[i];

		if (of->count == 0)
			continue;
		timeline->first_s =
		    fmin(timeline->first_s, of->items[0].from_s);
		timeline->last_s =
		    fmax(timeline->last_s, of->items[of->count - 1].to_s);
	}
}

static enum lw_status
fill_rows(struct timeline *timeline, struct lw_arena *arena,
    const struct timeline_stretches *lamps, struct lw_err *err)
{
	size_t lamp_count = timeline->from->lamp_count, i, k;
	enum lw_status status = LW_OK;

	for (i = 0; i < timeline->row_count; i++) {
		struct timeline_row *row = &timeline->rows[i];

		row->lanes = arena_array(arena, lamp_count, sizeof *row->lanes);
		if (row->lanes == NULL)
			return err_no_memory(err);
		for (k = 0; status == LW_OK && k < lamp_count; k++)
			status = timeline_lane(&row->lanes[k], arena, row,
			    &lamps[k], timeline->from->lamps[k].sight, err);
	}
	return status;
}

enum lw_status
timeline_pick(struct timeline *timeline, struct lw_arena *arena,
    const struct timeline_source *from, struct lw_err *err)
{
	struct timeline_stretches *lamps;
	const struct timeline_stretches *lead;
	struct cycle *cycles;
	enum lw_status status;
	size_t i;

	memset(timeline, 0, sizeof *timeline);
	timeline->from = from;
	lamps = arena_array(arena, from->lamp_count, sizeof *lamps);
	if (lamps == NULL && from->lamp_count > 0)
		return err_no_memory(err);
	for (i = 0; i < from->lamp_count; i++) {
		status = timeline_stretches(&lamps[i], arena, from, i, err);
		if (status != LW_OK)
			return status;
		timeline->taps = from->lamps[i].levels == NULL;
	}
	find_ends(timeline, lamps);
	if (!(timeline->last_s > timeline->first_s))
		return err_set(
		    err, LW_NOT_FOUND, "there is nothing that can be drawn");
	lead = &lamps[leader(lamps, from->lamp_count)];
	cycles = arena_array(arena, lead->count + 1, sizeof *cycles);
	if (cycles == NULL)
		return err_no_memory(err);
	if (has_cycles(lead))
		rows_by_cycle(timeline, cycles, find_cycles(cycles, lead));
	else
		rows_by_time(timeline, lead);
	return fill_rows(timeline, arena, lamps, err);
}

/* --- words ---------------------------------------------------------------- */

char *
timeline_seconds(char *text, double seconds)
{
	char number[32];
	int digits = 2;

	/* To a hundredth; below a tenth, two digits; large ones whole. */
	if (fabs(seconds) < 0.0005)
		seconds = 0;
	if (fabs(seconds) >= 1000)
		seconds = round(seconds);
	while (digits < 12 && fabs(seconds) >= pow(10, digits - 2))
		digits++;
	seconds = num_round(seconds, digits);
	num_format(number, sizeof number, seconds == 0 ? 0 : seconds);
	snprintf(text, 40, "%s s", number);
	return text;
}

char *
timeline_count(char *text, const struct timeline_group *group)
{
	snprintf(text, 40, "%zu%s%s", group->count,
	    group->is_long    ? "L"
	    : group->is_short ? "S"
			      : "",
	    group->open ? " or more" : "");
	return text;
}

const char *
timeline_shown(const struct timeline *timeline, struct lw_arena *arena)
{
	const struct timeline_row *last;
	char from[40], to[40], whole[40], cycles[80] = "";

	last = &timeline->rows[timeline->row_count - 1];
	if (timeline->by_cycle && timeline->cycles > 0)
		snprintf(cycles, sizeof cycles, ": %zu of %zu whole cycle%s",
		    timeline->shown_cycles, timeline->cycles,
		    timeline->cycles == 1 ? "" : "s");
	timeline_seconds(whole, timeline->last_s - timeline->first_s);
	if (timeline->rows[0].start_s - timeline->first_s <
		timeline->span_s * 0.05 &&
	    timeline->last_s - last->end_s < timeline->span_s * 0.05)
		return arena_printf(
		    arena, "The whole recording, %s%s.", whole, cycles);
	timeline_seconds(from, timeline->rows[0].start_s - timeline->first_s);
	timeline_seconds(to, last->end_s - timeline->first_s);
	return arena_printf(arena,
	    "The part from %s to %s of the recording's %s%s.", from, to, whole,
	    cycles);
}
