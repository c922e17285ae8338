/* reckon: the framework, and what is worked out of power circuits. */
#include "unit/reckoned.h"
#include "unit/suites.h"
#include "unit/table.h"

#include <lampwright/quantity.h>

#include <math.h>

static struct lw_arena *arena;
static const struct lw_reckoning *reckoning;

static void
set_up(void)
{
	arena = lw_arena_new();
	ck_assert_ptr_nonnull(arena);
}

static void
tear_down(void)
{
	lw_arena_free(arena);
}

static void
reckon_it(const char *name, const char *given)
{
	struct lw_err err = {.column = 0};
	enum lw_status status = reckoned(&reckoning, arena, name, given, &err);

	ck_assert_msg(status == LW_OK, "%s: %s", name, err.text);
}

static double
in_si(double value, const char *unit)
{
	return lw_quantity_from(value, unit);
}

START_TEST(published)
{
	ck_assert_uint_ge(reckoned_table("reckon-power.tsv"), 270);
}
END_TEST

/* Every reckoner is complete, and its example works. */
START_TEST(examples)
{
	const struct lw_reckoner *const *all;
	const struct lw_reckoner *found;
	char given[400], *at;
	size_t count, i, k;

	all = lw_reckoners(&count);
	ck_assert_uint_ge(count, 7);
	for (i = 0; i < count; i++) {
		ck_assert_int_eq(
		    lw_reckoner_find(&found, all[i]->name, NULL), LW_OK);
		ck_assert_ptr_eq(found, all[i]);
		snprintf(given, sizeof given, "%s", all[i]->example);
		for (at = given; (at = strchr(at, ' ')) != NULL;)
			*at = '|';
		reckon_it(all[i]->name, given);
		ck_assert_uint_ge(reckoning->result_count, 1);
		ck_assert_uint_ge(reckoning->source_count, 1);
		if (reckoning->plot != NULL)
			ck_assert(all[i]->plots);
		for (k = 0; k < all[i]->input_count; k++)
			ck_assert_msg(all[i]->inputs[k].help != NULL &&
					  all[i]->inputs[k].title != NULL,
			    "%s", all[i]->inputs[k].key);
	}
}
END_TEST

static void
check_number(const struct lw_reckon_result *result)
{
	struct lw_quantity said;

	/* What is shown reads back to the value, to its digits. */
	ck_assert_int_eq(
	    lw_quantity_parse(&said, result->text, NULL, NULL), LW_OK);
	ck_assert_str_eq(said.unit, result->unit);
	ck_assert_msg(
	    fabs(said.number - result->value) <= 6e-3 * fabs(result->value),
	    "%s: %s, %g", result->name, result->text, result->value);
	ck_assert(result->low <= result->value);
	ck_assert(result->value <= result->high);
	ck_assert(result->ranged == (result->range_text != NULL));
}

START_TEST(results_are_whole)
{
	const struct lw_reckoner *const *all;
	char given[400], *at;
	size_t count, i, k;

	all = lw_reckoners(&count);
	for (i = 0; i < count; i++) {
		snprintf(given, sizeof given, "%s", all[i]->example);
		for (at = given; (at = strchr(at, ' ')) != NULL;)
			*at = '|';
		reckon_it(all[i]->name, given);
		for (k = 0; k < reckoning->result_count; k++) {
			ck_assert_ptr_nonnull(reckoning->results[k].title);
			ck_assert_ptr_nonnull(reckoning->results[k].text);
			if (reckoning->results[k].is_number)
				check_number(&reckoning->results[k]);
		}
	}
}
END_TEST

START_TEST(formulas_are_shown)
{
	const struct lw_reckon_result *result;

	reckon_it("precharge", "volts=48V|resistor=10k 5%|capacitor=10mF");
	result = reckoned_result(reckoning, "peak-current");
	ck_assert_str_eq(result->text, "4.8 mA");
	ck_assert_str_eq(result->unit, "mA");
	ck_assert_msg(
	    strncmp(result->formula, "volts / resistor = 48 V / ", 26) == 0,
	    "%s", result->formula);
	ck_assert_ptr_nonnull(strstr(result->formula, "10"));
	ck_assert_ptr_null(strchr(result->formula, '%'));
	/* Functions are written out, earlier results are not. */
	result = reckoned_result(reckoning, "time-95");
	ck_assert_msg(
	    strncmp(result->formula,
		"-resistor * capacitor * ln(1 - 95 %) = -10", 42) == 0,
	    "%s", result->formula);
	reckon_it("divider", "volts=12V|upper=1M|lower=1M|load=10M");
	result = reckoned_result(reckoning, "output");
	ck_assert_msg(strncmp(result->formula,
			  "volts / (1 + upper / (1 / (1 / lower + 1 / load))) "
			  "= 12 V / (1 + 1",
			  66) == 0,
	    "%s", result->formula);
	result = reckoned_result(reckoning, "power");
	ck_assert_msg(
	    strncmp(result->formula, "volts * current = 12 V * ", 25) == 0,
	    "%s", result->formula);
}
END_TEST

/* 470 ohm 5 %: 446.5 to 493.5; 10 mF 20 %: 8 to 12. Worked out by hand. */
START_TEST(ranges)
{
	const struct lw_reckon_result *result;

	reckon_it(
	    "precharge", "volts=48V|resistor=470 ohm 5%|capacitor=10mF 20%");
	result = reckoned_result(reckoning, "peak-current");
	ck_assert(result->ranged);
	ck_assert_double_eq_tol(
	    in_si(result->low, result->unit), 48 / 493.5, 1e-9);
	ck_assert_double_eq_tol(
	    in_si(result->high, result->unit), 48 / 446.5, 1e-9);
	result = reckoned_result(reckoning, "time-95");
	ck_assert_double_eq_tol(
	    in_si(result->low, result->unit), 446.5 * 8e-3 * log(20), 1e-8);
	ck_assert_double_eq_tol(
	    in_si(result->high, result->unit), 493.5 * 12e-3 * log(20), 1e-8);
	reckon_it("precharge", "volts=48V|resistor=470 ohm|capacitor=10mF");
	result = reckoned_result(reckoning, "time-95");
	ck_assert(!result->ranged);
	ck_assert_ptr_null(result->range_text);
}
END_TEST

/* What a value does twice is not counted twice: the drop over a load, where
 * both terms have the resistor. 10k 10 % beside 40k at 48 V. */
START_TEST(ranges_keep_together)
{
	const struct lw_reckon_result *result;

	reckon_it("precharge",
	    "volts=48V|resistor=10k 10%|capacitor=10mF|load=40k|share=75%");
	result = reckoned_result(reckoning, "energy");
	ck_assert_double_eq_tol(in_si(result->low, result->unit),
	    0.005 * pow(48 * 40 / 51.0, 2), 1e-7);
	ck_assert_double_eq_tol(in_si(result->high, result->unit),
	    0.005 * pow(48 * 40 / 49.0, 2), 1e-7);
	/* 90 % of the share is always reached late, never at no time. */
	result = reckoned_result(reckoning, "time-share");
	ck_assert(result->low > 0);
}
END_TEST

/* Random values inside the tolerances give nothing outside the range. */
START_TEST(ranges_hold)
{
	const struct lw_reckon_result *ranged[3], *one;
	static const char *const names[] = {
	    "time-95", "inrush-after", "energy"};
	char given[200];
	unsigned i, k;
	double value;

	reckon_it("precharge",
	    "volts=48V 3%|resistor=470 ohm 5%|capacitor=10mF 20%|load=20k "
	    "10%");
	for (k = 0; k < 3; k++)
		ranged[k] = reckoned_result(reckoning, names[k]);
	srand(5);
	for (i = 0; i < 300; i++) {
		snprintf(given, sizeof given,
		    "volts=%.6f|resistor=%.6f|capacitor=%.9f F|load=%.4f",
		    48 * (1 + 0.03 * (rand() % 2001 - 1000) / 1000),
		    470 * (1 + 0.05 * (rand() % 2001 - 1000) / 1000),
		    0.01 * (1 + 0.2 * (rand() % 2001 - 1000) / 1000),
		    20000 * (1 + 0.1 * (rand() % 2001 - 1000) / 1000));
		reckon_it("precharge", given);
		for (k = 0; k < 3; k++) {
			one = reckoned_result(reckoning, names[k]);
			value = in_si(one->value, one->unit);
			ck_assert_msg(
			    value >= in_si(ranged[k]->low, ranged[k]->unit) *
					 (1 - 1e-9) &&
				value <=
				    in_si(ranged[k]->high, ranged[k]->unit) *
					(1 + 1e-9),
			    "%s: %s for %s", names[k], one->text, given);
		}
	}
}
END_TEST

/* By its tolerance the load may hold the bus below 90 %: no end is shown. */
START_TEST(range_without_end)
{
	const struct lw_reckon_result *result;
	size_t i;
	bool said = false;

	reckon_it("precharge",
	    "volts=48V|resistor=10k 20%|capacitor=10mF|load=100k 5%");
	result = reckoned_result(reckoning, "time-90");
	ck_assert(result->is_number && !result->ranged);
	for (i = 0; i < reckoning->remark_count; i++)
		said = said || strstr(reckoning->remarks[i], "Time to 90 %:");
	ck_assert(said);
}
END_TEST

/* A random number within an input's limits, in its unit. */
static void
random_value(char *text, size_t size, const struct lw_reckon_input *input)
{
	double part = rand() / (double)RAND_MAX, value;

	if (!(input->low < input->high))
		value = part * 100;
	else if (input->low > 0)
		value = input->low * pow(input->high / input->low, part);
	else
		value = input->low + part * (input->high - input->low);
	snprintf(text, size, "%.5g%s", value,
	    rand() % 3 == 0 && input->low > 0 ? " 5%" : "");
	if (rand() % 10 == 0)
		snprintf(text, size, "%.5g",
		    rand() % 2 == 0 ? input->low : input->high);
}

/* What the reckoner's example gives an input, for texts. */
static void
example_value(char *text, size_t size, const struct lw_reckoner *reckoner,
    const char *key)
{
	char find[40];
	const char *at;

	snprintf(find, sizeof find, "%s=", key);
	at = strstr(reckoner->example, find);
	if (at == NULL)
		snprintf(text, size, "1");
	else
		snprintf(text, size, "%.*s",
		    (int)strcspn(at + strlen(find), " "), at + strlen(find));
}

static size_t
random_pairs(struct lw_reckon_pair *pairs, char (*texts)[60],
    const struct lw_reckoner *reckoner)
{
	const struct lw_reckon_input *input;
	size_t i, words, count = 0;

	for (i = 0; i < reckoner->input_count; i++) {
		input = &reckoner->inputs[i];
		if (!input->needed && rand() % 2 == 0)
			continue;
		for (words = 0; input->words != NULL && input->words[words];)
			words++;
		if (words > 0)
			snprintf(texts[count], sizeof texts[count], "%s",
			    input->words[(size_t)rand() % words]);
		else if (input->unit != NULL)
			random_value(texts[count], sizeof texts[count], input);
		else
			example_value(texts[count], sizeof texts[count],
			    reckoner, input->key);
		pairs[count].key = input->key;
		pairs[count].value = texts[count];
		pairs[count++].from_rig = false;
	}
	return count;
}

static bool
begins_with_key(const struct lw_reckoner *reckoner, const char *sentence)
{
	size_t i, n;

	for (i = 0; i < reckoner->input_count; i++) {
		n = strlen(reckoner->inputs[i].key);
		if (strncmp(sentence, reckoner->inputs[i].key, n) == 0 &&
		    sentence[n] == ':')
			return true;
	}
	return false;
}

/* Whatever is given within limits: numbers that are finite and in order, or a
 * sentence that begins with a key. Both happen. */
START_TEST(anything_within_limits)
{
	enum { INPUTS_MAX = 24, ROUNDS = 150 };
	const struct lw_reckoner *const *all;
	struct lw_reckon_pair pairs[INPUTS_MAX];
	char texts[INPUTS_MAX][60];
	struct lw_err err;
	size_t count, given, i, k, worked;
	unsigned round;

	all = lw_reckoners(&count);
	srand(7);
	for (i = 0; i < count; i++) {
		ck_assert_uint_le(all[i]->input_count, INPUTS_MAX);
		worked = 0;
		for (round = 0; round < ROUNDS; round++) {
			given = random_pairs(pairs, texts, all[i]);
			if (lw_reckon(&reckoning, arena, all[i]->name, pairs,
				given, &err) != LW_OK) {
				ck_assert_msg(begins_with_key(all[i], err.text),
				    "%s: %s", all[i]->name, err.text);
				continue;
			}
			worked++;
			for (k = 0; k < reckoning->result_count; k++)
				if (reckoning->results[k].is_number)
					check_number(&reckoning->results[k]);
		}
		ck_assert_msg(worked > 0, "%s", all[i]->name);
	}
}
END_TEST

static const struct lw_reckon_given *
given_of(const char *key)
{
	size_t i;

	for (i = 0; i < reckoning->given_count; i++)
		if (strcmp(reckoning->given[i].input->key, key) == 0)
			return &reckoning->given[i];
	return NULL;
}

START_TEST(where_it_is_from)
{
	static const struct lw_reckon_pair pairs[] = {
	    {"volts", "50 V", false},
	    {"volts", "84 V", true},
	    {"resistor", "1k", true},
	    {"resistor", " ", false},
	    {"capacitor", "30 mF", false},
	    {"capacitor", " 10 mF\n", false},
	    {"watts", "", false},
	    {"load", "40k", true},
	    {"load", "20k", false},
	};
	struct lw_err err;

	ck_assert_int_eq(lw_reckon(&reckoning, arena, "precharge", pairs,
			     sizeof pairs / sizeof pairs[0], &err),
	    LW_OK);
	ck_assert_str_eq(given_of("volts")->text, "50 V");
	ck_assert_int_eq(given_of("volts")->origin, LW_RECKON_GIVEN);
	ck_assert_int_eq(given_of("resistor")->origin, LW_RECKON_RIG);
	ck_assert_str_eq(given_of("capacitor")->text, "10 mF");
	ck_assert_int_eq(given_of("load")->origin, LW_RECKON_GIVEN);
	ck_assert_int_eq(given_of("share")->origin, LW_RECKON_USUAL);
	ck_assert_ptr_null(given_of("watts"));
}
END_TEST

/* A rig's throttle ends are volts; a two-wire throttle has no use for them. */
START_TEST(rig_of_another_kind)
{
	static const struct lw_reckon_pair pairs[] = {
	    {"kind", "rheostat-0-5k", true},
	    {"rest", "0 V", true},
	    {"full", "5 V", true},
	    {"reading", "2.2k", false},
	};
	struct lw_err err;

	ck_assert_int_eq(
	    lw_reckon(&reckoning, arena, "throttle", pairs, 4, &err), LW_OK);
	ck_assert_str_eq(given_of("kind")->text, "0-5k");
	ck_assert_int_eq(given_of("full")->origin, LW_RECKON_USUAL);
}
END_TEST

START_TEST(not_there)
{
	const struct lw_reckoner *found;
	struct lw_err err;

	ck_assert_int_eq(
	    lw_reckoner_find(&found, "prechrge", &err), LW_NOT_FOUND);
	ck_assert_ptr_null(found);
	ck_assert_str_eq(err.text,
	    "there is no reckoner \"prechrge\"; nearest is \"precharge\"");
	ck_assert_int_eq(lw_reckoner_find(&found, "", &err), LW_NOT_FOUND);
	ck_assert_int_eq(lw_reckon(&reckoning, arena, "x\n\xff", NULL, 0, &err),
	    LW_NOT_FOUND);
	ck_assert_ptr_null(strchr(err.text, '\n'));
	ck_assert_ptr_null(reckoning);
	ck_assert_int_eq(
	    lw_reckon(&reckoning, arena, "bleed", NULL, 0, NULL), LW_BAD_INPUT);
}
END_TEST

/* 30 mF may be 30 uF as well: it is taken as written, and said. */
START_TEST(doubts_are_said)
{
	size_t i;
	bool said = false;

	reckon_it("precharge", "volts=48V|resistor=1k|capacitor=30 mF");
	for (i = 0; i < reckoning->remark_count; i++)
		said = said || strstr(reckoning->remarks[i], "taken as");
	ck_assert(said);
	reckon_it("precharge", "volts=48V|resistor=1k|capacitor=10 mF");
	for (i = 0; i < reckoning->remark_count; i++)
		ck_assert_ptr_null(strstr(reckoning->remarks[i], "taken as"));
}
END_TEST

/* The curve is that of the facts: 63.21 % at one RC, 95.02 % at three. */
START_TEST(curves)
{
	const struct lw_reckon_plot *plot;
	const struct lw_reckon_curve *curve;
	size_t i;

	reckon_it("precharge", "volts=48V|resistor=1k|capacitor=10mF");
	plot = reckoning->plot;
	ck_assert_ptr_nonnull(plot);
	ck_assert_str_eq(plot->x_unit, "s");
	ck_assert_str_eq(plot->y_unit, "V");
	ck_assert_uint_ge(plot->level_count, 2);
	curve = &plot->curves[0];
	ck_assert_double_eq_tol(curve->x[curve->count - 1], 50, 1e-9);
	for (i = 0; i < curve->count; i++) {
		if (fabs(curve->x[i] - 10) < 1e-9)
			ck_assert_double_eq_tol(curve->y[i], 48 * 0.6321, 5e-3);
		if (fabs(curve->x[i] - 30) < 1e-9)
			ck_assert_double_eq_tol(curve->y[i], 48 * 0.9502, 5e-3);
		if (i > 0)
			ck_assert(curve->x[i] > curve->x[i - 1] &&
				  curve->y[i] > curve->y[i - 1]);
	}
	reckon_it("divider", "volts=5V|pot=5k|load=5k");
	ck_assert_uint_eq(reckoning->plot->curve_count, 2);
	reckon_it("divider", "volts=5V|upper=5k|lower=5k");
	ck_assert_ptr_null(reckoning->plot);
}
END_TEST

Suite *
suite_reckon_power(void)
{
	Suite *suite = suite_create("reckon_power");
	TCase *tests = tcase_create("reckon_power");

	tcase_add_checked_fixture(tests, set_up, tear_down);
	tcase_add_test(tests, published);
	tcase_add_test(tests, examples);
	tcase_add_test(tests, results_are_whole);
	tcase_add_test(tests, formulas_are_shown);
	tcase_add_test(tests, ranges);
	tcase_add_test(tests, ranges_keep_together);
	tcase_add_test(tests, ranges_hold);
	tcase_add_test(tests, range_without_end);
	tcase_add_test(tests, anything_within_limits);
	tcase_add_test(tests, where_it_is_from);
	tcase_add_test(tests, rig_of_another_kind);
	tcase_add_test(tests, not_there);
	tcase_add_test(tests, doubts_are_said);
	tcase_add_test(tests, curves);
	suite_add_tcase(suite, tests);
	return suite;
}
