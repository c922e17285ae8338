/* Units of the trade: what they measure and how they convert. */
#ifndef METER_UNIT_H
#define METER_UNIT_H

#include <lampwright/quantity.h>

#include <stdbool.h>
#include <stddef.h>

/* Finer than dimensions: hertz and turns, energy and torque are two each. */
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
	UNIT_JOULES,
	/* What no meter reads. */
	UNIT_NUMBER,
	UNIT_LENGTH,
	UNIT_AREA,
	UNIT_SPEED,
	UNIT_TORQUE,
	UNIT_FORCE,
	UNIT_MASS,
	UNIT_HENRIES,
	UNIT_AMPS_PER_AREA,
	UNIT_OHMS_PER_LENGTH,
	UNIT_OHMS_PER_VOLT,
	UNIT_TURNS_PER_VOLT,
	UNIT_TORQUE_PER_AMP,
	UNIT_KINDS
};

/* A value in SI is (number + offset) * 10^exponent * times / over; where
 * `times` is 0, of AWG, a function. */
struct unit {
	const char *name; /* as we write it: "kohm"; "" of a bare number */
	enum unit_kind kind;
	int exponent;
	double times;
	double over;
	double offset;
};

/* The unit that a spelling names ("volts", "k\u03A9"); NULL where it names
 * none. `bare` also takes the letters k, M and R, which stand for ohms in a
 * reading and are no unit by themselves. */
const struct unit *unit_find(const char *text, size_t length, bool bare);

/* As unit_find, with what a spelling names in that kind going before what it
 * names elsewhere: K among ohms. Takes bare letters. */
const struct unit *unit_find_of(
    const char *text, size_t length, enum unit_kind kind);

/* The unit by a name that a pack or the code gives: as unit_find; "" and
 * "number" are the bare number. */
const struct unit *unit_named(const char *name);

/* Whether two texts agree in `length` bytes, or up to their ends where that
 * comes first, whatever the case of ASCII letters and the locale. */
bool unit_letters_match(const char *one, const char *other, size_t length);

/* "volts", "ohms", ...: what a unit of the kind measures. */
const char *unit_kind_title(enum unit_kind kind);

struct lw_dimension unit_dimension(enum unit_kind kind);

/* Whether 10 m and the like could mean two units of the kind. */
bool unit_milli_is_unclear(enum unit_kind kind);

/* The names nearest to a misspelling, three at most; where none is near,
 * those of the kind: "V, mV or uV". UNIT_KINDS: of any kind. `out` has room
 * for `size` bytes. */
void unit_nearest(char *out, size_t size, const char *text, size_t length,
    enum unit_kind kind);

/* --- meter/unit_scale.c ------------------------------------------------- */

/* number * 10^exponent, as if its shortest decimal had been written so: 185
 * and -3 is the double nearest to 0.185. */
double unit_shift(double number, int exponent);

/* To SI and back. What comes from a number of 15 digits goes back to it. */
double unit_from(const struct unit *unit, double number);
double unit_in(const struct unit *unit, double value);
/* A difference: 5 degC is 5 K. Not of AWG. */
double unit_delta(const struct unit *unit, double number);
bool unit_is_gauge(const struct unit *unit);

#endif
