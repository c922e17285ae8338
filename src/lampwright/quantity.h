/*
 * Quantities: a number, its unit, its tolerance, and what it measures.
 *
 * Trade spelling is read whatever the locale, with either decimal mark:
 * "12.4 V", "0,185 V", "4k7", "10 kOhm", "250A", "2/0 AWG", "35 mm2", "5 ft",
 * "95 %", "-10 degC", "470 ohm 5%", "10 mF -20/+50 %", "12 V +/- 0.5 V",
 * "20 to 30 A", "20-30 A". Of a percentage a tolerance is in points (95 % +/- 2
 * % is 93 % to 97 %), of a temperature in degrees, of a wire size in percent of
 * its cross-section.
 * Units of the SI and their prefixes follow the SI brochure; inch, foot, mile,
 * lbf, hp (550 ft lbf/s): NIST SP 811, appendix B; AWG: ASTM B258.
 */
#ifndef LAMPWRIGHT_QUANTITY_H
#define LAMPWRIGHT_QUANTITY_H

#include <stdbool.h>
#include <stddef.h>

#include <lampwright/status.h>

#ifdef __cplusplus
extern "C" {
#endif

/* Exponents of the SI base units. Turns and percent have none. */
struct lw_dimension {
	signed char kg;
	signed char m;
	signed char s;
	signed char a;
	signed char k;
};

struct lw_quantity {
	double value; /* in SI base units: V, ohm, F, m, m2 (also of AWG), K,
		       * 1/s (also of rpm, as turns); 1 for 100 % */
	double low;   /* with its tolerance; `value` where none is said */
	double high;
	bool toleranced; /* a tolerance was said */
	struct lw_dimension dimension;
	double number;	  /* as it is written, in `unit`; 2/0 AWG is -1; of a
			   * range the middle */
	const char *unit; /* its name: "kohm", "AWG"; "" of a bare number */
	double step;	  /* what one more in the last digit written would
			   * add, in SI; 0 where nothing tells: of a
			   * range and of a wire size */
};

#define LW_QUANTITY_MAX 96 /* bytes of a formatted quantity, NUL included */
#define LW_QUANTITY_TEXT_MAX 100 /* bytes of a text that may be one */

/*
 * Read a quantity. `unit` is the one that is asked for: a text without a unit
 * is in it, and one of another dimension is refused. NULL: any, and a text
 * without a unit is a bare number.
 *
 * LW_BAD_INPUT, with the column: not a number; not finite (1e400, NaN); an
 * unknown unit (with the nearest); another dimension, or another kind of the
 * same one: hertz and turns, energy and torque (the right one is named); a
 * temperature below the lowest; "3,200" and the like, which could mean two
 * things; a tolerance that is below zero or over 100 %.
 */
enum lw_status lw_quantity_parse(struct lw_quantity *quantity, const char *text,
    const char *unit, struct lw_err *err);

/*
 * As lw_quantity_parse, for a value that is plausible from `low` to `high` (in
 * `unit`). What is as likely meant otherwise is settled by what is plausible:
 * mF that may be uF, m that may be M before ohm. LW_UNDECIDED: both are
 * plausible; the sentence says how to write either. LW_BAD_INPUT besides: it
 * is not plausible; where the other reading of it is, the sentence says so.
 * `sure`: take it as it is written, still within the limits.
 */
enum lw_status lw_quantity_parse_plausible(struct lw_quantity *quantity,
    const char *text, const char *unit, double low, double high, bool sure,
    struct lw_err *err);

/* Write it as it was: number, unit, tolerance ("470 ohm ±5 %"), a range as
 * such ("20 to 30 A"). Reads back to the same quantity, to the last bit, but
 * for `step`: zeros at the end are not kept. `text` has room for
 * LW_QUANTITY_MAX. */
void lw_quantity_format(char *text, const struct lw_quantity *quantity);

/*
 * Write a value in SI with so many significant digits (1-17; trailing zeros
 * are left out), in the unit of that kind that suits its size: 0.0048 with
 * "A" is "4.8 mA". `unit` says the kind, and by itself the family: "mm2" stays
 * with mm2, "AWG" gives the nearest size. Farads are shown in uF below 0.1 F.
 * What is infinite is "without limit". `text` has room for LW_QUANTITY_MAX
 * bytes.
 */
void lw_quantity_say(char *text, double value, const char *unit, int digits);

/* A value in SI as a number of a unit, and back. Of AWG: the number, which
 * may be broken. The unit has to be known. */
double lw_quantity_in(double value, const char *unit);
double lw_quantity_from(double number, const char *unit);

/* What a unit measures. LW_BAD_INPUT: not known (with the nearest). "number"
 * and "" are the bare number. */
enum lw_status lw_unit_dimension(
    struct lw_dimension *dimension, const char *unit, struct lw_err *err);
bool lw_dimension_equal(struct lw_dimension one, struct lw_dimension other);
/* "a voltage (V)", "a resistance (ohm)", "a bare number"; where it has no
 * name, its base units: "kg m2/s3". `text` has room for LW_QUANTITY_MAX. */
void lw_dimension_say(char *text, struct lw_dimension dimension);

#ifdef __cplusplus
}
#endif
#endif
