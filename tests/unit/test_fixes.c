/* reason: fixes in order and the next check, against published examples, and
 * against every order of small invented tables. */
#include "unit/suites.h"

#include "reason/fixes.h"
#include "reason/next.h"
#include "unit/noisy.h"

#include <stdlib.h>

/* --- fixes --------------------------------------------------------------- */

static void
order_is(const size_t *order, const size_t *expected, size_t count)
{
	size_t k;

	for (k = 0; k < count; k++)
		ck_assert_uint_eq(order[k], expected[k]);
}

/* Expected cost of repair and the order by share over cost: Heckerman, Breese
 * and Rommelse 1995, in numbers of our own (computed by hand). */
START_TEST(orders_of_repair)
{
	static const double share[] = {0.50, 0.30, 0.15, 0.05};
	static const double cost[] = {10, 4, 3, 40};
	static const size_t best[] = {1, 0, 2, 3}, likely[] = {0, 1, 2, 3},
			    cheap[] = {2, 1, 0, 3};
	const struct reason_fixes fixes = {.cost = cost, .last = REASON_NONE};
	struct lw_err err;
	size_t order[4];
	double expected;

	ck_assert_int_eq(
	    fixes_order(order, &expected, share, 4, &fixes, &err), LW_OK);
	order_is(order, best, 4);
	ck_assert_double_eq_tol(expected, 13.6, 1e-12);
	ck_assert_double_eq_tol(
	    noisy_order_cost(best, 4, share, &fixes), 13.6, 1e-12);
	ck_assert_double_eq_tol(
	    noisy_order_cost(likely, 4, share, &fixes), 14.6, 1e-12);
	ck_assert_double_eq_tol(
	    noisy_order_cost(cheap, 4, share, &fixes), 13.9, 1e-12);
}
END_TEST

/* Cost clusters: Langseth and Jensen 2003, in numbers of our own (computed by
 * trying every order). */
START_TEST(fixes_behind_a_cover)
{
	static const double share[] = {0.40, 0.25, 0.20, 0.10, 0.05};
	static const double cost[] = {8, 1, 1, 2, 5}, open[] = {10};
	static const size_t cluster[] = {REASON_NONE, 0, 0, 0, REASON_NONE};
	static const size_t naive[] = {1, 2, 0, 3, 4};
	static const size_t best[] = {0, 1, 2, 3, 4};
	const struct reason_fixes fixes = {.cost = cost,
	    .cluster = cluster,
	    .clusters = 1,
	    .open = open,
	    .last = REASON_NONE};
	struct lw_err err;
	size_t order[5];
	double expected;

	ck_assert_int_eq(
	    fixes_order(order, &expected, share, 5, &fixes, &err), LW_OK);
	order_is(order, best, 5);
	ck_assert_double_eq_tol(expected, 15.5, 1e-12);
	ck_assert_double_eq_tol(
	    noisy_order_cost(best, 5, share, &fixes), 15.5, 1e-12);
	ck_assert_double_eq_tol(
	    noisy_order_cost(naive, 5, share, &fixes), 16.7, 1e-12);
}
END_TEST

/* Every order of invented fixes, with clusters, a last one, and equals. */
START_TEST(no_order_is_better)
{
	struct noisy made;
	struct lw_err err;
	size_t order[NOISY_CAUSES], causes, seed;
	double cost, least;

	for (seed = 0; seed < 200; seed++) {
		causes = 1 + seed % 6;
		noisy_make(&made, seed, causes, 0, 2, 1);
		if (seed % 3 != 0) {
			made.fixes.cluster = made.cluster;
			made.fixes.clusters = 2;
		}
		if (seed % 4 == 1)
			made.fixes.last = seed % causes;
		if (seed % 5 == 2)
			made.open[0] = 0;
		if (seed % 7 == 3 && causes > 1) {
			made.share[0] += made.share[1];
			made.share[1] = 0;
		}
		ck_assert_int_eq(fixes_order(order, &cost, made.share, causes,
				     &made.fixes, &err),
		    LW_OK);
		least = noisy_least_cost(causes, made.share, &made.fixes, 0, 0);
		ck_assert_double_eq_tol(cost, least, 1e-9 * least);
		ck_assert_double_eq_tol(
		    noisy_order_cost(order, causes, made.share, &made.fixes),
		    least, 1e-9 * least);
	}
}
END_TEST

/* The last one comes behind all that have a share, though it is likely and
 * cheap; those without one come behind it, by cost, and cost nothing. */
START_TEST(none_of_those_listed)
{
	static const double share[] = {0, 0.6, 0.1, 0, 0.3};
	static const double cost[] = {9, 1, 5, 2, 50};
	static const size_t expected[] = {2, 4, 1, 3, 0};
	const struct reason_fixes fixes = {.cost = cost, .last = 1};
	struct lw_err err;
	size_t order[5];
	double spent;

	ck_assert_int_eq(
	    fixes_order(order, &spent, share, 5, &fixes, &err), LW_OK);
	/* 0.1/5 is more than 0.3/50. */
	order_is(order, expected, 5);
	ck_assert_double_eq_tol(spent, 5 + 0.9 * 50 + 0.6 * 1, 1e-12);
}
END_TEST

START_TEST(equals_stay_as_they_stand)
{
	enum { MANY = 3000 };
	static double share[MANY], cost[MANY];
	static size_t order[MANY];
	const struct reason_fixes fixes = {.cost = cost, .last = REASON_NONE};
	struct lw_err err;
	double spent;
	size_t i;

	/* Share over cost is the same for all: any order costs the same. */
	for (i = 0; i < MANY; i++) {
		cost[i] = 7;
		share[i] = 1.0 / MANY;
	}
	ck_assert_int_eq(
	    fixes_order(order, &spent, share, MANY, &fixes, &err), LW_OK);
	for (i = 0; i < MANY; i++)
		ck_assert_uint_eq(order[i], i);
	ck_assert_double_eq_tol(spent, 7 * (MANY + 1) / 2.0, 1e-6);

	/* So close that only the last digits tell them apart. */
	for (i = 0; i < MANY; i++)
		cost[i] = 7 + 1e-13 * (double)(i * 7919 % MANY);
	ck_assert_int_eq(
	    fixes_order(order, &spent, share, MANY, &fixes, &err), LW_OK);
	for (i = 1; i < MANY; i++) {
		ck_assert_double_ge(share[order[i - 1]] / cost[order[i - 1]],
		    share[order[i]] / cost[order[i]]);
		if (!(cost[order[i - 1]] < cost[order[i]]))
			ck_assert_uint_lt(order[i - 1], order[i]);
	}
}
END_TEST

/* --- the next check ------------------------------------------------------ */

/*
 * "Asia" (Lauritzen and Spiegelhalter 1988), tables as in the public BIF file:
 * the joint states of tuberculosis, lung cancer and bronchitis are the causes.
 * Bits were computed from the network's joint distribution.
 */
static const double asia_share[] = {.0003276, .0002444, .0043524, .0054756,
    .0311724, .0232556, .4141476, .5210244};
static const double asia_given[4][16] = {
    /* been to Asia: 0.0005/0.0104 and 0.0095/0.9896 */
    {.048076923076923, .048076923076923, .048076923076923, .048076923076923,
	.009599838318512, .009599838318512, .009599838318512, .009599838318512},
    /* smokes: 0.03/0.0315, 0.02/0.0235, 0.27/0.4185, 0.18/0.5265 */
    {.952380952380952, .851063829787234, .645161290322581, .341880341880342,
	.952380952380952, .851063829787234, .645161290322581, .341880341880342},
    /* x-ray */
    {.98, .98, .98, .98, .98, .98, .05, .05},
    /* out of breath */
    {.9, .7, .9, .7, .9, .7, .8, .1}};

static void
make_asia(double given[4][16], struct reason_check checks[4],
    struct reason_table *table)
{
	size_t j, i;

	memset(checks, 0, 4 * sizeof *checks);
	for (j = 0; j < 4; j++) {
		for (i = 0; i < 8; i++) {
			given[j][i] = asia_given[j][i];
			given[j][8 + i] = 1 - asia_given[j][i];
		}
		checks[j].outcomes = 2;
		checks[j].given = given[j];
		checks[j].cost = 1;
	}
	*table = (struct reason_table){
	    .causes = 8, .checks = 4, .check = checks, .states = 1};
}

START_TEST(asia_bits)
{
	static const size_t first[] = {3, 2, 1, 0}, then[] = {2, 1, 0};
	static const double bits[] = {.402445, .223790, .096488, .000584};
	static const double later[] = {.370381, .066291, .001041};
	static const bool usable[] = {true, true, true, false};
	struct reason_check checks[4];
	struct next_choice choices[4];
	struct next_advice advice;
	struct reason_table table;
	double given[4][16], share[8], sum = 0;
	struct lw_err err;
	size_t k, i;

	make_asia(given, checks, &table);
	ck_assert_int_eq(
	    next_find(&advice, choices, &table, asia_share, NULL, NULL, &err),
	    LW_OK);
	ck_assert_uint_eq(advice.count, 4);
	for (k = 0; k < 4; k++) {
		ck_assert_uint_eq(choices[k].check, first[k]);
		ck_assert_double_eq_tol(choices[k].bits, bits[k], 5e-7);
		ck_assert_double_eq_tol(
		    next_bits(&checks[first[k]], asia_share, 8), bits[k], 5e-7);
		ck_assert_double_eq_tol(
		    choices[k].score, bits[k] * bits[k], 1e-6);
		ck_assert_uint_eq(choices[k].yields, REASON_NONE);
	}
	for (i = 0; i < 8; i++) {
		share[i] = asia_share[i] * asia_given[3][i];
		sum += share[i];
	}
	for (i = 0; i < 8; i++)
		share[i] /= sum;
	ck_assert_int_eq(
	    next_find(&advice, choices, &table, share, usable, NULL, &err),
	    LW_OK);
	ck_assert_uint_eq(advice.count, 3);
	for (k = 0; k < 3; k++) {
		ck_assert_uint_eq(choices[k].check, then[k]);
		ck_assert_double_eq_tol(choices[k].bits, later[k], 5e-7);
	}
	ck_assert(!advice.fix_first);
}
END_TEST

/* Two causes alike; a check that is sure, and fixes of 10 minutes. Fixing now
 * takes 0.5 x 10 + 0.5 x 20 = 15; after the check 10. By hand. */
START_TEST(look_or_fix)
{
	static const double share[] = {0.5, 0.5}, cost[] = {10, 10};
	static const double given[] = {1, 0, 0, 1};
	struct reason_check check = {.outcomes = 2, .given = given};
	const struct reason_table table = {
	    .causes = 2, .checks = 1, .check = &check, .states = 1};
	const struct reason_fixes fixes = {.cost = cost, .last = REASON_NONE};
	struct next_choice choice;
	struct next_advice advice;
	struct lw_err err;

	check.cost = 4;
	ck_assert_int_eq(
	    next_find(&advice, &choice, &table, share, NULL, &fixes, &err),
	    LW_OK);
	ck_assert_double_eq_tol(advice.fix_now, 15, 1e-12);
	ck_assert_double_eq_tol(advice.fix_after, 14, 1e-12);
	ck_assert_double_eq_tol(choice.expected, 14, 1e-12);
	ck_assert(!advice.fix_first);
	check.cost = 6;
	ck_assert_int_eq(
	    next_find(&advice, &choice, &table, share, NULL, &fixes, &err),
	    LW_OK);
	ck_assert_double_eq_tol(advice.fix_after, 16, 1e-12);
	ck_assert(advice.fix_first);
	ck_assert_double_eq_tol(choice.score, 1.0 / 6, 1e-12);
	check.cost = 0;
	ck_assert_int_eq(
	    next_find(&advice, &choice, &table, share, NULL, &fixes, &err),
	    LW_OK);
	ck_assert(isinf(choice.score));
	ck_assert_double_eq_tol(choice.expected, 10, 1e-12);
}
END_TEST

/* A live check that is sure and cheap, and an isolated one that misleads once
 * in 200, or in 166: 0.9546 and 0.9471 bits, by 1 - H(e). */
START_TEST(hazard_comes_first)
{
	static const double share[] = {0.5, 0.5};
	static const double sure[] = {1, 0, 0, 1}, setup[] = {0, 2, 3, 0};
	static const double as_much[] = {.995, .005, .005, .995};
	static const double less[] = {.994, .006, .006, .994};
	struct reason_check checks[] = {{2, sure, 1, 1}, {2, as_much, 20, 0}};
	const struct reason_table table = {.causes = 2,
	    .checks = 2,
	    .check = checks,
	    .states = 2,
	    .setup = setup};
	struct next_choice choices[2];
	struct next_advice advice;
	struct lw_err err;

	ck_assert_int_eq(
	    next_find(&advice, choices, &table, share, NULL, NULL, &err),
	    LW_OK);
	ck_assert_uint_eq(choices[0].check, 1);
	ck_assert_uint_eq(choices[0].yields, REASON_NONE);
	ck_assert_double_eq_tol(choices[0].bits, 0.954585, 1e-6);
	ck_assert_uint_eq(choices[1].check, 0);
	ck_assert_uint_eq(choices[1].yields, 1);
	ck_assert_double_eq_tol(choices[1].setup, 2, 1e-15);
	ck_assert_double_eq_tol(choices[1].score, 1.0 / 3, 1e-12);
	checks[1].given = less;
	ck_assert_int_eq(
	    next_find(&advice, choices, &table, share, NULL, NULL, &err),
	    LW_OK);
	ck_assert_uint_eq(choices[0].check, 0);
	ck_assert_uint_eq(choices[0].yields, REASON_NONE);
}
END_TEST

/* What next says of invented tables, by the definitions. */
START_TEST(next_by_definition)
{
	struct noisy made;
	struct next_choice choices[NOISY_CHECKS];
	struct next_advice advice;
	double after[NOISY_CAUSES], expected, least;
	struct lw_err err;
	size_t seed, k, o, i;

	for (seed = 0; seed < 50; seed++) {
		noisy_make(&made, seed, 5, 6, 0, 3);
		made.fixes.cluster = made.cluster;
		made.fixes.clusters = seed % 3;
		for (i = 0; i < 5; i++)
			if (made.cluster[i] != REASON_NONE &&
			    made.cluster[i] >= made.fixes.clusters)
				made.cluster[i] = REASON_NONE;
		ck_assert_int_eq(next_find(&advice, choices, &made.table,
				     made.share, NULL, &made.fixes, &err),
		    LW_OK);
		least = INFINITY;
		for (k = 0; k < advice.count; k++) {
			const struct reason_check *check =
			    &made.check[choices[k].check];

			ck_assert_double_eq_tol(choices[k].bits,
			    noisy_bits(check, made.share, 5), 1e-12);
			expected = check->cost + made.setup[check->state];
			for (o = 0; o < check->outcomes; o++) {
				for (i = 0; i < 5; i++)
					after[i] = made.share[i] *
						   check->given[o * 5 + i];
				expected += noisy_least_cost(
				    5, after, &made.fixes, 0, 0);
			}
			ck_assert_double_eq_tol(
			    choices[k].expected, expected, 1e-9);
			if (choices[k].yields == REASON_NONE)
				least = fmin(least, expected);
		}
		if (advice.count > 0)
			ck_assert_double_eq_tol(advice.fix_after, least, 1e-9);
		ck_assert_double_eq_tol(advice.fix_now,
		    noisy_least_cost(5, made.share, &made.fixes, 0, 0), 1e-9);
	}
}
END_TEST

/* --- odd tables ---------------------------------------------------------- */

START_TEST(one_cause_no_checks_one_outcome)
{
	static const double sure[] = {1}, cost[] = {5};
	const struct reason_check check = {1, sure, 0, 0};
	struct reason_table table = {.causes = 1, .states = 1};
	const struct reason_fixes fixes = {.cost = cost, .last = 0};
	struct next_choice choice;
	struct next_advice advice;
	struct lw_err err;

	ck_assert_int_eq(
	    next_find(&advice, &choice, &table, sure, NULL, &fixes, &err),
	    LW_OK);
	ck_assert_uint_eq(advice.count, 0);
	ck_assert(isinf(advice.fix_after));
	ck_assert(advice.fix_first);
	ck_assert_double_eq_tol(advice.fix_now, 5, 1e-15);
	table.checks = 1;
	table.check = &check;
	ck_assert_int_eq(
	    next_find(&advice, &choice, &table, sure, NULL, &fixes, &err),
	    LW_OK);
	ck_assert_uint_eq(advice.count, 0);
}
END_TEST

/* Each spoils one thing of a sound table. */
enum spoilt {
	NO_CAUSES,
	NO_STATES,
	BEGINS_NOWHERE,
	NO_OUTCOME,
	COST_NAN,
	COST_NEGATIVE,
	COST_INFINITE,
	STATE_UNKNOWN,
	GIVEN_NAN,
	GIVEN_NEGATIVE,
	GIVEN_SUM,
	SETUP_NAN,
	SETUP_SELF,
	FIX_FREE,
	FIX_NAN,
	CLUSTER_UNKNOWN,
	OPEN_NAN,
	LAST_UNKNOWN,
	SHARE_NAN,
	SHARE_SUM,
	SPOILT
};

static const char *const sentences[SPOILT] = {
    [NO_CAUSES] = "a table has one cause or more",
    [NO_STATES] = "a table has one state or more",
    [BEGINS_NOWHERE] = "the table begins in state 2",
    [NO_OUTCOME] = "check 0 has no outcome",
    [COST_NAN] = "check 0 costs nan",
    [COST_NEGATIVE] = "check 0 costs -1",
    [COST_INFINITE] = "check 0 costs inf",
    [STATE_UNKNOWN] = "check 0 is done in state 2",
    [GIVEN_NAN] = "check 0 has a likelihood that is no number",
    [GIVEN_NEGATIVE] = "check 0 has a likelihood that is no number",
    [GIVEN_SUM] = "check 0 under cause 1 have to add up to 1",
    [SETUP_NAN] = "to go from state 0 to state 1 costs nan",
    [SETUP_SELF] = "to go from state 1 to state 1 costs 3",
    [FIX_FREE] = "the fix for cause 1 costs 0",
    [FIX_NAN] = "the fix for cause 1 costs nan",
    [CLUSTER_UNKNOWN] = "cause 0 is in cluster 7",
    [OPEN_NAN] = "opening cluster 1 costs nan",
    [LAST_UNKNOWN] = "cause 4 comes last",
    [SHARE_NAN] = "the share of cause 2 is nan",
    [SHARE_SUM] = "have to add up to 1",
};

static void
spoil(struct noisy *made, enum spoilt what)
{
	switch (what) {
	case NO_CAUSES:
		made->table.causes = 0;
		break;
	case NO_STATES:
		made->table.states = 0;
		break;
	case BEGINS_NOWHERE:
		made->table.begin = 2;
		break;
	case NO_OUTCOME:
		made->check[0].outcomes = 0;
		break;
	case COST_NAN:
		made->check[0].cost = fabs(NAN);
		break;
	case COST_NEGATIVE:
		made->check[0].cost = -1;
		break;
	case COST_INFINITE:
		made->check[0].cost = INFINITY;
		break;
	case STATE_UNKNOWN:
		made->check[0].state = 2;
		break;
	case GIVEN_NAN:
		made->given[0][2] = NAN;
		break;
	case GIVEN_NEGATIVE:
		made->given[0][2] = -0.1;
		break;
	case GIVEN_SUM:
		made->given[0][1] += 1e-3;
		break;
	case SETUP_NAN:
		made->setup[1] = fabs(NAN);
		break;
	case SETUP_SELF:
		made->setup[3] = 3;
		break;
	case FIX_FREE:
		made->cost[1] = 0;
		break;
	case FIX_NAN:
		made->cost[1] = fabs(NAN);
		break;
	case CLUSTER_UNKNOWN:
		made->cluster[0] = 7;
		break;
	case OPEN_NAN:
		made->open[1] = fabs(NAN);
		break;
	case LAST_UNKNOWN:
		made->fixes.last = 4;
		break;
	case SHARE_NAN:
		made->share[2] = fabs(NAN);
		break;
	case SHARE_SUM:
		made->share[2] += 1e-3;
		break;
	case SPOILT:
		break;
	}
}

START_TEST(no_tables)
{
	struct noisy made;
	struct next_choice choices[NOISY_CHECKS];
	struct next_advice advice;
	struct lw_err err = {0};
	enum lw_status status;

	noisy_make(&made, 3, 4, 3, 2, 2);
	made.fixes.cluster = made.cluster;
	made.fixes.clusters = 2;
	spoil(&made, (enum spoilt)_i);
	status = next_find(
	    &advice, choices, &made.table, made.share, NULL, &made.fixes, &err);
	if (_i == SPOILT) {
		ck_assert_int_eq(status, LW_OK);
		return;
	}
	ck_assert_int_eq(status, LW_BAD_INPUT);
	ck_assert_msg(strstr(err.text, sentences[_i]) != NULL, "%s", err.text);
}
END_TEST

/* Two halves that one check tells apart: one bit, whatever their number. */
START_TEST(hundred_thousand_causes)
{
	enum { MANY = 100000 };
	double *share = malloc(MANY * sizeof *share);
	double *cost = malloc(MANY * sizeof *cost);
	double *given = calloc(2 * MANY, sizeof *given);
	struct reason_check checks[2] = {{2, given, 3, 0}, {1, cost, 3, 0}};
	const struct reason_table table = {
	    .causes = MANY, .checks = 2, .check = checks, .states = 1};
	const struct reason_fixes fixes = {.cost = cost, .last = REASON_NONE};
	struct next_choice choices[2];
	struct next_advice advice;
	struct lw_err err;
	size_t i;

	ck_assert(share != NULL && cost != NULL && given != NULL);
	for (i = 0; i < MANY; i++) {
		share[i] = 1.0 / MANY;
		cost[i] = 1;
		given[(i % 2) * MANY + i] = 1;
	}
	ck_assert_int_eq(
	    next_find(&advice, choices, &table, share, NULL, &fixes, &err),
	    LW_OK);
	ck_assert_uint_eq(advice.count, 1);
	ck_assert_double_eq_tol(choices[0].bits, 1, 1e-9);
	ck_assert_double_eq_tol(advice.fix_now, (MANY + 1) / 2.0, 1e-4);
	ck_assert_double_eq_tol(
	    choices[0].expected, 3 + (MANY / 2 + 1) / 2.0, 1e-4);
	free(share);
	free(cost);
	free(given);
}
END_TEST

Suite *
suite_fixes(void)
{
	Suite *suite = suite_create("fixes");
	TCase *fixes = tcase_create("fixes");

	tcase_add_test(fixes, orders_of_repair);
	tcase_add_test(fixes, fixes_behind_a_cover);
	tcase_add_test(fixes, no_order_is_better);
	tcase_add_test(fixes, none_of_those_listed);
	tcase_add_test(fixes, equals_stay_as_they_stand);
	tcase_add_test(fixes, asia_bits);
	tcase_add_test(fixes, look_or_fix);
	tcase_add_test(fixes, hazard_comes_first);
	tcase_add_test(fixes, next_by_definition);
	tcase_add_test(fixes, one_cause_no_checks_one_outcome);
	tcase_add_loop_test(fixes, no_tables, 0, SPOILT + 1);
	tcase_add_test(fixes, hundred_thousand_causes);
	suite_add_tcase(suite, fixes);
	return suite;
}
