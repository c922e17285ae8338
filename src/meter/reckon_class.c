/* What a pack's voltage is classed as, and what it is when fully charged.
 * Where that matters is left to the reckoners. */
#include "meter/reckon.h"

#include <stddef.h>

static const double TOUCH_VOLTS = 50, CLASS_VOLTS = 60;

/* What lead-acid cells take while they charge (from memory). */
static const double LEAD_CELL_NAME = 2, LEAD_CELL_FULL = 2.45;

/* The round voltages that packs of vehicles are called by. */
static const double names[] = {24, 36, 48, 60, 72, 80, 96, 120};

static bool
is_name(double volts)
{
	size_t i;

	for (i = 0; i < sizeof names / sizeof names[0]; i++)
		if (volts == names[i])
			return true;
	return false;
}

static void
say_class(struct reckon *reckon, double volts)
{
	const char *said = reckon_say(reckon, volts, "V");

	if (volts > CLASS_VOLTS)
		reckon_remark(reckon,
		    "%s is above 60 V DC, where road-vehicle rules begin to "
		    "ask for protection against shock.",
		    said);
	else if (volts >= TOUCH_VOLTS)
		reckon_remark(reckon,
		    "%s is %sthe line that workplace rules draw for work on "
		    "live parts, and not above 60 V DC, the one of "
		    "road-vehicle rules.",
		    said, volts > TOUCH_VOLTS ? "above 50 V, " : "");
	else
		reckon_remark(reckon,
		    "%s is below 50 V. That is no promise: a pack or a "
		    "charged bus below it still burns and arcs, and counts as "
		    "live until it measures below 5 V.",
		    said);
}

void
reckon_full_class(struct reckon *reckon, double volts)
{
	say_class(reckon, volts);
	reckon_source(reckon,
	    "50 V: 29 CFR 1910.333(a)(1), for workplaces; adapted here");
	reckon_source(reckon,
	    "60 V DC: 49 CFR 571.305, for road vehicles; borrowed here");
}

void
reckon_voltage_class(struct reckon *reckon, double volts)
{
	double full = volts / LEAD_CELL_NAME * LEAD_CELL_FULL;

	if (is_name(volts))
		reckon_remark(reckon,
		    "%s is what a pack is called. A lead-acid pack of that "
		    "name charges to %s, and is classed by that; give the "
		    "highest voltage of yours as volts.",
		    reckon_say(reckon, volts, "V"),
		    reckon_say(reckon, full, "V"));
	reckon_full_class(reckon, is_name(volts) ? full : volts);
	if (is_name(volts))
		reckon_source(reckon,
		    "2.45 V a lead-acid cell while charging: from memory");
}
