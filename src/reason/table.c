/* Whether a table is one; what follows from it is left to next, fixes and
 * policy. */
#include "reason/table.h"

#include "base/err.h"

#include <math.h>

/* How far likelihoods may be from adding up to 1. */
static const double CLOSE = 1e-6;

/* How many causes are added up at a time. */
enum { BLOCK = 512 };

static bool
is_cost(double cost)
{
	return cost >= 0 && cost <= REASON_COST_MAX;
}

static enum lw_status
check_given(const struct reason_check *check, size_t number, size_t causes,
    struct lw_err *err)
{
	double sum[BLOCK];
	size_t begin, count, o, i;

	for (begin = 0; begin < causes; begin += count) {
		count = causes - begin < BLOCK ? causes - begin : BLOCK;
		for (i = 0; i < count; i++)
			sum[i] = 0;
		for (o = 0; o < check->outcomes; o++) {
			const double *given = check->given + o * causes + begin;
			bool sound = true;

			for (i = 0; i < count; i++) {
				sound &= given[i] >= 0;
				sum[i] += given[i];
			}
			if (!sound)
				return err_set(err, LW_BAD_INPUT,
				    "check %zu has a likelihood that is no "
				    "number from 0 to 1",
				    number);
		}
		for (i = 0; i < count; i++)
			if (!(fabs(sum[i] - 1) <= CLOSE))
				return err_set(err, LW_BAD_INPUT,
				    "the likelihoods of check %zu under cause "
				    "%zu have to add up to 1, not to %g",
				    number, begin + i, sum[i]);
	}
	return LW_OK;
}

static enum lw_status
check_checks(const struct reason_table *table, struct lw_err *err)
{
	enum lw_status status;
	size_t j;

	for (j = 0; j < table->checks; j++) {
		const struct reason_check *check = &table->check[j];

		if (check->outcomes == 0)
			return err_set(err, LW_BAD_INPUT,
			    "check %zu has no outcome; it needs one or more",
			    j);
		if (!is_cost(check->cost))
			return err_set(err, LW_BAD_INPUT,
			    "check %zu costs %g; a cost is a number from 0 to "
			    "%g",
			    j, check->cost, REASON_COST_MAX);
		if (check->state >= table->states)
			return err_set(err, LW_BAD_INPUT,
			    "check %zu is done in state %zu, but there are "
			    "only %zu",
			    j, check->state, table->states);
		status = check_given(check, j, table->causes, err);
		if (status != LW_OK)
			return status;
	}
	return LW_OK;
}

static enum lw_status
check_states(const struct reason_table *table, struct lw_err *err)
{
	size_t from, to;
	double cost;

	if (table->states == 0)
		return err_set(err, LW_BAD_INPUT,
		    "a table has one state or more, and this has none");
	if (table->begin >= table->states)
		return err_set(err, LW_BAD_INPUT,
		    "the table begins in state %zu, but there are only %zu",
		    table->begin, table->states);
	if (table->setup == NULL)
		return LW_OK;
	for (from = 0; from < table->states; from++)
		for (to = 0; to < table->states; to++) {
			cost = table->setup[from * table->states + to];
			if (!is_cost(cost) || (from == to && cost != 0))
				return err_set(err, LW_BAD_INPUT,
				    "to go from state %zu to state %zu costs "
				    "%g; it has to be a number from 0 to %g, "
				    "and 0 from a state to itself",
				    from, to, cost, REASON_COST_MAX);
		}
	return LW_OK;
}

enum lw_status
reason_fixes_check(
    const struct reason_fixes *fixes, size_t causes, struct lw_err *err)
{
	size_t i;

	if (fixes->last != REASON_NONE && fixes->last >= causes)
		return err_set(err, LW_BAD_INPUT,
		    "cause %zu comes last, but there are only %zu causes",
		    fixes->last, causes);
	for (i = 0; i < causes; i++) {
		if (!is_cost(fixes->cost[i]) || fixes->cost[i] <= 0)
			return err_set(err, LW_BAD_INPUT,
			    "the fix for cause %zu costs %g; it has to be a "
			    "number above 0 and up to %g",
			    i, fixes->cost[i], REASON_COST_MAX);
		if (fixes->cluster != NULL &&
		    fixes->cluster[i] != REASON_NONE &&
		    fixes->cluster[i] >= fixes->clusters)
			return err_set(err, LW_BAD_INPUT,
			    "cause %zu is in cluster %zu, but there are only "
			    "%zu",
			    i, fixes->cluster[i], fixes->clusters);
	}
	if (fixes->cluster == NULL)
		return LW_OK;
	for (i = 0; i < fixes->clusters; i++)
		if (!is_cost(fixes->open[i]))
			return err_set(err, LW_BAD_INPUT,
			    "opening cluster %zu costs %g; a cost is a number "
			    "from 0 to %g",
			    i, fixes->open[i], REASON_COST_MAX);
	return LW_OK;
}

enum lw_status
reason_table_check(const struct reason_table *table,
    const struct reason_fixes *fixes, struct lw_err *err)
{
	enum lw_status status;

	if (table->causes == 0)
		return err_set(err, LW_BAD_INPUT,
		    "a table has one cause or more, and this has none");
	status = check_states(table, err);
	if (status == LW_OK)
		status = check_checks(table, err);
	if (status == LW_OK && fixes != NULL)
		status = reason_fixes_check(fixes, table->causes, err);
	return status;
}

enum lw_status
reason_shares_check(const double *share, size_t causes, struct lw_err *err)
{
	double sum = 0;
	size_t i;

	for (i = 0; i < causes; i++) {
		if (!(share[i] >= 0))
			return err_set(err, LW_BAD_INPUT,
			    "the share of cause %zu is %g; it has to be a "
			    "number from 0 to 1",
			    i, share[i]);
		sum += share[i];
	}
	if (!(fabs(sum - 1) <= CLOSE))
		return err_set(err, LW_BAD_INPUT,
		    "the shares of the causes have to add up to 1, not to %g",
		    sum);
	return LW_OK;
}
