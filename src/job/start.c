/* Opens a job: reads the patterns with the lamp's coding, finds what they
 * mean, and picks the tree that leads. Reading notation is left to lamp. */
#include "job/suspects.h"

#include "base/arena.h"
#include "base/buf.h"
#include "base/err.h"
#include "book/jobs.h"

#include <lampwright/pattern.h>

#include <stdio.h>
#include <string.h>

enum { NEAREST = 3 };

/* What one typed pattern turned out to be. */
struct sighting {
	char pattern[LW_PATTERN_MAX];
	const struct lw_device *device; /* NULL: known on none */
	const struct lw_code *code;	/* NULL: known on none */
};

struct opening {
	struct shelf shelf;
	const struct lw_job_start *start;
	const struct lw_device *device; /* as given, or found by a pattern */
	const char *lamp;		/* as given, or found by a pattern */
	const struct lw_symptom *symptom;
	const struct lw_tree *tree;
	struct sighting sightings[LW_JOB_PATTERNS_MAX];
	struct lw_finding findings[LW_JOB_PATTERNS_MAX + 2];
	size_t finding_count;
};

static const struct lw_lamp *
find_lamp(const struct lw_device *device, const char *id)
{
	size_t i;

	for (i = 0; i < device->lamp_count && id != NULL; i++)
		if (strcmp(device->lamps[i].id, id) == 0)
			return &device->lamps[i];
	return NULL;
}

static enum lw_status
refuse_lamp(
    const struct lw_device *device, const char *lamp, struct lw_err *err)
{
	struct buf list;
	size_t i;

	buf_init(&list, 200);
	for (i = 0; i < device->lamp_count; i++)
		buf_printf(
		    &list, "%s%s", i == 0 ? "" : ", ", device->lamps[i].id);
	err_set(err, LW_NOT_FOUND,
	    "%s has no lamp \"%.64s\"; its lamps are: %s", device->title, lamp,
	    buf_text(&list));
	buf_clear(&list);
	return LW_NOT_FOUND;
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

/* The code of a lamp that a pattern is: the same text, else the closest of
 * those that count as the same. lamp NULL: of any lamp. */
static const struct lw_code *
find_code(const struct lw_device *device, const char *lamp, const char *pattern)
{
	const struct lw_code *code, *best = NULL;
	double distance, least = 0;
	size_t i;

	for (i = 0; i < device->code_count; i++) {
		code = &device->codes[i];
		if (lamp != NULL && code->lamp != NULL &&
		    strcmp(code->lamp, lamp) != 0)
			continue;
		if (!lw_pattern_same(pattern, code->pattern))
			continue;
		distance = strcmp(pattern, code->pattern) == 0
			       ? -1
			       : lw_pattern_distance(pattern, code->pattern);
		if (best == NULL || distance < least) {
			best = code;
			least = distance;
		}
	}
	return best;
}

/* The typed text as a lamp of a device would show it. Every reading that is
 * in the device's table is a match; `matches` counts them. */
static enum lw_status
look_on_lamp(struct sighting *sighting, size_t *matches,
    struct lw_pattern_readings *readings, struct opening *opening,
    const struct lw_device *device, const struct lw_lamp *lamp,
    const char *typed, struct lw_err *err)
{
	const struct lw_code *code;
	struct lw_lamp_hint hint;
	enum lw_status status;
	size_t i;

	status = hint_of(&hint, opening->shelf.arena, device, lamp, err);
	if (status == LW_OK)
		status = lw_pattern_read(readings, typed, &hint, err);
	for (i = 0; status == LW_OK && i < readings->count; i++) {
		code = find_code(device, lamp == NULL ? NULL : lamp->id,
		    readings->items[i].text);
		if (code == NULL || code == sighting->code)
			continue;
		(*matches)++;
		if (sighting->code != NULL)
			continue;
		sighting->device = device;
		sighting->code = code;
		memcpy(sighting->pattern, readings->items[i].text,
		    sizeof sighting->pattern);
	}
	return status;
}

static enum lw_status
look_on_device(struct sighting *sighting, size_t *matches,
    struct lw_pattern_readings *readings, struct opening *opening,
    const struct lw_device *device, const char *lamp, const char *typed,
    struct lw_err *err)
{
	struct lw_pattern_readings here;
	enum lw_status status = LW_OK;
	bool read = false;
	size_t i;

	if (lamp != NULL || device->lamp_count == 0)
		return look_on_lamp(sighting, matches, readings, opening,
		    device, lamp == NULL ? NULL : find_lamp(device, lamp),
		    typed, err);
	for (i = 0; i < device->lamp_count; i++) {
		status = look_on_lamp(sighting, matches, &here, opening, device,
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
	    "\"%.60s\" may be %s; write the one that was seen", typed,
	    buf_text(&list));
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

/* On the device that was named. */
static enum lw_status
see_on_device(struct sighting *sighting, struct opening *opening,
    const char *typed, struct lw_err *err)
{
	const struct lw_device *device = opening->device;
	struct lw_pattern_readings readings;
	enum lw_status status;
	size_t matches = 0;

	status = look_on_device(sighting, &matches, &readings, opening, device,
	    opening->lamp, typed, err);
	if (status != LW_OK)
		return status;
	if (matches == 1)
		return LW_OK;
	if (matches > 1)
		return err_set(err, LW_UNDECIDED,
		    "\"%.60s\" means more than one thing on %s; say which "
		    "lamp, or write the pattern out",
		    typed, device->title);
	if (readings.count != 1)
		return refuse_ambiguous(&readings, typed, err);
	return refuse_unknown(
	    device, opening->lamp, readings.items[0].text, err);
}

/* On whatever device has it. */
static enum lw_status
see_anywhere(struct sighting *sighting, struct opening *opening,
    const char *typed, struct lw_err *err)
{
	struct lw_pattern_readings readings, ignored;
	const struct lw_device *device;
	struct sighting here;
	struct lw_entries devices;
	struct buf names;
	enum lw_status status;
	size_t found = 0, matches, i;

	status = lw_pattern_read(&readings, typed, NULL, err);
	if (status != LW_OK)
		return status;
	status = lw_book_list(
	    opening->shelf.book, opening->shelf.arena, "device", &devices, err);
	if (status == LW_NOT_FOUND)
		devices.count = 0;
	else if (status != LW_OK)
		return status;
	buf_init(&names, 300);
	for (i = 0; i < devices.count; i++) {
		status = shelf_device(
		    &device, &opening->shelf, devices.items[i].id, err);
		if (status != LW_OK)
			goto out;
		if (device == NULL)
			continue;
		memset(&here, 0, sizeof here);
		matches = 0;
		status = look_on_device(&here, &matches, &ignored, opening,
		    device, NULL, typed, err);
		if (status != LW_OK && status != LW_BAD_INPUT)
			goto out;
		status = LW_OK;
		if (matches == 0)
			continue;
		if (found == 0)
			*sighting = here;
		if (names.length < 200)
			buf_printf(
			    &names, "%s%s", found == 0 ? "" : ", ", device->id);
		found += matches;
	}
	if (found > 1)
		status = err_set(err, LW_UNDECIDED,
		    "\"%.60s\" is known on more than one device or lamp; say "
		    "which device it is: %s",
		    typed, buf_text(&names));
	else if (found == 0 && readings.count != 1)
		status = refuse_ambiguous(&readings, typed, err);
	else if (found == 0 && opening->symptom == NULL &&
		 opening->tree == NULL)
		status = err_set(err, LW_NOT_FOUND,
		    "no device in the book has a code %s; teach it to yours, "
		    "or start from a symptom",
		    readings.items[0].text);
	else if (found == 0)
		memcpy(sighting->pattern, readings.items[0].text,
		    sizeof sighting->pattern);
out:
	buf_clear(&names);
	return status;
}

static enum lw_status
see_patterns(struct opening *opening, struct lw_err *err)
{
	const struct lw_job_start *start = opening->start;
	struct sighting *sighting;
	enum lw_status status;
	size_t i;

	for (i = 0; i < start->pattern_count; i++) {
		sighting = &opening->sightings[i];
		if (opening->device != NULL)
			status = see_on_device(
			    sighting, opening, start->patterns[i], err);
		else
			status = see_anywhere(
			    sighting, opening, start->patterns[i], err);
		if (status != LW_OK)
			return status;
		/* One vehicle, one lamp: the rest is read as its. */
		if (opening->device == NULL && sighting->code != NULL)
			opening->device = sighting->device;
	}
	if (opening->lamp == NULL && start->pattern_count > 0 &&
	    opening->sightings[0].code != NULL)
		opening->lamp = opening->sightings[0].code->lamp;
	return LW_OK;
}

static enum lw_status
need(const void *what, const char *kind, const char *id, struct lw_err *err)
{
	/* The book's own sentence names the nearest ids. */
	if (what != NULL)
		return LW_OK;
	return err != NULL && err->code == LW_NOT_FOUND
		   ? LW_NOT_FOUND
		   : err_set(err, LW_NOT_FOUND, "there is no %s \"%.64s\"",
			 kind, id);
}

/* What was named has to be there. */
static enum lw_status
look_up(struct opening *opening, struct lw_err *err)
{
	const struct lw_job_start *start = opening->start;
	struct shelf *shelf = &opening->shelf;
	enum lw_status status;

	if (start->pattern_count == 0 && start->symptom == NULL &&
	    start->tree == NULL)
		return err_set(err, LW_BAD_INPUT,
		    "a job starts from a pattern, a symptom or a tree; give "
		    "one of them");
	if (start->pattern_count > LW_JOB_PATTERNS_MAX)
		return err_set(err, LW_TOO_BIG,
		    "a job starts from at most %d patterns",
		    LW_JOB_PATTERNS_MAX);
	if (start->lamp != NULL && start->device == NULL)
		return err_set(err, LW_BAD_INPUT,
		    "a lamp is one of a device; say which device too");
	if (start->device != NULL) {
		status =
		    shelf_device(&opening->device, shelf, start->device, err);
		if (status == LW_OK)
			status =
			    need(opening->device, "device", start->device, err);
		if (status != LW_OK)
			return status;
	}
	if (start->lamp != NULL &&
	    find_lamp(opening->device, start->lamp) == NULL)
		return refuse_lamp(opening->device, start->lamp, err);
	opening->lamp = start->lamp;
	if (start->symptom != NULL) {
		status = shelf_symptom(
		    &opening->symptom, shelf, start->symptom, err);
		if (status == LW_OK)
			status = need(
			    opening->symptom, "symptom", start->symptom, err);
		if (status != LW_OK)
			return status;
	}
	if (start->tree != NULL) {
		status = shelf_tree(&opening->tree, shelf, start->tree, err);
		if (status == LW_OK)
			status = need(opening->tree, "tree", start->tree, err);
		if (status != LW_OK)
			return status;
	}
	return LW_OK;
}

/* The first tree for a fault or for a symptom; none is fine. */
static enum lw_status
tree_for(struct opening *opening, const char *fault, const char *symptom,
    struct lw_err *err)
{
	struct lw_entries trees = {0};
	enum lw_status status;

	status = lw_book_trees_for(opening->shelf.book, opening->shelf.arena,
	    fault, symptom, &trees, err);
	if (status == LW_NOT_FOUND)
		return LW_OK;
	if (status != LW_OK || trees.count == 0)
		return status;
	return shelf_tree(
	    &opening->tree, &opening->shelf, trees.items[0].id, err);
}

static enum lw_status
pick_tree(struct opening *opening, struct lw_err *err)
{
	const struct lw_code *code;
	enum lw_status status = LW_OK;
	size_t i;

	for (i = 0; i < opening->start->pattern_count && status == LW_OK &&
		    opening->tree == NULL;
	     i++) {
		code = opening->sightings[i].code;
		if (code != NULL && code->fault != NULL)
			status = tree_for(opening, code->fault, NULL, err);
	}
	if (status == LW_OK && opening->tree == NULL &&
	    opening->symptom != NULL)
		status = tree_for(opening, NULL, opening->symptom->id, err);
	return status;
}

/* What a code means in words: the fault's title, else its own meaning. */
static enum lw_status
meaning_of(const char **meaning, struct opening *opening,
    const struct lw_code *code, struct lw_err *err)
{
	const struct lw_fault *fault;
	enum lw_status status;

	status = shelf_fault(&fault, &opening->shelf, code->fault, err);
	*meaning = fault != NULL ? fault->title : code->meaning;
	return status;
}

static enum lw_status
write_findings(struct opening *opening, struct lw_err *err)
{
	const struct sighting *sighting;
	struct lw_finding *finding = opening->findings;
	enum lw_status status;
	size_t i;

	for (i = 0; i < opening->start->pattern_count; i++, finding++) {
		sighting = &opening->sightings[i];
		finding->kind = LW_FINDING_PATTERN;
		finding->subject = sighting->pattern;
		finding->title = sighting->pattern;
		if (sighting->code == NULL)
			continue;
		finding->title = arena_printf(opening->shelf.arena, "%s: %s",
		    sighting->device->title, sighting->pattern);
		if (finding->title == NULL)
			return err_no_memory(err);
		finding->outcome = sighting->code->fault;
		status = meaning_of(
		    &finding->outcome_title, opening, sighting->code, err);
		if (status != LW_OK)
			return status;
	}
	if (opening->symptom != NULL) {
		finding->kind = LW_FINDING_SYMPTOM;
		finding->subject = opening->symptom->id;
		finding->title = opening->symptom->title;
		finding++;
	}
	if (opening->tree != NULL) {
		finding->kind = LW_FINDING_TREE;
		finding->subject = opening->tree->id;
		finding->title = opening->tree->title;
		finding++;
	}
	opening->finding_count = (size_t)(finding - opening->findings);
	return LW_OK;
}

static const char *
title_of(struct opening *opening)
{
	const struct lw_finding *first = &opening->findings[0];

	if (first->kind == LW_FINDING_PATTERN && first->outcome_title != NULL)
		return arena_printf(opening->shelf.arena, "%s: %s",
		    first->title, first->outcome_title);
	if (first->kind == LW_FINDING_PATTERN && opening->symptom != NULL)
		return opening->symptom->title;
	return first->title;
}

enum lw_status
lw_job_new(struct lw_book *book, const struct lw_job_start *start,
    int64_t now_s, int64_t *job, struct lw_err *err)
{
	struct lw_arena *arena = lw_arena_new();
	struct opening *opening;
	const char *title;
	enum lw_status status;

	if (arena == NULL)
		return err_no_memory(err);
	opening = arena_alloc(arena, sizeof *opening);
	if (opening == NULL) {
		status = err_no_memory(err);
		goto out;
	}
	shelf_init(&opening->shelf, book, arena);
	opening->start = start;
	status = look_up(opening, err);
	if (status == LW_OK)
		status = see_patterns(opening, err);
	if (status == LW_OK)
		status = pick_tree(opening, err);
	if (status == LW_OK)
		status = write_findings(opening, err);
	if (status != LW_OK)
		goto out;
	title = title_of(opening);
	if (title == NULL) {
		status = err_no_memory(err);
		goto out;
	}
	status = book_job_new(book,
	    opening->device != NULL ? opening->device->id : NULL, opening->lamp,
	    title, opening->findings, opening->finding_count, now_s, job, err);
out:
	lw_arena_free(arena);
	return status;
}
