/* cli: tapping along, apart from the terminal. Sequences are as in ECMA-48,
 * 5.4; repeats of held keys as systems have them by default (from memory);
 * taps, groups and pauses are invented. */
#include "unit/suites.h"

#include "cli/keystroke.h"
#include "cli/tap_picture.h"
#include "cli/tapping.h"

#include <stdio.h>
#include <string.h>

static struct tapping taps;
static struct tapping_shape shape;
static struct lw_seen seen;

static void
setup(void)
{
	tapping_begin(&taps, 0);
	memset(&seen, 0, sizeof seen);
}

/* --- keys out of bytes --------------------------------------------------- */

/* Keys of some reads, 10 ms apart, each of a text: "t" a tap, "b" Backspace,
 * "e" Esc, "d" Ctrl-D, "c" Ctrl-C; in capitals where waiting told. */
static const char *
keys_of(const char *const *reads)
{
	static char kinds[100];
	struct keystrokes keys;
	struct keystroke key;
	double now = 5;
	size_t n = 0, i;

	memset(&keys, 0, sizeof keys);
	for (; *reads != NULL; reads++, now += 0.01) {
		keystroke_next_read(&keys);
		for (i = 0; (*reads)[i] != '\0'; i++)
			if (keystroke_byte(
				&keys, &key, (unsigned char)(*reads)[i], now))
				kinds[n++] = "tbedc"[key.kind];
		ck_assert(!keystroke_waited(&keys, &key, now));
	}
	if (keystroke_waited(&keys, &key, now + 1))
		kinds[n++] = "TBEDC"[key.kind];
	kinds[n] = '\0';
	return kinds;
}

START_TEST(bytes_to_keys)
{
	static const struct {
		const char *reads[4];
		const char *keys;
	} cases[] = {
	    {{"x"}, "t"},
	    {{"\r"}, "t"},
	    {{"ab"}, "tt"},
	    {{"\x7f"}, "b"},
	    {{"\b"}, "b"},
	    {{"\x04"}, "d"},
	    {{"\x03"}, "c"},
	    {{"\x13"}, "t"},
	    {{"\033"}, "E"},
	    {{"\033", "\033"}, "eE"},
	    {{"\033\033"}, "E"},
	    {{"\033[A"}, "t"},
	    {{"\033[1;5C"}, "t"},
	    {{"\033[15~x"}, "tt"},
	    {{"\033OP"}, "t"},
	    {{"\033[[A"}, "t"}, /* the Linux console's F1 */
	    {{"\033\033[A"}, "t"},
	    {{"\033x"}, "t"},
	    {{"\033\xc3\xa9"}, "t"},
	    {{"\033[A\033[A"}, "tt"},
	    {{"\033", "[A"}, "t"}, /* come apart on the way */
	    {{"\033[", "1;5", "C"}, "t"},
	    {{"\033["}, "T"},
	    {{"\033O"}, "T"},
	    {{"\xc3\xa9"}, "t"},
	    {{"\xe2\x82\xac"}, "t"},
	    {{"\xf0\x9f\x98\x80x"}, "tt"},
	    {{"\xe9"}, "t"}, /* Latin-1 */
	    {{"\xa4"}, "t"},
	};
	size_t i;

	for (i = 0; i < sizeof cases / sizeof cases[0]; i++)
		ck_assert_msg(
		    strcmp(keys_of(cases[i].reads), cases[i].keys) == 0,
		    "case %zu: %s", i, keys_of(cases[i].reads));
}
END_TEST

START_TEST(key_times)
{
	struct keystrokes keys;
	struct keystroke one, two;

	memset(&keys, 0, sizeof keys);
	ck_assert(!keystroke_byte(&keys, &one, '\033', 1.0));
	ck_assert(!keystroke_byte(&keys, &one, '[', 1.0));
	ck_assert(keystroke_byte(&keys, &one, 'A', 1.05));
	ck_assert(one.at_s == 1.0);
	ck_assert(!keystroke_byte(&keys, &two, '\033', 2.0));
	ck_assert(!keystroke_byte(&keys, &two, '[', 2.0));
	ck_assert(keystroke_byte(&keys, &two, 'A', 2.0));
	ck_assert_uint_eq(one.key, two.key);
	ck_assert(!keystroke_byte(&keys, &two, '\033', 3.0));
	ck_assert(!keystroke_byte(&keys, &two, '[', 3.0));
	ck_assert(keystroke_byte(&keys, &two, 'B', 3.0));
	ck_assert_uint_ne(one.key, two.key);
}
END_TEST

/* --- which keys count ---------------------------------------------------- */

static void
tap_all(const double *at, size_t count)
{
	size_t i;

	for (i = 0; i < count; i++)
		tapping_key(&taps, 1, at[i]);
}

/* Held keys by their delay and repeat: Linux console, X, and what people set
 * (from memory). Before it a tap with the same key, and one after. */
START_TEST(held_keys)
{
	static const struct {
		double delay_s, each_s;
	} held[] = {{0.25, 0.033}, {0.25, 0.092}, {0.5, 0.033}, {0.5, 0.04},
	    {0.66, 0.04}, {0.4, 0.03}, {0.2, 0.02}, {1, 0.1}, {0.5, 0.11}};
	size_t i, k;
	double at;

	for (i = 0; i < sizeof held / sizeof held[0]; i++) {
		setup();
		tapping_key(&taps, 1, 10);
		tapping_key(&taps, 1, 12);
		at = 12 + held[i].delay_s;
		for (k = 0; k < 20; k++, at += held[i].each_s)
			tapping_key(&taps, 1, at);
		ck_assert_msg(taps.count == 2, "case %zu: %zu", i, taps.count);
		ck_assert_int_eq(taps.told, TAPPING_TOLD_HELD);
		tapping_key(&taps, 1, at + 0.3);
		ck_assert_uint_eq(taps.count, 3);
		ck_assert_int_eq(taps.told, TAPPING_TOLD_NOTHING);
	}
}
END_TEST

/* Repeats that a slow line delivers in bunches. */
START_TEST(held_over_a_line)
{
	size_t i;
	double at = 1.5;

	tapping_key(&taps, 1, 1);
	for (i = 0; i < 10; i++, at += 0.1) {
		tapping_key(&taps, 1, at);
		tapping_key(&taps, 1, at);
		tapping_key(&taps, 1, at + 0.001);
	}
	ck_assert_uint_eq(taps.count, 1);
}
END_TEST

/* A person taps at most about 6 times a second (facts: 5.5-6 Hz). */
START_TEST(quick_taps_count)
{
	size_t i;

	for (i = 0; i < 30; i++)
		tapping_key(&taps, 1, 1 + (double)i / 6);
	ck_assert_uint_eq(taps.count, 30);
}
END_TEST

START_TEST(one_press)
{
	tapping_key(&taps, 1, 1);
	tapping_key(&taps, 1, 1.03); /* a key that bounces */
	ck_assert_uint_eq(taps.count, 1);
	ck_assert_int_eq(taps.told, TAPPING_TOLD_TOGETHER);
	tapping_key(&taps, 1, 1.4);
	tapping_key(&taps, 2, 1.4); /* two fingers */
	ck_assert_uint_eq(taps.count, 2);
	tapping_key(&taps, 2, 1.8);
	ck_assert_uint_eq(taps.count, 3);
	/* Two taps that come as one on a slow line: one is lost, not two. */
	tapping_key(&taps, 2, 2.6);
	tapping_key(&taps, 2, 2.6);
	tapping_key(&taps, 2, 2.9);
	ck_assert_uint_eq(taps.count, 5);
}
END_TEST

START_TEST(take_back)
{
	tapping_back(&taps, 1);
	ck_assert_int_eq(taps.told, TAPPING_TOLD_NO_BACK);
	tapping_key(&taps, 1, 2);
	tapping_key(&taps, 1, 2.4);
	tapping_back(&taps, 2.6);
	ck_assert_int_eq(taps.told, TAPPING_TOLD_BACK);
	ck_assert_uint_eq(taps.count, 1);
	tapping_key(&taps, 1, 2.65); /* is no repeat of what is gone */
	ck_assert_uint_eq(taps.count, 2);
	tapping_again(&taps, 9);
	ck_assert_uint_eq(taps.count, 0);
	ck_assert_int_eq(taps.told, TAPPING_TOLD_AGAIN);
}
END_TEST

START_TEST(full)
{
	size_t i;

	for (i = 0; i < LW_TAPS_MAX + 10; i++)
		tapping_key(&taps, 1, (double)i);
	ck_assert_uint_eq(taps.count, LW_TAPS_MAX);
	tapping_shape(&shape, &taps, (double)i);
	ck_assert_int_eq(
	    tapping_next(&taps, &shape, NULL, (double)i), TAPPING_ARE_FULL);
}
END_TEST

/* --- groups -------------------------------------------------------------- */

/* The groups, and a + after one that goes on. */
static const char *
groups_at(double now_s)
{
	static char text[400];
	size_t sizes[TAPPING_GROUPS_MAX], count, i, n = 0;

	tapping_shape(&shape, &taps, now_s);
	count = tapping_groups(sizes, &taps, &shape);
	text[0] = '\0';
	for (i = 0; i < count; i++)
		n += (size_t)snprintf(text + n, sizeof text - n, "%s%zu%s",
		    i > 0 ? " " : "", sizes[i],
		    i + 1 == count && !shape.over ? "+" : "");
	return text;
}

START_TEST(groups)
{
	static const double fours[] = {
	    0, 0.41, 0.84, 1.24, 3.0, 3.44, 3.83, 4.25, 6.01, 6.4, 6.85};
	static const double twice[] = {
	    0, 0.42, 0.84, 0.95, 1.26, 3, 3.42, 3.84, 4.26, 6, 6.42};

	ck_assert_str_eq(groups_at(0), "");
	tap_all(fours, 3);
	ck_assert_str_eq(groups_at(0.9), "3+");
	ck_assert_str_eq(groups_at(2), "3");
	setup();
	tap_all(fours, 11);
	ck_assert_str_eq(groups_at(6.9), "4 4 3+");
	ck_assert(shape.gap_s > 0.4 && shape.gap_s < 0.45);
	ck_assert(shape.pause_s > 1.7 && shape.pause_s < 1.8);
	ck_assert_uint_eq(shape.closed, 2);
	ck_assert_str_eq(groups_at(8), "4 4 3");
	ck_assert_uint_eq(shape.closed, 3);
	/* A long silence is no measure of the pauses. */
	ck_assert_str_eq(groups_at(60), "4 4 3");
	ck_assert(shape.pause_s > 1.7 && shape.pause_s < 1.8);
	/* A flash that was tapped twice makes no group. */
	setup();
	tap_all(twice, 11);
	ck_assert_str_eq(groups_at(6.5), "5 4 2+");
}
END_TEST

START_TEST(evenly_spaced)
{
	size_t i;

	for (i = 0; i < 200; i++)
		tapping_key(&taps, 1, (double)i * 1.2 + (i % 3) * 0.05);
	tapping_shape(&shape, &taps, 199 * 1.2 + 0.5);
	ck_assert(shape.cut_s == 0);
	ck_assert(shape.gap_s > 1.1 && shape.gap_s < 1.3);
	/* More groups than are kept: the last ones are. */
	setup();
	for (i = 0; i < 200; i++)
		tapping_key(
		    &taps, 1, (double)(i / 2) * 2 + (double)(i % 2) * 0.4);
	ck_assert_uint_eq(strlen(groups_at(200)), 2 * TAPPING_GROUPS_MAX - 1);
}
END_TEST

static enum tapping_next
next_at(double now_s)
{
	tapping_shape(&shape, &taps, now_s);
	return tapping_next(
	    &taps, &shape, seen.text[0] != '\0' ? &seen : NULL, now_s);
}

START_TEST(when_to_stop)
{
	static const double at[] = {0, 0.4, 0.8, 2.6, 3.0, 3.4, 5.2, 5.6, 6};

	tap_all(at, 6);
	strcpy(seen.text, "3");
	seen.confidence = 0.97;
	seen.cycles = 2;
	/* The first group may be part of one, so that two are not enough. */
	ck_assert_int_eq(next_at(4.6), TAPPING_GO_ON);
	tap_all(at + 6, 3);
	ck_assert_int_eq(next_at(6.1), TAPPING_GO_ON);
	ck_assert_int_eq(next_at(7.2), TAPPING_IS_SURE);
	seen.cycles = 1;
	ck_assert_int_eq(next_at(7.2), TAPPING_GO_ON);
	seen.cycles = 2;
	seen.confidence = 0.94;
	ck_assert_int_eq(next_at(7.2), TAPPING_GO_ON);
	seen.text[0] = '\0';
	ck_assert_int_eq(next_at(7.2), TAPPING_GO_ON);
	/* Four pauses of 1.8 s. */
	ck_assert_int_eq(next_at(13.1), TAPPING_GO_ON);
	ck_assert_int_eq(next_at(13.3), TAPPING_HAS_ENDED);
	/* The lamp is known up to a pause and a half. */
	ck_assert(tapping_until(&taps, &shape, 7) == 7);
	ck_assert(tapping_until(&taps, &shape, 13.3) < 6 + 1.5 * 1.81);
}
END_TEST

START_TEST(when_to_stop_unknown)
{
	size_t i;

	/* Before the first tap nobody is hurried. */
	ck_assert_int_eq(next_at(900), TAPPING_GO_ON);
	tapping_key(&taps, 1, 1000);
	ck_assert_int_eq(next_at(1019), TAPPING_GO_ON);
	ck_assert_int_eq(next_at(1021), TAPPING_HAS_ENDED);
	/* The device's usual pause, where none was seen. */
	taps.usual_pause_s = 2;
	ck_assert_int_eq(next_at(1008.5), TAPPING_HAS_ENDED);
	/* Evenly spaced: one flash a period or a rate, which taps do not
	 * tell; and only where few groups are so long. */
	setup();
	strcpy(seen.text, "1");
	seen.confidence = 0.73;
	strcpy(seen.also[0].text, "1Hz");
	seen.also[0].confidence = 0.2;
	strcpy(seen.also[1].text, "12");
	seen.also[1].confidence = 0.07;
	seen.also_count = 2;
	for (i = 0; i < 12; i++) {
		tapping_key(&taps, 1, (double)i);
		ck_assert_int_eq(next_at((double)i + 0.1),
		    i < 11 ? TAPPING_GO_ON : TAPPING_IS_SURE);
	}
	seen.also_count = 0;
	ck_assert_int_eq(next_at(11.2), TAPPING_GO_ON);
	/* Much longer than what it is spaced by: given up. */
	ck_assert_int_eq(next_at(30), TAPPING_HAS_ENDED);
}
END_TEST

/* --- the picture --------------------------------------------------------- */

static struct picture picture;

static void
make(double now_s, int columns, int rows, bool utf8)
{
	const struct picture_room room = {columns, rows, utf8};
	const struct picture_of of = {
	    .taps = &taps, .shape = &shape, .seen = &seen, .now_s = now_s};

	tapping_shape(&shape, &taps, now_s);
	picture_make(&picture, &of, &room);
}

START_TEST(picture_lines)
{
	static const double at[] = {0, 0.5, 1, 1.5, 4, 4.5};

	make(0, 80, 24, false);
	ck_assert_uint_eq(picture.count, 6);
	ck_assert_str_eq(picture.lines[0], "Press any key with each flash.");
	ck_assert_str_eq(picture.lines[4], "No tap yet.");
	ck_assert_str_eq(picture.lines[5],
	    "First hold the vehicle; stay clear of moving parts.");
	tap_all(at, 6);
	strcpy(seen.also[0].text, "4");
	seen.also[0].confidence = 0.629;
	strcpy(seen.also[1].text, "5");
	seen.also[1].confidence = 0.31;
	strcpy(seen.also[2].text, "6");
	seen.also[2].confidence = 0.01;
	seen.also_count = 3;
	seen.watch_s = 3.2;
	make(4.75, 80, 24, false);
	ck_assert_str_eq(picture.lines[2], "o o o o         o o_");
	ck_assert_str_eq(picture.lines[3], "Groups: 4, now 2");
	ck_assert_str_eq(
	    picture.lines[4], "Perhaps 4 (62 %) or 5 (31 %); 4 s more");
	ck_assert_str_eq(picture.lines[5], "");
	strcpy(seen.text, "4");
	seen.confidence = 0.62;
	make(4.75, 80, 24, false);
	ck_assert_str_eq(picture.lines[4], "Perhaps 4, 62 % sure; 4 s more");
	seen.confidence = 0.995;
	seen.watch_s = 0;
	make(5.5, 80, 24, true);
	ck_assert_str_eq(picture.lines[2],
	    "\xe2\x97\x8f \xe2\x97\x8f \xe2\x97\x8f \xe2\x97\x8f         "
	    "\xe2\x97\x8f \xe2\x97\x8f   _");
	ck_assert_str_eq(picture.lines[4], "Reads 4, over 99 % sure");
	/* The left is dropped where it is too narrow. */
	make(5.5, 12, 24, false);
	ck_assert_str_eq(picture.lines[2], "    o o   _");
	ck_assert_str_eq(picture.lines[4], "Reads 4, ov");
	/* And the top where it is too low. */
	make(5.5, 80, 4, false);
	ck_assert_uint_eq(picture.count, 3);
	ck_assert_str_eq(picture.lines[1], "Reads 4, over 99 % sure");
	tapping_back(&taps, 5.6);
	make(5.6, 80, 24, false);
	ck_assert_str_eq(picture.lines[5], "The last tap is taken back.");
}
END_TEST

/* Whatever is tapped, and however small the terminal: nothing wraps. */
START_TEST(picture_fits)
{
	double now = 0;
	size_t i, k;
	unsigned seed = 11;

	strcpy(seen.text, "1-4-2");
	seen.confidence = 0.5;
	seen.watch_s = 12;
	for (i = 0; i < 1200; i++) {
		const char *line;
		int columns, rows;

		seed = seed * 1103515245u + 12345u;
		now += 0.02 + (seed >> 16) % 97 / 40.0 *
				  ((seed >> 8) % 5 == 0 ? 4 : 0.3);
		tapping_key(&taps, (seed >> 20) % 2, now);
		columns = (int)((seed >> 12) % 160);
		rows = (int)((seed >> 18) % 12);
		make(now + (seed >> 10) % 30 / 10.0, columns, rows,
		    (seed >> 9) % 2);
		ck_assert(picture.count <= PICTURE_LINES);
		if (rows > 0)
			ck_assert(
			    picture.count < (size_t)rows || picture.count == 0);
		for (k = 0; k < picture.count; k++) {
			int width = 0;

			for (line = picture.lines[k]; *line != '\0'; line++)
				width += ((unsigned char)*line & 0xc0) != 0x80;
			ck_assert_int_lt(width, columns > 0 ? columns : 80);
		}
	}
}
END_TEST

START_TEST(redraw)
{
	struct picture before = {{"12345678", ""}, 2};
	struct picture now = {{"ab"}, 1};
	struct buf out;

	buf_init(&out, 1000);
	picture_redraw(&out, &now, NULL, 80);
	ck_assert_str_eq(buf_text(&out), "\rab\033[K\r\n\033[J");
	buf_clear(&out);
	picture_redraw(&out, &now, &before, 80);
	ck_assert_str_eq(buf_text(&out), "\r\033[2Aab\033[K\r\n\033[J");
	buf_clear(&out);
	/* What was drawn takes more rows in a terminal that got narrower. */
	picture_redraw(&out, &now, &before, 3);
	ck_assert_str_eq(buf_text(&out), "\r\033[4Aab\033[K\r\n\033[J");
	buf_clear(&out);
	ck_assert(picture_same(&now, &now));
	ck_assert(!picture_same(&now, &before));
}
END_TEST

static struct picture_said said;

static void
say(struct buf *out, double now_s, bool done)
{
	const struct picture_of of = {.taps = &taps,
	    .shape = &shape,
	    .seen = &seen,
	    .now_s = now_s,
	    .done = done};

	tapping_shape(&shape, &taps, now_s);
	picture_say(out, &said, &of);
}

START_TEST(plain_lines)
{
	struct buf out;

	memset(&said, 0, sizeof said);
	buf_init(&out, 4000);
	say(&out, 0, false);
	say(&out, 0.5, false);
	tapping_key(&taps, 1, 1);
	say(&out, 1, false);
	tapping_key(&taps, 1, 1.5);
	tapping_key(&taps, 1, 2);
	say(&out, 2, false);
	say(&out, 2.4, false);
	say(&out, 3.4, false);
	say(&out, 3.5, false);
	tapping_key(&taps, 1, 4);
	say(&out, 4, false);
	tapping_back(&taps, 4.2);
	say(&out, 4.2, false);
	strcpy(seen.text, "3");
	seen.confidence = 0.9;
	tapping_key(&taps, 1, 4.5);
	say(&out, 4.5, false);
	say(&out, 4.6, true);
	ck_assert_str_eq(buf_text(&out),
	    "First hold the vehicle; stay clear of "
	    "moving parts.\r\n"
	    "Press any key with each flash.\r\n"
	    "Backspace: take back. Esc: end.\r\n"
	    "o o o  3\r\n"
	    "Not enough yet to read it.\r\n"
	    "o\r\n"
	    "The last tap is taken back.\r\n"
	    "o  1\r\n"
	    "Reads 3, 90 % sure\r\n");
	buf_clear(&out);
}
END_TEST

Suite *
suite_tap(void)
{
	Suite *suite = suite_create("tap");
	TCase *keys = tcase_create("keys"), *tapped = tcase_create("taps"),
	      *drawn = tcase_create("picture");

	tcase_add_test(keys, bytes_to_keys);
	tcase_add_test(keys, key_times);
	suite_add_tcase(suite, keys);
	tcase_add_checked_fixture(tapped, setup, NULL);
	tcase_add_test(tapped, held_keys);
	tcase_add_test(tapped, held_over_a_line);
	tcase_add_test(tapped, quick_taps_count);
	tcase_add_test(tapped, one_press);
	tcase_add_test(tapped, take_back);
	tcase_add_test(tapped, full);
	tcase_add_test(tapped, groups);
	tcase_add_test(tapped, evenly_spaced);
	tcase_add_test(tapped, when_to_stop);
	tcase_add_test(tapped, when_to_stop_unknown);
	suite_add_tcase(suite, tapped);
	tcase_add_checked_fixture(drawn, setup, NULL);
	tcase_add_test(drawn, picture_lines);
	tcase_add_test(drawn, picture_fits);
	tcase_add_test(drawn, redraw);
	tcase_add_test(drawn, plain_lines);
	suite_add_tcase(suite, drawn);
	return suite;
}
