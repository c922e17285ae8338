/* Ripple of the mains and of dimmed lamps: found as a line in the spectrum,
 * then averaged out over whole periods, or, where film makes it a slow beat,
 * fitted and taken away. Whether that beat is one, or the lamp itself, is
 * decided by who calls. */
#include "lamp/segment.h"

#include "base/arena.h"
#include "base/err.h"

#include <math.h>
#include <string.h>

#define PI 3.14159265358979323846
#define UNSEEN_HZ 45.0 /* faster than this looks steady to the eye */
#define SLOW_HZ 0.8    /* slower is drift */

enum {
	LENGTH = 2048, /* of a transform, at most */
	BLOCKS = 8,    /* transforms that are averaged */
	BEAT = 512,    /* samples that a beat is fitted to at once */
};

/* A spectrum's powers, up to half the rate of sampling. */
struct spectrum {
	double power[LENGTH / 2];
	double ordered[LENGTH / 2];
	double real[LENGTH];
	double imaginary[LENGTH];
	size_t length; /* of the transform, a power of two */
	double hertz;  /* from one power to the next */
};

/* The discrete Fourier transform in place (Cooley and Tukey 1965). */
static void
transform(double *re, double *im, size_t length)
{
	size_t i, j = 0, half, k;

	for (i = 1; i < length; i++) {
		size_t bit = length >> 1;

		for (; j & bit; bit >>= 1)
			j ^= bit;
		j |= bit;
		if (i < j) {
			double swap = re[i];

			re[i] = re[j];
			re[j] = swap;
			swap = im[i];
			im[i] = im[j];
			im[j] = swap;
		}
	}
	for (half = 1; half < length; half *= 2)
		for (k = 0; k < half; k++) {
			double angle = -PI * (double)k / (double)half;
			double c = cos(angle), s = sin(angle);

			for (i = k; i < length; i += 2 * half) {
				double a = re[i + half], b = im[i + half];
				double x = a * c - b * s, y = a * s + b * c;

				re[i + half] = re[i] - x;
				im[i + half] = im[i] - y;
				re[i] += x;
				im[i] += y;
			}
		}
}

/* Add the powers of samples from..to, laid on an even grid; what is missing
 * counts as 0. */
static void
add_powers(struct spectrum *spectrum, const double *seconds,
    const double *levels, size_t from, size_t to, double step_s)
{
	size_t i, length = spectrum->length;

	memset(spectrum->real, 0, length * sizeof *spectrum->real);
	memset(spectrum->imaginary, 0, length * sizeof *spectrum->real);
	for (i = from; i < to; i++) {
		double at = (seconds[i] - seconds[from]) / step_s + 0.5;

		if (at >= (double)length)
			break;
		spectrum->real[(size_t)at] =
		    levels[i] * (0.5 - 0.5 * cos(2 * PI * at / (double)length));
	}
	transform(spectrum->real, spectrum->imaginary, length);
	for (i = 0; i < length / 2; i++)
		spectrum->power[i] +=
		    spectrum->real[i] * spectrum->real[i] +
		    spectrum->imaginary[i] * spectrum->imaginary[i];
}

/* How much goes on in samples from..to. */
static double
unrest(const double *levels, size_t from, size_t to)
{
	double sum = 0;

	for (; from < to; from++)
		sum += fabs(levels[from]);
	return sum;
}

/* The mean spectrum of the blocks where most goes on. */
static void
find_powers(struct spectrum *spectrum, const double *seconds,
    const double *levels, size_t count, double step_s)
{
	size_t length = LENGTH, blocks, b, taken;
	double most[BLOCKS] = {0};
	size_t which[BLOCKS] = {0};

	while (length > 64 && length / 2 >= count)
		length /= 2;
	spectrum->length = length;
	spectrum->hertz = 1 / (step_s * (double)length);
	memset(spectrum->power, 0, sizeof spectrum->power);
	blocks = (count + length - 1) / length;
	for (b = taken = 0; b < blocks; b++) {
		size_t end = (b + 1) * length, place;
		double much =
		    unrest(levels, b * length, end < count ? end : count);

		place = taken < BLOCKS ? taken++ : BLOCKS - 1;
		if (b >= BLOCKS && much <= most[place])
			continue;
		for (; place > 0 && most[place - 1] < much; place--) {
			most[place] = most[place - 1];
			which[place] = which[place - 1];
		}
		most[place] = much;
		which[place] = b;
	}
	for (b = 0; b < taken; b++) {
		size_t end = (which[b] + 1) * length;

		add_powers(spectrum, seconds, levels, which[b] * length,
		    end < count ? end : count, step_s);
	}
}

static size_t
bin_of(const struct spectrum *spectrum, double hertz)
{
	double bin = hertz / spectrum->hertz;
	double last = (double)(spectrum->length / 2);

	return (size_t)(bin < 1 ? 1 : bin < last ? bin : last);
}

static double
largest(const struct spectrum *spectrum, size_t from, size_t to)
{
	double most = 0;

	for (; from < to; from++)
		most =
		    spectrum->power[from] > most ? spectrum->power[from] : most;
	return most;
}

/* The frequency of a peak, from its logarithm and those beside it. */
static double
peak_hertz(const struct spectrum *spectrum, size_t peak)
{
	const double *p = spectrum->power;
	double left, middle, right, bend, shift = 0;

	if (peak > 0 && peak + 1 < spectrum->length / 2 && p[peak - 1] > 0 &&
	    p[peak + 1] > 0) {
		left = log(p[peak - 1]);
		middle = log(p[peak]);
		right = log(p[peak + 1]);
		bend = left - 2 * middle + right;
		/* The largest in its range may be no peak. */
		if (middle >= left && middle >= right && bend < 0)
			shift = 0.5 * (left - right) / bend;
	}
	return ((double)peak + shift) * spectrum->hertz;
}

static double
usual_power(struct spectrum *spectrum, size_t from, size_t to)
{
	memcpy(spectrum->ordered, spectrum->power + from,
	    (to - from) * sizeof *spectrum->power);
	return segment_rank(spectrum->ordered, to - from, (to - from) / 2);
}

/*
 * The lowest line that stands out above what the eye can follow. Of the
 * differences of levels: there a lamp that flashes has no more power above
 * than below.
 */
static double
find_unseen(struct spectrum *spectrum)
{
	size_t from = bin_of(spectrum, UNSEEN_HZ);
	size_t to = spectrum->length / 2, i;
	double most, usual, below, least;

	if (from + 8 >= to)
		return 0;
	most = largest(spectrum, from, to);
	usual = usual_power(spectrum, from, to);
	below = largest(spectrum, 1, from);
	if (most < 4 * below || most < 25 * usual)
		return 0;
	least = most / 10;
	least = least > 4 * below ? least : 4 * below;
	for (i = from; i < to; i++)
		if (spectrum->power[i] >= least &&
		    spectrum->power[i] >= spectrum->power[i - 1] &&
		    (i + 1 == to ||
			spectrum->power[i] >= spectrum->power[i + 1]))
			return peak_hertz(spectrum, i);
	return 0;
}

double
segment_ripple(const struct segment_series *series, struct lw_arena *arena,
    double *spare, struct lw_err *err)
{
	struct spectrum *spectrum;
	size_t i, n = series->count - 1;

	if (series->count < 64 || series->step_s * 2 * UNSEEN_HZ >= 0.95)
		return 0;
	spectrum = arena_alloc(arena, sizeof *spectrum);
	if (spectrum == NULL) {
		err_no_memory(err);
		return -1;
	}
	for (i = 0; i < n; i++)
		spare[i] = series->levels[i + 1] - series->levels[i];
	find_powers(spectrum, series->seconds, spare, n, series->step_s);
	return find_unseen(spectrum);
}

/* Fit a wave of a frequency to some samples, best near it, and take it off
 * the levels. Returns its amplitude. */
static double
take_off(double *levels, const double *rest, const double *seconds,
    size_t count, double hertz)
{
	double power[3], real[3], imaginary[3], many = (double)count;
	double apart = 0.35 / (seconds[count - 1] - seconds[0]);
	double at[3] = {hertz - apart, hertz, hertz + apart}, bend, best;
	size_t i;
	int f;

	for (f = 0; f < 4; f++) {
		double turn, sum[2] = {0}, cc = 0, ss = 0, cs = 0, whole;

		if (f == 3) {
			bend = power[0] - 2 * power[1] + power[2];
			best =
			    bend < 0 ? 0.5 * (power[0] - power[2]) / bend : 0;
			best = best > 1 ? 1 : best < -1 ? -1 : best;
			at[1] = hertz + best * apart;
		}
		turn = 2 * PI * at[f < 3 ? f : 1];
		for (i = 0; i < count; i++) {
			double angle = turn * (seconds[i] - seconds[0]);
			double c = cos(angle), s = sin(angle);

			sum[0] += rest[i] * c;
			sum[1] += rest[i] * s;
			cc += c * c;
			ss += s * s;
			cs += c * s;
		}
		whole = cc * ss - cs * cs;
		if (!(whole > 1e-6 * many * many))
			return 0;
		real[f % 3] = (sum[0] * ss - sum[1] * cs) / whole;
		imaginary[f % 3] = (sum[1] * cc - sum[0] * cs) / whole;
		if (f < 3)
			power[f] = real[f] * sum[0] + imaginary[f] * sum[1];
	}
	for (i = 0; i < count; i++) {
		double angle = 2 * PI * at[1] * (seconds[i] - seconds[0]);

		levels[i] -= real[0] * cos(angle) + imaginary[0] * sin(angle);
	}
	return sqrt(real[0] * real[0] + imaginary[0] * imaginary[0]);
}

double
segment_beat(double *levels, const struct segment_series *series,
    const double *rest, struct lw_arena *arena, struct lw_err *err)
{
	struct spectrum *spectrum;
	size_t from, to, i, best, blocks;
	double usual, hertz;

	if (series->count < 48)
		return 0;
	spectrum = arena_alloc(arena, sizeof *spectrum);
	if (spectrum == NULL) {
		err_no_memory(err);
		return -1;
	}
	find_powers(
	    spectrum, series->seconds, rest, series->count, series->step_s);
	from = bin_of(spectrum, SLOW_HZ);
	to = spectrum->length / 2;
	if (from + 8 >= to)
		return 0;
	for (i = best = from; i < to; i++)
		if (spectrum->power[i] > spectrum->power[best])
			best = i;
	usual = usual_power(spectrum, from, to);
	if (spectrum->power[best] < 30 * usual)
		return 0;
	hertz = peak_hertz(spectrum, best);
	blocks = (series->count + BEAT / 2) / BEAT;
	blocks = blocks > 0 ? blocks : 1;
	for (i = 0; i < blocks; i++) {
		from = i * BEAT;
		to = i + 1 < blocks ? from + BEAT : series->count;
		take_off(levels + from, rest + from, series->seconds + from,
		    to - from, hertz);
	}
	return hertz;
}
