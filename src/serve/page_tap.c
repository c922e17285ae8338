/* The tap pad, and what the taps say. Taps stand in the address, in whole
 * milliseconds, so that nothing is kept and a reading can be passed on. What
 * they mean is left to the view, and the pad itself to tap.js. */
#include "serve/pages.h"

#include "base/err.h"
#include "fill/fill.h"

#include <lampwright/light.h>
#include <lampwright/view.h>

#include <stdlib.h>
#include <string.h>

#define MS_MOST 86400000 /* a day */

struct taps {
	double seconds[LW_TAPS_MAX];
	size_t count;
	double until_s; /* -1: not known */
};

/* Digits and nothing else, up to `end`. */
static bool
read_ms(int64_t *ms, const char *from, const char *end)
{
	*ms = 0;
	if (from == end)
		return false;
	for (; from < end; from++) {
		if (*from < '0' || *from > '9')
			return false;
		*ms = *ms * 10 + (*from - '0');
		if (*ms > MS_MOST)
			return false;
	}
	return true;
}

/* "0,420,840" */
static enum lw_status
read_times(struct taps *taps, const char *text, struct lw_err *err)
{
	int64_t ms, last = -1;
	size_t n;

	for (taps->count = 0;; text += n + 1) {
		n = strcspn(text, ",");
		if (taps->count == LW_TAPS_MAX)
			return err_set(err, LW_BAD_INPUT,
			    "there are more than %d taps, which are more than "
			    "are read at once; the last few groups are enough",
			    LW_TAPS_MAX);
		if (!read_ms(&ms, text, text + n))
			return err_set(err, LW_BAD_INPUT,
			    "tap %zu is no time; taps are whole milliseconds, "
			    "each after the one before, as in 0,420,840",
			    taps->count + 1);
		if (ms <= last)
			return err_set(err, LW_BAD_INPUT,
			    "tap %zu is not after the one before; taps are "
			    "whole milliseconds that rise, as in 0,420,840",
			    taps->count + 1);
		last = ms;
		taps->seconds[taps->count++] = (double)ms / 1000;
		if (text[n] == '\0')
			return LW_OK;
	}
}

static enum lw_status
read_taps(struct taps *taps, const struct request *request, struct lw_err *err)
{
	const char *until = form_get(&request->query, "until");
	int64_t ms;

	taps->until_s = -1;
	if (*until != '\0') {
		if (!read_ms(&ms, until, until + strlen(until)))
			return err_set(err, LW_BAD_INPUT,
			    "the end of the taps is no time; it is whole "
			    "milliseconds, as in until=2900");
		taps->until_s = (double)ms / 1000;
	}
	return read_times(taps, form_get(&request->query, "taps"), err);
}

/* The document of the taps, also where they decide nothing. */
static enum lw_status
view_taps(
    struct lw_doc **doc, const struct request *request, struct lw_err *err)
{
	struct taps *taps = malloc(sizeof *taps);
	enum lw_status status;

	*doc = NULL;
	if (taps == NULL)
		return err_no_memory(err);
	status = read_taps(taps, request, err);
	if (status == LW_OK)
		status = lw_view_taps(doc, request->book, taps->seconds,
		    taps->count, taps->until_s,
		    form_get_or_null(&request->query, "device"),
		    form_get_or_null(&request->query, "lamp"), err);
	free(taps);
	return status;
}

/* --- the pad -------------------------------------------------------------- */

static bool
has_lamps(const struct request *request, const char *id)
{
	struct lw_arena *arena = lw_arena_new();
	const struct lw_device *device;
	bool several = false;

	if (arena != NULL &&
	    lw_book_device(request->book, arena, id, &device, NULL) == LW_OK)
		several = device->lamp_count > 1;
	lw_arena_free(arena);
	return several;
}

/* The pad for a device, or with the devices to choose from; `why`: what was
 * wrong with the taps that came. */
static void
show_pad(const struct request *request, struct reply *reply,
    const struct lw_err *why)
{
	const char *device = form_get_or_null(&request->query, "device");
	struct lw_err err = {.code = LW_OK};
	struct lw_doc *doc = NULL;
	enum lw_status status = LW_NOT_FOUND;

	if (device != NULL)
		status =
		    lw_view_item(&doc, request->book, "device", device, &err);
	if (doc == NULL && status == LW_NOT_FOUND) {
		device = NULL;
		lw_view_list(&doc, request->book, "device", &err);
	}
	if (doc == NULL) {
		reply_failure(reply, &err);
		return;
	}
	reply_page(reply, why == NULL ? 200 : 400, "tap", doc);
	if (why != NULL)
		reply_sentence(reply, "error", why->text);
	reply_bool(reply, "pad", true);
	if (device == NULL)
		return;
	pages_carry_device(request, reply);
	reply_text(
	    reply, "for_lamp", form_get_or_null(&request->query, "lamp"));
	reply_bool(reply, "lamp_choice", has_lamps(request, device));
}

void
page_tap(const struct request *request, struct reply *reply)
{
	struct lw_err err = {.code = LW_OK};
	struct lw_doc *doc = NULL;
	enum lw_status status;

	if (form_get_or_null(&request->query, "taps") == NULL) {
		show_pad(request, reply, NULL);
		return;
	}
	status = view_taps(&doc, request, &err);
	if (doc != NULL) {
		/* That they decide nothing is an answer too. */
		reply_page(reply, 200, "tapped", doc);
		pages_carry_device(request, reply);
		reply_text(reply, "for_lamp",
		    form_get_or_null(&request->query, "lamp"));
	} else if (status == LW_BAD_INPUT || status == LW_TOO_BIG) {
		show_pad(request, reply, &err);
	} else {
		reply_failure(reply, &err);
	}
}

/* --- the running picture -------------------------------------------------- */

static void
send_json(struct reply *reply, unsigned status, const struct lw_doc *doc,
    struct lw_err *err)
{
	char *text = NULL;
	size_t length;

	if (lw_doc_json(&text, &length, doc, err) != LW_OK) {
		reply_failure(reply, err);
		return;
	}
	reply_clear(reply);
	buf_add_n(&reply->owned, text, length);
	free(text);
	if (buf_check(&reply->owned, err) != LW_OK) {
		reply_failure(reply, err);
		return;
	}
	reply->status = status;
	reply->type = "application/json";
	reply->data = buf_text(&reply->owned);
	reply->size = reply->owned.length;
}

void
page_tap_now(const struct request *request, struct reply *reply)
{
	struct lw_err err = {.code = LW_OK}, more = {.code = LW_OK};
	struct lw_doc *doc = NULL;
	enum lw_status status = view_taps(&doc, request, &err);

	if (doc != NULL) {
		send_json(reply, 200, doc, &more);
	} else {
		if (status == LW_TOO_BIG)
			status = LW_BAD_INPUT;
		if (fill_doc_empty(&doc, &more) == LW_OK &&
		    fill_set_text(doc, "error", err.text, &more) == LW_OK)
			send_json(reply, reply_status_of(status), doc, &more);
		else
			reply_failure(reply, &more);
	}
	lw_doc_free(doc);
}
