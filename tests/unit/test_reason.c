/* reason: Bayes' rule against worked examples from the literature. */
#include "unit/suites.h"

#include "reason/belief.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

/* A small generator with a seed of its own, so that a failure comes back. */
static double
draw(uint64_t *state)
{
	*state = *state * 6364136223846793005u + 1442695040888963407u;
	return (double)(*state >> 11) / (double)(UINT64_C(1) << 53);
}

/* Kahneman and Tversky's cab problem (1972; in Tversky and Kahneman 1982):
 * 15 % of cabs blue, a witness right in 80 %; 12/29, told as 41 %. */
START_TEST(cab_problem)
{
	double weight[] = {0.15, 0.85}, share[2];
	const double says_blue[] = {0.80, 0.20};

	belief_update(weight, says_blue, 2);
	belief_shares(share, weight, 2);
	ck_assert_double_eq_tol(share[0], 12.0 / 29.0, 1e-15);
	ck_assert_double_eq_tol(share[0], 0.41, 0.005);
}
END_TEST

/* Eddy 1982 (in Kahneman, Slovic and Tversky): prevalence 1 %, found in
 * 79.2 %, false alarm in 9.6 %; 1/13, told as 7.7 %. */
START_TEST(mammography_problem)
{
	double weight[] = {0.01, 0.99}, share[2];
	const double positive[] = {0.792, 0.096};

	belief_update(weight, positive, 2);
	belief_shares(share, weight, 2);
	ck_assert_double_eq_tol(share[0], 1.0 / 13.0, 1e-15);
	ck_assert_double_eq_tol(share[0], 0.077, 0.0005);
}
END_TEST

/*
 * "Asia" (Lauritzen and Spiegelhalter 1988), tables as in the public BIF
 * file. The eight joint states of tuberculosis, lung cancer and bronchitis
 * are the causes; the four observables are independent given them. Shares
 * were computed by summing the network's whole joint distribution in exact
 * fractions (Python); the margins agree with gRain's published output.
 */
struct asia {
	const char *evidence; /* asia, smoke, xray, dysp: y, n or - */
	double shares[8];
	double tub, lung, bronc; /* to six digits, as published */
};

static const struct asia asia[] = {
    {"----",
	{0.0003276, 0.0002444, 0.0043524, 0.0054756, 0.0311724, 0.0232556,
	    0.4141476, 0.5210244},
	.0104, .055, .45},
    {"y--y",
	{0.003149037794007, 0.001827219460720, 0.041837216406098,
	    0.040937491322096, 0.059831718086140, 0.034717169753686,
	    0.706584099302991, 0.111116047874261},
	.087751, .09952515, .8114021},
    {"yy-y",
	{0.004791481810115, 0.002484472049689, 0.043123336291038,
	    0.022360248447205, 0.091038154392192, 0.047204968944099,
	    0.728305235137533, 0.060692102928128},
	.072760, .1455191, .8672582},
    {"y-ny",
	{0.000080696850752, 0.000046824098585, 0.001072115302848,
	    0.001049059059776, 0.001533240164289, 0.000889657873106,
	    0.860074720729477, 0.135253685921168},
	.002249, .002550, .862761},
    {"y-yy",
	{0.014056996534449, 0.008156528853322, 0.186757239671968,
	    0.182740954947840, 0.267082934154535, 0.154974048213125,
	    0.160924605613034, 0.025306692011727},
	.391712, .444271, .628822},
};

/* P(yes | tub, lung, bronc) by observable; fractions of the same source. */
static const double asia_yes[4][8] = {
    {5 / 104., 5 / 104., 5 / 104., 5 / 104., 95 / 9896., 95 / 9896., 95 / 9896.,
	95 / 9896.},
    {20 / 21., 40 / 47., 20 / 31., 40 / 117., 20 / 21., 40 / 47., 20 / 31.,
	40 / 117.},
    {.98, .98, .98, .98, .98, .98, .05, .05},
    {.9, .7, .9, .7, .9, .7, .8, .1},
};

START_TEST(asia_network)
{
	const struct asia *row = &asia[_i];
	double weight[8], share[8], likelihood[8], sum = 0;
	size_t o, i;

	memcpy(weight, asia[0].shares, sizeof weight);
	for (o = 0; o < 4; o++) {
		if (row->evidence[o] == '-')
			continue;
		for (i = 0; i < 8; i++)
			likelihood[i] = row->evidence[o] == 'y'
					    ? asia_yes[o][i]
					    : 1 - asia_yes[o][i];
		belief_update(weight, likelihood, 8);
	}
	belief_shares(share, weight, 8);
	for (i = 0; i < 8; i++) {
		ck_assert_double_eq_tol(share[i], row->shares[i], 1e-9);
		sum += share[i];
	}
	ck_assert_double_eq_tol(sum, 1, 1e-12);
	ck_assert_double_eq_tol(
	    share[0] + share[1] + share[2] + share[3], row->tub, 1e-6);
	ck_assert_double_eq_tol(
	    share[0] + share[1] + share[4] + share[5], row->lung, 1e-6);
	ck_assert_double_eq_tol(
	    share[0] + share[2] + share[4] + share[6], row->bronc, 1e-6);
}
END_TEST

START_TEST(shares_of_odd_weights)
{
	double share[3];

	belief_shares(share, (const double[]){9, 3, 0}, 3);
	ck_assert_double_eq_tol(share[0], 0.75, 1e-15);
	ck_assert_double_eq_tol(share[1], 0.25, 1e-15);
	ck_assert_double_eq(share[2], 0);
	/* Nothing to go by: equal. */
	belief_shares(share, (const double[]){0, 0, 0}, 3);
	ck_assert_double_eq_tol(share[1], 1.0 / 3, 1e-15);
	belief_shares(share, (const double[]){NAN, -1, INFINITY}, 3);
	ck_assert_double_eq_tol(share[2], 1.0 / 3, 1e-15);
	/* One that is no weight counts as none. */
	belief_shares(share, (const double[]){NAN, 1, 3}, 3);
	ck_assert_double_eq(share[0], 0);
	ck_assert_double_eq_tol(share[2], 0.75, 1e-15);
	/* Neither overflow nor underflow. */
	belief_shares(share, (const double[]){1e308, 1e308, 1e308}, 3);
	ck_assert_double_eq_tol(share[0], 1.0 / 3, 1e-15);
	belief_shares(share, (const double[]){4e-320, 4e-320, 0}, 3);
	ck_assert_double_eq_tol(share[0], 0.5, 1e-15);
	belief_shares(NULL, NULL, 0);
}
END_TEST

START_TEST(update_that_rules_all_out)
{
	double weight[] = {9, 3};

	belief_update(weight, (const double[]){0, 0}, 2);
	ck_assert_double_eq(weight[0], 9);
	ck_assert_double_eq(weight[1], 3);
	belief_update(weight, (const double[]){NAN, -1}, 2);
	ck_assert_double_eq(weight[0], 9);
	/* The largest becomes 1: 9 x 0.2 and 3 x 0.8. */
	belief_update(weight, (const double[]){0.2, 0.8}, 2);
	ck_assert_double_eq_tol(weight[0], 0.75, 1e-15);
	ck_assert_double_eq_tol(weight[1], 1, 1e-15);
	belief_update(NULL, NULL, 0);
}
END_TEST

/* By hand from the rule in the header. */
START_TEST(likelihood_of_outcomes)
{
	static const struct {
		double given[4];
		size_t outcomes;
		double expected[4];
	} rows[] = {
	    {{0, 0, 0}, 3, {1 / 3., 1 / 3., 1 / 3.}},
	    {{0.8, 0, 0}, 3, {0.8, 0.1, 0.1}},
	    {{0.97, 0}, 2, {0.97, 0.03}},
	    {{0.8, 0.1, 0}, 3, {0.8, 0.1, 0.1}},
	    {{0.4, 0.4}, 2, {0.5, 0.5}},
	    {{0.97, 0.01, 0.97}, 3, {97 / 195., 1 / 195., 97 / 195.}},
	    {{0.8, 0.8, 0}, 3, {80 / 161., 80 / 161., 1 / 161.}},
	    {{0.01, 0}, 2, {0.01, 0.99}},
	    {{0}, 1, {1}},
	    {{0.4}, 1, {1}},
	};
	size_t i, o;

	for (i = 0; i < COUNT(rows); i++)
		for (o = 0; o < rows[i].outcomes; o++)
			ck_assert_double_eq_tol(belief_likelihood(rows[i].given,
						    rows[i].outcomes, o),
			    rows[i].expected[o], 1e-15);
	ck_assert_double_eq(belief_likelihood(rows[0].given, 3, 3), 0);
	ck_assert_double_eq(belief_likelihood(NULL, 0, 0), 0);
}
END_TEST

/* For any table: the outcomes of a check add up to 1, none is impossible;
 * shares add up to 1, and the order of findings does not matter. */
START_TEST(any_table)
{
	static const double words[] = {0, 0, 0.97, 0.8, 0.4, 0.1, 0.01};
	enum { CAUSES = 12, CHECKS = 30, OUTCOMES = 5 };
	double forth[CAUSES], back[CAUSES], one[CAUSES], other[CAUSES];
	double rows[CHECKS][CAUSES], given[OUTCOMES], sum;
	uint64_t seed = 20;
	size_t run, c, i, o, chosen;

	for (run = 0; run < 200; run++) {
		for (i = 0; i < CAUSES; i++)
			forth[i] = back[i] = 0.5 + 9 * draw(&seed);
		for (c = 0; c < CHECKS; c++) {
			chosen = (size_t)(draw(&seed) * OUTCOMES);
			for (i = 0; i < CAUSES; i++) {
				for (o = 0; o < OUTCOMES; o++)
					given[o] =
					    words[(size_t)(draw(&seed) *
							   COUNT(words))];
				for (o = 0, sum = 0; o < OUTCOMES; o++)
					sum += belief_likelihood(
					    given, OUTCOMES, o);
				ck_assert_double_eq_tol(sum, 1, 1e-12);
				rows[c][i] =
				    belief_likelihood(given, OUTCOMES, chosen);
				ck_assert_double_gt(rows[c][i], 0);
			}
		}
		for (c = 0; c < CHECKS; c++) {
			belief_update(forth, rows[c], CAUSES);
			belief_update(back, rows[CHECKS - 1 - c], CAUSES);
		}
		belief_shares(one, forth, CAUSES);
		belief_shares(other, back, CAUSES);
		for (i = 0, sum = 0; i < CAUSES; i++) {
			ck_assert_double_eq_tol(one[i], other[i], 1e-12);
			sum += one[i];
		}
		ck_assert_double_eq_tol(sum, 1, 1e-12);
	}
}
END_TEST

Suite *
suite_reason(void)
{
	Suite *suite = suite_create("reason");
	TCase *belief = tcase_create("belief");

	tcase_add_test(belief, cab_problem);
	tcase_add_test(belief, mammography_problem);
	tcase_add_loop_test(belief, asia_network, 0, COUNT(asia));
	tcase_add_test(belief, shares_of_odd_weights);
	tcase_add_test(belief, update_that_rules_all_out);
	tcase_add_test(belief, likelihood_of_outcomes);
	tcase_add_test(belief, any_table);
	suite_add_tcase(suite, belief);
	return suite;
}
