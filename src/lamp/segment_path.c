/* The cheapest way to read a series as two levels in turn. What the levels
 * and spreads are is said by others. */
#include "lamp/segment.h"

#include <math.h>
#include <stdint.h>

/* Flashes of a sixth of a second and more are looked for, so that in a short
 * time a change is unlikely; less so where samples are missing. */
#define USUAL_S 0.3

double
segment_cost(double seconds, double step_s, double least)
{
	double cost = log(USUAL_S / step_s);

	cost = cost > least ? cost : least;
	if (seconds > step_s)
		cost -= log(seconds / step_s);
	return cost > 0.7 ? cost : 0.7;
}

/* From the better end back to the first sample: bit x of states[i] says where
 * state x came from. */
static void
trace_back(unsigned char *states, size_t count, unsigned char last)
{
	unsigned char state = last;
	size_t i;

	for (i = count; i-- > 0;) {
		unsigned char from = (states[i] >> state) & 1;

		states[i] = state;
		state = from;
	}
}

double
segment_viterbi(unsigned char *states, const double *levels, size_t count,
    const double *dim, const double *bright, const double spread[2], double odd,
    const double *costs)
{
	double scale[2], peak[2], cost[2] = {0, 0};
	size_t i;
	int x;

	for (x = 0; x < 2; x++) {
		scale[x] = 0.5 / (spread[x] * spread[x]);
		peak[x] = log(spread[x]);
	}
	for (i = 0; i < count; i++) {
		double off[2] = {levels[i] - dim[i], levels[i] - bright[i]};
		double next[2];
		unsigned char back = 2;

		for (x = 0; x < 2; x++) {
			double far = off[x] * off[x] * scale[x] + peak[x];

			next[x] = cost[x];
			if (i > 0 && cost[1 - x] + costs[i] < cost[x]) {
				next[x] = cost[1 - x] + costs[i];
				back ^= (unsigned char)(1 << x);
			}
			next[x] += far < odd ? far : odd;
		}
		cost[0] = next[0];
		cost[1] = next[1];
		states[i] = back;
	}
	x = cost[1] < cost[0];
	trace_back(states, count, (unsigned char)x);
	return cost[x];
}

/* The logarithm to within 1e-5, which is enough to compare paths: exponent,
 * and a polynomial over the rest (fitted at Chebyshev's points). */
static double
quick_log(double x)
{
	union {
		double number;
		uint64_t bits;
	} u = {.number = x};
	double whole = (double)((int)(u.bits >> 52) - 1023), m;

	u.bits = (u.bits & 0x000fffffffffffffULL) | 0x3ff0000000000000ULL;
	m = u.number - 1.5;
	return 0.6931471805599453 * whole + 0.405456789 +
	       m * (0.666683674 +
		       m * (-0.221633184 +
			       m * (0.098231542 +
				       m * (-0.055459314 + m * 0.030449005))));
}

/* Where the levels stand, and how well that is known. */
struct belief {
	double base;
	double swing;
	double base2; /* variances */
	double both;
	double swing2;
};

/* After so long nothing is known any more. */
#define LONG_S 1e4

static void
age(struct belief *belief, const struct segment_model *model, double seconds)
{
	seconds = seconds < LONG_S ? seconds : LONG_S;
	belief->base2 += model->drift * seconds;
	belief->swing2 += model->swing_drift * seconds;
}

/* A level seen in a state: what it costs, how far it is off, and the
 * variance of that; 0: the level is odd, and nothing is learned from it. */
struct glance {
	double cost;
	double off;
	double wide;
};

static struct glance
look(const struct belief *b, double level, int x,
    const struct segment_model *model)
{
	double spread = model->spread[x];
	struct glance seen = {.off = level - b->base - (x ? b->swing : 0),
	    .wide = b->base2 + spread * spread};

	if (x)
		seen.wide += 2 * b->both + b->swing2;
	seen.cost =
	    0.5 * (quick_log(seen.wide) + seen.off * seen.off / seen.wide);
	if (seen.cost >= model->odd) {
		seen.cost = model->odd;
		seen.wide = 0;
	}
	return seen;
}

static void
update(struct belief *b, int x, const struct glance *seen,
    const struct segment_model *model)
{
	double h = b->base2 + (x ? b->both : 0), part;
	double k = b->both + (x ? b->swing2 : 0), step;

	if (!(seen->wide > 0)) {
		/* After several of them the levels are somewhere else. */
		b->base2 += 0.01 * model->swing * model->swing;
		if (x)
			b->swing2 += 0.01 * model->swing * model->swing;
		return;
	}
	part = 1 / seen->wide;
	step = seen->off * part;
	b->base += h * step;
	b->swing += k * step;
	b->base2 -= h * h * part;
	b->both -= h * k * part;
	b->swing2 -= k * k * part;
}

/* The dark level by the first samples, odd ones apart; states NULL: all are
 * in state x. */
static double
first_base(const struct segment_series *series,
    const struct segment_model *model, const unsigned char *states, int x)
{
	double base[3], low, high;
	size_t i;

	for (i = 0; i < 3; i++) {
		size_t at = i < series->count ? i : 0;

		if (states != NULL)
			x = states[at];
		base[i] = series->levels[at] - (x ? model->swing : 0);
	}
	low = base[0] < base[1] ? base[0] : base[1];
	high = base[0] < base[1] ? base[1] : base[0];
	return base[2] < low ? low : base[2] > high ? high : base[2];
}

static struct belief
begin(const struct segment_series *series, const struct segment_model *model,
    const unsigned char *states, int x)
{
	double swing = model->swing;
	struct belief belief = {.base = first_base(series, model, states, x),
	    .swing = swing,
	    .base2 = 0.25 * swing * swing,
	    .swing2 = 0.02 * swing * swing};

	return belief;
}

double
segment_track(unsigned char *states, const struct segment_series *series,
    const struct segment_model *model)
{
	struct belief belief[2], next[2];
	double cost[2] = {0, 0},
	       usual = segment_cost(0, series->step_s, SEGMENT_SLOW);
	size_t i;
	int x;

	belief[0] = begin(series, model, NULL, 0);
	belief[1] = begin(series, model, NULL, 1);
	states[0] = 2;
	for (i = 1; i < series->count; i++) {
		double gone = series->seconds[i] - series->seconds[i - 1];
		double change =
		    gone > 1.2 * series->step_s
			? segment_cost(gone, series->step_s, SEGMENT_SLOW)
			: usual;
		double total[2];
		unsigned char back = 2;

		age(&belief[0], model, gone);
		age(&belief[1], model, gone);
		for (x = 0; x < 2; x++) {
			struct glance seen[2];
			double sum[2];
			int from = x, y;

			for (y = 0; y < 2; y++) {
				seen[y] = look(
				    &belief[y], series->levels[i], x, model);
				sum[y] = cost[y] + seen[y].cost +
					 (x != y ? change : 0);
			}
			if (sum[1 - x] < sum[x]) {
				from = 1 - x;
				back ^= (unsigned char)(1 << x);
			}
			total[x] = sum[from];
			next[x] = belief[from];
			update(&next[x], x, &seen[from], model);
		}
		belief[0] = next[0];
		belief[1] = next[1];
		cost[0] = total[0];
		cost[1] = total[1];
		states[i] = back;
	}
	x = cost[1] < cost[0];
	trace_back(states, series->count, (unsigned char)x);
	return cost[x];
}

/* Back from the end (Rauch, Tung and Striebel 1965): `kept` holds the three
 * variances of each sample, base and swing what was known up to it. */
static void
go_back(const struct segment_room *room, const struct segment_series *series,
    const struct segment_model *model)
{
	size_t i;

	for (i = series->count - 1; i-- > 0;) {
		const double *p = room->kept + 3 * i;
		double gone =
		    fmin(series->seconds[i + 1] - series->seconds[i], LONG_S);
		double a = p[0] + model->drift * gone, b = p[1];
		double c = p[2] + model->swing_drift * gone;
		double whole = a * c - b * b;
		double base = room->base[i + 1] - room->base[i];
		double swing = room->swing[i + 1] - room->swing[i];
		double u, v;

		if (!(whole > 0))
			continue;
		u = (c * base - b * swing) / whole;
		v = (a * swing - b * base) / whole;
		room->base[i] += p[0] * u + p[1] * v;
		room->swing[i] += p[1] * u + p[2] * v;
	}
}

double
segment_weigh(double *odd, const unsigned char *states,
    const struct segment_series *series, const struct segment_model *model)
{
	struct belief belief = begin(series, model, states, 0);
	double cost = 0;
	size_t i;

	*odd = 0;
	for (i = 0; i < series->count; i++) {
		struct glance seen;

		if (i > 0)
			age(&belief, model,
			    series->seconds[i] - series->seconds[i - 1]);
		seen = look(&belief, series->levels[i], states[i], model);
		update(&belief, states[i], &seen, model);
		cost += seen.cost;
		*odd += seen.wide > 0 ? seen.off * seen.off / seen.wide : 9;
	}
	*odd /= (double)series->count;
	return cost;
}

void
segment_follow(const struct segment_room *room,
    const struct segment_series *series, const struct segment_model *model)
{
	struct belief belief = begin(series, model, room->states, 0);
	size_t i;

	for (i = 0; i < series->count; i++) {
		struct glance seen;

		if (i > 0)
			age(&belief, model,
			    series->seconds[i] - series->seconds[i - 1]);
		seen = look(&belief, series->levels[i], room->states[i], model);
		update(&belief, room->states[i], &seen, model);
		room->base[i] = belief.base;
		room->swing[i] = belief.swing;
		room->kept[3 * i] = belief.base2;
		room->kept[3 * i + 1] = belief.both;
		room->kept[3 * i + 2] = belief.swing2;
	}
	go_back(room, series, model);
}
