/* What a pattern means on one device or on all. Reading the text is left to
 * lamp, and what is in the tables to the book. */
#include "view/parts.h"

#include "base/arena.h"
#include "base/buf.h"
#include "base/err.h"
#include "view/hint.h"

#include <stdlib.h>
#include <string.h>

#define NEAREST_MAX 3
#define FAR 1000.0 /* patterns of different kinds */
#define CLOSE 2.0  /* near enough to be told of a device not asked about */

struct near_code {
	const struct lw_code *code;
	double distance;
	size_t place;
};

/* What is gathered while the devices are looked through. */
struct reading {
	struct view *view;
	const char *typed;
	const char *only_lamp;		   /* id or NULL */
	struct lw_pattern_readings plain;  /* without a hint */
	struct lw_pattern_readings hinted; /* of all lamps looked at */
	bool readable;			   /* by one lamp at least */
	bool of_device;			   /* one device was asked about */
	bool lamp_seen;
	double farthest;   /* of a near code */
	struct lw_err err; /* why a lamp's reading failed */
	json_t *matches;
	size_t match_count;
	struct near_code nearest[NEAREST_MAX];
	size_t near_count;
	size_t place;
};

/* The canonical part of a pattern of several lamps that is one lamp's. */
static bool
part_for_lamp(char *part, const struct lw_pattern *whole, const char *lamp)
{
	const char *at = whole->text;
	size_t name = strlen(lamp), length;

	while (*at != '\0') {
		length = strcspn(at, " ");
		if (length > name && strncmp(at, lamp, name) == 0 &&
		    at[name] == ':' && length - name - 1 < LW_PATTERN_MAX) {
			memcpy(part, at + name + 1, length - name - 1);
			part[length - name - 1] = '\0';
			return true;
		}
		at += length;
		at += strspn(at, " ");
	}
	return false;
}

static double
distance_to(const struct lw_pattern_readings *seen, const struct lw_code *code)
{
	char part[LW_PATTERN_MAX];
	double best = FAR, distance;
	size_t i;

	for (i = 0; i < seen->count; i++) {
		const char *pattern = seen->items[i].text;

		if (seen->items[i].coding == LW_CODING_LAMPS &&
		    strchr(code->pattern, ':') == NULL) {
			if (!part_for_lamp(part, &seen->items[i], code->lamp))
				continue;
			pattern = part;
		}
		if (lw_pattern_same(pattern, code->pattern))
			return 0;
		distance = lw_pattern_distance(pattern, code->pattern);
		/* Zero is for the same pattern alone. */
		if (distance < 0.001)
			distance = 0.001;
		if (distance < best)
			best = distance;
	}
	return best;
}

/* Keep a code among the nearest; the earlier of two equals stays. */
static void
keep_near(struct reading *reading, const struct lw_code *code, double distance)
{
	size_t i = reading->near_count;

	if (distance >= reading->farthest)
		return;
	while (i > 0 && reading->nearest[i - 1].distance > distance)
		i--;
	if (i >= NEAREST_MAX)
		return;
	if (reading->near_count < NEAREST_MAX)
		reading->near_count++;
	memmove(&reading->nearest[i + 1], &reading->nearest[i],
	    (reading->near_count - i - 1) * sizeof reading->nearest[0]);
	reading->nearest[i].code = code;
	reading->nearest[i].distance = distance;
}

/* The code's fault, or NULL where it has none that the book knows. */
static const struct lw_fault *
fault_of(struct view *view, const struct lw_code *code)
{
	const struct lw_fault *fault;

	if (code->fault == NULL || view->status != LW_OK)
		return NULL;
	if (!view_got(view, lw_book_fault(view->book, view->arena, code->fault,
				&fault, &view->last)))
		return NULL;
	return fault;
}

/* The device's own words and the fault's: both, where there are both. */
static const char *
meaning_of(
    struct view *view, const struct lw_code *code, const struct lw_fault *fault)
{
	const char *own = code->meaning, *generic, *end;
	char *both;

	generic = fault == NULL ? NULL : fault->meaning;
	if (own == NULL || own[0] == '\0')
		return generic;
	if (generic == NULL || strcmp(own, fault->title) == 0)
		return generic != NULL ? generic : own;
	end = strchr(".!?", own[strlen(own) - 1]) != NULL ? "" : ".";
	both = arena_printf(view->arena, "%s%s %s", own, end, generic);
	if (both == NULL) {
		err_no_memory(&view->last);
		view_fail(view, LW_NO_MEMORY);
	}
	return both;
}

static void
put_match(struct reading *reading, const struct lw_device *device,
    const struct lw_lamp *lamp, const struct lw_code *code)
{
	struct view *view = reading->view;
	const struct lw_fault *fault = fault_of(view, code);
	json_t *match = view_add(view, reading->matches), *list;
	const char *subject;

	reading->match_count++;
	view_words(view, match, "device", device->id);
	view_text(view, match, "device_title", device->title);
	/* What the builder taught is neither invented nor the maker's. */
	view_bool(view, match, "invented", device->invented && !code->own);
	view_bool(view, match, "own", code->own || device->own);
	view_words(view, match, "lamp", lamp->id);
	view_text(view, match, "lamp_title", lamp->title);
	view_text(view, match, "colour", lamp->colour);
	view_words(view, match, "pattern", code->pattern);
	view_text(view, match, "fault", fault != NULL ? fault->id : NULL);
	view_text(
	    view, match, "title", fault != NULL ? fault->title : code->meaning);
	view_text(view, match, "meaning", meaning_of(view, code, fault));
	view_text(view, match, "severity",
	    fault != NULL ? lw_severity_name(fault->severity) : NULL);
	view_text(view, match, "clears", fault != NULL ? fault->clears : NULL);
	view_text(
	    view, match, "meanwhile", fault != NULL ? fault->meanwhile : NULL);
	if (code->own)
		view_text(view, match, "source",
		    fault != NULL ? fault->source : NULL);
	else
		view_text(view, match, "source",
		    lamp->source != NULL ? lamp->source : device->source);
	list = view_list(view, match, "causes");
	if (fault != NULL)
		view_causes(view, list, &fault->causes);
	view_bool(view, match, "has_causes",
	    fault != NULL && fault->causes.count > 0);
	list = view_list(view, match, "trees");
	if (fault != NULL)
		view_trees(view, list, fault->id, NULL);
	list = view_list(view, match, "notes");
	subject = arena_printf(view->arena, "%s %s", device->id, code->pattern);
	view_notes(view, list, "pattern", subject);
	if (fault != NULL)
		view_notes(view, list, "fault", fault->id);
}

static void
add_reading(struct lw_pattern_readings *to, const struct lw_pattern *pattern)
{
	size_t i;

	for (i = 0; i < to->count; i++) {
		if (strcmp(to->items[i].text, pattern->text) == 0)
			return;
	}
	if (to->count < LW_READINGS_MAX)
		to->items[to->count++] = *pattern;
}

static void
look_at_lamp(struct reading *reading, const struct lw_device *device,
    const struct lw_lamp *lamp)
{
	struct view *view = reading->view;
	struct lw_pattern_readings seen;
	struct lw_lamp_hint hint;
	enum lw_status status;
	double distance;
	size_t i;

	status = view_hint(&hint, view->arena, device, lamp, &view->last);
	if (!view_got(view, status))
		return;
	status = lw_pattern_read(&seen, reading->typed, &hint, &view->last);
	if (status == LW_BAD_INPUT) {
		/* Without a device the plain complaint is the better one. */
		if (reading->of_device)
			reading->err = view->last;
		return;
	}
	if (!view_got(view, status))
		return;
	reading->readable = true;
	for (i = 0; i < seen.count; i++)
		add_reading(&reading->hinted, &seen.items[i]);
	for (i = 0; i < device->code_count; i++) {
		const struct lw_code *code = &device->codes[i];

		if (strcmp(code->lamp, lamp->id) != 0)
			continue;
		distance = distance_to(&seen, code);
		if (distance <= 0)
			put_match(reading, device, lamp, code);
		else
			keep_near(reading, code, distance);
	}
}

static void
look_at_device(struct reading *reading, const struct lw_device *device)
{
	size_t i;

	for (i = 0; i < device->lamp_count; i++) {
		if (reading->only_lamp != NULL &&
		    strcmp(reading->only_lamp, device->lamps[i].id) != 0)
			continue;
		reading->lamp_seen = true;
		look_at_lamp(reading, device, &device->lamps[i]);
	}
}

static void
look_at_all(struct reading *reading)
{
	struct view *view = reading->view;
	const struct lw_device *device;
	struct lw_entries devices;
	size_t i;

	if (!view_got(view, lw_book_list(view->book, view->arena, "device",
				&devices, &view->last)))
		return;
	for (i = 0; i < devices.count; i++) {
		if (view_got(
			view, lw_book_device(view->book, view->arena,
				  devices.items[i].id, &device, &view->last)))
			look_at_device(reading, device);
	}
}

static void
put_nearest(struct reading *reading)
{
	struct view *view = reading->view;
	json_t *list = view_list(view, view->root, "nearest"), *object;
	const struct lw_fault *fault;
	size_t i;

	if (reading->match_count > 0)
		return;
	for (i = 0; i < reading->near_count; i++) {
		const struct lw_code *code = reading->nearest[i].code;

		fault = fault_of(view, code);
		object = view_add(view, list);
		view_text(view, object, "device", code->device);
		view_words(view, object, "lamp", code->lamp);
		view_words(view, object, "pattern", code->pattern);
		view_text(
		    view, object, "fault", fault != NULL ? fault->id : NULL);
		view_text(view, object, "title",
		    fault != NULL ? fault->title : code->meaning);
	}
}

/* The command that teaches a pattern which no device has. */
static void
put_teach(struct reading *reading, const struct lw_device *device,
    const char *pattern)
{
	struct view *view = reading->view;
	const char *lamp = reading->only_lamp, *quote;
	struct buf command;

	if (reading->match_count > 0 || pattern == NULL) {
		view_null(view, view->root, "teach");
		return;
	}
	quote = strpbrk(pattern, " ") != NULL ? "'" : "";
	if (lamp == NULL && device != NULL && device->lamp_count > 1)
		lamp = "LAMP";
	buf_init(&command, 1000);
	buf_printf(&command, "lampwright teach %s %s%s%s",
	    device != NULL ? device->id : "DEVICE", quote, pattern, quote);
	if (lamp != NULL)
		buf_printf(&command, " --lamp %s", lamp);
	buf_add(&command, " \"what it means\"");
	view_text(view, view->root, "teach", buf_text(&command));
	buf_clear(&command);
}

/* The outcome's sentence, for a pattern that no device has. */
static enum lw_status
say_not_found(struct reading *reading, const struct lw_device *device,
    const char *device_id, const char *pattern)
{
	struct lw_err *err = &reading->view->err;

	if (device_id != NULL && device == NULL)
		return LW_NOT_FOUND; /* the book's own sentence */
	if (device != NULL && !reading->lamp_seen) {
		const struct lw_lamp *none;

		return view_lamp(&none, device, reading->only_lamp, err);
	}
	if (pattern == NULL)
		pattern = reading->typed;
	if (device != NULL)
		return err_set(err, LW_NOT_FOUND,
		    "%s has no code %s in the book", device->id, pattern);
	return err_set(err, LW_NOT_FOUND,
	    "no device in the book has the code %s", pattern);
}

enum lw_status
lw_view_read(struct lw_doc **doc, struct lw_book *book, const char *pattern,
    const char *device_id, const char *lamp, struct lw_err *err)
{
	const struct lw_pattern_readings *readings;
	const struct lw_device *device = NULL;
	const char *canonical = NULL;
	struct reading reading;
	enum lw_status status;
	struct view view;
	json_t *list;
	size_t i;

	memset(&reading, 0, sizeof reading);
	reading.view = &view;
	reading.typed = pattern;
	reading.only_lamp = lamp;
	reading.of_device = device_id != NULL;
	reading.farthest = device_id != NULL ? FAR : CLOSE;
	view_begin(&view, book);
	if (view.status != LW_OK)
		return view_end(&view, doc, LW_OK, err);
	status = lw_pattern_read(&reading.plain, pattern, NULL, &view.last);
	if (status != LW_OK && status != LW_BAD_INPUT) {
		view_fail(&view, status);
		return view_end(&view, doc, LW_OK, err);
	}
	reading.err = view.last;
	reading.readable = status == LW_OK && device_id == NULL;

	view_words(&view, view.root, "query", pattern);
	view_text(&view, view.root, "device", device_id);
	reading.matches = view_list(&view, view.root, "matches");
	if (device_id == NULL) {
		look_at_all(&reading);
	} else if (view_got(&view, lw_book_device(book, view.arena, device_id,
				       &device, &view.last))) {
		look_at_device(&reading, device);
	} else if (view.status == LW_OK) {
		view.err = view.last;
	}
	/* A lamp's names may make a text clear that is not so by itself; a
	 * text that nobody can read is refused. */
	if (view.status == LW_OK && !reading.readable &&
	    (status != LW_OK || (device != NULL && reading.lamp_seen))) {
		view.last = reading.err;
		view_fail(&view, LW_BAD_INPUT);
	}

	readings = &reading.plain;
	if (status != LW_OK || (device != NULL && reading.lamp_seen))
		readings = &reading.hinted;
	if (readings->count == 1)
		canonical = readings->items[0].text;
	view_text(&view, view.root, "device_title",
	    device != NULL ? device->title : NULL);
	view_text(&view, view.root, "lamp", lamp);
	view_text(&view, view.root, "pattern", canonical);
	view_text(&view, view.root, "coding",
	    canonical != NULL ? lw_coding_name(readings->items[0].coding)
			      : NULL);
	view_text(&view, view.root, "word", reading.plain.word);
	list = view_list(&view, view.root, "readings");
	for (i = 0; i < readings->count; i++)
		view_add_text(&view, list, readings->items[i].text);
	view_bool(&view, view.root, "found", reading.match_count > 0);
	put_nearest(&reading);
	put_teach(&reading, device, canonical);
	list = view_list(&view, view.root, "notes");
	if (canonical != NULL)
		view_notes(&view, list, "pattern", canonical);
	status = LW_OK;
	if (view.status == LW_OK && reading.match_count == 0)
		status = say_not_found(&reading, device, device_id, canonical);
	return view_end(&view, doc, status, err);
}
