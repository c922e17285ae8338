/* What a person typed, cut into words that mean something. */
#ifndef LAMP_PHRASES_H
#define LAMP_PHRASES_H

#include <lampwright/pattern.h>

#include <stdbool.h>
#include <stddef.h>

enum word_kind {
	WORD_NUMBER,  /* 7, seven, twice */
	WORD_DECIMAL, /* 2.5; 2,5 where a rate follows */
	WORD_LONG,    /* long, L, - */
	WORD_SHORT,   /* short, S, . */
	WORD_FLASH,   /* flashes, blinks, times, x */
	WORD_PAUSE,   /* pause, then */
	WORD_COMMA,
	WORD_DASH,
	WORD_DOT,
	WORD_SLASH,
	WORD_PLUS,
	WORD_AND,
	WORD_COLON,
	WORD_TURN,    /* in turn, alternating with */
	WORD_HERTZ,   /* Hz, a second */
	WORD_MINUTE,  /* a minute */
	WORD_EVERY,   /* every, before a number of seconds */
	WORD_SECONDS, /* seconds */
	WORD_PERCENT,
	WORD_STEADY, /* steady, solid: on, or with off */
	WORD_ON,
	WORD_OFF,
	WORD_SLOW,
	WORD_FAST,
	WORD_FLICKER,
	WORD_COLOUR, /* red */
	WORD_LAMP,   /* a lamp of the device, or any name before a colon */
	WORD_FILLER  /* the, it, code: never handed on */
};

struct word {
	enum word_kind kind;
	unsigned number;  /* of WORD_NUMBER, at most 99999999 */
	double decimal;	  /* of WORD_DECIMAL, and of WORD_NUMBER */
	unsigned left;	  /* of WORD_DECIMAL: the digits before the mark */
	unsigned right;	  /* ... and after it */
	bool digits;	  /* a number typed as digits: 32, not thirty-two */
	bool adjective;	  /* of WORD_PAUSE: "short pause" */
	bool spaced;	  /* space follows it in the text */
	const char *text; /* where it stands; not terminated */
	size_t length;	  /* bytes */
	unsigned column;  /* from 1, in characters */
};

enum { WORDS_MAX = LW_TYPED_MAX };

struct words {
	struct word items[WORDS_MAX];
	size_t count;
	unsigned end; /* the column past the text */
};

/* What the errors offer. */
#define PHRASES_ACCEPTED                                                  \
	"write flashes (7), digits (3-2), long and short (2L1S), a rate " \
	"(2.5 Hz), on, off, fast or slow"

/* Cut valid UTF-8 of at most LW_TYPED_MAX bytes into words. `hint` may be
 * NULL. LW_BAD_INPUT points at what is no word that we know. */
enum lw_status phrases_read(struct words *words, const char *text,
    const struct lw_lamp_hint *hint, struct lw_err *err);

enum { SHOWN_MAX = 48 };

/* The word as a sentence may show it: cut, and without control characters.
 * `out` has room for SHOWN_MAX bytes; returned. */
const char *phrases_show(char *out, const struct word *word);

/* The sentence for a 0, at a column. */
enum lw_status phrases_refuse_zero(unsigned column, struct lw_err *err);

#endif
