/*
 * Paired screens: browsers on phones and computers that may read and change a
 * book over the network. The book keeps of each what its cookie hashes to,
 * never the cookie, so that a book that gets about opens no door.
 */
#ifndef LAMPWRIGHT_SCREEN_H
#define LAMPWRIGHT_SCREEN_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include <lampwright/arena.h>
#include <lampwright/book.h>
#include <lampwright/status.h>

#ifdef __cplusplus
extern "C" {
#endif

/* After so long a paired screen is asked for a code again, in seconds. */
#define LW_SCREEN_HOLDS_S (90 * 24 * 60 * 60)
/* A screen that was seen is written down again after so long, in seconds. */
#define LW_SCREEN_SEEN_S 60
/* A book pairs at most so many; the one seen longest ago makes room. */
#define LW_SCREENS_MAX 64
#define LW_SCREEN_NAME_MAX 40	/* characters of a name ... */
#define LW_SCREEN_NAME_BYTES 64 /* and bytes, as lw_actor.name may have */
#define LW_SCREEN_AGENT_MAX 200 /* bytes kept of what it says it is */

struct lw_screen {
	int64_t number;	   /* what people call it by; never used again */
	const char *key;   /* what its cookie hashes to: the screen's id in
			    * holds, 64 hexadecimal digits */
	const char *name;  /* "phone 3f", or as its owner named it */
	const char *agent; /* what the browser says it is; "" for nothing */
	int64_t since_s;   /* when it was paired */
	int64_t last_s;	   /* when it was last seen, to the minute */
	int64_t until_s;   /* when the pairing ends by itself */
};

struct lw_screens {
	const struct lw_screen *items; /* the one last seen first */
	size_t count;
};

/*
 * Pair a screen, for LW_SCREEN_HOLDS_S; `number` gets its number. `name` and
 * `agent` are cut to their limits at a whole character; control characters,
 * and those that turn the direction of writing, become blanks, and bytes that
 * are not UTF-8 question marks. Screens whose time is over are sent away, and
 * where LW_SCREENS_MAX are left, the one seen longest ago too.
 * LW_BAD_INPUT: a key that is not 64 hexadecimal digits in lower case, or a
 * name of blanks. LW_CONFLICT: the key is paired.
 */
enum lw_status lw_screen_pair(int64_t *number, struct lw_book *book,
    const char *key, const char *name, const char *agent, int64_t now_s,
    struct lw_err *err);

/* The paired screen with a key, in `arena`. LW_NOT_FOUND: there is none, or
 * its time is over; a clock that was set back does not revive it after
 * lw_screen_seen or lw_screen_pair have swept it out. */
enum lw_status lw_screen_get(const struct lw_screen **screen,
    struct lw_book *book, struct lw_arena *arena, const char *key,
    int64_t now_s, struct lw_err *err);

/* Note that a screen was seen; writes at most once in LW_SCREEN_SEEN_S, and
 * does not wait for another program that writes. A screen that is not paired
 * is no failure; and a failure (a full disk, a book that may only be read, or
 * is being written to) is no reason to turn a screen down. */
enum lw_status lw_screen_seen(
    struct lw_book *book, const char *key, int64_t now_s, struct lw_err *err);

/* Those that are paired at `now_s`. */
enum lw_status lw_screen_list(struct lw_screens *screens, struct lw_book *book,
    struct lw_arena *arena, int64_t now_s, struct lw_err *err);

/* Send a screen away: its pairing ends now, the vehicles that it holds are
 * free to be taken, and what it asked for is taken back, all at once.
 * LW_NOT_FOUND: no screen has the number. */
enum lw_status lw_screen_remove(
    struct lw_book *book, int64_t number, struct lw_err *err);

/* The same for all but one (`keep`, 0 for none); `removed` gets how many, with
 * those whose time was over already. */
enum lw_status lw_screen_remove_all(
    size_t *removed, struct lw_book *book, int64_t keep, struct lw_err *err);

#ifdef __cplusplus
}
#endif

#endif
