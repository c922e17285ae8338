/* The table of what can be said of a rig without any pack, in plain words, and
 * whether rules by rig hold. Keeping facts is left to rig_facts.c, and what
 * packs bring to rig_values.c. */
#include <lampwright/rig.h>

#include "meter/unit.h"

#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))
#define CHOICES(...) ((const char *const[]){__VA_ARGS__, NULL})

/* Every pair of choices that are yes and no. */
static const char *const yes_no[] = {"yes", "no", NULL};
static const char *const yes_no_titles[] = {"yes", "no", NULL};

/* clang-format off */
static const struct lw_value keys[] = {
    {
	.id = "motor",
	.title = "Kind of motor",
	.part = "Motor",
	.help = "A series-wound motor races without a load, and a "
		"permanent-magnet or brushless one makes voltage whenever it "
		"is turned, even by towing. Until it is known, it counts as "
		"series-wound.",
	.where = "The motor's plate or its papers. Two thick cables and two "
		 "more of the same thickness: series-wound. Two thick and two "
		 "thin: separately excited. Two thick alone: brushed, with "
		 "permanent magnets. Three thick: brushless.",
	.kind = LW_VALUE_CHOICE,
	.choices = CHOICES("series", "separately-excited",
	    "permanent-magnet", "brushless"),
	.choice_titles = CHOICES("series-wound", "separately excited",
	    "brushed, permanent magnets", "brushless"),
    },
    {
	.id = "reference",
	.title = "Is the pack tied to the frame?",
	.part = "Pack",
	.help = "Where a pack terminal is tied to the frame, touching the "
		"frame and one live part is enough for a shock, and a tool "
		"that slips makes a short. Until it is known, it counts as "
		"tied.",
	.where = "The vehicle's wiring drawing: whether a battery terminal "
		 "is joined to the frame or to the body. Never try it with a "
		 "wire.",
	.kind = LW_VALUE_CHOICE,
	.choices = CHOICES("floating", "frame"),
	.choice_titles = CHOICES("floating: no terminal on the frame",
	    "a terminal is on the frame"),
    },
    {
	.id = "charger",
	.title = "Charger",
	.part = "Charger",
	.help = "A charger that is plugged in feeds the pack with everything "
		"else switched off, so making safe means unplugging it at "
		"both ends.",
	.where = "On-board: fixed to the vehicle, with a mains lead or inlet. "
		 "Off-board: it stays at the wall, and a plug goes to the "
		 "pack.",
	.kind = LW_VALUE_CHOICE,
	.choices = CHOICES("on-board", "off-board", "none"),
	.choice_titles = CHOICES("on the vehicle", "beside the vehicle",
	    "no charger"),
    },
    {
	.id = "pack.kind",
	.title = "Kind of battery",
	.part = "Pack",
	.help = "Each kind has its own dangers: lead-acid gives off gas that "
		"burns, lithium cells are never charged below their limit or "
		"below freezing.",
	.where = "The label on the battery. Lead-acid is heavy, and often has "
		 "caps or vents; lithium has a battery monitor with thin "
		 "wires to every cell.",
	.kind = LW_VALUE_CHOICE,
	.choices = CHOICES("lead", "lfp", "nmc"),
	.choice_titles = CHOICES("lead-acid",
	    "lithium iron phosphate (LFP, LiFePO4)",
	    "other lithium-ion (NMC and the like)"),
    },
    {
	.id = "strings",
	.title = "Battery strings",
	.part = "Pack",
	.help = "Every string that is in parallel keeps the rest alive: each "
		"has to be opened before the vehicle is isolated.",
	.where = "Follow the thick cables from the main disconnect back to "
		 "the batteries. Where they divide and come together again, "
		 "there are several strings.",
	.kind = LW_VALUE_CHOICE,
	.choices = CHOICES("one", "several"),
	.choice_titles = CHOICES("one", "several in parallel"),
    },
    {
	.id = "contactor",
	.title = "Is there a main contactor?",
	.part = "Contactor",
	.help = "A contactor can weld shut and leave the vehicle live, so it "
		"is tried before work that has to be done live.",
	.where = "A part the size of a fist in the thick plus cable between "
		 "pack and controller, with two thin wires for its coil. It "
		 "clacks when the key is turned.",
	.kind = LW_VALUE_CHOICE,
	.choices = yes_no,
	.choice_titles = yes_no_titles,
    },
    {
	.id = "precharge",
	.title = "Is there a pre-charge path?",
	.part = "Pre-charge and capacitors",
	.help = "A resistor across the contactor charges the capacitors with "
		"the contactor open: isolating means opening that path too.",
	.where = "A resistor, often long and of ceramic, or a thin wire with "
		 "a small relay, from one thick stud of the contactor to the "
		 "other. Some controllers have it inside: see the papers.",
	.kind = LW_VALUE_CHOICE,
	.choices = yes_no,
	.choice_titles = yes_no_titles,
    },
    {
	.id = "dcdc",
	.title = "Is there a DC-DC converter?",
	.part = "Auxiliary supply",
	.help = "It has capacitors of its own, and where it can work both "
		"ways it feeds the main circuit from the auxiliary battery.",
	.where = "A finned box between the pack and the 12 V circuit of "
		 "lamps and horn.",
	.kind = LW_VALUE_CHOICE,
	.choices = yes_no,
	.choice_titles = yes_no_titles,
    },
    {
	.id = "auxiliary",
	.title = "Is there an auxiliary battery?",
	.part = "Auxiliary supply",
	.help = "It keeps the control circuits alive with the pack "
		"disconnected, so it is switched off too when isolating.",
	.where = "A small battery, mostly of 12 V, that is not part of the "
		 "pack.",
	.kind = LW_VALUE_CHOICE,
	.choices = yes_no,
	.choice_titles = yes_no_titles,
    },
    {
	.id = "tools",
	.title = "Tools at hand",
	.part = "Tools",
	.help = "Every step then says which of its tools is missing. "
		"Separate them by commas; \"none\" where there are none.",
	.where = "Whatever is within reach of the vehicle: multimeter, "
		 "insulated gloves, clamp meter, axle stands.",
	.kind = LW_VALUE_LIST,
    },
};
/* clang-format on */

const struct lw_value *
lw_rig_built_in(size_t *count)
{
	*count = COUNT(keys);
	return keys;
}

const struct lw_value *
lw_rig_built_in_value(const char *key)
{
	size_t i;

	for (i = 0; i < COUNT(keys); i++)
		if (strcmp(keys[i].id, key) == 0)
			return &keys[i];
	return NULL;
}

const char *
lw_rig_fact(const struct lw_rig *rig, const char *key)
{
	static const char device[] = "device.";
	size_t i;

	if (rig == NULL)
		return NULL;
	for (i = 0; i < rig->fact_count; i++)
		if (strcmp(rig->facts[i].key, key) == 0)
			return rig->facts[i].value;
	if (strncmp(key, device, sizeof device - 1) != 0)
		return NULL;
	for (i = 0; i < rig->device_count; i++)
		if (strcmp(rig->devices[i].name, key + sizeof device - 1) == 0)
			return rig->devices[i].device;
	return NULL;
}

/* The length of a rule's key; the whole text where it is no rule. */
static size_t
key_length(const char *rule)
{
	return strcspn(rule, "=");
}

static bool
same_key(const char *one, const char *other)
{
	size_t length = key_length(one);

	return length == key_length(other) && memcmp(one, other, length) == 0;
}

/* Of a list, one of the texts has to be the rule's. */
static bool
value_is(const struct lw_rig *rig, const char *key, const char *fact,
    const char *value)
{
	size_t i;

	if (strcmp(key, "tools") != 0)
		return strcmp(fact, value) == 0;
	for (i = 0; i < rig->tool_count; i++)
		if (unit_letters_match(rig->tools[i], value, strlen(value) + 1))
			return true;
	return false;
}

/* Whether one rule holds. What is no rule tells no rigs apart. */
static bool
rule_holds(const struct lw_rig *rig, const char *rule)
{
	enum { KEY_MAX = 80 };
	char key[KEY_MAX];
	size_t length = key_length(rule);
	const char *fact;

	if (rule[length] == '\0' || length >= sizeof key)
		return true;
	memcpy(key, rule, length);
	key[length] = '\0';
	fact = lw_rig_fact(rig, key);
	return fact == NULL || value_is(rig, key, fact, rule + length + 1);
}

bool
lw_rig_holds(const struct lw_rig *rig, const struct lw_texts *only)
{
	size_t i, k;
	bool holds;

	for (i = 0; i < only->count; i++) {
		holds = false;
		for (k = 0; k < only->count && !holds; k++)
			holds = same_key(
				    only->items[i].text, only->items[k].text) &&
				rule_holds(rig, only->items[k].text);
		if (!holds)
			return false;
	}
	return true;
}
