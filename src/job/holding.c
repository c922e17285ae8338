/* Screens pass a vehicle on: taking, asking, handing over, letting go. Who
 * may act on a job is left to hold. */
#include "job/desk.h"

#include "base/err.h"

#include <string.h>

static enum lw_status
nobody(struct lw_err *err)
{
	return err_set(
	    err, LW_CONFLICT, "nobody holds the vehicle; just take it");
}

/* The hold as it is, to be changed a little. */
static void
keep_row(struct desk *desk)
{
	desk->hold.vehicle = desk->at.hold.vehicle;
	desk->hold.seen = desk->at.hold.row;
	desk->hold.next = desk->at.hold.row;
	desk->takes = false;
}

static bool
is_held(const struct desk *desk)
{
	return desk->at.hold.row.held && !desk->at.hold.lapsed;
}

static bool
is_mine(const struct desk *desk)
{
	return is_held(desk) &&
	       strcmp(desk->at.hold.row.screen, desk->actor->screen) == 0;
}

enum lw_status
lw_job_take(struct lw_book *book, int64_t job, const struct lw_actor *actor,
    struct lw_err *err)
{
	struct lw_hold shown;
	struct desk desk;
	enum lw_status status;

	status = desk_open(&desk, book, job, actor, err);
	if (status != LW_OK)
		goto out;
	hold_show(&shown, &desk.at.hold, actor->screen, actor->now_s);
	if (!shown.free) {
		if (shown.i_ask)
			status = err_set(err, LW_CONFLICT,
			    "%s has the vehicle and was asked; without a word "
			    "from there it can be taken after %d seconds",
			    shown.name, LW_JOB_ASKED_S);
		else
			status = err_set(err, LW_CONFLICT,
			    "%s has the vehicle in hand; ask for it first",
			    shown.name);
		goto out;
	}
	if (is_mine(&desk) && shown.job == job)
		goto out;
	desk.hold.vehicle = desk.at.hold.vehicle;
	desk.hold.seen = desk.at.hold.row;
	desk.hold.next = (struct book_hold){.held = true,
	    .job = job,
	    .screen = actor->screen,
	    .name = actor->name,
	    .since_s = actor->now_s,
	    .last_s = actor->now_s};
	desk.takes = true;
	status = desk_append(&desk, NULL, false, err);
out:
	desk_close(&desk);
	return status;
}

/* Times far enough apart have no difference. */
static bool
asked_lately(const struct book_hold *row, int64_t now_s)
{
	int64_t since_s;

	return now_s >= row->asked_s &&
	       !__builtin_sub_overflow(now_s, row->asked_s, &since_s) &&
	       since_s < LW_JOB_POWER_HOLDS_S;
}

enum lw_status
lw_job_ask(struct lw_book *book, int64_t job, const struct lw_actor *actor,
    struct lw_err *err)
{
	const struct book_hold *row;
	struct desk desk;
	enum lw_status status;

	status = desk_open(&desk, book, job, actor, err);
	if (status != LW_OK)
		goto out;
	row = &desk.at.hold.row;
	if (!is_held(&desk))
		status = nobody(err);
	else if (is_mine(&desk))
		status = err_set(
		    err, LW_CONFLICT, "this screen holds the vehicle already");
	else if (row->asker != NULL && strcmp(row->asker, actor->screen) != 0 &&
		 asked_lately(row, actor->now_s))
		status = err_set(err, LW_CONFLICT,
		    "%s asks for the vehicle already; wait until that is "
		    "settled",
		    row->asker_name);
	else if (row->asker != NULL && strcmp(row->asker, actor->screen) == 0 &&
		 actor->now_s >= row->asked_s)
		status = LW_OK; /* asking twice does not begin again */
	else {
		keep_row(&desk);
		desk.hold.next.asker = actor->screen;
		desk.hold.next.asker_name = actor->name;
		desk.hold.next.asked_s = actor->now_s;
		status = desk_append(&desk, NULL, false, err);
	}
out:
	desk_close(&desk);
	return status;
}

enum lw_status
lw_job_hand(struct lw_book *book, int64_t job, bool keep,
    const struct lw_actor *actor, struct lw_err *err)
{
	struct lw_finding taken = {.kind = LW_FINDING_TAKE};
	const struct book_hold *row;
	struct desk desk;
	enum lw_status status;

	status = desk_open(&desk, book, job, actor, err);
	if (status != LW_OK)
		goto out;
	row = &desk.at.hold.row;
	if (!is_mine(&desk)) {
		status = err_set(err, LW_CONFLICT,
		    "this screen does not hold the vehicle, so it cannot hand "
		    "it over");
		goto out;
	}
	if (row->asker == NULL) {
		status = err_set(err, LW_CONFLICT,
		    "nobody asks for the vehicle; let it go instead");
		goto out;
	}
	keep_row(&desk);
	desk.hold.next.asker = NULL;
	desk.hold.next.asker_name = NULL;
	desk.hold.next.asked_s = 0;
	if (keep) {
		desk.hold.next.last_s = actor->now_s;
		status = desk_append(&desk, NULL, false, err);
		goto out;
	}
	desk.hold.next.job = job;
	desk.hold.next.screen = row->asker;
	desk.hold.next.name = row->asker_name;
	desk.hold.next.since_s = actor->now_s;
	desk.hold.next.last_s = actor->now_s;
	taken.title = row->asker_name;
	status = desk_append(&desk, &taken, false, err);
out:
	desk_close(&desk);
	return status;
}

enum lw_status
lw_job_release(struct lw_book *book, int64_t job, const struct lw_actor *actor,
    struct lw_err *err)
{
	struct desk desk;
	enum lw_status status;

	status = desk_open(&desk, book, job, actor, err);
	if (status == LW_OK && desk.at.hold.row.held &&
	    strcmp(desk.at.hold.row.screen, actor->screen) == 0) {
		keep_row(&desk);
		desk.hold.next.held = false;
		status = desk_append(&desk, NULL, false, err);
	}
	desk_close(&desk);
	return status;
}
