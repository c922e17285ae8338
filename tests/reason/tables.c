/*
 * Makes tables of causes and checks by chance. What is worked out from them is
 * others' matter.
 */
#include "reason/tables.h"

#include "lamp/chance.h"

#include <stdlib.h>
#include <string.h>

const char *
grid_kind_name(enum grid_kind kind)
{
	static const char *const names[GRID_KINDS] = {
	    "dense", "sparse", "chain", "thin"};

	return names[kind];
}

/* Uneven: the weights of causes that fail at even rates. */
static void
draw_weights(double *weight, size_t count, struct chance *chance)
{
	size_t i;

	for (i = 0; i < count; i++)
		weight[i] = 1e-6 - log(1 - chance_share(chance));
}

static void
draw_setup(double *setup, size_t states, unsigned low, unsigned high,
    struct chance *chance)
{
	size_t from, to;

	for (from = 0; from < states; from++)
		for (to = 0; to < states; to++)
			setup[from * states + to] =
			    from == to ? 0 : chance_whole(chance, low, high);
}

/* --- without noise ---------------------------------------------------------
 */

static unsigned
draw_answer(const struct grid_how *how, size_t check, size_t cause,
    size_t place, struct chance *chance)
{
	unsigned last = how->outcomes - 1;

	switch (how->kind) {
	case GRID_DENSE:
		return chance_whole(chance, 0, last);
	case GRID_SPARSE:
	case GRID_THIN:
		if (cause == check % how->causes ||
		    chance_share(chance) <
			(how->kind == GRID_THIN ? 0.03 : 0.1))
			return chance_whole(chance, 1, last);
		return 0;
	case GRID_CHAIN:
		break;
	}
	return cause > place;
}

static void
fill_grid(struct grid_made *made, const struct grid_how *how)
{
	struct chance chance;
	double *weight = made->numbers, *cost = weight + how->causes;
	size_t i, j, place, n = how->causes;

	chance_seed(&chance, how->seed * 8 + (uint64_t)how->kind);
	draw_weights(weight, n, &chance);
	for (j = 0; j < how->checks; j++) {
		place =
		    j < n - 1 ? j : chance_whole(&chance, 0, (unsigned)n - 2);
		cost[j] = chance_whole(&chance, 1, 10);
		if (how->even)
			cost[j] = 5;
		made->states[j] =
		    chance_whole(&chance, 0, (unsigned)how->states - 1);
		for (i = 0; i < n; i++)
			made->answers[j * n + i] =
			    draw_answer(how, j, i, place, &chance);
	}
	draw_setup(cost + how->checks, how->states, 2, 15, &chance);
	made->grid = (struct plan_grid){.causes = n,
	    .checks = how->checks,
	    .weight = weight,
	    .cost = cost,
	    .outcome = made->answers,
	    .states = how->states,
	    .state = made->states,
	    .setup = how->states > 1 ? cost + how->checks : NULL};
}

bool
grid_make(struct grid_made *made, const struct grid_how *how)
{
	size_t numbers = how->causes + how->checks + how->states * how->states;

	memset(made, 0, sizeof *made);
	made->numbers = calloc(numbers, sizeof *made->numbers);
	made->answers =
	    calloc(how->causes * how->checks + 1, sizeof *made->answers);
	made->states = calloc(how->checks + 1, sizeof *made->states);
	if (made->numbers == NULL || made->answers == NULL ||
	    made->states == NULL) {
		grid_free(made);
		return false;
	}
	fill_grid(made, how);
	return true;
}

void
grid_free(struct grid_made *made)
{
	free(made->numbers);
	free(made->answers);
	free(made->states);
	memset(made, 0, sizeof *made);
}

/* --- with noise ------------------------------------------------------------
 */

/* P(outcome | cause), [outcome * causes + cause]: one of them likely, the
 * others share what is left. */
static void
draw_given(double *given, const struct noisy_how *how, size_t cause,
    struct chance *chance)
{
	double sure = chance_between(chance, 0.7, 0.98), rest = 0;
	double *at = given + cause;
	size_t o, likely = 0, n = how->causes;

	if (chance_share(chance) < how->named)
		likely = chance_whole(chance, 1, (unsigned)how->outcomes - 1);
	for (o = 0; o < how->outcomes; o++) {
		at[o * n] = 0.1 + chance_share(chance);
		if (o != likely)
			rest += at[o * n];
	}
	for (o = 0; o < how->outcomes; o++)
		at[o * n] = o == likely ? sure : (1 - sure) * at[o * n] / rest;
}

static void
fill_noisy(struct noisy_made *made, const struct noisy_how *how)
{
	struct chance chance;
	size_t i, j, n = how->causes, cells = how->outcomes * n;
	double sum = 0, *given = made->numbers + 2 * n;
	double *fix = made->numbers + n, *setup = given + how->checks * cells;

	chance_seed(&chance, how->seed);
	made->share = made->numbers;
	draw_weights(made->share, n, &chance);
	for (i = 0; i < n; i++)
		sum += made->share[i];
	for (i = 0; i < n; i++) {
		made->share[i] /= sum;
		fix[i] = chance_whole(&chance, 5, 60);
	}
	for (j = 0; j < how->checks; j++, given += cells) {
		for (i = 0; i < n; i++)
			draw_given(given, how, i, &chance);
		made->checks[j] = (struct reason_check){how->outcomes, given,
		    chance_whole(&chance, 1, 10),
		    chance_whole(&chance, 0, (unsigned)how->states - 1)};
	}
	draw_setup(setup, how->states, 1, 10, &chance);
	made->table = (struct reason_table){n, how->checks, made->checks,
	    how->states, how->states > 1 ? setup : NULL, 0};
	made->fixes = (struct reason_fixes){.cost = fix, .last = REASON_NONE};
}

bool
noisy_make(struct noisy_made *made, const struct noisy_how *how)
{
	size_t numbers = how->causes * (2 + how->checks * how->outcomes) +
			 how->states * how->states;

	memset(made, 0, sizeof *made);
	made->numbers = calloc(numbers, sizeof *made->numbers);
	made->checks = calloc(how->checks + 1, sizeof *made->checks);
	if (made->numbers == NULL || made->checks == NULL) {
		noisy_free(made);
		return false;
	}
	fill_noisy(made, how);
	return true;
}

void
noisy_free(struct noisy_made *made)
{
	free(made->numbers);
	free(made->checks);
	memset(made, 0, sizeof *made);
}

/* --- findings --------------------------------------------------------------
 */

static double
draw_likelihood(struct chance *chance)
{
	double kind = chance_share(chance);

	if (kind < 0.02)
		return 1;
	if (kind < 0.05)
		return chance_ratio(chance, 1e-12, 1e-3);
	return chance_between(chance, 0.01, 0.99);
}

bool
findings_make(
    struct findings_made *made, size_t causes, size_t findings, uint64_t seed)
{
	struct chance chance;
	size_t i;

	*made = (struct findings_made){causes, findings,
	    calloc(causes, sizeof *made->weight),
	    calloc(causes * findings + 1, sizeof *made->likelihood)};
	if (made->weight == NULL || made->likelihood == NULL) {
		findings_free(made);
		return false;
	}
	chance_seed(&chance, seed);
	draw_weights(made->weight, causes, &chance);
	for (i = 0; i < causes * findings; i++)
		made->likelihood[i] = draw_likelihood(&chance);
	return true;
}

void
findings_free(struct findings_made *made)
{
	free(made->weight);
	free(made->likelihood);
	memset(made, 0, sizeof *made);
}

void
findings_shuffle(
    double *likelihood, const struct findings_made *made, uint64_t seed)
{
	struct chance chance;
	size_t i, j, k, n = made->causes;
	double kept;

	chance_seed(&chance, seed);
	memcpy(likelihood, made->likelihood,
	    n * made->findings * sizeof *likelihood);
	for (k = made->findings; k > 1; k--) {
		j = chance_whole(&chance, 0, (unsigned)k - 1);
		for (i = 0; i < n; i++) {
			kept = likelihood[(k - 1) * n + i];
			likelihood[(k - 1) * n + i] = likelihood[j * n + i];
			likelihood[j * n + i] = kept;
		}
	}
}
