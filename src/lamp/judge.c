/* Weighs the cycles that were guessed against each other. What is said of the
 * winner is left to lamp/sight.c. */
#include "lamp/judge.h"

#include "base/err.h"
#include "lamp/belief.h"
#include "lamp/canonical.h"
#include "lamp/guess.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Cycles that are this much less likely than the best after a first look, as
 * a logarithm, are not fitted; nor more than so many. */
#define FIRST_LOOK 35.0
#define FITTED_MAX 24
/* One flash a period is `1` when it is lit less than a third of the time. */
#define SINGLE_DUTY (1.0 / 3)
/* Evenly spaced taps are `1` rather than a rate. */
#define TAPPED_SINGLE 0.95

/* What is judged. */
struct judging {
	struct judgement *to;
	const struct sightings *seen;
	const struct lw_known_lamp *known;
	struct align_room *room;
	struct mark marks[ALIGN_RUNS_MAX];
	struct guesses guesses;
	double looks[GUESSES_MAX];
	double best; /* log evidence of the best fit, with belief */
};

static void
count_in(
    struct judging *judging, const struct lw_pattern *pattern, double log_share)
{
	struct judgement *to = judging->to;
	size_t i;

	if (isinf(log_share) || isnan(log_share))
		return;
	for (i = 0; i < to->count; i++)
		if (strcmp(to->patterns[i].pattern.text, pattern->text) == 0)
			break;
	if (i == JUDGED_MAX)
		return;
	if (i == to->count) {
		to->patterns[i].pattern = *pattern;
		to->patterns[i].share = log_share;
		to->count++;
	} else if (log_share > to->patterns[i].share)
		to->patterns[i].share = log_share;
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
		return TAPPED_SINGLE;
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

static void
count_even(struct judging *judging, const struct fit *fit, double evidence)
{
	struct lw_pattern pattern;
	double single = single_share(judging, fit);

	if (lw_pattern_parse(&pattern, "1", NULL) == LW_OK)
		count_in(judging, &pattern,
		    evidence + belief_before(&pattern, judging->known) +
			log(single + 1e-12));
	if (rate_pattern(&pattern, judging, fit))
		count_in(judging, &pattern,
		    evidence + belief_before(&pattern, judging->known) +
			log(1 - single + 1e-12));
}

/* A lamp with long and short flashes of which only one kind was seen: by how
 * long they usually are. */
static void
count_one_length(
    struct judging *judging, const struct fit *fit, double evidence)
{
	struct cycle spelled = fit->cycle;
	struct lw_pattern pattern;
	double usual = judging->known->on_s, share = 0, z;
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
			count_in(judging, &pattern,
			    evidence + log(share + 1e-12) +
				belief_before(&pattern, judging->known));
	}
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

static void
fit_guess(struct judging *judging, const struct guess *guess)
{
	struct judgement *to = judging->to;
	struct lw_pattern pattern;
	struct fit fit;
	double all;
	size_t i;

	fit_cycle(&fit, judging->marks, judging->room, judging->seen,
	    &guess->cycle, &guess->start, judging->known);
	if (isinf(fit.log_evidence))
		return;
	if (cycle_is_even(&guess->cycle)) {
		count_even(judging, &fit, fit.log_evidence);
		all = fit.log_evidence + log(0.05);
	} else {
		bool longs = false;

		for (i = 0; i < guess->cycle.count; i++)
			longs = longs || guess->cycle.parts[i] == PART_LONG;
		if (judging->known != NULL && !judging->seen->taps && !longs &&
		    judging->known->coding == LW_CODING_LONG_SHORT) {
			count_one_length(judging, &fit, fit.log_evidence);
			if (!write_pattern(
				&pattern, &guess->cycle, judging->known))
				return;
			all = fit.log_evidence +
			      belief_before(&pattern, judging->known);
		} else {
			if (!write_pattern(
				&pattern, &guess->cycle, judging->known))
				return;
			all = fit.log_evidence +
			      belief_before(&pattern, judging->known) +
			      (guess->cycle.inverted ? log(0.05) : 0);
			count_in(judging, &pattern, all);
		}
	}
	if (!to->has_fit || all > judging->best) {
		judging->best = all;
		to->has_fit = true;
		to->fit = fit;
		to->cycle = guess->cycle;
		memcpy(to->marks, judging->marks,
		    judging->seen->count * sizeof to->marks[0]);
	}
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
					&cycle, &guess->start) +
				    believed(judging, guess);
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
