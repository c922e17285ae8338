/* Sorts by falling keys: a few by insertion, many by the digits of the key
 * (radix); what the keys are is the caller's matter. */
#include "reason/rank.h"

#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum {
	FEW = 48,
	DIGIT_BITS = 8,
	DIGIT_VALUES = 1 << DIGIT_BITS,
	DIGITS = 4,
	LOWEST_BIT = 31 /* below it keys are compared, not counted */
};

static void
insert(struct rank *items, size_t count)
{
	size_t i, k;

	for (i = 1; i < count; i++) {
		struct rank item = items[i];

		for (k = i; k > 0 && items[k - 1].key < item.key; k--)
			items[k] = items[k - 1];
		items[k] = item;
	}
}

/* The upper bits of the key as a number that grows where the key falls: a
 * double that is not negative is ordered as its bits are. */
static uint32_t
falling_bits(double key)
{
	uint64_t bits;

	key += 0.0; /* -0 is 0 */
	memcpy(&bits, &key, sizeof bits);
	return ~(uint32_t)(bits >> LOWEST_BIT);
}

static int
by_key(const void *a, const void *b)
{
	const struct rank *x = a, *y = b;

	if (x->key != y->key)
		return x->key > y->key ? -1 : 1;
	return x->at < y->at ? -1 : x->at > y->at;
}

/* Bring into order what the upper bits did not tell apart. */
static void
settle(struct rank *items, struct rank *room, size_t count)
{
	size_t begin, end, i;

	for (begin = 0; begin < count; begin = end) {
		bool sorted = true;
		uint32_t bits = falling_bits(items[begin].key);

		for (end = begin + 1;
		     end < count && falling_bits(items[end].key) == bits; end++)
			sorted = sorted && items[end - 1].key >= items[end].key;
		if (sorted)
			continue;
		if (end - begin <= FEW) {
			insert(items + begin, end - begin);
			continue;
		}
		/* By place among equals, so that they stay as they stand. */
		for (i = begin; i < end; i++) {
			room[i].key = items[i].key;
			room[i].at = i;
		}
		qsort(room + begin, end - begin, sizeof *room, by_key);
		for (i = begin; i < end; i++)
			room[i].at = items[room[i].at].at;
		memcpy(
		    items + begin, room + begin, (end - begin) * sizeof *items);
	}
}

void
rank_falling(struct rank *items, struct rank *room, size_t count)
{
	uint32_t times[DIGITS][DIGIT_VALUES] = {{0}}, bits;
	struct rank *from = items, *to = room, *other;
	size_t i, d, sum, here;
	unsigned v;

	if (count <= FEW) {
		insert(items, count);
		return;
	}
	for (i = 0; i < count; i++) {
		bits = falling_bits(items[i].key);
		for (d = 0; d < DIGITS; d++)
			times[d]
			     [bits >> (d * DIGIT_BITS) & (DIGIT_VALUES - 1)]++;
	}
	for (d = 0; d < DIGITS; d++) {
		unsigned shift = (unsigned)d * DIGIT_BITS;

		bits = falling_bits(items[0].key) >> shift;
		if (times[d][bits & (DIGIT_VALUES - 1)] == count)
			continue;
		for (v = 0, sum = 0; v < DIGIT_VALUES; v++) {
			here = times[d][v];
			times[d][v] = (uint32_t)sum;
			sum += here;
		}
		for (i = 0; i < count; i++) {
			bits = falling_bits(from[i].key) >> shift;
			to[times[d][bits & (DIGIT_VALUES - 1)]++] = from[i];
		}
		other = from;
		from = to;
		to = other;
	}
	if (from != items)
		memcpy(items, from, count * sizeof *items);
	settle(items, room, count);
}
