/* job: what a rig's figures mean for safety: the rig is classed by the high
 * end of what its values can be. Over the values that ship; the rigs are
 * invented, and what is expected was worked out by hand. */
#include "unit/bench.h"
#include "unit/suites.h"

#include "job/figures.h"

#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static struct bench bench;

static void
setup(void)
{
	const char *const file = KB_DIR "/rig.yaml";

	bench_open(&bench);
	bench_put(&bench, &file, 1);
}

static void
teardown(void)
{
	bench_close(&bench);
}

/* The figures on the way into isolated, on lines of their own. */
static const char *
figures(const char *facts)
{
	static char text[1200];
	const char *const *list;
	const struct lw_rig *rig = NULL;
	size_t count, i;

	if (facts != NULL) {
		bench_rig(&bench, "cart48", facts);
		ck_assert_int_eq(lw_rig_get(bench.book, bench.arena, "cart48",
				     &rig, &bench.err),
		    LW_OK);
	}
	ck_assert_int_eq(figures_say(&list, &count, bench.arena, rig,
			     LW_POWER_ISOLATED, &bench.err),
	    LW_OK);
	text[0] = '\0';
	for (i = 0; i < count; i++) {
		strcat(text, list[i]);
		strcat(text, "\n");
	}
	return text;
}

static const struct {
	const char *facts, *says;
} cases[] = {
    {NULL, "The full pack's voltage is not known: count on more than 60 V.\n"
	   "The controller's capacitors are not known: count on a burn from "
	   "what they store.\n"
	   "How long it bleeds down is not known: wait until it measures below "
	   "5 V, and measure again after a minute.\n"},
    /* 24 x 2.45 V, called by 24 x 2 V. */
    {"pack.cells=24,pack.kind=lead",
	"A pack called 48 V charges to 58.8 V (worked out: 24 * 2.45 V) and "
	"counts by that: 50 V or more, where touching counts as a shock "
	"hazard.\n"},
    {"pack.full=58.8 V", "The full pack gives 58.8 V: 50 V or more, "},
    {"pack.full=58.8 V,pack.nominal=48 V",
	"A pack called 48 V charges to 58.8 V and counts by that: 50 V or "
	"more, "},
    {"pack.full=48 V", "The full pack gives 48 V: below 50 V, and it still "
		       "burns where metal bridges it.\n"},
    /* 58 V and 5 % is 60.9 V. */
    {"pack.full=58 V 5%", "The full pack gives as much as 60.9 V: above 50 V, "
			  "where touching counts "
			  "as a shock hazard, and above 60 V DC.\n"},
    /* It may be either of the two. */
    {"pack.full=39.2 V,pack.cells=24,pack.kind=lead",
	"A pack called 48 V charges to as much as 58.8 V and counts by that: "
	"50 V "
	"or more, "},
    /* 12 mF x (58.8 V)^2 / 2 = 20.7 J; 10.5 kohm x 12 mF x ln(58.8 / 5) =
     * 311 s. */
    {"pack.full=58.8 V,bus.capacitor=10 mF,bleed.resistor=10 kohm 5%",
	"capacitors store up to 20.7 J when charged to 58.8 V.\n"
	"Through 10 kohm it falls from 58.8 V to 5 V in about 6 minutes, "
	"counting what tolerance allows: wait so long, then measure.\n"},
    /* 1.05 kohm: 31.06 s. */
    {"pack.full=58.8 V,bus.capacitor=10 mF 20%,bleed.resistor=1k 5%",
	"Through 1 kohm it falls from 58.8 V to 5 V in about 32 seconds, "},
    /* Nothing is left open: 10 mF x (58.8 V)^2 / 2 = 17.3 J; 24.6 s. */
    {"pack.full=58.8 V,bus.capacitor=10 mF 0%,bleed.resistor=1k 0%",
	"capacitors store 17.3 J when charged to 58.8 V.\n"
	"Through 1 kohm it falls from 58.8 V to 5 V in about 25 seconds: wait "
	"so long, then measure.\n"},
};

START_TEST(says_what_it_comes_to)
{
	const char *text = figures(cases[_i].facts);

	ck_assert_msg(strstr(text, cases[_i].says) != NULL, "%s", text);
}
END_TEST

static bool
applies(double volts, double joules)
{
	const struct lw_caution caution = {
	    .from_volts = volts, .from_joules = joules};
	const struct lw_rig *rig;

	ck_assert_int_eq(
	    lw_rig_get(bench.book, bench.arena, "cart48", &rig, &bench.err),
	    LW_OK);
	return figures_apply(&caution, rig);
}

static void
set(const char *key, const char *value)
{
	const struct lw_rig_pair pair = {key, value};

	ck_assert_msg(lw_rig_set(bench.book, "cart48", &pair, 1, ++bench.now_s,
			  &bench.err) == LW_OK,
	    "%s", bench.err.text);
}

START_TEST(counts_by_the_high_end)
{
	/* Nothing is known. */
	bench_rig(&bench, "cart48", "motor=series");
	ck_assert(applies(60, 0) && applies(0, 10) && applies(60, 10));
	/* 58 V and 5 % is 60.9 V; the capacitors are not known. */
	set("pack.full", "58 V 5%");
	ck_assert(applies(60, 0) && !applies(61, 0));
	ck_assert(applies(60, 10) && !applies(61, 10));
	/* 10 mF at 42 V: 8.8 J, and 10.6 J with the usual 20 % more. */
	set("pack.full", "42 V");
	set("bus.capacitor", "10 mF");
	ck_assert(applies(0, 10) && !applies(0, 11) && !applies(50, 0));
	/* What is worked out counts, 24 x 2.45 V. */
	set("pack.full", "unknown");
	set("pack.cells", "24");
	set("pack.kind", "lead");
	ck_assert(applies(58, 0) && !applies(59, 0));
	/* What contradicts may be either. */
	set("pack.full", "39.2 V");
	ck_assert(applies(58, 0) && !applies(59, 0));
}
END_TEST

Suite *
suite_figures(void)
{
	Suite *suite = suite_create("figures");
	TCase *tests = tcase_create("figures");

	tcase_add_checked_fixture(tests, setup, teardown);
	tcase_set_timeout(tests, 60);
	tcase_add_loop_test(tests, says_what_it_comes_to, 0, (int)COUNT(cases));
	tcase_add_test(tests, counts_by_the_high_end);
	suite_add_tcase(suite, tests);
	return suite;
}
