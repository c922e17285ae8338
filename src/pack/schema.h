/*
 * What a pack file may hold: for every map its keys, in canonical order,
 * with the type of each and where it goes in the catalogue's structs. The
 * reader and the writer both walk these tables.
 */
#ifndef PACK_SCHEMA_H
#define PACK_SCHEMA_H

#include <lampwright/catalogue.h>

#include <stdbool.h>
#include <stddef.h>

/* Items that have an id of their own among all packs. */
enum pack_kind {
	PACK_DEVICE = 0,
	PACK_FAULT,
	PACK_SYMPTOM,
	PACK_CAUSE,
	PACK_CHECK,
	PACK_POINT,
	PACK_TREE,
	PACK_CAUTION,
	PACK_VALUE,
	PACK_SETTING,
	PACK_KINDS,
	PACK_INNER = PACK_KINDS /* a part of an item */
};

/* "device", ... */
const char *pack_kind_name(enum pack_kind kind);

enum pack_type {
	PACK_NAME = 1, /* const char *: the pack's name */
	PACK_ID,       /* const char *: an id that this item gets */
	PACK_WITHIN,   /* const char *: an id of a part of the same item */
	PACK_REF,      /* const char *: the id of an item of kind `refers` */
	PACK_LINE,     /* const char *: one line */
	PACK_TEXT,     /* const char * */
	PACK_PATTERN,  /* const char *: canonical lamp pattern */
	PACK_UNIT,     /* const char *: unit of the outcomes' bands */
	PACK_WEIGHT,   /* const char *: one of `words` */
	PACK_WORD,     /* an enum: one of `words` */
	PACK_YES,      /* bool: yes or no */
	PACK_QUANTITY, /* double in `unit`: over 0, at most `most` */
	PACK_MINUTES,  /* double: a number of minutes, at most `most` */
	PACK_BOUND,    /* double, bool at `second`, const char * at `third`: a
			* band's end, a quantity or an expression */
	PACK_KEY,      /* const char *: the id of a value of rigs */
	PACK_MEASURE,  /* const char *: unit of a value, or number */
	PACK_LIMIT,    /* double: in the value's unit */
	PACK_FORMULA,  /* const char *: an expression over values, one line */
	PACK_CHOICES,  /* two lists of texts, at `offset` and `second`, that end
			* with NULL: ids and titles, of `items` */
	PACK_LINES,    /* struct lw_texts: one line each */
	PACK_RULES,    /* struct lw_texts: "key=value" by rig */
	PACK_ACTION,   /* const char *: an instruction, one line */
	PACK_DO,       /* struct lw_instructions: texts, or maps of `items` */
	PACK_REGEXES,  /* struct lw_texts: PCRE2 patterns */
	PACK_REFS,     /* struct lw_refs: ids of `refers`, with `words` */
	PACK_STATES,   /* bool[LW_POWER_COUNT]: names of power states */
	PACK_ITEMS,    /* pointer, and size_t at `second`: a list of `items` */
	PACK_GROUP,    /* a map whose keys go into the same struct */
	PACK_NEXT      /* as PACK_ITEMS: branches by outcome */
};

/* A choice of words: `parse` gives the number behind one, `name` the word
 * behind a number other than 0. `name` is NULL for words kept as text. */
struct pack_words {
	enum lw_status (*parse)(
	    unsigned *value, const char *word, struct lw_err *err);
	const char *(*name)(unsigned value);
	bool needed; /* a reference of these may not do without */
};

struct pack_field {
	const char *key; /* NULL ends a table */
	enum pack_type type;
	size_t offset;
	size_t second;
	size_t third;
	const char *missing; /* the rule where it is left out; NULL: it may */
	enum pack_kind refers;
	const struct pack_words *words;
	const struct pack_schema *items;
	size_t most;	  /* of a list of parts; of a quantity, in `unit` */
	const char *unit; /* of a quantity */
};

struct pack_schema {
	const char *what; /* "a check" */
	enum pack_kind kind;
	size_t size;
	size_t at; /* offset of struct lw_where; PACK_NO_PLACE */
	const struct pack_field *fields;
};

/* A word of a choice while it is read and written. */
struct pack_choice {
	const char *id;
	const char *title;
	struct lw_where at;
};

#define PACK_NO_PLACE ((size_t)-1)

#define PACK_ID_MAX 64	   /* bytes */
#define PACK_LINE_MAX 100  /* characters of a title */
#define PACK_TEXT_MAX 2000 /* characters of any other text */
#define PACK_DO_WORDS 20   /* of an instruction */
#define PACK_CHOICES_MAX 30 /* an expression tells no more apart */
#define PACK_REGEXES_MAX \
	300 /* in all files together: each is tried at length */

extern const struct pack_schema pack_schema; /* of a whole file */

/* The words of a branch: step, cause, unsure, stop; NULL ends. */
extern const char *const pack_branch_words[];

#endif
