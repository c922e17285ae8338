/*
 * What a reckoner is made of. Formulas are texts (meter/expr.h) over its
 * inputs' keys and the names of earlier results, so what is shown is what was
 * worked out, tolerances included, and the checks' expressions use the same
 * functions.
 *
 * A result's range is worked out from its formula written out over what was
 * given, so what depends on one value twice is not counted twice.
 */
#ifndef METER_RECKON_H
#define METER_RECKON_H

#include <lampwright/quantity.h>
#include <lampwright/reckon.h>

struct reckon; /* one reckoning under way */

struct reckoner {
	struct lw_reckoner face;
	enum lw_status (*run)(struct reckon *reckon, struct lw_err *err);
};

/* --- what was given ---------------------------------------------------- */

/* NULL: left out. */
const struct lw_quantity *reckon_quantity(
    const struct reckon *reckon, const char *key);
/* A word (one of the input's, as it is written there) or text; NULL: left
 * out. */
const char *reckon_text(const struct reckon *reckon, const char *key);
/* A quantity as it was given, without its tolerance; NULL: left out. */
const char *reckon_plain(struct reckon *reckon, const char *key);
/* Read a text as a quantity, where its unit depends on another input; from
 * then on it is one, also in formulas. `usual` NULL: none is taken where it
 * was left out, or the rig's is in no such unit. Limits are in `unit`; low 0
 * and high 0: none. */
enum lw_status reckon_take(struct reckon *reckon, const char *key,
    const char *unit, double low, double high, const char *usual,
    struct lw_err *err);
/* LW_BAD_INPUT that begins with the key. */
enum lw_status reckon_refuse(const struct reckon *reckon, const char *key,
    struct lw_err *err, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

/* --- what comes out; each remembers that memory ran out ---------------- */

/* A value in SI for a remark, with the digits of results: "4.8 mA". It lives
 * as long as the reckoning; "" where memory ran out. Remarks have numbers by
 * this alone, since %g and the like ask the locale. */
const char *reckon_say(struct reckon *reckon, double value, const char *unit);

/*
 * Work out a formula, add it as a result in a unit that suits its size, and
 * let later formulas use `name` (hyphens as underscores). The value in SI, at
 * what was given without tolerance. Errors of expr_parse and expr_range, which
 * a reckoner avoids by asking first.
 */
enum lw_status reckon_formula(struct reckon *reckon, double *value,
    const char *name, const char *title, const char *unit, const char *formula,
    struct lw_err *err);
/* A value that no formula gives, in SI; `formula` may be NULL. */
void reckon_number(struct reckon *reckon, const char *name, const char *title,
    double value, const char *unit, const char *formula);
/* A result in words: "verdict". */
void reckon_words(struct reckon *reckon, const char *name, const char *title,
    const char *format, ...) __attribute__((format(printf, 4, 5)));
void reckon_remark(struct reckon *reckon, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
/* Said twice is said once. */
void reckon_source(struct reckon *reckon, const char *source);
/* Significant digits of what is shown: 4, unless set. */
void reckon_digits(struct reckon *reckon, int digits);

/* A plot; titles and units have to outlive the reckoning (constants). The
 * curve's points are copied. One plot a reckoning. */
void reckon_plot(struct reckon *reckon, const char *title, const char *x_title,
    const char *x_unit, const char *y_title, const char *y_unit);
void reckon_curve(struct reckon *reckon, const char *title, const double *x,
    const double *y, size_t count);
void reckon_level(struct reckon *reckon, double y, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* --- what several reckoners say ------------------------------------------ */

/* What a pack or a charged bus of that voltage is classed as (50 V, 60 V), and
 * that one which is called by a round voltage charges to more. */
void reckon_voltage_class(struct reckon *reckon, double volts);
/* The same of a voltage that is surely the highest. */
void reckon_full_class(struct reckon *reckon, double volts);

/* --- the reckoners, one a file ------------------------------------------ */

extern const struct reckoner reckon_precharge;
extern const struct reckoner reckon_bleed;
extern const struct reckoner reckon_drop;
extern const struct reckoner reckon_fuse;
extern const struct reckoner reckon_isolation;
extern const struct reckoner reckon_divider;
extern const struct reckoner reckon_throttle;
extern const struct reckoner reckon_resistor;
extern const struct reckoner reckon_charge;
extern const struct reckoner reckon_sag; /* source resistance */
extern const struct reckoner reckon_coil;
extern const struct reckoner reckon_motor;
extern const struct reckoner reckon_hall;
extern const struct reckoner reckon_winding;
extern const struct reckoner reckon_meter;

#endif
