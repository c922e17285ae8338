/* Cycles and their patterns. How well one fits is left to lamp/align.c. */
#include "lamp/cycle.h"

#include "lamp/canonical.h"

#include <stdio.h>
#include <string.h>

bool
cycle_add(struct cycle *cycle, enum part flash, enum part after)
{
	if (cycle->count + 2 > CYCLE_PARTS_MAX)
		return false;
	cycle->parts[cycle->count++] = (unsigned char)flash;
	cycle->parts[cycle->count++] = (unsigned char)after;
	return true;
}

bool
cycle_same(const struct cycle *one, const struct cycle *other)
{
	return one->count == other->count && one->inverted == other->inverted &&
	       memcmp(one->parts, other->parts, one->count) == 0;
}

bool
cycle_is_even(const struct cycle *cycle)
{
	return cycle->count == 2 && cycle->parts[1] == PART_GAP;
}

void
cycle_shorten(struct cycle *cycle)
{
	size_t length;

	for (length = 2; length < cycle->count; length += 2) {
		if (cycle->count % length == 0 &&
		    memcmp(cycle->parts, cycle->parts + length,
			cycle->count - length) == 0) {
			cycle->count = length;
			return;
		}
	}
}

/* Parts up to and with the first pause. */
static size_t
first_code(const struct cycle *cycle)
{
	size_t i = 0;

	while (i < cycle->count && cycle->parts[i] != PART_PAUSE)
		i++;
	return i < cycle->count ? i + 1 : i;
}

void
cycle_turn(struct cycle *cycle)
{
	unsigned char first[CYCLE_PARTS_MAX];
	size_t length = first_code(cycle);

	memcpy(first, cycle->parts, length);
	memmove(cycle->parts, cycle->parts + length, cycle->count - length);
	memcpy(cycle->parts + cycle->count - length, first, length);
}

/* Shorter codes first, then by their parts. */
static int
compare_turns(const struct cycle *one, const struct cycle *other)
{
	struct cycle a = *one, b = *other;
	size_t done = 0, x, y;
	int order;

	while (done < one->count) {
		x = first_code(&a);
		y = first_code(&b);
		if (x != y)
			return x < y ? -1 : 1;
		order = memcmp(a.parts, b.parts, x);
		if (order != 0)
			return order;
		cycle_turn(&a);
		cycle_turn(&b);
		done += x;
	}
	return 0;
}

void
cycle_settle(struct cycle *cycle)
{
	struct cycle turned = *cycle;
	size_t done;

	if (first_code(cycle) == cycle->count)
		return;
	for (done = first_code(cycle); done < cycle->count;) {
		cycle_turn(&turned);
		if (compare_turns(&turned, cycle) < 0)
			*cycle = turned;
		done += first_code(&turned);
	}
}

/* The code of the parts up to the pause; false past a limit. */
static bool
write_code(
    struct code *code, const unsigned char *parts, size_t count, bool spelled)
{
	unsigned flashes = 0;
	bool longs = spelled, groups = false;
	size_t i;

	memset(code, 0, sizeof *code);
	for (i = 0; i < count; i++) {
		longs = longs || parts[i] == PART_LONG;
		groups = groups || parts[i] == PART_GROUP_GAP;
	}
	code->coding = longs	? LW_CODING_LONG_SHORT
		       : groups ? LW_CODING_DIGITS
				: LW_CODING_COUNT;
	for (i = 0; i + 1 < count; i += 2) {
		if (longs) {
			if (!canonical_add_flashes(
				code, 1, parts[i] == PART_LONG))
				return false;
			continue;
		}
		flashes++;
		if (parts[i + 1] == PART_GAP)
			continue;
		if (code->count == GROUPS_MAX ||
		    flashes > (groups ? GROUP_MAX : COUNT_MAX))
			return false;
		code->runs[code->count++].flashes = flashes;
		flashes = 0;
	}
	return true;
}

bool
cycle_write(struct lw_pattern *pattern, const struct cycle *cycle)
{
	struct canonical made;
	struct shown *shown = &made.lamps[0];
	size_t i, from = 0;

	memset(&made, 0, sizeof made);
	made.count = 1;
	for (i = 1; i < cycle->count; i += 2) {
		if (cycle->parts[i] != PART_PAUSE)
			continue;
		if (shown->count == CODES_MAX ||
		    !write_code(&shown->codes[shown->count],
			cycle->parts + from, i + 1 - from, cycle->spelled))
			return false;
		shown->count++;
		from = i + 1;
	}
	return shown->count > 0 && from == cycle->count &&
	       canonical_write(pattern, &made);
}

bool
cycle_groups(char *text, size_t size, const struct cycle *cycle)
{
	size_t i, used = 0, groups = 0;
	unsigned flashes = 0;
	int wrote;

	for (i = 0; i + 1 < cycle->count; i += 2) {
		bool ends = cycle->parts[i + 1] != PART_GAP;

		flashes++;
		if (!ends && cycle->parts[i] == cycle->parts[i + 2])
			continue;
		wrote = snprintf(text + used, size - used, "%u%s%s", flashes,
		    cycle->parts[i] == PART_LONG ? "L" : "S",
		    ends && i + 2 < cycle->count ? " " : "");
		if (wrote < 0 || (size_t)wrote >= size - used)
			return false;
		used += (size_t)wrote;
		groups += ends;
		flashes = 0;
	}
	return groups > 1;
}

/* Put a code at the end; its last gap is the pause. */
static bool
add_code(struct cycle *cycle, const struct code *code)
{
	size_t r;
	unsigned f;

	if (code->coding != LW_CODING_COUNT &&
	    code->coding != LW_CODING_DIGITS &&
	    code->coding != LW_CODING_LONG_SHORT)
		return false;
	for (r = 0; r < code->count; r++) {
		bool longs = code->coding == LW_CODING_LONG_SHORT &&
			     code->runs[r].longer;
		enum part last = r + 1 == code->count ? PART_PAUSE
				 : code->coding == LW_CODING_DIGITS
				     ? PART_GROUP_GAP
				     : PART_GAP;

		for (f = 1; f <= code->runs[r].flashes; f++)
			if (!cycle_add(cycle, longs ? PART_LONG : PART_SHORT,
				f < code->runs[r].flashes ? PART_GAP : last))
				return false;
	}
	cycle->spelled = cycle->spelled || code->coding == LW_CODING_LONG_SHORT;
	return true;
}

bool
cycle_parse(struct cycle *cycle, const char *pattern)
{
	struct canonical from;
	size_t i;

	memset(cycle, 0, sizeof *cycle);
	if (!canonical_parse(&from, pattern) || from.count != 1 ||
	    from.lamps[0].lamp[0] != '\0')
		return false;
	for (i = 0; i < from.lamps[0].count; i++)
		if (!add_code(cycle, &from.lamps[0].codes[i]))
			return false;
	return cycle->count > 0;
}

/* How many shorter kinds of flash, or of dark, there are in the cycle. */
static size_t
rank_of(const struct cycle *cycle, unsigned char part)
{
	bool used[PART_KINDS] = {false};
	unsigned char kind = part_is_flash(part) ? PART_SHORT : PART_GAP;
	size_t i, rank = 0;

	for (i = 0; i < cycle->count; i++)
		used[cycle->parts[i]] = true;
	for (; kind < part; kind++)
		rank += used[kind];
	return rank;
}

static bool
is_rate(const char *pattern)
{
	struct lw_pattern parsed;

	return lw_pattern_parse(&parsed, pattern, NULL) == LW_OK &&
	       parsed.coding == LW_CODING_RATE;
}

bool
cycle_alike(const char *one, const char *other)
{
	struct cycle a, b;
	size_t i;

	if (strcmp(one, "1") == 0)
		return is_rate(other);
	if (strcmp(other, "1") == 0)
		return is_rate(one);
	if (!cycle_parse(&a, one) || !cycle_parse(&b, other) ||
	    a.count != b.count)
		return false;
	for (i = 0; i < a.count; i++)
		if (rank_of(&a, a.parts[i]) != rank_of(&b, b.parts[i]))
			return false;
	return true;
}
