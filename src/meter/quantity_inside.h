/* What the files of quantities share. */
#ifndef METER_QUANTITY_INSIDE_H
#define METER_QUANTITY_INSIDE_H

#include "meter/typed.h"

/* How a text is read, and what it may have meant instead. */
struct quantity_ask {
	const struct unit *want; /* NULL: any */
	const struct unit *m_is; /* what a bare m is taken for, or NULL */
	/* Found: */
	const struct unit *other; /* the unit may be meant for this one */
	bool bare;		  /* `other` is for a number without a unit */
	bool was_m;		  /* a bare m was taken for `m_is` */
	size_t at;		  /* where the number begins */
	size_t end;		  /* where the unit ends */
};

/* lw_quantity_parse for a unit that is known. `unit` of the quantity is a
 * name of the table. */
enum lw_status quantity_read(struct lw_quantity *quantity,
    struct quantity_ask *ask, const char *text, struct lw_err *err);

/* The unit of a quantity that was read. */
const struct unit *quantity_unit(const struct lw_quantity *quantity);

/* --- a quantity with its tolerance, as quantity_format finds it again ------
 */

/* False where the ends are not finite. Shares are of 1, below and above the
 * value, and never of a temperature. */
bool quantity_spread_percent(
    struct lw_quantity *quantity, double below, double above);
/* Numbers of a unit. */
bool quantity_spread_by(struct lw_quantity *quantity, const struct unit *unit,
    double below, double above);
/* From one number of a unit to another. Not of AWG. */
bool quantity_spread_over(struct lw_quantity *quantity, const struct unit *unit,
    double low, double high);

/* Read the tolerance that follows a value, from `at` to the end of the text. */
enum lw_status quantity_read_tolerance(struct lw_quantity *quantity,
    const struct unit *unit, const char *text, size_t at, struct lw_err *err);

/* "+/-", "+-" or the sign itself: its bytes; 0 for none. */
size_t quantity_plus_minus(const char *text);
/* Where the unit that begins here ends: at a sign, a bracket, a mark, the
 * word "to", or a number after a space. */
size_t quantity_unit_end(const char *text, size_t at);

#endif
