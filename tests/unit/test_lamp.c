/* lamp: patterns as people type them, canonical ones, and how far apart. */
#include "unit/suites.h"
#include "unit/table.h"

#include "base/utf8.h"
#include "lamp/canonical.h"

#include <lampwright/pattern.h>

#include <stdbool.h>
#include <stdint.h>

static enum lw_coding
coding_of(const char *word)
{
	enum lw_coding coding = LW_CODING_UNKNOWN;

	if (strcmp(word, "-") != 0)
		ck_assert_int_eq(lw_coding_parse(&coding, word, NULL), LW_OK);
	return coding;
}

/* The readings as the table writes them. */
static void
join(char *out, size_t size, const struct lw_pattern_readings *readings)
{
	size_t i, used = 0;

	out[0] = '\0';
	if (readings->word[0] != '\0') {
		snprintf(out, size, "word %s", readings->word);
		return;
	}
	for (i = 0; i < readings->count; i++)
		used += (size_t)snprintf(out + used, size - used, "%s%s",
		    i > 0 ? "|" : "", readings->items[i].text);
}

static void
check_row(const struct table *row)
{
	const char *text = row->field[0], *expected = row->field[2];
	struct lw_lamp_hint hint = {.coding = coding_of(row->field[1])};
	struct lw_pattern_readings readings;
	struct lw_err err = {.column = 0};
	enum lw_status status;
	char got[1024];

	status = lw_pattern_read(&readings, text, &hint, &err);
	join(got, sizeof got, &readings);
	if (status != LW_OK) {
		ck_assert_int_eq(status, LW_BAD_INPUT);
		ck_assert_int_eq(err.code, LW_BAD_INPUT);
		ck_assert_str_eq(got, "");
		snprintf(got, sizeof got, "error %u", err.column);
		ck_assert_msg(strstr(err.text, row->field[3]) != NULL,
		    "row %u: %s: %s", row->row, text, err.text);
		ck_assert_ptr_null(strchr(err.text, '\n'));
	}
	ck_assert_msg(strcmp(got, expected) == 0,
	    "row %u: \"%s\": expected %s, got %s (%s)", row->row, text,
	    expected, got, status == LW_OK ? "read" : err.text);
}

START_TEST(notation_table)
{
	struct table table;
	unsigned rows = 0;

	table_open(&table, "notation.tsv");
	for (; table_next(&table); rows++)
		check_row(&table);
	table_close(&table);
	ck_assert_uint_ge(rows, 250);
}
END_TEST

START_TEST(codings)
{
	static const char *const words[] = {"count", "digits", "long-short",
	    "rate", "steady", "in-turn", "lamps"};
	static const char *const texts[] = {
	    "7", "3-2", "2L3S", "2.5Hz", "on", "3+7", "red:3 green:on"};
	struct lw_pattern pattern;
	enum lw_coding coding;
	struct lw_err err;
	int i;

	for (i = 0; i < 7; i++) {
		ck_assert_int_eq(
		    lw_coding_parse(&coding, words[i], &err), LW_OK);
		ck_assert_int_eq((int)coding, i + 1);
		ck_assert_str_eq(lw_coding_name(coding), words[i]);
		ck_assert_int_eq(
		    lw_pattern_parse(&pattern, texts[i], &err), LW_OK);
		ck_assert_int_eq((int)pattern.coding, i + 1);
		ck_assert_str_eq(pattern.text, texts[i]);
	}
	ck_assert_int_eq(lw_coding_parse(&coding, "", &err), LW_BAD_INPUT);
	ck_assert_int_eq(lw_coding_parse(&coding, "Count", &err), LW_BAD_INPUT);
	ck_assert_ptr_nonnull(strstr(err.text, "long-short"));
	ck_assert_str_eq(lw_coding_name(LW_CODING_UNKNOWN), "");
	ck_assert_str_eq(lw_coding_name((enum lw_coding)99), "");
}
END_TEST

START_TEST(parse_is_strict)
{
	static const struct {
		const char *text;
		unsigned column;
		const char *says;
	} bad[] = {
	    {"07", 1, "digit 0"},
	    {" 7", 1, "write 7"},
	    {"7 ", 2, "write 7"},
	    {"3,2", 2, "write 3-2"},
	    {"seven", 1, "write 7"},
	    {"2l3s", 2, "write 2L3S"},
	    {"1L1L", 1, "write 2L"},
	    {"LLS", 1, "write 2L1S"},
	    {"2.50Hz", 4, "write 2.5Hz"},
	    {"1.0Hz", 2, "write 1Hz"},
	    {"2.53Hz", 4, "write 2.5Hz"},
	    {"1Hz/52%", 6, "write 1Hz/50%"},
	    {"2.5 Hz", 4, "write 2.5Hz"},
	    {"On", 1, "write on"},
	    {"steady", 1, "write on"},
	    {"red:3  green:on", 7, "write red:3 green:on"},
	    {"red:3,green:on", 6, "write red:3 green:on"},
	    {"3 + 7", 2, "write 3+7"},
	    {"fast", 1, "2.5Hz"},
	    {"code 32", 1, "32 or 3-2"},
	    {"7\xC3\xA9", 2, "cannot be read"},
	    {"100", 1, "1 to 99"},
	    {"", 1, "no pattern"},
	    {"red:3 red:4", 7, "twice"},
	};
	struct lw_pattern pattern;
	struct lw_err err;
	char longest[600];
	size_t i;

	for (i = 0; i < sizeof bad / sizeof bad[0]; i++) {
		ck_assert_msg(lw_pattern_parse(&pattern, bad[i].text, &err) ==
				  LW_BAD_INPUT,
		    "%s", bad[i].text);
		ck_assert_msg(strstr(err.text, bad[i].says) != NULL, "%s: %s",
		    bad[i].text, err.text);
		ck_assert_msg(err.column == bad[i].column, "%s: column %u: %s",
		    bad[i].text, err.column, err.text);
	}
	memset(longest, '1', sizeof longest);
	longest[sizeof longest - 1] = '\0';
	ck_assert_int_eq(
	    lw_pattern_parse(&pattern, longest, &err), LW_BAD_INPUT);
	ck_assert_int_eq(err.code, LW_BAD_INPUT);
	ck_assert_int_eq(lw_pattern_parse(&pattern, "32", NULL), LW_OK);
}
END_TEST

START_TEST(limits_of_length)
{
	struct lw_pattern_readings readings;
	struct lw_err err;
	char text[LW_TYPED_MAX + 2];

	memset(text, ' ', sizeof text);
	text[0] = '7';
	text[LW_TYPED_MAX] = '\0';
	ck_assert_int_eq(lw_pattern_read(&readings, text, NULL, &err), LW_OK);
	ck_assert_str_eq(readings.items[0].text, "7");
	text[LW_TYPED_MAX] = ' ';
	text[LW_TYPED_MAX + 1] = '\0';
	ck_assert_int_eq(
	    lw_pattern_read(&readings, text, NULL, &err), LW_TOO_BIG);
	ck_assert_uint_eq(readings.count, 0);
	/* Eight long codes in turn are longer than a pattern may be. */
	ck_assert_int_eq(
	    lw_pattern_read(&readings,
		"20-20-20-20-20-20+20-20-20-20-20-20+20-20-20-20-20-20+"
		"20-20-20-20-20-20+20-20-20-20-20-20+20-20-20-20-20-20+"
		"20-20-20-20-20-20+20-20-20-20-20-20",
		NULL, &err),
	    LW_BAD_INPUT);
	ck_assert_ptr_nonnull(strstr(err.text, "127"));
}
END_TEST

/* --- what is known of the lamp ------------------------------------------ */

static const char *
read_with(const struct lw_lamp_hint *hint, const char *text)
{
	static char got[1024];
	struct lw_pattern_readings readings;
	struct lw_err err;

	if (lw_pattern_read(&readings, text, hint, &err) != LW_OK)
		snprintf(got, sizeof got, "error %u: %s", err.column, err.text);
	else
		join(got, sizeof got, &readings);
	return got;
}

START_TEST(lamps_in_the_device_order)
{
	static const char *const ids[] = {"green", "red", "rear-left"};
	struct lw_lamp_hint hint = {.lamps = ids, .lamp_count = 3};

	ck_assert_str_eq(read_with(&hint, "red:3 green:on"), "green:on red:3");
	ck_assert_str_eq(read_with(&hint, "red 3, green on"), "green:on red:3");
	ck_assert_str_eq(read_with(&hint, "green on, red 3"), "green:on red:3");
	ck_assert_str_eq(read_with(&hint, "Rear left 2, red off, green fast?"),
	    "error 29: \"fast\" says no rate by itself; write it in Hz, such "
	    "as green:2.5Hz");
	ck_assert_str_eq(read_with(&hint, "Rear left 2, red off, green 1"),
	    "green:1 red:off rear-left:2");
	ck_assert_str_eq(read_with(&hint, "rear-left:2 red:32"),
	    "red:32 rear-left:2|red:3-2 rear-left:2");
	ck_assert_str_eq(read_with(&hint, "7"), "7");
	ck_assert_str_eq(read_with(&hint, "red 3, amber on"),
	    "error 8: this device has no lamp \"amber\"; its lamps are green, "
	    "red and rear-left");
	ck_assert_str_eq(read_with(&hint, "red:3 amber:on"),
	    "error 7: this device has no lamp \"amber\"; its lamps are green, "
	    "red and rear-left");
}
END_TEST

START_TEST(lamp_of_one_needs_no_name)
{
	static const char *const ids[] = {"status"};
	struct lw_lamp_hint hint = {.lamps = ids, .lamp_count = 1};

	ck_assert_str_eq(read_with(&hint, "status 3"), "3");
	ck_assert_str_eq(read_with(&hint, "status:3"), "3");
	ck_assert_str_eq(read_with(&hint, "3 red flashes"), "3");
	ck_assert_str_eq(read_with(&hint, "the status lamp is on"), "on");
	ck_assert_str_eq(read_with(&hint, "horn: 3"),
	    "error 1: this device has no lamp \"horn\"; its lamp is status");
}
END_TEST

START_TEST(colours_of_the_lamps)
{
	static const char *const ids[] = {"run", "alarm"};
	static const char *const colours[] = {"amber", "red"};
	struct lw_lamp_hint hint = {
	    .lamps = ids, .colours = colours, .lamp_count = 1};

	ck_assert_str_eq(read_with(&hint, "amber on"), "on");
	/* People call amber yellow and orange. */
	ck_assert_str_eq(read_with(&hint, "yellow on"), "on");
	ck_assert_str_eq(read_with(&hint, "green on"),
	    "error 1: this device has no lamp \"green\"; its lamp is run, "
	    "which is amber");
	hint.lamp_count = 2;
	ck_assert_str_eq(
	    read_with(&hint, "red 3, orange on"), "run:on alarm:3");
}
END_TEST

START_TEST(rate_words_of_the_lamp)
{
	struct lw_lamp_hint hint = {
	    .slow = "1Hz", .fast = "2.5Hz/50%", .flicker = "nonsense"};

	ck_assert_str_eq(read_with(&hint, "slow"), "1Hz");
	ck_assert_str_eq(read_with(&hint, "blinks fast"), "2.5Hz/50%");
	ck_assert_str_eq(read_with(&hint, "flickering"), "word flicker");
	ck_assert_str_eq(
	    read_with(&hint, "red fast, green on"), "red:2.5Hz/50% green:on");
	ck_assert_str_eq(read_with(NULL, "slow"), "word slow");
}
END_TEST

/* --- alike and apart ------------------------------------------------------ */

START_TEST(same)
{
	static const struct {
		const char *one, *other;
		bool same;
	} cases[] = {
	    {"7", "7", true},
	    {"7", "6", false},
	    {"7", "7S", false},
	    {"3-2", "3-2", true},
	    {"3-2", "2-3", false},
	    {"3-2", "3-2-1", false},
	    {"2L1S", "2L1S", true},
	    {"2L1S", "2S1L", false},
	    {"on", "on", true},
	    {"on", "off", false},
	    /* a quarter either way, both ends in */
	    {"2.5Hz", "2.5Hz", true},
	    {"2.5Hz", "2Hz", true},
	    {"2Hz", "2.5Hz", true},
	    {"2.6Hz", "2Hz", false},
	    {"1.9Hz", "2.5Hz", false},
	    {"0.8Hz", "1Hz", true},
	    {"0.79Hz", "1Hz", false},
	    /* 15 points, where both have a duty */
	    {"1Hz/50%", "1Hz", true},
	    {"1Hz/50%", "1Hz/35%", true},
	    {"1Hz/50%", "1Hz/30%", false},
	    {"1Hz/50%", "2Hz/50%", false},
	    {"3+7", "3+7", true},
	    /* whichever of them was seen first */
	    {"3+7", "7+3", true},
	    {"1+2+3", "3+1+2", true},
	    {"1+2+3", "3+2+1", false},
	    {"3+7", "3", false},
	    {"red:3 green:on", "red:3 green:on", true},
	    {"red:3 green:on", "green:on red:3", true},
	    {"red:3 green:on", "red:3", false},
	    {"red:3 green:2Hz", "red:3 green:2.2Hz", true},
	    {"red:3", "3", false},
	    {"seven", "seven", false},
	    {"", "", false},
	};
	size_t i;

	for (i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		ck_assert_msg(lw_pattern_same(cases[i].one, cases[i].other) ==
				  cases[i].same,
		    "%s and %s", cases[i].one, cases[i].other);
		ck_assert_msg(lw_pattern_same(cases[i].other, cases[i].one) ==
				  cases[i].same,
		    "%s and %s", cases[i].other, cases[i].one);
	}
}
END_TEST

START_TEST(distance)
{
	static const struct {
		const char *one, *other;
		double distance;
	} cases[] = {
	    {"7", "7", 0},
	    {"7", "6", 1},
	    {"5", "8", 3},
	    {"3-2", "3-3", 1},
	    {"3-2", "4-1", 2},
	    {"3-2", "3-2-1", 2},
	    {"1-3-2", "3-2", 2},
	    {"2L1S", "2L2S", 1},
	    {"2L1S", "1L1S", 1},
	    {"2L1S", "1L2S", 1},
	    {"3S", "3L", 3},
	    {"2Hz", "2.5Hz", 0},
	    {"1Hz/50%", "1Hz/20%", 2},
	    {"on", "on", 0},
	    {"3+7", "3+7", 0},
	    {"3+7", "3+8", 1},
	    {"3+7", "7+3", 0.5},
	    {"3+7", "3+5+7", 3},
	    {"red:3 green:on", "red:4 green:on", 1},
	    {"red:3 green:on", "green:on red:3", 0},
	    {"red:3 green:on", "red:3", 5},
	    {"7", "3-4", 1000},
	    {"7", "7S", 1000},
	    {"on", "1Hz", 1000},
	    {"3", "3+7", 1000},
	    {"red:3", "3", 1000},
	    {"red:3", "green:3", 1000},
	    {"seven", "7", 1000},
	};
	double got;
	size_t i;

	for (i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		got = lw_pattern_distance(cases[i].one, cases[i].other);
		ck_assert_msg(got == cases[i].distance, "%s to %s: %g",
		    cases[i].one, cases[i].other, got);
		got = lw_pattern_distance(cases[i].other, cases[i].one);
		ck_assert_msg(got == cases[i].distance, "%s to %s: %g",
		    cases[i].other, cases[i].one, got);
	}
	/* Neither the same nor of another kind. */
	ck_assert_double_gt(lw_pattern_distance("2Hz", "4Hz"), 0);
	ck_assert_double_gt(lw_pattern_distance("2Hz", "8Hz"),
	    lw_pattern_distance("2Hz", "4Hz"));
	ck_assert_double_lt(lw_pattern_distance("0.01Hz", "99Hz"), 1000);
	ck_assert_double_gt(lw_pattern_distance("on", "off"), 10);
	ck_assert_double_lt(lw_pattern_distance("on", "off"), 1000);
}
END_TEST

/* --- at random ------------------------------------------------------------ */

/* A repeatable stream of numbers; Marsaglia's xorshift of 64 bits. */
static unsigned
below(uint64_t *state, unsigned limit)
{
	*state ^= *state << 13;
	*state ^= *state >> 7;
	*state ^= *state << 17;
	return (unsigned)((*state >> 20) % limit);
}

/* A canonical code after the table in the header: written here as text, not
 * by the code that is tested. */
static size_t
random_code(char *out, uint64_t *state, unsigned kinds)
{
	unsigned i, n, left = 24, flashes;
	bool longer;
	size_t used = 0;

	switch (below(state, kinds)) {
	case 0:
		return (size_t)sprintf(out, "%u", 1 + below(state, 99));
	case 1:
		n = 2 + below(state, 5);
		for (i = 0; i < n; i++)
			used += (size_t)sprintf(out + used, "%s%u",
			    i > 0 ? "-" : "", 1 + below(state, 20));
		return used;
	case 2:
		longer = below(state, 2);
		for (n = 1 + below(state, 6); n > 0 && left > 0; n--) {
			flashes = 1 + below(state, left > 6 ? 6 : left);
			left -= flashes;
			used += (size_t)sprintf(
			    out + used, "%u%c", flashes, longer ? 'L' : 'S');
			longer = !longer;
		}
		return used;
	case 3:
		n = 10 + below(state, 90);
		switch (below(state, 3)) {
		case 0:
			used = (size_t)sprintf(out, "%uHz", n);
			break;
		case 1:
			used = n % 10 == 0
				   ? (size_t)sprintf(out, "%uHz", n / 10)
				   : (size_t)sprintf(
					 out, "%u.%uHz", n / 10, n % 10);
			break;
		default:
			used = n % 10 == 0
				   ? (size_t)sprintf(out, "0.%uHz", n / 10)
				   : (size_t)sprintf(out, "0.%02uHz", n);
		}
		if (below(state, 2))
			used += (size_t)sprintf(
			    out + used, "/%u%%", 5 * (1 + below(state, 19)));
		return used;
	default:
		return (size_t)sprintf(
		    out, "%s", below(state, 2) ? "on" : "off");
	}
}

static size_t
random_shown(char *out, uint64_t *state)
{
	unsigned n;
	size_t used;

	if (below(state, 4) > 0)
		return random_code(out, state, 5);
	used = random_code(out, state, 3);
	for (n = 1 + below(state, 7); n > 0; n--) {
		out[used++] = '+';
		used += random_code(out + used, state, 3);
	}
	return used;
}

static void
random_pattern(char *out, uint64_t *state)
{
	static const char *const names[] = {
	    "red", "green", "amber", "blue", "on", "code", "run-2", "x7"};
	unsigned first, n, i;
	size_t used = 0;

	if (below(state, 4) > 0) {
		random_shown(out, state);
		return;
	}
	first = below(state, 8);
	n = 1 + below(state, 8);
	for (i = 0; i < n; i++) {
		used += (size_t)sprintf(out + used, "%s%s:", i > 0 ? " " : "",
		    names[(first + i) % 8]);
		used += random_shown(out + used, state);
	}
}

START_TEST(canonical_reads_back)
{
	struct lw_pattern_readings readings;
	struct lw_pattern pattern;
	struct lw_err err;
	uint64_t state = 20240701;
	char text[2048];
	int i, fits = 0;

	for (i = 0; i < 6000; i++) {
		random_pattern(text, &state);
		if (strlen(text) >= LW_PATTERN_MAX) {
			ck_assert_int_eq(lw_pattern_parse(&pattern, text, &err),
			    LW_BAD_INPUT);
			continue;
		}
		fits++;
		ck_assert_msg(lw_pattern_parse(&pattern, text, &err) == LW_OK,
		    "%s: %s", text, err.text);
		ck_assert_str_eq(pattern.text, text);
		ck_assert_msg(
		    lw_pattern_read(&readings, text, NULL, &err) == LW_OK,
		    "%s: %s", text, err.text);
		ck_assert_str_eq(readings.items[0].text, text);
		ck_assert(lw_pattern_same(text, text));
		ck_assert(lw_pattern_distance(text, text) == 0);
		/* Only a bare count of two digits may be digits as well. */
		if (pattern.coding != LW_CODING_COUNT &&
		    pattern.coding != LW_CODING_IN_TURN &&
		    pattern.coding != LW_CODING_LAMPS)
			ck_assert_uint_eq(readings.count, 1);
	}
	ck_assert_int_gt(fits, 3000);
}
END_TEST

/* Distances agree both ways, and are 0 wherever two patterns are the same. */
START_TEST(distance_is_symmetric)
{
	uint64_t state = 99;
	char one[2048], other[2048];
	double there, back;
	int i;

	for (i = 0; i < 8000; i++) {
		random_pattern(one, &state);
		random_pattern(other, &state);
		there = lw_pattern_distance(one, other);
		back = lw_pattern_distance(other, one);
		ck_assert_msg(there == back ||
				  (there - back < 1e-9 && back - there < 1e-9),
		    "%s and %s: %g, %g", one, other, there, back);
		ck_assert_msg(there >= 0 && there <= 1000, "%s and %s: %g", one,
		    other, there);
		ck_assert_msg(!lw_pattern_same(one, other) || there == 0,
		    "%s and %s: %g", one, other, there);
	}
}
END_TEST

/* Whatever is typed: a reading that is canonical, or a place in the text. */
static void
check_any(const char *text, const struct lw_lamp_hint *hint)
{
	struct lw_pattern_readings readings;
	struct lw_pattern pattern;
	struct lw_err err = {.column = 0};
	enum lw_status status = lw_pattern_read(&readings, text, hint, &err);
	size_t i;

	if (status == LW_OK) {
		ck_assert(readings.count > 0 || readings.word[0] != '\0');
		for (i = 0; i < readings.count; i++)
			ck_assert_msg(
			    lw_pattern_parse(&pattern, readings.items[i].text,
				&err) == LW_OK,
			    "%s: %s", text, readings.items[i].text);
		return;
	}
	ck_assert_msg(status == LW_BAD_INPUT, "%s", text);
	ck_assert_uint_ge(err.column, 1);
	ck_assert_uint_le(err.column, utf8_count(text, strlen(text)) + 1);
	ck_assert_uint_eq(
	    utf8_valid(err.text, strlen(err.text)), strlen(err.text));
	for (i = 0; err.text[i] != '\0'; i++)
		ck_assert_msg((unsigned char)err.text[i] >= 0x20, "%s: %s",
		    text, err.text);
}

START_TEST(anything_typed_is_survived)
{
	static const char *const parts[] = {"7", "32", "0", "20", "seven",
	    "twenty", " ", ",", "-", ".", "+", ":", "/", "%", "Hz", "x", "long",
	    "S", "L", "fast", "on", "off", "red", "green", "in turn", "and",
	    "then", "pause", "short pause", "every", "second", "per", "times",
	    "2.5", "\xE2\x80\xA6", "\xE2\x80\x93", "\xC3\xA9", "\xFF", "\n",
	    "\x1b", "one", "lamp", "not", "alternating"};
	static const char *const ids[] = {"green", "red", "aux"};
	struct lw_lamp_hint hint = {.fast = "2.5Hz"};
	uint64_t state = 4711;
	char text[200];
	unsigned i, j, n;

	for (i = 0; i < 400; i++) {
		text[0] = '\0';
		n = below(&state, 12);
		for (j = 0; j < n; j++) {
			strcat(text, parts[below(&state, 44)]);
			if (below(&state, 2))
				strcat(text, " ");
		}
		hint.coding = (enum lw_coding)below(&state, 8);
		hint.lamps = below(&state, 3) > 0 ? NULL : ids;
		hint.lamp_count = hint.lamps == NULL ? 0 : 3;
		check_any(text, below(&state, 4) > 0 ? &hint : NULL);
	}
	for (i = 0; i < 2000; i++) {
		n = below(&state, 60);
		for (j = 0; j < n; j++)
			text[j] = (char)(1 + below(&state, 255));
		text[n] = '\0';
		check_any(text, NULL);
	}
}
END_TEST

Suite *
suite_lamp(void)
{
	Suite *suite = suite_create("lamp");
	TCase *tests = tcase_create("lamp");

	tcase_set_timeout(tests, 300);
	tcase_add_test(tests, notation_table);
	tcase_add_test(tests, codings);
	tcase_add_test(tests, parse_is_strict);
	tcase_add_test(tests, limits_of_length);
	tcase_add_test(tests, lamps_in_the_device_order);
	tcase_add_test(tests, lamp_of_one_needs_no_name);
	tcase_add_test(tests, colours_of_the_lamps);
	tcase_add_test(tests, rate_words_of_the_lamp);
	tcase_add_test(tests, same);
	tcase_add_test(tests, distance);
	tcase_add_test(tests, canonical_reads_back);
	tcase_add_test(tests, distance_is_symmetric);
	tcase_add_test(tests, anything_typed_is_survived);
	suite_add_tcase(suite, tests);
	return suite;
}
