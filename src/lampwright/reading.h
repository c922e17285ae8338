/*
 * What a meter says: a number in a unit of the trade.
 * Units known are those of what a meter or a clock shows: V, A, ohm, Hz, s, %,
 * degC, W, Ah, F, rpm, J with their prefixes and relatives (min, h, degF, Wh),
 * in the spellings of the trade. Others are quantities (quantity.h) alone.
 */
#ifndef LAMPWRIGHT_READING_H
#define LAMPWRIGHT_READING_H

#include <stdbool.h>
#include <stddef.h>

#include <lampwright/status.h>

#ifdef __cplusplus
extern "C" {
#endif

#define LW_READING_MAX 64 /* bytes of a formatted reading, NUL included */

/* Whether the unit is one that a check may use: not a length and the like. */
bool lw_unit_known(const char *unit);

/*
 * Read "12.4", "12.4V", "0,185 V", "185 mV", "4k7", "-0.2", "OL" as a value
 * in `unit`. A text without a unit is in `unit` already. OL (also "overload",
 * "open") is +infinity, and allowed only for ohms.
 *
 * LW_BAD_INPUT: not a number; not finite; a unit that is not known; a unit of
 * another kind (the sentence names the right one); thousands separators such
 * as "3,200" which could mean two things.
 */
enum lw_status lw_reading_parse(
    double *value, const char *text, const char *unit, struct lw_err *err);

/* A reading with what one more in its last digit is: 0.01 for "12.40". */
struct lw_reading {
	double value; /* in the unit asked for; +infinity is OL */
	double step;  /* in the same unit; 0 of OL */
};

/* As lw_reading_parse, with the step. */
enum lw_status lw_reading_read(struct lw_reading *reading, const char *text,
    const char *unit, struct lw_err *err);

/*
 * Write a value in its unit ("12.4 V", "OL"), shortest that reads back to the
 * same value. `text` has room for LW_READING_MAX bytes.
 */
void lw_reading_format(char *text, double value, const char *unit);

#ifdef __cplusplus
}
#endif
#endif
