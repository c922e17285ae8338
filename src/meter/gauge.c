/* Wire sizes by the American wire gauge, as they are written. Their
 * cross-sections are left to meter/unit_scale.c. */
#include "meter/gauge.h"

#include "base/err.h"
#include "meter/quantity_inside.h"

#include <stdio.h>
#include <string.h>

enum lw_status
gauge_refuse(const char *text, size_t at, struct lw_err *err)
{
	return err_set_at(err, LW_BAD_INPUT, 0, typed_column(text, at),
	    "wire sizes are whole numbers, from 4/0 AWG to %d AWG; write one, "
	    "or a cross-section in mm2 or kcmil",
	    GAUGE_MOST);
}

/* What stands before a size: "AWG", "#"; gives the place after it. */
static size_t
skip_prefix(const char *text, size_t at, bool *prefixed)
{
	*prefixed = false;
	if (unit_letters_match(text + at, "AWG", 3)) {
		*prefixed = true;
		at = typed_skip_spaces(text, at + 3);
	}
	if (text[at] == '#') {
		*prefixed = true;
		at = typed_skip_spaces(text, at + 1);
	}
	return at;
}

/* "2/0", "00", "2": gives the place after it, or `at`. A number that is none
 * of them is out of reach. */
static size_t
read_size(int *number, bool *aught, const char *text, size_t at)
{
	size_t end = at, zeros = 0;

	*aught = false;
	*number = 0;
	for (; typed_is_digit(text[end]); end++) {
		zeros += text[end] == '0' && zeros == end - at;
		if (*number <= GAUGE_MOST)
			*number = *number * 10 + (text[end] - '0');
	}
	if (end > at && zeros == end - at) {
		*number = 1 - (int)zeros;
	} else if (end > at && text[end] == '/' && text[end + 1] == '0') {
		*aught = true;
		*number = 1 - *number;
		end += 2;
	}
	if (typed_is_digit(text[end]) ||
	    ((text[end] == '.' || text[end] == ',') &&
		typed_is_digit(text[end + 1])))
		return at;
	return end;
}

/* "AWG" or "gauge" after the size; gives the place after it. */
static size_t
skip_suffix(const char *text, size_t at, bool *suffixed, bool *nothing)
{
	size_t begin = typed_skip_spaces(text, at), end, trimmed;
	const struct unit *unit;

	end = typed_is_digit(text[begin]) ? begin
					  : quantity_unit_end(text, begin);
	trimmed = typed_trimmed(text, begin, end);
	unit = unit_find(text + begin, trimmed - begin, false);
	*suffixed = unit != NULL && unit_is_gauge(unit);
	*nothing = trimmed == begin;
	return end;
}

enum lw_status
gauge_read(struct gauge *gauge, const char *text, const struct unit *want,
    struct lw_err *err)
{
	size_t begin = typed_skip_spaces(text, 0), at, end;
	bool prefixed, suffixed, aught, nothing;

	at = skip_prefix(text, begin, &prefixed);
	end = read_size(&gauge->number, &aught, text, at);
	if (end == at)
		return LW_NOT_FOUND;
	gauge->end = skip_suffix(text, end, &suffixed, &nothing);
	if (!suffixed && !nothing)
		return LW_NOT_FOUND;
	if (!prefixed && !suffixed && !aught &&
	    (want == NULL || !unit_is_gauge(want)))
		return LW_NOT_FOUND;
	if (gauge->number < GAUGE_LEAST || gauge->number > GAUGE_MOST)
		return gauge_refuse(text, at, err);
	return LW_OK;
}

void
gauge_write(char *text, int number)
{
	if (number < 1)
		snprintf(text, LW_QUANTITY_MAX, "%d/0 AWG", 1 - number);
	else
		snprintf(text, LW_QUANTITY_MAX, "%d AWG", number);
}
