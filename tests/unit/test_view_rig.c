/* view: rigs, their points, ledger and records; and what a check of the
 * catalogue says about rigs. Over the invented field cart of view.yaml. */
#include "unit/book.h"
#include "unit/doc.h"
#include "unit/suites.h"

#include "view/list.h"

#include <lampwright.h>

#define NOW 1700000000 /* 2023-11-14 22:13:20 UTC */
#define DAY (24 * 3600)
#define FACT_KEYS                                                              \
	"key title part help where source value known is_choice is_quantity "  \
	"is_list is_accuracy unit ask range low high tolerance usual choices " \
	"is_worked is_usual not_known usual_tolerance comes_to from shown "    \
	"conflict is_left"

static struct scratch scratch;
static struct lw_book *book; /* of the scratch */
static struct lw_err err;

#define GOES(call) ck_assert_msg((call) == LW_OK, "%s", err.text)

static void
setup(void)
{
	doc_setup(&scratch, "unit/view.yaml", NOW);
	book = scratch.book;
	GOES(lw_rig_new(book, "cart48", "Field cart", NOW, &err));
}

static void
teardown(void)
{
	lw_doc_free(doc);
	scratch_remove(&scratch);
}

static void
set(const char *key, const char *value)
{
	struct lw_rig_pair pair = {key, value};

	GOES(lw_rig_set(book, "cart48", &pair, 1, NOW, &err));
}

static void
show(void)
{
	lw_doc_free(doc);
	doc = NULL;
	GOES(lw_view_rig(&doc, book, "cart48", NOW + DAY, &err));
}

/* The object of a list with a text under a key. */
static json_t *
one_of(const char *where, const char *key, const char *wanted)
{
	json_t *list = at(where), *object, *value;
	size_t i;

	for (i = 0; i < json_array_size(list); i++) {
		object = json_array_get(list, i);
		value = json_object_get(object, key);
		if (json_is_string(value) &&
		    strcmp(json_string_value(value), wanted) == 0)
			return object;
	}
	return NULL;
}

/* How many values there are, those of packs included. */
static size_t
value_count(void)
{
	const struct lw_value *const *values;
	size_t count;

	GOES(lw_rig_values(book, scratch.arena, &values, &count, &err));
	return count;
}

/* A text of a fact; "(none)" where it is null. */
static const char *
of(const char *key, const char *what)
{
	json_t *value = json_object_get(one_of("facts", "key", key), what);

	ck_assert_msg(value != NULL, "%s has no %s", key, what);
	return json_is_null(value) ? "(none)" : json_string_value(value);
}

static bool
is_so(const char *key, const char *what)
{
	json_t *value = json_object_get(one_of("facts", "key", key), what);

	ck_assert_msg(json_is_boolean(value), "%s has no %s", key, what);
	return json_is_true(value);
}

/* Whether a sentence of a list speaks of something. */
static bool
speaks_of(const char *where, const char *words)
{
	json_t *list = at(where);
	size_t i;

	for (i = 0; i < json_array_size(list); i++) {
		if (strstr(json_string_value(json_array_get(list, i)), words) !=
		    NULL)
			return true;
	}
	return false;
}

START_TEST(rig)
{
	json_t *motor, *full;
	size_t keys, i;
	int64_t note, job;

	ck_assert_int_eq(
	    lw_view_rig(&doc, book, "nobody", NOW, &err), LW_NOT_FOUND);
	ck_assert_ptr_null(doc);
	keys = value_count();
	show();
	has_keys("",
	    "shape rig title removed in_hand facts parts known_facts unknown "
	    "conflicts devices choices tools known_tools points jobs notes "
	    "settings records cautions");
	ck_assert_uint_eq(count("facts"), keys);
	has_keys("facts.0", FACT_KEYS);
	ck_assert_uint_eq(count("known_facts"), 0);
	/* Two of them are usual. */
	ck_assert_uint_eq(count("unknown"), keys - 2);
	for (i = 0; i < keys; i++) {
		char where[40];

		snprintf(where, sizeof where, "facts.%zu.known", i);
		ck_assert(!is_true(where));
	}
	/* Unknown is the dangerous value (DESIGN, safety). */
	ck_assert(speaks_of("cautions", "series-wound"));
	ck_assert(speaks_of("cautions", "tied to the frame"));
	ck_assert(!is_true("known_tools"));
	ck_assert_str_eq(text("choices.0.device"), "field-drive");
	has_keys("choices.0", "device title");

	set("motor", "permanent-magnet");
	set("reference", "floating");
	set("pack.full", "58.8 V");
	set("tools", "multimeter, stands");
	set("device.drive", "field-drive");
	GOES(lw_rig_set_point(
	    book, "cart48", "field-plus", "grey plug, pin 3", NOW, &err));
	GOES(lw_book_add_note(
	    book, "rig", "cart48", "new tyres", NOW, &note, &err));
	GOES(lw_job_new(book,
	    &(struct lw_job_start){.rig = "cart48", .symptom = "field-still"},
	    NOW, &job, &err));
	GOES(lw_job_new(book,
	    &(struct lw_job_start){
		.device = "field-drive", .symptom = "field-still"},
	    NOW, &job, &err));
	show();
	ck_assert_str_eq(text("rig"), "cart48");
	ck_assert_str_eq(text("title"), "Field cart");
	ck_assert(!is_true("removed"));
	ck_assert(!is_true("in_hand"));
	ck_assert_uint_eq(count("known_facts"), 4);
	has_keys("known_facts.0", "key title value value_title");
	ck_assert_uint_eq(count("unknown"), keys - 6);
	ck_assert(!speaks_of("cautions", "series-wound"));
	ck_assert(!speaks_of("cautions", "tied to the frame"));
	ck_assert(speaks_of("cautions", "parallel"));
	motor = one_of("facts", "key", "motor");
	ck_assert(json_is_true(json_object_get(motor, "is_choice")));
	ck_assert_uint_eq(
	    json_array_size(json_object_get(motor, "choices")), 4);
	for (i = 0; i < 4; i++) {
		json_t *choice =
		    json_array_get(json_object_get(motor, "choices"), i);
		bool it =
		    strcmp(json_string_value(json_object_get(choice, "choice")),
			"permanent-magnet") == 0;

		ck_assert(
		    json_is_true(json_object_get(choice, "chosen")) == it);
	}
	full = one_of("facts", "key", "pack.full");
	ck_assert(json_is_true(json_object_get(full, "is_quantity")));
	ck_assert_str_eq(
	    json_string_value(json_object_get(full, "value")), "58.8 V");
	ck_assert_str_eq(json_string_value(json_object_get(full, "unit")), "V");
	ck_assert_double_eq_tol(
	    json_real_value(json_object_get(full, "high")), 150, 1e-9);
	ck_assert(is_true("known_tools"));
	ck_assert_uint_eq(count("tools"), 2);
	ck_assert_str_eq(text("tools.1"), "stands");
	has_keys("devices.0", "name device title");
	ck_assert_str_eq(text("devices.0.name"), "drive");
	ck_assert_str_eq(text("devices.0.title"), "Field drive");
	ck_assert_uint_eq(count("points"), 1);
	has_keys("points.0", "point title where own has_own");
	ck_assert_str_eq(text("points.0.own"), "grey plug, pin 3");
	ck_assert_uint_eq(count("jobs"), 1);
	has_keys("jobs.0", "job title state state_title rig when time over");
	ck_assert_str_eq(text("notes.0.words"), "new tyres");

	/* Its device and points leave the book; the rig still knows them. */
	GOES(lw_book_remove_pack(book, "field", &err));
	show();
	ck_assert_str_eq(text("devices.0.title"), "field-drive");
	ck_assert_str_eq(text("points.0.title"), "field-plus");
	ck_assert_str_eq(text("points.0.own"), "grey plug, pin 3");
	ck_assert_uint_eq(count("choices"), 0);
	GOES(lw_rig_remove(book, "cart48", &err));
	show();
	ck_assert(is_true("removed"));
}
END_TEST

/* What was said, worked out, usual, and what contradicts. */
START_TEST(values)
{
	json_t *part;

	show();
	ck_assert_str_eq(of("pack.full", "range"), "20 V to 150 V");
	ck_assert_str_eq(of("pack.full", "ask"), "in V");
	ck_assert_str_eq(of("pack.cells", "ask"), "a number");
	ck_assert_str_eq(of("pack.cells", "range"), "6 to 60");
	ck_assert_str_eq(of("bus.capacitor", "range"), "100 uF to 1 F");
	ck_assert_str_eq(of("motor", "range"), "(none)");
	ck_assert(is_so("pack.full", "not_known"));
	ck_assert_str_eq(of("pack.full", "shown"), "(none)");
	ck_assert(speaks_of("cautions", "highest voltage of the pack is not"));
	ck_assert(is_so("throttle.supply", "is_usual"));
	ck_assert_str_eq(of("throttle.supply", "shown"),
	    "5 V, the usual one, since nobody said");
	ck_assert_str_eq(of("throttle.supply", "value"), "(none)");
	ck_assert(is_so("meter.volts", "is_accuracy"));
	ck_assert_uint_eq(count("conflicts"), 0);

	/* 24 times 2.45 V. */
	set("pack.cells", "24");
	show();
	ck_assert(is_so("pack.full", "is_worked"));
	ck_assert(!is_so("pack.full", "known"));
	ck_assert_str_eq(of("pack.full", "value"), "(none)");
	ck_assert_str_eq(of("pack.full", "comes_to"), "58.8 V");
	ck_assert_str_eq(of("pack.full", "from"), "24 * 2.45 V");
	ck_assert_str_eq(
	    of("pack.full", "shown"), "58.8 V, worked out: 24 * 2.45 V");
	ck_assert(!speaks_of("cautions", "highest voltage of the pack"));
	ck_assert_uint_eq(count("known_facts"), 1);

	/* With a tolerance it is a range: 25 less and more a tenth. */
	set("pack.cells", "25 10 %");
	show();
	ck_assert_str_eq(of("pack.full", "shown"),
	    "61.25 V (55.1 V to 67.4 V), worked out: (25 \xC2\xB1"
	    "10 %) * 2.45 V");
	set("bus.capacitor", "10 mF");
	set("bleed.resistor", "10 kohm 5%");
	show();
	ck_assert(is_so("bus.capacitor", "usual_tolerance"));
	ck_assert_str_eq(of("bus.capacitor", "shown"),
	    "10 mF (tolerance not said, taken as 20 %)");
	ck_assert_str_eq(of("bus.capacitor", "value"), "10 mF");
	ck_assert(!is_so("bleed.resistor", "usual_tolerance"));

	set("pack.cells", "16");
	set("pack.full", "58.8 V");
	show();
	ck_assert_uint_eq(count("conflicts"), 1);
	ck_assert(speaks_of("conflicts", "Cells in series (16) gives 39.2 V"));
	ck_assert(strstr(of("pack.full", "conflict"), "one of them is wrong"));

	/* By parts; the same facts. */
	has_keys("parts.0",
	    "part id facts unknown count known_count has_known all_known "
	    "has_conflict");
	part = one_of("parts", "part", "Capacitors");
	ck_assert_str_eq(
	    json_string_value(json_object_get(part, "id")), "capacitors");
	ck_assert_int_eq(json_integer_value(json_object_get(part, "count")), 2);
	ck_assert_int_eq(
	    json_integer_value(json_object_get(part, "known_count")), 2);
	ck_assert(json_is_true(json_object_get(part, "all_known")));
	ck_assert_ptr_eq(json_array_get(json_object_get(part, "facts"), 0),
	    one_of("facts", "key", "bus.capacitor"));
	part = one_of("parts", "part", "Motor");
	ck_assert(json_is_false(json_object_get(part, "has_known")));
}
END_TEST

/* What was said stays when its pack goes, as it is. */
START_TEST(values_of_packs_that_are_gone)
{
	set("pack.full", "58.8 V");
	set("meter.volts", "1 % + 3");
	GOES(lw_book_remove_pack(book, "field", &err));
	show();
	ck_assert(is_so("pack.full", "is_left"));
	ck_assert(!is_so("motor", "is_left"));
	ck_assert_str_eq(of("pack.full", "title"), "pack.full");
	ck_assert_str_eq(of("pack.full", "value"), "58.8 V");
	ck_assert_str_eq(of("meter.volts", "shown"), "1 % + 3 counts");
	ck_assert_uint_eq(count("known_facts"), 2);
	ck_assert_ptr_nonnull(
	    one_of("parts", "part", "Of packs that are gone"));
	set("pack.full", "unknown");
	show();
	ck_assert_ptr_null(one_of("facts", "key", "pack.full"));
}
END_TEST

START_TEST(points)
{
	ck_assert_int_eq(
	    lw_view_rig_points(&doc, book, "nobody", &err), LW_NOT_FOUND);
	ck_assert_ptr_null(doc);
	GOES(lw_rig_set_point(
	    book, "cart48", "field-socket", "under the flap", NOW, &err));
	GOES(lw_view_rig_points(&doc, book, "cart48", &err));
	has_keys("", "shape rig title points");
	ck_assert_uint_eq(count("points"), 3);
	has_keys("points.0", "point title where own has_own");
	ck_assert_str_eq(text("points.0.point"), "field-socket");
	ck_assert_str_eq(text("points.0.own"), "under the flap");
	ck_assert(is_true("points.0.has_own"));
	is_null("points.1.own");
	ck_assert(!is_true("points.1.has_own"));
}
END_TEST

/* Two settings over three days, 14 to 16 November 2023. */
static void
fill_ledger(void)
{
	static const struct {
		int day;
		const char *setting, *was, *became, *why;
	} rows[] = {
	    {0, "pull-away time", "0.9 s", "1.6 s", "it snatched"},
	    {0, "top speed", NULL, "12 km/h", NULL},
	    {1, "pull-away time", "1.6 s", "1.2 s", NULL},
	    {2, "top speed", "11 km/h", "8 km/h", "hill"},
	};
	struct lw_setting setting;
	int64_t entry;
	size_t i;

	set("device.drive", "field-drive");
	for (i = 0; i < sizeof rows / sizeof rows[0]; i++) {
		memset(&setting, 0, sizeof setting);
		setting.device = "drive";
		setting.setting = rows[i].setting;
		setting.was = rows[i].was;
		setting.became = rows[i].became;
		setting.why = rows[i].why;
		GOES(lw_setting_add(book, "cart48", &setting,
		    NOW + rows[i].day * DAY, &entry, &err));
	}
}

static enum lw_status
ledger(const char *on, const char *from, const char *to, const char *back)
{
	struct lw_ledger_days days = {
	    .on = on, .from = from, .to = to, .back = back};

	lw_doc_free(doc);
	doc = NULL;
	return lw_view_settings(
	    &doc, book, "cart48", &days, NOW + 3 * DAY, &err);
}

static const char *
under(json_t *object, const char *key)
{
	const char *value = json_string_value(json_object_get(object, key));

	return value != NULL ? value : "(no text)";
}

START_TEST(settings)
{
	json_t *change;

	ck_assert_int_eq(
	    lw_view_settings(&doc, book, "nobody", NULL, NOW, &err),
	    LW_NOT_FOUND);
	ck_assert_ptr_null(doc);
	ck_assert_int_eq(ledger(NULL, NULL, NULL, NULL), LW_NOT_FOUND);
	ck_assert(is_true("empty"));
	ck_assert_uint_eq(count("entries"), 0);
	fill_ledger();

	GOES(ledger(NULL, NULL, NULL, NULL));
	has_keys("", "shape rig title on from to back today is_history is_on "
		     "is_difference is_back devices entries now changes wishes "
		     "has_wishes empty");
	has_keys("entries.0",
	    "entry when time day device setting was became why job only_read "
	    "unexplained");
	has_keys("devices.0", "name");
	ck_assert(is_true("is_history"));
	ck_assert(!is_true("empty"));
	ck_assert_str_eq(text("today"), "2023-11-17");
	ck_assert_uint_eq(count("entries"), 4);
	ck_assert_str_eq(text("entries.0.day"), "2023-11-14");
	ck_assert_str_eq(text("entries.0.was"), "0.9 s");
	ck_assert_str_eq(text("entries.0.why"), "it snatched");
	ck_assert(!is_true("entries.0.only_read"));
	is_null("entries.0.job");
	ck_assert(is_true("entries.1.only_read"));
	is_null("entries.1.was");
	ck_assert(!is_true("entries.2.unexplained"));
	/* Somebody changed 12 to 11 without a word. */
	ck_assert(is_true("entries.3.unexplained"));
	ck_assert_uint_eq(count("now"), 2);
	ck_assert_str_eq(
	    under(one_of("now", "setting", "top speed"), "became"), "8 km/h");

	GOES(ledger("2023-11-14", NULL, NULL, NULL));
	ck_assert(is_true("is_on"));
	ck_assert(!is_true("is_history"));
	ck_assert_str_eq(text("on"), "2023-11-14");
	ck_assert_uint_eq(count("entries"), 2);
	ck_assert_uint_eq(count("now"), 0);
	ck_assert_str_eq(
	    under(one_of("entries", "setting", "pull-away time"), "became"),
	    "1.6 s");
	ck_assert_int_eq(ledger("2023-11-13", NULL, NULL, NULL), LW_NOT_FOUND);
	ck_assert(is_true("empty"));

	GOES(ledger(NULL, "2023-11-14", "2023-11-15", NULL));
	ck_assert(is_true("is_difference"));
	has_keys("changes.0", "device setting before after");
	ck_assert_uint_eq(count("changes"), 1);
	ck_assert_str_eq(text("changes.0.before"), "1.6 s");
	ck_assert_str_eq(text("changes.0.after"), "1.2 s");
	ck_assert_uint_eq(count("entries"), 0);
	/* To now, where no second day is named. */
	GOES(ledger(NULL, "2023-11-15", NULL, NULL));
	ck_assert_uint_eq(count("changes"), 1);
	ck_assert_str_eq(text("changes.0.setting"), "top speed");
	ck_assert_str_eq(text("changes.0.after"), "8 km/h");
	ck_assert_int_eq(ledger(NULL, "2023-11-16", NULL, NULL), LW_NOT_FOUND);

	/* Back to the day before the first entry: its own `was`. */
	GOES(ledger(NULL, NULL, NULL, "2023-11-13"));
	ck_assert(is_true("is_back"));
	change = one_of("changes", "setting", "pull-away time");
	ck_assert_str_eq(under(change, "before"), "1.2 s");
	ck_assert_str_eq(under(change, "after"), "0.9 s");
	GOES(ledger(NULL, NULL, NULL, "2023-11-15"));
	ck_assert_uint_eq(count("changes"), 1);
	ck_assert_str_eq(text("changes.0.before"), "8 km/h");
	ck_assert_str_eq(text("changes.0.after"), "12 km/h");
}
END_TEST

/* Of one device alone. */
START_TEST(settings_of_device)
{
	struct lw_setting setting = {.device = "charger",
	    .setting = "end voltage",
	    .was = "54 V",
	    .became = "58 V"};
	struct lw_ledger_days days = {.on = NULL};
	int64_t entry;

	fill_ledger();
	set("device.charger", "field-drive");
	GOES(lw_setting_add(book, "cart48", &setting, NOW + DAY, &entry, &err));
	GOES(view_settings_of(
	    &doc, book, "cart48", "charger", &days, NOW + 3 * DAY, &err));
	ck_assert_uint_eq(count("entries"), 1);
	ck_assert_str_eq(text("entries.0.became"), "58 V");
	ck_assert_uint_eq(count("now"), 1);
	lw_doc_free(doc);
	days.back = "2023-11-14";
	GOES(view_settings_of(
	    &doc, book, "cart48", "charger", &days, NOW + 3 * DAY, &err));
	ck_assert_uint_eq(count("changes"), 1);
	ck_assert_str_eq(text("changes.0.before"), "58 V");
	lw_doc_free(doc);
	GOES(view_settings_of(
	    &doc, book, "cart48", "drive", &days, NOW + 3 * DAY, &err));
	ck_assert_uint_eq(count("changes"), 2);
	ck_assert_ptr_null(one_of("changes", "device", "charger"));
}
END_TEST

/* What can be asked of any rig, and the jobs of one. */
START_TEST(keys_and_jobs)
{
	struct lw_job_start start = {
	    .device = "field-drive", .symptom = "field-still"};
	size_t keys;
	int64_t job;

	keys = value_count();
	GOES(view_rig_keys(&doc, book, &err));
	ck_assert_uint_eq(count("facts"), keys);
	has_keys("facts.0", FACT_KEYS);
	lw_doc_free(doc);
	doc = NULL;
	GOES(lw_job_new(book, &start, NOW, &job, &err));
	ck_assert_int_eq(
	    view_jobs_of(&doc, book, "nobody", NOW, &err), LW_NOT_FOUND);
	ck_assert_ptr_null(doc);
	ck_assert_int_eq(
	    view_jobs_of(&doc, book, "cart48", NOW, &err), LW_NOT_FOUND);
	ck_assert_uint_eq(count("jobs"), 0);
	lw_doc_free(doc);
	start.rig = "cart48";
	GOES(lw_job_new(book, &start, NOW, &job, &err));
	GOES(view_jobs_of(&doc, book, "cart48", NOW, &err));
	ck_assert_uint_eq(count("jobs"), 1);
	ck_assert_int_eq(number("jobs.0.job"), job);
}
END_TEST

START_TEST(days_refused)
{
	static const struct lw_ledger_days rows[] = {
	    {.on = "2023-02-30"},
	    {.on = "yesterday"},
	    {.from = "2023-11-14", .to = "14.11.2023"},
	    {.to = "2023-11-14"},
	    {.back = ""},
	    {.on = "2023-11-14", .back = "2023-11-14"},
	    {.on = "2023-11-14", .from = "2023-11-14"},
	};
	size_t i;

	fill_ledger();
	for (i = 0; i < sizeof rows / sizeof rows[0]; i++) {
		ck_assert_msg(ledger(rows[i].on, rows[i].from, rows[i].to,
				  rows[i].back) == LW_BAD_INPUT,
		    "row %zu", i);
		ck_assert_ptr_null(doc);
		ck_assert_uint_gt(strlen(err.text), 0);
	}
}
END_TEST

START_TEST(records)
{
	static const struct {
		struct lw_record record;
		const char *kind_title, *text;
	} rows[] = {
	    {{.kind = LW_RECORD_HOURS, .value = "214"}, "Running hours",
		"Running hours: 214"},
	    {{.kind = LW_RECORD_FIRMWARE, .value = "2.13"}, "Firmware",
		"Firmware: 2.13"},
	    {{.kind = LW_RECORD_FAULT,
		 .subject = "12",
		 .has_count = true,
		 .count = 3,
		 .words = "after rain"},
		"Logged fault", "Logged fault: 12, 3 times"},
	    {{.kind = LW_RECORD_FAULT,
		 .subject = "6",
		 .has_count = true,
		 .count = 1},
		"Logged fault", "Logged fault: 6, 1 time"},
	    {{.kind = LW_RECORD_LIVE, .subject = "throttle", .value = "0.9 V"},
		"Live value", "Live value: throttle, 0.9 V"},
	};
	const size_t all = sizeof rows / sizeof rows[0];
	int64_t number_of;
	char where[40];
	size_t i;

	ck_assert_int_eq(
	    lw_view_records(&doc, book, "nobody", &err), LW_NOT_FOUND);
	ck_assert_ptr_null(doc);
	set("device.drive", "field-drive");
	for (i = 0; i < all; i++) {
		struct lw_record record = rows[i].record;

		record.device = "drive";
		GOES(lw_record_add(book, "cart48", &record, NOW + (int64_t)i,
		    &number_of, &err));
	}
	GOES(lw_view_records(&doc, book, "cart48", &err));
	has_keys("", "shape rig title devices records");
	has_keys("records.0",
	    "record when time device kind kind_title subject value count words "
	    "job text");
	ck_assert_uint_eq(count("records"), all);
	for (i = 0; i < all; i++) {
		snprintf(where, sizeof where, "records.%zu.text", i);
		ck_assert_str_eq(text(where), rows[i].text);
		snprintf(where, sizeof where, "records.%zu.kind_title", i);
		ck_assert_str_eq(text(where), rows[i].kind_title);
	}
	ck_assert_int_eq(number("records.2.count"), 3);
	ck_assert_str_eq(text("records.2.words"), "after rain");
	is_null("records.0.subject");
	is_null("records.0.count");
	is_null("records.0.job");

	/* A rig shows the last ten. */
	for (i = 0; i < 8; i++) {
		struct lw_record record = {.device = "drive",
		    .kind = LW_RECORD_LIVE,
		    .subject = "throttle",
		    .value = i == 7 ? "last" : "1 V"};

		GOES(lw_record_add(book, "cart48", &record,
		    NOW + 100 + (int64_t)i, &number_of, &err));
	}
	show();
	ck_assert_uint_eq(count("records"), 10);
	ck_assert_str_eq(text("records.9.value"), "last");
}
END_TEST

START_TEST(list)
{
	GOES(lw_rig_new(book, "trike36", NULL, NOW, &err));
	GOES(lw_rig_use(book, "trike36", &err));
	GOES(lw_view_list(&doc, book, "rig", &err));
	ck_assert_str_eq(text("kind_title"), "Rigs");
	ck_assert_uint_eq(count("items"), 2);
	has_keys("items.0", "kind kind_title id title detail own in_hand");
	ck_assert(json_is_true(
	    json_object_get(one_of("items", "id", "trike36"), "in_hand")));
	ck_assert(json_is_false(
	    json_object_get(one_of("items", "id", "cart48"), "in_hand")));
	ck_assert(json_is_true(
	    json_object_get(one_of("items", "id", "cart48"), "own")));
}
END_TEST

/* A check of the catalogue is for every rig, and says what is for some. */
START_TEST(guide)
{
	GOES(lw_view_item(&doc, book, "check", "field-dead", &err));
	ck_assert_uint_eq(count("check.do"), 4);
	ck_assert_str_eq(text("check.do.0.text"), "Open the disconnect.");
	ck_assert_str_eq(text("check.do.1.text"),
	    "Open each string. (only with: battery strings: several in "
	    "parallel)");
	ck_assert_str_eq(text("check.do.2.text"),
	    "Listen for the contactor. (only with: kind of motor: "
	    "series-wound or separately excited; a main contactor: yes)");
	ck_assert_uint_eq(count("check.after"), 2);
	has_keys("check.after.0", "check title");
	ck_assert_str_eq(text("check.after.0.check"), "field-meter");
	ck_assert_str_eq(text("check.after.1.title"), "Each string open");
	ck_assert_uint_eq(count("check.rules"), 0);
	ck_assert(is_true("check.gate"));
	ck_assert_str_eq(text("check.into"), "isolated");
	/* All cautions, whatever the motor. */
	ck_assert_uint_eq(count("check.cautions"), 2);
	lw_doc_free(doc);
	GOES(lw_view_item(&doc, book, "check", "field-strings", &err));
	ck_assert_uint_eq(count("check.rules"), 1);
	ck_assert_str_eq(
	    text("check.rules.0"), "battery strings: several in parallel");
	lw_doc_free(doc);
	GOES(lw_view_item(&doc, book, "fault", "field-low", &err));
	ck_assert_str_eq(
	    text("fault.again_title"), lw_power_title(LW_POWER_CONTROL));
	lw_doc_free(doc);
	GOES(lw_view_item(&doc, book, "symptom", "field-still", &err));
	ck_assert_str_eq(
	    text("symptom.again_title"), lw_power_title(LW_POWER_LIVE_FREE));
	lw_doc_free(doc);
	GOES(lw_view_item(&doc, book, "cause", "field-flat", &err));
	ck_assert_str_eq(text("cause.tools"), "The charger.");
	ck_assert_str_eq(
	    text("cause.damages"), "A cell; measure each one at rest.");
}
END_TEST

Suite *
suite_view_rig(void)
{
	Suite *suite = suite_create("view_rig");
	TCase *tcase = tcase_create("view_rig");

	tcase_add_checked_fixture(tcase, setup, teardown);
	tcase_set_timeout(tcase, 60);
	tcase_add_test(tcase, rig);
	tcase_add_test(tcase, values);
	tcase_add_test(tcase, values_of_packs_that_are_gone);
	tcase_add_test(tcase, points);
	tcase_add_test(tcase, settings);
	tcase_add_test(tcase, settings_of_device);
	tcase_add_test(tcase, keys_and_jobs);
	tcase_add_test(tcase, days_refused);
	tcase_add_test(tcase, records);
	tcase_add_test(tcase, list);
	tcase_add_test(tcase, guide);
	suite_add_tcase(suite, tcase);
	return suite;
}
