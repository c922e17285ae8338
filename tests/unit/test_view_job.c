/* view: the document of a job, from its first step to the cure, and what jobs
 * wait for, over the invented field cart of view.yaml. Which step comes when
 * is tested with the job itself; here it is what is shown. */
#include "unit/book.h"
#include "unit/doc.h"
#include "unit/suites.h"

#include <lampwright.h>

#define NOW 1700000000 /* 2023-11-14 22:13:20 UTC */
#define CHECK_KEYS                                                            \
	"check title ask purpose is_tree is_pick is_fix is_proof is_again "   \
	"is_safe do power power_title gate compulsory then into into_title "  \
	"part parts figures missing reason minutes meter reading unit black " \
	"red points needs cautions has_standing has_brief expect outcomes "   \
	"asks lacks accuracy usual_accuracy is_next why "                     \
	"mistake "                                                            \
	"source"

static struct scratch scratch;
static struct lw_book *book; /* of the scratch */
static struct lw_err err;
static struct lw_actor shed; /* the screen that works; its clock goes on */
static int64_t job;

#define GOES(call) ck_assert_msg((call) == LW_OK, "%s", err.text)

/* A cart with two facts, one device, one point in its own words, one tool. */
static void
setup(void)
{
	static const struct lw_rig_pair facts[] = {{"motor", "series"},
	    {"strings", "one"}, {"tools", "multimeter"},
	    {"device.drive", "field-drive"}};

	doc_setup(&scratch, "unit/view.yaml", NOW);
	book = scratch.book;
	shed = (struct lw_actor){
	    .screen = "s-1", .name = "phone 3f", .now_s = NOW};
	GOES(lw_rig_new(book, "cart48", "Field cart", NOW, &err));
	GOES(lw_rig_set(
	    book, "cart48", facts, sizeof facts / sizeof facts[0], NOW, &err));
	GOES(lw_rig_set_point(
	    book, "cart48", "field-plus", "grey plug, pin 3, red", NOW, &err));
}

static void
teardown(void)
{
	lw_doc_free(doc);
	scratch_remove(&scratch);
}

static void
show_to(const char *screen)
{
	lw_doc_free(doc);
	doc = NULL;
	GOES(lw_view_job(&doc, book, job, screen, shed.now_s, &err));
}

/* The job as the working screen sees it. */
static void
show(void)
{
	show_to(shed.screen);
}

static void
begin(const char *rig, const char *pattern)
{
	struct lw_job_start start = {.rig = rig,
	    .device = rig == NULL ? "field-drive" : NULL,
	    .patterns = &pattern,
	    .pattern_count = 1};

	GOES(lw_job_new(book, &start, shed.now_s, &job, &err));
}

/* Answer a minute later, and show the job. */
static void
answer_with(const char *typed, const char *words)
{
	struct lw_answer answer = {.serial = -1, .text = typed, .words = words};

	shed.now_s += 60;
	ck_assert_msg(lw_job_answer(book, job, &shed, &answer, &err) == LW_OK,
	    "%s: %s", typed, err.text);
	show();
}

static void
answer(const char *typed)
{
	answer_with(typed, NULL);
}

/* Whether a list of objects or texts has a text under a key (NULL: itself). */
static bool
lists(const char *where, const char *key, const char *wanted)
{
	json_t *list = at(where), *value;
	size_t i;

	for (i = 0; i < json_array_size(list); i++) {
		value = json_array_get(list, i);
		if (key != NULL)
			value = json_object_get(value, key);
		if (json_is_string(value) &&
		    strcmp(json_string_value(value), wanted) == 0)
			return true;
	}
	return false;
}

START_TEST(keys)
{
	ck_assert_int_eq(
	    lw_view_job(&doc, book, 7, NULL, NOW, &err), LW_NOT_FOUND);
	ck_assert_ptr_null(doc);
	begin("cart48", "3");
	show();
	has_keys("",
	    "shape job title state state_title open is_found undecided stopped "
	    "closed waiting fixing proving given_up is_passed over cured power "
	    "power_title serial rig rig_title has_rig device device_title lamp "
	    "patterns fault symptom tree make_safe safe_first has_put_aside "
	    "step walk suspects excluded findings answered checks cause likely "
	    "ending ends_with_advice excluded_count little_count next has_next "
	    "deferred has_deferred more_deferred tools known_tools has_tools "
	    "fixes has_fixes fix_first has_other_suspects advice conflict "
	    "conflict_bits repeat has_pairs can_leave "
	    "waits_for say remarks put_aside can_choose notes can_undo "
	    "hold records settings created created_time last last_time worked "
	    "worked_s");
	has_keys("step", CHECK_KEYS " serial");
	has_keys("suspects.0",
	    "cause title share percent unlisted also pair first_title "
	    "also_title whys counted has_whys little is_other");
	has_keys("findings.0",
	    "serial time when kind kind_title subject title ask outcome "
	    "outcome_title reading spread also expected words about "
	    "about_title undone");
	has_keys("fault", "fault title meaning severity meanwhile stops");
	has_keys("tree", "tree title");
	has_keys("hold",
	    "held mine free others may_act name since since_time until "
	    "until_time asker_name asked i_ask job elsewhere");
	ck_assert_int_eq(number("shape"), 1);
	ck_assert_str_eq(text("state"), "open");
	ck_assert(is_true("open"));
	ck_assert(!is_true("over"));
	ck_assert(!is_true("cured"));
	ck_assert_str_eq(text("power"), "unknown");
	ck_assert_str_eq(text("patterns.0"), "3");
	ck_assert_str_eq(text("rig"), "cart48");
	ck_assert_str_eq(text("rig_title"), "Field cart");
	ck_assert(is_true("has_rig"));
	ck_assert_str_eq(text("device"), "field-drive");
	ck_assert_str_eq(text("device_title"), "Field drive");
	ck_assert_str_eq(text("fault.fault"), "field-low");
	ck_assert(is_true("fault.stops"));
	ck_assert_str_eq(text("created"), "2023-11-14 22:13");
	ck_assert_int_eq(number("created_time"), NOW);
	ck_assert_int_eq(number("last_time"), NOW);
	is_null("symptom");
	is_null("cause");
	is_null("likely");
	is_null("waits_for");
}
END_TEST

START_TEST(warns)
{
	begin("cart48", "6");
	show();
	ck_assert_str_eq(text("fault.severity"), "warns");
	ck_assert(!is_true("fault.stops"));
}
END_TEST

/* The way into isolated: what is compulsory first, then the proof itself. */
START_TEST(way_in)
{
	begin("cart48", "3");
	show();
	ck_assert_str_eq(text("step.check"), "field-meter");
	ck_assert(is_true("step.compulsory"));
	ck_assert_str_eq(text("step.into"), "isolated");
	ck_assert_ptr_nonnull(strstr(text("step.into_title"), "dead"));
	ck_assert_str_eq(text("step.then"), "Pack voltage at rest");
	ck_assert_str_eq(text("step.purpose"), "tree");
	ck_assert(is_true("step.is_tree"));
	ck_assert(!is_true("step.is_fix"));
	/* One string: that check is not for this rig. */
	ck_assert_int_eq(number("step.part"), 1);
	ck_assert_int_eq(number("step.parts"), 2);
	ck_assert(!is_true("step.has_standing"));

	answer("right");
	ck_assert_str_eq(text("step.check"), "field-dead");
	ck_assert(is_true("step.gate"));
	ck_assert(!is_true("step.compulsory"));
	ck_assert_int_eq(number("step.part"), 2);
	/* Not "Open each string."; whether it has a contactor is not known. */
	ck_assert_uint_eq(count("step.do"), 3);
	has_keys("step.do.0", "n text");
	ck_assert_str_eq(text("step.do.0.text"), "Open the disconnect.");
	ck_assert_str_eq(text("step.do.1.text"), "Listen for the contactor.");
	ck_assert_int_eq(number("step.do.2.n"), 3);
	ck_assert_uint_gt(count("step.figures"), 0);
	has_keys("step.black", "point title where own");
	ck_assert_str_eq(text("step.red.own"), "grey plug, pin 3, red");
	ck_assert_str_eq(text("step.red.where"), "The red stud.");
	is_null("step.black.own");
	has_keys("step.cautions.0",
	    "caution signal signal_word hazard avoid where otherwise source "
	    "standing brief");
	ck_assert(lists("step.cautions", "caution", "field-chocks"));
	ck_assert(!lists("step.cautions", "caution", "field-magnet"));
	ck_assert_str_eq(text("step.cautions.0.signal_word"), "WARNING");
	/* The first check of this way in has shown it. */
	ck_assert(is_true("step.cautions.0.standing"));
	ck_assert(is_true("step.has_standing"));
	ck_assert_str_eq(text("step.outcomes.0.band"), "-5 V to 5 V");
	ck_assert_str_eq(text("step.outcomes.1.band"), "below -5 V");
	ck_assert_str_eq(text("step.outcomes.2.band"), "5 V or more");
	has_keys("step.outcomes.0", "n outcome title band expected");
	has_keys("step.expect", "low high unit text why wide");
	ck_assert_double_eq_tol(
	    json_real_value(at("step.expect.low")), -5, 1e-12);
	ck_assert(is_true("step.outcomes.0.expected"));

	answer("0.2 V");
	ck_assert_str_eq(text("power"), "isolated");
	ck_assert_str_eq(text("step.check"), "field-volts");
	ck_assert(!is_true("step.gate"));
	is_null("step.then");
	is_null("step.into");
	is_null("step.part");
	/* Shown on the way in already, and still true. */
	ck_assert(is_true("step.has_standing"));
	ck_assert(is_true("step.cautions.0.standing"));
	ck_assert(is_true("step.cautions.0.brief"));
	has_keys("step.points.0", "point title where own");
	is_null("step.points.0.own");
	/* It has a multimeter, however that is spelt. */
	ck_assert_str_eq(text("step.needs.0"), "Multimeter");
	ck_assert_uint_eq(count("step.missing"), 0);
	ck_assert_str_eq(text("step.expect.text"), "at least 46 V");
	is_null("step.expect.high");
}
END_TEST

/* Put aside for want of a tool. */
START_TEST(waits)
{
	int64_t other;

	ck_assert_int_eq(
	    lw_view_waits(&doc, book, 0, NULL, NOW, &err), LW_NOT_FOUND);
	ck_assert_uint_eq(count("jobs"), 0);
	ck_assert_uint_eq(count("tools"), 0);
	lw_doc_free(doc);
	doc = NULL;
	ck_assert_int_eq(
	    lw_view_waits(&doc, book, 7, NULL, NOW, &err), LW_NOT_FOUND);
	ck_assert_ptr_null(doc);
	ck_assert_int_eq(
	    lw_view_waits(&doc, book, 0, "trike36", NOW, &err), LW_NOT_FOUND);
	ck_assert_ptr_null(doc);

	begin("cart48", "3");
	answer("right");
	answer("0");
	answer("51");
	ck_assert_str_eq(text("step.check"), "field-on");
	ck_assert_str_eq(text("step.into"), "control");
	ck_assert(lists("step.cautions", "caution", "field-runaway"));
	answer("ready");
	ck_assert_str_eq(text("step.check"), "field-log");
	ck_assert_uint_eq(count("step.missing"), 1);
	ck_assert_str_eq(text("step.missing.0"), "hand-held programmer");
	answer_with("cannot", "lent out until Friday");
	ck_assert_str_eq(text("state"), "waiting");
	ck_assert(is_true("waiting"));
	ck_assert(is_true("make_safe"));
	ck_assert(is_true("can_choose"));
	ck_assert(is_true("has_put_aside"));
	has_keys("put_aside.0", "check title needs power_title minutes words");
	ck_assert_uint_eq(count("put_aside"), 1);
	ck_assert_str_eq(text("put_aside.0.check"), "field-log");
	ck_assert_str_eq(text("put_aside.0.words"), "lent out until Friday");
	ck_assert_str_eq(text("put_aside.0.needs.1"), "hand-held programmer");
	is_null("step");

	GOES(lw_job_new(book,
	    &(struct lw_job_start){
		.device = "field-drive", .symptom = "field-still"},
	    NOW, &other, &err));
	lw_doc_free(doc);
	GOES(lw_view_waits(&doc, book, 0, NULL, shed.now_s, &err));
	has_keys("", "shape jobs tools one_tool settings has_settings");
	has_keys("jobs.0",
	    "job title state state_title waits_for by_person put_aside "
	    "deferred");
	has_keys("jobs.0.put_aside.0",
	    "check title needs power_title minutes words");
	has_keys("tools.0",
	    "tool checks groups check_count minutes minutes_text fixes "
	    "has_fixes");
	has_keys("tools.0.checks.0",
	    "job check title power power_title minutes minutes_text put_aside "
	    "words why besides has_besides");
	ck_assert_uint_eq(count("jobs"), 1);
	ck_assert_int_eq(number("jobs.0.job"), job);
	ck_assert_ptr_nonnull(strstr(text("jobs.0.waits_for"), "Friday"));
	/* The multimeter is at hand; a likely fix needs the charger. */
	ck_assert_uint_eq(count("tools"), 2);
	ck_assert_str_eq(text("tools.1.tool"), "The charger");
	ck_assert_str_eq(text("tools.1.fixes.0.cause"), "field-flat");
	ck_assert_str_eq(text("tools.0.tool"), "hand-held programmer");
	ck_assert_str_eq(text("tools.0.checks.0.title"), "Read the log");
	lw_doc_free(doc);
	GOES(lw_view_waits(&doc, book, job, NULL, shed.now_s, &err));
	ck_assert_uint_eq(count("jobs"), 1);
	lw_doc_free(doc);
	GOES(lw_view_waits(&doc, book, 0, "cart48", shed.now_s, &err));
	ck_assert_uint_eq(count("jobs"), 1);
	lw_doc_free(doc);
	ck_assert_int_eq(
	    lw_view_waits(&doc, book, other, NULL, shed.now_s, &err),
	    LW_NOT_FOUND);
	ck_assert_uint_eq(count("jobs"), 0);

	/* In words of a person, and not once it is over. */
	GOES(lw_job_wait(book, job, "the ground to dry", &shed, &err));
	lw_doc_free(doc);
	GOES(lw_view_waits(&doc, book, 0, NULL, shed.now_s, &err));
	ck_assert_str_eq(text("jobs.0.waits_for"), "the ground to dry");
	GOES(lw_job_close(book, job, true, "sold", &shed, &err));
	lw_doc_free(doc);
	ck_assert_int_eq(
	    lw_view_waits(&doc, book, 0, NULL, shed.now_s, &err), LW_NOT_FOUND);
	show();
	ck_assert_str_eq(text("state"), "given-up");
	ck_assert(is_true("given_up"));
	ck_assert(is_true("over"));
	ck_assert(!is_true("closed"));
	ck_assert_str_eq(text("ending"), "sold");
	ck_assert(lists("findings", "kind_title", "cannot be done now"));
	ck_assert(lists("findings", "kind_title", "given up"));
}
END_TEST

/* The fix, its proof, and what the job began with once more. */
START_TEST(cure)
{
	begin("cart48", "3");
	answer("right");
	answer("0");
	answer("31.5");
	ck_assert_str_eq(text("state"), "found");
	ck_assert(is_true("is_found"));
	ck_assert(is_true("can_choose"));
	has_keys(
	    "cause", "cause title why fix parts tools damages proof source");
	ck_assert_str_eq(text("cause.cause"), "field-flat");
	ck_assert_str_eq(text("cause.tools"), "The charger.");
	ck_assert_str_eq(
	    text("cause.damages"), "A cell; measure each one at rest.");
	ck_assert_str_eq(text("step.purpose"), "fix");
	ck_assert(is_true("step.is_fix"));
	ck_assert(!is_true("step.reading"));
	answer("begun");
	ck_assert(is_true("fixing"));
	ck_assert(!is_true("can_choose"));
	answer("fixed");
	ck_assert(is_true("proving"));
	ck_assert(is_true("step.is_proof"));
	ck_assert_str_eq(
	    text("step.ask"), "What does the meter read at the pack?");
	answer("52");
	/* Once more, with the controls on: the fault's pack says so. */
	ck_assert(is_true("step.is_again"));
	ck_assert_str_eq(text("step.check"), "field-on");
	answer("ready");
	ck_assert(is_true("step.is_again"));
	answer("gone");
	ck_assert_str_eq(text("state"), "closed");
	ck_assert(is_true("closed"));
	ck_assert(is_true("over"));
	ck_assert(is_true("cured"));
	ck_assert(!is_true("can_choose"));
	ck_assert_str_eq(text("cause.cause"), "field-flat");
	/* The report: no ways in, and what was compulsory before them. */
	ck_assert_uint_eq(count("checks"), 4);
	has_keys("checks.0",
	    "serial time when kind kind_title subject title ask outcome "
	    "outcome_title reading spread also expected words about "
	    "about_title undone");
	ck_assert_str_eq(text("checks.0.subject"), "field-volts");
	ck_assert_str_eq(text("checks.0.kind_title"), "check");
	ck_assert_str_eq(text("checks.0.reading"), "31.5 V");
	ck_assert_str_eq(text("checks.0.expected"), "at least 46 V");
	ck_assert_str_eq(
	    text("checks.0.ask"), "What does the meter read at the pack?");
	ck_assert_str_eq(text("checks.1.kind_title"), "fix done");
	ck_assert_str_eq(text("checks.2.kind_title"), "proved");
	ck_assert_str_eq(text("checks.2.reading"), "52 V");
	ck_assert_str_eq(text("checks.2.about"), "field-flat");
	ck_assert_str_eq(text("checks.2.about_title"), "Pack flat");
	ck_assert_str_eq(text("checks.3.kind_title"), "gone");
	ck_assert(lists("findings", "kind_title", "seen"));
	ck_assert(lists("findings", "kind_title", "fix begun"));
	/* Eight answers, a minute apart from the beginning on. */
	ck_assert_int_eq(number("worked_s"), 8 * 60);
	ck_assert_str_eq(text("worked"), "8 min");
	ck_assert_int_eq(number("last_time"), NOW + 8 * 60);
}
END_TEST

/* What is out of play, and why; a check that did not pass stays in the
 * report; what is undone does not. */
START_TEST(struck)
{
	begin("cart48", "3");
	answer("wrong");
	ck_assert_str_eq(text("checks.0.subject"), "field-meter");
	answer("right");
	answer("7.1");
	ck_assert_str_eq(text("say"), "Wait and measure again.");
	ck_assert_uint_eq(count("checks"), 2);
	answer("0");
	answer("31.5");
	answer("wrong");
	ck_assert_uint_gt(count("excluded"), 0);
	has_keys("excluded.0", "cause title reason repaired");
	ck_assert_str_eq(text("excluded.0.cause"), "field-flat");
	ck_assert(!is_true("excluded.0.repaired"));
	ck_assert(lists("checks", "kind_title", "found sound"));
	ck_assert(is_true("open") || is_true("waiting"));
	ck_assert(is_true("can_choose"));
	/* The log is read by a tool that is not at hand. */
	has_keys("deferred.0",
	    "check title why power power_title minutes setup_minutes bits "
	    "missing has_missing yields leading");
	ck_assert_str_eq(text("deferred.0.check"), "field-log");
	ck_assert_str_eq(text("deferred.0.missing.0"), "hand-held programmer");
	ck_assert_double_eq_tol(
	    json_real_value(at("deferred.0.minutes")), 10, 1e-12);
	GOES(lw_job_undo(book, job, &shed, &err));
	show();
	ck_assert(!lists("checks", "kind_title", "found sound"));
	ck_assert(lists("findings", "kind_title", "taken back"));
	ck_assert(is_true("is_found"));
}
END_TEST

START_TEST(holds)
{
	struct lw_actor barn = {.screen = "s-2", .name = "computer a0"};

	begin("cart48", "3");
	show();
	ck_assert(!is_true("hold.held"));
	ck_assert(is_true("hold.may_act"));
	ck_assert(!is_true("hold.others"));
	is_null("hold.name");
	is_null("hold.since");
	is_null("hold.since_time");
	is_null("hold.job");
	show_to(NULL);
	ck_assert(!is_true("hold.may_act"));

	answer("right");
	ck_assert(is_true("hold.held"));
	ck_assert(is_true("hold.mine"));
	ck_assert(is_true("hold.may_act"));
	ck_assert(!is_true("hold.asked"));
	ck_assert(!is_true("hold.elsewhere"));
	ck_assert_str_eq(text("hold.name"), "phone 3f");
	ck_assert_int_eq(number("hold.since_time"), NOW + 60);
	ck_assert_int_eq(
	    number("hold.until_time"), NOW + 60 + LW_JOB_POWER_HOLDS_S);
	ck_assert_int_eq(number("hold.job"), job);

	barn.now_s = shed.now_s;
	GOES(lw_job_ask(book, job, &barn, &err));
	show_to(barn.screen);
	ck_assert(is_true("hold.others"));
	ck_assert(!is_true("hold.mine"));
	ck_assert(!is_true("hold.may_act"));
	ck_assert(is_true("hold.i_ask"));
	ck_assert(is_true("hold.asked"));
	show();
	ck_assert(is_true("hold.asked"));
	ck_assert(!is_true("hold.i_ask"));
	ck_assert_str_eq(text("hold.asker_name"), "computer a0");
	GOES(lw_job_hand(book, job, false, &shed, &err));
	show();
	ck_assert(is_true("hold.others"));
	ck_assert_str_eq(text("hold.name"), "computer a0");
	ck_assert(lists("findings", "kind_title", "taken by"));
	ck_assert(lists("findings", "title", "computer a0"));

	/* A second job on the same cart. */
	begin("cart48", "3");
	show();
	ck_assert(is_true("hold.elsewhere"));
	ck_assert(!is_true("hold.may_act"));
}
END_TEST

START_TEST(way_back)
{
	begin("cart48", "3");
	answer("right");
	answer("0");
	answer("51");
	answer("ready");
	ck_assert(!is_true("safe_first"));
	GOES(lw_job_make_safe(book, job, &shed, &err));
	show();
	ck_assert(is_true("safe_first"));
	ck_assert(is_true("step.is_safe"));
	ck_assert_str_eq(text("step.into"), "isolated");
	answer("right");
	answer("0");
	ck_assert(!is_true("safe_first"));
}
END_TEST

/* Time worked, in words; breaks of a quarter of an hour are left out. */
START_TEST(worked)
{
	static const struct {
		int minutes; /* between the job's opening and its last word */
		const char *words;
	} rows[] = {{0, "under a minute"}, {1, "1 min"}, {14, "14 min"},
	    {42, "42 min"}, {60, "1 h"}, {65, "1 h 5 min"},
	    {131, "2 h 11 min"}};
	size_t i;
	int left;

	for (i = 0; i < sizeof rows / sizeof rows[0]; i++) {
		begin(NULL, "3");
		for (left = rows[i].minutes; left > 0; left -= 10) {
			shed.now_s += 60 * (left < 10 ? left : 10);
			GOES(lw_job_wait(book, job, "a word", &shed, &err));
			GOES(lw_job_resume(book, job, &shed, &err));
		}
		show();
		ck_assert_str_eq(text("worked"), rows[i].words);
		shed.now_s += LW_JOB_POWER_HOLDS_S;
		GOES(lw_job_wait(book, job, "a word", &shed, &err));
		show();
		ck_assert_str_eq(text("worked"), rows[i].words);
	}
}
END_TEST

/* What was kept while at it. */
START_TEST(kept)
{
	struct lw_setting setting = {.device = "drive",
	    .setting = "pull-away time",
	    .was = "0.9 s",
	    .became = "1.6 s"};
	struct lw_record record = {.device = "drive",
	    .kind = LW_RECORD_FAULT,
	    .subject = "12",
	    .has_count = true,
	    .count = 3};
	int64_t n, note;
	char name[24];

	begin("cart48", "3");
	setting.job = job;
	record.job = job;
	GOES(lw_setting_add(book, "cart48", &setting, NOW, &n, &err));
	GOES(lw_record_add(book, "cart48", &record, NOW, &n, &err));
	setting.job = 0;
	setting.setting = "of no job";
	GOES(lw_setting_add(book, "cart48", &setting, NOW, &n, &err));
	snprintf(name, sizeof name, "%lld", (long long)job);
	GOES(lw_book_add_note(book, "job", name, "wet", NOW, &note, &err));
	show();
	ck_assert_uint_eq(count("settings"), 1);
	ck_assert_str_eq(text("settings.0.setting"), "pull-away time");
	ck_assert_int_eq(number("settings.0.job"), job);
	ck_assert_uint_eq(count("records"), 1);
	ck_assert_str_eq(text("records.0.subject"), "12");
	ck_assert_str_eq(text("notes.0.words"), "wet");
}
END_TEST

/* The pack goes while the job is under way: what was shown stays. */
START_TEST(pack_gone)
{
	begin("cart48", "3");
	answer("right");
	answer("0");
	answer("51");
	GOES(lw_book_remove_pack(book, "field", &err));
	show();
	is_null("step");
	is_null("fault");
	is_null("tree");
	is_null("symptom");
	ck_assert_str_eq(text("device"), "field-drive");
	ck_assert_uint_gt(count("remarks"), 0);
	ck_assert(lists("findings", "title", "Pack voltage at rest"));
	ck_assert(lists("checks", "reading", "51 V"));
	lw_doc_free(doc);
	GOES(lw_view_jobs(&doc, book, shed.now_s, &err));
	ck_assert_uint_eq(count("jobs"), 1);
	lw_doc_free(doc);
	ck_assert_int_eq(
	    lw_view_waits(&doc, book, 0, NULL, shed.now_s, &err), LW_NOT_FOUND);
}
END_TEST

START_TEST(jobs)
{
	int i;

	ck_assert_int_eq(lw_view_jobs(&doc, book, NOW, &err), LW_NOT_FOUND);
	ck_assert_uint_eq(count("jobs"), 0);
	for (i = 0; i < 6; i++) {
		shed.now_s++;
		begin(i == 5 ? "cart48" : NULL, "3");
	}
	lw_doc_free(doc);
	GOES(lw_view_jobs(&doc, book, shed.now_s, &err));
	has_keys("", "shape jobs");
	has_keys("jobs.0", "job title state state_title rig when time over");
	ck_assert_uint_eq(count("jobs"), 6);
	ck_assert_str_eq(text("jobs.0.rig"), "cart48");
	is_null("jobs.1.rig");
	ck_assert(!is_true("jobs.0.over"));
	GOES(lw_rig_use(book, "cart48", &err));
	lw_doc_free(doc);
	GOES(lw_view_home(&doc, book, shed.now_s, &err));
	has_keys("", "shape devices jobs more_jobs empty rig rig_title rigs");
	has_keys("devices.0", "kind kind_title id title detail own");
	has_keys("rigs.0", "rig title in_hand");
	ck_assert_uint_eq(count("jobs"), 5);
	ck_assert(is_true("more_jobs"));
	ck_assert_str_eq(text("rig"), "cart48");
	ck_assert_str_eq(text("rig_title"), "Field cart");
	ck_assert(is_true("rigs.0.in_hand"));
	shed.now_s++;
	GOES(lw_job_close(book, job, false, "done", &shed, &err));
	lw_doc_free(doc);
	GOES(lw_view_home(&doc, book, shed.now_s, &err));
	ck_assert_uint_eq(count("jobs"), 5);
	ck_assert(!is_true("more_jobs"));
	ck_assert(!lists("jobs", "rig", "cart48"));
	lw_doc_free(doc);
	GOES(lw_view_jobs(&doc, book, shed.now_s, &err));
	ck_assert_str_eq(text("jobs.0.state"), "closed");
	ck_assert(is_true("jobs.0.over"));
}
END_TEST

Suite *
suite_view_job(void)
{
	Suite *suite = suite_create("view_job");
	TCase *tcase = tcase_create("view_job");

	tcase_add_checked_fixture(tcase, setup, teardown);
	tcase_set_timeout(tcase, 60);
	tcase_add_test(tcase, keys);
	tcase_add_test(tcase, warns);
	tcase_add_test(tcase, way_in);
	tcase_add_test(tcase, waits);
	tcase_add_test(tcase, cure);
	tcase_add_test(tcase, struck);
	tcase_add_test(tcase, holds);
	tcase_add_test(tcase, way_back);
	tcase_add_test(tcase, worked);
	tcase_add_test(tcase, kept);
	tcase_add_test(tcase, pack_gone);
	tcase_add_test(tcase, jobs);
	suite_add_tcase(suite, tcase);
	return suite;
}
