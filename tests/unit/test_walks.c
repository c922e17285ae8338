/* job: what has to hold on every way through every tree, tried on random
 * walks with a fixed seed: over the invented bench, and over the packs that
 * ship. The test keeps its own account of the power state. */
#include "unit/bench.h"
#include "unit/suites.h"

#include "book/jobs.h"

#include <glob.h>
#include <math.h>

enum { STEPS = 10000, STEPS_SLOW = 300, MOVES = 400 };

static struct bench bench;
static uint64_t seed;

static unsigned
dice(unsigned sides)
{
	seed = seed * 6364136223846793005u + 1442695040888963407u;
	return (unsigned)((seed >> 33) % sides);
}

/* Under valgrind every step takes fifty times as long. */
static int
steps_to_do(void)
{
	const char *preload = getenv("LD_PRELOAD");

	return preload != NULL && strstr(preload, "vgpreload") != NULL
		   ? STEPS_SLOW
		   : STEPS;
}

/* --- the test's own account of the power state -------------------------- */

static bool
proves(const struct lw_check *check, enum lw_power power)
{
	size_t i;

	for (i = 0; i < check->outcome_count; i++)
		if (check->outcomes[i].enters == power)
			return true;
	return false;
}

static bool
proves_any(const struct lw_check *check)
{
	size_t i;

	for (i = 0; i < check->outcome_count; i++)
		if (check->outcomes[i].enters != LW_POWER_UNKNOWN)
			return true;
	return false;
}

static enum lw_power
account(enum lw_power power, const struct lw_check *check,
    const struct lw_outcome *outcome)
{
	if (outcome->enters != LW_POWER_UNKNOWN)
		return outcome->enters;
	return proves_any(check) ? LW_POWER_UNKNOWN : power;
}

/* --- what holds at every step ------------------------------------------- */

static void
hold_shares(const struct lw_job *job)
{
	double sum = 0;
	size_t i;

	ck_assert_uint_ge(job->suspect_count, 1);
	for (i = 0; i < job->suspect_count; i++) {
		ck_assert_double_ge(job->suspects[i].share, 0);
		ck_assert_double_le(job->suspects[i].share, 1);
		sum += job->suspects[i].share;
		if (i > 1 || (i == 1 && job->cause == NULL))
			ck_assert_double_ge(
			    job->suspects[i - 1].share, job->suspects[i].share);
	}
	ck_assert_double_eq_tol(sum, 1, 1e-12);
	ck_assert_double_gt(bench_share(job, "unlisted"), 0);
	if (job->cause != NULL)
		ck_assert_str_eq(job->suspects[0].cause, job->cause);
}

static void
hold_step(const struct lw_job *job, enum lw_power proved)
{
	const struct lw_job_step *step = job->step;
	size_t i;

	ck_assert_int_eq(job->power, proved);
	if (job->state != LW_JOB_OPEN)
		return;
	ck_assert_msg(step->check->power == proved ||
			  proves(step->check, step->check->power),
	    "%s is asked with %s", step->check->id, lw_power_name(proved));
	if (lw_meter_needs_isolation(step->check->meter))
		ck_assert_int_eq(proved, LW_POWER_ISOLATED);
	if (step->gate) {
		ck_assert(proves_any(step->check));
		ck_assert_int_ne(step->then->power, proved);
	}
	for (i = 1; i < step->caution_count; i++) {
		ck_assert_ptr_ne(step->cautions[i - 1], step->cautions[i]);
		ck_assert_int_le(
		    step->cautions[i - 1]->signal, step->cautions[i]->signal);
	}
}

/* What an undo has to bring back: all but the power state. */
struct memory {
	enum lw_job_state state;
	char text[4096];
};

static void
remember(struct memory *memory, const struct lw_job *job)
{
	const struct lw_check *check = NULL;
	size_t i, length;

	if (job->step != NULL)
		check = job->step->gate ? job->step->then : job->step->check;
	memory->state = job->state;
	length = (size_t)snprintf(memory->text, sizeof memory->text,
	    "%s|%s|%s|%s", check != NULL ? check->id : "",
	    job->cause != NULL ? job->cause : "",
	    job->likely != NULL ? job->likely : "",
	    job->ending != NULL ? job->ending : "");
	for (i = 0; i < job->put_aside_count; i++)
		length += (size_t)snprintf(memory->text + length,
		    sizeof memory->text - length, "|%s", job->put_aside[i]->id);
	for (i = 0; i < job->suspect_count; i++)
		length += (size_t)snprintf(memory->text + length,
		    sizeof memory->text - length, "|%s %.17g",
		    job->suspects[i].cause, job->suspects[i].share);
	ck_assert_uint_lt(length, sizeof memory->text);
}

/* --- moves --------------------------------------------------------------- */

/* An answer that is this outcome: its id, its title, or a reading. */
static void
say_outcome(char *text, size_t size, const struct lw_check *check,
    const struct lw_outcome *outcome)
{
	double value;

	snprintf(text, size, "%s", outcome->id);
	if (check->unit == NULL || dice(2) == 0 ||
	    (!outcome->has_from && !outcome->has_below))
		return;
	if (outcome->has_from && outcome->has_below)
		value = (outcome->from + outcome->below) / 2;
	else if (outcome->has_from)
		value = outcome->from + dice(3);
	else
		value = outcome->below > 0 ? outcome->below / 2
					   : outcome->below - 1;
	snprintf(text, size, "%.15g %s", value, check->unit);
}

/* After many tries somebody gets into the state. */
static const struct lw_outcome *
choose(const struct lw_check *check, bool get_on)
{
	size_t i;

	for (i = 0; get_on && i < check->outcome_count; i++)
		if (check->outcomes[i].enters != LW_POWER_UNKNOWN)
			return &check->outcomes[i];
	return &check->outcomes[dice((unsigned)check->outcome_count)];
}

/* The last answer to each check, in another order, in a job of its own:
 * the shares have to be the same. */
static void
hold_order(const struct lw_job *job)
{
	struct lw_finding list[MOVES + 20], swap;
	const struct lw_job *other;
	size_t count = 0, answers = 0, i, k;
	int64_t number;

	for (i = 0; i < job->finding_count; i++)
		if (job->findings[i].kind <= LW_FINDING_TREE)
			list[count++] = job->findings[i];
	for (i = job->finding_count; i-- > 0;) {
		if (job->findings[i].kind != LW_FINDING_CHECK ||
		    job->findings[i].undone)
			continue;
		for (k = count - answers; k < count; k++)
			if (strcmp(list[k].subject, job->findings[i].subject) ==
			    0)
				break;
		if (k == count) {
			list[count++] = job->findings[i];
			answers++;
		}
	}
	for (i = answers; i > 1; i--) {
		k = dice((unsigned)i);
		swap = list[count - i];
		list[count - i] = list[count - i + k];
		list[count - i + k] = swap;
	}
	ck_assert_int_eq(book_job_new(bench.book, NULL, NULL, NULL, "order",
			     list, count, bench.now_s, &number, &bench.err),
	    LW_OK);
	other = bench_get(&bench, number);
	ck_assert_uint_eq(other->suspect_count, job->suspect_count);
	for (i = 0; i < job->suspect_count; i++)
		ck_assert_double_eq_tol(
		    bench_share(other, job->suspects[i].cause),
		    job->suspects[i].share, 1e-12);
}

static bool
has_answered(const struct lw_job *job)
{
	size_t i;

	for (i = 0; i < job->finding_count; i++)
		if (!job->findings[i].undone &&
		    job->findings[i].kind >= LW_FINDING_CHECK &&
		    job->findings[i].kind <= LW_FINDING_TAKE_UP)
			return true;
	return false;
}

/* From here on only answers, and a few put aside: it has to end. */
static int
finish(int64_t number, enum lw_power power)
{
	const struct lw_job *job = bench_get(&bench, number);
	const struct lw_check *check;
	const struct lw_outcome *outcome;
	char answer[80];
	int moves = 0;

	while (job->state == LW_JOB_OPEN) {
		check = job->step->check;
		ck_assert_msg(moves++ < MOVES, "no end at %s", check->id);
		if (dice(8) == 0) {
			if (job->step->gate)
				power = LW_POWER_UNKNOWN;
			job = bench_answer(&bench, number, "cannot");
		} else {
			outcome = choose(check, dice(3) > 0);
			say_outcome(answer, sizeof answer, check, outcome);
			power = account(power, check, outcome);
			job = bench_answer(&bench, number, answer);
			ck_assert_str_eq(
			    job->findings[job->finding_count - 1].outcome,
			    outcome->id);
		}
		hold_shares(job);
		hold_step(job, power);
	}
	hold_order(job);
	return moves;
}

/* Any move that a person may make, in any order. */
static int
wander(int64_t number)
{
	const struct lw_job *job = bench_get(&bench, number);
	struct memory before = {0}, after;
	enum lw_power power = LW_POWER_UNKNOWN;
	const struct lw_check *check;
	const struct lw_outcome *outcome;
	char answer[80];
	bool remembered = false;
	int moves, total = 3 + (int)dice(25);

	for (moves = 0; moves < total; moves++) {
		hold_shares(job);
		hold_step(job, power);
		switch (dice(20)) {
		case 0:
		case 1:
		case 2:
			if (!job->can_undo) {
				ck_assert(!has_answered(job));
				break;
			}
			job = bench_undo(&bench, number);
			power = LW_POWER_UNKNOWN;
			if (remembered) {
				remember(&after, job);
				ck_assert_int_eq(after.state, before.state);
				ck_assert_str_eq(after.text, before.text);
			}
			remembered = false;
			continue;
		case 3:
			ck_assert_int_eq(
			    bench_do(&bench, lw_job_resume, number), LW_OK);
			power = LW_POWER_UNKNOWN;
			job = bench_get(&bench, number);
			continue;
		case 4:
			bench.now_s += LW_JOB_POWER_HOLDS_S;
			/* A note of the break, so that no answer is taken
			 * for that of another step. */
			ck_assert_int_eq(
			    bench_do(&bench, lw_job_resume, number), LW_OK);
			power = LW_POWER_UNKNOWN;
			job = bench_get(&bench, number);
			continue;
		case 5:
			remember(&after, job);
			if (bench_end(&bench, number, false, "enough") !=
			    LW_OK) {
				ck_assert_int_eq(bench.err.code, LW_CONFLICT);
				break;
			}
			before = after;
			remembered = true;
			power = LW_POWER_UNKNOWN;
			job = bench_get(&bench, number);
			continue;
		case 6:
			remember(&after, job);
			if (bench_do(&bench, lw_job_reopen, number) != LW_OK) {
				ck_assert_int_eq(bench.err.code, LW_CONFLICT);
				break;
			}
			before = after;
			remembered = job->state != LW_JOB_CLOSED;
			if (job->state == LW_JOB_CLOSED)
				power = LW_POWER_UNKNOWN;
			job = bench_get(&bench, number);
			continue;
		default:
			break;
		}
		if (job->state != LW_JOB_OPEN)
			continue;
		remember(&before, job);
		remembered = true;
		check = job->step->check;
		if (dice(6) == 0) {
			if (job->step->gate)
				power = LW_POWER_UNKNOWN;
			job = bench_answer(
			    &bench, number, dice(2) ? "cannot" : "Skip");
			continue;
		}
		outcome = choose(check, dice(2) == 0);
		say_outcome(answer, sizeof answer, check, outcome);
		power = account(power, check, outcome);
		job = bench_answer(&bench, number, answer);
	}
	if (job->state == LW_JOB_CLOSED) {
		ck_assert_int_eq(
		    bench_do(&bench, lw_job_reopen, number), LW_OK);
		power = LW_POWER_UNKNOWN;
	}
	return moves + finish(number, power);
}

/* --- starts -------------------------------------------------------------- */

/* A job led by this tree; from a symptom or a lamp's pattern as well, where
 * there is one for it. */
static int64_t
start_by(const struct lw_tree *tree, const struct lw_entries *devices)
{
	const struct lw_device *device;
	const char *fault;
	size_t d, c;

	if (tree->symptoms.count > 0 && dice(2) == 0)
		return bench_start(&bench, NULL, NULL,
		    tree->symptoms.items[dice((unsigned)tree->symptoms.count)]
			.id,
		    tree->id);
	if (tree->faults.count == 0 || dice(3) == 0)
		return bench_start(&bench, NULL, NULL, NULL, tree->id);
	fault = tree->faults.items[dice((unsigned)tree->faults.count)].id;
	for (d = 0; d < devices->count; d++) {
		ck_assert_int_eq(lw_book_device(bench.book, bench.arena,
				     devices->items[d].id, &device, &bench.err),
		    LW_OK);
		for (c = 0; c < device->code_count; c++) {
			const struct lw_code *code = &device->codes[c];
			int64_t job = 0;

			if (code->fault == NULL ||
			    strcmp(code->fault, fault) != 0)
				continue;
			ck_assert_msg(bench_try_start(&bench, &job, device->id,
					  code->lamp, code->pattern, NULL,
					  tree->id) == LW_OK,
			    "%s %s: %s", device->id, code->pattern,
			    bench.err.text);
			ck_assert_str_eq(bench_get(&bench, job)->fault, fault);
			return job;
		}
	}
	return bench_start(&bench, NULL, NULL, NULL, tree->id);
}

/* Walk every tree of the book in turn until there were steps enough. */
static void
walk_all(void)
{
	struct lw_entries trees, devices;
	const struct lw_tree *tree;
	int steps = 0, wanted = steps_to_do();
	size_t walks = 0;

	while (steps < wanted || walks < 3) {
		ck_assert_int_eq(lw_book_list(bench.book, bench.arena, "tree",
				     &trees, &bench.err),
		    LW_OK);
		ck_assert_int_eq(lw_book_list(bench.book, bench.arena, "device",
				     &devices, &bench.err),
		    LW_OK);
		ck_assert_uint_gt(trees.count, 0);
		ck_assert_int_eq(
		    lw_book_tree(bench.book, bench.arena,
			trees.items[walks % trees.count].id, &tree, &bench.err),
		    LW_OK);
		steps += wander(start_by(tree, &devices));
		walks++;
		bench_forget(&bench);
	}
	ck_assert_uint_ge(walks, wanted == STEPS ? trees.count : 1);
}

START_TEST(walks_the_bench)
{
	seed = 17;
	bench_setup(&bench);
	walk_all();
	bench_close(&bench);
}
END_TEST

START_TEST(walks_what_ships)
{
	glob_t found;

	seed = 23;
	bench_open(&bench);
	ck_assert_int_eq(glob(KB_DIR "/*.yaml", 0, NULL, &found), 0);
	bench_put(&bench, (const char *const *)found.gl_pathv, found.gl_pathc);
	globfree(&found);
	walk_all();
	bench_close(&bench);
}
END_TEST

Suite *
suite_walks(void)
{
	Suite *suite = suite_create("walks");
	TCase *walks = tcase_create("walks");

	tcase_set_timeout(walks, 600);
	tcase_add_test(walks, walks_the_bench);
	tcase_add_test(walks, walks_what_ships);
	suite_add_tcase(suite, walks);
	return suite;
}
