/* The answer to a job's step: an outcome, a reading, or that it cannot be
 * done. What an answer comes to is left to the job. */
#include "serve/job_page.h"
#include "serve/pages.h"

#include "base/err.h"

#include <lampwright/reading.h>

#include <string.h>

/* The tools that were ticked as missing, fields "missing.TOOL", before what
 * was said besides. */
static void
add_words(struct buf *words, const struct request *request)
{
	static const char prefix[] = "missing.";
	const struct form *form = &request->body;
	const char *said = form_get(form, "words");
	const char *before = "missing: ";
	size_t i;

	for (i = 0; i < form->count; i++) {
		if (strncmp(form->fields[i].name, prefix, sizeof prefix - 1) !=
		    0)
			continue;
		buf_add(words, before);
		buf_add(words, form->fields[i].name + sizeof prefix - 1);
		before = ", ";
	}
	if (words->length > 0 && said[0] != '\0')
		buf_add(words, ". ");
	buf_add(words, said);
}

/* What was typed, as far as it was typed into a reading's field. */
static void
add_answer(struct buf *answer, const struct request *request)
{
	const char *choice = form_get_or_null(&request->body, "choice");
	const char *typed = form_get(&request->body, "answer");

	if (choice != NULL) {
		buf_add(answer, choice);
		return;
	}
	/* The sign is ticked where the pad has no minus. */
	if (form_get_or_null(&request->body, "minus") != NULL &&
	    typed[strspn(typed, " \t")] != '-')
		buf_add_char(answer, '-');
	buf_add(answer, typed);
}

/* Whether a refused answer is a reading all the same: then it was the sort
 * that a person can insist on, having looked again. */
static bool
is_reading(const struct request *request, const char *typed)
{
	struct lw_arena *arena = lw_arena_new();
	const struct lw_job *job;
	bool reading = false;
	double value;

	if (arena != NULL &&
	    lw_job_get(request->book, arena, job_page_of(request),
		request->screen.id, request->now_s, &job, NULL) == LW_OK &&
	    job->step != NULL && job->step->check->unit != NULL)
		reading = lw_reading_parse(&value, typed,
			      job->step->check->unit, NULL) == LW_OK;
	lw_arena_free(arena);
	return reading;
}

/* What was typed for a step that has passed belongs in no box of another one;
 * it is shown beside the sentence, and can be copied from there. */
static void
show_lost(const struct request *request, struct reply *reply)
{
	const char *typed = form_get(&request->body, "answer");
	const char *words = form_get(&request->body, "words");
	struct buf lost;

	buf_init(&lost, FORM_BYTES_MAX);
	buf_add(&lost, typed);
	if (typed[0] != '\0' && words[0] != '\0')
		buf_add_char(&lost, '\n');
	buf_add(&lost, words);
	if (lost.length > 0 && lost.status == LW_OK)
		reply_text(reply, "typed_lost", buf_text(&lost));
	buf_clear(&lost);
}

/* The step again, with what was typed and why it could not be taken. */
static void
show_refused(const struct request *request, struct reply *reply,
    const struct lw_err *err, const char *typed)
{
	const char *choice = form_get(&request->body, "choice");
	const struct lw_err why = *err;

	job_page_again(request, reply, &why);
	if (reply->template == NULL || strcmp(reply->template, "job") != 0)
		return;
	if (why.code == LW_CONFLICT) {
		show_lost(request, reply);
		return;
	}
	reply_bool(reply, "at_answer", true);
	reply_bool(reply, "ask_sure", is_reading(request, typed));
	if (choice[0] == '\0')
		reply_typed(reply, typed, &why);
	/* What cannot be judged by what is known, a person may. */
	if (choice[0] == '\0' && why.code == LW_UNDECIDED)
		reply_text(reply, "typed_judged", typed);
	/* Each way to answer has a box of its own for words. */
	reply_text(reply,
	    strcmp(choice, "cannot") == 0	    ? "typed_cannot"
	    : strcmp(choice, "differs") == 0	    ? "typed_differs"
	    : strcmp(choice, "not-reproduced") == 0 ? "typed_unseen"
						    : "typed_words",
	    form_get_or_null(&request->body, "words"));
}

void
page_job_answer(const struct request *request, struct reply *reply)
{
	const struct lw_actor actor = pages_actor(request);
	struct lw_answer answer = {
	    .check = form_get_or_null(&request->body, "check"),
	    .sure = form_get_or_null(&request->body, "sure") != NULL,
	};
	struct lw_err err = {.code = LW_OK};
	struct buf text, words;

	if (!job_page_serial(request, &answer.serial)) {
		err_set(&err, LW_CONFLICT,
		    "the answer does not say which step it is for; this is "
		    "the step to do now");
		job_page_again(request, reply, &err);
		return;
	}
	buf_init(&text, FORM_BYTES_MAX);
	buf_init(&words, FORM_BYTES_MAX);
	add_answer(&text, request);
	add_words(&words, request);
	answer.text = buf_text(&text);
	answer.words = words.length > 0 ? buf_text(&words) : NULL;
	if (buf_check(&text, &err) == LW_OK &&
	    buf_check(&words, &err) == LW_OK &&
	    lw_job_answer(request->book, job_page_of(request), &actor, &answer,
		&err) == LW_OK)
		job_page_go(reply, job_page_of(request), NULL);
	else
		show_refused(request, reply, &err, answer.text);
	buf_clear(&text);
	buf_clear(&words);
}
