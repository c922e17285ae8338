/* meter: expressions over a table of worked and published values, and their
 * ranges against samples of expressions that are made at random. */
#include "unit/suites.h"
#include "unit/table.h"

#include "base/near.h"
#include "base/utf8.h"
#include "meter/expr.h"
#include "unit/formula.h"

#include <lampwright/quantity.h>

#include <math.h>

/* The names of an invented vehicle. */
static const char *const pack_kinds[] = {"lead", "lfp", "nmc", NULL};
static const char *const throttle_kinds[] = {
    "hall", "two-wire", "zero-ten", NULL};
static const struct known {
	const char *name;
	const char *unit;
	const char *const *choices;
} known[] = {
    {"pack.cells", "number", NULL},
    {"pack.volts", "V", NULL},
    {"pack.kind", "", pack_kinds},
    {"throttle.kind", "", throttle_kinds},
    {"precharge.resistor", "ohm", NULL},
    {"bus.capacitor", "F", NULL},
    {"x", "number", NULL},
    {"y", "number", NULL},
    {"x_1", "number", NULL},
};

enum { KNOWN = sizeof known / sizeof known[0] };

static bool
find_known(const void *context, const char *name, struct expr_name *found)
{
	size_t i;

	ck_assert_ptr_eq(context, known);
	for (i = 0; i < KNOWN; i++) {
		if (strcmp(known[i].name, name) != 0)
			continue;
		found->choices = known[i].choices;
		return lw_unit_dimension(
			   &found->dimension, known[i].unit, NULL) == LW_OK;
	}
	return false;
}

static const char *
nearest_known(const void *context, const char *name)
{
	struct near near;
	size_t i;

	(void)context;
	near_start(&near, name);
	for (i = 0; i < KNOWN; i++)
		near_try(&near, known[i].name);
	return near.best;
}

static const struct expr_names names = {find_known, nearest_known, known};

/* --- the table ------------------------------------------------------------ */

struct worth {
	struct expr_value value;
	char text[64];
};

static unsigned
words_mask(const char *const *choices, const char *words)
{
	unsigned mask = 0;
	size_t i, length;

	for (; *words != '\0'; words += length + (words[length] == '|')) {
		length = strcspn(words, "|");
		for (i = 0; choices[i] != NULL; i++)
			if (strlen(choices[i]) == length &&
			    memcmp(choices[i], words, length) == 0)
				mask |= 1u << i;
	}
	return mask;
}

/* "x=1..2" */
static void
set_worth(struct worth *worths, char *pair)
{
	char *value = strchr(pair, '='), *high;
	size_t i;

	ck_assert_ptr_nonnull(value);
	*value++ = '\0';
	for (i = 0; i < KNOWN && strcmp(known[i].name, pair) != 0; i++)
		;
	ck_assert_msg(i < KNOWN, "%s is not known", pair);
	if (known[i].choices != NULL) {
		worths[i].value.choices = words_mask(known[i].choices, value);
		snprintf(worths[i].text, sizeof worths[i].text, "%s", value);
		return;
	}
	high = strstr(value, "..");
	worths[i].value.low = strtod(value, NULL);
	worths[i].value.high =
	    high == NULL ? worths[i].value.low : strtod(high + 2, NULL);
	worths[i].value.nominal =
	    (worths[i].value.low + worths[i].value.high) / 2;
	snprintf(worths[i].text, sizeof worths[i].text, "%g",
	    worths[i].value.nominal);
}

/* Values of an expression's names, in its own order. */
static void
order_worths(struct expr_value *values, const char **texts,
    const struct expr *expr, struct worth *worths)
{
	size_t i, k;

	ck_assert_uint_le(expr_name_count(expr), EXPR_NAMES_MAX);
	for (i = 0; i < expr_name_count(expr); i++) {
		for (k = 0; k < KNOWN; k++) {
			if (strcmp(known[k].name, expr_name_at(expr, i)) != 0)
				continue;
			values[i] = worths[k].value;
			texts[i] = worths[k].text;
		}
	}
}

/* How far a value may be off: half of the last digit after ~. */
static double
allowed(const char *expected)
{
	const char *point = strchr(expected, '.');

	if (expected[0] != '~')
		return 1e-12 * fabs(strtod(expected, NULL));
	return point == NULL ? 0.5 : 0.5 * pow(10, -(double)strlen(point + 1));
}

static void
check_failed(const struct table *row, const struct lw_err *err)
{
	unsigned column = (unsigned)strtoul(row->field[2] + 6, NULL, 10);

	ck_assert_int_eq(err->code, LW_BAD_INPUT);
	ck_assert_msg(err->column == column, "row %u: %s: column %u: %s",
	    row->row, row->field[0], err->column, err->text);
	ck_assert_msg(strstr(err->text, row->field[3]) != NULL,
	    "row %u: %s: %s", row->row, row->field[0], err->text);
}

static void
check_range(
    const struct table *row, const struct expr_range *range, double number)
{
	const char *expected = row->field[2], *high;
	double low, top;

	high = strstr(expected, "..");
	low = strtod(expected + (expected[0] == '~'), NULL);
	top = high == NULL ? low : strtod(high + 2, NULL);
	ck_assert_msg(fabs(range->low - low) <= allowed(expected) &&
			  fabs(range->high - top) <=
			      allowed(high == NULL ? expected : high + 2),
	    "row %u: %s: %.17g to %.17g", row->row, row->field[0], range->low,
	    range->high);
	ck_assert_msg(number >= range->low && number <= range->high,
	    "row %u: %s: %.17g", row->row, row->field[0], number);
}

static void
check_dimension(const struct table *row, const struct expr *expr)
{
	struct lw_dimension wanted;
	char said[LW_QUANTITY_MAX];

	if (lw_unit_dimension(&wanted, row->field[3], NULL) == LW_OK) {
		ck_assert_msg(lw_dimension_equal(wanted, expr_dimension(expr)),
		    "row %u: %s", row->row, row->field[0]);
		return;
	}
	lw_dimension_say(said, expr_dimension(expr));
	ck_assert_msg(strstr(said, row->field[3]) != NULL, "row %u: %s: %s",
	    row->row, row->field[0], said);
}

static void
check_row(const struct table *row)
{
	struct lw_arena *arena = lw_arena_new();
	struct worth worths[KNOWN];
	struct expr_value values[EXPR_NAMES_MAX];
	struct expr_range range = {0, 0};
	struct lw_err err = {.column = 0};
	const char *texts[EXPR_NAMES_MAX];
	char *rest = row->field[1], *pair, said[200];
	const struct expr *expr = NULL;
	bool fails = strncmp(row->field[2], "error ", 6) == 0;
	enum lw_status status;
	double number = 0;

	memset(worths, 0, sizeof worths);
	while ((pair = strsep(&rest, " ")) != NULL)
		if (*pair != '\0')
			set_worth(worths, pair);
	status = expr_parse(&expr, arena, row->field[0], &names, &err);
	if (status == LW_OK) {
		order_worths(values, texts, expr, worths);
		status = expr_range(&range, expr, values, &err);
	}
	ck_assert_msg((status != LW_OK) == fails, "row %u: %s: %s", row->row,
	    row->field[0], status == LW_OK ? "is read" : err.text);
	if (fails) {
		check_failed(row, &err);
		lw_arena_free(arena);
		return;
	}
	ck_assert_int_eq(expr_number(&number, expr, values, &err), LW_OK);
	check_range(row, &range, number);
	check_dimension(row, expr);
	expr_say(said, sizeof said, expr, texts);
	if (row->field[4][0] != '\0')
		ck_assert_str_eq(said, row->field[4]);
	lw_arena_free(arena);
}

START_TEST(table_of_expressions)
{
	struct table table;
	unsigned rows = 0;

	table_open(&table, "expressions.tsv");
	for (; table_next(&table); rows++)
		check_row(&table);
	table_close(&table);
	ck_assert_uint_ge(rows, 200);
}
END_TEST

/* Where a name comes twice and the slope turns, the range is never narrower
 * than the truth, and near it: extremes by the derivative, by hand. x from -1
 * to 2, y from 1 to 3. */
START_TEST(near_to_the_truth)
{
	static const struct {
		const char *text;
		double low;
		double high;
	} tried[] = {
	    {"x * x - x", -0.25, 2},
	    {"x^3 - x", -0.384900179459751, 6},
	    {"x * (1 - x)", -2, 0.25},
	    {"if(x > 1, x, 10 - x)", 1, 11},
	    {"if(x * y > 0, y, 0 - y)", -3, 3},
	    {"x / (x^2 + 1)", -0.5, 0.5},
	    {"y + 4 / y", 4, 5},
	    {"exp(x) - 2 * x", 0.613705638880109, 3.38905609893065},
	    {"low(x * x - x)", -0.25, -0.25},
	    {"high(x * (1 - x))", 0.25, 0.25},
	    {"middle(x * x - x)", 0.875, 0.875},
	};
	struct lw_arena *arena = lw_arena_new();
	struct expr_value values[2];
	struct expr_range range;
	struct lw_err err;
	const struct expr *expr;
	size_t i;

	memset(values, 0, sizeof values);
	for (i = 0; i < sizeof tried / sizeof tried[0]; i++) {
		ck_assert_int_eq(
		    expr_parse(&expr, arena, tried[i].text, &names, &err),
		    LW_OK);
		values[0].low = expr_name_at(expr, 0)[0] == 'x' ? -1 : 1;
		values[0].high = expr_name_at(expr, 0)[0] == 'x' ? 2 : 3;
		values[1].low = 1;
		values[1].high = 3;
		ck_assert_int_eq(expr_range(&range, expr, values, &err), LW_OK);
		ck_assert_msg(range.low <= tried[i].low + 1e-12 &&
				  range.high >= tried[i].high - 1e-12 &&
				  range.low >= tried[i].low - 0.01 &&
				  range.high <= tried[i].high + 0.01,
		    "%s: %.17g to %.17g", tried[i].text, range.low, range.high);
	}
	lw_arena_free(arena);
}
END_TEST

/* low, high and middle of what nobody knows are not its ends, which are only
 * what is plausible. */
START_TEST(ends_of_what_nobody_knows)
{
	static const char *const tried[] = {
	    "low(x)", "high(x)", "middle(x)", "low(x * 1)", "low(x) + 0 * y",
	    "low(high(x))", "high(1 * low(x))"};
	struct lw_arena *arena = lw_arena_new();
	struct expr_value values[2];
	struct expr_range range;
	struct lw_err err;
	const struct expr *expr;
	size_t i;

	memset(values, 0, sizeof values);
	values[0].low = 1;
	values[0].high = 4;
	values[0].open = true;
	for (i = 0; i < sizeof tried / sizeof tried[0]; i++) {
		ck_assert_int_eq(
		    expr_parse(&expr, arena, tried[i], &names, &err), LW_OK);
		ck_assert_int_eq(expr_range(&range, expr, values, &err), LW_OK);
		ck_assert_msg(
		    fabs(range.low - 1) < 1e-12 && fabs(range.high - 4) < 1e-12,
		    "%s: %.17g to %.17g", tried[i], range.low, range.high);
	}
	lw_arena_free(arena);
}
END_TEST

/* --- limits --------------------------------------------------------------- */

static enum lw_status
try_parse(const char *text, struct lw_err *err)
{
	struct lw_arena *arena = lw_arena_new();
	const struct expr *expr;
	enum lw_status status = expr_parse(&expr, arena, text, &names, err);

	lw_arena_free(arena);
	return status;
}

/* `count` times a text, then another. */
static char *
many(const char *text, size_t count, const char *end)
{
	size_t length = strlen(text), i;
	char *all = malloc(length * count + strlen(end) + 1);

	ck_assert_ptr_nonnull(all);
	for (i = 0; i < count; i++)
		memcpy(all + i * length, text, length);
	strcpy(all + length * count, end);
	return all;
}

START_TEST(limits)
{
	static const struct {
		const char *text;
		size_t count;
		const char *end;
		unsigned column; /* 0: it is read */
		const char *says;
	} tried[] = {
	    {"(", 1000000, "1", 1001, "at most 1000"},
	    {"(", 900, "1", 41, "more than 40 deep"},
	    {"(", 39, "1", 41, "a closing bracket"},
	    {"-", 39, "1", 0, NULL},
	    {"-", 40, "1", 41, "more than 40 deep"},
	    {"1^", 39, "1", 0, NULL},
	    {"1^", 40, "1", 81, "more than 40 deep"},
	    {"not ", 100, "1", 161, "more than 40 deep"},
	    {"abs(", 60, "1", 161, "more than 40 deep"},
	    {"x+", 499, "x", 800, "may have 400 steps"},
	    {"x+", 399, "x", 0, NULL},
	    {"9", 500, "", 1, "too long"},
	    {"x", 100, "", 1, "at most 64"},
	    {" ", 998, "1", 0, NULL},
	};
	struct lw_err err;
	enum lw_status status;
	size_t i;
	char *text;

	for (i = 0; i < sizeof tried / sizeof tried[0]; i++) {
		text = many(tried[i].text, tried[i].count, tried[i].end);
		memset(&err, 0, sizeof err);
		status = try_parse(text, &err);
		ck_assert_msg((status == LW_OK) == (tried[i].column == 0),
		    "%.20s: %s", text, err.text);
		ck_assert_msg(err.column == tried[i].column,
		    "%.20s: column %u: %s", text, err.column, err.text);
		if (tried[i].says != NULL)
			ck_assert_msg(strstr(err.text, tried[i].says) != NULL,
			    "%.20s: %s", text, err.text);
		free(text);
	}
}
END_TEST

static bool
find_any(const void *context, const char *name, struct expr_name *found)
{
	(void)context;
	memset(found, 0, sizeof *found);
	return name[0] == 'v';
}

START_TEST(names_at_most)
{
	static const struct expr_names any = {find_any, NULL, NULL};
	struct lw_arena *arena = lw_arena_new();
	const struct expr *expr;
	struct lw_err err;

	ck_assert_int_eq(expr_parse(&expr, arena,
			     "v1+v2+v3+v4+v5+v6+v7+v8+v9+v10+v11+v12+v13+v14+"
			     "v15+v16+v1+v2",
			     &any, &err),
	    LW_OK);
	ck_assert_uint_eq(expr_name_count(expr), 16);
	ck_assert_str_eq(expr_name_at(expr, 15), "v16");
	ck_assert_int_eq(expr_parse(&expr, arena,
			     "v1+v2+v3+v4+v5+v6+v7+v8+v9+v10+v11+v12+v13+v14+"
			     "v15+v16+v17",
			     &any, &err),
	    LW_BAD_INPUT);
	ck_assert_uint_eq(err.column, 56);
	ck_assert_ptr_nonnull(strstr(err.text, "at most 16"));
	/* Without a nearest, and without names at all. */
	ck_assert_int_eq(
	    expr_parse(&expr, arena, "1 + w", &any, &err), LW_BAD_INPUT);
	ck_assert_str_eq(err.text, "there is no value called w");
	ck_assert_int_eq(
	    expr_parse(&expr, arena, "1 + w", NULL, &err), LW_BAD_INPUT);
	ck_assert_int_eq(
	    expr_parse(&expr, arena, "1 + w", NULL, NULL), LW_BAD_INPUT);
	lw_arena_free(arena);
}
END_TEST

START_TEST(values_that_are_none)
{
	static const struct expr_value bad[] = {
	    {.low = NAN, .high = 1, .nominal = 1},
	    {.low = 0, .high = NAN, .nominal = NAN},
	    {.low = -INFINITY, .high = 1, .nominal = INFINITY},
	    {.low = 2, .high = 1, .nominal = -INFINITY},
	};
	struct lw_arena *arena = lw_arena_new();
	const struct expr *expr;
	struct expr_range range;
	struct lw_err err;
	double number;
	size_t i;

	ck_assert_int_eq(
	    expr_parse(&expr, arena, "1 + x", &names, &err), LW_OK);
	for (i = 0; i < sizeof bad / sizeof bad[0]; i++) {
		ck_assert_int_eq(
		    expr_range(&range, expr, &bad[i], &err), LW_BAD_INPUT);
		ck_assert_uint_eq(err.column, 5);
		ck_assert_int_eq(
		    expr_range(&range, expr, &bad[i], NULL), LW_BAD_INPUT);
		if (isfinite(bad[i].nominal))
			continue;
		ck_assert_int_eq(
		    expr_number(&number, expr, &bad[i], &err), LW_BAD_INPUT);
	}
	lw_arena_free(arena);
}
END_TEST

/* A text that is cut ends at a character, and in time. */
START_TEST(saying_within_room)
{
	static const char *const texts[] = {"470 \xCE\xA9 \xC2\xB1"
					    "5 %"};
	struct lw_arena *arena = lw_arena_new();
	const struct expr *expr;
	struct lw_err err;
	char said[64];
	size_t size;

	ck_assert_int_eq(
	    expr_parse(&expr, arena, "precharge.resistor * 2", &names, &err),
	    LW_OK);
	for (size = 1; size <= sizeof said; size++) {
		memset(said, 'z', sizeof said);
		expr_say(said, size, expr, texts);
		ck_assert_uint_lt(strlen(said), size);
		ck_assert_uint_eq(utf8_valid(said, strlen(said)), strlen(said));
	}
	ck_assert_str_eq(said, "(470 \xCE\xA9 \xC2\xB1"
			       "5 %) * 2");
	lw_arena_free(arena);
}
END_TEST

/* Each function: its parameters have units, and its body is read. */
START_TEST(functions_are_sound)
{
	const struct expr_function *functions;
	size_t count, i, used;
	char text[400], unit[40];
	const char *s;
	struct lw_err err;

	functions = expr_functions(&count);
	ck_assert_uint_ge(count, 10);
	for (i = 0; i < count; i++) {
		used = (size_t)snprintf(
		    text, sizeof text, "%s(", functions[i].name);
		for (s = functions[i].parameters; *s != '\0';) {
			s = strchr(s, ':') + 1;
			snprintf(
			    unit, sizeof unit, "%.*s", (int)strcspn(s, " "), s);
			used += (size_t)snprintf(text + used,
			    sizeof text - used, "%s2.5 %s",
			    text[used - 1] == '(' ? "" : ", ", unit);
			s += strcspn(s, " ");
		}
		snprintf(text + used, sizeof text - used, ")");
		/* Odd arguments may be out of a domain, no more. */
		if (try_parse(text, &err) != LW_OK)
			ck_assert_msg(strncmp(err.text, "within ", 7) == 0,
			    "%s: %s", text, err.text);
		ck_assert(functions[i].summary[0] != '\0');
	}
}
END_TEST

/* --- ranges against samples ------------------------------------------------
 */

static bool
find_formula(const void *context, const char *name, struct expr_name *found)
{
	(void)context;
	memset(found, 0, sizeof *found);
	return name[0] == 'v' && name[1] >= '0' &&
	       name[1] < '0' + FORMULA_NAMES && name[2] == '\0';
}

static const struct expr_names formula_names = {find_formula, NULL, NULL};

struct tried {
	struct formula formula;
	char text[FORMULA_TEXT_MAX];
	double low[FORMULA_NAMES];
	double high[FORMULA_NAMES];
	struct expr_range range;
};

/* The range of a formula over its box. */
static enum lw_status
find_range(struct tried *tried, struct lw_err *err)
{
	struct lw_arena *arena = lw_arena_new();
	struct expr_value values[EXPR_NAMES_MAX];
	const struct expr *expr = NULL;
	enum lw_status status;
	size_t i;
	int name;

	formula_text(tried->text, &tried->formula);
	memset(values, 0, sizeof values);
	status = expr_parse(&expr, arena, tried->text, &formula_names, err);
	if (status == LW_OK) {
		for (i = 0; i < expr_name_count(expr); i++) {
			name = expr_name_at(expr, i)[1] - '0';
			values[i].low = tried->low[name];
			values[i].high = tried->high[name];
			values[i].nominal =
			    (tried->low[name] + tried->high[name]) / 2;
		}
		status = expr_range(&tried->range, expr, values, err);
	}
	lw_arena_free(arena);
	return status;
}

static void
check_sample(const struct tried *tried, const double *at)
{
	double value, scale;

	if (!formula_value(&value, &scale, &tried->formula, at))
		return;
	ck_assert_msg(value >= tried->range.low - 1e-12 * scale &&
			  value <= tried->range.high + 1e-12 * scale,
	    "%s: %.17g is not in %.17g to %.17g", tried->text, value,
	    tried->range.low, tried->range.high);
}

static int
rounds(int many_rounds)
{
	return getenv("LAMPWRIGHT_SHORT") != NULL ? many_rounds / 50
						  : many_rounds;
}

START_TEST(never_narrower_than_samples)
{
	uint64_t seed = 20240506;
	struct tried tried;
	struct lw_err err;
	double at[FORMULA_NAMES];
	int round, i, k, ranged = 0, all = rounds(4000);

	for (round = 0; round < all; round++) {
		formula_any(&tried.formula, &seed);
		formula_box(tried.low, tried.high, false, &seed);
		if (find_range(&tried, &err) != LW_OK) {
			/* Only what may be out of a domain. */
			ck_assert_msg(err.column > 0 &&
					  (strstr(err.text, "zero") != NULL ||
					      strstr(err.text, "too big")),
			    "%s: %s", tried.text, err.text);
			continue;
		}
		ranged++;
		for (i = 0; i < 60; i++) {
			for (k = 0; k < FORMULA_NAMES; k++)
				at[k] = formula_between(
				    tried.low[k], tried.high[k], i < 40, &seed);
			check_sample(&tried, at);
		}
	}
	ck_assert_int_gt(ranged, all / 2);
}
END_TEST

START_TEST(no_wider_than_corners)
{
	uint64_t seed = 19931003;
	struct tried tried;
	struct lw_err err = {.column = 0};
	double low[FORMULA_NAMES], high[FORMULA_NAMES], from, to, scale, other;
	int round, k;

	for (round = 0; round < rounds(4000); round++) {
		formula_rising(&tried.formula, &seed);
		formula_box(tried.low, tried.high, true, &seed);
		ck_assert_msg(find_range(&tried, &err) == LW_OK, "%s: %s",
		    tried.text, err.text);
		for (k = 0; k < FORMULA_NAMES; k++) {
			low[k] =
			    formula_rises(k) ? tried.low[k] : tried.high[k];
			high[k] =
			    formula_rises(k) ? tried.high[k] : tried.low[k];
		}
		ck_assert(formula_value(&from, &scale, &tried.formula, low));
		ck_assert(formula_value(&to, &other, &tried.formula, high));
		ck_assert_msg(fabs(tried.range.low - from) <= 1e-12 * scale &&
				  fabs(tried.range.high - to) <= 1e-12 * other,
		    "%s: %.17g to %.17g, not %.17g to %.17g", tried.text,
		    tried.range.low, tried.range.high, from, to);
	}
}
END_TEST

/* Exact values give the plain number, to the last bit. */
START_TEST(exact_values_are_plain_numbers)
{
	uint64_t seed = 77;
	struct tried tried;
	struct lw_err err;
	double value, scale;
	int round;

	for (round = 0; round < rounds(2000); round++) {
		formula_any(&tried.formula, &seed);
		formula_box(tried.low, tried.high, false, &seed);
		memcpy(tried.high, tried.low, sizeof tried.high);
		if (find_range(&tried, &err) != LW_OK)
			continue;
		ck_assert(tried.range.low == tried.range.high);
		if (formula_value(&value, &scale, &tried.formula, tried.low))
			ck_assert_msg(
			    fabs(value - tried.range.low) <= 1e-13 * scale,
			    "%s: %.17g, not %.17g", tried.text, tried.range.low,
			    value);
	}
}
END_TEST

Suite *
suite_expr(void)
{
	Suite *suite = suite_create("expr");
	TCase *tcase = tcase_create("expr");

	tcase_add_test(tcase, table_of_expressions);
	tcase_add_test(tcase, near_to_the_truth);
	tcase_add_test(tcase, ends_of_what_nobody_knows);
	tcase_add_test(tcase, limits);
	tcase_add_test(tcase, names_at_most);
	tcase_add_test(tcase, values_that_are_none);
	tcase_add_test(tcase, saying_within_room);
	tcase_add_test(tcase, functions_are_sound);
	tcase_add_test(tcase, never_narrower_than_samples);
	tcase_add_test(tcase, no_wider_than_corners);
	tcase_add_test(tcase, exact_values_are_plain_numbers);
	tcase_set_timeout(tcase, 60);
	suite_add_tcase(suite, tcase);
	return suite;
}
