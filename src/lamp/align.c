/* Lays runs along a cycle. Which cycles are tried is left to lamp/guess.c,
 * how long their parts are to lamp/fit.c. */
#include "lamp/align.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Parts past the end of the cycle that a step may look at. */
#define AROUND 6
/* Cycles that fall behind the best one so far by so much are given up. */
#define BEHIND 40.0
/* Ways that are so much less likely than the best, as a logarithm, are let
 * go. */
#define BEAM 18.0
#define BEAM_LOOK 12.0

/* How often things go wrong, a part. Common sense, and tried on the bench. */
#define ODD 0.004		/* a length that has nothing to do with it */
#define ODD_END 0.01		/* the first or last run is something else */
#define TAP_STOPPED 0.3		/* tapping ended before the lamp did */
#define TAP_STOPPED_WITHIN 0.05 /* the same, in the middle of a group */
#define LIGHT_MISSED 0.004	/* besides lost samples */
#define LIGHT_SPLIT 0.001
#define LIGHT_OTHER 0.0003 /* the lamp itself leaves out or adds a flash */
#define TAP_MISSED 0.025
#define TAP_SPLIT 0.006
#define TAP_OTHER 0.002

enum move {
	MOVE_NONE,
	MOVE_MATCH,
	MOVE_MISSED, /* one part was not seen: it and its neighbours are one */
	MOVE_MISSED_TWO,
	MOVE_SPLIT, /* one part was seen as several */
	MOVE_ADDED, /* a flash too many */
	MOVE_LEFT_OUT,
	MOVE_ODD /* the first or last run fits nowhere */
};

struct cell {
	double sum;  /* of all ways here */
	double best; /* of the best one */
	unsigned short from_row;
	unsigned short from_part;
	unsigned char move;
};

/* What a sighting gains as one part of each kind, and as anything at all. */
struct gains {
	double part[PART_KINDS]; /* NAN: not worked out yet */
	double any;
};

struct align_room {
	size_t cells_room;
	struct cell *cells;
	struct gains gains[ALIGN_RUNS_MAX];
	double pace[ALIGN_RUNS_MAX + 1]; /* the best cycle so far, by row */
	double own_pace[ALIGN_RUNS_MAX + 1];
	double belief; /* in the cycle that is looked at */
	bool paced;
	bool failed;
};

struct align_room *
align_room_new(void)
{
	return calloc(1, sizeof(struct align_room));
}

void
align_room_free(struct align_room *room)
{
	if (room != NULL)
		free(room->cells);
	free(room);
}

/* One laying. Rows are sightings taken so far, columns the next part. */
struct laying {
	const struct sightings *seen;
	const struct cycle *cycle;
	const struct tempo *tempo;
	struct cell *cells;
	struct gains *gains; /* a row each */
	bool sums;	     /* all ways are wanted, not the best alone */
	size_t stride; /* sightings that a lost part is gone with: 2, taps 1 */
	unsigned char
	    parts[CYCLE_PARTS_MAX + AROUND]; /* and on from the first */
	double missed[PART_KINDS];	     /* logarithm of how often */
	double split;
	double other;
	double variance[PART_KINDS];
	double around; /* the logarithm of a cycle's length */
};

static struct cell *
cell_at(const struct laying *laying, size_t row, size_t part)
{
	return &laying->cells[row * laying->cycle->count + part];
}

static double
log_add(double one, double other)
{
	double most = one > other ? one : other;
	double least = one > other ? other : one;

	if (!(most - least < 15))
		return most;
	return most + log1p(exp(least - most));
}

static void
reach(struct laying *laying, size_t row, size_t part, const struct cell *from,
    size_t from_row, size_t from_part, enum move move, double gain)
{
	struct cell *to;

	while (part >= laying->cycle->count)
		part -= laying->cycle->count;
	to = cell_at(laying, row, part);
	if (from->best + gain > to->best) {
		to->best = from->best + gain;
		to->from_row = (unsigned short)from_row;
		to->from_part = (unsigned short)from_part;
		to->move = (unsigned char)move;
	}
	if (laying->sums)
		to->sum = log_add(to->sum, from->sum + gain);
}

static unsigned char
part_at(const struct laying *laying, size_t part)
{
	return laying->parts[part];
}

/* The length of some parts in a row, and its variance. */
static double
length_of(
    const struct laying *laying, size_t part, size_t parts, double *variance)
{
	double mean = 0;
	size_t i;

	*variance = laying->tempo->floor_s * laying->tempo->floor_s;
	for (i = 0; i < parts; i++) {
		unsigned char kind = part_at(laying, part + i);

		mean += laying->tempo->mean_s[kind];
		*variance += laying->variance[kind];
	}
	return mean;
}

/* A length against what it should be, or anything at all. */
static double
log_length(
    double seen, double seen_variance, double mean, double variance, double any)
{
	double all = variance + seen_variance;
	double off = (seen - mean) * (seen - mean) / all;
	double fits;

	if (off > 60)
		return any;
	fits = -0.5 * (off + log(6.283185307 * all));
	return fits > any + 8 ? fits : log_add(fits, any);
}

/* How likely a part is to be longer than what was seen of it. */
static double
log_longer(double seen, double seen_variance, double mean, double variance)
{
	double off = (seen - mean) / sqrt(2 * (variance + seen_variance));

	if (off < -4)
		return 0;
	return log(0.5 * erfc(off) + 1e-6);
}

static bool
is_open(const struct laying *laying, size_t row)
{
	return sightings_open(laying->seen, row);
}

static double
work_out_gain(
    const struct laying *laying, size_t row, size_t part, size_t parts)
{
	const struct sighting *sighting = &laying->seen->items[row];
	double variance, mean = length_of(laying, part, parts, &variance);

	if (is_open(laying, row))
		return log_longer(
		    sighting->length_s, sighting->variance, mean, variance);
	return log_length(sighting->length_s, sighting->variance, mean,
	    variance, laying->gains[row].any);
}

/* The gain of taking one sighting for some parts. */
static double
gain_of(const struct laying *laying, size_t row, size_t part, size_t parts)
{
	double *known;

	if (parts > 1)
		return work_out_gain(laying, row, part, parts);
	known = &laying->gains[row].part[part_at(laying, part)];
	if (isnan(*known))
		*known = work_out_gain(laying, row, part, 1);
	return *known;
}

static bool
fits_side(const struct laying *laying, size_t row, size_t part)
{
	return laying->seen->taps ||
	       laying->seen->items[row].on ==
		   (part_is_flash(part_at(laying, part)) !=
		       laying->cycle->inverted);
}

/* One part that was seen as several sightings. */
static void
try_split(
    struct laying *laying, size_t row, size_t part, const struct cell *from)
{
	const struct sightings *seen = laying->seen;
	size_t pieces = laying->stride + 1, i;
	double length = 0, variance = 0, mean, own, gain;
	bool open = false;

	if (row + pieces > seen->count)
		return;
	for (i = 0; i < pieces; i++) {
		open = is_open(laying, row + i);
		if (open && row + i + 1 < seen->count)
			return;
		length += seen->items[row + i].length_s;
	}
	variance = seen->items[row].variance / 2 +
		   seen->items[row + pieces - 1].variance / 2;
	mean = length_of(laying, part, 1, &own);
	/* The cuts are anywhere within it. */
	gain = laying->split +
	       (open ? log_longer(length, variance, mean, own)
		     : log_length(length, variance, mean, own,
			   laying->gains[row].any)) +
	       (pieces == 3 ? log(2 / (length * length + 1e-9))
			    : -log(length + 1e-9));
	reach(
	    laying, row + pieces, part + 1, from, row, part, MOVE_SPLIT, gain);
}

/* Parts that were not seen: what is around them is one. */
static void
try_missed(struct laying *laying, size_t row, size_t part,
    const struct cell *from, double least)
{
	size_t stride = laying->stride;
	/* Of taps, the second of two intervals ends at the tap that was
	 * missed no more. */
	unsigned char lost =
	    stride == 2 ? part_at(laying, part + 1) : PART_SHORT;
	double missed = laying->missed[lost];

	if (is_open(laying, row) && laying->seen->count <= 2)
		return;
	if (from->best + missed < least)
		return;
	reach(laying, row + 1, part + 1 + stride, from, row, part, MOVE_MISSED,
	    missed + gain_of(laying, row, part, 1 + stride));
	if (laying->cycle->count < 4 || from->best + 2 * missed < least)
		return;
	reach(laying, row + 1, part + 1 + 2 * stride, from, row, part,
	    MOVE_MISSED_TWO,
	    2 * missed + gain_of(laying, row, part, 1 + 2 * stride));
}

/* A flash that the lamp, or the hand, added or left out. */
static void
try_other(
    struct laying *laying, size_t row, size_t part, const struct cell *from)
{
	size_t stride = laying->stride;
	unsigned char next = part_at(laying, part + 1);

	if (laying->cycle->count <= stride ||
	    part_at(laying, part) == PART_PAUSE)
		return;
	if (row + stride < laying->seen->count && !is_open(laying, row) &&
	    stride == 2 && next != PART_PAUSE && !is_open(laying, row + 1))
		reach(laying, row + 2, part, from, row, part, MOVE_ADDED,
		    laying->other + gain_of(laying, row, part, 1) +
			gain_of(laying, row + 1, part + 1, 1));
	if (stride == 1 && !is_open(laying, row))
		reach(laying, row + 1, part, from, row, part, MOVE_ADDED,
		    laying->other + gain_of(laying, row, part, 1));
	if (next != PART_PAUSE)
		reach(laying, row + 1, part + stride + 1, from, row, part,
		    MOVE_LEFT_OUT,
		    laying->other + gain_of(laying, row, part + stride, 1));
}

/* All that a sighting may be; ways below `least` are not worth it. */
static void
try_moves(struct laying *laying, size_t row, size_t part, double least)
{
	const struct cell *from = cell_at(laying, row, part);

	reach(laying, row + 1, part + 1, from, row, part, MOVE_MATCH,
	    gain_of(laying, row, part, 1));
	try_missed(laying, row, part, from, least);
	if (from->best + laying->split >= least)
		try_split(laying, row, part, from);
	if (from->best + laying->other >= least)
		try_other(laying, row, part, from);
}

/* Where it may begin: anywhere in the cycle, by how long each part is; with
 * taps at any of them, and rather at a group's first. */
static void
begin(struct laying *laying)
{
	const struct cell start = {0, 0, 0, 0, MOVE_NONE};
	size_t count = laying->cycle->count, part;
	size_t groups = 0;

	for (part = 0; part < count; part++)
		groups += part_at(laying, part) == PART_PAUSE;
	for (part = 0; part < count; part++) {
		bool first =
		    part == 0 || part_at(laying, part - 1) == PART_PAUSE;
		double chance = -laying->around;

		if (!fits_side(laying, 0, part))
			continue;
		if (laying->seen->taps)
			chance = log(
			    0.4 / (double)count +
			    (first && groups > 0 ? 0.6 / (double)groups : 0));
		reach(laying, 0, part, &start, 0, part, MOVE_NONE, chance);
	}
}

/* The first or last run, taken for something else. */
static void
skip_end(struct laying *laying, size_t row, double length)
{
	size_t part, count = laying->cycle->count;
	bool stopped = laying->seen->taps && is_open(laying, row);
	double chance = log(ODD_END);

	for (part = 0; part < count; part++) {
		const struct cell *from = cell_at(laying, row, part);

		if (isinf(from->best))
			continue;
		if (stopped)
			chance =
			    log(count > 1 && part_at(laying, part) != PART_PAUSE
				    ? TAP_STOPPED_WITHIN
				    : TAP_STOPPED);
		reach(laying, row + 1, part + 1, from, row, part, MOVE_ODD,
		    chance + length);
	}
}

static bool
prepare(struct laying *laying, struct align_room *room)
{
	size_t need = (laying->seen->count + 1) * laying->cycle->count, i;
	const struct tempo *tempo = laying->tempo;
	double around = 0;

	if (room->cells_room < need) {
		free(room->cells);
		room->cells = malloc(need * sizeof *room->cells);
		room->cells_room = room->cells == NULL ? 0 : need;
		if (room->cells == NULL) {
			room->failed = true;
			return false;
		}
	}
	laying->cells = room->cells;
	laying->gains = room->gains;
	for (i = 0; i < laying->cycle->count + AROUND; i++)
		laying->parts[i] =
		    laying->cycle->parts[i % laying->cycle->count];
	for (i = 0; i < laying->seen->count; i++) {
		struct gains *gains = &room->gains[i];
		size_t kind;

		for (kind = 0; kind < PART_KINDS; kind++)
			gains->part[kind] = NAN;
		gains->any = log(ODD / ANY_LENGTH /
				 (laying->seen->items[i].length_s + 0.003));
	}
	for (i = 0; i < need; i++) {
		laying->cells[i].sum = -INFINITY;
		laying->cells[i].best = -INFINITY;
		laying->cells[i].move = MOVE_NONE;
	}
	for (i = 0; i < PART_KINDS; i++) {
		double mean = tempo->mean_s[i];
		double missed = laying->seen->taps ? TAP_MISSED : LIGHT_MISSED;

		laying->variance[i] =
		    tempo->jitter * mean * tempo->jitter * mean;
		if (!laying->seen->taps && laying->seen->lost > 0 &&
		    laying->seen->step_s > 0)
			missed += pow(laying->seen->lost,
			    fmax(1, mean / laying->seen->step_s));
		laying->missed[i] = log(fmin(missed, 0.2));
	}
	laying->split = log(laying->seen->taps ? TAP_SPLIT : LIGHT_SPLIT);
	laying->other = log(laying->seen->taps ? TAP_OTHER : LIGHT_OTHER);
	for (i = 0; i < laying->cycle->count; i++)
		around += tempo->mean_s[laying->cycle->parts[i]];
	laying->around = log(around);
	return true;
}

static void
trace_back(const struct laying *laying, struct mark *marks, size_t part)
{
	size_t row = laying->seen->count, i;

	memset(marks, 0, row * sizeof *marks);
	while (row > 0) {
		const struct cell *cell = cell_at(laying, row, part);
		size_t from = cell->from_row;
		unsigned char parts = 1;

		if (cell->move == MOVE_MISSED)
			parts = (unsigned char)(1 + laying->stride);
		else if (cell->move == MOVE_MISSED_TWO)
			parts = (unsigned char)(1 + 2 * laying->stride);
		else if (cell->move == MOVE_ODD || cell->move == MOVE_NONE)
			parts = 0;
		for (i = from; i < row; i++) {
			marks[i].part = cell->from_part;
			marks[i].parts = parts;
			marks[i].piece = cell->move == MOVE_SPLIT;
			marks[i].whole = cell->move == MOVE_MATCH;
		}
		if (cell->move == MOVE_ADDED && row - from == 2)
			marks[from + 1].part =
			    (unsigned short)((cell->from_part + 1) %
					     laying->cycle->count);
		if (cell->move == MOVE_LEFT_OUT)
			marks[from].part =
			    (unsigned short)((cell->from_part +
						 laying->stride) %
					     laying->cycle->count);
		part = cell->from_part;
		row = from;
	}
}

double
align_look(struct align_room *room, const struct sightings *seen,
    const struct cycle *cycle, const struct tempo *tempo, double belief)
{
	double best;
	size_t i;

	if (!room->paced)
		for (i = 0; i <= seen->count; i++)
			room->pace[i] = -INFINITY;
	room->paced = true;
	room->belief = belief;
	best = belief + align_cycle(room, NULL, false, seen, cycle, tempo);
	if (best > room->pace[seen->count]) {
		memcpy(room->pace, room->own_pace,
		    seen->count * sizeof room->pace[0]);
		room->pace[seen->count] = best;
	}
	return best;
}

bool
align_room_failed(const struct align_room *room)
{
	return room->failed;
}

void
align_look_over(struct align_room *room)
{
	room->paced = false;
}

double
align_cycle(struct align_room *room, struct mark *marks, bool sums,
    const struct sightings *seen, const struct cycle *cycle,
    const struct tempo *tempo)
{
	struct laying laying = {
	    .seen = seen, .cycle = cycle, .tempo = tempo, .sums = sums};
	size_t row, part, last = 0, count = cycle->count;
	double beam = sums ? BEAM : BEAM_LOOK;
	double sum = -INFINITY, best, any;

	laying.stride = seen->taps ? 1 : 2;
	if (!prepare(&laying, room))
		return -INFINITY;
	begin(&laying);
	for (row = 0; row < seen->count; row++) {
		for (best = -INFINITY, part = 0; part < count; part++)
			best = fmax(best, cell_at(&laying, row, part)->best);
		room->own_pace[row] = best + room->belief;
		if (room->paced &&
		    room->own_pace[row] < room->pace[row] - BEHIND)
			return -INFINITY;
		for (part = 0; part < count; part++)
			if (cell_at(&laying, row, part)->best > best - beam)
				try_moves(&laying, row, part, best - beam);
		any = is_open(&laying, row)
			  ? 0
			  : -log(ANY_LENGTH *
				 (seen->items[row].length_s + 0.003));
		if (seen->count > 4 && (row == 0 || row + 1 == seen->count))
			skip_end(&laying, row, any);
	}
	for (best = -INFINITY, part = 0; part < count; part++) {
		const struct cell *cell = cell_at(&laying, seen->count, part);

		sum = sums ? log_add(sum, cell->sum) : fmax(sum, cell->best);
		if (cell->best > best) {
			best = cell->best;
			last = part;
		}
	}
	if (marks != NULL && !isinf(best))
		trace_back(&laying, marks, last);
	return sum;
}
