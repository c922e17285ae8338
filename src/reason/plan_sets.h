/*
 * Sets of groups as bits, what is known of each in a hash table, and what the
 * searches over them share.
 */
#ifndef REASON_PLAN_SETS_H
#define REASON_PLAN_SETS_H

#include "reason/plan_work.h"

/* More groups than this are left to the greedy tree. */
enum { PLAN_SETS_MAX = 1024 };

/* A set with the state that it is looked at in. */
struct plan_entry {
	double low;	/* no tree costs less; what costs is in units times
			 * weight */
	double high;	/* the best tree known costs that; INFINITY: none */
	uint32_t check; /* which that tree begins with */
	uint16_t state;
	uint16_t count; /* groups in it: 3 or more */
	uint64_t set[];
};

struct plan_sets {
	struct plan_work *work;
	size_t words;	/* of a set */
	uint64_t *mask; /* [(offset[check] + kind) * words] */
	size_t *offset;
	double *weigh; /* [byte * 256 + value]: weight of these groups */
	double *pair;  /* [(state * groups + i) * groups + k]: cheapest way to
			* tell the two apart */
	size_t *order; /* groups, so that those which cheap checks do not tell
			* apart stand together */
	double *gap;   /* the cheapest cost that tells one of `order` from the
			* one before it */

	unsigned char **chunk; /* entries */
	size_t chunks, chunk_room, entry_size;
	size_t entries;
	uint64_t *slot; /* hash and number + 1; 0: free */
	size_t slots;

	struct plan_level **level; /* by depth: room for each call */
	size_t *list;		   /* room for one list of groups */
	double *heap;		   /* room for Huffman's sums */
	uint64_t *spare;	   /* room for a set */

	double near;   /* differences that are none */
	size_t budget; /* sets that may still be opened */
	bool full;     /* no memory is left */
};

/* Room for a set that is being told apart. */
struct plan_level {
	struct plan_choice {
		double sum;
		uint32_t check;
	} * choice;
	struct plan_entry **part;
	size_t parts;
	double rest;   /* what the parts without an entry cost */
	uint64_t *set; /* one part */
};

/* plan_sets.c: what the bound takes, for any table. LW_NO_MEMORY. */
enum lw_status plan_sets_make(struct plan_sets *sets, struct plan_work *work);
/* What searches take. False: too large, or past the limit. */
bool plan_sets_open(struct plan_sets *sets);
/* The set of all groups. */
void plan_sets_all(uint64_t *set, const struct plan_sets *sets);
/* plan_table.c: the entry, made where there is none; NULL: no room. */
struct plan_entry *plan_entry(
    struct plan_sets *sets, const uint64_t *set, size_t count, size_t state);
/* That of all groups, in the state it begins in; NULL: no room. */
struct plan_entry *plan_root(struct plan_sets *sets);
/* NULL: none. */
struct plan_entry *plan_entry_find(
    struct plan_sets *sets, const uint64_t *set, size_t state);
struct plan_level *plan_level(struct plan_sets *sets, size_t depth);
double plan_set_weight(const struct plan_sets *sets, const uint64_t *set);
size_t plan_set_count(const struct plan_sets *sets, const uint64_t *set);
/* Its groups into list; the count. */
size_t plan_set_list(
    size_t *list, const struct plan_sets *sets, const uint64_t *set);
/* Whether the check tells any two of the set apart. `one`: one of it. */
bool plan_set_splits(const struct plan_sets *sets, const uint64_t *set,
    size_t one, size_t check);
size_t plan_set_one(const struct plan_sets *sets, const uint64_t *set);
static inline bool
plan_solved(const struct plan_entry *entry)
{
	return entry->low >= entry->high;
}

/*
 * The parts of an entry's set by a check into its level: three groups or more
 * as entries, which are made, and what the others cost. False: no room.
 */
bool plan_parts(struct plan_level *level, struct plan_sets *sets,
    const struct plan_entry *entry, size_t check);
/* What the check itself costs there. */
static inline double
plan_step(const struct plan_sets *sets, const struct plan_entry *entry,
    size_t check, double weight)
{
	const struct plan_work *work = sets->work;

	return weight *
	       (work->cost[check] + work->setup[entry->state * work->states +
						work->state[check]]);
}

/* plan_bound.c: no tree for the set costs less. */
double plan_bound(struct plan_sets *sets, const uint64_t *set, size_t count,
    size_t state, double weight);

/*
 * plan_search.c: raise low to the limit, or find the best tree that costs less
 * than it. False: time, room or budget ran out before.
 */
bool plan_search(struct plan_sets *sets, struct plan_entry *entry, size_t depth,
    double limit);

/* plan_rollout.c: a good tree for an entry; sets of at most `exact` groups
 * get the best one. `deep` 1: rollout over the greedy tree; 2: over that. */
void plan_rollout(struct plan_sets *sets, struct plan_entry *entry,
    size_t depth, size_t exact, int deep);

/* plan_array.c: all subsets, bottom up. */
struct plan_array {
	double *value; /* [set * states + state] */
	struct plan_sets *sets;
};
/* Bytes that it takes; 0: too many groups. */
size_t plan_array_bytes(const struct plan_work *work);
/* False: out of room or time. */
bool plan_array_fill(struct plan_array *array, struct plan_sets *sets);
size_t plan_array_choose(
    void *what, const size_t *list, size_t count, size_t state, double weight);

#endif
