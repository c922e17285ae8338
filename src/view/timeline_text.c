/* A timeline as lines for a terminal, readable without colour. What is shown
 * is left to timeline_pick.c. */
#include "view/timeline.h"

#include "base/err.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { CELLS = TIMELINE_COLUMNS - 10, LINE_MOST = 2000 };

static const char lit[] = "\u2588";	   /* a full block */
static const char lit_mended[] = "\u2592"; /* a shaded one */
static const char tap[] = "|";
static const char dark[] = "\u00b7"; /* a dot in the middle */
static const char dark_mended[] = "~";
static const char unknown[] = "-";

/* One line: a character in each cell, or NULL. */
struct cells {
	const char *cells[CELLS + 1];
	size_t count;
};

struct text {
	struct view *view;
	json_t *list;
	const struct timeline *timeline;
	double per_s; /* cells */
	bool mended;
	bool open;
	bool steady;
};

static size_t
cell_of(const struct text *text, const struct timeline_row *row, double at_s)
{
	double cell = round((at_s - row->from_s) * text->per_s);

	return (size_t)fmin(fmax(cell, 0), CELLS);
}

static void
put_line(struct text *text, const char *head, const char *line)
{
	char whole[LINE_MOST];
	size_t n;

	n = (size_t)snprintf(whole, sizeof whole, "%10s%s", head, line);
	n = n < sizeof whole ? n : sizeof whole - 1;
	while (n > 0 && whole[n - 1] == ' ')
		whole[--n] = '\0';
	view_add_text(text->view, text->list, whole);
}

static const char *
sign_of(const struct text *text, const struct timeline_mark *mark)
{
	if (mark->on && text->timeline->taps)
		return tap;
	if (mark->on)
		return mark->mended ? lit_mended : lit;
	return mark->mended ? dark_mended : dark;
}

/* Every stretch has a cell at least, as long as there are any. */
static void
fill_cells(struct text *text, struct cells *cells,
    const struct timeline_row *row, const struct timeline_lane *lane)
{
	size_t i, at, end;

	cells->count = 0;
	for (i = 0; i < lane->mark_count; i++) {
		const struct timeline_mark *mark = &lane->marks[i];

		at = cell_of(text, row, mark->from_s);
		if (i == 0)
			while (cells->count < at)
				cells->cells[cells->count++] = " ";
		end = cell_of(text, row, mark->to_s);
		if (end <= cells->count)
			end = cells->count + 1;
		text->mended = text->mended || mark->mended;
		text->steady = text->steady || lane->steady;
		while (cells->count < end && cells->count < CELLS)
			cells->cells[cells->count++] =
			    lane->steady ? unknown : sign_of(text, mark);
	}
	if (row->cut_start && lane->mark_count > 0) {
		at = cell_of(text, row, row->start_s);
		if (at < cells->count)
			cells->cells[at] = "<";
		text->open = true;
	}
	if (row->cut_end && cells->count > 0) {
		cells->cells[cells->count - 1] = ">";
		text->open = true;
	}
}

static void
put_cells(struct text *text, const char *head, const struct cells *cells)
{
	char line[LINE_MOST];
	size_t i, n = 0;

	line[0] = '\0';
	for (i = 0; i < cells->count; i++)
		n += (size_t)snprintf(
		    line + n, sizeof line - n, "%s", cells->cells[i]);
	put_line(text, head, line);
}

/* The groups' counts, each below its group and none over another. */
static void
put_counts(struct text *text, const struct timeline_row *row,
    const struct timeline_lane *lane)
{
	char line[CELLS + 80], count[40];
	size_t i, at, n = 0, length;

	if (lane->group_count == 0)
		return;
	for (i = 0; i < lane->group_count; i++) {
		const struct timeline_group *group = &lane->groups[i];

		length = strlen(timeline_count(count, group));
		at = (cell_of(text, row, group->from_s) +
			 cell_of(text, row, group->to_s)) /
		     2;
		at = at > length / 2 ? at - length / 2 : 0;
		if (n > 0 && at < n + 1)
			at = n + 1;
		if (at + length > CELLS)
			break;
		while (n < at)
			line[n++] = ' ';
		memcpy(line + n, count, length);
		n += length;
	}
	line[n] = '\0';
	put_line(text, "", line);
}

static void
put_row(struct text *text, const struct timeline_row *row)
{
	const struct timeline *timeline = text->timeline;
	char from[40], head[60];
	struct cells cells;
	size_t k;

	timeline_seconds(from, row->start_s - timeline->first_s);
	for (k = 0; k < timeline->from->lamp_count; k++) {
		const char *name = timeline->from->lamps[k].name;

		if (name != NULL) {
			snprintf(head, sizeof head, "%.40s:", name);
			view_add_text(text->view, text->list, head);
		}
		snprintf(head, sizeof head, "%8s  ", k == 0 ? from : "");
		if (row->lanes[k].crowded) {
			put_line(text, head, "too quick to draw");
			continue;
		}
		fill_cells(text, &cells, row, &row->lanes[k]);
		put_cells(text, head, &cells);
		put_counts(text, row, &row->lanes[k]);
	}
}

/* What the characters mean, of those that were used. */
static void
put_key(struct text *text)
{
	char line[LINE_MOST], cell[40];

	if (text->timeline->taps)
		snprintf(line, sizeof line, "%s a tap, %s dark", tap, dark);
	else
		snprintf(line, sizeof line, "%s lit, %s dark", lit, dark);
	view_add_text(text->view, text->list, line);
	snprintf(line, sizeof line, "each character is %s",
	    timeline_seconds(cell, 1 / text->per_s));
	view_add_text(text->view, text->list, line);
	if (text->steady) {
		snprintf(line, sizeof line,
		    "%s it never changed: lit or dark, that cannot be told",
		    unknown);
		view_add_text(text->view, text->list, line);
	}
	if (text->mended) {
		snprintf(line, sizeof line,
		    "%s %s mended: a flash was missed, or seen twice",
		    lit_mended, dark_mended);
		view_add_text(text->view, text->list, line);
	}
	if (text->open)
		view_add_text(text->view, text->list,
		    "< > what comes before or after was not seen");
}

void
view_timeline_text(
    struct view *view, json_t *list, const struct timeline *timeline)
{
	struct text text = {.view = view, .list = list, .timeline = timeline};
	size_t i;

	text.per_s = CELLS / timeline->span_s;
	for (i = 0; i < timeline->row_count; i++)
		put_row(&text, &timeline->rows[i]);
	put_key(&text);
}
