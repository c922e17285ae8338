/* A book of its own for a job test, filled from job.yaml, and short ways to
 * start a job, answer it and look at it. Every failure stops the test. */
#ifndef UNIT_BENCH_H
#define UNIT_BENCH_H

#include <lampwright.h>

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

struct bench {
	char dir[200];
	char path[220];
	struct lw_book *book;
	struct lw_arena *arena; /* for what is looked at; see bench_get */
	struct lw_err err;
	int64_t now_s;	    /* one second later with every call that writes */
	const char *screen; /* that acts and looks, by its id */
};

/* Read packs together and put them all in, but for those named `skip`. */
static inline void
bench_put(struct bench *bench, const char *const *files, size_t count)
{
	struct lw_arena *arena = lw_arena_new();
	struct lw_pack_text texts[64];
	const struct lw_pack *packs[64] = {0};
	struct lw_problems problems = {0};
	struct lw_err *err = &bench->err;
	size_t i;

	ck_assert_uint_le(count, 64);
	for (i = 0; i < count; i++)
		ck_assert_int_eq(
		    lw_pack_load(arena, files[i], &texts[i], err), LW_OK);
	ck_assert_int_eq(
	    lw_pack_read(arena, texts, count, NULL, packs, &problems, err),
	    LW_OK);
	if (problems.count > 0)
		ck_abort_msg("%s:%u: %s", problems.items[0].file,
		    problems.items[0].line, problems.items[0].text);
	for (i = 0; i < count; i++)
		ck_assert_msg(lw_book_put_pack(bench->book, packs[i],
				  bench->now_s, err) == LW_OK,
		    "%s: %s", files[i], err->text);
	lw_arena_free(arena);
}

static inline void
bench_open(struct bench *bench)
{
	/* Every answer is flushed to disk: kept in memory where that can be. */
	const char *shared = "/dev/shm", *base = getenv("TMPDIR");

	memset(bench, 0, sizeof *bench);
	if (access(shared, W_OK | X_OK) == 0)
		base = shared;
	snprintf(bench->dir, sizeof bench->dir, "%s/lampwright-XXXXXX",
	    base != NULL ? base : P_tmpdir);
	ck_assert_ptr_nonnull(mkdtemp(bench->dir));
	snprintf(bench->path, sizeof bench->path, "%s/book.db", bench->dir);
	bench->now_s = 1700000000;
	bench->screen = "one";
	bench->arena = lw_arena_new();
	ck_assert_msg(
	    lw_book_open(&bench->book, NULL, bench->path, &bench->err) == LW_OK,
	    "%s", bench->err.text);
}

static inline void
bench_close(struct bench *bench)
{
	lw_book_close(bench->book);
	lw_arena_free(bench->arena);
	unlink(bench->path);
	rmdir(bench->dir);
}

static inline void
bench_setup(struct bench *bench)
{
	const char *const file = TESTS_DIR "/unit/job.yaml";

	bench_open(bench);
	bench_put(bench, &file, 1);
}

static inline enum lw_status
bench_try_start(struct bench *bench, int64_t *job, const char *device,
    const char *lamp, const char *pattern, const char *symptom,
    const char *tree)
{
	struct lw_job_start start = {.device = device,
	    .lamp = lamp,
	    .patterns = &pattern,
	    .pattern_count = pattern != NULL ? 1 : 0,
	    .symptom = symptom,
	    .tree = tree};

	return lw_job_new(
	    bench->book, &start, ++bench->now_s, job, &bench->err);
}

static inline int64_t
bench_start(struct bench *bench, const char *device, const char *pattern,
    const char *symptom, const char *tree)
{
	int64_t job = 0;

	ck_assert_msg(bench_try_start(bench, &job, device, NULL, pattern,
			  symptom, tree) == LW_OK,
	    "%s", bench->err.text);
	ck_assert_int_gt(job, 0);
	return job;
}

/* Make a rig, with "key=value" facts separated by commas, and take it in
 * hand. */
static inline void
bench_rig(struct bench *bench, const char *rig, const char *facts)
{
	struct lw_rig_pair pair;
	char copy[200], *rest = copy, *fact;

	ck_assert_msg(lw_rig_new(bench->book, rig, NULL, ++bench->now_s,
			  &bench->err) == LW_OK,
	    "%s", bench->err.text);
	ck_assert_uint_lt(strlen(facts), sizeof copy);
	strcpy(copy, facts);
	while (facts[0] != '\0' && (fact = strsep(&rest, ",")) != NULL) {
		pair.key = fact;
		fact = strchr(fact, '=');
		ck_assert_ptr_nonnull(fact);
		*fact = '\0';
		pair.value = fact + 1;
		ck_assert_msg(lw_rig_set(bench->book, rig, &pair, 1,
				  ++bench->now_s, &bench->err) == LW_OK,
		    "%s", bench->err.text);
	}
	ck_assert_int_eq(lw_rig_use(bench->book, rig, &bench->err), LW_OK);
}

/* As a screen sees it (NULL: one that only looks). Lives until bench_close or
 * bench_forget. */
static inline const struct lw_job *
bench_see(struct bench *bench, int64_t job, const char *screen)
{
	const struct lw_job *found = NULL;

	ck_assert_msg(lw_job_get(bench->book, bench->arena, job, screen,
			  bench->now_s, &found, &bench->err) == LW_OK,
	    "%s", bench->err.text);
	ck_assert_ptr_nonnull(found);
	ck_assert(found->state != LW_JOB_OPEN || found->step != NULL);
	return found;
}

static inline const struct lw_job *
bench_get(struct bench *bench, int64_t job)
{
	return bench_see(bench, job, bench->screen);
}

static inline void
bench_forget(struct bench *bench)
{
	lw_arena_free(bench->arena);
	bench->arena = lw_arena_new();
	ck_assert_ptr_nonnull(bench->arena);
}

static inline struct lw_actor
bench_actor(struct bench *bench)
{
	struct lw_actor actor = {bench->screen, bench->screen, ++bench->now_s};

	bench->err.text[0] = '\0';
	return actor;
}

/* Any of the calls that take nothing besides: lw_job_undo, ... */
static inline enum lw_status
bench_do(struct bench *bench,
    enum lw_status (*act)(struct lw_book *book, int64_t job,
	const struct lw_actor *actor, struct lw_err *err),
    int64_t job)
{
	struct lw_actor actor = bench_actor(bench);

	return act(bench->book, job, &actor, &bench->err);
}

/* ... and those that take a text: lw_job_pick, lw_job_suppose, lw_job_wait. */
static inline enum lw_status
bench_do_with(struct bench *bench,
    enum lw_status (*act)(struct lw_book *book, int64_t job, const char *text,
	const struct lw_actor *actor, struct lw_err *err),
    int64_t job, const char *text)
{
	struct lw_actor actor = bench_actor(bench);

	return act(bench->book, job, text, &actor, &bench->err);
}

static inline enum lw_status
bench_end(struct bench *bench, int64_t job, bool given_up, const char *words)
{
	struct lw_actor actor = bench_actor(bench);

	return lw_job_close(
	    bench->book, job, given_up, words, &actor, &bench->err);
}

static inline enum lw_status
bench_hand(struct bench *bench, int64_t job, bool keep)
{
	struct lw_actor actor = bench_actor(bench);

	return lw_job_hand(bench->book, job, keep, &actor, &bench->err);
}

static inline enum lw_status
bench_give(struct bench *bench, int64_t job, struct lw_answer answer)
{
	struct lw_actor actor = bench_actor(bench);

	return lw_job_answer(bench->book, job, &actor, &answer, &bench->err);
}

static inline enum lw_status
bench_say(struct bench *bench, int64_t job, int64_t serial, const char *text,
    const char *words)
{
	return bench_give(bench, job,
	    (struct lw_answer){.serial = serial, .text = text, .words = words});
}

static inline enum lw_status
bench_try(struct bench *bench, int64_t job, const char *answer)
{
	return bench_say(bench, job, -1, answer, NULL);
}

/* Answer, and see how it stands then. */
static inline const struct lw_job *
bench_answer(struct bench *bench, int64_t job, const char *answer)
{
	ck_assert_msg(bench_try(bench, job, answer) == LW_OK, "%s: %s", answer,
	    bench->err.text);
	return bench_get(bench, job);
}

/* The answers, separated by spaces. */
static inline const struct lw_job *
bench_answers(struct bench *bench, int64_t job, const char *answers)
{
	char copy[200], *rest = copy, *answer;

	ck_assert_uint_lt(strlen(answers), sizeof copy);
	strcpy(copy, answers);
	while ((answer = strsep(&rest, " ")) != NULL)
		bench_answer(bench, job, answer);
	return bench_get(bench, job);
}

static inline const struct lw_job *
bench_undo(struct bench *bench, int64_t job)
{
	ck_assert_msg(
	    bench_do(bench, lw_job_undo, job) == LW_OK, "%s", bench->err.text);
	return bench_get(bench, job);
}

static inline double
bench_share(const struct lw_job *job, const char *cause)
{
	size_t i;

	for (i = 0; i < job->suspect_count; i++)
		if (strcmp(job->suspects[i].cause, cause) == 0)
			return job->suspects[i].share;
	return -1;
}

/* What is asked, and for which check where it is on the way to one. */
#define ck_asks(job, job_state, check_id, then_id)                      \
	do {                                                            \
		const struct lw_job *at_ = (job);                       \
		const char *then_ = (then_id);                          \
		ck_assert_str_eq(lw_job_state_name(at_->state),         \
		    lw_job_state_name(job_state));                      \
		ck_assert_ptr_nonnull(at_->step);                       \
		ck_assert_str_eq(at_->step->check->id, (check_id));     \
		ck_assert_int_eq(at_->step->gate, then_ != NULL);       \
		ck_assert_pstr_eq(                                      \
		    then_ == NULL ? NULL : at_->step->then->id, then_); \
		ck_assert(then_ != NULL || at_->step->then == NULL);    \
	} while (0)
#define ck_step(job, check_id, then_id) \
	ck_asks(job, LW_JOB_OPEN, check_id, then_id)

#endif
