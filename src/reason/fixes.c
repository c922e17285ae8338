/* Puts fixes in the order that costs least on average; whether to look first
 * is left to next and policy. */
#include "reason/fixes.h"

#include "base/err.h"
#include "reason/rank.h"

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

/* The fixes of a closed cluster that are best tried together with its
 * opening: a row of causes that hang together by `after`. */
struct block {
	double share;
	double cost; /* the opening and the fixes */
	size_t first;
	size_t end;
	bool closed; /* nothing more joins */
};

struct fixes_desk {
	const struct reason_fixes *fixes;
	size_t causes;
	struct rank *units; /* what is tried in one go: a fix or a block */
	struct rank *room;
	size_t *tried;	      /* causes in order */
	double *costs;	      /* of each that is tried, with its opening */
	struct block *blocks; /* of each cluster; the rest where there are */
	size_t *after;	      /* in a block */
	bool *joined;	      /* in a block, but not its first */
};

static bool
has_clusters(const struct reason_fixes *fixes)
{
	return fixes->cluster != NULL && fixes->clusters > 0;
}

size_t
fixes_desk_size(const struct reason_fixes *fixes, size_t causes)
{
	size_t size = sizeof(struct fixes_desk);

	size += causes *
		(2 * sizeof(struct rank) + sizeof(size_t) + sizeof(double));
	if (has_clusters(fixes))
		size += fixes->clusters * sizeof(struct block) +
			causes * (sizeof(size_t) + sizeof(bool));
	return size;
}

struct fixes_desk *
fixes_desk_new(const struct reason_fixes *fixes, size_t causes)
{
	struct fixes_desk *desk = calloc(1, sizeof *desk);

	if (desk == NULL)
		return NULL;
	desk->fixes = fixes;
	desk->causes = causes;
	desk->units = calloc(causes, sizeof *desk->units);
	desk->room = calloc(causes, sizeof *desk->room);
	desk->tried = calloc(causes, sizeof *desk->tried);
	desk->costs = calloc(causes, sizeof *desk->costs);
	if (desk->units == NULL || desk->room == NULL || desk->tried == NULL ||
	    desk->costs == NULL)
		goto fail;
	if (!has_clusters(fixes))
		return desk;
	desk->blocks = calloc(fixes->clusters, sizeof *desk->blocks);
	desk->after = calloc(causes, sizeof *desk->after);
	desk->joined = calloc(causes, sizeof *desk->joined);
	if (desk->blocks != NULL && desk->after != NULL && desk->joined != NULL)
		return desk;
fail:
	fixes_desk_free(desk);
	return NULL;
}

void
fixes_desk_free(struct fixes_desk *desk)
{
	if (desk == NULL)
		return;
	free(desk->units);
	free(desk->room);
	free(desk->tried);
	free(desk->costs);
	free(desk->blocks);
	free(desk->after);
	free(desk->joined);
	free(desk);
}

/* The single fixes, ordered by share over cost. Returns how many. */
static size_t
rank_singles(struct fixes_desk *desk, const double *weight)
{
	const double *cost = desk->fixes->cost;
	size_t i, count = 0;

	for (i = 0; i < desk->causes; i++) {
		if (!(weight[i] > 0) || i == desk->fixes->last)
			continue;
		desk->units[count].key = weight[i] / cost[i];
		desk->units[count].at = i;
		count++;
	}
	rank_falling(desk->units, desk->room, count);
	return count;
}

/* Of each cluster, the fixes that raise share over cost of its block, from the
 * best on. What is left over is worth less than the block and so comes after
 * it. */
static void
gather_blocks(struct fixes_desk *desk, const double *weight, size_t count)
{
	const struct reason_fixes *fixes = desk->fixes;
	struct block *block;
	size_t k, i;

	for (k = 0; k < fixes->clusters; k++) {
		desk->blocks[k].first = REASON_NONE;
		desk->blocks[k].closed = false;
	}
	for (k = 0; k < count; k++) {
		i = desk->units[k].at;
		desk->joined[i] = false;
		if (fixes->cluster[i] == REASON_NONE)
			continue;
		block = &desk->blocks[fixes->cluster[i]];
		if (block->first == REASON_NONE) {
			block->first = i;
			block->share = 0;
			block->cost = fixes->open[fixes->cluster[i]];
		} else if (!block->closed &&
			   desk->units[k].key >= block->share / block->cost) {
			desk->after[block->end] = i;
			desk->joined[i] = true;
		} else {
			block->closed = true;
			continue;
		}
		block->share += weight[i];
		block->cost += fixes->cost[i];
		block->end = i;
		desk->after[i] = REASON_NONE;
	}
}

static struct block *
block_begun_by(struct fixes_desk *desk, size_t cause)
{
	size_t cluster = desk->fixes->cluster[cause];

	if (cluster == REASON_NONE || desk->blocks[cluster].first != cause)
		return NULL;
	return &desk->blocks[cluster];
}

/* Blocks and the fixes outside them, ordered by share over cost. */
static size_t
rank_blocks(struct fixes_desk *desk, const double *weight)
{
	const struct block *block;
	size_t i, count = 0;

	for (i = 0; i < desk->causes; i++) {
		if (!(weight[i] > 0) || i == desk->fixes->last ||
		    desk->joined[i])
			continue;
		block = block_begun_by(desk, i);
		desk->units[count].key = block != NULL
					     ? block->share / block->cost
					     : weight[i] / desk->fixes->cost[i];
		desk->units[count].at = i;
		count++;
	}
	rank_falling(desk->units, desk->room, count);
	return count;
}

/* Into `tried` and `costs` what the units are made of. */
static size_t
spread(struct fixes_desk *desk, size_t units)
{
	const struct reason_fixes *fixes = desk->fixes;
	size_t k, i, count = 0;

	for (k = 0; k < units; k++) {
		i = desk->units[k].at;
		desk->tried[count] = i;
		desk->costs[count++] = fixes->cost[i];
		if (!has_clusters(fixes) || block_begun_by(desk, i) == NULL)
			continue;
		desk->costs[count - 1] += fixes->open[fixes->cluster[i]];
		while ((i = desk->after[i]) != REASON_NONE) {
			desk->tried[count] = i;
			desk->costs[count++] = fixes->cost[i];
		}
	}
	return count;
}

static size_t
add_last(struct fixes_desk *desk, const double *weight, size_t count)
{
	const struct reason_fixes *fixes = desk->fixes;
	size_t last = fixes->last, cluster;

	if (last == REASON_NONE || !(weight[last] > 0))
		return count;
	desk->tried[count] = last;
	desk->costs[count] = fixes->cost[last];
	if (has_clusters(fixes)) {
		cluster = fixes->cluster[last];
		if (cluster != REASON_NONE &&
		    desk->blocks[cluster].first == REASON_NONE)
			desk->costs[count] += fixes->open[cluster];
	}
	return count + 1;
}

/* Those that have no share, by cost, behind the `count` that have one. */
static void
add_idle(struct fixes_desk *desk, const double *weight, size_t count)
{
	size_t i, k, idle = 0, last = desk->fixes->last;

	for (i = 0; i < desk->causes; i++) {
		if (weight[i] > 0 || i == last)
			continue;
		desk->units[idle].key = 1 / desk->fixes->cost[i];
		desk->units[idle].at = i;
		idle++;
	}
	rank_falling(desk->units, desk->room, idle);
	for (k = 0; k < idle; k++)
		desk->tried[count + k] = desk->units[k].at;
	if (last != REASON_NONE && !(weight[last] > 0))
		desk->tried[count + idle] = last;
}

double
fixes_desk_cost(struct fixes_desk *desk, size_t *order, const double *weight)
{
	double cost = 0, left = 0;
	size_t count, k;

	count = rank_singles(desk, weight);
	if (has_clusters(desk->fixes)) {
		gather_blocks(desk, weight, count);
		count = rank_blocks(desk, weight);
	}
	count = add_last(desk, weight, spread(desk, count));
	for (k = count; k-- > 0;) {
		left += weight[desk->tried[k]];
		cost += left * desk->costs[k];
	}
	if (order != NULL) {
		add_idle(desk, weight, count);
		memcpy(order, desk->tried, desk->causes * sizeof *order);
	}
	return cost;
}

enum lw_status
fixes_order(size_t *order, double *cost, const double *share, size_t causes,
    const struct reason_fixes *fixes, struct lw_err *err)
{
	struct fixes_desk *desk;
	enum lw_status status;

	status = reason_fixes_check(fixes, causes, err);
	if (status == LW_OK)
		status = reason_shares_check(share, causes, err);
	if (status != LW_OK)
		return status;
	desk = fixes_desk_new(fixes, causes);
	if (desk == NULL)
		return err_no_memory(err);
	*cost = fixes_desk_cost(desk, order, share);
	fixes_desk_free(desk);
	return LW_OK;
}

void
fixes_least(double *least, const struct reason_fixes *fixes, size_t causes)
{
	size_t i;

	for (i = 0; i < causes; i++) {
		least[i] = fixes->cost[i];
		if (has_clusters(fixes) && fixes->cluster[i] != REASON_NONE)
			least[i] += fixes->open[fixes->cluster[i]];
	}
}
