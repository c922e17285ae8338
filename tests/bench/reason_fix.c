/*
 * The benchmark's part on checks that may mislead: policies that end in
 * repairs, and faults found and mended by chance.
 */
#define _POSIX_C_SOURCE 200809L
#include "bench/reason.h"

#include "bench/timing.h"
#include "reason/fixing.h"
#include "reason/optimum.h"
#include "reason/policy.h"

#include <stdio.h>
#include <stdlib.h>

static const size_t MIB = (size_t)1 << 20;

static struct noisy_made
make(const struct noisy_how *how)
{
	struct noisy_made made;

	if (!noisy_make(&made, how))
		fail("memory has run out");
	return made;
}

/* A policy, whose cost is that of its tree as the bench prices it. */
static struct policy
policy(const struct noisy_made *made, enum policy_effort effort,
    struct ratios *taken, uint64_t seed)
{
	struct lw_arena *arena = lw_arena_new();
	struct deadline deadline;
	struct reason_limits limits = limits_until(&deadline, 10, 512 * MIB);
	double began = seconds(), price;
	struct policy policy = {0};
	struct lw_err err;

	if (arena == NULL)
		fail("memory has run out");
	if (policy_make(&policy, arena, &made->table, made->share, &made->fixes,
		effort, NULL, &limits, &err) != LW_OK)
		fail(err.text);
	if (taken != NULL)
		ratios_add(taken, seconds() - began, seed);
	price = optimum_policy_price(
	    policy.root, &made->table, made->share, &made->fixes);
	if (!(fabs(price - policy.cost) <= 1e-6 * price))
		policy.cost = NAN;
	lw_arena_free(arena);
	policy.root = NULL;
	return policy;
}

static void
repairs(struct noisy_how how, size_t seeds, double demanded)
{
	static const enum policy_effort efforts[] = {
	    POLICY_BEST, POLICY_ROLLOUT, POLICY_MYOPIC, POLICY_SURE};
	static const char *const names[] = {
	    "the best policy", "rollout", "myopic", "until 95 % sure"};
	struct ratios over[4] = {0}, only = {0}, exact = {0}, taken[2] = {0};
	struct ratios bound = {0}, freely = {0};
	struct noisy_made made;
	struct policy found;
	double optimum;
	size_t i;

	printf("\n4. repairs: %zu causes x %zu checks, %zu state(s), over the "
	       "optimum, seeds 1 to %zu\n",
	    how.causes, how.checks, how.states, seeds);
	for (how.seed = 1; how.seed <= seeds; how.seed++) {
		made = make(&how);
		optimum =
		    optimum_noisy(&made.table, made.share, &made.fixes, true);
		ratios_add(&freely,
		    optimum_noisy(&made.table, made.share, &made.fixes, false) /
			optimum,
		    how.seed);
		found = policy(&made, POLICY_EXACT, &taken[0], how.seed);
		ratios_add(&exact, fabs(found.cost / optimum - 1), how.seed);
		for (i = 0; i < 4; i++) {
			found = policy(&made, efforts[i],
			    i == 1 ? &taken[1] : NULL, how.seed);
			ratios_add(&over[i], found.cost / optimum, how.seed);
			if (i == 0)
				ratios_add(&bound, found.lower_bound / optimum,
				    how.seed);
		}
		ratios_add(&only,
		    optimum_fixes(made.share, made.fixes.cost, how.causes) /
			optimum,
		    how.seed);
		noisy_free(&made);
	}
	show_held(
	    "exact policy is this bench's own, to 1e-9", exact.worst <= 1e-9);
	show_ratios(names[0], &over[0], demanded, 0);
	show_ratios(names[1], &over[1], demanded, 0);
	show_ratios(names[2], &over[2], 0, 0);
	show_ratios(names[3], &over[3], 0, 0);
	show_ratios("repairs only", &only, 0, 0);
	if (how.states > 1)
		show_ratios("where no check has to yield to a safer one",
		    &freely, 0, 0);
	show_ratios("the bound", &bound, 0, 1 + 1e-9);
	show_times("exact", &taken[0], 0);
	show_times("rollout", &taken[1], 0);
}

void
bench_noisy(const struct options *options)
{
	struct noisy_how how = {8, 8, 2, 1, 0.5, 0};

	repairs(how, options->seeds, 1.01);
	how.states = 3;
	repairs(how, options->quick ? 5 : options->seeds / 4, 0);
}

/* --- faults found and mended -----------------------------------------------
 */

static void
vehicles(struct noisy_how how, size_t tables, size_t cases)
{
	struct ratios minutes[FIXER_COUNT] = {0}, over[FIXER_COUNT] = {0};
	double sum[FIXER_COUNT], checks[FIXER_COUNT] = {0};
	double fixes[FIXER_COUNT] = {0}, all = (double)(tables * cases);
	struct noisy_made made;
	struct fixing fixing;
	size_t i, k;

	printf("\n6. mended: %zu causes x %zu checks, %zu outcomes, %zu "
	       "state(s), %.0f %% named, %zu cases each, seeds 1 to %zu\n",
	    how.causes, how.checks, how.outcomes, how.states, 100 * how.named,
	    cases, tables);
	for (how.seed = 1; how.seed <= tables; how.seed++) {
		made = make(&how);
		for (i = 0; i < FIXER_COUNT; i++) {
			sum[i] = 0;
			for (k = 0; k < cases; k++) {
				if (!fixing_try(&fixing, &made, (enum fixer)i,
					how.seed * 100000 + k))
					fail("a case cannot be played");
				sum[i] += fixing.minutes;
				checks[i] += (double)fixing.checks;
				fixes[i] += (double)fixing.fixes;
			}
			ratios_add(
			    &minutes[i], sum[i] / (double)cases, how.seed);
			ratios_add(&over[i], sum[i] / sum[0], how.seed);
		}
		noisy_free(&made);
	}
	for (i = 0; i < FIXER_COUNT; i++)
		printf("  %-34s %8.2f min, %5.2f checks, %5.2f fixes; over the "
		       "first %.3f, worst %.3f (seed %llu)\n",
		    fixer_name((enum fixer)i), ratios_mean(&minutes[i]),
		    checks[i] / all, fixes[i] / all, ratios_mean(&over[i]),
		    over[i].worst, (unsigned long long)over[i].worst_seed);
	fflush(stdout);
}

void
bench_fixing(const struct options *options)
{
	size_t tables = options->quick ? 4 : 40;
	size_t cases = options->quick ? 50 : 250;

	vehicles((struct noisy_how){8, 8, 2, 1, 0.5, 0}, tables, cases);
	vehicles((struct noisy_how){20, 25, 2, 3, 0.3, 0}, tables, cases);
	vehicles((struct noisy_how){40, 60, 3, 3, 0.15, 0}, tables, cases);
}
