/* Input: a byte that picks a unit, then a reading as it is typed, which is
 * also tried as a unit. A value that is read reads back after it is written;
 * an error has a place in the text and a sentence that can be shown. */
#include "base/utf8.h"

#include <lampwright/reading.h>

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void
require(bool good)
{
	if (!good)
		abort();
}

static void
check_error(const struct lw_err *err, const char *text)
{
	size_t i;

	require(err->code == LW_BAD_INPUT && err->text[0] != '\0');
	require(utf8_valid(err->text, strlen(err->text)) == strlen(err->text));
	for (i = 0; err->text[i] != '\0'; i++)
		require((unsigned char)err->text[i] >= 0x20 &&
			err->text[i] != 0x7F);
	require(err->column >= 1 &&
		err->column <= utf8_count(text, strlen(text)) + 1);
}

static void
check_value(double value, const char *unit)
{
	char text[LW_READING_MAX];
	struct lw_err err;
	double back;

	require(!isnan(value) && (!isinf(value) || value > 0));
	lw_reading_format(text, value, unit);
	require(lw_reading_parse(&back, text, unit, &err) == LW_OK);
	require(back == value);
}

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	static const char *const units[] = {"V", "mV", "A", "ohm", "kohm", "Hz",
	    "s", "h", "%", "degC", "kW", "Ah", "uF", "rpm", "min", "k\xCE\xA9"};
	char written[LW_READING_MAX];
	struct lw_err err = {.code = LW_OK};
	const char *unit;
	double value;
	char *text;

	if (size == 0)
		return 0;
	text = malloc(size);
	if (text == NULL)
		return 0;
	memcpy(text, data + 1, size - 1);
	text[size - 1] = '\0';
	unit = units[data[0] % 16];
	if (lw_reading_parse(&value, text, unit, &err) == LW_OK)
		check_value(value, unit);
	else
		check_error(&err, text);
	if (lw_unit_known(text))
		require(lw_reading_parse(&value, "1", text, NULL) == LW_OK);
	lw_reading_format(written, 12.5, text);
	require(strlen(written) < sizeof written);
	free(text);
	return 0;
}
