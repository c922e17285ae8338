/* Recordings: the corpus in tests/recordings, whole and cut anywhere; how
 * many rows are kept of one that does not end, and in how much memory. */
#include "unit/suites.h"

#include "base/num.h"

#include <lampwright/light.h>

#include <dirent.h>
#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>

#define FOLDER TESTS_DIR "/recordings"

enum { FILE_MAX = 40000, FILES_MAX = 200 };

struct text {
	char bytes[FILE_MAX + 1];
	size_t length;
	bool taps;
};

/* What reading came to, to be compared. */
struct outcome {
	struct lw_recording *recording;
	const struct lw_series *series; /* NULL after an error */
	struct lw_err err;
};

static unsigned
below(uint64_t *state, unsigned limit)
{
	*state = *state * 6364136223846793005u + 1442695040888963407u;
	return (unsigned)((*state >> 33) % limit);
}

/* --- the corpus ----------------------------------------------------------- */

static void
load(struct text *text, const char *name)
{
	char path[1024];
	FILE *file;

	snprintf(path, sizeof path, FOLDER "/%s", name);
	file = fopen(path, "rb");
	ck_assert_msg(file != NULL, "%s cannot be opened", path);
	text->length = fread(text->bytes, 1, FILE_MAX, file);
	ck_assert_msg(text->length < FILE_MAX, "%s is too long", name);
	text->bytes[text->length] = '\0';
	text->taps = strstr(name, "-taps") != NULL;
	fclose(file);
}

/* Feed it in pieces of 1 to `most` bytes. */
static void
read_cut(struct outcome *outcome, const struct text *text, size_t most,
    uint64_t *state)
{
	enum lw_status status = LW_OK;
	size_t at = 0, n;

	memset(outcome, 0, sizeof *outcome);
	ck_assert_int_eq(
	    lw_recording_open(&outcome->recording, text->taps, &outcome->err),
	    LW_OK);
	while (at < text->length && status == LW_OK) {
		n = 1 + below(state, (unsigned)most);
		n = n < text->length - at ? n : text->length - at;
		status = lw_recording_feed(
		    outcome->recording, text->bytes + at, n, &outcome->err);
		at += n;
	}
	if (status == LW_OK)
		status = lw_recording_end(
		    &outcome->series, outcome->recording, &outcome->err);
	if (status == LW_OK)
		return;
	ck_assert_int_eq(status, LW_BAD_INPUT);
	ck_assert_int_eq(outcome->err.code, LW_BAD_INPUT);
	outcome->series = NULL;
}

static void
read_whole(struct outcome *outcome, const struct text *text)
{
	uint64_t state = 1;

	read_cut(outcome, text, FILE_MAX, &state);
}

static void
close_outcome(struct outcome *outcome)
{
	lw_recording_close(outcome->recording);
}

/* The rest of the next line "# WORD: ..." in the text; false where there is
 * none. */
static bool
next_said(const char **at, const char *word, char *said, size_t size)
{
	char begins[32];
	const char *found;

	snprintf(begins, sizeof begins, "# %s: ", word);
	found = strstr(*at, begins);
	if (found == NULL)
		return false;
	found += strlen(begins);
	snprintf(said, size, "%.*s", (int)strcspn(found, "\r\n"), found);
	*at = found;
	return true;
}

/* The series as the files write it: rows, names, first and last time, and the
 * levels of the last row. */
static void
say_series(char *said, size_t size, const struct lw_series *series)
{
	char number[32];
	size_t used, l;

	used = (size_t)snprintf(said, size, "%zu ", series->count);
	for (l = 0; series->lamps != NULL && l < series->lamp_count; l++)
		used += (size_t)snprintf(said + used, size - used, "%s%s",
		    l > 0 ? "," : "", series->lamps[l]);
	if (series->lamps == NULL)
		used += (size_t)snprintf(said + used, size - used, "-");
	num_format(number, sizeof number, num_round(series->seconds[0], 9));
	used += (size_t)snprintf(said + used, size - used, " %s", number);
	num_format(number, sizeof number,
	    num_round(series->seconds[series->count - 1], 9));
	used += (size_t)snprintf(said + used, size - used, " %s |", number);
	for (l = 0; l < series->lamp_count; l++) {
		num_format(number, sizeof number,
		    series->levels[l * series->count + series->count - 1]);
		used +=
		    (size_t)snprintf(said + used, size - used, " %s", number);
	}
}

static void
check_sound(const struct lw_series *series)
{
	size_t i;

	for (i = 0; i < series->count; i++) {
		ck_assert(isfinite(series->seconds[i]));
		ck_assert(
		    i == 0 || series->seconds[i] > series->seconds[i - 1]);
	}
	for (i = 0; i < series->count * series->lamp_count; i++)
		ck_assert(isfinite(series->levels[i]));
}

static void
check_good(const char *name, const struct text *text)
{
	const char *at = text->bytes;
	char expected[400], got[400];
	struct outcome outcome;
	size_t remarks = 0;

	ck_assert_msg(next_said(&at, "expect", expected, sizeof expected),
	    "%s says not what is expected", name);
	read_whole(&outcome, text);
	ck_assert_msg(outcome.series != NULL, "%s: line %u, column %u: %s",
	    name, outcome.err.line, outcome.err.column, outcome.err.text);
	say_series(got, sizeof got, outcome.series);
	ck_assert_msg(strcmp(got, expected) == 0, "%s: expected %s, got %s",
	    name, expected, got);
	check_sound(outcome.series);
	for (at = text->bytes;
	     next_said(&at, "remark", expected, sizeof expected); remarks++)
		ck_assert_msg(remarks < outcome.series->remark_count &&
				  strstr(outcome.series->remarks[remarks],
				      expected) != NULL,
		    "%s: expected the remark %s, got %s", name, expected,
		    remarks < outcome.series->remark_count
			? outcome.series->remarks[remarks]
			: "none");
	ck_assert_msg(remarks == outcome.series->remark_count,
	    "%s: the remark %s was not expected", name,
	    outcome.series->remarks[remarks]);
	close_outcome(&outcome);
}

static void
check_bad(const char *name, const struct text *text)
{
	const char *at = text->bytes;
	struct outcome outcome;
	char expected[400], place[32];
	unsigned line, column;
	int words;

	ck_assert(next_said(&at, "expect", expected, sizeof expected));
	ck_assert_msg(sscanf(expected, "%u %u %n", &line, &column, &words) == 2,
	    "%s: %s", name, expected);
	read_whole(&outcome, text);
	ck_assert_msg(outcome.series == NULL, "%s was read", name);
	snprintf(place, sizeof place, "%u %u", line, column);
	ck_assert_msg(outcome.err.line == line && outcome.err.column == column,
	    "%s: expected at %s, got %u %u: %s", name, place, outcome.err.line,
	    outcome.err.column, outcome.err.text);
	ck_assert_msg(strstr(outcome.err.text, expected + words) != NULL,
	    "%s: expected %s, got %s", name, expected + words,
	    outcome.err.text);
	ck_assert_ptr_null(strchr(outcome.err.text, '\n'));
	close_outcome(&outcome);
}

/* Cut anywhere, it is the same. */
static void
check_cuts(const char *name, const struct text *text)
{
	struct outcome whole, cut;
	uint64_t state = 4711;
	size_t most, cells, i;

	read_whole(&whole, text);
	for (most = 1; most < 70; most += most < 4 ? 1 : 13) {
		read_cut(&cut, text, most, &state);
		ck_assert_msg(memcmp(&whole.err, &cut.err, sizeof cut.err) == 0,
		    "%s in pieces of %zu: %s", name, most, cut.err.text);
		ck_assert((whole.series == NULL) == (cut.series == NULL));
		if (whole.series == NULL) {
			close_outcome(&cut);
			continue;
		}
		cells = cut.series->count * cut.series->lamp_count;
		ck_assert_uint_eq(whole.series->count, cut.series->count);
		ck_assert_int_eq(
		    memcmp(whole.series->seconds, cut.series->seconds,
			cut.series->count * sizeof(double)),
		    0);
		for (i = 0; i < cells; i++)
			ck_assert(
			    whole.series->levels[i] == cut.series->levels[i]);
		ck_assert_uint_eq(
		    whole.series->remark_count, cut.series->remark_count);
		for (i = 0; i < cut.series->remark_count; i++)
			ck_assert_str_eq(
			    whole.series->remarks[i], cut.series->remarks[i]);
		close_outcome(&cut);
	}
	close_outcome(&whole);
}

/* Every file of tests/recordings whose name begins so. */
static unsigned
check_folder(const char *beginning,
    void (*check)(const char *name, const struct text *text))
{
	static struct text text;
	DIR *folder = opendir(FOLDER);
	struct dirent *entry;
	unsigned count = 0;

	ck_assert_ptr_nonnull(folder);
	while ((entry = readdir(folder)) != NULL) {
		if (strncmp(entry->d_name, beginning, strlen(beginning)) != 0)
			continue;
		load(&text, entry->d_name);
		check(entry->d_name, &text);
		count++;
	}
	closedir(folder);
	return count;
}

START_TEST(good_files)
{
	ck_assert_uint_ge(check_folder("good-", check_good), 40);
}
END_TEST

START_TEST(bad_files)
{
	ck_assert_uint_ge(check_folder("bad-", check_bad), 40);
}
END_TEST

START_TEST(cut_anywhere)
{
	check_folder("good-", check_cuts);
	check_folder("bad-", check_cuts);
}
END_TEST

/* --- what no file can say of itself --------------------------------------- */

static void
read_bytes(struct outcome *outcome, const char *bytes, size_t length)
{
	static struct text text;

	memcpy(text.bytes, bytes, length);
	text.length = length;
	text.taps = false;
	read_whole(outcome, &text);
}
#define READ(outcome, bytes) read_bytes(outcome, bytes, sizeof(bytes) - 1)

START_TEST(other_kinds_of_file)
{
	struct outcome outcome;

	READ(&outcome, "\xFF\xFEs\0,\0l\0\n\0");
	ck_assert_ptr_nonnull(strstr(outcome.err.text, "UTF-16"));
	ck_assert_uint_eq(outcome.err.line, 1);
	close_outcome(&outcome);
	READ(&outcome, "\xFE\xFF\0s\0,\0l\0\n");
	ck_assert_ptr_nonnull(strstr(outcome.err.text, "UTF-16"));
	close_outcome(&outcome);
	READ(&outcome, "s\0e\0c\0");
	ck_assert_ptr_nonnull(strstr(outcome.err.text, "zero byte"));
	close_outcome(&outcome);
	READ(&outcome, "\x89PNG\r\n\x1A\n\0");
	ck_assert_int_eq(outcome.err.code, LW_BAD_INPUT);
	close_outcome(&outcome);
	READ(&outcome, "");
	ck_assert_ptr_nonnull(strstr(outcome.err.text, "no row"));
	close_outcome(&outcome);
	READ(&outcome, "\xEF\xBB\xBF");
	ck_assert_ptr_nonnull(strstr(outcome.err.text, "no row"));
	close_outcome(&outcome);
	lw_recording_close(NULL);
}
END_TEST

START_TEST(an_error_stays)
{
	struct lw_recording *recording;
	const struct lw_series *series;
	struct lw_err first, again;

	ck_assert_int_eq(lw_recording_open(&recording, false, &first), LW_OK);
	ck_assert_int_eq(
	    lw_recording_feed(recording, "0,x\n", 4, &first), LW_BAD_INPUT);
	ck_assert_int_eq(
	    lw_recording_feed(recording, "1,1\n", 4, &again), LW_BAD_INPUT);
	ck_assert_int_eq(memcmp(&first, &again, sizeof again), 0);
	ck_assert_int_eq(
	    lw_recording_end(&series, recording, &again), LW_BAD_INPUT);
	ck_assert_int_eq(memcmp(&first, &again, sizeof again), 0);
	ck_assert_int_eq(
	    lw_recording_end(&series, recording, NULL), LW_BAD_INPUT);
	lw_recording_close(recording);
	/* The end may be asked for twice. */
	ck_assert_int_eq(lw_recording_open(&recording, true, &first), LW_OK);
	ck_assert_int_eq(lw_recording_feed(recording, "1", 1, NULL), LW_OK);
	ck_assert_int_eq(lw_recording_end(&series, recording, NULL), LW_OK);
	ck_assert_int_eq(lw_recording_end(&series, recording, NULL), LW_OK);
	ck_assert_uint_eq(series->count, 1);
	lw_recording_close(recording);
}
END_TEST

/* A comment as long as one likes is passed over; a line is not. */
START_TEST(long_comment)
{
	static char text[60000];
	struct lw_recording *recording;
	const struct lw_series *series;
	struct lw_err err;

	memset(text, 'x', sizeof text);
	text[0] = '#';
	lw_recording_open(&recording, false, &err);
	ck_assert_int_eq(
	    lw_recording_feed(recording, text, sizeof text, &err), LW_OK);
	ck_assert_int_eq(
	    lw_recording_feed(recording, "\n0,1\n1,2\n", 9, &err), LW_OK);
	ck_assert_int_eq(lw_recording_end(&series, recording, &err), LW_OK);
	ck_assert_uint_eq(series->count, 2);
	lw_recording_close(recording);
}
END_TEST

/* --- recordings that do not end ------------------------------------------- */

/* Whole numbers as text, since most of ten million rows is making them. */
static char *
put_number(char *to, uint64_t number)
{
	char digits[24];
	size_t n = 0;

	do
		digits[n++] = (char)('0' + number % 10);
	while ((number /= 10) > 0);
	while (n > 0)
		*to++ = digits[--n];
	return to;
}

/* Rows `step_us` apart; the level is the row's number, up and down. */
static void
feed_rows(struct lw_recording *recording, size_t count, unsigned step_us)
{
	static char piece[1 << 16];
	struct lw_err err;
	char *to = piece;
	size_t i;

	for (i = 0; i < count; i++) {
		to = put_number(to, (uint64_t)i * step_us);
		*to++ = ',';
		to = put_number(to, i % 1000);
		*to++ = '\n';
		if (to < piece + sizeof piece - 64 && i + 1 < count)
			continue;
		ck_assert_int_eq(lw_recording_feed(recording, piece,
				     (size_t)(to - piece), &err),
		    LW_OK);
		to = piece;
	}
}

static long
peak_kib(void)
{
	struct rusage usage;

	getrusage(RUSAGE_SELF, &usage);
	return usage.ru_maxrss;
}

/* Ten million rows; fewer where all is slow. */
static size_t
rows_of_all(void)
{
	return getenv("LAMPWRIGHT_WALKS_SHORT") != NULL ? 2500000 : 10000000;
}

/* 4000 rows a second: they are averaged until they fit, and the whole stays. */
START_TEST(rows_without_end_are_averaged)
{
	struct lw_recording *recording;
	const struct lw_series *series;
	size_t count = rows_of_all(), i;
	long before = peak_kib();
	double sum = 0;

	if (getenv("LAMPWRIGHT_SHORT") != NULL)
		return;
	lw_recording_open(&recording, false, NULL);
	lw_recording_feed(recording, "time_us,level\n", 14, NULL);
	feed_rows(recording, count, 250);
	ck_assert_int_eq(lw_recording_end(&series, recording, NULL), LW_OK);
	ck_assert_int_lt(peak_kib() - before, 64 * 1024);
	ck_assert_uint_le(series->count, LW_SERIES_MAX);
	ck_assert_uint_gt(series->count, LW_SERIES_MAX / 3);
	check_sound(series);
	ck_assert_double_lt(series->seconds[0], 0.005);
	ck_assert_double_eq_tol(
	    series->seconds[series->count - 1], (double)count * 250e-6, 0.006);
	for (i = 0; i < series->count; i++)
		sum += series->levels[i];
	ck_assert_double_eq_tol(sum / (double)series->count, 499.5, 0.5);
	ck_assert_uint_eq(series->remark_count, 2);
	ck_assert_ptr_nonnull(strstr(series->remarks[1], "averaged"));
	lw_recording_close(recording);
}
END_TEST

/* 25 rows a second: those past the limit are not kept, but still read. */
START_TEST(rows_past_the_limit)
{
	struct lw_recording *recording;
	const struct lw_series *series;
	struct lw_err err;
	int bad;

	if (getenv("LAMPWRIGHT_SHORT") != NULL)
		return;
	for (bad = 0; bad < 2; bad++) {
		lw_recording_open(&recording, false, &err);
		lw_recording_feed(recording, "us,level\n", 9, &err);
		feed_rows(recording, LW_SERIES_MAX + 1000, 40000);
		if (bad > 0) {
			ck_assert_int_eq(lw_recording_feed(recording,
					     "99999999999,x\n", 14, &err),
			    LW_BAD_INPUT);
			ck_assert_uint_eq(err.line, LW_SERIES_MAX + 1002);
			lw_recording_close(recording);
			continue;
		}
		ck_assert_int_eq(
		    lw_recording_end(&series, recording, &err), LW_OK);
		ck_assert_uint_eq(series->count, LW_SERIES_MAX);
		ck_assert_double_eq(series->seconds[series->count - 1],
		    (LW_SERIES_MAX - 1) * 0.04);
		ck_assert_uint_eq(series->remark_count, 2);
		ck_assert_str_eq(series->remarks[1],
		    "The recording is too long to be used whole: its first "
		    "41940 s were used.");
		lw_recording_close(recording);
	}
}
END_TEST

/* Seeded rows in any order whose pieces are many come back in order. */
START_TEST(shuffled_rows)
{
	enum { ROWS = 5000 };
	static unsigned order[ROWS];
	struct lw_recording *recording;
	const struct lw_series *series;
	uint64_t state = 99;
	char row[64];
	unsigned i, j, t;

	for (i = 0; i < ROWS; i++)
		order[i] = i;
	for (i = ROWS - 1; i > 0; i--) {
		j = below(&state, i + 1);
		t = order[i];
		order[i] = order[j];
		order[j] = t;
	}
	lw_recording_open(&recording, false, NULL);
	for (i = 0; i < ROWS; i++) {
		snprintf(row, sizeof row, "%u,%u\n", order[i], 2 * order[i]);
		ck_assert_int_eq(
		    lw_recording_feed(recording, row, strlen(row), NULL),
		    LW_OK);
	}
	ck_assert_int_eq(lw_recording_end(&series, recording, NULL), LW_OK);
	ck_assert_uint_eq(series->count, ROWS);
	for (i = 0; i < ROWS; i++) {
		ck_assert_double_eq(series->seconds[i], i);
		ck_assert_double_eq(series->levels[i], 2.0 * i);
	}
	lw_recording_close(recording);
}
END_TEST

/* Short numbers take a way of their own: the same as the C library's, under
 * its own locale, to the last bit. */
START_TEST(numbers_are_rounded_right)
{
	uint64_t state = 7;
	char text[40];
	double value;
	unsigned i, j, n, point;

	for (i = 0; i < 200000; i++) {
		n = 1 + below(&state, 17);
		point = below(&state, n + 1);
		for (j = 0; j < n; j++)
			text[j] = (char)('0' + below(&state, 10));
		memmove(text + point + 1, text + point, n - point);
		text[point] = '.';
		text[n + 1] = '\0';
		ck_assert(num_parse(&value, text, n + 1));
		if (value != strtod(text, NULL))
			ck_abort_msg("%s: %.17g", text, value);
	}
	ck_assert(num_parse(&value, "-0", 2) && signbit(value));
	ck_assert(num_parse(&value, "+.5", 3) && value == 0.5);
	ck_assert(!num_parse(&value, ".", 1));
	ck_assert(!num_parse(&value, "-", 1));
	ck_assert(!num_parse(&value, "1.2.3", 5));
	ck_assert(!num_parse(&value, "+-1", 3));
}
END_TEST

Suite *
suite_recording(void)
{
	Suite *suite = suite_create("recording");
	TCase *tests = tcase_create("recording");

	tcase_set_timeout(tests, 300);
	tcase_add_test(tests, good_files);
	tcase_add_test(tests, bad_files);
	tcase_add_test(tests, cut_anywhere);
	tcase_add_test(tests, other_kinds_of_file);
	tcase_add_test(tests, an_error_stays);
	tcase_add_test(tests, long_comment);
	tcase_add_test(tests, rows_without_end_are_averaged);
	tcase_add_test(tests, rows_past_the_limit);
	tcase_add_test(tests, shuffled_rows);
	tcase_add_test(tests, numbers_are_rounded_right);
	suite_add_tcase(suite, tests);
	return suite;
}
