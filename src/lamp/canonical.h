/* What a pattern is inside, and its canonical text. */
#ifndef LAMP_CANONICAL_H
#define LAMP_CANONICAL_H

#include <lampwright/pattern.h>

#include <stdbool.h>
#include <stddef.h>

/* The limits of the notation. */
enum {
	COUNT_MAX = 99,		/* flashes of a count */
	GROUPS_MAX = 6,		/* digit groups */
	GROUP_MAX = 20,		/* flashes of a group */
	FLASHES_MAX = 24,	/* long and short ones in all */
	CODES_MAX = 8,		/* shown in turn */
	LAMPS_MAX = 8,		/* at once */
	LAMP_NAME_MAX = 64,	/* bytes of a lamp's id */
	MILLIHERTZ_MIN = 10,	/* 0.01 Hz */
	MILLIHERTZ_MAX = 99000, /* 99 Hz */
};

/* Long or short flashes in a row; or a group, where `longer` says nothing. */
struct run {
	unsigned flashes;
	bool longer;
};

/* One code: a count, digits, long and short, a rate, or steady. */
struct code {
	enum lw_coding coding;
	struct run runs[FLASHES_MAX]; /* a count has one */
	size_t count;
	unsigned millihertz; /* of a rate, two significant digits */
	unsigned duty;	     /* percent, a multiple of 5; 0 not known */
	bool lit;	     /* of a steady lamp */
	bool plain;	     /* a count written as digits, nothing beside:
			      * 32 may as well be three then two */
	unsigned column;     /* where it was typed, from 1 */
};

/* What one lamp shows: a code, or several in turn. */
struct shown {
	char lamp[LAMP_NAME_MAX + 1]; /* "" where no lamp is named */
	struct code codes[CODES_MAX];
	size_t count;
	bool colour;	 /* the name is a colour's, perhaps no lamp's id */
	unsigned column; /* where the name was typed */
};

struct canonical {
	struct shown lamps[LAMPS_MAX];
	size_t count;
};

/* Put flashes at the end of a long-short code, joined to a run of their kind.
 * False past the limit. */
bool canonical_add_flashes(struct code *code, unsigned flashes, bool longer);

/* The rate in two significant digits; false outside the limits. */
bool canonical_set_rate(struct code *code, double hertz);

/* The duty to 5 %; false outside 5 to 95 %. */
bool canonical_set_duty(struct code *code, double percent);

/* Write the pattern; false where it is longer than a pattern may be. */
bool canonical_write(struct lw_pattern *pattern, const struct canonical *from);

/* Parse canonical text and nothing else. */
bool canonical_parse(struct canonical *to, const char *text);

#endif
