/* The discharge of a capacitor through a resistor; what it means for a
 * vehicle is left to job. */
#include "meter/bleed.h"

#include <math.h>

double
bleed_joules(double farads, double volts)
{
	return farads * volts * volts / 2;
}

double
bleed_seconds(double ohms, double farads, double from_volts, double to_volts)
{
	if (from_volts <= to_volts)
		return 0;
	return ohms * farads * log(from_volts / to_volts);
}
