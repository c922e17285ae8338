/*
 * What a lamp shows, in canonical notation.
 *
 *   7            n flashes, pause, repeat             1-99
 *   3-2          digit groups                         2-6 groups of 1-20
 *   2L3S         long and short flashes               24 in all
 *   2.5Hz        periodic; 1Hz/50% with duty          2 digits; duty to 5 %
 *   on, off      constant
 *   3+7          codes shown in turn                  2-8 codes
 *   red:3 green:on   several lamps at once
 */
#ifndef LAMPWRIGHT_PATTERN_H
#define LAMPWRIGHT_PATTERN_H

#include <stdbool.h>
#include <stddef.h>

#include <lampwright/status.h>

#ifdef __cplusplus
extern "C" {
#endif

#define LW_PATTERN_MAX 128 /* bytes of a canonical pattern, NUL included */
#define LW_READINGS_MAX 4  /* readings of one ambiguous text */
#define LW_TYPED_MAX 400   /* bytes of text that a person may type */

enum lw_coding {
	LW_CODING_UNKNOWN = 0,
	LW_CODING_COUNT,      /* count */
	LW_CODING_DIGITS,     /* digits */
	LW_CODING_LONG_SHORT, /* long-short */
	LW_CODING_RATE,       /* rate */
	LW_CODING_STEADY,     /* steady */
	LW_CODING_IN_TURN,    /* in-turn */
	LW_CODING_LAMPS       /* lamps: several at once */
};

/* The coding's word ("long-short"); "" for LW_CODING_UNKNOWN. */
const char *lw_coding_name(enum lw_coding coding);

/* The coding that a word names. LW_BAD_INPUT lists the words. */
enum lw_status lw_coding_parse(
    enum lw_coding *coding, const char *word, struct lw_err *err);

struct lw_pattern {
	char text[LW_PATTERN_MAX]; /* canonical */
	enum lw_coding coding;
};

/* What is known of the lamp that was looked at; any member may be 0. */
struct lw_lamp_hint {
	enum lw_coding coding;
	const char *slow;    /* canonical pattern meant by "slow", or NULL */
	const char *fast;    /* ... by "fast" */
	const char *flicker; /* ... by "flicker" */
	const char *const *lamps; /* the device's lamps in order, by id */
	const char *const *colours; /* theirs, NULL where not known; or NULL */
	size_t lamp_count;
};

/*
 * The readings of a text. One: it is clear. Several: the text is ambiguous
 * ("32" is thirty-two or three then two), most likely first. None, with
 * `word` set: only a rate word (slow, fast, flicker) was given, and the hint
 * does not say what it stands for.
 */
struct lw_pattern_readings {
	size_t count;
	struct lw_pattern items[LW_READINGS_MAX];
	char word[16];
};

/*
 * Read a pattern, canonical or as people type it ("blinks 7 times", "three
 * pause two", "LLS", "-- .", "2,5 Hz", "steady"). Case, surrounding space and
 * common filler words do not matter. hint may be NULL.
 *
 * LW_OK: at least one reading, or a rate word. LW_BAD_INPUT: err->column is
 * the character that cannot be read (from 1) and err->text says what would
 * be accepted. LW_TOO_BIG: longer than LW_TYPED_MAX bytes.
 */
enum lw_status lw_pattern_read(struct lw_pattern_readings *readings,
    const char *text, const struct lw_lamp_hint *hint, struct lw_err *err);

/*
 * Parse a canonical pattern and nothing else: the same text comes back.
 * LW_BAD_INPUT where it is not canonical; err->text gives the canonical form
 * where there is one.
 */
enum lw_status lw_pattern_parse(
    struct lw_pattern *pattern, const char *text, struct lw_err *err);

/*
 * Whether a pattern that was seen is the listed one. Rates are the same
 * within a quarter (factor 0.8 to 1.25), and duties, where both have one,
 * within 15 points: a rate told by eye is not exact. Codes in turn are the
 * same whichever was seen first. All else is exact.
 * Both are canonical; false where one is not.
 */
bool lw_pattern_same(const char *seen, const char *listed);

/*
 * How far two canonical patterns are apart: 0 same, small for a flash
 * missed or doubled, 1000 for patterns of different kinds. Symmetric.
 */
double lw_pattern_distance(const char *one, const char *other);

#ifdef __cplusplus
}
#endif
#endif
