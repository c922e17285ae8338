/*
 * The catalogue: devices and what their lamps mean, faults, symptoms, causes,
 * checks, points, trees, cautions and settings, as packs carry them and the
 * book keeps them. Everything here lives in an arena. A text that is absent is NULL;
 * a list that is absent has count 0.
 */
#ifndef LAMPWRIGHT_CATALOGUE_H
#define LAMPWRIGHT_CATALOGUE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include <lampwright/pattern.h>
#include <lampwright/status.h>

#ifdef __cplusplus
extern "C" {
#endif

/* Where in the pack file something stands; 0 when it came from the book. */
struct lw_where {
	unsigned line;
	unsigned column;
};

struct lw_text {
	const char *text;
	struct lw_where at;
};

struct lw_texts {
	const struct lw_text *items;
	size_t count;
};

/* One instruction. `only`: rules "key=value" by rig; see lw_caution. */
struct lw_instruction {
	const char *text;
	struct lw_texts only;
	struct lw_where at;
};

struct lw_instructions {
	const struct lw_instruction *items;
	size_t count;
};

/* A reference by id, with a word where the author gave one. */
struct lw_ref {
	const char *id;
	const char *word; /* weight or likelihood word, or NULL */
	struct lw_where at;
};

struct lw_refs {
	const struct lw_ref *items;
	size_t count;
};

/* How far the vehicle is switched on, in order of hazard. */
enum lw_power {
	LW_POWER_UNKNOWN = 0,
	LW_POWER_ISOLATED,    /* isolated: open everywhere, and proved dead */
	LW_POWER_CONTROL,     /* control: control supply only */
	LW_POWER_PRECHARGED,  /* pre-charged: contactor open */
	LW_POWER_LIVE_FREE,   /* live-wheels-free */
	LW_POWER_LIVE_GROUND, /* live-on-ground */
	LW_POWER_COUNT
};

/* "isolated"; "unknown" for LW_POWER_UNKNOWN. */
const char *lw_power_name(enum lw_power power);
/* "isolated and proved dead": the words a page shows. */
const char *lw_power_title(enum lw_power power);
/* LW_BAD_INPUT lists the names. "unknown" is not one of them. */
enum lw_status lw_power_parse(
    enum lw_power *power, const char *name, struct lw_err *err);

enum lw_severity {
	LW_SEVERITY_NONE = 0,
	LW_SEVERITY_STOPS,
	LW_SEVERITY_LIMITS,
	LW_SEVERITY_WARNS,
	LW_SEVERITY_INFORMS
};

/* "stops"; "" for LW_SEVERITY_NONE. */
const char *lw_severity_name(enum lw_severity severity);
enum lw_status lw_severity_parse(
    enum lw_severity *severity, const char *name, struct lw_err *err);

/* ANSI Z535.6 signal words, the gravest first. */
enum lw_signal {
	LW_SIGNAL_NONE = 0,
	LW_SIGNAL_DANGER,
	LW_SIGNAL_WARNING,
	LW_SIGNAL_CAUTION,
	LW_SIGNAL_NOTICE
};

/* "danger"; "" for LW_SIGNAL_NONE. */
const char *lw_signal_name(enum lw_signal signal);
enum lw_status lw_signal_parse(
    enum lw_signal *signal, const char *name, struct lw_err *err);

/* What the meter is set to, or that none is used. */
enum lw_meter {
	LW_METER_NONE = 0,   /* no meter: look, feel, operate */
	LW_METER_VOLTS_DC,   /* volts dc */
	LW_METER_VOLTS_AC,   /* volts ac */
	LW_METER_OHMS,       /* ohms; isolated only */
	LW_METER_CONTINUITY, /* continuity; isolated only */
	LW_METER_DIODE,      /* diode; isolated only */
	LW_METER_CAPACITANCE, /* capacitance; isolated only */
	LW_METER_AMPS_DC,    /* amps dc: in line, at most 10 A */
	LW_METER_CLAMP_DC,   /* clamp dc */
	LW_METER_HERTZ,      /* hertz */
	LW_METER_TEMPERATURE /* temperature */
};

/* "volts dc"; "" for LW_METER_NONE. */
const char *lw_meter_name(enum lw_meter meter);
enum lw_status lw_meter_parse(
    enum lw_meter *meter, const char *name, struct lw_err *err);
/* Whether the range drives current into the circuit: isolated only. */
bool lw_meter_needs_isolation(enum lw_meter meter);

struct lw_lamp {
	const char *id;
	const char *title;
	const char *colour;
	enum lw_coding coding;
	double on_s;        /* usual time lit in a flash; 0 not known */
	double gap_s;       /* dark between flashes of a group */
	double group_gap_s; /* dark between digit groups */
	double pause_s;     /* dark before the repeat */
	const char *slow;   /* canonical pattern that the word stands for */
	const char *fast;
	const char *flicker;
	const char *source;
	struct lw_where at;
};

/* One line of a device's table. It has a fault, or a meaning, or both. */
struct lw_code {
	const char *device; /* id; set by the reader and by the book */
	const char *lamp;   /* lamp id; never NULL once read */
	const char *pattern; /* canonical */
	const char *fault;   /* fault id, or NULL */
	const char *meaning; /* in the device's or the builder's words */
	bool own;            /* taught by the builder, not from a pack */
	struct lw_where at;
};

struct lw_device {
	const char *id;
	const char *title;
	const char *kind; /* controller, charger, battery monitor, drive, ... */
	const char *description;
	const char *source;
	bool invented; /* for the demonstration only */
	bool own;      /* the builder's */
	const struct lw_lamp *lamps;
	size_t lamp_count;
	const struct lw_code *codes;
	size_t code_count;
	struct lw_where at;
};

struct lw_fault {
	const char *id;
	const char *title;
	const char *meaning;
	enum lw_severity severity;
	const char *clears;    /* how it usually clears */
	const char *meanwhile; /* what may be done meanwhile */
	enum lw_power again; /* state to see whether it is gone; 0: free wheels */
	struct lw_refs causes; /* words are weights; NULL: the cause's own */
	const char *source;
	struct lw_where at;
};

struct lw_symptom {
	const char *id;
	const char *title;
	const char *description;
	struct lw_texts phrases;  /* other phrasings */
	struct lw_texts patterns; /* PCRE2, matched without case */
	struct lw_refs causes;
	struct lw_refs cautions; /* what to make safe before anything else */
	enum lw_power again; /* state to see whether it is gone; 0: free wheels */
	const char *source;
	struct lw_where at;
};

struct lw_cause {
	const char *id;
	const char *title;
	const char *weight; /* common, occasional, rare */
	const char *why;    /* why it usually happens */
	const char *fix;
	const char *parts;
	const char *tools;   /* what the fix is done with */
	const char *damages; /* what else it may have damaged, and how to see */
	const char *proof;   /* how to prove the fix */
	double minutes;	     /* to do the fix; 0 not known */
	struct lw_refs alike; /* causes that no check tells from it */
	const char *source;
	struct lw_where at;
};

struct lw_point {
	const char *id;
	const char *title; /* "controller battery plus" */
	const char *where; /* plain description */
	struct lw_where at;
};

/*
 * `only` has rules "key=value" on the facts of a rig (lampwright/rig.h). Rules
 * of one key are alternatives; of several keys, each must hold. A fact that
 * is not known holds every rule: unknown is the dangerous value.
 */
struct lw_caution {
	const char *id;
	enum lw_signal signal;
	const char *hazard;
	const char *avoid;
	const char *where;
	const char *otherwise; /* what happens if not, unless obvious */
	const char *source;    /* or "common practice" */
	bool states[LW_POWER_COUNT]; /* shown with every check made there */
	struct lw_texts only; /* shown for these rigs */
	double from_volts;  /* shown where the pack charges to so much; 0: any */
	double from_joules; /* shown where so much is stored; 0: any */
	struct lw_where at;
};

/*
 * What can be said of a rig: its name in rigs and expressions, what it
 * measures, what is plausible, and how to find it on the vehicle. Packs bring
 * them (`values`); the choices that rules are about are built in.
 */
enum lw_value_kind {
	LW_VALUE_CHOICE = 1, /* one of `choices` */
	LW_VALUE_QUANTITY,   /* a quantity with a tolerance, `low` to `high` */
	LW_VALUE_LIST,	     /* texts, separated by commas; built in only */
	LW_VALUE_ACCURACY    /* of a meter: "0.5 % + 2 counts" */
};

/* "choice", "quantity", "list", "accuracy". */
const char *lw_value_kind_name(enum lw_value_kind kind);
enum lw_status lw_value_kind_parse(
    enum lw_value_kind *kind, const char *name, struct lw_err *err);

struct lw_value {
	const char *id; /* "pack.cells": a-z, 0-9, words joined by points */
	const char *title;
	const char *part;  /* what it belongs to: "Pack"; a heading */
	const char *help;  /* what it is and why it matters */
	const char *where; /* where to find it on the vehicle */
	enum lw_value_kind kind;
	const char *const *choices; /* words, then NULL; NULL: no choice */
	const char *const *choice_titles; /* in the same order */
	const char *unit; /* of a quantity: the one it is asked for in */
	double low;	  /* plausible, in unit */
	double high;
	const char *tolerance; /* taken where none is said: "20 %"; or NULL */
	const char *usual;     /* taken where nothing is said; or NULL */
	const char *worked; /* expression that gives it from others; or NULL */
	const char *source;
	struct lw_where at;
};

/*
 * A band's end is a number, or an expression over a rig's values
 * (`from_says`, `below_says`; then the number means nothing).
 */
struct lw_outcome {
	const char *id;
	const char *title;
	bool has_from;   /* a reading: at least `from` */
	bool has_below;  /* a reading: less than `below` */
	double from;     /* in the check's unit */
	double below;
	const char *from_says; /* an expression, or NULL */
	const char *below_says;
	bool expected;   /* what a sound vehicle gives */
	const char *say; /* what to tell the person who gets it */
	enum lw_power enters; /* the state that this outcome proves, or 0 */
	bool unproves; /* whatever state was proved is so no more */
	bool stops;    /* stop at once and get away, whatever the tree says */
	struct lw_refs speaks; /* causes; words are always, usually, ... */
	struct lw_where at;
};

struct lw_check {
	const char *id;
	const char *title;
	const char *ask; /* the one question */
	enum lw_meter meter;
	const char *unit; /* of a reading; NULL for a choice */
	enum lw_power power;
	const char *reason; /* why it has to be live, and how to limit it */
	double minutes;
	struct lw_instructions steps; /* `do`: instructions in order */
	const char *black; /* point id for the black probe, or NULL */
	const char *red;   /* point id for the red probe, or NULL */
	struct lw_refs points; /* other points it is made at */
	struct lw_texts tools;
	struct lw_refs after; /* of a way into a state: checks that have to give
			       * what is expected first, in this order */
	struct lw_texts only; /* compulsory on these rigs; see lw_caution */
	struct lw_refs cautions;
	const char *mistake; /* the usual mistake when doing it */
	const struct lw_outcome *outcomes;
	size_t outcome_count;
	const char *source;
	struct lw_where at;
};

enum lw_branch_kind {
	LW_BRANCH_STEP = 1, /* go on with another step of this tree */
	LW_BRANCH_CAUSE,    /* this is the cause */
	LW_BRANCH_UNSURE,   /* the tree ends here: words say what is left */
	LW_BRANCH_STOP      /* stop at once: words say what to do */
};

struct lw_branch {
	const char *outcome; /* outcome id, or "cannot" */
	enum lw_branch_kind kind;
	const char *target; /* step id or cause id; words otherwise */
	struct lw_where at;
};

struct lw_step {
	const char *id;
	const char *check;
	struct lw_texts only; /* of a walk-through: the rigs that it is for */
	const struct lw_branch *branches; /* none in a walk-through */
	size_t branch_count;
	struct lw_where at;
};

/*
 * A walk-through is a tree without branches: its steps are taken in order, and
 * each should give what is expected.
 */
struct lw_tree {
	const char *id;
	const char *title;
	bool walk;		 /* a walk-through */
	const char *description; /* when it is for, what to have at hand */
	struct lw_refs faults;	 /* none of a walk-through */
	struct lw_refs symptoms;
	const char *passed; /* of a walk-through: what can be said at its end */
	const struct lw_step *steps; /* the first one starts */
	size_t step_count;
	const char *source;
	struct lw_where at;
};

/*
 * What can be set in a device, by what it does: general knowledge. What was
 * set on a builder's own rig is struct lw_setting (lampwright/rig.h).
 */
struct lw_known_setting {
	const char *id;
	const char *title;
	const char *part; /* what it is for: one of lw_known_setting_part */
	const char *does; /* for the driver and the machine */
	const char *low;  /* what too little of it looks like; or NULL */
	const char *high; /* what too much of it looks like; or NULL */
	struct lw_refs faults;	 /* what a wrong value looks like */
	struct lw_refs symptoms; /* the same */
	const char *record; /* what to write down before it is changed */
	struct lw_refs cautions;
	const char *source;
	struct lw_where at;
};

/* The parts that settings come under, in the order they are listed: "Pulling
 * away", ... NULL past the last. */
const char *lw_known_setting_part(size_t place);
/* The place of a part; LW_BAD_INPUT lists them. */
enum lw_status lw_known_setting_place(
    size_t *place, const char *part, struct lw_err *err);

struct lw_pack {
	const char *name; /* "own" is the builder's and cannot be read in */
	const char *title;
	const char *version;
	const char *license;
	const char *source;
	const char *digest; /* of the text it was read from; NULL otherwise */
	bool shipped;       /* it came with the program */
	const struct lw_device *devices;
	size_t device_count;
	const struct lw_fault *faults;
	size_t fault_count;
	const struct lw_symptom *symptoms;
	size_t symptom_count;
	const struct lw_cause *causes;
	size_t cause_count;
	const struct lw_check *checks;
	size_t check_count;
	const struct lw_point *points;
	size_t point_count;
	const struct lw_tree *trees;
	size_t tree_count;
	const struct lw_caution *cautions;
	size_t caution_count;
	const struct lw_value *values;
	size_t value_count;
	const struct lw_known_setting *settings;
	size_t setting_count;
};

/*
 * Weights and likelihoods are words to the author and numbers inside.
 * common 9, occasional 3, rare 1; NULL is occasional. 0: not such a word.
 */
double lw_weight_value(const char *word);
/*
 * always 0.97, usually 0.8, sometimes 0.4, rarely 0.1, never 0.01 (the
 * floor, so that one wrong answer cannot kill the truth). 0: no such word.
 */
double lw_likelihood_value(const char *word);

#ifdef __cplusplus
}
#endif
#endif
