/* What the files of expressions share: the nodes, and how they are made. */
#ifndef METER_EXPR_INSIDE_H
#define METER_EXPR_INSIDE_H

#include "meter/expr.h"
#include "meter/interval.h"

enum { EXPR_WORDS_MAX = 30 }; /* of a choice */

enum expr_op {
	EXPR_NUMBER,
	EXPR_NAME,
	EXPR_CHOICE, /* condition: a name is one of some words */
	EXPR_ADD,
	EXPR_SUB,
	EXPR_MUL,
	EXPR_DIV,
	EXPR_NEG,
	EXPR_POWER, /* a whole power: `number` */
	EXPR_ROOT,  /* any other power of a bare number: `number` */
	EXPR_MIN,
	EXPR_MAX,
	EXPR_ABS,
	EXPR_EXP,
	EXPR_LN,
	EXPR_SQRT,
	EXPR_IF,
	EXPR_LOW, /* these three are the same whatever corner is looked at */
	EXPR_HIGH,
	EXPR_MIDDLE,
	EXPR_EQUAL, /* conditions from here on */
	EXPR_LESS,
	EXPR_AT_MOST,
	EXPR_AND,
	EXPR_OR,
	EXPR_NOT
};

/* One step of the work. Operands stand before what they are operands of. */
struct expr_node {
	enum expr_op op;
	short operand[3];
	short name;	 /* of EXPR_NAME and EXPR_CHOICE */
	unsigned names;	 /* bit i: what it gives varies with the ith name */
	unsigned words;	 /* of EXPR_CHOICE: bit i: true of the ith word */
	unsigned column; /* of a function that was written out: its call */
	double number;
	struct lw_dimension dimension;
	bool condition;
	const char *within; /* the function that was written out, or NULL */
};

/* Where a name stands in the text. */
struct expr_slot {
	size_t at;
	size_t length;
	short name;
};

struct expr_span {
	size_t at;
	size_t end;
	bool compound; /* more than one number, name or call */
};

/* An if in the text. */
struct expr_fork {
	struct expr_span whole;
	struct expr_span then;
	struct expr_span otherwise;
	short condition; /* node */
};

struct expr {
	const char *text;
	const struct expr_node *nodes;
	size_t count;
	size_t root; /* the node that is the result */
	size_t ends; /* how many are low, high or middle */
	const char *const *names;
	const char *const *const *choices; /* of each name; NULL: none */
	size_t name_count;
	const struct expr_slot *slots; /* by place */
	size_t slot_count;
	const struct expr_fork *forks; /* by place */
	size_t fork_count;
};

/* --- while it is parsed -------------------------------------------------- */

struct expr_build {
	struct expr_node nodes[EXPR_NODES_MAX];
	size_t count;
	struct expr_name names[EXPR_NAMES_MAX];
	short name_nodes[EXPR_NAMES_MAX]; /* -1: none yet */
	size_t name_count;
	const struct expr_names *lookup;
	struct lw_arena *arena;
	struct lw_err *err;
	unsigned depth;
	struct expr_slot *slots;
	size_t slot_count;
	size_t slot_room;
	struct expr_fork *forks;
	size_t fork_count;
	size_t fork_room;
};

/* Where a node comes from. */
struct expr_place {
	unsigned column;
	const char *within;
};

/* Add a node, its operands checked: dimensions, conditions, domains of what
 * is known already. `node` may be one of the operands. */
enum lw_status expr_make(short *node, struct expr_build *build, enum expr_op op,
    const short *operands, struct expr_place place);
enum lw_status expr_make_number(short *node, struct expr_build *build,
    double number, struct lw_dimension dimension, struct expr_place place);
enum lw_status expr_make_name(
    short *node, struct expr_build *build, short name, struct expr_place place);
enum lw_status expr_make_choice(short *node, struct expr_build *build,
    short name, unsigned words, struct expr_place place);
enum lw_status expr_make_power(short *node, struct expr_build *build,
    short base, short exponent, struct expr_place place);

/* --- while it is worked out --------------------------------------------- */

enum expr_trouble {
	EXPR_FINE,
	EXPR_BY_ZERO,
	EXPR_LN_DOMAIN,
	EXPR_SQRT_DOMAIN,
	EXPR_POWER_DOMAIN,
	EXPR_TOO_BIG,
	EXPR_BAD_VALUE
};

enum { EXPR_FALSE, EXPR_TRUE, EXPR_EITHER };

/* What a node came to. */
struct expr_cell {
	struct interval value;
	unsigned char truth; /* of a condition */
	unsigned char trouble;
	short where; /* the node at which the trouble began */
};

/* Work out a node that is neither a name, a choice nor low, high or middle;
 * `cells` are of the nodes that it has as operands. */
void expr_step(struct expr_cell *cell, const struct expr_node *node,
    const struct expr_cell *cells);
/* How each node up to `last` changes with a name; slopes has room for that
 * many. */
void expr_slopes(struct interval *slopes, const struct expr_cell *cells,
    const struct expr *expr, size_t last, unsigned name);
bool expr_is_end(const struct expr_node *node); /* low, high or middle */

/* What the names can be. */
struct expr_box {
	struct interval at[EXPR_NAMES_MAX];
	unsigned words[EXPR_NAMES_MAX]; /* of choices */
};

/* One question about an expression. */
struct expr_look {
	const struct expr *expr;
	struct expr_box full;
	struct expr_cell ends[EXPR_NODES_MAX]; /* low, high, middle */
	unsigned open; /* bit i: nobody knows the ith name */
	long budget;   /* steps left for looking closer */
};

/* What the expression up to a node can be: its ends, each between what is
 * sure and what is attained. */
struct expr_sharp {
	struct interval low;
	struct interval high;
	unsigned char trouble;
	short where;
};

/* Work out every node up to `last` over a box. `closer`: where something
 * seems to be out of bounds, look closer. */
void expr_pass(struct expr_cell *cells, struct expr_look *look, size_t last,
    const struct expr_box *box, bool closer);
void expr_sharpen(struct expr_sharp *sharp, struct expr_look *look, size_t last,
    const struct expr_box *box, bool closer);
/* The sentence for a trouble. */
enum lw_status expr_complain(const struct expr_node *node,
    enum expr_trouble trouble, bool surely, struct lw_err *err);

/* --- text ----------------------------------------------------------------- */

enum expr_token_kind {
	EXPR_END,
	EXPR_LITERAL,
	EXPR_WORD, /* a name, and, or, not */
	EXPR_SIGN  /* an operator, bracket or comma: `sign` */
};

/* Operators of two characters, as a sign. */
enum { EXPR_LE = 'l', EXPR_GE = 'g', EXPR_NE = 'n' };

struct expr_token {
	enum expr_token_kind kind;
	size_t at;
	size_t length;
	char sign;
	double number; /* of a literal, in SI */
	double below;  /* what it is with a minus sign before it, where that
			* is not its opposite: a temperature */
	bool offset;
	struct lw_dimension dimension;
};

struct expr_scan {
	const char *text;
	size_t at;    /* after the token */
	size_t ended; /* where the token before this one ended */
	struct expr_token token;
};

/* Go on to the next token. An error's column is in this text. */
enum lw_status expr_scan_next(struct expr_scan *scan, struct lw_err *err);
/* Go on to a word of a choice, which may have hyphens. */
enum lw_status expr_scan_choice(struct expr_scan *scan, struct lw_err *err);
bool expr_token_is(const struct expr_scan *scan, const char *word);
unsigned expr_column(const char *text, size_t at);

#endif
