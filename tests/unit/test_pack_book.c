/* Packs against a book: what they may refer to there, whose ids they may
 * not take, and the packs that ship. */
#include "unit/book.h"
#include "unit/packs.h"
#include "unit/suites.h"

#include "pack/ship.h"

#include <stdio.h>
#include <string.h>

static struct scratch scratch;

static void
setup(void)
{
	scratch_make(&scratch);
	scratch_open(&scratch);
}

static void
teardown(void)
{
	scratch_remove(&scratch);
}

/* Read a pack against the book, and put it in where it is sound. */
static void
read_in(const char *text, const char *expected)
{
	struct packs packs;

	packs_start(&packs);
	packs_text(&packs, "text", text);
	packs_read(&packs, scratch.book);
	packs_problems(&packs, expected);
	if (packs.problems.count == 0)
		ck_assert_msg(lw_book_put_pack(scratch.book, packs.packs[0], 1,
				  &scratch.err) == LW_OK,
		    "%s", scratch.err.text);
	packs_end(&packs);
}

static const char first[] =
    "pack: first\ntitle: First\ncauses:\n"
    "  - {id: flat, title: Flat, fix: F., proof: P.}\n"
    "symptoms:\n  - {id: stands, title: Stands, causes: [flat]}\n"
    "checks:\n"
    "  - {id: gate, title: G, ask: A?, power: control, reason: R., minutes: "
    "1, outcomes: [{id: a, title: A}, {id: b, title: B, expected: yes, "
    "enters: control}]}\n"
    "cautions:\n"
    "  - {id: hot, signal: notice, hazard: H., avoid: A., source: S., states: "
    "[control]}\n";

START_TEST(packs_lean_on_the_book)
{
	static const char second[] =
	    "pack: second\ntitle: Second\n"
	    "checks:\n"
	    "  - {id: look, title: L, ask: A?, power: control, reason: R., "
	    "minutes: 1, outcomes: [{id: a, title: A, speaks: [flat: usually]},"
	    " {id: b, title: B, expected: yes}]}\n"
	    "trees:\n"
	    "  - {id: t, title: T, symptoms: [stands], steps: [{id: one, "
	    "check: "
	    "gate, next: {a: {cause: flat}, b: {unsure: U.}}}]}\n";

	/* Alone it leans on nothing. */
	packs_check(second,
	    "no-gate 4 42\nlive-without-cautions 4 42\n"
	    "unknown-id 4 113\nunknown-id 6 34\nunknown-id 6 68\n"
	    "unknown-id 6 92\n");
	read_in(first, "");
	read_in(second, "");
	/* The book's check is known with its outcomes. */
	read_in("pack: third\ntitle: Third\ntrees:\n"
		"  - {id: u, title: U, symptoms: [stand], steps: [{id: one, "
		"check: gate, next: {a: {cause: falt}, c: {unsure: U.}}}]}\n",
	    "unknown-id 4 34\nmissing-branch 4 73\nunknown-id 4 91\n"
	    "unknown-branch 4 98\n");
	/* What the pack itself no longer has is not found in the book. */
	read_in(
	    "pack: first\ntitle: First\n"
	    "symptoms:\n  - {id: stands, title: Stands, causes: [flat]}\n"
	    "checks:\n"
	    "  - {id: again, title: G, ask: A?, power: control, reason: R., "
	    "minutes: 1, outcomes: [{id: a, title: A}, {id: b, title: B, "
	    "expected: yes}]}\n",
	    "unknown-id 4 42\nno-gate 6 43\nlive-without-cautions 6 43\n");
}
END_TEST

/* Compulsory checks that are in the book are looked at as well. */
START_TEST(compulsory_checks_may_be_in_the_book)
{
	static const char checks[] =
	    "pack: checks\ntitle: Checks\nchecks:\n"
	    "  - {id: dead, title: D, ask: A?, power: isolated, minutes: 1, "
	    "outcomes: [{id: a, title: A}, {id: b, title: B, expected: yes, "
	    "enters: isolated}]}\n"
	    "  - {id: look, title: L, ask: A?, power: isolated, minutes: 1, "
	    "outcomes: [{id: a, title: A}, {id: b, title: B, expected: "
	    "yes}]}\n";

	read_in(checks, "");
	read_in("pack: gate\ntitle: Gate\nchecks:\n"
		"  - {id: on, title: O, after: [dead], ask: A?, power: "
		"isolated, minutes: 1, outcomes: [{id: a, title: A}, {id: b, "
		"title: B, expected: yes, enters: isolated}]}\n",
	    "after-chain 4 32\n");
	read_in("pack: gate\ntitle: Gate\nchecks:\n"
		"  - {id: on, title: O, after: [look], ask: A?, power: "
		"isolated, minutes: 1, outcomes: [{id: a, title: A}, {id: b, "
		"title: B, expected: yes, enters: isolated}]}\n",
	    "");
	/* From the book it comes with its own. */
	read_in("pack: third\ntitle: Third\nchecks:\n"
		"  - {id: off, title: O, after: [on], ask: A?, power: "
		"isolated, minutes: 1, outcomes: [{id: a, title: A}, {id: b, "
		"title: B, expected: yes, enters: isolated}]}\n",
	    "after-chain 4 33\n");
}
END_TEST

START_TEST(ids_of_the_book_stay_whose_they_are)
{
	read_in(first, "");
	read_in(first, ""); /* in place of itself */
	read_in("pack: second\ntitle: Second\ncauses:\n"
		"  - {id: flat, title: Flat, fix: F., proof: P.}\n",
	    "duplicate-id 4 10\n");
	ck_assert_int_eq(lw_book_new_device(scratch.book, "mine", NULL,
			     "controller", LW_CODING_COUNT, 1, &scratch.err),
	    LW_OK);
	read_in(
	    "pack: second\ntitle: Second\ndevices:\n"
	    "  - {id: mine, title: M, kind: k, lamps: [{id: l, title: L}]}\n",
	    "duplicate-id 4 10\n");
}
END_TEST

/* --- shipping ---------------------------------------------------------- */

static enum lw_status
ship(const struct asset *table, size_t *count)
{
	return pack_ship_from(scratch.book, table, 5, count, &scratch.err);
}

static const char *
digest_of(const char *name)
{
	struct lw_pack_state state;

	ck_assert_int_eq(lw_book_pack_state(scratch.book, scratch.arena, name,
			     &state, &scratch.err),
	    LW_OK);
	ck_assert(state.shipped);
	return state.digest;
}

#define ASSET(name, text)                                          \
	{                                                          \
		name, (const unsigned char *)text, sizeof text - 1 \
	}
#define NO_ASSET              \
	{                     \
		NULL, NULL, 0 \
	}
#define ONE                                \
	"pack: one\ntitle: One\ncauses:\n" \
	"  - {id: flat, title: Flat, fix: F., proof: P.}\n"
#define TWO                                  \
	"pack: two\ntitle: Two\nsymptoms:\n" \
	"  - {id: stands, title: Stands, causes: [flat]}\n"

START_TEST(shipped_packs_go_in_once)
{
	struct lw_entries packs;
	size_t count = 0, all, i;

	ck_assert_msg(
	    lw_pack_ship(scratch.book, 5, &count, &scratch.err) == LW_OK, "%s",
	    scratch.err.text);
	ck_assert_uint_ge(count, 3);
	all = count;
	ck_assert_int_eq(lw_book_list_packs(
			     scratch.book, scratch.arena, &packs, &scratch.err),
	    LW_OK);
	ck_assert_uint_eq(packs.count, all);
	for (i = 0; i < packs.count; i++)
		ck_assert_int_eq(packs.items[i].time_s, 5);
	ck_assert_int_eq(
	    lw_pack_ship(scratch.book, 6, &count, &scratch.err), LW_OK);
	ck_assert_uint_eq(count, 0);
	ck_assert_int_eq(lw_book_check(scratch.book, &scratch.err), LW_OK);
}
END_TEST

START_TEST(changed_packs_go_in_again)
{
	static const struct asset before[] = {ASSET("kb/one.yaml", ONE),
	    ASSET("kb/two.yaml", TWO), ASSET("book/other.yaml", "no pack"),
	    ASSET("kb/.yaml", "no pack"), NO_ASSET};
	static const struct asset after[] = {
	    ASSET("kb/one.yaml", ONE "# changed\n"), ASSET("kb/two.yaml", TWO),
	    NO_ASSET};
	const char *one, *two;
	size_t count;

	ck_assert_int_eq(ship(before, &count), LW_OK);
	ck_assert_uint_eq(count, 2);
	one = digest_of("one");
	two = digest_of("two");
	ck_assert_int_eq(ship(before, &count), LW_OK);
	ck_assert_uint_eq(count, 0);
	ck_assert_int_eq(ship(after, &count), LW_OK);
	ck_assert_uint_eq(count, 1);
	ck_assert_str_ne(one, digest_of("one"));
	ck_assert_str_eq(two, digest_of("two"));
	/* Removed by the builder, it stays away, also when it changes. */
	ck_assert_int_eq(
	    lw_book_remove_pack(scratch.book, "one", &scratch.err), LW_OK);
	ck_assert_int_eq(ship(after, &count), LW_OK);
	ck_assert_uint_eq(count, 0);
	ck_assert_int_eq(ship(before, &count), LW_OK);
	ck_assert_uint_eq(count, 0);
}
END_TEST

START_TEST(packs_of_the_builder_are_left_alone)
{
	static const struct asset table[] = {
	    ASSET("kb/one.yaml", ONE), ASSET("kb/two.yaml", TWO), NO_ASSET};
	const struct lw_pack *kept;
	size_t count;

	read_in("pack: two\ntitle: My own two\n", "");
	ck_assert_int_eq(ship(table, &count), LW_OK);
	ck_assert_uint_eq(count, 1);
	ck_assert_int_eq(lw_book_get_pack(scratch.book, scratch.arena, "two",
			     &kept, &scratch.err),
	    LW_OK);
	ck_assert_str_eq(kept->title, "My own two");
}
END_TEST

START_TEST(ids_of_the_builder_come_first)
{
	static const struct asset table[] = {
	    ASSET("kb/drive.yaml",
		"pack: drive\ntitle: D\ndevices:\n"
		"  - {id: mine, title: M, kind: k, lamps: [{id: l, title: "
		"L}]}\n"),
	    ASSET("kb/one.yaml", ONE), NO_ASSET};
	size_t count;

	ck_assert_int_eq(lw_book_new_device(scratch.book, "mine", "Mine",
			     "controller", LW_CODING_COUNT, 1, &scratch.err),
	    LW_OK);
	ck_assert_int_eq(ship(table, &count), LW_OK);
	ck_assert_uint_eq(count, 1);
	digest_of("one");
	/* Once the id is free the pack goes in. */
	ck_assert_int_eq(
	    lw_book_remove_device(scratch.book, "mine", &scratch.err), LW_OK);
	ck_assert_int_eq(ship(table, &count), LW_OK);
	ck_assert_uint_eq(count, 1);
}
END_TEST

START_TEST(an_id_moves_between_shipped_packs)
{
	static const struct asset before[] = {
	    ASSET("kb/a.yaml", "pack: a\ntitle: A\n"),
	    ASSET("kb/one.yaml", ONE), NO_ASSET};
	static const struct asset after[] = {
	    ASSET("kb/a.yaml", "pack: a\ntitle: A\ncauses:\n"
			       "  - {id: flat, title: Flat, fix: F., proof: "
			       "P.}\n"),
	    ASSET("kb/one.yaml", "pack: one\ntitle: One\n"), NO_ASSET};
	const char *pack;
	size_t count;

	ck_assert_int_eq(ship(before, &count), LW_OK);
	ck_assert_int_eq(ship(after, &count), LW_OK);
	ck_assert_uint_eq(count, 2);
	ck_assert_int_eq(lw_book_pack_of(scratch.book, scratch.arena, "cause",
			     "flat", &pack, &scratch.err),
	    LW_OK);
	ck_assert_str_eq(pack, "a");
}
END_TEST

START_TEST(a_bad_shipment_changes_nothing)
{
	static const struct asset problem[] = {ASSET("kb/one.yaml", ONE),
	    ASSET("kb/two.yaml", "pack: two\ntitle: Two\nnonsense: 1\n"),
	    NO_ASSET};
	static const struct asset name[] = {
	    ASSET("kb/one.yaml", ONE), ASSET("kb/three.yaml", TWO), NO_ASSET};
	struct lw_entries packs = {0};
	enum lw_status status;
	size_t count;

	ck_assert_int_eq(ship(problem, &count), LW_CORRUPT);
	ck_assert_str_eq(scratch.err.file, "kb/two.yaml");
	ck_assert_uint_eq(scratch.err.line, 3);
	ck_assert_ptr_nonnull(strstr(scratch.err.text, "kb/two.yaml:3"));
	ck_assert_int_eq(ship(name, &count), LW_CORRUPT);
	ck_assert_ptr_nonnull(strstr(scratch.err.text, "three"));
	status = lw_book_list_packs(
	    scratch.book, scratch.arena, &packs, &scratch.err);
	ck_assert(status == LW_OK || status == LW_NOT_FOUND);
	ck_assert_uint_eq(packs.count, 0);
}
END_TEST

Suite *
suite_pack_book(void)
{
	Suite *suite = suite_create("pack_book");
	TCase *tcase = tcase_create("pack_book");

	tcase_set_timeout(tcase, 300);
	tcase_add_checked_fixture(tcase, setup, teardown);
	tcase_add_test(tcase, packs_lean_on_the_book);
	tcase_add_test(tcase, compulsory_checks_may_be_in_the_book);
	tcase_add_test(tcase, ids_of_the_book_stay_whose_they_are);
	tcase_add_test(tcase, shipped_packs_go_in_once);
	tcase_add_test(tcase, changed_packs_go_in_again);
	tcase_add_test(tcase, packs_of_the_builder_are_left_alone);
	tcase_add_test(tcase, ids_of_the_builder_come_first);
	tcase_add_test(tcase, an_id_moves_between_shipped_packs);
	tcase_add_test(tcase, a_bad_shipment_changes_nothing);
	suite_add_tcase(suite, tcase);
	return suite;
}
