/* Draws patterns and timings. Codes that the notation calls the same, or that
 * cannot be told apart without knowing the lamp (1-1 and 2, all long and all
 * short), are a family of their own. */
#include "lamp/drawing.h"

#include "lamp/canonical.h"

#include <string.h>

/* --- patterns --------------------------------------------------------------
 */

/* What cannot be told. */
static const char *const limits[] = {
    "1-1", "1-1-1", "3L", "3S", "3+3", "on", "off"};

enum { LIMITS = sizeof limits / sizeof limits[0] };

static void
draw_digits(char *text, struct chance *chance, unsigned groups)
{
	unsigned digit[3], i, all = 0;

	while (all <= groups) {
		all = 0;
		for (i = 0; i < groups; i++)
			all += digit[i] = chance_whole(chance, 1, 9);
	}
	if (groups == 2)
		sprintf(text, "%u-%u", digit[0], digit[1]);
	else
		sprintf(text, "%u-%u-%u", digit[0], digit[1], digit[2]);
}

static void
draw_long_short(char *text, struct chance *chance)
{
	struct canonical made = {.count = 1};
	struct lw_pattern pattern;
	struct code *code = &made.lamps[0].codes[0];
	unsigned i, all = chance_whole(chance, 2, 8);

	made.lamps[0].count = 1;
	while (code->count < 2) {
		code->count = 0;
		for (i = 0; i < all; i++)
			canonical_add_flashes(
			    code, 1, chance_share(chance) < 0.5);
	}
	canonical_write(&pattern, &made);
	strcpy(text, pattern.text);
}

static void
draw_rate(char *text, struct chance *chance)
{
	struct canonical made = {.count = 1};
	struct lw_pattern pattern;
	struct code *code = &made.lamps[0].codes[0];
	double period, duty;

	made.lamps[0].count = 1;
	do {
		period = chance_ratio(chance, 0.32, 2.5);
		duty = 5 * chance_whole(chance, 9, 15);
	} while (period * fmin(duty, 100 - duty) < 15);
	canonical_set_rate(code, 1 / period);
	canonical_set_duty(code, duty);
	canonical_write(&pattern, &made);
	strcpy(text, pattern.text);
}

static void
draw_turns(char *text, struct chance *chance)
{
	unsigned one = chance_whole(chance, 1, 9), other = one;

	while (other == one)
		other = chance_whole(chance, 1, 9);
	sprintf(text, "%u+%u", one, other);
}

static void
draw_lamps(char *text, struct chance *chance)
{
	char digits[40];

	draw_digits(digits, chance, 2);
	if (chance_share(chance) < 0.5)
		sprintf(text, "red:%u green:%u", chance_whole(chance, 2, 9),
		    chance_whole(chance, 2, 9));
	else
		sprintf(text, "red:%s green:%u", digits,
		    chance_whole(chance, 2, 9));
}

unsigned
drawing_pattern(char *text, struct chance *chance, unsigned families)
{
	unsigned family;

	do
		family = 1u << chance_whole(chance, 0, 11);
	while ((family & families) == 0);
	switch (family) {
	case FAMILY_ONE:
		strcpy(text, "1");
		break;
	case FAMILY_FEW:
		sprintf(text, "%u", chance_whole(chance, 2, 4));
		break;
	case FAMILY_SOME:
		sprintf(text, "%u", chance_whole(chance, 5, 10));
		break;
	case FAMILY_MANY:
		sprintf(text, "%u", chance_whole(chance, 11, 20));
		break;
	case FAMILY_TWO_DIGITS:
	case FAMILY_THREE_DIGITS:
		draw_digits(text, chance, family == FAMILY_TWO_DIGITS ? 2 : 3);
		break;
	case FAMILY_LONG_SHORT:
	case FAMILY_LETTERS:
		draw_long_short(text, chance);
		break;
	case FAMILY_RATE:
		draw_rate(text, chance);
		break;
	case FAMILY_IN_TURN:
		draw_turns(text, chance);
		break;
	case FAMILY_LAMPS:
		draw_lamps(text, chance);
		break;
	case FAMILY_LIMIT:
		strcpy(text, limits[chance_whole(chance, 0, LIMITS - 1)]);
		break;
	}
	return family;
}

/* --- timing ----------------------------------------------------------------
 */

void
drawing_timing(struct making *how, struct chance *chance, unsigned family)
{
	how->on_s = chance_ratio(chance, 0.15, 0.5);
	how->gap_s =
	    chance_ratio(chance, fmax(0.15, how->on_s * 0.6), how->on_s * 1.7);
	how->long_s = how->on_s * chance_ratio(chance, 2.5, 4);
	how->group_gap_s = how->gap_s * chance_ratio(chance, 2, 3.5);
	how->pause_s = how->gap_s * chance_ratio(chance, 2.4, 10);
	if (family == FAMILY_LETTERS)
		how->between_s = how->group_gap_s;
	if ((family &
		(DIGITS | FAMILY_LAMPS | FAMILY_LETTERS | FAMILY_LIMIT)) != 0)
		how->pause_s =
		    how->group_gap_s * chance_ratio(chance, 1.6, 3.5);
	if (family == FAMILY_ONE && how->pause_s < 2.6 * how->on_s)
		how->pause_s = how->on_s * chance_ratio(chance, 2.6, 8);
	/* Even flashes may be the beginning of a long group. */
	if (family == FAMILY_RATE)
		how->cycles = 12;
}

void
drawing_tap_timing(struct making *how, struct chance *chance, unsigned family)
{
	double apart = chance_ratio(chance, 0.42, 1);

	how->on_s = apart / 2;
	how->gap_s = apart / 2;
	how->group_gap_s = how->gap_s * chance_ratio(chance, 2.4, 3.5);
	how->pause_s = how->gap_s * chance_ratio(chance, 2.4, 8);
	if ((family & DIGITS) != 0)
		how->pause_s = how->group_gap_s * chance_ratio(chance, 2, 3);
	/* Even taps may be the beginning of a long group. */
	if (family == FAMILY_ONE)
		how->cycles = 12;
}
