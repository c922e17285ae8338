/* replay: when a lamp that shows a pattern is lit, and that no page flashes
 * faster than it may. Times of standards are as their public restatements have
 * them; the two devices are of the packs that ship. */
#include "unit/book.h"
#include "unit/doc.h"
#include "unit/suites.h"

#include "view/replay_time.h"

#include <lampwright.h>

#include <math.h>
#include <stdlib.h>

static struct scratch scratch;
static struct lw_err err;

static void
setup(void)
{
	struct lw_problems problems;
	const struct lw_pack *pack;
	struct lw_pack_text whole;

	scratch_make(&scratch);
	scratch_open(&scratch);
	/* Its lamps alone matter: that its checks lean on other packs does
	 * not. */
	ck_assert_int_eq(lw_pack_load(scratch.arena, KB_DIR "/canopen.yaml",
			     &whole, &scratch.err),
	    LW_OK);
	ck_assert_int_eq(lw_pack_read(scratch.arena, &whole, 1, NULL, &pack,
			     &problems, &scratch.err),
	    LW_OK);
	ck_assert_ptr_nonnull(pack);
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, pack, 1700000000, &scratch.err),
	    LW_OK);
	doc = NULL;
}

static void
teardown(void)
{
	lw_doc_free(doc);
	scratch_remove(&scratch);
}

static enum lw_status
replay(const char *pattern, const char *device, const char *lamp, bool playing)
{
	lw_doc_free(doc);
	doc = NULL;
	return lw_view_replay(
	    &doc, scratch.book, pattern, device, lamp, playing, &err);
}

/* Lay out a canonical pattern of one lamp. */
static struct replay_track
lay(const char *pattern, const struct lw_lamp *lamp)
{
	static struct canonical canonical;
	struct replay_timing timing = replay_timing_of(lamp);
	struct replay_track track;

	ck_assert_msg(canonical_parse(&canonical, pattern), "%s", pattern);
	ck_assert_int_eq(replay_lay(&track, scratch.arena, &canonical.lamps[0],
			     &timing, &err),
	    LW_OK);
	return track;
}

static void
lasts(const char *pattern, const struct lw_lamp *lamp, double seconds)
{
	struct replay_track track = lay(pattern, lamp);

	ck_assert_msg(fabs(track.seconds - seconds) < 1e-9,
	    "%s lasts %g s, not %g s", pattern, track.seconds, seconds);
}

/* CiA 303-3, as restated: flash and gap 200 ms, 1000 ms after the last; the
 * periods are 1200, 1600, 2000 and 2400 ms. ISO 8201: three of 0.5 s with 0.5 s
 * between, then 1.5 s off, 4.0 s in all. The handlebar lamp is the
 * demonstration pack's, invented. */
START_TEST(published)
{
	static const struct lw_lamp can = {
	    .on_s = 0.2, .gap_s = 0.2, .pause_s = 1};
	static const struct lw_lamp evacuate = {
	    .on_s = 0.5, .gap_s = 0.5, .pause_s = 1.5};
	static const struct lw_lamp trike = {
	    .on_s = 0.2, .gap_s = 0.3, .group_gap_s = 0.9, .pause_s = 2.5};

	lasts("1", &can, 1.2);
	lasts("2", &can, 1.6);
	lasts("3", &can, 2.0);
	lasts("4", &can, 2.4);
	lasts("10Hz", &can, 0.1);
	lasts("2.5Hz", &can, 0.4);
	lasts("3", &evacuate, 4.0);
	/* 5 x 0.2 + 3 x 0.3 + 0.9 + 2.5 */
	lasts("3-2", &trike, 5.3);
}
END_TEST

/* What is not known is common practice: 0.25 s, 0.25 s, 0.75 s, 1.5 s; a dash
 * is three dots (ITU-R M.1677-1). */
START_TEST(usual)
{
	static const struct lw_lamp slow = {.gap_s = 1};
	static const struct lw_lamp quick = {.pause_s = 0.3};
	struct replay_timing timing;
	struct replay_track track;

	lasts("3", NULL, 5 * 0.25 + 1.5);
	lasts("3-2", NULL, 5 * 0.25 + 3 * 0.25 + 0.75 + 1.5);
	lasts("2L1S", NULL, 2 * 0.75 + 0.25 + 2 * 0.25 + 1.5);
	lasts("3+2", NULL, 5 * 0.25 + 3 * 0.25 + 2 * 1.5);
	track = lay("1L", NULL);
	ck_assert_double_eq_tol(track.stretches[0].seconds, 0.75, 1e-9);
	ck_assert(lay("on", NULL).steady);
	ck_assert(lay("off", NULL).steady);
	/* Longer parts stay longer, whatever else is known. */
	timing = replay_timing_of(&slow);
	ck_assert(timing.group_gap_s > 2 * timing.gap_s);
	ck_assert(timing.pause_s > 1.5 * timing.group_gap_s);
	timing = replay_timing_of(&quick);
	ck_assert(timing.gap_s < timing.group_gap_s);
	ck_assert(timing.group_gap_s < timing.pause_s);
	ck_assert(timing.known);
	ck_assert(!replay_timing_of(NULL).known);
}
END_TEST

START_TEST(duty)
{
	struct replay_track track = lay("1Hz/20%", NULL);

	ck_assert_uint_eq(track.count, 2);
	ck_assert_double_eq_tol(track.stretches[0].seconds, 0.2, 1e-9);
	ck_assert_double_eq_tol(track.stretches[1].seconds, 0.8, 1e-9);
}
END_TEST

static const char *const many[] = {"1", "2", "7", "20", "99", "3-2", "1-1-1",
    "20-20-20-20-20-20", "2L3S", "1S1L1S", "12S12L", "0.01Hz", "0.5Hz", "1Hz",
    "2.4Hz", "2.5Hz", "2.6Hz", "4Hz/20%", "10Hz", "99Hz/5%", "99Hz/95%", "3+7",
    "3-2+1-4", "2L1S+1S", "1+1+1+1+1+1+1+1"};

/* WCAG 2.2, 2.3.1: at most three flashes in any one second. Ours are 0.4 s
 * apart, so that is kept. */
START_TEST(slow_enough)
{
	static const struct lw_lamp lamps[] = {{.on_s = 0.25},
	    {.on_s = 0.02, .gap_s = 0.02, .pause_s = 0.1},
	    {.on_s = 0.05, .gap_s = 0.05, .pause_s = 0.05},
	    {.on_s = 3600, .gap_s = 3600, .pause_s = 3600},
	    {.on_s = 0.2, .gap_s = 0.2, .group_gap_s = 0.2, .pause_s = 0.2}};
	size_t p, l, i;

	for (p = 0; p < sizeof many / sizeof many[0]; p++)
		for (l = 0; l < sizeof lamps / sizeof lamps[0]; l++) {
			struct replay_track track = lay(many[p], &lamps[l]);
			double slower = replay_slower(&track);
			unsigned long at = 0, last = 0, first = 0;
			bool lit = replay_is_lit(
			    track.stretches[track.count - 1].kind);
			size_t flashes = 0;

			ck_assert_msg(slower >= 1, "%s", many[p]);
			for (i = 0; i < track.count; i++) {
				bool now =
				    replay_is_lit(track.stretches[i].kind);

				if (now && !lit && flashes++ == 0)
					first = at;
				else if (now && !lit)
					ck_assert_msg(at - last >= 400,
					    "%s: %lu ms apart", many[p],
					    at - last);
				if (now && !lit)
					last = at;
				lit = now;
				at += replay_ms(&track.stretches[i], slower);
			}
			ck_assert_msg(flashes > 0, "%s", many[p]);
			ck_assert_msg(at - last + first >= 400,
			    "%s round its end", many[p]);
		}
}
END_TEST

START_TEST(document)
{
	ck_assert_int_eq(replay("3", "canopen-node", "err", false), LW_OK);
	has_keys("", "shape query device device_title lamp lamp_title pattern "
		     "coding several plays playing slowed times_known lamps "
		     "stage still");
	has_keys(
	    "lamps.0", "lamp title words times times_known steady cycle_s");
	has_keys("stage", "spots width height");
	has_keys(
	    "stage.spots.0", "x y halo core colour is_lit name name_y moves");
	has_keys("still",
	    "lanes label width height left right top middle ticks "
	    "bottom tick_base title_base");
	has_keys("still.lanes.0",
	    "title title_base on_base off off_base colour blurred d");
	has_keys("still.ticks.0", "x text");
	ck_assert_str_eq(text("lamps.0.words"), "three flashes, a pause");
	ck_assert_str_eq(
	    text("lamps.0.times"), "flash 0.2 s, gap 0.2 s, pause 1 s");
	ck_assert(is_true("plays") && !is_true("playing"));
	is_null("slowed"); /* 200 and 200 ms are 2.5 Hz */
	ck_assert_int_eq(replay("3", "canopen-node", "err", true), LW_OK);
	ck_assert(is_true("playing"));
	ck_assert_str_eq(text("stage.spots.0.duration"), "2.000s");
	ck_assert_str_eq(text("stage.spots.0.values"), "1;0;1;0;1;0");
	ck_assert_str_eq(text("stage.spots.0.times"), "0;0.1;0.2;0.3;0.4;0.5");
	ck_assert_int_eq(replay("10Hz", "canopen-node", "run", true), LW_OK);
	ck_assert_str_eq(
	    text("slowed"), "Shown slower than it is: 10 Hz as 2.5 Hz");
	ck_assert_str_eq(text("stage.spots.0.duration"), "0.400s");
	ck_assert_int_eq(replay("on", "canopen-node", "run", true), LW_OK);
	ck_assert(!is_true("plays") && !is_true("playing"));
	ck_assert(is_true("stage.spots.0.is_lit"));
	ck_assert_int_eq(replay("off", NULL, NULL, false), LW_OK);
	ck_assert(!is_true("stage.spots.0.is_lit"));
}
END_TEST

START_TEST(words)
{
	static const struct {
		const char *pattern;
		const char *words;
	} rows[] = {
	    {"1", "one flash, a pause"},
	    {"13", "13 flashes, a pause"},
	    {"3-2", "three flashes, a short gap, two flashes, a pause"},
	    {"2L1S", "two long flashes, one short flash, a pause"},
	    {"3+7", "three flashes, a pause; then seven flashes, a pause"},
	    {"0.5Hz", "a flash every 2 s"},
	    {"1Hz", "1 flash a second"},
	    {"2.5Hz/20%", "2.5 flashes a second, lit 20 % of the time"},
	    {"on", "on all the time"},
	};
	size_t i;

	for (i = 0; i < sizeof rows / sizeof rows[0]; i++) {
		ck_assert_int_eq(
		    replay(rows[i].pattern, NULL, NULL, false), LW_OK);
		ck_assert_str_eq(text("lamps.0.words"), rows[i].words);
		ck_assert_str_eq(text("pattern"), rows[i].pattern);
	}
	/* As people type it. */
	ck_assert_int_eq(replay("three pause two", NULL, NULL, false), LW_OK);
	ck_assert_str_eq(text("pattern"), "3-2");
}
END_TEST

/* WCAG 2.2, 2.3.1: what flashes takes less than 21824 square pixels in all, and
 * is no saturated red, R / (R + G + B) of 0.8 and more. */
START_TEST(small_enough)
{
	static const char *const lamps[] = {"3", "red:3 green:on",
	    "red:3 amber:2 blue:1", "a:1 b:2 c:3 d:4 e:5 f:6 g:7 h:10Hz"};
	size_t i, j;

	for (i = 0; i < sizeof lamps / sizeof lamps[0]; i++) {
		double area = 0;

		ck_assert_int_eq(
		    replay(lamps[i], "canopen-node", NULL, true), LW_OK);
		ck_assert(is_true("several") == (i > 0));
		for (j = 0; j < count("stage.spots"); j++) {
			char where[64];
			unsigned long rgb;
			double r, all;

			snprintf(
			    where, sizeof where, "stage.spots.%zu.halo", j);
			area += M_PI * (double)(number(where) * number(where));
			snprintf(
			    where, sizeof where, "stage.spots.%zu.colour", j);
			rgb = strtoul(text(where) + 1, NULL, 16);
			r = (double)(rgb >> 16);
			all =
			    r + (double)(rgb >> 8 & 255) + (double)(rgb & 255);
			ck_assert_msg(r / all < 0.8, "%s", text(where));
		}
		ck_assert_msg(area < 21824, "%s: %g", lamps[i], area);
	}
	/* The device's lamps are known by their colours too. */
	ck_assert_int_eq(
	    replay("red:3 green:on", "canopen-node", NULL, false), LW_OK);
	ck_assert_str_eq(text("lamps.0.lamp"), "err");
	ck_assert_str_eq(text("lamps.1.title"), "RUN lamp");
}
END_TEST

START_TEST(refused)
{
	ck_assert_int_eq(replay("# 5", NULL, NULL, false), LW_BAD_INPUT);
	ck_assert_uint_eq(err.column, 1);
	ck_assert_ptr_null(doc);
	ck_assert_int_eq(replay("", NULL, NULL, false), LW_BAD_INPUT);
	ck_assert_int_eq(replay("fast", NULL, NULL, false), LW_BAD_INPUT);
	ck_assert_int_eq(replay("3", "no-such", NULL, false), LW_NOT_FOUND);
	ck_assert_int_eq(
	    replay("3", "canopen-node", "no-such", false), LW_NOT_FOUND);
	ck_assert_ptr_null(doc);
	/* Its lamps say what the word means. */
	ck_assert_int_eq(
	    replay("flicker", "canopen-node", "run", false), LW_OK);
	ck_assert_str_eq(text("pattern"), "10Hz");
}
END_TEST

Suite *
suite_replay(void)
{
	Suite *suite = suite_create("replay");
	TCase *tcase = tcase_create("replay");

	tcase_add_checked_fixture(tcase, setup, teardown);
	tcase_add_test(tcase, published);
	tcase_add_test(tcase, usual);
	tcase_add_test(tcase, duty);
	tcase_add_test(tcase, slow_enough);
	tcase_add_test(tcase, document);
	tcase_add_test(tcase, words);
	tcase_add_test(tcase, small_enough);
	tcase_add_test(tcase, refused);
	suite_add_tcase(suite, tcase);
	return suite;
}
