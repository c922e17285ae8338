/* Words that make codes in turn, and what several lamps show at once. A
 * single code is left to lamp/code.c, what the device knows to typed.c. */
#include "lamp/grammar.h"

#include "base/err.h"

#include <string.h>

/* --- codes in turn ----------------------------------------------------- */

/* How the words of codes in turn are parted. */
enum parting {
	BY_PLUS,  /* 3+7 */
	BY_TURN,  /* 3 alternating with 7 */
	BY_AND,	  /* 3 and 7; 2, 3 and 7 */
	BY_COMMA, /* 3, 7 in turn; 3 then 7 in turn */
	BY_NUMBER /* 3 7 in turn */
};

/* Whether a word parts two codes. A comma without space is a digit code's:
 * "3,2 and 1,4 in turn" has two codes, "3, 2 and 1 in turn" three. */
static bool
parts(const struct word *word, enum parting parting)
{
	switch (parting) {
	case BY_PLUS:
		return word->kind == WORD_PLUS;
	case BY_TURN:
		return word->kind == WORD_TURN;
	case BY_AND:
		return word->kind == WORD_AND ||
		       (word->kind == WORD_COMMA && word->spaced);
	case BY_COMMA:
		return word->kind == WORD_COMMA || word->kind == WORD_PAUSE;
	case BY_NUMBER:
		break;
	}
	return false;
}

static enum parting
choose_parting(struct slice slice)
{
	if (grammar_has(slice, WORD_PLUS))
		return BY_PLUS;
	if (grammar_has(slice, WORD_TURN))
		return BY_TURN;
	if (grammar_has(slice, WORD_AND))
		return BY_AND;
	if (grammar_has(slice, WORD_COMMA) || grammar_has(slice, WORD_PAUSE))
		return BY_COMMA;
	return BY_NUMBER;
}

/* Where the code that begins at `from` ends. */
static size_t
end_of_code(struct slice slice, size_t from, enum parting parting)
{
	size_t i;

	for (i = from; i < slice.count; i++) {
		if (parts(&slice.words[i], parting))
			return i;
		if (parting == BY_NUMBER && i > from &&
		    slice.words[i].kind == WORD_NUMBER &&
		    slice.words[i - 1].kind != WORD_DASH)
			return i;
	}
	return slice.count;
}

static enum lw_status
add_code(struct shown *shown, struct slice part, struct ways ways,
    struct lw_err *err)
{
	const struct word *word;
	enum lw_status status;
	struct code *code;

	if (part.count == 0)
		return err_set_at(err, LW_BAD_INPUT, 0, part.end,
		    "a code is missing here; write codes shown in turn as "
		    "3+7");
	if (shown->count == CODES_MAX)
		return err_set_at(err, LW_BAD_INPUT, 0, grammar_column(part),
		    "a lamp shows 2 to %d codes in turn, and this is one more",
		    CODES_MAX);
	code = &shown->codes[shown->count];
	status = grammar_code(code, &word, part, ways, err);
	if (status == LW_UNDECIDED ||
	    (status == LW_OK && (code->coding == LW_CODING_RATE ||
				    code->coding == LW_CODING_STEADY)))
		return err_set_at(err, LW_BAD_INPUT, 0, grammar_column(part),
		    "only flashes can be codes in turn; write them as 3+7 or "
		    "3-2+1-4");
	shown->count++;
	return status;
}

static enum lw_status
read_in_turn(struct shown *shown, struct slice slice, struct ways ways,
    struct lw_err *err)
{
	enum lw_status status = LW_OK;
	enum parting parting;
	size_t from = 0, to;

	/* "alternating 3 and 7", "3 and 7 in turn": the word stands aside. */
	if (slice.count > 0 && slice.words[0].kind == WORD_TURN)
		slice = grammar_part(slice, 1, slice.count);
	if (slice.count > 0 && slice.words[slice.count - 1].kind == WORD_TURN)
		slice = grammar_part(slice, 0, slice.count - 1);
	parting = choose_parting(slice);
	for (;;) {
		to = end_of_code(slice, from, parting);
		status =
		    add_code(shown, grammar_part(slice, from, to), ways, err);
		if (status != LW_OK || to == slice.count)
			break;
		from = parting == BY_NUMBER ? to : to + 1;
		/* "2, 3, and 7" */
		if (parting == BY_AND && from < slice.count &&
		    slice.words[from].kind == WORD_AND)
			from++;
	}
	if (status == LW_OK && shown->count < 2)
		return err_set_at(err, LW_BAD_INPUT, 0, slice.end,
		    "codes in turn are two or more; write them as 3+7");
	return status;
}

enum lw_status
grammar_shown(struct shown *shown, const struct word **word, struct slice slice,
    struct ways ways, struct lw_err *err)
{
	bool in_turn;

	*word = NULL;
	slice = grammar_trim(slice);
	shown->count = 0;
	shown->column = grammar_column(slice);
	in_turn = grammar_has(slice, WORD_TURN) ||
		  grammar_has(slice, WORD_PLUS) ||
		  (ways.and_in_turn && grammar_has(slice, WORD_AND) &&
		      !grammar_has(slice, WORD_LONG) &&
		      !grammar_has(slice, WORD_SHORT));
	if (in_turn)
		return read_in_turn(shown, slice, ways, err);
	shown->count = 1;
	return grammar_code(&shown->codes[0], word, slice, ways, err);
}

/* --- several lamps ----------------------------------------------------- */

static bool
is_lamp(const struct word *word)
{
	return word->kind == WORD_LAMP || word->kind == WORD_COLOUR;
}

/* The lamp's id: small letters, hyphens for spaces. */
static void
copy_name(char *name, const struct word *word)
{
	size_t n = word->length < LAMP_NAME_MAX ? word->length : LAMP_NAME_MAX;
	size_t i;
	char c;

	for (i = 0; i < n; i++) {
		c = word->text[i];
		if (c >= 'A' && c <= 'Z')
			c = (char)(c | 0x20);
		name[i] = c == ' ' || c == '_' ? '-' : c;
	}
	name[n] = '\0';
}

static enum lw_status
add_lamp(struct canonical *to, const struct word *name, struct slice slice,
    struct ways ways, struct lw_err *err)
{
	const struct word *word;
	struct shown *shown;
	enum lw_status status;
	size_t i;

	if (to->count == LAMPS_MAX)
		return err_set_at(err, LW_BAD_INPUT, 0, name->column,
		    "a pattern has at most %d lamps, and this is one more",
		    LAMPS_MAX);
	shown = &to->lamps[to->count];
	copy_name(shown->lamp, name);
	for (i = 0; i < to->count; i++)
		if (strcmp(to->lamps[i].lamp, shown->lamp) == 0)
			return err_set_at(err, LW_BAD_INPUT, 0, name->column,
			    "the lamp %s is here twice; say once what it "
			    "shows",
			    shown->lamp);
	to->count++;
	slice = grammar_trim(slice);
	if (slice.count == 0)
		return err_set_at(err, LW_BAD_INPUT, 0, slice.end,
		    "what the lamp %s shows is missing; write %s:3 or %s:on",
		    shown->lamp, shown->lamp, shown->lamp);
	status = grammar_shown(shown, &word, slice, ways, err);
	if (status == LW_UNDECIDED)
		return err_set_at(err, LW_BAD_INPUT, 0, word->column,
		    "\"%s\" says no rate by itself; write it in Hz, such as "
		    "%s:2.5Hz",
		    phrases_show((char[SHOWN_MAX]){""}, word), shown->lamp);
	shown->column = name->column;
	shown->colour = name->kind == WORD_COLOUR;
	return status;
}

/* "red 3, green on": each lamp and what follows it. */
static enum lw_status
read_lamp_first(struct canonical *to, struct slice slice, struct ways ways,
    struct lw_err *err)
{
	enum lw_status status = LW_OK;
	size_t from = 0, end;

	while (status == LW_OK && from < slice.count) {
		end = from + 1;
		while (end < slice.count && !is_lamp(&slice.words[end]))
			end++;
		status = add_lamp(to, &slice.words[from],
		    grammar_part(slice, from + 1, end), ways, err);
		from = end;
	}
	return status;
}

/* "3 on red 2 on green": each lamp and what stands before it. */
static enum lw_status
read_lamp_last(struct canonical *to, struct slice slice, struct ways ways,
    struct lw_err *err)
{
	enum lw_status status = LW_OK;
	struct slice part;
	size_t from = 0, at;

	while (status == LW_OK && from < slice.count) {
		at = from;
		while (at < slice.count && !is_lamp(&slice.words[at]))
			at++;
		part = grammar_part(slice, from, at);
		if (at == slice.count)
			return err_set_at(err, LW_BAD_INPUT, 0,
			    grammar_column(grammar_trim(part)),
			    "it is not clear which lamp shows this; write "
			    "red:3 green:on");
		status = add_lamp(to, &slice.words[at], part, ways, err);
		from = at + 1;
	}
	return status;
}

/* Whether a stretch of words ends here: at an "and", or at a comma that is
 * none of a digit code, as in "red 3,2". */
static bool
ends_stretch(struct slice slice, size_t at)
{
	const struct word *word = &slice.words[at];

	return word->kind == WORD_AND ||
	       (word->kind == WORD_COMMA &&
		   (word->spaced || at + 1 == slice.count ||
		       word[1].kind != WORD_NUMBER));
}

static size_t
end_of_stretch(struct slice slice, size_t from)
{
	while (from < slice.count && !ends_stretch(slice, from))
		from++;
	return from;
}

/* Whether a stretch names one lamp, first or last in it but for flashes
 * ("3 red flashes"), and says more. */
static bool
has_one_lamp(struct slice stretch)
{
	size_t lamps = 0, at = 0, i;

	for (i = 0; i < stretch.count; i++) {
		if (!is_lamp(&stretch.words[i]))
			continue;
		lamps++;
		at = i;
	}
	if (lamps != 1 || stretch.count < 2)
		return false;
	for (i = at + 1; at > 0 && i < stretch.count; i++)
		if (stretch.words[i].kind != WORD_FLASH)
			return false;
	return true;
}

static bool
one_lamp_each(struct slice slice)
{
	size_t from, to;

	for (from = 0; from <= slice.count; from = to + 1) {
		to = end_of_stretch(slice, from);
		if (to > from && !has_one_lamp(grammar_part(slice, from, to)))
			return false;
	}
	return true;
}

/* "3 red flashes, green steady, solid amber": a lamp anywhere among what it
 * shows. */
static enum lw_status
read_stretches(struct canonical *to, struct slice slice, struct ways ways,
    struct lw_err *err)
{
	struct word words[WORDS_MAX];
	enum lw_status status = LW_OK;
	size_t from, end, lamp, i;
	struct slice part;

	for (from = 0; status == LW_OK && from <= slice.count; from = end + 1) {
		end = end_of_stretch(slice, from);
		if (end == from)
			continue;
		part = grammar_part(slice, from, end);
		part.words = words;
		part.count = 0;
		lamp = from;
		for (i = from; i < end; i++) {
			if (is_lamp(&slice.words[i]))
				lamp = i;
			else
				words[part.count++] = slice.words[i];
		}
		status = add_lamp(to, &slice.words[lamp], part, ways, err);
	}
	return status;
}

enum lw_status
grammar_lamps(struct canonical *to, const struct word **word,
    struct slice slice, struct ways ways, struct lw_err *err)
{
	memset(to, 0, sizeof *to);
	*word = NULL;
	slice = grammar_trim(slice);
	if (!grammar_has(slice, WORD_LAMP) &&
	    !grammar_has(slice, WORD_COLOUR)) {
		to->count = 1;
		return grammar_shown(&to->lamps[0], word, slice, ways, err);
	}
	if (one_lamp_each(slice))
		return read_stretches(to, slice, ways, err);
	return is_lamp(&slice.words[0]) ? read_lamp_first(to, slice, ways, err)
					: read_lamp_last(to, slice, ways, err);
}
