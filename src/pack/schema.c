/* The tables of keys. kb/README.md says the same in words; what a value may
 * be is left to fields.c, and how items fit together to lint.c. */
#include "pack/schema.h"

#include "base/err.h"

const char *
pack_kind_name(enum pack_kind kind)
{
	static const char *const names[] = {"device", "fault", "symptom",
	    "cause", "check", "point", "tree", "caution", "value", "setting",
	    "part"};

	return names[kind];
}

const char *const pack_branch_words[] = {
    "step", "cause", "unsure", "stop", NULL};

/* The enums of the catalogue, each behind the same two functions. */
#define WORDS(noun, enumeration)                                               \
	static enum lw_status parse_##noun(                                    \
	    unsigned *value, const char *word, struct lw_err *err)             \
	{                                                                      \
		enum enumeration parsed;                                       \
		enum lw_status status = lw_##noun##_parse(&parsed, word, err); \
                                                                               \
		if (status == LW_OK)                                           \
			*value = (unsigned)parsed;                             \
		return status;                                                 \
	}                                                                      \
	static const char *name_##noun(unsigned value)                         \
	{                                                                      \
		return lw_##noun##_name((enum enumeration)value);              \
	}                                                                      \
	static const struct pack_words noun##_words = {                        \
	    parse_##noun, name_##noun, false}

WORDS(coding, lw_coding);
WORDS(severity, lw_severity);
WORDS(signal, lw_signal);
WORDS(power, lw_power);
WORDS(meter, lw_meter);

static enum lw_status
parse_weight(unsigned *value, const char *word, struct lw_err *err)
{
	*value = 0;
	if (lw_weight_value(word) > 0)
		return LW_OK;
	return err_set(
	    err, LW_BAD_INPUT, "the weight is common, occasional or rare");
}

static enum lw_status
parse_likelihood(unsigned *value, const char *word, struct lw_err *err)
{
	*value = 0;
	if (lw_likelihood_value(word) > 0)
		return LW_OK;
	return err_set(err, LW_BAD_INPUT,
	    "how often is always, usually, sometimes, rarely or never");
}

static enum lw_status
parse_part(unsigned *value, const char *word, struct lw_err *err)
{
	size_t place;

	*value = 0;
	return lw_known_setting_place(&place, word, err);
}

/* Lists are built in alone. */
static enum lw_status
parse_value_kind(unsigned *value, const char *word, struct lw_err *err)
{
	enum lw_value_kind kind;

	if (lw_value_kind_parse(&kind, word, NULL) == LW_OK &&
	    kind != LW_VALUE_LIST) {
		*value = (unsigned)kind;
		return LW_OK;
	}
	return err_set(err, LW_BAD_INPUT,
	    "the kind of a value is choice, quantity or accuracy");
}

static const char *
name_value_kind(unsigned value)
{
	return lw_value_kind_name((enum lw_value_kind)value);
}

static const struct pack_words value_kind_words = {
    parse_value_kind, name_value_kind, false};

static const struct pack_words weight_words = {parse_weight, NULL, false};
static const struct pack_words part_words = {parse_part, NULL, false};
static const struct pack_words likelihood_words = {
    parse_likelihood, NULL, true};

/* clang-format off */
#define IN(type, member) .offset = offsetof(struct type, member)
#define COUNT(type, member) .second = offsetof(struct type, member)
#define SAYS(type, member) .third = offsetof(struct type, member)
#define NEEDED .missing = "missing"
#define HOUR .unit = "s", .most = 3600
#define END {.key = NULL}

static const struct pack_field timing_fields[] = {
	{"on", PACK_QUANTITY, IN(lw_lamp, on_s), HOUR},
	{"gap", PACK_QUANTITY, IN(lw_lamp, gap_s), HOUR},
	{"group-gap", PACK_QUANTITY, IN(lw_lamp, group_gap_s), HOUR},
	{"pause", PACK_QUANTITY, IN(lw_lamp, pause_s), HOUR},
	END
};
static const struct pack_schema timing_schema = {
	"timing", PACK_INNER, 0, PACK_NO_PLACE, timing_fields
};

static const struct pack_field word_fields[] = {
	{"slow", PACK_PATTERN, IN(lw_lamp, slow)},
	{"fast", PACK_PATTERN, IN(lw_lamp, fast)},
	{"flicker", PACK_PATTERN, IN(lw_lamp, flicker)},
	END
};
static const struct pack_schema word_schema = {
	"words", PACK_INNER, 0, PACK_NO_PLACE, word_fields
};

static const struct pack_field lamp_fields[] = {
	{"id", PACK_ID, IN(lw_lamp, id), NEEDED},
	{"title", PACK_LINE, IN(lw_lamp, title), NEEDED},
	{"colour", PACK_LINE, IN(lw_lamp, colour)},
	{"coding", PACK_WORD, IN(lw_lamp, coding), .words = &coding_words},
	{"timing", PACK_GROUP, .items = &timing_schema},
	{"words", PACK_GROUP, .items = &word_schema},
	{"source", PACK_TEXT, IN(lw_lamp, source)},
	END
};
static const struct pack_schema lamp_schema = {
	"a lamp", PACK_INNER, sizeof(struct lw_lamp),
	offsetof(struct lw_lamp, at), lamp_fields
};

static const struct pack_field code_fields[] = {
	{"lamp", PACK_WITHIN, IN(lw_code, lamp)},
	{"pattern", PACK_PATTERN, IN(lw_code, pattern), NEEDED},
	{"fault", PACK_REF, IN(lw_code, fault), .refers = PACK_FAULT},
	{"meaning", PACK_TEXT, IN(lw_code, meaning)},
	END
};
static const struct pack_schema code_schema = {
	"a code", PACK_INNER, sizeof(struct lw_code),
	offsetof(struct lw_code, at), code_fields
};

static const struct pack_field device_fields[] = {
	{"id", PACK_ID, IN(lw_device, id), NEEDED},
	{"title", PACK_LINE, IN(lw_device, title), NEEDED},
	{"kind", PACK_LINE, IN(lw_device, kind), NEEDED},
	{"description", PACK_TEXT, IN(lw_device, description)},
	{"invented", PACK_YES, IN(lw_device, invented)},
	{"source", PACK_TEXT, IN(lw_device, source)},
	{"lamps", PACK_ITEMS, IN(lw_device, lamps),
	    COUNT(lw_device, lamp_count), NEEDED, .items = &lamp_schema, .most = 20},
	{"codes", PACK_ITEMS, IN(lw_device, codes),
	    COUNT(lw_device, code_count), .items = &code_schema, .most = 5000},
	END
};
static const struct pack_schema device_schema = {
	"a device", PACK_DEVICE, sizeof(struct lw_device),
	offsetof(struct lw_device, at), device_fields
};

static const struct pack_field fault_fields[] = {
	{"id", PACK_ID, IN(lw_fault, id), NEEDED},
	{"title", PACK_LINE, IN(lw_fault, title), NEEDED},
	{"meaning", PACK_TEXT, IN(lw_fault, meaning), NEEDED},
	{"severity", PACK_WORD, IN(lw_fault, severity), NEEDED,
	    .words = &severity_words},
	{"clears", PACK_TEXT, IN(lw_fault, clears)},
	{"meanwhile", PACK_TEXT, IN(lw_fault, meanwhile)},
	{"again", PACK_WORD, IN(lw_fault, again), .words = &power_words},
	{"causes", PACK_REFS, IN(lw_fault, causes), .refers = PACK_CAUSE,
	    .words = &weight_words},
	{"source", PACK_TEXT, IN(lw_fault, source)},
	END
};
static const struct pack_schema fault_schema = {
	"a fault", PACK_FAULT, sizeof(struct lw_fault),
	offsetof(struct lw_fault, at), fault_fields
};

static const struct pack_field symptom_fields[] = {
	{"id", PACK_ID, IN(lw_symptom, id), NEEDED},
	{"title", PACK_LINE, IN(lw_symptom, title), NEEDED},
	{"description", PACK_TEXT, IN(lw_symptom, description)},
	{"phrases", PACK_LINES, IN(lw_symptom, phrases)},
	{"patterns", PACK_REGEXES, IN(lw_symptom, patterns)},
	{"causes", PACK_REFS, IN(lw_symptom, causes), NEEDED,
	    .refers = PACK_CAUSE, .words = &weight_words},
	{"cautions", PACK_REFS, IN(lw_symptom, cautions),
	    .refers = PACK_CAUTION},
	{"again", PACK_WORD, IN(lw_symptom, again), .words = &power_words},
	{"source", PACK_TEXT, IN(lw_symptom, source)},
	END
};
static const struct pack_schema symptom_schema = {
	"a symptom", PACK_SYMPTOM, sizeof(struct lw_symptom),
	offsetof(struct lw_symptom, at), symptom_fields
};

static const struct pack_field cause_fields[] = {
	{"id", PACK_ID, IN(lw_cause, id), NEEDED},
	{"title", PACK_LINE, IN(lw_cause, title), NEEDED},
	{"weight", PACK_WEIGHT, IN(lw_cause, weight), .words = &weight_words},
	{"why", PACK_TEXT, IN(lw_cause, why)},
	{"fix", PACK_TEXT, IN(lw_cause, fix), .missing = "cause-without-fix"},
	{"minutes", PACK_MINUTES, IN(lw_cause, minutes), .most = 100000},
	{"parts", PACK_TEXT, IN(lw_cause, parts)},
	{"tools", PACK_TEXT, IN(lw_cause, tools)},
	{"damages", PACK_TEXT, IN(lw_cause, damages)},
	{"proof", PACK_TEXT, IN(lw_cause, proof),
	    .missing = "cause-without-proof"},
	{"alike", PACK_REFS, IN(lw_cause, alike), .refers = PACK_CAUSE},
	{"source", PACK_TEXT, IN(lw_cause, source)},
	END
};
static const struct pack_schema cause_schema = {
	"a cause", PACK_CAUSE, sizeof(struct lw_cause),
	offsetof(struct lw_cause, at), cause_fields
};

static const struct pack_field outcome_fields[] = {
	{"id", PACK_ID, IN(lw_outcome, id), NEEDED},
	{"title", PACK_LINE, IN(lw_outcome, title), NEEDED},
	{"from", PACK_BOUND, IN(lw_outcome, from), COUNT(lw_outcome, has_from),
	    SAYS(lw_outcome, from_says)},
	{"below", PACK_BOUND, IN(lw_outcome, below),
	    COUNT(lw_outcome, has_below), SAYS(lw_outcome, below_says)},
	{"expected", PACK_YES, IN(lw_outcome, expected)},
	{"say", PACK_TEXT, IN(lw_outcome, say)},
	{"enters", PACK_WORD, IN(lw_outcome, enters), .words = &power_words},
	{"unproves", PACK_YES, IN(lw_outcome, unproves)},
	{"stops", PACK_YES, IN(lw_outcome, stops)},
	{"speaks", PACK_REFS, IN(lw_outcome, speaks), .refers = PACK_CAUSE,
	    .words = &likelihood_words},
	END
};
static const struct pack_schema outcome_schema = {
	"an outcome", PACK_INNER, sizeof(struct lw_outcome),
	offsetof(struct lw_outcome, at), outcome_fields
};

static const struct pack_field instruction_fields[] = {
	{"only", PACK_RULES, IN(lw_instruction, only)},
	{"text", PACK_ACTION, IN(lw_instruction, text), NEEDED},
	END
};
static const struct pack_schema instruction_schema = {
	"an instruction", PACK_INNER, sizeof(struct lw_instruction),
	offsetof(struct lw_instruction, at), instruction_fields
};

/* `unit` stands before `outcomes`: their bands are read in it. */
static const struct pack_field check_fields[] = {
	{"id", PACK_ID, IN(lw_check, id), NEEDED},
	{"title", PACK_LINE, IN(lw_check, title), NEEDED},
	{"ask", PACK_TEXT, IN(lw_check, ask), NEEDED},
	{"power", PACK_WORD, IN(lw_check, power),
	    .missing = "check-without-power", .words = &power_words},
	{"reason", PACK_TEXT, IN(lw_check, reason)},
	{"minutes", PACK_MINUTES, IN(lw_check, minutes), NEEDED, .most = 1440},
	{"meter", PACK_WORD, IN(lw_check, meter), .words = &meter_words},
	{"unit", PACK_UNIT, IN(lw_check, unit)},
	{"do", PACK_DO, IN(lw_check, steps), .items = &instruction_schema},
	{"black", PACK_REF, IN(lw_check, black), .refers = PACK_POINT},
	{"red", PACK_REF, IN(lw_check, red), .refers = PACK_POINT},
	{"points", PACK_REFS, IN(lw_check, points), .refers = PACK_POINT},
	{"tools", PACK_LINES, IN(lw_check, tools)},
	{"after", PACK_REFS, IN(lw_check, after), .refers = PACK_CHECK},
	{"only", PACK_RULES, IN(lw_check, only)},
	{"cautions", PACK_REFS, IN(lw_check, cautions),
	    .refers = PACK_CAUTION},
	{"mistake", PACK_TEXT, IN(lw_check, mistake)},
	{"source", PACK_TEXT, IN(lw_check, source)},
	{"outcomes", PACK_ITEMS, IN(lw_check, outcomes),
	    COUNT(lw_check, outcome_count), NEEDED, .items = &outcome_schema,
	    .most = 30},
	END
};
static const struct pack_schema check_schema = {
	"a check", PACK_CHECK, sizeof(struct lw_check),
	offsetof(struct lw_check, at), check_fields
};

static const struct pack_field point_fields[] = {
	{"id", PACK_ID, IN(lw_point, id), NEEDED},
	{"title", PACK_LINE, IN(lw_point, title), NEEDED},
	{"where", PACK_TEXT, IN(lw_point, where), NEEDED},
	END
};
static const struct pack_schema point_schema = {
	"a point", PACK_POINT, sizeof(struct lw_point),
	offsetof(struct lw_point, at), point_fields
};

static const struct pack_field step_fields[] = {
	{"id", PACK_ID, IN(lw_step, id), NEEDED},
	{"check", PACK_REF, IN(lw_step, check), NEEDED, .refers = PACK_CHECK},
	{"only", PACK_RULES, IN(lw_step, only)},
	{"next", PACK_NEXT, IN(lw_step, branches),
	    COUNT(lw_step, branch_count)},
	END
};
static const struct pack_schema step_schema = {
	"a step", PACK_INNER, sizeof(struct lw_step),
	offsetof(struct lw_step, at), step_fields
};

static const struct pack_field tree_fields[] = {
	{"id", PACK_ID, IN(lw_tree, id), NEEDED},
	{"title", PACK_LINE, IN(lw_tree, title), NEEDED},
	{"walk", PACK_YES, IN(lw_tree, walk)},
	{"description", PACK_TEXT, IN(lw_tree, description)},
	{"faults", PACK_REFS, IN(lw_tree, faults), .refers = PACK_FAULT},
	{"symptoms", PACK_REFS, IN(lw_tree, symptoms),
	    .refers = PACK_SYMPTOM},
	{"passed", PACK_TEXT, IN(lw_tree, passed)},
	{"source", PACK_TEXT, IN(lw_tree, source)},
	{"steps", PACK_ITEMS, IN(lw_tree, steps), COUNT(lw_tree, step_count),
	    NEEDED, .items = &step_schema, .most = 2000},
	END
};
static const struct pack_schema tree_schema = {
	"a tree", PACK_TREE, sizeof(struct lw_tree),
	offsetof(struct lw_tree, at), tree_fields
};

#define WHOLE .missing = "caution-incomplete"
static const struct pack_field caution_fields[] = {
	{"id", PACK_ID, IN(lw_caution, id), NEEDED},
	{"signal", PACK_WORD, IN(lw_caution, signal), WHOLE,
	    .words = &signal_words},
	{"hazard", PACK_TEXT, IN(lw_caution, hazard), WHOLE},
	{"avoid", PACK_TEXT, IN(lw_caution, avoid), WHOLE},
	{"where", PACK_TEXT, IN(lw_caution, where)},
	{"otherwise", PACK_TEXT, IN(lw_caution, otherwise)},
	{"states", PACK_STATES, IN(lw_caution, states),
	    .words = &power_words},
	{"only", PACK_RULES, IN(lw_caution, only)},
	{"from-volts", PACK_QUANTITY, IN(lw_caution, from_volts),
	    .unit = "V", .most = 1000},
	{"from-joules", PACK_QUANTITY, IN(lw_caution, from_joules),
	    .unit = "J", .most = 100000},
	{"source", PACK_TEXT, IN(lw_caution, source), WHOLE},
	END
};
static const struct pack_schema caution_schema = {
	"a caution", PACK_CAUTION, sizeof(struct lw_caution),
	offsetof(struct lw_caution, at), caution_fields
};

static const struct pack_field choice_fields[] = {
	{"id", PACK_ID, IN(pack_choice, id), NEEDED},
	{"title", PACK_LINE, IN(pack_choice, title), NEEDED},
	END
};
static const struct pack_schema choice_schema = {
	"a choice", PACK_INNER, sizeof(struct pack_choice),
	offsetof(struct pack_choice, at), choice_fields
};

/* `unit` stands before what is read in it. */
static const struct pack_field value_fields[] = {
	{"id", PACK_KEY, IN(lw_value, id), NEEDED},
	{"title", PACK_LINE, IN(lw_value, title), NEEDED},
	{"part", PACK_LINE, IN(lw_value, part), NEEDED},
	{"kind", PACK_WORD, IN(lw_value, kind), NEEDED,
	    .words = &value_kind_words},
	{"help", PACK_TEXT, IN(lw_value, help), NEEDED},
	{"where", PACK_TEXT, IN(lw_value, where), NEEDED},
	{"unit", PACK_MEASURE, IN(lw_value, unit)},
	{"from", PACK_LIMIT, IN(lw_value, low)},
	{"to", PACK_LIMIT, IN(lw_value, high)},
	{"tolerance", PACK_LINE, IN(lw_value, tolerance)},
	{"usual", PACK_LINE, IN(lw_value, usual)},
	{"worked", PACK_FORMULA, IN(lw_value, worked)},
	{"choices", PACK_CHOICES, IN(lw_value, choices),
	    COUNT(lw_value, choice_titles), .items = &choice_schema,
	    .most = PACK_CHOICES_MAX},
	{"source", PACK_TEXT, IN(lw_value, source)},
	END
};
static const struct pack_schema value_schema = {
	"a value", PACK_VALUE, sizeof(struct lw_value),
	offsetof(struct lw_value, at), value_fields
};

static const struct pack_field setting_fields[] = {
	{"id", PACK_ID, IN(lw_known_setting, id), NEEDED},
	{"title", PACK_LINE, IN(lw_known_setting, title), NEEDED},
	{"part", PACK_WEIGHT, IN(lw_known_setting, part), NEEDED,
	    .words = &part_words},
	{"does", PACK_TEXT, IN(lw_known_setting, does), NEEDED},
	{"low", PACK_TEXT, IN(lw_known_setting, low)},
	{"high", PACK_TEXT, IN(lw_known_setting, high)},
	{"faults", PACK_REFS, IN(lw_known_setting, faults),
	    .refers = PACK_FAULT},
	{"symptoms", PACK_REFS, IN(lw_known_setting, symptoms),
	    .refers = PACK_SYMPTOM},
	{"record", PACK_TEXT, IN(lw_known_setting, record), NEEDED},
	{"cautions", PACK_REFS, IN(lw_known_setting, cautions),
	    .refers = PACK_CAUTION},
	{"source", PACK_TEXT, IN(lw_known_setting, source)},
	END
};
static const struct pack_schema setting_schema = {
	"a setting", PACK_SETTING, sizeof(struct lw_known_setting),
	offsetof(struct lw_known_setting, at), setting_fields
};

#define LIST(key, list, number, schema) \
	{key, PACK_ITEMS, IN(lw_pack, list), COUNT(lw_pack, number), \
	    .items = &schema}
static const struct pack_field pack_fields[] = {
	{"pack", PACK_NAME, IN(lw_pack, name), NEEDED},
	{"title", PACK_LINE, IN(lw_pack, title), NEEDED},
	{"version", PACK_LINE, IN(lw_pack, version)},
	{"license", PACK_LINE, IN(lw_pack, license)},
	{"source", PACK_TEXT, IN(lw_pack, source)},
	LIST("devices", devices, device_count, device_schema),
	LIST("faults", faults, fault_count, fault_schema),
	LIST("symptoms", symptoms, symptom_count, symptom_schema),
	LIST("causes", causes, cause_count, cause_schema),
	LIST("checks", checks, check_count, check_schema),
	LIST("points", points, point_count, point_schema),
	LIST("trees", trees, tree_count, tree_schema),
	LIST("cautions", cautions, caution_count, caution_schema),
	LIST("values", values, value_count, value_schema),
	LIST("settings", settings, setting_count, setting_schema),
	END
};
const struct pack_schema pack_schema = {
	"a pack", PACK_INNER, sizeof(struct lw_pack), PACK_NO_PLACE,
	pack_fields
};
/* clang-format on */
