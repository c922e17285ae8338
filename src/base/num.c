/* Locale-free numbers, through a "C" locale of our own so that strtod_l
 * rounds correctly for us. */
#define _GNU_SOURCE /* strtod_l, newlocale */
#include "base/num.h"

#include <errno.h>
#include <float.h>
#include <inttypes.h>
#include <locale.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { LONGEST = 400 };

/* strtod and snprintf under the "C" locale of this thread alone. */
static locale_t
enter_c_locale(locale_t *mine)
{
	*mine = newlocale(LC_NUMERIC_MASK, "C", (locale_t)0);
	if (*mine == (locale_t)0)
		return (locale_t)0;
	return uselocale(*mine);
}

static void
leave_c_locale(locale_t mine, locale_t before)
{
	if (mine == (locale_t)0)
		return;
	uselocale(before);
	freelocale(mine);
}

static bool
is_decimal(const char *s)
{
	size_t digits = 0;

	if (*s == '+' || *s == '-')
		s++;
	for (; *s >= '0' && *s <= '9'; s++)
		digits++;
	if (*s == '.')
		for (s++; *s >= '0' && *s <= '9'; s++)
			digits++;
	if (digits == 0)
		return false;
	if (*s == 'e' || *s == 'E') {
		s++;
		if (*s == '+' || *s == '-')
			s++;
		if (*s < '0' || *s > '9')
			return false;
		while (*s >= '0' && *s <= '9')
			s++;
	}
	return *s == '\0';
}

/* Most numbers are short: digits that a double holds exactly, over a power of
 * ten that it holds exactly, are one division that rounds once (Clinger 1990).
 * False for any other text, number or not. */
static bool
parse_short(double *value, const char *text, size_t length)
{
	static const double powers[] = {1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7,
	    1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};
	size_t i = 0, digits = 0, places = 0;
	bool minus = length > 0 && text[0] == '-', point = false;
	uint64_t whole = 0;

	if (FLT_EVAL_METHOD != 0)
		return false;
	if (length > 0 && (text[0] == '-' || text[0] == '+'))
		i++;
	for (; i < length; i++) {
		if (text[i] == '.' && !point) {
			point = true;
			continue;
		}
		if (text[i] < '0' || text[i] > '9' || digits == 15)
			return false;
		whole = 10 * whole + (uint64_t)(text[i] - '0');
		digits++;
		places += point;
	}
	if (digits == 0)
		return false;
	*value = (double)whole / powers[places];
	if (minus)
		*value = -*value;
	return true;
}

bool
num_parse(double *value, const char *text, size_t length)
{
	char copy[LONGEST + 1];
	locale_t mine, before;

	if (parse_short(value, text, length))
		return true;
	if (length == 0 || length > LONGEST)
		return false;
	memcpy(copy, text, length);
	copy[length] = '\0';
	if (strlen(copy) != length || !is_decimal(copy))
		return false;
	before = enter_c_locale(&mine);
	*value = strtod(copy, NULL);
	leave_c_locale(mine, before);
	return isfinite(*value);
}

bool
num_parse_int(int64_t *value, const char *text)
{
	const char *s = text;
	char *end;
	long long n;

	if (*s == '-')
		s++;
	if (*s < '0' || *s > '9')
		return false;
	errno = 0;
	n = strtoll(text, &end, 10);
	if (errno != 0 || *end != '\0')
		return false;
	*value = n;
	return true;
}

/* Numbers with up to three places, which most are, need no search: a double
 * has at most one decimal of 15 digits or fewer. False for any other. */
static bool
format_short(char *text, size_t size, double value)
{
	static const int scales[] = {1, 10, 100, 1000};
	double magnitude = fabs(value);
	int64_t whole = 0;
	int places;

	if (value == 0 || !(magnitude < 1e11))
		return false;
	for (places = 0; places < 4; places++) {
		whole = (int64_t)(magnitude * scales[places] + 0.5);
		if ((double)whole / scales[places] == magnitude)
			break;
	}
	if (places == 4)
		return false;
	if (places == 0)
		snprintf(text, size, "%s%" PRId64, value < 0 ? "-" : "", whole);
	else
		snprintf(text, size, "%s%" PRId64 ".%0*d", value < 0 ? "-" : "",
		    whole / scales[places], places,
		    (int)(whole % scales[places]));
	return true;
}

/* How many digits a number's text has before an exponent. */
static int
count_digits(const char *text)
{
	int digits = 0;

	for (; *text != '\0' && *text != 'e'; text++)
		digits += *text >= '0' && *text <= '9';
	return digits;
}

/* The exponent is taken from the text: log10 is off just below a power. Up to
 * 15 digits only one decimal gives the number back, so nothing shorter than
 * that needs to be tried; but near the smallest doubles, which have fewer. */
void
num_format(char *text, size_t size, double value)
{
	locale_t mine, before;
	double magnitude = fabs(value);
	const char *mark;
	int digits;

	if (format_short(text, size, value))
		return;
	before = enter_c_locale(&mine);
	for (digits = magnitude < 1e-280 ? 1 : 15; digits <= 17; digits++) {
		snprintf(text, size, "%.*g", digits, value);
		if (strtod(text, NULL) == value)
			break;
	}
	mark = strchr(text, 'e');
	if (mark != NULL && magnitude >= 1e-6 && magnitude < 1e15) {
		int places =
		    count_digits(text) - 1 - (int)strtol(mark + 1, NULL, 10);

		snprintf(text, size, "%.*f", places > 0 ? places : 0, value);
	}
	leave_c_locale(mine, before);
}

double
num_round(double value, int digits)
{
	int places;
	double scale;

	if (value == 0 || !isfinite(value))
		return value;
	places = digits - 1 - (int)floor(log10(fabs(value)));
	if (places < -300 || places > 300)
		return value;
	/* A power of ten is exact upwards alone. */
	scale = pow(10, abs(places));
	return places > 0 ? round(value * scale) / scale
			  : round(value / scale) * scale;
}
