/* The grid of recordings and taps. Codes that the notation calls the same, or
 * that cannot be told apart without knowing the lamp (1-1 and 2, all long and
 * all short), are drawn in the cell `limits` alone. */
#include "lamp/cells.h"

#include "lamp/canonical.h"
#include "lamp/chance.h"

#include <stdlib.h>
#include <string.h>

enum {
	FAMILY_ONE = 1,
	FAMILY_FEW = 2,	 /* 2-4 */
	FAMILY_SOME = 4, /* 5-10 */
	FAMILY_MANY = 8, /* 11-20 */
	FAMILY_TWO_DIGITS = 16,
	FAMILY_THREE_DIGITS = 32,
	FAMILY_LONG_SHORT = 64,
	FAMILY_LETTERS = 128, /* long and short, dark for longer between runs */
	FAMILY_RATE = 256,
	FAMILY_IN_TURN = 512,
	FAMILY_LAMPS = 1024,
	FAMILY_LIMIT = 2048, /* cannot be told: see limits[] */
	COUNTS = 15,
	DIGITS = 48,
	SINGLE = 1023 & ~FAMILY_LETTERS,
	ALL = SINGLE | FAMILY_LAMPS
};

/* --- patterns --------------------------------------------------------------
 */

/* What cannot be told, and what else may be said of it. */
static const struct {
	const char *shown, *read;
} limits[] = {
    {"1-1", "2"},
    {"1-1-1", "3"},
    {"3L", "3"},
    {"3S", "3"},
    {"3+3", "3"},
    {"on", "off"},
    {"off", "on"},
};

enum { LIMITS = sizeof limits / sizeof limits[0] };

static void
draw_digits(char *text, struct chance *chance, unsigned groups)
{
	unsigned digit[3], i, all = 0;

	while (all <= groups) {
		all = 0;
		for (i = 0; i < groups; i++)
			all += digit[i] = chance_whole(chance, 1, 9);
	}
	if (groups == 2)
		sprintf(text, "%u-%u", digit[0], digit[1]);
	else
		sprintf(text, "%u-%u-%u", digit[0], digit[1], digit[2]);
}

static void
draw_long_short(char *text, struct chance *chance)
{
	struct canonical made = {.count = 1};
	struct lw_pattern pattern;
	struct code *code = &made.lamps[0].codes[0];
	unsigned i, all = chance_whole(chance, 2, 8);

	made.lamps[0].count = 1;
	while (code->count < 2) {
		code->count = 0;
		for (i = 0; i < all; i++)
			canonical_add_flashes(
			    code, 1, chance_share(chance) < 0.5);
	}
	canonical_write(&pattern, &made);
	strcpy(text, pattern.text);
}

static void
draw_rate(char *text, struct chance *chance)
{
	struct canonical made = {.count = 1};
	struct lw_pattern pattern;
	struct code *code = &made.lamps[0].codes[0];
	double period, duty;

	made.lamps[0].count = 1;
	do {
		period = chance_ratio(chance, 0.32, 2.5);
		duty = 5 * chance_whole(chance, 9, 15);
	} while (period * fmin(duty, 100 - duty) < 15);
	canonical_set_rate(code, 1 / period);
	canonical_set_duty(code, duty);
	canonical_write(&pattern, &made);
	strcpy(text, pattern.text);
}

static void
draw_turns(char *text, struct chance *chance)
{
	unsigned one = chance_whole(chance, 1, 9), other = one;

	while (other == one)
		other = chance_whole(chance, 1, 9);
	sprintf(text, "%u+%u", one, other);
}

static void
draw_lamps(char *text, struct chance *chance)
{
	char digits[LW_PATTERN_MAX];

	draw_digits(digits, chance, 2);
	if (chance_share(chance) < 0.5)
		sprintf(text, "red:%u green:%u", chance_whole(chance, 2, 9),
		    chance_whole(chance, 2, 9));
	else
		sprintf(text, "red:%s green:%u", digits,
		    chance_whole(chance, 2, 9));
}

/* One of the families of a cell. */
static unsigned
draw_pattern(char *text, struct chance *chance, unsigned families)
{
	unsigned family;

	do
		family = 1u << chance_whole(chance, 0, 11);
	while ((family & families) == 0);
	switch (family) {
	case FAMILY_ONE:
		strcpy(text, "1");
		break;
	case FAMILY_FEW:
		sprintf(text, "%u", chance_whole(chance, 2, 4));
		break;
	case FAMILY_SOME:
		sprintf(text, "%u", chance_whole(chance, 5, 10));
		break;
	case FAMILY_MANY:
		sprintf(text, "%u", chance_whole(chance, 11, 20));
		break;
	case FAMILY_TWO_DIGITS:
	case FAMILY_THREE_DIGITS:
		draw_digits(text, chance, family == FAMILY_TWO_DIGITS ? 2 : 3);
		break;
	case FAMILY_LONG_SHORT:
	case FAMILY_LETTERS:
		draw_long_short(text, chance);
		break;
	case FAMILY_RATE:
		draw_rate(text, chance);
		break;
	case FAMILY_IN_TURN:
		draw_turns(text, chance);
		break;
	case FAMILY_LAMPS:
		draw_lamps(text, chance);
		break;
	case FAMILY_LIMIT:
		strcpy(text, limits[chance_whole(chance, 0, LIMITS - 1)].shown);
		break;
	}
	return family;
}

/* --- timing ----------------------------------------------------------------
 */

/* The pause is 2.4 to 10 times the gap, and stands out of the gap between
 * groups; a single flash is lit for less than 28 % of its period. */
static void
draw_timing(struct making *how, struct chance *chance, unsigned family)
{
	how->on_s = chance_ratio(chance, 0.15, 0.5);
	how->gap_s =
	    chance_ratio(chance, fmax(0.15, how->on_s * 0.6), how->on_s * 1.7);
	how->long_s = how->on_s * chance_ratio(chance, 2.5, 4);
	how->group_gap_s = how->gap_s * chance_ratio(chance, 2, 3.5);
	how->pause_s = how->gap_s * chance_ratio(chance, 2.4, 10);
	if (family == FAMILY_LETTERS)
		how->between_s = how->group_gap_s;
	if ((family & (DIGITS | FAMILY_LAMPS | FAMILY_LETTERS)) != 0)
		how->pause_s =
		    how->group_gap_s * chance_ratio(chance, 1.6, 3.5);
	if (family == FAMILY_ONE && how->pause_s < 2.6 * how->on_s)
		how->pause_s = how->on_s * chance_ratio(chance, 2.6, 8);
	if (family == FAMILY_RATE)
		how->cycles = 12;
}

/* A tap is a flash's onset alone; 0.42 s from one to the next and slower. */
static void
draw_tap_timing(struct making *how, struct chance *chance, unsigned family)
{
	double apart = chance_ratio(chance, 0.42, 1);

	how->on_s = apart / 2;
	how->gap_s = apart / 2;
	how->group_gap_s = how->gap_s * chance_ratio(chance, 2.4, 3.5);
	how->pause_s = how->gap_s * chance_ratio(chance, 2.4, 8);
	if ((family & DIGITS) != 0)
		how->pause_s = how->group_gap_s * chance_ratio(chance, 2, 3);
}

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
		draw_pattern(known->texts[n], &spoiling, COUNTS | DIGITS);
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
	family = draw_pattern(how->pattern, &chance, cell->families);
	if (cell->taps)
		draw_tap_timing(how, &chance, family);
	else
		draw_timing(how, &chance, family);
	cell->spoil(how, known);
	for (i = 0; i < known->lamp.pattern_count; i++)
		known->patterns[i] = known->texts[i];
	known->lamp.patterns = known->patterns;
}

/* --- judging ---------------------------------------------------------------
 */

static bool
same_code(const struct code *read, const struct code *shown)
{
	double hertz = shown->millihertz, apart = read->millihertz;
	size_t i;

	if (read->coding != shown->coding || read->count != shown->count)
		return false;
	if (read->coding == LW_CODING_STEADY)
		return read->lit == shown->lit;
	if (read->coding == LW_CODING_RATE) {
		apart = fabs(apart - hertz) / hertz;
		return apart < 0.1 &&
		       (read->duty == 0 || shown->duty == 0 ||
			   fabs((double)read->duty - shown->duty) < 11);
	}
	for (i = 0; i < read->count; i++)
		if (read->runs[i].flashes != shown->runs[i].flashes ||
		    (read->coding == LW_CODING_LONG_SHORT &&
			read->runs[i].longer != shown->runs[i].longer))
			return false;
	return true;
}

/* From any of the codes on. */
static bool
same_lamp(const struct shown *read, const struct shown *shown)
{
	size_t by, i, count = shown->count;

	if (read->count != count || strcmp(read->lamp, shown->lamp) != 0)
		return false;
	for (by = 0; by < count; by++) {
		for (i = 0; i < count; i++)
			if (!same_code(&read->codes[(i + by) % count],
				&shown->codes[i]))
				break;
		if (i == count)
			return true;
	}
	return false;
}

bool
cell_right(const char *text, const char *shown)
{
	struct canonical *both = calloc(2, sizeof *both);
	bool right = false;
	size_t i;

	if (both == NULL || !canonical_parse(&both[0], text) ||
	    !canonical_parse(&both[1], shown) || both[0].count != both[1].count)
		goto out;
	right = true;
	for (i = 0; right && i < both[0].count; i++)
		right = same_lamp(&both[0].lamps[i], &both[1].lamps[i]);
out:
	free(both);
	return right;
}

/* What cannot be told may be read as either, or be left open. */
static bool
right_in(const struct cell *cell, const char *text, const char *shown)
{
	size_t i;

	if (cell_right(text, shown))
		return true;
	for (i = 0; cell->families == FAMILY_LIMIT && i < LIMITS; i++)
		if (strcmp(limits[i].shown, shown) == 0)
			return strcmp(text, limits[i].read) == 0;
	return false;
}

static void
judge(struct tried *tried, const struct cell *cell, const struct lw_seen *seen)
{
	bool open = tried->status == LW_UNDECIDED;
	size_t i;

	tried->cycles = seen->cycles;
	if (!open) {
		strcpy(tried->text, seen->text);
		tried->confidence = seen->confidence;
	} else if (seen->also_count > 0) {
		strcpy(tried->text, seen->also[0].text);
		tried->confidence = seen->also[0].confidence;
	}
	tried->likeliest = right_in(cell, tried->text, tried->how.pattern);
	if (tried->likeliest)
		tried->right = tried->confidence;
	for (i = 0; i < seen->also_count; i++)
		if (cell_right(seen->also[i].text, tried->how.pattern) &&
		    tried->right == 0)
			tried->right = seen->also[i].confidence;
	tried->verdict = open		    ? VERDICT_UNDECIDED
			 : tried->likeliest ? VERDICT_RIGHT
					    : VERDICT_WRONG;
}

bool
cell_try(struct tried *tried, const struct cell *cell, uint64_t seed,
    double (*clock)(void))
{
	struct lw_arena *arena = lw_arena_new();
	const struct lw_seen *seen = NULL;
	struct cell_known known;
	struct lw_known_lamp lamps[LW_SERIES_LAMPS_MAX] = {{0}};
	struct made made;
	bool done = false;
	size_t i;

	memset(tried, 0, sizeof *tried);
	cell_draw(&tried->how, &known, cell, seed);
	if (arena == NULL || !(cell->taps ? make_taps(&made, &tried->how)
					  : make_recording(&made, &tried->how)))
		goto out;
	for (i = 0; i < LW_SERIES_LAMPS_MAX; i++)
		lamps[i] = known.lamp;
	if (clock != NULL)
		tried->took_s = -clock();
	tried->status = cell->taps ? lw_taps_read(&seen, arena, made.seconds,
					 made.series.count, made.until_s,
					 known.set ? lamps : NULL, NULL)
				   : lw_light_read(&seen, arena, &made.series,
					 known.set ? lamps : NULL, NULL);
	if (clock != NULL)
		tried->took_s += clock();
	tried->samples = made.series.count * made.series.lamp_count;
	done = tried->status == LW_OK || tried->status == LW_UNDECIDED;
	if (done)
		judge(tried, cell, seen);
	made_free(&made);
out:
	lw_arena_free(arena);
	return done;
}
