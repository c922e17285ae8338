/* The page that films a lamp, and what a recording sent from it shows. The
 * film itself never leaves the browser (film.js); reading the recording is
 * left to the lamp, and what it comes to is only shown, not kept. */
#include "serve/pages.h"

#include "base/err.h"

#include <lampwright/light.h>
#include <lampwright/view.h>

#include <stdio.h>
#include <string.h>

/* Carry the device and its lamp on: `for_device`, `for_device_title`,
 * `for_lamp` and `for_lamp_title`. Nothing where there is no such device. */
static void
carry(
    const struct request *request, struct reply *reply, const struct form *form)
{
	const char *id = form_get_or_null(form, "device");
	const char *lamp = form_get(form, "lamp");
	const struct lw_device *device;
	struct lw_arena *arena = NULL;
	size_t i;

	if (id == NULL || (arena = lw_arena_new()) == NULL)
		return;
	if (lw_book_device(request->book, arena, id, &device, NULL) == LW_OK) {
		reply_text(reply, "for_device", device->id);
		reply_text(reply, "for_device_title",
		    device->title != NULL ? device->title : device->id);
		for (i = 0; i < device->lamp_count; i++) {
			const struct lw_lamp *one = &device->lamps[i];

			if (strcmp(one->id, lamp) != 0)
				continue;
			reply_text(reply, "for_lamp", one->id);
			reply_text(reply, "for_lamp_title",
			    one->title != NULL ? one->title : one->id);
		}
	}
	lw_arena_free(arena);
}

static bool
show_form(const struct request *request, struct reply *reply, unsigned status,
    const struct form *form)
{
	struct lw_err err = {.code = LW_OK};
	struct lw_doc *doc = NULL;

	if (lw_view_list(&doc, request->book, "device", &err) != LW_OK &&
	    doc == NULL) {
		reply_failure(reply, &err);
		return false;
	}
	reply_page(reply, status, "film", doc);
	reply->plays = true;
	carry(request, reply, form);
	return true;
}

void
page_film(const struct request *request, struct reply *reply)
{
	show_form(request, reply, 200, &request->query);
}

/* The page again with the recording, and with what was wrong with it, if
 * anything. */
static void
show_again(const struct request *request, struct reply *reply,
    const struct lw_err *err)
{
	const struct lw_err why = *err;
	unsigned status = reply_status_of(why.code);
	char sentence[sizeof why.text + 32];

	if (status == reply_status_of(LW_FAILED)) {
		reply_failure(reply, &why);
		return;
	}
	if (!show_form(request, reply, status,
		why.code == LW_OK ? &request->query : &request->body))
		return;
	reply_text(
	    reply, "typed_series", form_get_or_null(&request->body, "series"));
	reply_bool(reply, "show_series", true);
	if (why.code == LW_OK)
		return;
	if (why.line > 0) {
		snprintf(sentence, sizeof sentence, "line %u: %s", why.line,
		    why.text);
		reply_int(reply, "typed_line", why.line);
		reply_sentence(reply, "error", sentence);
	} else {
		reply_sentence(reply, "error", why.text);
	}
}

static bool
is_blank(const char *text)
{
	return text[strspn(text, " \t\n")] == '\0';
}

/* The document of what the recording shows; NULL where it cannot be read. */
static struct lw_doc *
see(const struct request *request, struct lw_err *err)
{
	const char *text = form_get(&request->body, "series");
	const struct lw_series *series;
	struct lw_recording *recording = NULL;
	struct lw_doc *doc = NULL;

	if (is_blank(text)) {
		err_set(err, LW_BAD_INPUT,
		    "there is no recording yet; film the lamp, or paste lines "
		    "of seconds and level");
		return NULL;
	}
	if (lw_recording_open(&recording, false, err) == LW_OK &&
	    lw_recording_feed(recording, text, strlen(text), err) == LW_OK &&
	    lw_recording_end(&series, recording, err) == LW_OK)
		lw_view_watch(&doc, request->book, series,
		    form_get_or_null(&request->body, "device"),
		    form_get_or_null(&request->body, "lamp"), err);
	lw_recording_close(recording);
	return doc;
}

void
page_film_read(const struct request *request, struct reply *reply)
{
	struct lw_err err = {.code = LW_OK};
	struct lw_doc *doc;

	/* From the result back to the form, with the recording, to choose
	 * another device. */
	if (form_get(&request->body, "change")[0] != '\0') {
		show_again(request, reply, &err);
		return;
	}
	doc = see(request, &err);
	if (doc == NULL) {
		show_again(request, reply, &err);
		return;
	}
	/* That it cannot be told is an answer too. */
	reply_page(reply, 200, "seen", doc);
	reply_text(
	    reply, "typed_series", form_get_or_null(&request->body, "series"));
	carry(request, reply, &request->body);
}
