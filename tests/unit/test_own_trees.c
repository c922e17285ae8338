/* book: trees of the builder's own. The trees are invented, as the pack is. */
#include "unit/suites.h"

#include "base/arena.h"
#include "unit/book.h"
#include "unit/packs.h"

#include <stdio.h>
#include <string.h>

static struct scratch scratch;

/* A tree that is sound; each test changes a copy of its own. */
static struct lw_branch volts[4];
static struct lw_branch fuse[2];
static struct lw_step steps[2];
static struct lw_ref faults[1];
static struct lw_ref symptoms[1];
static struct lw_tree tree;

static void
make_tree(void)
{
	static const struct lw_branch all_volts[] = {
	    {.outcome = "low", .kind = LW_BRANCH_STEP, .target = "s2"},
	    {.outcome = "band",
		.kind = LW_BRANCH_UNSURE,
		.target = "Sound now: caf\xC3\xA9 \"x\" # y."},
	    {.outcome = "above",
		.kind = LW_BRANCH_STOP,
		.target = "Leave it off."},
	    {.outcome = "cannot", .kind = LW_BRANCH_STEP, .target = "s2"}};
	static const struct lw_branch all_fuse[] = {{.outcome = "blown",
							.kind = LW_BRANCH_CAUSE,
							.target = "fuse-open"},
	    {.outcome = "whole",
		.kind = LW_BRANCH_CAUSE,
		.target = "pack-empty"}};

	memcpy(volts, all_volts, sizeof volts);
	memcpy(fuse, all_fuse, sizeof fuse);
	steps[0] = (struct lw_step){.id = "s1",
	    .check = "supply-volts",
	    .branches = volts,
	    .branch_count = 4};
	steps[1] = (struct lw_step){.id = "s2",
	    .check = "look-at-fuse",
	    .branches = fuse,
	    .branch_count = 2};
	faults[0] = (struct lw_ref){.id = "supply-low"};
	symptoms[0] = (struct lw_ref){.id = "creeps-at-rest"};
	tree = (struct lw_tree){.id = "mine",
	    .title = "My way",
	    .description = "When it rains.\nAt home.",
	    .faults = {faults, 1},
	    .symptoms = {symptoms, 1},
	    .steps = steps,
	    .step_count = 2,
	    .source = "compiled"};
}

static void
setup(void)
{
	scratch_make(&scratch);
	scratch_open(&scratch);
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, &sample_cart, 100, NULL), LW_OK);
	make_tree();
}

static void
teardown(void)
{
	ck_assert_msg(lw_book_check(scratch.book, &scratch.err) == LW_OK, "%s",
	    scratch.err.text);
	scratch_remove(&scratch);
}

static enum lw_status
keep(void)
{
	return lw_book_keep_tree(scratch.book, &tree, 9, &scratch.err);
}

static void
kept(void)
{
	ck_assert_msg(keep() == LW_OK, "%s", scratch.err.text);
}

static void
says(const char *part)
{
	ck_assert_msg(strstr(scratch.err.text, part) != NULL, "%s: no \"%s\"",
	    scratch.err.text, part);
}

/* Compare as packs of one tree. */
static void
reads_back(void)
{
	const struct lw_tree *read;
	struct lw_pack one = {.name = "x", .trees = &tree, .tree_count = 1};
	struct lw_pack other = {.name = "x", .tree_count = 1};

	ck_assert_msg(lw_book_tree(scratch.book, scratch.arena, tree.id, &read,
			  &scratch.err) == LW_OK,
	    "%s", scratch.err.text);
	other.trees = read;
	sample_compare(&one, &other);
}

START_TEST(a_tree_reads_back_as_written)
{
	const struct lw_tree before = tree;
	struct lw_entries trees;
	const char *pack;

	kept();
	reads_back();
	lw_book_pack_of(
	    scratch.book, scratch.arena, "tree", "mine", &pack, NULL);
	ck_assert_str_eq(pack, "own");
	/* Listed everywhere, the own one first and marked. */
	lw_book_list(scratch.book, scratch.arena, "tree", &trees, NULL);
	ck_assert_uint_eq(trees.count, 4);
	ck_assert_str_eq(trees.items[0].id, "mine");
	ck_assert(trees.items[0].own);
	ck_assert_int_eq(trees.items[0].time_s, 9);
	ck_assert(!trees.items[1].own);
	lw_book_trees_for(
	    scratch.book, scratch.arena, "supply-low", NULL, &trees, NULL);
	ck_assert_uint_eq(trees.count, 2);
	ck_assert_str_eq(trees.items[0].id, "mine");
	ck_assert(trees.items[0].own);
	lw_book_trees_for(
	    scratch.book, scratch.arena, NULL, "creeps-at-rest", &trees, NULL);
	ck_assert_uint_eq(trees.count, 1);
	/* Another one in its place, with fewer parts. */
	fuse[0].target = "pack-empty";
	tree.symptoms.count = 0;
	tree.source = NULL;
	tree.title = "My other way";
	tree.steps = &steps[1];
	tree.step_count = 1;
	kept();
	reads_back();
	lw_book_trees_for(
	    scratch.book, scratch.arena, NULL, "creeps-at-rest", &trees, NULL);
	ck_assert_uint_eq(trees.count, 0);
	tree = before;
	kept();
	scratch_reopen(&scratch);
	reads_back();
}
END_TEST

/* What packs do, an own tree does not see. */
START_TEST(own_trees_outlive_packs)
{
	kept();
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, &sample_cart, 200, NULL), LW_OK);
	reads_back();
	ck_assert_int_eq(
	    lw_book_remove_pack(scratch.book, "cart", &scratch.err), LW_OK);
	reads_back();
	ck_assert_int_eq(lw_book_check(scratch.book, &scratch.err), LW_OK);
	/* But it cannot be kept anew then. */
	ck_assert_int_eq(keep(), LW_NOT_FOUND);
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, &sample_cart, 300, NULL), LW_OK);
	kept();
	ck_assert_int_eq(lw_book_remove_pack(scratch.book, "own", &scratch.err),
	    LW_BAD_INPUT);
	says("trees one by one");
}
END_TEST

START_TEST(ids_belong_to_one)
{
	struct lw_tree taken = {.id = "mine", .title = "Theirs"};
	struct lw_pack pack = {.name = "thief",
	    .title = "Takes an id",
	    .trees = &taken,
	    .tree_count = 1};

	tree.id = "low-supply";
	ck_assert_int_eq(keep(), LW_CONFLICT);
	says("the pack \"cart\" has a tree \"low-supply\"");
	ck_assert_int_eq(
	    lw_book_drop_tree(scratch.book, "low-supply", &scratch.err),
	    LW_CONFLICT);
	says("belongs to the pack \"cart\"");
	tree.id = "mine";
	kept();
	ck_assert_int_eq(lw_book_put_pack(scratch.book, &pack, 1, &scratch.err),
	    LW_CONFLICT);
	says("one of your own");
	reads_back();
}
END_TEST

START_TEST(dropping)
{
	struct lw_entries trees;
	const struct lw_tree *read;

	ck_assert_int_eq(lw_book_drop_tree(scratch.book, "mine", &scratch.err),
	    LW_NOT_FOUND);
	kept();
	ck_assert_int_eq(
	    lw_book_drop_tree(scratch.book, "min", &scratch.err), LW_NOT_FOUND);
	says("\"mine\"");
	ck_assert_int_eq(
	    lw_book_drop_tree(scratch.book, "mine", &scratch.err), LW_OK);
	ck_assert_int_eq(lw_book_tree(scratch.book, scratch.arena, "mine",
			     &read, &scratch.err),
	    LW_NOT_FOUND);
	lw_book_list(scratch.book, scratch.arena, "tree", &trees, NULL);
	ck_assert_uint_eq(trees.count, 3);
	kept();
	reads_back();
}
END_TEST

/* Each change, what comes of it, and a part of the sentence. */
static void
refused(enum lw_status status, const char *sentence)
{
	int64_t before, after;

	lw_book_change(scratch.book, &before, NULL);
	ck_assert_msg(
	    keep() == status, "%s: not \"%s\"", scratch.err.text, sentence);
	says(sentence);
	ck_assert_ptr_null(strchr(scratch.err.text, '\n'));
	lw_book_change(scratch.book, &after, NULL);
	ck_assert_int_eq(before, after);
	make_tree();
}

START_TEST(texts_that_are_none)
{
	static char long_title[102], long_words[2002];

	memset(long_title, 'x', sizeof long_title - 1);
	memset(long_words, 'x', sizeof long_words - 1);
	tree.id = "My tree";
	refused(LW_BAD_INPUT, "cannot name a tree");
	tree.id = NULL;
	refused(LW_BAD_INPUT, "cannot name a tree");
	tree.title = NULL;
	refused(LW_BAD_INPUT, "the title is empty");
	tree.title = long_title;
	refused(LW_BAD_INPUT, "make it shorter");
	tree.title = "two\nlines";
	refused(LW_BAD_INPUT, "it takes one line");
	tree.source = " ";
	refused(LW_BAD_INPUT, "the source is empty");
	steps[1].id = "S 2";
	refused(LW_BAD_INPUT, "cannot name a step");
	volts[1].target = NULL;
	refused(LW_BAD_INPUT, "what a branch says is empty");
	volts[2].target = long_words;
	refused(LW_BAD_INPUT, "make it shorter");
	volts[2].target = "\xFF";
	refused(LW_BAD_INPUT, "not UTF-8");
	volts[2].kind = 0;
	refused(LW_BAD_INPUT, "a branch leads to");
	fuse[0].target = NULL;
	refused(LW_BAD_INPUT, "cannot name a cause");
	tree.description = "\xFF";
	refused(LW_BAD_INPUT, "the description is not UTF-8");
	tree.walk = true;
	refused(LW_BAD_INPUT, "\"mine\" is a walk-through");
	tree.passed = "All is well.";
	refused(LW_BAD_INPUT, "\"mine\" is a walk-through");
	steps[1].only.count = 1;
	refused(LW_BAD_INPUT, "the step \"s2\" is for some rigs alone");
	tree.step_count = 0;
	refused(LW_BAD_INPUT, "has no steps");
	tree.faults.count = tree.symptoms.count = 0;
	refused(LW_BAD_INPUT, "for no fault and no symptom");
}
END_TEST

START_TEST(ids_that_lead_nowhere)
{
	faults[0].id = "suply-low";
	refused(LW_NOT_FOUND, "\"supply-low\"");
	symptoms[0].id = "no-such-thing";
	refused(LW_NOT_FOUND, "there is no symptom \"no-such-thing\"");
	symptoms[0].id = NULL;
	refused(LW_NOT_FOUND, "there is no symptom");
	steps[0].check = "suply-volts";
	refused(LW_NOT_FOUND, "\"supply-volts\"");
	steps[0].check = NULL;
	refused(LW_NOT_FOUND, "there is no check");
	fuse[1].target = "pack-emty";
	refused(LW_NOT_FOUND, "\"pack-empty\"");
	volts[0].target = "s3";
	refused(LW_BAD_INPUT, "leads to the step \"s3\", which the tree");
	volts[1].outcome = "bend";
	refused(LW_BAD_INPUT, "has no outcome \"bend\"; the nearest is");
	volts[1].outcome = NULL;
	refused(LW_BAD_INPUT, "has no outcome \"\"");
}
END_TEST

START_TEST(shapes_that_are_no_tree)
{
	steps[0].branch_count = 2;
	refused(LW_BAD_INPUT, "has no branch for \"above\"");
	volts[3].outcome = "low";
	refused(LW_BAD_INPUT, "2 branches for \"low\"");
	steps[1].id = "s1";
	refused(LW_BAD_INPUT, "the step \"s1\" twice");
	fuse[0].kind = LW_BRANCH_STEP;
	fuse[0].target = "s1";
	refused(LW_BAD_INPUT, "leads back to \"s1\"");
	fuse[0].kind = LW_BRANCH_STEP;
	fuse[0].target = "s2";
	refused(LW_BAD_INPUT, "leads back to \"s2\"");
	volts[0] = volts[3] = volts[2];
	volts[0].outcome = "low";
	volts[3].outcome = "cannot";
	refused(LW_BAD_INPUT, "no branch leads to the step \"s2\"");
}
END_TEST

enum { MANY = 2000 };

START_TEST(as_long_as_may_be)
{
	static struct lw_step many[MANY + 1];
	static struct lw_branch ways[MANY + 1][2];
	static char ids[MANY + 1][16];
	size_t i;

	for (i = 0; i <= MANY; i++) {
		snprintf(ids[i], sizeof ids[i], "s%zu", i);
		many[i] = (struct lw_step){.id = ids[i],
		    .check = "look-at-fuse",
		    .branches = ways[i],
		    .branch_count = 2};
		ways[i][0] = fuse[0];
		ways[i][1] = fuse[1];
		if (i > 0) {
			ways[i - 1][1].kind = LW_BRANCH_STEP;
			ways[i - 1][1].target = ids[i];
		}
	}
	tree.steps = many;
	tree.step_count = MANY + 1;
	ck_assert_int_eq(keep(), LW_TOO_BIG);
	says("2001 steps and may have 2000");
	tree.step_count = MANY;
	ways[MANY - 1][1] = fuse[1];
	kept();
	reads_back();
}
END_TEST

/* The text with another word in place of each of one; the arena has it. */
static const char *
with(const char *text, const char *one, const char *other)
{
	const char *at;
	char made[4000];
	size_t used = 0;

	while ((at = strstr(text, one)) != NULL) {
		used += (size_t)snprintf(made + used, sizeof made - used,
		    "%.*s%s", (int)(at - text), text, other);
		text = at + strlen(one);
	}
	snprintf(made + used, sizeof made - used, "%s", text);
	return arena_dup(scratch.arena, made);
}

/* The pack "own" has them, and what is written is read in under other ids. */
START_TEST(the_own_pack_has_them)
{
	struct lw_pack one = {.name = "x", .trees = &tree, .tree_count = 1};
	struct lw_pack other = {.name = "x", .tree_count = 1};
	const struct lw_pack *pack;
	const struct lw_tree *read;
	struct packs packs;
	const char *text;
	size_t length;

	kept();
	lw_book_new_device(
	    scratch.book, "my-drive", NULL, "drive", LW_CODING_COUNT, 5, NULL);
	ck_assert_int_eq(lw_book_get_pack(scratch.book, scratch.arena, "own",
			     &pack, &scratch.err),
	    LW_OK);
	ck_assert_uint_eq(pack->device_count, 1);
	ck_assert_uint_eq(pack->tree_count, 1);
	ck_assert_uint_eq(pack->fault_count, 0);
	ck_assert_int_eq(
	    lw_pack_write(scratch.arena, pack, &text, &length, &scratch.err),
	    LW_OK);
	text = with(text, "pack: own", "pack: handed-on");
	text = with(text, "my-drive", "their-drive");
	text = with(text, "id: mine", "id: theirs");
	packs_start(&packs);
	packs_text(&packs, "text", text);
	packs_read(&packs, scratch.book);
	packs_sound(&packs);
	ck_assert_msg(lw_book_put_pack(scratch.book, packs.packs[0], 1,
			  &scratch.err) == LW_OK,
	    "%s", scratch.err.text);
	packs_end(&packs);
	tree.id = "theirs";
	ck_assert_int_eq(lw_book_tree(scratch.book, scratch.arena, "theirs",
			     &read, &scratch.err),
	    LW_OK);
	other.trees = read;
	sample_compare(&one, &other);
	/* A name that is theirs now. */
	ck_assert_int_eq(keep(), LW_CONFLICT);
}
END_TEST

Suite *
suite_own_trees(void)
{
	Suite *suite = suite_create("own_trees");
	TCase *tests = tcase_create("own trees");

	tcase_add_checked_fixture(tests, setup, teardown);
	tcase_set_timeout(tests, 120);
	tcase_add_test(tests, a_tree_reads_back_as_written);
	tcase_add_test(tests, own_trees_outlive_packs);
	tcase_add_test(tests, ids_belong_to_one);
	tcase_add_test(tests, dropping);
	tcase_add_test(tests, texts_that_are_none);
	tcase_add_test(tests, ids_that_lead_nowhere);
	tcase_add_test(tests, shapes_that_are_no_tree);
	tcase_add_test(tests, as_long_as_may_be);
	tcase_add_test(tests, the_own_pack_has_them);
	suite_add_tcase(suite, tests);
	return suite;
}
