/* regex: compiling, running within limits, and refusing what runs away. */
#include "unit/suites.h"

#include "regex/regex.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static struct regex *
compiled(const char *pattern, unsigned flags)
{
	struct regex *regex = NULL;
	struct lw_err err;

	ck_assert_msg(regex_compile(&regex, pattern, flags, &err) == LW_OK,
	    "%s: %s", pattern, err.text);
	return regex;
}

static enum lw_status
run(const char *pattern, unsigned flags, const char *text)
{
	struct regex *regex = compiled(pattern, flags);
	enum lw_status status;

	status = regex_run(regex, text, strlen(text), NULL, NULL);
	regex_free(regex);
	return status;
}

START_TEST(matches)
{
	ck_assert_int_eq(run("b+", 0, "abbc"), LW_OK);
	ck_assert_int_eq(run("b+", REGEX_WHOLE, "abbc"), LW_NOT_FOUND);
	ck_assert_int_eq(run("ab|abc", REGEX_WHOLE, "abc"), LW_OK);
	ck_assert_int_eq(run("B+", 0, "abbc"), LW_NOT_FOUND);
	ck_assert_int_eq(run("B+", REGEX_CASELESS, "abbc"), LW_OK);
	/* Case and word characters beyond ASCII. */
	ck_assert_int_eq(
	    run("^\xC3\x89t\\w$", REGEX_CASELESS, "\xC3\xA9t\xC3\xA9"), LW_OK);
	/* One character, not three bytes. */
	ck_assert_int_eq(run(".", REGEX_WHOLE, "\xE2\x80\x93"), LW_OK);
	ck_assert_int_eq(run("", 0, ""), LW_OK);
	regex_free(NULL);
}
END_TEST

START_TEST(named_groups)
{
	struct regex *regex =
	    compiled("(?<count>\\d+) *(?<what>volts?)?|(?<none>none)", 0);
	struct regex_match match;
	struct regex_span span;
	const char *text = "it is 48 volts";

	ck_assert_int_eq(
	    regex_run(regex, text, strlen(text), &match, NULL), LW_OK);
	ck_assert_uint_eq(match.groups[0].start, 6);
	ck_assert_uint_eq(match.groups[0].length, 8);
	span = regex_named(regex, &match, "count");
	ck_assert(span.set);
	ck_assert_uint_eq(span.start, 6);
	ck_assert_uint_eq(span.length, 2);
	span = regex_named(regex, &match, "what");
	ck_assert(span.set);
	ck_assert_uint_eq(span.length, 5);
	ck_assert(!regex_named(regex, &match, "none").set);
	ck_assert(!regex_named(regex, &match, "missing").set);
	regex_free(regex);
}
END_TEST

START_TEST(compile_refuses)
{
	static const struct {
		const char *pattern;
		enum lw_status status;
		unsigned column;
	} cases[] = {
	    {"(ab", LW_BAD_INPUT, 4},
	    {"\xC3\xA9[b-a]", LW_BAD_INPUT, 5},
	    {"a\xFF", LW_BAD_INPUT, 2},
	    {"*a", LW_BAD_INPUT, 1},
	    {"\\Cx", LW_BAD_INPUT, 3}, /* a single byte breaks UTF-8 */
	    {"(a)(b)(c)(d)(e)(f)(g)(h)(i)(j)(k)(l)(m)(n)(o)", LW_OK, 0},
	    {"(a)(b)(c)(d)(e)(f)(g)(h)(i)(j)(k)(l)(m)(n)(o)(p)", LW_TOO_BIG, 0},
	    {"((((((((((((((((((((((((((((((((a))))))))))))))))))))))))))))))"
	     "))",
		LW_BAD_INPUT, 0},
	    {"(?:(?:a{900}){900}){900}", LW_BAD_INPUT, 0},
	};
	struct regex *regex;
	struct lw_err err;
	size_t i;

	for (i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		memset(&err, 0, sizeof err);
		ck_assert_msg(regex_compile(&regex, cases[i].pattern, 0,
				  &err) == cases[i].status,
		    "%s: %s", cases[i].pattern, err.text);
		if (cases[i].status != LW_OK) {
			ck_assert_ptr_null(regex);
			ck_assert_int_eq(err.code, cases[i].status);
			ck_assert_ptr_null(strchr(err.text, '\n'));
		}
		if (cases[i].column != 0)
			ck_assert_msg(err.column == cases[i].column,
			    "%s: column %u: %s", cases[i].pattern, err.column,
			    err.text);
		regex_free(regex);
	}
}
END_TEST

START_TEST(compile_refuses_what_is_long)
{
	char text[REGEX_PATTERN_MAX + 2];
	struct regex *regex;

	memset(text, 'a', sizeof text);
	text[REGEX_PATTERN_MAX] = '\0';
	ck_assert_int_eq(regex_compile(&regex, text, 0, NULL), LW_OK);
	regex_free(regex);
	text[REGEX_PATTERN_MAX] = 'a';
	text[REGEX_PATTERN_MAX + 1] = '\0';
	ck_assert_int_eq(regex_compile(&regex, text, 0, NULL), LW_TOO_BIG);
}
END_TEST

START_TEST(run_refuses)
{
	struct regex *regex = compiled("a", 0);
	char *text = calloc(1, 70000);
	struct lw_err err;

	ck_assert_int_eq(
	    regex_run(regex, "\xC3\xA9\xFFz", 4, NULL, &err), LW_BAD_INPUT);
	ck_assert_uint_eq(err.column, 2);
	ck_assert_int_eq(
	    regex_run(regex, "ab\xE2\x80", 4, NULL, &err), LW_BAD_INPUT);
	ck_assert_uint_eq(err.column, 3);
	memset(text, 'b', 70000);
	ck_assert_int_eq(regex_run(regex, text, 70000, NULL, &err), LW_TOO_BIG);
	ck_assert_int_eq(
	    regex_run(regex, text, 60000, NULL, &err), LW_NOT_FOUND);
	free(text);
	regex_free(regex);
}
END_TEST

START_TEST(run_stops_at_its_limits)
{
	ck_assert_int_eq(
	    run("(?:a+)+$", 0, "aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa!"),
	    LW_TOO_BIG);
	ck_assert_int_eq(
	    run("(?:a|a)*b", 0, "baaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa!"),
	    LW_OK);
	ck_assert_int_eq(run("^(?:a|a)*[bc]", 0,
			     "aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa!b"),
	    LW_TOO_BIG);
}
END_TEST

static const char *const runaway[] = {
    "(a+)+$",
    "(a|a)*b",
    "(\\w+\\s?)*x",
    "(?:a+)+b",
    "(?:\\d+,?)+$",
    "([a-z]+)*!",
    "^(\\s|\\s)*x",
    "creep(\\w+\\s?)*hill",
    "(.*a){12}z",
    "(?:stop|s|t|o|p)+\\?",
    "(\xC3\xA9+)+$",
    "(\\p{L}+)*x",
    "(a*)*b",
    "(?:ab|a|b)+$",
    "motor (o+)+t",
    "(x+x+)+y",
    "(a?){40}a{40}$",
    ".*.*.*.*=",
};

static const char *const sound[] = {
    "(creep|crawl)s?\\b.*\\b(rest|releas|let)",
    "will not (move|start|drive|go)",
    "\\bdead\\b",
    "cuts? ?out",
    "(speed|power) (is )?(limited|low|reduced)",
    "brakes?.*(hot|smell)",
    "(hot|warm).*(motor|controller)",
    "no (lamp|light|led)s?",
    "smell|smoke|hiss|swell|swollen",
    "(stutter|jerk|judder|shudder|surge)(s|ing|ed)?",
    "^(only )?(one|a single) direction$",
    "revers(e|es|ing)\\b.*\\b(not|no|never|only)",
    "won.?t (move|go|start)",
    "charg(e|er|ing).*(stop|end|refus)",
    "(does|will|can)(n.?t| ?not) (turn|switch) on",
    "\\d+ ?(blinks?|flash(es)?)",
    "moves? (a bit|a little|slowly),? then (stops?|dies)",
    "[a-z]+ing when .{1,40} cold",
    "slow(er|ly)? (up|on) (a |the )?(hill|slope|ramp)",
    "(throttle|pedal|twist grip).*(stuck|stick).*(open|full)",
};

START_TEST(runaways_are_refused)
{
	struct lw_err err;
	size_t i;

	for (i = 0; i < sizeof runaway / sizeof runaway[0]; i++) {
		ck_assert_msg(
		    regex_check_safe(runaway[i], &err) == LW_BAD_INPUT, "%s",
		    runaway[i]);
		ck_assert_msg(strstr(err.text, "runs away") != NULL ||
				  strstr(err.text, "every text") != NULL,
		    "%s: %s", runaway[i], err.text);
	}
}
END_TEST

START_TEST(sound_patterns_pass)
{
	struct lw_err err;
	size_t i;

	for (i = 0; i < sizeof sound / sizeof sound[0]; i++)
		ck_assert_msg(regex_check_safe(sound[i], &err) == LW_OK,
		    "%s: %s", sound[i], err.text);
}
END_TEST

START_TEST(unsafe_for_other_reasons)
{
	static const char *const bad[] = {
	    "", "a*", "(ab", "a\xFF", "(?:lost)?", "x|", "(?R)a", "(?<=a+)b"};
	char text[REGEX_PATTERN_MAX + 2];
	struct lw_err err;
	size_t i;

	for (i = 0; i < sizeof bad / sizeof bad[0]; i++) {
		ck_assert_msg(regex_check_safe(bad[i], &err) == LW_BAD_INPUT,
		    "%s", bad[i]);
		ck_assert_int_eq(err.code, LW_BAD_INPUT);
		ck_assert_uint_gt(strlen(err.text), 10);
	}
	memset(text, 'a', sizeof text);
	text[sizeof text - 1] = '\0';
	ck_assert_int_eq(regex_check_safe(text, &err), LW_BAD_INPUT);
	ck_assert_int_eq(err.code, LW_BAD_INPUT);
	text[REGEX_PATTERN_MAX] = '\0';
	ck_assert_int_eq(regex_check_safe(text, &err), LW_OK);
}
END_TEST

Suite *
suite_regex(void)
{
	Suite *suite = suite_create("regex");
	TCase *tests = tcase_create("regex");

	tcase_set_timeout(tests, 120);
	tcase_add_test(tests, matches);
	tcase_add_test(tests, named_groups);
	tcase_add_test(tests, compile_refuses);
	tcase_add_test(tests, compile_refuses_what_is_long);
	tcase_add_test(tests, run_refuses);
	tcase_add_test(tests, run_stops_at_its_limits);
	tcase_add_test(tests, runaways_are_refused);
	tcase_add_test(tests, sound_patterns_pass);
	tcase_add_test(tests, unsafe_for_other_reasons);
	suite_add_tcase(suite, tests);
	return suite;
}
