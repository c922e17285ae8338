/* What the files of reckoning share: one reckoning under way. Reckoners see
 * meter/reckon.h alone. */
#ifndef METER_RECKONING_H
#define METER_RECKONING_H

#include "meter/expr.h"
#include "meter/reckon.h"

enum { RECKON_SHOWN_MAX = 48 };

/* A name that formulas know: an input, or an earlier result. */
struct reckon_known {
	const char *name;    /* as formulas write it: hyphens as underscores */
	const char *formula; /* of a result: over inputs alone; or NULL */
	struct lw_dimension dimension;
	const char *const *choices; /* of a word, or NULL */
	struct expr_value value;
	const char *text; /* as formulas show it */
};

/* What was given for one input. */
struct reckon_slot {
	const char *typed; /* trimmed; NULL: left out */
	enum lw_reckon_origin origin;
	bool is_quantity;
	struct lw_quantity quantity;
	const char *text;  /* as it was understood */
	size_t word;	   /* which of its words */
	const char *doubt; /* a sentence: it could have meant something else;
			    * or NULL */
};

struct reckon {
	struct lw_arena *arena;
	const struct reckoner *reckoner;
	struct reckon_slot *slots; /* one for each input */
	struct reckon_known *known;
	size_t known_count;
	size_t known_room;
	struct lw_reckon_result *results;
	size_t result_count;
	size_t result_room;
	const char **remarks;
	size_t remark_count;
	size_t remark_room;
	const char **sources;
	size_t source_count;
	size_t source_room;
	struct lw_reckon_plot *plot; /* or NULL */
	struct lw_reckon_curve *curves;
	size_t curve_room;
	struct lw_reckon_level *levels;
	size_t level_room;
	int digits;
	bool no_memory;
};

/* Which input has that key; the number of inputs where none has. */
size_t reckoning_input(const struct reckon *reckon, const char *key);
/* Read what was given into the slots. Errors as of lw_reckon. */
enum lw_status reckoning_read(struct reckon *reckon,
    const struct lw_reckon_pair *pairs, size_t count, struct lw_err *err);
/* A remark on each text that could have meant something else. */
void reckoning_doubts(struct reckon *reckon);
/* Let formulas use an input that was given. */
void reckoning_know(struct reckon *reckon, size_t input);
/* Let formulas use a result. `formula` is over what was given alone; NULL:
 * there is none. `range` NULL: the value alone. */
void reckoning_know_result(struct reckon *reckon,
    const struct lw_reckon_result *result, double value, const char *unit,
    const char *formula, const struct expr_range *range);
/* A new result without a value; NULL: memory ran out. */
struct lw_reckon_result *reckoning_result(
    struct reckon *reckon, const char *name, const char *title);
/* Give it a value in SI, and its range, in the unit that suits their size. */
void reckoning_number(struct reckon *reckon, struct lw_reckon_result *result,
    double value, const char *unit);
void reckoning_range(struct reckon *reckon, struct lw_reckon_result *result,
    const struct expr_range *range, const char *unit);
/* The text, or "" where it is NULL: then memory ran out. */
const char *reckoning_kept(struct reckon *reckon, const char *text);
/* A text as a sentence may show it: cut, and what is not printable as question
 * marks. `shown` has room for RECKON_SHOWN_MAX bytes. Returns it. */
const char *reckoning_shown(char *shown, const char *text);

#endif
