/*
 * Published figures of copper conductors: what is known of a size by a table.
 *
 * Stranded, uncoated, at 75 degC: NEC chapter 9, table 8. Fine-wired (class 5),
 * plain, the most at 20 degC: IEC 60228. Areas of AWG: ASTM B258.
 */
#ifndef METER_CONDUCTOR_H
#define METER_CONDUCTOR_H

enum conductor_table {
	CONDUCTOR_NONE = 0, /* no standard size */
	CONDUCTOR_NEC,	    /* ohm per 1000 ft at 75 degC */
	CONDUCTOR_IEC	    /* ohm per km at 20 degC */
};

struct conductor {
	enum conductor_table table;
	const char *size; /* "2 AWG", "35 mm2" */
	const char *ohms; /* as the table has it */
};

/* What the tables have of a cross-section in m2, to half a percent. */
void conductor_find(struct conductor *conductor, double area);

/* The smallest class 5 size that has no more than so many ohm a metre at
 * 20 degC ("50 mm2"); NULL where there is none. */
const char *conductor_size_for(double ohms_per_metre);

#endif
