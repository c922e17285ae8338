/* view: timelines of lamps. What stands where is held against the recording's
 * own times; no label may lie over another or outside the picture. All
 * recordings are invented. */
#include "unit/drawn.h"
#include "unit/suites.h"

#include <math.h>

enum { STRETCHES = 4000 };

static struct view view;
static struct lw_err err;
static struct lw_stretch stretches[STRETCHES];
static struct lw_sight sight;
static struct timeline_lamp lamp;
static struct timeline_source source;

static void
setup(void)
{
	view_begin(&view, NULL);
	doc = NULL;
	memset(&sight, 0, sizeof sight);
	memset(&lamp, 0, sizeof lamp);
	memset(stretches, 0, sizeof stretches);
	sight.stretches = stretches;
	sight.coding = LW_CODING_COUNT;
	sight.on_s = sight.gap_s = 0.25;
	sight.bright = 100;
	lamp.sight = &sight;
	source.lamps = &lamp;
	source.lamp_count = 1;
	source.count = 0;
}

static void
teardown(void)
{
	lw_doc_free(doc);
}

static struct lw_stretch *
add(bool on, double length_s, enum lw_stretch_kind kind)
{
	struct lw_stretch *to = &stretches[sight.stretch_count];

	ck_assert_uint_lt(sight.stretch_count, STRETCHES);
	to->from_s = sight.stretch_count > 0 ? to[-1].to_s : 0;
	to->to_s = to->from_s + length_s;
	to->on = on;
	to->kind = kind;
	sight.stretch_count++;
	return to;
}

/* Flashes of a quarter of a second, and then dark for so long. */
static void
add_group(int flashes, double after_s, enum lw_stretch_kind after)
{
	int i;

	for (i = 1; i <= flashes; i++) {
		add(true, 0.25, LW_STRETCH_FLASH);
		if (i < flashes)
			add(false, 0.25, LW_STRETCH_GAP);
	}
	add(false, after_s, after);
}

static void
open_ends(void)
{
	stretches[0].open = true;
	stretches[sight.stretch_count - 1].open = true;
}

/* Levels that go with the stretches, `rate` a second. */
static double *seconds, *levels;

static void
sample(double rate)
{
	double last = stretches[sight.stretch_count - 1].to_s;
	size_t count = (size_t)(last * rate), i, k = 0;

	seconds = calloc(count, sizeof *seconds);
	levels = calloc(count, sizeof *levels);
	ck_assert(seconds != NULL && levels != NULL);
	for (i = 0; i < count; i++) {
		seconds[i] = (double)i / rate;
		while (stretches[k].to_s <= seconds[i])
			k++;
		/* Noise of a kind. */
		levels[i] =
		    (stretches[k].on ? 100 : 0) + (double)(i * 7919 % 13);
	}
	source.seconds = seconds;
	source.count = count;
	lamp.levels = levels;
}

/* Some levels, where they do not matter. */
static void
two_levels(void)
{
	static const double when[] = {0.01, 0.02}, what[] = {1, 2};

	source.seconds = when;
	source.count = 2;
	lamp.levels = what;
}

static void
draw(void)
{
	view_timeline(&view, view.root, &source);
	ck_assert_int_eq(view_end(&view, &doc, LW_OK, &err), LW_OK);
}

/* --- counts --------------------------------------------------------------- */

/* Seven flashes, from the middle of a group on: a row a cycle, and each
 * flash's number above it. */
START_TEST(cycles)
{
	int i;

	add_group(3, 1.5, LW_STRETCH_PAUSE);
	for (i = 0; i < 3; i++)
		add_group(7, 1.5, LW_STRETCH_PAUSE);
	open_ends();
	sample(30);
	draw();
	check_picture();
	ck_assert_uint_eq(count("timeline.rows"), 4);
	ck_assert_str_eq(
	    text("timeline.rows.0.lanes.0.remark"), "start not seen");
	ck_assert_uint_eq(count("timeline.rows.0.lanes.0.numbers"), 0);
	ck_assert_str_eq(
	    text("timeline.rows.0.lanes.0.counts.0.text"), "3 or more");
	ck_assert_uint_eq(count("timeline.rows.1.lanes.0.lit"), 7);
	ck_assert_uint_eq(count("timeline.rows.1.lanes.0.numbers"), 7);
	ck_assert_str_eq(text("timeline.rows.1.lanes.0.counts.0.text"), "7");
	ck_assert_str_eq(
	    text("timeline.rows.1.lanes.0.pauses.0.text"), "pause 1.5 s");
	/* One that is not over is not said to last so long. */
	ck_assert_str_eq(
	    text("timeline.rows.3.lanes.0.pauses.0.text"), "pause");
	ck_assert_uint_eq(count("timeline.rows.3.lanes.0.dark"), 1);
	/* A cycle is 6 x 0.5 + 0.25 + 1.5 s: the first flash ends at 0.25 of
	 * 4.75 s. */
	ck_assert_double_eq_tol(real("timeline.rows.1.lanes.0.groups.0.to_x"),
	    real("timeline.left") +
		(real("timeline.right") - real("timeline.left")) * 3.25 / 4.75,
	    0.11);
	/* The rows' pauses end below one another. */
	ck_assert_double_eq_tol(real("timeline.rows.0.lanes.0.to_x"),
	    real("timeline.rows.1.lanes.0.to_x"), 0.11);
	ck_assert_str_eq(text("timeline.shown"),
	    "The whole recording, 17 s: 3 of 3 whole cycles.");
	ck_assert_ptr_nonnull(strstr(
	    text("timeline.label"), "At 2.75 s: 7 flashes, pause of 1.5 s."));
	free(seconds);
	free(levels);
}
END_TEST

/* Of a long recording four cycles are shown, and which is said. */
START_TEST(long_one)
{
	int i;

	for (i = 0; i < 60; i++)
		add_group(5, 1.75, LW_STRETCH_PAUSE);
	open_ends();
	two_levels();
	draw();
	check_picture();
	ck_assert_uint_eq(count("timeline.rows"), TIMELINE_ROWS);
	ck_assert_ptr_nonnull(strstr(
	    text("timeline.shown"), "of the recording's 240 s: 4 of 59"));
}
END_TEST

/* Where one was mended is among those that are shown, numbers go on over what
 * is missing, and what was seen twice is one flash. */
START_TEST(mended)
{
	int i;

	for (i = 0; i < 20; i++)
		add_group(5, 1.75, LW_STRETCH_PAUSE);
	/* In the twenty-first the third flash was missed. */
	add_group(2, 0.75, LW_STRETCH_GAP);
	stretches[sight.stretch_count - 1].mended = true;
	add_group(2, 1.75, LW_STRETCH_PAUSE);
	/* In the one after it the second was seen twice. */
	add_group(1, 0.25, LW_STRETCH_GAP);
	add(true, 0.1, LW_STRETCH_FLASH)->mended = true;
	add(false, 0.05, LW_STRETCH_FLASH)->mended = true;
	add(true, 0.1, LW_STRETCH_FLASH)->mended = true;
	add(false, 0.25, LW_STRETCH_GAP);
	add_group(3, 1.75, LW_STRETCH_PAUSE);
	for (i = 0; i < 20; i++)
		add_group(5, 1.75, LW_STRETCH_PAUSE);
	open_ends();
	two_levels();
	draw();
	check_picture();
	ck_assert_str_eq(text("timeline.rows.2.lanes.0.remark"), "mended");
	ck_assert_str_eq(text("timeline.rows.3.lanes.0.remark"), "mended");
	ck_assert_str_eq(text("timeline.rows.2.lanes.0.counts.0.text"), "5");
	ck_assert_str_eq(text("timeline.rows.3.lanes.0.counts.0.text"), "5");
	ck_assert_uint_eq(count("timeline.rows.2.lanes.0.numbers"), 4);
	ck_assert_uint_eq(count("timeline.rows.3.lanes.0.numbers"), 5);
	ck_assert_str_eq(text("timeline.rows.2.lanes.0.dark.0.dashes"), "3 2");
	ck_assert(is_true("timeline.rows.3.lanes.0.lit.1.mended"));
	ck_assert_ptr_nonnull(strstr(text("timeline.label"), "mended"));
}
END_TEST

START_TEST(digits)
{
	int i;

	sight.coding = LW_CODING_DIGITS;
	for (i = 0; i < 3; i++) {
		add_group(1, 0.9, LW_STRETCH_GROUP_GAP);
		add_group(4, 0.9, LW_STRETCH_GROUP_GAP);
		add_group(2, 1.5, LW_STRETCH_PAUSE);
	}
	open_ends();
	stretches[0].open = false;
	two_levels();
	draw();
	check_picture();
	ck_assert_uint_eq(count("timeline.rows.0.lanes.0.groups"), 3);
	ck_assert_str_eq(text("timeline.rows.0.lanes.0.counts.0.text"), "1");
	ck_assert_str_eq(text("timeline.rows.0.lanes.0.counts.1.text"), "4");
	ck_assert_str_eq(text("timeline.rows.0.lanes.0.counts.2.text"), "2");
	ck_assert_ptr_nonnull(
	    strstr(text("timeline.label"), "At 0 s: 1, 4, 2, pause of 1.5 s"));
}
END_TEST

START_TEST(long_and_short)
{
	int i, k;

	sight.coding = LW_CODING_LONG_SHORT;
	for (i = 0; i < 3; i++) {
		for (k = 0; k < 5; k++) {
			add(true, k < 2 ? 0.9 : 0.3,
			    k < 2 ? LW_STRETCH_LONG : LW_STRETCH_FLASH);
			add(false, k < 4 ? 0.3 : 2,
			    k < 4 ? LW_STRETCH_GAP : LW_STRETCH_PAUSE);
		}
	}
	two_levels();
	draw();
	check_picture();
	ck_assert_str_eq(text("timeline.rows.0.lanes.0.counts.0.text"), "2L");
	ck_assert_str_eq(text("timeline.rows.0.lanes.0.counts.1.text"), "3S");
}
END_TEST

/* A lamp that is lit, and goes out to count. */
START_TEST(goes_out)
{
	int i, k;

	for (i = 0; i < 3; i++) {
		for (k = 0; k < 3; k++) {
			add(false, 0.25, LW_STRETCH_FLASH);
			add(true, k < 2 ? 0.25 : 1.5,
			    k < 2 ? LW_STRETCH_GAP : LW_STRETCH_PAUSE);
		}
	}
	two_levels();
	draw();
	check_picture();
	ck_assert_uint_eq(count("timeline.rows"), 3);
	ck_assert_str_eq(text("timeline.rows.1.lanes.0.counts.0.text"), "3");
}
END_TEST

/* --- other kinds ---------------------------------------------------------- */

START_TEST(rate)
{
	int i;

	sight.coding = LW_CODING_RATE;
	for (i = 0; i < 50; i++) {
		add(true, 0.2, LW_STRETCH_FLASH);
		add(false, 0.2, LW_STRETCH_GAP);
	}
	open_ends();
	sample(60);
	draw();
	check_picture();
	ck_assert_uint_eq(count("timeline.rows.0.lanes.0.numbers"), 0);
	ck_assert_uint_eq(count("timeline.rows.0.lanes.0.counts"), 0);
	free(seconds);
	free(levels);
}
END_TEST

START_TEST(never_changes)
{
	sight.coding = LW_CODING_STEADY;
	add(false, 10, LW_STRETCH_DARK);
	open_ends();
	sample(30);
	draw();
	check_picture();
	ck_assert_uint_eq(count("timeline.rows"), 1);
	ck_assert_uint_eq(count("timeline.rows.0.lanes.0.lit"), 0);
	ck_assert_str_eq(
	    text("timeline.rows.0.lanes.0.remark"), "never changes");
	free(seconds);
	free(levels);
}
END_TEST

/* Taps are given from one to the next; nothing follows the last. */
START_TEST(taps)
{
	static const double when[] = {0, 0.5, 1, 3, 3.5, 4, 6, 6.5};
	size_t i;

	for (i = 0; i + 1 < 8; i++) {
		stretches[i].from_s = when[i];
		stretches[i].to_s = when[i + 1];
		stretches[i].kind = when[i + 1] - when[i] > 1 ? LW_STRETCH_PAUSE
							      : LW_STRETCH_GAP;
	}
	sight.stretch_count = 7;
	source.seconds = when;
	source.count = 8;
	draw();
	check_picture();
	ck_assert_uint_eq(count("timeline.rows"), 3);
	ck_assert_uint_eq(count("timeline.rows.0.lanes.0.taps"), 3);
	ck_assert_uint_eq(count("timeline.rows.2.lanes.0.taps"), 2);
	ck_assert_str_eq(text("timeline.rows.0.lanes.0.counts.0.text"), "3");
	ck_assert_str_eq(
	    text("timeline.rows.2.lanes.0.counts.0.text"), "2 or more");
	ck_assert_uint_eq(count("timeline.rows.0.lanes.0.lit"), 0);
	is_null("timeline.rows.0.lanes.0.level");
	ck_assert_str_eq(text("timeline.title"), "Timeline of the taps");
}
END_TEST

/* Two, three and eight lamps side by side, with names of every length. */
START_TEST(lamps)
{
	static const size_t lamp_counts[] = {2, 3, 8}, rows[] = {3, 2, 1};
	struct timeline_lamp several[8];
	int i;

	for (i = 0; i < 6; i++)
		add_group(4, 1.5, LW_STRETCH_PAUSE);
	open_ends();
	two_levels();
	for (i = 0; i < 8; i++) {
		several[i] = lamp;
		several[i].name =
		    i % 2 == 0 ? "the upper one beside the \u00b5C" : "red";
		several[i].colour = "red";
	}
	source.lamps = several;
	source.lamp_count = lamp_counts[_i];
	draw();
	check_picture();
	ck_assert_uint_eq(count("timeline.rows"), rows[_i]);
	ck_assert_uint_eq(count("timeline.rows.0.lanes"), source.lamp_count);
	ck_assert_str_eq(text("timeline.rows.0.lanes.1.colour"), "red");
}
END_TEST

/* Two lamps at paces of their own: a row is a cycle of the first, and a group
 * of the other that goes on in the next row has its whole count in both. */
START_TEST(split)
{
	static struct lw_stretch others[100];
	struct lw_sight other;
	struct timeline_lamp both[2];
	int i;

	add(false, 1.25, LW_STRETCH_PAUSE);
	for (i = 0; i < 4; i++)
		add_group(4, 1.5, LW_STRETCH_PAUSE);
	open_ends();
	memcpy(others, stretches, sizeof others);
	other = sight;
	other.stretches = others;
	sight.stretch_count = 0;
	memset(stretches, 0, sizeof others);
	for (i = 0; i < 6; i++)
		add_group(2, 1.5, LW_STRETCH_PAUSE);
	open_ends();
	two_levels();
	both[0] = both[1] = lamp;
	both[0].name = "red";
	both[1].name = "green";
	both[1].sight = &other;
	source.lamps = both;
	source.lamp_count = 2;
	draw();
	check_picture();
	/* Rows begin at 2.25, 4.5 and 6.75 s; the other's groups at 1.25, 4.5
	 * and 7.75 s, and each is 1.75 s long. */
	ck_assert_uint_eq(count("timeline.rows.0.lanes.1.numbers"), 2);
	ck_assert_str_eq(text("timeline.rows.0.lanes.1.counts.0.text"), "4");
	ck_assert_uint_eq(count("timeline.rows.2.lanes.1.numbers"), 3);
	ck_assert_str_eq(text("timeline.rows.2.lanes.1.counts.0.text"), "4");
	ck_assert_str_eq(text("timeline.rows.2.lanes.0.counts.0.text"), "2");
}
END_TEST

/* Twenty flashes of every pace: numbers that have no room are left out. */
START_TEST(crowded)
{
	static const int flashes[] = {20, 99, 300};
	int i, k, most = flashes[_i];

	for (k = 0; k < 3; k++) {
		for (i = 0; i < most; i++) {
			add(true, 0.1, LW_STRETCH_FLASH);
			add(false, i + 1 < most ? 0.1 : 1.5,
			    i + 1 < most ? LW_STRETCH_GAP : LW_STRETCH_PAUSE);
		}
	}
	open_ends();
	two_levels();
	draw();
	check_picture();
	/* What cannot be drawn is said to be so. */
	if (most == 300)
		ck_assert_str_eq(text("timeline.rows.1.lanes.0.remark"),
		    "too quick to draw");
}
END_TEST

/* A million samples are no larger in the picture than some thousand. */
START_TEST(million)
{
	char *dump, where[60];
	size_t i;

	for (i = 0; i < 4; i++)
		add_group(5, 1.75, LW_STRETCH_PAUSE);
	open_ends();
	sample(62500);
	ck_assert_uint_ge(source.count, 1000000 - 1);
	draw();
	check_picture();
	for (i = 0; i < 4; i++) {
		snprintf(
		    where, sizeof where, "timeline.rows.%zu.lanes.0.level", i);
		ck_assert_uint_le(check_path(text(where)), 2 * 340);
		ck_assert_uint_ge(check_path(text(where)), 300);
	}
	dump = json_dumps(doc->root, JSON_COMPACT);
	ck_assert_ptr_nonnull(dump);
	ck_assert_msg(strlen(dump) < 100000, "it has %zu bytes", strlen(dump));
	free(dump);
	free(seconds);
	free(levels);
}
END_TEST

/* A spike between two columns of the picture is still seen. */
START_TEST(spike)
{
	char *found;

	add_group(2, 1, LW_STRETCH_PAUSE);
	open_ends();
	sight.bright = sight.dim = 0;
	sample(62500);
	levels[source.count / 2] = 1000;
	draw();
	/* Two pixels below the top of the box. */
	found = strstr(text("timeline.rows.0.lanes.0.level"), " 39L");
	ck_assert_msg(found != NULL, "no point at the top: top is %g",
	    real("timeline.rows.0.lanes.0.top"));
	free(seconds);
	free(levels);
}
END_TEST

START_TEST(nothing)
{
	if (_i == 1)
		add(true, 0, LW_STRETCH_OTHER);
	if (_i == 2)
		source.lamp_count = 0;
	two_levels();
	draw();
	is_null("timeline");
	ck_assert_uint_eq(count("text_timeline"), 0);
}
END_TEST

/* Random stretches, named by chance: nothing breaks. */
START_TEST(by_chance)
{
	static const double lengths[] = {0, 1e-6, 0.02, 0.3, 1, 50};
	unsigned seed = 11;
	int round, i, most;

	for (round = 0; round < 300; round++) {
		setup();
		seed = seed * 1103515245u + 12345u;
		most = 1 + (int)(seed >> 16) % 60;
		sight.coding =
		    (enum lw_coding)(seed >> 8 & 7) % (LW_CODING_LAMPS + 1);
		for (i = 0; i < most; i++) {
			seed = seed * 1103515245u + 12345u;
			add(seed >> 9 & 1, lengths[(seed >> 10) % 6],
			    (enum lw_stretch_kind)(seed >> 20) % 8)
			    ->mended = seed >> 27 & 1;
		}
		open_ends();
		two_levels();
		if (round % 3 == 0)
			lamp.levels = NULL;
		draw();
		if (json_is_object(at("timeline")))
			check_picture();
		teardown();
	}
}
END_TEST

START_TEST(seconds_said)
{
	static const struct {
		double seconds;
		const char *text;
	} cases[] = {{0, "0 s"}, {0.25, "0.25 s"}, {1.5, "1.5 s"},
	    {12.3456, "12.35 s"}, {240, "240 s"}, {0.0312, "0.031 s"},
	    {86400.7, "86401 s"}, {1e-14, "0 s"}, {-1e-9, "0 s"}};
	char said[40];
	size_t i;

	for (i = 0; i < sizeof cases / sizeof cases[0]; i++)
		ck_assert_str_eq(
		    timeline_seconds(said, cases[i].seconds), cases[i].text);
}
END_TEST

Suite *
suite_timeline(void)
{
	Suite *suite = suite_create("timeline");
	TCase *cases = tcase_create("timeline");

	tcase_add_checked_fixture(cases, setup, teardown);
	tcase_add_test(cases, cycles);
	tcase_add_test(cases, long_one);
	tcase_add_test(cases, mended);
	tcase_add_test(cases, digits);
	tcase_add_test(cases, long_and_short);
	tcase_add_test(cases, goes_out);
	tcase_add_test(cases, rate);
	tcase_add_test(cases, never_changes);
	tcase_add_test(cases, taps);
	tcase_add_loop_test(cases, lamps, 0, 3);
	tcase_add_test(cases, split);
	tcase_add_loop_test(cases, crowded, 0, 3);
	tcase_add_test(cases, million);
	tcase_add_test(cases, spike);
	tcase_add_loop_test(cases, nothing, 0, 3);
	suite_add_tcase(suite, cases);
	cases = tcase_create("chance");
	tcase_add_test(cases, by_chance);
	tcase_add_test(cases, seconds_said);
	suite_add_tcase(suite, cases);
	return suite;
}
