/*
 * Expressions over a rig's values: parsed once, dimension-checked, evaluated
 * as an interval.
 *
 *   numbers with units   2.45 V   5 %   10 kohm   2/0 AWG   -10 degC (263.15 K;
 *                        a difference is in K)
 *   names                pack.cells   precharge.resistor
 *   operators            + - * / ^   = != < > <= >=   and, or, not; ^ binds
 *                        to the right and before a minus sign, and takes a
 *                        whole number, of bare numbers any
 *   functions            min max exp ln sqrt abs if low high middle, and those
 *                        of meter/functions.c: energy, bleed_time, ...
 *   choices              pack.kind = lfp   (a name that is a choice, one of its
 *                        words; words may have hyphens)
 *
 * if(condition, then, else). low(x), high(x), middle(x): the ends of what x
 * can be by its tolerance, and the middle of it. A condition that cannot be
 * told gives all that either branch can give.
 *
 * Interval evaluation: R. E. Moore, R. B. Kearfott, M. J. Cloud, Introduction
 * to Interval Analysis, SIAM 2009: natural extension, sharpened at the corners
 * for every name in which the interval gradient keeps its sign, and over parts
 * of the box where it does not. A choice that is open is looked at word by
 * word.
 */
#ifndef METER_EXPR_H
#define METER_EXPR_H

#include <lampwright/arena.h>
#include <lampwright/quantity.h>

enum {
	EXPR_TEXT_MAX = 1000, /* bytes of a text */
	EXPR_NODES_MAX = 400, /* after functions were written out */
	EXPR_DEPTH_MAX = 40,
	EXPR_NAMES_MAX = 16 /* different names in one expression */
};

/* What a name stands for. */
struct expr_name {
	const char *name;
	struct lw_dimension dimension; /* of a quantity */
	const char *const *choices;    /* of a choice: its words, then NULL; at
					* most 30 */
};

/* Where names are looked up. */
struct expr_names {
	/* False: there is no such name. */
	bool (*find)(
	    const void *context, const char *name, struct expr_name *found);
	/* The nearest name that there is, or NULL; may be NULL itself. */
	const char *(*nearest)(const void *context, const char *name);
	const void *context;
};

struct expr;

/* What a name is worth. */
struct expr_value {
	double low; /* in SI; of a choice: nothing */
	double high;
	unsigned choices; /* of a choice: bit i: it may be the ith word */
	double nominal;	  /* for expr_number; 0 of a choice */
	bool open; /* nobody knows it: low(), high() and middle() of it are
		    * somewhere between its ends, and not at one of them */
};

struct expr_range {
	double low; /* finite; low <= high */
	double high;
};

/*
 * Parse and check a text. Everything lives in the arena. The result has to be
 * a quantity, not a condition. LW_BAD_INPUT, with the column in one sentence:
 * syntax; a name, function or unit that there is not (with the nearest);
 * dimensions that do not go together (both are named); a power that is no
 * whole number; too long, too deep, too many nodes or names.
 */
enum lw_status expr_parse(const struct expr **expr, struct lw_arena *arena,
    const char *text, const struct expr_names *names, struct lw_err *err);

struct lw_dimension expr_dimension(const struct expr *expr);
/* The names in it, each once, in the order in which they came. */
size_t expr_name_count(const struct expr *expr);
const char *expr_name_at(const struct expr *expr, size_t i);

/*
 * All that it can be for names that are anything within `values` (one for each
 * name, in order). Never narrower than the truth; exact (to rounding) where
 * the gradient keeps its sign. LW_BAD_INPUT, with the column: a division by
 * what may be zero; ln or sqrt of what may be below zero; a result that is not
 * finite. Work is bounded (meter/expr_range.c, BUDGET): what is not worth more
 * stays a little wider.
 */
enum lw_status expr_range(struct expr_range *range, const struct expr *expr,
    const struct expr_value *values, struct lw_err *err);

/* The one number for names at `nominal` (choices: the first that may be).
 * Errors as expr_range. */
enum lw_status expr_number(double *number, const struct expr *expr,
    const struct expr_value *values, struct lw_err *err);

/*
 * The expression with what the names are put in their places, for people:
 * "24 * 1.75 V". texts: one for each name. `text` has room for `size` bytes.
 */
void expr_say(
    char *text, size_t size, const struct expr *expr, const char *const *texts);

/* The functions written in expressions themselves (meter/functions.c). */
struct expr_function {
	const char *name;
	const char *parameters; /* "ohms farads share", each with its unit:
				 * "ohms:ohm farads:F share:" */
	const char *body;	/* an expression over them */
	const char *summary;	/* one line, for kb/README.md */
};
const struct expr_function *expr_functions(size_t *count);

#endif
