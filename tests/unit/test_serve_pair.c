/* Who may come in: the Cookie header, the pairing code, and what a form of a
 * screen carries. The pages that ask are left to tests/web. */
#include "serve/cookie.h"
#include "serve/guard.h"
#include "serve/pairing.h"
#include "serve/screen.h"
#include "unit/suites.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

START_TEST(cookies_as_in_the_table)
{
	/* RFC 6265: 4.2.1 is the header, 4.1.1 the octets of a value, 5.4
	 * what browsers send. NULL: none. */
	static const struct {
		const char *header;
		const char *value;
	} all[] = {
	    {"screen=abc", "abc"},
	    {"a=1; screen=abc", "abc"},
	    {"screen=abc; a=1", "abc"},
	    {"a=1; screen=abc; b=2", "abc"},
	    {"a=1;screen=abc", "abc"},
	    {"a=1;  screen=abc;", "abc"},
	    {"screen=a=b", "a=b"},
	    {"screen=", ""},
	    {"screen=!#$%&'()*+-./:<=>?@[]^_`{|}~",
		"!#$%&'()*+-./:<=>?@[]^_`{|}~"},
	    /* What others keep there is theirs. */
	    {"x=\"a, b\"; screen=abc; y=caf\xc3\xa9; z", "abc"},
	    {"screen; screen=abc", "abc"},
	    {"; ; screen=abc", "abc"},
	    {"", NULL},
	    {"screen", NULL},
	    {"=abc", NULL},
	    {"a=screen=abc", NULL},
	    {"xscreen=abc", NULL},
	    {"screenx=abc", NULL},
	    {"screen =abc", NULL},
	    {"\tscreen=abc", NULL},
	    {"Screen=abc", NULL},
	    {"SCREEN=abc", NULL},
	    {"__Host-screen=abc", NULL},
	    /* Which of two would be meant is not known. */
	    {"screen=abc; screen=abc", NULL},
	    {"screen=abc; a=1; screen=x", NULL},
	    {"screen=; screen=abc", NULL},
	    {"screen=\"; screen=abc", NULL},
	    /* No octets of a value. */
	    {"screen= abc", NULL},
	    {"screen=abc ", NULL},
	    {"screen=a b", NULL},
	    {"screen=a,b", NULL},
	    {"screen=\"abc\"", NULL},
	    {"screen=a\\b", NULL},
	    {"screen=a\tb", NULL},
	    {"screen=a\x7f", NULL},
	    {"screen=a\x01", NULL},
	    {"screen=caf\xc3\xa9", NULL},
	    {"a=1, screen=abc", NULL},
	    {"a=1 screen=abc", NULL},
	};
	char value[64];
	size_t i;

	for (i = 0; i < sizeof all / sizeof all[0]; i++) {
		bool found;

		strcpy(value, "left over");
		found =
		    cookie_read(value, sizeof value, all[i].header, "screen");
		ck_assert_msg(found == (all[i].value != NULL), "%s: %s",
		    all[i].header, value);
		ck_assert_msg(strcmp(value, found ? all[i].value : "") == 0,
		    "%s: %s", all[i].header, value);
	}
	ck_assert(!cookie_read(value, sizeof value, NULL, "screen"));
	ck_assert_str_eq(value, "");
}
END_TEST

START_TEST(cookies_have_caps)
{
	char header[COOKIE_HEADER_MAX + 2], value[5];

	ck_assert(cookie_read(value, 5, "screen=abcd", "screen"));
	ck_assert_str_eq(value, "abcd");
	ck_assert(!cookie_read(value, 5, "screen=abcde", "screen"));
	ck_assert_str_eq(value, "");
	ck_assert(!cookie_read(value, 4, "screen=abcd", "screen"));
	memset(header, 'a', sizeof header);
	memcpy(header, "screen=abc;", 11);
	header[COOKIE_HEADER_MAX] = '\0';
	ck_assert(cookie_read(value, 5, header, "screen"));
	header[COOKIE_HEADER_MAX] = 'a';
	header[COOKIE_HEADER_MAX + 1] = '\0';
	ck_assert(!cookie_read(value, 5, header, "screen"));
}
END_TEST

/* A pairing with a code that is known. */
static struct pairing
with_code(const char *code, int64_t until_s)
{
	struct pairing pairing = {.on = true, .until_s = until_s};

	strcpy(pairing.code, code);
	return pairing;
}

START_TEST(codes_are_six_digits)
{
	unsigned count[10] = {0}, i, j;
	char last[PAIRING_CODE_SIZE] = "";

	for (i = 0; i < 2000; i++) {
		struct pairing pairing = {.on = true};
		bool fresh = false;

		ck_assert_int_eq(
		    pairing_ready(&pairing, &fresh, 1000, NULL), LW_OK);
		ck_assert(fresh);
		ck_assert_int_eq(pairing.until_s, 1600);
		ck_assert_uint_eq(strlen(pairing.code), 6);
		ck_assert_uint_eq(strspn(pairing.code, "0123456789"), 6);
		for (j = 0; j < 6; j++)
			count[pairing.code[j] - '0']++;
		if (i < 4)
			ck_assert_str_ne(pairing.code, last);
		strcpy(last, pairing.code);
	}
	/* Of 12000 digits 1200 of each are expected, with a deviation of
	 * sqrt(12000 * 0.1 * 0.9) = 33; seven of those are let pass. */
	for (i = 0; i < 10; i++) {
		ck_assert_uint_ge(count[i], 1200 - 7 * 33);
		ck_assert_uint_le(count[i], 1200 + 7 * 33);
	}
}
END_TEST

START_TEST(a_code_stays_for_ten_minutes)
{
	struct pairing pairing = {.on = true};
	char code[PAIRING_CODE_SIZE];
	bool fresh;

	ck_assert_int_eq(pairing_try(&pairing, "", 50), PAIRING_OVER);
	ck_assert_int_eq(pairing_try(&pairing, "000000", 50), PAIRING_OVER);
	ck_assert_int_eq(pairing_ready(&pairing, &fresh, 50, NULL), LW_OK);
	ck_assert(fresh);
	strcpy(code, pairing.code);
	ck_assert_int_eq(pairing_ready(&pairing, &fresh, 649, NULL), LW_OK);
	ck_assert(!fresh);
	ck_assert_str_eq(pairing.code, code);
	/* For as many phones as there are. */
	ck_assert_int_eq(pairing_try(&pairing, code, 50), PAIRING_RIGHT);
	ck_assert_int_eq(pairing_try(&pairing, code, 649), PAIRING_RIGHT);
	/* Over, right or wrong, without a word on which. */
	ck_assert_int_eq(pairing_try(&pairing, code, 650), PAIRING_OVER);
	ck_assert_int_eq(pairing_try(&pairing, "x", 650), PAIRING_OVER);
	ck_assert_uint_eq(pairing.wrong, 0);
	ck_assert_int_eq(pairing_ready(&pairing, &fresh, 650, NULL), LW_OK);
	ck_assert(fresh);
	ck_assert_int_eq(pairing.until_s, 1250);
}
END_TEST

START_TEST(codes_as_they_are_typed)
{
	static const char *const right[] = {
	    "048291", "048 291", "048-291", " 0-4 8 2 9-1 ", "0 4 8 2 9 1"};
	static const char *const wrong[] = {"", " ", "-", "48291", "0482910",
	    "048 2910", "148291", "058291", "047291", "048391", "048281",
	    "048290", "048.291", "048291x", "x048291", "048291\n", "+048291",
	    "04829", "0482911048291", "\xef\xbc\x90-48291"};
	size_t i;

	for (i = 0; i < sizeof right / sizeof right[0]; i++) {
		struct pairing pairing = with_code("048291", 600);

		ck_assert_msg(
		    pairing_try(&pairing, right[i], 1) == PAIRING_RIGHT, "%s",
		    right[i]);
	}
	for (i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
		struct pairing pairing = with_code("048291", 600);

		ck_assert_msg(
		    pairing_try(&pairing, wrong[i], 1) == PAIRING_WRONG, "%s",
		    wrong[i]);
		ck_assert_uint_eq(pairing.wrong, 1);
	}
}
END_TEST

START_TEST(five_wrong_ones_lock)
{
	struct pairing pairing = with_code("111111", 5000);
	bool fresh;
	int i;

	for (i = 0; i < 4; i++)
		ck_assert_int_eq(
		    pairing_try(&pairing, "222222", 1000), PAIRING_WRONG);
	ck_assert_int_eq(
	    pairing_try(&pairing, "222222", 1000), PAIRING_LOCKING);
	/* Not even the right one, and nobody gets another code. */
	ck_assert_int_eq(pairing_try(&pairing, "111111", 1000), PAIRING_LOCKED);
	ck_assert_int_eq(pairing_try(&pairing, "222222", 1059), PAIRING_LOCKED);
	ck_assert_int_eq(pairing_ready(&pairing, &fresh, 1059, NULL), LW_OK);
	ck_assert(!fresh);
	ck_assert_str_eq(pairing.code, "");
	/* After a minute the old code is gone for good. */
	ck_assert_int_eq(pairing_try(&pairing, "111111", 1060), PAIRING_OVER);
	ck_assert_int_eq(pairing_ready(&pairing, &fresh, 1060, NULL), LW_OK);
	ck_assert(fresh);
	ck_assert_uint_eq(strlen(pairing.code), 6);
	/* And it takes five again. */
	strcpy(pairing.code, "333333");
	for (i = 0; i < 4; i++)
		ck_assert_int_eq(
		    pairing_try(&pairing, "222222", 1061), PAIRING_WRONG);
	ck_assert_int_eq(pairing_try(&pairing, "333333", 1061), PAIRING_RIGHT);
	/* A right one begins the count anew. */
	for (i = 0; i < 4; i++)
		ck_assert_int_eq(
		    pairing_try(&pairing, "222222", 1062), PAIRING_WRONG);
	ck_assert_int_eq(
	    pairing_try(&pairing, "222222", 1062), PAIRING_LOCKING);
}
END_TEST

START_TEST(wrong_ones_count_over_codes)
{
	struct pairing pairing = with_code("111111", 100);
	bool fresh;
	int i;

	/* Waiting for the next code gives no more tries. */
	for (i = 0; i < 4; i++)
		ck_assert_int_eq(
		    pairing_try(&pairing, "222222", 99), PAIRING_WRONG);
	ck_assert_int_eq(pairing_ready(&pairing, &fresh, 100, NULL), LW_OK);
	ck_assert(fresh);
	ck_assert_int_eq(pairing_try(&pairing, "x", 100), PAIRING_LOCKING);
}
END_TEST

START_TEST(the_clock_goes_on)
{
	int64_t before = pairing_now();

	ck_assert_int_gt(before, 0);
	ck_assert_int_ge(pairing_now(), before);
}
END_TEST

START_TEST(tokens)
{
	char one[GUARD_TOKEN_SIZE], other[GUARD_TOKEN_SIZE];
	size_t i;

	ck_assert_int_eq(guard_token_new(one, NULL), LW_OK);
	ck_assert_int_eq(guard_token_new(other, NULL), LW_OK);
	ck_assert_uint_eq(strlen(one), 32);
	ck_assert_uint_eq(strspn(one, "0123456789abcdef"), 32);
	ck_assert_str_ne(one, other);
	ck_assert(guard_token_same(one, one));
	ck_assert(!guard_token_same(one, other));
	ck_assert(!guard_token_same(one, ""));
	for (i = 0; i < 32; i++) {
		strcpy(other, one);
		other[i] = (char)(other[i] == '0' ? '1' : '0');
		ck_assert(!guard_token_same(one, other));
	}
	strcpy(other, one);
	other[31] = '\0';
	ck_assert(!guard_token_same(one, other));
}
END_TEST

/* Whether a code is good still once these screens are there. */
static bool
is_good_with(struct pairing *pairing, const int64_t *numbers, size_t count)
{
	pairing_note(pairing, numbers, count);
	return pairing->code[0] != '\0';
}

START_TEST(a_screen_that_left_takes_the_code_with_it)
{
	static const int64_t three[] = {5, 9, 2}, more[] = {9, 11, 5, 2};
	static const int64_t fewer[] = {9, 11, 2, 12};
	struct pairing pairing = {.on = true};
	bool fresh;

	ck_assert_int_eq(pairing_ready(&pairing, &fresh, 1, NULL), LW_OK);
	ck_assert(is_good_with(&pairing, NULL, 0));
	ck_assert(is_good_with(&pairing, three, 3));
	ck_assert(is_good_with(&pairing, more, 4));
	ck_assert(!is_good_with(&pairing, fewer, 4));
	ck_assert_int_eq(pairing_try(&pairing, "", 1), PAIRING_OVER);
	ck_assert_int_eq(pairing_ready(&pairing, &fresh, 1, NULL), LW_OK);
	ck_assert(fresh);
	ck_assert(is_good_with(&pairing, fewer, 4));
	ck_assert(!is_good_with(&pairing, NULL, 0));
}
END_TEST

#define COOKIE "0123456789abcdef0123456789abcdef"
/* SHA-256 of it, and HMAC-SHA256 of "form" with it as the key, by the sha256
 * and hmac tools of another library. */
#define COOKIE_HASH \
	"3eb1bd439947eb762998e566ccc2e099c791118b2f40579cc4f7da2b5061b7f9"
#define COOKIE_TOKEN "ad9f66eac73c28ddaeccd3b1e5730a77"
#define SECRET_TOKEN "ff7b98419419ac35e9d6253bd11ceb83"
#define PHONE "Test/1.0 (a telephone) Mobile"

START_TEST(screens)
{
	static const char *const bad[] = {"", "screen",
	    "screen=", "screen=0123456789abcdef0123456789abcde",
	    "screen=0123456789abcdef0123456789abcdef0",
	    "screen=0123456789ABCDEF0123456789ABCDEF",
	    "screen=g123456789abcdef0123456789abcdef",
	    ("screen=" COOKIE "; screen=" COOKIE), ("__Host-screen=" COOKIE)};
	struct screen screen, other;
	size_t i;

	/* One that is known stays what it is. The book and the name have
	 * nothing of the cookie. */
	ck_assert_int_eq(
	    screen_read(&screen, "a=b; screen=" COOKIE, PHONE, false, NULL),
	    LW_OK);
	ck_assert(screen.brought && !screen.give && !screen.paired);
	ck_assert_str_eq(screen.cookie, COOKIE);
	ck_assert_str_eq(screen.id, COOKIE_HASH);
	ck_assert_str_eq(screen.name, "phone 3e");
	ck_assert_int_eq(
	    screen_read(&screen, "screen=" COOKIE, NULL, false, NULL), LW_OK);
	ck_assert_str_eq(screen.name, "computer 3e");
	/* What is no cookie of ours makes a new one. */
	for (i = 0; i < sizeof bad / sizeof bad[0]; i++) {
		ck_assert_int_eq(
		    screen_read(&screen, bad[i], "x", false, NULL), LW_OK);
		ck_assert_msg(!screen.brought, "%s", bad[i]);
		ck_assert_str_ne(screen.cookie, COOKIE);
		ck_assert_uint_eq(
		    strspn(screen.cookie, "0123456789abcdef"), 32);
		ck_assert_uint_eq(strspn(screen.id, "0123456789abcdef"), 64);
		ck_assert_ptr_null(strstr(screen.id, screen.cookie));
	}
	ck_assert_int_eq(screen_read(&other, NULL, "x", false, NULL), LW_OK);
	ck_assert_str_ne(screen.cookie, other.cookie);
	ck_assert_str_ne(screen.id, other.id);
}
END_TEST

/* What went in the clear is nothing over TLS. */
START_TEST(screens_over_tls)
{
	struct screen screen;

	ck_assert_int_eq(
	    screen_read(&screen, "screen=" COOKIE, "x", true, NULL), LW_OK);
	ck_assert(!screen.brought);
	ck_assert_int_eq(screen_read(&screen, "screen=x; __Host-screen=" COOKIE,
			     "x", true, NULL),
	    LW_OK);
	ck_assert(screen.brought);
	ck_assert_str_eq(screen.id, COOKIE_HASH);
}
END_TEST

START_TEST(a_screen_is_renewed)
{
	struct screen screen;
	char name[sizeof screen.name];

	screen_read(&screen, "screen=" COOKIE, PHONE, false, NULL);
	strcpy(name, screen.name);
	ck_assert_int_eq(screen_renew(&screen, NULL), LW_OK);
	ck_assert_str_ne(screen.cookie, COOKIE);
	ck_assert_uint_eq(strspn(screen.cookie, "0123456789abcdef"), 32);
	ck_assert_str_ne(screen.id, COOKIE_HASH);
	ck_assert_str_eq(screen.name, name);
	ck_assert(!screen.brought);
}
END_TEST

START_TEST(tokens_go_with_the_cookie)
{
	char token[GUARD_TOKEN_SIZE], again[GUARD_TOKEN_SIZE];
	struct screen screen;

	screen_read(&screen, "screen=" COOKIE, "x", false, NULL);
	screen_token(token, &screen, "one start");
	ck_assert_str_eq(token, COOKIE_TOKEN);
	/* After another start of the server it is the same. */
	screen_token(again, &screen, "another start");
	ck_assert_str_eq(token, again);
	/* One that is about to be given counts, too. */
	screen_read(&screen, NULL, "x", false, NULL);
	screen_token(token, &screen, "secret");
	ck_assert_str_eq(token, SECRET_TOKEN);
	screen.give = true;
	screen_token(again, &screen, "secret");
	ck_assert_str_ne(again, SECRET_TOKEN);
	screen.give = false;
	screen.brought = true;
	screen_token(token, &screen, "secret");
	ck_assert_str_eq(token, again);
}
END_TEST

Suite *
suite_serve_pair(void)
{
	Suite *suite = suite_create("serve_pair");
	TCase *cookies = tcase_create("cookies");
	TCase *codes = tcase_create("codes");
	TCase *keys = tcase_create("screens");

	tcase_add_test(cookies, cookies_as_in_the_table);
	tcase_add_test(cookies, cookies_have_caps);
	suite_add_tcase(suite, cookies);
	tcase_add_test(codes, codes_are_six_digits);
	tcase_add_test(codes, a_code_stays_for_ten_minutes);
	tcase_add_test(codes, codes_as_they_are_typed);
	tcase_add_test(codes, five_wrong_ones_lock);
	tcase_add_test(codes, wrong_ones_count_over_codes);
	tcase_add_test(codes, a_screen_that_left_takes_the_code_with_it);
	tcase_add_test(codes, the_clock_goes_on);
	suite_add_tcase(suite, codes);
	tcase_add_test(keys, tokens);
	tcase_add_test(keys, screens);
	tcase_add_test(keys, screens_over_tls);
	tcase_add_test(keys, a_screen_is_renewed);
	tcase_add_test(keys, tokens_go_with_the_cookie);
	suite_add_tcase(suite, keys);
	return suite;
}
