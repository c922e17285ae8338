/* Replays which power state is proved and finds the way into another; the
 * checks that make a state safe to enter are the packs'. */
#include "job/power.h"

#include <string.h>

/* Whether the state is lost between two times. */
static bool
lapsed(int64_t before_s, int64_t after_s)
{
	int64_t gap_s;

	return __builtin_sub_overflow(after_s, before_s, &gap_s) || gap_s < 0 ||
	       gap_s >= LW_JOB_POWER_HOLDS_S;
}

static bool
is_way_in(const struct lw_check *check)
{
	size_t i;

	for (i = 0; i < check->outcome_count; i++)
		if (check->outcomes[i].enters != LW_POWER_UNKNOWN)
			return true;
	return false;
}

bool
power_enters(const struct lw_check *check, enum lw_power power)
{
	size_t i;

	for (i = 0; i < check->outcome_count; i++)
		if (check->outcomes[i].enters == power)
			return true;
	return false;
}

/* The state after an answer to a check. */
static enum lw_status
after_answer(enum lw_power *state, struct shelf *shelf,
    const struct lw_finding *finding, struct lw_err *err)
{
	const struct lw_check *check;
	enum lw_status status;
	size_t i;

	status = shelf_check(&check, shelf, finding->subject, err);
	if (status != LW_OK)
		return status;
	for (i = 0; check != NULL && finding->outcome != NULL &&
		    i < check->outcome_count;
	     i++) {
		if (strcmp(check->outcomes[i].id, finding->outcome) != 0)
			continue;
		if (check->outcomes[i].enters != LW_POWER_UNKNOWN)
			*state = check->outcomes[i].enters;
		else if (is_way_in(check))
			*state = LW_POWER_UNKNOWN;
		return LW_OK;
	}
	/* The book has changed under the answer: nothing is proved by it. */
	*state = LW_POWER_UNKNOWN;
	return LW_OK;
}

enum lw_status
power_find(struct power *power, struct shelf *shelf,
    const struct findings *findings, int64_t now_s, struct lw_err *err)
{
	enum lw_power state = LW_POWER_UNKNOWN;
	const struct lw_finding *finding;
	enum lw_status status;
	size_t i;

	for (i = 0; i < findings->count; i++) {
		finding = &findings->items[i];
		if (i > 0 && lapsed(finding[-1].time_s, finding->time_s))
			state = LW_POWER_UNKNOWN;
		switch (finding->kind) {
		case LW_FINDING_CHECK:
			if (finding->undone)
				break;
			status = after_answer(&state, shelf, finding, err);
			if (status != LW_OK)
				return status;
			break;
		case LW_FINDING_CANNOT:
		case LW_FINDING_SKIP:
			/* Of a way in, which `outcome` names then. */
			if (finding->outcome != NULL &&
			    finding->outcome[0] != '\0')
				state = LW_POWER_UNKNOWN;
			break;
		case LW_FINDING_RESUME:
		case LW_FINDING_UNDO:
		case LW_FINDING_CLOSE:
		case LW_FINDING_REOPEN:
			state = LW_POWER_UNKNOWN;
			break;
		default:
			break;
		}
	}
	power->held = state;
	power->proved = state;
	if (findings->count > 0 &&
	    lapsed(findings->items[findings->count - 1].time_s, now_s))
		power->proved = LW_POWER_UNKNOWN;
	return LW_OK;
}

/* Whether a check may be asked with this state proved. */
static bool
may_ask(const struct lw_check *check, enum lw_power proved)
{
	if (lw_meter_needs_isolation(check->meter))
		return check->power == LW_POWER_ISOLATED &&
		       proved == LW_POWER_ISOLATED;
	return check->power == LW_POWER_UNKNOWN || check->power == proved ||
	       power_enters(check, check->power);
}

enum lw_status
power_way(const struct lw_check **ask, struct shelf *shelf,
    const struct lw_check *check, enum lw_power proved, struct lw_err *err)
{
	enum lw_status status;
	int ways;

	*ask = NULL;
	if (lw_meter_needs_isolation(check->meter) &&
	    check->power != LW_POWER_ISOLATED)
		return LW_OK;
	/* A way in may itself need a state; a longer chain is a circle. */
	for (ways = 0; ways < LW_POWER_COUNT && check != NULL; ways++) {
		if (may_ask(check, proved)) {
			*ask = check;
			return LW_OK;
		}
		status = shelf_gate(&check, shelf, check->power, err);
		if (status != LW_OK)
			return status;
	}
	return LW_OK;
}
