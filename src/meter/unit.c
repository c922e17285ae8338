/* Finds units by their spelling, and the nearest to a misspelling. The table
 * is meter/unit_table.c; reading a number before the unit is left to
 * meter/typed.c. */
#include "meter/unit.h"

#include "base/near.h"
#include "base/utf8.h"
#include "meter/unit_table.h"

#include <string.h>

enum { SPELLING_MAX = 24, NEAREST = 3 };

/* The letter or word that a symbol outside ASCII stands for, or NULL. */
static const char *
symbol_word(uint32_t point)
{
	switch (point) {
	case 0x00B5: /* micro sign */
	case 0x03BC: /* Greek mu */
		return "u";
	case 0x2126: /* ohm sign */
	case 0x03A9: /* Greek omega */
	case 0x03C9: /* the same, after a change of case */
		return "ohm";
	case 0x00B0: /* degree sign */
	case 0x00BA: /* masculine ordinal, often typed for it */
		return "deg";
	case 0x2103: /* degree Celsius */
		return "degC";
	case 0x00B2: /* superscript two */
		return "2";
	case 0x2032: /* prime and double prime, and quotation marks */
	case 0x2019:
		return "'";
	case 0x2033:
	case 0x201D:
		return "\"";
	case 0x00A0: /* spaces that do not break, thin ones, middle dots */
	case 0x202F:
	case 0x2009:
	case 0x00B7:
	case 0x22C5:
	case '\t':
		return " ";
	default:
		return NULL;
	}
}

/* Symbols to ASCII, runs of space to one. False where it is no spelling. */
static bool
fold(char *out, const char *text, size_t length)
{
	size_t at = 0, used = 0, n;
	const char *word;
	uint32_t point;
	char one[2] = "";

	while (at < length) {
		n = utf8_decode(text + at, length - at, &point);
		if (n == 0)
			return false;
		at += n;
		word = symbol_word(point);
		if (word == NULL) {
			if (point < 0x20 || point > 0x7E)
				return false;
			one[0] = (char)point;
			word = one;
		}
		if (*word == ' ' && (used == 0 || out[used - 1] == ' '))
			continue;
		if (used + strlen(word) >= SPELLING_MAX)
			return false;
		memcpy(out + used, word, strlen(word));
		used += strlen(word);
	}
	while (used > 0 && out[used - 1] == ' ')
		used--;
	out[used] = '\0';
	return used > 0;
}

static char
lower(char c)
{
	return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

bool
unit_letters_match(const char *one, const char *other, size_t length)
{
	size_t i;

	for (i = 0; i < length; i++) {
		if (lower(one[i]) != lower(other[i]))
			return false;
		if (one[i] == '\0')
			return true;
	}
	return true;
}

static bool
spelled(const struct unit_spelling *spelling, const char *text, bool bare)
{
	switch (spelling->compare) {
	case UNIT_EITHER:
		return unit_letters_match(spelling->text, text, SPELLING_MAX);
	case UNIT_FIRST:
		return spelling->text[0] == text[0] &&
		       unit_letters_match(spelling->text, text, SPELLING_MAX);
	case UNIT_EXACT:
		return strcmp(spelling->text, text) == 0;
	case UNIT_BARE:
		return bare && strcmp(spelling->text, text) == 0;
	}
	return false;
}

/* UNIT_KINDS: of any kind. */
static const struct unit *
find(const char *folded, enum unit_kind kind, bool bare)
{
	const struct unit *unit;
	size_t i;

	for (i = 0; i < unit_spelling_count; i++) {
		unit = &unit_table[unit_spellings[i].unit];
		if ((kind == UNIT_KINDS || unit->kind == kind) &&
		    spelled(&unit_spellings[i], folded, bare))
			return unit;
	}
	return NULL;
}

const struct unit *
unit_find(const char *text, size_t length, bool bare)
{
	char folded[SPELLING_MAX];

	return fold(folded, text, length) ? find(folded, UNIT_KINDS, bare)
					  : NULL;
}

const struct unit *
unit_find_of(const char *text, size_t length, enum unit_kind kind)
{
	char folded[SPELLING_MAX];
	const struct unit *unit;

	if (!fold(folded, text, length))
		return NULL;
	unit = find(folded, kind, true);
	return unit != NULL ? unit : find(folded, UNIT_KINDS, true);
}

const struct unit *
unit_named(const char *name)
{
	if (name[0] == '\0' || strcmp(name, "number") == 0)
		return &unit_table[U_NUMBER];
	return unit_find(name, strlen(name), false);
}

/* What the kinds are called, and their exponents of kg, m, s, A, K. */
static const struct {
	const char *title;
	struct lw_dimension dimension;
} kinds[UNIT_KINDS] = {
    [UNIT_VOLTS] = {"volts", {1, 2, -3, -1, 0}},
    [UNIT_AMPS] = {"amps", {0, 0, 0, 1, 0}},
    [UNIT_OHMS] = {"ohms", {1, 2, -3, -2, 0}},
    [UNIT_HERTZ] = {"hertz", {0, 0, -1, 0, 0}},
    [UNIT_SECONDS] = {"a time", {0, 0, 1, 0, 0}},
    [UNIT_PERCENT] = {"percent", {0, 0, 0, 0, 0}},
    [UNIT_CELSIUS] = {"a temperature", {0, 0, 0, 0, 1}},
    [UNIT_WATTS] = {"watts", {1, 2, -3, 0, 0}},
    [UNIT_AMP_HOURS] = {"amp-hours", {0, 0, 1, 1, 0}},
    [UNIT_FARADS] = {"farads", {-1, -2, 4, 2, 0}},
    [UNIT_TURNS] = {"turns per minute", {0, 0, -1, 0, 0}},
    [UNIT_JOULES] = {"joules", {1, 2, -2, 0, 0}},
    [UNIT_NUMBER] = {"a bare number", {0, 0, 0, 0, 0}},
    [UNIT_LENGTH] = {"a length", {0, 1, 0, 0, 0}},
    [UNIT_AREA] = {"a cross-section", {0, 2, 0, 0, 0}},
    [UNIT_SPEED] = {"a speed", {0, 1, -1, 0, 0}},
    [UNIT_TORQUE] = {"a torque", {1, 2, -2, 0, 0}},
    [UNIT_FORCE] = {"a force", {1, 1, -2, 0, 0}},
    [UNIT_MASS] = {"a mass", {1, 0, 0, 0, 0}},
    [UNIT_HENRIES] = {"henries", {1, 2, -2, -2, 0}},
    [UNIT_AMPS_PER_AREA] = {"a current density", {0, -2, 0, 1, 0}},
    [UNIT_OHMS_PER_LENGTH] = {"ohms per length", {1, 1, -3, -2, 0}},
    [UNIT_OHMS_PER_VOLT] = {"ohms per volt", {0, 0, 0, -1, 0}},
    [UNIT_TURNS_PER_VOLT] = {"turns per volt", {-1, -2, 2, 1, 0}},
    [UNIT_TORQUE_PER_AMP] = {"a torque per amp", {1, 2, -2, -1, 0}},
};

const char *
unit_kind_title(enum unit_kind kind)
{
	return kinds[kind].title;
}

struct lw_dimension
unit_dimension(enum unit_kind kind)
{
	return kinds[kind].dimension;
}

bool
unit_milli_is_unclear(enum unit_kind kind)
{
	return kind == UNIT_OHMS || kind == UNIT_SECONDS;
}

static void
lowered(char *out, const char *text)
{
	while (*text != '\0')
		*out++ = lower(*text++);
	*out = '\0';
}

/* Mark the units nearest to a folded text; false where none is near. */
static bool
mark_nearest(bool *near, const char *folded)
{
	char typed[SPELLING_MAX], spelling[SPELLING_MAX];
	unsigned best = 3, distance;
	size_t i;
	bool marked = false;
	size_t length = strlen(folded);

	/* A letter or two are near to anything: only a longer word is near
	 * at two changes. */
	if (length < 4)
		best = 2;
	lowered(typed, folded);
	for (i = 0; i < unit_spelling_count; i++) {
		lowered(spelling, unit_spellings[i].text);
		distance = near_distance(typed, spelling);
		if (distance >= length || distance > best ||
		    unit_spellings[i].compare == UNIT_BARE)
			continue;
		if (distance < best || !marked)
			memset(near, 0, UNIT_COUNT * sizeof *near);
		best = distance;
		marked = true;
		near[unit_spellings[i].unit] = true;
	}
	return marked;
}

static void
append(char *out, size_t size, const char *text)
{
	size_t used = strlen(out);

	if (used + strlen(text) < size)
		memcpy(out + used, text, strlen(text) + 1);
}

/* The first few that are marked: "V, mV or uV". */
static void
list_marked(char *out, size_t size, const bool *near)
{
	size_t i, left = 0;

	for (i = 0; i < UNIT_COUNT && left < NEAREST; i++)
		left += near[i];
	for (i = 0; left > 0; i++) {
		if (!near[i])
			continue;
		append(out, size, unit_table[i].name);
		left--;
		if (left > 0)
			append(out, size, left == 1 ? " or " : ", ");
	}
}

void
unit_nearest(char *out, size_t size, const char *text, size_t length,
    enum unit_kind kind)
{
	bool near[UNIT_COUNT] = {false}, any = false, kin = false, is_kin;
	char folded[SPELLING_MAX];
	size_t i;

	out[0] = '\0';
	if (fold(folded, text, length))
		any = mark_nearest(near, folded);
	if (kind == UNIT_KINDS && !any)
		near[U_V] = near[U_A] = near[U_OHM] = true;
	for (i = 0; i < UNIT_COUNT; i++)
		kin = kin || (near[i] && unit_table[i].kind == kind);
	/* Of the near ones those that measure the right thing, if any. */
	for (i = 0; i < UNIT_COUNT && kind != UNIT_KINDS; i++) {
		is_kin = unit_table[i].kind == kind;
		if (kin || !any)
			near[i] = (near[i] || !any) && is_kin;
	}
	list_marked(out, size, near);
}
