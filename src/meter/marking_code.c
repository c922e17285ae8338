/* Reads and writes the letters and digits on resistors: the RKM code of
 * IEC 60062, and the digits on chips. Colours are left to meter/marking.c. */
#include "meter/marking.h"

#include "base/err.h"
#include "base/num.h"
#include "meter/preferred.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { DIGITS_MAX = 8 };

static const struct {
	char letter;
	double percent;
} tolerances[] = {{'E', 0.005}, {'L', 0.01}, {'P', 0.02}, {'W', 0.05},
    {'B', 0.1}, {'C', 0.25}, {'D', 0.5}, {'F', 1}, {'G', 2}, {'H', 3}, {'J', 5},
    {'K', 10}, {'M', 20}, {'N', 30}};

/* The letter stands where the point would. */
static const struct {
	char letter;
	int exponent;
} points[] = {{'R', 0}, {'K', 3}, {'M', 6}, {'G', 9}, {'L', -3}, {'E', 0}};

static char
upper(char c)
{
	return c >= 'a' && c <= 'z' ? (char)(c - 'a' + 'A') : c;
}

static bool
is_digit(char c)
{
	return c >= '0' && c <= '9';
}

static enum lw_status
complain(struct lw_err *err)
{
	return err_set(err, LW_BAD_INPUT,
	    "a code has R, K or M where the point is, like 4K7, R47 or 470R, "
	    "perhaps with a letter for the tolerance (4K7J), or is three or "
	    "four digits");
}

/* 472 is 47 and two zeros, 4701 is 470 and one. */
static enum lw_status
read_digits(struct marking *marking, const char *code, size_t length,
    struct lw_err *err)
{
	size_t i;

	if (length != 3 && length != 4)
		return complain(err);
	marking->digits = true;
	for (i = 0; i + 1 < length; i++)
		marking->number = marking->number * 10 + code[i] - '0';
	marking->exponent = code[i] - '0';
	marking->ohms = preferred_scaled(marking->number, marking->exponent);
	return LW_OK;
}

static bool
find_point(int *exponent, char letter)
{
	size_t i;

	for (i = 0; i < sizeof points / sizeof points[0]; i++)
		if (points[i].letter == upper(letter)) {
			*exponent = points[i].exponent;
			return true;
		}
	return false;
}

static bool
find_tolerance(double *tolerance, char letter)
{
	size_t i;

	for (i = 0; i < sizeof tolerances / sizeof tolerances[0]; i++)
		if (tolerances[i].letter == upper(letter)) {
			*tolerance = tolerances[i].percent / 100;
			return true;
		}
	return false;
}

enum lw_status
marking_of_code(struct marking *marking, const char *code, struct lw_err *err)
{
	char text[DIGITS_MAX + 8];
	size_t before, after;
	const char *rest;
	int exponent;

	*marking = (struct marking){.tolerance = -1, .ppm = -1};
	for (before = 0; is_digit(code[before]);)
		before++;
	if (code[before] == '\0')
		return read_digits(marking, code, before, err);
	if (!find_point(&exponent, code[before]))
		return complain(err);
	for (after = 0, rest = code + before + 1; is_digit(rest[after]);)
		after++;
	if (before + after == 0 || before + after > DIGITS_MAX)
		return complain(err);
	snprintf(text, sizeof text, "%.*s.%.*se%d", (int)before, code,
	    (int)after, rest, exponent);
	if (!num_parse(&marking->ohms, text, strlen(text)))
		return complain(err);
	rest += after + strspn(rest + after, " ");
	if (*rest == '\0')
		return LW_OK;
	if (rest[1] != '\0' || !find_tolerance(&marking->tolerance, *rest))
		return complain(err);
	return LW_OK;
}

/* The letter of a tolerance, or NUL. */
static char
letter_of(double tolerance)
{
	size_t i;

	for (i = 0; i < sizeof tolerances / sizeof tolerances[0]; i++)
		if (fabs(tolerances[i].percent / 100 - tolerance) <
		    1e-6 * fabs(tolerance))
			return tolerances[i].letter;
	return '\0';
}

void
marking_write_code(char *text, double ohms, double tolerance)
{
	const char letter[] = {letter_of(tolerance), '\0'};
	char number[32], *point;
	size_t i = 0;
	double scaled;

	text[0] = '\0';
	/* R, K, M, G: of a thousand each. */
	while (i < 3 && ohms >= preferred_scaled(1, 3 * ((int)i + 1)))
		i++;
	scaled = preferred_scaled(ohms, -points[i].exponent);
	if (scaled < 1e-3 || scaled >= 1e3 ||
	    fabs(num_round(scaled, 4) - scaled) > 1e-9 * scaled)
		return;
	num_format(number, sizeof number, num_round(scaled, 4));
	point = strchr(number, '.');
	if (point == NULL) {
		snprintf(text, MARKING_MAX, "%s%c%s", number, points[i].letter,
		    letter);
		return;
	}
	*point = '\0';
	snprintf(text, MARKING_MAX, "%s%c%s%s",
	    strcmp(number, "0") == 0 ? "" : number, points[i].letter, point + 1,
	    letter);
}
