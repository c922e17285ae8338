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

static enum lw_power
leads_into(const struct lw_check *gate)
{
	size_t i;

	for (i = 0; i < gate->outcome_count; i++)
		if (gate->outcomes[i].enters != LW_POWER_UNKNOWN)
			return gate->outcomes[i].enters;
	return LW_POWER_UNKNOWN;
}

static bool
is_way_in(const struct lw_check *check)
{
	return leads_into(check) != LW_POWER_UNKNOWN;
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

/* The state after an answer to a check. One that is made isolated, in a state
 * that is not, is on the way out of that: it is no longer as it was. */
static enum lw_power
after_outcome(enum lw_power before, const struct lw_check *check,
    const struct lw_outcome *outcome)
{
	if (outcome->enters != LW_POWER_UNKNOWN)
		return outcome->enters;
	if (is_way_in(check) || outcome->unproves || outcome->stops ||
	    (check->power == LW_POWER_ISOLATED && before != LW_POWER_ISOLATED))
		return LW_POWER_UNKNOWN;
	return before;
}

void
power_conclude(struct lw_finding *finding, const struct lw_check *check,
    const struct lw_outcome *outcome, const struct lw_outcome *also,
    enum lw_power before)
{
	finding->leads = leads_into(check);
	finding->passed = outcome->expected && also == NULL;
	finding->power = after_outcome(before, check, outcome);
	/* What may have lost the state has lost it. */
	if (also != NULL &&
	    after_outcome(before, check, also) != finding->power)
		finding->power = LW_POWER_UNKNOWN;
}

static const struct lw_outcome *
find_outcome(const struct lw_check *check, const char *id)
{
	size_t i;

	for (i = 0; check != NULL && id != NULL && i < check->outcome_count;
	     i++)
		if (strcmp(check->outcomes[i].id, id) == 0)
			return &check->outcomes[i];
	return NULL;
}

/* The state after an answer as the finding has it, where the book says so
 * still: what was lost stays lost, and what a changed book does not say any
 * more is not proved. */
static enum lw_power
after_answer(enum lw_power before, const struct lw_check *check,
    const struct lw_finding *finding)
{
	const struct lw_outcome *outcome =
	    find_outcome(check, finding->outcome);

	if (outcome == NULL ||
	    after_outcome(before, check, outcome) != finding->power)
		return LW_POWER_UNKNOWN;
	return finding->power;
}

/* Whether the answer is the one that proved the state. */
static bool
is_entry(const struct lw_check *check, const struct lw_finding *finding,
    enum lw_power held)
{
	const struct lw_outcome *outcome =
	    find_outcome(check, finding->outcome);

	return held != LW_POWER_UNKNOWN && outcome != NULL &&
	       outcome->enters == held;
}

/* Who answered a way in may have switched it on, whatever the answer was and
 * though it was taken back. `check` may have left the book; a finding of a
 * book of version 1 has nothing but it. */
static void
note_last(struct power *power, const struct lw_finding *finding,
    const struct lw_check *check)
{
	if (finding->leads > LW_POWER_ISOLATED)
		power->last = finding->leads;
	else if (check != NULL && leads_into(check) > LW_POWER_ISOLATED)
		power->last = leads_into(check);
}

/* Nothing before this finding counts any more. */
static void
lose(struct power *power, size_t at)
{
	power->held = LW_POWER_UNKNOWN;
	power->since = at + 1;
}

/* Whether a compulsory check gave what is expected among these findings. */
static bool
has_passed(const struct findings *findings, size_t from, size_t to,
    const struct lw_check *check)
{
	const struct lw_outcome *outcome;
	const struct lw_finding *finding;
	size_t i;

	for (i = to; i-- > from;) {
		finding = &findings->items[i];
		if (finding->undone || finding->subject == NULL ||
		    strcmp(finding->subject, check->id) != 0)
			continue;
		if (findings_is_aside(finding->kind))
			return false;
		if (!findings_is_outcome(finding->kind))
			continue;
		/* As it was judged then, and still is by the book. */
		outcome = find_outcome(check, finding->outcome);
		return finding->passed && outcome != NULL && outcome->expected;
	}
	return false;
}

/* Whether an answer gives what is expected where the one before it on the same
 * check did not, taken back or not: something was put right in between. */
static bool
is_mended(const struct findings *findings, size_t at)
{
	const struct lw_finding *now = &findings->items[at], *before;
	size_t i;

	if (!now->passed || now->leads != LW_POWER_UNKNOWN ||
	    now->subject == NULL)
		return false;
	for (i = at; i-- > 0;) {
		before = &findings->items[i];
		if (findings_is_outcome(before->kind) &&
		    before->subject != NULL &&
		    strcmp(before->subject, now->subject) == 0)
			return !before->passed;
	}
	return false;
}

/* Whether the job is a walk-through: it has no fixes of its own. */
static enum lw_status
find_through(bool *through, struct shelf *shelf,
    const struct findings *findings, struct lw_err *err)
{
	const struct lw_finding *led =
	    findings_first(findings, LW_FINDING_TREE);
	const struct lw_tree *tree = NULL;
	enum lw_status status = LW_OK;

	if (led != NULL)
		status = shelf_tree(&tree, shelf, led->subject, err);
	*through = tree != NULL && tree->walk;
	return status;
}

/* The answer to a way in that proved the state. */
struct entry {
	const struct lw_check *gate;
	size_t since; /* what was compulsory was passed from here on */
	size_t at;
};

/* Whether all was passed that is compulsory by what is known of the rig now:
 * that may have changed since. */
static enum lw_status
check_entry(bool *whole, const struct entry *entry, struct shelf *shelf,
    const struct findings *findings, const struct lw_rig *rig,
    struct lw_err *err)
{
	const struct lw_check *check;
	enum lw_status status;
	size_t i;

	*whole = true;
	for (i = 0; i < entry->gate->after.count && *whole; i++) {
		status = shelf_check(
		    &check, shelf, entry->gate->after.items[i].id, err);
		if (status != LW_OK)
			return status;
		*whole = check == NULL || !lw_rig_holds(rig, &check->only) ||
			 has_passed(findings, entry->since, entry->at, check);
	}
	return LW_OK;
}

enum lw_status
power_find(struct power *power, struct shelf *shelf,
    const struct findings *findings, const struct lw_rig *rig, int64_t now_s,
    struct lw_err *err)
{
	struct entry entry = {0};
	bool whole, through;
	const struct lw_finding *finding, *last = NULL;
	const struct lw_check *check;
	enum lw_power before;
	enum lw_status status;
	size_t i;

	memset(power, 0, sizeof *power);
	status = find_through(&through, shelf, findings, err);
	if (status != LW_OK)
		return status;
	for (i = 0; i < findings->count; i++) {
		finding = &findings->items[i];
		/* What is said of the vehicle can be said from afar. */
		if (finding->kind == LW_FINDING_VALUE)
			continue;
		if (last != NULL && lapsed(last->time_s, finding->time_s)) {
			lose(power, i);
			power->since = i;
		}
		last = finding;
		switch (finding->kind) {
		case LW_FINDING_CHECK:
		case LW_FINDING_PROVED:
		case LW_FINDING_NOT_PROVED:
			status =
			    shelf_check(&check, shelf, finding->subject, err);
			if (status != LW_OK)
				return status;
			note_last(power, finding, check);
			if (finding->undone)
				break;
			before = power->held;
			power->held = after_answer(before, check, finding);
			if (is_entry(check, finding, power->held))
				entry = (struct entry){check, power->since, i};
			/* What ends a state may be passed on the way back. */
			if (power->held != before)
				power->since =
				    power->held == LW_POWER_UNKNOWN ? i : i + 1;
			if (power->held != LW_POWER_UNKNOWN)
				power->last = power->held;
			if (through && power->since < i &&
			    is_mended(findings, i))
				power->since = i;
			break;
		case LW_FINDING_CANNOT:
		case LW_FINDING_SKIP:
		case LW_FINDING_DIFFERS:
		case LW_FINDING_NOT_SEEN:
		case LW_FINDING_STILL:
			note_last(power, finding, NULL);
			/* Of a way in, which `outcome` names then. */
			if (finding->outcome != NULL &&
			    finding->outcome[0] != '\0')
				lose(power, i);
			break;
		case LW_FINDING_BEGUN:
		case LW_FINDING_FIXED:
			/* What it touched is not as it was checked. */
			power->since = i + 1;
			break;
		case LW_FINDING_RESUME:
		case LW_FINDING_UNDO:
		case LW_FINDING_CLOSE:
		case LW_FINDING_REOPEN:
		case LW_FINDING_WAIT:
		case LW_FINDING_TAKE:
			lose(power, i);
			break;
		default:
			break;
		}
	}
	power->proved = power->held;
	power->fresh = true;
	if (last != NULL) {
		power->fresh = !lapsed(last->time_s, now_s);
		power->clock_back = now_s < last->time_s;
	}
	if (!power->fresh)
		power->proved = LW_POWER_UNKNOWN;
	if (power->proved == LW_POWER_UNKNOWN || entry.gate == NULL)
		return LW_OK;
	status = check_entry(&whole, &entry, shelf, findings, rig, err);
	if (status == LW_OK && !whole) {
		/* Nor is what was passed in a state that was none. */
		power->proved = LW_POWER_UNKNOWN;
		power->fresh = false;
		power->rig_changed = true;
	}
	return status;
}

/* --- the way to a check -------------------------------------------------- */

struct route {
	struct shelf *shelf;
	const struct power *power;
	const struct findings *findings;
	const struct lw_rig *rig;
};

/* Whether a check may be asked with this state proved, but for what is
 * compulsory before it. */
static bool
may_ask(const struct lw_check *check, enum lw_power proved)
{
	if (lw_meter_needs_isolation(check->meter))
		return check->power == LW_POWER_ISOLATED &&
		       proved == LW_POWER_ISOLATED;
	return check->power == LW_POWER_UNKNOWN || check->power == proved ||
	       power_enters(check, check->power);
}

/* Whether a check may be compulsory at all: it is made isolated and is no way
 * in itself. Lint says so of a pack that is read. */
static bool
may_come_first(const struct lw_check *check)
{
	return check->power == LW_POWER_ISOLATED && !is_way_in(check);
}

/*
 * The first compulsory check of a way in that is not passed; NULL: none is
 * missing. One that has left the book is missing for good: *lost.
 */
static enum lw_status
find_missing(struct way *way, const struct lw_check **missing, bool *lost,
    const struct route *route, const struct lw_check *gate, struct lw_err *err)
{
	const struct lw_check *check;
	enum lw_status status;
	size_t i;

	*missing = NULL;
	*lost = false;
	way->parts = 1;
	way->part = 0;
	for (i = 0; i < gate->after.count; i++) {
		status = shelf_check(
		    &check, route->shelf, gate->after.items[i].id, err);
		if (status != LW_OK)
			return status;
		if (check == NULL) {
			*lost = true;
			return LW_OK;
		}
		if (!lw_rig_holds(route->rig, &check->only))
			continue;
		if (*missing == NULL) {
			way->part++;
			if (!route->power->fresh ||
			    !has_passed(route->findings, route->power->since,
				route->findings->count, check))
				*missing = check;
		}
		way->parts++;
	}
	if (*missing == NULL)
		way->part = way->parts;
	return LW_OK;
}

enum lw_status
power_way(struct way *way, struct shelf *shelf, const struct lw_check *check,
    const struct power *power, const struct findings *findings,
    const struct lw_rig *rig, struct lw_err *err)
{
	const struct route route = {shelf, power, findings, rig};
	const struct lw_check *missing;
	enum lw_power proved = power->proved;
	enum lw_status status;
	int ways;
	bool lost;

	memset(way, 0, sizeof *way);
	/* A way in may itself need a state; a longer chain is a circle. */
	for (ways = 0; ways < 2 * LW_POWER_COUNT && check != NULL; ways++) {
		/* Whatever a pack says, also of what is compulsory. */
		if (lw_meter_needs_isolation(check->meter) &&
		    check->power != LW_POWER_ISOLATED)
			break;
		if (!may_ask(check, proved)) {
			status = shelf_gate(&check, shelf, check->power, err);
			if (status != LW_OK)
				return status;
			continue;
		}
		way->gate = is_way_in(check);
		way->into = leads_into(check);
		status = find_missing(way, &missing, &lost, &route, check, err);
		if (status != LW_OK || lost)
			return status;
		way->ask = check;
		if (missing == NULL)
			return LW_OK;
		way->ask = may_come_first(missing) ? missing : NULL;
		way->compulsory = true;
		/* Before the way into isolated nothing is proved yet. */
		if (way->ask == NULL || proved == LW_POWER_ISOLATED ||
		    (way->into == LW_POWER_ISOLATED &&
			!lw_meter_needs_isolation(missing->meter)))
			return LW_OK;
		way->ask = NULL;
		way->compulsory = false;
		check = missing;
	}
	way->ask = NULL;
	return LW_OK;
}
