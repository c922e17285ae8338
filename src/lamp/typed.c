/* Reads a pattern as it is typed: every way in which it can be taken, as far
 * as what is known of the lamp leaves it open. */
#include "lamp/grammar.h"

#include "base/buf.h"
#include "base/err.h"
#include "base/utf8.h"

#include <stdio.h>
#include <string.h>

static enum lw_coding
hinted(const struct lw_lamp_hint *hint)
{
	return hint == NULL ? LW_CODING_UNKNOWN : hint->coding;
}

/* --- counts that may be digits ----------------------------------------- */

/* A count of two or more digits that may as well be one code digit by digit.
 * Ten stays ten on every lamp: it may stand for the digit 0. */
static bool
is_open(const struct code *code)
{
	return code->coding == LW_CODING_COUNT && code->plain &&
	       code->runs[0].flashes > 10;
}

static bool
has_open(const struct canonical *pattern)
{
	size_t i, j;

	for (i = 0; i < pattern->count; i++)
		for (j = 0; j < pattern->lamps[i].count; j++)
			if (is_open(&pattern->lamps[i].codes[j]))
				return true;
	return false;
}

/* 32 to 3-2. */
static enum lw_status
split_code(struct code *code, struct lw_err *err)
{
	char digits[16];
	unsigned column = code->column;
	size_t i;

	snprintf(digits, sizeof digits, "%u", code->runs[0].flashes);
	code->count = 0;
	code->plain = false;
	code->coding = LW_CODING_DIGITS;
	for (i = 0; digits[i] != '\0'; i++) {
		if (digits[i] == '0')
			return phrases_refuse_zero(column + (unsigned)i, err);
		if (code->count == GROUPS_MAX)
			return err_set_at(err, LW_BAD_INPUT, 0,
			    column + (unsigned)i,
			    "a pattern has 2 to %d digit groups, and this is "
			    "one more",
			    GROUPS_MAX);
		code->runs[code->count++].flashes = (unsigned)(digits[i] - '0');
	}
	return LW_OK;
}

static enum lw_status
split_all(struct canonical *pattern, struct lw_err *err)
{
	enum lw_status status;
	size_t i, j;

	for (i = 0; i < pattern->count; i++)
		for (j = 0; j < pattern->lamps[i].count; j++) {
			if (!is_open(&pattern->lamps[i].codes[j]))
				continue;
			status = split_code(&pattern->lamps[i].codes[j], err);
			if (status != LW_OK)
				return status;
		}
	return LW_OK;
}

static enum lw_status
check_counts(const struct canonical *pattern, struct lw_err *err)
{
	const struct code *code;
	size_t i, j;

	for (i = 0; i < pattern->count; i++)
		for (j = 0; j < pattern->lamps[i].count; j++) {
			code = &pattern->lamps[i].codes[j];
			if (code->coding == LW_CODING_COUNT &&
			    code->runs[0].flashes > COUNT_MAX)
				return err_set_at(err, LW_BAD_INPUT, 0,
				    code->column,
				    "a lamp's count is 1 to %d flashes; write "
				    "digits with a hyphen, such as 3-2",
				    COUNT_MAX);
		}
	return LW_OK;
}

/* --- the device's lamps ------------------------------------------------ */

static size_t
lamp_place(const struct lw_lamp_hint *hint, const char *name)
{
	size_t i;

	for (i = 0; i < hint->lamp_count; i++)
		if (strcmp(hint->lamps[i], name) == 0)
			break;
	return i;
}

/* NULL where it is not known. */
static const char *
lamp_colour(const struct lw_lamp_hint *hint, size_t lamp)
{
	const char *colour =
	    hint->colours != NULL ? hint->colours[lamp] : NULL;

	return colour != NULL && colour[0] != '\0' ? colour : NULL;
}

/* Whether a lamp of this colour may be called so. People do not agree on
 * amber, yellow and orange. */
static bool
colour_fits(const char *colour, const char *called)
{
	static const char *const warm[] = {"amber", "yellow", "orange"};
	bool is_warm = false, called_warm = false;
	size_t i;

	for (i = 0; i < sizeof warm / sizeof warm[0]; i++) {
		is_warm = is_warm || strstr(colour, warm[i]) != NULL;
		called_warm = called_warm || strcmp(called, warm[i]) == 0;
	}
	return strstr(colour, called) != NULL || (is_warm && called_warm);
}

/* Whether a name may stand for the device's only lamp: its id, or a colour
 * that it has, or may have. */
static bool
names_only_lamp(const struct lw_lamp_hint *hint, const struct shown *shown)
{
	const char *colour = lamp_colour(hint, 0);

	return strcmp(hint->lamps[0], shown->lamp) == 0 ||
	       (shown->colour &&
		   (colour == NULL || colour_fits(colour, shown->lamp)));
}

/* A colour that just one of the lamps has stands for that lamp. */
static void
name_by_colour(struct shown *shown, const struct lw_lamp_hint *hint)
{
	size_t i, found = 0, place = 0;

	if (!shown->colour || lamp_place(hint, shown->lamp) < hint->lamp_count)
		return;
	for (i = 0; i < hint->lamp_count; i++) {
		const char *colour = lamp_colour(hint, i);

		if (colour != NULL && colour_fits(colour, shown->lamp)) {
			place = i;
			found++;
		}
	}
	if (found == 1 && strlen(hint->lamps[place]) < sizeof shown->lamp)
		snprintf(shown->lamp, sizeof shown->lamp, "%s",
		    hint->lamps[place]);
}

static enum lw_status
refuse_lamp(const struct shown *shown, const struct lw_lamp_hint *hint,
    struct lw_err *err)
{
	enum lw_status status;
	struct buf list;
	size_t i;

	buf_init(&list, 300);
	for (i = 0; i < hint->lamp_count; i++)
		buf_printf(&list, "%s%s",
		    i == 0			? ""
		    : i + 1 == hint->lamp_count ? " and "
						: ", ",
		    hint->lamps[i]);
	if (hint->lamp_count == 1)
		status = err_set_at(err, LW_BAD_INPUT, 0, shown->column,
		    "this device has no lamp \"%s\"; its lamp is %s%s%s",
		    shown->lamp, buf_text(&list),
		    lamp_colour(hint, 0) != NULL ? ", which is " : "",
		    lamp_colour(hint, 0) != NULL ? lamp_colour(hint, 0) : "");
	else
		status = err_set_at(err, LW_BAD_INPUT, 0, shown->column,
		    "this device has no lamp \"%s\"; its lamps are %s",
		    shown->lamp, buf_text(&list));
	buf_clear(&list);
	return status;
}

/* Put named lamps in the device's order. A device with one lamp needs no
 * name; a colour stands for the lamp that has it. */
static enum lw_status
settle_lamps(struct canonical *pattern, const struct lw_lamp_hint *hint,
    struct lw_err *err)
{
	struct shown kept;
	size_t i, j;

	if (hint == NULL || hint->lamp_count == 0 ||
	    pattern->lamps[0].lamp[0] == '\0')
		return LW_OK;
	if (hint->lamp_count == 1 && pattern->count == 1 &&
	    names_only_lamp(hint, &pattern->lamps[0])) {
		pattern->lamps[0].lamp[0] = '\0';
		return LW_OK;
	}
	for (i = 0; i < pattern->count; i++)
		name_by_colour(&pattern->lamps[i], hint);
	for (i = 0; i < pattern->count; i++)
		if (lamp_place(hint, pattern->lamps[i].lamp) ==
		    hint->lamp_count)
			return refuse_lamp(&pattern->lamps[i], hint, err);
	for (i = 1; i < pattern->count; i++) {
		kept = pattern->lamps[i];
		for (j = i;
		     j > 0 && lamp_place(hint, pattern->lamps[j - 1].lamp) >
				  lamp_place(hint, kept.lamp);
		     j--)
			pattern->lamps[j] = pattern->lamps[j - 1];
		pattern->lamps[j] = kept;
	}
	return LW_OK;
}

/* --- readings ---------------------------------------------------------- */

/* Add a reading, unless it is there. */
static enum lw_status
add_reading(struct lw_pattern_readings *readings,
    const struct canonical *pattern, struct lw_err *err)
{
	struct lw_pattern written;
	size_t i;

	if (!canonical_write(&written, pattern))
		return err_set_at(err, LW_BAD_INPUT, 0, 1,
		    "this pattern is longer than %d characters when written; "
		    "leave lamps or codes out",
		    LW_PATTERN_MAX - 1);
	for (i = 0; i < readings->count; i++)
		if (strcmp(readings->items[i].text, written.text) == 0)
			return LW_OK;
	if (readings->count < LW_READINGS_MAX)
		readings->items[readings->count++] = written;
	return LW_OK;
}

/* The pattern as it is, and with its counts split into digits, as far as the
 * lamp's coding leaves both open. */
static enum lw_status
settle(struct lw_pattern_readings *readings, struct canonical *pattern,
    const struct lw_lamp_hint *hint, struct lw_err *err)
{
	bool open = has_open(pattern);
	enum lw_status whole = LW_BAD_INPUT, split;

	whole = settle_lamps(pattern, hint, err);
	if (whole != LW_OK)
		return whole;
	if (!open || hinted(hint) != LW_CODING_DIGITS) {
		whole = check_counts(pattern, err);
		if (whole == LW_OK)
			whole = add_reading(readings, pattern, err);
		if (!open || hinted(hint) == LW_CODING_COUNT)
			return whole;
		/* Digits as well; one that cannot be split is a count. */
		split = split_all(pattern, NULL);
		if (split == LW_OK)
			split = add_reading(readings, pattern, NULL);
		return whole == LW_OK || split == LW_OK ? LW_OK : whole;
	}
	split = split_all(pattern, err);
	return split == LW_OK ? add_reading(readings, pattern, err) : split;
}

static enum lw_status
read_way(struct lw_pattern_readings *readings, const struct words *words,
    struct ways ways, struct lw_err *err)
{
	struct slice slice = {words->items, words->count, words->end};
	const struct word *word;
	struct canonical pattern;
	enum lw_status status;

	status = grammar_lamps(&pattern, &word, slice, ways, err);
	if (status == LW_UNDECIDED) {
		snprintf(readings->word, sizeof readings->word, "%s",
		    word->kind == WORD_SLOW   ? "slow"
		    : word->kind == WORD_FAST ? "fast"
					      : "flicker");
		return LW_OK;
	}
	if (status != LW_OK)
		return status;
	return settle(readings, &pattern, ways.hint, err);
}

/* Every way that the lamp's coding leaves open; the first one's error where
 * none can be read. */
static enum lw_status
read_words(struct lw_pattern_readings *readings, const struct words *words,
    const struct lw_lamp_hint *hint, struct lw_err *err)
{
	enum lw_coding coding = hinted(hint);
	enum lw_status first = LW_OK, status;
	struct ways ways = {.hint = hint};
	bool tried = false;
	int way;

	for (way = 0; way < 4; way++) {
		ways.and_in_turn = way & 1;
		ways.decimal_rate = way & 2;
		if ((coding == LW_CODING_DIGITS && way != 0) ||
		    (coding == LW_CODING_COUNT && way != 1) ||
		    (coding == LW_CODING_IN_TURN && !ways.and_in_turn) ||
		    (coding == LW_CODING_RATE && !ways.decimal_rate))
			continue;
		status = read_way(readings, words, ways, tried ? NULL : err);
		if (!tried)
			first = status;
		tried = true;
		if (status == LW_NO_MEMORY)
			return err_no_memory(err);
	}
	return readings->count > 0 || readings->word[0] != '\0' ? LW_OK : first;
}

/* A text that is canonical already, space around it left out. False where it
 * has to be read as typed. */
static bool
read_canonical(struct lw_pattern_readings *readings, const char *text,
    const struct lw_lamp_hint *hint)
{
	char copy[LW_PATTERN_MAX];
	struct canonical pattern;
	size_t length;

	text += strspn(text, " \t\r\n");
	length = strlen(text);
	while (length > 0 && strchr(" \t\r\n", text[length - 1]) != NULL)
		length--;
	if (length >= sizeof copy)
		return false;
	memcpy(copy, text, length);
	copy[length] = '\0';
	if (!canonical_parse(&pattern, copy) ||
	    settle(readings, &pattern, hint, NULL) != LW_OK) {
		memset(readings, 0, sizeof *readings);
		return false;
	}
	return true;
}

enum lw_status
lw_pattern_read(struct lw_pattern_readings *readings, const char *text,
    const struct lw_lamp_hint *hint, struct lw_err *err)
{
	size_t length = strnlen(text, LW_TYPED_MAX + 1), valid;
	struct words words;
	enum lw_status status;

	memset(readings, 0, sizeof *readings);
	if (length > LW_TYPED_MAX)
		return err_set(err, LW_TOO_BIG,
		    "this is too long for a pattern; at most %d bytes are "
		    "read",
		    LW_TYPED_MAX);
	valid = utf8_valid(text, length);
	if (valid < length)
		return err_set_at(err, LW_BAD_INPUT, 0,
		    (unsigned)utf8_count(text, valid) + 1,
		    "the text is not valid UTF-8; " PHRASES_ACCEPTED);
	if (read_canonical(readings, text, hint))
		return LW_OK;
	status = phrases_read(&words, text, hint, err);
	if (status == LW_OK)
		status = read_words(readings, &words, hint, err);
	if (status != LW_OK)
		memset(readings, 0, sizeof *readings);
	return status;
}
