/* What could have been seen: cycles read off between the pauses. Which of
 * them it was is left to lamp/fit.c and lamp/belief.c. */
#include "lamp/guess.h"

#include "lamp/cluster.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define DISTINCT_MAX 8
#define LISTED_MAX 40
/* Kept for the lamp's list, and for counting what goes dark. */
#define OTHERS_MAX 70
#define NO_GAP_S 1e-6
#define UNKNOWN_PART PART_KINDS
/* Counts that are tried where no code was seen whole. */
#define LONGEST_OPEN 24

/* A flash and what is dark after it. Of taps, only what comes after. */
struct token {
	double flash_s;
	double after_s;
	bool flash_open;
	bool after_open;
	unsigned char flash; /* as labelled */
	unsigned char after; /* UNKNOWN_PART: it may be any longer one */
};

struct lengths {
	double items[ALIGN_RUNS_MAX];
	size_t count;
};

/* What is worked on. */
struct guessing {
	struct guesses *guesses;
	size_t most; /* of them so far; the rest is for those to come */
	const struct sightings *seen;
	const struct lw_known_lamp *known;
	bool inverted;
	struct token tokens[ALIGN_RUNS_MAX + 1];
	size_t token_count;
	double lead_s;		/* dark before the first flash; 0: none */
	struct lengths flashes; /* whole ones */
	struct lengths afters;
	double open_s; /* the longest dark that is open */
};

static void
keep_length(struct lengths *lengths, double length)
{
	if (lengths->count < ALIGN_RUNS_MAX)
		lengths->items[lengths->count++] = length;
}

static double
median_of(struct lengths *lengths)
{
	if (lengths->count == 0)
		return 0;
	cluster_sort(lengths->items, lengths->count);
	return lengths->items[lengths->count / 2];
}

/* Flashes and what comes after them, from the sightings. */
static void
make_tokens(struct guessing *g)
{
	const struct sightings *seen = g->seen;
	struct token *token = NULL;
	size_t i;

	for (i = 0; i < seen->count; i++) {
		const struct sighting *one = &seen->items[i];
		bool open = sightings_open(seen, i);

		if (seen->taps || one->on != g->inverted) {
			token = &g->tokens[g->token_count++];
			memset(token, 0, sizeof *token);
			token->after_open = true;
		}
		if (!seen->taps && one->on != g->inverted) {
			token->flash_s = one->length_s;
			token->flash_open = open;
			if (!open)
				keep_length(&g->flashes, one->length_s);
			continue;
		}
		if (token == NULL)
			g->lead_s = one->length_s;
		else {
			token->after_s = one->length_s;
			token->after_open = open;
		}
		if (!open)
			keep_length(&g->afters, one->length_s);
		else if (one->length_s > g->open_s)
			g->open_s = one->length_s;
	}
	if (seen->taps && !seen->last_open) {
		token = &g->tokens[g->token_count++];
		memset(token, 0, sizeof *token);
		token->after_open = true;
	}
}

/* The usual length of each kind of part as labelled; a fair one for those
 * that were not seen. */
static void
take_tempo(struct tempo *tempo, const struct guessing *g)
{
	struct lengths of[PART_KINDS];
	double *mean = tempo->mean_s;
	size_t i, kind;

	for (kind = 0; kind < PART_KINDS; kind++)
		of[kind].count = 0;
	for (i = 0; i < g->token_count; i++) {
		const struct token *token = &g->tokens[i];

		if (!g->seen->taps && !token->flash_open)
			keep_length(&of[token->flash], token->flash_s);
		if (!token->after_open && token->after < PART_KINDS)
			keep_length(&of[token->after], token->after_s);
	}
	for (kind = 0; kind < PART_KINDS; kind++)
		mean[kind] = median_of(&of[kind]);
	tempo->jitter = g->seen->taps ? 0.07 : 0.04;
	tempo->floor_s = g->seen->taps ? 0.02 : 0.004;
	if (g->seen->taps)
		mean[PART_SHORT] = mean[PART_LONG] = 0.1;
	if (mean[PART_SHORT] <= 0)
		mean[PART_SHORT] = mean[PART_GAP] > 0	 ? mean[PART_GAP]
				   : mean[PART_LONG] > 0 ? mean[PART_LONG] / 3
							 : 0.25;
	if (mean[PART_LONG] <= 0)
		mean[PART_LONG] = 3 * mean[PART_SHORT];
	if (mean[PART_GAP] <= 0)
		mean[PART_GAP] = g->seen->taps && mean[PART_GROUP_GAP] > 0
				     ? mean[PART_GROUP_GAP] / 3
				     : mean[PART_SHORT];
	if (mean[PART_PAUSE] <= 0)
		mean[PART_PAUSE] =
		    fmax(fmax(4 * mean[PART_GAP], 1.5 * mean[PART_GROUP_GAP]),
			1.2 * g->open_s);
	if (mean[PART_GROUP_GAP] <= 0)
		mean[PART_GROUP_GAP] = sqrt(mean[PART_GAP] * mean[PART_PAUSE]);
}

/* Whether two guesses begin alike: from tempos that differ much, the same
 * cycle may come out differently. */
static bool
guesses_same(const struct guess *one, const struct guess *other, bool taps)
{
	size_t i;

	if (!cycle_same(&one->cycle, &other->cycle))
		return false;
	for (i = 0; i < one->cycle.count; i++) {
		unsigned char part = one->cycle.parts[i];
		double ratio =
		    one->start.mean_s[part] / other->start.mean_s[part];

		if ((!taps || !part_is_flash(part)) &&
		    (ratio < 0.7 || ratio > 1.4))
			return false;
	}
	return true;
}

static void
add_guess(
    struct guessing *g, const struct cycle *cycle, const struct tempo *start)
{
	struct guesses *guesses = g->guesses;
	struct guess *guess;
	size_t i;

	if (guesses->count >= g->most || cycle->count == 0)
		return;
	for (i = 0; i < cycle->count && cycle->parts[i] != PART_SHORT; i++)
		;
	/* Long ones alone are just flashes. */
	if (i == cycle->count)
		return;
	guess = &guesses->items[guesses->count];
	guess->cycle = *cycle;
	guess->cycle.inverted = g->inverted;
	guess->start = *start;
	cycle_shorten(&guess->cycle);
	cycle_settle(&guess->cycle);
	for (i = 0; i < guesses->count; i++)
		if (guesses_same(&guesses->items[i], guess, g->seen->taps))
			return;
	guesses->count++;
}

/* Where flashes of a kind begin in a row, within a group. */
static bool
row_begins(const struct cycle *cycle, size_t i)
{
	size_t before = i == 0 ? cycle->count - 1 : i - 1;

	return cycle->parts[before] != PART_GAP ||
	       cycle->parts[i] != cycle->parts[i - 2];
}

/* One flash more, or fewer, in one row of flashes of a cycle. */
static void
add_neighbours(
    struct guessing *g, const struct cycle *cycle, const struct tempo *start)
{
	struct cycle other;
	size_t i;

	for (i = 0; i < cycle->count; i += 2) {
		if (!row_begins(cycle, i))
			continue;
		if (cycle->count + 2 <= CYCLE_PARTS_MAX) {
			other = *cycle;
			memmove(other.parts + i + 2, other.parts + i,
			    other.count - i);
			other.parts[i + 1] = PART_GAP;
			other.count += 2;
			add_guess(g, &other, start);
		}
		if (cycle->parts[i + 1] != PART_GAP ||
		    cycle->parts[i + 2] != cycle->parts[i])
			continue;
		other = *cycle;
		memmove(
		    other.parts + i, other.parts + i + 2, other.count - i - 2);
		other.count -= 2;
		add_guess(g, &other, start);
	}
}

/* Name the parts of every token by the cuts; 0: no such cut. */
static void
label(struct guessing *g, double long_s, double group_s, double pause_s)
{
	size_t i;

	for (i = 0; i < g->token_count; i++) {
		struct token *token = &g->tokens[i];

		token->flash = long_s > 0 && token->flash_s > long_s
				   ? PART_LONG
				   : PART_SHORT;
		token->after = token->after_s > pause_s ? PART_PAUSE
			       : token->after_open	? UNKNOWN_PART
			       : group_s > 0 && token->after_s > group_s
				   ? PART_GROUP_GAP
				   : PART_GAP;
	}
}

/* A code as it stands between two pauses, as tokens. */
struct stand {
	size_t from;
	size_t count;
	size_t votes;
};

static bool
stands_same(const struct guessing *g, const struct stand *one,
    const struct stand *other)
{
	size_t i;

	if (one->count != other->count)
		return false;
	for (i = 0; i < one->count; i++)
		if (g->tokens[one->from + i].flash !=
			g->tokens[other->from + i].flash ||
		    g->tokens[one->from + i].after !=
			g->tokens[other->from + i].after)
			return false;
	return true;
}

static bool
add_stand(
    struct cycle *cycle, const struct guessing *g, const struct stand *stand)
{
	size_t i;

	for (i = 0; i < stand->count; i++) {
		const struct token *token = &g->tokens[stand->from + i];
		bool last = i + 1 == stand->count;
		unsigned char after = last || token->after == UNKNOWN_PART
					  ? PART_PAUSE
					  : token->after;

		if (!cycle_add(
			cycle, (enum part)token->flash, (enum part)after))
			return false;
	}
	return true;
}

/* Codes in turn: for each number of them, the commonest at each place. */
static void
guess_in_turn(struct guessing *g, const struct stand *distinct, size_t kinds,
    const unsigned char *which, size_t count, const struct tempo *start)
{
	size_t turns, at, i, k, votes[DISTINCT_MAX];

	for (turns = 2; turns <= 8 && turns <= count; turns++) {
		struct cycle cycle;
		size_t wrong = 0;
		bool fits = true;

		memset(&cycle, 0, sizeof cycle);
		for (at = 0; at < turns && fits; at++) {
			size_t best = 0, seen = 0;

			memset(votes, 0, sizeof votes);
			for (i = at; i < count; i += turns, seen++)
				if (which[i] < kinds)
					votes[which[i]]++;
			for (k = 1; k < kinds; k++)
				if (votes[k] > votes[best])
					best = k;
			wrong += seen - votes[best];
			fits = votes[best] > 0 &&
			       add_stand(&cycle, g, &distinct[best]);
		}
		if (!fits || wrong * 4 > count)
			continue;
		add_guess(g, &cycle, start);
		/* One of them may have been seen once, and badly. */
		if (turns == 2)
			add_neighbours(g, &cycle, start);
	}
}

/* Where no code was seen whole: what was seen of it, or more. */
static void
guess_open(
    struct guessing *g, const struct stand *longest, const struct tempo *start)
{
	struct cycle cycle;
	size_t flashes, i;
	bool plain = true;

	memset(&cycle, 0, sizeof cycle);
	if (!add_stand(&cycle, g, longest))
		return;
	add_guess(g, &cycle, start);
	for (i = 0; i < cycle.count; i += 2)
		plain =
		    plain && cycle.parts[i] == PART_SHORT &&
		    (i + 2 == cycle.count || cycle.parts[i + 1] == PART_GAP);
	if (!plain) {
		add_neighbours(g, &cycle, start);
		return;
	}
	for (flashes = longest->count; flashes <= LONGEST_OPEN; flashes++) {
		memset(&cycle, 0, sizeof cycle);
		for (i = 1; i <= flashes; i++)
			cycle_add(&cycle, PART_SHORT,
			    i < flashes ? PART_GAP : PART_PAUSE);
		add_guess(g, &cycle, start);
	}
}

/* Two codes in turn, of which one at least was seen again: where one was
 * broken in two, they keep no step. */
static void
guess_pairs(struct guessing *g, const struct stand *distinct, size_t kinds,
    const struct tempo *start)
{
	struct cycle cycle;
	size_t a, b;

	for (a = 0; a < kinds; a++) {
		for (b = a + 1; b < kinds; b++) {
			if (distinct[a].votes + distinct[b].votes < 3)
				continue;
			memset(&cycle, 0, sizeof cycle);
			if (add_stand(&cycle, g, &distinct[a]) &&
			    add_stand(&cycle, g, &distinct[b]))
				add_guess(g, &cycle, start);
		}
	}
}

static size_t
find_stand(struct stand *distinct, size_t *kinds, const struct guessing *g,
    const struct stand *stand)
{
	size_t k;

	for (k = 0; k < *kinds; k++)
		if (stands_same(g, &distinct[k], stand))
			break;
	if (k == *kinds) {
		if (k == DISTINCT_MAX)
			return DISTINCT_MAX;
		distinct[(*kinds)++] = *stand;
	}
	distinct[k].votes++;
	return k;
}

static void
guess_single(struct guessing *g, struct stand *distinct, size_t kinds,
    const struct tempo *start)
{
	struct cycle cycle;
	size_t k, best, tries;

	for (tries = 0; tries < 3 && tries < kinds; tries++) {
		for (best = 0, k = 1; k < kinds; k++)
			if (distinct[k].votes > distinct[best].votes)
				best = k;
		if (distinct[best].votes == 0)
			return;
		memset(&cycle, 0, sizeof cycle);
		if (add_stand(&cycle, g, &distinct[best])) {
			add_guess(g, &cycle, start);
			if (tries == 0)
				add_neighbours(g, &cycle, start);
		}
		distinct[best].votes = 0;
	}
}

/* What one way of naming the parts says. */
static void
guess_labelled(struct guessing *g, double pause_s)
{
	struct stand distinct[DISTINCT_MAX] = {{0, 0, 0}};
	struct stand stand = {0, 0, 0}, longest = {0, 0, 0};
	unsigned char which[ALIGN_RUNS_MAX];
	struct tempo start = {{0}, 0, 0};
	bool whole = g->lead_s > pause_s && !g->seen->taps;
	size_t i, kinds = 0, count = 0;

	take_tempo(&start, g);
	for (i = 0; i < g->token_count; i++) {
		stand.count++;
		if (stand.count > longest.count)
			longest = stand;
		if (g->tokens[i].after != PART_PAUSE)
			continue;
		if (whole)
			which[count++] = (unsigned char)find_stand(
			    distinct, &kinds, g, &stand);
		whole = true;
		stand.from = i + 1;
		stand.count = 0;
	}
	if (count == 0) {
		guess_open(g, &longest, &start);
		return;
	}
	if (kinds > 1)
		guess_in_turn(g, distinct, kinds, which, count, &start);
	guess_pairs(g, distinct, kinds, &start);
	guess_single(g, distinct, kinds, &start);
	/* A longer one at an end was cut there, and may be the true one. */
	if (longest.count > distinct[0].count + 1)
		guess_open(g, &longest, &start);
}

static void
guess_even(struct guessing *g)
{
	struct cycle cycle;
	struct tempo start = {{0}, 0, 0};
	struct lengths afters = g->afters;

	memset(&cycle, 0, sizeof cycle);
	label(g, 0, 0, INFINITY);
	take_tempo(&start, g);
	if (afters.count > 0)
		start.mean_s[PART_GAP] = median_of(&afters);
	else
		start.mean_s[PART_GAP] = g->open_s;
	if (start.mean_s[PART_GAP] <= 0)
		start.mean_s[PART_GAP] = start.mean_s[PART_SHORT];
	cycle_add(&cycle, PART_SHORT, PART_GAP);
	add_guess(g, &cycle, &start);
}

static void
guess_listed(struct guessing *g)
{
	struct tempo start;
	struct cycle cycle;
	size_t i, made = 0, base = g->guesses->count;

	if (g->known == NULL || base < 2)
		return;
	start = g->guesses->items[1].start;
	for (i = 0; i < g->known->pattern_count && made < LISTED_MAX; i++)
		if (cycle_parse(&cycle, g->known->patterns[i])) {
			cycle.spelled = false;
			add_guess(g, &cycle, &start);
			made++;
		}
}

/* Every length of a pause that is longer than the gap between groups. */
static void
guess_cut(struct guessing *g, const struct cuts *pauses, double long_s,
    double group_s)
{
	size_t p;

	for (p = 0; p < pauses->count; p++) {
		if (group_s >= pauses->at[p])
			continue;
		label(g, long_s, group_s, pauses->at[p]);
		guess_labelled(g, pauses->at[p]);
	}
}

static void
guess_side(struct guessing *g)
{
	struct cuts flash_cuts = {{0}, 0}, after_cuts = {{0}, 0};
	size_t p, q, l;

	make_tokens(g);
	if (g->token_count == 0)
		return;
	if (!g->inverted)
		guess_even(g);
	cluster_parts(&after_cuts, g->afters.items, g->afters.count, 1.25);
	if (g->open_s > 0 && after_cuts.count < CUTS_MAX) {
		double most = 0;

		for (p = 0; p < g->afters.count; p++)
			most = fmax(most, g->afters.items[p]);
		if (g->open_s > 1.3 * most)
			after_cuts.at[after_cuts.count++] =
			    most > 0 ? sqrt(most * g->open_s) : 0;
	}
	if (after_cuts.count == 0)
		after_cuts.at[after_cuts.count++] = INFINITY;
	if (!g->inverted && !g->seen->taps)
		cluster_parts(
		    &flash_cuts, g->flashes.items, g->flashes.count, 1.4);
	/* What needs less comes first, in case there are too many. */
	for (l = 0; l <= flash_cuts.count; l++)
		for (q = 0; q <= after_cuts.count; q++)
			guess_cut(g, &after_cuts,
			    l == 0 ? 0 : flash_cuts.at[l - 1],
			    q == 0 ? 0 : after_cuts.at[q - 1]);
	/* Groups of one flash each: there are no gaps. */
	guess_cut(g, &after_cuts, 0, NO_GAP_S);
}

bool
guess_cycles(struct guesses *guesses, const struct sightings *seen,
    const struct lw_known_lamp *known)
{
	static const bool sides[] = {false, true};
	struct guessing *g = calloc(1, sizeof *g);
	size_t i;

	guesses->count = 0;
	if (g == NULL)
		return false;
	assert(seen->count <= ALIGN_RUNS_MAX);
	for (i = 0; i < (seen->taps ? 1 : 2); i++) {
		memset(g, 0, sizeof *g);
		g->guesses = guesses;
		g->most = i == 0 ? GUESSES_MAX - OTHERS_MAX : GUESSES_MAX;
		g->seen = seen;
		g->known = known;
		g->inverted = sides[i];
		guess_side(g);
		g->most = GUESSES_MAX;
		if (i == 0)
			guess_listed(g);
	}
	free(g);
	return true;
}
