/* The catalogue's small word tables: power states, severities, signal words,
 * meter ranges, kinds of values, weights, parts of settings. What the words
 * lead to is left to pack, job, view. */
#include <lampwright/catalogue.h>

#include "base/buf.h"
#include "base/err.h"
#include "base/utf8.h"

#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

/* Index 0 is "nothing said", and never parses. */
static const char *const power_names[] = {
    [LW_POWER_UNKNOWN] = "unknown",
    [LW_POWER_ISOLATED] = "isolated",
    [LW_POWER_CONTROL] = "control",
    [LW_POWER_PRECHARGED] = "pre-charged",
    [LW_POWER_LIVE_FREE] = "live-wheels-free",
    [LW_POWER_LIVE_GROUND] = "live-on-ground",
};

static const char *const power_titles[] = {
    [LW_POWER_UNKNOWN] = "not known: prove it first",
    [LW_POWER_ISOLATED] = "isolated and proved dead",
    [LW_POWER_CONTROL] = "control supply only",
    [LW_POWER_PRECHARGED] = "pre-charged, contactor open",
    [LW_POWER_LIVE_FREE] = "live, wheels free",
    [LW_POWER_LIVE_GROUND] = "live, on the ground",
};

static const char *const severity_names[] = {
    [LW_SEVERITY_NONE] = "",
    [LW_SEVERITY_STOPS] = "stops",
    [LW_SEVERITY_LIMITS] = "limits",
    [LW_SEVERITY_WARNS] = "warns",
    [LW_SEVERITY_INFORMS] = "informs",
};

static const char *const signal_names[] = {
    [LW_SIGNAL_NONE] = "",
    [LW_SIGNAL_DANGER] = "danger",
    [LW_SIGNAL_WARNING] = "warning",
    [LW_SIGNAL_CAUTION] = "caution",
    [LW_SIGNAL_NOTICE] = "notice",
};

static const char *const part_names[] = {
    "",
    "Pulling away",
    "Slowing and stopping",
    "Holding on a slope",
    "Reading the throttle",
    "Sparing the battery",
    "Sparing the motor",
    "Matching the parts",
};

static const char *const value_kind_names[] = {
    [0] = "",
    [LW_VALUE_CHOICE] = "choice",
    [LW_VALUE_QUANTITY] = "quantity",
    [LW_VALUE_LIST] = "list",
    [LW_VALUE_ACCURACY] = "accuracy",
};

static const char *const meter_names[] = {
    [LW_METER_NONE] = "",
    [LW_METER_VOLTS_DC] = "volts dc",
    [LW_METER_VOLTS_AC] = "volts ac",
    [LW_METER_OHMS] = "ohms",
    [LW_METER_CONTINUITY] = "continuity",
    [LW_METER_DIODE] = "diode",
    [LW_METER_CAPACITANCE] = "capacitance",
    [LW_METER_AMPS_DC] = "amps dc",
    [LW_METER_CLAMP_DC] = "clamp dc",
    [LW_METER_HERTZ] = "hertz",
    [LW_METER_TEMPERATURE] = "temperature",
};

struct value {
	const char *word;
	double value;
};

static const struct value weights[] = {
    {"common", 9},
    {"occasional", 3},
    {"rare", 1},
};

static const struct value likelihoods[] = {
    {"always", 0.97},
    {"usually", 0.8},
    {"sometimes", 0.4},
    {"rarely", 0.1},
    {"never", 0.01},
};

static const char *
word_at(const char *const *words, size_t count, size_t i)
{
	return i < count ? words[i] : words[0];
}

/* The word's index, from 1; 0 with a sentence that lists the words. */
static size_t
word_find(const char *const *words, size_t count, const char *what,
    const char *name, struct lw_err *err)
{
	struct buf list;
	size_t i, shown;

	for (i = 1; i < count; i++)
		if (strcmp(words[i], name) == 0)
			return i;
	if (err == NULL)
		return 0;
	buf_init(&list, 400);
	for (i = 1; i < count; i++)
		buf_printf(&list, "%s%s",
		    i == 1	     ? ""
		    : i + 1 == count ? " or "
				     : ", ",
		    words[i]);
	shown = utf8_whole(name, strnlen(name, 60));
	err_set(err, LW_BAD_INPUT, "\"%.*s\" is not %s; write %s", (int)shown,
	    name, what, buf_text(&list));
	buf_clear(&list);
	return 0;
}

const char *
lw_power_name(enum lw_power power)
{
	return word_at(power_names, COUNT(power_names), (size_t)power);
}

const char *
lw_power_title(enum lw_power power)
{
	return word_at(power_titles, COUNT(power_titles), (size_t)power);
}

enum lw_status
lw_power_parse(enum lw_power *power, const char *name, struct lw_err *err)
{
	size_t i = word_find(
	    power_names, COUNT(power_names), "a power state", name, err);

	if (i == 0)
		return LW_BAD_INPUT;
	*power = (enum lw_power)i;
	return LW_OK;
}

const char *
lw_severity_name(enum lw_severity severity)
{
	return word_at(severity_names, COUNT(severity_names), (size_t)severity);
}

enum lw_status
lw_severity_parse(
    enum lw_severity *severity, const char *name, struct lw_err *err)
{
	size_t i = word_find(
	    severity_names, COUNT(severity_names), "a severity", name, err);

	if (i == 0)
		return LW_BAD_INPUT;
	*severity = (enum lw_severity)i;
	return LW_OK;
}

const char *
lw_signal_name(enum lw_signal signal)
{
	return word_at(signal_names, COUNT(signal_names), (size_t)signal);
}

enum lw_status
lw_signal_parse(enum lw_signal *signal, const char *name, struct lw_err *err)
{
	size_t i = word_find(
	    signal_names, COUNT(signal_names), "a signal word", name, err);

	if (i == 0)
		return LW_BAD_INPUT;
	*signal = (enum lw_signal)i;
	return LW_OK;
}

const char *
lw_meter_name(enum lw_meter meter)
{
	return word_at(meter_names, COUNT(meter_names), (size_t)meter);
}

enum lw_status
lw_meter_parse(enum lw_meter *meter, const char *name, struct lw_err *err)
{
	size_t i = word_find(
	    meter_names, COUNT(meter_names), "a meter range", name, err);

	if (i == 0)
		return LW_BAD_INPUT;
	*meter = (enum lw_meter)i;
	return LW_OK;
}

bool
lw_meter_needs_isolation(enum lw_meter meter)
{
	return meter == LW_METER_OHMS || meter == LW_METER_CONTINUITY ||
	       meter == LW_METER_DIODE || meter == LW_METER_CAPACITANCE;
}

const char *
lw_value_kind_name(enum lw_value_kind kind)
{
	return word_at(value_kind_names, COUNT(value_kind_names), (size_t)kind);
}

enum lw_status
lw_value_kind_parse(
    enum lw_value_kind *kind, const char *name, struct lw_err *err)
{
	size_t i = word_find(value_kind_names, COUNT(value_kind_names),
	    "a kind of value", name, err);

	if (i == 0)
		return LW_BAD_INPUT;
	*kind = (enum lw_value_kind)i;
	return LW_OK;
}

const char *
lw_known_setting_part(size_t place)
{
	return place < COUNT(part_names) - 1 ? part_names[place + 1] : NULL;
}

enum lw_status
lw_known_setting_place(size_t *place, const char *part, struct lw_err *err)
{
	size_t i = word_find(part_names, COUNT(part_names),
	    "a part that settings come under", part, err);

	if (i == 0)
		return LW_BAD_INPUT;
	*place = i - 1;
	return LW_OK;
}

static double
value_of(const struct value *values, size_t count, const char *word)
{
	size_t i;

	for (i = 0; i < count; i++)
		if (strcmp(values[i].word, word) == 0)
			return values[i].value;
	return 0;
}

double
lw_weight_value(const char *word)
{
	if (word == NULL)
		word = "occasional";
	return value_of(weights, COUNT(weights), word);
}

double
lw_likelihood_value(const char *word)
{
	if (word == NULL)
		return 0;
	return value_of(likelihoods, COUNT(likelihoods), word);
}
