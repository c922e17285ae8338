/* Reads and writes what stands on resistors: colour bands. Codes are left to
 * meter/marking_code.c, preferred values to meter/preferred.c. */
#include "meter/marking.h"

#include "base/buf.h"
#include "base/err.h"
#include "base/near.h"
#include "base/num.h"
#include "meter/preferred.h"
#include "meter/unit.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { BLACK, WHITE = 9, GOLD, SILVER, PINK, COLOURS };

enum { NOT_AN_EXPONENT = 99, WORD_MAX = 24 };

/* Tolerance in percent, temperature coefficient in millionths per kelvin;
 * below zero where the colour says none. */
static const struct colour {
	const char *name;
	const char *letters; /* IEC 60757 */
	int exponent;
	double percent;
	int ppm;
} colours[COLOURS] = {
    {"black", "bk", 0, -1, 250},
    {"brown", "bn", 1, 1, 100},
    {"red", "rd", 2, 2, 50},
    {"orange", "og", 3, 0.05, 15},
    {"yellow", "ye", 4, 0.02, 25},
    {"green", "gn", 5, 0.5, 20},
    {"blue", "bu", 6, 0.25, 10},
    {"violet", "vt", 7, 0.1, 5},
    {"grey", "gy", 8, 0.01, 1},
    {"white", "wh", 9, -1, -1},
    {"gold", "gd", -1, 5, -1},
    {"silver", "sr", -2, 10, -1},
    {"pink", "pk", -3, -1, -1},
};

/* What else people write. */
static const struct {
	const char *name;
	int colour;
} also[] = {{"gray", 8}, {"purple", 7}, {"purp", 7}, {"lilac", 7},
    {"gld", GOLD}, {"slv", SILVER}, {"blk", BLACK}, {"brn", 1}, {"org", 3},
    {"yel", 4}, {"grn", 5}, {"blu", 6}, {"vio", 7}, {"gry", 8}, {"wht", WHITE}};

static const double BANDLESS = 0.20; /* tolerance where no band says one */

static bool
same(const char *one, const char *other)
{
	return unit_letters_match(one, other, WORD_MAX);
}

static int
find_colour(const char *word)
{
	size_t i;

	for (i = 0; i < COLOURS; i++)
		if (same(word, colours[i].name) ||
		    same(word, colours[i].letters))
			return (int)i;
	for (i = 0; i < sizeof also / sizeof also[0]; i++)
		if (same(word, also[i].name))
			return also[i].colour;
	return -1;
}

static enum lw_status
no_such_colour(const char *word, struct lw_err *err)
{
	struct near near;
	size_t i;

	near_start(&near, word);
	for (i = 0; i < COLOURS; i++)
		near_try(&near, colours[i].name);
	if (near.best != NULL)
		return err_set(err, LW_BAD_INPUT,
		    "there is no band of the colour \"%s\"; nearest is %s",
		    word, near.best);
	return err_set(err, LW_BAD_INPUT,
	    "there is no band of the colour \"%s\"; colours are written like "
	    "yellow, violet, red, gold",
	    word);
}

enum lw_status
marking_bands_parse(
    struct marking_bands *bands, const char *text, struct lw_err *err)
{
	static const char between[] = " \t,;/+-_>";
	char word[WORD_MAX];
	size_t length;
	int colour;

	bands->count = 0;
	for (text += strspn(text, between); *text != '\0';
	     text += length, text += strspn(text, between)) {
		length = strcspn(text, between);
		snprintf(word, sizeof word, "%.*s",
		    (int)(length < WORD_MAX ? length : WORD_MAX - 1), text);
		if (same(word, "none") && bands->count == 3 &&
		    text[length + strspn(text + length, between)] == '\0')
			break;
		colour = find_colour(word);
		if (colour < 0)
			return no_such_colour(word, err);
		if (bands->count == MARKING_BANDS)
			return err_set(err, LW_BAD_INPUT,
			    "a resistor has six bands at most");
		bands->colours[bands->count++] = (unsigned char)colour;
	}
	if (bands->count == 1 && bands->colours[0] == BLACK)
		return err_set(err, LW_BAD_INPUT,
		    "one black band alone marks a link of 0 ohm, a piece of "
		    "wire in a resistor's body");
	if (bands->count < 3)
		return err_set(err, LW_BAD_INPUT,
		    "a resistor has three to six bands, and here %s",
		    bands->count == 0	? "are none"
		    : bands->count == 1 ? "is one"
					: "are two");
	return LW_OK;
}

static enum lw_status
no_such_place(const struct colour *colour, size_t place, bool back,
    const char *is, const char *likely, struct lw_err *err)
{
	return err_set(err, LW_BAD_INPUT, "band %u%s is %s, and no %s is; %s",
	    (unsigned)place + 1, back ? " from the other end" : "",
	    colour->name, is, likely);
}

enum lw_status
marking_of_bands(struct marking *marking, const struct marking_bands *bands,
    bool back, struct lw_err *err)
{
	const size_t digits = bands->count >= 5 ? 3 : 2;
	const struct colour *at;
	size_t i;

	*marking = (struct marking){.tolerance = BANDLESS, .ppm = -1};
	for (i = 0; i < bands->count; i++) {
		at = &colours[bands->colours[back ? bands->count - 1 - i : i]];
		if (i < digits) {
			if (at > &colours[WHITE])
				return no_such_place(at, i, back, "digit",
				    "begin at the other end", err);
			marking->number =
			    marking->number * 10 + (int)(at - colours);
		} else if (i == digits) {
			marking->exponent = at->exponent;
		} else if (i == digits + 1) {
			if (at->percent < 0)
				return no_such_place(at, i, back, "tolerance",
				    "begin at the other end, or look at the "
				    "colours again",
				    err);
			marking->tolerance = at->percent / 100;
		} else {
			if (at->ppm < 0)
				return no_such_place(at, i, back,
				    "temperature coefficient",
				    "begin at the other end, or look at the "
				    "colours again",
				    err);
			marking->ppm = at->ppm;
		}
	}
	marking->ohms = preferred_scaled(marking->number, marking->exponent);
	return LW_OK;
}

static const char *
colour_of_exponent(int exponent)
{
	size_t i;

	for (i = 0; i < COLOURS; i++)
		if (colours[i].exponent == exponent)
			return colours[i].name;
	return NULL;
}

static const char *
colour_of_tolerance(double tolerance)
{
	size_t i;

	for (i = 0; i < COLOURS; i++)
		if (colours[i].percent > 0 &&
		    fabs(colours[i].percent / 100 - tolerance) <
			1e-6 * tolerance)
			return colours[i].name;
	return NULL;
}

void
marking_write_bands(char *text, double ohms, double tolerance, unsigned digits)
{
	const char *multiplier, *last;
	unsigned number, high;
	struct buf list;
	double scaled;
	int exponent;

	ohms = num_round(ohms, 9);
	exponent = (int)floor(log10(ohms)) - (int)digits + 1;
	scaled = preferred_scaled(ohms, -exponent);
	number = (unsigned)lround(scaled);
	text[0] = '\0';
	multiplier = colour_of_exponent(exponent);
	if (fabs(scaled - number) > 1e-6 * scaled || multiplier == NULL)
		return;
	buf_init(&list, MARKING_MAX - 1);
	for (high = digits == 3 ? 100 : 10; high > 0; high /= 10)
		buf_printf(&list, "%s, ", colours[number / high % 10].name);
	buf_add(&list, multiplier);
	last = tolerance < 0 ? NULL : colour_of_tolerance(tolerance);
	if (last != NULL)
		buf_printf(&list, ", %s", last);
	else if (tolerance < 0 || fabs(tolerance - BANDLESS) > 1e-6)
		buf_add(&list, ", then that of the tolerance");
	snprintf(text, MARKING_MAX, "%s", buf_text(&list));
	buf_clear(&list);
}
