/* view: documents over the invented pack of tests/cli/bench.yaml. Expected
 * shares are worked out by hand from the weights common 9, occasional 3,
 * rare 1 (DEVELOPERS.md, kb/README.md). */
#include "unit/book.h"
#include "unit/doc.h"
#include "unit/suites.h"

#include "base/arena.h"
#include "view/lesson.h"
#include "view/list.h"
#include "view/parts.h"

#include <lampwright.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define NOW 1700000000 /* 2023-11-14 22:13:20 UTC */

static struct scratch scratch;
static struct lw_book *book; /* of the scratch */
static struct lw_err err;

static void
setup(void)
{
	doc_setup(&scratch, "cli/bench.yaml", NOW);
	book = scratch.book;
}

static void
teardown(void)
{
	lw_doc_free(doc);
	scratch_remove(&scratch);
}

static enum lw_status
read_as(const char *pattern, const char *device, const char *lamp)
{
	lw_doc_free(doc);
	doc = NULL;
	return lw_view_read(&doc, book, pattern, device, lamp, &err);
}

static void
teach(const char *device, const char *pattern, const char *fault,
    const char *meaning)
{
	struct lw_code code = {.device = device,
	    .pattern = pattern,
	    .fault = fault,
	    .meaning = meaning,
	    .own = true};

	ck_assert_msg(lw_book_teach(book, device, &code, 1, NOW, &err) == LW_OK,
	    "%s", err.text);
}

START_TEST(read_one)
{
	ck_assert_int_eq(read_as("4", "bench-drive", NULL), LW_OK);
	has_keys("", "shape query device device_title lamp pattern coding word "
		     "readings found matches nearest teach notes");
	has_keys("matches.0",
	    "device device_title invented own lamp lamp_title colour pattern "
	    "fault title meaning severity clears meanwhile source causes "
	    "has_causes trees notes");
	has_keys("matches.0.causes.0", "cause title share percent weight");
	has_keys("matches.0.trees.0", "tree title own");
	ck_assert_int_eq(json_integer_value(at("shape")), 1);
	ck_assert_str_eq(text("query"), "4");
	ck_assert_str_eq(text("pattern"), "4");
	ck_assert_str_eq(text("coding"), "count");
	ck_assert_uint_eq(count("readings"), 1);
	ck_assert(json_is_true(at("found")));
	ck_assert_uint_eq(count("matches"), 1);
	ck_assert_str_eq(text("matches.0.fault"), "bench-low");
	ck_assert_str_eq(text("matches.0.title"), "Bench voltage too low");
	ck_assert_str_eq(text("matches.0.severity"), "stops");
	ck_assert_str_eq(text("matches.0.colour"), "red");
	ck_assert(json_is_true(at("matches.0.invented")));
	ck_assert(json_is_false(at("matches.0.own")));
	/* 9 and 1 of 10 */
	ck_assert_uint_eq(count("matches.0.causes"), 2);
	ck_assert_str_eq(text("matches.0.causes.0.cause"), "bench-flat");
	ck_assert_double_eq_tol(
	    json_real_value(at("matches.0.causes.0.share")), 0.9, 1e-12);
	ck_assert_str_eq(text("matches.0.causes.0.percent"), "90 %");
	ck_assert_str_eq(text("matches.0.causes.0.weight"), "common");
	ck_assert_str_eq(text("matches.0.causes.1.percent"), "10 %");
	ck_assert_str_eq(text("matches.0.trees.0.tree"), "bench-low");
	ck_assert_uint_eq(count("nearest"), 0);
	is_null("teach");
	is_null("word");
}
END_TEST

START_TEST(read_word)
{
	/* The lamp of bench-drive says what fast is; that of bench-two not. */
	ck_assert_int_eq(read_as("fast", "bench-drive", NULL), LW_OK);
	ck_assert_str_eq(text("pattern"), "4Hz");
	ck_assert_str_eq(text("matches.0.title"), "waiting for the key");
	ck_assert_str_eq(text("matches.0.meaning"), "waiting for the key");
	is_null("matches.0.fault");
	is_null("matches.0.severity");
	ck_assert_uint_eq(count("matches.0.causes"), 0);
	ck_assert_int_eq(read_as("fast", NULL, NULL), LW_OK);
	ck_assert_str_eq(text("word"), "fast");
	is_null("pattern");
	ck_assert_uint_eq(count("matches"), 1);
	ck_assert_int_eq(read_as("fast", "bench-two", "run"), LW_NOT_FOUND);
	ck_assert_str_eq(text("word"), "fast");
	ck_assert_uint_eq(count("readings"), 0);
}
END_TEST

START_TEST(read_ambiguous)
{
	/* Without a lamp both; with its coding one. */
	ck_assert_int_eq(read_as("32", NULL, NULL), LW_OK);
	is_null("pattern");
	ck_assert_uint_eq(count("readings"), 2);
	ck_assert_uint_eq(count("matches"), 1);
	ck_assert_str_eq(text("matches.0.device"), "bench-digits");
	ck_assert_str_eq(text("matches.0.pattern"), "3-2");
	ck_assert_int_eq(read_as("32", "bench-digits", NULL), LW_OK);
	ck_assert_str_eq(text("pattern"), "3-2");
	ck_assert_int_eq(read_as("32", "bench-drive", NULL), LW_NOT_FOUND);
	ck_assert_str_eq(text("pattern"), "32");
}
END_TEST

START_TEST(read_unknown)
{
	ck_assert_int_eq(read_as("5", "bench-drive", NULL), LW_NOT_FOUND);
	ck_assert_ptr_nonnull(strstr(err.text, "bench-drive"));
	ck_assert(json_is_false(at("found")));
	ck_assert_uint_eq(count("matches"), 0);
	/* 4 is one flash away, 12 seven; 4Hz is of another kind. */
	ck_assert_uint_eq(count("nearest"), 2);
	has_keys("nearest.0", "device lamp pattern fault title");
	ck_assert_str_eq(text("nearest.0.pattern"), "4");
	ck_assert_str_eq(text("nearest.0.title"), "Bench voltage too low");
	ck_assert_str_eq(text("nearest.1.pattern"), "12");
	ck_assert_str_eq(
	    text("teach"), "lampwright teach bench-drive 5 \"what it means\"");
	ck_assert_int_eq(read_as("5", "bench-two", "err"), LW_NOT_FOUND);
	ck_assert_str_eq(text("teach"),
	    "lampwright teach bench-two 5 --lamp err \"what it means\"");
	/* No such device or lamp: said, and still a whole document. */
	ck_assert_int_eq(read_as("5", "bench-driv", NULL), LW_NOT_FOUND);
	ck_assert_ptr_nonnull(strstr(err.text, "bench-drive"));
	ck_assert_uint_eq(count("matches"), 0);
	ck_assert_int_eq(read_as("2", "bench-two", "erm"), LW_NOT_FOUND);
	ck_assert_ptr_nonnull(strstr(err.text, "run, err"));
}
END_TEST

START_TEST(read_unreadable)
{
	ck_assert_int_eq(read_as("4 xyzzy", NULL, NULL), LW_BAD_INPUT);
	ck_assert_ptr_null(doc);
	ck_assert_uint_eq(err.column, 3);
	ck_assert_int_eq(read_as("4 xyzzy", "bench-drive", NULL), LW_BAD_INPUT);
	ck_assert_ptr_null(doc);
	ck_assert_int_eq(read_as("4 xyzzy", "nobody", NULL), LW_BAD_INPUT);
	ck_assert_ptr_null(doc);
	ck_assert_int_eq(read_as("\xff\xfe", NULL, NULL), LW_BAD_INPUT);
	ck_assert_ptr_null(doc);
}
END_TEST

START_TEST(read_own)
{
	int64_t note;

	ck_assert_int_eq(lw_book_new_device(book, "zz-mine", "Mine", "drive",
			     LW_CODING_COUNT, NOW, &err),
	    LW_OK);
	teach("zz-mine", "4", "bench-warm", "heat sensor");
	teach("bench-drive", "7", NULL, "my own meaning");
	/* Own devices first, whatever their name. */
	ck_assert_int_eq(read_as("4", NULL, NULL), LW_OK);
	ck_assert_uint_eq(count("matches"), 2);
	ck_assert_str_eq(text("matches.0.device"), "zz-mine");
	ck_assert(json_is_true(at("matches.0.own")));
	/* The builder's words, and the fault's own meaning after them. */
	ck_assert_str_eq(text("matches.0.title"), "Bench heatsink warm");
	ck_assert_str_eq(text("matches.0.meaning"),
	    "heat sensor. The heatsink of the bench drive is warm.");
	ck_assert_str_eq(text("matches.1.device"), "bench-drive");

	ck_assert_int_eq(lw_book_add_note(book, "pattern", "bench-drive 7",
			     "seen in rain", NOW, &note, &err),
	    LW_OK);
	ck_assert_int_eq(lw_book_add_note(book, "pattern", "7", "lucky",
			     NOW + 60, &note, &err),
	    LW_OK);
	ck_assert_int_eq(read_as("7", "bench-drive", NULL), LW_OK);
	ck_assert(json_is_true(at("matches.0.own")));
	ck_assert_uint_eq(count("matches.0.notes"), 1);
	has_keys(
	    "matches.0.notes.0", "note words when time subject_kind subject");
	ck_assert_str_eq(text("matches.0.notes.0.words"), "seen in rain");
	ck_assert_str_eq(text("matches.0.notes.0.when"), "2023-11-14 22:13");
	ck_assert_uint_eq(count("notes"), 1);
	ck_assert_str_eq(text("notes.0.words"), "lucky");
}
END_TEST

START_TEST(percent)
{
	static const struct {
		double share;
		const char *percent;
	} rows[] = {{0, "0 %"}, {0.0001, "under 1 %"}, {0.0099, "under 1 %"},
	    {0.01, "1 %"}, {0.054, "5 %"}, {0.642, "64 %"}, {0.99, "99 %"},
	    {0.9999, "over 99 %"}, {1, "100 %"}};
	struct view view;
	size_t i;

	for (i = 0; i < sizeof rows / sizeof rows[0]; i++) {
		view_begin(&view, NULL);
		view_share(&view, view.root, rows[i].share);
		lw_doc_free(doc);
		ck_assert_int_eq(view_end(&view, &doc, LW_OK, &err), LW_OK);
		ck_assert_str_eq(text("percent"), rows[i].percent);
	}
}
END_TEST

START_TEST(find)
{
	ck_assert_int_eq(
	    lw_view_find(&doc, book, "nothing wobbles", &err), LW_OK);
	has_keys("", "shape query found hits groups has_settings");
	has_keys("hits.0", "kind kind_title id title snippet score");
	has_keys("groups.0", "kind kind_title hits");
	ck_assert_str_eq(text("hits.0.id"), "bench-dead");
	ck_assert_str_eq(text("hits.0.kind_title"), "Symptom");
	ck_assert_str_eq(text("groups.0.kind_title"), "Symptoms");
	ck_assert_str_eq(text("groups.0.hits.0.id"), "bench-dead");
	lw_doc_free(doc);
	ck_assert_int_eq(
	    lw_view_find(&doc, book, "quixotic zebra", &err), LW_NOT_FOUND);
	ck_assert(json_is_false(at("found")));
	ck_assert_uint_eq(count("hits"), 0);
	ck_assert_uint_eq(count("groups"), 0);
}
END_TEST

START_TEST(items)
{
	static const struct {
		const char *kind;
		const char *id;
		const char *keys;
	} rows[] = {
	    {"device", "bench-drive", "kind description invented lamps codes"},
	    {"fault", "bench-low",
		"meaning severity clears meanwhile again_title causes "
		"has_causes trees devices settings has_settings "
		"setting_count"},
	    {"symptom", "bench-dead",
		"description again_title phrases causes has_causes trees "
		"cautions settings has_settings setting_count"},
	    {"cause", "bench-flat",
		"weight why fix parts tools damages proof checks"},
	    {"check", "bench-safe",
		"check title ask purpose is_tree is_pick is_fix is_proof "
		"is_again is_safe is_next why do power power_title gate "
		"compulsory then "
		"into into_title part parts figures missing reason minutes "
		"meter reading unit black red points needs cautions "
		"has_standing has_brief expect outcomes asks lacks accuracy "
		"usual_accuracy mistake source after "
		"rules"},
	    {"tree", "bench-low",
		"walk description passed faults symptoms steps"},
	    {"setting", "bench-cut-back",
		"part does low high record faults symptoms looks_like "
		"cautions rig"},
	};
	char keys[200];
	size_t i;

	for (i = 0; i < sizeof rows / sizeof rows[0]; i++) {
		lw_doc_free(doc);
		ck_assert_msg(lw_view_item(&doc, book, rows[i].kind, rows[i].id,
				  &err) == LW_OK,
		    "%s", err.text);
		snprintf(keys, sizeof keys,
		    "shape kind kind_title id title pack own source notes %s",
		    rows[i].kind);
		has_keys("", keys);
		has_keys(rows[i].kind, rows[i].keys);
		ck_assert_str_eq(text("pack"), "bench");
		lw_doc_free(doc);
		ck_assert_int_eq(
		    lw_view_item(&doc, book, rows[i].kind, "nobody", &err),
		    LW_NOT_FOUND);
		ck_assert_ptr_null(doc);
	}
	ck_assert_int_eq(
	    lw_view_item(&doc, book, "gadget", "x", &err), LW_BAD_INPUT);

	lw_view_item(&doc, book, "check", "bench-volts", NULL);
	has_keys("check.outcomes.0", "n outcome title band expected speaks");
	has_keys("check.outcomes.0.speaks.0", "cause title word");
	ck_assert_str_eq(
	    text("check.outcomes.0.speaks.0.title"), "Bench battery flat");
	ck_assert_str_eq(text("check.expect.text"), "40 V to 60 V");
	ck_assert_uint_eq(count("check.cautions"), 1);
	is_null("check.purpose");
	is_null("check.black.own");
	lw_doc_free(doc);
	lw_view_item(&doc, book, "tree", "bench-low", NULL);
	ck_assert_str_eq(
	    text("tree.steps.0.branches.0.to"), "cause: Bench battery flat");
	ck_assert_str_eq(
	    text("tree.steps.0.branches.1.to"), "go on with Bench fuse");
	ck_assert_str_eq(
	    text("tree.steps.0.branches.2.to"), "stop: Leave it off.");
	ck_assert_str_eq(text("tree.steps.1.branches.0.to"),
	    "not certain: Battery and fuse are sound.");
	lw_doc_free(doc);
	lw_view_item(&doc, book, "fault", "bench-warm", NULL);
	ck_assert_uint_eq(count("fault.devices"), 2);
	/* Where a pack names no state it is seen with the wheels free. */
	ck_assert_ptr_nonnull(strstr(text("fault.again_title"), "wheels"));
	lw_doc_free(doc);
	lw_view_item(&doc, book, "cause", "bench-fuse", NULL);
	ck_assert_uint_eq(count("cause.checks"), 2);
	lw_doc_free(doc);
	lw_view_item(&doc, book, "device", "bench-two", NULL);
	has_keys("device.lamps.0", "lamp title colour coding timing source");
	has_keys("device.codes.0", "lamp pattern fault title severity own");
}
END_TEST

/* Settings: by part, and from what a wrong value looks like. */
START_TEST(settings_known)
{
	ck_assert_int_eq(lw_view_known_settings(&doc, book, &err), LW_OK);
	has_keys("", "shape parts empty");
	has_keys("parts.0", "part settings");
	has_keys("parts.0.settings.0", "setting title does");
	ck_assert_uint_ge(count("parts"), 2);
	ck_assert_str_eq(text("parts.0.part"), "Pulling away");
	lw_doc_free(doc);
	lw_view_item(&doc, book, "symptom", "bench-dead", NULL);
	ck_assert_uint_eq(count("symptom.settings"), 1);
	has_keys("symptom.settings.0", "setting title part");
	ck_assert_str_eq(text("symptom.settings.0.setting"), "bench-cut-back");
	lw_doc_free(doc);
	lw_view_item(&doc, book, "fault", "bench-low", NULL);
	ck_assert_str_eq(text("fault.settings.0.part"), "Sparing the battery");
	lw_doc_free(doc);
	lw_view_item(&doc, book, "setting", "bench-cut-back", NULL);
	has_keys("setting.faults.0", "fault title");
	has_keys("setting.symptoms.0", "symptom title");
	ck_assert_str_eq(
	    text("setting.symptoms.0.title"), "Bench does nothing");
	ck_assert_str_eq(text("setting.cautions.0.caution"), "bench-chocks");
	/* What another pack had, and took along, is left out. */
	lw_doc_free(doc);
	doc = NULL;
	ck_assert_int_eq(lw_book_remove_pack(book, "bench", NULL), LW_OK);
	ck_assert_int_eq(
	    lw_view_item(&doc, book, "setting", "bench-cut-back", &err),
	    LW_NOT_FOUND);
	ck_assert_ptr_null(doc);
}
END_TEST

START_TEST(plan_ask)
{
	static const struct {
		const char *what;
		const char *rig;
		size_t choices; /* at least */
	} rows[] = {{NULL, NULL, 0}, {"bench-low", "", 0},
	    {"bench-dead", "", 0}, {"bench", NULL, 1},
	    {"zebra crossing", NULL, 0}, {"", NULL, 0}, {"\" OR (", NULL, 0}};
	size_t i;

	for (i = 0; i < sizeof rows / sizeof rows[0]; i++) {
		lw_doc_free(doc);
		ck_assert_int_eq(lw_view_plan_ask(&doc, book, rows[i].what,
				     "bench-drive", rows[i].rig, &err),
		    LW_OK);
		has_keys("", "shape query device rig choices has_choices "
			     "devices rigs has_rigs");
		ck_assert(rows[i].choices == 0
			      ? count("choices") == 0
			      : count("choices") >= rows[i].choices);
		ck_assert(
		    json_is_true(at("has_choices")) == (count("choices") > 0));
		if (count("choices") > 0)
			has_keys("choices.0", "what title kind_title");
		has_keys("devices.0", "device title chosen");
		ck_assert_str_eq(text("device"), "bench-drive");
	}
}
END_TEST

START_TEST(lists)
{
	int64_t note;

	ck_assert_int_eq(lw_view_list(&doc, book, "note", &err), LW_OK);
	ck_assert_uint_eq(count("items"), 0);
	lw_doc_free(doc);
	lw_book_add_note(book, "cause", "bench-flat", "cold", NOW, &note, NULL);
	lw_book_add_note(book, "fault", "bench-low", "wet", NOW, &note, NULL);
	ck_assert_int_eq(
	    view_notes_on(&doc, book, "fault", "bench-low", &err), LW_OK);
	ck_assert_uint_eq(count("items"), 1);
	has_keys("items.0", "kind kind_title id title detail own note words "
			    "when time subject_kind subject");
	ck_assert_str_eq(text("items.0.words"), "wet");
	ck_assert_str_eq(text("items.0.subject"), "bench-low");
	lw_doc_free(doc);
	ck_assert_int_eq(lw_view_list(&doc, book, "pack", &err), LW_OK);
	ck_assert_str_eq(text("items.0.id"), "bench");
	ck_assert_str_eq(text("items.0.detail"), "1");
	ck_assert_str_eq(text("kind_title"), "Packs");
	lw_doc_free(doc);
	ck_assert_int_eq(
	    lw_view_list(&doc, book, "gadget", &err), LW_BAD_INPUT);
	ck_assert_ptr_null(doc);
}
END_TEST

START_TEST(lesson)
{
	ck_assert_int_eq(lw_view_lesson(&doc, book, "bench-drive", NULL,
			     "# from the lid\r\n"
			     "\n"
			     "5 = voltage is too low\r\n"
			     "six flashes: heatsink gets warm\n"
			     "fast\twaiting = key\n"
			     "5 = again\n"
			     "8\n"
			     "9 =\n"
			     "%% = what\n"
			     "10 = teapot empty",
			     &err),
	    LW_OK);
	has_keys("", "shape device device_title lamp lines good bad");
	has_keys(
	    "lines.0", "line text pattern meaning fault fault_title problem");
	ck_assert_uint_eq(count("lines"), 8);
	ck_assert_int_eq(json_integer_value(at("good")), 4);
	ck_assert_int_eq(json_integer_value(at("bad")), 4);
	ck_assert_int_eq(json_integer_value(at("lines.0.line")), 3);
	ck_assert_str_eq(text("lines.0.text"), "5 = voltage is too low");
	ck_assert_str_eq(text("lines.0.pattern"), "5");
	ck_assert_str_eq(text("lines.0.meaning"), "voltage is too low");
	ck_assert_str_eq(text("lines.0.fault"), "bench-low");
	ck_assert_str_eq(text("lines.1.pattern"), "6");
	ck_assert_str_eq(text("lines.1.fault"), "bench-warm");
	ck_assert_str_eq(text("lines.2.pattern"), "4Hz");
	ck_assert_str_eq(text("lines.2.meaning"), "waiting = key");
	ck_assert_ptr_nonnull(strstr(text("lines.3.problem"), "line 3"));
	ck_assert_ptr_nonnull(strstr(text("lines.4.problem"), "equals sign"));
	ck_assert_ptr_nonnull(strstr(text("lines.5.problem"), "meaning"));
	is_null("lines.6.pattern");
	/* A meaning that no fault of the book speaks of stays by itself. */
	ck_assert_str_eq(text("lines.7.pattern"), "10");
	is_null("lines.7.fault");
}
END_TEST

START_TEST(lesson_refused)
{
	char *long_text = malloc(LESSON_BYTES_MAX + 2);

	ck_assert_int_eq(lw_view_lesson(&doc, book, "bench-drive", NULL,
			     "what\nnot\n", &err),
	    LW_BAD_INPUT);
	ck_assert_int_eq(json_integer_value(at("bad")), 2);
	lw_doc_free(doc);
	doc = NULL;
	ck_assert_int_eq(
	    lw_view_lesson(&doc, book, "nobody", NULL, "", &err), LW_NOT_FOUND);
	ck_assert_ptr_null(doc);
	ck_assert_int_eq(
	    lw_view_lesson(&doc, book, "bench-two", NULL, "2 = x", &err),
	    LW_BAD_INPUT);
	ck_assert_ptr_nonnull(strstr(err.text, "run, err"));
	ck_assert_int_eq(
	    lw_view_lesson(&doc, book, "bench-drive", NULL, "5 = \xff", &err),
	    LW_BAD_INPUT);
	ck_assert_ptr_null(doc);
	memset(long_text, '#', LESSON_BYTES_MAX + 1);
	long_text[LESSON_BYTES_MAX + 1] = '\0';
	ck_assert_int_eq(
	    lw_view_lesson(&doc, book, "bench-drive", NULL, long_text, &err),
	    LW_TOO_BIG);
	free(long_text);
}
END_TEST

START_TEST(lesson_is_taught)
{
	struct lw_arena *arena = lw_arena_new();
	struct lesson read;

	ck_assert_int_eq(lesson_read(&read, arena, book, "bench-digits", NULL,
			     "11 = one\n1-2 = two\n", &err),
	    LW_OK);
	ck_assert_uint_eq(read.good, 2);
	ck_assert_msg(lw_book_teach(book, "bench-digits", read.codes, read.good,
			  NOW, &err) == LW_OK,
	    "%s", err.text);
	lw_arena_free(arena);
	ck_assert_int_eq(read_as("1 1", "bench-digits", NULL), LW_OK);
	ck_assert_str_eq(text("matches.0.title"), "one");
}
END_TEST

START_TEST(problems)
{
	static const struct lw_problem list[] = {
	    {"a.yaml", 3, 7, "loop", "it loops"}};
	struct lw_problems none = {NULL, 0}, one = {list, 1};

	ck_assert_int_eq(lw_view_problems(&doc, &none, &err), LW_OK);
	ck_assert_uint_eq(count("problems"), 0);
	lw_doc_free(doc);
	ck_assert_int_eq(lw_view_problems(&doc, &one, &err), LW_UNDECIDED);
	has_keys("", "shape problems count");
	has_keys("problems.0", "file line column rule text");
	ck_assert_int_eq(json_integer_value(at("problems.0.column")), 7);
	ck_assert_int_eq(json_integer_value(at("count")), 1);
}
END_TEST

Suite *
suite_view(void)
{
	Suite *suite = suite_create("view");
	TCase *tcase = tcase_create("view");

	tcase_add_checked_fixture(tcase, setup, teardown);
	tcase_set_timeout(tcase, 60);
	tcase_add_test(tcase, read_one);
	tcase_add_test(tcase, read_word);
	tcase_add_test(tcase, read_ambiguous);
	tcase_add_test(tcase, read_unknown);
	tcase_add_test(tcase, read_unreadable);
	tcase_add_test(tcase, read_own);
	tcase_add_test(tcase, percent);
	tcase_add_test(tcase, find);
	tcase_add_test(tcase, items);
	tcase_add_test(tcase, settings_known);
	tcase_add_test(tcase, plan_ask);
	tcase_add_test(tcase, lists);
	tcase_add_test(tcase, lesson);
	tcase_add_test(tcase, lesson_refused);
	tcase_add_test(tcase, lesson_is_taught);
	tcase_add_test(tcase, problems);
	suite_add_tcase(suite, tcase);
	return suite;
}
