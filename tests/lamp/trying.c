/* Makes a recording of a cell, has it read, and judges what was read. */
#include "lamp/cells.h"

#include "lamp/canonical.h"
#include "lamp/drawing.h"

#include <stdlib.h>
#include <string.h>

/* What cannot be told, and what else may be said of it. */
static const struct {
	const char *shown, *read;
} limits[] = {
    {"1-1", "2"},
    {"1-1-1", "3"},
    {"3L", "3"},
    {"3S", "3"},
    {"3+3", "3"},
    {"on", "off"},
    {"off", "on"},
};

enum { LIMITS = sizeof limits / sizeof limits[0] };

static bool
same_code(const struct code *read, const struct code *shown)
{
	double hertz = shown->millihertz, apart = read->millihertz;
	size_t i;

	if (read->coding != shown->coding || read->count != shown->count)
		return false;
	if (read->coding == LW_CODING_STEADY)
		return read->lit == shown->lit;
	if (read->coding == LW_CODING_RATE) {
		apart = fabs(apart - hertz) / hertz;
		return apart < 0.1 &&
		       (read->duty == 0 || shown->duty == 0 ||
			   fabs((double)read->duty - shown->duty) < 11);
	}
	for (i = 0; i < read->count; i++)
		if (read->runs[i].flashes != shown->runs[i].flashes ||
		    (read->coding == LW_CODING_LONG_SHORT &&
			read->runs[i].longer != shown->runs[i].longer))
			return false;
	return true;
}

/* From any of the codes on. */
static bool
same_lamp(const struct shown *read, const struct shown *shown)
{
	size_t by, i, count = shown->count;

	if (read->count != count || strcmp(read->lamp, shown->lamp) != 0)
		return false;
	for (by = 0; by < count; by++) {
		for (i = 0; i < count; i++)
			if (!same_code(&read->codes[(i + by) % count],
				&shown->codes[i]))
				break;
		if (i == count)
			return true;
	}
	return false;
}

bool
cell_right(const char *text, const char *shown)
{
	struct canonical *both = calloc(2, sizeof *both);
	bool right = false;
	size_t i;

	if (both == NULL || !canonical_parse(&both[0], text) ||
	    !canonical_parse(&both[1], shown) || both[0].count != both[1].count)
		goto out;
	right = true;
	for (i = 0; right && i < both[0].count; i++)
		right = same_lamp(&both[0].lamps[i], &both[1].lamps[i]);
out:
	free(both);
	return right;
}

/* What cannot be told may be read as either, or be left open. */
static bool
right_in(const struct cell *cell, const char *text, const char *shown)
{
	size_t i;

	if (cell_right(text, shown))
		return true;
	for (i = 0; cell->families == FAMILY_LIMIT && i < LIMITS; i++)
		if (strcmp(limits[i].shown, shown) == 0)
			return strcmp(text, limits[i].read) == 0;
	return false;
}

static void
judge(struct tried *tried, const struct cell *cell, const struct lw_seen *seen)
{
	bool open = tried->status == LW_UNDECIDED;
	size_t i;

	tried->cycles = seen->cycles;
	if (!open) {
		strcpy(tried->text, seen->text);
		tried->confidence = seen->confidence;
	} else if (seen->also_count > 0) {
		strcpy(tried->text, seen->also[0].text);
		tried->confidence = seen->also[0].confidence;
	}
	tried->likeliest = right_in(cell, tried->text, tried->how.pattern);
	if (tried->likeliest)
		tried->right = tried->confidence;
	for (i = 0; i < seen->also_count; i++)
		if (cell_right(seen->also[i].text, tried->how.pattern) &&
		    tried->right == 0)
			tried->right = seen->also[i].confidence;
	tried->verdict = open		    ? VERDICT_UNDECIDED
			 : tried->likeliest ? VERDICT_RIGHT
					    : VERDICT_WRONG;
	/* To leave open what cannot be told is right. */
	if (open && tried->likeliest && cell->families == FAMILY_LIMIT)
		tried->verdict = VERDICT_RIGHT;
}

bool
cell_try(struct tried *tried, const struct cell *cell, uint64_t seed,
    double (*clock)(void))
{
	struct lw_arena *arena = lw_arena_new();
	const struct lw_seen *seen = NULL;
	struct cell_known known;
	struct lw_known_lamp lamps[LW_SERIES_LAMPS_MAX] = {{0}};
	struct made made;
	bool done = false;
	size_t i;

	memset(tried, 0, sizeof *tried);
	cell_draw(&tried->how, &known, cell, seed);
	if (arena == NULL || !(cell->taps ? make_taps(&made, &tried->how)
					  : make_recording(&made, &tried->how)))
		goto out;
	for (i = 0; i < LW_SERIES_LAMPS_MAX; i++)
		lamps[i] = known.lamp;
	if (clock != NULL)
		tried->took_s = -clock();
	tried->status = cell->taps ? lw_taps_read(&seen, arena, made.seconds,
					 made.series.count, made.until_s,
					 known.set ? lamps : NULL, NULL)
				   : lw_light_read(&seen, arena, &made.series,
					 known.set ? lamps : NULL, NULL);
	if (clock != NULL)
		tried->took_s += clock();
	tried->samples = made.series.count * made.series.lamp_count;
	done = tried->status == LW_OK || tried->status == LW_UNDECIDED;
	if (done)
		judge(tried, cell, seen);
	made_free(&made);
out:
	lw_arena_free(arena);
	return done;
}
