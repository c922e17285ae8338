/* How long the parts of a cycle are, and what it costs to say so. Laying the
 * runs along the cycle is left to lamp/align.c. */
#include "lamp/fit.h"

#include <math.h>
#include <string.h>

#define ROUNDS 2
/* A mean is anywhere between 10 ms and 30 s: ln(3000). */
#define ANY_LENGTH 8.0
/* What a lamp, or a hand, is like before anything is seen of it: the share
 * of a length that it is off by, and how many sightings that is worth. */
#define LIGHT_JITTER 0.03
#define TAP_JITTER 0.06
#define JITTER_WORTH 4.0

void
fit_drop_flashes(struct cycle *cycle)
{
	size_t i, kept = 0;

	for (i = 0; i < cycle->count; i++)
		if (!part_is_flash(cycle->parts[i]))
			cycle->parts[kept++] = cycle->parts[i];
	cycle->count = kept;
}

static bool
is_open(const struct sightings *seen, size_t i)
{
	return (i == 0 && seen->first_open) ||
	       (i + 1 == seen->count && seen->last_open);
}

/* The means of the parts that were seen whole, and the jitter of all. */
static void
learn(struct fit *fit, const struct mark *marks, const struct sightings *seen)
{
	double weights[PART_KINDS] = {0}, sums[PART_KINDS] = {0};
	double usual = seen->taps ? TAP_JITTER : LIGHT_JITTER;
	double off = JITTER_WORTH * usual * usual, worth = JITTER_WORTH;
	struct tempo *tempo = &fit->tempo;
	size_t i;

	memset(fit->seen, 0, sizeof fit->seen);
	for (i = 0; i < seen->count; i++) {
		const struct sighting *one = &seen->items[i];
		unsigned char kind = fit->cycle.parts[marks[i].part];
		double mean = tempo->mean_s[kind];
		double variance = one->variance +
				  tempo->jitter * tempo->jitter * mean * mean +
				  tempo->floor_s * tempo->floor_s;
		double away = one->length_s - mean;

		if (!marks[i].whole || is_open(seen, i) ||
		    away * away > 25 * variance)
			continue;
		weights[kind] += 1 / variance;
		sums[kind] += one->length_s / variance;
		fit->seen[kind]++;
	}
	for (i = 0; i < PART_KINDS; i++)
		if (fit->seen[i] > 0)
			tempo->mean_s[i] = sums[i] / weights[i];
	for (i = 0; i < seen->count; i++) {
		const struct sighting *one = &seen->items[i];
		unsigned char kind = fit->cycle.parts[marks[i].part];
		double mean = tempo->mean_s[kind];
		double away = (one->length_s - mean) * (one->length_s - mean);
		double most = 25 * (one->variance + 0.01 * mean * mean);

		if (!marks[i].whole || is_open(seen, i) ||
		    fit->seen[kind] < 2 || away > most)
			continue;
		away -= one->variance + tempo->floor_s * tempo->floor_s;
		/* The mean was made to fit them. */
		away *= (double)fit->seen[kind] / (double)(fit->seen[kind] - 1);
		off += away / (mean * mean);
		worth += 1;
	}
	tempo->jitter = fmin(fmax(sqrt(fmax(off / worth, 0)), 0.006), 0.2);
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
	else if (kind == PART_GAP && !cycle_is_even(&fit->cycle))
		usual = log_normal(mean[kind], mean[PART_SHORT], 0.7);
	usual = 0.5 * any + 0.5 * usual;
	if (of_known > 0)
		return 0.3 * usual +
		       0.7 * log_normal(mean[kind], of_known, 0.25);
	return usual;
}

/* Parts of different kinds have to differ. */
static bool
kinds_differ(const struct fit *fit, bool taps)
{
	const double *mean = fit->tempo.mean_s;
	bool used[PART_KINDS] = {false};
	double over = taps ? 1.15 : 1.2;
	size_t i;

	for (i = 0; i < fit->cycle.count; i++)
		used[fit->cycle.parts[i]] = true;
	if (used[PART_LONG] && used[PART_SHORT] &&
	    mean[PART_LONG] < 1.4 * mean[PART_SHORT])
		return false;
	if (used[PART_GROUP_GAP] && used[PART_GAP] &&
	    mean[PART_GROUP_GAP] < over * mean[PART_GAP])
		return false;
	if (used[PART_PAUSE] && used[PART_GROUP_GAP] &&
	    mean[PART_PAUSE] < over * mean[PART_GROUP_GAP])
		return false;
	return !used[PART_PAUSE] || !used[PART_GAP] ||
	       mean[PART_PAUSE] >= over * mean[PART_GAP];
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
		sum = align_cycle(room, marks, seen, &fit->cycle, &fit->tempo);
		if (isinf(sum))
			break;
		if (round < ROUNDS)
			learn(fit, marks, seen);
	}
	fit->log_evidence = sum;
	if (!isinf(sum))
		fit->log_evidence = kinds_differ(fit, seen->taps)
					? sum + log_room(fit, seen, known)
					: -INFINITY;
}
