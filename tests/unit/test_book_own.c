/* book: the builder's own devices, codes and notes, and that they outlive
 * the packs. */
#include "unit/suites.h"

#include "unit/book.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static struct scratch scratch;

static void
setup(void)
{
	scratch_make(&scratch);
	scratch_open(&scratch);
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, &sample_cart, 100, NULL), LW_OK);
}

static void
teardown(void)
{
	ck_assert_msg(lw_book_check(scratch.book, &scratch.err) == LW_OK, "%s",
	    scratch.err.text);
	scratch_remove(&scratch);
}

static enum lw_status
teach(const char *device, const char *lamp, const char *pattern,
    const char *fault, const char *meaning)
{
	struct lw_code code = {.lamp = lamp,
	    .pattern = pattern,
	    .fault = fault,
	    .meaning = meaning};

	return lw_book_teach(scratch.book, device, &code, 1, 9, &scratch.err);
}

static const struct lw_device *
get(const char *id)
{
	const struct lw_device *device;

	ck_assert_msg(lw_book_device(scratch.book, scratch.arena, id, &device,
			  &scratch.err) == LW_OK,
	    "%s", scratch.err.text);
	return device;
}

START_TEST(a_new_device)
{
	static const char *const bad[] = {"", "5th", "-x", "My-Drive",
	    "my drive", "a/b", "caf\xC3\xA9",
	    ("a123456789012345678901234567890123456789012345678901234567890"
	    "1234")};
	const struct lw_device *device;
	size_t i;

	ck_assert_int_eq(lw_book_new_device(scratch.book, "my-drive", NULL,
			     "controller", LW_CODING_DIGITS, 5, NULL),
	    LW_OK);
	device = get("my-drive");
	ck_assert(device->own);
	ck_assert_str_eq(device->title, "my-drive");
	ck_assert_str_eq(device->kind, "controller");
	ck_assert_uint_eq(device->lamp_count, 1);
	ck_assert_str_eq(device->lamps[0].id, "lamp");
	ck_assert_int_eq(device->lamps[0].coding, LW_CODING_DIGITS);
	ck_assert_uint_eq(device->code_count, 0);
	ck_assert_int_eq(lw_book_new_device(scratch.book, "my-drive", NULL,
			     NULL, LW_CODING_COUNT, 5, &scratch.err),
	    LW_CONFLICT);
	ck_assert_int_eq(lw_book_new_device(scratch.book, "zeta-drive", NULL,
			     NULL, LW_CODING_COUNT, 5, &scratch.err),
	    LW_CONFLICT);
	for (i = 0; i < sizeof bad / sizeof bad[0]; i++)
		ck_assert_msg(
		    lw_book_new_device(scratch.book, bad[i], NULL, NULL,
			LW_CODING_COUNT, 5, NULL) == LW_BAD_INPUT,
		    "%s", bad[i]);
	ck_assert_int_eq(lw_book_new_device(scratch.book, "bad-title",
			     "two\nlines", NULL, LW_CODING_COUNT, 5, NULL),
	    LW_BAD_INPUT);
	ck_assert_int_eq(lw_book_new_device(scratch.book, "bad-title", "\xFF",
			     NULL, LW_CODING_COUNT, 5, NULL),
	    LW_BAD_INPUT);
}
END_TEST

START_TEST(removing_a_device)
{
	struct lw_entries notes;

	lw_book_new_device(
	    scratch.book, "my-drive", NULL, NULL, LW_CODING_COUNT, 5, NULL);
	ck_assert_int_eq(teach("my-drive", NULL, "3", NULL, "x"), LW_OK);
	ck_assert_int_eq(lw_book_add_note(scratch.book, "device", "my-drive",
			     "bought used", 5, NULL, NULL),
	    LW_OK);
	ck_assert_int_eq(
	    lw_book_remove_device(scratch.book, "zeta-drive", &scratch.err),
	    LW_CONFLICT);
	ck_assert_int_eq(
	    lw_book_remove_device(scratch.book, "my-driv", &scratch.err),
	    LW_NOT_FOUND);
	ck_assert_ptr_nonnull(strstr(scratch.err.text, "\"my-drive\""));
	ck_assert_int_eq(
	    lw_book_remove_device(scratch.book, "my-drive", NULL), LW_OK);
	lw_book_notes(
	    scratch.book, scratch.arena, "device", "my-drive", &notes, NULL);
	ck_assert_uint_eq(notes.count, 1);
	/* A new one of that name knows nothing of the old one's codes. */
	lw_book_new_device(
	    scratch.book, "my-drive", NULL, NULL, LW_CODING_COUNT, 5, NULL);
	ck_assert_uint_eq(get("my-drive")->code_count, 0);
}
END_TEST

START_TEST(own_codes_stand_in_place_of_the_packs)
{
	const struct lw_device *device;

	ck_assert_int_eq(
	    teach("zeta-drive", "status", "2", NULL, "my words"), LW_OK);
	ck_assert_int_eq(
	    teach("zeta-drive", "status", "9", "pedal-high", NULL), LW_OK);
	ck_assert_int_eq(
	    teach("zeta-drive", "run", "2", "supply-low", NULL), LW_OK);
	device = get("zeta-drive");
	ck_assert_uint_eq(device->code_count, 5);
	ck_assert_str_eq(device->codes[0].pattern, "5");
	ck_assert(!device->codes[0].own);
	ck_assert_str_eq(device->codes[1].pattern, "2");
	ck_assert(device->codes[1].own);
	ck_assert_ptr_null(device->codes[1].fault);
	ck_assert_str_eq(device->codes[1].meaning, "my words");
	ck_assert_str_eq(device->codes[1].device, "zeta-drive");
	ck_assert_str_eq(device->codes[2].pattern, "on");
	ck_assert_str_eq(device->codes[3].pattern, "9");
	ck_assert_str_eq(device->codes[3].fault, "pedal-high");
	ck_assert_str_eq(device->codes[4].lamp, "run");
	/* Teaching it again replaces it, in its place. */
	ck_assert_int_eq(
	    teach("zeta-drive", "status", "9", NULL, "nine"), LW_OK);
	device = get("zeta-drive");
	ck_assert_uint_eq(device->code_count, 5);
	ck_assert_ptr_null(device->codes[3].fault);
	ck_assert_str_eq(device->codes[3].meaning, "nine");
	/* The pack's device stays as the pack has it. */
	ck_assert_int_eq(
	    lw_book_unteach(scratch.book, "zeta-drive", "status", "2", NULL),
	    LW_OK);
	device = get("zeta-drive");
	ck_assert_str_eq(
	    device->codes[1].meaning, "pedal pressed at switch-on");
	ck_assert(!device->codes[1].own);
}
END_TEST

START_TEST(teaching_is_all_or_none)
{
	struct lw_code codes[2] = {
	    {.lamp = "status", .pattern = "7", .meaning = "seven"},
	    {.lamp = "status", .pattern = "8", .fault = "no-such-fault"}};

	ck_assert_int_eq(lw_book_teach(scratch.book, "zeta-drive", codes, 2, 9,
			     &scratch.err),
	    LW_NOT_FOUND);
	ck_assert_uint_eq(get("zeta-drive")->code_count, 3);
	codes[1].fault = NULL;
	ck_assert_int_eq(lw_book_teach(scratch.book, "zeta-drive", codes, 2, 9,
			     &scratch.err),
	    LW_BAD_INPUT);
	codes[1].meaning = " ";
	ck_assert_int_eq(lw_book_teach(scratch.book, "zeta-drive", codes, 2, 9,
			     &scratch.err),
	    LW_BAD_INPUT);
	codes[1].meaning = "eight";
	ck_assert_int_eq(lw_book_teach(scratch.book, "zeta-drive", codes, 2, 9,
			     &scratch.err),
	    LW_OK);
	ck_assert_uint_eq(get("zeta-drive")->code_count, 5);
}
END_TEST

START_TEST(what_cannot_be_taught)
{
	ck_assert_int_eq(
	    teach("zeta-drive", NULL, "7", NULL, "x"), LW_BAD_INPUT);
	ck_assert_ptr_nonnull(strstr(scratch.err.text, "status, run"));
	ck_assert_int_eq(
	    teach("zeta-drive", "blue", "7", NULL, "x"), LW_BAD_INPUT);
	ck_assert_ptr_nonnull(strstr(scratch.err.text, "status, run"));
	ck_assert_int_eq(
	    teach("zeta-drive", "status", "seven", NULL, "x"), LW_BAD_INPUT);
	ck_assert_int_eq(
	    teach("zeta-drive", "status", "07", NULL, "x"), LW_BAD_INPUT);
	ck_assert_int_eq(
	    teach("zeta-drive", "status", "7", NULL, "\xC3"), LW_BAD_INPUT);
	ck_assert_int_eq(
	    teach("zeta-driv", "status", "7", NULL, "x"), LW_NOT_FOUND);
	ck_assert_ptr_nonnull(strstr(scratch.err.text, "\"zeta-drive\""));
	ck_assert_int_eq(
	    teach("alpha-charger", NULL, "7", NULL, "x"), LW_BAD_INPUT);
}
END_TEST

START_TEST(taking_codes_off)
{
	ck_assert_int_eq(lw_book_unteach(scratch.book, "zeta-drive", "status",
			     "5", &scratch.err),
	    LW_CONFLICT);
	ck_assert_ptr_nonnull(strstr(scratch.err.text, "teach another"));
	ck_assert_int_eq(lw_book_unteach(scratch.book, "zeta-drive", "status",
			     "6", &scratch.err),
	    LW_NOT_FOUND);
	ck_assert_int_eq(lw_book_unteach(scratch.book, "zeta-drive", NULL, "6",
			     &scratch.err),
	    LW_BAD_INPUT);
	ck_assert_int_eq(
	    lw_book_unteach(scratch.book, "none", "x", "6", &scratch.err),
	    LW_NOT_FOUND);
}
END_TEST

static void
check_own_survives(void)
{
	const struct lw_device *device = get("zeta-drive");
	struct lw_entries notes;

	ck_assert_uint_eq(device->code_count, 4);
	ck_assert_str_eq(device->codes[0].meaning, "mine");
	ck_assert_str_eq(device->codes[3].pattern, "9");
	ck_assert_uint_eq(get("my-drive")->code_count, 1);
	lw_book_notes(scratch.book, scratch.arena, NULL, NULL, &notes, NULL);
	ck_assert_uint_eq(notes.count, 2);
}

START_TEST(own_things_outlive_the_pack)
{
	const struct lw_pack *own;

	lw_book_new_device(
	    scratch.book, "my-drive", NULL, NULL, LW_CODING_COUNT, 5, NULL);
	teach("my-drive", NULL, "3", "supply-low", NULL);
	teach("zeta-drive", "status", "5", NULL, "mine");
	teach("zeta-drive", "status", "9", "pedal-high", NULL);
	lw_book_add_note(scratch.book, "fault", "supply-low",
	    "Fuse holder was loose.", 5, NULL, NULL);
	lw_book_add_note(scratch.book, "pattern", "zeta-drive 5",
	    "Only when wet.", 6, NULL, NULL);
	check_own_survives();
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, &sample_cart, 200, NULL), LW_OK);
	check_own_survives();
	ck_assert_int_eq(
	    lw_book_remove_pack(scratch.book, "cart", NULL), LW_OK);
	ck_assert_uint_eq(get("my-drive")->code_count, 1);
	/* The codes on the pack's device can still be seen and taken off. */
	ck_assert_int_eq(
	    lw_book_get_pack(scratch.book, scratch.arena, "own", &own, NULL),
	    LW_OK);
	ck_assert_uint_eq(own->device_count, 2);
	ck_assert_str_eq(own->devices[1].id, "zeta-drive");
	ck_assert_uint_eq(own->devices[1].lamp_count, 1);
	ck_assert_str_eq(own->devices[1].lamps[0].id, "status");
	ck_assert_uint_eq(own->devices[1].code_count, 2);
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, &sample_cart, 300, NULL), LW_OK);
	check_own_survives();
	lw_book_remove_pack(scratch.book, "cart", NULL);
	ck_assert_int_eq(
	    lw_book_unteach(scratch.book, "zeta-drive", "status", "9", NULL),
	    LW_OK);
	lw_book_put_pack(scratch.book, &sample_cart, 400, NULL);
	ck_assert_uint_eq(get("zeta-drive")->code_count, 3);
}
END_TEST

START_TEST(own_as_a_pack)
{
	const struct lw_pack *own;

	lw_book_new_device(
	    scratch.book, "my-b", NULL, NULL, LW_CODING_COUNT, 5, NULL);
	lw_book_new_device(
	    scratch.book, "my-a", NULL, NULL, LW_CODING_COUNT, 6, NULL);
	teach("my-a", NULL, "3", NULL, "three");
	teach("zeta-drive", "run", "off", NULL, "asleep");
	ck_assert_int_eq(
	    lw_book_get_pack(scratch.book, scratch.arena, "own", &own, NULL),
	    LW_OK);
	ck_assert_str_eq(own->name, "own");
	ck_assert_uint_eq(own->device_count, 3);
	ck_assert_str_eq(own->devices[0].id, "my-b");
	ck_assert_str_eq(own->devices[1].id, "my-a");
	ck_assert_uint_eq(own->devices[1].code_count, 1);
	ck_assert(own->devices[1].codes[0].own);
	ck_assert_str_eq(own->devices[2].id, "zeta-drive");
	ck_assert_str_eq(own->devices[2].title, "Zeta drive");
	ck_assert_uint_eq(own->devices[2].lamp_count, 2);
	ck_assert_uint_eq(own->devices[2].code_count, 1);
	ck_assert(!own->devices[2].own);
	ck_assert_str_eq(own->devices[2].codes[0].meaning, "asleep");
}
END_TEST

/* --- notes ------------------------------------------------------------ */

static enum lw_status
note(const char *kind, const char *subject, const char *words)
{
	return lw_book_add_note(
	    scratch.book, kind, subject, words, 50, NULL, &scratch.err);
}

START_TEST(notes_go_on_many_things)
{
	static const struct {
		const char *kind;
		const char *subject;
		const char *kept; /* NULL: refused */
		enum lw_status status;
	} cases[] = {
	    {"device", "zeta-drive", "zeta-drive", LW_OK},
	    {"fault", "supply-low", "supply-low", LW_OK},
	    {"symptom", "creeps-at-rest", "creeps-at-rest", LW_OK},
	    {"cause", "fuse-open", "fuse-open", LW_OK},
	    {"check", "supply-volts", "supply-volts", LW_OK},
	    {"pattern", "5", "5", LW_OK},
	    {"pattern", "zeta-drive 5", "zeta-drive 5", LW_OK},
	    {"pattern", "zeta-drive   3-2", "zeta-drive 3-2", LW_OK},
	    {"pattern", "zeta-drive seven", NULL, LW_BAD_INPUT},
	    {"pattern", "seven", NULL, LW_BAD_INPUT},
	    {"pattern", "", NULL, LW_BAD_INPUT},
	    {"pattern", "none 5", NULL, LW_NOT_FOUND},
	    {"device", "none", NULL, LW_NOT_FOUND},
	    {"job", "1", NULL, LW_NOT_FOUND},
	    {"job", "one", NULL, LW_NOT_FOUND},
	    {"rig", "x", NULL, LW_NOT_FOUND},
	    {"point", "plus-stud", NULL, LW_BAD_INPUT},
	};
	struct lw_entries notes;
	size_t i, kept = 0;

	for (i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		ck_assert_msg(note(cases[i].kind, cases[i].subject, "hm") ==
				  cases[i].status,
		    "%s %s: %s", cases[i].kind, cases[i].subject,
		    scratch.err.text);
		if (cases[i].kept == NULL)
			continue;
		kept++;
		lw_book_notes(scratch.book, scratch.arena, cases[i].kind,
		    cases[i].kept, &notes, NULL);
		ck_assert_uint_eq(notes.count, 1);
		ck_assert_str_eq(notes.items[0].subject_kind, cases[i].kind);
		ck_assert_str_eq(notes.items[0].subject, cases[i].kept);
	}
	lw_book_notes(scratch.book, scratch.arena, NULL, NULL, &notes, NULL);
	ck_assert_uint_eq(notes.count, kept);
}
END_TEST

START_TEST(notes_newest_first)
{
	struct lw_entries notes;
	int64_t first = 0, second = 0;

	lw_book_add_note(
	    scratch.book, "cause", "fuse-open", "one", 10, &first, NULL);
	lw_book_add_note(
	    scratch.book, "cause", "fuse-open", "two", 10, &second, NULL);
	ck_assert_int_ne(first, second);
	ck_assert_int_eq(lw_book_notes(scratch.book, scratch.arena, "cause",
			     "fuse-open", &notes, NULL),
	    LW_OK);
	ck_assert_uint_eq(notes.count, 2);
	ck_assert_str_eq(notes.items[0].detail, "two");
	ck_assert_str_eq(notes.items[0].kind, "note");
	ck_assert_str_eq(notes.items[0].title, "Main fuse open");
	ck_assert_int_eq(notes.items[0].time_s, 10);
	ck_assert_int_eq(atol(notes.items[0].id), second);
	ck_assert_int_eq(
	    lw_book_remove_note(scratch.book, second, NULL), LW_OK);
	ck_assert_int_eq(
	    lw_book_remove_note(scratch.book, second, &scratch.err),
	    LW_NOT_FOUND);
	/* A number is not used again. */
	lw_book_add_note(
	    scratch.book, "cause", "fuse-open", "three", 11, &first, NULL);
	ck_assert_int_gt(first, second);
	lw_book_notes(
	    scratch.book, scratch.arena, "cause", "none", &notes, NULL);
	ck_assert_uint_eq(notes.count, 0);
}
END_TEST

START_TEST(notes_that_are_refused)
{
	char words[4002];

	ck_assert_int_eq(note("cause", "fuse-open", ""), LW_BAD_INPUT);
	ck_assert_int_eq(note("cause", "fuse-open", " \n"), LW_BAD_INPUT);
	ck_assert_int_eq(note("cause", "fuse-open", "a\xFF"), LW_BAD_INPUT);
	ck_assert_int_eq(note("cause", "fuse-open", "a\x01"), LW_BAD_INPUT);
	memset(words, 'x', sizeof words - 1);
	words[4001] = '\0';
	ck_assert_int_eq(note("cause", "fuse-open", words), LW_BAD_INPUT);
	words[4000] = '\0';
	ck_assert_int_eq(note("cause", "fuse-open", words), LW_OK);
	ck_assert_int_eq(
	    note("cause", "fuse-open", "line\nother \xC3\xA9"), LW_OK);
}
END_TEST

Suite *
suite_book_own(void)
{
	Suite *suite = suite_create("book_own");
	TCase *tests = tcase_create("own");

	tcase_add_checked_fixture(tests, setup, teardown);
	tcase_set_timeout(tests, 60);
	tcase_add_test(tests, a_new_device);
	tcase_add_test(tests, removing_a_device);
	tcase_add_test(tests, own_codes_stand_in_place_of_the_packs);
	tcase_add_test(tests, teaching_is_all_or_none);
	tcase_add_test(tests, what_cannot_be_taught);
	tcase_add_test(tests, taking_codes_off);
	tcase_add_test(tests, own_things_outlive_the_pack);
	tcase_add_test(tests, own_as_a_pack);
	tcase_add_test(tests, notes_go_on_many_things);
	tcase_add_test(tests, notes_newest_first);
	tcase_add_test(tests, notes_that_are_refused);
	suite_add_tcase(suite, tests);
	return suite;
}
