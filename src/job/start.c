/* Opens a job: finds what the patterns mean, picks the tree that leads, and
 * writes down the first findings. Reading a pattern is left to sight. */
#include "job/shelf.h"

#include "base/arena.h"
#include "base/buf.h"
#include "base/err.h"
#include "book/jobs.h"
#include "job/quote.h"
#include "job/sight.h"
#include "job/start_rig.h"

#include <string.h>

struct opening {
	struct shelf shelf;
	const struct lw_job_start *start;
	const char *rig;		/* NULL: none */
	const struct lw_device *device; /* as given, or found by a pattern */
	const char *lamp;		/* as given, or found by a pattern */
	const struct lw_symptom *symptom;
	const struct lw_tree *tree;
	struct sighting sightings[LW_JOB_PATTERNS_MAX];
	struct lw_finding findings[LW_JOB_PATTERNS_MAX + 2];
	size_t finding_count;
};

static enum lw_status
refuse_lamp(
    const struct lw_device *device, const char *lamp, struct lw_err *err)
{
	char quoted[QUOTE_SIZE];
	struct buf list;
	size_t i;

	buf_init(&list, 200);
	for (i = 0; i < device->lamp_count; i++)
		buf_printf(
		    &list, "%s%s", i == 0 ? "" : ", ", device->lamps[i].id);
	err_set(err, LW_NOT_FOUND, "%s has no lamp \"%s\"; its lamps are: %s",
	    device->title, quote(quoted, lamp), buf_text(&list));
	buf_clear(&list);
	return LW_NOT_FOUND;
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
		status = sight_pattern(sighting, &opening->shelf,
		    opening->device, opening->lamp, start->patterns[i], err);
		if (status != LW_OK)
			return status;
		if (sighting->code == NULL && opening->symptom == NULL &&
		    opening->tree == NULL)
			return err_set(err, LW_NOT_FOUND,
			    "no device in the book has a code %s; teach it to "
			    "yours, or start from a symptom",
			    sighting->pattern);
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
	const char *device;
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
	status = start_find_rig(&opening->rig, &device, shelf, start, err);
	if (status != LW_OK)
		return status;
	if (start->lamp != NULL && device == NULL)
		return err_set(err, LW_BAD_INPUT,
		    "a lamp is one of a device; say which device too");
	if (device != NULL) {
		status = shelf_device(&opening->device, shelf, device, err);
		if (status == LW_OK)
			status = need(opening->device, "device", device, err);
		if (status != LW_OK)
			return status;
	}
	if (start->lamp != NULL &&
	    sight_lamp(opening->device, start->lamp) == NULL)
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
		if (opening->tree->walk &&
		    (start->pattern_count > 0 || opening->symptom != NULL))
			return err_set(err, LW_BAD_INPUT,
			    "\"%.100s\" is a walk-through, for a vehicle that "
			    "nothing is known to be wrong with; open a job of "
			    "its own for what was seen",
			    opening->tree->title);
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

/* A lamp that only informs is nothing to find the cause of. */
static enum lw_status
refuse_no_fault(struct opening *opening, struct lw_err *err)
{
	const struct lw_fault *fault = NULL;
	const struct lw_code *code;
	enum lw_status status;
	size_t i;

	if (opening->symptom != NULL || opening->tree != NULL)
		return LW_OK;
	for (i = 0; i < opening->start->pattern_count; i++) {
		code = opening->sightings[i].code;
		if (code == NULL || code->fault == NULL)
			return LW_OK;
		status = shelf_fault(&fault, &opening->shelf, code->fault, err);
		if (status != LW_OK)
			return status;
		if (fault == NULL || fault->severity != LW_SEVERITY_INFORMS ||
		    fault->causes.count > 0)
			return LW_OK;
	}
	return err_set(err, LW_BAD_INPUT,
	    "%s means \"%.100s\" here, which is no fault; start from a "
	    "symptom, what the vehicle does",
	    opening->sightings[0].pattern, fault->title);
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
		status = refuse_no_fault(opening, err);
	if (status == LW_OK)
		status = write_findings(opening, err);
	if (status != LW_OK)
		goto out;
	title = title_of(opening);
	if (title == NULL) {
		status = err_no_memory(err);
		goto out;
	}
	status = book_job_new(book, opening->rig,
	    opening->device != NULL ? opening->device->id : NULL, opening->lamp,
	    title, opening->findings, opening->finding_count, now_s, job, err);
out:
	lw_arena_free(arena);
	return status;
}
