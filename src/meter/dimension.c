/* Dimensions: whether two are one, and what they are called. */
#include <lampwright/quantity.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const struct {
	struct lw_dimension dimension; /* kg, m, s, A, K */
	const char *title;
} names[] = {
    {{0, 0, 0, 0, 0}, "a bare number"},
    {{1, 2, -3, -1, 0}, "a voltage (V)"},
    {{0, 0, 0, 1, 0}, "a current (A)"},
    {{1, 2, -3, -2, 0}, "a resistance (ohm)"},
    {{-1, -2, 4, 2, 0}, "a capacitance (F)"},
    {{1, 2, -2, -2, 0}, "an inductance (H)"},
    {{0, 0, 1, 0, 0}, "a time (s)"},
    {{0, 0, -1, 0, 0}, "a rate (Hz, rpm)"},
    {{0, 0, 0, 0, 1}, "a temperature (degC)"},
    {{1, 2, -3, 0, 0}, "a power (W)"},
    {{1, 2, -2, 0, 0}, "an energy or a torque (J, N m)"},
    {{0, 0, 1, 1, 0}, "a charge (Ah)"},
    {{0, 1, 0, 0, 0}, "a length (m)"},
    {{0, 2, 0, 0, 0}, "a cross-section (mm2)"},
    {{0, 1, -1, 0, 0}, "a speed (km/h)"},
    {{1, 0, 0, 0, 0}, "a mass (kg)"},
    {{1, 1, -2, 0, 0}, "a force (N)"},
    {{0, -2, 0, 1, 0}, "a current density (A/mm2)"},
    {{1, 1, -3, -2, 0}, "a resistance per length (ohm/km)"},
    {{0, 0, 0, -1, 0}, "ohms per volt (ohm/V)"},
    {{-1, -2, 2, 1, 0}, "a speed per volt (rpm/V)"},
    {{1, 2, -2, -1, 0}, "a torque per amp (N m/A)"},
};

bool
lw_dimension_equal(struct lw_dimension one, struct lw_dimension other)
{
	return one.kg == other.kg && one.m == other.m && one.s == other.s &&
	       one.a == other.a && one.k == other.k;
}

/* Write the base units of one side of the stroke; gives how many. */
static unsigned
add_bases(char *text, size_t *used, const signed char powers[5], int sign)
{
	static const char *const bases[5] = {"kg", "m", "s", "A", "K"};
	unsigned count = 0;
	size_t i;
	int power;

	for (i = 0; i < 5; i++) {
		power = powers[i] * sign;
		if (power <= 0)
			continue;
		*used += (size_t)snprintf(text + *used, LW_QUANTITY_MAX - *used,
		    power == 1 ? "%s%s" : "%s%s%d", count == 0 ? "" : " ",
		    bases[i], power);
		count++;
	}
	return count;
}

static unsigned
count_below(const signed char powers[5])
{
	unsigned count = 0;
	size_t i;

	for (i = 0; i < 5; i++)
		count += powers[i] < 0;
	return count;
}

void
lw_dimension_say(char *text, struct lw_dimension d)
{
	const signed char powers[5] = {d.kg, d.m, d.s, d.a, d.k};
	unsigned below = count_below(powers);
	size_t i, used = 0;

	for (i = 0; i < sizeof names / sizeof names[0]; i++)
		if (lw_dimension_equal(names[i].dimension, d)) {
			snprintf(text, LW_QUANTITY_MAX, "%s", names[i].title);
			return;
		}
	if (add_bases(text, &used, powers, 1) == 0)
		text[used++] = '1';
	if (below > 0)
		used += (size_t)snprintf(text + used, LW_QUANTITY_MAX - used,
		    below > 1 ? "/(" : "/");
	(void)add_bases(text, &used, powers, -1);
	text[used] = '\0';
	if (below > 1)
		memcpy(text + used, ")", 2);
}
