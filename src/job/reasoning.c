/* Puts together the causes in play, what the findings say of them, and what
 * comes next; the mathematics is left to reason, the words to reasons. */
#include "job/reasoning.h"

#include "base/arena.h"
#include "base/err.h"
#include "job/together.h"
#include "reason/belief.h"
#include "reason/conflict.h"
#include "reason/fixes.h"

#include <string.h>

/* A finding is explained by a cause that makes it as likely as this:
 * judgement. */
static const double EXPLAINS = 0.5;

/* --- the causes in play -------------------------------------------------- */

static enum lw_status
add_found(struct play *play, struct shelf *shelf,
    const struct lw_finding *finding, struct lw_err *err)
{
	const struct lw_fault *fault;
	const struct lw_symptom *symptom;
	enum lw_status status = LW_OK;

	if (finding->kind == LW_FINDING_PATTERN) {
		status = shelf_fault(&fault, shelf, finding->outcome, err);
		if (status == LW_OK && fault != NULL)
			status =
			    play_add_refs(play, shelf, &fault->causes, err);
	} else if (finding->kind == LW_FINDING_SYMPTOM) {
		status = shelf_symptom(&symptom, shelf, finding->subject, err);
		if (status == LW_OK && symptom != NULL)
			status =
			    play_add_refs(play, shelf, &symptom->causes, err);
	} else if (finding->kind == LW_FINDING_SUPPOSE && !finding->undone) {
		status = play_add(play, shelf, finding->subject, NULL, err);
	}
	return status;
}

/* What is out of play is left out; but for what was repaired, which still
 * explains what was found before. */
static enum lw_status
take_out(struct play *play, struct shelf *shelf, const struct repair *repair,
    struct lw_err *err)
{
	enum lw_status status = LW_OK;
	size_t i, k;

	for (i = 0; i < repair->out_count && status == LW_OK; i++) {
		if (!repair->out[i].repaired) {
			play_leave_out(play, repair->out[i].cause);
			continue;
		}
		status = play_add(play, shelf, repair->out[i].cause, NULL, err);
		k = play_find(play, repair->out[i].cause);
		if (k < play->count)
			play->items[k].weight = 0;
	}
	return status;
}

static enum lw_status
gather(struct play *play, struct shelf *shelf, const struct situation *at,
    struct lw_err *err)
{
	const char *fault, *symptom;
	enum lw_status status = LW_OK;
	size_t i;

	for (i = 0; i < at->findings.count && status == LW_OK; i++)
		status = add_found(play, shelf, &at->findings.items[i], err);
	if (status == LW_OK && at->tree != NULL)
		status = play_add_leaves(play, shelf, at->tree, err);
	findings_began(&fault, &symptom, &at->findings);
	if (status == LW_OK)
		status = play_recall(play, shelf, at->job->device, fault,
		    symptom, at->job->job, err);
	if (status == LW_OK)
		status = take_out(play, shelf, &at->repair, err);
	if (status == LW_OK)
		status = play_add_unlisted(play, shelf, err);
	return status == LW_OK ? play_learn(play, shelf->work, err) : status;
}

/* --- belief -------------------------------------------------------------- */

/* What the evidence says of every cause in play. */
static enum lw_status
believe(struct reasoning *r, struct lw_arena *arena, const struct situation *at,
    struct lw_err *err)
{
	size_t causes = r->play.count, i;
	double *weight;
	enum lw_status status;

	status = evidence_find(
	    &r->evidence, arena, &at->findings, &at->repair, &r->weighing, err);
	if (status != LW_OK)
		return status;
	weight = arena_array(arena, causes, sizeof *weight);
	r->prior = arena_array(arena, causes, sizeof *r->prior);
	r->share = arena_array(arena, causes, sizeof *r->share);
	r->factor = arena_array(
	    arena, (r->evidence.count + 1) * causes, sizeof *r->factor);
	if (weight == NULL || r->prior == NULL || r->share == NULL ||
	    r->factor == NULL)
		return err_no_memory(err);
	for (i = 0; i < causes; i++)
		weight[i] = r->play.items[i].weight;
	belief_shares(r->prior, weight, causes);
	belief_posterior(r->share, weight, causes, r->evidence.likelihood,
	    r->evidence.count);
	belief_factors(r->factor, weight, causes, r->evidence.likelihood,
	    r->evidence.count);
	return LW_OK;
}

static enum lw_status
find_conflict(struct reasoning *r, struct lw_arena *arena, struct lw_err *err)
{
	size_t count = r->evidence.count, k;
	double *without, *cost;

	if (count < 2)
		return LW_OK;
	without = arena_array(arena, count, sizeof *without);
	cost = arena_array(arena, count, sizeof *cost);
	if (without == NULL || cost == NULL)
		return err_no_memory(err);
	for (k = 0; k < count; k++)
		cost[k] = r->weighing.table.check[r->evidence.check[k]].cost;
	r->conflict = conflict_bits(
	    without, r->prior, r->play.count, r->evidence.likelihood, count);
	r->rare = conflict_is_rare_case(r->conflict, r->prior, r->share,
	    r->play.count, r->evidence.likelihood, count);
	r->repeat = conflict_repeat(without, cost, count);
	return LW_OK;
}

/* Whether what no book lists has become likelier than all that it does. */
static bool
none_fits(const struct reasoning *r)
{
	size_t i;
	double best = 0, unlisted = 0;

	for (i = 0; i < r->play.count; i++)
		if (r->play.items[i].cause == NULL)
			unlisted = r->share[i];
		else if (r->share[i] > best)
			best = r->share[i];
	return unlisted > best;
}

/* Two at once, where single ones do not explain it. */
static enum lw_status
consider_pairs(struct reasoning *r, struct lw_arena *arena,
    const struct situation *at, struct lw_err *err)
{
	struct reasoning wide = *r;
	enum lw_status status;
	bool any;

	if (r->evidence.count < 2 ||
	    (!(r->conflict > 0 && !r->rare) && !none_fits(r)))
		return LW_OK;
	status = together_find(&any, &wide.play, arena, &r->play, &r->weighing,
	    &r->evidence, &at->repair, r->prior, err);
	if (status != LW_OK || !any)
		return status;
	status =
	    weigh_pairs(&wide.weighing, arena, &r->weighing, &wide.play, err);
	if (status == LW_OK)
		status = believe(&wide, arena, at, err);
	if (status != LW_OK)
		return status;
	*r = wide;
	r->weighing.play = &r->play;
	r->pairs = true;
	return LW_OK;
}

/* --- what comes next ----------------------------------------------------- */

static bool
is_way_in(const struct book_speaker *speaker)
{
	size_t o;

	for (o = 0; o < speaker->outcome_count; o++)
		if (speaker->outcomes[o].enters != LW_POWER_UNKNOWN)
			return true;
	return false;
}

static bool
lacks_tool(const struct book_speaker *speaker, const struct lw_rig *rig)
{
	size_t i;

	for (i = 0; i < speaker->tool_count; i++)
		if (weigh_lacks(rig, speaker->tools[i].text))
			return true;
	return false;
}

static bool
tells(const struct reasoning *r, size_t check)
{
	return next_bits(&r->weighing.table.check[check], r->share,
		   r->play.count) >= NEXT_LEAST_BITS;
}

/* Whether a cause that was there when this was found, and was repaired since,
 * explains it by itself: then it says nothing of how it is now. */
static bool
is_explained(const struct reasoning *r, const struct repair *repair,
    size_t check, const struct lw_finding *finding, size_t outcome)
{
	const struct reason_check *row = &r->weighing.table.check[check];
	size_t expected = weigh_expected(&r->weighing.speakers[check]), k, at;

	if (expected == REASON_NONE || outcome == expected)
		return false;
	for (k = 0; k < repair->out_count; k++) {
		if (!repair->out[k].repaired ||
		    finding->serial >= repair->out[k].fixed)
			continue;
		at = play_find(&r->play, repair->out[k].cause);
		if (at < r->play.count &&
		    row->given[outcome * r->play.count + at] >= EXPLAINS)
			return true;
	}
	return false;
}

/* Whether it may be asked: not where it was put aside, nor where it was done;
 * but again where what it gave is explained, or is no outcome any more. */
static bool
may_ask(struct reasoning *r, const struct situation *at, size_t check)
{
	const struct book_speaker *speaker = &r->weighing.speakers[check];
	const struct lw_finding *done = findings_on(&at->findings, speaker->id);
	size_t outcome;

	if (done == NULL)
		return true;
	if (!findings_is_outcome(done->kind)) {
		r->aside = r->aside || tells(r, check);
		return false;
	}
	outcome = evidence_outcome(speaker, done->outcome);
	r->again[check] = outcome == REASON_NONE ||
			  is_explained(r, &at->repair, check, done, outcome);
	return r->again[check];
}

/* Whether fetching a tool pays: for a check that would cost less with it than
 * going on without. */
static void
find_fetch(struct reasoning *r)
{
	double without =
	    r->next.fix_first ? r->next.fix_now : r->next.fix_after;
	size_t i;

	r->fetch = REASON_NONE;
	for (i = 0; i < r->late.count; i++) {
		if (r->late_choices[i].yields != REASON_NONE ||
		    r->late_choices[i].expected > r->late.fix_after)
			continue;
		r->fetch_expected =
		    r->late_choices[i].expected + WEIGH_FETCH_MINUTES;
		if (r->fetch_expected < without)
			r->fetch = i;
		break;
	}
}

/* Rank what has no answer yet: what can be done, and what waits for a tool. */
static enum lw_status
rank_checks(struct reasoning *r, struct lw_arena *arena,
    const struct situation *at, bool isolated_only, struct lw_err *err)
{
	const struct reason_table *table = &r->weighing.table;
	bool *now = arena_array(arena, table->checks + 1, sizeof *now);
	bool *late = arena_array(arena, table->checks + 1, sizeof *late);
	enum lw_status status;
	size_t j;

	r->choices = arena_array(arena, table->checks + 1, sizeof *r->choices);
	r->late_choices =
	    arena_array(arena, table->checks + 1, sizeof *r->late_choices);
	r->again = arena_array(arena, table->checks + 1, sizeof *r->again);
	if (now == NULL || late == NULL || r->choices == NULL ||
	    r->late_choices == NULL || r->again == NULL)
		return err_no_memory(err);
	for (j = 0; j < table->checks; j++) {
		const struct book_speaker *speaker = &r->weighing.speakers[j];

		if (is_way_in(speaker) ||
		    !lw_rig_holds(at->rig, &speaker->only) ||
		    !may_ask(r, at, j) ||
		    !weigh_fits(&r->weighing, j, r->share))
			continue;
		if (isolated_only && speaker->power > LW_POWER_ISOLATED) {
			r->held_back = r->held_back || tells(r, j);
			continue;
		}
		late[j] = lacks_tool(speaker, at->rig);
		now[j] = !late[j];
	}
	status = next_find(&r->next, r->choices, table, r->share, now,
	    &r->weighing.fixes, err);
	if (status == LW_OK)
		status = next_find(&r->late, r->late_choices, table, r->share,
		    late, &r->weighing.fixes, err);
	if (status == LW_OK)
		find_fetch(r);
	return status;
}

enum lw_status
reasoning_find(struct reasoning *r, struct shelf *shelf,
    const struct situation *at, bool isolated_only, struct lw_err *err)
{
	struct lw_arena *arena = shelf->work;
	enum lw_status status;
	double cost;

	memset(r, 0, sizeof *r);
	r->proved = at->power.proved;
	status = gather(&r->play, shelf, at, err);
	if (status == LW_OK)
		status = weigh(&r->weighing, shelf, &r->play, at->rig,
		    at->power.held, err);
	if (status == LW_OK)
		status = believe(r, arena, at, err);
	if (status == LW_OK)
		status = find_conflict(r, arena, err);
	if (status == LW_OK)
		status = consider_pairs(r, arena, at, err);
	if (status == LW_OK)
		status = rank_checks(r, arena, at, isolated_only, err);
	if (status != LW_OK)
		return status;
	r->order = arena_array(arena, r->play.count, sizeof *r->order);
	if (r->order == NULL)
		return err_no_memory(err);
	return fixes_order(
	    r->order, &cost, r->share, r->play.count, &r->weighing.fixes, err);
}
