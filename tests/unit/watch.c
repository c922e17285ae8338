/* The properties of jobs that walks try; the walking is left to test_walks.c.
 */
#include "unit/watch.h"

#include <check.h>
#include <stdio.h>
#include <string.h>

struct watch_counts watch_counts;

/* --- belief ------------------------------------------------------------------
 */

static void
watch_shares(const struct lw_job *job)
{
	bool unlisted = false;
	double sum = 0;
	size_t i, k;

	if (job->walk != NULL) {
		ck_assert_uint_eq(job->suspect_count, 0);
		return;
	}
	ck_assert_uint_ge(job->suspect_count, 1);
	for (i = 0; i < job->suspect_count; i++) {
		const struct lw_suspect *suspect = &job->suspects[i];

		ck_assert_double_ge(suspect->share, 0);
		ck_assert_double_le(suspect->share, 1);
		sum += suspect->share;
		unlisted = unlisted || strcmp(suspect->cause, "unlisted") == 0;
		if (i > 1 || (i == 1 && job->cause == NULL))
			ck_assert_double_ge(
			    job->suspects[i - 1].share, suspect->share);
		/* What is out of play is no suspect. */
		for (k = 0; k < job->excluded_count; k++)
			ck_assert(!job->excluded[k].repaired ||
				  strcmp(job->excluded[k].cause,
				      suspect->cause) != 0);
	}
	ck_assert_double_eq_tol(sum, 1, 1e-12);
	ck_assert(unlisted);
}

/* --- the prompt
 * ---------------------------------------------------------------- */

static bool
shows(const struct lw_job_step *step, const char *caution)
{
	size_t i;

	for (i = 0; i < step->caution_count; i++)
		if (strcmp(step->cautions[i]->id, caution) == 0)
			return true;
	return false;
}

static bool
refers(const struct lw_refs *refs, const char *id)
{
	size_t i;

	for (i = 0; i < refs->count; i++)
		if (strcmp(refs->items[i].id, id) == 0)
			return true;
	return false;
}

static bool
is_about_series(const struct lw_caution *caution)
{
	size_t i;

	for (i = 0; i < caution->only.count; i++)
		if (strcmp(caution->only.items[i].text, "motor=series") == 0)
			return true;
	return false;
}

/* All that go with the check and its state and are so for this rig, and
 * none that are not; the gravest first. */
static void
watch_cautions(const struct lw_job_step *step, const struct account *account,
    const struct account_book *book)
{
	bool way_in = step->into != LW_POWER_UNKNOWN && !step->compulsory;
	size_t i;

	for (i = 0; i < book->caution_count; i++) {
		const struct lw_caution *caution = book->cautions[i];
		bool goes = refers(&step->check->cautions, caution->id) ||
			    caution->states[step->check->power] ||
			    (way_in && caution->states[step->into]);

		if (!account_applies(account->rig, caution))
			ck_assert_msg(!shows(step, caution->id), "%s shows %s",
			    step->check->id, caution->id);
		else if (goes)
			ck_assert_msg(shows(step, caution->id),
			    "%s does not show %s", step->check->id,
			    caution->id);
		if (goes && is_about_series(caution) &&
		    account_fact(account->rig, "motor") == NULL) {
			ck_assert(shows(step, caution->id));
			watch_counts.series++;
		}
	}
	for (i = 1; i < step->caution_count; i++) {
		ck_assert_ptr_ne(step->cautions[i - 1], step->cautions[i]);
		ck_assert_int_le(
		    step->cautions[i - 1]->signal, step->cautions[i]->signal);
	}
}

static void
watch_instructions(
    const struct lw_job_step *step, const struct account *account)
{
	const struct lw_instructions *all = &step->check->steps;
	size_t i, shown = 0;

	for (i = 0; i < all->count; i++) {
		if (!account_rules_hold(account->rig, &all->items[i].only))
			continue;
		ck_assert_uint_lt(shown, step->instruction_count);
		ck_assert_str_eq(
		    step->instructions[shown++], all->items[i].text);
	}
	ck_assert_uint_eq(shown, step->instruction_count);
}

/* A compulsory check of some way into that state, on this rig. */
static bool
is_compulsory(const struct lw_check *check, enum lw_power into,
    const struct account *account, const struct account_book *book)
{
	size_t i;

	for (i = 0; i < book->check_count; i++)
		if (account_enters(book->checks[i]) == into &&
		    refers(&book->checks[i]->after, check->id) &&
		    account_rules_hold(account->rig, &check->only))
			return true;
	return false;
}

/* Whether anything is compulsory before a way in, on this rig. */
static bool
has_compulsory(const struct lw_check *gate, const struct account *account,
    const struct account_book *book)
{
	size_t i;

	for (i = 0; i < gate->after.count; i++)
		if (account_rules_hold(account->rig,
			&account_check(book, gate->after.items[i].id)->only))
			return true;
	return false;
}

static void
watch_step(const struct lw_job *job, const struct account *account,
    const struct account_book *book, int screen, int64_t now_s)
{
	const struct lw_job_step *step = job->step;
	const struct lw_check *check = step->check;
	enum lw_power proved = account_power(account, book, screen, now_s);
	bool before_dead = step->compulsory && step->into == LW_POWER_ISOLATED;

	/* No prompt in a state that is not proved, but for the way in itself
	 * and what comes before proving it dead. */
	ck_assert_msg(check->power == proved || before_dead ||
			  (account_enters(check) != LW_POWER_UNKNOWN &&
			      account_enters(check) == check->power),
	    "%s is asked with %s", check->id, lw_power_name(proved));
	/* No range that drives current but on what is proved dead. */
	if (lw_meter_needs_isolation(check->meter)) {
		ck_assert_msg(proved == LW_POWER_ISOLATED,
		    "%s on %s is asked with %s", lw_meter_name(check->meter),
		    check->id, lw_power_name(proved));
		watch_counts.ranges++;
	}
	if (step->compulsory) {
		ck_assert_msg(is_compulsory(check, step->into, account, book),
		    "%s is not compulsory into %s", check->id,
		    lw_power_name(step->into));
		watch_counts.compulsory++;
	}
	/* The way in itself only once all is passed, and freshly. */
	if (account_enters(check) != LW_POWER_UNKNOWN && !step->compulsory) {
		ck_assert_int_eq(step->into, account_enters(check));
		ck_assert_msg(
		    !has_compulsory(check, account, book) ||
			(account_is_fresh(account, book, screen, now_s) &&
			    account_may_enter(account, book, check)),
		    "%s is asked before what is compulsory", check->id);
	}
	if (step->gate)
		ck_assert(step->then == NULL ||
			  strcmp(step->then->id, check->id) != 0);
	if (proved > LW_POWER_ISOLATED)
		watch_counts.live++;
	watch_cautions(step, account, book);
	watch_instructions(step, account);
}

/* --- all of it
 * -------------------------------------------------------------------- */

/* One holder, and the one that the account knows. */
static void
watch_hold(const struct lw_job *job, const struct account_hold *hold,
    int screen, int64_t now_s)
{
	bool held = account_is_held(hold, now_s);

	ck_assert_int_eq(job->hold.held, held);
	ck_assert_int_eq(
	    job->hold.mine, held && screen >= 0 && hold->screen == screen);
	if (!held)
		return;
	ck_assert_str_eq(job->hold.screen, account_screens[hold->screen]);
	ck_assert_int_eq(job->hold.job, hold->job);
	ck_assert_int_eq(
	    job->hold.until_s, hold->last_s + LW_JOB_POWER_HOLDS_S);
	ck_assert_pstr_eq(job->hold.asker,
	    hold->asker < 0 ? NULL : account_screens[hold->asker]);
	ck_assert_int_eq(job->hold.i_ask, screen >= 0 && hold->asker == screen);
}

/* Since it moved by itself, nothing was fixed and nobody took it up. */
static bool
is_barred(const struct lw_job *job)
{
	bool barred = false;
	size_t i;

	for (i = 0; i < job->finding_count; i++) {
		const struct lw_finding *item = &job->findings[i];

		if (item->undone)
			continue;
		if (item->outcome != NULL &&
		    (item->kind == LW_FINDING_STILL ||
			(item->kind == LW_FINDING_CANNOT &&
			    item->about != NULL &&
			    strcmp(item->about, LW_JOB_SAFE) == 0)))
			barred = true;
		if (item->kind == LW_FINDING_FIXED ||
		    item->kind == LW_FINDING_TAKE_UP)
			barred = false;
	}
	return barred;
}

/* Then it is not switched on, whoever says what comes next. */
static void
watch_bar(const struct lw_job *job)
{
	const struct lw_check *goal;
	size_t i;

	if (!is_barred(job))
		return;
	watch_counts.barred++;
	for (i = 0; i < job->next_count; i++)
		ck_assert_int_le(job->next[i].check->power, LW_POWER_ISOLATED);
	for (i = 0; i < job->deferred_count; i++)
		ck_assert_int_le(
		    job->deferred[i].check->power, LW_POWER_ISOLATED);
	if (job->step == NULL || job->step->purpose == LW_PURPOSE_SAFE)
		return;
	goal = job->step->then != NULL ? job->step->then : job->step->check;
	ck_assert_msg(goal->power <= LW_POWER_ISOLATED,
	    "%s is asked though it moved by itself", goal->id);
}

/* Checks to come next are worth something, have their words, and are none that
 * was put aside or does without its tool. */
static void
watch_next(const struct lw_job *job)
{
	size_t i, k;

	for (i = 0; i < job->next_count; i++) {
		const struct lw_next *next = &job->next[i];

		ck_assert_double_gt(next->bits, 0);
		ck_assert_double_ge(next->setup_minutes, 0);
		ck_assert_ptr_nonnull(next->why);
		ck_assert_uint_eq(next->missing_count, 0);
		for (k = 0; k < job->put_aside_count; k++)
			ck_assert_str_ne(
			    job->put_aside[k]->id, next->check->id);
	}
	for (i = 0; i < job->deferred_count; i++)
		ck_assert_uint_gt(job->deferred[i].missing_count, 0);
	for (i = 0; i < job->fix_count; i++)
		ck_assert_double_gt(job->fixes[i].minutes, 0);
	watch_counts.deferred += job->deferred_count > 0;
	ck_assert_int_eq(job->conflict != NULL, job->repeat != NULL);
	ck_assert(!job->fix_first || job->advice != NULL ||
		  job->suspects[0].share >= 1);
	if (job->walk != NULL)
		ck_assert_uint_eq(
		    job->next_count + job->deferred_count + job->fix_count, 0);
}

/* What stands for a check: the last answer, or what put it aside and was not
 * taken up since; NULL. */
static const struct lw_finding *
standing(const struct lw_job *job, const char *check)
{
	bool taken_up = false;
	size_t i;

	for (i = job->finding_count; i-- > 0;) {
		const struct lw_finding *item = &job->findings[i];

		if (item->undone)
			continue;
		taken_up = taken_up || item->kind == LW_FINDING_TAKE_UP;
		if (item->subject == NULL || strcmp(item->subject, check) != 0)
			continue;
		if (item->kind == LW_FINDING_CHECK)
			return item;
		if ((item->kind == LW_FINDING_CANNOT ||
			item->kind == LW_FINDING_SKIP ||
			item->kind == LW_FINDING_DIFFERS ||
			item->kind == LW_FINDING_NOT_SEEN) &&
		    !taken_up)
			return item;
	}
	return NULL;
}

/* What a walk-through says of itself is so, and that all is well only where
 * every step passed. */
static void
watch_walk(const struct lw_job *job, const struct account *account)
{
	const struct lw_job_walk *walk = job->walk;
	size_t steps = 0, passed = 0, aside = 0, first = 0, i;
	const struct lw_finding *item;

	if (walk == NULL)
		return;
	for (i = 0; i < walk->tree->step_count; i++) {
		const struct lw_step *step = &walk->tree->steps[i];

		if (!account_rules_hold(account->rig, &step->only))
			continue;
		steps++;
		item = standing(job, step->check);
		if (item != NULL && item->kind != LW_FINDING_CHECK)
			aside++;
		else if (item != NULL && item->passed)
			passed++;
		else if (first == 0)
			first = steps;
	}
	ck_assert_uint_eq(walk->steps, steps);
	ck_assert_uint_eq(walk->passed, passed);
	ck_assert_uint_eq(walk->aside, aside);
	ck_assert_uint_eq(walk->step, first);
	ck_assert_int_eq(walk->complete, steps > 0 && passed == steps);
	ck_assert(job->state != LW_JOB_PASSED || walk->complete);
	ck_assert(job->state == LW_JOB_PASSED || job->ending == NULL ||
		  strcmp(job->ending, walk->tree->passed) != 0);
}

void
watch_job(const struct lw_job *job, const struct account *account,
    const struct account_book *book, int screen, int64_t now_s)
{
	bool asks = job->step != NULL;

	watch_counts.states[job->state]++;
	watch_shares(job);
	watch_bar(job);
	watch_next(job);
	watch_walk(job, account);
	watch_hold(job, account->hold, screen, now_s);
	ck_assert_int_eq(
	    job->power, account_power(account, book, screen, now_s));
	switch (job->state) {
	case LW_JOB_OPEN:
	case LW_JOB_FOUND:
	case LW_JOB_FIXING:
	case LW_JOB_PROVING:
		ck_assert(asks);
		break;
	default:
		/* Nothing but the way back to isolated. */
		ck_assert(!asks || job->step->purpose == LW_PURPOSE_SAFE);
	}
	ck_assert(!job->cured || job->state == LW_JOB_CLOSED);
	if (asks) {
		watch_counts.purposes[job->step->purpose]++;
		watch_step(job, account, book, screen, now_s);
	}
}

static void
add(char *memory, size_t *length, const char *text)
{
	*length += (size_t)snprintf(memory + *length, WATCH_MEMORY - *length,
	    "%s|", text == NULL ? "-" : text);
	ck_assert_uint_lt(*length, WATCH_MEMORY);
}

/* Which check or fix comes next where no tree leads hangs on what it takes to
 * change the power state, which an undo loses. */
static bool
is_reasoned(const struct lw_job *job)
{
	static const char *const endings[] = {"No further check", "No check",
	    "What would tell more", "It pays to fetch"};
	size_t i;

	if (job->step != NULL && job->step->purpose == LW_PURPOSE_NEXT)
		return true;
	for (i = 0; i < sizeof endings / sizeof endings[0]; i++)
		if (job->ending != NULL &&
		    strncmp(job->ending, endings[i], strlen(endings[i])) == 0)
			return true;
	return false;
}

static void
add_number(char *memory, size_t *length, double number)
{
	char text[40];

	snprintf(text, sizeof text, "%.17g", number);
	add(memory, length, text);
}

/* What comes next, and which fixes. */
static void
remember_next(char *memory, size_t *length, const struct lw_job *job)
{
	size_t i;

	for (i = 0; i < job->next_count; i++) {
		add(memory, length, job->next[i].check->id);
		add(memory, length, job->next[i].why);
		add_number(memory, length, job->next[i].bits);
	}
	for (i = 0; i < job->deferred_count; i++)
		add(memory, length, job->deferred[i].check->id);
	for (i = 0; i < job->fix_count; i++) {
		add(memory, length, job->fixes[i].title);
		add_number(memory, length, job->fixes[i].share);
	}
	add(memory, length, job->advice);
	add(memory, length, job->conflict);
	add_number(memory, length, job->fix_minutes);
	add_number(memory, length, job->check_minutes);
	add(memory, length, job->can_leave ? "leave" : NULL);
}

void
watch_remember(char memory[WATCH_MEMORY], const struct lw_job *job, bool whole)
{
	const struct lw_job_step *step = job->step;
	size_t length = 0, i;

	if (whole)
		remember_next(memory, &length, job);
	/* Which part of the way in comes first is a matter of power. */
	if (is_reasoned(job) && !whole) {
		add(memory, &length, "reasoned");
	} else {
		add(memory, &length, lw_job_state_name(job->state));
		add(memory, &length,
		    step == NULL ? NULL : lw_purpose_name(step->purpose));
		if (step != NULL && step->purpose != LW_PURPOSE_SAFE)
			add(memory, &length,
			    step->then != NULL ? step->then->id
					       : step->check->id);
		add(memory, &length, job->ending);
		add(memory, &length, job->waits_for);
	}
	add(memory, &length, job->cause);
	add(memory, &length, job->likely);
	add(memory, &length, job->cured ? "cured" : NULL);
	for (i = 0; i < job->put_aside_count; i++)
		add(memory, &length, job->put_aside[i]->id);
	for (i = 0; i < job->suspect_count; i++) {
		add(memory, &length, job->suspects[i].cause);
		add_number(memory, &length, job->suspects[i].share);
	}
	for (i = 0; i < job->excluded_count; i++) {
		add(memory, &length, job->excluded[i].cause);
		add(memory, &length, job->excluded[i].reason);
		add(memory, &length, job->excluded[i].repaired ? "r" : NULL);
	}
}
