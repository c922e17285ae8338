/* The table of units and their spellings. Reading a number before the unit
 * is left to meter/reading.c. */
#include "meter/unit.h"

#include "base/utf8.h"

#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

enum { SPELLING_MAX = 24 };

/* clang-format off */
enum {
	V, MILLIV, MICROV, A, MILLIA, MICROA, OHM, KOHM, MOHM, MILLIOHM, HZ,
	KHZ, S, MS, MIN, H, PERCENT, DEGC, W, KW, AH, F, MF, UF, NF, RPM,
	J, KJ
};

static const struct unit units[] = {
    [V] = {"V", UNIT_VOLTS, 0, 1},
    [MILLIV] = {"mV", UNIT_VOLTS, -3, 1},
    [MICROV] = {"uV", UNIT_VOLTS, -6, 1},
    [A] = {"A", UNIT_AMPS, 0, 1},
    [MILLIA] = {"mA", UNIT_AMPS, -3, 1},
    [MICROA] = {"uA", UNIT_AMPS, -6, 1},
    [OHM] = {"ohm", UNIT_OHMS, 0, 1},
    [KOHM] = {"kohm", UNIT_OHMS, 3, 1},
    [MOHM] = {"Mohm", UNIT_OHMS, 6, 1},
    [MILLIOHM] = {"mohm", UNIT_OHMS, -3, 1},
    [HZ] = {"Hz", UNIT_HERTZ, 0, 1},
    [KHZ] = {"kHz", UNIT_HERTZ, 3, 1},
    [S] = {"s", UNIT_SECONDS, 0, 1},
    [MS] = {"ms", UNIT_SECONDS, -3, 1},
    [MIN] = {"min", UNIT_SECONDS, 0, 60},
    [H] = {"h", UNIT_SECONDS, 0, 3600},
    [PERCENT] = {"%", UNIT_PERCENT, 0, 1},
    [DEGC] = {"degC", UNIT_CELSIUS, 0, 1},
    [W] = {"W", UNIT_WATTS, 0, 1},
    [KW] = {"kW", UNIT_WATTS, 3, 1},
    [AH] = {"Ah", UNIT_AMP_HOURS, 0, 1},
    [F] = {"F", UNIT_FARADS, 0, 1},
    [MF] = {"mF", UNIT_FARADS, -3, 1},
    [UF] = {"uF", UNIT_FARADS, -6, 1},
    [NF] = {"nF", UNIT_FARADS, -9, 1},
    [RPM] = {"rpm", UNIT_TURNS, 0, 1},
    [J] = {"J", UNIT_JOULES, 0, 1},
    [KJ] = {"kJ", UNIT_JOULES, 3, 1},
};

/* How a spelling is compared. m and M are a thousand million apart, so a
 * leading one counts; the rest of a spelling is taken in either case. */
enum compare { EITHER, FIRST, EXACT, BARE };

static const struct spelling {
	const char *text; /* after fold(): u for micro, ohm for the omega */
	int unit;
	enum compare compare;
} spellings[] = {
    {"V", V, EITHER}, {"volt", V, EITHER}, {"volts", V, EITHER},
    {"vdc", V, EITHER}, {"v dc", V, EITHER}, {"volts dc", V, EITHER},
    {"mV", MILLIV, FIRST}, {"millivolt", MILLIV, EITHER},
    {"millivolts", MILLIV, EITHER},
    {"uV", MICROV, EITHER}, {"microvolt", MICROV, EITHER},
    {"microvolts", MICROV, EITHER},
    {"A", A, EITHER}, {"amp", A, EITHER}, {"amps", A, EITHER},
    {"ampere", A, EITHER}, {"amperes", A, EITHER}, {"adc", A, EITHER},
    {"a dc", A, EITHER}, {"amps dc", A, EITHER},
    {"mA", MILLIA, FIRST}, {"milliamp", MILLIA, EITHER},
    {"milliamps", MILLIA, EITHER},
    {"uA", MICROA, EITHER}, {"microamp", MICROA, EITHER},
    {"microamps", MICROA, EITHER},
    {"ohm", OHM, EITHER}, {"ohms", OHM, EITHER}, {"R", OHM, BARE},
    {"kohm", KOHM, EITHER}, {"kohms", KOHM, EITHER},
    {"kilohm", KOHM, EITHER}, {"kilohms", KOHM, EITHER},
    {"kilo-ohm", KOHM, EITHER}, {"kilo-ohms", KOHM, EITHER},
    {"k ohm", KOHM, EITHER}, {"k ohms", KOHM, EITHER},
    {"k", KOHM, BARE}, {"K", KOHM, BARE},
    {"Mohm", MOHM, FIRST}, {"Mohms", MOHM, FIRST},
    {"M ohm", MOHM, FIRST}, {"M ohms", MOHM, FIRST},
    {"megohm", MOHM, EITHER}, {"megohms", MOHM, EITHER},
    {"megaohm", MOHM, EITHER}, {"megaohms", MOHM, EITHER},
    {"M", MOHM, BARE}, {"meg", MOHM, BARE},
    {"mohm", MILLIOHM, FIRST}, {"mohms", MILLIOHM, FIRST},
    {"m ohm", MILLIOHM, FIRST}, {"m ohms", MILLIOHM, FIRST},
    {"milliohm", MILLIOHM, EITHER}, {"milliohms", MILLIOHM, EITHER},
    {"Hz", HZ, EITHER}, {"hertz", HZ, EITHER},
    {"kHz", KHZ, EITHER}, {"kilohertz", KHZ, EITHER},
    {"s", S, EXACT}, {"sec", S, EITHER}, {"secs", S, EITHER},
    {"second", S, EITHER}, {"seconds", S, EITHER},
    {"ms", MS, FIRST}, {"msec", MS, FIRST},
    {"millisecond", MS, EITHER}, {"milliseconds", MS, EITHER},
    {"min", MIN, EITHER}, {"mins", MIN, EITHER}, {"minute", MIN, EITHER},
    {"minutes", MIN, EITHER},
    {"h", H, EXACT}, {"hr", H, EITHER}, {"hrs", H, EITHER},
    {"hour", H, EITHER}, {"hours", H, EITHER},
    {"%", PERCENT, EXACT}, {"percent", PERCENT, EITHER},
    {"per cent", PERCENT, EITHER}, {"pct", PERCENT, EITHER},
    {"degC", DEGC, EITHER}, {"deg C", DEGC, EITHER}, {"C", DEGC, EITHER},
    {"deg", DEGC, EITHER}, {"celsius", DEGC, EITHER},
    {"degrees", DEGC, EITHER}, {"degrees C", DEGC, EITHER},
    {"degrees celsius", DEGC, EITHER},
    {"W", W, EITHER}, {"watt", W, EITHER}, {"watts", W, EITHER},
    {"kW", KW, EITHER}, {"kilowatt", KW, EITHER},
    {"kilowatts", KW, EITHER},
    {"Ah", AH, EITHER}, {"amp hours", AH, EITHER},
    {"amp-hours", AH, EITHER}, {"ampere-hours", AH, EITHER},
    {"F", F, EXACT}, {"farad", F, EITHER}, {"farads", F, EITHER},
    {"mF", MF, FIRST}, {"millifarad", MF, EITHER},
    {"millifarads", MF, EITHER},
    {"uF", UF, EITHER}, {"microfarad", UF, EITHER},
    {"microfarads", UF, EITHER},
    {"nF", NF, EITHER}, {"nanofarad", NF, EITHER},
    {"nanofarads", NF, EITHER},
    {"J", J, EITHER}, {"joule", J, EITHER}, {"joules", J, EITHER},
    {"kJ", KJ, EITHER}, {"kilojoule", KJ, EITHER},
    {"kilojoules", KJ, EITHER},
    {"rpm", RPM, EITHER}, {"r/min", RPM, EITHER}, {"rev/min", RPM, EITHER},
    {"revs per minute", RPM, EITHER}, {"turns per minute", RPM, EITHER},
};
/* clang-format on */

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
	case 0x00A0: /* spaces that do not break */
	case 0x202F:
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
spelled(const struct spelling *spelling, const char *text, bool bare)
{
	switch (spelling->compare) {
	case EITHER:
		return unit_letters_match(spelling->text, text, SPELLING_MAX);
	case FIRST:
		return spelling->text[0] == text[0] &&
		       unit_letters_match(spelling->text, text, SPELLING_MAX);
	case EXACT:
		return strcmp(spelling->text, text) == 0;
	case BARE:
		return bare && strcmp(spelling->text, text) == 0;
	}
	return false;
}

const struct unit *
unit_find(const char *text, size_t length, bool bare)
{
	char folded[SPELLING_MAX];
	size_t i;

	if (!fold(folded, text, length))
		return NULL;
	for (i = 0; i < COUNT(spellings); i++)
		if (spelled(&spellings[i], folded, bare))
			return &units[spellings[i].unit];
	return NULL;
}

const char *
unit_kind_title(enum unit_kind kind)
{
	static const char *const titles[] = {
	    [UNIT_VOLTS] = "volts",
	    [UNIT_AMPS] = "amps",
	    [UNIT_OHMS] = "ohms",
	    [UNIT_HERTZ] = "hertz",
	    [UNIT_SECONDS] = "a time",
	    [UNIT_PERCENT] = "percent",
	    [UNIT_CELSIUS] = "a temperature",
	    [UNIT_WATTS] = "watts",
	    [UNIT_AMP_HOURS] = "amp-hours",
	    [UNIT_FARADS] = "farads",
	    [UNIT_TURNS] = "turns per minute",
	    [UNIT_JOULES] = "joules",
	};

	return titles[kind];
}

bool
unit_milli_is_unclear(enum unit_kind kind)
{
	return kind == UNIT_OHMS || kind == UNIT_SECONDS;
}

/* Levenshtein distance of short texts, whatever the case. */
static unsigned
edits(const char *one, const char *other)
{
	unsigned row[SPELLING_MAX + 1], before, kept, best;
	size_t i, j, n = strlen(one), m = strlen(other);

	if (m > SPELLING_MAX)
		return SPELLING_MAX;
	for (j = 0; j <= m; j++)
		row[j] = (unsigned)j;
	for (i = 1; i <= n; i++) {
		before = row[0];
		row[0] = (unsigned)i;
		for (j = 1; j <= m; j++) {
			kept = row[j];
			best =
			    before + (lower(one[i - 1]) != lower(other[j - 1]));
			if (row[j] + 1 < best)
				best = row[j] + 1;
			if (row[j - 1] + 1 < best)
				best = row[j - 1] + 1;
			row[j] = best;
			before = kept;
		}
	}
	return row[m];
}

/* Mark the units nearest to a folded text; false where none is near. */
static bool
mark_nearest(bool *near, const char *folded)
{
	unsigned best = 3, distance;
	size_t i;
	bool marked = false;
	size_t length = strlen(folded);

	/* A letter or two are near to anything: only a longer word is near
	 * at two changes. */
	if (length < 4)
		best = 2;
	for (i = 0; i < COUNT(spellings); i++) {
		distance = edits(folded, spellings[i].text);
		if (distance >= length || distance > best ||
		    spellings[i].compare == BARE)
			continue;
		if (distance < best || !marked)
			memset(near, 0, COUNT(units) * sizeof *near);
		best = distance;
		marked = true;
		near[spellings[i].unit] = true;
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

void
unit_nearest(char *out, size_t size, const char *text, size_t length,
    enum unit_kind kind)
{
	bool near[COUNT(units)] = {false}, any = false, kin = false;
	char folded[SPELLING_MAX];
	size_t i, left = 0;

	out[0] = '\0';
	if (fold(folded, text, length))
		any = mark_nearest(near, folded);
	for (i = 0; i < COUNT(units); i++)
		kin = kin || (near[i] && units[i].kind == kind);
	/* Of the near ones those that measure the right thing, if any. */
	for (i = 0; i < COUNT(units); i++)
		if (kin || !any)
			near[i] = (near[i] || !any) && units[i].kind == kind;
	for (i = 0; i < COUNT(units); i++)
		left += near[i];
	for (i = 0; i < COUNT(units); i++) {
		if (!near[i])
			continue;
		append(out, size, units[i].name);
		left--;
		if (left > 0)
			append(out, size, left == 1 ? " or " : ", ");
	}
}
