/* Numbers to and from text, whatever the locale: the mark is a point. */
#ifndef BASE_NUM_H
#define BASE_NUM_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/*
 * Read a decimal number (sign, digits, point, exponent) that takes all of
 * the `length` bytes. No space, no hexadecimal, no "inf" or "nan". False
 * where it is none, or not finite. Correctly rounded.
 */
bool num_parse(double *value, const char *text, size_t length);

/* Read a whole number, all of the text. False where it is none or too big. */
bool num_parse_int(int64_t *value, const char *text);

/* Write the shortest decimal that reads back to the same value; never an
 * exponent between 1e-6 and 1e15. `size` at least 32. */
void num_format(char *text, size_t size, double value);

/* Rounded to so many significant digits (1-15): 446.49999 to four is 446.5, to
 * the last bit. */
double num_round(double value, int digits);

#endif
