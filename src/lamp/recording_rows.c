/* The rows of a recording: how many are kept whatever comes, and their order.
 * Rows that are closer than a lamp's flashes can tell are averaged once there
 * are too many. Reading them is left to recording.c. */
#include "lamp/recording_inside.h"

#include "base/err.h"
#include "base/num.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum { FIRST_ROOM = 1024 };

/* Rows are averaged no further apart than this: 200 a second are plenty for
 * flashes that a person can see. */
static const double near_s = 0.005;

/* Times further apart than this may well be in another unit. */
static const double far_s = 2;

void
recording_rows_free(struct rows *rows)
{
	free(rows->seconds);
	free(rows->levels);
}

/* --- keeping ------------------------------------------------------------- */

static enum lw_status
grow(struct rows *rows, struct lw_err *err)
{
	size_t room = rows->room == 0 ? FIRST_ROOM : 2 * rows->room;
	double *seconds = malloc(room * sizeof *seconds);
	double *levels = NULL;
	size_t l;

	if (rows->lamp_count > 0)
		levels = malloc(room * rows->lamp_count * sizeof *levels);
	if (seconds == NULL || (levels == NULL && rows->lamp_count > 0)) {
		free(seconds);
		free(levels);
		return err_no_memory(err);
	}
	if (rows->count > 0)
		memcpy(seconds, rows->seconds, rows->count * sizeof *seconds);
	for (l = 0; l < rows->lamp_count && rows->count > 0; l++)
		memcpy(levels + l * room, rows->levels + l * rows->room,
		    rows->count * sizeof *levels);
	recording_rows_free(rows);
	rows->seconds = seconds;
	rows->levels = levels;
	rows->room = room;
	return LW_OK;
}

static bool
is_near(const struct rows *rows, size_t row)
{
	double step = rows->seconds[row + 1] - rows->seconds[row];

	return step >= 0 && step <= near_s;
}

static double *
level_of(const struct rows *rows, size_t lamp, size_t row)
{
	return &rows->levels[lamp * rows->room + row];
}

/* Put the mean of `n` rows from `from` at `to`. */
static void
put_mean(struct rows *rows, size_t to, size_t from, size_t n)
{
	size_t l, i;
	double sum;

	for (l = 0; l < rows->lamp_count; l++) {
		for (sum = 0, i = 0; i < n; i++)
			sum += *level_of(rows, l, from + i);
		*level_of(rows, l, to) = sum / (double)n;
	}
}

/* Average neighbours in pairs. False: too few are near enough. */
static bool
halve(struct rows *rows)
{
	size_t pairs = 0, from, to, n;

	for (from = 0; from + 1 < rows->count; from++) {
		if (is_near(rows, from)) {
			pairs++;
			from++;
		}
	}
	if (pairs < rows->count / 4)
		return false;
	for (from = 0, to = 0; from < rows->count; from += n, to++) {
		n = from + 1 < rows->count && is_near(rows, from) ? 2 : 1;
		put_mean(rows, to, from, n);
		rows->seconds[to] =
		    n == 2 ? (rows->seconds[from] + rows->seconds[from + 1]) / 2
			   : rows->seconds[from];
	}
	rows->count = to;
	rows->each *= 2;
	return true;
}

static enum lw_status
keep(
    struct rows *rows, double seconds, const double *levels, struct lw_err *err)
{
	enum lw_status status = LW_OK;
	size_t l;

	if (rows->count == LW_SERIES_MAX && !halve(rows)) {
		rows->full = true;
		return LW_OK;
	}
	if (rows->count == rows->room)
		status = grow(rows, err);
	if (status != LW_OK)
		return status;
	rows->seconds[rows->count] = seconds;
	for (l = 0; l < rows->lamp_count; l++)
		*level_of(rows, l, rows->count) = levels[l];
	rows->count++;
	return LW_OK;
}

/* Keep the mean of what is held. */
static enum lw_status
keep_held(struct rows *rows, struct lw_err *err)
{
	double levels[LW_SERIES_LAMPS_MAX];
	double n = (double)rows->held;
	size_t l;

	if (rows->held == 0)
		return LW_OK;
	for (l = 0; l < rows->lamp_count; l++)
		levels[l] = rows->held_levels[l] / n;
	rows->held = 0;
	return keep(rows, rows->held_from_s + rows->held_s / n, levels, err);
}

/* Hold a row until there are as many as make one. */
static enum lw_status
hold(
    struct rows *rows, double seconds, const double *levels, struct lw_err *err)
{
	enum lw_status status = LW_OK;
	size_t l;

	if (rows->held > 0 && (seconds < rows->held_from_s ||
				  seconds - rows->held_from_s > near_s))
		status = keep_held(rows, err);
	if (status != LW_OK)
		return status;
	if (rows->held == 0) {
		rows->held_from_s = seconds;
		rows->held_s = 0;
		memset(rows->held_levels, 0, sizeof rows->held_levels);
	}
	rows->held_s += seconds - rows->held_from_s;
	for (l = 0; l < rows->lamp_count; l++)
		rows->held_levels[l] += levels[l];
	rows->held++;
	return rows->held == rows->each ? keep_held(rows, err) : LW_OK;
}

enum lw_status
recording_row(struct rows *rows, double seconds, const double *levels,
    unsigned line, struct lw_err *err)
{
	if (rows->taken == 0) {
		rows->each = 1;
		rows->first_s = seconds;
	} else if (seconds < rows->last_s && rows->back_line == 0) {
		rows->back_line = line;
		rows->back_from_s = rows->last_s;
		rows->back_to_s = seconds;
	}
	rows->taken++;
	rows->last_s = seconds;
	if (rows->full)
		return LW_OK;
	if (rows->each > 1)
		return hold(rows, seconds, levels, err);
	return keep(rows, seconds, levels, err);
}

/* --- order --------------------------------------------------------------- */

/* A stable merge sort of `order` by time, bottom up, with room in `spare`. */
static void
sort(uint32_t *order, uint32_t *spare, const double *seconds, size_t count)
{
	uint32_t *from = order, *to = spare, *other;
	size_t width, at, i, j, middle, end, k;

	for (width = 1; width < count; width *= 2) {
		for (at = 0; at < count; at = end) {
			middle = at + width < count ? at + width : count;
			end = middle + width < count ? middle + width : count;
			i = at;
			j = middle;
			for (k = at; k < end; k++)
				to[k] = j == end || (i < middle &&
							seconds[from[i]] <=
							    seconds[from[j]])
					    ? from[i++]
					    : from[j++];
		}
		other = from;
		from = to;
		to = other;
	}
	if (from != order)
		memcpy(order, from, count * sizeof *order);
}

/*
 * Whether the order of time is plain. Rows that came late, a ring that was
 * written out from its middle, or a file from the last row to the first fall
 * into few pieces once they are in order; two recordings in one file would
 * be shuffled into each other row by row.
 */
static bool
is_plain(
    const uint32_t *order, uint32_t *piece, const double *seconds, size_t count)
{
	size_t i, changes = 0;

	piece[0] = 0;
	for (i = 1; i < count; i++)
		piece[i] = piece[i - 1] + (seconds[i] < seconds[i - 1]);
	for (i = 1; i < count; i++)
		changes += piece[order[i]] != piece[order[i - 1]];
	return changes <= 4 * (size_t)piece[count - 1];
}

static void
apply(double *values, double *spare, const uint32_t *order, size_t count)
{
	size_t i;

	for (i = 0; i < count; i++)
		spare[i] = values[order[i]];
	memcpy(values, spare, count * sizeof *values);
}

static enum lw_status
not_plain(const struct rows *rows, struct lw_err *err)
{
	char from[32], to[32];

	num_format(from, sizeof from, num_round(rows->back_from_s, 6));
	num_format(to, sizeof to, num_round(rows->back_to_s, 6));
	return err_set_at(err, LW_BAD_INPUT, rows->back_line, 0,
	    "the time goes back from %s s to %s s here, and later rows fall "
	    "between earlier ones; if the file holds two recordings, give one "
	    "at a time",
	    from, to);
}

static enum lw_status
put_in_order(struct rows *rows, struct remarks *remarks, struct lw_err *err)
{
	size_t i, l;
	uint32_t *order = malloc(rows->count * sizeof *order);
	uint32_t *extra = malloc(rows->count * sizeof *extra);
	double *spare = malloc(rows->count * sizeof *spare);
	enum lw_status status = LW_OK;

	if (order == NULL || extra == NULL || spare == NULL) {
		status = err_no_memory(err);
		goto out;
	}
	for (i = 0; i < rows->count; i++)
		order[i] = (uint32_t)i;
	sort(order, extra, rows->seconds, rows->count);
	if (!is_plain(order, extra, rows->seconds, rows->count)) {
		status = not_plain(rows, err);
		goto out;
	}
	apply(rows->seconds, spare, order, rows->count);
	for (l = 0; l < rows->lamp_count; l++)
		apply(level_of(rows, l, 0), spare, order, rows->count);
	recording_remark(remarks,
	    "The times were not in order, first on line %u; the rows were put "
	    "in order.",
	    rows->back_line);
out:
	free(spare);
	free(extra);
	free(order);
	return status;
}

/* Rows of one time become one, the mean of them. */
static void
join_repeated(struct rows *rows, struct remarks *remarks)
{
	size_t from, to, n, joined;

	for (from = 0, to = 0; from < rows->count; from += n, to++) {
		for (n = 1; from + n < rows->count; n++)
			if (rows->seconds[from + n] != rows->seconds[from])
				break;
		if (to == from && n == 1)
			continue;
		put_mean(rows, to, from, n);
		rows->seconds[to] = rows->seconds[from];
	}
	joined = rows->count - to;
	rows->count = to;
	if (joined == 0)
		return;
	if (rows->lamp_count == 0)
		recording_remark(remarks,
		    "%zu %s had the time of another and %s left out.", joined,
		    joined == 1 ? "tap" : "taps", joined == 1 ? "was" : "were");
	else
		recording_remark(remarks,
		    "%zu %s had the time of another and %s averaged with it.%s",
		    joined, joined == 1 ? "row" : "rows",
		    joined == 1 ? "was" : "were",
		    joined > to ? " Record the time with more decimals, or "
				  "flashes are lost."
				: "");
}

/* --- the end ------------------------------------------------------------- */

static void
remark_length(const struct rows *rows, struct remarks *remarks)
{
	char text[32];
	double span = rows->seconds[rows->count - 1] - rows->seconds[0];

	num_format(text, sizeof text, num_round(span, 4));
	if (rows->full)
		recording_remark(remarks,
		    "The recording is too long to be used whole: its first %s "
		    "s were used.",
		    text);
	if (rows->each > 1)
		recording_remark(remarks,
		    "The recording has %zu rows; neighbours less than 5 ms "
		    "apart were averaged.",
		    rows->taken);
	if (rows->count < 2 || span / (double)(rows->count - 1) <
				   (rows->lamp_count > 0 ? 1 : 10) * far_s)
		return;
	num_format(
	    text, sizeof text, num_round(span / (double)(rows->count - 1), 3));
	recording_remark(remarks,
	    "The %s are %s s apart; if the times are milliseconds, call their "
	    "column ms in a first line.",
	    rows->lamp_count > 0 ? "rows" : "taps", text);
}

enum lw_status
recording_settle(struct rows *rows, struct remarks *remarks, struct lw_err *err)
{
	enum lw_status status = LW_OK;
	size_t i, l;

	if (!rows->full)
		status = keep_held(rows, err);
	if (status != LW_OK)
		return status;
	for (i = 1; i < rows->count; i++)
		if (rows->seconds[i] < rows->seconds[i - 1])
			break;
	if (i < rows->count)
		status = put_in_order(rows, remarks, err);
	if (status != LW_OK)
		return status;
	if (rows->count == 0)
		return LW_OK;
	join_repeated(rows, remarks);
	remark_length(rows, remarks);
	for (l = 1; l < rows->lamp_count; l++)
		memmove(rows->levels + l * rows->count, level_of(rows, l, 0),
		    rows->count * sizeof *rows->levels);
	rows->room = rows->count;
	return LW_OK;
}
