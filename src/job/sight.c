/* Reads one typed pattern as a device's lamp would show it and finds its code;
 * notation is left to lamp, what the code leads to is left to start. */
#include "job/sight.h"

#include "base/arena.h"
#include "base/buf.h"
#include "base/err.h"
#include "job/quote.h"

#include <stdio.h>
#include <string.h>

enum { NEAREST = 3, MATCHES = 4 };

const struct lw_lamp *
sight_lamp(const struct lw_device *device, const char *id)
{
	size_t i;

	for (i = 0; i < device->lamp_count && id != NULL; i++)
		if (strcmp(device->lamps[i].id, id) == 0)
			return &device->lamps[i];
	return NULL;
}

static enum lw_status
hint_of(struct lw_lamp_hint *hint, struct lw_arena *arena,
    const struct lw_device *device, const struct lw_lamp *lamp,
    struct lw_err *err)
{
	const char **lamps;
	size_t i;

	memset(hint, 0, sizeof *hint);
	lamps = arena_array(arena, device->lamp_count + 1, sizeof(char *));
	if (lamps == NULL)
		return err_no_memory(err);
	for (i = 0; i < device->lamp_count; i++)
		lamps[i] = device->lamps[i].id;
	hint->lamps = lamps;
	hint->lamp_count = device->lamp_count;
	if (lamp != NULL) {
		hint->coding = lamp->coding;
		hint->slow = lamp->slow;
		hint->fast = lamp->fast;
		hint->flicker = lamp->flicker;
	}
	return LW_OK;
}

/* The codes that a typed text may stand for. */
struct matches {
	const struct lw_code *codes[MATCHES]; /* the first of them */
	size_t count;
};

static bool
is_on(const struct lw_code *code, const struct lw_lamp *lamp)
{
	return lamp == NULL || code->lamp == NULL ||
	       strcmp(code->lamp, lamp->id) == 0;
}

/* Codes that mean the same fault are one. */
static void
add_match(struct matches *matches, const struct lw_code *code)
{
	const struct lw_code *other;
	size_t i;

	for (i = 0; i < matches->count && i < MATCHES; i++) {
		other = matches->codes[i];
		if (other == code ||
		    (other->fault != NULL && code->fault != NULL &&
			strcmp(other->fault, code->fault) == 0))
			return;
	}
	if (matches->count < MATCHES)
		matches->codes[matches->count] = code;
	matches->count++;
}

/* Look a canonical pattern up on a lamp (NULL: on any). The code that is
 * listed just so is the one; else all that count as the same, since a rate
 * that was told by eye may be either. */
static void
look_up(struct sighting *sighting, struct matches *matches,
    const struct lw_device *device, const struct lw_lamp *lamp,
    const char *pattern)
{
	const struct lw_code *exact = NULL;
	size_t before = matches->count, i;

	for (i = 0; i < device->code_count && exact == NULL; i++)
		if (is_on(&device->codes[i], lamp) &&
		    strcmp(device->codes[i].pattern, pattern) == 0)
			exact = &device->codes[i];
	if (exact != NULL)
		add_match(matches, exact);
	for (i = 0; i < device->code_count && exact == NULL; i++)
		if (is_on(&device->codes[i], lamp) &&
		    lw_pattern_same(pattern, device->codes[i].pattern))
			add_match(matches, &device->codes[i]);
	if (before > 0 || matches->count == 0)
		return;
	sighting->device = device;
	sighting->code = matches->codes[0];
	snprintf(sighting->pattern, sizeof sighting->pattern, "%s", pattern);
}

/* The typed text as a lamp of a device would show it. */
static enum lw_status
look_on_lamp(struct sighting *sighting, struct matches *matches,
    struct lw_pattern_readings *readings, struct shelf *shelf,
    const struct lw_device *device, const struct lw_lamp *lamp,
    const char *typed, struct lw_err *err)
{
	struct lw_lamp_hint hint;
	enum lw_status status;
	size_t i;

	status = hint_of(&hint, shelf->arena, device, lamp, err);
	if (status == LW_OK)
		status = lw_pattern_read(readings, typed, &hint, err);
	for (i = 0; status == LW_OK && i < readings->count; i++)
		look_up(
		    sighting, matches, device, lamp, readings->items[i].text);
	return status;
}

static enum lw_status
look_on_device(struct sighting *sighting, struct matches *matches,
    struct lw_pattern_readings *readings, struct shelf *shelf,
    const struct lw_device *device, const char *lamp, const char *typed,
    struct lw_err *err)
{
	struct lw_pattern_readings here;
	enum lw_status status = LW_OK;
	bool read = false;
	size_t i;

	if (lamp != NULL || device->lamp_count == 0)
		return look_on_lamp(sighting, matches, readings, shelf, device,
		    sight_lamp(device, lamp), typed, err);
	for (i = 0; i < device->lamp_count; i++) {
		status = look_on_lamp(sighting, matches, &here, shelf, device,
		    &device->lamps[i], typed, err);
		if (status == LW_OK && !read) {
			*readings = here;
			read = true;
		}
		if (status != LW_OK && status != LW_BAD_INPUT)
			return status;
	}
	/* What one lamp cannot show another may. */
	return read ? LW_OK : status;
}

static enum lw_status
refuse_ambiguous(const struct lw_pattern_readings *readings, const char *typed,
    struct lw_err *err)
{
	char quoted[QUOTE_SIZE];
	struct buf list;
	size_t i;

	if (readings->count == 0)
		return err_set(err, LW_UNDECIDED,
		    "how fast \"%s\" is depends on the lamp; give the rate, "
		    "such as 2.5Hz",
		    readings->word);
	buf_init(&list, 400);
	for (i = 0; i < readings->count; i++)
		buf_printf(&list, "%s%s", i == 0 ? "" : " or ",
		    readings->items[i].text);
	err_set(err, LW_UNDECIDED,
	    "\"%s\" may be %s; write the one that was seen",
	    quote(quoted, typed), buf_text(&list));
	buf_clear(&list);
	return LW_UNDECIDED;
}

/* A pattern that the device's table does not have: its nearest codes. */
static enum lw_status
refuse_unknown(const struct lw_device *device, const char *lamp,
    const char *pattern, struct lw_err *err)
{
	const struct lw_code *nearest[NEAREST];
	double distances[NEAREST], distance;
	struct buf list;
	size_t count = 0, i, k;

	for (i = 0; i < device->code_count; i++) {
		if (lamp != NULL && device->codes[i].lamp != NULL &&
		    strcmp(device->codes[i].lamp, lamp) != 0)
			continue;
		distance =
		    lw_pattern_distance(pattern, device->codes[i].pattern);
		if (distance >= 1000 ||
		    (count == NEAREST && distance >= distances[count - 1]))
			continue;
		if (count < NEAREST)
			count++;
		for (k = count - 1; k > 0 && distances[k - 1] > distance; k--) {
			distances[k] = distances[k - 1];
			nearest[k] = nearest[k - 1];
		}
		distances[k] = distance;
		nearest[k] = &device->codes[i];
	}
	buf_init(&list, 400);
	for (i = 0; i < count; i++)
		buf_printf(
		    &list, "%s%s", i == 0 ? "" : ", ", nearest[i]->pattern);
	err_set(err, LW_NOT_FOUND,
	    "%s has no code %s; %s%s%steach it its "
	    "meaning, or start from a symptom",
	    device->title, pattern, count > 0 ? "the nearest are " : "",
	    buf_text(&list), count > 0 ? "; " : "");
	buf_clear(&list);
	return LW_NOT_FOUND;
}

/* Several codes of one device: "2Hz (red) or 2.4Hz (red)". */
static enum lw_status
refuse_several(const struct lw_device *device, const struct matches *matches,
    const char *typed, struct lw_err *err)
{
	const struct lw_code *code;
	char quoted[QUOTE_SIZE];
	struct buf list;
	size_t i;

	buf_init(&list, 400);
	for (i = 0; i < matches->count && i < MATCHES; i++) {
		code = matches->codes[i];
		buf_printf(&list, "%s%s (%s)", i == 0 ? "" : " or ",
		    code->pattern, code->lamp != NULL ? code->lamp : "?");
	}
	err_set(err, LW_UNDECIDED,
	    "\"%s\" may be %s on %s; say which lamp, or write the pattern "
	    "as it is listed",
	    quote(quoted, typed), buf_text(&list), device->title);
	buf_clear(&list);
	return LW_UNDECIDED;
}

/* On the device that was named. */
static enum lw_status
see_on_device(struct sighting *sighting, struct shelf *shelf,
    const struct lw_device *device, const char *lamp, const char *typed,
    struct lw_err *err)
{
	struct lw_pattern_readings readings;
	struct matches matches = {0};
	enum lw_status status;

	status = look_on_device(
	    sighting, &matches, &readings, shelf, device, lamp, typed, err);
	if (status != LW_OK)
		return status;
	if (matches.count == 1)
		return LW_OK;
	if (matches.count > 1)
		return refuse_several(device, &matches, typed, err);
	if (readings.count != 1)
		return refuse_ambiguous(&readings, typed, err);
	return refuse_unknown(device, lamp, readings.items[0].text, err);
}

/* On whatever device has it. */
static enum lw_status
see_anywhere(struct sighting *sighting, struct shelf *shelf, const char *typed,
    struct lw_err *err)
{
	struct lw_pattern_readings readings, ignored;
	const struct lw_device *device;
	struct sighting here;
	struct lw_entries devices;
	char quoted[QUOTE_SIZE];
	struct buf names;
	enum lw_status status;
	struct matches matches;
	size_t found = 0, i;

	status = lw_pattern_read(&readings, typed, NULL, err);
	if (status != LW_OK)
		return status;
	status =
	    lw_book_list(shelf->book, shelf->arena, "device", &devices, err);
	if (status == LW_NOT_FOUND)
		devices.count = 0;
	else if (status != LW_OK)
		return status;
	buf_init(&names, 300);
	for (i = 0; i < devices.count; i++) {
		status = shelf_device(&device, shelf, devices.items[i].id, err);
		if (status != LW_OK)
			goto out;
		if (device == NULL)
			continue;
		memset(&here, 0, sizeof here);
		memset(&matches, 0, sizeof matches);
		status = look_on_device(
		    &here, &matches, &ignored, shelf, device, NULL, typed, err);
		if (status != LW_OK && status != LW_BAD_INPUT)
			goto out;
		status = LW_OK;
		if (matches.count == 0)
			continue;
		if (found == 0)
			*sighting = here;
		if (names.length < 200)
			buf_printf(
			    &names, "%s%s", found == 0 ? "" : ", ", device->id);
		found += matches.count;
	}
	if (found > 1)
		status = err_set(err, LW_UNDECIDED,
		    "\"%s\" is known on more than one device or lamp; say "
		    "which device it is: %s",
		    quote(quoted, typed), buf_text(&names));
	else if (found == 0 && readings.count != 1)
		status = refuse_ambiguous(&readings, typed, err);
	else if (found == 0)
		memcpy(sighting->pattern, readings.items[0].text,
		    sizeof sighting->pattern);
out:
	buf_clear(&names);
	return status;
}

enum lw_status
sight_pattern(struct sighting *sighting, struct shelf *shelf,
    const struct lw_device *device, const char *lamp, const char *typed,
    struct lw_err *err)
{
	memset(sighting, 0, sizeof *sighting);
	if (device != NULL)
		return see_on_device(sighting, shelf, device, lamp, typed, err);
	return see_anywhere(sighting, shelf, typed, err);
}
