/* The account that walks keep of power states, compulsory checks, holds and
 * rigs. What has to hold by it is left to watch.c. */
#include "unit/account.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const char *const account_screens[ACCOUNT_SCREENS] = {"one", "two", "three"};

/* --- the book ------------------------------------------------------------- */

void
account_load(
    struct account_book *book, struct lw_book *from, struct lw_arena *arena)
{
	struct lw_entries list;
	struct lw_err err;
	size_t i;

	memset(book, 0, sizeof *book);
	ck_assert_int_eq(
	    lw_book_list(from, arena, "check", &list, &err), LW_OK);
	ck_assert_uint_le(list.count, ACCOUNT_CHECKS);
	for (i = 0; i < list.count; i++)
		ck_assert_int_eq(lw_book_check_of(from, arena, list.items[i].id,
				     &book->checks[i], &err),
		    LW_OK);
	book->check_count = list.count;
	ck_assert_int_eq(
	    lw_book_list(from, arena, "caution", &list, &err), LW_OK);
	ck_assert_uint_le(list.count, ACCOUNT_CHECKS);
	for (i = 0; i < list.count; i++)
		ck_assert_int_eq(lw_book_caution(from, arena, list.items[i].id,
				     &book->cautions[i], &err),
		    LW_OK);
	book->caution_count = list.count;
}

static int
place_of(const struct account_book *book, const char *id)
{
	size_t i;

	for (i = 0; id != NULL && i < book->check_count; i++)
		if (strcmp(book->checks[i]->id, id) == 0)
			return (int)i;
	return -1;
}

const struct lw_check *
account_check(const struct account_book *book, const char *id)
{
	int place = place_of(book, id);

	return place < 0 ? NULL : book->checks[place];
}

enum lw_power
account_enters(const struct lw_check *check)
{
	size_t i;

	for (i = 0; i < check->outcome_count; i++)
		if (check->outcomes[i].enters != LW_POWER_UNKNOWN)
			return check->outcomes[i].enters;
	return LW_POWER_UNKNOWN;
}

/* --- rigs -------------------------------------------------------------------
 */

void
account_learn(struct account_rig *rig, const char *key, const char *value)
{
	size_t i;

	for (i = 0; i < rig->fact_count; i++)
		if (strcmp(rig->facts[i].key, key) == 0)
			break;
	ck_assert_uint_lt(i, ACCOUNT_FACTS);
	if (i == rig->fact_count)
		rig->fact_count++;
	rig->facts[i].key = key;
	snprintf(rig->facts[i].value, sizeof rig->facts[i].value, "%s", value);
}

/* NULL: not known, which is also what "unknown" says. */
const char *
account_fact(const struct account_rig *rig, const char *key)
{
	size_t i;

	for (i = 0; i < rig->fact_count; i++)
		if (strcmp(rig->facts[i].key, key) == 0 &&
		    strcmp(rig->facts[i].value, "unknown") != 0)
			return rig->facts[i].value;
	return NULL;
}

/* Whether a rule's key, up to "=", is that of another one. */
static bool
same_key(const char *rule, const char *other)
{
	size_t length = strcspn(rule, "=");

	return strncmp(rule, other, length + 1) == 0;
}

bool
account_rules_hold(const struct account_rig *rig, const struct lw_texts *only)
{
	char key[40];
	const char *rule, *known;
	bool met;
	size_t i, k;

	/* Each rule's key has to be met by one of the rules of that key. */
	for (i = 0; i < only->count; i++) {
		rule = only->items[i].text;
		snprintf(
		    key, sizeof key, "%.*s", (int)strcspn(rule, "="), rule);
		known = account_fact(rig, key);
		met = known == NULL;
		for (k = 0; k < only->count && !met; k++)
			met = same_key(rule, only->items[k].text) &&
			      strcmp(strchr(only->items[k].text, '=') + 1,
				  known) == 0;
		if (!met)
			return false;
	}
	return true;
}

bool
account_applies(const struct account_rig *rig, const struct lw_caution *caution)
{
	const char *volts = account_fact(rig, "pack.full");
	const char *farads = account_fact(rig, "bus.capacitor");
	double full = volts != NULL ? atof(volts) : 0;
	/* Always in mF, and with the usual tolerance of all packs, 20 %. */
	double milli = farads != NULL ? atof(farads) * 1.2 : 0;

	if (!account_rules_hold(rig, &caution->only))
		return false;
	if (caution->from_volts > 0 && volts != NULL &&
	    full < caution->from_volts)
		return false;
	/* C V^2 / 2. */
	return !(caution->from_joules > 0 && volts != NULL && farads != NULL &&
		 milli / 1000 * full * full / 2 < caution->from_joules);
}

/* --- holds
 * -------------------------------------------------------------------- */

bool
account_is_held(const struct account_hold *hold, int64_t now_s)
{
	return hold->screen >= 0 && now_s - hold->last_s < LW_JOB_POWER_HOLDS_S;
}

bool
account_is_others(const struct account_hold *hold, int screen, int64_t now_s)
{
	return account_is_held(hold, now_s) && hold->screen != screen;
}

/* --- jobs
 * ---------------------------------------------------------------------- */

static void
lose(struct account *account)
{
	account->power = LW_POWER_UNKNOWN;
	memset(account->passed, 0, sizeof account->passed);
}

static bool
is_met(const bool *passed, const struct account *account,
    const struct account_book *book, const struct lw_check *gate)
{
	int place;
	size_t i;

	for (i = 0; i < gate->after.count; i++) {
		place = place_of(book, gate->after.items[i].id);
		ck_assert_int_ge(place, 0);
		if (account_rules_hold(
			account->rig, &book->checks[place]->only) &&
		    !passed[place])
			return false;
	}
	return true;
}

/* Whether the state was entered past all that is compulsory by what is known
 * of the rig now. */
static bool
is_whole(const struct account *account, const struct account_book *book)
{
	return account->power == LW_POWER_UNKNOWN ||
	       is_met(account->before, account, book, account->gate);
}

static void
note_answer(struct account *account, const struct account_book *book,
    const struct lw_finding *finding)
{
	int place = place_of(book, finding->subject);
	const struct lw_check *check;
	const struct lw_outcome *outcome = NULL;
	size_t i;

	ck_assert_msg(place >= 0, "%s", finding->subject);
	check = book->checks[place];
	for (i = 0; i < check->outcome_count; i++)
		if (strcmp(check->outcomes[i].id, finding->outcome) == 0)
			outcome = &check->outcomes[i];
	ck_assert_ptr_nonnull(outcome);
	/* More is compulsory by now than was passed: the state is no more. */
	if (!is_whole(account, book))
		lose(account);
	if (outcome->enters != LW_POWER_UNKNOWN) {
		/* No live step is reached past a compulsory check. */
		ck_assert_msg(account_may_enter(account, book, check),
		    "%s let somebody in past what is compulsory", check->id);
		memcpy(
		    account->before, account->passed, sizeof account->before);
		account->gate = check;
		if (account->power != outcome->enters)
			lose(account);
		account->power = outcome->enters;
	} else if (account_enters(check) != LW_POWER_UNKNOWN ||
		   outcome->unproves || outcome->stops ||
		   (check->power == LW_POWER_ISOLATED &&
		       account->power > LW_POWER_ISOLATED)) {
		/* Or it was made isolated: the vehicle is no longer on. */
		/* What was passed while nothing was proved stays so. */
		if (account->power != LW_POWER_UNKNOWN)
			lose(account);
	}
	/* In a walk-through what was put right is no fix that is noted, but
	 * who knows what was touched: each is passed anew. */
	if (account->through && account->wrong[place] && outcome->expected &&
	    account_enters(check) == LW_POWER_UNKNOWN)
		memset(account->passed, 0, sizeof account->passed);
	account->wrong[place] = !outcome->expected;
	account->passed[place] = outcome->expected;
}

void
account_note(struct account *account, const struct account_book *book,
    const struct lw_finding *finding)
{
	int64_t gap_s = finding->time_s - account->last_s;
	int place;

	if (account->finding_count > 0 &&
	    (gap_s < 0 || gap_s >= LW_JOB_POWER_HOLDS_S))
		lose(account);
	account->finding_count++;
	account->last_s = finding->time_s;
	switch (finding->kind) {
	case LW_FINDING_CHECK:
	case LW_FINDING_PROVED:
	case LW_FINDING_NOT_PROVED:
		note_answer(account, book, finding);
		break;
	case LW_FINDING_CANNOT:
	case LW_FINDING_SKIP:
	case LW_FINDING_DIFFERS:
	case LW_FINDING_NOT_SEEN:
	case LW_FINDING_STILL:
		/* Given up on a way in: nobody knows how far they came. */
		if (finding->outcome != NULL)
			lose(account);
		place = place_of(book, finding->subject);
		if (place >= 0)
			account->passed[place] = false;
		break;
	case LW_FINDING_BEGUN:
	case LW_FINDING_FIXED:
		/* Who knows what was touched: each is passed anew. */
		memset(account->passed, 0, sizeof account->passed);
		break;
	case LW_FINDING_RESUME:
	case LW_FINDING_UNDO:
	case LW_FINDING_CLOSE:
	case LW_FINDING_REOPEN:
	case LW_FINDING_WAIT:
	case LW_FINDING_TAKE:
		lose(account);
		break;
	default:
		break;
	}
}

bool
account_is_fresh(const struct account *account, const struct account_book *book,
    int screen, int64_t now_s)
{
	const struct account_hold *hold = account->hold;
	int64_t gap_s = now_s - account->last_s;

	if (gap_s < 0 || gap_s >= LW_JOB_POWER_HOLDS_S ||
	    !is_whole(account, book))
		return false;
	/* Held for another job, or by nobody: who knows what was done. */
	if (hold->screen < 0 || hold->job != account->job)
		return false;
	return screen < 0 || hold->screen == screen ||
	       account_is_others(hold, screen, now_s);
}

enum lw_power
account_power(const struct account *account, const struct account_book *book,
    int screen, int64_t now_s)
{
	return account_is_fresh(account, book, screen, now_s)
		   ? account->power
		   : LW_POWER_UNKNOWN;
}

bool
account_may_enter(const struct account *account,
    const struct account_book *book, const struct lw_check *gate)
{
	return is_met(account->passed, account, book, gate);
}
