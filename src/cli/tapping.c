/* Counts keys as taps, and looks at how they are spaced. What they say is
 * left to the library's decoder; here it is only guessed what is a group, for
 * the running picture and for when to stop. */
#include "cli/tapping.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define TOGETHER_S 0.005 /* keys of one read, or nearly so */
#define HELD_RUN 3	 /* repeats in a row that tell a held key */
#define HICCUP_S 0.25	 /* a held key that was delayed on its way */
#define DELAY_LOW_S 0.15 /* from pressing a key to its first repeat */
#define DELAY_HIGH_S 1.2
#define PAUSE_RATIO 1.5	  /* a pause is longer than a gap by that */
#define SILENCE_RATIO 1.6 /* a silence is no gap from that on */
#define GROUPS_SURE 3	  /* two whole ones; the first may be part of one */
#define CYCLES_SURE 2
#define EVEN_SURE 12 /* evenly spaced taps: few groups are so long */
#define EVEN_CONFIDENCE 0.9
#define EVEN_KNOWN 6   /* evenly spaced taps that say how fast it is */
#define STILL_PAUSES 4 /* pauses without a tap: it was given up */
#define STILL_GAPS 12  /* where no pause was seen; one may be 10 gaps */
#define STILL_LOW_S 3
#define STILL_UNSURE_S 5
#define STILL_HIGH_S 20
#define SILENT_PAUSES 1.5

void
tapping_begin(struct tapping *taps, double usual_pause_s)
{
	memset(taps, 0, sizeof *taps);
	taps->usual_pause_s = usual_pause_s;
}

void
tapping_again(struct tapping *taps, double now_s)
{
	bool had = taps->count > 0;

	tapping_begin(taps, taps->usual_pause_s);
	taps->active_s = now_s;
	if (had)
		taps->told = TAPPING_TOLD_AGAIN;
}

static void
add(struct tapping *taps, uint32_t key, double at_s)
{
	if (taps->count == LW_TAPS_MAX)
		return;
	taps->seconds[taps->count] = at_s;
	taps->keys[taps->count] = key;
	taps->count++;
}

/* A key is held: what counted since it was pressed is taken back. Its first
 * repeat comes after a delay, so it looked like a tap. */
static void
drop_repeats(struct tapping *taps)
{
	size_t from = taps->run_from;
	double delay;

	taps->count = from + 1;
	if (from == 0 || taps->keys[from - 1] != taps->keys[from])
		return;
	delay = taps->seconds[from] - taps->seconds[from - 1];
	if (delay > DELAY_LOW_S && delay < DELAY_HIGH_S)
		taps->count = from;
}

void
tapping_key(struct tapping *taps, uint32_t key, double at_s)
{
	double since = taps->any ? at_s - taps->last_s : INFINITY;
	bool again = taps->any && key == taps->last_key;

	taps->active_s = at_s;
	taps->told = TAPPING_TOLD_NOTHING;
	taps->any = true;
	taps->last_s = at_s;
	if (since < TOGETHER_S) {
		taps->told = taps->run >= HELD_RUN ? TAPPING_TOLD_HELD
						   : TAPPING_TOLD_TOGETHER;
		return;
	}
	taps->last_key = key;
	if (!again ||
	    since >= (taps->run < HELD_RUN ? TAPPING_REPEAT_S : HICCUP_S))
		taps->run = 0;
	else if (taps->run++ == 0)
		taps->run_from = taps->count - 1;
	if (taps->run == HELD_RUN)
		drop_repeats(taps);
	if (taps->run >= HELD_RUN)
		taps->told = TAPPING_TOLD_HELD;
	else if (since < TAPPING_ONE_PRESS_S)
		taps->told = TAPPING_TOLD_TOGETHER;
	else
		add(taps, key, at_s);
}

void
tapping_back(struct tapping *taps, double at_s)
{
	taps->active_s = at_s;
	taps->any = false;
	taps->run = 0;
	taps->told = taps->count > 0 ? TAPPING_TOLD_BACK : TAPPING_TOLD_NO_BACK;
	if (taps->count > 0)
		taps->count--;
}

static int
compare(const void *a, const void *b)
{
	double left = *(const double *)a, right = *(const double *)b;

	return (left > right) - (left < right);
}

/*
 * Where sorted lengths fall into short and long: the split that leaves least
 * variance of their logarithms on both sides (Otsu, IEEE Trans. SMC 9, 1979).
 * How many are short; all, where the long ones are not much longer.
 */
static size_t
split(const double *lengths, size_t count)
{
	double all = 0, low = 0, best = 0, between, apart;
	size_t i, at = count;

	for (i = 0; i < count; i++)
		all += log(lengths[i]);
	for (i = 1; i < count; i++) {
		low += log(lengths[i - 1]);
		apart = (all - low) / (double)(count - i) - low / (double)i;
		between = (double)i * (double)(count - i) * apart * apart;
		if (between > best && apart > log(PAUSE_RATIO)) {
			best = between;
			at = i;
		}
	}
	return at;
}

void
tapping_shape(
    struct tapping_shape *shape, const struct tapping *taps, double now_s)
{
	double lengths[LW_TAPS_MAX], silence;
	size_t count = 0, i, shorts, longs;

	memset(shape, 0, sizeof *shape);
	for (i = 1; i < taps->count; i++)
		lengths[count++] = taps->seconds[i] - taps->seconds[i - 1];
	if (count == 0)
		return;
	qsort(lengths, count, sizeof lengths[0], compare);
	silence = now_s - taps->seconds[taps->count - 1];
	longs = count;
	shorts = split(lengths, count);
	/* Without a pause so far, the one that has begun may be the first. */
	if (shorts == count && silence > SILENCE_RATIO * lengths[count - 1])
		lengths[count++] = silence;
	shape->gap_s = lengths[(shorts - 1) / 2];
	if (shorts == count)
		return;
	shape->cut_s = sqrt(lengths[shorts - 1] * lengths[shorts]);
	if (longs > shorts)
		shape->pause_s = lengths[shorts + (longs - shorts - 1) / 2];
	shape->over = silence > shape->cut_s;
	shape->closed = shape->over;
	for (i = 1; i < taps->count; i++)
		if (taps->seconds[i] - taps->seconds[i - 1] > shape->cut_s)
			shape->closed++;
}

size_t
tapping_groups(size_t sizes[TAPPING_GROUPS_MAX], const struct tapping *taps,
    const struct tapping_shape *shape)
{
	size_t count = 0, i;

	for (i = 0; i < taps->count; i++) {
		double gap =
		    i > 0 ? taps->seconds[i] - taps->seconds[i - 1] : INFINITY;

		if (i > 0 && (shape->cut_s <= 0 || gap <= shape->cut_s)) {
			sizes[count - 1]++;
			continue;
		}
		if (count == TAPPING_GROUPS_MAX)
			memmove(sizes, sizes + 1, --count * sizeof sizes[0]);
		sizes[count++] = 1;
	}
	return count;
}

double
tapping_until(
    const struct tapping *taps, const struct tapping_shape *shape, double now_s)
{
	double last;

	if (taps->count == 0 || shape->pause_s <= 0)
		return now_s;
	last = taps->seconds[taps->count - 1] + SILENT_PAUSES * shape->pause_s;
	return last < now_s ? last : now_s;
}

/* How long without a key until it has been given up. */
static double
still_s(const struct tapping *taps, const struct tapping_shape *shape)
{
	double low = STILL_UNSURE_S;
	double still = STILL_PAUSES * taps->usual_pause_s;

	if (shape->pause_s > 0) {
		low = STILL_LOW_S;
		still = STILL_PAUSES * shape->pause_s;
	} else if (taps->count >= EVEN_KNOWN) {
		still = fmax(still, STILL_GAPS * shape->gap_s);
	} else if (still <= 0) {
		still = STILL_HIGH_S;
	}
	return fmin(fmax(still, low), STILL_HIGH_S);
}

/* One flash a period, or a rate: taps do not tell these apart. */
static bool
is_even(const char *pattern)
{
	return strcmp(pattern, "1") == 0 || strstr(pattern, "Hz") != NULL;
}

static bool
is_sure(const struct tapping *taps, const struct tapping_shape *shape,
    const struct lw_seen *seen)
{
	double confidence = seen->confidence;
	size_t i;

	if (seen->text[0] == '\0')
		return false;
	if (!is_even(seen->text))
		return confidence >= TAPPING_SURE && shape->over &&
		       shape->closed >= GROUPS_SURE &&
		       seen->cycles >= CYCLES_SURE;
	for (i = 0; i < seen->also_count; i++)
		if (is_even(seen->also[i].text))
			confidence += seen->also[i].confidence;
	return confidence >= EVEN_CONFIDENCE && taps->count >= EVEN_SURE;
}

enum tapping_next
tapping_next(const struct tapping *taps, const struct tapping_shape *shape,
    const struct lw_seen *seen, double now_s)
{
	if (taps->count == LW_TAPS_MAX)
		return TAPPING_ARE_FULL;
	if (taps->count > 0 && now_s - taps->active_s > still_s(taps, shape))
		return TAPPING_HAS_ENDED;
	return seen != NULL && is_sure(taps, shape, seen) ? TAPPING_IS_SURE
							  : TAPPING_GO_ON;
}
