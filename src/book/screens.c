/* Paired screens: the rows of browsers that may use the book over the
 * network. Cookies and codes are left to src/serve, which gives only what a
 * cookie hashes to. */
#include <lampwright/screen.h>

#include "base/arena.h"
#include "base/err.h"
#include "base/utf8.h"
#include "book/query.h"

#include <inttypes.h>
#include <string.h>

enum { KEY_LENGTH = 64 };

/* What is sent away: of those that are over by a time, one or all but one. */
struct leaving {
	int64_t number; /* 0 for every one */
	int64_t keep;	/* 0 for none */
	int64_t over_s; /* INT64_MAX: whether over or not */
};

static bool
is_key(const char *text)
{
	return strlen(text) == KEY_LENGTH &&
	       strspn(text, "0123456789abcdef") == KEY_LENGTH;
}

/* Controls (C0, delete, C1), line and paragraph separators, and what turns
 * the direction of writing, so that no name passes for another. */
static bool
is_control(uint32_t point)
{
	return point < 0x20 || (point >= 0x7f && point < 0xa0) ||
	       (point >= 0x2028 && point <= 0x202e) ||
	       (point >= 0x2066 && point <= 0x2069) || point == 0x200e ||
	       point == 0x200f || point == 0x061c || point == 0xfeff;
}

/*
 * Write a text without control characters and without blanks around it, cut
 * at a whole character; bytes that are not UTF-8 become question marks.
 * `kept` has room for bytes + 1.
 */
static void
tidy(char *kept, size_t bytes, size_t characters, const char *text)
{
	size_t left = strlen(text), used = 0, step;
	uint32_t point;

	for (; left > 0 && characters > 0; text += step, left -= step) {
		const char *from = text;
		size_t size;

		size = step = utf8_decode(text, left, &point);
		if (step == 0) {
			from = "?";
			size = step = 1;
		} else if (is_control(point) || point == ' ') {
			from = " ";
			size = 1;
			if (used == 0)
				continue;
		}
		if (used + size > bytes)
			break;
		memcpy(kept + used, from, size);
		used += size;
		characters--;
	}
	while (used > 0 && kept[used - 1] == ' ')
		used--;
	kept[used] = '\0';
}

static enum lw_status
run_leaving(struct lw_book *book, enum statement which,
    const struct leaving *leaving, size_t *count, struct lw_err *err)
{
	struct query query;

	query_start(&query, book, which, err);
	query_int(&query, 1, leaving->number);
	query_int(&query, 2, leaving->keep);
	query_int(&query, 3, leaving->over_s);
	while (query_row(&query))
		(*count)++;
	return query_end(&query);
}

/* In a transaction that writes. What they hold becomes free, as when they let
 * go of it: whoever takes it proves anew what is safe. */
static enum lw_status
send_away(struct lw_book *book, const struct leaving *leaving, size_t *count,
    struct lw_err *err)
{
	size_t touched = 0;
	enum lw_status status;

	*count = 0;
	status = run_leaving(book, SQL_FREE_HOLDS, leaving, &touched, err);
	if (status == LW_OK)
		status = run_leaving(
		    book, SQL_TAKE_BACK_ASKS, leaving, &touched, err);
	if (status == LW_OK)
		status =
		    run_leaving(book, SQL_DELETE_SCREENS, leaving, count, err);
	return status;
}

static enum lw_status
sweep(struct lw_book *book, int64_t now_s, struct lw_err *err)
{
	const struct leaving over = {.over_s = now_s};
	size_t count;

	return send_away(book, &over, &count, err);
}

/* The one seen longest ago goes, while there are as many as there may be. */
static enum lw_status
make_room(struct lw_book *book, struct lw_err *err)
{
	struct leaving last = {.over_s = INT64_MAX};
	struct query query;
	enum lw_status status;
	size_t count;

	do {
		last.number = 0;
		query_start(&query, book, SQL_SCREEN_TO_LEAVE, err);
		query_int(&query, 1, LW_SCREENS_MAX);
		if (query_row(&query))
			last.number = query_get_int(&query, 0);
		status = query_end(&query);
		if (status == LW_OK && last.number != 0)
			status = send_away(book, &last, &count, err);
	} while (status == LW_OK && last.number != 0);
	return status;
}

static enum lw_status
is_paired(struct lw_book *book, const char *key, bool *paired, int64_t *last_s,
    int64_t *until_s, struct lw_err *err)
{
	struct query query;

	query_start(&query, book, SQL_SCREEN, err);
	query_text(&query, 1, key);
	*paired = query_row(&query);
	*last_s = *paired ? query_get_int(&query, 5) : 0;
	*until_s = *paired ? query_get_int(&query, 6) : 0;
	return query_end(&query);
}

static enum lw_status
put_screen(struct lw_book *book, const struct lw_screen *screen,
    int64_t *number, struct lw_err *err)
{
	struct query query;

	query_start(&query, book, SQL_PUT_SCREEN, err);
	query_text(&query, 1, screen->key);
	query_text(&query, 2, screen->name);
	query_text(&query, 3, screen->agent);
	query_int(&query, 4, screen->since_s);
	query_int(&query, 5, screen->until_s);
	if (query_row(&query))
		*number = query_get_int(&query, 0);
	return query_run(&query);
}

enum lw_status
lw_screen_pair(int64_t *number, struct lw_book *book, const char *key,
    const char *name, const char *agent, int64_t now_s, struct lw_err *err)
{
	char tidy_name[LW_SCREEN_NAME_BYTES + 1];
	char tidy_agent[LW_SCREEN_AGENT_MAX + 1];
	struct lw_screen screen = {.key = key,
	    .name = tidy_name,
	    .agent = tidy_agent,
	    .since_s = now_s};
	enum lw_status status;
	int64_t last_s, until_s;
	bool paired;

	*number = 0;
	if (!is_key(key))
		return err_set(err, LW_BAD_INPUT,
		    "a screen's key is not of 64 hexadecimal digits; give the "
		    "SHA-256 of its cookie");
	tidy(tidy_name, LW_SCREEN_NAME_BYTES, LW_SCREEN_NAME_MAX, name);
	tidy(tidy_agent, LW_SCREEN_AGENT_MAX, SIZE_MAX, agent);
	if (tidy_name[0] == '\0')
		return err_set(err, LW_BAD_INPUT,
		    "the screen's name is empty; it needs at least a letter");
	if (__builtin_add_overflow(
		now_s, (int64_t)LW_SCREEN_HOLDS_S, &screen.until_s))
		screen.until_s = INT64_MAX;
	status = store_begin_write(book, err);
	if (status != LW_OK)
		return status;
	status = sweep(book, now_s, err);
	if (status == LW_OK)
		status = is_paired(book, key, &paired, &last_s, &until_s, err);
	if (status == LW_OK && paired)
		status = err_set(err, LW_CONFLICT,
		    "the screen is paired already; send it away first");
	if (status == LW_OK)
		status = make_room(book, err);
	if (status == LW_OK)
		status = put_screen(book, &screen, number, err);
	status = store_end_write(book, status, err);
	if (status != LW_OK)
		*number = 0;
	return status;
}

static void
read_screen(
    struct lw_screen *screen, struct query *query, struct lw_arena *arena)
{
	screen->number = query_get_int(query, 0);
	screen->key = query_get_word(query, arena, 1);
	screen->name = query_get_word(query, arena, 2);
	screen->agent = query_get_word(query, arena, 3);
	screen->since_s = query_get_int(query, 4);
	screen->last_s = query_get_int(query, 5);
	screen->until_s = query_get_int(query, 6);
}

enum lw_status
lw_screen_get(const struct lw_screen **screen, struct lw_book *book,
    struct lw_arena *arena, const char *key, int64_t now_s, struct lw_err *err)
{
	struct lw_screen *found = NULL;
	struct query query;
	enum lw_status status;

	*screen = NULL;
	query_start(&query, book, SQL_SCREEN, err);
	query_text(&query, 1, key);
	if (query_row(&query)) {
		found = arena_alloc(arena, sizeof *found);
		if (found == NULL)
			query_no_memory(&query);
		else
			read_screen(found, &query, arena);
	}
	status = query_end(&query);
	if (status == LW_OK && (found == NULL || found->until_s <= now_s))
		status = err_set(err, LW_NOT_FOUND,
		    "this screen is not paired, or its time is over; pair it "
		    "with the code in the terminal");
	if (status == LW_OK)
		*screen = found;
	return status;
}

/* A last time in the future comes of a clock that was set back: it is put
 * right too. */
static bool
is_fresh(int64_t last_s, int64_t now_s)
{
	int64_t ago_s;

	return !__builtin_sub_overflow(now_s, last_s, &ago_s) && ago_s >= 0 &&
	       ago_s < LW_SCREEN_SEEN_S;
}

static enum lw_status
note_seen(
    struct lw_book *book, const char *key, int64_t now_s, struct lw_err *err)
{
	struct query query;
	enum lw_status status;

	status = store_begin_write(book, err);
	if (status != LW_OK)
		return status;
	status = sweep(book, now_s, err);
	if (status == LW_OK) {
		query_start(&query, book, SQL_SAW_SCREEN, err);
		query_text(&query, 1, key);
		query_int(&query, 2, now_s);
		status = query_run(&query);
	}
	return store_end_write(book, status, err);
}

enum lw_status
lw_screen_seen(
    struct lw_book *book, const char *key, int64_t now_s, struct lw_err *err)
{
	int64_t last_s, until_s;
	enum lw_status status;
	bool paired;

	status = is_paired(book, key, &paired, &last_s, &until_s, err);
	if (status != LW_OK || !paired ||
	    (until_s > now_s && is_fresh(last_s, now_s)))
		return status;
	/* It is not worth a wait for another program that writes: the page
	 * that is asked for would wait too, and all others behind it. */
	sqlite3_busy_timeout(book->db, 0);
	status = note_seen(book, key, now_s, err);
	sqlite3_busy_timeout(book->db, STORE_BUSY_MS);
	return status;
}

enum lw_status
lw_screen_list(struct lw_screens *screens, struct lw_book *book,
    struct lw_arena *arena, int64_t now_s, struct lw_err *err)
{
	struct lw_screen *items = NULL, *screen;
	struct query query;
	size_t room = 0;

	memset(screens, 0, sizeof *screens);
	query_start(&query, book, SQL_SCREENS, err);
	query_int(&query, 1, now_s);
	while (query_row(&query)) {
		screen = query_grow(&query, arena, &items, &screens->count,
		    &room, sizeof *screen);
		if (screen == NULL)
			break;
		read_screen(screen, &query, arena);
	}
	screens->items = items;
	return query_end(&query);
}

enum lw_status
lw_screen_remove(struct lw_book *book, int64_t number, struct lw_err *err)
{
	const struct leaving one = {.number = number, .over_s = INT64_MAX};
	enum lw_status status;
	size_t count = 0;

	status = store_begin_write(book, err);
	if (status != LW_OK)
		return status;
	/* Number 0 would be every one. */
	if (number != 0)
		status = send_away(book, &one, &count, err);
	if (status == LW_OK && count == 0)
		status = err_set(err, LW_NOT_FOUND,
		    "there is no screen %" PRId64
		    "; `lampwright screen list` shows those there are",
		    number);
	return store_end_write(book, status, err);
}

enum lw_status
lw_screen_remove_all(
    size_t *removed, struct lw_book *book, int64_t keep, struct lw_err *err)
{
	const struct leaving most = {.keep = keep, .over_s = INT64_MAX};
	enum lw_status status;

	*removed = 0;
	status = store_begin_write(book, err);
	if (status != LW_OK)
		return status;
	status = send_away(book, &most, removed, err);
	status = store_end_write(book, status, err);
	if (status != LW_OK)
		*removed = 0;
	return status;
}
