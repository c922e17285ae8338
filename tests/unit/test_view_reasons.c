/* view: what a job says of reasoning, and what waits for a tool, over jobs
 * that are made by hand: their numbers are invented, and what is shown of them
 * is worked out beside them. */
#include "unit/book.h"
#include "unit/doc.h"
#include "unit/suites.h"
#include "view/job.h"
#include "view/waits.h"

#include <lampwright.h>

#define NOW 1700000000

static struct scratch scratch;
static struct view view;
static struct lw_doc whole; /* `doc` looks into it */

static void
setup(void)
{
	doc_setup(&scratch, "unit/view.yaml", NOW);
	view_begin(&view, scratch.book);
}

static void
teardown(void)
{
	struct lw_err err;

	doc = NULL;
	view_end(&view, &doc, LW_OK, &err);
	lw_doc_free(doc);
	scratch_remove(&scratch);
}

/* Look into what was put down so far. */
static void
look(void)
{
	ck_assert_msg(view.status == LW_OK, "%s", view.err.text);
	whole.root = view.root;
	doc = &whole;
}

/* --- suspects --------------------------------------------------------- */

static const struct lw_why whys[] = {
    {4, "Pack voltage", "in band", 0.1, "Pack voltage: in band, x0.1"},
    {5, "Pull the plug", "loose", 3.0, "Pull the plug: loose, x3"},
    {6, "Wait", "no change", 1000, "Wait: no change"},
};

START_TEST(suspected)
{
	const struct lw_suspect items[] = {
	    {.cause = "field-flat",
		.title = "Pack flat",
		.share = 0.5,
		.whys = whys,
		.why_count = 3,
		.counted = "3 of 4 times here"},
	    {.cause = "field-flat",
		.title = "Pack flat; and then Loose plug",
		.also = "field-plug",
		.share = 0.4},
	    {.cause = "c", .title = "C", .share = 0.08},
	    {.cause = "d", .title = "D", .share = 0.005},
	    {.cause = "e", .title = "E", .share = 0.005},
	    {.cause = "f", .title = "F", .share = 0.004},
	    {.cause = "unlisted", .title = "not in the book", .share = 0.003},
	    {.cause = "g", .title = "G", .share = 0.003},
	};
	const struct lw_fix fixes[] = {{"field-flat", "Pack flat", 0.5, 31.4}};
	const struct lw_job job = {.suspects = items,
	    .suspect_count = sizeof items / sizeof items[0],
	    .fixes = fixes,
	    .fix_count = 1,
	    .pairs = true};

	view_reasons(&view, view.root, &job);
	look();
	ck_assert_str_eq(text("suspects.0.counted"), "3 of 4 times here");
	ck_assert_uint_eq(count("suspects.0.whys"), 3);
	has_keys("suspects.0.whys.0",
	    "serial title outcome factor factor_text speaks_for text");
	ck_assert_int_eq(number("suspects.0.whys.0.serial"), 4);
	ck_assert_str_eq(text("suspects.0.whys.0.factor_text"), "x0.1");
	ck_assert(!is_true("suspects.0.whys.0.speaks_for"));
	ck_assert_str_eq(
	    text("suspects.0.whys.0.text"), "Pack voltage: in band, x0.1");
	ck_assert_str_eq(text("suspects.0.whys.1.factor_text"), "x3");
	ck_assert(is_true("suspects.0.whys.1.speaks_for"));
	ck_assert_str_eq(text("suspects.0.whys.2.factor_text"), "x100 or more");
	ck_assert(!is_true("suspects.0.pair"));
	is_null("suspects.0.also");
	ck_assert(is_true("suspects.1.pair"));
	ck_assert_str_eq(text("suspects.1.also"), "field-plug");
	ck_assert_str_eq(text("suspects.1.first_title"), "Pack flat");
	ck_assert_str_eq(text("suspects.1.also_title"), "Loose plug");
	ck_assert(!is_true("suspects.1.has_whys"));
	/* The first five are never folded up, nor what no book lists. */
	ck_assert(!is_true("suspects.4.little"));
	ck_assert(is_true("suspects.5.little"));
	ck_assert(is_true("suspects.6.unlisted"));
	ck_assert(!is_true("suspects.6.little"));
	ck_assert_int_eq(number("little_count"), 2);
	ck_assert(is_true("has_pairs"));
	/* What can be taken up and stands in no order of fixes. */
	ck_assert(!is_true("suspects.0.is_other"));
	ck_assert(!is_true("suspects.1.is_other"));
	ck_assert(is_true("suspects.2.is_other"));
	ck_assert(!is_true("suspects.6.is_other"));
	ck_assert(is_true("has_other_suspects"));
	has_keys("fixes.0", "cause title share percent minutes minutes_text");
	ck_assert_str_eq(text("fixes.0.minutes_text"), "31 min");
}
END_TEST

START_TEST(nothing)
{
	const struct lw_job job = {.conflict_bits = -0.25};

	view_reasons(&view, view.root, &job);
	look();
	ck_assert_uint_eq(count("suspects"), 0);
	ck_assert_uint_eq(count("next"), 0);
	ck_assert_uint_eq(count("deferred"), 0);
	ck_assert_uint_eq(count("fixes"), 0);
	ck_assert_uint_eq(count("tools"), 0);
	is_null("advice");
	is_null("conflict");
	is_null("repeat");
	is_null("little_count");
	is_null("more_deferred");
	ck_assert(!is_true("has_next"));
	ck_assert(!is_true("has_pairs"));
	ck_assert(!is_true("can_leave"));
	ck_assert(!is_true("ends_with_advice"));
}
END_TEST

/* --- checks, tools, fixes --------------------------------------------- */

static struct lw_text torch_and_meter[] = {
    {.text = "torch"}, {.text = "Multimeter"}};
static struct lw_text programmer[] = {{.text = "programmer"}};
static struct lw_text torch_and_programmer[] = {
    {.text = "torch"}, {.text = "programmer"}};

static const struct lw_check look_check = {.id = "look",
    .title = "Look at it",
    .power = LW_POWER_ISOLATED,
    .minutes = 3,
    .tools = {torch_and_meter, 2}};
static const struct lw_check log_check = {.id = "log",
    .title = "Read the log",
    .power = LW_POWER_CONTROL,
    .minutes = 10,
    .tools = {programmer, 1}};
static const struct lw_check live_check = {.id = "live",
    .title = "Watch it turn",
    .power = LW_POWER_LIVE_FREE,
    .minutes = 0.5,
    .tools = {torch_and_programmer, 2}};
static const struct lw_check still_check = {.id = "still",
    .title = "Read the counters",
    .power = LW_POWER_ISOLATED,
    .minutes = 4,
    .tools = {programmer, 1}};

static const char *const at_hand[] = {"multimeter"};
static const char *const lacks_programmer[] = {"programmer"};
static const char *const lacks_both[] = {"torch", "programmer"};
static const struct lw_rig cart = {.rig = "cart48",
    .title = "Field cart",
    .tools = at_hand,
    .tool_count = 1,
    .known_tools = true};

START_TEST(checks)
{
	const struct lw_next next[] = {
	    {.check = &look_check,
		.why = "splits the two leading causes; 3 min; no change of "
		       "power state",
		.bits = 0.9,
		.minutes = 3},
	    {.check = &live_check,
		.why = "tells a little",
		.minutes = 0.5,
		.setup_minutes = 40,
		.yields = &look_check},
	};
	struct lw_next deferred[7];
	const struct lw_job_step step = {
	    .check = &log_check, .then = &look_check};
	struct lw_job job = {.step = &step,
	    .rig = &cart,
	    .next = next,
	    .next_count = 2,
	    .deferred = deferred,
	    .deferred_count = 7,
	    .can_leave = true};
	size_t i;

	for (i = 0; i < 7; i++)
		deferred[i] = (struct lw_next){.check = &log_check,
		    .missing = lacks_programmer,
		    .missing_count = 1};
	view_reasons(&view, view.root, &job);
	look();
	has_keys("next.0",
	    "check title why power power_title minutes setup_minutes bits "
	    "missing has_missing yields is_step");
	ck_assert_str_eq(text("next.0.check"), "look");
	ck_assert_str_eq(text("next.0.power"), "isolated");
	/* The step leads to it. */
	ck_assert(is_true("next.0.is_step"));
	is_null("next.0.yields");
	ck_assert(!is_true("next.1.is_step"));
	ck_assert_str_eq(text("next.1.yields.check"), "look");
	ck_assert_str_eq(text("next.1.yields.title"), "Look at it");
	ck_assert_double_eq_tol(
	    json_real_value(at("next.1.setup_minutes")), 40, 1e-12);
	ck_assert(is_true("has_next"));
	ck_assert_str_eq(text("deferred.0.missing.0"), "programmer");
	ck_assert(is_true("deferred.4.leading"));
	ck_assert(!is_true("deferred.5.leading"));
	ck_assert_int_eq(number("more_deferred"), 2);
	/* What is at hand, then what else is needed; each once. */
	ck_assert_uint_eq(count("tools"), 3);
	has_keys("tools.0", "tool here");
	ck_assert_str_eq(text("tools.0.tool"), "multimeter");
	ck_assert(is_true("tools.0.here"));
	ck_assert_str_eq(text("tools.1.tool"), "programmer");
	ck_assert(!is_true("tools.1.here"));
	ck_assert_str_eq(text("tools.2.tool"), "torch");
	ck_assert(is_true("known_tools"));
	ck_assert(is_true("can_leave"));

	/* With the step's own check alone there is no other. */
	job.next_count = 1;
	view_reasons(&view, view.root, &job);
	look();
	ck_assert(!is_true("has_next"));
}
END_TEST

START_TEST(conflict)
{
	const struct lw_finding finding = {.serial = 9,
	    .subject = "field-volts",
	    .title = "Pack voltage at rest",
	    .outcome_title = "in band"};
	const struct lw_job job = {.conflict = "They do not go together.",
	    .conflict_bits = 1.5,
	    .repeat = &finding,
	    .advice = "Fix first.",
	    .ending = "Fix first.",
	    .fix_first = true};

	view_reasons(&view, view.root, &job);
	look();
	ck_assert_str_eq(text("conflict"), "They do not go together.");
	ck_assert_double_eq_tol(
	    json_real_value(at("conflict_bits")), 1.5, 1e-12);
	has_keys("repeat", "serial check title outcome_title");
	ck_assert_int_eq(number("repeat.serial"), 9);
	ck_assert_str_eq(text("repeat.check"), "field-volts");
	ck_assert(is_true("fix_first"));
	ck_assert(is_true("ends_with_advice"));
}
END_TEST

START_TEST(minutes)
{
	static const struct {
		double minutes;
		const char *text;
	} all[] = {{0, ""}, {-1, ""}, {0.5, "under 1 min"}, {1, "1 min"},
	    {31.4, "31 min"}, {89.4, "89 min"}, {90, "1.5 h"}, {222, "3.7 h"}};
	char text[VIEW_MINUTES_MAX];
	size_t i;

	for (i = 0; i < sizeof all / sizeof all[0]; i++)
		ck_assert_str_eq(
		    view_minutes_text(text, all[i].minutes), all[i].text);
}
END_TEST

/* --- waits ------------------------------------------------------------ */

/* One vehicle, two jobs, and one job without a vehicle: for the programmer
 * 4 min isolated, 10 min with the control supply, half a minute live, and
 * another 10 min on the other one. */
START_TEST(by_tool)
{
	const struct lw_next deferred[] = {
	    {.check = &live_check,
		.why = "tells a little; 1 min; 40 min more",
		.missing = lacks_both,
		.missing_count = 2},
	    {.check = &still_check,
		.missing = lacks_programmer,
		.missing_count = 1},
	};
	const struct lw_check *const aside[] = {&log_check};
	const struct lw_suspect suspects[] = {
	    {.cause = "field-flat", .title = "Pack flat", .share = 0.6},
	    {.cause = "field-plug", .title = "Loose plug", .share = 0.04},
	};
	const struct lw_finding said = {.kind = LW_FINDING_CANNOT,
	    .subject = "log",
	    .words = "the Programmer is lent out"};
	const struct lw_job one = {.job = 1,
	    .rig = &cart,
	    .rig_name = "cart48",
	    .deferred = deferred,
	    .deferred_count = 2,
	    .suspects = suspects,
	    .suspect_count = 2};
	const struct lw_job two = {.job = 2,
	    .rig = &cart,
	    .rig_name = "cart48",
	    .put_aside = aside,
	    .put_aside_count = 1};
	const struct lw_job three = {.job = 3,
	    .put_aside = aside,
	    .put_aside_count = 1,
	    .findings = &said,
	    .finding_count = 1};
	struct waits waits = {.view = &view};

	waits_gather(&waits, &one);
	waits_gather(&waits, &two);
	waits_gather(&waits, &three);
	waits_put_tools(&waits, view.root);
	free(waits.items);
	look();
	ck_assert_uint_eq(count("tools"), 3);
	ck_assert_str_eq(text("tools.0.tool"), "torch");
	ck_assert_str_eq(text("tools.1.tool"), "programmer");
	ck_assert_str_eq(text("tools.2.tool"), "The charger");
	/* From the safest state up, each once; then the next vehicle. */
	ck_assert_uint_eq(count("tools.1.checks"), 4);
	ck_assert_uint_eq(count("tools.1.groups"), 4);
	has_keys("tools.1.groups.0",
	    "rig rig_title power power_title checks minutes minutes_text");
	ck_assert_str_eq(text("tools.1.groups.0.power"), "isolated");
	ck_assert_str_eq(text("tools.1.groups.0.checks.0.check"), "still");
	ck_assert_str_eq(text("tools.1.groups.1.power"), "control");
	ck_assert_str_eq(text("tools.1.groups.1.checks.0.check"), "log");
	ck_assert_int_eq(number("tools.1.groups.1.checks.0.job"), 2);
	ck_assert_str_eq(text("tools.1.groups.2.power"), "live-wheels-free");
	ck_assert_str_eq(text("tools.1.groups.2.minutes_text"), "under 1 min");
	ck_assert_str_eq(
	    text("tools.1.groups.2.checks.0.why"), "tells a little");
	ck_assert_str_eq(text("tools.1.groups.2.checks.0.besides.0"), "torch");
	is_null("tools.1.groups.3.rig");
	ck_assert_str_eq(text("tools.1.groups.3.checks.0.words"),
	    "the Programmer is lent out");
	ck_assert_double_eq_tol(
	    json_real_value(at("tools.1.minutes")), 24.5, 1e-12);
	/* The flat pack's fix needs the charger; the plug is too unlikely. */
	ck_assert_uint_eq(count("tools.2.checks"), 0);
	ck_assert_uint_eq(count("tools.2.fixes"), 1);
	has_keys("tools.2.fixes.0",
	    "job cause title share percent minutes minutes_text");
	ck_assert_str_eq(text("tools.2.fixes.0.cause"), "field-flat");
}
END_TEST

Suite *
suite_view_reasons(void)
{
	Suite *suite = suite_create("view_reasons");
	TCase *tcase = tcase_create("all");

	tcase_add_checked_fixture(tcase, setup, teardown);
	tcase_add_test(tcase, suspected);
	tcase_add_test(tcase, nothing);
	tcase_add_test(tcase, checks);
	tcase_add_test(tcase, conflict);
	tcase_add_test(tcase, minutes);
	tcase_add_test(tcase, by_tool);
	suite_add_tcase(suite, tcase);
	return suite;
}
