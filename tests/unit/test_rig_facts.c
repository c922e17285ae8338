/* book: what can be said of a rig, and rules by rig. The rigs are invented. */
#include "unit/suites.h"

#include "book/store.h"
#include "unit/book.h"

#include <lampwright/rig.h>
#include <stdio.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

/* Three quantities that a pack brings; invented. */
static const struct lw_value values[] = {
    {.id = "pack.full",
	.title = "Highest voltage",
	.part = "Pack",
	.kind = LW_VALUE_QUANTITY,
	.unit = "V",
	.low = 20,
	.high = 150},
    {.id = "bus.capacitor",
	.title = "Capacitors",
	.part = "Capacitors",
	.kind = LW_VALUE_QUANTITY,
	.unit = "F",
	.low = 100e-6,
	.high = 1},
    {.id = "bleed.resistor",
	.title = "Bleed resistor",
	.part = "Capacitors",
	.kind = LW_VALUE_QUANTITY,
	.unit = "ohm",
	.low = 1,
	.high = 1e6},
};
static const struct lw_pack values_pack = {
    .name = "values", .values = values, .value_count = COUNT(values)};

static struct scratch scratch;

static void
setup(void)
{
	scratch_make(&scratch);
	scratch_open(&scratch);
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, &sample_cart, 100, NULL), LW_OK);
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, &values_pack, 100, NULL), LW_OK);
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

/* --- the keys ----------------------------------------------------------- */

START_TEST(every_key_has_its_words)
{
	const struct lw_value *keys;
	size_t count, i, k;

	keys = lw_rig_built_in(&count);
	ck_assert_uint_ge(count, 10);
	ck_assert_str_eq(keys[0].id, "motor");
	for (i = 0; i < count; i++) {
		const struct lw_value *key = &keys[i];

		ck_assert_ptr_eq(lw_rig_built_in_value(key->id), key);
		ck_assert_uint_gt(strlen(key->title), 3);
		ck_assert_uint_gt(strlen(key->part), 3);
		ck_assert_uint_gt(strlen(key->help), 20);
		ck_assert_uint_gt(strlen(key->where), 20);
		/* Sentences of a page: they end. */
		ck_assert_int_eq(key->help[strlen(key->help) - 1], '.');
		ck_assert_int_eq(key->where[strlen(key->where) - 1], '.');
		if (key->kind == LW_VALUE_CHOICE) {
			for (k = 0; key->choices[k] != NULL; k++)
				ck_assert_ptr_nonnull(key->choice_titles[k]);
			ck_assert_uint_ge(k, 2);
			ck_assert_ptr_null(key->choice_titles[k]);
		}
		if (key->kind == LW_VALUE_QUANTITY) {
			ck_assert_ptr_nonnull(key->unit);
			ck_assert(key->low < key->high);
		}
	}
	ck_assert_ptr_null(lw_rig_built_in_value("device.drive"));
	ck_assert_ptr_null(lw_rig_built_in_value(""));
	ck_assert_ptr_null(lw_rig_built_in_value("Motor"));
}
END_TEST

/* --- facts -------------------------------------------------------------- */

START_TEST(values_as_they_are_shown)
{
	static const struct {
		const char *key, *given, *shown;
	} cases[] = {
	    {"motor", "series", "series"},
	    {"motor", " Separately-Excited ", "separately-excited"},
	    {"motor", "permanent-magnet", "permanent-magnet"},
	    {"motor", "brushless", "brushless"},
	    {"reference", "floating", "floating"},
	    {"reference", "FRAME", "frame"},
	    {"charger", "on-board", "on-board"},
	    {"charger", "none", "none"},
	    {"pack.kind", "LFP", "lfp"},
	    {"strings", "several", "several"},
	    {"contactor", "Yes", "yes"},
	    {"precharge", "no", "no"},
	    {"dcdc", "yes", "yes"},
	    {"auxiliary", "no", "no"},
	    {"pack.full", "58.8", "58.8 V"},
	    {"pack.full", "58,8 V", "58.8 V"},
	    {"pack.full", "58800 mV", "58800 mV"},
	    {"pack.full", "20", "20 V"},
	    {"pack.full", "150 V", "150 V"},
	    {"bus.capacitor", "2200uF", "2200 uF"},
	    {"bus.capacitor",
		"2200 \xC2\xB5"
		"F",
		"2200 uF"},
	    {"bus.capacitor", "0.0022", "0.0022 F"},
	    {"bus.capacitor", "4.7 mF", "4.7 mF"},
	    {"bus.capacitor", "10 mF 20%",
		"10 mF \xC2\xB1"
		"20 %"},
	    {"bus.capacitor", "0.5 F", "0.5 F"},
	    {"bleed.resistor", "4k7", "4.7 kohm"},
	    {"bleed.resistor", "10 kohm", "10 kohm"},
	    {"bleed.resistor", "1 Mohm", "1 Mohm"},
	    {"tools", "multimeter", "multimeter"},
	    {"tools", " multimeter ,torch,, Multimeter\r\nclamp meter\n",
		"multimeter, torch, clamp meter"},
	    {"tools", "None", "none"},
	};
	size_t i;

	for (i = 0; i < COUNT(cases); i++) {
		ck_assert_msg(set(cases[i].key, cases[i].given) == LW_OK,
		    "%s=%s: %s", cases[i].key, cases[i].given,
		    scratch.err.text);
		ck_assert_str_eq(fact(cases[i].key), cases[i].shown);
	}
}
END_TEST

START_TEST(values_that_are_refused)
{
	static const struct {
		const char *key, *given, *says;
	} cases[] = {
	    {"motor", "diesel",
		"motor cannot be \"diesel\"; it is series, "
		"separately-excited, permanent-magnet or brushless, or "
		"unknown"},
	    {"motor", "series, brushless", "motor cannot be"},
	    {"contactor", "maybe", "contactor cannot be \"maybe\"; it is yes"},
	    {"contactor", "yes\nno", "control character"},
	    {"contactor", "\xC3", "UTF-8"},
	    {"pack.full", "19.9 V",
		"for pack.full, 19.9 V is not from 20 V to 150 V"},
	    {"pack.full", "151", "151 V is not from"},
	    {"pack.full", "-58.8", "-58.8 V is not from"},
	    {"pack.full", "full", "for pack.full, "},
	    {"pack.full", "58.8 A", "for pack.full, "},
	    {"pack.full", "OL", "for pack.full, "},
	    {"pack.full", "3,200", "for pack.full, \"3,200\" could mean"},
	    {"bus.capacitor", "2200", "2200 F is not from 100 uF to 1 F"},
	    {"bus.capacitor", "0.1 uF", "to 1 F"},
	    {"bleed.resistor", "0.5", "from 1 ohm to 1 Mohm"},
	    {"bleed.resistor", "OL", "for bleed.resistor, "},
	    {"tools", "none, torch", "leave \"none\" out"},
	    {"tools", "torch\x01", "control character"},
	    {"moter", "series",
		"rigs have no \"moter\"; the nearest is "
		"\"motor\""},
	    {"wheels", "4", "they have title, motor, reference"},
	    {"", "4", "rigs have no \"\""},
	    {"device.", "zeta-drive", "does not name a device"},
	    {"device.My Drive", "zeta-drive", "\"device.My Drive\""},
	    {"device.drive", "zeta-driv", "nearest is \"zeta-drive\""},
	    {"title", "two\nlines", "the title"},
	};
	char long_value[1200];
	size_t i;

	for (i = 0; i < COUNT(cases); i++) {
		enum lw_status status = set(cases[i].key, cases[i].given);

		ck_assert_msg(status == LW_BAD_INPUT || status == LW_NOT_FOUND,
		    "%s=%s", cases[i].key, cases[i].given);
		says(cases[i].says);
		ck_assert_ptr_null(strchr(scratch.err.text, '\n'));
	}
	ck_assert_int_eq(set("device.drive", "none-such"), LW_NOT_FOUND);
	/* Whatever is shown back is cut, and in whole characters. */
	memset(long_value, 'x', sizeof long_value - 1);
	long_value[sizeof long_value - 1] = '\0';
	ck_assert_int_eq(set("tools", long_value), LW_BAD_INPUT);
	long_value[900] = '\0';
	ck_assert_int_eq(set("tools", long_value), LW_BAD_INPUT);
	ck_assert_int_eq(set("motor", long_value), LW_BAD_INPUT);
	ck_assert_uint_lt(strlen(scratch.err.text), 300);
	ck_assert_int_eq(set(long_value, "x"), LW_BAD_INPUT);
	ck_assert_uint_lt(strlen(scratch.err.text), 400);
	ck_assert_int_eq(set("motor", "s\x1B[31m\xE2\x82\xAC"), LW_BAD_INPUT);
	ck_assert_ptr_null(strchr(scratch.err.text, '\x1B'));
	/* None of it was kept. */
	ck_assert_uint_eq(get("cart48")->fact_count, 0);
	ck_assert_uint_eq(get("cart48")->device_count, 0);
	ck_assert_int_eq(
	    lw_rig_set(scratch.book, "crat48",
		&(struct lw_rig_pair){"motor", "series"}, 1, 20, &scratch.err),
	    LW_NOT_FOUND);
	says("nearest is \"cart48\"");
}
END_TEST

START_TEST(facts_in_the_order_of_asking)
{
	const struct lw_rig_pair pairs[] = {{"tools", "torch"},
	    {"pack.full", "58.8"}, {"motor", "series"}, {"motor", "brushless"},
	    {"title", "Cart"}, {"device.drive", "zeta-drive"},
	    {"device.charger", "alpha-charger"}};
	const struct lw_rig *rig;

	ck_assert_int_eq(lw_rig_set(scratch.book, "cart48", pairs, COUNT(pairs),
			     20, &scratch.err),
	    LW_OK);
	rig = get("cart48");
	ck_assert_str_eq(rig->title, "Cart");
	ck_assert_uint_eq(rig->fact_count, 3);
	ck_assert_str_eq(rig->facts[0].key, "motor");
	ck_assert_str_eq(rig->facts[0].value, "brushless");
	ck_assert_int_eq(rig->facts[0].set_s, 20);
	ck_assert_str_eq(rig->facts[1].key, "tools");
	ck_assert_str_eq(rig->facts[2].key, "pack.full");
	ck_assert_uint_eq(rig->device_count, 2);
	ck_assert_str_eq(rig->devices[0].name, "charger");
	ck_assert_str_eq(rig->devices[0].device, "alpha-charger");
	ck_assert_str_eq(rig->devices[0].title, "Alpha charger");
	ck_assert_str_eq(lw_rig_fact(rig, "device.drive"), "zeta-drive");
	ck_assert_ptr_null(lw_rig_fact(rig, "device.other"));
	ck_assert_ptr_null(lw_rig_fact(rig, "reference"));
	ck_assert_ptr_null(lw_rig_fact(NULL, "motor"));
	/* A device that leaves the book is still the rig's. */
	lw_book_remove_pack(scratch.book, "cart", NULL);
	rig = get("cart48");
	ck_assert_str_eq(rig->devices[0].title, "alpha-charger");
}
END_TEST

START_TEST(facts_are_set_all_or_none)
{
	const struct lw_rig_pair pairs[] = {{"motor", "series"},
	    {"title", "Other"}, {"device.drive", "zeta-drive"},
	    {"pack.full", "500"}};

	ck_assert_int_eq(lw_rig_set(scratch.book, "cart48", pairs, 4, 20, NULL),
	    LW_BAD_INPUT);
	ck_assert_ptr_null(fact("motor"));
	ck_assert_str_eq(get("cart48")->title, "Market garden cart");
	ck_assert_uint_eq(get("cart48")->device_count, 0);
	ck_assert_int_eq(
	    lw_rig_set(scratch.book, "cart48", pairs, 3, 20, NULL), LW_OK);
	ck_assert_str_eq(fact("motor"), "series");
	ck_assert_int_eq(
	    lw_rig_set(scratch.book, "cart48", NULL, 0, 20, NULL), LW_OK);
}
END_TEST

START_TEST(facts_are_taken_back)
{
	static const char *const back[] = {"", "unknown", " Unknown ", NULL};
	static const char *const keys[] = {
	    "motor", "pack.full", "tools", "device.drive"};
	static const char *const given[] = {
	    "series", "58.8", "torch", "zeta-drive"};
	size_t i, k;

	for (i = 0; i < COUNT(back); i++)
		for (k = 0; k < COUNT(keys); k++) {
			ck_assert_int_eq(set(keys[k], given[k]), LW_OK);
			ck_assert_ptr_nonnull(fact(keys[k]));
			ck_assert_int_eq(set(keys[k], back[i]), LW_OK);
			ck_assert_ptr_null(fact(keys[k]));
		}
	ck_assert_int_eq(set("title", ""), LW_OK);
	ck_assert_str_eq(get("cart48")->title, "cart48");
	ck_assert_int_eq(set("tools", "torch"), LW_OK);
	ck_assert_int_eq(set("tools", " , ,"), LW_OK);
	ck_assert(!get("cart48")->known_tools);
}
END_TEST

START_TEST(tools_at_hand)
{
	const struct lw_rig *rig;
	char many[400] = "", one[16];
	int i;

	set("tools", "multimeter, insulated gloves");
	rig = get("cart48");
	ck_assert(rig->known_tools);
	ck_assert_uint_eq(rig->tool_count, 2);
	ck_assert_str_eq(rig->tools[0], "multimeter");
	ck_assert_str_eq(rig->tools[1], "insulated gloves");
	set("tools", "none");
	rig = get("cart48");
	ck_assert(rig->known_tools);
	ck_assert_uint_eq(rig->tool_count, 0);
	for (i = 0; i < 51; i++) {
		snprintf(one, sizeof one, "t%d,", i);
		strcat(many, one);
	}
	ck_assert_int_eq(set("tools", many), LW_BAD_INPUT);
	says("50 at most");
	*strrchr(many, 't') = '\0';
	ck_assert_int_eq(set("tools", many), LW_OK);
	ck_assert_uint_eq(get("cart48")->tool_count, 50);
}
END_TEST

START_TEST(so_many_devices)
{
	char key[32];
	int i;

	for (i = 0; i < 32; i++) {
		snprintf(key, sizeof key, "device.d%d", i);
		ck_assert_int_eq(set(key, "zeta-drive"), LW_OK);
	}
	ck_assert_int_eq(set("device.more", "zeta-drive"), LW_TOO_BIG);
	ck_assert_int_eq(set("device.d3", "alpha-charger"), LW_OK);
	ck_assert_uint_eq(get("cart48")->device_count, 32);
}
END_TEST

START_TEST(quantities)
{
	const struct lw_rig *rig;
	double value = 7;

	set("pack.full", "58.8");
	set("bus.capacitor", "2200 uF");
	set("bleed.resistor", "47k");
	rig = get("cart48");
	ck_assert(lw_rig_quantity(rig, "pack.full", &value));
	ck_assert(value == 58.8);
	ck_assert(lw_rig_quantity(rig, "bus.capacitor", &value));
	ck_assert(value == 0.0022);
	ck_assert(lw_rig_quantity(rig, "bleed.resistor", &value));
	ck_assert(value == 47000);
	value = 7;
	ck_assert(!lw_rig_quantity(rig, "motor", &value));
	ck_assert(!lw_rig_quantity(rig, "none-such", &value));
	ck_assert(!lw_rig_quantity(NULL, "pack.full", &value));
	/* What the library cannot have written is not known. */
	sqlite3_exec(scratch.book->db,
	    "UPDATE rig_facts SET value = '5 V' WHERE key = 'pack.full';"
	    "UPDATE rig_facts SET value = 'much' WHERE key = 'bus.capacitor'",
	    NULL, NULL, NULL);
	rig = get("cart48");
	ck_assert(!lw_rig_quantity(rig, "pack.full", &value));
	ck_assert(!lw_rig_quantity(rig, "bus.capacitor", &value));
	ck_assert(value == 7);
}
END_TEST

/* --- rules -------------------------------------------------------------- */

/* Up to three rules. */
static bool
holds(const struct lw_rig *rig, const char *a, const char *b, const char *c)
{
	const char *const rules[] = {a, b, c};
	struct lw_text texts[3];
	struct lw_texts only = {texts, 0};
	size_t i;

	memset(texts, 0, sizeof texts);
	for (i = 0; i < 3 && rules[i] != NULL; i++)
		texts[only.count++].text = rules[i];
	return lw_rig_holds(rig, &only);
}

START_TEST(rules_by_rig)
{
	const struct lw_rig *rig;

	set("motor", "series");
	set("reference", "floating");
	set("contactor", "no");
	set("tools", "Torch");
	set("device.drive", "zeta-drive");
	rig = get("cart48");
	ck_assert(holds(rig, NULL, NULL, NULL));
	ck_assert(holds(rig, "motor=series", NULL, NULL));
	ck_assert(!holds(rig, "motor=brushless", NULL, NULL));
	/* Of one key, one is enough, in any order. */
	ck_assert(holds(rig, "motor=brushless", "motor=series", NULL));
	ck_assert(holds(rig, "motor=series", "motor=brushless", NULL));
	ck_assert(
	    !holds(rig, "motor=brushless", "motor=permanent-magnet", NULL));
	/* Of several keys, all. */
	ck_assert(holds(rig, "motor=series", "contactor=no", NULL));
	ck_assert(!holds(rig, "motor=series", "contactor=yes", NULL));
	ck_assert(!holds(rig, "contactor=yes", "motor=series", NULL));
	ck_assert(
	    holds(rig, "motor=brushless", "contactor=no", "motor=series"));
	ck_assert(
	    !holds(rig, "motor=brushless", "contactor=no", "motor=none-such"));
	/* What is not known holds: unknown is the dangerous value. */
	ck_assert(holds(rig, "strings=several", NULL, NULL));
	ck_assert(holds(rig, "strings=several", "motor=series", NULL));
	ck_assert(!holds(rig, "strings=several", "motor=brushless", NULL));
	ck_assert(holds(NULL, "motor=series", "reference=frame", NULL));
	ck_assert(holds(NULL, NULL, NULL, NULL));
	ck_assert(!holds(rig, "reference=frame", NULL, NULL));
	/* A key that is the beginning of another is another key. */
	ck_assert(!holds(rig, "motor=brushless", "motors=series", NULL));
	ck_assert(holds(rig, "tools=torch", NULL, NULL));
	ck_assert(!holds(rig, "tools=tor", NULL, NULL));
	ck_assert(!holds(rig, "tools=torches", NULL, NULL));
	ck_assert(holds(rig, "device.drive=zeta-drive", NULL, NULL));
	ck_assert(!holds(rig, "device.drive=alpha-charger", NULL, NULL));
	/* What is no rule tells no rigs apart. */
	ck_assert(holds(rig, "motor", NULL, NULL));
	ck_assert(holds(rig, "", NULL, NULL));
	/* Once more of those that a pack has: unknown counts as series. */
	set("motor", "unknown");
	rig = get("cart48");
	ck_assert(holds(rig, "motor=series", "motor=separately-excited", NULL));
}
END_TEST

Suite *
suite_rig_facts(void)
{
	Suite *suite = suite_create("rig_facts");
	TCase *tests = tcase_create("facts");

	tcase_add_checked_fixture(tests, setup, teardown);
	tcase_set_timeout(tests, 60);
	tcase_add_test(tests, every_key_has_its_words);
	tcase_add_test(tests, values_as_they_are_shown);
	tcase_add_test(tests, values_that_are_refused);
	tcase_add_test(tests, facts_in_the_order_of_asking);
	tcase_add_test(tests, facts_are_set_all_or_none);
	tcase_add_test(tests, facts_are_taken_back);
	tcase_add_test(tests, tools_at_hand);
	tcase_add_test(tests, so_many_devices);
	tcase_add_test(tests, quantities);
	tcase_add_test(tests, rules_by_rig);
	suite_add_tcase(suite, tests);
	return suite;
}
