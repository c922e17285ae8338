/*
 * The grid that the decoder is tried over: cells, each a kind of recording.
 * What is made in a cell depends on the seed alone.
 */
#ifndef TESTS_CELLS_H
#define TESTS_CELLS_H

#include "lamp/making.h"

enum { CELL_PATTERNS_MAX = 6 };

/* A lamp that is known beforehand. */
struct cell_known {
	bool set;
	struct lw_known_lamp lamp;
	const char *patterns[CELL_PATTERNS_MAX];
	char texts[CELL_PATTERNS_MAX][LW_PATTERN_MAX];
};

struct cell {
	const char *name;
	const char *what;
	double aim; /* share of right answers; 0: none is set */
	bool taps;
	unsigned families;
	void (*spoil)(struct making *how, struct cell_known *known);
};

extern const struct cell cells[];
extern const size_t cell_count;

const struct cell *cell_named(const char *name);

/* What to make, and what is known; `known` points into itself. */
void cell_draw(struct making *how, struct cell_known *known,
    const struct cell *cell, uint64_t seed);

enum verdict { VERDICT_RIGHT = 0, VERDICT_WRONG, VERDICT_UNDECIDED };

struct tried {
	struct making how;
	enum lw_status status;
	enum verdict verdict;
	char text[LW_PATTERN_MAX]; /* the answer, or the likeliest one */
	double confidence;	   /* of that text */
	bool likeliest;		   /* that text is right, decided or not */
	double right;		   /* what the right pattern was given */
	size_t cycles;
	size_t samples;
	double took_s; /* of decoding, where a clock was given */
};

/* Make one, read it and judge what was read. `clock` may be NULL. False where
 * memory has run out, or nothing can be made. */
bool cell_try(struct tried *tried, const struct cell *cell, uint64_t seed,
    double (*clock)(void));

/* Whether what was read is what was shown: rates to a tenth and 10 points of
 * duty, codes in turn from whichever of them the recording began with. */
bool cell_right(const char *text, const char *shown);

#endif
