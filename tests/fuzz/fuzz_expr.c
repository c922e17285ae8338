/* Input: a byte that picks how much is known, then an expression. What is
 * read has a range that is finite, whatever its names can be, and is said as
 * it was written; an error has a place in the text and a sentence that can be
 * shown. */
#include "base/utf8.h"
#include "meter/expr.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void
require(bool good)
{
	if (!good)
		abort();
}

static const char *const kinds[] = {"lead", "lfp", "li-ion", NULL};

/* By its first letter a name is a choice, a voltage, a resistance, or a bare
 * number; a few letters are none. */
static bool
find(const void *context, const char *name, struct expr_name *found)
{
	static const struct lw_dimension volt = {1, 2, -3, -1, 0};
	static const struct lw_dimension ohm = {1, 2, -3, -2, 0};

	(void)context;
	if (name[0] == 'q')
		return false;
	if (name[0] == 'k')
		found->choices = kinds;
	if (name[0] == 'u')
		found->dimension = volt;
	if (name[0] == 'r')
		found->dimension = ohm;
	return true;
}

static const char *
nearest(const void *context, const char *name)
{
	(void)context;
	return name[0] == 'q' ? "quantity" : NULL;
}

static void
check_error(const struct lw_err *err, const char *text)
{
	size_t i;

	require(err->code == LW_BAD_INPUT && err->text[0] != '\0');
	require(utf8_valid(err->text, strlen(err->text)) == strlen(err->text));
	for (i = 0; err->text[i] != '\0'; i++)
		require((unsigned char)err->text[i] >= 0x20 &&
			err->text[i] != 0x7F);
	require(err->column >= 1 &&
		err->column <= utf8_count(text, strlen(text)) + 1);
}

static void
pick(struct expr_value *value, unsigned seed)
{
	static const double lows[] = {1, -2, 0, 0.5, 20, -1e300, 1e-300, 4};
	static const double widths[] = {0, 0, 1, 0.01, 5, 1e300, 100, 0};

	value->low = lows[seed % 8];
	value->high = value->low + widths[seed / 8 % 8];
	value->nominal = value->low / 2 + value->high / 2;
	value->choices = seed % 8;
	value->open = seed % 3 == 0;
}

static void
check_expr(const struct expr *expr, const char *text, unsigned seed)
{
	static const char *const nothing[EXPR_NAMES_MAX] = {NULL};
	const char *texts[EXPR_NAMES_MAX];
	struct expr_value values[EXPR_NAMES_MAX];
	struct expr_range range;
	struct lw_err err = {.code = LW_OK};
	char said[EXPR_TEXT_MAX + 1], short_said[20];
	double number;
	size_t i;

	require(expr_name_count(expr) <= EXPR_NAMES_MAX);
	for (i = 0; i < expr_name_count(expr); i++) {
		require(expr_name_at(expr, i)[0] != '\0');
		pick(&values[i], seed + (unsigned)i * 11);
		texts[i] = "lfp \xC2\xB1";
	}
	if (expr_range(&range, expr, values, &err) == LW_OK)
		require(isfinite(range.low) && isfinite(range.high) &&
			range.low <= range.high);
	else
		check_error(&err, text);
	if (expr_number(&number, expr, values, &err) == LW_OK)
		require(isfinite(number));
	else
		check_error(&err, text);
	expr_say(said, sizeof said, expr, nothing);
	require(strcmp(said, text) == 0);
	expr_say(short_said, sizeof short_said, expr, texts);
	require(
	    utf8_valid(short_said, strlen(short_said)) == strlen(short_said));
}

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	static const struct expr_names names = {find, nearest, NULL};
	struct lw_err err = {.code = LW_OK};
	struct lw_arena *arena;
	const struct expr *expr;
	char *text;

	if (size == 0)
		return 0;
	text = malloc(size);
	arena = lw_arena_new();
	if (text == NULL || arena == NULL)
		return 0;
	memcpy(text, data + 1, size - 1);
	text[size - 1] = '\0';
	if (expr_parse(&expr, arena, text, &names, &err) == LW_OK)
		check_expr(expr, text, data[0]);
	else
		check_error(&err, text);
	lw_arena_free(arena);
	free(text);
	return 0;
}
