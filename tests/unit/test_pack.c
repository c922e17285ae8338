/* Reading packs: the corpus in tests/packs, the packs that ship, what ends
 * up in the structs, several files together, and limits. */
#include "unit/packs.h"
#include "unit/suites.h"

#include "pack/advice.h"

#include <lampwright/rig.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#define PACKS TESTS_DIR "/packs"

START_TEST(good_files_have_no_problems)
{
	struct packs files, one;
	size_t i;

	packs_start(&files);
	packs_folder(&files, PACKS, "good-");
	ck_assert_uint_ge(files.count, 6);
	for (i = 0; i < files.count; i++) {
		packs_start(&one);
		packs_file(&one, files.texts[i].name);
		packs_read(&one, NULL);
		packs_sound(&one);
		packs_end(&one);
	}
	packs_end(&files);
}
END_TEST

/* The lines "# expect: RULE LINE COLUMN" at the top, in order of place. */
static void
expectations(const char *text, char *expected, size_t size)
{
	static const char begins[] = "# expect: ";
	size_t length = 0, line;

	expected[0] = '\0';
	while (strncmp(text, begins, strlen(begins)) == 0) {
		text += strlen(begins);
		line = strcspn(text, "\n") + 1;
		ck_assert_uint_lt(length + line, size);
		memcpy(expected + length, text, line);
		length += line;
		expected[length] = '\0';
		text += line;
	}
	ck_assert_uint_gt(length, 0);
}

START_TEST(bad_files_have_their_problems_alone)
{
	struct packs files, one;
	char expected[4000];
	size_t i;

	packs_start(&files);
	packs_folder(&files, PACKS, "bad-");
	ck_assert_uint_ge(files.count, 45);
	for (i = 0; i < files.count; i++) {
		expectations(files.texts[i].text, expected, sizeof expected);
		packs_start(&one);
		packs_file(&one, files.texts[i].name);
		packs_read(&one, NULL);
		packs_problems(&one, expected);
		packs_end(&one);
	}
	packs_end(&files);
}
END_TEST

/* What keeps no pack out of the book is told by a check alone. */
START_TEST(poor_files_are_advised)
{
	struct packs files, one;
	char expected[4000];
	size_t i;

	packs_start(&files);
	packs_folder(&files, PACKS, "poor-");
	ck_assert_uint_ge(files.count, 8);
	for (i = 0; i < files.count; i++) {
		expectations(files.texts[i].text, expected, sizeof expected);
		packs_start(&one);
		packs_file(&one, files.texts[i].name);
		packs_read(&one, NULL);
		packs_sound(&one);
		packs_advise(&one, NULL);
		packs_problems(&one, expected);
		packs_end(&one);
	}
	packs_end(&files);
}
END_TEST

/* By hand, after ASD-STE100: one instruction a sentence, and actions that are
 * done at once count as one. */
START_TEST(actions_are_counted)
{
	static const struct {
		unsigned count;
		const char *text;
	} rows[] = {
	    {1, "Set the meter to volts dc, 200 V range or auto."},
	    {1, "Touch the black probe to pack minus and the red probe to "
		"pack plus."},
	    {2, "Touch the red probe to pack plus, and read."},
	    {2, "Turn the key off and take the lamp away."},
	    {2, "Wait a minute. Read the meter."},
	    {2, "Take the plug out, then measure again."},
	    {2, "If the fuse is warm, switch off and let it cool."},
	    {1, "If the fuse is warm, switch off."},
	    {1, "If there is none, answer \"cannot\"."},
	    {1, "Unplug converter, lights and gauges behind the contactor."},
	    {1, "Take off rings and watch."},
	    {1, "Turn the key on with nobody touching the throttle."},
	    {1, "Read the meter. Below 5 V is dead."},
	    {1, "Unplug the coil. Do not touch the studs and the frame."},
	    {1, "Look at the plug. Never pull at its wires and turn it."},
	    {0, "Below 5 V is dead."},
	    {0, "Do not switch on."},
	    {0, ""},
	    {1, "Read"},
	    {2, "Press it and, after a second, release it; read the meter."},
	    {1, "Hold still for half a minute, and longer while it climbs."},
	};
	size_t i;

	for (i = 0; i < sizeof rows / sizeof rows[0]; i++)
		ck_assert_msg(
		    advice_count_actions(rows[i].text) == rows[i].count,
		    "%u in: %s", advice_count_actions(rows[i].text),
		    rows[i].text);
}
END_TEST

/* Each rule of the tables in kb/README.md has a bad or poor file, and the
 * other way round. */
START_TEST(rules_are_listed_and_tried)
{
	struct packs packs;
	const char *page, *row;
	char expected[4000], word[80];
	char listed[4000] = " ", tried[20000] = " ", *line, *rest;
	size_t i;

	packs_start(&packs);
	packs_file(&packs, KB_DIR "/README.md");
	page = strstr(packs.texts[0].text, "## What is checked");
	ck_assert_ptr_nonnull(page);
	for (row = strstr(page, "\n| `"); row != NULL;
	     row = strstr(row + 1, "\n| `")) {
		i = strcspn(row + 4, "`");
		snprintf(word, sizeof word, " %.*s ", (int)i, row + 4);
		ck_assert_ptr_null(strstr(listed, word));
		strcat(listed, word + 1);
	}
	packs.count = 0;
	packs_folder(&packs, PACKS, "bad-");
	packs_folder(&packs, PACKS, "poor-");
	for (i = 0; i < packs.count; i++) {
		expectations(packs.texts[i].text, expected, sizeof expected);
		for (line = strtok_r(expected, "\n", &rest); line != NULL;
		     line = strtok_r(NULL, "\n", &rest)) {
			snprintf(word, sizeof word, " %.*s ",
			    (int)strcspn(line, " "), line);
			ck_assert_msg(strstr(listed, word) != NULL,
			    "not in kb/README.md:%s", word);
			if (strstr(tried, word) == NULL)
				strcat(tried, word + 1);
		}
	}
	for (line = strtok_r(listed, " ", &rest); line != NULL;
	     line = strtok_r(NULL, " ", &rest)) {
		snprintf(word, sizeof word, " %s ", line);
		ck_assert_msg(
		    strstr(tried, word) != NULL, "no bad file tries%s", word);
	}
	packs_end(&packs);
}
END_TEST

/* The page's table of facts is that of the rigs: every choice, in order. */
START_TEST(facts_of_rules_are_listed)
{
	const struct lw_value *keys;
	struct packs packs;
	const char *at;
	char word[80];
	size_t count, i, j;

	packs_start(&packs);
	packs_file(&packs, KB_DIR "/README.md");
	keys = lw_rig_built_in(&count);
	for (i = 0; i < count; i++) {
		if (keys[i].kind != LW_VALUE_CHOICE)
			continue;
		at = strstr(packs.texts[0].text, "#### Rules by rig");
		ck_assert_ptr_nonnull(at);
		snprintf(word, sizeof word, "`%s`", keys[i].id);
		at = strstr(at, word);
		ck_assert_msg(at != NULL, "%s is not listed", word);
		for (j = 0; keys[i].choices[j] != NULL; j++) {
			snprintf(word, sizeof word, "`%s`%s",
			    keys[i].choices[j],
			    keys[i].choices[j + 1] == NULL ? " |\n" : ", `");
			at = strstr(at, word);
			ck_assert_msg(at != NULL, "%s of %s is not listed",
			    word, keys[i].id);
		}
	}
	packs_end(&packs);
}
END_TEST

START_TEST(shipped_packs_are_sound)
{
	struct packs packs;

	packs_start(&packs);
	packs_folder(&packs, KB_DIR, "");
	ck_assert_uint_ge(packs.count, 3);
	packs_read(&packs, NULL);
	packs_sound(&packs);
	packs_end(&packs);
}
END_TEST

START_TEST(example_of_the_page_is_sound)
{
	struct packs packs;
	char *example, *end;

	packs_start(&packs);
	packs_file(&packs, KB_DIR "/README.md");
	example = strstr(packs.texts[0].text, "```yaml\n");
	ck_assert_ptr_nonnull(example);
	example = strdup(example + strlen("```yaml\n"));
	end = strstr(example, "```");
	ck_assert_ptr_nonnull(end);
	*end = '\0';
	packs.count = 0;
	packs_text(&packs, "example", example);
	packs_read(&packs, NULL);
	packs_sound(&packs);
	ck_assert_str_eq(packs.packs[0]->name, "barrow-drive");
	ck_assert_uint_eq(packs.packs[0]->check_count, 2);
	packs_end(&packs);
	free(example);
}
END_TEST

START_TEST(values_arrive_in_the_structs)
{
	struct packs packs;
	const struct lw_pack *pack;
	const struct lw_device *device;
	const struct lw_check *check;
	const struct lw_step *step;

	packs_start(&packs);
	packs_file(&packs, PACKS "/good-everything.yaml");
	packs_read(&packs, NULL);
	packs_sound(&packs);
	pack = packs.packs[0];
	ck_assert_str_eq(pack->version, "2.1");
	ck_assert(!pack->shipped);
	device = &pack->devices[0];
	ck_assert(device->invented && !device->own);
	ck_assert_uint_eq(device->at.line, 8);
	ck_assert_uint_eq(device->at.column, 5);
	ck_assert_int_eq(device->lamps[0].coding, LW_CODING_COUNT);
	ck_assert_double_eq(device->lamps[0].on_s, 0.25);
	ck_assert_double_eq(device->lamps[0].gap_s, 0.25);
	ck_assert_str_eq(device->lamps[0].flicker, "10Hz");
	ck_assert_str_eq(device->codes[0].device, "drive");
	ck_assert_str_eq(device->codes[0].fault, "supply-low");
	ck_assert_ptr_null(device->codes[1].fault);
	ck_assert_str_eq(device->codes[1].pattern, "on");
	ck_assert_int_eq(pack->faults[0].severity, LW_SEVERITY_STOPS);
	ck_assert_str_eq(pack->faults[0].causes.items[0].word, "common");
	ck_assert_ptr_null(pack->faults[0].causes.items[1].word);
	ck_assert_str_eq(
	    pack->symptoms[0].phrases.items[1].text, "no sign of life");
	ck_assert_ptr_null(pack->causes[1].weight);
	ck_assert_int_eq(pack->faults[0].again, LW_POWER_CONTROL);
	ck_assert_int_eq(pack->symptoms[0].again, LW_POWER_LIVE_GROUND);
	ck_assert_str_eq(pack->causes[0].tools, "A plug spanner.");
	ck_assert_str_eq(
	    pack->causes[0].damages, "The cells; measure each at rest.");
	ck_assert_double_eq(pack->causes[0].minutes, 12.5);
	ck_assert_double_eq(pack->causes[1].minutes, 0);
	ck_assert_uint_eq(pack->causes[0].alike.count, 1);
	ck_assert_str_eq(pack->causes[0].alike.items[0].id, "fuse-open");
	ck_assert_ptr_null(pack->causes[1].tools);
	ck_assert_ptr_null(pack->causes[1].damages);
	check = &pack->checks[0];
	ck_assert_int_eq(check->power, LW_POWER_ISOLATED);
	ck_assert_int_eq(check->meter, LW_METER_VOLTS_DC);
	ck_assert_uint_eq(check->steps.count, 3);
	ck_assert_str_eq(check->steps.items[0].text, "Open the disconnect.");
	ck_assert_uint_eq(check->steps.items[0].only.count, 0);
	ck_assert_uint_eq(check->steps.items[0].at.line, 71);
	ck_assert_str_eq(check->steps.items[1].text, "Open each string.");
	ck_assert_uint_eq(check->steps.items[1].only.count, 1);
	ck_assert_str_eq(
	    check->steps.items[1].only.items[0].text, "strings=several");
	ck_assert_uint_eq(check->steps.items[1].at.line, 72);
	ck_assert_uint_eq(check->steps.items[1].at.column, 9);
	ck_assert_str_eq(check->steps.items[2].text, "Measure.");
	ck_assert_uint_eq(check->steps.items[2].only.count, 0);
	ck_assert_uint_eq(check->after.count, 1);
	ck_assert_uint_eq(check->only.count, 0);
	ck_assert_uint_eq(check[1].after.count, 2);
	ck_assert_str_eq(check[1].after.items[0].id, "contactor-open");
	ck_assert_ptr_null(check[1].after.items[0].word);
	ck_assert_str_eq(check[1].after.items[1].id, "meter-works");
	ck_assert_uint_eq(check[3].only.count, 3);
	ck_assert_str_eq(check[3].only.items[1].text, "pack.kind=lfp");
	ck_assert_str_eq(check->black, "minus");
	ck_assert(!check->outcomes[0].has_from);
	ck_assert(check->outcomes[0].has_below);
	ck_assert_double_eq(check->outcomes[0].below, 5);
	ck_assert_int_eq(check->outcomes[0].enters, LW_POWER_ISOLATED);
	ck_assert_double_eq(pack->checks[1].minutes, 2.5);
	ck_assert_str_eq(
	    pack->checks[1].outcomes[0].speaks.items[1].word, "never");
	step = &pack->trees[0].steps[0];
	ck_assert_int_eq(step->branches[0].kind, LW_BRANCH_STEP);
	ck_assert_str_eq(step->branches[0].target, "second");
	ck_assert_str_eq(step->branches[2].outcome, "cannot");
	ck_assert_int_eq(step[1].branches[1].kind, LW_BRANCH_STOP);
	ck_assert(pack->cautions[0].states[LW_POWER_CONTROL]);
	ck_assert(!pack->cautions[0].states[LW_POWER_LIVE_FREE]);
	ck_assert_uint_eq(pack->cautions[0].only.count, 3);
	ck_assert_str_eq(
	    pack->cautions[0].only.items[2].text, "reference=frame");
	ck_assert_double_eq(pack->cautions[0].from_volts, 50);
	ck_assert_double_eq(pack->cautions[0].from_joules, 100);
	packs_end(&packs);
}
END_TEST

START_TEST(texts_stay_as_they_are)
{
	struct packs packs;
	const struct lw_cause *causes;

	packs_start(&packs);
	packs_file(&packs, PACKS "/good-texts.yaml");
	packs_file(&packs, PACKS "/good-lamps.yaml");
	packs_read(&packs, NULL);
	packs_sound(&packs);
	causes = packs.packs[0]->causes;
	ck_assert_str_eq(packs.packs[0]->title, "on");
	ck_assert_str_eq(packs.packs[0]->license, "~");
	ck_assert_str_eq(packs.packs[0]->source,
	    "Two lines,\n  the second one indented.\n\n"
	    "And a third after a gap: with a colon # and a hash.");
	ck_assert_str_eq(causes[0].id, "yes");
	ck_assert_str_eq(
	    causes[0].proof, "it's \"quoted\" \\ with a backslash");
	ck_assert_str_eq(causes[1].title, "  spaces before and after  ");
	ck_assert_str_eq(causes[1].why, "folded to one line");
	ck_assert_str_eq(causes[1].fix, "a tab\there, a newline\nthere");
	ck_assert_str_eq(causes[3].title, "\xC3\xA9\xE2\x80\xA8\xEF\xBB\xBF");
	/* The lamp of a pattern of several is the first one named. */
	ck_assert_str_eq(packs.packs[1]->devices[0].codes[0].lamp, "red");
	packs_end(&packs);
}
END_TEST

/* Test vectors of FNV-1a, 64 bits, as published with it. */
START_TEST(digest_is_fnv_1a)
{
	struct lw_arena *arena = lw_arena_new();

	ck_assert_str_eq(pack_digest(arena, "", 0), "cbf29ce484222325");
	ck_assert_str_eq(pack_digest(arena, "a", 1), "af63dc4c8601ec8c");
	ck_assert_str_eq(pack_digest(arena, "foobar", 6), "85944171f73967e8");
	lw_arena_free(arena);
}
END_TEST

#define CAUSE(id) "  - {id: " id ", title: T, fix: F., proof: P.}\n"

START_TEST(files_refer_to_one_another)
{
	struct packs packs;

	packs_start(&packs);
	packs_text(&packs, "a",
	    "pack: a\ntitle: A\nfaults:\n  - {id: f, title: F, meaning: M., "
	    "severity: stops, causes: [one, two, three]}\n");
	packs_text(&packs, "b", "pack: b\ntitle: B\ncauses:\n" CAUSE("one"));
	packs_text(&packs, "c",
	    "pack: b\ntitle: C\ncauses:\n" CAUSE("two") CAUSE("one"));
	packs_read(&packs, NULL);
	packs_problems(&packs, "a unknown-id 4 72\n"
			       "c duplicate-id 1 7\n"
			       "c duplicate-id 5 10\n");
	ck_assert_ptr_nonnull(packs.packs[0]); /* it could be read */
	ck_assert_ptr_nonnull(packs.packs[1]);
	ck_assert_ptr_null(packs.packs[2]);
	packs_end(&packs);
}
END_TEST

/* What stands in a file that cannot be read is not missed elsewhere, nor
 * what an item with a mistake would have been good for. */
START_TEST(one_mistake_is_told_once)
{
	struct packs packs;

	packs_start(&packs);
	packs_text(&packs, "a",
	    "pack: a\ntitle: A\nsymptoms:\n"
	    "  - {id: s, title: S, causes: [one, two]}\n");
	packs_text(&packs, "b",
	    "pack: b\ntitle: \"B\ncauses:\n" CAUSE("one") CAUSE("two"));
	packs_read(&packs, NULL);
	packs_problems(&packs, "b syntax 6 1\n");
	ck_assert_ptr_nonnull(packs.packs[0]);
	ck_assert_ptr_null(packs.packs[1]);
	packs_end(&packs);

	/* The caution and the gate are there, though not whole. */
	packs_check("pack: a\ntitle: A\n"
		    "cautions:\n"
		    "  - {id: c, signal: loud, hazard: H., avoid: A., "
		    "source: S., states: [control]}\n"
		    "checks:\n"
		    "  - {id: one, title: O, ask: A?, power: control, reason: "
		    "R., minutes: 1,\n"
		    "     outcomes: [{id: a, title: A}, {id: b, title: B, "
		    "expected: yes}]}\n"
		    "  - {id: gate, title: G, ask: A?, power: control, reason: "
		    "R., minutes: long,\n"
		    "     outcomes: [{id: a, title: A}, {id: b, title: B, "
		    "expected: yes, enters: control}]}\n",
	    "bad-word 4 21\nbad-quantity 8 72\n");
	/* An alias stands for what nobody knows. */
	packs_check("pack: a\ntitle: A\ncauses:\n  - {id: *a, title: T, fix: "
		    "F., proof: P.}\n  - *b\n",
	    "anchor 4 10\nanchor 5 5\n");
}
END_TEST

START_TEST(problems_are_capped)
{
	size_t i, length = 0, room = 200000;
	char *text = malloc(room);
	struct packs packs;

	length += (size_t)snprintf(text, room, "pack: a\ntitle: A\ncauses:\n");
	for (i = 0; i < 2000; i++)
		length += (size_t)snprintf(text + length, room - length,
		    "  - {id: c%zu, title: T, fix: F., proof: P., x: y}\n", i);
	packs_start(&packs);
	packs_text(&packs, "a", text);
	packs_read(&packs, NULL);
	ck_assert_uint_eq(packs.problems.count, LW_PACK_MAX_PROBLEMS);
	for (i = 1; i < packs.problems.count; i++)
		ck_assert_uint_gt(packs.problems.items[i].line,
		    packs.problems.items[i - 1].line);
	packs_end(&packs);
	free(text);
}
END_TEST

/* Seconds of the processor that reading takes. */
static double
time_of(const char *text, size_t length, const char *rule)
{
	struct lw_pack_text file = {"big", text, length};
	const struct lw_pack *pack;
	struct lw_problems problems;
	struct lw_arena *arena = lw_arena_new();
	clock_t start = clock();

	ck_assert_int_eq(
	    lw_pack_read(arena, &file, 1, NULL, &pack, &problems, NULL), LW_OK);
	ck_assert_uint_ge(problems.count, 1);
	if (rule != NULL)
		ck_assert_msg(strcmp(problems.items[0].rule, rule) == 0,
		    "%.40s: %s", text, problems.items[0].rule);
	ck_assert_uint_lt(lw_arena_used(arena), 400000000);
	lw_arena_free(arena);
	return (double)(clock() - start) / CLOCKS_PER_SEC;
}

/* `part` over and over behind `head`, as often as it fits. */
static char *
repeat(const char *head, const char *part, size_t length)
{
	size_t at = strlen(head), n = strlen(part);
	char *text = malloc(length + 1);

	ck_assert_ptr_nonnull(text);
	memcpy(text, head, at);
	for (; at + n <= length; at += n)
		memcpy(text + at, part, n);
	text[at] = '\0';
	return text;
}

START_TEST(fifty_megabytes_are_refused_at_once)
{
	size_t length = 50000000;
	char *text = repeat("pack: a\n", "title: A\n", length);
	struct lw_pack_text loaded;
	struct lw_arena *arena = lw_arena_new();
	struct lw_err err;
	char path[] = "/tmp/pack-XXXXXX";
	int fd = mkstemp(path);
	clock_t start;

	ck_assert_double_lt(time_of(text, strlen(text), "too-big"), 0.5);
	free(text);
	ck_assert_int_ge(fd, 0);
	ck_assert_int_eq(ftruncate(fd, 50000000), 0);
	close(fd);
	start = clock();
	ck_assert_int_eq(lw_pack_load(arena, path, &loaded, &err), LW_TOO_BIG);
	ck_assert_double_lt((double)(clock() - start) / CLOCKS_PER_SEC, 2);
	ck_assert_str_eq(err.file, path);
	unlink(path);
	lw_arena_free(arena);
}
END_TEST

/* Texts of the allowed size that are made to be slow. */
START_TEST(work_is_bounded)
{
	static const struct {
		const char *head, *part, *rule;
		size_t length; /* 0: all that a file may have */
	} cases[] = {
	    {"a: ", "[", "too-deep", 0},
	    {"a: [", "a,", "too-big", 0},
	    {"", "a:\n", "repeated-key", 0},
	    {"", "- ", "too-deep", 0},
	    {"", "? ", "wrong-type", 0},
	    {"causes:\n", " - {}\n", "too-big", 0},
	    {"causes:\n", " - {id: a, fix: f}\n", "missing", 1000000},
	    {"symptoms:\n", " - {id: a, title: A, causes: [bbbbbbbb, b]}\n",
		"missing", 1000000},
	    {"faults:\n- causes: [", "aaaa: b, ", "syntax", 1000000},
	    {"symptoms: [{patterns: [", "'(a+)+$',", "too-big", 0},
	    {"a: \"", "\xC3\xA9\\u00e9", "syntax", 0},
	    {"", "%YAML 1.1\n", "syntax", 0},
	    {"a: ", "&a ", "anchor", 0},
	    {"", "#\n", "missing", 0},
	    {"a: |\n", " b\n", "unknown-key", 0},
	    {"pack: a\ntitle: a\nfaults: [{causes: [", "{aaaaaa: b},",
		"too-big", 0},
	};
	bool brief = getenv("LAMPWRIGHT_SHORT") != NULL;
	size_t length, i;
	double took;
	char *text;

	for (i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		length = cases[i].length;
		if (length == 0)
			length = LW_PACK_MAX_BYTES;
		if (brief)
			length /= 16;
		text = repeat(cases[i].head, cases[i].part, length);
		took =
		    time_of(text, strlen(text), brief ? NULL : cases[i].rule);
		ck_assert_msg(took < 20, "%s...: %f s", cases[i].part, took);
		free(text);
	}
}
END_TEST

START_TEST(files_are_loaded)
{
	struct lw_arena *arena = lw_arena_new();
	struct lw_pack_text text;
	struct lw_err err;
	char path[] = "/tmp/pack-XXXXXX";
	int fd = mkstemp(path), input = dup(STDIN_FILENO);

	ck_assert_int_eq(
	    lw_pack_load(arena, "/nowhere/a.yaml", &text, &err), LW_FAILED);
	ck_assert_str_eq(err.file, "/nowhere/a.yaml");
	ck_assert_int_eq(lw_pack_load(arena, "/", &text, &err), LW_FAILED);
	/* Just as long as a pack may be, from standard input. */
	ck_assert_int_eq(ftruncate(fd, LW_PACK_MAX_BYTES), 0);
	ck_assert_int_ge(dup2(fd, STDIN_FILENO), 0);
	ck_assert_int_eq(lw_pack_load(arena, "-", &text, &err), LW_OK);
	ck_assert_uint_eq(text.length, LW_PACK_MAX_BYTES);
	ck_assert_str_eq(text.name, "standard input");
	dup2(input, STDIN_FILENO);
	ck_assert_int_eq(ftruncate(fd, LW_PACK_MAX_BYTES + 1), 0);
	ck_assert_int_eq(lw_pack_load(arena, path, &text, &err), LW_TOO_BIG);
	ck_assert_int_eq(ftruncate(fd, 0), 0);
	ck_assert_int_eq(lw_pack_load(arena, path, &text, NULL), LW_OK);
	ck_assert_uint_eq(text.length, 0);
	close(fd);
	unlink(path);
	lw_arena_free(arena);
}
END_TEST

Suite *
suite_pack(void)
{
	Suite *suite = suite_create("pack");
	TCase *tcase = tcase_create("pack");

	tcase_set_timeout(tcase, 600);
	tcase_add_test(tcase, good_files_have_no_problems);
	tcase_add_test(tcase, bad_files_have_their_problems_alone);
	tcase_add_test(tcase, poor_files_are_advised);
	tcase_add_test(tcase, actions_are_counted);
	tcase_add_test(tcase, rules_are_listed_and_tried);
	tcase_add_test(tcase, facts_of_rules_are_listed);
	tcase_add_test(tcase, shipped_packs_are_sound);
	tcase_add_test(tcase, example_of_the_page_is_sound);
	tcase_add_test(tcase, values_arrive_in_the_structs);
	tcase_add_test(tcase, texts_stay_as_they_are);
	tcase_add_test(tcase, digest_is_fnv_1a);
	tcase_add_test(tcase, files_refer_to_one_another);
	tcase_add_test(tcase, one_mistake_is_told_once);
	tcase_add_test(tcase, problems_are_capped);
	tcase_add_test(tcase, fifty_megabytes_are_refused_at_once);
	tcase_add_test(tcase, work_is_bounded);
	tcase_add_test(tcase, files_are_loaded);
	suite_add_tcase(suite, tcase);
	return suite;
}
