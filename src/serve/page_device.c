/* The builder's own devices and codes: new ones, one code, a pasted list.
 * How the lines of a list are read is left to the lesson's view. */
#include "serve/pages.h"

#include "base/arena.h"
#include "base/err.h"
#include "base/num.h"
#include "view/hint.h"

#include <lampwright/view.h>

#include <stdio.h>
#include <string.h>

/* Addresses of a device's forms are /devices/ID/... */
static const char *
device_of(const struct request *request)
{
	return request->path.segments[1];
}

static void
go_to_device(const struct request *request, struct reply *reply,
    const char *device, const char *said)
{
	struct buf place;

	buf_init(&place, 1024);
	buf_add(&place, "/devices");
	url_add_segment(&place, device);
	pages_go_back(request, reply, buf_text(&place), said);
	buf_clear(&place);
}

void
page_device_form(const struct request *request, struct reply *reply)
{
	reply_page(reply, 200, "device-new", NULL);
	reply_bool(reply, "coding_count", true);
	reply_text(
	    reply, "typed_title", form_get_or_null(&request->query, "title"));
}

void
pages_make_id(char id[65], const char *title)
{
	size_t used = 0;

	for (; *title != '\0' && used < 64; title++) {
		char c = *title;

		if (c >= 'A' && c <= 'Z')
			c = (char)(c - 'A' + 'a');
		if ((c >= 'a' && c <= 'z') ||
		    (c >= '0' && c <= '9' && used > 0))
			id[used++] = c;
		else if (used > 0 && id[used - 1] != '-')
			id[used++] = '-';
	}
	while (used > 0 && id[used - 1] == '-')
		used--;
	id[used] = '\0';
}

void
page_device_new(const struct request *request, struct reply *reply)
{
	const char *title = form_get(&request->body, "title");
	const char *kind = form_get(&request->body, "kind");
	const char *coding_word = form_get(&request->body, "coding");
	const char *typed_id = form_get(&request->body, "id");
	enum lw_coding coding;
	struct lw_err err = {.code = LW_OK};
	char id[65], key[32];

	if (typed_id[0] != '\0')
		snprintf(id, sizeof id, "%s",
		    strlen(typed_id) < sizeof id ? typed_id : "");
	else
		pages_make_id(id, title);
	if (title[0] == '\0')
		err_set(&err, LW_BAD_INPUT,
		    "the device has no name; give it the one you know it by");
	else if (id[0] == '\0')
		err_set(&err, LW_BAD_INPUT,
		    "no short name can be made from that; give one of a-z, "
		    "0-9 and hyphens, beginning with a letter");
	else if (lw_coding_parse(&coding, coding_word, &err) == LW_OK &&
		 lw_book_new_device(request->book, id, title,
		     kind[0] != '\0' ? kind : "controller", coding,
		     request->now_s, &err) == LW_OK) {
		go_to_device(request, reply, id, "device");
		return;
	}
	reply_page(reply, reply_status_of(err.code), "device-new", NULL);
	reply_sentence(reply, "error", err.text);
	reply_text(reply, "typed_title", title);
	reply_text(reply, "typed_id", id);
	reply_text(reply, "typed_kind", kind);
	snprintf(key, sizeof key, "coding_%.20s", coding_word);
	reply_bool(reply, key, true);
}

/* The device's page again, with what was typed into its forms. */
static void
show_device(const struct request *request, struct reply *reply,
    const struct lw_err *err, const char *pattern, const char *meaning,
    const char *lines)
{
	const struct lw_err why = *err;
	struct lw_err missing = {.code = LW_OK};
	struct lw_doc *doc = NULL;

	if (reply_status_of(why.code) == reply_status_of(LW_FAILED)) {
		reply_failure(reply, &why);
		return;
	}
	if (lw_view_item(&doc, request->book, "device", device_of(request),
		&missing) != LW_OK) {
		reply_failure(reply, &missing);
		reply_text(reply, "way", "/devices");
		reply_text(reply, "way_title", "All devices");
		return;
	}
	reply_page(reply, reply_status_of(why.code), "device", doc);
	if (pattern != NULL)
		reply_typed(reply, pattern, &why);
	else
		reply_sentence(reply, "error", why.text);
	reply_text(reply, "typed_meaning", meaning);
	reply_text(reply, "typed_lines", lines);
}

/* What the lines would teach, to be looked at before it is kept. */
static void
show_lesson(
    const struct request *request, struct reply *reply, const char *lines)
{
	const char *lamp = form_get_or_null(&request->body, "lamp");
	const char *back = form_get(&request->body, "back");
	const char *pattern = form_get_or_null(&request->body, "pattern");
	struct lw_err err = {.code = LW_OK};
	struct lw_doc *doc = NULL;

	lw_view_lesson(
	    &doc, request->book, device_of(request), lamp, lines, &err);
	if (doc == NULL) {
		show_device(request, reply, &err, pattern,
		    form_get_or_null(&request->body, "meaning"),
		    pattern == NULL ? lines : NULL);
		return;
	}
	reply_page(reply, reply_status_of(err.code), "lesson", doc);
	if (err.code != LW_OK)
		reply_sentence(reply, "error", err.text);
	reply_text(reply, "typed_lines", lines);
	if (url_is_local(back))
		reply_text(reply, "back", back);
}

/* One code whose generic fault is named: kept at once. */
static void
teach_fault(const struct request *request, struct reply *reply,
    const char *pattern, const char *fault)
{
	struct lw_arena *arena = lw_arena_new();
	const struct lw_device *device;
	const struct lw_lamp *lamp;
	struct lw_pattern_readings readings;
	struct lw_lamp_hint hint;
	struct lw_err err = {.code = LW_OK};

	if (arena == NULL) {
		err_no_memory(&err);
		goto out;
	}
	if (lw_book_device(request->book, arena, device_of(request), &device,
		&err) != LW_OK ||
	    view_lamp(&lamp, device, form_get_or_null(&request->body, "lamp"),
		&err) != LW_OK ||
	    view_hint(&hint, arena, device, lamp, &err) != LW_OK ||
	    lw_pattern_read(&readings, pattern, &hint, &err) != LW_OK)
		goto out;
	if (readings.count != 1) {
		err_set(&err, LW_BAD_INPUT,
		    "the pattern can be read in more than one way; write it "
		    "as 32 flashes or as 3-2");
		goto out;
	}
	{
		const struct lw_code code = {
		    .device = device->id,
		    .lamp = lamp->id,
		    .pattern = readings.items[0].text,
		    .fault = fault,
		    .meaning = form_get_or_null(&request->body, "meaning"),
		};

		lw_book_teach(
		    request->book, device->id, &code, 1, request->now_s, &err);
	}
out:
	lw_arena_free(arena);
	if (err.code == LW_OK)
		go_to_device(request, reply, device_of(request), "code");
	else
		show_device(request, reply, &err, pattern,
		    form_get_or_null(&request->body, "meaning"), NULL);
}

void
page_device_teach(const struct request *request, struct reply *reply)
{
	const char *pattern = form_get(&request->body, "pattern");
	const char *meaning = form_get(&request->body, "meaning");
	const char *fault = form_get_or_null(&request->body, "fault");
	struct lw_err err = {.code = LW_OK};
	struct buf line;
	const char *c;

	if (fault != NULL) {
		teach_fault(request, reply, pattern, fault);
		return;
	}
	if (pattern[0] == '\0' || meaning[0] == '\0') {
		err_set(&err, LW_BAD_INPUT,
		    "a code needs what the lamp shows and what it means");
		show_device(request, reply, &err, pattern, meaning, NULL);
		return;
	}
	/* A lesson of one line, so that both find the fault alike. */
	buf_init(&line, FORM_BYTES_MAX);
	buf_add(&line, pattern);
	buf_add(&line, " = ");
	for (c = meaning; *c != '\0'; c++)
		buf_add_char(&line, *c == '\n' ? ' ' : *c);
	show_lesson(request, reply, buf_text(&line));
	buf_clear(&line);
}

/* The codes that were left ticked on the lesson's page: for each line N the
 * fields keep.N, pattern.N, meaning.N and, with as.N, fault.N. */
static size_t
kept_codes(struct lw_code *codes, const struct request *request)
{
	const struct form *form = &request->body;
	size_t i, count = 0;

	for (i = 0; i < form->count; i++) {
		const char *name = form->fields[i].name;
		const char *as, *meaning, *fault;
		int64_t line;
		unsigned n;

		if (strncmp(name, "keep.", 5) != 0 ||
		    !num_parse_int(&line, name + 5) || line < 0 ||
		    line > FORM_BYTES_MAX)
			continue;
		n = (unsigned)line;
		as = form_get_at(form, "as", n);
		meaning = form_get_at(form, "meaning", n);
		fault = form_get_at(form, "fault", n);
		codes[count].device = device_of(request);
		codes[count].lamp = form_get_or_null(form, "lamp");
		codes[count].pattern = form_get_at(form, "pattern", n);
		codes[count].fault =
		    as[0] != '\0' && fault[0] != '\0' ? fault : NULL;
		codes[count].meaning = meaning[0] != '\0' ? meaning : NULL;
		count++;
	}
	return count;
}

void
page_device_lesson(const struct request *request, struct reply *reply)
{
	const char *lines = form_get(&request->body, "lines");
	struct lw_arena *arena = NULL;
	struct lw_code *codes;
	struct lw_err err = {.code = LW_OK};
	size_t count;

	if (form_get_or_null(&request->body, "keep") == NULL) {
		show_lesson(request, reply, lines);
		return;
	}
	arena = lw_arena_new();
	codes = arena == NULL ? NULL
			      : arena_array(arena, request->body.count + 1,
				    sizeof *codes);
	if (codes == NULL) {
		err_no_memory(&err);
		reply_failure(reply, &err);
		goto out;
	}
	count = kept_codes(codes, request);
	if (count == 0)
		err_set(&err, LW_BAD_INPUT,
		    "no line was ticked, so nothing is kept; tick the lines "
		    "that are right");
	else
		lw_book_teach(request->book, device_of(request), codes, count,
		    request->now_s, &err);
	if (err.code == LW_OK)
		go_to_device(request, reply, device_of(request),
		    count == 1 ? "code" : "codes");
	else
		show_device(request, reply, &err, NULL, NULL, lines);
out:
	lw_arena_free(arena);
}

void
page_device_unteach(const struct request *request, struct reply *reply)
{
	struct lw_err err = {.code = LW_OK};

	if (lw_book_unteach(request->book, device_of(request),
		form_get_or_null(&request->body, "lamp"),
		form_get(&request->body, "pattern"), &err) == LW_OK)
		go_to_device(
		    request, reply, device_of(request), "code-removed");
	else
		show_device(request, reply, &err, NULL, NULL, NULL);
}
