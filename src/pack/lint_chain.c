/* Bands whose ends are expressions: which one follows which is told by what
 * the ends say, since what they come to differs from rig to rig. Trying them
 * on rigs is left to lint_grid.c. */
#include "pack/chain.h"

#include "base/arena.h"
#include "pack/names.h"

#include <lampwright/reading.h>
#include <string.h>

bool
pack_chain_is(const struct lw_check *check)
{
	size_t i;

	for (i = 0; i < check->outcome_count; i++)
		if (check->outcomes[i].from_says != NULL ||
		    check->outcomes[i].below_says != NULL)
			return true;
	return false;
}

static struct pack_end
end_of(const struct pack_node *outcome, const char *key, bool there,
    double number, const char *says)
{
	struct pack_end end = {there, says, number, NULL, NULL};

	if (there)
		end.node = pack_node_find(outcome, key);
	return end;
}

/* False where memory has run out. */
static bool
gather(struct pack_chain *chain, const struct pack_node *node)
{
	const struct pack_node *each = pack_node_find(node, "outcomes")->first;
	const struct lw_outcome *outcome = chain->check->outcomes;
	size_t count = chain->check->outcome_count, i;
	struct pack_band *band;

	chain->bands = arena_array(chain->arena, count, sizeof *chain->bands);
	if (chain->bands == NULL) {
		chain->file->set->no_memory = true;
		return false;
	}
	for (i = 0; i < count; i++, outcome++, each = each->next) {
		if (!outcome->has_from && !outcome->has_below)
			continue;
		band = &chain->bands[chain->count++];
		band->from = end_of(each, "from", outcome->has_from,
		    outcome->from, outcome->from_says);
		band->below = end_of(each, "below", outcome->has_below,
		    outcome->below, outcome->below_says);
		band->expected = outcome->expected;
		band->node = each;
	}
	return true;
}

static bool
says_same(const struct pack_end *one, const struct pack_end *other)
{
	if (one->says == NULL || other->says == NULL)
		return one->says == other->says && one->number == other->number;
	return strcmp(one->says, other->says) == 0;
}

static struct pack_end *
end_at(const struct pack_chain *chain, size_t i)
{
	struct pack_band *band = &chain->bands[i / 2];

	return i % 2 == 0 ? &band->from : &band->below;
}

/* Each text once: what is wrong with it is told where it stands first. False
 * where one is wrong. */
static bool
parse_all(struct pack_chain *chain)
{
	struct pack_formula formula = {chain->file, NULL, NULL, NULL};
	struct pack_end *end;
	bool sound = true;
	size_t i, k;

	formula.unit = chain->check->unit;
	for (i = 0; i < 2 * chain->count; i++) {
		end = end_at(chain, i);
		if (!end->there || end->says == NULL)
			continue;
		for (k = 0; k < i; k++)
			if (end_at(chain, k)->there &&
			    says_same(end_at(chain, k), end))
				break;
		if (k < i) {
			end->expr = end_at(chain, k)->expr;
			continue;
		}
		formula.node = end->node;
		formula.text = end->says;
		end->expr = pack_formula_parse(
		    chain->file->set, &formula, chain->arena);
		sound = sound && end->expr != NULL;
	}
	return sound;
}

/* The end as the author wrote it. */
static const char *
quote_end(const struct pack_chain *chain, const struct pack_end *end)
{
	return pack_quote(chain->file->set, end->node->text);
}

static void
tell_overlap(const struct pack_chain *chain, const struct pack_band *band,
    const struct pack_band *other)
{
	pack_tell(chain->file, pack_node_where(band->node, "from"),
	    "band-overlap",
	    "a reading can fall into this band and into the one in line %u; "
	    "make \"from\" say the same as the \"below\" of the band under it",
	    other->node->at.line);
}

/* The band that begins where the last one ended, or at the bottom. */
static struct pack_band *
find_next(const struct pack_chain *chain, const struct pack_end *below)
{
	struct pack_band *band;
	size_t i;

	for (i = 0; i < chain->count; i++) {
		band = &chain->bands[i];
		if (band->placed || band->from.there != (below != NULL))
			continue;
		if (below == NULL || says_same(&band->from, below))
			return band;
	}
	return NULL;
}

static void
tell_gap(const struct pack_chain *chain, const struct pack_band *last)
{
	if (last == NULL)
		pack_tell(chain->file,
		    pack_node_where(chain->bands[0].node, "from"), "band-gap",
		    "no outcome takes the lowest readings; leave \"from\" out "
		    "of the lowest band");
	else
		pack_tell(chain->file, last->below.node->at, "band-gap",
		    "no band begins where this one ends; give one \"from: "
		    "%s\", letter by letter, or leave \"below\" out of the "
		    "highest band",
		    quote_end(chain, &last->below));
}

/* Bring them in order; false where they do not take every reading once, which
 * is told. */
static bool
put_in_order(struct pack_chain *chain)
{
	struct pack_band *ordered, *band = NULL, *first = NULL;
	size_t count = 0, i;

	ordered = arena_array(chain->arena, chain->count, sizeof *ordered);
	if (ordered == NULL) {
		chain->file->set->no_memory = true;
		return false;
	}
	do {
		band = find_next(chain, band == NULL ? NULL : &band->below);
		if (band == NULL) {
			tell_gap(
			    chain, count == 0 ? NULL : &ordered[count - 1]);
			return false;
		}
		band->placed = true;
		ordered[count++] = *band;
	} while (band->below.there);
	for (i = 0; i < chain->count; i++) {
		if (chain->bands[i].placed) {
			first = first == NULL ? &chain->bands[i] : first;
			continue;
		}
		tell_overlap(chain, &chain->bands[i],
		    first == NULL ? &ordered[0] : first);
	}
	if (count < chain->count)
		return false;
	chain->bands = ordered;
	return true;
}

/* Bands between two numbers that no reading falls into on any rig. */
static bool
numbers_ascend(const struct pack_chain *chain)
{
	const struct pack_band *band;
	bool sound = true;
	size_t i;

	for (i = 0; i < chain->count; i++) {
		band = &chain->bands[i];
		if (!band->from.there || !band->below.there ||
		    band->from.says != NULL || band->below.says != NULL ||
		    band->from.number < band->below.number)
			continue;
		pack_tell(chain->file, band->from.node->at, "band-empty",
		    "no reading can be at least \"from\" and less than "
		    "\"below\"; make \"from\" the smaller one");
		sound = false;
	}
	return sound;
}

void
pack_lint_chain(const struct pack_file *file, const struct lw_check *check,
    const struct pack_node *node)
{
	struct pack_chain chain = {file, check, NULL, NULL, 0};

	chain.arena = lw_arena_new();
	if (chain.arena == NULL) {
		file->set->no_memory = true;
		return;
	}
	if (gather(&chain, node) && parse_all(&chain) && put_in_order(&chain) &&
	    numbers_ascend(&chain))
		pack_lint_grid(&chain);
	lw_arena_free(chain.arena);
}
