/* How the words that a person typed go together. */
#ifndef LAMP_GRAMMAR_H
#define LAMP_GRAMMAR_H

#include "lamp/canonical.h"
#include "lamp/phrases.h"

/* Some of the words, and the column past them. */
struct slice {
	const struct word *words;
	size_t count;
	unsigned end;
};

/* How to take what could be taken in two ways. */
struct ways {
	bool and_in_turn;  /* "3 and 7": codes in turn, not digits */
	bool decimal_rate; /* "2.5" by itself: a rate, not digits */
	const struct lw_lamp_hint *hint; /* may be NULL */
};

/* One code, without anything in turn. LW_UNDECIDED: it is only a rate word,
 * and *word is that word. */
enum lw_status grammar_code(struct code *code, const struct word **word,
    struct slice slice, struct ways ways, struct lw_err *err);

/* What one lamp shows: a code, or codes in turn. As grammar_code. */
enum lw_status grammar_shown(struct shown *shown, const struct word **word,
    struct slice slice, struct ways ways, struct lw_err *err);

/* What all of them show. As grammar_code. */
enum lw_status grammar_lamps(struct canonical *to, const struct word **word,
    struct slice slice, struct ways ways, struct lw_err *err);

/* Whether one of the words is of a kind. */
bool grammar_has(struct slice slice, enum word_kind kind);

/* The slice without the signs and pauses that only part it from others. */
struct slice grammar_trim(struct slice slice);

/* The slice's words from `from` up to and without `to`. */
struct slice grammar_part(struct slice slice, size_t from, size_t to);

/* The column of the slice's first word, or past its end. */
unsigned grammar_column(struct slice slice);

#endif
