/* The bands of a check that takes a reading: together they cover every
 * reading once. Those with an expression are left to lint_chain.c. */
#include "pack/chain.h"
#include "pack/set.h"

#include <lampwright/reading.h>
#include <math.h>
#include <stdlib.h>

struct band {
	double low;  /* -infinity: no `from` */
	double high; /* not within it */
	bool open;   /* no `below`: even +infinity is within it */
	const struct pack_node *node;
};

static int
by_low(const void *one, const void *other)
{
	const struct band *a = one, *b = other;

	if (a->low != b->low)
		return a->low < b->low ? -1 : 1;
	if (a->open != b->open)
		return a->open ? 1 : -1;
	return a->high < b->high ? -1 : a->high > b->high;
}

/* The bands as they stand in the file; NULL when memory has run out. */
static struct band *
bands_of(const struct pack_file *file, const struct lw_check *check,
    const struct pack_node *node, size_t *count)
{
	const struct pack_node *each = pack_node_find(node, "outcomes")->first;
	const struct lw_outcome *outcome = check->outcomes;
	struct band *bands;
	size_t i;

	*count = 0;
	bands =
	    arena_array(file->set->arena, check->outcome_count, sizeof *bands);
	if (bands == NULL) {
		file->set->no_memory = true;
		return NULL;
	}
	for (i = 0; i < check->outcome_count; i++, each = each->next) {
		if (!outcome[i].has_from && !outcome[i].has_below)
			continue;
		bands[*count].low =
		    outcome[i].has_from ? outcome[i].from : -INFINITY;
		bands[*count].high =
		    outcome[i].has_below ? outcome[i].below : INFINITY;
		bands[*count].open = !outcome[i].has_below;
		bands[*count].node = each;
		(*count)++;
	}
	return bands;
}

/* Bands that no reading can fall into, and currents that a meter's own fuse
 * does not carry. */
static bool
each_is_sound(const struct pack_file *file, const struct lw_check *check,
    const struct band *bands, size_t count)
{
	bool sound = true;
	double ten = 0;
	size_t i;

	for (i = 0; i < count; i++)
		if (!bands[i].open && bands[i].low >= bands[i].high) {
			pack_tell(file, pack_node_where(bands[i].node, "from"),
			    "band-empty",
			    "no reading can be at least \"from\" and less than "
			    "\"below\"; make \"from\" the smaller one");
			sound = false;
		}
	if (check->meter != LW_METER_AMPS_DC ||
	    lw_reading_parse(&ten, "10 A", check->unit, NULL) != LW_OK)
		return sound;
	for (i = 0; i < count; i++) {
		bool from = isfinite(bands[i].low) && fabs(bands[i].low) > ten;
		bool below =
		    isfinite(bands[i].high) && fabs(bands[i].high) > ten;

		if (!from && !below)
			continue;
		pack_tell(file,
		    pack_node_where(bands[i].node, from ? "from" : "below"),
		    "over-ten-amps",
		    "a meter carries at most 10 A in line; measure more with "
		    "\"meter: clamp dc\"");
		break;
	}
	return sound;
}

/* From one band to the next above it. */
static void
lint_pair(const struct pack_file *file, const struct lw_check *check,
    const struct band *lower, const struct band *upper)
{
	struct lw_where at = pack_node_where(upper->node, "from");
	char from[LW_READING_MAX], below[LW_READING_MAX];

	if (lower->open || upper->low < lower->high) {
		pack_tell(file, at, "band-overlap",
		    "a reading can fall into this band and into the one in "
		    "line %u; make them meet",
		    lower->node->at.line);
	} else if (upper->low > lower->high) {
		lw_reading_format(below, lower->high, check->unit);
		lw_reading_format(from, upper->low, check->unit);
		pack_tell(file, at, "band-gap",
		    "no outcome takes a reading from %s to below %s; make "
		    "the bands meet",
		    below, from);
	}
}

void
pack_lint_bands(const struct pack_file *file, const struct lw_check *check,
    const struct pack_node *node)
{
	char text[LW_READING_MAX];
	struct band *bands;
	size_t count, i;

	if (check->unit == NULL)
		return;
	if (pack_chain_is(check)) {
		pack_lint_chain(file, check, node);
		return;
	}
	bands = bands_of(file, check, node, &count);
	if (bands == NULL)
		return;
	if (count == 0) {
		pack_tell(file, pack_node_where(node, "unit"),
		    "reading-without-bands",
		    "the check takes a reading in %s; give its outcomes "
		    "bands with \"from\" and \"below\"",
		    check->unit);
		return;
	}
	if (!each_is_sound(file, check, bands, count))
		return;
	qsort(bands, count, sizeof *bands, by_low);
	if (bands[0].low > -INFINITY) {
		lw_reading_format(text, bands[0].low, check->unit);
		pack_tell(file, pack_node_where(bands[0].node, "from"),
		    "band-gap",
		    "no outcome takes a reading below %s; leave \"from\" out "
		    "of the lowest band",
		    text);
	}
	for (i = 1; i < count; i++)
		lint_pair(file, check, &bands[i - 1], &bands[i]);
	if (!bands[count - 1].open) {
		lw_reading_format(text, bands[count - 1].high, check->unit);
		pack_tell(file, pack_node_where(bands[count - 1].node, "below"),
		    "band-gap",
		    "no outcome takes a reading from %s up; leave \"below\" "
		    "out of the highest band",
		    text);
	}
}
