/* What the suites of the book share. Everything in the packs is invented. */
#include "unit/book.h"

#include <check.h>
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

void
scratch_make(struct scratch *scratch)
{
	const char *base = getenv("TMPDIR");

	memset(scratch, 0, sizeof *scratch);
	snprintf(scratch->folder, sizeof scratch->folder, "%s/bookXXXXXX",
	    base == NULL ? P_tmpdir : base);
	ck_assert_ptr_nonnull(mkdtemp(scratch->folder));
	snprintf(scratch->path, sizeof scratch->path, "%s/book.db",
	    scratch->folder);
	scratch->arena = lw_arena_new();
	ck_assert_ptr_nonnull(scratch->arena);
}

void
scratch_open(struct scratch *scratch)
{
	enum lw_status status = lw_book_open(
	    &scratch->book, NULL, scratch->path, &scratch->err);

	ck_assert_msg(status == LW_OK, "%s", scratch->err.text);
}

void
scratch_reopen(struct scratch *scratch)
{
	lw_book_close(scratch->book);
	scratch_open(scratch);
}

void
scratch_remove(struct scratch *scratch)
{
	char path[600];
	struct dirent *entry;
	DIR *folder;

	lw_book_close(scratch->book);
	lw_arena_free(scratch->arena);
	folder = opendir(scratch->folder);
	ck_assert_ptr_nonnull(folder);
	while ((entry = readdir(folder)) != NULL) {
		if (entry->d_name[0] == '.')
			continue;
		snprintf(path, sizeof path, "%s/%s", scratch->folder,
		    entry->d_name);
		unlink(path);
	}
	closedir(folder);
	rmdir(scratch->folder);
}

unsigned char *
scratch_read(const char *path, size_t *size)
{
	FILE *file = fopen(path, "rb");
	unsigned char *data;

	ck_assert_ptr_nonnull(file);
	fseek(file, 0, SEEK_END);
	*size = (size_t)ftell(file);
	rewind(file);
	data = malloc(*size + 1);
	ck_assert_ptr_nonnull(data);
	ck_assert_uint_eq(fread(data, 1, *size, file), *size);
	fclose(file);
	return data;
}

void
scratch_write(const char *path, const void *data, size_t size)
{
	FILE *file = fopen(path, "wb");

	ck_assert_ptr_nonnull(file);
	ck_assert_uint_eq(fwrite(data, 1, size, file), size);
	fclose(file);
}

/* --- the packs -------------------------------------------------------- */

#define LIST(...)                                                             \
	{                                                                     \
		.items = __VA_ARGS__,                                         \
		.count = sizeof(__VA_ARGS__) / sizeof((__VA_ARGS__)[0])       \
	}
#define TEXTS(...) LIST((const struct lw_text[]){__VA_ARGS__})
#define DO(...) LIST((const struct lw_instruction[]){__VA_ARGS__})
#define REFS(...) LIST((const struct lw_ref[]){__VA_ARGS__})
#define ARRAY(name, type, ...)                                                \
	.name##s = (const struct type[]){__VA_ARGS__},                        \
	.name##_count = sizeof((const struct type[]){__VA_ARGS__}) /          \
	    sizeof(struct type)

#define BRANCHES(...)                                                         \
	.branches = (const struct lw_branch[]){__VA_ARGS__},                  \
	.branch_count = sizeof((const struct lw_branch[]){__VA_ARGS__}) /     \
	    sizeof(struct lw_branch)

/* clang-format off */
const struct lw_pack sample_cart = {
	.name = "cart",
	.title = "An invented cart",
	.version = "2",
	.license = "CC0-1.0",
	.source = "invented",
	.digest = "d1",
	.shipped = true,
	ARRAY(device, lw_device,
	    {
		.id = "zeta-drive", .title = "Zeta drive",
		.kind = "controller", .description = "Under the seat.",
		.source = "invented", .invented = true,
		ARRAY(lamp, lw_lamp,
		    {
			.id = "status", .title = "Red lamp", .colour = "red",
			.coding = LW_CODING_COUNT, .on_s = 0.25,
			.gap_s = 0.3, .group_gap_s = 0.75, .pause_s = 1.5,
			.slow = "1Hz", .fast = "2.5Hz", .flicker = "10Hz",
			.source = "measured",
		    },
		    {.id = "run", .coding = LW_CODING_RATE}),
		ARRAY(code, lw_code,
		    {.device = "zeta-drive", .lamp = "status",
			.pattern = "5", .fault = "supply-low"},
		    {.device = "zeta-drive", .lamp = "status",
			.pattern = "2", .fault = "pedal-high",
			.meaning = "pedal pressed at switch-on"},
		    {.device = "zeta-drive", .lamp = "run",
			.pattern = "on", .meaning = "ready"}),
	    },
	    {.id = "alpha-charger", .title = "Alpha charger"}),
	ARRAY(fault, lw_fault,
	    {
		.id = "supply-low", .title = "Supply voltage too low",
		.meaning = "The controller measured less than it needs.",
		.severity = LW_SEVERITY_STOPS,
		.clears = "By itself, once the supply is back.",
		.meanwhile = "Drive gently.", .again = LW_POWER_LIVE_GROUND,
		.causes = REFS({.id = "pack-empty", .word = "common"},
		    {.id = "fuse-open"}),
		.source = "common practice",
	    },
	    {.id = "pedal-high", .title = "Pedal pressed at switch-on",
		.severity = LW_SEVERITY_WARNS}),
	ARRAY(symptom, lw_symptom,
	    {
		.id = "creeps-at-rest",
		.title = "Creeps with the throttle released",
		.description = "It moves by itself, slowly.",
		.phrases = TEXTS({.text = "creeps after letting go"},
		    {.text = "keeps rolling on its own"}),
		.patterns = TEXTS(
		    {.text = "(crawl|sneak)s?\\b.*\\b(rest|releas)"},
		    {.text = "won'?t stay put"}),
		.causes = REFS({.id = "pedal-worn", .word = "common"}),
		.cautions = REFS({.id = "wheels-free"}),
		.again = LW_POWER_CONTROL,
		.source = "common practice",
	    },
	    {.id = "bare-symptom", .title = "Nothing at all happens"}),
	ARRAY(cause, lw_cause,
	    {
		.id = "pack-empty", .title = "Pack discharged",
		.weight = "common", .why = "Left standing over the winter.",
		.fix = "Charge it.", .minutes = 15, .parts = "A charger.",
		.tools = "A torque wrench.", .damages = "The weakest cell.",
		.proof = "Measure again at rest.", .source = "invented",
	    },
	    {.id = "fuse-open", .title = "Main fuse open"},
	    {.id = "pedal-worn", .title = "Pedal worn", .weight = "rare"}),
	ARRAY(check, lw_check,
	    {
		.id = "supply-volts", .title = "Voltage at the controller",
		.ask = "What does the meter read?",
		.meter = LW_METER_VOLTS_DC, .unit = "V",
		.power = LW_POWER_PRECHARGED,
		.reason = "There is no voltage otherwise.", .minutes = 2.5,
		.steps = DO({.text = "Set the meter to volts dc."},
		    {.text = "Wait a while longer.",
			.only = TEXTS({.text = "precharge=yes"},
			    {.text = "motor=series"},
			    {.text = "motor=brushless"})},
		    {.text = "Touch both studs."}),
		.black = "minus-stud", .red = "plus-stud",
		.points = REFS({.id = "fuse-holder"}, {.id = "plus-stud"}),
		.tools = TEXTS({.text = "meter"}, {.text = "gloves"}),
		.after = REFS({.id = "look-at-lamp"}, {.id = "look-at-fuse"}),
		.cautions = REFS({.id = "stays-charged"}),
		.mistake = "Measuring at the pack.",
		ARRAY(outcome, lw_outcome,
		    {
			.id = "low", .title = "low", .has_below = true,
			.below = 40.1,
			.speaks = REFS(
			    {.id = "pack-empty", .word = "usually"},
			    {.id = "fuse-open", .word = "never"}),
		    },
		    {
			.id = "band", .title = "in band", .has_from = true,
			.has_below = true, .from = 40.1, .below = 60,
			.expected = true, .enters = LW_POWER_PRECHARGED,
		    },
		    {
			.id = "above", .has_from = true, .from = 60,
			.say = "Leave it off.",
			.speaks = REFS({.id = "pack-empty", .word = "rarely"}),
		    }),
		.source = "invented",
	    },
	    {
		.id = "look-at-fuse", .title = "Look at the main fuse",
		.power = LW_POWER_ISOLATED, .minutes = 1,
		.only = TEXTS({.text = "strings=one"}),
		ARRAY(outcome, lw_outcome,
		    {.id = "whole", .expected = true},
		    {.id = "blown", .speaks = REFS(
			{.id = "fuse-open", .word = "always"})}),
	    }),
	ARRAY(point, lw_point,
	    {.id = "plus-stud", .title = "Controller battery plus",
		.where = "The stud after fuse and contactor."},
	    {.id = "minus-stud", .title = "Controller battery minus"},
	    {.id = "fuse-holder", .title = "Main fuse"}),
	ARRAY(tree, lw_tree,
	    {
		.id = "low-supply", .title = "Supply voltage too low",
		.faults = REFS({.id = "supply-low"}),
		.symptoms = REFS({.id = "bare-symptom"}),
		ARRAY(step, lw_step,
		    {
			.id = "volts", .check = "supply-volts",
			BRANCHES(
			    {.outcome = "low", .kind = LW_BRANCH_STEP,
				.target = "fuse"},
			    {.outcome = "band", .kind = LW_BRANCH_UNSURE,
				.target = "Sound now. Read the lamp again."},
			    {.outcome = "above", .kind = LW_BRANCH_STOP,
				.target = "Leave it off."}),
		    },
		    {
			.id = "fuse", .check = "look-at-fuse",
			BRANCHES(
			    {.outcome = "blown", .kind = LW_BRANCH_CAUSE,
				.target = "fuse-open"},
			    {.outcome = "whole", .kind = LW_BRANCH_CAUSE,
				.target = "pack-empty"}),
		    }),
		.source = "common practice",
	    },
	    {.id = "bare-tree", .title = "A tree without steps"},
	    {
		.id = "round", .title = "Once round the cart", .walk = true,
		.description = "Before it is switched on.",
		.passed = "It may be switched on.",
		ARRAY(step, lw_step,
		    {.id = "fuse", .check = "look-at-fuse"},
		    {
			.id = "volts", .check = "supply-volts",
			.only = TEXTS({.text = "motor=series"},
			    {.text = "contactor=yes"}),
		    }),
	    }),
	ARRAY(caution, lw_caution,
	    {
		.id = "stays-charged", .signal = LW_SIGNAL_WARNING,
		.hazard = "The capacitors stay charged.",
		.avoid = "Bleed them down.", .where = "Both studs.",
		.otherwise = "Burns.", .source = "common practice",
		.states = {[LW_POWER_ISOLATED] = true,
		    [LW_POWER_LIVE_GROUND] = true},
		.only = TEXTS({.text = "reference=frame"},
		    {.text = "charger=on-board"}),
		.from_volts = 50.4, .from_joules = 0.5,
	    },
	    {.id = "wheels-free", .signal = LW_SIGNAL_DANGER,
		.hazard = "The wheels may turn.",
		.states = {[LW_POWER_ISOLATED] = true}}),
};

const struct lw_pack sample_other = {
	.name = "other",
	ARRAY(fault, lw_fault,
	    {.id = "too-warm", .title = "Drive too warm",
		.severity = LW_SEVERITY_LIMITS,
		.causes = REFS({.id = "pack-empty", .word = "rare"})}),
};

const struct lw_pack sample_gauges = {
	.name = "gauges",
	ARRAY(value, lw_value,
	    {
		.id = "cells", .title = "Cells in series", .part = "Pack",
		.help = "Every voltage goes by it.",
		.where = "The label on the pack.", .kind = LW_VALUE_QUANTITY,
		.unit = "number", .low = 4, .high = 60, .usual = "24",
		.source = "invented",
	    },
	    {
		.id = "plug.kind", .title = "Kind of plug", .part = "Plug",
		.help = "Pins differ.", .kind = LW_VALUE_CHOICE,
		.choices = (const char *const[]){"round", "flat", NULL},
		.choice_titles =
		    (const char *const[]){"a round one", "flat pins", NULL},
	    },
	    {
		.id = "rest.volts", .title = "Voltage at rest",
		.help = "Before anything is on.", .kind = LW_VALUE_QUANTITY,
		.unit = "V", .low = -2.5, .high = 150, .tolerance = "5 %",
		.worked = "cells * 2.1 V",
	    },
	    {
		.id = "meter.own", .title = "The meter", .part = "Meter",
		.help = "How far it is off.", .kind = LW_VALUE_ACCURACY,
		.usual = "0.9 % + 2 counts",
	    }),
	ARRAY(check, lw_check,
	    {
		.id = "rest-volts", .title = "Voltage at rest",
		.unit = "V", .power = LW_POWER_ISOLATED, .minutes = 1,
		ARRAY(outcome, lw_outcome,
		    {.id = "low", .has_below = true,
			.below_says = "cells * 1.9 V"},
		    {.id = "band", .has_from = true, .has_below = true,
			.from_says = "cells * 1.9 V", .below = 60,
			.expected = true},
		    {.id = "above", .has_from = true, .from = 60}),
	    }),
};

const struct lw_pack sample_known = {
	.name = "known",
	ARRAY(setting, lw_known_setting,
	    {
		.id = "cut-back", .title = "When it cuts back",
		.part = "Sparing the battery",
		.does = "It pulls less once the pack sinks.",
		.low = "The pack is drained.", .high = "It limps early.",
		.faults = REFS({.id = "supply-low"}),
		.record = "The volts that were set.", .source = "invented",
	    },
	    {
		.id = "takes-up", .title = "How soon it pulls",
		.part = "Pulling away", .does = "It smooths the start.",
		.high = "It leaps.",
		.symptoms = REFS({.id = "creeps-at-rest"},
		    {.id = "bare-symptom"}),
		.faults = REFS({.id = "supply-low"}, {.id = "pedal-high"}),
		.record = "The seconds that were set.",
		.cautions = REFS({.id = "wheels-free"}),
	    },
	    {
		.id = "coasts", .title = "How it slows by itself",
		.part = "Slowing and stopping", .does = "It drags.",
		.low = "It rolls on.", .record = "The share that was set.",
	    }),
};
/* clang-format on */

/* --- comparing -------------------------------------------------------- */

static void
same_text(const char *what, const char *one, const char *other)
{
	ck_assert_msg((one == NULL) == (other == NULL) &&
		(one == NULL || strcmp(one, other) == 0),
	    "%s: %s, %s", what, one == NULL ? "NULL" : one,
	    other == NULL ? "NULL" : other);
}

#define TEXT(field) same_text(#field, a->field, b->field)
#define NUMBER(field)                                                         \
	ck_assert_msg(a->field == b->field, #field " of %s: %g, %g", a->id,   \
	    (double)a->field, (double)b->field)
#define NOWHERE() \
	ck_assert(places || (b->at.line == 0 && b->at.column == 0))

static bool places; /* the other pack may have places of a file */

static void
same_texts(const struct lw_texts *one, const struct lw_texts *other)
{
	size_t i;

	ck_assert_uint_eq(one->count, other->count);
	for (i = 0; i < one->count; i++)
		same_text("text", one->items[i].text, other->items[i].text);
}

static void
same_do(const struct lw_instructions *one, const struct lw_instructions *other)
{
	size_t i;

	ck_assert_uint_eq(one->count, other->count);
	for (i = 0; i < one->count; i++) {
		same_text("step", one->items[i].text, other->items[i].text);
		same_texts(&one->items[i].only, &other->items[i].only);
	}
}

static void
same_refs(const struct lw_refs *one, const struct lw_refs *other)
{
	size_t i;

	ck_assert_uint_eq(one->count, other->count);
	for (i = 0; i < one->count; i++) {
		same_text("id", one->items[i].id, other->items[i].id);
		same_text("word", one->items[i].word, other->items[i].word);
	}
}

static void
same_lamp(const struct lw_lamp *a, const struct lw_lamp *b)
{
	TEXT(id);
	TEXT(title);
	TEXT(colour);
	NUMBER(coding);
	NUMBER(on_s);
	NUMBER(gap_s);
	NUMBER(group_gap_s);
	NUMBER(pause_s);
	TEXT(slow);
	TEXT(fast);
	TEXT(flicker);
	TEXT(source);
	NOWHERE();
}

static void
same_device(const struct lw_device *a, const struct lw_device *b)
{
	size_t i;

	TEXT(id);
	TEXT(title);
	TEXT(kind);
	TEXT(description);
	TEXT(source);
	NUMBER(invented);
	NUMBER(own);
	NUMBER(lamp_count);
	NUMBER(code_count);
	NOWHERE();
	for (i = 0; i < a->lamp_count; i++)
		same_lamp(&a->lamps[i], &b->lamps[i]);
	for (i = 0; i < a->code_count; i++) {
		TEXT(codes[i].device);
		TEXT(codes[i].lamp);
		TEXT(codes[i].pattern);
		TEXT(codes[i].fault);
		TEXT(codes[i].meaning);
		NUMBER(codes[i].own);
	}
}

static void
same_fault(const struct lw_fault *a, const struct lw_fault *b)
{
	TEXT(id);
	TEXT(title);
	TEXT(meaning);
	NUMBER(severity);
	TEXT(clears);
	TEXT(meanwhile);
	NUMBER(again);
	same_refs(&a->causes, &b->causes);
	TEXT(source);
	NOWHERE();
}

static void
same_symptom(const struct lw_symptom *a, const struct lw_symptom *b)
{
	TEXT(id);
	TEXT(title);
	TEXT(description);
	same_texts(&a->phrases, &b->phrases);
	same_texts(&a->patterns, &b->patterns);
	same_refs(&a->causes, &b->causes);
	same_refs(&a->cautions, &b->cautions);
	NUMBER(again);
	TEXT(source);
	NOWHERE();
}

static void
same_cause(const struct lw_cause *a, const struct lw_cause *b)
{
	TEXT(id);
	TEXT(title);
	TEXT(weight);
	TEXT(why);
	TEXT(fix);
	NUMBER(minutes);
	TEXT(parts);
	TEXT(tools);
	TEXT(damages);
	TEXT(proof);
	TEXT(source);
	NOWHERE();
}

static void
same_outcome(const struct lw_outcome *a, const struct lw_outcome *b)
{
	TEXT(id);
	TEXT(title);
	NUMBER(has_from);
	NUMBER(has_below);
	NUMBER(from);
	NUMBER(below);
	TEXT(from_says);
	TEXT(below_says);
	NUMBER(expected);
	TEXT(say);
	NUMBER(enters);
	same_refs(&a->speaks, &b->speaks);
	NOWHERE();
}

static void
same_check(const struct lw_check *a, const struct lw_check *b)
{
	size_t i;

	TEXT(id);
	TEXT(title);
	TEXT(ask);
	NUMBER(meter);
	TEXT(unit);
	NUMBER(power);
	TEXT(reason);
	NUMBER(minutes);
	same_do(&a->steps, &b->steps);
	TEXT(black);
	TEXT(red);
	same_refs(&a->points, &b->points);
	same_texts(&a->tools, &b->tools);
	same_refs(&a->after, &b->after);
	same_texts(&a->only, &b->only);
	same_refs(&a->cautions, &b->cautions);
	TEXT(mistake);
	TEXT(source);
	NUMBER(outcome_count);
	NOWHERE();
	for (i = 0; i < a->outcome_count; i++)
		same_outcome(&a->outcomes[i], &b->outcomes[i]);
}

static void
same_step(const struct lw_step *a, const struct lw_step *b)
{
	size_t i;

	TEXT(id);
	TEXT(check);
	same_texts(&a->only, &b->only);
	NUMBER(branch_count);
	NOWHERE();
	for (i = 0; i < a->branch_count; i++) {
		TEXT(branches[i].outcome);
		NUMBER(branches[i].kind);
		TEXT(branches[i].target);
	}
}

static void
same_tree(const struct lw_tree *a, const struct lw_tree *b)
{
	size_t i;

	TEXT(id);
	TEXT(title);
	NUMBER(walk);
	TEXT(description);
	TEXT(passed);
	same_refs(&a->faults, &b->faults);
	same_refs(&a->symptoms, &b->symptoms);
	TEXT(source);
	NUMBER(step_count);
	NOWHERE();
	for (i = 0; i < a->step_count; i++)
		same_step(&a->steps[i], &b->steps[i]);
}

static void
same_caution(const struct lw_caution *a, const struct lw_caution *b)
{
	int i;

	TEXT(id);
	NUMBER(signal);
	TEXT(hazard);
	TEXT(avoid);
	TEXT(where);
	TEXT(otherwise);
	TEXT(source);
	for (i = 0; i < LW_POWER_COUNT; i++)
		NUMBER(states[i]);
	same_texts(&a->only, &b->only);
	NUMBER(from_volts);
	NUMBER(from_joules);
	NOWHERE();
}

static void
same_point(const struct lw_point *a, const struct lw_point *b)
{
	TEXT(id);
	TEXT(title);
	TEXT(where);
	NOWHERE();
}

static void
same_words(const char *const *one, const char *const *other)
{
	size_t i;

	ck_assert((one == NULL) == (other == NULL));
	for (i = 0; one != NULL && one[i] != NULL; i++)
		same_text("choice", one[i], other[i]);
	ck_assert(one == NULL || other[i] == NULL);
}

static void
same_value(const struct lw_value *a, const struct lw_value *b)
{
	TEXT(id);
	TEXT(title);
	TEXT(part);
	TEXT(help);
	TEXT(where);
	NUMBER(kind);
	same_words(a->choices, b->choices);
	same_words(a->choice_titles, b->choice_titles);
	TEXT(unit);
	NUMBER(low);
	NUMBER(high);
	TEXT(tolerance);
	TEXT(usual);
	TEXT(worked);
	TEXT(source);
	NOWHERE();
}

static void
same_setting(
    const struct lw_known_setting *a, const struct lw_known_setting *b)
{
	TEXT(id);
	TEXT(title);
	TEXT(part);
	TEXT(does);
	TEXT(low);
	TEXT(high);
	same_refs(&a->faults, &b->faults);
	same_refs(&a->symptoms, &b->symptoms);
	TEXT(record);
	same_refs(&a->cautions, &b->cautions);
	TEXT(source);
	NOWHERE();
}

void
sample_compare(const struct lw_pack *a, const struct lw_pack *b)
{
	size_t i;

	TEXT(name);
	TEXT(title);
	TEXT(version);
	TEXT(license);
	TEXT(source);
	TEXT(digest);
	ck_assert_int_eq(a->shipped, b->shipped);
	ck_assert_uint_eq(a->device_count, b->device_count);
	ck_assert_uint_eq(a->fault_count, b->fault_count);
	ck_assert_uint_eq(a->symptom_count, b->symptom_count);
	ck_assert_uint_eq(a->cause_count, b->cause_count);
	ck_assert_uint_eq(a->check_count, b->check_count);
	ck_assert_uint_eq(a->point_count, b->point_count);
	ck_assert_uint_eq(a->tree_count, b->tree_count);
	ck_assert_uint_eq(a->caution_count, b->caution_count);
	ck_assert_uint_eq(a->value_count, b->value_count);
	ck_assert_uint_eq(a->setting_count, b->setting_count);
	for (i = 0; i < a->device_count; i++)
		same_device(&a->devices[i], &b->devices[i]);
	for (i = 0; i < a->fault_count; i++)
		same_fault(&a->faults[i], &b->faults[i]);
	for (i = 0; i < a->symptom_count; i++)
		same_symptom(&a->symptoms[i], &b->symptoms[i]);
	for (i = 0; i < a->cause_count; i++)
		same_cause(&a->causes[i], &b->causes[i]);
	for (i = 0; i < a->check_count; i++)
		same_check(&a->checks[i], &b->checks[i]);
	for (i = 0; i < a->point_count; i++)
		same_point(&a->points[i], &b->points[i]);
	for (i = 0; i < a->tree_count; i++)
		same_tree(&a->trees[i], &b->trees[i]);
	for (i = 0; i < a->caution_count; i++)
		same_caution(&a->cautions[i], &b->cautions[i]);
	for (i = 0; i < a->value_count; i++)
		same_value(&a->values[i], &b->values[i]);
	for (i = 0; i < a->setting_count; i++)
		same_setting(&a->settings[i], &b->settings[i]);
}

void
sample_same(const struct lw_pack *one, const struct lw_pack *other)
{
	places = true;
	sample_compare(one, other);
	places = false;
}
