/* book: packs in and out, and the catalogue's getters. */
#include "unit/suites.h"

#include "book/catalogue.h"
#include "unit/book.h"

#include <string.h>

static struct scratch scratch;

static void
setup(void)
{
	scratch_make(&scratch);
	scratch_open(&scratch);
	ck_assert_msg(lw_book_put_pack(scratch.book, &sample_cart, 100,
			  &scratch.err) == LW_OK,
	    "%s", scratch.err.text);
}

static void
teardown(void)
{
	ck_assert_msg(lw_book_check(scratch.book, &scratch.err) == LW_OK, "%s",
	    scratch.err.text);
	scratch_remove(&scratch);
}

static const struct lw_pack *
get(const char *name)
{
	const struct lw_pack *pack;

	ck_assert_msg(lw_book_get_pack(scratch.book, scratch.arena, name, &pack,
			  &scratch.err) == LW_OK,
	    "%s", scratch.err.text);
	return pack;
}

START_TEST(a_pack_comes_back_as_it_was)
{
	sample_compare(&sample_cart, get("cart"));
	scratch_reopen(&scratch);
	sample_compare(&sample_cart, get("cart"));
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, &sample_other, 1, NULL), LW_OK);
	sample_compare(&sample_other, get("other"));
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, &sample_gauges, 1, NULL), LW_OK);
	sample_compare(&sample_gauges, get("gauges"));
	/* What came back goes in again. */
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, get("cart"), 2, NULL), LW_OK);
	sample_compare(&sample_cart, get("cart"));
}
END_TEST

START_TEST(reading_again_takes_the_old_out)
{
	struct lw_pack less = sample_cart;
	const struct lw_fault *fault;
	struct lw_entries hits;

	less.fault_count = 1;
	less.check_count = 0;
	less.tree_count = 0;
	less.version = "3";
	ck_assert_int_eq(lw_book_put_pack(scratch.book, &less, 2, NULL), LW_OK);
	sample_compare(&less, get("cart"));
	ck_assert_int_eq(lw_book_fault(scratch.book, scratch.arena,
			     "pedal-high", &fault, NULL),
	    LW_NOT_FOUND);
	ck_assert_int_eq(lw_book_find_kind(scratch.book, scratch.arena, "check",
			     "controller", 5, &hits, NULL),
	    LW_NOT_FOUND);
}
END_TEST

/* All packs' values, by pack and in the author's order, and none of a pack
 * that has gone. */
START_TEST(values_of_all_packs)
{
	const struct lw_value *const *values;
	struct lw_value more = sample_gauges.values[2];
	struct lw_pack before = sample_other;
	size_t count;

	ck_assert_int_eq(catalogue_values(scratch.book, scratch.arena, &values,
			     &count, &scratch.err),
	    LW_OK);
	ck_assert_uint_eq(count, 0);
	more.id = "more";
	before.name = "amps";
	before.fault_count = 0;
	before.values = &more;
	before.value_count = 1;
	lw_book_put_pack(scratch.book, &sample_gauges, 1, NULL);
	lw_book_put_pack(scratch.book, &before, 1, NULL);
	ck_assert_int_eq(catalogue_values(scratch.book, scratch.arena, &values,
			     &count, &scratch.err),
	    LW_OK);
	ck_assert_uint_eq(count, 5);
	ck_assert_str_eq(values[0]->id, "more");
	ck_assert_str_eq(values[1]->id, "cells");
	ck_assert_str_eq(values[2]->choices[1], "flat");
	ck_assert_str_eq(values[4]->id, "meter.own");
	lw_book_remove_pack(scratch.book, "gauges", NULL);
	catalogue_values(
	    scratch.book, scratch.arena, &values, &count, &scratch.err);
	ck_assert_uint_eq(count, 1);
	/* One of the same id is somebody's already. */
	before.name = "again";
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, &before, 1, &scratch.err),
	    LW_CONFLICT);
	ck_assert_ptr_nonnull(strstr(scratch.err.text, "the value \"more\""));
}
END_TEST

/* All packs' settings: by part, then by pack and in the author's order; and
 * none of a pack that has gone. */
START_TEST(settings_of_all_packs)
{
	const struct lw_known_setting *const *settings, *one;
	struct lw_known_setting more = sample_known.settings[1];
	struct lw_pack before = {.name = "able", .settings = &more};
	size_t count;

	ck_assert_int_eq(lw_book_known_settings(scratch.book, scratch.arena,
			     &settings, &count, &scratch.err),
	    LW_OK);
	ck_assert_uint_eq(count, 0);
	lw_book_put_pack(scratch.book, &sample_known, 1, NULL);
	sample_compare(&sample_known, get("known"));
	more.id = "more";
	before.setting_count = 1;
	lw_book_put_pack(scratch.book, &before, 1, NULL);
	ck_assert_int_eq(lw_book_known_settings(scratch.book, scratch.arena,
			     &settings, &count, &scratch.err),
	    LW_OK);
	ck_assert_uint_eq(count, 4);
	ck_assert_str_eq(settings[0]->id, "more");
	ck_assert_str_eq(settings[1]->id, "takes-up");
	ck_assert_str_eq(settings[1]->symptoms.items[1].id, "bare-symptom");
	ck_assert_str_eq(settings[2]->id, "coasts");
	ck_assert_str_eq(settings[3]->id, "cut-back");
	ck_assert_int_eq(lw_book_known_setting(scratch.book, scratch.arena,
			     "coasts", &one, &scratch.err),
	    LW_OK);
	ck_assert_str_eq(one->low, "It rolls on.");
	ck_assert_ptr_null(one->high);
	ck_assert_int_eq(lw_book_known_setting(scratch.book, scratch.arena,
			     "coast", &one, &scratch.err),
	    LW_NOT_FOUND);
	ck_assert_ptr_nonnull(strstr(scratch.err.text, "\"coasts\""));
	lw_book_remove_pack(scratch.book, "known", NULL);
	lw_book_known_settings(
	    scratch.book, scratch.arena, &settings, &count, &scratch.err);
	ck_assert_uint_eq(count, 1);
	ck_assert_int_eq(lw_book_check(scratch.book, NULL), LW_OK);
}
END_TEST

/* Those that can look like a fault or a symptom, and none of the others. */
START_TEST(settings_look_like_faults_and_symptoms)
{
	struct lw_entries like;

	lw_book_put_pack(scratch.book, &sample_known, 1, NULL);
	ck_assert_int_eq(lw_book_settings_like(scratch.book, scratch.arena,
			     "supply-low", NULL, &like, NULL),
	    LW_OK);
	ck_assert_uint_eq(like.count, 2);
	ck_assert_str_eq(like.items[0].kind, "setting");
	ck_assert_str_eq(like.items[0].id, "cut-back");
	ck_assert_str_eq(like.items[0].detail, "Sparing the battery");
	ck_assert_str_eq(like.items[1].title, "How soon it pulls");
	lw_book_settings_like(
	    scratch.book, scratch.arena, NULL, "creeps-at-rest", &like, NULL);
	ck_assert_uint_eq(like.count, 1);
	/* A caution of that name is none, nor a fault of a symptom's name. */
	lw_book_settings_like(
	    scratch.book, scratch.arena, "wheels-free", NULL, &like, NULL);
	ck_assert_uint_eq(like.count, 0);
	lw_book_settings_like(
	    scratch.book, scratch.arena, NULL, "supply-low", &like, NULL);
	ck_assert_uint_eq(like.count, 0);
	/* Words find them, with their kind; a listing has their part. */
	ck_assert_int_eq(lw_book_find(scratch.book, scratch.arena,
			     "limps early", 5, &like, NULL),
	    LW_OK);
	ck_assert_str_eq(like.items[0].kind, "setting");
	ck_assert_str_eq(like.items[0].id, "cut-back");
	lw_book_list(scratch.book, scratch.arena, "setting", &like, NULL);
	ck_assert_uint_eq(like.count, 3);
	ck_assert_str_eq(like.items[0].detail, "Slowing and stopping");
}
END_TEST

/* What a fix is done with, and what it may have damaged, is found too. */
START_TEST(causes_are_found_by_tools_and_damages)
{
	static const char *const words[] = {"torque wrench", "weakest cell"};
	struct lw_entries hits;
	size_t i;

	for (i = 0; i < sizeof words / sizeof words[0]; i++) {
		ck_assert_int_eq(lw_book_find_kind(scratch.book, scratch.arena,
				     "cause", words[i], 5, &hits, NULL),
		    LW_OK);
		ck_assert_uint_eq(hits.count, 1);
		ck_assert_str_eq(hits.items[0].id, "pack-empty");
	}
}
END_TEST

/* More rules than anybody writes are refused, and the old pack stays. */
START_TEST(rules_without_end_are_refused)
{
	enum { MANY = 10000 };
	static struct lw_text rules[MANY];
	struct lw_caution caution = sample_cart.cautions[0];
	struct lw_pack bad = sample_cart;
	size_t i;

	for (i = 0; i < MANY; i++)
		rules[i].text = "motor=series";
	caution.only.items = rules;
	caution.only.count = MANY;
	bad.cautions = &caution;
	bad.caution_count = 1;
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, &bad, 2, &scratch.err), LW_TOO_BIG);
	sample_compare(&sample_cart, get("cart"));
}
END_TEST

START_TEST(what_fails_leaves_the_old_in)
{
	struct lw_fault faults[2];
	struct lw_pack bad = sample_cart;

	faults[0] = sample_cart.faults[0];
	faults[1] = sample_cart.faults[0];
	faults[1].at.line = 7;
	bad.faults = faults;
	ck_assert_int_eq(lw_book_put_pack(scratch.book, &bad, 2, &scratch.err),
	    LW_BAD_INPUT);
	ck_assert_uint_eq(scratch.err.line, 7);
	ck_assert_ptr_nonnull(
	    strstr(scratch.err.text, "fault \"supply-low\" twice"));
	sample_compare(&sample_cart, get("cart"));
	faults[1].id = NULL;
	ck_assert_int_eq(lw_book_put_pack(scratch.book, &bad, 2, &scratch.err),
	    LW_BAD_INPUT);
	sample_compare(&sample_cart, get("cart"));
}
END_TEST

START_TEST(ids_belong_to_one)
{
	struct lw_pack thief = sample_other;
	struct lw_device device = {.id = "mine", .title = "Mine"};
	const char *pack;

	thief.faults = sample_cart.faults;
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, &thief, 2, &scratch.err),
	    LW_CONFLICT);
	ck_assert_ptr_nonnull(
	    strstr(scratch.err.text, "belongs to the pack \"cart\""));
	ck_assert_int_eq(lw_book_new_device(scratch.book, "mine", NULL, NULL,
			     LW_CODING_COUNT, 1, NULL),
	    LW_OK);
	thief.fault_count = 0;
	thief.devices = &device;
	thief.device_count = 1;
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, &thief, 2, &scratch.err),
	    LW_CONFLICT);
	ck_assert_ptr_nonnull(strstr(scratch.err.text, "one of your own"));
	ck_assert_int_eq(lw_book_get_pack(scratch.book, scratch.arena, "other",
			     &(const struct lw_pack *){NULL}, NULL),
	    LW_NOT_FOUND);
	/* The same id for things of two kinds is fine. */
	device.id = "supply-low";
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, &thief, 2, NULL), LW_OK);
	ck_assert_int_eq(lw_book_pack_of(scratch.book, scratch.arena, "device",
			     "supply-low", &pack, NULL),
	    LW_OK);
	ck_assert_str_eq(pack, "other");
	lw_book_pack_of(
	    scratch.book, scratch.arena, "fault", "supply-low", &pack, NULL);
	ck_assert_str_eq(pack, "cart");
	lw_book_pack_of(
	    scratch.book, scratch.arena, "device", "mine", &pack, NULL);
	ck_assert_str_eq(pack, "own");
	ck_assert_int_eq(lw_book_pack_of(scratch.book, scratch.arena, "fault",
			     "none", &pack, NULL),
	    LW_NOT_FOUND);
}
END_TEST

START_TEST(own_cannot_be_read_in)
{
	struct lw_pack own = sample_other;

	own.name = "own";
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, &own, 2, NULL), LW_BAD_INPUT);
	ck_assert_int_eq(
	    lw_book_remove_pack(scratch.book, "own", NULL), LW_BAD_INPUT);
	own.name = NULL;
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, &own, 2, NULL), LW_BAD_INPUT);
}
END_TEST

START_TEST(packs_are_listed)
{
	struct lw_entries packs;

	lw_book_put_pack(scratch.book, &sample_other, 200, NULL);
	ck_assert_int_eq(
	    lw_book_list_packs(scratch.book, scratch.arena, &packs, NULL),
	    LW_OK);
	ck_assert_uint_eq(packs.count, 2);
	ck_assert_str_eq(packs.items[0].kind, "pack");
	ck_assert_str_eq(packs.items[0].id, "cart");
	ck_assert_str_eq(packs.items[0].title, "An invented cart");
	ck_assert_str_eq(packs.items[0].detail, "2");
	ck_assert_int_eq(packs.items[0].time_s, 100);
	ck_assert_str_eq(packs.items[1].id, "other");
	ck_assert_str_eq(packs.items[1].detail, "");
	ck_assert_str_eq(packs.items[1].subject, "");
}
END_TEST

START_TEST(removing_a_shipped_pack_is_remembered)
{
	struct lw_pack_state state;
	struct lw_entries packs;

	ck_assert_int_eq(lw_book_pack_state(
			     scratch.book, scratch.arena, "cart", &state, NULL),
	    LW_OK);
	ck_assert(state.shipped && !state.removed);
	ck_assert_str_eq(state.digest, "d1");
	ck_assert_int_eq(
	    lw_book_remove_pack(scratch.book, "cart", NULL), LW_OK);
	lw_book_pack_state(scratch.book, scratch.arena, "cart", &state, NULL);
	ck_assert(state.shipped && state.removed);
	ck_assert_str_eq(state.digest, "d1");
	ck_assert_int_eq(
	    lw_book_remove_pack(scratch.book, "cart", &scratch.err),
	    LW_NOT_FOUND);
	ck_assert_ptr_nonnull(strstr(scratch.err.text, "removed already"));
	ck_assert_int_eq(lw_book_get_pack(scratch.book, scratch.arena, "cart",
			     &(const struct lw_pack *){NULL}, NULL),
	    LW_NOT_FOUND);
	lw_book_list_packs(scratch.book, scratch.arena, &packs, NULL);
	ck_assert_uint_eq(packs.count, 0);
	lw_book_list(scratch.book, scratch.arena, "fault", &packs, NULL);
	ck_assert_uint_eq(packs.count, 0);
	/* Putting it in again takes the mark off. */
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, &sample_cart, 3, NULL), LW_OK);
	lw_book_pack_state(scratch.book, scratch.arena, "cart", &state, NULL);
	ck_assert(state.shipped && !state.removed);
	/* One that did not ship leaves nothing. */
	lw_book_put_pack(scratch.book, &sample_other, 3, NULL);
	lw_book_pack_state(scratch.book, scratch.arena, "other", &state, NULL);
	ck_assert(!state.shipped && !state.removed);
	ck_assert_ptr_null(state.digest);
	ck_assert_int_eq(
	    lw_book_remove_pack(scratch.book, "other", NULL), LW_OK);
	ck_assert_int_eq(lw_book_pack_state(scratch.book, scratch.arena,
			     "other", &state, NULL),
	    LW_NOT_FOUND);
}
END_TEST

START_TEST(getters_get)
{
	const struct lw_device *device;
	const struct lw_fault *fault;
	const struct lw_symptom *symptom;
	const struct lw_cause *cause;
	const struct lw_check *check;
	const struct lw_point *point;
	const struct lw_caution *caution;
	const struct lw_tree *tree;

#define GET(function, wanted, out)                                             \
	ck_assert_int_eq(                                                      \
	    function(scratch.book, scratch.arena, wanted, &out, NULL), LW_OK); \
	ck_assert_str_eq(out->id, wanted);                                     \
	ck_assert_int_eq(function(scratch.book, scratch.arena, "no-such-id",   \
			     &out, &scratch.err),                              \
	    LW_NOT_FOUND);                                                     \
	ck_assert_ptr_null(out)

	GET(lw_book_device, "zeta-drive", device);
	GET(lw_book_fault, "supply-low", fault);
	GET(lw_book_symptom, "creeps-at-rest", symptom);
	GET(lw_book_cause, "fuse-open", cause);
	GET(lw_book_check_of, "supply-volts", check);
	GET(lw_book_point, "plus-stud", point);
	GET(lw_book_caution, "stays-charged", caution);
	GET(lw_book_tree, "low-supply", tree);
}
END_TEST

START_TEST(not_found_names_the_nearest)
{
	static const struct {
		const char *id;
		const char *says;
	} cases[] = {
	    {"suply-low", "there is no fault \"suply-low\"; nearest is "
			  "\"supply-low\""},
	    {"supply", "nearest is \"supply-low\""},
	    {"too-wram", "nearest is \"too-warm\""},
	    {"something-else", "none has a name like it"},
	    {"", "there is no fault \"\""},
	    {"\xFF\xFE", "there is no fault \"??\""},
	};
	const struct lw_fault *fault;
	size_t i;

	lw_book_put_pack(scratch.book, &sample_other, 1, NULL);
	for (i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		ck_assert_int_eq(lw_book_fault(scratch.book, scratch.arena,
				     cases[i].id, &fault, &scratch.err),
		    LW_NOT_FOUND);
		ck_assert_msg(strstr(scratch.err.text, cases[i].says) != NULL,
		    "%s: %s", cases[i].id, scratch.err.text);
	}
	lw_book_remove_pack(scratch.book, "cart", NULL);
	lw_book_remove_pack(scratch.book, "other", NULL);
	lw_book_fault(scratch.book, scratch.arena, "x", &fault, &scratch.err);
	ck_assert_ptr_nonnull(strstr(scratch.err.text, "none yet"));
}
END_TEST

START_TEST(lists_are_in_order)
{
	struct lw_entries entries;

	lw_book_new_device(scratch.book, "my-own", "Zz top", "controller",
	    LW_CODING_COUNT, 55, NULL);
	ck_assert_int_eq(
	    lw_book_list(scratch.book, scratch.arena, "device", &entries, NULL),
	    LW_OK);
	ck_assert_uint_eq(entries.count, 3);
	ck_assert_str_eq(entries.items[0].id, "my-own");
	ck_assert(entries.items[0].own);
	ck_assert_int_eq(entries.items[0].time_s, 55);
	ck_assert_str_eq(entries.items[0].detail, "controller");
	ck_assert_str_eq(entries.items[1].id, "alpha-charger");
	ck_assert(!entries.items[1].own);
	ck_assert_str_eq(entries.items[1].detail, "");
	ck_assert_str_eq(entries.items[2].id, "zeta-drive");
	ck_assert_str_eq(entries.items[2].kind, "device");
	ck_assert_int_eq(
	    lw_book_list(scratch.book, scratch.arena, "fault", &entries, NULL),
	    LW_OK);
	ck_assert_str_eq(entries.items[1].detail, "stops");
	ck_assert_int_eq(lw_book_list(scratch.book, scratch.arena, "recipe",
			     &entries, &scratch.err),
	    LW_BAD_INPUT);
	ck_assert_ptr_nonnull(strstr(scratch.err.text, "device, fault"));
}
END_TEST

START_TEST(items_are_found_by_what_they_refer_to)
{
	struct lw_entries entries;
	const struct lw_caution **cautions;
	const struct lw_check *check;
	size_t count;

	lw_book_trees_for(
	    scratch.book, scratch.arena, "supply-low", NULL, &entries, NULL);
	ck_assert_uint_eq(entries.count, 1);
	ck_assert_str_eq(entries.items[0].id, "low-supply");
	ck_assert_str_eq(entries.items[0].kind, "tree");
	lw_book_trees_for(
	    scratch.book, scratch.arena, NULL, "bare-symptom", &entries, NULL);
	ck_assert_uint_eq(entries.count, 1);
	lw_book_trees_for(scratch.book, scratch.arena, "pedal-high",
	    "creeps-at-rest", &entries, NULL);
	ck_assert_uint_eq(entries.count, 0);
	lw_book_checks_for(
	    scratch.book, scratch.arena, "fuse-open", &entries, NULL);
	ck_assert_uint_eq(entries.count, 2);
	ck_assert_str_eq(entries.items[0].id, "look-at-fuse");
	lw_book_checks_for(
	    scratch.book, scratch.arena, "pedal-worn", &entries, NULL);
	ck_assert_uint_eq(entries.count, 0);
	ck_assert_int_eq(lw_book_cautions_in(scratch.book, scratch.arena,
			     LW_POWER_ISOLATED, &cautions, &count, NULL),
	    LW_OK);
	ck_assert_uint_eq(count, 2);
	ck_assert_str_eq(cautions[0]->id, "wheels-free"); /* a danger */
	ck_assert_str_eq(cautions[1]->id, "stays-charged");
	lw_book_cautions_in(scratch.book, scratch.arena, LW_POWER_CONTROL,
	    &cautions, &count, NULL);
	ck_assert_uint_eq(count, 0);
	ck_assert_int_eq(lw_book_gate(scratch.book, scratch.arena,
			     LW_POWER_PRECHARGED, &check, NULL),
	    LW_OK);
	ck_assert_str_eq(check->id, "supply-volts");
	ck_assert_uint_eq(check->outcome_count, 3);
	ck_assert_int_eq(lw_book_gate(scratch.book, scratch.arena,
			     LW_POWER_LIVE_GROUND, &check, &scratch.err),
	    LW_NOT_FOUND);
	ck_assert_ptr_null(check);
	ck_assert_ptr_nonnull(strstr(scratch.err.text, "live-on-ground"));
}
END_TEST

Suite *
suite_book_packs(void)
{
	Suite *suite = suite_create("book_packs");
	TCase *tests = tcase_create("packs");

	tcase_add_checked_fixture(tests, setup, teardown);
	tcase_set_timeout(tests, 60);
	tcase_add_test(tests, a_pack_comes_back_as_it_was);
	tcase_add_test(tests, reading_again_takes_the_old_out);
	tcase_add_test(tests, values_of_all_packs);
	tcase_add_test(tests, settings_of_all_packs);
	tcase_add_test(tests, settings_look_like_faults_and_symptoms);
	tcase_add_test(tests, causes_are_found_by_tools_and_damages);
	tcase_add_test(tests, rules_without_end_are_refused);
	tcase_add_test(tests, what_fails_leaves_the_old_in);
	tcase_add_test(tests, ids_belong_to_one);
	tcase_add_test(tests, own_cannot_be_read_in);
	tcase_add_test(tests, packs_are_listed);
	tcase_add_test(tests, removing_a_shipped_pack_is_remembered);
	tcase_add_test(tests, getters_get);
	tcase_add_test(tests, not_found_names_the_nearest);
	tcase_add_test(tests, lists_are_in_order);
	tcase_add_test(tests, items_are_found_by_what_they_refer_to);
	suite_add_tcase(suite, tests);
	return suite;
}
