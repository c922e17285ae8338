/* How alike two canonical patterns are. What stands for what on a device is
 * left to the book. */
#include "lamp/canonical.h"

#include <math.h>
#include <string.h>

#define ALIEN 1000.0 /* patterns of different kinds */

enum {
	DUTY_POINTS = 15,   /* duties within this are the same */
	LAMP_MISSED = 5,    /* a lamp that one pattern does not name */
	STEADY_OTHER = 100, /* on against off */
};

static double
apart(unsigned one, unsigned other)
{
	return one > other ? one - other : other - one;
}

/* Within a quarter: 0.8 to 1.25, in whole numbers so that both ends count. */
static bool
rates_agree(const struct code *one, const struct code *other)
{
	if (4 * one->millihertz > 5 * other->millihertz ||
	    4 * other->millihertz > 5 * one->millihertz)
		return false;
	return one->duty == 0 || other->duty == 0 ||
	       apart(one->duty, other->duty) <= DUTY_POINTS;
}

/* At least 1, in steps of a quarter and of 15 points. */
static double
rate_distance(const struct code *one, const struct code *other)
{
	double distance;

	if (rates_agree(one, other))
		return 0;
	distance =
	    fabs(log((double)one->millihertz / other->millihertz)) / log(1.25);
	if (one->duty != 0 && other->duty != 0)
		distance += apart(one->duty, other->duty) / DUTY_POINTS;
	return distance < 1 ? 1 : distance;
}

/* Flash by flash: true for a long one. Gives how many there are. */
static size_t
spell_out(bool *flashes, const struct code *code)
{
	size_t count = 0, i;
	unsigned n;

	for (i = 0; i < code->count; i++)
		for (n = 0; n < code->runs[i].flashes; n++)
			flashes[count++] = code->runs[i].longer;
	return count;
}

/* One step of an edit distance: the cheapest of change, leave out, put in. */
static double
cheapest(double change, double out, double in)
{
	double best = change < out ? change : out;

	return best < in ? best : in;
}

/* Edit distance over single flashes: one missed, doubled, or mistaken in
 * length counts 1. */
static double
flash_distance(const struct code *one, const struct code *other)
{
	bool a[FLASHES_MAX], b[FLASHES_MAX];
	double row[FLASHES_MAX + 1], before, kept;
	size_t n = spell_out(a, one), m = spell_out(b, other), i, j;

	for (j = 0; j <= m; j++)
		row[j] = (double)j;
	for (i = 1; i <= n; i++) {
		before = row[0];
		row[0] = (double)i;
		for (j = 1; j <= m; j++) {
			kept = row[j];
			row[j] = cheapest(before + (a[i - 1] != b[j - 1]),
			    row[j] + 1, row[j - 1] + 1);
			before = kept;
		}
	}
	return row[m];
}

/* Edit distance over groups: flashes apart, and a group missed counts its
 * flashes and one more. A count is a single group. */
static double
group_distance(const struct code *one, const struct code *other)
{
	double row[GROUPS_MAX + 1], before, kept, a, b;
	size_t n = one->count, m = other->count, i, j;

	row[0] = 0;
	for (j = 1; j <= m; j++)
		row[j] = row[j - 1] + other->runs[j - 1].flashes + 1;
	for (i = 1; i <= n; i++) {
		a = one->runs[i - 1].flashes;
		before = row[0];
		row[0] += a + 1;
		for (j = 1; j <= m; j++) {
			b = other->runs[j - 1].flashes;
			kept = row[j];
			row[j] = cheapest(before + fabs(a - b), row[j] + a + 1,
			    row[j - 1] + b + 1);
			before = kept;
		}
	}
	return row[m];
}

static double
code_distance(const struct code *one, const struct code *other)
{
	if (one->coding != other->coding)
		return ALIEN;
	switch (one->coding) {
	case LW_CODING_STEADY:
		return one->lit == other->lit ? 0 : STEADY_OTHER;
	case LW_CODING_RATE:
		return rate_distance(one, other);
	case LW_CODING_LONG_SHORT:
		return flash_distance(one, other);
	default:
		return group_distance(one, other);
	}
}

/* As many codes, in the same cycle: begun at another one, they are nearly
 * the same. Else an edit distance, a code missed counting 3. */
static double
turn_distance(const struct shown *one, const struct shown *other)
{
	double row[CODES_MAX + 1], before, kept, best = ALIEN, sum;
	size_t n = one->count, m = other->count, i, j;

	if (n == m) {
		for (i = 0; i < n; i++) {
			sum = i > 0 ? 0.5 : 0;
			for (j = 0; j < n; j++)
				sum += code_distance(
				    &one->codes[j], &other->codes[(i + j) % n]);
			best = sum < best ? sum : best;
		}
		return best;
	}
	for (j = 0; j <= m; j++)
		row[j] = 3.0 * (double)j;
	for (i = 1; i <= n; i++) {
		before = row[0];
		row[0] = 3.0 * (double)i;
		for (j = 1; j <= m; j++) {
			kept = row[j];
			row[j] =
			    cheapest(before + code_distance(&one->codes[i - 1],
						  &other->codes[j - 1]),
				row[j] + 3, row[j - 1] + 3);
			before = kept;
		}
	}
	return row[m];
}

static double
shown_distance(const struct shown *one, const struct shown *other)
{
	double distance;

	/* A single code is not of a kind with codes in turn. */
	if ((one->count > 1) != (other->count > 1))
		return ALIEN;
	distance = one->count == 1
		       ? code_distance(&one->codes[0], &other->codes[0])
		       : turn_distance(one, other);
	return distance < ALIEN ? distance : ALIEN;
}

static const struct shown *
lamp_of(const struct canonical *pattern, const char *name)
{
	size_t i;

	for (i = 0; i < pattern->count; i++)
		if (strcmp(pattern->lamps[i].lamp, name) == 0)
			return &pattern->lamps[i];
	return NULL;
}

double
lw_pattern_distance(const char *one, const char *other)
{
	struct canonical a, b;
	const struct shown *lamp;
	double sum = 0;
	size_t i, shared = 0;

	if (!canonical_parse(&a, one) || !canonical_parse(&b, other))
		return ALIEN;
	/* An unnamed lamp has the name "", and so is no named one's kin. */
	for (i = 0; i < a.count; i++) {
		lamp = lamp_of(&b, a.lamps[i].lamp);
		if (lamp == NULL)
			continue;
		sum += shown_distance(&a.lamps[i], lamp);
		shared++;
	}
	if (shared == 0)
		return ALIEN;
	sum += LAMP_MISSED * (double)(a.count + b.count - 2 * shared);
	return sum < ALIEN ? sum : ALIEN;
}

static bool
codes_agree(const struct code *one, const struct code *other)
{
	size_t i;

	if (one->coding != other->coding || one->count != other->count ||
	    one->lit != other->lit)
		return false;
	if (one->coding == LW_CODING_RATE)
		return rates_agree(one, other);
	for (i = 0; i < one->count; i++)
		if (one->runs[i].flashes != other->runs[i].flashes ||
		    one->runs[i].longer != other->runs[i].longer)
			return false;
	return true;
}

/* Codes in turn are the same whichever of them was seen first. */
static bool
turns_agree(const struct shown *one, const struct shown *other)
{
	size_t first, i;

	if (one->count != other->count)
		return false;
	for (first = 0; first < one->count; first++) {
		for (i = 0; i < one->count; i++)
			if (!codes_agree(&one->codes[i],
				&other->codes[(first + i) % one->count]))
				break;
		if (i == one->count)
			return true;
	}
	return false;
}

/* A quick look, so that a long list is soon gone through: but for rates, the
 * same pattern has the same characters, if in another order. */
static bool
may_be_same(const char *one, const char *other)
{
	bool rate = strstr(one, "Hz") != NULL;
	size_t a = 0, b = 0;

	if (rate != (strstr(other, "Hz") != NULL))
		return false;
	while (*one != '\0' && *other != '\0') {
		a += (unsigned char)*one++;
		b += (unsigned char)*other++;
	}
	return rate || (*one == *other && a == b);
}

bool
lw_pattern_same(const char *seen, const char *listed)
{
	struct canonical a, b;
	const struct shown *lamp;
	size_t i;

	if (!may_be_same(seen, listed) || !canonical_parse(&a, seen) ||
	    !canonical_parse(&b, listed) || a.count != b.count)
		return false;
	for (i = 0; i < a.count; i++) {
		lamp = lamp_of(&b, a.lamps[i].lamp);
		if (lamp == NULL || !turns_agree(&a.lamps[i], lamp))
			return false;
	}
	return true;
}
