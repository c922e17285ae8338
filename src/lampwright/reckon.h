/*
 * Reckoning: electrical values worked out from others, each with its formula,
 * what was given, the unit, sensible digits, remarks and sources.
 */
#ifndef LAMPWRIGHT_RECKON_H
#define LAMPWRIGHT_RECKON_H

#include <stdbool.h>
#include <stddef.h>

#include <lampwright/arena.h>
#include <lampwright/status.h>

#ifdef __cplusplus
extern "C" {
#endif

/* One thing that a reckoner is given. */
struct lw_reckon_input {
	const char *key;	  /* "resistor" */
	const char *title;	  /* "Pre-charge resistor" */
	const char *help;	  /* where to find it, or what it means */
	const char *unit;	  /* of a quantity; NULL: a word or a text */
	const char *const *words; /* the words it may be, then NULL; or NULL */
	const char *const *word_titles; /* in the same order */
	const char *const *also; /* another spelling of each; or NULL */
	const char *usual; /* taken where it is left out; NULL: none is */
	bool needed;	   /* it cannot be left out */
	const char *rig;   /* the rig's value that is the same, or NULL */
	double low;	   /* limits, in unit */
	double high;
};

struct lw_reckoner {
	const char *name;    /* "precharge" */
	const char *title;   /* "Pre-charge" */
	const char *summary; /* what it answers, one line */
	const struct lw_reckon_input *inputs;
	size_t input_count;
	bool plots;	     /* it has a curve */
	const char *example; /* "volts=48V resistor=10k capacitor=10mF" */
};

/* All of them, in the order in which to list them. */
const struct lw_reckoner *const *lw_reckoners(size_t *count);
/* LW_NOT_FOUND names the nearest. */
enum lw_status lw_reckoner_find(
    const struct lw_reckoner **reckoner, const char *name, struct lw_err *err);

enum lw_reckon_origin {
	LW_RECKON_GIVEN = 1, /* by the person */
	LW_RECKON_RIG,	     /* from the rig */
	LW_RECKON_USUAL	     /* nobody said: the usual value */
};

struct lw_reckon_given {
	const struct lw_reckon_input *input;
	const char *text; /* as it was understood: "10 kohm" */
	enum lw_reckon_origin origin;
};

struct lw_reckon_result {
	const char *name;  /* "peak-current" */
	const char *title; /* "Current at the start" */
	bool is_number;	   /* false: a word (`text` alone) */
	double value;	   /* in unit */
	const char *unit;  /* "mA"; "" of a bare number or word */
	const char *text;  /* "4.8 mA": sensible digits */
	bool ranged;	   /* the given values have tolerances */
	double low;	   /* in unit: all that it can be by them */
	double high;
	const char *range_text; /* "4.56 mA to 5.05 mA", or NULL */
	const char *formula; /* "volts / resistor = 48 V / 10 kohm"; or NULL */
};

struct lw_reckon_curve {
	const char *title; /* "bus voltage" */
	const double *x;
	const double *y;
	size_t count; /* at least 2 */
};

/* A level worth a line across the plot. */
struct lw_reckon_level {
	const char *title; /* "95 %" */
	double y;
};

struct lw_reckon_plot {
	const char *title;
	const char *x_title; /* "time" */
	const char *x_unit;
	const char *y_title;
	const char *y_unit;
	const struct lw_reckon_curve *curves;
	size_t curve_count;
	const struct lw_reckon_level *levels;
	size_t level_count;
};

struct lw_reckoning {
	const struct lw_reckoner *reckoner;
	const struct lw_reckon_given *given;
	size_t given_count;
	const struct lw_reckon_result *results;
	size_t result_count;
	const char *const *remarks; /* sentences that think along */
	size_t remark_count;
	const char *const *sources; /* what each formula is from */
	size_t source_count;
	const struct lw_reckon_plot *plot; /* or NULL */
};

struct lw_reckon_pair {
	const char *key;
	const char *value;
	bool from_rig; /* it is the rig's; not typed */
};

/*
 * Reckon. What is given twice counts as it was given last; a typed value goes
 * before the rig's; a blank one is as if left out. LW_NOT_FOUND: no such
 * reckoner (with the nearest). LW_BAD_INPUT: a key it does not take; a value
 * that cannot be read, of another dimension, out of limits (negative
 * resistance), or missing: the sentence begins with the key ("resistor: ...")
 * and says what would be right.
 */
enum lw_status lw_reckon(const struct lw_reckoning **reckoning,
    struct lw_arena *arena, const char *name,
    const struct lw_reckon_pair *pairs, size_t count, struct lw_err *err);

#ifdef __cplusplus
}
#endif
#endif
