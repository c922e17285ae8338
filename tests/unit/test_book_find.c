/* book: search by words. tests/tables/find.tsv has what is typed and what is
 * found. */
#include "unit/suites.h"

#include "book/terms.h"
#include "unit/book.h"
#include "unit/table.h"

static struct scratch scratch;

static void
setup(void)
{
	scratch_make(&scratch);
	scratch_open(&scratch);
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, &sample_cart, 100, NULL), LW_OK);
	ck_assert_int_eq(
	    lw_book_add_note(scratch.book, "device", "zeta-drive",
		"Wiggled the connector; caf\xC3\xA9 side.", 7, NULL, NULL),
	    LW_OK);
}

static void
teardown(void)
{
	scratch_remove(&scratch);
}

START_TEST(the_table)
{
	struct table table;
	struct lw_entries hits;
	char first[128];

	table_open(&table, "find.tsv");
	while (table_next(&table)) {
		enum lw_status status = lw_book_find(scratch.book,
		    scratch.arena, table.field[0], 5, &hits, &scratch.err);

		ck_assert_msg(status == LW_OK || status == LW_NOT_FOUND,
		    "row %u: %s", table.row, scratch.err.text);
		ck_assert((status == LW_OK) == (hits.count > 0));
		snprintf(first, sizeof first, "-");
		if (hits.count > 0)
			snprintf(first, sizeof first, "%s %s",
			    hits.items[0].kind, hits.items[0].id);
		ck_assert_msg(strcmp(first, table.field[1]) == 0,
		    "row %u: expected %s, found %s", table.row, table.field[1],
		    first);
		if (hits.count > 0)
			ck_assert_msg(strstr(hits.items[0].detail,
					  table.field[2]) != NULL,
			    "row %u: shows %s", table.row,
			    hits.items[0].detail);
	}
	table_close(&table);
}
END_TEST

START_TEST(kinds_come_in_order)
{
	static const char *const order[] = {
	    "symptom", "fault", "cause", "check", "note", "device"};
	struct lw_entries hits;
	size_t i, at = 0;

	/* A word that is in each of them. */
	ck_assert_int_eq(
	    lw_book_find(scratch.book, scratch.arena,
		"creeps pedal fuse controller wiggled seat", 5, &hits, NULL),
	    LW_OK);
	for (i = 0; i < hits.count; i++) {
		while (at < 6 && strcmp(order[at], hits.items[i].kind) != 0)
			at++;
		ck_assert_uint_lt(at, 6);
		if (i > 0 &&
		    strcmp(hits.items[i].kind, hits.items[i - 1].kind) == 0)
			ck_assert(
			    hits.items[i].score <= hits.items[i - 1].score);
	}
	ck_assert_uint_eq(at, 5);
}
END_TEST

START_TEST(no_more_than_asked_for)
{
	struct lw_entries hits;
	size_t i, symptoms = 0;

	ck_assert_int_eq(lw_book_find(scratch.book, scratch.arena,
			     "fuse pack discharged worn", 1, &hits, NULL),
	    LW_OK);
	for (i = 0; i < hits.count; i++)
		symptoms += strcmp(hits.items[i].kind, "cause") == 0;
	ck_assert_uint_eq(symptoms, 1);
	ck_assert_int_eq(lw_book_find_kind(scratch.book, scratch.arena, "cause",
			     "fuse pedal", 10, &hits, NULL),
	    LW_OK);
	ck_assert_uint_eq(hits.count, 2);
	ck_assert_int_eq(
	    lw_book_find(scratch.book, scratch.arena, "fuse", 0, &hits, NULL),
	    LW_NOT_FOUND);
}
END_TEST

/* Half of the words will do; one of several only where there is no better. */
START_TEST(words_that_are_not_there)
{
	struct lw_entries hits;

	ck_assert_int_eq(lw_book_find(scratch.book, scratch.arena,
			     "creeps rolling fuse zzz", 5, &hits, NULL),
	    LW_OK);
	ck_assert_uint_eq(hits.count, 1);
	ck_assert_str_eq(hits.items[0].id, "creeps-at-rest");
	ck_assert(hits.items[0].score > 0.25 && hits.items[0].score < 0.5);
	ck_assert_int_eq(lw_book_find(scratch.book, scratch.arena,
			     "worn yyy zzz", 5, &hits, NULL),
	    LW_OK);
	ck_assert_uint_eq(hits.count, 1);
	ck_assert_str_eq(hits.items[0].id, "pedal-worn");
	ck_assert(hits.items[0].score < 1.0 / 3);
}
END_TEST

START_TEST(one_kind_alone)
{
	struct lw_entries hits;

	ck_assert_int_eq(lw_book_find_kind(scratch.book, scratch.arena, "fault",
			     "voltage low", 5, &hits, NULL),
	    LW_OK);
	ck_assert_uint_eq(hits.count, 1);
	ck_assert_str_eq(hits.items[0].id, "supply-low");
	ck_assert_int_eq(lw_book_find_kind(scratch.book, scratch.arena, "note",
			     "wiggled", 5, &hits, NULL),
	    LW_OK);
	ck_assert_str_eq(hits.items[0].subject_kind, "device");
	ck_assert_str_eq(hits.items[0].subject, "zeta-drive");
	ck_assert_str_eq(hits.items[0].title, "Zeta drive");
	ck_assert(hits.items[0].own);
	ck_assert_int_eq(hits.items[0].time_s, 7);
	ck_assert_int_eq(lw_book_find_kind(scratch.book, scratch.arena, "point",
			     "stud", 5, &hits, &scratch.err),
	    LW_BAD_INPUT);
}
END_TEST

/* A pattern of the author's outranks words in a title. */
START_TEST(patterns_rank_first)
{
	struct lw_symptom symptoms[3];
	struct lw_pack pack = sample_cart;
	struct lw_entries hits;

	symptoms[0] = sample_cart.symptoms[0];
	symptoms[1] = sample_cart.symptoms[1];
	symptoms[2] = (struct lw_symptom){
	    .id = "title-match", .title = "It crawls when I release it"};
	pack.symptoms = symptoms;
	pack.symptom_count = 3;
	lw_book_put_pack(scratch.book, &pack, 1, NULL);
	ck_assert_int_eq(lw_book_find(scratch.book, scratch.arena,
			     "it crawls when I release it", 5, &hits, NULL),
	    LW_OK);
	ck_assert_str_eq(hits.items[0].id, "creeps-at-rest");
	ck_assert_str_eq(hits.items[1].id, "title-match");
	ck_assert(hits.items[0].score >= 2);
	ck_assert(hits.items[1].score >= 1 && hits.items[1].score < 2);
}
END_TEST

/* Patterns that do not compile, or run away, find nothing and hold nothing
 * up: the lint keeps them out, and a book may have them all the same. */
START_TEST(bad_patterns_do_no_harm)
{
	struct lw_text patterns[] = {
	    {.text = "("}, {.text = "(a+)+$"}, {.text = "\xFF"}};
	struct lw_symptom symptom = {.id = "bad", .title = "Bad"};
	struct lw_pack pack = {.name = "bad"};
	struct lw_entries hits;
	char words[3000];

	symptom.patterns.items = patterns;
	symptom.patterns.count = 3;
	pack.symptoms = &symptom;
	pack.symptom_count = 1;
	ck_assert_int_eq(lw_book_put_pack(scratch.book, &pack, 1, NULL), LW_OK);
	memset(words, 'a', sizeof words - 1);
	words[sizeof words - 1] = '\0';
	words[900] = '!';
	ck_assert_int_eq(
	    lw_book_find(scratch.book, scratch.arena, words, 5, &hits, NULL),
	    LW_NOT_FOUND);
}
END_TEST

START_TEST(what_was_taught_is_found)
{
	struct lw_code code = {
	    .lamp = "run", .pattern = "off", .meaning = "gone to hibernate"};
	struct lw_entries hits;

	ck_assert_int_eq(lw_book_find(scratch.book, scratch.arena,
			     "hibernating", 5, &hits, NULL),
	    LW_NOT_FOUND);
	lw_book_teach(scratch.book, "zeta-drive", &code, 1, 1, NULL);
	ck_assert_int_eq(lw_book_find(scratch.book, scratch.arena,
			     "hibernating", 5, &hits, NULL),
	    LW_OK);
	ck_assert_str_eq(hits.items[0].id, "zeta-drive");
	ck_assert_str_eq(hits.items[0].detail, "gone to hibernate");
	lw_book_put_pack(scratch.book, &sample_cart, 2, NULL);
	ck_assert_int_eq(lw_book_find(scratch.book, scratch.arena,
			     "hibernating", 5, &hits, NULL),
	    LW_OK);
	lw_book_unteach(scratch.book, "zeta-drive", "run", "off", NULL);
	ck_assert_int_eq(lw_book_find(scratch.book, scratch.arena,
			     "hibernating", 5, &hits, NULL),
	    LW_NOT_FOUND);
	ck_assert_int_eq(lw_book_check(scratch.book, &scratch.err), LW_OK);
}
END_TEST

START_TEST(removed_notes_are_not_found)
{
	struct lw_entries hits;

	ck_assert_int_eq(lw_book_remove_note(scratch.book, 1, NULL), LW_OK);
	ck_assert_int_eq(lw_book_find(scratch.book, scratch.arena, "wiggled", 5,
			     &hits, &scratch.err),
	    LW_NOT_FOUND);
	ck_assert_ptr_nonnull(strstr(scratch.err.text, "\"wiggled\""));
}
END_TEST

START_TEST(very_long_words)
{
	struct lw_entries hits;
	struct terms terms;
	char *words = malloc(2000001);
	size_t i;

	ck_assert_ptr_nonnull(words);
	for (i = 0; i < 2000000; i++)
		words[i] = i % 3 == 2 ? ' ' : (char)('b' + i % 20);
	words[2000000] = '\0';
	terms_read(&terms, words);
	ck_assert_uint_eq(terms.count, TERMS_MAX);
	lw_book_find(scratch.book, scratch.arena, words, 5, &hits, NULL);
	memset(words, 'c', 2000000);
	ck_assert_int_eq(lw_book_find(scratch.book, scratch.arena, words, 5,
			     &hits, &scratch.err),
	    LW_NOT_FOUND);
	/* A character that the cap would cut is left out whole. */
	memset(words, 'c', TERMS_TEXT_MAX - 1);
	memcpy(words + TERMS_TEXT_MAX - 1, "\xC3\xA9\xC3\xA9", 5);
	terms_read(&terms, words);
	ck_assert_uint_eq(strlen(terms.text), TERMS_TEXT_MAX - 1);
	free(words);
}
END_TEST

START_TEST(expressions)
{
	static const struct {
		const char *typed;
		const char *all;
	} cases[] = {
	    {"creeps after", "\"creeps\"* AND \"after\"*"},
	    {"5 go on", "\"5\" AND \"go\" AND \"on\""},
	    {"the cart", "\"cart\"*"},
	    {"the", "\"the\"*"},
	    {"x\"b * won't", "\"x\" AND \"b\" AND \"won't\"*"},
	    {"?!", ""},
	};
	struct terms terms;
	struct buf out;
	size_t i;

	buf_init(&out, 4096);
	for (i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		terms_read(&terms, cases[i].typed);
		terms_write(&terms, true, &out);
		ck_assert_str_eq(buf_text(&out), cases[i].all);
		buf_clear(&out);
	}
	terms_read(&terms, "one two");
	terms_write(&terms, false, &out);
	ck_assert_str_eq(buf_text(&out), "\"one\"* OR \"two\"*");
	buf_clear(&out);
}
END_TEST

Suite *
suite_book_find(void)
{
	Suite *suite = suite_create("book_find");
	TCase *tests = tcase_create("find");

	tcase_add_checked_fixture(tests, setup, teardown);
	tcase_set_timeout(tests, 60);
	tcase_add_test(tests, the_table);
	tcase_add_test(tests, kinds_come_in_order);
	tcase_add_test(tests, no_more_than_asked_for);
	tcase_add_test(tests, words_that_are_not_there);
	tcase_add_test(tests, one_kind_alone);
	tcase_add_test(tests, patterns_rank_first);
	tcase_add_test(tests, bad_patterns_do_no_harm);
	tcase_add_test(tests, what_was_taught_is_found);
	tcase_add_test(tests, removed_notes_are_not_found);
	tcase_add_test(tests, very_long_words);
	tcase_add_test(tests, expressions);
	suite_add_tcase(suite, tests);
	return suite;
}
