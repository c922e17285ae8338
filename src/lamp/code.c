/* Words that make one code: numbers, long and short, a rate, a steady lamp.
 * Codes in turn and several lamps are left to lamp/lamps.c. */
#include "lamp/grammar.h"

#include "base/err.h"

#include <assert.h>
#include <string.h>

bool
grammar_has(struct slice slice, enum word_kind kind)
{
	size_t i;

	for (i = 0; i < slice.count; i++)
		if (slice.words[i].kind == kind)
			return true;
	return false;
}

struct slice
grammar_part(struct slice slice, size_t from, size_t to)
{
	struct slice part = {slice.words + from, to - from, slice.end};

	if (to < slice.count)
		part.end = slice.words[to].column;
	return part;
}

unsigned
grammar_column(struct slice slice)
{
	return slice.count > 0 ? slice.words[0].column : slice.end;
}

static bool
is_rate_word(const struct word *word)
{
	return word->kind == WORD_SLOW || word->kind == WORD_FAST ||
	       word->kind == WORD_FLICKER;
}

/* What may stand between two numbers. */
static bool
is_mark(const struct word *word)
{
	return word->kind == WORD_COMMA || word->kind == WORD_DASH ||
	       word->kind == WORD_DOT || word->kind == WORD_SLASH;
}

struct slice
grammar_trim(struct slice slice)
{
	enum word_kind kind;

	while (slice.count > 0) {
		kind = slice.words[0].kind;
		if (kind != WORD_COMMA && kind != WORD_PAUSE &&
		    kind != WORD_COLON && kind != WORD_AND)
			break;
		slice.words++;
		slice.count--;
	}
	while (slice.count > 0) {
		kind = slice.words[slice.count - 1].kind;
		if (kind != WORD_COMMA && kind != WORD_PAUSE &&
		    kind != WORD_DOT && kind != WORD_AND)
			break;
		/* "long short pause" may end in a short flash: whoever reads
		 * the flashes has to see it. */
		if (slice.words[slice.count - 1].adjective)
			break;
		slice.count--;
	}
	return slice;
}

static enum lw_status
refuse_here(const struct word *word, const char *with, struct lw_err *err)
{
	return err_set_at(err, LW_BAD_INPUT, 0, word->column,
	    "\"%s\" does not go with %s; " PHRASES_ACCEPTED,
	    phrases_show((char[SHOWN_MAX]){""}, word), with);
}

/* "2 short pause" may be two short flashes and a pause, or two flashes and a
 * short pause. */
static enum lw_status
refuse_pause(const struct word *word, struct lw_err *err)
{
	return err_set_at(err, LW_BAD_INPUT, 0, word->column,
	    "\"%s\" could be a flash and a pause; put a comma between them, "
	    "or leave the pause out",
	    phrases_show((char[SHOWN_MAX]){""}, word));
}

/* --- numbers ----------------------------------------------------------- */

static enum lw_status
add_group(struct code *code, unsigned flashes, const struct word *word,
    unsigned column, struct lw_err *err)
{
	if (flashes == 0)
		return phrases_refuse_zero(column, err);
	if (code->count == GROUPS_MAX)
		return err_set_at(err, LW_BAD_INPUT, 0, column,
		    "a pattern has 2 to %d digit groups, and this is one more",
		    GROUPS_MAX);
	if (code->count == 0) {
		code->column = column;
		code->plain = word->digits;
	}
	code->runs[code->count++].flashes = flashes;
	return LW_OK;
}

/* 2.5 that is no rate: two groups. */
static enum lw_status
add_decimal(struct code *code, const struct word *word, struct lw_err *err)
{
	enum lw_status status;

	if (!word->digits)
		return phrases_refuse_zero(word->column, err);
	status = add_group(code, word->left, word, word->column, err);
	if (status == LW_OK)
		status = add_group(code, word->right, word,
		    word->column + (unsigned)word->length - 1, err);
	return status;
}

/* Now that the number of groups is known, is each within its limits? A count
 * past them may still be digits: whoever settles the readings says so. */
static enum lw_status
check_groups(struct code *code, const unsigned *columns, struct lw_err *err)
{
	size_t i;

	code->coding = code->count > 1 ? LW_CODING_DIGITS : LW_CODING_COUNT;
	if (code->count > 1)
		code->plain = false;
	for (i = 0; code->count > 1 && i < code->count; i++)
		if (code->runs[i].flashes > GROUP_MAX)
			return err_set_at(err, LW_BAD_INPUT, 0, columns[i],
			    "a digit group has 1 to %d flashes, and this has "
			    "%u",
			    GROUP_MAX, code->runs[i].flashes);
	return LW_OK;
}

/* Three slow flashes are three flashes; more is not told by that. */
static bool
is_manner(struct slice slice, size_t i)
{
	return is_rate_word(&slice.words[i]) && grammar_has(slice, WORD_FLASH);
}

static enum lw_status
read_numbers(struct code *code, struct slice slice, struct lw_err *err)
{
	unsigned columns[GROUPS_MAX] = {0};
	const struct word *word, *mark = NULL;
	enum lw_status status = LW_OK;
	size_t i;

	for (i = 0; i < slice.count && status == LW_OK; i++) {
		word = &slice.words[i];
		if (code->count < GROUPS_MAX)
			columns[code->count] = word->column;
		if (word->kind == WORD_NUMBER) {
			status = add_group(
			    code, word->number, word, word->column, err);
			mark = NULL;
		} else if (word->kind == WORD_DECIMAL) {
			if (code->count + 1 < GROUPS_MAX)
				columns[code->count + 1] = word->column;
			status = add_decimal(code, word, err);
			mark = NULL;
		} else if (word->kind == WORD_FLASH) {
			if (code->count > 0)
				code->plain = false;
		} else if (is_mark(word)) {
			if (code->count == 0 || mark != NULL)
				return err_set_at(err, LW_BAD_INPUT, 0,
				    word->column,
				    "a number is missing before this "
				    "\"%s\"; write digits as 3-2",
				    phrases_show((char[SHOWN_MAX]){""}, word));
			mark = word;
		} else if (word->kind == WORD_PAUSE && word->adjective &&
			   i > 0 && word[-1].kind == WORD_NUMBER) {
			return refuse_pause(word, err);
		} else if (word->kind == WORD_PAUSE || word->kind == WORD_AND) {
			mark = NULL;
		} else if (!is_manner(slice, i)) {
			return refuse_here(word, "a number of flashes", err);
		}
	}
	if (status != LW_OK)
		return status;
	if (mark != NULL)
		return err_set_at(err, LW_BAD_INPUT, 0, slice.end,
		    "a number is missing after \"%s\"; write digits as 3-2",
		    phrases_show((char[SHOWN_MAX]){""}, mark));
	return check_groups(code, columns, err);
}

/* --- long and short ---------------------------------------------------- */

static enum lw_status
read_runs(struct code *code, struct slice slice, struct lw_err *err)
{
	const struct word *word, *number = NULL;
	size_t i;

	for (i = 0; i < slice.count; i++) {
		word = &slice.words[i];
		if (word->kind == WORD_NUMBER && number == NULL) {
			number = word;
		} else if (word->kind == WORD_LONG ||
			   word->kind == WORD_SHORT) {
			if (!canonical_add_flashes(code,
				number == NULL ? 1 : number->number,
				word->kind == WORD_LONG))
				return err_set_at(err, LW_BAD_INPUT, 0,
				    number == NULL ? word->column
						   : number->column,
				    "a pattern has at most %d long and short "
				    "flashes in all, and this goes past them",
				    FLASHES_MAX);
			number = NULL;
		} else if (word->kind == WORD_PAUSE && word->adjective) {
			return refuse_pause(word, err);
		} else if (number != NULL ||
			   (!is_mark(word) && word->kind != WORD_PAUSE &&
			       word->kind != WORD_AND &&
			       word->kind != WORD_FLASH)) {
			if (number != NULL && word->kind == WORD_FLASH)
				continue;
			return refuse_here(number != NULL ? number : word,
			    "long and short flashes", err);
		}
	}
	if (number != NULL)
		return refuse_here(number, "long and short flashes", err);
	code->column = grammar_column(slice);
	return LW_OK;
}

/* --- rates ------------------------------------------------------------- */

struct rate {
	const struct word *amount; /* of flashes, or Hz */
	const struct word *unit;
	const struct word *percent; /* the number before the sign */
	const struct word *seconds; /* every so many */
	bool every;
};

/* Sort a rate's words out; refuses what is none of its own. */
static enum lw_status
sort_rate(struct rate *rate, struct slice slice, struct lw_err *err)
{
	const struct word *word, *next;
	size_t i;

	for (i = 0; i < slice.count; i++) {
		word = &slice.words[i];
		next = i + 1 < slice.count ? &slice.words[i + 1] : NULL;
		if (word->kind == WORD_NUMBER || word->kind == WORD_DECIMAL) {
			if (next != NULL && next->kind == WORD_PERCENT &&
			    rate->percent == NULL)
				rate->percent = word;
			else if (rate->every && rate->seconds == NULL)
				rate->seconds = word;
			else if (rate->amount == NULL)
				rate->amount = word;
			else
				return refuse_here(word, "a rate", err);
		} else if (word->kind == WORD_HERTZ ||
			   word->kind == WORD_MINUTE) {
			if (rate->unit != NULL)
				return refuse_here(word, "a rate", err);
			rate->unit = word;
		} else if (word->kind == WORD_EVERY) {
			rate->every = true;
		} else if (rate->every && (word->kind == WORD_SECONDS ||
					      (word->kind == WORD_SHORT &&
						  word->length == 1))) {
			rate->unit = word;
		} else if (word->kind != WORD_FLASH &&
			   word->kind != WORD_PERCENT &&
			   word->kind != WORD_COMMA &&
			   word->kind != WORD_SLASH && word->kind != WORD_ON &&
			   word->kind != WORD_AND &&
			   word->kind != WORD_STEADY && !is_rate_word(word)) {
			return refuse_here(word, "a rate", err);
		}
	}
	return LW_OK;
}

static enum lw_status
read_rate(struct code *code, struct slice slice, struct lw_err *err)
{
	struct rate rate = {.amount = NULL};
	enum lw_status status = sort_rate(&rate, slice, err);
	double hertz;

	if (status != LW_OK)
		return status;
	code->column = grammar_column(slice);
	if (rate.amount == NULL &&
	    (rate.unit == NULL || rate.unit->text[0] == 'h' ||
		rate.unit->text[0] == 'H'))
		return err_set_at(err, LW_BAD_INPUT, 0,
		    rate.unit == NULL ? slice.end : rate.unit->column,
		    "the rate's number is missing; write it as 2.5 Hz or "
		    "1 Hz 50 %%");
	/* "flashes every second" is once. */
	hertz = rate.amount == NULL ? 1 : rate.amount->decimal;
	if (rate.every && rate.amount != NULL && hertz > 1)
		return err_set_at(err, LW_BAD_INPUT, 0, rate.amount->column,
		    "this could be a count with its pause, or a rate; write 7 "
		    "or 2.5 Hz");
	if (rate.every && rate.seconds != NULL)
		hertz /= rate.seconds->decimal;
	if (rate.unit != NULL && rate.unit->kind == WORD_MINUTE)
		hertz /= 60;
	if (!canonical_set_rate(code, hertz))
		return err_set_at(err, LW_BAD_INPUT, 0,
		    rate.amount == NULL ? code->column : rate.amount->column,
		    "a rate is 0.01 to 99 Hz; write it in two digits, such as "
		    "2.5 Hz");
	if (rate.percent != NULL &&
	    !canonical_set_duty(code, rate.percent->decimal))
		return err_set_at(err, LW_BAD_INPUT, 0, rate.percent->column,
		    "the lit part of a rate is 5 to 95 %%, in steps of 5; a "
		    "lamp that is always lit is on");
	return LW_OK;
}

/* --- steady lamps and rate words --------------------------------------- */

static enum lw_status
read_steady(struct code *code, struct slice slice, struct lw_err *err)
{
	const struct word *word, *said = NULL;
	size_t i;

	for (i = 0; i < slice.count; i++) {
		word = &slice.words[i];
		if (word->kind == WORD_STEADY || word->kind == WORD_COMMA ||
		    word->kind == WORD_AND)
			continue;
		if (word->kind != WORD_ON && word->kind != WORD_OFF)
			return refuse_here(word, "a steady lamp", err);
		if (said != NULL && said->kind != word->kind)
			return err_set_at(err, LW_BAD_INPUT, 0, word->column,
			    "a lamp that goes on and off flashes; write how "
			    "often (7), or how fast (2.5 Hz)");
		said = word;
	}
	code->coding = LW_CODING_STEADY;
	code->lit = said == NULL || said->kind == WORD_ON;
	code->column = grammar_column(slice);
	return LW_OK;
}

/* What the lamp means by slow, fast or flicker, where that is known. */
static bool
known_rate(
    struct code *code, enum word_kind kind, const struct lw_lamp_hint *hint)
{
	struct canonical meant;
	const char *text;

	if (hint == NULL)
		return false;
	text = kind == WORD_SLOW   ? hint->slow
	       : kind == WORD_FAST ? hint->fast
				   : hint->flicker;
	if (text == NULL || !canonical_parse(&meant, text) ||
	    meant.count != 1 || meant.lamps[0].count != 1)
		return false;
	*code = meant.lamps[0].codes[0];
	code->plain = false;
	return true;
}

static enum lw_status
read_rate_word(struct code *code, const struct word **said, struct slice slice,
    const struct lw_lamp_hint *hint, struct lw_err *err)
{
	const struct word *word;
	size_t i;

	*said = NULL;
	for (i = 0; i < slice.count; i++) {
		word = &slice.words[i];
		if (word->kind == WORD_FLASH || word->kind == WORD_COMMA ||
		    word->kind == WORD_AND || word->kind == WORD_STEADY)
			continue;
		if (!is_rate_word(word) ||
		    (*said != NULL && (*said)->kind != word->kind))
			return refuse_here(
			    word, "how fast a lamp flashes", err);
		*said = word;
	}
	/* The caller has seen one. */
	assert(*said != NULL);
	return known_rate(code, (*said)->kind, hint) ? LW_OK : LW_UNDECIDED;
}

enum lw_status
grammar_code(struct code *code, const struct word **word, struct slice slice,
    struct ways ways, struct lw_err *err)
{
	bool numbers, decimal;

	memset(code, 0, sizeof *code);
	*word = NULL;
	slice = grammar_trim(slice);
	numbers = grammar_has(slice, WORD_NUMBER);
	decimal = grammar_has(slice, WORD_DECIMAL);
	if (grammar_has(slice, WORD_HERTZ) || grammar_has(slice, WORD_MINUTE) ||
	    grammar_has(slice, WORD_EVERY) ||
	    grammar_has(slice, WORD_PERCENT) || (decimal && ways.decimal_rate))
		return read_rate(code, slice, err);
	if (grammar_has(slice, WORD_LONG) || grammar_has(slice, WORD_SHORT))
		return read_runs(code, slice, err);
	if (numbers || decimal)
		return read_numbers(code, slice, err);
	if (grammar_has(slice, WORD_SLOW) || grammar_has(slice, WORD_FAST) ||
	    grammar_has(slice, WORD_FLICKER))
		return read_rate_word(code, word, slice, ways.hint, err);
	if (grammar_has(slice, WORD_ON) || grammar_has(slice, WORD_OFF) ||
	    grammar_has(slice, WORD_STEADY))
		return read_steady(code, slice, err);
	if (grammar_has(slice, WORD_FLASH))
		return err_set_at(err, LW_BAD_INPUT, 0, slice.end,
		    "the number of flashes is missing; write 7 flashes, or how "
		    "fast they come");
	return err_set_at(err, LW_BAD_INPUT, 0, grammar_column(slice),
	    "there is no pattern here; " PHRASES_ACCEPTED);
}
