/* Input: a byte that picks the unit asked for, or none, then a quantity as it
 * is typed. One that is read reads back to the last bit after it is written;
 * an error has a place in the text and a sentence that can be shown; what is
 * said of it is a quantity again, where it is no number without limit. */
#include "base/utf8.h"

#include <lampwright/quantity.h>

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
check_text(const char *text)
{
	size_t i, length = strlen(text);

	require(length > 0 && utf8_valid(text, length) == length);
	for (i = 0; i < length; i++)
		require((unsigned char)text[i] >= 0x20 && text[i] != 0x7F);
}

static void
check_error(const struct lw_err *err, const char *text)
{
	require(err->code == LW_BAD_INPUT || err->code == LW_UNDECIDED);
	check_text(err->text);
	require(err->column >= 1 &&
		err->column <= utf8_count(text, strlen(text)) + 1);
}

static void
check_quantity(const struct lw_quantity *quantity)
{
	char text[LW_QUANTITY_MAX], again[LW_QUANTITY_MAX];
	struct lw_quantity back;
	int digits;

	require(isfinite(quantity->value) && isfinite(quantity->step));
	require(quantity->low <= quantity->value &&
		quantity->value <= quantity->high);
	require(quantity->toleranced || quantity->low == quantity->high);
	lw_quantity_format(text, quantity);
	require(strlen(text) < sizeof text);
	check_text(text);
	require(lw_quantity_parse(&back, text, NULL, NULL) == LW_OK);
	require(back.value == quantity->value && back.low == quantity->low &&
		back.high == quantity->high &&
		back.toleranced == quantity->toleranced &&
		back.number == quantity->number &&
		strcmp(back.unit, quantity->unit) == 0 &&
		lw_dimension_equal(back.dimension, quantity->dimension));
	lw_quantity_format(again, &back);
	require(strcmp(text, again) == 0);
	for (digits = 1; digits <= 17; digits += 4) {
		lw_quantity_say(text, quantity->value, quantity->unit, digits);
		check_text(text);
		require(lw_quantity_parse(&back, text, NULL, NULL) == LW_OK);
		require(
		    lw_dimension_equal(back.dimension, quantity->dimension));
	}
}

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	static const char *const units[] = {NULL, "V", "mV", "A", "ohm", "F",
	    "H", "s", "%", "number", "degC", "mm2", "AWG", "m", "rpm", "N m"};
	struct lw_err err = {.code = LW_OK};
	struct lw_quantity quantity;
	struct lw_dimension dimension;
	const char *unit;
	enum lw_status status;
	char *text;

	if (size == 0)
		return 0;
	text = malloc(size);
	if (text == NULL)
		return 0;
	memcpy(text, data + 1, size - 1);
	text[size - 1] = '\0';
	unit = units[data[0] % 16];
	if (lw_quantity_parse(&quantity, text, unit, &err) == LW_OK)
		check_quantity(&quantity);
	else
		check_error(&err, text);
	if (unit != NULL) {
		status = lw_quantity_parse_plausible(
		    &quantity, text, unit, 1, 1000, data[0] & 16, &err);
		if (status == LW_OK)
			check_quantity(&quantity);
		else
			check_error(&err, text);
	}
	if (lw_unit_dimension(&dimension, text, &err) != LW_OK)
		check_text(err.text);
	else
		require(isfinite(lw_quantity_from(1, text)));
	free(text);
	return 0;
}
