/* reason: Bayes' rule against worked examples from the literature, and tables
 * that no author would write. */
#include "unit/suites.h"

#include "reason/belief.h"
#include "reason/conflict.h"
#include "reason/next.h"

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

/* The rows of P(answer | cause) that the evidence has; how many they are. */
static size_t
asia_rows(double *likelihood, const char *evidence)
{
	size_t o, i, rows = 0;

	for (o = 0; o < 4; o++) {
		if (evidence[o] == '-')
			continue;
		for (i = 0; i < 8; i++)
			likelihood[rows * 8 + i] = evidence[o] == 'y'
						       ? asia_yes[o][i]
						       : 1 - asia_yes[o][i];
		rows++;
	}
	return rows;
}

START_TEST(asia_at_once)
{
	const struct asia *row = &asia[_i];
	double share[8], likelihood[4 * 8];
	size_t i, rows = asia_rows(likelihood, row->evidence);

	belief_posterior(share, asia[0].shares, 8, likelihood, rows);
	for (i = 0; i < 8; i++)
		ck_assert_double_eq_tol(share[i], row->shares[i], 1e-12);
}
END_TEST

/* P(e) of the same network: conflict is log2 of the product of P(e_k) over
 * it. The margins of single observables: .01 and .5 as the authors gave them,
 * .11029004 and .4359706 as gRain prints them (0.1103, 0.4360). */
START_TEST(asia_evidence)
{
	static const struct {
		const char *evidence;
		double apart;	 /* product of the margins */
		double together; /* P(e) */
	} rows[] = {
	    {"y--y", .01 * .4359706, .004501375},
	    {"yy-y", .01 * .5 * .4359706, .0028175},
	    {"y-ny", .01 * .88970996 * .4359706, .003513148},
	    {"y-yy", .01 * .11029004 * .4359706, .000988227},
	};
	double likelihood[4 * 8], bits;
	size_t count = asia_rows(likelihood, rows[_i].evidence);

	bits = conflict_bits(NULL, asia[0].shares, 8, likelihood, count);
	ck_assert_double_eq_tol(
	    rows[_i].apart / exp2(bits), rows[_i].together, 5e-10);
}
END_TEST

/* Bits that each observable tells: computed from the whole joint distribution
 * with Python, at first and once there is dyspnoea. */
START_TEST(asia_information)
{
	static const double first[] = {.000584, .096488, .223790, .402445};
	static const double after[] = {.001041, .066291, .370381, 0};
	double given[2 * 8];
	struct reason_check check = {.outcomes = 2, .given = given};
	double share[8];
	size_t i, o;

	belief_posterior(share, asia[0].shares, 8, asia_yes[3], 1);
	for (o = 0; o < 4; o++) {
		for (i = 0; i < 8; i++) {
			given[i] = asia_yes[o][i];
			given[8 + i] = 1 - asia_yes[o][i];
		}
		ck_assert_double_eq_tol(
		    next_bits(&check, asia[0].shares, 8), first[o], 1e-6);
		if (o < 3)
			ck_assert_double_eq_tol(
			    next_bits(&check, share, 8), after[o], 1e-6);
	}
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

/* By hand: 0.5, 0.3 and 0.2 with two findings come to 0.04, 0.03 and 0.01. */
START_TEST(posterior_by_hand)
{
	static const double weight[] = {5, 3, 2};
	static const double rows[] = {0.8, 0.2, 0.1, 0.1, 0.5, 0.5};
	double share[3] = {5, 3, 2};

	belief_posterior(share, weight, 3, rows, 2);
	ck_assert_double_eq_tol(share[0], 0.5, 1e-15);
	ck_assert_double_eq_tol(share[1], 0.375, 1e-15);
	ck_assert_double_eq_tol(share[2], 0.125, 1e-15);
	belief_posterior(share, weight, 3, rows, 0);
	ck_assert_double_eq_tol(share[0], 0.5, 1e-15);
	/* In place. */
	share[0] = 5, share[1] = 3, share[2] = 2;
	belief_posterior(share, share, 3, rows, 2);
	ck_assert_double_eq_tol(share[1], 0.375, 1e-15);
	/* One cause has it all, whatever is found. */
	belief_posterior(share, weight, 1, rows, 2);
	ck_assert_double_eq(share[0], 1);
	belief_posterior(NULL, NULL, 0, NULL, 0);
	belief_posterior(NULL, NULL, 0, rows, 2);
}
END_TEST

START_TEST(posterior_of_odd_tables)
{
	double share[3];

	/* No weight stays out, also where all others are ruled out: then it
	 * is as before the findings. */
	belief_posterior(share, (const double[]){0, 3, 1}, 3,
	    (const double[]){1, 0.1, 0.3}, 1);
	ck_assert_double_eq(share[0], 0);
	ck_assert_double_eq_tol(share[1], 0.5, 1e-15);
	belief_posterior(
	    share, (const double[]){0, 3, 1}, 3, (const double[]){1, 0, 0}, 1);
	ck_assert_double_eq(share[0], 0);
	ck_assert_double_eq_tol(share[1], 0.75, 1e-15);
	/* Each finding is possible, both together are not. */
	belief_posterior(share, (const double[]){1, 3, 0}, 3,
	    (const double[]){1, 0, 1, 0, 1, 1}, 2);
	ck_assert_double_eq_tol(share[0], 0.25, 1e-15);
	ck_assert_double_eq_tol(share[1], 0.75, 1e-15);
	/* Nothing to go by: equal ones, and the findings count. */
	belief_posterior(share, (const double[]){0, 0, 0}, 3,
	    (const double[]){0.2, 0.1, 0.1}, 1);
	ck_assert_double_eq_tol(share[0], 0.5, 1e-15);
	/* What is no number is no weight, and rules out. */
	belief_posterior(share, (const double[]){NAN, 1, 3}, 3,
	    (const double[]){1, 1, 1}, 1);
	ck_assert_double_eq(share[0], 0);
	ck_assert_double_eq_tol(share[2], 0.75, 1e-15);
	belief_posterior(share, (const double[]){1, 1, 3}, 3,
	    (const double[]){NAN, -1, 0.1}, 1);
	ck_assert_double_eq(share[0], 0);
	ck_assert_double_eq(share[1], 0);
	ck_assert_double_eq(share[2], 1);
	/* Neither overflow nor underflow. */
	belief_posterior(share, (const double[]){1e308, 1e308, 1e308}, 3,
	    (const double[]){1, 0.5, 0.5}, 1);
	ck_assert_double_eq_tol(share[0], 0.5, 1e-15);
	belief_posterior(share, (const double[]){4e-320, 4e-320, 4e-320}, 3,
	    (const double[]){1e-310, 5e-311, 5e-311}, 1);
	ck_assert_double_eq_tol(share[0], 0.5, 1e-12);
}
END_TEST

/* A thousand findings of 0.01 and less: their product is 1e-2000. The last
 * ones are alike for all but one cause, which alone has 3 times as much. */
START_TEST(posterior_of_many_findings)
{
	enum { FINDINGS = 1001 };
	static double rows[FINDINGS * 2];
	double share[2];
	size_t k;

	for (k = 0; k < FINDINGS; k++) {
		rows[k * 2] = 0.01;
		rows[k * 2 + 1] = 0.01;
	}
	rows[FINDINGS] = 0.003;
	rows[FINDINGS - 1] = 0.009;
	belief_posterior(share, (const double[]){1, 1}, 2, rows, FINDINGS);
	ck_assert_double_eq_tol(share[0], 0.75, 1e-12);
}
END_TEST

/* i + 1 of n (n + 1) / 2, by Gauss; a finding says twice as much of even
 * ones. */
START_TEST(hundred_thousand_causes)
{
	enum { CAUSES = 100000 };
	static double weight[CAUSES], row[CAUSES], share[CAUSES];
	const double even = 2500000000., odd = 2500050000.;
	size_t i, wrong = 0;

	for (i = 0; i < CAUSES; i++) {
		weight[i] = (double)(i + 1);
		row[i] = i % 2 == 0 ? 0.8 : 0.4;
	}
	belief_posterior(share, weight, CAUSES, row, 1);
	for (i = 0; i < CAUSES; i++)
		if (!(fabs(share[i] - (i % 2 == 0 ? 2 : 1) * (double)(i + 1) /
					  (2 * even + odd)) <= 1e-15))
			wrong++;
	ck_assert_uint_eq(wrong, 0);
	belief_factors(share, weight, CAUSES, row, 1);
	ck_assert_double_eq_tol(share[0],
	    0.8 / ((0.8 * (even - 1) + 0.4 * odd) / (even + odd - 1)), 1e-9);
}
END_TEST

/* For any table, also with what is nearly impossible, and any order. */
START_TEST(order_does_not_matter)
{
	enum { CAUSES = 9, MOST = 60 };
	static const double words[] = {1, 0.97, 0.8, 0.4, 0.1, 0.01, 1e-200};
	double rows[MOST * CAUSES], other[CAUSES], share[CAUSES], kept;
	double weight[CAUSES], bits;
	uint64_t seed = 7;
	size_t run, findings, k, i, with;

	for (run = 0; run < 300; run++) {
		findings = 1 + (size_t)(draw(&seed) * MOST);
		for (i = 0; i < CAUSES; i++)
			weight[i] = draw(&seed) < 0.1 ? 0 : draw(&seed);
		for (k = 0; k < findings * CAUSES; k++)
			rows[k] =
			    draw(&seed) < 0.5
				? draw(&seed)
				: words[(size_t)(draw(&seed) * COUNT(words))];
		if (run % 3 == 0)
			rows[(size_t)(draw(&seed) * (double)k)] = 0;
		belief_posterior(share, weight, CAUSES, rows, findings);
		bits = conflict_bits(NULL, weight, CAUSES, rows, findings);
		for (k = findings - 1; k > 0; k--) {
			with = (size_t)(draw(&seed) * (double)(k + 1));
			for (i = 0; i < CAUSES; i++) {
				kept = rows[k * CAUSES + i];
				rows[k * CAUSES + i] = rows[with * CAUSES + i];
				rows[with * CAUSES + i] = kept;
			}
		}
		belief_posterior(other, weight, CAUSES, rows, findings);
		for (i = 0; i < CAUSES; i++)
			ck_assert_double_eq_tol(share[i], other[i], 1e-12);
		ck_assert_double_eq_tol(
		    conflict_bits(NULL, weight, CAUSES, rows, findings), bits,
		    1e-12 * fmax(1, fabs(bits)));
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
	tcase_add_loop_test(belief, asia_at_once, 0, COUNT(asia));
	tcase_add_loop_test(belief, asia_evidence, 0, 4);
	tcase_add_test(belief, asia_information);
	tcase_add_test(belief, shares_of_odd_weights);
	tcase_add_test(belief, update_that_rules_all_out);
	tcase_add_test(belief, likelihood_of_outcomes);
	tcase_add_test(belief, any_table);
	tcase_add_test(belief, posterior_by_hand);
	tcase_add_test(belief, posterior_of_odd_tables);
	tcase_add_test(belief, posterior_of_many_findings);
	tcase_add_test(belief, hundred_thousand_causes);
	tcase_add_test(belief, order_does_not_matter);
	suite_add_tcase(suite, belief);
	return suite;
}
