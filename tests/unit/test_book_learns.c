/* book: what is kept for reasoning: cures, counting anew, settings that wait
 * for a tool, and the checks that speak about causes. All of it is invented. */
#include "unit/suites.h"

#include "base/arena.h"
#include "book/cures.h"
#include "book/jobs.h"
#include "book/speaks.h"
#include "book/store.h"
#include "unit/book.h"

#include <lampwright/rig.h>
#include <stdio.h>
#include <string.h>

static struct scratch scratch;

static void
setup(void)
{
	scratch_make(&scratch);
	scratch_open(&scratch);
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, &sample_cart, 100, NULL), LW_OK);
	ck_assert_int_eq(
	    lw_rig_new(scratch.book, "cart48", NULL, 1, NULL), LW_OK);
}

static void
teardown(void)
{
	ck_assert_msg(lw_book_check(scratch.book, &scratch.err) == LW_OK, "%s",
	    scratch.err.text);
	scratch_remove(&scratch);
}

static void
says(const char *part)
{
	ck_assert_msg(strstr(scratch.err.text, part) != NULL, "%s: no \"%s\"",
	    scratch.err.text, part);
}

/* --- cures ---------------------------------------------------------------- */

static int64_t
new_job(const char *device)
{
	int64_t job = 0;

	ck_assert_int_eq(book_job_new(scratch.book, NULL, device, NULL, "a job",
			     NULL, 0, 1, &job, &scratch.err),
	    LW_OK);
	return job;
}

/* Append one finding; cause NULL: the job is not cured with it. */
static enum lw_status
append(int64_t job, enum lw_finding_kind kind, const char *cause,
    const char *fault, const char *symptom, int64_t now_s)
{
	const struct lw_finding finding = {.kind = kind, .about = cause};
	const struct book_cured cured = {cause, fault, symptom};
	const struct book_job *loaded;

	book_job_load(scratch.book, scratch.arena, job, &loaded, NULL);
	return book_job_append(scratch.book, job,
	    (int64_t)loaded->finding_count, &finding, 1, NULL, &cured, now_s,
	    &scratch.err);
}

static int64_t
cure(const char *device, const char *fault, const char *symptom,
    const char *cause, int64_t now_s)
{
	int64_t job = new_job(device);

	ck_assert_int_eq(
	    append(job, LW_FINDING_GONE, cause, fault, symptom, now_s), LW_OK);
	return job;
}

/* "cause here+elsewhere ...", by cause. */
static const char *
cures(const char *device, const char *fault, const char *symptom, int64_t but)
{
	static char text[400];
	const struct book_cure *items;
	size_t count, i, used = 0;

	ck_assert_int_eq(book_cures(&items, &count, scratch.book, scratch.arena,
			     device, fault, symptom, but, &scratch.err),
	    LW_OK);
	text[0] = '\0';
	for (i = 0; i < count; i++)
		used += (size_t)snprintf(text + used, sizeof text - used,
		    "%s%s %u+%u", i > 0 ? ", " : "", items[i].cause,
		    items[i].here, items[i].elsewhere);
	return text;
}

/* "device kind began cause count/cases", a line each. */
static const char *
learnt(const char *device)
{
	static char text[1000];
	struct lw_learnts learnts;
	size_t i, used = 0;

	ck_assert_int_eq(lw_book_learnt(scratch.book, scratch.arena, device,
			     &learnts, &scratch.err),
	    LW_OK);
	text[0] = '\0';
	for (i = 0; i < learnts.count; i++) {
		const struct lw_learnt *item = &learnts.items[i];

		used += (size_t)snprintf(text + used, sizeof text - used,
		    "%s %s %s %s %u/%u\n",
		    item->device == NULL ? "-" : item->device, item->began_kind,
		    item->began, item->cause, item->count, item->cases);
	}
	return text;
}

START_TEST(cures_are_counted)
{
	struct lw_learnts learnts;
	int64_t last;

	ck_assert_str_eq(cures("zeta-drive", "supply-low", NULL, 0), "");
	ck_assert_str_eq(learnt(NULL), "");
	cure("zeta-drive", "supply-low", NULL, "fuse-open", 10);
	cure("zeta-drive", "supply-low", NULL, "pack-empty", 11);
	cure("zeta-drive", "supply-low", "bare-symptom", "fuse-open", 12);
	cure("other-drive", "supply-low", NULL, "fuse-open", 13);
	cure(NULL, "supply-low", NULL, "left-the-book", 14);
	cure(NULL, NULL, "bare-symptom", "fuse-open", 15);
	last = cure("zeta-drive", "pedal-high", NULL, "pedal-worn", 16);
	ck_assert_str_eq(cures("zeta-drive", "supply-low", NULL, 0),
	    "fuse-open 2+1, left-the-book 0+1, pack-empty 1+0");
	ck_assert_str_eq(cures(NULL, "supply-low", NULL, 0),
	    "fuse-open 0+3, left-the-book 0+1, pack-empty 0+1");
	ck_assert_str_eq(
	    cures("zeta-drive", NULL, "bare-symptom", 0), "fuse-open 1+1");
	ck_assert_str_eq(
	    cures("zeta-drive", "pedal-high", NULL, 0), "pedal-worn 1+0");
	/* The job that asks does not count. */
	ck_assert_str_eq(cures("zeta-drive", "pedal-high", NULL, last), "");
	ck_assert_str_eq(learnt(NULL),
	    "other-drive fault supply-low fuse-open 1/1\n"
	    "zeta-drive fault pedal-high pedal-worn 1/1\n"
	    "zeta-drive fault supply-low fuse-open 2/3\n"
	    "zeta-drive fault supply-low pack-empty 1/3\n"
	    "zeta-drive symptom bare-symptom fuse-open 1/1\n"
	    "- fault supply-low left-the-book 1/1\n"
	    "- symptom bare-symptom fuse-open 1/1\n");
	ck_assert_str_eq(learnt("other-drive"),
	    "other-drive fault supply-low fuse-open 1/1\n");
	/* Titles, or ids of what has left the book. */
	lw_book_learnt(
	    scratch.book, scratch.arena, NULL, &learnts, &scratch.err);
	ck_assert_str_eq(learnts.items[0].device_title, "other-drive");
	ck_assert_str_eq(learnts.items[2].device_title, "Zeta drive");
	ck_assert_str_eq(
	    learnts.items[2].began_title, "Supply voltage too low");
	ck_assert_str_eq(learnts.items[2].title, "Main fuse open");
	ck_assert_int_eq(learnts.items[2].last_s, 12);
	ck_assert_ptr_null(learnts.items[5].device_title);
	ck_assert_str_eq(learnts.items[5].title, "left-the-book");
}
END_TEST

START_TEST(a_cure_goes_with_its_finding)
{
	int64_t job = cure("zeta-drive", "supply-low", NULL, "fuse-open", 10);

	/* The same, another cause, none, and one again. */
	append(job, LW_FINDING_RESUME, "fuse-open", "supply-low", NULL, 11);
	ck_assert_str_eq(
	    learnt(NULL), "zeta-drive fault supply-low fuse-open 1/1\n");
	append(job, LW_FINDING_RESUME, "pack-empty", "supply-low", NULL, 12);
	ck_assert_str_eq(
	    learnt(NULL), "zeta-drive fault supply-low pack-empty 1/1\n");
	append(job, LW_FINDING_UNDO, NULL, NULL, NULL, 13);
	ck_assert_str_eq(learnt(NULL), "");
	append(job, LW_FINDING_UNDO, NULL, NULL, NULL, 13);
	append(job, LW_FINDING_GONE, "fuse-open", "supply-low", NULL, 14);
	ck_assert_str_eq(
	    learnt(NULL), "zeta-drive fault supply-low fuse-open 1/1\n");
	/* A stale answer changes neither. */
	ck_assert_int_eq(
	    book_job_append(scratch.book, job, 1, NULL, 0, NULL,
		&(struct book_cured){NULL, NULL, NULL}, 15, &scratch.err),
	    LW_CONFLICT);
	ck_assert_str_eq(
	    learnt(NULL), "zeta-drive fault supply-low fuse-open 1/1\n");
}
END_TEST

START_TEST(counting_begins_anew)
{
	int64_t before, after, job;

	cure("zeta-drive", "supply-low", NULL, "fuse-open", 100);
	job = cure("other-drive", "supply-low", NULL, "fuse-open", 100);
	cure(NULL, "supply-low", NULL, "fuse-open", 100);
	lw_book_change(scratch.book, &before, NULL);
	/* The clock may be wrong: what was cured before does not count. */
	ck_assert_int_eq(
	    lw_book_forget(scratch.book, "zeta-drive", 50, &scratch.err),
	    LW_OK);
	lw_book_change(scratch.book, &after, NULL);
	ck_assert_int_ne(before, after);
	ck_assert_str_eq(
	    cures("zeta-drive", "supply-low", NULL, 0), "fuse-open 0+2");
	cure("zeta-drive", "supply-low", NULL, "fuse-open", 20);
	ck_assert_str_eq(
	    cures("zeta-drive", "supply-low", NULL, 0), "fuse-open 1+2");
	/* One that has left the book, and one that never was. */
	ck_assert_int_eq(
	    lw_book_forget(scratch.book, "other-drive", 200, &scratch.err),
	    LW_OK);
	ck_assert_int_eq(
	    lw_book_forget(scratch.book, "zeta-driv", 200, &scratch.err),
	    LW_NOT_FOUND);
	says("\"zeta-drive\"");
	ck_assert_str_eq(
	    cures("zeta-drive", "supply-low", NULL, 0), "fuse-open 1+1");
	ck_assert_int_eq(
	    lw_book_forget(scratch.book, NULL, 300, &scratch.err), LW_OK);
	ck_assert_str_eq(learnt(NULL), "");
	scratch_reopen(&scratch);
	ck_assert_str_eq(learnt(NULL), "");
	/* A job that goes on stays forgotten; one that is cured anew counts. */
	append(job, LW_FINDING_RESUME, "fuse-open", "supply-low", NULL, 301);
	ck_assert_str_eq(learnt(NULL), "");
	append(job, LW_FINDING_REOPEN, NULL, NULL, NULL, 302);
	append(job, LW_FINDING_GONE, "pack-empty", "supply-low", NULL, 303);
	ck_assert_str_eq(
	    learnt(NULL), "other-drive fault supply-low pack-empty 1/1\n");
}
END_TEST

START_TEST(a_cure_without_its_finding_is_damage)
{
	int64_t job = new_job(NULL);
	char sql[200];

	snprintf(sql, sizeof sql,
	    "INSERT INTO cures (job, cause, time_s) VALUES (%d, 'x', 1)",
	    (int)job);
	ck_assert_int_eq(
	    sqlite3_exec(scratch.book->db, sql, NULL, NULL, NULL), SQLITE_OK);
	ck_assert_int_eq(lw_book_check(scratch.book, &scratch.err), LW_CORRUPT);
	says("nothing was found to be gone in the cured job 1");
	sqlite3_exec(scratch.book->db, "DELETE FROM cures", NULL, NULL, NULL);
}
END_TEST

/* --- settings that wait --------------------------------------------------- */

static enum lw_status
want(const char *device, const char *setting, const char *value, int64_t *wish)
{
	const struct lw_setting_wish wished = {
	    .device = device, .setting = setting, .value = value};

	return lw_setting_want(
	    scratch.book, "cart48", &wished, 50, wish, &scratch.err);
}

static void
ledger(const char *setting, const char *was, const char *became)
{
	const struct lw_setting entry = {.device = "drive",
	    .setting = setting,
	    .was = was,
	    .became = became};

	ck_assert_msg(lw_setting_add(scratch.book, "cart48", &entry, 40, NULL,
			  &scratch.err) == LW_OK,
	    "%s", scratch.err.text);
}

/* "number setting=value (last); ..." */
static const char *
wishes(void)
{
	static char text[1000];
	struct lw_setting_wishes list;
	size_t i, used = 0;

	ck_assert_int_eq(lw_setting_wishes(scratch.book, scratch.arena,
			     "cart48", &list, &scratch.err),
	    LW_OK);
	text[0] = '\0';
	for (i = 0; i < list.count; i++)
		used += (size_t)snprintf(text + used, sizeof text - used,
		    "%s%d %s=%s (%s)", i > 0 ? "; " : "",
		    (int)list.items[i].wish, list.items[i].setting,
		    list.items[i].value == NULL ? "?" : list.items[i].value,
		    list.items[i].last == NULL ? "?" : list.items[i].last);
	return text;
}

START_TEST(wishes_are_fulfilled_by_the_ledger)
{
	ck_assert_str_eq(wishes(), "");
	ledger("ramp", NULL, "0.9 s");
	ck_assert_int_eq(want("drive", "ramp", "1.6 s", NULL), LW_OK);
	ck_assert_int_eq(want("drive", "top speed", NULL, NULL), LW_OK);
	ck_assert_int_eq(want("drive", "current", "80 %", NULL), LW_OK);
	ck_assert_str_eq(wishes(),
	    "1 ramp=1.6 s (0.9 s); 2 top speed=? (?); 3 current=80 % (?)");
	/* To read one fulfils the wish to read, not the one to set. */
	ledger("top speed", NULL, "60 %");
	ledger("ramp", NULL, "1.2 s");
	ck_assert_str_eq(wishes(), "1 ramp=1.6 s (1.2 s); 3 current=80 % (?)");
	/* It is found so already; it is changed, be it to something else. */
	ledger("current", NULL, "80 %");
	ck_assert_str_eq(wishes(), "1 ramp=1.6 s (1.2 s)");
	ledger("ramp", "1.2 s", "1.5 s");
	ck_assert_str_eq(wishes(), "");
	/* What was before is no answer, at whatever time. */
	ck_assert_int_eq(want("drive", "ramp", NULL, NULL), LW_OK);
	ck_assert_str_eq(wishes(), "4 ramp=? (1.5 s)");
	/* Another device's setting is another. */
	ck_assert_int_eq(want("charger", "ramp", NULL, NULL), LW_OK);
	ledger("ramp", NULL, "1.5 s");
	ck_assert_str_eq(wishes(), "5 ramp=? (?)");
}
END_TEST

START_TEST(wishes_are_taken_back)
{
	int64_t first = 0, second = 0;

	want("drive", "ramp", NULL, &first);
	want("drive", "ramp", "2 s", &second);
	ck_assert_int_eq(first, 1);
	ck_assert_int_eq(second, 2);
	/* The later word on a setting stands. */
	ck_assert_str_eq(wishes(), "2 ramp=2 s (?)");
	ck_assert_int_eq(
	    lw_setting_unwant(scratch.book, first, &scratch.err), LW_NOT_FOUND);
	says("no setting wanted under the number 1");
	ck_assert_int_eq(
	    lw_setting_unwant(scratch.book, second, &scratch.err), LW_OK);
	ck_assert_str_eq(wishes(), "");
	ck_assert_int_eq(lw_setting_unwant(scratch.book, second, &scratch.err),
	    LW_NOT_FOUND);
	/* One that is fulfilled is on no list. */
	want("drive", "ramp", NULL, &first);
	ck_assert_int_eq(first, 3);
	ledger("ramp", NULL, "1 s");
	ck_assert_int_eq(
	    lw_setting_unwant(scratch.book, first, &scratch.err), LW_NOT_FOUND);
	ck_assert_int_eq(
	    lw_setting_unwant(scratch.book, -1, &scratch.err), LW_NOT_FOUND);
	/* Empty is as good as none. */
	ck_assert_int_eq(want("drive", "ramp", "", NULL), LW_OK);
	ck_assert_str_eq(wishes(), "4 ramp=? (1 s)");
}
END_TEST

START_TEST(wishes_that_are_none)
{
	struct lw_setting_wishes list;
	struct lw_setting_wish wish = {.device = "drive", .setting = "ramp"};
	static char long_text[202];
	int64_t job = 0, number = 7;

	memset(long_text, 'x', sizeof long_text - 1);
	ck_assert_int_eq(want(NULL, "ramp", NULL, &number), LW_BAD_INPUT);
	says("the name of the device is empty");
	ck_assert_int_eq(number, 0);
	ck_assert_int_eq(want("drive", " ", NULL, NULL), LW_BAD_INPUT);
	says("the name of the setting is empty");
	ck_assert_int_eq(want("drive", "ramp", long_text, NULL), LW_BAD_INPUT);
	says("the value is 201 bytes long");
	ck_assert_int_eq(want("drive", "ramp", "1\n2", NULL), LW_BAD_INPUT);
	wish.why = "\xFF";
	ck_assert_int_eq(lw_setting_want(scratch.book, "cart48", &wish, 1, NULL,
			     &scratch.err),
	    LW_BAD_INPUT);
	says("the reason is not UTF-8");
	wish.why = "two\nlines";
	ck_assert_int_eq(lw_setting_want(scratch.book, "cart84", &wish, 1, NULL,
			     &scratch.err),
	    LW_NOT_FOUND);
	says("\"cart48\"");
	wish.job = 9;
	ck_assert_int_eq(lw_setting_want(scratch.book, "cart48", &wish, 1, NULL,
			     &scratch.err),
	    LW_NOT_FOUND);
	says("there is no job 9");
	lw_rig_new(scratch.book, "trike36", NULL, 1, NULL);
	book_job_new(scratch.book, "trike36", NULL, NULL, "a job", NULL, 0, 5,
	    &job, NULL);
	wish.job = job;
	ck_assert_int_eq(lw_setting_want(scratch.book, "cart48", &wish, 1, NULL,
			     &scratch.err),
	    LW_BAD_INPUT);
	says("on the rig \"trike36\"");
	ck_assert_int_eq(lw_setting_want(scratch.book, "trike36", &wish, 60,
			     NULL, &scratch.err),
	    LW_OK);
	/* A rig that was removed keeps its list, and takes nothing more. */
	lw_rig_remove(scratch.book, "trike36", NULL);
	ck_assert_int_eq(lw_setting_wishes(scratch.book, scratch.arena,
			     "trike36", &list, &scratch.err),
	    LW_OK);
	ck_assert_uint_eq(list.count, 1);
	ck_assert_int_eq(list.items[0].job, job);
	ck_assert_int_eq(list.items[0].time_s, 60);
	ck_assert_str_eq(list.items[0].device, "drive");
	ck_assert_str_eq(list.items[0].why, "two\nlines");
	ck_assert_int_eq(lw_setting_want(scratch.book, "trike36", &wish, 61,
			     NULL, &scratch.err),
	    LW_NOT_FOUND);
	ck_assert_int_eq(lw_setting_wishes(scratch.book, scratch.arena,
			     "no-rig", &list, &scratch.err),
	    LW_NOT_FOUND);
	ck_assert_uint_eq(list.count, 0);
	/* Where the rig has devices, it is one of them. */
	ck_assert_int_eq(
	    lw_rig_set(scratch.book, "cart48",
		&(struct lw_rig_pair){"device.drive", "zeta-drive"}, 1, 5,
		&scratch.err),
	    LW_OK);
	ck_assert_int_eq(want("charger", "ramp", NULL, NULL), LW_NOT_FOUND);
	says("it has drive");
}
END_TEST

/* --- checks that speak ---------------------------------------------------- */

/* What a whole check says is what is read of it for reasoning. */
static void
same_speaker(const struct book_speaker *speaker, const char *const *causes,
    size_t cause_count)
{
	const struct lw_check *check;
	size_t o, s, c, k, found = 0;

	ck_assert_int_eq(lw_book_check_of(scratch.book, scratch.arena,
			     speaker->id, &check, &scratch.err),
	    LW_OK);
	ck_assert_str_eq(speaker->title, check->title);
	ck_assert_int_eq(speaker->power, check->power);
	ck_assert_int_eq(speaker->meter, check->meter);
	ck_assert(speaker->minutes == check->minutes);
	ck_assert_uint_eq(speaker->tool_count, check->tools.count);
	for (k = 0; k < speaker->tool_count; k++)
		ck_assert_str_eq(
		    speaker->tools[k].text, check->tools.items[k].text);
	ck_assert_uint_eq(speaker->outcome_count, check->outcome_count);
	for (o = 0; o < check->outcome_count; o++) {
		const struct lw_outcome *outcome = &check->outcomes[o];

		ck_assert_str_eq(speaker->outcomes[o].id, outcome->id);
		ck_assert(speaker->outcomes[o].expected == outcome->expected);
		ck_assert(speaker->outcomes[o].stops == outcome->stops);
		ck_assert(speaker->outcomes[o].unproves == outcome->unproves);
		ck_assert(speaker->outcomes[o].enters == outcome->enters);
		for (s = 0; s < outcome->speaks.count; s++)
			for (c = 0; c < cause_count; c++) {
				if (strcmp(causes[c],
					outcome->speaks.items[s].id) != 0)
					continue;
				ck_assert_uint_lt(found, speaker->spoken_count);
				ck_assert_uint_eq(
				    speaker->spoken[found].outcome, o);
				ck_assert_uint_eq(
				    speaker->spoken[found].cause, c);
				ck_assert_str_eq(speaker->spoken[found].word,
				    outcome->speaks.items[s].word);
				found++;
			}
	}
	ck_assert_uint_eq(found, speaker->spoken_count);
	ck_assert_uint_gt(found, 0);
}

START_TEST(speakers_are_what_checks_say)
{
	static const char *const causes[] = {"", "fuse-open", "no \"such\\ one",
	    "pack-empty", "pedal-worn", "l\ni\tne", "\xC3\xA9"};
	const struct book_speaker *speakers;
	size_t count;

	ck_assert_int_eq(book_speakers(&speakers, &count, scratch.book,
			     scratch.arena, causes, 7, &scratch.err),
	    LW_OK);
	ck_assert_uint_eq(count, 2);
	/* In the order of the author. */
	ck_assert_str_eq(speakers[0].id, "supply-volts");
	ck_assert_str_eq(speakers[1].id, "look-at-fuse");
	same_speaker(&speakers[0], causes, 7);
	same_speaker(&speakers[1], causes, 7);
	/* Only about what was asked. */
	ck_assert_int_eq(book_speakers(&speakers, &count, scratch.book,
			     scratch.arena, &causes[3], 1, &scratch.err),
	    LW_OK);
	ck_assert_uint_eq(count, 1);
	same_speaker(&speakers[0], &causes[3], 1);
	/* None speaks, and none is asked for. */
	ck_assert_int_eq(book_speakers(&speakers, &count, scratch.book,
			     scratch.arena, causes, 1, &scratch.err),
	    LW_OK);
	ck_assert_uint_eq(count, 0);
	ck_assert_int_eq(book_speakers(&speakers, &count, scratch.book,
			     scratch.arena, NULL, 0, &scratch.err),
	    LW_OK);
	ck_assert_uint_eq(count, 0);
}
END_TEST

/* Packs in the order of their names, whichever came first, and in each the
 * order of the author. */
START_TEST(speakers_stand_in_order)
{
	static const struct lw_ref about[] = {
	    {.id = "pack-empty", .word = "always"}};
	static const struct lw_outcome outcomes[] = {
	    {.id = "yes", .title = "yes", .speaks = {about, 1}},
	    {.id = "no", .title = "no", .expected = true}};
	static const struct lw_check checks[] = {{.id = "z-first",
						     .title = "Z",
						     .minutes = 1,
						     .outcomes = outcomes,
						     .outcome_count = 2},
	    {.id = "a-second",
		.title = "A",
		.minutes = 1,
		.outcomes = outcomes,
		.outcome_count = 2}};
	static const struct lw_pack early = {.name = "a-pack",
	    .title = "Before the cart",
	    .checks = checks,
	    .check_count = 2};
	static const char *const causes[] = {"pack-empty"};
	const struct book_speaker *speakers;
	size_t count;

	ck_assert_msg(
	    lw_book_put_pack(scratch.book, &early, 200, &scratch.err) == LW_OK,
	    "%s", scratch.err.text);
	ck_assert_int_eq(book_speakers(&speakers, &count, scratch.book,
			     scratch.arena, causes, 1, &scratch.err),
	    LW_OK);
	ck_assert_uint_eq(count, 3);
	ck_assert_str_eq(speakers[0].id, "z-first");
	ck_assert_str_eq(speakers[1].id, "a-second");
	ck_assert_str_eq(speakers[2].id, "supply-volts");
	same_speaker(&speakers[0], causes, 1);
	same_speaker(&speakers[1], causes, 1);
	same_speaker(&speakers[2], causes, 1);
}
END_TEST

Suite *
suite_book_learns(void)
{
	Suite *suite = suite_create("book_learns");
	TCase *tests = tcase_create("learns");

	tcase_add_checked_fixture(tests, setup, teardown);
	tcase_set_timeout(tests, 60);
	tcase_add_test(tests, cures_are_counted);
	tcase_add_test(tests, a_cure_goes_with_its_finding);
	tcase_add_test(tests, counting_begins_anew);
	tcase_add_test(tests, a_cure_without_its_finding_is_damage);
	tcase_add_test(tests, wishes_are_fulfilled_by_the_ledger);
	tcase_add_test(tests, wishes_are_taken_back);
	tcase_add_test(tests, wishes_that_are_none);
	tcase_add_test(tests, speakers_are_what_checks_say);
	tcase_add_test(tests, speakers_stand_in_order);
	suite_add_tcase(suite, tests);
	return suite;
}
