/* Sentences on what was reckoned; the reckoning is left to reasoning. */
#include "job/reasons.h"

#include "base/arena.h"
#include "base/num.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { MINUTES_MAX = 40 };

const char *
reasons_factor(struct lw_arena *arena, double factor)
{
	char text[32];

	if (factor <= 0.01)
		return "x0.01 or less";
	if (factor >= 100)
		return "x100 or more";
	num_format(text, sizeof text, num_round(factor, 2));
	return arena_printf(arena, "x%s", text);
}

/* What stands between a check's title and what follows: some ask. */
static const char *
colon(const char *title)
{
	size_t length = strlen(title);

	return length > 0 && title[length - 1] == '?' ? "" : ":";
}

const char *
reasons_why(struct lw_arena *arena, const struct lw_why *why)
{
	const char *factor = reasons_factor(arena, why->factor);

	if (factor == NULL)
		return NULL;
	return arena_printf(arena, "%s%s %s, speaks %s it, %s", why->title,
	    colon(why->title), why->outcome,
	    why->factor < 1 ? "against" : "for", factor);
}

const char *
reasons_against(struct lw_arena *arena, const struct lw_finding *finding)
{
	const char *title =
	    finding->title != NULL ? finding->title : finding->subject;
	const char *outcome = finding->outcome_title;

	return arena_printf(arena, "%s%s %s", title, colon(title),
	    outcome != NULL ? outcome : finding->outcome);
}

bool
reasons_counted(
    const char **text, struct lw_arena *arena, const struct lw_suspect *suspect)
{
	*text = NULL;
	if (suspect->cases == 0 && suspect->others == 0)
		return true;
	/* Which cause it never was is of interest only where it was another
	 * one each time. */
	if (suspect->here == 0 && suspect->elsewhere == 0)
		return true;
	if (suspect->others == 0 && suspect->cases == 1)
		*text = "the one time here";
	else if (suspect->others == 0)
		*text = arena_printf(arena, "%u of %u times here",
		    suspect->here, suspect->cases);
	else if (suspect->cases == 0)
		*text = arena_printf(arena, "%u of %u times elsewhere",
		    suspect->elsewhere, suspect->others);
	else
		*text = arena_printf(arena,
		    "%u of %u times here, %u of %u elsewhere",
		    suspect->here, suspect->cases, suspect->elsewhere,
		    suspect->others);
	return *text != NULL;
}

/* --- why a check comes next ---------------------------------------------- */

/* "3 min", "0.5 min". */
static const char *
say_minutes(char text[MINUTES_MAX], double minutes)
{
	char number[32];

	if (minutes < 1)
		snprintf(text, MINUTES_MAX, "under 1 min");
	else if (minutes < 90)
		snprintf(text, MINUTES_MAX, "%.0f min", minutes);
	else if (minutes < 1e6) {
		num_format(number, sizeof number, num_round(minutes / 60, 2));
		snprintf(text, MINUTES_MAX, "%.20s h", number);
	} else
		snprintf(text, MINUTES_MAX, "very long");
	return text;
}

/* How far apart two causes' outcomes are, 0-1: half the sum of differences. */
static double
apart(const struct reason_check *check, size_t causes, size_t one, size_t other)
{
	double sum = 0;
	size_t o;

	for (o = 0; o < check->outcomes; o++)
		sum += fabs(check->given[o * causes + one] -
			    check->given[o * causes + other]);
	return sum / 2;
}

/* How far a cause's outcomes are from what the rest gives together. */
static double
apart_from_rest(const struct reason_check *check, const double *share,
    size_t causes, size_t one)
{
	double sum = 0, rest, weight = 1 - share[one];
	size_t o, i;

	if (!(weight > 0))
		return 0;
	for (o = 0; o < check->outcomes; o++) {
		rest = 0;
		for (i = 0; i < causes; i++)
			if (i != one)
				rest += share[i] * check->given[o * causes + i];
		sum += fabs(check->given[o * causes + one] - rest / weight);
	}
	return sum / 2;
}

/* The likeliest that the book lists, and the next. */
static void
find_leading(size_t *first, size_t *second, const struct reasoning *r)
{
	size_t i;

	*first = *second = REASON_NONE;
	for (i = 0; i < r->play.count; i++) {
		if (r->play.items[i].cause == NULL || !(r->share[i] > 0))
			continue;
		if (*first == REASON_NONE || r->share[i] > r->share[*first]) {
			*second = *first;
			*first = i;
		} else if (*second == REASON_NONE ||
			   r->share[i] > r->share[*second]) {
			*second = i;
		}
	}
}

static const char *
say_use(struct lw_arena *arena, const struct reasoning *r, size_t check)
{
	const struct reason_check *row = &r->weighing.table.check[check];
	size_t causes = r->play.count, first, second, moved = 0, i;

	find_leading(&first, &second, r);
	if (second != REASON_NONE && apart(row, causes, first, second) >= 0.5)
		return "splits the two leading causes";
	if (first != REASON_NONE &&
	    apart_from_rest(row, r->share, causes, first) >= 0.5)
		return "speaks for or against the likeliest cause";
	for (i = 0; i < causes; i++)
		if (apart_from_rest(row, r->share, causes, i) >= 0.5)
			moved++;
	if (moved == 0)
		return "tells a little";
	return arena_printf(arena, "speaks for or against %zu cause%s", moved,
	    moved == 1 ? "" : "s");
}

double
reasons_setup(const struct reasoning *r, size_t check)
{
	const struct reason_table *table = &r->weighing.table;

	return table
	    ->setup[r->proved * table->states + table->check[check].state];
}

const char *
reasons_next(struct lw_arena *arena, const struct reasoning *r,
    const struct next_choice *choice)
{
	const struct book_speaker *speaker =
	    &r->weighing.speakers[choice->check];
	char own[MINUTES_MAX], way[MINUTES_MAX];
	const char *use = say_use(arena, r, choice->check), *state, *safer;
	double setup = reasons_setup(r, choice->check);

	if (use == NULL)
		return NULL;
	if (setup > 0)
		state = arena_printf(arena, "%s more to change to %s",
		    say_minutes(way, setup), lw_power_title(speaker->power));
	else
		state = "no change of power state";
	safer =
	    choice->yields == REASON_NONE
		? ""
		: arena_printf(arena, "; \"%s\" tells as much in a safer state",
		      r->weighing.speakers[choice->yields].title);
	if (state == NULL || safer == NULL)
		return NULL;
	return arena_printf(arena, "%s%s; %s; %s%s",
	    r->again[choice->check] ? "once more, since its answer no longer "
				      "tells; "
				    : "",
	    use, say_minutes(own, speaker->minutes), state, safer);
}

/* --- fix or check -------------------------------------------------------- */

/* Whether a fix that may be tried needs some. */
static bool
needs_parts(const struct reasoning *r)
{
	size_t i;

	for (i = 0; i < r->play.count; i++)
		if (r->play.items[i].cause != NULL &&
		    r->play.items[i].cause->parts != NULL &&
		    r->share[i] >= 0.01)
			return true;
	return false;
}

const char *
reasons_advice(bool *ok, struct lw_arena *arena, const struct reasoning *r)
{
	char now[MINUTES_MAX], after[MINUTES_MAX];
	const char *text = NULL, *parts, *pays;
	size_t first = r->order[0];

	*ok = true;
	if (r->next.fix_first && r->fetch != REASON_NONE) {
		text = arena_printf(arena,
		    "It pays to fetch what \"%s\" needs: with that check "
		    "first it costs about %s on average, 1 h for fetching "
		    "included; trying fixes now costs about %s.",
		    r->weighing.speakers[r->late_choices[r->fetch].check].title,
		    say_minutes(after, r->fetch_expected),
		    say_minutes(now, r->next.fix_now));
		*ok = text != NULL;
		return text;
	}
	if (!r->next.fix_first || r->play.items[first].cause == NULL ||
	    !(r->share[first] > 0))
		return NULL;
	say_minutes(now, r->next.fix_now);
	say_minutes(after, r->next.fix_after);
	parts = needs_parts(r) ? " (parts that have to be bought count as 2 h)"
			       : "";
	pays = r->held_back ? "No check with everything switched off pays"
			    : "No further check pays";
	if (isfinite(r->next.fix_after))
		text = arena_printf(arena,
		    "%s: trying fixes in their order costs about %s on "
		    "average%s, with the best check first %s%s. None of them "
		    "is certain.",
		    pays, now, parts,
		    strcmp(now, after) == 0 ? "no less" : "about ",
		    strcmp(now, after) == 0 ? "" : after);
	else
		text = arena_printf(arena,
		    "No check that can be done now tells more. Trying fixes "
		    "in their order costs about %s on average%s. None of them "
		    "is certain.",
		    now, parts);
	*ok = text != NULL;
	return text;
}

/* --- what does not go together ------------------------------------------- */

const char *
reasons_conflict(struct lw_arena *arena, const struct reasoning *r)
{
	const char *again =
	    reasons_against(arena, r->evidence.items[r->repeat]);

	if (again == NULL)
		return NULL;
	return arena_printf(arena,
	    "The findings do not go together: no single cause makes all of "
	    "them likely. An answer may be wrong, or there are two faults at "
	    "once. Most worth repeating: \"%s\".",
	    again);
}
