/* Units of the trade: what they measure and how they convert. */
#ifndef METER_UNIT_H
#define METER_UNIT_H

#include <stdbool.h>
#include <stddef.h>

enum unit_kind {
	UNIT_VOLTS,
	UNIT_AMPS,
	UNIT_OHMS,
	UNIT_HERTZ,
	UNIT_SECONDS,
	UNIT_PERCENT,
	UNIT_CELSIUS,
	UNIT_WATTS,
	UNIT_AMP_HOURS,
	UNIT_FARADS,
	UNIT_TURNS, /* per minute */
	UNIT_JOULES
};

/* A value in the unit is value * times * 10^exponent in the kind's own. */
struct unit {
	const char *name; /* as we write it: "kohm" */
	enum unit_kind kind;
	int exponent;
	double times;
};

/* The unit that a spelling names ("volts", "k\u03A9"); NULL where it names
 * none. `bare` also takes the letters k, M and R, which stand for ohms in a
 * reading and are no unit by themselves. */
const struct unit *unit_find(const char *text, size_t length, bool bare);

/* Whether two texts agree in `length` bytes, or up to their ends where that
 * comes first, whatever the case of ASCII letters and the locale. */
bool unit_letters_match(const char *one, const char *other, size_t length);

/* "volts", "ohms", ...: what a unit of the kind measures. */
const char *unit_kind_title(enum unit_kind kind);

/* Whether 10 m and the like could mean two units of the kind. */
bool unit_milli_is_unclear(enum unit_kind kind);

/* The names nearest to a misspelling, or of the kind where none is near:
 * "V, mV or uV". `out` has room for `size` bytes. */
void unit_nearest(char *out, size_t size, const char *text, size_t length,
    enum unit_kind kind);

#endif
