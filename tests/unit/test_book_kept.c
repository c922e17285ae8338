/* book: what is kept of the catalogue never outlives a change to the book, and
 * what a caller has outlives both. */
#include "unit/suites.h"

#include "base/arena.h"
#include "book/kept.h"
#include "book/look.h"
#include "book/store.h"
#include "unit/book.h"

#include <string.h>

static struct scratch scratch;
static struct lw_book *other; /* the same book, open once more */

/* Put the small pack in with another title for its one fault. */
static void
put(struct lw_book *book, const char *title)
{
	struct lw_pack pack = sample_other;
	struct lw_fault fault = pack.faults[0];

	fault.title = title;
	pack.faults = &fault;
	ck_assert_int_eq(lw_book_put_pack(book, &pack, 1, &scratch.err), LW_OK);
}

static void
setup(void)
{
	scratch_make(&scratch);
	scratch_open(&scratch);
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, &sample_cart, 1, NULL), LW_OK);
	put(scratch.book, "one");
	ck_assert_int_eq(
	    lw_book_open(&other, NULL, scratch.path, &scratch.err), LW_OK);
}

static void
teardown(void)
{
	lw_book_close(other);
	scratch_remove(&scratch);
}

static const char *
title(struct lw_arena *arena)
{
	const struct lw_fault *fault;

	ck_assert_msg(lw_book_fault(scratch.book, arena, "too-warm", &fault,
			  &scratch.err) == LW_OK,
	    "%s", scratch.err.text);
	return fault->title;
}

/* What the list of faults calls it. */
static const char *
listed(void)
{
	struct lw_entries list;
	size_t i;

	ck_assert_int_eq(
	    lw_book_list(scratch.book, scratch.arena, "fault", &list, NULL),
	    LW_OK);
	for (i = 0; i < list.count; i++)
		if (strcmp(list.items[i].id, "too-warm") == 0)
			return list.items[i].title;
	return NULL;
}

START_TEST(a_change_is_seen_at_once)
{
	struct lw_arena *arena = scratch.arena;
	const struct lw_fault *fault;

	ck_assert_str_eq(title(arena), "one");
	ck_assert_str_eq(title(arena), "one");
	ck_assert_str_eq(listed(), "one");
	put(scratch.book, "two");
	ck_assert_str_eq(title(arena), "two");
	ck_assert_str_eq(listed(), "two");
	/* As another program does. */
	put(other, "three");
	ck_assert_str_eq(title(arena), "three");
	ck_assert_str_eq(listed(), "three");
	ck_assert_int_eq(
	    lw_book_remove_pack(other, "other", &scratch.err), LW_OK);
	ck_assert_int_eq(
	    lw_book_fault(scratch.book, arena, "too-warm", &fault, NULL),
	    LW_NOT_FOUND);
	ck_assert_ptr_null(listed());
	/* What was not there is not taken for missing later. */
	put(other, "four");
	ck_assert_str_eq(title(arena), "four");
	ck_assert_str_eq(listed(), "four");
}
END_TEST

START_TEST(what_is_taken_back_is_not_kept)
{
	struct lw_arena *arena = scratch.arena;

	ck_assert_str_eq(title(arena), "one");
	ck_assert_int_eq(store_begin_write(scratch.book, &scratch.err), LW_OK);
	put(scratch.book, "two");
	ck_assert_str_eq(title(arena), "two");
	ck_assert_int_eq(
	    store_end_write(scratch.book, LW_FAILED, NULL), LW_FAILED);
	ck_assert_str_eq(title(arena), "one");
}
END_TEST

START_TEST(a_result_lives_with_its_arena)
{
	struct lw_arena *arena = lw_arena_new();
	const struct lw_check *check;
	const char *old;
	size_t i;

	old = title(arena);
	ck_assert_int_eq(lw_book_check_of(scratch.book, arena,
			     sample_cart.checks[0].id, &check, NULL),
	    LW_OK);
	for (i = 0; i < 10; i++) {
		put(scratch.book, "two");
		ck_assert_str_eq(title(arena), "two");
	}
	ck_assert_str_eq(old, "one");
	lw_book_close(scratch.book);
	scratch.book = NULL;
	ck_assert_str_eq(old, "one");
	ck_assert_str_eq(check->title, sample_cart.checks[0].title);
	lw_arena_free(arena);
}
END_TEST

/* All of a look is of one moment, and the next one is newer. */
START_TEST(a_look_is_of_one_moment)
{
	struct lw_arena *arena = scratch.arena;

	ck_assert_int_eq(look_begin(scratch.book, &scratch.err), LW_OK);
	ck_assert_str_eq(title(arena), "one");
	ck_assert_int_eq(look_begin(scratch.book, &scratch.err), LW_OK);
	look_end(scratch.book);
	ck_assert_str_eq(title(arena), "one");
	ck_assert_str_eq(listed(), "one");
	look_end(scratch.book);
	put(other, "two");
	ck_assert_int_eq(look_begin(scratch.book, &scratch.err), LW_OK);
	ck_assert_str_eq(title(arena), "two");
	look_end(scratch.book);
}
END_TEST

/* Something that is kept is read within the reading of something else, though
 * the set has grown too large meanwhile: all of it stays while it is read, and
 * goes when nobody has it any more. */
START_TEST(reading_within_reading)
{
	struct lw_arena *arena = lw_arena_new();
	const struct lw_fault *fault;
	struct kept kept;
	char *large;

	ck_assert_int_eq(kept_begin(&kept, scratch.book, arena, "large", NULL,
			     NULL, &scratch.err),
	    LW_OK);
	ck_assert_ptr_null(kept.what);
	large = arena_alloc(kept.arena, 5 << 20);
	ck_assert_ptr_nonnull(large);
	large[0] = 'x';
	kept.what = large;
	ck_assert_int_eq(lw_book_fault(scratch.book, kept.arena, "too-warm",
			     &fault, &scratch.err),
	    LW_OK);
	ck_assert_str_eq(fault->title, "one");
	ck_assert_int_eq(kept_end(&kept, LW_OK, &scratch.err), LW_OK);
	/* The next reading begins with another set. */
	ck_assert_str_eq(title(scratch.arena), "one");
	put(scratch.book, "two");
	ck_assert_str_eq(title(scratch.arena), "two");
	ck_assert_str_eq(fault->title, "one");
	ck_assert(large[0] == 'x');
	lw_arena_free(arena);
}
END_TEST

Suite *
suite_book_kept(void)
{
	Suite *suite = suite_create("book_kept");
	TCase *tests = tcase_create("kept");

	tcase_add_checked_fixture(tests, setup, teardown);
	tcase_add_test(tests, a_change_is_seen_at_once);
	tcase_add_test(tests, what_is_taken_back_is_not_kept);
	tcase_add_test(tests, a_result_lives_with_its_arena);
	tcase_add_test(tests, reading_within_reading);
	tcase_add_test(tests, a_look_is_of_one_moment);
	suite_add_tcase(suite, tests);
	return suite;
}
