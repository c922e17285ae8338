/* Draws what somebody taps: marks spaced by time, groups with their counts,
 * what it reads so far and how sure that is. Writing it is left to keys.c. */
#include "cli/tap_picture.h"

#include "base/utf8.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define MARK_COLUMNS 2	 /* from one mark to the next at the usual gap */
#define PAUSE_COLUMNS 12 /* at most, so that several groups are in sight */
#define COLUMNS_USUAL 80 /* where the terminal does not say */
#define ROWS_USUAL 24
#define MARKS_SAID 18 /* on a line that cannot be drawn over */
#define LOOKS_ON_S 3  /* longer than most pauses */
#define LIKELY_MIN 0.05
#define SURE 0.9 /* from here on it is said without "perhaps" */

static const char how_to_tap[] = "Press any key with each flash.";
static const char how_to_end[] = "Backspace: take back. Esc: end.";
static const char safe_first[] =
    "First hold the vehicle; stay clear of moving parts.";
static const char too_fast[] = "Over 2.5 flashes a second: film it.";

static const char *
told_text(enum tapping_told told)
{
	switch (told) {
	case TAPPING_TOLD_HELD:
		return "A held key counts once.";
	case TAPPING_TOLD_TOGETHER:
		return "Keys that come together count once.";
	case TAPPING_TOLD_BACK:
		return "The last tap is taken back.";
	case TAPPING_TOLD_NO_BACK:
		return "There is no tap to take back.";
	case TAPPING_TOLD_AGAIN:
		return "It was suspended: begin again.";
	case TAPPING_TOLD_NOTHING:
		break;
	}
	return "";
}

/* Never "100 %": nothing is as sure as that. */
static void
add_percent(struct buf *text, double confidence)
{
	if (confidence > 0.99)
		buf_add(text, "over 99 %");
	else
		buf_printf(text, "%.0f %%", floor(confidence * 100));
}

/* How much longer it would take. */
static void
add_more(struct buf *text, const struct picture_of *of)
{
	const struct tapping *taps = of->taps;

	/* Who looks on without tapping is told nothing new. */
	if (!of->done && of->seen->watch_s > 0 &&
	    of->now_s - taps->seconds[taps->count - 1] < LOOKS_ON_S)
		buf_printf(text, "; %.0f s more", ceil(of->seen->watch_s));
}

/* What it reads so far. */
static void
add_reading(struct buf *text, const struct picture_of *of)
{
	const struct lw_seen *seen = of->seen;
	size_t i, shown = 0;

	if (of->taps->count == 0) {
		buf_add(text, "No tap yet.");
		return;
	}
	if (seen != NULL && seen->text[0] != '\0') {
		buf_printf(text, "%s %s, ",
		    seen->confidence >= SURE ? "Reads" : "Perhaps", seen->text);
		add_percent(text, seen->confidence);
		buf_add(text, " sure");
		add_more(text, of);
		return;
	}
	for (i = 0; seen != NULL && i < seen->also_count && shown < 3; i++) {
		if (seen->also[i].confidence < LIKELY_MIN)
			continue;
		buf_add(text, shown++ == 0 ? "Perhaps " : " or ");
		buf_printf(text, "%s (", seen->also[i].text);
		add_percent(text, seen->also[i].confidence);
		buf_add(text, ")");
	}
	if (shown > 0)
		add_more(text, of);
	else
		buf_add(text, "Not enough yet to read it.");
}

static bool
is_fast(const struct picture_of *of)
{
	/* Two taps may have been one by mistake. */
	return of->taps->count >= 4 && of->shape->gap_s < TAPPING_FAST_S;
}

static int
clamp_columns(int columns)
{
	if (columns <= 0)
		columns = COLUMNS_USUAL;
	return columns - 1 < PICTURE_WIDEST ? columns - 1 : PICTURE_WIDEST;
}

/* Keep a line, cut to so many columns. */
static void
add_line(struct picture *picture, const char *text, int columns)
{
	size_t length = strlen(text), from = 0;
	char *line;
	int n;

	if (picture->count >= PICTURE_LINES)
		return;
	line = picture->lines[picture->count++];
	for (n = 0; n < columns && from < length; n++) {
		size_t bytes = utf8_decode(text + from, length - from, NULL);

		from += bytes > 0 ? bytes : 1;
	}
	if (from >= PICTURE_BYTES)
		from = utf8_whole(text, PICTURE_BYTES - 1);
	memcpy(line, text, from);
	line[from] = '\0';
}

/* Columns from one tap to the next, or for a silence. */
static int
columns_for(double seconds, const struct tapping_shape *shape)
{
	double wide = shape->gap_s > 0 ? MARK_COLUMNS * seconds / shape->gap_s
				       : MARK_COLUMNS;

	if (wide > PAUSE_COLUMNS)
		return PAUSE_COLUMNS;
	return wide < 1 ? 1 : (int)lround(wide);
}

/*
 * Marks spaced by time, the last ones that there is room for, and behind them
 * how long it has been dark. Made from the right end to the left.
 */
static void
add_marks(struct picture *picture, const struct picture_of *of, int columns,
    bool utf8)
{
	const struct tapping *taps = of->taps;
	char cells[PICTURE_WIDEST + 1] = "";
	struct buf text;
	int at, first = columns, i;
	size_t k = taps->count;

	if (k == 0 || columns < 1) {
		add_line(picture, "", columns);
		return;
	}
	memset(cells, ' ', (size_t)columns);
	at = columns - 1 -
	     columns_for(of->now_s - taps->seconds[k - 1], of->shape);
	cells[columns - 1] = of->done ? ' ' : '_';
	while (k > 0 && at >= 0) {
		cells[at] = 'o';
		first = at;
		if (--k > 0)
			at -= columns_for(
			    taps->seconds[k] - taps->seconds[k - 1], of->shape);
	}
	/* All are in sight: they begin at the left. */
	if (k > 0)
		first = 0;
	buf_init(&text, PICTURE_BYTES);
	for (i = first; i < columns; i++) {
		if (cells[i] == 'o' && utf8)
			buf_add(&text, "\xe2\x97\x8f"); /* U+25CF */
		else
			buf_add_char(&text, cells[i]);
	}
	add_line(picture, buf_text(&text), columns);
	buf_clear(&text);
}

/* "Groups: 4, 4, now 2"; the last ones that there is room for. */
static void
add_groups(struct picture *picture, const struct picture_of *of, int columns)
{
	size_t sizes[TAPPING_GROUPS_MAX], count, from = 0, i;
	bool over = of->shape->over || of->done;
	struct buf text;

	count = tapping_groups(sizes, of->taps, of->shape);
	if (count == 0) {
		add_line(picture, "", columns);
		return;
	}
	buf_init(&text, 2000);
	do {
		buf_clear(&text);
		buf_add(&text, from > 0 ? "Groups: ... " : "Groups: ");
		for (i = from; i < count; i++)
			buf_printf(&text, "%s%s%zu", i > from ? ", " : "",
			    i + 1 == count && !over ? "now " : "", sizes[i]);
	} while (text.length > (size_t)columns && ++from < count);
	add_line(picture, buf_text(&text), columns);
	buf_clear(&text);
}

void
picture_make(struct picture *picture, const struct picture_of *of,
    const struct picture_room *room)
{
	int columns = clamp_columns(room->columns);
	int rows = room->rows > 0 ? room->rows - 1 : ROWS_USUAL - 1;
	const char *told = told_text(of->taps->told);
	struct buf text;
	size_t extra;

	picture->count = 0;
	add_line(picture, how_to_tap, columns);
	add_line(picture, how_to_end, columns);
	add_marks(picture, of, columns, room->utf8);
	add_groups(picture, of, columns);
	buf_init(&text, 2000);
	add_reading(&text, of);
	add_line(picture, buf_text(&text), columns);
	buf_clear(&text);
	if (of->enough)
		add_line(picture, "Enough: stop tapping.", columns);
	else if (told[0] != '\0')
		add_line(picture, told, columns);
	else if (of->taps->count == 0 && !of->done)
		add_line(picture, safe_first, columns);
	else if (is_fast(of))
		add_line(picture, too_fast, columns);
	else
		add_line(picture, "", columns);
	/* What to do is known by heart before what is seen. */
	extra =
	    picture->count > (size_t)rows ? picture->count - (size_t)rows : 0;
	picture->count -= extra;
	memmove(picture->lines, picture->lines + extra,
	    picture->count * sizeof picture->lines[0]);
}

bool
picture_same(const struct picture *a, const struct picture *b)
{
	size_t i;

	for (i = 0; i < a->count && i < b->count; i++)
		if (strcmp(a->lines[i], b->lines[i]) != 0)
			return false;
	return a->count == b->count;
}

/* Rows that it takes now, after the terminal may have become narrower. */
static size_t
rows_of(const struct picture *picture, int columns)
{
	size_t rows = 0, i, width;

	if (columns <= 0)
		columns = COLUMNS_USUAL;
	for (i = 0; i < picture->count; i++) {
		width =
		    utf8_count(picture->lines[i], strlen(picture->lines[i]));
		rows += width == 0
			    ? 1
			    : (width + (size_t)columns - 1) / (size_t)columns;
	}
	return rows;
}

void
picture_redraw(struct buf *out, const struct picture *picture,
    const struct picture *before, int columns)
{
	size_t i;

	buf_add(out, "\r");
	if (before != NULL && before->count > 0)
		buf_printf(out, "\033[%zuA", rows_of(before, columns));
	for (i = 0; i < picture->count; i++)
		buf_printf(out, "%s\033[K\r\n", picture->lines[i]);
	buf_add(out, "\033[J");
}

/* Begin a new line, where one was begun. */
static void
close_line(struct buf *out, struct picture_said *said)
{
	if (said->open)
		buf_add(out, "\r\n");
	said->open = false;
	said->marks = 0;
}

static void
say_taps(
    struct buf *out, struct picture_said *said, const struct picture_of *of)
{
	const struct tapping *taps = of->taps;

	if (said->taps > taps->count) {
		close_line(out, said);
		said->taps = taps->count;
	}
	while (said->taps < taps->count) {
		if (said->marks == MARKS_SAID)
			close_line(out, said);
		buf_add(out, said->open ? " o" : "o");
		said->open = true;
		said->marks++;
		said->taps++;
	}
	if (taps->told != said->told && taps->told != TAPPING_TOLD_NOTHING) {
		close_line(out, said);
		buf_printf(out, "%s\r\n", told_text(taps->told));
	}
	said->told = taps->told;
}

static void
say_group(
    struct buf *out, struct picture_said *said, const struct picture_of *of)
{
	size_t sizes[TAPPING_GROUPS_MAX], count;

	if (said->open && (of->shape->over || of->done)) {
		count = tapping_groups(sizes, of->taps, of->shape);
		if (count > 0)
			buf_printf(out, "  %zu", sizes[count - 1]);
		close_line(out, said);
	}
	if (!said->fast && is_fast(of)) {
		close_line(out, said);
		buf_printf(out, "%s\r\n", too_fast);
		said->fast = true;
	}
}

void
picture_say(
    struct buf *out, struct picture_said *said, const struct picture_of *of)
{
	struct buf text;

	if (!said->begun)
		buf_printf(out, "%s\r\n%s\r\n%s\r\n", safe_first, how_to_tap,
		    how_to_end);
	said->begun = true;
	say_taps(out, said, of);
	say_group(out, said, of);
	if (said->open || of->taps->count == 0 || of->seen == NULL)
		return;
	buf_init(&text, 2000);
	add_reading(&text, of);
	if (strcmp(said->read, buf_text(&text)) != 0) {
		snprintf(said->read, sizeof said->read, "%s", buf_text(&text));
		buf_printf(out, "%s\r\n", said->read);
	}
	buf_clear(&text);
}
