/* Which value of the vehicle to ask for, and how far its meter may be off.
 * The bands that need them are left to bands.c. */
#include "job/bands.h"

#include "base/arena.h"
#include "meter/expr.h"
#include "meter/unit.h"

#include <lampwright/quantity.h>

#include <string.h>

/* How deep, and how often in all, is looked for what a value is worked out
 * from. */
enum { DEEPEST = 4, LOOKS_MAX = 1000 };

struct asking {
	const struct lw_rig *vehicle;
	bool (*asked)(const void *context, const char *key);
	const void *context;
	unsigned looks;
};

static bool
is_name_char(char c)
{
	return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '.' ||
	       c == '_';
}

/* The value itself, or of what it is worked out from the first that is known
 * no better: a person knows the cells rather than what they come to. */
static const struct lw_value *
first_of(
    struct asking *asking, const struct lw_rig_value *value, unsigned depth)
{
	const char *text = value->value->worked;
	const struct lw_value *found = NULL;
	const struct lw_rig_value *other;
	char name[80];
	size_t length;

	while (
	    text != NULL && depth < DEEPEST && *text != '\0' && found == NULL) {
		for (length = 0; is_name_char(text[length]);)
			length++;
		if (length > 0 && length < sizeof name &&
		    asking->looks < LOOKS_MAX) {
			asking->looks++;
			memcpy(name, text, length);
			name[length] = '\0';
			other = lw_rig_value(asking->vehicle, name);
			if (other != NULL && other->known == value->known)
				found = first_of(asking, other, depth + 1);
		}
		text += length > 0 ? length : 1;
	}
	if (found == NULL && !asking->asked(asking->context, value->value->id))
		found = value->value;
	return found;
}

const struct lw_value *
bands_ask(const struct bands *bands, const struct lw_rig *vehicle,
    bool (*asked)(const void *context, const char *key), const void *context)
{
	struct asking asking = {vehicle, asked, context, 0};
	const struct lw_value *found = NULL;
	size_t i;

	for (i = 0; i < bands->lack_count && found == NULL; i++)
		found = first_of(&asking, bands->lacks[i], 0);
	/* What was taken as usual is a guess until somebody says so. */
	for (i = 0; i < bands->use_count && found == NULL; i++)
		if (bands->uses[i]->known == LW_KNOWN_USUAL)
			found = first_of(&asking, bands->uses[i], 0);
	return found;
}

const char *
bands_lack(struct lw_arena *arena, const struct lw_rig_value *value)
{
	if (value->conflict == NULL)
		return value->value->title;
	return arena_printf(
	    arena, "%s (what was said of it contradicts)", value->value->title);
}

/* The value that says how far a range may be off, and what it reads. */
static const char *
accuracy_key(enum unit_kind *kind, enum lw_meter meter)
{
	switch (meter) {
	case LW_METER_VOLTS_DC:
	case LW_METER_VOLTS_AC:
	case LW_METER_DIODE:
		*kind = UNIT_VOLTS;
		return "meter.volts";
	case LW_METER_OHMS:
	case LW_METER_CONTINUITY:
		*kind = UNIT_OHMS;
		return "meter.ohms";
	case LW_METER_AMPS_DC:
		*kind = UNIT_AMPS;
		return "meter.amps";
	case LW_METER_CLAMP_DC:
		*kind = UNIT_AMPS;
		return "meter.clamp";
	default:
		return NULL;
	}
}

void
bands_meter_find(struct bands_meter *meter, const struct lw_check *check,
    const struct lw_rig *vehicle)
{
	enum unit_kind kind = UNIT_VOLTS;
	const char *key = accuracy_key(&kind, check->meter);
	const struct lw_rig_value *value;
	const struct unit *unit;

	memset(meter, 0, sizeof *meter);
	if (key == NULL || check->unit == NULL)
		return;
	unit = unit_find(check->unit, strlen(check->unit), false);
	if (unit == NULL || unit->kind != kind)
		return;
	value = lw_rig_value(vehicle, key);
	meter->known =
	    value != NULL && value->text != NULL &&
	    accuracy_parse(&meter->accuracy, value->text, NULL) == LW_OK;
	meter->usual = meter->known && value->known == LW_KNOWN_USUAL;
}
