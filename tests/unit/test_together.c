/* reason: what findings say of each cause and of each other, two causes at
 * once, and counts; against worked examples and arithmetic by hand. */
#include "unit/suites.h"

#include "reason/belief.h"
#include "reason/conflict.h"
#include "reason/learn.h"
#include "reason/pairs.h"
#include "reason/table.h"

#include <math.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

/* A sound vehicle gives the second of three in 0.8, the others 0.1 each. */
START_TEST(unnamed_causes)
{
	ck_assert_double_eq_tol(belief_unnamed(3, 1, 0), 0.025, 1e-15);
	ck_assert_double_eq_tol(belief_unnamed(3, 1, 1), 0.95, 1e-15);
	ck_assert_double_eq_tol(belief_unnamed(3, 1, 2), 0.025, 1e-15);
	ck_assert_double_eq_tol(belief_unnamed(2, 0, 1), 0.05, 1e-15);
	ck_assert_double_eq(belief_unnamed(4, REASON_NONE, 2), 0.25);
	/* One outcome is certain; what is no outcome, impossible. */
	ck_assert_double_eq(belief_unnamed(1, 0, 0), 1);
	ck_assert_double_eq(belief_unnamed(1, REASON_NONE, 0), 1);
	ck_assert_double_eq(belief_unnamed(3, 1, 3), 0);
	ck_assert_double_eq(belief_unnamed(0, REASON_NONE, 0), 0);
}
END_TEST

/*
 * Causes of 0.5, 0.3 and 0.2. One finding of 0.8, 0.2 and 0.1: for the first
 * cause against the others (0.3 x 0.2 + 0.2 x 0.1) / 0.5 = 0.16, hence 5; for
 * the second (0.4 + 0.02) / 0.7 = 0.6, hence 1/3; for the third (0.4 + 0.06) /
 * 0.8 = 0.575, hence 4/23.
 *
 * With another of 0.1, 0.5 and 0.5, without which weights are as before, and
 * with it 0.05, 0.15 and 0.1: 0.8 / (0.04 / 0.25) = 5; 0.2 / (0.05 / 0.15) =
 * 0.6; 0.1 / (0.07 / 0.2) = 2/7. That other one, given 0.4, 0.06 and 0.02
 * after the first: 0.1 / 0.5 = 0.2; 0.5 / (0.05 / 0.42) = 4.2; 0.5 / (0.07 /
 * 0.46) = 23/7.
 */
START_TEST(factors_by_hand)
{
	static const double weight[] = {5, 3, 2};
	static const double rows[] = {0.8, 0.2, 0.1, 0.1, 0.5, 0.5};
	static const double one[] = {5, 1 / 3., 4 / 23.};
	static const double two[] = {5, 0.6, 2 / 7., 0.2, 4.2, 23 / 7.};
	double factor[6];
	size_t i;

	belief_factors(factor, weight, 3, rows, 1);
	for (i = 0; i < 3; i++)
		ck_assert_double_eq_tol(factor[i], one[i], 1e-14);
	belief_factors(factor, weight, 3, rows, 2);
	for (i = 0; i < 6; i++)
		ck_assert_double_eq_tol(factor[i], two[i], 1e-14);
	belief_factors(NULL, weight, 3, rows, 0);
	belief_factors(NULL, NULL, 0, NULL, 0);
	belief_factors(NULL, NULL, 0, rows, 2);
}
END_TEST

START_TEST(factors_of_odd_tables)
{
	double factor[6];

	/* No other cause: nothing to be compared with. */
	belief_factors(
	    factor, (const double[]){1}, 1, (const double[]){0.5}, 1);
	ck_assert_double_eq(factor[0], 1);
	/* Ruled out, and alone possible: the ends. */
	belief_factors(
	    factor, (const double[]){1, 1}, 2, (const double[]){0.5, 0}, 1);
	ck_assert_double_eq(factor[0], 1e6);
	ck_assert_double_eq(factor[1], 1e-6);
	/* None can give it: nothing is said. */
	belief_factors(
	    factor, (const double[]){1, 1}, 2, (const double[]){0, 0}, 1);
	ck_assert_double_eq(factor[0], 1);
	ck_assert_double_eq(factor[1], 1);
	/* The third has no weight; it is told all the same what the finding
	 * would do to it, and has no part in what the others are told. */
	belief_factors(factor, (const double[]){1, 1, 0}, 3,
	    (const double[]){0.6, 0.2, 0.8}, 1);
	ck_assert_double_eq_tol(factor[0], 3, 1e-14);
	ck_assert_double_eq_tol(factor[1], 1 / 3., 1e-14);
	ck_assert_double_eq_tol(factor[2], 2, 1e-14);
	/* Without one finding the other is impossible or leaves one cause. */
	belief_factors(
	    factor, (const double[]){1, 1}, 2, (const double[]){1, 0, 0, 1}, 2);
	ck_assert_double_eq(factor[0], 1e6);
	ck_assert_double_eq(factor[1], 1e-6);
	ck_assert_double_eq(factor[2], 1e-6);
	ck_assert_double_eq(factor[3], 1e6);
	/* Both rule all out: each is judged by the shares before. */
	belief_factors(factor, (const double[]){3, 1}, 2,
	    (const double[]){0, 0, 0.6, 0.2}, 2);
	ck_assert_double_eq(factor[0], 1);
	ck_assert_double_eq(factor[1], 1);
	ck_assert_double_eq_tol(factor[2], 3, 1e-14);
	ck_assert_double_eq_tol(factor[3], 1 / 3., 1e-14);
	/* NaN rules out, as a weight and as a likelihood. */
	belief_factors(
	    factor, (const double[]){1, NAN}, 2, (const double[]){0.5, NAN}, 1);
	ck_assert_double_eq(factor[0], 1);
	ck_assert_double_eq(factor[1], 1e-6);
}
END_TEST

/* A cause that is all but sure is told by what little the others have: 0.25
 * nearly all of it. So is one that alone can give the finding well. */
START_TEST(factors_of_what_is_nearly_sure)
{
	double factor[3];

	belief_factors(factor, (const double[]){1, 1e-20, 1e-40}, 3,
	    (const double[]){0.5, 0.25, 0.75}, 1);
	ck_assert_double_eq_tol(factor[0], 2, 1e-12);
	ck_assert_double_eq_tol(factor[1], 0.5, 1e-12);
	ck_assert_double_eq_tol(factor[2], 1.5, 1e-12);
	belief_factors(factor, (const double[]){1, 1, 1}, 3,
	    (const double[]){1, 1e-4, 3e-4}, 1);
	ck_assert_double_eq_tol(factor[0], 5000, 1e-8);
	/* 1e-20 + 1e-40 of weight beside 1, each further from 0 than a double
	 * can be near 1. */
	belief_factors(factor, (const double[]){1, 1e-200, 1e-300}, 3,
	    (const double[]){1e-150, 0.5, 0.5}, 1);
	ck_assert_double_eq(factor[0], 1e-6);
	ck_assert_double_eq(factor[1], 1e6);
}
END_TEST

/*
 * Two causes of a half each. Findings of 0.9 and 0.1, of 0.1 and 0.9: each is
 * there in a half, both in 0.09; log2(0.25 / 0.09) = log2(25/9). Twice the
 * first: together in 0.41; log2(25/41). All three: 0.125 over 0.045, log2(25/9)
 * again, and without the one that is against the others log2(25/41).
 */
START_TEST(conflict_by_hand)
{
	static const double prior[] = {0.5, 0.5};
	static const double rows[] = {0.9, 0.1, 0.9, 0.1, 0.1, 0.9};
	const double against = log2(25 / 9.), alike = log2(25 / 41.);
	double without[3] = {9, 9, 9};

	ck_assert_double_eq_tol(
	    conflict_bits(without, prior, 2, rows + 2, 2), against, 1e-14);
	ck_assert_double_eq(without[0], 0);
	ck_assert_double_eq(without[1], 0);
	ck_assert_double_eq_tol(
	    conflict_bits(NULL, prior, 2, rows, 2), alike, 1e-14);
	ck_assert_double_eq_tol(
	    conflict_bits(without, prior, 2, rows, 3), against, 1e-14);
	ck_assert_double_eq_tol(without[0], against, 1e-14);
	ck_assert_double_eq_tol(without[1], against, 1e-14);
	ck_assert_double_eq_tol(without[2], alike, 1e-14);
	ck_assert_uint_eq(
	    conflict_repeat(without, (const double[]){1, 1, 60}, 3), 2);
	/* Fewer than two cannot be in conflict. */
	ck_assert_double_eq(conflict_bits(without, prior, 2, rows, 1), 0);
	ck_assert_double_eq(without[0], 0);
	ck_assert_double_eq(conflict_bits(NULL, prior, 2, rows, 0), 0);
	/* What is alike for all causes goes with anything. */
	ck_assert_double_eq_tol(conflict_bits(NULL, prior, 2,
				    (const double[]){0.9, 0.1, 0.3, 0.3}, 2),
	    0, 1e-14);
}
END_TEST

/* What cannot be counts as 1e300 times less probable: log2(1e300) = 996.578;
 * the one that alone is impossible is the one to repeat. */
START_TEST(conflict_of_the_impossible)
{
	static const double prior[] = {0.5, 0.5};
	const double most = 300 * log2(10);
	double without[3];

	ck_assert_double_eq_tol(
	    conflict_bits(NULL, prior, 2, (const double[]){1, 0, 0, 1}, 2),
	    most, 1e-9);
	ck_assert_double_eq_tol(
	    conflict_bits(without, prior, 2,
		(const double[]){0.9, 0.1, 0, 0, 0.9, 0.1}, 3),
	    most, 1e-9);
	ck_assert_double_eq_tol(without[0], most, 1e-9);
	ck_assert_double_eq_tol(without[1], log2(25 / 41.), 1e-12);
	ck_assert_uint_eq(
	    conflict_repeat(without, (const double[]){1, 1, 1}, 3), 1);
	/* Either of two that rule each other out; NaN rules out. */
	ck_assert_double_eq_tol(
	    conflict_bits(
		without, prior, 2, (const double[]){1, 0, 0.5, 0.5, NAN, 1}, 3),
	    most, 1e-9);
	ck_assert_double_eq_tol(without[0], 0, 1e-12);
	ck_assert_double_eq_tol(without[1], most, 1e-9);
	ck_assert_double_eq_tol(without[2], 0, 1e-12);
	/* One cause: whatever it gives goes together. */
	ck_assert_double_eq_tol(conflict_bits(NULL, (const double[]){1}, 1,
				    (const double[]){0.5, 0.01}, 2),
	    0, 1e-12);
}
END_TEST

/* Two thousand findings of 0.01 that have nothing to do with the causes: 0
 * bits, though their product is 1e-4000; with one pair of the first test
 * among them, its bits, which are gone without either of the pair. */
START_TEST(conflict_of_many_findings)
{
	enum { FINDINGS = 2000 };
	static double rows[FINDINGS * 2], without[FINDINGS];
	static const double prior[] = {0.5, 0.5};
	size_t k;

	for (k = 0; k < FINDINGS * 2; k++)
		rows[k] = 0.01;
	ck_assert_double_eq_tol(
	    conflict_bits(without, prior, 2, rows, FINDINGS), 0, 1e-9);
	ck_assert_double_eq_tol(without[77], 0, 1e-9);
	rows[200] = rows[3001] = 0.9;
	rows[201] = rows[3000] = 0.1;
	ck_assert_double_eq_tol(
	    conflict_bits(without, prior, 2, rows, FINDINGS), log2(25 / 9.),
	    1e-9);
	ck_assert_double_eq_tol(without[77], log2(25 / 9.), 1e-9);
	ck_assert_double_eq_tol(without[100], 0, 1e-9);
	ck_assert_double_eq_tol(without[1500], 0, 1e-9);
}
END_TEST

/* The least; of those that are no different, the cheapest, then the last. */
START_TEST(what_to_repeat)
{
	static const double without[] = {2, 1, 1 + 1e-10, 3, 1};

	ck_assert_uint_eq(
	    conflict_repeat(without, (const double[]){0, 5, 5, 1, 9}, 5), 2);
	ck_assert_uint_eq(
	    conflict_repeat(without, (const double[]){0, 5, 5, 1, 5}, 5), 4);
	ck_assert_uint_eq(
	    conflict_repeat(without, (const double[]){0, 4, 5, 1, 5}, 5), 1);
	ck_assert_uint_eq(conflict_repeat(without, (const double[]){7}, 1), 0);
}
END_TEST

/* Russell and Norvig, Artificial Intelligence, noisy-OR: no fever despite a
 * cold 0.6, the flu 0.2, malaria 0.1. Fever is the first outcome, none what a
 * sound body gives. */
START_TEST(noisy_or)
{
	enum { COLD = 1, FLU = 2, MALARIA = 4 };
	static const double one[][2] = {{0.4, 0.6}, {0.8, 0.2}, {0.9, 0.1}};
	static const struct {
		unsigned ill;
		double fever;
	} rows[] = {
	    {COLD, 0.4},
	    {FLU, 0.8},
	    {MALARIA, 0.9},
	    {COLD | FLU, 0.88},
	    {COLD | MALARIA, 0.94},
	    {FLU | MALARIA, 0.98},
	    {COLD | FLU | MALARIA, 0.988},
	};
	double given[2];
	size_t i, j;

	for (i = 0; i < COUNT(rows); i++) {
		given[0] = 0;
		given[1] = 1;
		for (j = 0; j < 3; j++)
			if (rows[i].ill >> j & 1)
				pairs_given(given, one[j], given, 2, 1);
		ck_assert_double_eq_tol(given[0], rows[i].fever, 1e-15);
		ck_assert_double_eq_tol(given[0] + given[1], 1, 1e-15);
	}
}
END_TEST

/*
 * Three outcomes, the first being what is expected: 0.5, 0.3, 0.2 and 0.2,
 * 0.2, 0.6. Both quiet: 0.1. The second from one alone 0.3 x 0.2 + 0.5 x 0.2 =
 * 0.16, from both 0.06, and half of what they differ in, (0.3 x 0.6 + 0.2 x
 * 0.2) / 2 = 0.11: 0.33. The third the same way: 0.04 + 0.3 + 0.12 + 0.11.
 */
START_TEST(pairs_by_hand)
{
	static const double one[] = {0.5, 0.3, 0.2}, other[] = {0.2, 0.2, 0.6};
	double given[3];

	pairs_given(given, one, other, 3, 0);
	ck_assert_double_eq_tol(given[0], 0.1, 1e-15);
	ck_assert_double_eq_tol(given[1], 0.33, 1e-15);
	ck_assert_double_eq_tol(given[2], 0.57, 1e-15);
	pairs_given(given, other, one, 3, 0);
	ck_assert_double_eq_tol(given[1], 0.33, 1e-15);
	/* Nothing is expected: the mean. */
	pairs_given(given, one, other, 3, REASON_NONE);
	ck_assert_double_eq_tol(given[0], 0.35, 1e-15);
	ck_assert_double_eq_tol(given[1], 0.25, 1e-15);
	ck_assert_double_eq_tol(given[2], 0.4, 1e-15);
	pairs_given(given, (const double[]){1}, (const double[]){1}, 1, 0);
	ck_assert_double_eq(given[0], 1);
	pairs_given(NULL, NULL, NULL, 0, 0);
}
END_TEST

/* 20 independent causes of 0.01 each (odds 1/99): two or more are there in
 * 9.3 % of the cases in which there is one, by the binomial distribution; two
 * alone in 8.7 %, or 9.6 % beside single ones. Odds of 0.2 in all are 0.01
 * each: 0.2 x 190 x 0.0025 = 0.095. */
START_TEST(weight_of_pairs)
{
	double sum = 0;
	size_t i, j;

	for (i = 0; i < 20; i++)
		for (j = i + 1; j < 20; j++)
			sum += pairs_weight(0.05, 0.05);
	ck_assert_double_eq_tol(sum, 0.095, 1e-14);
	ck_assert_double_eq_tol(sum / (1 + sum), 0.087, 5e-4);
	ck_assert_double_eq(pairs_weight(0.5, 0), 0);
}
END_TEST

/* Dirichlet-multinomial: (5 + 2, 3 + 7, 2 + 1) / 20. */
START_TEST(priors_from_counts)
{
	static const double prior[] = {0.5, 0.3, 0.2}, count[] = {2, 7, 1};
	double share[3] = {0.5, 0.3, 0.2};

	learn_shares(share, prior, count, LEARN_STRENGTH, 3);
	ck_assert_double_eq_tol(share[0], 0.35, 1e-15);
	ck_assert_double_eq_tol(share[1], 0.5, 1e-15);
	ck_assert_double_eq_tol(share[2], 0.15, 1e-15);
	/* In place, and a second level: 10 x .35 + 10 of 20 and so on. */
	learn_shares(share, share, (const double[]){10, 0, 0}, 10, 3);
	ck_assert_double_eq_tol(share[0], 0.675, 1e-15);
	ck_assert_double_eq_tol(share[1], 0.25, 1e-15);
	ck_assert_double_eq_tol(share[2], 0.075, 1e-15);
	/* No cases: as it was; the authors' word without weight: the cases. */
	learn_shares(share, prior, (const double[]){0, 0, 0}, 10, 3);
	ck_assert_double_eq_tol(share[1], 0.3, 1e-15);
	learn_shares(share, prior, count, 0, 3);
	ck_assert_double_eq_tol(share[1], 0.7, 1e-15);
	learn_shares(share, prior, (const double[]){0, 0, 0}, 0, 3);
	ck_assert_double_eq_tol(share[1], 0.3, 1e-15);
	/* What is no count is none. */
	learn_shares(share, prior, (const double[]){NAN, -1, 10}, 10, 3);
	ck_assert_double_eq_tol(share[0], 0.25, 1e-15);
	ck_assert_double_eq_tol(share[2], 0.6, 1e-15);
	learn_shares(NULL, NULL, NULL, 10, 0);
}
END_TEST

Suite *
suite_together(void)
{
	Suite *suite = suite_create("together");
	TCase *tests = tcase_create("findings and causes together");

	tcase_add_test(tests, unnamed_causes);
	tcase_add_test(tests, factors_by_hand);
	tcase_add_test(tests, factors_of_odd_tables);
	tcase_add_test(tests, factors_of_what_is_nearly_sure);
	tcase_add_test(tests, conflict_by_hand);
	tcase_add_test(tests, conflict_of_the_impossible);
	tcase_add_test(tests, conflict_of_many_findings);
	tcase_add_test(tests, what_to_repeat);
	tcase_add_test(tests, noisy_or);
	tcase_add_test(tests, pairs_by_hand);
	tcase_add_test(tests, weight_of_pairs);
	tcase_add_test(tests, priors_from_counts);
	suite_add_tcase(suite, tests);
	return suite;
}
