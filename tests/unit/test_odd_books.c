/* job: books that no lint would let through, or that changed under a job.
 * Everything here is invented. */
#include "unit/bench.h"
#include "unit/suites.h"

#include "job/walk.h"

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static struct bench bench;

static void
setup(void)
{
	bench_open(&bench);
}

static void
teardown(void)
{
	bench_close(&bench);
}

/* --- building a pack from lists ----------------------------------------- */

static const struct lw_outcome plain[] = {
    {.id = "yes", .title = "yes", .expected = true},
    {.id = "no", .title = "no"},
};

#define CHOICE(ID, POWER)                                             \
	{                                                             \
		.id = ID, .title = "Check " ID, .ask = "Is it?",      \
		.power = POWER, .outcomes = plain, .outcome_count = 2 \
	}
#define WAY(ID, POWER, STATE)                                                  \
	{                                                                      \
		.id = ID, .title = "Way " ID, .ask = "Is it?", .power = POWER, \
		.outcomes =                                                    \
		    (const struct lw_outcome[]){                               \
			{.id = "yes", .title = "yes", .enters = STATE},        \
			{.id = "no", .title = "no"}},                          \
		.outcome_count = 2                                             \
	}
#define BRANCHES(...)                                        \
	.branches = (const struct lw_branch[]){__VA_ARGS__}, \
	.branch_count = COUNT(((const struct lw_branch[]){__VA_ARGS__}))

static const struct lw_cause causes[] = {
    {.id = "worn", .title = "Worn", .fix = "Replace.", .proof = "Try."},
    {.id = "bent", .title = "Bent", .fix = "Replace.", .proof = "Try."},
};

static const struct lw_step one_step[] = {
    {.id = "a",
	.check = "x",
	BRANCHES({"yes", LW_BRANCH_CAUSE, "worn", {0}},
	    {"no", LW_BRANCH_CAUSE, "bent", {0}})},
};

static const struct lw_caution arcs = {.id = "arcs",
    .signal = LW_SIGNAL_DANGER,
    .hazard = "Arcs.",
    .avoid = "Stand aside.",
    .source = "invented",
    .states = {[LW_POWER_PRECHARGED] = true}};

static void
put(const struct lw_check *checks, size_t check_count,
    const struct lw_step *steps, size_t step_count, size_t cause_count)
{
	struct lw_tree tree = {.id = "odd-tree",
	    .title = "Odd tree",
	    .steps = steps,
	    .step_count = step_count};
	struct lw_pack pack = {.name = "odd",
	    .title = "Odd",
	    .causes = causes,
	    .cause_count = cause_count,
	    .cautions = &arcs,
	    .caution_count = 1,
	    .checks = checks,
	    .check_count = check_count,
	    .trees = &tree,
	    .tree_count = 1};

	ck_assert_msg(lw_book_put_pack(
			  bench.book, &pack, bench.now_s, &bench.err) == LW_OK,
	    "%s", bench.err.text);
}

static void
undecided(const struct lw_job *job, const char *part)
{
	ck_assert_int_eq(job->state, LW_JOB_UNDECIDED);
	ck_assert_ptr_null(job->step);
	ck_assert_ptr_nonnull(job->ending);
	ck_assert_msg(strstr(job->ending, part) != NULL, "%s", job->ending);
}

static int64_t
start(void)
{
	return bench_start(&bench, NULL, NULL, NULL, "odd-tree");
}

/* --- ways in ------------------------------------------------------------ */

START_TEST(way_in_behind_a_way_in)
{
	const struct lw_check checks[] = {
	    CHOICE("x", LW_POWER_PRECHARGED),
	    WAY("p", LW_POWER_CONTROL, LW_POWER_PRECHARGED),
	    WAY("c", LW_POWER_ISOLATED, LW_POWER_CONTROL),
	    WAY("i", LW_POWER_ISOLATED, LW_POWER_ISOLATED),
	};
	const struct lw_job *job;
	int64_t number;

	put(checks, COUNT(checks), one_step, 1, 2);
	number = start();
	ck_step(bench_get(&bench, number), "i", "x");
	job = bench_answer(&bench, number, "yes");
	ck_step(job, "c", "x");
	/* What goes with a state is shown on the way in that leads into it. */
	ck_assert_int_eq(job->step->into, LW_POWER_CONTROL);
	ck_assert_uint_eq(job->step->caution_count, 0);
	job = bench_answer(&bench, number, "no");
	/* It failed, so nothing is proved, and all begins again. */
	ck_step(job, "i", "x");
	job = bench_answers(&bench, number, "yes yes");
	ck_step(job, "p", "x");
	ck_assert_int_eq(job->step->into, LW_POWER_PRECHARGED);
	ck_assert_uint_eq(job->step->caution_count, 1);
	ck_assert_str_eq(job->step->cautions[0]->id, "arcs");
	job = bench_answer(&bench, number, "yes");
	ck_step(job, "x", NULL);
	job = bench_answer(&bench, number, "yes");
	ck_assert_str_eq(job->cause, "worn");
	number = start();
	job = bench_answer(&bench, number, "cannot");
	ck_assert_int_eq(job->state, LW_JOB_WAITING);
	ck_assert_ptr_null(job->step);
	ck_assert_ptr_nonnull(strstr(job->waits_for, "Check x"));
	ck_assert_str_eq(job->put_aside[0]->id, "x");
}
END_TEST

START_TEST(ways_in_that_go_in_circles)
{
	const struct lw_check checks[] = {
	    CHOICE("x", LW_POWER_CONTROL),
	    WAY("c", LW_POWER_PRECHARGED, LW_POWER_CONTROL),
	    WAY("p", LW_POWER_CONTROL, LW_POWER_PRECHARGED),
	};

	put(checks, COUNT(checks), one_step, 1, 2);
	undecided(bench_get(&bench, start()), "no way in that proves it");
}
END_TEST

START_TEST(no_way_in)
{
	const struct lw_check checks[] = {
	    CHOICE("x", LW_POWER_LIVE_GROUND),
	    WAY("c", LW_POWER_CONTROL, LW_POWER_CONTROL),
	};
	int64_t number;

	put(checks, COUNT(checks), one_step, 1, 2);
	number = start();
	undecided(bench_get(&bench, number), "\"Check x\"");
	ck_assert_int_eq(bench_try(&bench, number, "yes"), LW_CONFLICT);
}
END_TEST

/* A meter that drives current goes on a dead circuit, whatever a pack says. */
START_TEST(resistance_stays_on_the_dead)
{
	struct lw_check checks[] = {
	    WAY("x", LW_POWER_CONTROL, LW_POWER_CONTROL),
	    WAY("c", LW_POWER_CONTROL, LW_POWER_CONTROL),
	    WAY("i", LW_POWER_ISOLATED, LW_POWER_ISOLATED),
	};
	static const enum lw_meter meters[] = {LW_METER_OHMS,
	    LW_METER_CONTINUITY, LW_METER_DIODE, LW_METER_CAPACITANCE};

	checks[0].meter = meters[_i];
	put(checks, COUNT(checks), one_step, 1, 2);
	undecided(bench_get(&bench, start()), "no way in that proves it");
	/* Nor may it prove by itself that the circuit is dead. */
	checks[0] = checks[2];
	checks[0].id = "x";
	checks[0].meter = meters[_i];
	put(checks, 2, one_step, 1, 2);
	undecided(bench_get(&bench, start()), "isolated and proved dead");
}
END_TEST

/* Nor is it asked because it is compulsory; lint would not let it through. */
START_TEST(compulsory_resistance_stays_on_the_dead)
{
	static const enum lw_power states[] = {LW_POWER_UNKNOWN,
	    LW_POWER_CONTROL, LW_POWER_PRECHARGED, LW_POWER_ISOLATED};
	const struct lw_ref first = {.id = "t"};
	struct lw_check checks[] = {
	    CHOICE("x", LW_POWER_PRECHARGED),
	    CHOICE("t", states[_i]),
	    WAY("p", LW_POWER_PRECHARGED, LW_POWER_PRECHARGED),
	    WAY("c", LW_POWER_CONTROL, LW_POWER_CONTROL),
	    WAY("i", LW_POWER_ISOLATED, LW_POWER_ISOLATED),
	};
	const struct lw_job *job;
	int64_t number;
	size_t way;

	checks[1].meter = LW_METER_OHMS;
	checks[2].after.items = &first;
	checks[2].after.count = 1;
	put(checks, COUNT(checks), one_step, 1, 2);
	number = start();
	job = bench_get(&bench, number);
	if (states[_i] != LW_POWER_ISOLATED) {
		undecided(job, "no way in that proves it");
	} else {
		ck_step(job, "i", "x");
		ck_step(bench_answer(&bench, number, "yes"), "t", "x");
	}
	/* Nor where the controls are on already. */
	bench_do_with(&bench, lw_job_pick, number, "c");
	bench_answer(&bench, number, "yes");
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->power, LW_POWER_CONTROL);
	if (states[_i] != LW_POWER_ISOLATED)
		undecided(job, "no way in that proves it");
	else
		ck_step(job, "i", "x");
	/* Before the way into isolated least of all, nor is anything done
	 * live there, nor a way in. */
	for (way = 0; way < 2; way++) {
		checks[0].power = LW_POWER_ISOLATED;
		checks[1].meter = way == 0 ? LW_METER_OHMS : LW_METER_NONE;
		checks[4].after = checks[2].after;
		put(checks, COUNT(checks), one_step, 1, 2);
		job = bench_get(&bench, start());
		if (way == 1 && states[_i] == LW_POWER_ISOLATED)
			ck_step(job, "t", "x");
		else
			undecided(job, "no way in that proves it");
	}
}
END_TEST

START_TEST(check_without_a_state)
{
	const struct lw_check checks[] = {
	    CHOICE("x", LW_POWER_UNKNOWN),
	};

	put(checks, COUNT(checks), one_step, 1, 2);
	ck_step(bench_get(&bench, start()), "x", NULL);
}
END_TEST

/* --- trees that lead nowhere -------------------------------------------- */

static const struct lw_check isolated[] = {
    CHOICE("x", LW_POWER_ISOLATED),
    CHOICE("y", LW_POWER_ISOLATED),
    WAY("i", LW_POWER_ISOLATED, LW_POWER_ISOLATED),
};

START_TEST(loops)
{
	const struct lw_step steps[] = {
	    {.id = "a",
		.check = "x",
		BRANCHES({"yes", LW_BRANCH_STEP, "b", {0}},
		    {"no", LW_BRANCH_STEP, "a", {0}})},
	    {.id = "b",
		.check = "y",
		BRANCHES({"yes", LW_BRANCH_STEP, "a", {0}},
		    {"no", LW_BRANCH_CAUSE, "worn", {0}})},
	};
	int64_t number;

	put(isolated, COUNT(isolated), steps, COUNT(steps), 2);
	number = start();
	undecided(bench_answers(&bench, number, "yes no"), "leads nowhere");
	number = start();
	undecided(
	    bench_answers(&bench, number, "yes yes yes"), "leads nowhere");
	number = start();
	undecided(
	    bench_answers(&bench, number, "yes skip skip"), "leads nowhere");
	ck_assert_uint_eq(bench_get(&bench, number)->put_aside_count, 2);
	number = start();
	ck_assert_str_eq(
	    bench_answers(&bench, number, "yes yes no")->cause, "worn");
}
END_TEST

START_TEST(tree_without_steps)
{
	put(isolated, COUNT(isolated), NULL, 0, 2);
	undecided(bench_get(&bench, start()), "\"Odd tree\"");
}
END_TEST

/* --- a book that changes under a job ------------------------------------ */

START_TEST(things_go_missing)
{
	const struct lw_step fewer[] = {
	    {.id = "a",
		.check = "x",
		BRANCHES({"no", LW_BRANCH_CAUSE, "bent", {0}})},
	};
	const struct lw_step other[] = {
	    {.id = "a",
		.check = "y",
		BRANCHES({"yes", LW_BRANCH_CAUSE, "bent", {0}},
		    {"no", LW_BRANCH_CAUSE, "bent", {0}})},
	};
	const struct lw_job *job;
	int64_t number;

	put(isolated, COUNT(isolated), one_step, 1, 2);
	number = start();
	job = bench_answers(&bench, number, "yes yes");
	ck_assert_str_eq(job->cause, "worn");
	/* The branch has gone. */
	put(isolated, COUNT(isolated), fewer, 1, 2);
	undecided(bench_get(&bench, number), "\"Check x\"");
	/* The answered check has gone: what was shown stands, its power does
	 * not matter any more, and the tree still leads. */
	put(isolated + 1, COUNT(isolated) - 1, one_step, 1, 2);
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->state, LW_JOB_FOUND);
	ck_assert_str_eq(job->findings[2].title, "Check x");
	ck_assert_int_eq(job->power, LW_POWER_UNKNOWN);
	/* The cause has gone. */
	put(isolated, COUNT(isolated), one_step, 1, 0);
	undecided(bench_get(&bench, number), "\"worn\"");
	/* The tree has changed: what comes next is asked. */
	put(isolated, COUNT(isolated), other, 1, 2);
	ck_step(bench_get(&bench, number), "y", NULL);
	/* ... and the way in with it. */
	put(isolated, 2, other, 1, 2);
	undecided(bench_get(&bench, number), "\"Check y\"");
	/* ... and the check with it. */
	put(isolated, 1, other, 1, 2);
	undecided(bench_get(&bench, number), "\"y\"");
	/* All is well again once the pack is back. */
	put(isolated, COUNT(isolated), one_step, 1, 2);
	ck_assert_int_eq(bench_get(&bench, number)->state, LW_JOB_FOUND);
}
END_TEST

/* --- the walk by itself ------------------------------------------------- */

START_TEST(walks_what_no_book_holds)
{
	const struct lw_step steps[] = {
	    {.id = "a",
		.check = "x",
		BRANCHES({"yes", LW_BRANCH_STEP, "gone", {0}},
		    {"no", (enum lw_branch_kind)9, "b", {0}},
		    {"cannot", LW_BRANCH_STOP, "Leave it.", {0}})},
	};
	const struct lw_tree tree = {
	    .id = "t", .title = "T", .steps = steps, .step_count = 1};
	struct lw_finding finding = {.serial = 1, .subject = "x"};
	struct findings findings;
	struct shelf shelf;
	struct walk walk;

	shelf_init(&shelf, bench.book, bench.arena);
	finding.kind = LW_FINDING_CHECK;
	finding.outcome = "yes";
	ck_assert_int_eq(
	    findings_settle(&findings, bench.arena, &finding, 1, NULL), LW_OK);
	walk_tree(&walk, &shelf, &tree, &findings, NULL, NULL);
	ck_assert_int_eq(walk.end, WALK_LOST);
	findings.items[0].outcome = "no";
	walk_tree(&walk, &shelf, &tree, &findings, NULL, NULL);
	ck_assert_int_eq(walk.end, WALK_LOST);
	findings.items[0].outcome = NULL;
	walk_tree(&walk, &shelf, &tree, &findings, NULL, NULL);
	ck_assert_int_eq(walk.end, WALK_NO_BRANCH);
	/* An outcome called cannot would be a forged one. */
	findings.items[0].kind = LW_FINDING_SKIP;
	walk_tree(&walk, &shelf, &tree, &findings, NULL, NULL);
	ck_assert_int_eq(walk.end, WALK_STOP);
	ck_assert_uint_eq(walk.aside_count, 1);
}
END_TEST

/* A book edited by hand: undo with nothing to undo, twice closed. */
START_TEST(settles_odd_lists)
{
	static const enum lw_finding_kind kinds[] = {LW_FINDING_UNDO,
	    LW_FINDING_REOPEN, LW_FINDING_PATTERN, LW_FINDING_CHECK,
	    LW_FINDING_CLOSE, LW_FINDING_CLOSE, LW_FINDING_UNDO,
	    LW_FINDING_UNDO, LW_FINDING_UNDO, LW_FINDING_TAKE_UP,
	    (enum lw_finding_kind)99};
	struct lw_finding items[COUNT(kinds)] = {0};
	struct findings findings;
	size_t i;

	for (i = 0; i < COUNT(kinds); i++) {
		items[i].kind = kinds[i];
		items[i].serial = (int64_t)i + 1;
		items[i].undone = true;
	}
	ck_assert_int_eq(
	    findings_settle(&findings, bench.arena, items, COUNT(items), NULL),
	    LW_OK);
	ck_assert(findings.items[3].undone);
	ck_assert(findings.items[5].undone);
	ck_assert(!findings.items[2].undone);
	ck_assert(!findings.items[9].undone);
	ck_assert_ptr_null(findings.closed);
	ck_assert_ptr_eq(findings.last, &findings.items[9]);
	ck_assert_ptr_null(findings_on(&findings, "x"));
	ck_assert_int_eq(
	    findings_settle(&findings, bench.arena, NULL, 0, NULL), LW_OK);
	ck_assert_int_eq(findings_serial(&findings), 0);
}
END_TEST

/* What stands for a check, by its definition: the last outcome on it, or what
 * put it aside after the last taking up. */
static const struct lw_finding *
stands(const struct findings *findings, const char *check)
{
	const struct lw_finding *found = NULL, *item;
	size_t i, since = 0;

	for (i = 0; i < findings->count; i++)
		if (findings->items[i].kind == LW_FINDING_TAKE_UP &&
		    !findings->items[i].undone)
			since = i;
	for (i = 0; i < findings->count; i++) {
		item = &findings->items[i];
		if (item->undone || item->subject == NULL ||
		    strcmp(item->subject, check) != 0)
			continue;
		if (item->kind == LW_FINDING_CHECK ||
		    item->kind == LW_FINDING_PROVED ||
		    (item->kind == LW_FINDING_CANNOT && i >= since))
			found = item;
	}
	return found;
}

/* Values in a unit that there is not, or in none: nothing is known of them, and
 * nothing can be said. */
START_TEST(values_without_a_unit)
{
	static const char *const units[] = {"cubit", NULL, ""};
	const struct lw_rig_pair pair = {"odd.volts", "12 V"};
	const struct lw_value value = {.id = "odd.volts",
	    .title = "Odd volts",
	    .part = "Odd",
	    .help = "Invented.",
	    .where = "Nowhere.",
	    .unit = units[_i],
	    .kind = LW_VALUE_QUANTITY,
	    .low = 1,
	    .high = 100,
	    .tolerance = "5 %",
	    .usual = "12 V",
	    .worked = "2 * 6 V"};
	const struct lw_pack pack = {
	    .name = "odd", .title = "Odd", .values = &value, .value_count = 1};
	const struct lw_rig *rig = NULL;

	ck_assert_msg(lw_book_put_pack(
			  bench.book, &pack, bench.now_s, &bench.err) == LW_OK,
	    "%s", bench.err.text);
	bench_rig(&bench, "cart48", "");
	ck_assert_int_ne(
	    lw_rig_set(bench.book, "cart48", &pair, 1, bench.now_s, &bench.err),
	    LW_OK);
	ck_assert_int_eq(
	    lw_rig_get(bench.book, bench.arena, "cart48", &rig, &bench.err),
	    LW_OK);
	ck_assert_ptr_nonnull(lw_rig_value(rig, "odd.volts"));
	ck_assert_int_eq(lw_rig_value(rig, "odd.volts")->known, LW_KNOWN_NOT);
}
END_TEST

START_TEST(stands_what_was_said_last)
{
	static const enum lw_finding_kind kinds[] = {LW_FINDING_CHECK,
	    LW_FINDING_CANNOT, LW_FINDING_PROVED, LW_FINDING_TAKE_UP,
	    LW_FINDING_UNDO, LW_FINDING_CHECK, LW_FINDING_CANNOT,
	    LW_FINDING_PICK};
	static const char *const checks[] = {"x", "y", "xx", "", NULL};
	struct lw_finding items[60] = {0};
	struct findings findings;
	uint64_t seed = 5;
	size_t count, i;
	int round;

	for (round = 0; round < 500; round++) {
		count = 1 + (size_t)round % COUNT(items);
		for (i = 0; i < count; i++) {
			seed =
			    seed * 6364136223846793005u + 1442695040888963407u;
			items[i].kind = kinds[(seed >> 33) % COUNT(kinds)];
			items[i].subject = checks[(seed >> 43) % COUNT(checks)];
			items[i].serial = (int64_t)i + 1;
		}
		ck_assert_int_eq(
		    findings_settle(&findings, bench.arena, items, count, NULL),
		    LW_OK);
		for (i = 0; checks[i] != NULL; i++)
			ck_assert_ptr_eq(findings_on(&findings, checks[i]),
			    stands(&findings, checks[i]));
	}
}
END_TEST

Suite *
suite_odd_books(void)
{
	Suite *suite = suite_create("odd_books");
	TCase *ways = tcase_create("ways");
	TCase *trees = tcase_create("trees");

	tcase_add_checked_fixture(ways, setup, teardown);
	tcase_set_timeout(ways, 60);
	tcase_add_test(ways, way_in_behind_a_way_in);
	tcase_add_test(ways, ways_in_that_go_in_circles);
	tcase_add_test(ways, no_way_in);
	tcase_add_loop_test(ways, resistance_stays_on_the_dead, 0, 4);
	tcase_add_loop_test(
	    ways, compulsory_resistance_stays_on_the_dead, 0, 4);
	tcase_add_test(ways, check_without_a_state);
	suite_add_tcase(suite, ways);
	tcase_add_checked_fixture(trees, setup, teardown);
	tcase_set_timeout(trees, 60);
	tcase_add_test(trees, loops);
	tcase_add_test(trees, tree_without_steps);
	tcase_add_test(trees, things_go_missing);
	tcase_add_test(trees, walks_what_no_book_holds);
	tcase_add_test(trees, settles_odd_lists);
	tcase_add_test(trees, stands_what_was_said_last);
	tcase_add_loop_test(trees, values_without_a_unit, 0, 3);
	suite_add_tcase(suite, trees);
	return suite;
}
