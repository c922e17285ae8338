/*
 * What was seen of lamps as a timeline: which part of a recording is shown and
 * in which rows, as a drawing for templates (web/part/timeline.html) and as
 * lines of text. A row is one cycle, so that cycles stand below one another.
 */
#ifndef VIEW_TIMELINE_H
#define VIEW_TIMELINE_H

#include "base/buf.h"
#include "view/parts.h"

#include <lampwright/light.h>

enum {
	TIMELINE_ROWS = 4,	   /* at most */
	TIMELINE_LANES = 6,	   /* of several lamps, at most, or one row */
	TIMELINE_MARKS_MOST = 400, /* of one lamp in one row */
	TIMELINE_COLUMNS = 72	   /* of a line of text */
};

struct timeline_lamp {
	const char *name;   /* how it is called; NULL where there is one */
	const char *colour; /* or NULL */
	const struct lw_sight *sight;
	const double *levels; /* NULL: taps */
};

struct timeline_source {
	const struct timeline_lamp *lamps;
	size_t lamp_count;
	const double *seconds; /* of the levels, or of the taps */
	size_t count;
};

/* A stretch within its row. A tap is lit and takes no time. */
struct timeline_mark {
	double from_s;
	double to_s;
	bool on;
	bool open_start; /* it began before the recording */
	bool open_end;	 /* it goes on after it */
	bool mended;
	enum lw_stretch_kind kind;
	size_t number; /* of a flash in its group, from 1; 0: none */
};

/* Flashes that are counted together. */
struct timeline_group {
	double from_s;
	double to_s;
	size_t count;
	bool is_long; /* of a long-short code: long flashes, and short ones */
	bool is_short;
	bool open; /* there may be more of it than was recorded */
};

/* One lamp in one row. */
struct timeline_lane {
	struct timeline_mark *marks;
	size_t mark_count;
	struct timeline_group *groups;
	size_t group_count;
	bool crowded; /* more marks than can be drawn; none is there */
	bool mended;  /* any of them is */
	bool steady;  /* it never changed: lit or dark, that is not known */
};

struct timeline_row {
	double from_s;	/* where it is drawn from */
	double start_s; /* what of it is in the recording */
	double end_s;
	bool cut_start;		     /* the cycle began before the recording */
	bool cut_end;		     /* it goes on after it, or after the row */
	struct timeline_lane *lanes; /* one for each lamp */
};

struct timeline {
	const struct timeline_source *from;
	struct timeline_row rows[TIMELINE_ROWS];
	size_t row_count;
	double span_s; /* of a row */
	bool by_cycle; /* else by time */
	bool taps;
	size_t cycles; /* whole ones in the recording, and in the rows */
	size_t shown_cycles;
	double first_s; /* the recording */
	double last_s;
};

/* Choose what is shown; all lives in the arena. LW_NOT_FOUND: there is
 * nothing. LW_NO_MEMORY. */
enum lw_status timeline_pick(struct timeline *timeline, struct lw_arena *arena,
    const struct timeline_source *from, struct lw_err *err);

/* The words for what of the recording is shown. NULL: no memory. */
const char *timeline_shown(
    const struct timeline *timeline, struct lw_arena *arena);
/* "0.25 s"; `text` has room for 40 bytes. */
char *timeline_seconds(char *text, double seconds);
/* "7", "2L", "3 or more"; `text` has room for 40 bytes. */
char *timeline_count(char *text, const struct timeline_group *group);

/* The path of a lamp's level within a row: as many points as the picture has
 * columns, at most (two a column: its lowest and its highest). The picture's
 * coordinates run from x at from_s, px_per_s on, and from `bottom` at `low` to
 * `top` at `high`. */
struct timeline_trace {
	const double *seconds;
	const double *levels;
	size_t count;
	double from_s;
	double to_s;
	double x;
	double px_per_s;
	double low;
	double high;
	double top;
	double bottom;
};

void timeline_trace(struct buf *path, const struct timeline_trace *trace);
/* The lowest and highest level of a part; false: there is none in it. */
bool timeline_range(double *low, double *high, const double *seconds,
    const double *levels, size_t count, double from_s, double to_s);

/* The drawing at `timeline` and the lines at `text_timeline`. */
void view_timeline(
    struct view *view, json_t *object, const struct timeline_source *from);
void view_timeline_text(
    struct view *view, json_t *list, const struct timeline *timeline);

#endif
