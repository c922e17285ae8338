/* Input: a byte that picks what is known of the lamp, then a pattern as it is
 * typed. What is read has to be canonical and to read back to itself; what
 * is not has a place in the text and a sentence that can be shown. */
#include "base/utf8.h"

#include <lampwright/pattern.h>

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
check_error(enum lw_status status, const struct lw_err *err, const char *text)
{
	size_t i;

	require(status == err->code);
	require(status == LW_BAD_INPUT || status == LW_TOO_BIG);
	require(err->text[0] != '\0');
	require(utf8_valid(err->text, strlen(err->text)) == strlen(err->text));
	for (i = 0; err->text[i] != '\0'; i++)
		require((unsigned char)err->text[i] >= 0x20 &&
			err->text[i] != 0x7F);
	if (status == LW_BAD_INPUT)
		require(err->column >= 1 &&
			err->column <= utf8_count(text, strlen(text)) + 1);
}

static bool
has_word(const struct lw_pattern_readings *readings)
{
	return strcmp(readings->word, "slow") == 0 ||
	       strcmp(readings->word, "fast") == 0 ||
	       strcmp(readings->word, "flicker") == 0;
}

static void
check_readings(const struct lw_pattern_readings *readings)
{
	struct lw_pattern_readings again;
	struct lw_pattern pattern;
	const char *text;
	size_t i, j;

	require(readings->count <= LW_READINGS_MAX);
	require(readings->count > 0 || has_word(readings));
	for (i = 0; i < readings->count; i++) {
		text = readings->items[i].text;
		require(lw_pattern_parse(&pattern, text, NULL) == LW_OK);
		require(strcmp(pattern.text, text) == 0);
		require(pattern.coding == readings->items[i].coding);
		require(lw_pattern_read(&again, text, NULL, NULL) == LW_OK);
		require(strcmp(again.items[0].text, text) == 0);
		require(lw_pattern_same(text, text));
		require(lw_pattern_distance(text, text) == 0);
		for (j = 0; j < i; j++)
			require(strcmp(text, readings->items[j].text) != 0);
	}
}

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	static const char *const lamps[] = {"green", "red", "rear-left"};
	struct lw_lamp_hint hint = {.coding = LW_CODING_UNKNOWN};
	struct lw_pattern_readings readings;
	struct lw_pattern pattern;
	struct lw_err err = {.code = LW_OK};
	enum lw_status status;
	char *text;

	if (size == 0)
		return 0;
	text = malloc(size);
	if (text == NULL)
		return 0;
	memcpy(text, data + 1, size - 1);
	text[size - 1] = '\0';
	hint.coding = (enum lw_coding)(data[0] & 7);
	hint.fast = data[0] & 8 ? "2.5Hz" : NULL;
	hint.lamps = lamps;
	hint.lamp_count = data[0] >> 4 & 3;
	status =
	    lw_pattern_read(&readings, text, data[0] & 64 ? NULL : &hint, &err);
	if (status == LW_OK)
		check_readings(&readings);
	else
		check_error(status, &err, text);
	status = lw_pattern_parse(&pattern, text, &err);
	if (status == LW_OK)
		require(strcmp(pattern.text, text) == 0);
	else
		check_error(status, &err, text);
	lw_pattern_distance(text, "red:3 green:on");
	free(text);
	return 0;
}
