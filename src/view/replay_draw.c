/* The two drawings of a replay: the lamps, which flash where they are played,
 * and one cycle of each to scale. What stands where is worked out here, what
 * it looks like is left to web/replay.html. */
#include "view/replay.h"

#include "base/arena.h"
#include "base/num.h"
#include "base/utf8.h"
#include "view/plot.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/*
 * Lamps, in CSS pixels. WCAG 2.2, 2.3.1: what flashes side by side may take
 * less than 21824 square pixels. Two halos of 56 take 19704, eight of 29
 * 21137.
 */
enum {
	BIG_CELL = 150,
	BIG_HALO = 56,
	BIG_CORE = 40,
	BIG_MOST = 2,
	SMALL_CELL = 84,
	SMALL_HALO = 29,
	SMALL_CORE = 20,
	IN_A_ROW = 4,
	NAME_HIGH = 26,
	NAME_MOST = 10 /* letters */
};

/* The still picture, about as wide as the page on a phone. */
enum {
	STILL_WIDTH = 360,
	STILL_LEFT = 34,
	STILL_RIGHT = 350,
	STILL_TOP = 8,
	LANE_TITLE = 20,
	LANE_HIGH = 30,
	LANE_APART = 16,
	STILL_BELOW = 44,
	TICKS_MOST = 6
};

#define LONGEST_S 120.0 /* that is drawn */
#define FINEST_PX 1.5	/* of a cycle that is drawn, flash by flash */

static void
fail(struct view *view, const struct buf *buf)
{
	if (buf_check(buf, &view->last) != LW_OK)
		view_fail(view, buf->status);
}

static void
put_px(struct view *view, json_t *object, const char *key, double at)
{
	view_real(view, object, key, round(at * 10) / 10);
}

/* --- the lamps ------------------------------------------------------------ */

/* A lamp's name, cut off where it is too long to stand below it. */
static void
put_name(struct view *view, json_t *object, const char *title)
{
	size_t length, at = 0, letters;
	struct buf name;

	if (title == NULL) {
		view_null(view, object, "name");
		return;
	}
	length = strlen(title);
	if (utf8_count(title, length) <= NAME_MOST) {
		view_text(view, object, "name", title);
		return;
	}
	for (letters = 0; letters + 1 < NAME_MOST && at < length; letters++) {
		size_t n = utf8_decode(title + at, length - at, NULL);

		at += n > 0 ? n : 1;
	}
	buf_init(&name, 200);
	buf_add_n(&name, title, at);
	buf_add(&name, "\u2026");
	view_text(view, object, "name", buf_text(&name));
	fail(view, &name);
	buf_clear(&name);
}

/* The lists of a discrete animation: from each time on, lit or not. */
static void
put_animation(struct view *view, json_t *object,
    const struct replay_track *track, double slower)
{
	unsigned long all = 0, at = 0;
	struct buf values, times;
	char text[40];
	size_t i;

	for (i = 0; i < track->count; i++)
		all += replay_ms(&track->stretches[i], slower);
	buf_init(&values, 64 * 1024);
	buf_init(&times, 64 * 1024);
	for (i = 0; i < track->count; i++) {
		buf_printf(&values, "%s%d", i > 0 ? ";" : "",
		    replay_is_lit(track->stretches[i].kind) ? 1 : 0);
		num_format(text, sizeof text,
		    round((double)at / (double)all * 1e7) / 1e7);
		buf_printf(&times, "%s%s", i > 0 ? ";" : "", text);
		at += replay_ms(&track->stretches[i], slower);
	}
	snprintf(text, sizeof text, "%lu.%03lus", all / 1000, all % 1000);
	view_words(view, object, "duration", text);
	view_words(view, object, "values", buf_text(&values));
	view_words(view, object, "times", buf_text(&times));
	fail(view, &values);
	fail(view, &times);
	buf_clear(&values);
	buf_clear(&times);
}

static void
put_lamp(struct view *view, json_t *list, const struct replay *replay, size_t i)
{
	const struct replay_lamp *lamp = &replay->lamps[i];
	bool big = replay->count <= BIG_MOST;
	int cell = big ? BIG_CELL : SMALL_CELL;
	int high = cell + (lamp->title != NULL ? NAME_HIGH : 0);
	json_t *object = view_add(view, list);
	bool moves = replay->playing && !lamp->track.steady;
	int x = (int)(i % IN_A_ROW) * cell + cell / 2;
	int y = (int)(i / IN_A_ROW) * high + cell / 2;

	view_int(view, object, "x", x);
	view_int(view, object, "y", y);
	view_int(view, object, "halo", big ? BIG_HALO : SMALL_HALO);
	view_int(view, object, "core", big ? BIG_CORE : SMALL_CORE);
	view_words(view, object, "colour", lamp->fill);
	view_bool(view, object, "is_lit",
	    lamp->track.steady && replay_is_lit(lamp->track.stretches[0].kind));
	put_name(view, object, lamp->title);
	view_int(view, object, "name_y", y + cell / 2 + 12);
	view_bool(view, object, "moves", moves);
	if (moves)
		put_animation(view, object, &lamp->track, replay->slower);
}

void
replay_put_stage(struct view *view, json_t *object, const struct replay *replay)
{
	json_t *stage = view_object(view, object, "stage");
	json_t *list = view_list(view, stage, "spots");
	bool big = replay->count <= BIG_MOST;
	int cell = big ? BIG_CELL : SMALL_CELL;
	int high = cell + (replay->lamps[0].title != NULL ? NAME_HIGH : 0);
	size_t i, columns = replay->count < IN_A_ROW ? replay->count : IN_A_ROW;
	size_t rows = (replay->count + IN_A_ROW - 1) / IN_A_ROW;

	view_int(view, stage, "width", (int64_t)columns * cell);
	view_int(view, stage, "height", (int64_t)rows * high);
	for (i = 0; i < replay->count; i++)
		put_lamp(view, list, replay, i);
}

/* --- one cycle ------------------------------------------------------------ */

/* How much time the picture shows: the longest cycle; of a rate, and of steady
 * lamps, enough to see what they are. */
static double
window_of(const struct replay *replay)
{
	double longest = 0, seconds;
	size_t i;

	for (i = 0; i < replay->count; i++) {
		const struct replay_track *track = &replay->lamps[i].track;

		seconds = track->seconds;
		if (!track->steady && track->count == 2 &&
		    track->stretches[1].kind == REPLAY_GAP)
			seconds *= 3;
		if (!track->steady || longest == 0)
			longest = fmax(longest, seconds);
	}
	return fmin(longest, LONGEST_S);
}

static void
add_at(struct buf *path, const char *command, double at)
{
	char text[32];

	num_format(text, sizeof text, round(at * 10) / 10);
	buf_add(path, command);
	buf_add(path, text);
}

/* The area below the level: high where it is lit. */
static void
put_path(struct view *view, json_t *object, const struct replay_track *track,
    double window, double on, double off)
{
	double scale = (STILL_RIGHT - STILL_LEFT) / window, at = 0;
	struct buf path;
	size_t i;

	buf_init(&path, 256 * 1024);
	add_at(&path, "M", STILL_LEFT);
	add_at(&path, " ", off);
	while (at < window - 1e-9) {
		for (i = 0; i < track->count && at < window; i++) {
			bool lit = replay_is_lit(track->stretches[i].kind);

			add_at(&path, "V", lit ? on : off);
			at = track->steady
				 ? window
				 : fmin(at + track->stretches[i].seconds,
				       window);
			add_at(&path, "H", STILL_LEFT + at * scale);
		}
	}
	add_at(&path, "V", off);
	view_words(view, object, "d", buf_text(&path));
	fail(view, &path);
	buf_clear(&path);
}

/* What flashes too fast to be drawn flash by flash is a pale block. */
static void
put_block(struct view *view, json_t *object, double on, double off)
{
	struct buf path;

	buf_init(&path, 400);
	add_at(&path, "M", STILL_LEFT);
	add_at(&path, " ", off);
	add_at(&path, "V", on);
	add_at(&path, "H", STILL_RIGHT);
	add_at(&path, "V", off);
	view_words(view, object, "d", buf_text(&path));
	fail(view, &path);
	buf_clear(&path);
}

static void
put_ticks(struct view *view, json_t *still, double window, double bottom)
{
	json_t *list = view_list(view, still, "ticks"), *object;
	double scale = (STILL_RIGHT - STILL_LEFT) / window, value;
	struct plot_axis axis;
	char text[32];
	size_t i;

	if (!plot_axis_fit(&axis, 0, window, TICKS_MOST, false))
		return;
	for (i = 0; i < axis.count; i++) {
		value = plot_axis_tick(text, &axis, i);
		object = view_add(view, list);
		put_px(view, object, "x", STILL_LEFT + value * scale);
		view_words(view, object, "text", text);
	}
	put_px(view, still, "bottom", bottom);
	put_px(view, still, "tick_base", bottom + 18);
	put_px(view, still, "title_base", bottom + 38);
}

static void
put_lane(struct view *view, json_t *list, const struct replay_lamp *lamp,
    double window, double top)
{
	json_t *lane = view_add(view, list);
	double on = top + (lamp->title != NULL ? LANE_TITLE : 0);
	double off = on + LANE_HIGH;
	double cycle =
	    lamp->track.seconds / window * (STILL_RIGHT - STILL_LEFT);
	bool blurred = !lamp->track.steady && cycle < FINEST_PX;

	view_text(view, lane, "title", lamp->title);
	put_px(view, lane, "title_base", top + 14);
	put_px(view, lane, "on_base", on + 10);
	put_px(view, lane, "off", off);
	put_px(view, lane, "off_base", off);
	view_words(view, lane, "colour", lamp->fill);
	view_bool(view, lane, "blurred", blurred);
	if (blurred)
		put_block(view, lane, on, off);
	else
		put_path(view, lane, &lamp->track, window, on, off);
}

/* What it shows, for who does not see it. */
static void
put_label(struct view *view, json_t *still, const struct replay *replay,
    double window)
{
	struct buf label;
	size_t i;

	buf_init(&label, 64 * 1024);
	replay_add_number(&label, window);
	buf_add(&label, " s of the lamp, on and off to scale.");
	for (i = 0; i < replay->count; i++) {
		buf_add(&label, " ");
		if (replay->lamps[i].title != NULL)
			buf_printf(&label, "%s: ", replay->lamps[i].title);
		replay_add_words(&label, replay->lamps[i].shown);
		if (!replay->lamps[i].track.steady)
			buf_add(&label, "; ");
		replay_add_times(&label, &replay->lamps[i]);
		buf_add(&label, ".");
	}
	view_words(view, still, "label", buf_text(&label));
	fail(view, &label);
	buf_clear(&label);
}

void
replay_put_still(struct view *view, json_t *object, const struct replay *replay)
{
	json_t *still = view_object(view, object, "still");
	json_t *list = view_list(view, still, "lanes");
	double window = window_of(replay), top = STILL_TOP;
	size_t i;

	put_label(view, still, replay, window);
	for (i = 0; i < replay->count; i++) {
		put_lane(view, list, &replay->lamps[i], window, top);
		top += LANE_HIGH + LANE_APART +
		       (replay->lamps[i].title != NULL ? LANE_TITLE : 0);
	}
	top -= LANE_APART - 6;
	view_int(view, still, "width", STILL_WIDTH);
	view_int(view, still, "height", (int64_t)top + STILL_BELOW);
	view_int(view, still, "left", STILL_LEFT);
	view_int(view, still, "right", STILL_RIGHT);
	view_int(view, still, "top", STILL_TOP);
	view_int(view, still, "middle", (STILL_LEFT + STILL_RIGHT) / 2);
	put_ticks(view, still, window, top);
}
