/*
 * Reading the lamp itself: a recording of its brightness, or the times at
 * which somebody tapped along, to the pattern that it shows.
 *
 *   recording (CSV, in pieces) -> series -> what was seen
 *
 * Confidence is a probability, 0 to 1. Times are seconds, from any start.
 */
#ifndef LAMPWRIGHT_LIGHT_H
#define LAMPWRIGHT_LIGHT_H

#include <stdbool.h>
#include <stddef.h>

#include <lampwright/arena.h>
#include <lampwright/pattern.h>
#include <lampwright/status.h>

#ifdef __cplusplus
extern "C" {
#endif

#define LW_SERIES_MAX (1u << 20) /* rows that are kept */
#define LW_SERIES_LAMPS_MAX 8	 /* columns of levels */
#define LW_TAPS_MAX 1000
#define LW_ALSO_MAX 8

/* Brightness of one or more lamps against time; or taps, without levels. */
struct lw_series {
	size_t count;
	const double *seconds; /* rising, none twice */
	size_t lamp_count;     /* 0: taps */
	const double *levels;  /* lamp l, row r: levels[l * count + r]; any
				* linear unit, more is brighter; finite */
	const char *const *lamps; /* names by the header; NULL: none is named */
	const char *const *remarks; /* sentences on how it was read */
	size_t remark_count;
};

/*
 * A recording that is being read: CSV of `seconds,level`, or of `seconds` and
 * a column for each lamp with a header that names them; taps are one time a
 * line. `#` begins a comment. Memory is bounded however long it is: past
 * LW_SERIES_MAX rows it is read on for mistakes and no row is kept.
 */
struct lw_recording;

/* `taps`: one time a line. LW_NO_MEMORY. Closed by lw_recording_close. */
enum lw_status lw_recording_open(
    struct lw_recording **recording, bool taps, struct lw_err *err);

/* The next bytes, cut anywhere. LW_BAD_INPUT: a line cannot be read;
 * err->line is its number from 1, err->text says what would do. After an
 * error only close does anything. LW_NO_MEMORY. */
enum lw_status lw_recording_feed(struct lw_recording *recording,
    const char *bytes, size_t length, struct lw_err *err);

/* No more bytes: the series, which lives until the recording is closed.
 * LW_BAD_INPUT: there is no row, or too few. */
enum lw_status lw_recording_end(const struct lw_series **series,
    struct lw_recording *recording, struct lw_err *err);

void lw_recording_close(struct lw_recording *recording); /* accepts NULL */

/* What is known of a lamp; any member may be 0. It sharpens what is seen and
 * never hides it. */
struct lw_known_lamp {
	enum lw_coding coding;
	double on_s; /* usual times, as in struct lw_lamp */
	double gap_s;
	double group_gap_s;
	double pause_s;
	const char *const *patterns; /* canonical; those on its list */
	size_t pattern_count;
};

enum lw_stretch_kind {
	LW_STRETCH_OTHER = 0,  /* fits nowhere */
	LW_STRETCH_FLASH,      /* lit: a flash; a short one of a long-short code */
	LW_STRETCH_LONG,       /* lit: a long flash */
	LW_STRETCH_LIT,	       /* lit all the time */
	LW_STRETCH_GAP,	       /* dark between flashes of a group */
	LW_STRETCH_GROUP_GAP,  /* dark between groups of a code */
	LW_STRETCH_PAUSE,      /* dark before the code begins again */
	LW_STRETCH_DARK	       /* dark all the time */
};

/* One stretch of light or dark. Of taps: from one tap to the next. */
struct lw_stretch {
	double from_s;
	double to_s;
	bool on;
	bool open; /* it began before the recording, or ended after it */
	enum lw_stretch_kind kind;
	bool mended; /* holds a flash or a gap that was missed, or is part of
		      * one that was seen twice */
};

struct lw_also {
	char text[LW_PATTERN_MAX]; /* canonical */
	double confidence;
};

/* What was seen of one lamp. */
struct lw_sight {
	const char *lamp; /* name, or NULL */
	char text[LW_PATTERN_MAX]; /* canonical; "" when undecided */
	enum lw_coding coding; /* of the pattern, or of the likeliest one */
	double confidence;     /* of the pattern; 0 when undecided */
	size_t cycles;	       /* whole cycles that it was read from */
	struct lw_also also[LW_ALSO_MAX]; /* others, likeliest first */
	size_t also_count;
	double on_s; /* 0: none, or not known; of a lamp that is lit between the
		      * groups, how long it goes dark in them */
	double long_s;
	double gap_s;
	double group_gap_s;
	double pause_s;
	double hertz; /* flashes a second where they are evenly spaced, else 0 */
	double duty;  /* lit share of a period, 0 to 1, with hertz */
	double per_minute; /* flashes counted over time; 0: not known */
	double per_minute_between; /* mean of the rates from flash to flash */
	double watch_s; /* how much longer to watch; 0: enough, or no use */
	const struct lw_stretch *stretches;
	size_t stretch_count;
	double dim; /* level that was taken for dark, and for lit */
	double bright;
	const char *const *remarks; /* sentences */
	size_t remark_count;
};

/* What was seen of all lamps: one, or several recorded side by side. */
struct lw_seen {
	char text[LW_PATTERN_MAX]; /* canonical, "red:3 green:on" with several;
				    * "" when undecided */
	enum lw_coding coding;
	double confidence;
	size_t cycles; /* the fewest of any lamp that flashes */
	struct lw_also also[LW_ALSO_MAX];
	size_t also_count;
	double watch_s;
	const struct lw_sight *lamps;
	size_t lamp_count;
};

/*
 * Read a lamp from a series of levels. `known`: one for each lamp of the
 * series, or NULL. `seen` and all in it live in the arena. LW_OK: decided.
 * LW_UNDECIDED: with `seen`, whose remarks say why and what would help.
 * LW_BAD_INPUT: the series is not one. LW_NO_MEMORY.
 */
enum lw_status lw_light_read(const struct lw_seen **seen,
    struct lw_arena *arena, const struct lw_series *series,
    const struct lw_known_lamp *known, struct lw_err *err);

/*
 * Read a lamp from the times at which somebody tapped along. `until_s`: up to
 * when no further tap came (a pause that is not over is known by it), or any
 * time before the last tap where that is not known. `known` may be NULL.
 * Statuses as lw_light_read. At most LW_TAPS_MAX taps: LW_TOO_BIG.
 */
enum lw_status lw_taps_read(const struct lw_seen **seen,
    struct lw_arena *arena, const double *seconds, size_t count,
    double until_s, const struct lw_known_lamp *known, struct lw_err *err);

#ifdef __cplusplus
}
#endif
#endif
