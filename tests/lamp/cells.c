/* The grid of recordings and taps: what spoils them in each cell. */
#include "lamp/cells.h"

#include "lamp/drawing.h"

#include <string.h>

/* --- what spoils them ------------------------------------------------------
 * The first number of each `seed` chooses the recording; these take theirs
 * from a second row, so that they may be changed without changing those. */

static struct chance spoiling;

static void
clean(struct making *how, struct cell_known *known)
{
	(void)known;
	(void)how;
}

static void
noise(struct making *how, struct cell_known *known)
{
	(void)known;
	how->noise = 0.16;
}

static void
jitter(struct making *how, struct cell_known *known)
{
	(void)known;
	how->jitter = 0.06;
}

static void
lost(struct making *how, struct cell_known *known)
{
	(void)known;
	how->lost = 0.12;
}

static void
few_frames(struct making *how, struct cell_known *known)
{
	(void)known;
	how->frame_hz = 24;
}

static void
mid_group(struct making *how, struct cell_known *known)
{
	(void)known;
	how->start = START_MID_GROUP;
}

static void
mid_flash(struct making *how, struct cell_known *known)
{
	(void)known;
	how->start = START_MID_FLASH;
}

static void
all(struct making *how, struct cell_known *known)
{
	noise(how, known);
	jitter(how, known);
	lost(how, known);
	few_frames(how, known);
	mid_group(how, known);
}

/* A film as it usually is. */
static void
usual(struct making *how, struct cell_known *known)
{
	(void)known;
	how->frame_hz = 30;
	how->noise = 0.06;
	how->jitter = 0.02;
	how->lost = 0.02;
	how->start = START_ANYWHERE;
}

static void
drift(struct making *how, struct cell_known *known)
{
	usual(how, known);
	how->drift = chance_between(&spoiling, 0.2, 1.2);
	how->drift_s = chance_between(&spoiling, 10, 30);
}

static void
reacts(struct making *how, struct cell_known *known)
{
	usual(how, known);
	how->reacts = chance_between(&spoiling, 0.2, 0.8);
	how->reacts_s = chance_between(&spoiling, 0.3, 1.5);
	how->dark = chance_between(&spoiling, 0.5, 2) * how->swing;
}

static void
ripple(struct making *how, struct cell_known *known)
{
	usual(how, known);
	how->frame_hz = chance_ratio(&spoiling, 60, 1000);
	how->ripple = chance_between(&spoiling, 0.3, 1);
	how->ripple_hz = chance_share(&spoiling) < 0.5 ? 100 : 120;
	how->exposure = chance_between(&spoiling, 0.1, 0.9);
}

static void
pwm(struct making *how, struct cell_known *known)
{
	usual(how, known);
	how->frame_hz = chance_ratio(&spoiling, 240, 1000);
	how->pwm_hz = chance_ratio(&spoiling, 60, 500);
	how->pwm_duty = chance_between(&spoiling, 0.2, 0.8);
	how->exposure = chance_between(&spoiling, 0.1, 0.9);
}

static void
uneven(struct making *how, struct cell_known *known)
{
	usual(how, known);
	how->uneven = 0.3;
}

static void
fast_frames(struct making *how, struct cell_known *known)
{
	usual(how, known);
	how->frame_hz = 240;
	how->noise = 0.16;
}

static void
missed(struct making *how, struct cell_known *known)
{
	usual(how, known);
	how->flaw = FLAW_MISSED;
}

static void
doubled(struct making *how, struct cell_known *known)
{
	usual(how, known);
	how->flaw = FLAW_DOUBLED;
}

static void
two_cycles(struct making *how, struct cell_known *known)
{
	usual(how, known);
	how->cycles = how->cycles == 12 ? 8 : 2;
}

static void
one_cycle(struct making *how, struct cell_known *known)
{
	usual(how, known);
	how->cycles = how->cycles == 12 ? 4 : 1;
}

static void
quick(struct making *how, struct cell_known *known)
{
	double shorter = 0.15 / how->on_s, lower = 0.15 / how->gap_s;

	all(how, known);
	how->on_s = how->gap_s = 0.15;
	how->long_s *= shorter;
	how->group_gap_s *= lower;
	how->pause_s *= lower;
	how->between_s *= lower;
}

/* Known: the lamp's usual times within a tenth, and a list. */
static void
know(struct making *how, struct cell_known *known, bool listed)
{
	struct lw_pattern pattern;
	size_t n = 0;

	all(how, known);
	known->set = true;
	if (listed)
		strcpy(known->texts[n++], how->pattern);
	while (n < CELL_PATTERNS_MAX) {
		drawing_pattern(known->texts[n], &spoiling, COUNTS | DIGITS);
		if (strcmp(known->texts[n], how->pattern) != 0)
			n++;
	}
	if (lw_pattern_parse(&pattern, how->pattern, NULL) == LW_OK)
		known->lamp.coding = pattern.coding;
	known->lamp.on_s = how->on_s * chance_between(&spoiling, 0.9, 1.1);
	known->lamp.gap_s = how->gap_s * chance_between(&spoiling, 0.9, 1.1);
	known->lamp.pause_s =
	    how->pause_s * chance_between(&spoiling, 0.9, 1.1);
	if (known->lamp.coding == LW_CODING_DIGITS)
		known->lamp.group_gap_s =
		    how->group_gap_s * chance_between(&spoiling, 0.9, 1.1);
	known->lamp.pattern_count = n;
}

static void
listed(struct making *how, struct cell_known *known)
{
	know(how, known, true);
}

static void
unlisted(struct making *how, struct cell_known *known)
{
	know(how, known, false);
}

/* Anything at all, well past what is aimed at. */
static void
anything(struct making *how, struct cell_known *known)
{
	double kind = chance_share(&spoiling);

	(void)known;
	how->frame_hz = chance_ratio(&spoiling, 20, 240);
	how->exposure = chance_between(&spoiling, 0.1, 1);
	how->noise = chance_between(&spoiling, 0, 0.3);
	how->jitter = chance_between(&spoiling, 0, 0.12);
	how->lost = chance_between(&spoiling, 0, 0.25);
	how->uneven = chance_between(&spoiling, 0, 0.3);
	how->start = START_ANYWHERE;
	if (how->cycles != 12)
		how->cycles = chance_whole(&spoiling, 1, 5);
	if (kind < 0.3)
		how->flaw = kind < 0.15 ? FLAW_MISSED : FLAW_DOUBLED;
	if (chance_share(&spoiling) < 0.3) {
		how->drift = chance_between(&spoiling, 0, 1);
		how->drift_s = chance_between(&spoiling, 8, 30);
	}
	if (chance_share(&spoiling) < 0.2) {
		how->reacts = chance_between(&spoiling, 0, 0.8);
		how->reacts_s = chance_between(&spoiling, 0.3, 1.5);
	}
}

static void
taps(struct making *how, struct cell_known *known)
{
	(void)known;
	how->spread_s = 0.03;
	how->jitter = 0;
	how->start = START_ANYWHERE;
}

static void
taps_missed(struct making *how, struct cell_known *known)
{
	taps(how, known);
	how->flaw = FLAW_MISSED;
}

static void
taps_doubled(struct making *how, struct cell_known *known)
{
	taps(how, known);
	how->flaw = FLAW_DOUBLED;
}

static void
taps_two(struct making *how, struct cell_known *known)
{
	taps(how, known);
	how->cycles = 2;
}

static void
taps_quick(struct making *how, struct cell_known *known)
{
	double factor = 0.3 / (how->on_s + how->gap_s);

	taps(how, known);
	how->on_s *= factor;
	how->gap_s *= factor;
	how->group_gap_s *= factor;
	how->pause_s *= factor;
}

const struct cell cells[] = {
    {"clean", "60 frames a second", 0.995, false, ALL, clean},
    {"noise", "noise 0.16 of the swing", 0.995, false, ALL, noise},
    {"jitter", "durations by 6 %", 0.995, false, ALL, jitter},
    {"lost", "12 % of the frames lost", 0.995, false, ALL, lost},
    {"frames", "24 frames a second", 0.995, false, ALL, few_frames},
    {"start", "begins mid-group", 0.995, false, ALL, mid_group},
    {"flash", "begins mid-flash", 0.995, false, ALL, mid_flash},
    {"all", "all of these at once", 0.98, false, ALL, all},
    {"quick", "all, on and gap 0.15 s", 0.98, false, ALL, quick},
    {"one", "all: 1", 0.98, false, FAMILY_ONE, all},
    {"few", "all: 2-4", 0.98, false, FAMILY_FEW, all},
    {"some", "all: 5-10", 0.98, false, FAMILY_SOME, all},
    {"many", "all: 11-20", 0.98, false, FAMILY_MANY, all},
    {"digits2", "all: two digits", 0.98, false, FAMILY_TWO_DIGITS, all},
    {"digits3", "all: three digits", 0.98, false, FAMILY_THREE_DIGITS, all},
    {"long", "all: long and short", 0.98, false, FAMILY_LONG_SHORT, all},
    {"letters", "all: long-short, spaced runs", 0, false, FAMILY_LETTERS, all},
    {"rate", "all: rates", 0.98, false, FAMILY_RATE, all},
    {"turn", "all: two in turn", 0.98, false, FAMILY_IN_TURN, all},
    {"lamps", "all: two lamps", 0.98, false, FAMILY_LAMPS, all},
    {"listed", "all, known lamp", 0.98, false, COUNTS | DIGITS, listed},
    {"unlisted", "all, not on its list", 0.98, false, COUNTS | DIGITS,
	unlisted},
    {"drift", "drift up to 1.2 of the swing", 0, false, ALL, drift},
    {"reacts", "exposure reacts to the lamp", 0, false, ALL, reacts},
    {"ripple", "mains ripple, 60-1000 a second", 0, false, ALL, ripple},
    {"pwm", "PWM, 240-1000 a second", 0, false, ALL, pwm},
    {"uneven", "frame times by 30 %", 0, false, ALL, uneven},
    {"fast", "240 frames, noise 0.16", 0, false, ALL, fast_frames},
    {"missed", "a flash missed in one cycle", 0, false, ALL, missed},
    {"doubled", "a flash in two in one cycle", 0, false, ALL, doubled},
    {"two", "two cycles", 0, false, ALL, two_cycles},
    {"single", "one cycle", 0, false, ALL, one_cycle},
    {"anything", "anything, 1-5 cycles", 0, false, ALL, anything},
    {"taps", "taps by 30 ms, counts", 0.99, true, COUNTS, taps},
    {"taps-digits", "taps by 30 ms, digits", 0.99, true, DIGITS, taps},
    {"taps-missed", "taps, one missed", 0, true, COUNTS | DIGITS, taps_missed},
    {"taps-doubled", "taps, one doubled", 0, true, COUNTS | DIGITS,
	taps_doubled},
    {"taps-two", "taps, two cycles", 0, true, COUNTS | DIGITS, taps_two},
    {"taps-quick", "taps, 0.3 s apart", 0, true, COUNTS | DIGITS, taps_quick},
    {"limits", "cannot be told", 0, false, FAMILY_LIMIT, usual},
};

const size_t cell_count = sizeof cells / sizeof cells[0];

const struct cell *
cell_named(const char *name)
{
	size_t i;

	for (i = 0; i < cell_count; i++)
		if (strcmp(cells[i].name, name) == 0)
			return &cells[i];
	return NULL;
}

void
cell_draw(struct making *how, struct cell_known *known, const struct cell *cell,
    uint64_t seed)
{
	struct chance chance;
	unsigned family;
	size_t i;

	memset(how, 0, sizeof *how);
	memset(known, 0, sizeof *known);
	chance_seed(&chance, seed);
	chance_seed(&spoiling, ~seed);
	how->seed = seed;
	how->cycles = 3;
	how->tail = chance_share(&chance);
	how->frame_hz = 60;
	how->exposure = 0.5;
	how->dark = chance_ratio(&chance, 1, 100);
	how->swing = chance_ratio(&chance, 1, 100);
	family = drawing_pattern(how->pattern, &chance, cell->families);
	if (cell->taps)
		drawing_tap_timing(how, &chance, family);
	else
		drawing_timing(how, &chance, family);
	cell->spoil(how, known);
	for (i = 0; i < known->lamp.pattern_count; i++)
		known->patterns[i] = known->texts[i];
	known->lamp.patterns = known->patterns;
}
