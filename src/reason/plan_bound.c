/*
 * What no tree for a set can cost less than. Method: codes (Huffman 1952) over
 * the cheapest checks and the cost of telling each cause from its nearest
 * (Pattipati and Alexandridis 1990), taken together instead of the larger of
 * the two; see below. Search raises it from there.
 *
 * Cause i, found after d checks, has paid for d different ones that each tell
 * some of the set apart, one of which tells it from the group that is hardest
 * to tell from it (s_i): at least g_i(d) = c_1 + ... + c_(d-1) + max(c_d, s_i),
 * with costs ascending. For any price y of a check, the sum of p_i g_i(d_i) is
 * at least y times the sum of p_i d_i, which is no less than Huffman's, and
 * the sum of p_i min_d (g_i(d) - y d). With y the cost of the check at
 * Huffman's mean length and s_i left out this is their Huffman bound.
 */
#include "reason/plan_sets.h"

#include <math.h>

/* The sum of p_i d_i of Huffman's code with so many letters. The list is sorted
 * by weight, the heaviest first; sums come out in ascending order, so that two
 * queues serve for a heap. */
static double
huffman(const struct plan_sets *sets, const size_t *list, size_t count)
{
	const double *weight = sets->work->weight;
	size_t letters = sets->work->kinds_max, left = count;
	size_t head = 0, tail = 0, take, i;
	double *sums = sets->heap;
	double total = 0, sum;

	/* The first node takes what would be missing at the root. */
	take = (count - 1) % (letters - 1) + 1;
	if (take == 1)
		take = letters;
	while (left + tail - head > 1) {
		sum = 0;
		for (i = 0; i < take && left + tail - head > 0; i++) {
			if (head == tail ||
			    (left > 0 && weight[list[left - 1]] <= sums[head]))
				sum += weight[list[--left]];
			else
				sum += sums[head++];
		}
		sums[tail++] = sum;
		total += sum;
		take = letters;
	}
	return total;
}

/* Splitting checks' costs, cheapest first, up to the one at Huffman's mean
 * length: c_(q-1), c_q and the sum of those before each. */
struct prices {
	double before, at; /* c_(q-1), c_q */
	double sum;	   /* c_1 + ... + c_(q-1) */
	double rank;	   /* q: 1 or more */
	double setup;	   /* the least that the first check takes to get to */
};

/* `one` is one of the set; REASON_NONE: the set is all there are. */
static void
find_prices(struct prices *prices, const struct plan_sets *sets,
    const uint64_t *set, size_t one, size_t state, double length)
{
	const struct plan_work *work = sets->work;
	double setup;
	size_t j;

	*prices = (struct prices){.setup = INFINITY};
	for (j = 0; j < work->checks; j++) {
		if (prices->rank > length && !(prices->setup > 0))
			break;
		if (one != REASON_NONE && !plan_set_splits(sets, set, one, j))
			continue;
		setup = work->setup[state * work->states + work->state[j]];
		prices->setup = fmin(prices->setup, setup);
		if (prices->rank > length)
			continue;
		prices->rank++;
		prices->sum += prices->at;
		prices->before = prices->at;
		prices->at = work->cost[j];
	}
}

/* min over d of g_i(d) - y d; where it turns, d is q - 1 or q. */
static double
least(const struct prices *prices, double apart)
{
	double y = prices->at;
	double here = prices->sum + fmax(prices->at, apart) - y * prices->rank;
	double before;

	if (prices->rank < 2)
		return here;
	before = prices->sum - prices->before + fmax(prices->before, apart) -
		 y * (prices->rank - 1);
	return fmin(before, here);
}

double
plan_bound(struct plan_sets *sets, const uint64_t *set, size_t count,
    size_t state, double weight)
{
	const struct plan_work *work = sets->work;
	size_t *list = sets->list, i, last = REASON_NONE;
	double code, sum = 0, apart = 0, gap = 0;
	struct prices prices;

	if (count < 2 || !(weight > 0))
		return 0;
	plan_set_list(list, sets, set);
	code = huffman(sets, list, count);
	find_prices(&prices, sets, set,
	    count < work->groups ? list[0] : REASON_NONE, state, code / weight);
	/* Along the order, the dearest of the two neighbours in the set. */
	for (i = 0; i < work->groups; i++) {
		size_t group = sets->order[i];

		gap = fmin(gap, sets->gap[i]);
		if ((set[group / 64] >> group % 64 & 1) == 0)
			continue;
		if (last != REASON_NONE) {
			sum += work->weight[last] *
			       least(&prices, fmax(apart, gap));
			apart = gap;
		}
		last = group;
		gap = INFINITY;
	}
	sum += work->weight[last] * least(&prices, apart);
	sum += prices.at * code + prices.setup * weight;
	return sum > 0 ? sum : 0;
}
