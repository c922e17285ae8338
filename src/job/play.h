/*
 * The causes in play, each with its weight before any check: what the authors
 * wrote, and what jobs that began alike have come to.
 */
#ifndef JOB_PLAY_H
#define JOB_PLAY_H

#include "job/shelf.h"

struct play_cause {
	const struct lw_cause *cause; /* NULL: what no book lists */
	const struct lw_cause *also;  /* two at once: the other; else NULL */
	double weight; /* 0: repaired, kept for what it explains */
	unsigned here; /* so many cases were this */
	unsigned elsewhere;
};

struct play {
	struct play_cause *items;
	size_t count;
	size_t room;
	unsigned cases;	 /* that were proved on this device */
	unsigned others; /* and on others */
};

/* The place of a cause by itself; play->count: it is not in play. */
size_t play_find(const struct play *play, const char *cause);

/* A cause that is named more than once counts by its greatest weight; one
 * that is not in the book is left out. `word` may be NULL: its own. */
enum lw_status play_add(struct play *play, struct shelf *shelf, const char *id,
    const char *word, struct lw_err *err);
/* All of a list, each by its word. */
enum lw_status play_add_refs(struct play *play, struct shelf *shelf,
    const struct lw_refs *refs, struct lw_err *err);
/* The leaves of a tree that nothing else named, by their own weights. */
enum lw_status play_add_leaves(struct play *play, struct shelf *shelf,
    const struct lw_tree *tree, struct lw_err *err);
/* Take a cause out. */
void play_leave_out(struct play *play, const char *cause);
/* The one that no book lists; after all others, once. */
enum lw_status play_add_unlisted(
    struct play *play, struct shelf *shelf, struct lw_err *err);

/*
 * Let what was proved in jobs that began with this fault, or else this
 * symptom, move the weights, which then add up to 1. `but`: a job that does
 * not count. Call it after play_add_unlisted. A cause that was proved and that
 * nobody named comes into play as a rare one, by play_recall, before that.
 */
enum lw_status play_recall(struct play *play, struct shelf *shelf,
    const char *device, const char *fault, const char *symptom, int64_t but,
    struct lw_err *err);
enum lw_status play_learn(
    struct play *play, struct lw_arena *arena, struct lw_err *err);

/* The weight of a cause where a fault or symptom names it by `word` (may be
 * NULL: the cause's own word). */
double play_weight(const struct lw_cause *cause, const char *word);

#endif
