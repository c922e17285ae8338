/* Input: a byte that says taps or levels and where to cut, then a recording.
 * Cut anywhere it is the same; a series rises and is finite; an error is a
 * sentence that can be shown. */
#include "base/utf8.h"

#include <lampwright/light.h>

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
check_sentence(const char *text)
{
	size_t i;

	require(text[0] != '\0');
	require(utf8_valid(text, strlen(text)) == strlen(text));
	for (i = 0; text[i] != '\0'; i++)
		require((unsigned char)text[i] >= 0x20 && text[i] != 0x7F);
}

static void
check_series(const struct lw_series *series, bool taps)
{
	size_t i, j;

	require(series->count >= (taps ? 1 : 2));
	require(series->count <= (taps ? LW_TAPS_MAX : LW_SERIES_MAX));
	require(series->lamp_count <= LW_SERIES_LAMPS_MAX);
	require((series->lamp_count == 0) == taps);
	for (i = 0; i < series->count; i++) {
		require(isfinite(series->seconds[i]));
		require(i == 0 || series->seconds[i] > series->seconds[i - 1]);
	}
	for (i = 0; i < series->count * series->lamp_count; i++)
		require(isfinite(series->levels[i]));
	require(series->lamp_count < 2 || series->lamps != NULL);
	for (i = 0; series->lamps != NULL && i < series->lamp_count; i++) {
		require(
		    series->lamps[i][0] >= 'a' && series->lamps[i][0] <= 'z');
		for (j = 0; j < i; j++)
			require(
			    strcmp(series->lamps[i], series->lamps[j]) != 0);
	}
	for (i = 0; i < series->remark_count; i++)
		check_sentence(series->remarks[i]);
}

/* Read it in pieces of `piece` bytes. */
static struct lw_recording *
read_in(const struct lw_series **series, struct lw_err *err, bool taps,
    const char *text, size_t size, size_t piece)
{
	struct lw_recording *recording;
	enum lw_status status = LW_OK;
	size_t at, n;

	memset(err, 0, sizeof *err);
	require(lw_recording_open(&recording, taps, err) == LW_OK);
	for (at = 0; at < size && status == LW_OK; at += n) {
		n = piece < size - at ? piece : size - at;
		status = lw_recording_feed(recording, text + at, n, err);
	}
	if (status == LW_OK)
		status = lw_recording_end(series, recording, err);
	require(status == LW_OK || status == LW_BAD_INPUT);
	require(status == err->code);
	return recording;
}

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	struct lw_recording *whole, *cut;
	const struct lw_series *all, *same;
	struct lw_err err, again;
	const char *text;
	bool taps;

	if (size == 0)
		return 0;
	taps = data[0] & 1;
	text = (const char *)data + 1;
	whole = read_in(&all, &err, taps, text, size - 1, size);
	cut = read_in(&same, &again, taps, text, size - 1, 1 + data[0] / 2);
	require(memcmp(&err, &again, sizeof err) == 0);
	if (err.code == LW_OK) {
		check_series(all, taps);
		require(all->count == same->count);
		require(memcmp(all->seconds, same->seconds,
			    all->count * sizeof *all->seconds) == 0);
	} else {
		check_sentence(err.text);
	}
	lw_recording_close(whole);
	lw_recording_close(cut);
	return 0;
}
