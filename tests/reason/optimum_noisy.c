/*
 * The cheapest policies with checks that may mislead, by a plain recursion over
 * all that can be seen, with none of the library's code.
 */
#include "reason/optimum.h"

#include <assert.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>

struct noisy {
	const struct reason_table *table;
	const struct reason_fixes *fixes;
	bool cautious;
	double *value; /* [seen * states + state], NaN: not yet */
	size_t powers[11];
};

double
optimum_fixes(const double *weight, const double *cost, size_t causes)
{
	size_t order[64], i, j;
	double left = 0, all = 0;

	assert(causes <= 64);
	for (i = 0; i < causes; i++) {
		left += weight[i];
		for (j = i; j > 0 && weight[order[j - 1]] * cost[i] <
					 weight[i] * cost[order[j - 1]];
		     j--)
			order[j] = order[j - 1];
		order[j] = i;
	}
	for (i = 0; i < causes; i++) {
		all += fmax(left, 0) * cost[order[i]];
		left -= weight[order[i]];
	}
	return all;
}

/* What the check tells of that belief, in bits, as H(outcome) - H(outcome |
 * cause). */
static double
noisy_bits(const struct reason_check *check, const double *weight, size_t n)
{
	double sum = 0, bits = 0, given, all;
	size_t i, o;

	for (i = 0; i < n; i++)
		sum += weight[i];
	for (o = 0; o < check->outcomes; o++) {
		for (i = 0, all = 0; i < n; i++) {
			given = check->given[o * n + i];
			all += weight[i] / sum * given;
			if (given > 0)
				bits += weight[i] / sum * given * log2(given);
		}
		if (all > 0)
			bits -= all * log2(all);
	}
	return bits;
}

/* Whether one in a less hazardous state, not done yet, tells as much. */
static bool
yields(
    const struct noisy *noisy, size_t seen, size_t number, const double *weight)
{
	const struct reason_table *table = noisy->table;
	const struct reason_check *check = table->check;
	double bits, safer;
	size_t j;

	bits = noisy_bits(&check[number], weight, table->causes);
	for (j = 0; j < table->checks; j++) {
		if (seen / noisy->powers[j] % 3 != 0 ||
		    check[j].state >= check[number].state)
			continue;
		safer = noisy_bits(&check[j], weight, table->causes);
		if (safer >= 1e-6 && safer >= 0.95 * bits)
			return true;
	}
	return false;
}

/* `seen` in threes: of each check, 0: not done, else its outcome and 1. Costs
 * are for all that come here together, by weight. */
static double
value_noisy(
    struct noisy *noisy, size_t seen, size_t state, const double *weight)
{
	const struct reason_table *table = noisy->table;
	double *known = &noisy->value[seen * table->states + state];
	double sum = 0, cost, then[64];
	const struct reason_check *check;
	size_t i, j, o;

	if (!isnan(*known))
		return *known;
	*known = optimum_fixes(weight, noisy->fixes->cost, table->causes);
	for (i = 0; i < table->causes; i++)
		sum += weight[i];
	for (j = 0; j < table->checks; j++) {
		if (seen / noisy->powers[j] % 3 != 0 ||
		    (noisy->cautious && yields(noisy, seen, j, weight)))
			continue;
		check = &table->check[j];
		cost = check->cost;
		if (table->setup != NULL)
			cost +=
			    table->setup[state * table->states + check->state];
		cost *= sum;
		for (o = 0; o < 2; o++) {
			for (i = 0; i < table->causes; i++)
				then[i] = weight[i] *
					  check->given[o * table->causes + i];
			cost += value_noisy(noisy,
			    seen + noisy->powers[j] * (o + 1), check->state,
			    then);
		}
		*known = fmin(*known, cost);
	}
	return *known;
}

double
optimum_noisy(const struct reason_table *table, const double *share,
    const struct reason_fixes *fixes, bool cautious)
{
	struct noisy noisy = {
	    .table = table, .fixes = fixes, .cautious = cautious};
	size_t i, count;
	double found;

	assert(table->checks <= 10 && table->causes <= 64);
	noisy.powers[0] = 1;
	for (i = 0; i < table->checks; i++) {
		assert(table->check[i].outcomes == 2);
		noisy.powers[i + 1] = noisy.powers[i] * 3;
	}
	count = noisy.powers[table->checks] * table->states;
	noisy.value = malloc(count * sizeof *noisy.value);
	if (noisy.value == NULL)
		return NAN;
	for (i = 0; i < count; i++)
		noisy.value[i] = NAN;
	found = value_noisy(&noisy, 0, table->begin, share);
	free(noisy.value);
	return found;
}

/* --- the price of a policy -------------------------------------------------
 */

/* All causes once, in the order of the end. */
static double
price_end(const struct policy_node *end, const struct reason_table *table,
    const double *weight, const struct reason_fixes *fixes)
{
	double left = 0, all = 0;
	uint64_t done = 0;
	size_t i;

	for (i = 0; i < table->causes; i++)
		left += weight[i];
	for (i = 0; i < table->causes; i++) {
		if (end->order[i] >= table->causes ||
		    (done >> end->order[i] & 1) != 0)
			return NAN;
		done |= (uint64_t)1 << end->order[i];
		all += fmax(left, 0) * fixes->cost[end->order[i]];
		left -= weight[end->order[i]];
	}
	return all;
}

static double
price_node(const struct policy_node *node, const struct reason_table *table,
    const double *weight, const struct reason_fixes *fixes, size_t state,
    uint64_t done)
{
	const struct reason_check *check;
	double cost, then[64], sum;
	size_t i, o;

	if (node->check == REASON_NONE)
		return price_end(node, table, weight, fixes);
	if (node->check >= table->checks || (done >> node->check & 1) != 0)
		return NAN;
	check = &table->check[node->check];
	cost = check->cost;
	if (table->setup != NULL)
		cost += table->setup[state * table->states + check->state];
	for (i = 0, sum = 0; i < table->causes; i++)
		sum += weight[i];
	cost *= sum;
	for (o = 0; o < check->outcomes; o++) {
		for (i = 0, sum = 0; i < table->causes; i++) {
			then[i] =
			    weight[i] * check->given[o * table->causes + i];
			sum += then[i];
		}
		if (node->next[o] == NULL && sum > 0)
			return NAN;
		if (node->next[o] != NULL)
			cost += price_node(node->next[o], table, then, fixes,
			    check->state, done | (uint64_t)1 << node->check);
	}
	return cost;
}

double
optimum_policy_price(const struct policy_node *root,
    const struct reason_table *table, const double *share,
    const struct reason_fixes *fixes)
{
	assert(table->causes <= 64 && table->checks <= 64);
	return price_node(root, table, share, fixes, table->begin, 0);
}
