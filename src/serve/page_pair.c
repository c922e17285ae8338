/* Lets a screen in: asks for the code that the terminal has, tries it, and
 * gives the browser the cookie that it is known by from then on. Who is turned
 * away to here is decided in request.c. */
#include "serve/pages.h"

#include "base/err.h"
#include "fill/fill.h"

#include <microhttpd.h>
#include <stdio.h>
#include <string.h>

/* Longer ones are not carried along: the form of the page is taken up to
 * 1 KiB. */
#define BACK_BYTES_MAX 400

void
pages_say(const struct request *request, const char *sentence)
{
	const struct serve_options *options = request->server->options;

	if (options->say != NULL)
		options->say(sentence, options->closure);
}

void
pages_say_code(const struct request *request)
{
	const struct pairing *pairing = &request->server->pairing;
	int64_t left_s = pairing->until_s - pairing_now();
	int minutes = (int)((left_s + 59) / 60);
	char sentence[80];

	snprintf(sentence, sizeof sentence,
	    "Pairing code: %.3s %.3s, good for %d minute%s.", pairing->code,
	    pairing->code + 3, minutes, minutes == 1 ? "" : "s");
	pages_say(request, sentence);
}

_Static_assert(PAIRING_SCREENS_MAX >= LW_SCREENS_MAX, "each is remembered");

/* A book that cannot be read pairs nobody either. */
void
pages_note_screens(struct server *server, int64_t now_s)
{
	struct lw_arena *arena = lw_arena_new();
	int64_t numbers[LW_SCREENS_MAX];
	struct lw_screens screens;
	size_t i;

	if (arena != NULL && lw_screen_list(&screens, server->book, arena,
				 now_s, NULL) == LW_OK) {
		for (i = 0; i < screens.count && i < LW_SCREENS_MAX; i++)
			numbers[i] = screens.items[i].number;
		pairing_note(&server->pairing, numbers, i);
	}
	lw_arena_free(arena);
}

enum lw_status
pages_ready_code(const struct request *request, bool *fresh, struct lw_err *err)
{
	pages_note_screens(request->server, request->now_s);
	return pairing_ready(
	    &request->server->pairing, fresh, pairing_now(), err);
}

/* The book's words for who was let in, as they are shown in a terminal. */
static void
say_paired(const struct request *request, const char *id)
{
	static const char words[] = "{{name}} is paired ({{peer}}); "
				    "lampwright screen list shows all.";
	struct lw_arena *arena = lw_arena_new();
	const struct lw_screen *screen;
	struct lw_doc *doc = NULL;
	struct buf sentence;

	buf_init(&sentence, 512);
	if (arena != NULL &&
	    lw_screen_get(&screen, request->book, arena, id, request->now_s,
		NULL) == LW_OK &&
	    fill_doc_empty(&doc, NULL) == LW_OK &&
	    fill_set_text(doc, "name", screen->name, NULL) == LW_OK &&
	    fill_set_text(doc, "peer", request->peer, NULL) == LW_OK &&
	    fill_string(&sentence, NULL, FILL_TEXT, words, sizeof words - 1,
		doc, NULL) == LW_OK)
		pages_say(request, buf_text(&sentence));
	buf_clear(&sentence);
	lw_doc_free(doc);
	lw_arena_free(arena);
}

static void
say_locked(const struct request *request)
{
	char sentence[160];

	snprintf(sentence, sizeof sentence,
	    "Five wrong pairing codes, the last from %s: no code is taken for "
	    "one minute.",
	    request->peer);
	pages_say(request, sentence);
}

/* Seconds till a code is taken again; 0 where one is now. */
static unsigned
locked_for(const struct request *request)
{
	int64_t left_s =
	    request->server->pairing.locked_until_s - pairing_now();

	return left_s > 0 ? (unsigned)left_s : 0;
}

/* Where the screen wanted to go: as the form says, the address, or what it
 * asked for. "/" for any other than a page of ours. */
static const char *
back_of(const struct request *request)
{
	const char *back = "/";

	if (request->away == AWAY_TO_PAIR && request->method == METHOD_GET)
		back = request->target;
	else if (request->away == AWAY_TO_PAIR && request->page != NULL)
		back = request->page;
	else if (request->method == METHOD_POST)
		back = form_get(&request->body, "back");
	else
		back = form_get(&request->query, "back");
	if (!url_is_local(back) || strlen(back) > BACK_BYTES_MAX ||
	    (strncmp(back, "/pair", 5) == 0 && strchr("/?", back[5]) != NULL))
		return "/";
	return back;
}

/* The address of this page, with the way back. */
static void
add_address(struct buf *url, const char *back)
{
	buf_add(url, "/pair");
	if (strcmp(back, "/") != 0)
		url_add_query(url, "back", back);
}

static void
show(const struct request *request, struct reply *reply, unsigned status,
    const char *sentence)
{
	const char *name = form_get(&request->body, "name");
	unsigned wait_s = locked_for(request);
	struct lw_err err = {.code = LW_OK};
	const char *back = back_of(request);
	bool fresh = false;
	struct buf again;

	if (pages_ready_code(request, &fresh, &err) != LW_OK) {
		reply_failure(reply, &err);
		return;
	}
	if (fresh)
		pages_say_code(request);
	reply_page(reply, status, "pair", NULL);
	reply_sentence(reply, "error", sentence);
	reply_text(reply, "back", back);
	buf_init(&again, 2048);
	add_address(&again, back);
	reply_text(reply, "again", buf_text(&again));
	buf_clear(&again);
	reply_text(reply, "name", *name != '\0' ? name : request->screen.name);
	reply_int(reply, "wait_s", wait_s);
	/* What a browser that comes by a link from another site keeps back. */
	reply_bool(reply, "may_be_known",
	    !request->screen.brought && !request->says_where);
}

void
page_pair_again(const struct request *request, struct reply *reply,
    unsigned status, const char *sentence)
{
	show(request, reply, status, sentence);
}

void
page_pair_away(const struct request *request, struct reply *reply)
{
	const char *back = back_of(request);

	if (request->away == AWAY_ONCE_MORE) {
		reply_page(reply, MHD_HTTP_OK, "bounce", NULL);
		return;
	}
	if (request->method != METHOD_GET) {
		show(request, reply, MHD_HTTP_FORBIDDEN,
		    "this screen is not paired, so nothing was taken; pair it, "
		    "and send it again from the page that it was on");
		return;
	}
	reply_see_other(reply);
	add_address(&reply->location, back);
}

/* Whoever does not have to be asked. */
static bool
show_known(const struct request *request, struct reply *reply)
{
	bool on = request->server->pairing.on;

	if (on && !request->screen.paired)
		return false;
	reply_page(reply, MHD_HTTP_OK, "pair", NULL);
	reply_bool(reply, "known", true);
	reply_bool(reply, "off", !on);
	reply_text(reply, "back", back_of(request));
	reply_text(reply, "name", request->screen.name);
	return true;
}

void
page_pair(const struct request *request, struct reply *reply)
{
	if (!show_known(request, reply))
		show(request, reply, MHD_HTTP_OK, NULL);
}

/* The code was right. */
static void
let_in(const struct request *request, struct reply *reply)
{
	const char *name = form_get(&request->body, "name");
	struct screen screen = request->screen;
	struct lw_err err = {.code = LW_OK};
	int64_t number;

	/* Another cookie than whoever sat here before may have planted. */
	if (screen_renew(&screen, &err) != LW_OK ||
	    lw_screen_pair(&number, request->book, screen.id,
		name[strspn(name, " \t\n")] != '\0' ? name : screen.name,
		request->agent != NULL ? request->agent : "", request->now_s,
		&err) != LW_OK) {
		show(request, reply, reply_status_of(err.code), err.text);
		return;
	}
	pages_note_screens(request->server, request->now_s);
	say_paired(request, screen.id);
	reply_see_other(reply);
	buf_add(&reply->location, back_of(request));
	reply_give_cookie(reply, screen.cookie);
}

static void
show_locked(const struct request *request, struct reply *reply)
{
	show(request, reply, MHD_HTTP_TOO_MANY_REQUESTS, NULL);
	reply->retry_s = locked_for(request);
	if (reply->retry_s == 0) /* it has just ended */
		reply->retry_s = 1;
}

void
page_pair_try(const struct request *request, struct reply *reply)
{
	struct pairing *pairing = &request->server->pairing;
	char sentence[80];
	unsigned left;

	if (show_known(request, reply))
		return;
	pages_note_screens(request->server, request->now_s);
	switch (pairing_try(
	    pairing, form_get(&request->body, "code"), pairing_now())) {
	case PAIRING_RIGHT:
		let_in(request, reply);
		return;
	case PAIRING_LOCKING:
		say_locked(request);
		show_locked(request, reply);
		return;
	case PAIRING_LOCKED:
		show_locked(request, reply);
		return;
	case PAIRING_OVER:
		show(request, reply, MHD_HTTP_FORBIDDEN,
		    "that code had come to its end; the terminal has a new "
		    "one now");
		return;
	case PAIRING_WRONG:
		break;
	}
	left = PAIRING_TRIES - pairing->wrong;
	snprintf(sentence, sizeof sentence, "that is not the code; %u %s left",
	    left, left == 1 ? "try is" : "tries are");
	show(request, reply, MHD_HTTP_FORBIDDEN, sentence);
}
