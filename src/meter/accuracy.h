/*
 * How far a meter's reading may be from the truth.
 *
 * A maker states percent of the reading plus counts of the last digit:
 * a = percent |reading| + counts resolution. Taken as a rectangular
 * distribution its standard uncertainty is a / sqrt 3 (JCGM 100:2008, GUM,
 * 4.3.7), and the expanded uncertainty U = 2 u (NIST TN 1297, section 6).
 */
#ifndef METER_ACCURACY_H
#define METER_ACCURACY_H

#include <lampwright/status.h>

struct accuracy {
	double percent; /* of the reading, 0-100 */
	double counts;	/* of the last digit, 0-1000 */
};

#define ACCURACY_MAX 64 /* bytes of a formatted accuracy, NUL included */

/* "0.5% + 2", "0.9 % + 1 digits", "1%", "±(0.5 % + 2 counts)". LW_BAD_INPUT,
 * with the column, says how to write it. */
enum lw_status accuracy_parse(
    struct accuracy *accuracy, const char *text, struct lw_err *err);
/* "0.5 % + 2 counts"; reads back to the same to six digits. `text` has room
 * for ACCURACY_MAX bytes. */
void accuracy_format(char *text, const struct accuracy *accuracy);
/* a, u and U of a reading; `step` is what one count of its last digit is, 0
 * where nothing tells. All in the reading's unit; 0 of OL. */
double accuracy_limit(
    const struct accuracy *accuracy, double reading, double step);
double accuracy_standard(
    const struct accuracy *accuracy, double reading, double step);
double accuracy_expanded(
    const struct accuracy *accuracy, double reading, double step);

#endif
