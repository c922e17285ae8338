/* How far a meter may be off: what its maker states, read and written, and
 * what that makes of a reading. What follows from it is left to verdict. */
#include "meter/accuracy.h"

#include "base/err.h"
#include "base/num.h"
#include "base/utf8.h"
#include "meter/unit.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

enum { LONGEST = 100, NUMBER_MAX = 20 };

static const double PERCENT_MOST = 100, COUNTS_MOST = 1000;

struct scan {
	const char *text;
	size_t at;
};

/* Whatever may stand there and means nothing. */
static const char *const noise[] = {
    " ", "\t", "\xC2\xA0", "\xE2\x80\xAF", "\xE2\x80\x89"};
static const char *const signs[] = {"\xC2\xB1", "+/-", "+-", "-+"};
static const char *const of_reading[] = {
    "of the reading", "of reading", "of rdg", "reading", "rdg"};
/* Longer ones before what they begin with. */
static const char *const count_words[] = {"counts", "count", "digits", "digit",
    "dgts", "dgt", "cts", "ct", "lsds", "lsd", "d"};

/* Go past the first of the words that stands there. */
static bool
pass_any(struct scan *scan, const char *const *words, size_t count)
{
	size_t i, length;

	for (i = 0; i < count; i++) {
		length = strlen(words[i]);
		if (unit_letters_match(
			scan->text + scan->at, words[i], length)) {
			scan->at += length;
			return true;
		}
	}
	return false;
}

static void
pass_spaces(struct scan *scan)
{
	while (pass_any(scan, noise, sizeof noise / sizeof noise[0]))
		continue;
}

static bool
pass(struct scan *scan, const char *word)
{
	bool passed = pass_any(scan, &word, 1);

	if (passed)
		pass_spaces(scan);
	return passed;
}

static bool
pass_words(struct scan *scan, const char *const *words, size_t count)
{
	bool passed = pass_any(scan, words, count);

	pass_spaces(scan);
	return passed;
}

/* Digits with a point or a comma. */
static bool
read_number(struct scan *scan, double *number)
{
	char digits[NUMBER_MAX];
	size_t used = 0;
	char c;

	for (; used < sizeof digits; scan->at++) {
		c = scan->text[scan->at];
		if (c == ',')
			c = '.';
		if (c != '.' && (c < '0' || c > '9'))
			break;
		digits[used++] = c;
	}
	if (used == sizeof digits || !num_parse(number, digits, used))
		return false;
	pass_spaces(scan);
	return true;
}

static enum lw_status
complain(const struct scan *scan, struct lw_err *err)
{
	return err_set_at(err, LW_BAD_INPUT, 0,
	    (unsigned)utf8_count(scan->text, scan->at) + 1,
	    "an accuracy is written as percent of the reading and counts of "
	    "the last digit, like \"0.5 %% + 2\"");
}

static enum lw_status
complain_limit(const struct scan *scan, size_t at, const char *what,
    double most, struct lw_err *err)
{
	return err_set_at(err, LW_BAD_INPUT, 0,
	    (unsigned)utf8_count(scan->text, at) + 1,
	    "%s of an accuracy are from 0 to %d", what, (int)most);
}

/* "0.5 % of reading", "2 counts", "2"; one of each at most. */
static enum lw_status
read_part(struct scan *scan, struct accuracy *accuracy, bool *has_percent,
    struct lw_err *err)
{
	size_t at = scan->at;
	double number;

	if (!read_number(scan, &number))
		return complain(scan, err);
	if (pass(scan, "%")) {
		if (*has_percent) {
			scan->at = at;
			return complain(scan, err);
		}
		pass_words(
		    scan, of_reading, sizeof of_reading / sizeof of_reading[0]);
		if (number > PERCENT_MOST)
			return complain_limit(
			    scan, at, "percent", PERCENT_MOST, err);
		*has_percent = true;
		accuracy->percent = number;
		return LW_OK;
	}
	if (!pass_words(scan, count_words,
		sizeof count_words / sizeof count_words[0]) &&
	    !*has_percent)
		return complain(scan, err);
	if (number > COUNTS_MOST)
		return complain_limit(scan, at, "counts", COUNTS_MOST, err);
	accuracy->counts = number;
	return LW_OK;
}

static enum lw_status
read_parts(struct scan *scan, struct accuracy *accuracy, struct lw_err *err)
{
	enum lw_status status;
	bool has_percent = false, bracket;

	pass_spaces(scan);
	pass_words(scan, signs, sizeof signs / sizeof signs[0]);
	bracket = pass(scan, "(");
	status = read_part(scan, accuracy, &has_percent, err);
	if (status == LW_OK && has_percent && pass(scan, "+"))
		status = read_part(scan, accuracy, &has_percent, err);
	if (status != LW_OK)
		return status;
	if (bracket && !pass(scan, ")"))
		return complain(scan, err);
	return scan->text[scan->at] == '\0' ? LW_OK : complain(scan, err);
}

enum lw_status
accuracy_parse(struct accuracy *accuracy, const char *text, struct lw_err *err)
{
	struct scan scan = {.text = text};
	struct accuracy read = {0, 0};
	enum lw_status status;

	if (strlen(text) > LONGEST)
		return complain(&scan, err);
	status = read_parts(&scan, &read, err);
	if (status == LW_OK)
		*accuracy = read;
	return status;
}

void
accuracy_format(char *text, const struct accuracy *accuracy)
{
	char percent[32], counts[32];

	num_format(percent, sizeof percent, num_round(accuracy->percent, 6));
	num_format(counts, sizeof counts, num_round(accuracy->counts, 6));
	if (accuracy->counts > 0)
		snprintf(text, ACCURACY_MAX, "%.20s %% + %.20s %s", percent,
		    counts, strcmp(counts, "1") == 0 ? "count" : "counts");
	else
		snprintf(text, ACCURACY_MAX, "%.20s %%", percent);
}

double
accuracy_limit(const struct accuracy *accuracy, double reading, double step)
{
	if (!isfinite(reading))
		return 0;
	return accuracy->percent / 100 * fabs(reading) +
	       accuracy->counts * step;
}

double
accuracy_standard(const struct accuracy *accuracy, double reading, double step)
{
	return accuracy_limit(accuracy, reading, step) / sqrt(3);
}

double
accuracy_expanded(const struct accuracy *accuracy, double reading, double step)
{
	return 2 * accuracy_standard(accuracy, reading, step);
}
