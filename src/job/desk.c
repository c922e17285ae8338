/* Opens a job for a change and appends to it; which change it is, is left to
 * answering, change and holding. */
#include "job/desk.h"

#include "base/arena.h"
#include "base/err.h"
#include "base/utf8.h"

#include <string.h>

enum { WORDS_MAX = 4000 };

enum lw_status
desk_open(struct desk *desk, struct lw_book *book, int64_t job,
    const struct lw_actor *actor, struct lw_err *err)
{
	const struct book_job *loaded;
	enum lw_status status;

	memset(desk, 0, sizeof *desk);
	desk->actor = actor;
	status = hold_check_actor(actor, err);
	if (status != LW_OK)
		return status;
	desk->arena = lw_arena_new();
	if (desk->arena == NULL)
		return err_no_memory(err);
	shelf_init(&desk->shelf, book, desk->arena);
	status = book_job_load(book, desk->arena, job, &loaded, err);
	if (status == LW_OK)
		status = situation_find(&desk->at, &desk->shelf, loaded,
		    actor->screen, actor->now_s, err);
	return status;
}

void
desk_close(struct desk *desk)
{
	lw_arena_free(desk->arena);
}

enum lw_status
desk_act(struct desk *desk, struct lw_err *err)
{
	const struct situation *at = &desk->at;

	/* Where nothing was done yet there is nothing to take over. */
	desk->takes =
	    at->findings.answer != NULL &&
	    !hold_is_for(&at->hold, at->job->job, desk->actor->screen);
	return hold_act(&desk->hold, &at->hold, at->job->job, desk->actor, err);
}

/* What the job comes to with these findings at its end. */
static enum lw_status
find_cured(struct book_cured *cured, const struct desk *desk,
    const struct lw_finding *more, size_t count, struct lw_err *err)
{
	const struct book_job *job = desk->at.job;
	size_t all = job->finding_count + count, i;
	struct lw_finding *items = arena_array(desk->arena, all, sizeof *items);
	struct findings findings;
	struct repair repair = {0};
	enum lw_status status;

	memset(cured, 0, sizeof *cured);
	if (all == 0)
		return LW_OK;
	if (items == NULL)
		return err_no_memory(err);
	for (i = 0; i < all; i++)
		items[i] = i < job->finding_count
			       ? job->findings[i]
			       : more[i - job->finding_count];
	status = findings_settle(&findings, desk->arena, items, all, err);
	if (status == LW_OK)
		status = repair_find(&repair, desk->arena, &findings, err);
	if (status != LW_OK || !repair.cured)
		return status;
	cured->cause = repair.cause;
	findings_began(&cured->fault, &cured->symptom, &findings);
	return LW_OK;
}

enum lw_status
desk_append(struct desk *desk, const struct lw_finding *finding, bool let_go,
    struct lw_err *err)
{
	struct lw_finding both[2];
	struct book_cured cured;
	enum lw_status status;
	size_t count = 0;

	memset(both, 0, sizeof both);
	if (desk->takes) {
		both[count].kind = LW_FINDING_TAKE;
		both[count++].title = desk->actor->name;
	}
	if (finding != NULL)
		both[count++] = *finding;
	if (let_go)
		desk->hold.next.held = false;
	status = find_cured(&cured, desk, both, count, err);
	if (status != LW_OK)
		return status;
	return book_job_append(desk->shelf.book, desk->at.job->job,
	    findings_serial(&desk->at.findings), both, count, &desk->hold,
	    &cured, desk->actor->now_s, err);
}

enum lw_status
desk_check_words(const char *words, struct lw_err *err)
{
	size_t length = words == NULL ? 0 : strlen(words);

	if (length > WORDS_MAX)
		return err_set(err, LW_TOO_BIG,
		    "the words are longer than %d bytes; shorten them, or "
		    "keep them as notes",
		    WORDS_MAX);
	if (length > 0 && utf8_valid(words, length) != length)
		return err_set(err, LW_BAD_INPUT,
		    "the words are not UTF-8 text; type them again");
	return LW_OK;
}
