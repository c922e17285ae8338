/* Shows what is believed of the causes in play: suspects with their shares and
 * why, and those that are out. Belief itself is left to reasoning. */
#include "job/suspects.h"

#include "base/arena.h"
#include "base/err.h"
#include "job/reasons.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A cause counts as excluded when the answers have left it less than this,
 * and less than half of what it began with. */
static const double HARDLY = 0.01;

/* A finding is shown as a reason where it changed the odds by a quarter. */
static const double LEAST_FACTOR = 1.25;

struct place {
	size_t item; /* in play */
	double share;
	bool sure;
};

static int
by_share(const void *a, const void *b)
{
	const struct place *one = a, *other = b;

	if (one->sure != other->sure)
		return one->sure ? -1 : 1;
	if (one->share < other->share || one->share > other->share)
		return one->share > other->share ? -1 : 1;
	return (one->item > other->item) - (one->item < other->item);
}

/* --- why ----------------------------------------------------------------- */

static int
by_strength(const void *a, const void *b)
{
	const struct lw_why *one = a, *other = b;
	double left = fabs(log(one->factor)), right = fabs(log(other->factor));

	if (left < right || left > right)
		return left > right ? -1 : 1;
	return (one->serial > other->serial) - (one->serial < other->serial);
}

static enum lw_status
find_whys(struct lw_suspect *suspect, struct lw_arena *arena,
    const struct reasoning *r, size_t item, struct lw_err *err)
{
	const struct evidence *evidence = &r->evidence;
	struct lw_why *whys;
	size_t count = 0, k;
	double factor;

	if (evidence->count == 0)
		return LW_OK;
	whys = arena_array(arena, evidence->count, sizeof *whys);
	if (whys == NULL)
		return err_no_memory(err);
	for (k = 0; k < evidence->count; k++) {
		const struct lw_finding *finding = evidence->items[k];

		factor = r->factor[k * r->play.count + item];
		if (factor < LEAST_FACTOR && factor > 1 / LEAST_FACTOR)
			continue;
		whys[count].serial = finding->serial;
		whys[count].title =
		    finding->title != NULL ? finding->title : finding->subject;
		whys[count].outcome = finding->outcome_title != NULL
					  ? finding->outcome_title
					  : finding->outcome;
		whys[count].factor = factor;
		whys[count].text = reasons_why(arena, &whys[count]);
		if (whys[count].text == NULL)
			return err_no_memory(err);
		count++;
	}
	if (count > 1)
		qsort(whys, count, sizeof *whys, by_strength);
	suspect->whys = whys;
	suspect->why_count = count;
	return LW_OK;
}

static enum lw_status
put_suspect(struct lw_suspect *suspect, struct lw_arena *arena,
    const struct reasoning *r, size_t item, struct lw_err *err)
{
	const struct play_cause *cause = &r->play.items[item];

	suspect->share = r->share[item];
	suspect->began = r->prior[item];
	if (cause->cause == NULL) {
		suspect->cause = SUSPECT_UNLISTED;
		suspect->title = "something that is not in the book";
	} else if (cause->also == NULL) {
		suspect->cause = cause->cause->id;
		suspect->title = cause->cause->title;
	} else {
		suspect->cause = cause->cause->id;
		suspect->also = cause->also->id;
		suspect->title = arena_printf(arena, "Both at once: %s; and %s",
		    cause->cause->title, cause->also->title);
		if (suspect->title == NULL)
			return err_no_memory(err);
	}
	suspect->here = cause->here;
	suspect->cases = r->play.cases;
	suspect->elsewhere = cause->elsewhere;
	suspect->others = r->play.others;
	if (cause->also == NULL &&
	    !reasons_counted(&suspect->counted, arena, suspect))
		return err_no_memory(err);
	return find_whys(suspect, arena, r, item, err);
}

/* --- who is left, and who is out ----------------------------------------- */

static bool
is_cause(const struct play_cause *item, const char *id)
{
	return id != NULL && item->cause != NULL && item->also == NULL &&
	       strcmp(item->cause->id, id) == 0;
}

static enum lw_status
rank(struct suspects *suspects, struct lw_arena *arena,
    const struct reasoning *r, const char *sure, struct lw_err *err)
{
	struct place *places;
	struct lw_suspect *list;
	enum lw_status status = LW_OK;
	size_t count = 0, i;

	places = arena_array(arena, r->play.count, sizeof *places);
	list = arena_array(arena, r->play.count, sizeof *list);
	if (places == NULL || list == NULL)
		return err_no_memory(err);
	for (i = 0; i < r->play.count; i++) {
		/* What was repaired is out of play. */
		if (!(r->play.items[i].weight > 0))
			continue;
		places[count].item = i;
		places[count].share = r->share[i];
		places[count++].sure = is_cause(&r->play.items[i], sure);
	}
	qsort(places, count, sizeof *places, by_share);
	for (i = 0; i < count && status == LW_OK; i++)
		status = put_suspect(&list[i], arena, r, places[i].item, err);
	suspects->items = list;
	suspects->count = count;
	return status;
}

/* The finding that speaks most against a cause, or NULL. */
static const struct lw_finding *
find_against(const struct reasoning *r, size_t item)
{
	const struct lw_finding *against = NULL;
	double least = 1, factor;
	size_t k;

	for (k = 0; k < r->evidence.count; k++) {
		factor = r->factor[k * r->play.count + item];
		if (factor < least) {
			least = factor;
			against = r->evidence.items[k];
		}
	}
	return against;
}

/* Those out of play, then those that hardly can be. */
static enum lw_status
exclude(struct suspects *suspects, struct lw_arena *arena,
    const struct reasoning *r, const struct situation *at, struct lw_err *err)
{
	const struct lw_finding *against;
	struct lw_excluded *list, *out;
	size_t i;

	list = arena_array(
	    arena, at->repair.out_count + r->play.count, sizeof *list);
	if (list == NULL)
		return err_no_memory(err);
	for (i = 0; i < at->repair.out_count; i++) {
		out = &list[suspects->excluded_count++];
		out->cause = at->repair.out[i].cause;
		out->title = at->repair.out[i].title;
		out->reason = at->repair.out[i].reason;
		out->repaired = at->repair.out[i].repaired;
	}
	for (i = 0; i < r->play.count; i++) {
		const struct play_cause *item = &r->play.items[i];

		if (item->cause == NULL || item->also != NULL ||
		    !(item->weight > 0) || is_cause(item, at->cause) ||
		    r->share[i] >= HARDLY || r->share[i] >= r->prior[i] / 2)
			continue;
		against = find_against(r, i);
		if (against == NULL)
			continue;
		out = &list[suspects->excluded_count++];
		out->cause = item->cause->id;
		out->title = item->cause->title;
		out->reason = reasons_against(arena, against);
		if (out->reason == NULL)
			return err_no_memory(err);
	}
	suspects->excluded = list;
	return LW_OK;
}

enum lw_status
suspects_find(struct suspects *suspects, struct lw_arena *arena,
    const struct reasoning *reasoning, const struct situation *at,
    struct lw_err *err)
{
	enum lw_status status;

	memset(suspects, 0, sizeof *suspects);
	status = exclude(suspects, arena, reasoning, at, err);
	return status == LW_OK
		   ? rank(suspects, arena, reasoning, at->cause, err)
		   : status;
}
