/*
 * How resistors are marked: colour bands and the RKM code of IEC 60062, and
 * the digits on chips. Colours of bands and letters of tolerances are those of
 * the 2016 edition, from memory.
 */
#ifndef METER_MARKING_H
#define METER_MARKING_H

#include <stdbool.h>
#include <stddef.h>

#include <lampwright/status.h>

enum { MARKING_BANDS = 6, MARKING_MAX = 120 };

struct marking {
	double ohms;
	double tolerance; /* a share; below 0 where none is marked */
	double ppm;	  /* of temperature, per kelvin; below 0 likewise */
	int number;	  /* ohms are number * 10^exponent */
	int exponent;
	bool digits; /* a code of digits alone */
};

/* Bands by number, from the end at which to begin to read. */
struct marking_bands {
	unsigned char colours[MARKING_BANDS];
	size_t count;
};

/* "yellow, violet, red, gold", "ye vt rd gd", "gray-purple-..."; three to six.
 * LW_BAD_INPUT: a colour that there is not (with the nearest), too few or too
 * many. */
enum lw_status marking_bands_parse(
    struct marking_bands *bands, const char *text, struct lw_err *err);
/* LW_BAD_INPUT: a colour that cannot stand in its place. `back`: read from the
 * other end. */
enum lw_status marking_of_bands(struct marking *marking,
    const struct marking_bands *bands, bool back, struct lw_err *err);
/* The colours of a value with two or three digits, tolerance last; "" where
 * it takes more digits or is out of reach. `text` has room for MARKING_MAX. */
void marking_write_bands(
    char *text, double ohms, double tolerance, unsigned digits);

/* "4K7", "R47", "470RJ", "47K3", "4k7", "10R", "472", "4701". LW_BAD_INPUT says
 * how to write it. */
enum lw_status marking_of_code(
    struct marking *marking, const char *code, struct lw_err *err);
/* "4K7J"; "" where it takes more than four digits or is out of reach. Room
 * for MARKING_MAX. */
void marking_write_code(char *text, double ohms, double tolerance);

#endif
