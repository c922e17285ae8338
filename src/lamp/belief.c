/* Belief in patterns before a lamp is seen. The shares are judgement: counts
 * are common, codes in turn rare, high counts rarer than low ones. */
#include "lamp/belief.h"

#include "lamp/canonical.h"

#include <math.h>
#include <string.h>

#define NOTHING 0.001
/* A known list is mostly whole (one's own list may not be), and the coding
 * nearly always right. */
#define LISTED 0.6
#define CODING_KNOWN 0.85

static double
count_share(unsigned flashes)
{
	double far = flashes / 9.0;

	/* About one over 1 to 99; past ten, counts are rare (judgement). */
	return 0.1 / (1 + far * far * far * far * far);
}

static double
group_share(unsigned flashes)
{
	double far = flashes / 10.0;

	return 0.085 / (1 + far * far * far * far);
}

static double
code_share(const struct code *code, double coding[])
{
	double share = coding[code->coding];
	size_t i, flashes = 0;

	switch (code->coding) {
	case LW_CODING_COUNT:
		return share * count_share(code->runs[0].flashes);
	case LW_CODING_DIGITS:
		share *= code->count == 2   ? 0.7
			 : code->count == 3 ? 0.2
					    : 0.1 / 3;
		for (i = 0; i < code->count; i++)
			share *= group_share(code->runs[i].flashes);
		return share;
	case LW_CODING_LONG_SHORT:
		for (i = 0; i < code->count; i++)
			flashes += code->runs[i].flashes;
		/* Any length up to 24 alike, and any order: a little more
		 * than half for each flash, as like ones mostly stand in a
		 * row. */
		return share / 24 * pow(0.55, (double)flashes);
	default:
		return share;
	}
}

bool
belief_is_listed(const char *pattern, const struct lw_known_lamp *known)
{
	size_t i;

	for (i = 0; known != NULL && i < known->pattern_count; i++)
		if (lw_pattern_same(pattern, known->patterns[i]))
			return true;
	return false;
}

static double
own_share(const struct lw_pattern *pattern, const struct lw_known_lamp *known)
{
	double coding[] = {
	    [LW_CODING_UNKNOWN] = 1e-6,
	    [LW_CODING_COUNT] = 0.45,
	    [LW_CODING_DIGITS] = 0.15,
	    [LW_CODING_LONG_SHORT] = 0.1,
	    [LW_CODING_RATE] = 0.25,
	    [LW_CODING_STEADY] = 0.05,
	    [LW_CODING_IN_TURN] = 0.06,
	    [LW_CODING_LAMPS] = 1e-6,
	};
	struct canonical what;
	double share;
	size_t i;

	if (known != NULL && known->coding != LW_CODING_UNKNOWN) {
		for (i = 0; i < sizeof coding / sizeof coding[0]; i++)
			if (i != known->coding && i != LW_CODING_RATE)
				coding[i] *= 1 - CODING_KNOWN;
		coding[known->coding] = CODING_KNOWN;
	}
	if (!canonical_parse(&what, pattern->text) || what.count != 1)
		return 1e-12;
	if (what.lamps[0].count == 1)
		return code_share(&what.lamps[0].codes[0], coding);
	share = coding[LW_CODING_IN_TURN] *
		pow(0.3, (double)what.lamps[0].count - 1);
	coding[LW_CODING_COUNT] = fmax(coding[LW_CODING_COUNT], 0.45);
	for (i = 0; i < what.lamps[0].count; i++) {
		share *= code_share(&what.lamps[0].codes[i], coding);
		/* Of one kind, as a rule. */
		if (what.lamps[0].codes[i].coding !=
		    what.lamps[0].codes[0].coding)
			share *= 0.05;
	}
	return share;
}

double
belief_before(
    const struct lw_pattern *pattern, const struct lw_known_lamp *known)
{
	double share = own_share(pattern, known);

	if (known != NULL && known->pattern_count > 0) {
		share *= 1 - LISTED;
		if (belief_is_listed(pattern->text, known))
			share += LISTED / (double)known->pattern_count;
	}
	return log(share);
}

double
belief_in_nothing(void)
{
	return log(NOTHING);
}
