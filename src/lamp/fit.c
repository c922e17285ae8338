/* How long the parts of a cycle are, and what it costs to say so. Laying the
 * runs along the cycle is left to lamp/align.c. */
#include "lamp/fit.h"

#include <math.h>
#include <string.h>

#define ROUNDS 2
/* What a lamp, or a hand, is like before anything is seen of it: the share
 * of a length that it is off by, and how many sightings that is worth. */
#define LIGHT_JITTER 0.03
#define TAP_JITTER 0.06
#define JITTER_WORTH 4.0

/* From one flash of a group to the next, usually: judgement. */
#define TAP_GAP_S 0.55

/* Whether there is neither pause nor group; of taps, too. */
static bool
is_even(const struct fit *fit)
{
	return cycle_is_even(&fit->cycle) ||
	       (fit->cycle.count == 1 && fit->cycle.parts[0] == PART_GAP);
}

double
fit_around_s(const struct fit *fit)
{
	double around = 0;
	size_t i;

	for (i = 0; i < fit->cycle.count; i++)
		around += fit->tempo.mean_s[fit->cycle.parts[i]];
	return around;
}

void
fit_drop_flashes(struct cycle *cycle)
{
	size_t i, kept = 0;

	for (i = 0; i < cycle->count; i++)
		if (!part_is_flash(cycle->parts[i]))
			cycle->parts[kept++] = cycle->parts[i];
	cycle->count = kept;
}

/* A part that was seen whole, for what is learnt from it; false where it was
 * not, or is far off. */
static bool
is_lesson(const struct fit *fit, const struct mark *mark,
    const struct sightings *seen, size_t i)
{
	double mean = fit->tempo.mean_s[fit->cycle.parts[mark->part]];
	double away = seen->items[i].length_s - mean;
	double jitter = fmax(fit->tempo.jitter, 0.06) * mean;
	double floor = fit->tempo.floor_s;

	return mark->whole && !sightings_open(seen, i) &&
	       away * away < 16 * (seen->items[i].variance + jitter * jitter +
				      floor * floor);
}

static void
learn_means(
    struct fit *fit, const struct mark *marks, const struct sightings *seen)
{
	double weights[PART_KINDS] = {0}, sums[PART_KINDS] = {0};
	struct tempo *tempo = &fit->tempo;
	size_t i;

	memset(fit->seen, 0, sizeof fit->seen);
	for (i = 0; i < seen->count; i++) {
		unsigned char kind = fit->cycle.parts[marks[i].part];
		double jitter = tempo->jitter * tempo->mean_s[kind];
		double variance = seen->items[i].variance + jitter * jitter +
				  tempo->floor_s * tempo->floor_s;

		if (!is_lesson(fit, &marks[i], seen, i))
			continue;
		weights[kind] += 1 / variance;
		sums[kind] += seen->items[i].length_s / variance;
		fit->seen[kind]++;
	}
	for (i = 0; i < PART_KINDS; i++)
		if (fit->seen[i] > 0)
			tempo->mean_s[i] = sums[i] / weights[i];
}

/* The jitter of all parts together: what they are off by beyond what their
 * ends are uncertain by, each counting as much as it can say about it. */
static void
learn_jitter(
    struct fit *fit, const struct mark *marks, const struct sightings *seen)
{
	double usual = seen->taps ? TAP_JITTER : LIGHT_JITTER;
	double off = JITTER_WORTH * usual * usual, worth = JITTER_WORTH;
	struct tempo *tempo = &fit->tempo;
	size_t i;

	for (i = 0; i < seen->count; i++) {
		unsigned char kind = fit->cycle.parts[marks[i].part];
		double mean = tempo->mean_s[kind];
		double away = (seen->items[i].length_s - mean) / mean;
		double ends = (seen->items[i].variance +
				  tempo->floor_s * tempo->floor_s) /
			      (mean * mean);
		double says = 0.0016 / (0.0016 + ends);

		if (fit->seen[kind] < 2 || !is_lesson(fit, &marks[i], seen, i))
			continue;
		/* The mean was made to fit them. */
		away *= away * (double)fit->seen[kind] /
			(double)(fit->seen[kind] - 1);
		off += says * says * (away - ends);
		worth += says * says;
	}
	tempo->jitter = fmin(fmax(sqrt(fmax(off / worth, 0)), 0.008), 0.2);
}

static void
learn(struct fit *fit, const struct mark *marks, const struct sightings *seen)
{
	learn_means(fit, marks, seen);
	learn_jitter(fit, marks, seen);
}

/* The density of a normal in the logarithm of a length. */
static double
log_normal(double length, double middle, double spread)
{
	double z = log(length / middle) / spread;

	return exp(-0.5 * z * z) / (length * spread * 2.5066);
}

static double
known_length(const struct lw_known_lamp *known, size_t kind, bool taps)
{
	double lit;

	if (known == NULL)
		return 0;
	lit = taps ? known->on_s : 0;
	switch (kind) {
	case PART_SHORT:
		return known->on_s;
	case PART_LONG:
		return 3 * known->on_s;
	case PART_GAP:
		return known->gap_s > 0 ? known->gap_s + lit : 0;
	case PART_GROUP_GAP:
		return known->group_gap_s > 0 ? known->group_gap_s + lit : 0;
	default:
		return known->pause_s > 0 ? known->pause_s + lit : 0;
	}
}

/* How likely such a mean is before anything is seen: anything, or as parts
 * usually stand to each other, or as the lamp is known to be. */
static double
prior_density(const struct fit *fit, size_t kind,
    const struct lw_known_lamp *known, bool taps)
{
	const double *mean = fit->tempo.mean_s;
	double any = 1 / (ANY_LENGTH * mean[kind]);
	double usual = any, of_known = known_length(known, kind, taps);
	double gap =
	    fit->seen[PART_GAP] > 0 ? mean[PART_GAP] : mean[PART_SHORT];

	if (kind == PART_LONG)
		usual = log_normal(mean[kind], 3 * mean[PART_SHORT], 0.4);
	else if (kind == PART_GROUP_GAP && gap > 0)
		usual = log_normal(mean[kind], 3 * gap, 0.5);
	else if (kind == PART_PAUSE && gap > 0)
		usual = log_normal(mean[kind], 5 * gap, 0.8);
	else if (kind == PART_GAP && !is_even(fit))
		usual = taps ? log_normal(mean[kind], TAP_GAP_S, 0.5)
			     : log_normal(mean[kind], mean[PART_SHORT], 0.7);
	usual = 0.1 * any + 0.9 * usual;
	if (of_known > 0)
		return 0.3 * usual +
		       0.7 * log_normal(mean[kind], of_known, 0.25);
	return usual;
}

/* The logarithm of how fair it is that two kinds of parts stand so to each
 * other: they have to differ, by more than jitter would make them. Published
 * pauses are 2.36 to 10 times the gap, pauses 1.5 times the gap between
 * groups and more, long flashes 3 times the short ones. */
static double
log_apart(const struct fit *fit, const struct sightings *seen, const bool *used,
    enum part less, enum part more, double least)
{
	double ratio, steps, samples;

	if (!used[less] || !used[more])
		return 0;
	ratio = fit->tempo.mean_s[more] / fit->tempo.mean_s[less];
	if (ratio < 1.1)
		return -INFINITY;
	steps = log(ratio / least) / 0.06;
	if (seen->step_s > 0) {
		/* Where both ends fall on a sample, lengths are a sample more
		 * or less. */
		samples = (fit->tempo.mean_s[more] - fit->tempo.mean_s[less]) /
			  seen->step_s;
		steps = fmin(steps, (samples - 2.2) / 0.06);
	}
	return steps > 30 ? 0 : steps < -30 ? steps : -log1p(exp(-steps));
}

/* The same for a dark part of a group beside its flashes: Linux' heartbeat
 * has 3.5 times, and more than 5 is no group to the eye (judgement). */
static double
log_together(
    const struct fit *fit, const bool *used, enum part dark, double most)
{
	double steps;

	if (!used[PART_SHORT] || !used[dark])
		return 0;
	steps = log(fit->tempo.mean_s[dark] /
		    (fit->tempo.mean_s[PART_SHORT] * most)) /
		0.12;
	return steps < -30 ? 0 : steps > 30 ? -steps : -log1p(exp(steps));
}

static double
log_kinds_apart(const struct fit *fit, const struct sightings *seen)
{
	bool used[PART_KINDS] = {false};
	size_t i;

	for (i = 0; i < fit->cycle.count; i++)
		used[fit->cycle.parts[i]] = true;
	if (is_even(fit))
		return 0;
	return log_apart(fit, seen, used, PART_SHORT, PART_LONG, 1.8) +
	       log_apart(fit, seen, used, PART_GAP, PART_GROUP_GAP, 1.5) +
	       log_apart(fit, seen, used, PART_GROUP_GAP, PART_PAUSE, 1.35) +
	       log_apart(fit, seen, used, PART_GAP, PART_PAUSE, 1.7) +
	       log_together(fit, used, PART_GAP, 5) +
	       log_together(fit, used, PART_GROUP_GAP, 10);
}

/* What is left of the room for the means once they are known. */
static double
log_room(const struct fit *fit, const struct sightings *seen,
    const struct lw_known_lamp *known)
{
	double sum = 0, own = 0;
	size_t i;

	for (i = 0; i < seen->count; i++)
		own += seen->items[i].variance / (double)seen->count;
	for (i = 0; i < PART_KINDS; i++) {
		double mean = fit->tempo.mean_s[i], variance;

		if (fit->seen[i] == 0)
			continue;
		variance =
		    (own + fit->tempo.floor_s * fit->tempo.floor_s +
			fit->tempo.jitter * fit->tempo.jitter * mean * mean) /
		    (double)fit->seen[i];
		sum += 0.5 * log(6.283185307 * variance) +
		       log(prior_density(fit, i, known, seen->taps));
	}
	return sum;
}

/* Somebody who records a lamp goes on until it has begun again, so that it is
 * rare that no pause was seen, and no code was seen whole between two. With
 * taps, what came so far is judged, and more may come. */
#define PAUSE_UNSEEN 0.02
#define WHOLE_UNSEEN 0.2
#define TAP_PAUSE_UNSEEN 0.05

/* With little seen that says less. */
static double
log_none_seen(const struct sightings *seen)
{
	size_t flashes = seen->count / 2;

	return log(flashes < 4 ? 0.3 : flashes < 6 ? 0.08 : PAUSE_UNSEEN);
}

static double
log_pauses_seen(const struct fit *fit, const struct mark *marks,
    const struct sightings *seen)
{
	size_t i, p, count = fit->cycle.count, pauses = 0;

	if (is_even(fit))
		return 0;
	for (i = 0; i < seen->count; i++) {
		/* At an end it has to be longer than a gap to count. */
		if (sightings_open(seen, i) &&
		    seen->items[i].length_s < 1.3 * fit->tempo.mean_s[PART_GAP])
			continue;
		for (p = 0; p < marks[i].parts; p++)
			pauses +=
			    fit->cycle.parts[(marks[i].part + p) % count] ==
			    PART_PAUSE;
	}
	if (seen->taps)
		return pauses > 0 ? 0 : log(TAP_PAUSE_UNSEEN);
	return pauses > 1    ? 0
	       : pauses == 1 ? log(WHOLE_UNSEEN)
			     : log_none_seen(seen);
}

void
fit_cycle(struct fit *fit, struct mark *marks, struct align_room *room,
    const struct sightings *seen, const struct cycle *cycle,
    const struct tempo *start, const struct lw_known_lamp *known)
{
	double sum = -INFINITY;
	int round;

	memset(fit->seen, 0, sizeof fit->seen);
	fit->cycle = *cycle;
	fit->tempo = *start;
	if (seen->taps)
		fit_drop_flashes(&fit->cycle);
	for (round = 0; round <= ROUNDS; round++) {
		sum = align_cycle(room, marks, round == ROUNDS, seen,
		    &fit->cycle, &fit->tempo);
		if (isinf(sum))
			break;
		if (round < ROUNDS)
			learn(fit, marks, seen);
	}
	fit->log_evidence = sum;
	if (!isinf(sum))
		fit->log_evidence = sum + log_room(fit, seen, known) +
				    log_kinds_apart(fit, seen) +
				    log_pauses_seen(fit, marks, seen);
}
