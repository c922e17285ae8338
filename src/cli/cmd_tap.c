/* lampwright tap: somebody presses a key with each flash of a lamp. What the
 * taps say is left to the library, the terminal to keys.c, what the person
 * sees meanwhile to tap_picture.c. */
#include "cli/cli.h"

#include "base/err.h"
#include "cli/keys.h"
#include "cli/keystroke.h"
#include "cli/tap_picture.h"
#include "view/watch_known.h"

#include <lampwright/light.h>

#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#define TICK_S 0.1    /* from one look at the clock to the next */
#define QUIET_S 0.02  /* a tap is looked at when no other comes so soon */
#define AFRESH_S 0.25 /* from one reading of a silence to the next */
#define SHARE 4	      /* reading takes a fifth of the time at most */
#define SETTLE_S 0.5  /* so long without a key: the person has stopped */
#define SETTLE_MOST_S 3

enum end {
	GOES_ON,
	ENDED,	     /* by the person, or no tap came for long */
	ENDED_SURE,  /* by itself, perhaps in the middle of tapping */
	ENDED_BREAK, /* Ctrl-C */
	ENDED_GONE   /* the terminal is gone */
};

struct tap {
	struct cli *cli;
	struct lw_arena *arena; /* of `known` */
	const struct lw_known_lamp *known;
	struct tapping taps;
	struct tapping_shape shape;
	struct keystrokes keys;
	enum end end;
	/* The last reading. */
	struct lw_arena *seen_arena;
	const struct lw_seen *seen; /* NULL: none */
	bool unread;		    /* keys came since */
	double read_s;
	double read_took_s;
	double heard_s; /* when keys were last waited for in vain */
	/* The screen. */
	bool plain; /* nothing can be drawn over */
	struct picture_room room;
	struct picture before;
	bool drawn; /* `before` is on the screen */
	struct picture_said said;
};

/* --- what they say ------------------------------------------------------- */

/* What the book knows of the lamp. LW_NOT_FOUND: no such device or lamp. */
static enum lw_status
know(struct tap *tap, struct lw_err *err)
{
	const char *device = args_value(&tap->cli->args, "device");
	const struct lw_device *found = NULL;
	struct lw_series series;
	struct watch_known known;
	enum lw_status status;

	memset(&series, 0, sizeof series);
	tap->arena = lw_arena_new();
	if (tap->arena == NULL)
		return err_no_memory(err);
	if (device != NULL) {
		status = lw_book_device(
		    tap->cli->book, tap->arena, device, &found, err);
		if (status != LW_OK)
			return status;
	}
	status = watch_know(&known, tap->arena, &series, found,
	    args_value(&tap->cli->args, "lamp"), err);
	if (status == LW_OK && known.known != NULL)
		tap->known = known.known; /* of one lamp */
	return status;
}

/* Read the taps as they stand. What fails here is said at the end. */
static void
read_taps(struct tap *tap, double now_s)
{
	const struct lw_seen *seen = NULL;
	enum lw_status status;

	lw_arena_free(tap->seen_arena);
	tap->seen = NULL;
	tap->seen_arena = lw_arena_new();
	tap->unread = false;
	if (tap->seen_arena != NULL && tap->taps.count > 0) {
		status = lw_taps_read(&seen, tap->seen_arena, tap->taps.seconds,
		    tap->taps.count,
		    tapping_until(&tap->taps, &tap->shape, now_s), tap->known,
		    NULL);
		if (status == LW_OK || status == LW_UNDECIDED)
			tap->seen = seen;
	}
	tap->read_s = keys_now();
	tap->read_took_s = tap->read_s - now_s;
}

/* --- what the person sees ------------------------------------------------ */

static bool
says_utf8(void)
{
	static const char *const names[] = {"LC_ALL", "LC_CTYPE", "LANG"};
	const char *locale = NULL, *dot;
	size_t i;

	for (i = 0; i < 3 && (locale == NULL || locale[0] == '\0'); i++)
		locale = getenv(names[i]);
	dot = locale != NULL ? strchr(locale, '.') : NULL;
	return dot != NULL && (strncasecmp(dot, ".utf-8", 6) == 0 ||
				  strncasecmp(dot, ".utf8", 5) == 0);
}

static void
measure(struct tap *tap)
{
	struct keys_size size = keys_size();

	tap->room.columns = size.columns;
	tap->room.rows = size.rows;
}

static void
show(struct tap *tap, double now_s)
{
	struct picture_of of = {.taps = &tap->taps,
	    .shape = &tap->shape,
	    .seen = tap->seen,
	    .now_s = now_s,
	    .done = tap->end != GOES_ON,
	    .enough = tap->end == ENDED_SURE};
	struct picture_said said = tap->said;
	struct picture now;
	struct buf text;

	buf_init(&text, 1u << 16);
	if (tap->plain) {
		picture_say(&text, &said, &of);
		if (text.length > 0 && keys_write(text.data, text.length))
			tap->said = said;
		buf_clear(&text);
		return;
	}
	picture_make(&now, &of, &tap->room);
	if (!tap->drawn || !picture_same(&now, &tap->before)) {
		picture_redraw(&text, &now, tap->drawn ? &tap->before : NULL,
		    tap->room.columns);
		if (keys_write(buf_text(&text), text.length)) {
			tap->before = now;
			tap->drawn = true;
		}
	}
	buf_clear(&text);
}

/* --- keys ---------------------------------------------------------------- */

static void
take_key(struct tap *tap, const struct keystroke *key)
{
	tap->unread = true;
	switch (key->kind) {
	case KEYSTROKE_TAP:
		tapping_key(&tap->taps, key->key, key->at_s);
		break;
	case KEYSTROKE_BACK:
		tapping_back(&tap->taps, key->at_s);
		break;
	case KEYSTROKE_ESCAPE:
	case KEYSTROKE_END:
		tap->end = ENDED;
		break;
	case KEYSTROKE_BREAK:
		tap->end = ENDED_BREAK;
		break;
	}
}

/* Wait for keys, and take those that came. False: none did. */
static bool
take_keys(struct tap *tap, double wait_s)
{
	struct keystroke key;
	unsigned char bytes[256];
	size_t length, i;
	double at_s;

	switch (keys_wait(bytes, sizeof bytes, &length, &at_s, wait_s)) {
	case KEYS_GONE:
		tap->end = ENDED_GONE;
		return false;
	case KEYS_NOTHING:
		if (keystroke_waited(&tap->keys, &key, keys_now()))
			take_key(tap, &key);
		return false;
	case KEYS_BYTES:
		break;
	}
	keystroke_next_read(&tap->keys);
	for (i = 0; i < length && tap->end == GOES_ON; i++)
		if (keystroke_byte(&tap->keys, &key, bytes[i], at_s))
			take_key(tap, &key);
	return true;
}

/* --- together ------------------------------------------------------------ */

/* Look at the taps as they stand now: read them, where it is time to, and
 * see whether that is enough. */
static void
look(struct tap *tap, double now_s)
{
	double since = now_s - tap->read_s;
	enum tapping_next next;

	tapping_shape(&tap->shape, &tap->taps, now_s);
	if ((tap->unread || since > AFRESH_S) &&
	    since > SHARE * tap->read_took_s)
		read_taps(tap, now_s);
	if (tap->end != GOES_ON)
		return;
	/* What was read before the last tap says nothing of it. */
	next = tapping_next(
	    &tap->taps, &tap->shape, tap->unread ? NULL : tap->seen, now_s);
	if (next == TAPPING_HAS_ENDED)
		tap->end = ENDED;
	else if (next != TAPPING_GO_ON)
		tap->end = ENDED_SURE;
}

/* It was suspended, or the screen is another one. */
static void
look_around(struct tap *tap, double now_s)
{
	if (keys_continued()) {
		tapping_again(&tap->taps, now_s);
		memset(&tap->keys, 0, sizeof tap->keys);
		memset(&tap->said, 0, sizeof tap->said);
		tap->drawn = false;
		tap->unread = true;
		measure(tap);
	}
	if (keys_resized())
		measure(tap);
}

static void
tap_along(struct tap *tap)
{
	bool heard = false;
	double now_s;

	tap->heard_s = keys_now();
	while (tap->end == GOES_ON) {
		heard = take_keys(tap, tap->unread ? QUIET_S : TICK_S);
		now_s = keys_now();
		/* Bytes that come on and on are no reason not to look. */
		if (heard && tap->end == GOES_ON &&
		    now_s - tap->heard_s < AFRESH_S)
			continue;
		tap->heard_s = now_s;
		look_around(tap, now_s);
		look(tap, now_s);
		show(tap, now_s);
	}
}

/* The person may still be tapping: take those keys, or the shell would. */
static void
settle(struct tap *tap)
{
	double until = keys_now() + SETTLE_MOST_S, at_s;
	char bytes[256];
	size_t length;

	while (keys_now() < until && keys_wait(bytes, sizeof bytes, &length,
					 &at_s, SETTLE_S) == KEYS_BYTES)
		;
	(void)tap;
}

/* What the taps say, in full. */
static int
tell(struct tap *tap, double until_s)
{
	struct tapping *taps = &tap->taps;
	struct lw_doc *doc = NULL;
	enum lw_status status;
	double first = taps->count > 0 ? taps->seconds[0] : until_s;
	struct lw_err err;
	size_t i;

	for (i = 0; i < taps->count; i++)
		taps->seconds[i] -= first;
	status = lw_view_taps(&doc, tap->cli->book, taps->seconds, taps->count,
	    until_s - first, args_value(&tap->cli->args, "device"),
	    args_value(&tap->cli->args, "lamp"), &err);
	return cli_finish(tap->cli, "watch", doc, status, &err);
}

static int
with_terminal(struct tap *tap)
{
	const char *term = getenv("TERM");
	enum lw_status status;
	struct lw_err err;
	double until_s;

	status = keys_open(&err);
	if (status != LW_OK)
		return cli_fail(tap->cli, &err);
	tap->plain =
	    term == NULL || term[0] == '\0' || strcmp(term, "dumb") == 0;
	tap->room.utf8 = says_utf8();
	measure(tap);
	tapping_begin(&tap->taps, tap->known != NULL ? tap->known->pause_s : 0);
	show(tap, keys_now());
	tap_along(tap);
	until_s = keys_now();
	tapping_shape(&tap->shape, &tap->taps, until_s);
	until_s = tapping_until(&tap->taps, &tap->shape, until_s);
	if (tap->end == ENDED_SURE)
		settle(tap);
	keys_close();
	if (tap->end == ENDED_BREAK) {
		raise(SIGINT);
		return 128 + SIGINT;
	}
	return tell(tap, until_s);
}

static int
run_tap(struct cli *cli)
{
	enum lw_status status;
	struct lw_err err;
	struct tap *tap;
	int code;

	if (cli->args.word_count > 0)
		return cli_usage(
		    cli, "%.60s has no place here", cli->args.words[0]);
	tap = calloc(1, sizeof *tap);
	if (tap == NULL) {
		err_no_memory(&err);
		return cli_fail(cli, &err);
	}
	tap->cli = cli;
	status = know(tap, &err);
	code = status == LW_OK ? with_terminal(tap) : cli_fail(cli, &err);
	lw_arena_free(tap->seen_arena);
	lw_arena_free(tap->arena);
	free(tap);
	return code;
}

static const struct option options[] = {
    {"device", "D", "the device that the lamp is on"},
    {"lamp", "L", "the lamp of it"},
    {NULL, NULL, NULL},
};

const struct command command_tap = {
    .name = "tap",
    .summary = "Tap along with a lamp, a key for each flash.",
    .synopsis = "[--device D] [--lamp L]",
    .help =
	"First hold the vehicle with brake and chocks, and stay clear of all "
	"that can turn or move. Then press any key with each flash, over "
	"several pauses. What it reads so far is shown meanwhile; once it is "
	"sure, or when no key comes for long, it says what that means, and "
	"ends.\n\n"
	"    Backspace\ttakes the last tap back\n"
	"    Esc, Ctrl-D\tend it with what there is\n"
	"    Ctrl-C\tends it without\n\n"
	"A held key counts once. Flashes faster than 2.5 a second are not "
	"tapped reliably: film the lamp instead (lampwright serve). Times "
	"that are in a file already are read by lampwright watch --taps.\n",
    .options = options,
    .needs = NEEDS_BOOK,
    .run = run_tap,
};
