/* book: rigs, the one in hand, their points in the builder's words, notes on
 * them. The rigs are invented. */
#include "unit/suites.h"

#include "unit/book.h"

#include <lampwright/rig.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static struct scratch scratch;

static void
setup(void)
{
	scratch_make(&scratch);
	scratch_open(&scratch);
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, &sample_cart, 100, NULL), LW_OK);
	ck_assert_int_eq(lw_rig_new(scratch.book, "cart48",
			     "Market garden cart", 10, &scratch.err),
	    LW_OK);
}

static void
teardown(void)
{
	ck_assert_msg(lw_book_check(scratch.book, &scratch.err) == LW_OK, "%s",
	    scratch.err.text);
	scratch_remove(&scratch);
}

static const struct lw_rig *
get(const char *name)
{
	const struct lw_rig *rig;

	ck_assert_msg(lw_rig_get(scratch.book, scratch.arena, name, &rig,
			  &scratch.err) == LW_OK,
	    "%s", scratch.err.text);
	return rig;
}

static enum lw_status
set(const char *key, const char *value)
{
	struct lw_rig_pair pair = {key, value};

	return lw_rig_set(scratch.book, "cart48", &pair, 1, 20, &scratch.err);
}

static const char *
fact(const char *key)
{
	return lw_rig_fact(get("cart48"), key);
}

static void
says(const char *part)
{
	ck_assert_msg(
	    strstr(scratch.err.text, part) != NULL, "%s", scratch.err.text);
}

/* --- rigs --------------------------------------------------------------- */

START_TEST(a_new_rig)
{
	static const char *const bad[] = {"", "48cart", "-x", "Cart", "my cart",
	    "a/b", "caf\xC3\xA9", "a\nb",
	    ("a123456789012345678901234567890123456789012345678901234567890"
	     "1234")};
	const struct lw_rig *rig = get("cart48");
	size_t i;

	ck_assert_str_eq(rig->rig, "cart48");
	ck_assert_str_eq(rig->title, "Market garden cart");
	ck_assert_int_eq(rig->made_s, 10);
	ck_assert(!rig->removed && !rig->in_hand && !rig->known_tools);
	ck_assert_uint_eq(rig->fact_count, 0);
	ck_assert_uint_eq(rig->device_count, 0);
	ck_assert_uint_eq(rig->point_count, 0);
	ck_assert_int_eq(
	    lw_rig_new(scratch.book, "cart48", NULL, 11, &scratch.err),
	    LW_CONFLICT);
	says("\"cart48\" already");
	for (i = 0; i < COUNT(bad); i++)
		ck_assert_msg(lw_rig_new(scratch.book, bad[i], NULL, 11,
				  &scratch.err) == LW_BAD_INPUT,
		    "%s", bad[i]);
	ck_assert_int_eq(
	    lw_rig_new(scratch.book, "trike36", "two\nlines", 11, NULL),
	    LW_BAD_INPUT);
	ck_assert_int_eq(lw_rig_new(scratch.book, "trike36", "\xFF", 11, NULL),
	    LW_BAD_INPUT);
	ck_assert_int_eq(
	    lw_rig_new(scratch.book, "trike36", NULL, 11, NULL), LW_OK);
	ck_assert_str_eq(get("trike36")->title, "trike36");
}
END_TEST

START_TEST(rigs_are_listed)
{
	struct lw_entries rigs;

	lw_rig_new(scratch.book, "trike36", "an orchard trike", 11, NULL);
	lw_rig_new(scratch.book, "gone", NULL, 12, NULL);
	lw_rig_remove(scratch.book, "gone", NULL);
	lw_rig_use(scratch.book, "trike36", NULL);
	ck_assert_int_eq(
	    lw_rig_list(scratch.book, scratch.arena, &rigs, NULL), LW_OK);
	ck_assert_uint_eq(rigs.count, 2);
	ck_assert_str_eq(rigs.items[0].id, "trike36");
	ck_assert_str_eq(rigs.items[0].kind, "rig");
	ck_assert_str_eq(rigs.items[0].title, "an orchard trike");
	ck_assert_int_eq(rigs.items[0].time_s, 11);
	ck_assert(rigs.items[0].own);
	ck_assert_str_eq(rigs.items[1].id, "cart48");
	ck_assert_str_eq(rigs.items[1].subject, "");
	ck_assert(!rigs.items[1].own);
}
END_TEST

START_TEST(the_rig_in_hand)
{
	const char *rig = "x";

	ck_assert_int_eq(
	    lw_rig_in_hand(scratch.book, scratch.arena, &rig, NULL), LW_OK);
	ck_assert_ptr_null(rig);
	ck_assert_int_eq(
	    lw_rig_use(scratch.book, "crat48", &scratch.err), LW_NOT_FOUND);
	says("there is no rig \"crat48\"; nearest is \"cart48\"");
	ck_assert_int_eq(lw_rig_use(scratch.book, "cart48", NULL), LW_OK);
	scratch_reopen(&scratch);
	lw_rig_in_hand(scratch.book, scratch.arena, &rig, NULL);
	ck_assert_str_eq(rig, "cart48");
	ck_assert(get("cart48")->in_hand);
	/* A name that is refused leaves the other in hand. */
	ck_assert_int_eq(lw_rig_use(scratch.book, "none", NULL), LW_NOT_FOUND);
	ck_assert(get("cart48")->in_hand);
	ck_assert_int_eq(lw_rig_use(scratch.book, NULL, NULL), LW_OK);
	ck_assert(!get("cart48")->in_hand);
}
END_TEST

START_TEST(a_removed_rig_keeps_what_is_on_it)
{
	const struct lw_rig_point *points;
	struct lw_entries rigs;
	const char *in_hand;
	size_t count;

	lw_rig_new(scratch.book, "trike36", NULL, 11, NULL);
	set("motor", "series");
	lw_rig_set_point(
	    scratch.book, "cart48", "plus-stud", "red stud", 20, NULL);
	lw_rig_use(scratch.book, "trike36", NULL);
	/* Another one that goes leaves the one in hand. */
	ck_assert_int_eq(
	    lw_rig_remove(scratch.book, "cart48", &scratch.err), LW_OK);
	lw_rig_in_hand(scratch.book, scratch.arena, &in_hand, NULL);
	ck_assert_str_eq(in_hand, "trike36");
	lw_rig_remove(scratch.book, "trike36", NULL);
	lw_rig_in_hand(scratch.book, scratch.arena, &in_hand, NULL);
	ck_assert_ptr_null(in_hand);
	lw_rig_list(scratch.book, scratch.arena, &rigs, NULL);
	ck_assert_uint_eq(rigs.count, 0);
	ck_assert(get("cart48")->removed);
	ck_assert_str_eq(fact("motor"), "series");
	ck_assert_int_eq(lw_rig_points(scratch.book, scratch.arena, "cart48",
			     &points, &count, NULL),
	    LW_OK);
	ck_assert_str_eq(points[0].words, "red stud");
	/* It takes nothing new, and says how it comes back. */
	ck_assert_int_eq(
	    lw_rig_remove(scratch.book, "cart48", &scratch.err), LW_NOT_FOUND);
	says("was removed; `lampwright rig new cart48` brings it back");
	ck_assert_int_eq(
	    lw_rig_use(scratch.book, "cart48", NULL), LW_NOT_FOUND);
	ck_assert_int_eq(set("motor", "brushless"), LW_NOT_FOUND);
	ck_assert_int_eq(lw_rig_set_point(scratch.book, "cart48", "plus-stud",
			     "x", 20, NULL),
	    LW_NOT_FOUND);
	/* Names that are removed are not suggested. */
	lw_rig_use(scratch.book, "crat48", &scratch.err);
	says("has none yet");
	ck_assert_int_eq(
	    lw_rig_new(scratch.book, "cart48", NULL, 30, NULL), LW_OK);
	ck_assert(!get("cart48")->removed);
	ck_assert_str_eq(get("cart48")->title, "Market garden cart");
	ck_assert_int_eq(get("cart48")->made_s, 10);
	ck_assert_str_eq(fact("motor"), "series");
	ck_assert_str_eq(get("cart48")->points[0].words, "red stud");
	lw_rig_remove(scratch.book, "cart48", NULL);
	lw_rig_new(scratch.book, "cart48", "The old cart", 30, NULL);
	ck_assert_str_eq(get("cart48")->title, "The old cart");
}
END_TEST

/* --- points ------------------------------------------------------------- */

START_TEST(points_in_the_builders_words)
{
	const struct lw_rig_point *points;
	const struct lw_rig *rig;
	char words[302];
	size_t count;

	ck_assert_int_eq(lw_rig_set_point(scratch.book, "cart48", "plus-stud",
			     "grey 8-way plug, pin 3, red", 20, &scratch.err),
	    LW_OK);
	rig = get("cart48");
	ck_assert_uint_eq(rig->point_count, 1);
	ck_assert_str_eq(rig->points[0].point, "plus-stud");
	ck_assert_str_eq(rig->points[0].title, "Controller battery plus");
	ck_assert_str_eq(
	    rig->points[0].where, "The stud after fuse and contactor.");
	ck_assert_str_eq(rig->points[0].words, "grey 8-way plug, pin 3, red");
	ck_assert_int_eq(lw_rig_points(scratch.book, scratch.arena, "cart48",
			     &points, &count, NULL),
	    LW_OK);
	ck_assert_uint_eq(count, 3);
	ck_assert_str_eq(points[0].point, "plus-stud");
	ck_assert_str_eq(points[1].point, "minus-stud");
	ck_assert_ptr_null(points[1].words);
	ck_assert_ptr_null(points[1].where);
	ck_assert_str_eq(points[2].point, "fuse-holder");
	/* Another rig has words of its own. */
	lw_rig_new(scratch.book, "trike36", NULL, 11, NULL);
	lw_rig_points(
	    scratch.book, scratch.arena, "trike36", &points, &count, NULL);
	ck_assert_uint_eq(count, 3);
	ck_assert_ptr_null(points[0].words);
	/* Said again, they are replaced; blank, taken back. */
	lw_rig_set_point(scratch.book, "cart48", "plus-stud", "M8", 21, NULL);
	ck_assert_str_eq(get("cart48")->points[0].words, "M8");
	lw_rig_set_point(scratch.book, "cart48", "plus-stud", "", 22, NULL);
	ck_assert_uint_eq(get("cart48")->point_count, 0);
	lw_rig_set_point(scratch.book, "cart48", "plus-stud", "M8", 21, NULL);
	lw_rig_set_point(scratch.book, "cart48", "plus-stud", NULL, 22, NULL);
	ck_assert_uint_eq(get("cart48")->point_count, 0);
	ck_assert_int_eq(lw_rig_set_point(scratch.book, "cart48", "plus-stud",
			     NULL, 22, NULL),
	    LW_OK);
	ck_assert_int_eq(lw_rig_set_point(scratch.book, "cart48", "plus-stub",
			     "x", 22, &scratch.err),
	    LW_NOT_FOUND);
	says("there is no point \"plus-stub\"; nearest are \"plus-stud\" and");
	ck_assert_int_eq(lw_rig_set_point(scratch.book, "crat48", "plus-stud",
			     "x", 22, &scratch.err),
	    LW_NOT_FOUND);
	says("no rig \"crat48\"");
	memset(words, 'x', sizeof words - 1);
	words[301] = '\0';
	ck_assert_int_eq(lw_rig_set_point(scratch.book, "cart48", "plus-stud",
			     words, 22, NULL),
	    LW_BAD_INPUT);
	words[300] = '\0';
	ck_assert_int_eq(lw_rig_set_point(scratch.book, "cart48", "plus-stud",
			     words, 22, NULL),
	    LW_OK);
	ck_assert_int_eq(lw_rig_set_point(scratch.book, "cart48", "plus-stud",
			     "a\nb", 22, NULL),
	    LW_BAD_INPUT);
	ck_assert_int_eq(lw_rig_set_point(scratch.book, "cart48", "plus-stud",
			     "\xFF", 22, NULL),
	    LW_BAD_INPUT);
	ck_assert_int_eq(lw_rig_points(scratch.book, scratch.arena, "crat48",
			     &points, &count, NULL),
	    LW_NOT_FOUND);
}
END_TEST

START_TEST(words_outlive_the_pack)
{
	const struct lw_rig_point *points;
	size_t count;

	lw_rig_set_point(scratch.book, "cart48", "plus-stud", "red", 20, NULL);
	lw_book_remove_pack(scratch.book, "cart", NULL);
	ck_assert_str_eq(get("cart48")->points[0].title, "plus-stud");
	ck_assert_ptr_null(get("cart48")->points[0].where);
	lw_rig_points(
	    scratch.book, scratch.arena, "cart48", &points, &count, NULL);
	ck_assert_uint_eq(count, 1);
	ck_assert_str_eq(points[0].words, "red");
	/* One that only the rig knows can be changed and taken back. */
	ck_assert_int_eq(lw_rig_set_point(scratch.book, "cart48", "plus-stud",
			     "blue", 21, NULL),
	    LW_OK);
	ck_assert_int_eq(lw_rig_set_point(scratch.book, "cart48", "minus-stud",
			     "black", 21, NULL),
	    LW_NOT_FOUND);
	lw_book_put_pack(scratch.book, &sample_cart, 3, NULL);
	ck_assert_str_eq(get("cart48")->points[0].words, "blue");
	ck_assert_str_eq(
	    get("cart48")->points[0].title, "Controller battery plus");
	lw_book_remove_pack(scratch.book, "cart", NULL);
	lw_rig_set_point(scratch.book, "cart48", "plus-stud", "", 21, NULL);
	lw_rig_points(
	    scratch.book, scratch.arena, "cart48", &points, &count, NULL);
	ck_assert_uint_eq(count, 0);
}
END_TEST

/* --- notes -------------------------------------------------------------- */

START_TEST(notes_on_a_rig)
{
	struct lw_entries notes;

	ck_assert_int_eq(lw_book_add_note(scratch.book, "rig", "cart48",
			     "The thistle field is steep.", 50, NULL, NULL),
	    LW_OK);
	ck_assert_int_eq(lw_book_add_note(scratch.book, "rig", "crat48", "x",
			     50, NULL, &scratch.err),
	    LW_NOT_FOUND);
	says("nearest is \"cart48\"");
	ck_assert_int_eq(lw_book_add_note(scratch.book, "point", "plus-stud",
			     "x", 50, NULL, &scratch.err),
	    LW_BAD_INPUT);
	says("check, rig or job");
	lw_book_notes(
	    scratch.book, scratch.arena, "rig", "cart48", &notes, NULL);
	ck_assert_uint_eq(notes.count, 1);
	ck_assert_str_eq(notes.items[0].title, "Market garden cart");
	ck_assert_int_eq(lw_book_find_kind(scratch.book, scratch.arena, "note",
			     "thistle", 5, &notes, NULL),
	    LW_OK);
	ck_assert_uint_eq(notes.count, 1);
	ck_assert_str_eq(notes.items[0].title, "Market garden cart");
	ck_assert_str_eq(notes.items[0].subject_kind, "rig");
	ck_assert_str_eq(notes.items[0].subject, "cart48");
}
END_TEST

Suite *
suite_rig(void)
{
	Suite *suite = suite_create("rig");
	TCase *tests = tcase_create("rigs");

	tcase_add_checked_fixture(tests, setup, teardown);
	tcase_set_timeout(tests, 60);
	tcase_add_test(tests, a_new_rig);
	tcase_add_test(tests, rigs_are_listed);
	tcase_add_test(tests, the_rig_in_hand);
	tcase_add_test(tests, a_removed_rig_keeps_what_is_on_it);
	tcase_add_test(tests, points_in_the_builders_words);
	tcase_add_test(tests, words_outlive_the_pack);
	tcase_add_test(tests, notes_on_a_rig);
	suite_add_tcase(suite, tests);
	return suite;
}
