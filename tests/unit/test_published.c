/* Lamps by their published timings (tests/tables/lamp-published.tsv), filmed
 * at several rates from several moments on, through the whole decoder. */
#include "unit/suites.h"
#include "unit/table.h"

#include <lampwright/arena.h>
#include <lampwright/light.h>

#include <math.h>
#include <stdbool.h>
#include <stdint.h>

enum { TIMES_MAX = 64, FRAMES_MAX = 40000, STARTS = 5 };

static const double dim = 12, bright = 180, noise = 4;

/* Light and dark in turn, over and over. */
struct lamp {
	double ends_s[TIMES_MAX]; /* when each is over, from the beginning */
	size_t count;
	bool lit_first;
	double period_s;
};

static void
read_lamp(struct lamp *lamp, char *field)
{
	char *text, *rest;
	double ms;

	lamp->count = 0;
	lamp->period_s = 0;
	lamp->lit_first = field[0] != '-';
	for (text = strtok_r(field, ",", &rest); text != NULL;
	     text = strtok_r(NULL, ",", &rest)) {
		ms = fabs(atof(text));
		ck_assert(ms > 0 && lamp->count < TIMES_MAX);
		lamp->period_s += ms / 1000;
		lamp->ends_s[lamp->count++] = lamp->period_s;
	}
	ck_assert_uint_eq(lamp->count % 2, 0);
}

/* How long it was lit up to a moment. */
static double
lit_until(const struct lamp *lamp, double seconds)
{
	double turns = floor(seconds / lamp->period_s);
	double rest = seconds - turns * lamp->period_s;
	double a_turn = 0, lit = 0, from = 0, to;
	size_t i;

	for (i = 0; i < lamp->count; i++) {
		to = lamp->ends_s[i];
		if ((i % 2 == 0) == lamp->lit_first) {
			a_turn += to - from;
			lit += fmax(fmin(rest, to) - from, 0);
		}
		from = to;
	}
	return turns * a_turn + lit;
}

static double
random_normal(uint64_t *state)
{
	double sum = 0;
	int i;

	for (i = 0; i < 12; i++) {
		*state = *state * 6364136223846793005u + 1442695040888963407u;
		sum += (double)(*state >> 11) * 0x1p-53;
	}
	return sum - 6;
}

struct film {
	double seconds[FRAMES_MAX];
	double levels[FRAMES_MAX];
	struct lw_series series;
};

/* Each frame is exposed for half of its time; a little noise, seeded. */
static void
make_film(struct film *film, const struct lamp *lamp, double start_s,
    double length_s, double rate)
{
	uint64_t state = 1 + (uint64_t)(1000 * rate + 77 * start_s);
	double exposed = 0.5 / rate, at, lit;
	size_t i, count = (size_t)(length_s * rate) + 1;

	ck_assert_uint_le(count, FRAMES_MAX);
	for (i = 0; i < count; i++) {
		film->seconds[i] = (double)i / rate;
		at = start_s + film->seconds[i];
		lit = lit_until(lamp, at + exposed) - lit_until(lamp, at);
		film->levels[i] = dim + (bright - dim) * lit / exposed +
				  noise * random_normal(&state);
	}
	memset(&film->series, 0, sizeof film->series);
	film->series.count = count;
	film->series.seconds = film->seconds;
	film->series.lamp_count = 1;
	film->series.levels = film->levels;
}

static bool
is_expected(const struct lw_seen *seen, const char *expected)
{
	char one[LW_PATTERN_MAX];
	size_t n;

	if (strcmp(expected, "!rate") == 0)
		return strstr(seen->text, "Hz") == NULL;
	for (;; expected += n + 1) {
		n = strcspn(expected, "|");
		snprintf(one, sizeof one, "%.*s", (int)n, expected);
		if (lw_pattern_same(seen->text, one))
			return true;
		if (expected[n] == '\0')
			return false;
	}
}

static bool
has_remark(const struct lw_seen *seen, const char *words)
{
	size_t i;

	for (i = 0; i < seen->lamps[0].remark_count; i++)
		if (strstr(seen->lamps[0].remarks[i], words) != NULL)
			return true;
	return strcmp(words, "-") == 0;
}

/* Tell what went wrong, and go on: the whole list is worth more than its
 * first line. */
static bool
is_right(const struct film *film, const struct lw_known_lamp *known,
    const struct table *row, double rate, double start_s)
{
	struct lw_arena *arena = lw_arena_new();
	const struct lw_seen *seen;
	const struct lw_sight *lamp;
	enum lw_status status;
	struct lw_err err;
	bool right;

	status = lw_light_read(&seen, arena, &film->series, known, &err);
	ck_assert_msg(status == LW_OK || status == LW_UNDECIDED, "row %u: %s",
	    row->row, err.text);
	lamp = &seen->lamps[0];
	right =
	    is_expected(seen, row->field[1]) && has_remark(seen, row->field[2]);
	if (!right)
		fprintf(stderr,
		    "row %u, %g frames a second from %.2f s: %s (%.3f)%s%s, "
		    "expected %s%s%s: %s\n",
		    row->row, rate, start_s,
		    seen->text[0] != '\0' ? seen->text : "undecided",
		    seen->confidence, lamp->remark_count > 0 ? ", " : "",
		    lamp->remark_count > 0 ? lamp->remarks[0] : "",
		    row->field[1], row->field[2][0] != '-' ? " with " : "",
		    row->field[2][0] != '-' ? row->field[2] : "",
		    row->field[5]);
	lw_arena_free(arena);
	return right;
}

/* Every row, with what is known of the lamp or without. */
static void
check_table(bool (*know)(struct lw_known_lamp *, const struct table *))
{
	static struct film film;
	struct lw_known_lamp known;
	struct table table;
	struct lamp lamp;
	/* Where all is slow, from the beginning alone. */
	bool is_short = getenv("LAMPWRIGHT_SHORT") != NULL ||
			getenv("LAMPWRIGHT_WALKS_SHORT") != NULL;
	unsigned starts = is_short ? 1 : STARTS;
	unsigned wrong = 0, all = 0, k;
	char *text, *rest;
	double rate, start, cycles;

	table_open(&table, "lamp-published.tsv");
	while (table_next(&table)) {
		ck_assert_msg(table.field[5][0] != '\0', "row %u", table.row);
		if (know != NULL && !know(&known, &table))
			continue;
		read_lamp(&lamp, table.field[0]);
		cycles = atof(table.field[4]);
		ck_assert(cycles >= 4);
		for (text = strtok_r(table.field[3], ",", &rest); text != NULL;
		     text = strtok_r(NULL, ",", &rest)) {
			rate = atof(text);
			for (k = 0; k < starts; k++, all++) {
				start = lamp.period_s * k / STARTS;
				make_film(&film, &lamp, start,
				    lamp.period_s * (cycles + 0.5), rate);
				wrong += !is_right(&film,
				    know != NULL ? &known : NULL, &table, rate,
				    start);
			}
		}
	}
	table_close(&table);
	ck_assert_uint_gt(all, 0);
	ck_assert_msg(wrong == 0, "%u of %u are read otherwise", wrong, all);
}

START_TEST(published_timings)
{
	check_table(NULL);
}
END_TEST

static const char *const flashes[] = {"1", "2", "3", "4", "2.5Hz/50%", "10Hz"};

/* The lamps of CiA 303-3, with their usual times and their list. */
static bool
know_canopen(struct lw_known_lamp *known, const struct table *row)
{
	memset(known, 0, sizeof *known);
	known->coding = LW_CODING_COUNT;
	known->on_s = 0.2;
	known->gap_s = 0.2;
	known->pause_s = 1;
	known->patterns = flashes;
	known->pattern_count = 6;
	return strncmp(row->field[5], "CiA 303-3", 9) == 0;
}

/* The same lamps, of a device that lists but one of their codes: what is seen
 * is not hidden by the list. */
static bool
know_little(struct lw_known_lamp *known, const struct table *row)
{
	bool canopen = know_canopen(known, row);

	known->patterns = flashes + 2;
	known->pattern_count = 1;
	return canopen;
}

START_TEST(known_lamps)
{
	check_table(know_canopen);
	check_table(know_little);
}
END_TEST

/* A level that never changes tells not on from off. */
START_TEST(steady_levels)
{
	static struct film film;
	struct lw_arena *arena = lw_arena_new();
	const struct lw_seen *seen;
	struct lamp lamp = {.ends_s = {100, 200},
	    .count = 2,
	    .lit_first = true,
	    .period_s = 200};
	double start;
	size_t i;
	bool on, off;

	for (start = 10; start < 200; start += 100) {
		make_film(&film, &lamp, start, 10, 25);
		ck_assert_int_eq(
		    lw_light_read(&seen, arena, &film.series, NULL, NULL),
		    LW_UNDECIDED);
		ck_assert_str_eq(seen->text, "");
		on = off = false;
		for (i = 0; i < seen->also_count; i++) {
			on = on || strcmp(seen->also[i].text, "on") == 0;
			off = off || strcmp(seen->also[i].text, "off") == 0;
		}
		ck_assert(on && off);
	}
	lw_arena_free(arena);
}
END_TEST

Suite *
suite_published(void)
{
	Suite *suite = suite_create("published");
	TCase *tests = tcase_create("published");

	tcase_set_timeout(tests, 300);
	tcase_add_test(tests, published_timings);
	tcase_add_test(tests, known_lamps);
	tcase_add_test(tests, steady_levels);
	suite_add_tcase(suite, tests);
	return suite;
}
