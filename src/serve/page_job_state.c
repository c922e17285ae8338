/* The page on power: what is proved of a job's vehicle, since when and for
 * how long it holds, and the ways between the states. What is proved is left
 * to the job. */
#include "serve/job_page.h"
#include "serve/pages.h"

#include <stdio.h>
#include <string.h>

/* "now", "1 minute", "12 minutes". */
static void
set_minutes(struct reply *reply, const char *key, int64_t seconds)
{
	int64_t minutes = seconds <= 0 ? 0 : (seconds + 59) / 60;

	if (minutes == 1)
		reply_text(reply, key, "1 minute");
	else
		reply_textf(reply, key, "%lld minutes", (long long)minutes);
}

/* Whether a finding proved a state. A check that has left the book cannot
 * say. */
static bool
proves(const struct request *request, struct lw_arena *arena,
    const struct lw_finding *finding, enum lw_power power)
{
	const struct lw_check *check;
	size_t i;

	if (finding->undone || finding->kind != LW_FINDING_CHECK ||
	    finding->subject == NULL || finding->outcome == NULL ||
	    lw_book_check_of(
		request->book, arena, finding->subject, &check, NULL) != LW_OK)
		return false;
	for (i = 0; i < check->outcome_count; i++)
		if (strcmp(check->outcomes[i].id, finding->outcome) == 0)
			return check->outcomes[i].enters == power;
	return false;
}

static void
set_times(const struct request *request, struct reply *reply,
    struct lw_arena *arena, const struct lw_job *job)
{
	const struct lw_finding *finding, *last;
	size_t i;

	if (job->power == LW_POWER_UNKNOWN || job->finding_count == 0)
		return;
	last = &job->findings[job->finding_count - 1];
	set_minutes(reply, "holds_for",
	    last->time_s + LW_JOB_POWER_HOLDS_S - request->now_s);
	for (i = job->finding_count; i > 0; i--) {
		finding = &job->findings[i - 1];
		if (!proves(request, arena, finding, job->power))
			continue;
		set_minutes(
		    reply, "proved_before", request->now_s - finding->time_s);
		reply_text(reply, "proved_by", finding->title);
		break;
	}
}

/* The checks that lead into the states, `way_isolated` and so on. */
static void
set_ways(
    const struct request *request, struct reply *reply, struct lw_arena *arena)
{
	const struct lw_check *check;
	enum lw_power power;
	char key[48];

	for (power = LW_POWER_ISOLATED; power < LW_POWER_COUNT; power++) {
		if (lw_book_gate(request->book, arena, power, &check, NULL) !=
		    LW_OK)
			continue;
		snprintf(key, sizeof key, "way_%s", lw_power_name(power));
		reply_text(reply, key, check->id);
	}
}

void
page_job_state(const struct request *request, struct reply *reply)
{
	struct lw_arena *arena = NULL;
	const struct lw_job *job;
	char key[48];

	if (!job_page_show(request, reply, 200, "state"))
		return;
	arena = lw_arena_new();
	if (arena == NULL ||
	    lw_job_get(request->book, arena, job_page_of(request),
		request->screen.id, request->now_s, &job, NULL) != LW_OK)
		goto out;
	snprintf(key, sizeof key, "at_%s", lw_power_name(job->power));
	reply_bool(reply, key, true);
	set_times(request, reply, arena, job);
	set_ways(request, reply, arena);
out:
	lw_arena_free(arena);
}
