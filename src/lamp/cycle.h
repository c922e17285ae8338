/*
 * One cycle of what a lamp shows, part by part: flashes and what is dark after
 * each. The same cycle is a pattern in canonical notation.
 *
 *   3       short gap short gap short pause
 *   2-1     short gap short group-gap short pause
 *   2S1L    short gap short gap long pause
 *   3+2     short gap short gap short pause short gap short pause
 *   even    short gap: evenly spaced flashes, 1 or a rate
 */
#ifndef LAMP_CYCLE_H
#define LAMP_CYCLE_H

#include <lampwright/pattern.h>

#include <stdbool.h>
#include <stddef.h>

#define CYCLE_PARTS_MAX 400

enum part {
	PART_SHORT,
	PART_LONG,
	PART_GAP,
	PART_GROUP_GAP,
	PART_PAUSE,
	PART_KINDS
};

struct cycle {
	unsigned char parts[CYCLE_PARTS_MAX]; /* enum part */
	size_t count;
	bool inverted; /* lit between the groups: what goes dark is counted */
	bool spelled;  /* short flashes are written 3S, as the lamp has long
			* ones too */
};

static inline bool
part_is_flash(unsigned char part)
{
	return part <= PART_LONG;
}

/* Put a flash and what follows it at the end; false where it is full. */
bool cycle_add(struct cycle *cycle, enum part flash, enum part after);

bool cycle_same(const struct cycle *one, const struct cycle *other);

/* Whether flashes are evenly spaced: neither pause nor group. */
bool cycle_is_even(const struct cycle *cycle);

/* Leave out what repeats: three of 2+2 is 2. */
void cycle_shorten(struct cycle *cycle);

/* Codes in turn, beginning with the next one. */
void cycle_turn(struct cycle *cycle);

/* Begin with the least of the codes in turn, so that it does not matter which
 * was seen first. */
void cycle_settle(struct cycle *cycle);

/* The pattern of a cycle that is not even; false where the notation has
 * none. */
bool cycle_write(struct lw_pattern *pattern, const struct cycle *cycle);

/* The groups of a long-short code, "1S2L1S 1S1L"; false where there are not
 * at least two. */
bool cycle_groups(char *text, size_t size, const struct cycle *cycle);

/* The cycle of a canonical pattern, of one lamp, that is neither a rate nor
 * steady; false otherwise. */
bool cycle_parse(struct cycle *cycle, const char *pattern);

/* Whether two patterns look alike however long one watches, as 2 and 1-1 do,
 * or 3S and 3L: a cycle has as many parts of as many lengths, in the same
 * order. 1 and a rate, too, are both one flash a period. */
bool cycle_alike(const char *one, const char *other);

#endif
