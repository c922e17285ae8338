/* Canonical notation: its limits, writing it and parsing it strictly. What
 * people type is left to lamp/typed.c. */
#include "lamp/canonical.h"

#include "base/err.h"
#include "base/utf8.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

bool
canonical_add_flashes(struct code *code, unsigned flashes, bool longer)
{
	unsigned all = flashes;
	size_t i;

	for (i = 0; i < code->count; i++)
		all += code->runs[i].flashes;
	if (flashes < 1 || flashes > FLASHES_MAX || all > FLASHES_MAX)
		return false;
	code->coding = LW_CODING_LONG_SHORT;
	if (code->count > 0 && code->runs[code->count - 1].longer == longer) {
		code->runs[code->count - 1].flashes += flashes;
		return true;
	}
	code->runs[code->count].flashes = flashes;
	code->runs[code->count].longer = longer;
	code->count++;
	return true;
}

bool
canonical_set_rate(struct code *code, double hertz)
{
	double thousandths = hertz * 1000, step = 1;

	if (!(thousandths >= 1) || thousandths > 1e6)
		return false;
	while (thousandths / step >= 100)
		step *= 10;
	thousandths = floor(thousandths / step + 0.5) * step;
	if (thousandths < MILLIHERTZ_MIN || thousandths > MILLIHERTZ_MAX)
		return false;
	code->coding = LW_CODING_RATE;
	code->millihertz = (unsigned)thousandths;
	return true;
}

bool
canonical_set_duty(struct code *code, double percent)
{
	double fives = floor(percent / 5 + 0.5);

	if (!(fives >= 1 && fives <= 19))
		return false;
	code->duty = (unsigned)fives * 5;
	return true;
}

/* A pattern that is being written; no memory is asked for, so that it fails
 * for one reason alone. */
struct writing {
	char text[LW_PATTERN_MAX];
	size_t used;
	bool too_long;
};

static void __attribute__((format(printf, 2, 3)))
put(struct writing *to, const char *format, ...)
{
	size_t room = sizeof to->text - to->used;
	va_list args;
	int wrote;

	va_start(args, format);
	wrote = vsnprintf(to->text + to->used, room, format, args);
	va_end(args);
	if (wrote < 0 || (size_t)wrote >= room)
		to->too_long = true;
	else
		to->used += (size_t)wrote;
}

static void
write_rate(struct writing *to, const struct code *code)
{
	unsigned whole = code->millihertz / 1000;
	unsigned rest = code->millihertz % 1000;
	char places[8];
	int n;

	put(to, "%u", whole);
	if (rest > 0) {
		snprintf(places, sizeof places, "%03u", rest);
		for (n = 3; places[n - 1] == '0'; n--)
			;
		put(to, ".%.*s", n, places);
	}
	put(to, "Hz");
	if (code->duty > 0)
		put(to, "/%u%%", code->duty);
}

static void
write_code(struct writing *to, const struct code *code)
{
	size_t i;

	if (code->coding == LW_CODING_STEADY) {
		put(to, code->lit ? "on" : "off");
		return;
	}
	if (code->coding == LW_CODING_RATE) {
		write_rate(to, code);
		return;
	}
	for (i = 0; i < code->count; i++) {
		if (i > 0 && code->coding == LW_CODING_DIGITS)
			put(to, "-");
		put(to, "%u", code->runs[i].flashes);
		if (code->coding == LW_CODING_LONG_SHORT)
			put(to, code->runs[i].longer ? "L" : "S");
	}
}

bool
canonical_write(struct lw_pattern *pattern, const struct canonical *from)
{
	struct writing to = {.used = 0};
	const struct shown *lamp;
	size_t i, j;

	for (i = 0; i < from->count && !to.too_long; i++) {
		lamp = &from->lamps[i];
		if (i > 0)
			put(&to, " ");
		if (lamp->lamp[0] != '\0')
			put(&to, "%s:", lamp->lamp);
		for (j = 0; j < lamp->count; j++) {
			if (j > 0)
				put(&to, "+");
			write_code(&to, &lamp->codes[j]);
		}
	}
	if (!to.too_long)
		memcpy(pattern->text, to.text, to.used + 1);
	if (from->lamps[0].lamp[0] != '\0')
		pattern->coding = LW_CODING_LAMPS;
	else if (from->lamps[0].count > 1)
		pattern->coding = LW_CODING_IN_TURN;
	else
		pattern->coding = from->lamps[0].codes[0].coding;
	return !to.too_long;
}

/* A whole number below a million; 0 where there is none. */
static unsigned
scan_number(const char **at)
{
	unsigned value = 0;

	for (; **at >= '0' && **at <= '9'; (*at)++)
		if (value < 100000)
			value = value * 10 + (unsigned)(**at - '0');
	return value;
}

static bool
scan_rate(struct code *code, const char **at, unsigned whole)
{
	double hertz = whole, place = 0.1;

	if (**at == '.')
		for ((*at)++; **at >= '0' && **at <= '9'; (*at)++) {
			hertz += place * (**at - '0');
			place /= 10;
		}
	if (strncmp(*at, "Hz", 2) != 0 || !canonical_set_rate(code, hertz))
		return false;
	*at += 2;
	if (**at != '/')
		return true;
	(*at)++;
	if (!canonical_set_duty(code, scan_number(at)) || **at != '%')
		return false;
	(*at)++;
	return true;
}

static bool
scan_runs(struct code *code, const char **at, unsigned flashes)
{
	for (;;) {
		if ((**at != 'L' && **at != 'S') ||
		    !canonical_add_flashes(code, flashes, **at == 'L'))
			return false;
		(*at)++;
		if (**at < '0' || **at > '9')
			return true;
		flashes = scan_number(at);
	}
}

static bool
scan_groups(struct code *code, const char **at, unsigned flashes)
{
	code->coding = LW_CODING_DIGITS;
	for (;;) {
		if (code->count == GROUPS_MAX || flashes < 1 ||
		    flashes > GROUP_MAX)
			return false;
		code->runs[code->count++].flashes = flashes;
		if (**at != '-')
			return true;
		(*at)++;
		flashes = scan_number(at);
	}
}

static bool
scan_code(struct code *code, const char **at)
{
	unsigned number;

	memset(code, 0, sizeof *code);
	if (strncmp(*at, "on", 2) == 0 || strncmp(*at, "off", 3) == 0) {
		code->coding = LW_CODING_STEADY;
		code->lit = (*at)[1] == 'n';
		*at += code->lit ? 2 : 3;
		return true;
	}
	if (**at < '0' || **at > '9')
		return false;
	number = scan_number(at);
	if (**at == '.' || **at == 'H')
		return scan_rate(code, at, number);
	if (**at == 'L' || **at == 'S')
		return scan_runs(code, at, number);
	if (**at == '-')
		return scan_groups(code, at, number);
	code->coding = LW_CODING_COUNT;
	code->runs[0].flashes = number;
	code->count = 1;
	code->plain = true;
	return number >= 1 && number <= COUNT_MAX;
}

static bool
scan_shown(struct shown *shown, const char **at)
{
	enum lw_coding coding;

	for (shown->count = 0; shown->count < CODES_MAX;) {
		if (!scan_code(&shown->codes[shown->count], at))
			return false;
		shown->count++;
		coding = shown->codes[shown->count - 1].coding;
		if ((shown->count > 1 || **at == '+') &&
		    (coding == LW_CODING_RATE || coding == LW_CODING_STEADY))
			return false;
		if (**at != '+')
			return true;
		(*at)++;
	}
	return false;
}

/* "red:" with its colon, where there is one. */
static bool
scan_name(char *name, const char **at)
{
	size_t n = 0;
	const char *s = *at;

	if (*s < 'a' || *s > 'z')
		return false;
	while ((s[n] >= 'a' && s[n] <= 'z') || (s[n] >= '0' && s[n] <= '9') ||
	       s[n] == '-')
		n++;
	if (s[n] != ':' || n > LAMP_NAME_MAX)
		return false;
	memcpy(name, s, n);
	name[n] = '\0';
	*at += n + 1;
	return true;
}

static bool
is_named_before(const struct canonical *pattern, const char *name)
{
	size_t i;

	for (i = 0; i < pattern->count; i++)
		if (strcmp(pattern->lamps[i].lamp, name) == 0)
			return true;
	return false;
}

static bool
scan_pattern(struct canonical *to, const char **at)
{
	struct shown *lamp;

	memset(to, 0, sizeof *to);
	if (strchr(*at, ':') == NULL) {
		to->count = 1;
		return scan_shown(&to->lamps[0], at);
	}
	while (to->count < LAMPS_MAX) {
		lamp = &to->lamps[to->count];
		if (!scan_name(lamp->lamp, at) ||
		    is_named_before(to, lamp->lamp) || !scan_shown(lamp, at))
			return false;
		to->count++;
		if (**at != ' ')
			return true;
		(*at)++;
	}
	return false;
}

bool
canonical_parse(struct canonical *to, const char *text)
{
	struct lw_pattern written;
	const char *at = text;

	/* Leading zeros, runs not joined, digits too many: what is written
	 * back tells. */
	return scan_pattern(to, &at) && *at == '\0' &&
	       canonical_write(&written, to) && strcmp(written.text, text) == 0;
}

/* The first character, from 1, in which two texts differ. */
static unsigned
difference(const char *text, const char *other)
{
	size_t at = 0;

	while (text[at] != '\0' && text[at] == other[at])
		at++;
	return (unsigned)utf8_count(text, utf8_whole(text, at)) + 1;
}

enum lw_status
lw_pattern_parse(
    struct lw_pattern *pattern, const char *text, struct lw_err *err)
{
	struct lw_pattern_readings readings;
	struct canonical parsed;
	enum lw_status status;

	if (canonical_parse(&parsed, text)) {
		canonical_write(pattern, &parsed);
		return LW_OK;
	}
	status = lw_pattern_read(&readings, text, NULL, err);
	if (status == LW_TOO_BIG)
		return err_set_at(err, LW_BAD_INPUT, 0, 1,
		    "a pattern has at most %d characters, such as 7, 3-2 or "
		    "2.5Hz",
		    LW_PATTERN_MAX - 1);
	if (status != LW_OK)
		return status;
	if (readings.count == 0)
		return err_set_at(err, LW_BAD_INPUT, 0, 1,
		    "\"%s\" is not in canonical notation; write the rate, "
		    "such as 2.5Hz",
		    readings.word);
	if (readings.count > 1)
		return err_set_at(err, LW_BAD_INPUT, 0, 1,
		    "this is not in canonical notation, and could be %s or "
		    "%s; write one of them",
		    readings.items[0].text, readings.items[1].text);
	return err_set_at(err, LW_BAD_INPUT, 0,
	    difference(text, readings.items[0].text),
	    "this is not in canonical notation; write %s",
	    readings.items[0].text);
}
