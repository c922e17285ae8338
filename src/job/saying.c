/* What a person says of the vehicle while a job goes on: kept with the rig
 * where there is one, and with the job. What follows from it is left to
 * situation. */
#include "job/desk.h"

#include "base/arena.h"
#include "base/err.h"
#include "book/facts.h"
#include "book/together.h"

#include <string.h>

static enum lw_status
find_value(const struct lw_value **value, struct desk *desk, const char *key,
    struct lw_err *err)
{
	struct rig_values all;
	enum lw_status status;

	status = rig_values_all(&all, desk->shelf.book, desk->arena, err);
	if (status != LW_OK)
		return status;
	*value = rig_values_find(&all, key);
	if (*value != NULL)
		return LW_OK;
	return facts_no_value(&all, key, err);
}

/* The text as it is kept, and shown. */
static enum lw_status
read_text(const char **kept, struct desk *desk, const struct lw_value *value,
    const char *text, struct lw_err *err)
{
	struct buf buf;
	enum lw_status status;

	*kept = NULL;
	if (text == NULL || facts_takes_back(text))
		return LW_OK;
	buf_init(&buf, FACTS_KEPT_MAX);
	status = facts_read(&buf, value, text, err);
	if (status == LW_OK) {
		*kept = arena_dup(desk->arena, buf_text(&buf));
		if (*kept == NULL)
			status = err_no_memory(err);
	}
	buf_clear(&buf);
	return status;
}

/* What was said, in the words of a choice. */
static const char *
title_of(const struct lw_value *value, const char *kept)
{
	size_t i;

	for (i = 0; value->kind == LW_VALUE_CHOICE && value->choices[i] != NULL;
	     i++)
		if (strcmp(value->choices[i], kept) == 0)
			return value->choice_titles[i];
	return kept;
}

/* The rig's fact and the finding, both or neither. "Not known" says nothing
 * of the rig: what it has, it keeps. */
static enum lw_status
keep(struct desk *desk, const struct lw_finding *finding, const char *text,
    struct lw_err *err)
{
	struct lw_book *book = desk->shelf.book;
	const struct lw_rig_pair pair = {finding->subject, text};
	enum lw_status status;

	status = together_begin(book, err);
	if (status != LW_OK)
		return status;
	if (desk->at.rig != NULL && finding->outcome != NULL)
		status = lw_rig_set(
		    book, desk->at.rig->rig, &pair, 1, desk->actor->now_s, err);
	if (status == LW_OK)
		status = desk_append(desk, finding, false, err);
	return together_end(book, status, err);
}

enum lw_status
lw_job_value(struct lw_book *book, int64_t job, const char *key,
    const char *text, const struct lw_actor *actor, struct lw_err *err)
{
	struct lw_finding finding = {.kind = LW_FINDING_VALUE};
	const struct lw_value *value = NULL;
	struct desk desk;
	enum lw_status status;

	status = desk_open(&desk, book, job, actor, err);
	if (status == LW_OK)
		status = desk_act(&desk, err);
	if (status == LW_OK && lw_job_is_over(desk.at.state))
		status = err_set(err, LW_CONFLICT,
		    "job %lld is over; say it on the page of the vehicle, or "
		    "open the job again",
		    (long long)job);
	if (status == LW_OK)
		status = find_value(&value, &desk, key, err);
	if (status == LW_OK)
		status = read_text(&finding.outcome, &desk, value, text, err);
	if (status == LW_OK) {
		finding.subject = value->id;
		finding.title = value->title;
		finding.outcome_title = finding.outcome != NULL
					    ? title_of(value, finding.outcome)
					    : "not known";
		status = keep(&desk, &finding, text, err);
	}
	desk_close(&desk);
	return status;
}
