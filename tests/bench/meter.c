/*
 * How many quantities are read and expressions worked out a second. Reading is
 * shown as a multiple of strtod on the same digits, working out as a multiple
 * of the same formula in plain double arithmetic, all in one run, so that the
 * figures compare across machines.
 *
 *     make tests/bench/meter && tests/bench/meter
 */
#define _POSIX_C_SOURCE 200809L
#include "bench/timing.h"
#include "meter/expr.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char formula[] = "resistor * capacitor * ln(1 / (1 - share))";
static const struct expr *expr;
static struct expr_value exact[3], toleranced[3];
static volatile double resistor = 470, capacitor = 0.01, share = 0.95;
static volatile double sink;
static struct lw_err err;

static void
must(enum lw_status status)
{
	if (status == LW_OK)
		return;
	fprintf(stderr, "bench: %s\n", err.text);
	exit(EXIT_FAILURE);
}

static bool
find(const void *context, const char *name, struct expr_name *found)
{
	const char *unit = "number";

	(void)context;
	if (strcmp(name, "resistor") == 0)
		unit = "ohm";
	if (strcmp(name, "capacitor") == 0)
		unit = "F";
	return lw_unit_dimension(&found->dimension, unit, NULL) == LW_OK;
}

static const struct expr_names names = {find, NULL, NULL};

/* --- reading ---------------------------------------------------------------
 */

static void
read_strtod(void)
{
	sink = strtod("12.4", NULL);
}

static void
read_as(const char *text, const char *unit)
{
	struct lw_quantity quantity;

	must(lw_quantity_parse(&quantity, text, unit, &err));
	sink = quantity.value;
}

static void
read_volts(void)
{
	read_as("12.4 V", "V");
}

static void
read_letter(void)
{
	read_as("4k7", "ohm");
}

static void
read_tolerance(void)
{
	read_as("470 ohm 5 %", "ohm");
}

static void
read_gauge(void)
{
	read_as("2/0 AWG", "AWG");
}

/* --- working out ------------------------------------------------------------
 */

static void
plain(void)
{
	sink = resistor * capacitor * log(1 / (1 - share));
}

static void
number(void)
{
	double value;

	must(expr_number(&value, expr, exact, &err));
	sink = value;
}

static void
range_exact(void)
{
	struct expr_range range;

	must(expr_range(&range, expr, exact, &err));
	sink = range.low;
}

static void
range_toleranced(void)
{
	struct expr_range range;

	must(expr_range(&range, expr, toleranced, &err));
	sink = range.low;
}

static void
parse(void)
{
	struct lw_arena *arena = lw_arena_new();
	const struct expr *parsed;

	must(expr_parse(&parsed, arena, formula, &names, &err));
	lw_arena_free(arena);
}

struct tried {
	const char *what;
	void (*call)(void);
};

/* Each beside the first. */
static void
show(const struct tried *tried, size_t count)
{
	double one = 0, took;
	size_t i;

	for (i = 0; i < count; i++) {
		took = time_of(tried[i].call);
		if (i == 0)
			one = took;
		printf("%-36s %10.0f /s %8.2f\n", tried[i].what, 1 / took,
		    took / one);
	}
}

static void
set(struct expr_value *value, double low, double high)
{
	value->low = low;
	value->high = high;
	value->nominal = (low + high) / 2;
}

int
main(void)
{
	static const struct tried reading[] = {
	    {"strtod: 12.4", read_strtod},
	    {"quantity: 12.4 V", read_volts},
	    {"quantity: 4k7", read_letter},
	    {"quantity: 470 ohm 5 %", read_tolerance},
	    {"quantity: 2/0 AWG", read_gauge},
	};
	static const struct tried working[] = {
	    {"plain arithmetic: pre-charge time", plain},
	    {"expression, one number", number},
	    {"expression, range of exact values", range_exact},
	    {"expression, range with tolerances", range_toleranced},
	    {"expression, read and checked", parse},
	};
	struct lw_arena *arena = lw_arena_new();

	must(expr_parse(&expr, arena, formula, &names, &err));
	set(&exact[0], 470, 470);
	set(&exact[1], 0.01, 0.01);
	set(&exact[2], 0.95, 0.95);
	set(&toleranced[0], 446.5, 493.5);
	set(&toleranced[1], 0.008, 0.012);
	set(&toleranced[2], 0.94, 0.96);
	show(reading, sizeof reading / sizeof reading[0]);
	show(working, sizeof working / sizeof working[0]);
	lw_arena_free(arena);
	return EXIT_SUCCESS;
}
