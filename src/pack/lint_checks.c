/* A check against itself: meter, probes, outcomes and what they speak for.
 * Its bands are left to lint_bands.c, power states to lint_states.c. */
#include "pack/set.h"

#include <lampwright/reading.h>

/* Past this, a cause's outcomes are seen more often than is possible. */
static const double SURE = 1.25;

/* A share of another reading and the time that one takes are told by any
 * range. */
static bool
is_measured_in(const char *one, const char *unit)
{
	double value;

	return lw_reading_parse(&value, one, unit, NULL) == LW_OK ||
	       lw_reading_parse(&value, "1 %", unit, NULL) == LW_OK ||
	       lw_reading_parse(&value, "1 s", unit, NULL) == LW_OK;
}

static void
lint_meter(const struct pack_file *file, const struct lw_check *check,
    const struct pack_node *node)
{
	/* One of what each range measures. */
	static const char *const one[] = {
	    [LW_METER_VOLTS_DC] = "1 V",
	    [LW_METER_VOLTS_AC] = "1 V",
	    [LW_METER_OHMS] = "1 ohm",
	    [LW_METER_CONTINUITY] = "1 ohm",
	    [LW_METER_DIODE] = "1 V",
	    [LW_METER_CAPACITANCE] = "1 F",
	    [LW_METER_AMPS_DC] = "1 A",
	    [LW_METER_CLAMP_DC] = "1 A",
	    [LW_METER_HERTZ] = "1 Hz",
	    [LW_METER_TEMPERATURE] = "1 degC",
	};
	const char *meter = lw_meter_name(check->meter);

	if (check->meter == LW_METER_NONE) {
		if (check->black != NULL || check->red != NULL)
			pack_tell(file,
			    pack_node_where(
				node, check->black != NULL ? "black" : "red"),
			    "probe-without-meter",
			    "a probe needs a meter; say which range with "
			    "\"meter\", or list the point under \"points\"");
		return;
	}
	if (lw_meter_needs_isolation(check->meter) &&
	    check->power != LW_POWER_ISOLATED)
		pack_tell(file, pack_node_where(node, "meter"),
		    "range-needs-isolation",
		    "%s drives current into the circuit, so the check is "
		    "made isolated, not %s",
		    meter, lw_power_name(check->power));
	if (check->unit != NULL &&
	    !is_measured_in(one[check->meter], check->unit))
		pack_tell(file, pack_node_where(node, "unit"), "meter-unit",
		    "a meter set to %s does not read %s; give a unit that "
		    "it reads",
		    meter, check->unit);
}

static void
lint_reason(const struct pack_file *file, const struct lw_check *check,
    const struct pack_node *node)
{
	if (check->power != LW_POWER_ISOLATED && check->reason == NULL)
		pack_tell(file, pack_node_where(node, "power"),
		    "live-without-reason",
		    "a check in the state %s needs a \"reason\": why it cannot "
		    "be done "
		    "isolated, and how to limit it",
		    lw_power_name(check->power));
}

/*
 * One outcome is what a sound vehicle gives. A choice may do without where
 * every outcome speaks for a cause: it tells causes apart on a vehicle that
 * is known to be at fault.
 */
static void
lint_expected(const struct pack_file *file, const struct lw_check *check,
    const struct pack_node *node)
{
	const struct pack_node *outcomes = pack_node_find(node, "outcomes");
	const struct pack_node *each = outcomes->first;
	size_t i, expected = 0, speaking = 0;

	for (i = 0; i < check->outcome_count; i++, each = each->next) {
		speaking += check->outcomes[i].speaks.count > 0;
		if (check->outcomes[i].expected && ++expected == 2)
			pack_tell(file, pack_node_where(each, "expected"),
			    "no-expected",
			    "only one outcome is what a sound vehicle "
			    "gives; another one is marked already");
	}
	if (expected == 0 &&
	    (check->unit != NULL || speaking < check->outcome_count))
		pack_tell(file, outcomes->key->at, "no-expected",
		    "mark the outcome that a sound vehicle gives with "
		    "\"expected: yes\"");
}

static void
lint_gate(const struct pack_file *file, const struct lw_check *check,
    const struct pack_node *node)
{
	const struct pack_node *each = pack_node_find(node, "outcomes")->first;
	const struct lw_outcome *outcome = check->outcomes;
	size_t i;

	for (i = 0; i < check->outcome_count; i++, each = each->next) {
		if ((outcome[i].stops || outcome[i].unproves) &&
		    (outcome[i].expected ||
			outcome[i].enters != LW_POWER_UNKNOWN))
			pack_tell(file,
			    pack_node_where(
				each, outcome[i].stops ? "stops" : "unproves"),
			    "gate-state",
			    "an outcome that stops or unproves is not what a "
			    "sound vehicle gives, and enters no state");
		if (outcome[i].enters == LW_POWER_UNKNOWN)
			continue;
		if (outcome[i].enters != check->power)
			pack_tell(file, pack_node_where(each, "enters"),
			    "gate-state",
			    "the check is made %s, so its outcome can enter "
			    "that state alone",
			    lw_power_name(check->power));
		else if (!outcome[i].expected)
			pack_tell(file, pack_node_where(each, "enters"),
			    "gate-state",
			    "only the outcome marked \"expected: yes\" may "
			    "enter a state");
	}
}

/* How often the outcomes that name a cause are seen, added up, each cause for
 * itself: `always` twice cannot be. */
static void
lint_speaks(const struct pack_file *file, const struct lw_check *check)
{
	size_t i, j, total = 0, used = 0, place;
	const struct lw_ref *ref;
	struct pack_map causes;
	const double *first;
	double *sums;

	for (i = 0; i < check->outcome_count; i++)
		total += check->outcomes[i].speaks.count;
	sums = arena_array(file->set->arena, total, sizeof *sums);
	if (sums == NULL) {
		file->set->no_memory = true;
		return;
	}
	pack_map_init(&causes, file->set->arena);
	for (i = 0; i < check->outcome_count; i++) {
		for (j = 0; j < check->outcomes[i].speaks.count; j++) {
			ref = &check->outcomes[i].speaks.items[j];
			first = pack_map_put(&causes, ref->id, &sums[used++]);
			if (first == NULL) {
				file->set->no_memory = true;
				return;
			}
			place = (size_t)(first - sums);
			if (sums[place] > SURE)
				continue; /* told already */
			sums[place] += lw_likelihood_value(ref->word);
			if (sums[place] > SURE)
				pack_tell(file, ref->at, "too-often",
				    "with this the outcomes for \"%s\" are "
				    "seen more often than always; choose "
				    "rarer words",
				    pack_quote(file->set, ref->id));
		}
	}
}

void
pack_lint_check(const struct pack_file *file, const struct lw_check *check,
    const struct pack_node *node)
{
	const struct pack_node *outcomes = pack_node_find(node, "outcomes");

	pack_parts_differ(file, outcomes, "outcome");
	lint_meter(file, check, node);
	lint_reason(file, check, node);
	lint_gate(file, check, node);
	lint_speaks(file, check);
	pack_lint_bands(file, check, node);
	if (check->outcome_count < 2) {
		pack_tell(file, outcomes->key->at, "few-outcomes",
		    "a check has at least two outcomes, or it tells nothing");
		return;
	}
	lint_expected(file, check, node);
}
