/* What a lamp shows, drawn by chance: its pattern and its timing. */
#ifndef TESTS_DRAWING_H
#define TESTS_DRAWING_H

#include "lamp/chance.h"
#include "lamp/making.h"

enum {
	FAMILY_ONE = 1,
	FAMILY_FEW = 2,	 /* 2-4 */
	FAMILY_SOME = 4, /* 5-10 */
	FAMILY_MANY = 8, /* 11-20 */
	FAMILY_TWO_DIGITS = 16,
	FAMILY_THREE_DIGITS = 32,
	FAMILY_LONG_SHORT = 64,
	FAMILY_LETTERS = 128, /* long and short, dark for longer between runs */
	FAMILY_RATE = 256,
	FAMILY_IN_TURN = 512,
	FAMILY_LAMPS = 1024,
	FAMILY_LIMIT = 2048, /* cannot be told: see limits[] */
	COUNTS = 15,
	DIGITS = 48,
	SINGLE = 1023 & ~FAMILY_LETTERS,
	ALL = SINGLE | FAMILY_LAMPS
};

/* A pattern of one of the families, into LW_PATTERN_MAX bytes; that family. */
unsigned drawing_pattern(char *text, struct chance *chance, unsigned families);

/* The pause is 2.4 to 10 times the gap, and stands out of the gap between
 * groups; a single flash is lit for less than 28 % of its period. */
void drawing_timing(struct making *how, struct chance *chance, unsigned family);

/* A tap is a flash's onset alone; 0.42 s from one to the next and slower. */
void drawing_tap_timing(
    struct making *how, struct chance *chance, unsigned family);

#endif
