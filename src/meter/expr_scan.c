/* From an expression's text to its tokens: numbers with their units, words,
 * signs. What they make together is left to meter/expr_parse.c. */
#include "meter/expr_inside.h"

#include "base/err.h"
#include "base/num.h"
#include "base/utf8.h"
#include "meter/unit.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

enum { UNIT_MAX = 32, WORD_MAX = 64 };

#define TOO_BIG "this number is too big or too long; numbers go up to 1.7e308"

unsigned
expr_column(const char *text, size_t at)
{
	return (unsigned)utf8_count(text, at) + 1;
}

static bool
is_digit(char c)
{
	return c >= '0' && c <= '9';
}

static bool
is_letter(char c)
{
	return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

static bool
is_word(char c)
{
	return is_letter(c) || is_digit(c) || c == '_';
}

static bool
is_space(char c)
{
	return c == ' ' || c == '\t' || c == '\n' || c == '\r';
}

/* Bytes of symbols such as the omega and the degree sign. */
static bool
is_symbol(char c)
{
	return (unsigned char)c >= 0x80;
}

bool
expr_token_is(const struct expr_scan *scan, const char *word)
{
	return scan->token.kind == EXPR_WORD &&
	       scan->token.length == strlen(word) &&
	       memcmp(scan->text + scan->token.at, word, strlen(word)) == 0;
}

static size_t
skip_digits(const char *text, size_t at)
{
	while (is_digit(text[at]))
		at++;
	return at;
}

/* Where a number ends. An e that no digits follow begins a unit. */
static size_t
skip_number(const char *text, size_t at)
{
	size_t mark;

	at = skip_digits(text, at);
	if (text[at] == '.')
		at = skip_digits(text, at + 1);
	if (text[at] == 'e' || text[at] == 'E') {
		mark = at + 1;
		if (text[mark] == '+' || text[mark] == '-')
			mark++;
		if (is_digit(text[mark]))
			at = skip_digits(text, mark);
	}
	return at;
}

static size_t
skip_word(const char *text, size_t at)
{
	while (is_word(text[at]) || is_symbol(text[at]))
		at++;
	return at;
}

static bool
span_is(const char *text, size_t at, size_t end, const char *word)
{
	return end - at == strlen(word) &&
	       memcmp(text + at, word, end - at) == 0;
}

/* Whether a unit may end before `at`: not amid a word, nor at a space. */
static bool
is_boundary(const char *text, size_t at)
{
	char before = text[at - 1], after = text[at];

	if (is_space(before))
		return false;
	return !(is_word(before) || is_symbol(before)) ||
	       !(is_word(after) || is_symbol(after));
}

static bool
may_be_in_unit(char c)
{
	return is_word(c) || is_symbol(c) || c == ' ' || c == '/' || c == '-' ||
	       c == '%' || c == '.';
}

/* The longest unit that begins at `at`, and where it ends; or NULL. */
static const struct unit *
longest_unit(const char *text, size_t at, size_t *end)
{
	const struct unit *unit;
	size_t to = at;

	while (to - at < UNIT_MAX - 1 && may_be_in_unit(text[to]))
		to++;
	for (; to > at; to--) {
		if (!is_boundary(text, to))
			continue;
		unit = unit_find(text + at, to - at, false);
		if (unit == NULL || unit->kind == UNIT_NUMBER)
			continue;
		*end = to;
		return unit;
	}
	return NULL;
}

static enum lw_status
unknown_unit(const struct expr_scan *scan, size_t at, struct lw_err *err)
{
	char unit[UNIT_MAX];
	struct lw_dimension dimension;
	size_t length = skip_word(scan->text, at) - at;

	if (length == 0)
		length = 1;
	if (length >= UNIT_MAX)
		length = UNIT_MAX - 1;
	length = utf8_valid(scan->text + at, length);
	memcpy(unit, scan->text + at, length);
	unit[length] = '\0';
	if (lw_unit_dimension(&dimension, unit, err) == LW_OK)
		return err_set_at(err, LW_BAD_INPUT, 0,
		    expr_column(scan->text, at),
		    "'%s' cannot follow a number here", unit);
	if (err != NULL)
		err->column = expr_column(scan->text, at);
	return LW_BAD_INPUT;
}

/* A number in a unit. Where the zero of the unit is not ours a minus sign
 * belongs to the number. */
static enum lw_status
convert(struct expr_scan *scan, double number, const struct unit *unit,
    struct lw_err *err)
{
	struct expr_token *token = &scan->token;

	token->dimension = unit_dimension(unit->kind);
	token->number = unit_from(unit, number);
	token->below = unit_from(unit, -number);
	token->offset = unit->offset != 0;
	if (!isfinite(token->number))
		return err_set_at(err, LW_BAD_INPUT, 0,
		    expr_column(scan->text, token->at), TOO_BIG);
	return LW_OK;
}

/* The unit after a number, if there is one. */
static enum lw_status
scan_unit(struct expr_scan *scan, double number, struct lw_err *err)
{
	struct expr_token *token = &scan->token;
	const char *text = scan->text;
	const struct unit *unit;
	size_t at = scan->at, end;

	while (is_space(text[at]))
		at++;
	token->offset = false;
	token->number = number;
	end = skip_word(text, at);
	if ((!is_letter(text[at]) && !is_symbol(text[at]) && text[at] != '%') ||
	    span_is(text, at, end, "and") || span_is(text, at, end, "or"))
		return LW_OK;
	unit = longest_unit(text, at, &end);
	if (unit == NULL && is_symbol(text[at]))
		return LW_OK; /* whatever it is, it is no unit */
	if (unit == NULL)
		return unknown_unit(scan, at, err);
	if (convert(scan, number, unit, err) != LW_OK)
		return LW_BAD_INPUT;
	scan->at = end;
	while (is_space(text[end]))
		end++;
	if (text[end] == '^')
		return err_set_at(err, LW_BAD_INPUT, 0, expr_column(text, end),
		    "a power after a unit could mean two things; put the "
		    "number with its unit in brackets, or write the unit's "
		    "own power, such as mm2");
	return LW_OK;
}

/* "2/0 AWG" and the like, whose stroke divides nothing. */
static bool
scan_aught(struct expr_scan *scan)
{
	const char *text = scan->text + scan->at;
	const struct unit *gauge;
	size_t at = 3;

	if (text[0] < '1' || text[0] > '4' || text[1] != '/' || text[2] != '0')
		return false;
	while (is_space(text[at]))
		at++;
	if (strncmp(text + at, "AWG", 3) != 0 || is_word(text[at + 3]))
		return false;
	gauge = unit_find("AWG", 3, false);
	scan->token.dimension = unit_dimension(gauge->kind);
	scan->token.number = unit_from(gauge, 1 - (text[0] - '0'));
	scan->token.offset = false;
	scan->at += at + 3;
	return true;
}

static enum lw_status
scan_number(struct expr_scan *scan, struct lw_err *err)
{
	size_t begin = scan->at, end = skip_number(scan->text, begin);
	double number;

	scan->token.kind = EXPR_LITERAL;
	memset(&scan->token.dimension, 0, sizeof scan->token.dimension);
	if (scan_aught(scan))
		return LW_OK;
	if (!num_parse(&number, scan->text + begin, end - begin))
		return err_set_at(err, LW_BAD_INPUT, 0,
		    expr_column(scan->text, begin), TOO_BIG);
	if (scan->text[end] == '.')
		return err_set_at(err, LW_BAD_INPUT, 0,
		    expr_column(scan->text, end),
		    "a number has one point at most");
	scan->at = end;
	return scan_unit(scan, number, err);
}

/* A name: words joined by points. */
static enum lw_status
scan_word(struct expr_scan *scan, struct lw_err *err)
{
	const char *text = scan->text;
	size_t begin = scan->at, at = begin;

	scan->token.kind = EXPR_WORD;
	for (;;) {
		while (is_word(text[at]))
			at++;
		if (text[at] != '.' || !is_word(text[at + 1]))
			break;
		at++;
	}
	if (at - begin > WORD_MAX)
		return err_set_at(err, LW_BAD_INPUT, 0,
		    expr_column(text, begin),
		    "a name is at most %d characters long", WORD_MAX);
	scan->at = at;
	return LW_OK;
}

/* Whether a character is shown as itself: no mark that is not seen or turns
 * the direction of writing. */
static bool
is_shown(uint32_t point)
{
	return (point > 0x20 && point < 0x7F) ||
	       (point > 0xA0 && point < 0x300 && point != 0xAD) ||
	       (point >= 0x391 && point < 0x530) ||
	       (point >= 0x2190 && point < 0x2300);
}

/* A character that no token begins with. */
static enum lw_status
stray(const struct expr_scan *scan, struct lw_err *err)
{
	const char *text = scan->text + scan->at;
	unsigned column = expr_column(scan->text, scan->at);
	uint32_t point = 0;
	size_t length = utf8_decode(text, strlen(text), &point);

	if (length == 0 || point < 0x20 || point == 0x7F)
		return err_set_at(err, LW_BAD_INPUT, 0, column,
		    "there is a byte here that is no text");
	if (!is_shown(point))
		return err_set_at(err, LW_BAD_INPUT, 0, column,
		    "the character U+%04X is no part of an expression",
		    (unsigned)point);
	return err_set_at(err, LW_BAD_INPUT, 0, column,
	    "'%.*s' is no part of an expression; there are numbers with "
	    "units, names, brackets, + - * / ^ = != < > <= >=",
	    (int)length, text);
}

static enum lw_status
scan_sign(struct expr_scan *scan, struct lw_err *err)
{
	const char *text = scan->text + scan->at;

	scan->token.kind = EXPR_SIGN;
	scan->token.sign = text[0];
	scan->at += 2;
	if (strncmp(text, "<=", 2) == 0)
		scan->token.sign = EXPR_LE;
	else if (strncmp(text, ">=", 2) == 0)
		scan->token.sign = EXPR_GE;
	else if (strncmp(text, "!=", 2) == 0)
		scan->token.sign = EXPR_NE;
	else
		scan->at -= 1;
	if (strchr("+-*/^=<>(),lgn", scan->token.sign) != NULL)
		return LW_OK;
	scan->at = scan->token.at;
	return stray(scan, err);
}

static void
begin_token(struct expr_scan *scan)
{
	scan->ended = scan->token.at + scan->token.length;
	while (is_space(scan->text[scan->at]))
		scan->at++;
	scan->token.at = scan->at;
	scan->token.sign = '\0';
}

enum lw_status
expr_scan_next(struct expr_scan *scan, struct lw_err *err)
{
	enum lw_status status = LW_OK;
	char c;

	begin_token(scan);
	c = scan->text[scan->at];
	if (c == '\0')
		scan->token.kind = EXPR_END;
	else if (is_digit(c) ||
		 (c == '.' && is_digit(scan->text[scan->at + 1])))
		status = scan_number(scan, err);
	else if (is_letter(c) || c == '_')
		status = scan_word(scan, err);
	else
		status = scan_sign(scan, err);
	scan->token.length = scan->at - scan->token.at;
	return status;
}

enum lw_status
expr_scan_choice(struct expr_scan *scan, struct lw_err *err)
{
	const char *text = scan->text;
	size_t at;

	begin_token(scan);
	at = scan->at;
	while (is_word(text[at]) || ((text[at] == '-' || text[at] == '.') &&
					at > scan->at && is_word(text[at + 1])))
		at++;
	if (at == scan->at || at - scan->at > WORD_MAX)
		return err_set_at(err, LW_BAD_INPUT, 0, expr_column(text, at),
		    "a word of the choice has to stand here");
	scan->token.kind = EXPR_WORD;
	scan->token.length = at - scan->at;
	scan->at = at;
	return LW_OK;
}
