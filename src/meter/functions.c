/*
 * Functions that are written in expressions themselves, for the checks' bands
 * and for reckoning alike. Reading a body is left to meter/expr_parse.c.
 *
 * Each name stands once in a body where that can be, and nothing is
 * subtracted that could be divided, so that intervals stay narrow.
 */
#include "meter/expr.h"

/* clang-format off */
static const struct expr_function functions[] = {
    {"energy", "farads:F volts:V",
	"farads * volts^2 / 2",
	"energy that a charged capacitor holds"},
    {"parallel", "one:ohm other:ohm",
	"1 / (1 / one + 1 / other)",
	"two resistances side by side"},
    {"divide", "volts:V upper:ohm lower:ohm",
	"volts / (1 + upper / lower)",
	"voltage across the lower of two resistors in series"},
    {"precharge_time", "ohms:ohm farads:F share:",
	"-ohms * farads * ln(1 - share)",
	"time until a bus is charged to a share of the pack through a "
	"resistor"},
    {"precharge_volts", "volts:V ohms:ohm farads:F time:s",
	"volts * (1 - exp(-time / (ohms * farads)))",
	"bus voltage after that time of pre-charge"},
    {"precharge_final", "volts:V ohms:ohm load:ohm",
	"volts / (1 + ohms / load)",
	"voltage at which pre-charge ends while a load stands across the bus"},
    {"bleed_time", "ohms:ohm farads:F from:V to:V",
	"ohms * farads * max(0, ln(from / to))",
	"time until a capacitor has bled from one voltage to another"},
    {"bleed_volts", "volts:V ohms:ohm farads:F time:s",
	"volts * exp(-time / (ohms * farads))",
	"voltage left after that time of bleeding"},
    {"copper_at", "ohms:ohm from:degC to:degC",
	"ohms * (to - 38.65 K) / (from - 38.65 K)",
	"resistance of a copper winding at another temperature"},
    {"wire_ohms", "area:mm2 length:m temperature:degC",
	"1 ohm * (length / 58 m) * (1 mm2 / area) * "
	"(1 + 0.00393 * (temperature - 20 degC) / 1 K)",
	"resistance of solid copper; of cable a little more"},
    {"drop", "amps:A area:mm2 length:m temperature:degC",
	"amps * wire_ohms(area, length, temperature)",
	"voltage lost along copper wire"},
    {"sag", "volts:V ohms:ohm amps:A",
	"volts - ohms * amps",
	"voltage of a source under load"},
    {"source_ohms", "open:V loaded:V amps:A",
	"(open - loaded) / amps",
	"resistance of a source, from its voltage without and with a load"},
    {"coil_ohms", "volts:V watts:W",
	"volts^2 / watts",
	"resistance of a coil, from its rating"},
    {"isolation_ohms", "pack:V before:V after:V resistor:ohm",
	"resistor * pack * (1 / after - 1 / before)",
	"isolation resistance, from a side's voltage to the chassis before "
	"and after a resistor was put there"},
    {"leak_ohms", "meter:ohm pack:V side:V other:V",
	"meter * (pack - side - other) / side",
	"resistance to the chassis of the other side, from two voltages and "
	"the meter's own resistance"},
    {"throttle_share", "volts:V rest:V full:V band:",
	"((volts - rest) / (full - rest) - band) / (1 - 2 * band)",
	"throttle, with a dead band at either end of its travel"},
    {"fusing_amps", "diameter:mm",
	"10244 A * (diameter / 1 in)^1.5",
	"current that melts a copper wire in free air"},
};
/* clang-format on */

const struct expr_function *
expr_functions(size_t *count)
{
	*count = sizeof functions / sizeof functions[0];
	return functions;
}
