/* Compiles a tree from the book's causes and checks; what is asked when is left
 * to reason, the document to plan_book. */
#include "view/plan_compile.h"

#include "base/arena.h"
#include "base/buf.h"
#include "base/err.h"
#include "job/sight.h"
#include "reason/belief.h"

#include <string.h>
#include <strings.h>

/* Larger trees nobody follows: unlikely ways end earlier. */
enum { NODES_MOST = 150 };

/* --- what it is for ------------------------------------------------------ */

/* By its title or another phrasing. */
static bool
is_called(const struct lw_symptom *symptom, const char *words)
{
	size_t i;

	for (i = 0; i < symptom->phrases.count; i++)
		if (strcasecmp(symptom->phrases.items[i].text, words) == 0)
			return true;
	return strcasecmp(symptom->title, words) == 0;
}

/* Words that find one symptom, or that one is called by. */
static enum lw_status
find_by_words(struct plan_compiled *of, const char *words, struct lw_err *err)
{
	struct lw_arena *arena = of->shelf.arena;
	struct lw_entries hits;
	enum lw_status status;
	struct buf list;
	size_t i;

	status = lw_book_find_kind(
	    of->shelf.book, arena, "symptom", words, 5, &hits, err);
	if (status == LW_NOT_FOUND)
		return err_set(err, LW_NOT_FOUND,
		    "the book has no symptom, fault or pattern \"%.60s\"; "
		    "lampwright find lists what it has",
		    words);
	if (status != LW_OK)
		return status;
	for (i = 0; i < hits.count; i++) {
		status = shelf_symptom(
		    &of->symptom, &of->shelf, hits.items[i].id, err);
		if (status != LW_OK || hits.count == 1 ||
		    (of->symptom != NULL && is_called(of->symptom, words)))
			return status;
	}
	of->symptom = NULL;
	buf_init(&list, 2000);
	for (i = 0; i < hits.count; i++)
		buf_printf(&list, "%s%s", i > 0 ? ", " : "", hits.items[i].id);
	status = err_set(err, LW_UNDECIDED,
	    "\"%.60s\" fits several symptoms; name one: %.300s", words,
	    buf_text(&list));
	buf_clear(&list);
	return status;
}

/* A pattern on the device, or on the only one that knows it. */
static enum lw_status
find_by_pattern(struct plan_compiled *of, const struct lw_device *device,
    const char *typed, struct lw_err *err)
{
	struct sighting sighting;
	enum lw_status status;

	status = sight_pattern(&sighting, &of->shelf, device, NULL, typed, err);
	if (status != LW_OK)
		return status;
	if (sighting.code == NULL)
		return err_set(err, LW_NOT_FOUND,
		    "no device of the book shows \"%.60s\"", typed);
	if (sighting.device != NULL)
		of->device = sighting.device->id;
	if (sighting.code->fault == NULL)
		return err_set(err, LW_NOT_FOUND,
		    "\"%.60s\" is no fault there: %.200s", typed,
		    sighting.code->meaning != NULL ? sighting.code->meaning
						   : "no meaning is known");
	return shelf_fault(&of->fault, &of->shelf, sighting.code->fault, err);
}

static enum lw_status
find_what(struct plan_compiled *of, const struct lw_plan_for *plan,
    const struct lw_rig *rig, struct lw_err *err)
{
	const struct lw_device *device = NULL;
	const char *id = plan->device;
	enum lw_status status, by_words;
	struct lw_err other = {.code = LW_OK};
	size_t i;

	for (i = 0; rig != NULL && id != NULL && i < rig->device_count; i++)
		if (strcmp(rig->devices[i].name, id) == 0)
			id = rig->devices[i].device;
	if (id != NULL) {
		status = lw_book_device(
		    of->shelf.book, of->shelf.arena, id, &device, err);
		if (status != LW_OK)
			return status;
		of->device = device->id;
	}
	status = shelf_symptom(&of->symptom, &of->shelf, plan->what, err);
	if (status == LW_OK && of->symptom == NULL)
		status = shelf_fault(&of->fault, &of->shelf, plan->what, err);
	if (status != LW_OK || of->symptom != NULL || of->fault != NULL)
		return status;
	if (device == NULL && strpbrk(plan->what, "0123456789") == NULL)
		return find_by_words(of, plan->what, err);
	status = find_by_pattern(of, device, plan->what, err);
	if (status != LW_BAD_INPUT)
		return status;
	/* No pattern; words then, and where they find nothing, what is wrong
	 * with it as a pattern. */
	by_words = find_by_words(of, plan->what, &other);
	if (by_words == LW_NOT_FOUND)
		return status;
	if (err != NULL)
		*err = other;
	return by_words;
}

/* --- the table ----------------------------------------------------------- */

static bool
is_way_in(const struct book_speaker *speaker)
{
	size_t i;

	for (i = 0; i < speaker->outcome_count; i++)
		if (speaker->outcomes[i].enters != LW_POWER_UNKNOWN)
			return true;
	return false;
}

static bool
lacks_tool(const struct book_speaker *speaker, const struct lw_rig *rig)
{
	size_t i;

	for (i = 0; i < speaker->tool_count; i++)
		if (weigh_lacks(rig, speaker->tools[i].text))
			return true;
	return false;
}

/* Those checks that can be done. What says to stop is no cheap end: it is
 * weighed as if the way went on. */
static enum lw_status
pick_checks(
    struct plan_compiled *of, const struct lw_rig *rig, struct lw_err *err)
{
	const struct weighing *weighing = &of->weighing;
	struct lw_arena *arena = of->shelf.arena;
	struct reason_check *checks;
	size_t all = weighing->table.checks, count = 0, j;

	checks = arena_array(arena, all + 1, sizeof *checks);
	of->speaker = arena_array(arena, all + 1, sizeof *of->speaker);
	if (checks == NULL || of->speaker == NULL)
		return err_no_memory(err);
	for (j = 0; j < all; j++) {
		const struct book_speaker *speaker = &weighing->speakers[j];

		if (is_way_in(speaker) || !lw_rig_holds(rig, &speaker->only) ||
		    !weigh_fits(weighing, j, of->share))
			continue;
		if (lacks_tool(speaker, rig)) {
			of->late++;
			continue;
		}
		checks[count] = weighing->table.check[j];
		of->speaker[count++] = j;
	}
	of->table = weighing->table;
	of->table.check = checks;
	of->table.checks = count;
	if (count == 0)
		return err_set(err, LW_NOT_FOUND,
		    "no check that can be done speaks about the causes of "
		    "\"%.100s\", so there is no tree to compile",
		    of->title);
	return LW_OK;
}

static enum lw_status
make_play(struct plan_compiled *of, struct lw_err *err)
{
	const struct lw_refs *causes =
	    of->fault != NULL ? &of->fault->causes : &of->symptom->causes;
	struct lw_arena *arena = of->shelf.arena;
	enum lw_status status;
	size_t i;

	status = play_add_refs(&of->play, &of->shelf, causes, err);
	if (status == LW_OK)
		status = play_recall(&of->play, &of->shelf, of->device,
		    of->fault != NULL ? of->fault->id : NULL,
		    of->symptom != NULL ? of->symptom->id : NULL, 0, err);
	if (status == LW_OK && of->play.count == 0)
		status = err_set(err, LW_NOT_FOUND,
		    "the book names no causes of \"%.100s\"", of->title);
	if (status == LW_OK)
		status = play_add_unlisted(&of->play, &of->shelf, err);
	if (status == LW_OK)
		status = play_learn(&of->play, arena, err);
	if (status != LW_OK)
		return status;
	of->share = arena_array(arena, of->play.count, sizeof *of->share);
	if (of->share == NULL)
		return err_no_memory(err);
	for (i = 0; i < of->play.count; i++)
		of->share[i] = of->play.items[i].weight;
	belief_shares(of->share, of->share, of->play.count);
	return LW_OK;
}

enum lw_status
plan_compile(struct plan_compiled *of, struct lw_book *book,
    struct lw_arena *arena, const struct lw_plan_for *plan,
    const struct lw_plan_limits *limits, struct lw_err *err)
{
	const struct reason_limits bounds = {limits != NULL ? limits->bytes : 0,
	    limits != NULL ? limits->stop : NULL,
	    limits != NULL ? limits->what : NULL};
	struct policy_bounds shape = {0};
	const struct lw_rig *rig = NULL;
	enum lw_status status = LW_OK;

	memset(of, 0, sizeof *of);
	shelf_init(&of->shelf, book, arena);
	if (plan->rig != NULL)
		status = lw_rig_get(book, arena, plan->rig, &rig, err);
	if (status == LW_OK)
		status = find_what(of, plan, rig, err);
	if (status != LW_OK)
		return status;
	of->title = of->fault != NULL ? of->fault->title : of->symptom->title;
	status = make_play(of, err);
	if (status == LW_OK)
		status = weigh(&of->weighing, &of->shelf, &of->play, rig,
		    LW_POWER_UNKNOWN, err);
	if (status == LW_OK)
		status = pick_checks(of, rig, err);
	if (status != LW_OK)
		return status;
	shape.nodes_max = NODES_MOST;
	return policy_make(&of->policy, arena, &of->table, of->share,
	    &of->weighing.fixes, POLICY_BEST, &shape, &bounds, err);
}
