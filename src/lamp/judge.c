/* Weighs the cycles that were guessed against each other. What is said of the
 * winner is left to lamp/sight.c. */
#include "lamp/judge.h"

#include "base/err.h"
#include "lamp/belief.h"
#include "lamp/canonical.h"
#include "lamp/guess.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Cycles that are this much less likely than the best after a first look, as
 * a logarithm, are not fitted. */
#define FIRST_LOOK 35.0
/* One flash a period is `1` when it is lit less than a third of the time. */
#define SINGLE_DUTY (1.0 / 3)
/* How seldom a lamp is lit between its groups and counts by going dark. */
#define INVERTED 0.05
/* Evenly spaced taps are `1` rather than a rate, but for fast ones, and for
 * those that come much sooner than the lamp's known pause: judgement. */
#define TAPPED_SINGLE 0.95
#define TAPPED_FAST_S 0.28

/* What is judged. */
struct judging {
	struct judgement *to;
	const struct sightings *seen;
	const struct lw_known_lamp *known;
	struct align_room *room;
	struct mark marks[ALIGN_RUNS_MAX];
	struct guesses guesses;
	double looks[GUESSES_MAX];
	double best; /* share of the likeliest pattern so far, a logarithm */
};

/* Count a pattern in that such evidence is for. Gives how likely it is, as a
 * logarithm that compares with others'. */
static double
count_in(
    struct judging *judging, const struct lw_pattern *pattern, double evidence)
{
	struct judgement *to = judging->to;
	double log_share = evidence + belief_before(pattern, judging->known);
	size_t i;

	if (!isfinite(log_share))
		return -INFINITY;
	for (i = 0; i < to->count; i++)
		if (strcmp(to->patterns[i].pattern.text, pattern->text) == 0)
			break;
	assert(i < JUDGED_MAX);
	if (i == to->count) {
		to->patterns[i].pattern = *pattern;
		to->patterns[i].share = log_share;
		to->count++;
	} else if (log_share > to->patterns[i].share)
		to->patterns[i].share = log_share;
	return log_share;
}

/* Of evenly spaced taps: how likely it is that they are one flash and a
 * pause. */
static double
tapped_share(const struct judging *judging, double period)
{
	const struct lw_known_lamp *known = judging->known;
	double odds = TAPPED_SINGLE / (1 - TAPPED_SINGLE), far;

	odds /= 1 + exp(-log(period / TAPPED_FAST_S) / 0.1);
	if (known != NULL && known->pause_s > 0) {
		far = log(period / (known->on_s + known->pause_s)) / 0.5;
		odds *= far < 0 ? exp(-0.5 * far * far) : 1;
	}
	return odds / (1 + odds);
}

/* Of evenly spaced flashes: how likely it is that they are lit for less than
 * a third of the time. */
static double
single_share(const struct judging *judging, const struct fit *fit)
{
	double on = fit->tempo.mean_s[PART_SHORT];
	double period = on + fit->tempo.mean_s[PART_GAP];
	double duty = on / period, spread;

	if (judging->seen->taps)
		return tapped_share(judging, fit->tempo.mean_s[PART_GAP]);
	/* Light and dark are parted a little early or late, always alike. */
	spread = hypot(0.12 * judging->seen->step_s / period, 0.004);
	spread = hypot(spread,
	    fit->tempo.jitter * duty / sqrt(1 + (double)fit->seen[PART_SHORT]));
	return 0.5 * erfc((duty - SINGLE_DUTY) / spread / sqrt(2));
}

static bool
rate_pattern(struct lw_pattern *pattern, const struct judging *judging,
    const struct fit *fit)
{
	struct canonical made;
	struct code *code;
	double on = fit->tempo.mean_s[PART_SHORT];
	double period = fit->tempo.mean_s[PART_GAP];

	if (!judging->seen->taps)
		period += on;
	memset(&made, 0, sizeof made);
	made.count = 1;
	made.lamps[0].count = 1;
	code = &made.lamps[0].codes[0];
	code->coding = LW_CODING_RATE;
	if (!canonical_set_rate(code, 1 / period))
		return false;
	if (!judging->seen->taps)
		(void)canonical_set_duty(code, 100 * on / period);
	return canonical_write(pattern, &made);
}

/* The patterns of a fit: each is counted in, and the likeliest one's share
 * given. */
static double
count_even(struct judging *judging, const struct fit *fit)
{
	struct lw_pattern pattern;
	double single = single_share(judging, fit), best = -INFINITY;

	if (lw_pattern_parse(&pattern, "1", NULL) == LW_OK)
		best = count_in(
		    judging, &pattern, fit->log_evidence + log(single + 1e-12));
	if (rate_pattern(&pattern, judging, fit))
		best = fmax(
		    best, count_in(judging, &pattern,
			      fit->log_evidence + log(1 - single + 1e-12)));
	return best;
}

/* A lamp with long and short flashes of which only one kind was seen: by how
 * long they usually are. */
static double
count_one_length(
    struct judging *judging, const struct fit *fit, double evidence)
{
	struct cycle spelled = fit->cycle;
	struct lw_pattern pattern;
	double usual = judging->known->on_s, share, z, best = -INFINITY;
	double on = fit->tempo.mean_s[PART_SHORT];
	size_t i, kind;

	spelled.spelled = true;
	for (kind = PART_SHORT; kind <= PART_LONG; kind++) {
		for (i = 0; i < spelled.count; i += 2)
			spelled.parts[i] = (unsigned char)kind;
		share = 0.5;
		if (usual > 0) {
			z = log(on / usual) - 0.5 * log(3);
			share =
			    1 / (1 + exp((kind == PART_LONG ? -1 : 1) * z * 8));
		}
		if (cycle_write(&pattern, &spelled))
			best = fmax(best, count_in(judging, &pattern,
					      evidence + log(share + 1e-12)));
	}
	return best;
}

static bool
has_longs(const struct cycle *cycle)
{
	size_t i;

	for (i = 0; i < cycle->count; i++)
		if (cycle->parts[i] == PART_LONG)
			return true;
	return false;
}

/* The pattern of a cycle; codes in turn as the lamp's list has them. */
static bool
write_pattern(struct lw_pattern *pattern, const struct cycle *cycle,
    const struct lw_known_lamp *known)
{
	struct lw_pattern parsed;
	size_t i;

	if (!cycle_write(pattern, cycle))
		return false;
	if (pattern->coding != LW_CODING_IN_TURN || known == NULL)
		return true;
	for (i = 0; i < known->pattern_count; i++)
		if (lw_pattern_same(pattern->text, known->patterns[i]) &&
		    lw_pattern_parse(&parsed, known->patterns[i], NULL) ==
			LW_OK)
			*pattern = parsed;
	return true;
}

static double
count_cycle(
    struct judging *judging, const struct fit *fit, const struct cycle *cycle)
{
	const struct lw_known_lamp *known = judging->known;
	double evidence =
	    fit->log_evidence + (cycle->inverted ? log(INVERTED) : 0);
	struct lw_pattern pattern;

	if (cycle_is_even(cycle))
		return count_even(judging, fit);
	if (known != NULL && known->coding == LW_CODING_LONG_SHORT &&
	    !judging->seen->taps && !has_longs(cycle))
		return count_one_length(judging, fit, evidence);
	if (!write_pattern(&pattern, cycle, known))
		return -INFINITY;
	return count_in(judging, &pattern, evidence);
}

static void
fit_guess(struct judging *judging, const struct guess *guess)
{
	struct judgement *to = judging->to;
	struct fit fit;
	double share;

	fit_cycle(&fit, judging->marks, judging->room, judging->seen,
	    &guess->cycle, &guess->start, judging->known);
	if (isinf(fit.log_evidence))
		return;
	share = count_cycle(judging, &fit, &guess->cycle);
	if (isinf(share) || (to->has_fit && share <= judging->best))
		return;
	judging->best = share;
	to->has_fit = true;
	to->fit = fit;
	to->cycle = guess->cycle;
	memcpy(to->marks, judging->marks,
	    judging->seen->count * sizeof to->marks[0]);
}

static double
believed(const struct judging *judging, const struct guess *guess)
{
	struct lw_pattern pattern;

	if (cycle_is_even(&guess->cycle))
		return log(0.05);
	if (!write_pattern(&pattern, &guess->cycle, judging->known))
		return -INFINITY;
	return belief_before(&pattern, judging->known);
}

/* How likely each guess is at the tempo that it began with. */
static double
look_first(struct judging *judging)
{
	double best = -INFINITY;
	size_t i;

	for (i = 0; i < judging->guesses.count; i++) {
		const struct guess *guess = &judging->guesses.items[i];
		struct cycle cycle = guess->cycle;

		if (judging->seen->taps)
			fit_drop_flashes(&cycle);
		judging->looks[i] = align_look(judging->room, judging->seen,
		    &cycle, &guess->start, believed(judging, guess));
		best = fmax(best, judging->looks[i]);
	}
	align_look_over(judging->room);
	return best;
}

static int
by_share(const void *one, const void *other)
{
	double a = ((const struct verdict_on *)one)->share;
	double b = ((const struct verdict_on *)other)->share;

	return (a < b) - (a > b);
}

/* From logarithms to shares of one. */
static void
make_shares(struct judgement *to, double nothing)
{
	double most = nothing, sum;
	size_t i;

	for (i = 0; i < to->count; i++)
		most = fmax(most, to->patterns[i].share);
	sum = exp(nothing - most);
	for (i = 0; i < to->count; i++) {
		to->patterns[i].share = exp(to->patterns[i].share - most);
		sum += to->patterns[i].share;
	}
	for (i = 0; i < to->count; i++)
		to->patterns[i].share /= sum;
	to->nothing = exp(nothing - most) / sum;
	qsort(to->patterns, to->count, sizeof to->patterns[0], by_share);
}

enum lw_status
judge_sightings(struct judgement *judgement, const struct sightings *seen,
    const struct lw_known_lamp *known, struct lw_err *err)
{
	struct judging *judging = calloc(1, sizeof *judging);
	enum lw_status status = LW_OK;
	size_t i, fitted, next;
	double best;

	memset(judgement, 0, sizeof *judgement);
	if (judging == NULL)
		return err_no_memory(err);
	judging->to = judgement;
	judging->seen = seen;
	judging->known = known;
	judging->room = align_room_new();
	if (judging->room == NULL ||
	    !guess_cycles(&judging->guesses, seen, known)) {
		status = err_no_memory(err);
		goto out;
	}
	best = look_first(judging);
	/* Evenly spaced is the first guess, and always worth a fit. */
	if (judging->guesses.count > 0) {
		fit_guess(judging, &judging->guesses.items[0]);
		judging->looks[0] = -INFINITY;
	}
	for (fitted = 0; fitted < FITTED_MAX; fitted++) {
		for (next = 0, i = 1; i < judging->guesses.count; i++)
			if (judging->looks[i] > judging->looks[next])
				next = i;
		if (judging->guesses.count == 0 ||
		    !(judging->looks[next] > best - FIRST_LOOK))
			break;
		fit_guess(judging, &judging->guesses.items[next]);
		judging->looks[next] = -INFINITY;
	}
	if (align_room_failed(judging->room))
		status = err_no_memory(err);
	make_shares(judgement, align_nothing(seen) + belief_in_nothing());
out:
	align_room_free(judging->room);
	free(judging);
	return status;
}
