/* Axes with round ticks. Where they stand on the picture is left to plot.c. */
#include "view/plot.h"

#include "base/num.h"

#include <math.h>

/* Past these a double has no digits left for steps, or labels no room. */
#define LARGEST 1e12
#define SMALLEST 1e-9

static double
step_of(int mantissa, int power)
{
	/* Powers of ten up to 22 are exact, their inverses are not. */
	return power < 0 ? mantissa / pow(10, -power)
			 : mantissa * pow(10, power);
}

/* The smallest step of 1, 2 or 5 times a power of ten that is at least so
 * large, but for rounding. */
static void
choose_step(struct plot_axis *axis, double least)
{
	static const int mantissas[] = {1, 2, 5};
	size_t i;

	axis->power = (int)floor(log10(least)) - 1;
	for (;; axis->power++) {
		for (i = 0; i < 3; i++) {
			axis->mantissa = mantissas[i];
			axis->step = step_of(axis->mantissa, axis->power);
			if (axis->step >= least * (1 - 1e-9))
				return;
		}
	}
}

/* Ticks for what is from `from` to `to`; a hair counts as within. False: they
 * are more than `most`. */
static bool
place_ticks(
    struct plot_axis *axis, double from, double to, size_t most, bool whole)
{
	double low = from / axis->step, high = to / axis->step;
	long last;

	axis->first = lround(whole ? floor(low + 1e-9) : ceil(low - 1e-9));
	last = lround(whole ? ceil(high - 1e-9) : floor(high + 1e-9));
	axis->count = (size_t)(last - axis->first + 1);
	axis->low = whole ? plot_axis_tick(NULL, axis, 0) : from;
	axis->high = whole ? plot_axis_tick(NULL, axis, axis->count - 1) : to;
	return axis->count <= most;
}

bool
plot_axis_fit(struct plot_axis *axis, double lowest, double highest,
    size_t most, bool whole)
{
	double size = fmax(fabs(lowest), fabs(highest)), room;

	if (!isfinite(lowest) || !isfinite(highest) || size > LARGEST)
		return false;
	/* What is level, but for rounding, gets room around it. */
	if (highest - lowest <= size * 1e-6) {
		room = size > 0 ? size * 0.1 : 1;
		lowest -= room;
		highest += room;
	}
	if (highest - lowest < SMALLEST)
		return false;
	choose_step(axis, (highest - lowest) / (double)(most - 1));
	/* Beginning and ending on ticks may take more of them. */
	while (!place_ticks(axis, lowest, highest, most, whole))
		choose_step(axis, axis->step * 1.5);
	return true;
}

double
plot_axis_tick(char *text, const struct plot_axis *axis, size_t tick)
{
	double number =
	    (double)(axis->first + (long)tick) * (double)axis->mantissa;
	double value = axis->power < 0 ? number / pow(10, -axis->power)
				       : number * pow(10, axis->power);

	if (text != NULL)
		num_format(text, 32, value);
	return value;
}
