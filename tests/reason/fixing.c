/*
 * Plays cases of fault-finding, one after the other. What is asked next is the
 * library's matter, or that of simple ways to be held beside it.
 */
#include "reason/fixing.h"

#include "lamp/chance.h"
#include "reason/belief.h"
#include "reason/fixes.h"
#include "reason/next.h"

#include <stdlib.h>
#include <string.h>

static const double SURE = 0.95;

struct play {
	const struct noisy_made *made;
	struct reason_table table; /* `begin`: the state it is in */
	enum fixer fixer;
	size_t *answer; /* of each check, drawn beforehand */
	bool *usable;
	double *share;
	struct next_choice *choices;
	size_t *order;
	struct fixing *fixing;
};

const char *
fixer_name(enum fixer fixer)
{
	static const char *const names[FIXER_COUNT] = {
	    "next check, or fix first", "least expected cost, or fix first",
	    "authored order until 95 % sure", "most likely first, no checks",
	    "information until 95 % sure", "I^2/(c+s) until 95 % sure"};

	return names[fixer];
}

static size_t
draw(const double *share, size_t stride, size_t count, struct chance *chance)
{
	double left = chance_share(chance);
	size_t i = 0;

	while (i + 1 < count && (left -= share[i * stride]) >= 0)
		i++;
	return i;
}

static void
do_check(struct play *play, size_t check)
{
	const struct reason_table *table = &play->table;
	const struct reason_check *does = &table->check[check];

	play->fixing->checks++;
	play->fixing->minutes += does->cost;
	if (table->setup != NULL)
		play->fixing->minutes +=
		    table->setup[table->begin * table->states + does->state];
	play->table.begin = does->state;
	play->usable[check] = false;
	belief_posterior(play->share, play->share, table->causes,
	    does->given + play->answer[check] * table->causes, 1);
}

/* Whether that mended it. */
static bool
do_fix(struct play *play)
{
	size_t cause = play->order[0];

	play->fixing->fixes++;
	play->fixing->minutes += play->made->fixes.cost[cause];
	if (cause == play->fixing->cause)
		return true;
	play->share[cause] = 0;
	belief_shares(play->share, play->share, play->table.causes);
	return false;
}

/* The one that tells the most, cost ignored; REASON_NONE: none tells
 * anything. */
static size_t
most_bits(const struct next_advice *advice)
{
	size_t i, best = REASON_NONE;
	double bits = 0;

	for (i = 0; i < advice->count; i++)
		if (advice->choices[i].bits > bits) {
			bits = advice->choices[i].bits;
			best = advice->choices[i].check;
		}
	return best;
}

static size_t
least_expected(const struct next_advice *advice)
{
	size_t i, best = REASON_NONE;
	double least = INFINITY;

	for (i = 0; i < advice->count; i++)
		if (advice->choices[i].yields == REASON_NONE &&
		    advice->choices[i].expected < least) {
			least = advice->choices[i].expected;
			best = advice->choices[i].check;
		}
	return best;
}

static bool
is_sure(const struct play *play)
{
	size_t i;

	for (i = 0; i < play->table.causes; i++)
		if (play->share[i] >= SURE)
			return true;
	return false;
}

static size_t
first_usable(const struct play *play)
{
	size_t j;

	for (j = 0; j < play->table.checks; j++)
		if (play->usable[j])
			return j;
	return REASON_NONE;
}

/* Which check is next; REASON_NONE: a fix. */
static bool
choose(size_t *check, struct play *play)
{
	struct next_advice advice = {0};

	*check = REASON_NONE;
	if (play->fixer == FIXER_LIKELY ||
	    (play->fixer != FIXER_BEST && play->fixer != FIXER_EXPECTED &&
		is_sure(play)))
		return true;
	if (play->fixer == FIXER_AUTHORED) {
		*check = first_usable(play);
		return true;
	}
	if (next_find(&advice, play->choices, &play->table, play->share,
		play->usable, &play->made->fixes, NULL) != LW_OK)
		return false;
	if ((play->fixer == FIXER_BEST || play->fixer == FIXER_EXPECTED) &&
	    advice.fix_first)
		return true;
	if (play->fixer == FIXER_BITS)
		*check = most_bits(&advice);
	else if (play->fixer == FIXER_EXPECTED)
		*check = least_expected(&advice);
	else if (advice.count > 0)
		*check = advice.choices[0].check;
	return true;
}

/* The engine's way and the others' alike: the best order, but for those who fix
 * the likeliest first. */
static bool
order_fixes(struct play *play)
{
	double cost;
	size_t i;

	if (play->fixer != FIXER_LIKELY)
		return fixes_order(play->order, &cost, play->share,
			   play->table.causes, &play->made->fixes,
			   NULL) == LW_OK;
	play->order[0] = 0;
	for (i = 1; i < play->table.causes; i++)
		if (play->share[i] > play->share[play->order[0]])
			play->order[0] = i;
	return true;
}

static bool
play_on(struct play *play)
{
	size_t check;

	for (;;) {
		if (!choose(&check, play))
			return false;
		if (check != REASON_NONE) {
			do_check(play, check);
			continue;
		}
		if (!order_fixes(play))
			return false;
		if (do_fix(play))
			return true;
	}
}

static void
draw_case(struct play *play, uint64_t seed)
{
	const struct reason_table *table = &play->table;
	struct chance chance;
	size_t j;

	chance_seed(&chance, seed);
	play->fixing->cause =
	    draw(play->made->share, 1, table->causes, &chance);
	for (j = 0; j < table->checks; j++) {
		play->usable[j] = true;
		play->answer[j] =
		    draw(table->check[j].given + play->fixing->cause,
			table->causes, table->check[j].outcomes, &chance);
	}
	memcpy(play->share, play->made->share,
	    table->causes * sizeof *play->share);
}

bool
fixing_try(struct fixing *fixing, const struct noisy_made *made,
    enum fixer fixer, uint64_t seed)
{
	size_t causes = made->table.causes, checks = made->table.checks;
	struct play play = {.made = made,
	    .table = made->table,
	    .fixer = fixer,
	    .answer = calloc(checks, sizeof *play.answer),
	    .usable = calloc(checks, sizeof *play.usable),
	    .share = calloc(causes, sizeof *play.share),
	    .choices = calloc(checks, sizeof *play.choices),
	    .order = calloc(causes, sizeof *play.order),
	    .fixing = fixing};
	bool well = false;

	*fixing = (struct fixing){0};
	if (play.answer != NULL && play.usable != NULL && play.share != NULL &&
	    play.choices != NULL && play.order != NULL) {
		draw_case(&play, seed);
		well = play_on(&play);
	}
	free(play.answer);
	free(play.usable);
	free(play.share);
	free(play.choices);
	free(play.order);
	return well;
}
