/* A pattern in words, and the times of its parts. */
#include "view/replay.h"

#include "base/num.h"

#include <stdio.h>

static const char *
number_word(unsigned number, char digits[16])
{
	static const char *const words[] = {"no", "one", "two", "three", "four",
	    "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"};

	if (number < sizeof words / sizeof words[0])
		return words[number];
	snprintf(digits, 16, "%u", number);
	return digits;
}

void
replay_add_number(struct buf *words, double value)
{
	char text[32];

	num_format(text, sizeof text, num_round(value, 3));
	buf_add(words, text);
}

static void
add_flashes(struct buf *words, unsigned count, const char *kind)
{
	char digits[16];

	buf_printf(words, "%s %s%s", number_word(count, digits), kind,
	    count == 1 ? "flash" : "flashes");
}

static void
add_rate(struct buf *words, const struct code *code)
{
	double hertz = code->millihertz / 1000.0;

	if (hertz < 1) {
		buf_add(words, "a flash every ");
		replay_add_number(words, 1 / hertz);
		buf_add(words, " s");
	} else {
		replay_add_number(words, hertz);
		buf_printf(words, " flash%s a second",
		    code->millihertz == 1000 ? "" : "es");
	}
	if (code->duty > 0)
		buf_printf(words, ", lit %u %% of the time", code->duty);
}

static void
add_code(struct buf *words, const struct code *code)
{
	size_t i;

	switch (code->coding) {
	case LW_CODING_STEADY:
		buf_printf(words, "%s all the time", code->lit ? "on" : "off");
		return;
	case LW_CODING_RATE:
		add_rate(words, code);
		return;
	case LW_CODING_LONG_SHORT:
		for (i = 0; i < code->count; i++) {
			buf_add(words, i > 0 ? ", " : "");
			add_flashes(words, code->runs[i].flashes,
			    code->runs[i].longer ? "long " : "short ");
		}
		break;
	default:
		for (i = 0; i < code->count; i++) {
			buf_add(words, i > 0 ? ", a short gap, " : "");
			add_flashes(words, code->runs[i].flashes, "");
		}
	}
	buf_add(words, ", a pause");
}

void
replay_add_words(struct buf *words, const struct shown *shown)
{
	size_t i;

	for (i = 0; i < shown->count; i++) {
		buf_add(words, i > 0 ? "; then " : "");
		add_code(words, &shown->codes[i]);
	}
}

void
replay_add_times(struct buf *words, const struct replay_lamp *lamp)
{
	static const char *const names[] = {
	    [REPLAY_FLASH] = "flash",
	    [REPLAY_LONG] = "long flash",
	    [REPLAY_LIT] = "on",
	    [REPLAY_DARK] = "off",
	    [REPLAY_GAP] = "gap",
	    [REPLAY_GROUP_GAP] = "gap between groups",
	    [REPLAY_PAUSE] = "pause",
	};
	const struct replay_track *track = &lamp->track;
	size_t kind, i;
	bool some = false;

	if (track->steady)
		return;
	for (kind = 0; kind < sizeof names / sizeof names[0]; kind++) {
		for (i = 0; i < track->count; i++)
			if (track->stretches[i].kind == (enum replay_kind)kind)
				break;
		if (i == track->count)
			continue;
		buf_printf(words, "%s%s ", some ? ", " : "", names[kind]);
		replay_add_number(words, track->stretches[i].seconds);
		buf_add(words, " s");
		some = true;
	}
}
