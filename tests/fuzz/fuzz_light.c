/* Input: a byte that picks how it is read, one for the frame rate, one for the
 * lamps, one for what is known, then a byte for each level, or for each time
 * from one tap to the next. Whatever is seen has to be sound: patterns parse,
 * confidences are probabilities, stretches follow each other in turn. */
#include <lampwright/light.h>

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* Few rows, so that many inputs are tried; more where data[0] says so. */
enum { HEAD = 4, ROWS_MAX = 1500, ROWS_FEW = 150, TAPS_FEW = 40, MORE = 0xF0 };

static void
require(bool good)
{
	if (!good)
		abort();
}

static void
check_text(const char *text, enum lw_coding coding)
{
	struct lw_pattern pattern;

	require(memchr(text, '\0', LW_PATTERN_MAX) != NULL);
	require(lw_pattern_parse(&pattern, text, NULL) == LW_OK);
	require(strcmp(pattern.text, text) == 0);
	require(coding == LW_CODING_UNKNOWN || pattern.coding == coding);
}

/* The answer, and all others, as one distribution. */
static void
check_answers(const char *text, enum lw_coding coding, double confidence,
    const struct lw_also *also, size_t count)
{
	double sum = confidence, before = 1;
	size_t i, j;

	require(confidence >= 0 && confidence <= 1);
	if (text[0] != '\0') {
		check_text(text, coding);
		require(confidence > 0);
	} else {
		require(confidence == 0);
	}
	require(count <= LW_ALSO_MAX);
	for (i = 0; i < count; i++) {
		check_text(also[i].text, LW_CODING_UNKNOWN);
		require(also[i].confidence >= 0 && also[i].confidence <= 1);
		require(also[i].confidence <= before + 1e-12);
		require(strcmp(also[i].text, text) != 0);
		for (j = 0; j < i; j++)
			require(strcmp(also[i].text, also[j].text) != 0);
		before = also[i].confidence;
		sum += also[i].confidence;
	}
	require(sum <= 1 + 1e-9);
}

static bool
is_time(double s)
{
	return isfinite(s) && s >= 0;
}

static void
check_stretches(const struct lw_sight *sight, bool taps)
{
	size_t i;

	for (i = 0; i < sight->stretch_count; i++) {
		const struct lw_stretch *one = &sight->stretches[i];

		require(isfinite(one->from_s) && isfinite(one->to_s));
		require(one->to_s >= one->from_s);
		require(one->kind >= LW_STRETCH_OTHER &&
			one->kind <= LW_STRETCH_DARK);
		if (i > 0)
			require(one->from_s == one[-1].to_s);
		if (i > 0 && !taps)
			require(one->on != one[-1].on);
	}
}

static void
check_sight(const struct lw_sight *sight, size_t rows, bool taps)
{
	size_t i;

	check_answers(sight->text, sight->coding, sight->confidence,
	    sight->also, sight->also_count);
	require(sight->cycles <= rows);
	require(is_time(sight->on_s) && is_time(sight->long_s));
	require(is_time(sight->gap_s) && is_time(sight->group_gap_s));
	require(is_time(sight->pause_s) && is_time(sight->watch_s));
	require(is_time(sight->hertz));
	require(sight->duty >= 0 && sight->duty <= 1);
	require(isfinite(sight->dim) && isfinite(sight->bright));
	check_stretches(sight, taps);
	for (i = 0; i < sight->remark_count; i++)
		require(
		    sight->remarks[i] != NULL && sight->remarks[i][0] != '\0');
}

static void
check_seen(enum lw_status status, const struct lw_seen *seen, size_t rows,
    size_t lamps, bool taps)
{
	size_t i;

	require(status == LW_OK || status == LW_UNDECIDED);
	require(seen != NULL && seen->lamp_count == lamps);
	require((status == LW_OK) == (seen->text[0] != '\0'));
	check_answers(seen->text, seen->coding, seen->confidence, seen->also,
	    seen->also_count);
	require(is_time(seen->watch_s) && seen->cycles <= rows);
	for (i = 0; i < lamps; i++)
		check_sight(&seen->lamps[i], rows, taps);
}

/* What may be known: nothing of it has to fit. */
static struct lw_known_lamp
known_lamp(uint8_t pick)
{
	static const char *const patterns[] = {
	    "3", "7", "2L3S", "3-2", "2.5Hz/50%", "on", "3+7"};
	struct lw_known_lamp lamp = {.coding = (enum lw_coding)(pick & 7)};

	if (pick & 8) {
		lamp.on_s = 0.2;
		lamp.gap_s = 0.2;
		lamp.group_gap_s = 0.6;
		lamp.pause_s = 1;
	}
	lamp.patterns = patterns + (pick >> 7);
	lamp.pattern_count = pick >> 4 & 7;
	if (lamp.pattern_count == 7)
		lamp.pattern_count = 6;
	return lamp;
}

static void
read_light(const uint8_t *data, size_t size, struct lw_arena *arena)
{
	static double at[ROWS_MAX], levels[ROWS_MAX];
	static const char *const names[] = {"green", "red", "left"};
	struct lw_known_lamp known[3];
	struct lw_series series = {.seconds = at, .levels = levels};
	const struct lw_seen *seen = NULL;
	struct lw_err err = {.code = LW_OK};
	enum lw_status status;
	double step = 1.0 / (8 + data[1]), t = 0;
	size_t i, rows, most = (data[0] & MORE) == MORE ? ROWS_MAX : ROWS_FEW;

	series.lamp_count = 1 + data[2] % 3;
	series.lamps = data[2] & 4 ? names : NULL;
	rows = size - HEAD < most ? size - HEAD : most;
	rows /= series.lamp_count;
	for (i = 0; i < rows; i++) {
		/* Some frames are late. */
		t += data[2] & 8 && data[HEAD + i] % 7 == 3 ? 3 * step : step;
		at[i] = t;
	}
	for (i = 0; i < rows * series.lamp_count; i++) {
		levels[i] = data[HEAD + i];
		if (data[2] & 16)
			levels[i] = levels[i] > 127 ? 1e200 : -1e200;
		else if (data[2] & 32)
			levels[i] *= 1e-300;
	}
	series.count = rows;
	for (i = 0; i < 3; i++)
		known[i] = known_lamp((uint8_t)(data[3] + i));
	status = lw_light_read(
	    &seen, arena, &series, data[0] & 2 ? known : NULL, &err);
	if (rows < 2) {
		require(status == LW_BAD_INPUT && err.text[0] != '\0');
		return;
	}
	check_seen(status, seen, rows, series.lamp_count, false);
}

static void
read_taps(const uint8_t *data, size_t size, struct lw_arena *arena)
{
	static double at[ROWS_MAX];
	struct lw_known_lamp known = known_lamp(data[3]);
	const struct lw_seen *seen = NULL;
	struct lw_err err = {.code = LW_OK};
	enum lw_status status;
	double step = (1 + data[1]) / 2000.0, t = 0;
	size_t i, count = size - HEAD;
	size_t most = (data[0] & MORE) == MORE ? LW_TAPS_MAX + 1 : TAPS_FEW;

	if (count > most)
		count = most;
	for (i = 0; i < count; i++)
		at[i] = t += (1 + data[HEAD + i]) * step;
	status = lw_taps_read(&seen, arena, at, count,
	    data[2] & 1 ? t + data[2] * step : 0, data[0] & 2 ? &known : NULL,
	    &err);
	if (count > LW_TAPS_MAX) {
		require(status == LW_TOO_BIG && err.text[0] != '\0');
		return;
	}
	check_seen(status, seen, count, 1, true);
}

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	struct lw_arena *arena;

	if (size < HEAD)
		return 0;
	arena = lw_arena_new();
	if (arena == NULL)
		return 0;
	if (data[0] & 1)
		read_taps(data, size, arena);
	else
		read_light(data, size, arena);
	lw_arena_free(arena);
	return 0;
}
