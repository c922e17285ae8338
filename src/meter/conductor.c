/* Tables of copper conductors. What is worked out from them is left to the
 * reckoners. */
#include "meter/conductor.h"

#include "base/num.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

/* NEC chapter 9, table 8: stranded, uncoated copper, ohm per 1000 ft, 75 degC.
 * `gauge` counts 1/0 as 0, 2/0 as -1 and so on. */
static const struct {
	int gauge;
	const char *size;
	const char *ohms;
} nec[] = {
    {18, "18 AWG", "7.95"},
    {16, "16 AWG", "4.99"},
    {14, "14 AWG", "3.14"},
    {12, "12 AWG", "1.98"},
    {10, "10 AWG", "1.24"},
    {8, "8 AWG", "0.778"},
    {6, "6 AWG", "0.491"},
    {4, "4 AWG", "0.308"},
    {2, "2 AWG", "0.194"},
    {1, "1 AWG", "0.154"},
    {0, "1/0 AWG", "0.122"},
    {-1, "2/0 AWG", "0.0967"},
    {-2, "3/0 AWG", "0.0766"},
    {-3, "4/0 AWG", "0.0608"},
};

/* IEC 60228, class 5, plain copper: the most, ohm per km, 20 degC. */
static const struct {
	double mm2;
	const char *size;
	const char *ohms;
} iec[] = {
    {0.5, "0.5 mm2", "39.0"},
    {0.75, "0.75 mm2", "26.0"},
    {1, "1 mm2", "19.5"},
    {1.5, "1.5 mm2", "13.3"},
    {2.5, "2.5 mm2", "7.98"},
    {4, "4 mm2", "4.95"},
    {6, "6 mm2", "3.30"},
    {10, "10 mm2", "1.91"},
    {16, "16 mm2", "1.21"},
    {25, "25 mm2", "0.780"},
    {35, "35 mm2", "0.554"},
    {50, "50 mm2", "0.386"},
    {70, "70 mm2", "0.272"},
    {95, "95 mm2", "0.206"},
    {120, "120 mm2", "0.161"},
};

/* ASTM B258: the diameter is 0.005 in * 92^((36 - n) / 39). */
static double
awg_area(int gauge)
{
	double metres = 0.005 * 0.0254 * pow(92, (36 - gauge) / 39.0);

	return acos(-1) / 4 * metres * metres;
}

static int
is_same(double one, double other)
{
	return fabs(one / other - 1) < 0.005;
}

void
conductor_find(struct conductor *conductor, double area)
{
	size_t i;

	*conductor = (struct conductor){.table = CONDUCTOR_NONE};
	for (i = 0; i < COUNT(nec); i++)
		if (is_same(area, awg_area(nec[i].gauge)))
			*conductor = (struct conductor){
			    CONDUCTOR_NEC, nec[i].size, nec[i].ohms};
	for (i = 0; i < COUNT(iec); i++)
		if (is_same(area, iec[i].mm2 * 1e-6))
			*conductor = (struct conductor){
			    CONDUCTOR_IEC, iec[i].size, iec[i].ohms};
}

const char *
conductor_size_for(double ohms_per_metre)
{
	double ohms;
	size_t i;

	for (i = 0; i < COUNT(iec); i++)
		if (num_parse(&ohms, iec[i].ohms, strlen(iec[i].ohms)) &&
		    ohms / 1000 <= ohms_per_metre)
			return iec[i].size;
	return NULL;
}
