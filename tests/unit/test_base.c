/* base: buffers, arenas, UTF-8, numbers, errors. */
#include "unit/suites.h"

#include "base/arena.h"
#include "base/buf.h"
#include "base/err.h"
#include "base/num.h"
#include "base/utf8.h"

#include <float.h>
#include <stdlib.h>
#include <string.h>

START_TEST(buf_keeps_its_first_error)
{
	struct buf buf;
	struct lw_err err;

	buf_init(&buf, 5);
	buf_add(&buf, "abc");
	buf_add(&buf, "def");
	buf_add(&buf, "x");
	ck_assert_int_eq(buf_check(&buf, &err), LW_TOO_BIG);
	ck_assert_str_eq(buf_text(&buf), "abc");
	ck_assert_ptr_null(buf_take(&buf));
	buf_clear(&buf);
	buf_printf(&buf, "%d", 12345);
	ck_assert_int_eq(buf_check(&buf, &err), LW_OK);
	ck_assert_str_eq(buf_text(&buf), "12345");
	buf_clear(&buf);
}
END_TEST

START_TEST(arena_grows_an_array)
{
	struct lw_arena *arena = lw_arena_new();
	int *items = NULL, *item;
	size_t count = 0, room = 0, i;

	for (i = 0; i < 1000; i++) {
		item = arena_grow(arena, &items, &count, &room, sizeof *item);
		ck_assert_ptr_nonnull(item);
		*item = (int)i;
	}
	ck_assert_uint_eq(count, 1000);
	for (i = 0; i < 1000; i++)
		ck_assert_int_eq(items[i], (int)i);
	ck_assert_ptr_null(arena_array(arena, SIZE_MAX, 16));
	lw_arena_free(arena);
	lw_arena_free(NULL);
}
END_TEST

START_TEST(an_arena_outlives_its_holders_only)
{
	struct lw_arena *one = lw_arena_new(), *two = lw_arena_new();
	struct lw_arena *held = lw_arena_new();
	const char *text = arena_dup(held, "here");
	size_t used;

	ck_assert(arena_hold(one, held));
	used = lw_arena_used(one);
	ck_assert(arena_hold(one, held));
	ck_assert_uint_eq(lw_arena_used(one), used);
	ck_assert(arena_hold(two, held));
	lw_arena_free(held);
	lw_arena_free(one);
	ck_assert_str_eq(text, "here");
	lw_arena_free(two); /* and with it `held`: else a leak is found */
}
END_TEST

/* Cases after Unicode 15, table 3-7, and its examples of ill-formed bytes. */
START_TEST(utf8_accepts_and_refuses)
{
	static const struct {
		const char *text;
		size_t length, valid;
	} cases[] = {
	    {"abc", 3, 3},
	    {"\xC2\xB5", 2, 2},
	    {"\xE2\x82\xAC", 3, 3},
	    {"\xF0\x9F\x94\xA6", 4, 4},
	    {"a\xC0\x80", 3, 1},	/* overlong NUL */
	    {"\xE0\x80\xAF", 3, 0},	/* overlong */
	    {"\xED\xA0\x80", 3, 0},	/* surrogate */
	    {"\xF4\x90\x80\x80", 4, 0}, /* past U+10FFFF */
	    {"ab\xE2\x82", 4, 2},	/* cut short */
	    {"\x80", 1, 0},
	    {"\xF5\x80\x80\x80", 4, 0},
	};
	size_t i;

	for (i = 0; i < sizeof cases / sizeof cases[0]; i++)
		ck_assert_uint_eq(
		    utf8_valid(cases[i].text, cases[i].length), cases[i].valid);
	ck_assert_uint_eq(utf8_whole("ab\xE2\x82", 4), 2);
	ck_assert_uint_eq(utf8_whole("ab\xC2\xB5", 4), 4);
	ck_assert_uint_eq(utf8_count("a\xC2\xB5z", 4), 3);
}
END_TEST

START_TEST(numbers_round_trip)
{
	static const double values[] = {0, 1, -1, 0.1, 12.4, 1e-6, 123456789,
	    1e15, 1e-300, DBL_MAX, DBL_MIN, 1.0 / 3, -40, 0.185, 1e14, 250000,
	    0.000009999999999999997, 0.09999999999999999};
	char text[64];
	double back;
	size_t i;

	for (i = 0; i < sizeof values / sizeof values[0]; i++) {
		num_format(text, sizeof text, values[i]);
		ck_assert_msg(num_parse(&back, text, strlen(text)), "%s", text);
		ck_assert(back == values[i]);
	}
	num_format(text, sizeof text, 250000);
	ck_assert_str_eq(text, "250000");
	num_format(text, sizeof text, 0.00001);
	ck_assert_str_eq(text, "0.00001");
	num_format(text, sizeof text, 12.4);
	ck_assert_str_eq(text, "12.4");
}
END_TEST

START_TEST(numbers_refuse)
{
	static const char *const bad[] = {"", " ", "1 ", "0x10", "inf", "nan",
	    "1e", "1e400", ".", "--1", "1,5", "1.2.3"};
	double value;
	int64_t whole;
	size_t i;

	for (i = 0; i < sizeof bad / sizeof bad[0]; i++)
		ck_assert_msg(
		    !num_parse(&value, bad[i], strlen(bad[i])), "%s", bad[i]);
	ck_assert(!num_parse(&value, "1\0002", 3));
	ck_assert(num_parse_int(&whole, "-12") && whole == -12);
	ck_assert(!num_parse_int(&whole, "99999999999999999999"));
	ck_assert(!num_parse_int(&whole, "12x"));
}
END_TEST

START_TEST(errors_are_cut_between_characters)
{
	struct lw_err err;
	char text[600];
	size_t i;

	for (i = 0; i + 2 < sizeof text; i += 2)
		memcpy(text + i, "\xC2\xB5", 2);
	text[i] = '\0';
	err_set(&err, LW_FAILED, "x%s", text);
	ck_assert_uint_eq(
	    utf8_valid(err.text, strlen(err.text)), strlen(err.text));
	ck_assert_uint_ge(strlen(err.text), sizeof err.text - 3);
	ck_assert_int_eq(err_set(NULL, LW_FAILED, "x"), LW_FAILED);
}
END_TEST

Suite *
suite_base(void)
{
	Suite *suite = suite_create("base");
	TCase *tests = tcase_create("base");

	tcase_add_test(tests, buf_keeps_its_first_error);
	tcase_add_test(tests, arena_grows_an_array);
	tcase_add_test(tests, an_arena_outlives_its_holders_only);
	tcase_add_test(tests, utf8_accepts_and_refuses);
	tcase_add_test(tests, numbers_round_trip);
	tcase_add_test(tests, numbers_refuse);
	tcase_add_test(tests, errors_are_cut_between_characters);
	suite_add_tcase(suite, tests);
	return suite;
}
