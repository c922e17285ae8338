/* Reads the words and signs that people use for what a lamp shows, each by a
 * PCRE2 pattern. How they go together is left to lamp/typed.c. */
#include "lamp/phrases.h"

#include "base/err.h"
#include "base/num.h"
#include "base/utf8.h"
#include "regex/regex.h"

#include <string.h>

/* A number in words, twenty-one and up first. */
#define TENS "twenty|thirty|forty|fourty|fifty|sixty|seventy|eighty|ninety"
#define UNITS "one|two|three|four|five|six|seven|eight|nine"
#define TEENS                                                                 \
	"zero|nought|nil|ten|eleven|twelve|thirteen|fourteen|fifteen|sixteen" \
	"|seventeen|eighteen|nineteen"
#define MULTIPLES "once|twice|thrice|single|double|triple|quadruple"

/* What makes a number before it a rate. */
#define RATE                                                                \
	"\\s*(?:hz|hertz|(?:(?:times|flash(?:es)?|blinks?|pulses?|cycles?)" \
	"\\s*)?(?:/|per\\b|an?\\b|each\\b|every\\b)\\s*"                    \
	"(?:s|sec|secs|seconds?|m|min|mins|minutes?)\\b)"

#define COLOURS "red|green|yellow|amber|orange|blue|white"

/* After a word, no letter goes on. */
#define END "(?![\\p{L}\\p{N}_])"

/* Tried from the top down at every place: the first that fits is taken. */
/* clang-format off */
static const struct phrase {
	enum word_kind kind;
	const char *pattern;
} phrases[] = {
    {WORD_OFF,
	"(?:(?:is|does|do|it)(?: not|n.?t) |not |never |no )"
	"(?:lit|on|light(?:s|ing|ed)?(?: up)?|come on|flash(?:es|ing)?"
	"|blink(?:s|ing)?|glow(?:s|ing)?|lamp|led)" END},
    {WORD_ON, "light(?:s|ed)? up" END},
    {WORD_TURN,
	"(?:in|by) turns?" END
	"|alternat(?:ely|ively|es|ed|e|ing)(?: (?:with|between|from))?" END
	"|in alternation" END},
    {WORD_PAUSE,
	"(?:(?:an? )?(?:longer|brief|small) |an? (?:short|long) "
	"|(?<adjective>(?:short|long) ))?"
	"(?:pauses?|paused|gaps?|breaks?|waits?|space)" END
	"|(?:and )?(?:then|followed by|after that)" END
	"|\\.{2,}|\xE2\x80\xA6|\xE2\x86\x92|->"},
    {WORD_HERTZ,
	"(?:hz|hertz|cycles per second)" END
	"|(?:per|an?|each|every|/)\\s*(?:second|sec|s)" END},
    {WORD_MINUTE, "(?:per|an?|each|every|/)\\s*(?:minute|min)" END},
    {WORD_EVERY, "every(?=\\s*(?:[0-9]|" UNITS "|" TEENS "))"},
    {WORD_SECONDS, "(?:seconds?|secs?)" END},
    {WORD_FILLER,
	"(?:on|of|from|at) the" END
	"|(?:on|of|from|in)(?= (?:" COLOURS ")" END ")"
	"|(?:the|an?|it.s|its|it|is|are|i|we|see|saw|get|got|gets"
	"|count(?:s|ed)?|show(?:s|n|ing|ed)?|my|there|that|which|just|only"
	"|very|with|at|has|lamps?|leds?|lights?|indicator|codes?|error|fault"
	"|pattern|number|sequence|duty(?: cycle)?|same time"
	"|keep(?:s|ing)?|go(?:es|ing)?|do(?:es|ing)|stay(?:s|ing)?|always"
	"|made|make(?:s)?|giv(?:es|ing)|(?:and )?(?:then )?"
	"repeat(?:s|ed|ing|edly)?|again|over and over|all the time"
	"|colou?r(?:ed)?)" END
	"|no\\.?(?=\\s*[0-9])"
	"|one(?= (?:flashes|blinks|pulses|is|shows|stays|keeps|goes)" END ")"
	"|[\"'`()\\[\\]!?\xE2\x80\x98\xE2\x80\x99\xE2\x80\x9C\xE2\x80\x9D]+"},
    {WORD_FLASH,
	"(?:times?|flash(?:es|ed|ing)?|blink(?:s|ed|ing)?|puls(?:es|ed|e|ing)"
	"|wink(?:s|ed|ing)?|blips?)" END
	"|[x\xC3\x97](?![\\p{L}\\p{N}_]|\\s*[0-9])"},
    {WORD_COLOUR,
	"(?:" COLOURS ")" END "(?!-[a-z])"},
    {WORD_LAMP, "[a-z][a-z0-9-]{0,63}(?=\\s*[:=])"},
    {WORD_NUMBER,
	"(?<tens>" TENS ")(?:[\\s-]+(?<unit>" UNITS "))?" END
	"|(?<word>" UNITS "|" TEENS "|" MULTIPLES ")" END},
    {WORD_DECIMAL,
	"(?<left>[0-9]+)\\.(?<right>[0-9]+)(?![0-9]|\\.[0-9])"
	"|(?<commaleft>[0-9]+),(?<commaright>[0-9]+)(?=" RATE ")"},
    {WORD_NUMBER, "(?<digits>[0-9]+)"},
    {WORD_LONG, "(?:longs?|dash(?:es)?|dahs?)" END},
    {WORD_SHORT, "(?:shorts?|dots?|dits?)" END},
    {WORD_PERCENT, "%|(?:per ?cent|pct)" END},
    {WORD_STEADY,
	"(?:stead(?:y|ily)|solid|constant(?:ly)?|continuous(?:ly)?"
	"|permanent(?:ly)?)" END},
    {WORD_ON,
	"(?:on|lit|alight|glow(?:s|ing)?|shin(?:es|ing)|burn(?:s|ing))" END},
    {WORD_OFF, "(?:off|dark|unlit|out|nothing|dead)" END},
    {WORD_SLOW, "slow(?:ly)?" END},
    {WORD_FAST, "(?:fast|quick(?:ly)?|rapid(?:ly)?)" END},
    {WORD_FLICKER, "flicker(?:s|ing)?" END},
    {WORD_AND, "and" END "|&"},
    {WORD_COMMA, "[,;]"},
    {WORD_DASH, "[\\p{Pd}\xE2\x88\x92_]"},
    {WORD_DOT, "[.\xC2\xB7\xE2\x80\xA2]"},
    {WORD_SLASH, "[/|]"},
    {WORD_PLUS, "\\+"},
    {WORD_COLON, "[:=]"},
};
/* clang-format on */

enum { PHRASES = sizeof phrases / sizeof phrases[0] };

/* Nothing but marks: long and short, as in Morse code. */
#define MARKS                                                               \
	"[\\s,]*(?:[\\p{Pd}\xE2\x88\x92_.\xC2\xB7\xE2\x80\xA2\xE2\x80\xA6]" \
	"[\\s,]*)+"

struct reader {
	struct regex *regex[PHRASES];
	struct regex *comma_decimal; /* for a lamp that shows rates */
	struct words *words;
	const struct lw_lamp_hint *hint;
	const char *text;
	size_t length;
	size_t at;
};

static enum lw_status
reader_open(struct reader *reader, struct lw_err *err)
{
	char pattern[REGEX_PATTERN_MAX + 1];
	enum lw_status status;
	size_t i, n;

	for (i = 0; i < PHRASES; i++) {
		n = strlen(phrases[i].pattern);
		memcpy(pattern, "^(?:", 4);
		memcpy(pattern + 4, phrases[i].pattern, n);
		memcpy(pattern + 4 + n, ")", 2);
		status = regex_compile(
		    &reader->regex[i], pattern, REGEX_CASELESS, err);
		if (status != LW_OK)
			return status;
	}
	return regex_compile(&reader->comma_decimal,
	    "^(?<commaleft>[0-9]+),(?<commaright>[0-9]+)", 0, err);
}

static void
reader_close(struct reader *reader)
{
	size_t i;

	for (i = 0; i < PHRASES; i++)
		regex_free(reader->regex[i]);
	regex_free(reader->comma_decimal);
}

static unsigned
column_at(const struct reader *reader, size_t at)
{
	return (unsigned)utf8_count(reader->text, at) + 1;
}

enum lw_status
phrases_refuse_zero(unsigned column, struct lw_err *err)
{
	return err_set_at(err, LW_BAD_INPUT, 0, column,
	    "a lamp cannot flash 0 times; a device's table may say that ten "
	    "flashes stand for the digit 0, so write 10 for it, or off for a "
	    "dark lamp");
}

const char *
phrases_show(char *out, const struct word *word)
{
	size_t length = word->length, i, n, used = 0;
	uint32_t point;

	if (length >= SHOWN_MAX)
		length = utf8_whole(word->text, SHOWN_MAX - 1);
	for (i = 0; i < length; i += n) {
		n = utf8_decode(word->text + i, length - i, &point);
		if (n == 0)
			break;
		/* Controls, C1 among them, and the separators of lines. */
		if (point < 0x20 || (point >= 0x7F && point < 0xA0) ||
		    point == 0x2028 || point == 0x2029) {
			out[used++] = ' ';
			continue;
		}
		memcpy(out + used, word->text + i, n);
		used += n;
	}
	out[used] = '\0';
	return out;
}

/* Room for every word: each takes at least a byte of the text. */
static struct word *
add_word(struct reader *reader, enum word_kind kind, size_t at, size_t length)
{
	struct word *word = &reader->words->items[reader->words->count++];

	memset(word, 0, sizeof *word);
	word->kind = kind;
	word->text = reader->text + at;
	word->length = length;
	word->column = column_at(reader, at);
	word->spaced = at + length < reader->length &&
		       strchr(" \t", reader->text[at + length]) != NULL;
	return word;
}

/* Past eight digits all numbers are alike: too many. */
static unsigned
digits_value(const char *text, size_t length)
{
	unsigned value = 0;
	size_t i;

	for (i = 0; i < length && value <= 99999999; i++)
		value = value * 10 + (unsigned)(text[i] - '0');
	return value <= 99999999 ? value : 99999999;
}

/* The place of a word in a list parted by bars; -1 where it is not there. */
static int
place_in(const char *list, const char *word, size_t length)
{
	int place = 0;
	size_t n, i;

	for (;; place++) {
		n = strcspn(list, "|");
		for (i = 0; n == length && i < n; i++)
			if ((word[i] | 0x20) != list[i])
				break;
		if (n == length && i == n)
			return place;
		if (list[n] == '\0')
			return -1;
		list += n + 1;
	}
}

static unsigned
word_value(const char *text, size_t length)
{
	static const unsigned teens[] = {
	    0, 0, 0, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19};
	static const unsigned multiples[] = {1, 2, 3, 1, 2, 3, 4};
	int place;

	place = place_in(UNITS, text, length);
	if (place >= 0)
		return (unsigned)place + 1;
	place = place_in(TEENS, text, length);
	if (place >= 0)
		return teens[place];
	place = place_in(MULTIPLES, text, length);
	return place >= 0 ? multiples[place] : 0;
}

static unsigned
tens_value(const char *text, size_t length)
{
	static const unsigned tens[] = {20, 30, 40, 40, 50, 60, 70, 80, 90};
	int place = place_in(TENS, text, length);

	return place >= 0 ? tens[place] : 0;
}

static enum lw_status
read_number(struct reader *reader, const struct regex *regex,
    const struct regex_match *match, struct lw_err *err)
{
	const char *text = reader->text + reader->at;
	struct regex_span tens = regex_named(regex, match, "tens");
	struct regex_span unit = regex_named(regex, match, "unit");
	struct regex_span one = regex_named(regex, match, "word");
	struct regex_span digits = regex_named(regex, match, "digits");
	struct word *word =
	    add_word(reader, WORD_NUMBER, reader->at, match->groups[0].length);

	if (digits.set) {
		word->digits = true;
		word->number = digits_value(text, digits.length);
	} else if (tens.set) {
		word->number = tens_value(text, tens.length);
		if (unit.set)
			word->number +=
			    word_value(text + unit.start, unit.length);
	} else if (one.set) {
		word->number = word_value(text + one.start, one.length);
	}
	word->decimal = word->number;
	if (word->number == 0 || (digits.set && text[0] == '0'))
		return phrases_refuse_zero(word->column, err);
	return LW_OK;
}

static enum lw_status
read_decimal(struct reader *reader, const struct regex *regex,
    const struct regex_match *match, struct lw_err *err)
{
	const char *text = reader->text + reader->at;
	size_t length = match->groups[0].length;
	struct regex_span left = regex_named(regex, match, "left");
	struct regex_span right = regex_named(regex, match, "right");
	struct word *word = add_word(reader, WORD_DECIMAL, reader->at, length);
	char copy[LW_TYPED_MAX + 1];
	char *comma;

	if (!left.set) {
		left = regex_named(regex, match, "commaleft");
		right = regex_named(regex, match, "commaright");
	}
	word->left = digits_value(text + left.start, left.length);
	word->right = digits_value(text + right.start, right.length);
	word->digits = text[left.start] != '0' && text[right.start] != '0';
	memcpy(copy, text, length);
	comma = memchr(copy, ',', length);
	if (comma != NULL)
		*comma = '.';
	if (!num_parse(&word->decimal, copy, length))
		return err_set_at(err, LW_BAD_INPUT, 0, word->column,
		    "this number is too long; write a rate in two digits, "
		    "such as 2.5 Hz");
	return LW_OK;
}

/* Bytes of the device's lamp name at this place, the longest; 0 for none. A
 * hyphen in it may be typed as a space. */
static size_t
lamp_length(const struct reader *reader)
{
	const struct lw_lamp_hint *hint = reader->hint;
	const char *text = reader->text + reader->at, *id;
	size_t best = 0, i, n;
	char c, after;

	for (i = 0; hint != NULL && i < hint->lamp_count; i++) {
		id = hint->lamps[i];
		for (n = 0; id[n] != '\0'; n++) {
			c = text[n];
			if (c >= 'A' && c <= 'Z')
				c = (char)(c | 0x20);
			if (c != id[n] &&
			    !(id[n] == '-' && (c == ' ' || c == '_')))
				break;
		}
		after = text[n];
		if (id[n] != '\0' || n <= best || (after & 0x80) ||
		    (after >= '0' && after <= '9') ||
		    ((after | 0x20) >= 'a' && (after | 0x20) <= 'z') ||
		    after == '-')
			continue;
		best = n;
	}
	return best;
}

/* "x7" is 7; "7x" and "7x 2x" are flashes; "3 x 2" could be either, and is
 * left to be refused. Gives the bytes that it takes. */
static size_t
read_cross(struct reader *reader)
{
	const char *text = reader->text + reader->at;
	size_t n = *text == 'x' || *text == 'X' ? 1 : 0, after;
	const struct word *last =
	    reader->words->count == 0
		? NULL
		: &reader->words->items[reader->words->count - 1];
	bool joined;

	if (strncmp(text, "\xC3\x97", 2) == 0)
		n = 2;
	after = n;
	while (text[after] == ' ')
		after++;
	if (n == 0 || text[after] < '0' || text[after] > '9')
		return 0;
	if (last == NULL || last->kind != WORD_NUMBER)
		return n;
	joined = last->text + last->length == text;
	if (!joined || after == n)
		return 0;
	add_word(reader, WORD_FLASH, reader->at, n);
	return n;
}

/* A run of the letters L and S: a flash each. */
static size_t
read_letters(struct reader *reader)
{
	const char *text = reader->text + reader->at;
	size_t n = 0, i;

	while (text[n] != '\0' && strchr("LlSs", text[n]) != NULL)
		n++;
	if ((text[n] | 0x20) >= 'a' && (text[n] | 0x20) <= 'z')
		return 0;
	if (text[n] == '_' || (text[n] & 0x80))
		return 0;
	for (i = 0; i < n; i++)
		add_word(reader,
		    (text[i] | 0x20) == 'l' ? WORD_LONG : WORD_SHORT,
		    reader->at + i, 1);
	return n;
}

static enum lw_status
refuse_word(const struct reader *reader, struct lw_err *err)
{
	const char *text = reader->text + reader->at;
	size_t n = 0;

	/* Only letters are shown back. */
	while (((text[n] | 0x20) >= 'a' && (text[n] | 0x20) <= 'z') && n < 40)
		n++;
	if (n == 0)
		return err_set_at(err, LW_BAD_INPUT, 0,
		    column_at(reader, reader->at),
		    "this character cannot be read; " PHRASES_ACCEPTED);
	return err_set_at(err, LW_BAD_INPUT, 0, column_at(reader, reader->at),
	    "\"%.*s\" cannot be read; " PHRASES_ACCEPTED, (int)n, text);
}

/* A digit lamp or a count: 3,2 is digits. A rate: 2,5 is a number. */
static bool
wants_rate(const struct reader *reader)
{
	return reader->hint != NULL && reader->hint->coding == LW_CODING_RATE;
}

/* The phrase that fits here; its number, or PHRASES. */
static size_t
find_phrase(const struct reader *reader, struct regex_match *match,
    enum lw_status *status, struct lw_err *err)
{
	const char *text = reader->text + reader->at;
	size_t length = reader->length - reader->at, i;

	for (i = 0; i < PHRASES; i++) {
		*status = regex_run(reader->regex[i], text, length, match, err);
		if (*status == LW_OK && match->groups[0].length > 0)
			return i;
		if (*status != LW_OK && *status != LW_NOT_FOUND)
			return PHRASES;
	}
	*status = LW_NOT_FOUND;
	return PHRASES;
}

static enum lw_status
read_one(struct reader *reader, struct lw_err *err)
{
	struct regex_match match;
	struct word *word;
	enum lw_status status = LW_OK;
	size_t i, n;

	n = lamp_length(reader);
	if (n > 0) {
		add_word(reader, WORD_LAMP, reader->at, n);
		reader->at += n;
		return LW_OK;
	}
	n = read_cross(reader);
	if (n == 0)
		n = read_letters(reader);
	if (n > 0) {
		reader->at += n;
		return LW_OK;
	}
	if (wants_rate(reader) &&
	    regex_run(reader->comma_decimal, reader->text + reader->at,
		reader->length - reader->at, &match, NULL) == LW_OK) {
		status =
		    read_decimal(reader, reader->comma_decimal, &match, err);
		reader->at += match.groups[0].length;
		return status;
	}
	i = find_phrase(reader, &match, &status, err);
	if (status == LW_NOT_FOUND)
		return refuse_word(reader, err);
	if (status != LW_OK)
		return status;
	if (phrases[i].kind == WORD_NUMBER) {
		status = read_number(reader, reader->regex[i], &match, err);
	} else if (phrases[i].kind == WORD_DECIMAL) {
		status = read_decimal(reader, reader->regex[i], &match, err);
	} else if (phrases[i].kind != WORD_FILLER) {
		word = add_word(reader, phrases[i].kind, reader->at,
		    match.groups[0].length);
		word->adjective =
		    regex_named(reader->regex[i], &match, "adjective").set;
	}
	reader->at += match.groups[0].length;
	return status;
}

/* A space of any kind, by its bytes; 0 for none. */
static size_t
space_length(const char *text)
{
	static const char *const wide[] = {"\xC2\xA0", "\xE2\x80\x80",
	    "\xE2\x80\x81", "\xE2\x80\x82", "\xE2\x80\x83", "\xE2\x80\x84",
	    "\xE2\x80\x85", "\xE2\x80\x86", "\xE2\x80\x87", "\xE2\x80\x88",
	    "\xE2\x80\x89", "\xE2\x80\x8A", "\xE2\x80\xAF", "\xE3\x80\x80"};
	size_t i;

	if (*text == ' ' || *text == '\t' || *text == '\n' || *text == '\r')
		return 1;
	for (i = 0; i < sizeof wide / sizeof wide[0]; i++)
		if (strncmp(text, wide[i], strlen(wide[i])) == 0)
			return strlen(wide[i]);
	return 0;
}

/* "-- .": every mark a flash; an ellipsis is three. */
static enum lw_status
read_marks(struct reader *reader, struct lw_err *err)
{
	size_t at = 0, n, i;
	uint32_t point;
	bool is_short;

	for (; at < reader->length; at += n) {
		n = utf8_decode(reader->text + at, reader->length - at, &point);
		if (n == 0)
			return err_set_at(err, LW_BAD_INPUT, 0,
			    column_at(reader, at),
			    "the text is not valid UTF-8");
		if (point == ',' || space_length(reader->text + at) > 0)
			continue;
		is_short = point == '.' || point == 0xB7 || point == 0x2022 ||
			   point == 0x2026;
		for (i = 0; i < (point == 0x2026 ? 3 : 1); i++)
			add_word(
			    reader, is_short ? WORD_SHORT : WORD_LONG, at, n);
	}
	return LW_OK;
}

static enum lw_status
is_marks(bool *answer, const struct reader *reader, struct lw_err *err)
{
	struct regex *marks = NULL;
	enum lw_status status = regex_compile(&marks, MARKS, REGEX_WHOLE, err);

	*answer = false;
	if (status != LW_OK)
		return status;
	status = regex_run(marks, reader->text, reader->length, NULL, err);
	*answer = status == LW_OK;
	regex_free(marks);
	return status == LW_NOT_FOUND ? LW_OK : status;
}

enum lw_status
phrases_read(struct words *words, const char *text,
    const struct lw_lamp_hint *hint, struct lw_err *err)
{
	struct reader reader = {.words = words, .hint = hint, .text = text};
	enum lw_status status;
	bool marks;
	size_t n;

	words->count = 0;
	reader.length = strlen(text);
	words->end = column_at(&reader, reader.length);
	status = is_marks(&marks, &reader, err);
	if (status != LW_OK)
		return status;
	if (marks)
		return read_marks(&reader, err);
	status = reader_open(&reader, err);
	while (status == LW_OK && reader.at < reader.length) {
		n = space_length(text + reader.at);
		reader.at += n;
		if (n == 0)
			status = read_one(&reader, err);
	}
	reader_close(&reader);
	return status;
}
