/* book/words.c: every word parses to what it names, and nothing else does. */
#include "unit/suites.h"

#include <lampwright/catalogue.h>

#include <string.h>

START_TEST(power_words)
{
	enum lw_power power;
	struct lw_err err;
	int i;

	for (i = LW_POWER_ISOLATED; i < LW_POWER_COUNT; i++) {
		ck_assert_int_eq(lw_power_parse(&power,
				     lw_power_name((enum lw_power)i), &err),
		    LW_OK);
		ck_assert_int_eq((int)power, i);
		ck_assert_ptr_nonnull(lw_power_title((enum lw_power)i));
	}
	ck_assert_int_eq(lw_power_parse(&power, "live-on-ground", NULL), LW_OK);
	ck_assert_int_eq(power, LW_POWER_LIVE_GROUND);
	ck_assert_int_eq(lw_power_parse(&power, "pre-charged", NULL), LW_OK);
	ck_assert_int_eq(power, LW_POWER_PRECHARGED);
	ck_assert_str_eq(
	    lw_power_title(LW_POWER_ISOLATED), "isolated and proved dead");
	ck_assert_str_eq(lw_power_name(LW_POWER_UNKNOWN), "unknown");
	ck_assert_int_eq(lw_power_parse(&power, "unknown", &err), LW_BAD_INPUT);
	ck_assert_int_eq(lw_power_parse(&power, "", &err), LW_BAD_INPUT);
	ck_assert_int_eq(
	    lw_power_parse(&power, "Isolated", &err), LW_BAD_INPUT);
	ck_assert_int_eq(err.code, LW_BAD_INPUT);
	ck_assert_ptr_nonnull(strstr(err.text,
	    "isolated, control, pre-charged, live-wheels-free or "
	    "live-on-ground"));
	ck_assert_str_eq(lw_power_name((enum lw_power)99), "unknown");
	ck_assert_str_eq(lw_power_name((enum lw_power) - 1), "unknown");
}
END_TEST

/* In the order of kb/README.md. */
START_TEST(parts_of_settings)
{
	static const char *const parts[] = {"Pulling away",
	    "Slowing and stopping", "Holding on a slope",
	    "Reading the throttle", "Sparing the battery", "Sparing the motor",
	    "Matching the parts"};
	struct lw_err err;
	size_t i, place;

	for (i = 0; i < 7; i++) {
		ck_assert_str_eq(lw_known_setting_part(i), parts[i]);
		ck_assert_int_eq(
		    lw_known_setting_place(&place, parts[i], &err), LW_OK);
		ck_assert_uint_eq(place, i);
	}
	ck_assert_ptr_null(lw_known_setting_part(7));
	ck_assert_ptr_null(lw_known_setting_part((size_t)-1));
	ck_assert_int_eq(
	    lw_known_setting_place(&place, "", &err), LW_BAD_INPUT);
	ck_assert_int_eq(
	    lw_known_setting_place(&place, "pulling away", &err), LW_BAD_INPUT);
	ck_assert_ptr_nonnull(
	    strstr(err.text, "Sparing the motor or Matching the parts"));
}
END_TEST

START_TEST(value_kind_words)
{
	static const char *const words[] = {
	    "choice", "quantity", "list", "accuracy"};
	enum lw_value_kind kind;
	struct lw_err err;
	int i;

	for (i = 0; i < 4; i++) {
		ck_assert_int_eq(
		    lw_value_kind_parse(&kind, words[i], &err), LW_OK);
		ck_assert_int_eq((int)kind, i + 1);
		ck_assert_str_eq(lw_value_kind_name(kind), words[i]);
	}
	ck_assert_int_eq(lw_value_kind_parse(&kind, "", &err), LW_BAD_INPUT);
	ck_assert_int_eq(
	    lw_value_kind_parse(&kind, "number", &err), LW_BAD_INPUT);
	ck_assert_ptr_nonnull(
	    strstr(err.text, "choice, quantity, list or accuracy"));
	ck_assert_str_eq(lw_value_kind_name((enum lw_value_kind)99), "");
}
END_TEST

START_TEST(severity_words)
{
	static const char *const words[] = {
	    "stops", "limits", "warns", "informs"};
	enum lw_severity severity;
	struct lw_err err;
	int i;

	for (i = 0; i < 4; i++) {
		ck_assert_int_eq(
		    lw_severity_parse(&severity, words[i], &err), LW_OK);
		ck_assert_int_eq((int)severity, i + 1);
		ck_assert_str_eq(lw_severity_name(severity), words[i]);
	}
	ck_assert_str_eq(lw_severity_name(LW_SEVERITY_NONE), "");
	ck_assert_int_eq(lw_severity_parse(&severity, "", &err), LW_BAD_INPUT);
	ck_assert_int_eq(
	    lw_severity_parse(&severity, "fatal", &err), LW_BAD_INPUT);
	ck_assert_ptr_nonnull(
	    strstr(err.text, "stops, limits, warns or informs"));
}
END_TEST

/* The words and their order are those of ANSI Z535.6. */
START_TEST(signal_words)
{
	static const char *const words[] = {
	    "danger", "warning", "caution", "notice"};
	enum lw_signal signal;
	struct lw_err err;
	int i;

	for (i = 0; i < 4; i++) {
		ck_assert_int_eq(
		    lw_signal_parse(&signal, words[i], &err), LW_OK);
		ck_assert_int_eq((int)signal, i + 1);
		ck_assert_str_eq(lw_signal_name(signal), words[i]);
	}
	ck_assert_str_eq(lw_signal_name(LW_SIGNAL_NONE), "");
	ck_assert_int_eq(
	    lw_signal_parse(&signal, "DANGER", &err), LW_BAD_INPUT);
	ck_assert_int_eq(lw_signal_parse(&signal, "", &err), LW_BAD_INPUT);
}
END_TEST

START_TEST(meter_words)
{
	static const struct {
		const char *word;
		bool isolated;
	} words[] = {
	    {"", false},
	    {"volts dc", false},
	    {"volts ac", false},
	    {"ohms", true},
	    {"continuity", true},
	    {"diode", true},
	    {"capacitance", true},
	    {"amps dc", false},
	    {"clamp dc", false},
	    {"hertz", false},
	    {"temperature", false},
	};
	enum lw_meter meter;
	struct lw_err err;
	int i;

	ck_assert_int_eq(lw_meter_parse(&meter, "", &err), LW_BAD_INPUT);
	ck_assert_int_eq(lw_meter_parse(&meter, "volts", &err), LW_BAD_INPUT);
	for (i = 0; i < (int)(sizeof words / sizeof words[0]); i++) {
		ck_assert_str_eq(
		    lw_meter_name((enum lw_meter)i), words[i].word);
		ck_assert(lw_meter_needs_isolation((enum lw_meter)i) ==
			  words[i].isolated);
		if (i == 0)
			continue;
		ck_assert_int_eq(
		    lw_meter_parse(&meter, words[i].word, &err), LW_OK);
		ck_assert_int_eq((int)meter, i);
	}
}
END_TEST

START_TEST(weights_and_likelihoods)
{
	ck_assert(lw_weight_value("common") == 9);
	ck_assert(lw_weight_value("occasional") == 3);
	ck_assert(lw_weight_value("rare") == 1);
	ck_assert(lw_weight_value(NULL) == 3);
	ck_assert(lw_weight_value("always") == 0);
	ck_assert(lw_weight_value("") == 0);
	ck_assert(lw_likelihood_value("always") == 0.97);
	ck_assert(lw_likelihood_value("usually") == 0.8);
	ck_assert(lw_likelihood_value("sometimes") == 0.4);
	ck_assert(lw_likelihood_value("rarely") == 0.1);
	ck_assert(lw_likelihood_value("never") == 0.01);
	ck_assert(lw_likelihood_value("common") == 0);
	ck_assert(lw_likelihood_value(NULL) == 0);
}
END_TEST

Suite *
suite_words(void)
{
	Suite *suite = suite_create("words");
	TCase *tests = tcase_create("words");

	tcase_add_test(tests, power_words);
	tcase_add_test(tests, severity_words);
	tcase_add_test(tests, parts_of_settings);
	tcase_add_test(tests, value_kind_words);
	tcase_add_test(tests, signal_words);
	tcase_add_test(tests, meter_words);
	tcase_add_test(tests, weights_and_likelihoods);
	suite_add_tcase(suite, tests);
	return suite;
}
