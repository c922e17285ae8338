/* Picks the findings that count and looks up what each says; what follows
 * from them together is left to reason. */
#include "job/evidence.h"

#include "base/arena.h"
#include "base/err.h"
#include "reason/pairs.h"

#include <stdlib.h>
#include <string.h>

static bool
is_evidence(const struct lw_finding *finding, const struct repair *repair)
{
	if (finding->undone || finding->subject == NULL ||
	    finding->outcome == NULL || !findings_is_outcome(finding->kind))
		return false;
	return finding->kind == LW_FINDING_CHECK ||
	       repair_is_out(repair, finding->about);
}

static int
by_check(const void *a, const void *b)
{
	const struct lw_finding *one = *(const struct lw_finding *const *)a;
	const struct lw_finding *other = *(const struct lw_finding *const *)b;
	int order = strcmp(one->subject, other->subject);

	return order != 0 ? order : (one > other) - (one < other);
}

static int
by_serial(const void *a, const void *b)
{
	const struct lw_finding *one = *(const struct lw_finding *const *)a;
	const struct lw_finding *other = *(const struct lw_finding *const *)b;

	return (one > other) - (one < other);
}

static enum lw_status
gather(struct evidence *evidence, struct lw_arena *arena,
    const struct findings *findings, const struct repair *repair,
    struct lw_err *err)
{
	const struct lw_finding **list;
	size_t all = 0, kept = 0, i;

	list = arena_array(
	    arena, findings->count + 1, sizeof(const struct lw_finding *));
	if (list == NULL)
		return err_no_memory(err);
	for (i = 0; i < findings->count; i++)
		if (is_evidence(&findings->items[i], repair))
			list[all++] = &findings->items[i];
	if (all > 1)
		qsort(list, all, sizeof(const struct lw_finding *), by_check);
	for (i = 0; i < all; i++)
		if (i + 1 == all ||
		    strcmp(list[i]->subject, list[i + 1]->subject) != 0)
			list[kept++] = list[i];
	if (kept > 1)
		qsort(list, kept, sizeof(const struct lw_finding *), by_serial);
	evidence->items = list;
	evidence->count = kept;
	return LW_OK;
}

size_t
evidence_check(const struct weighing *weighing, const char *id)
{
	size_t j;

	for (j = 0; j < weighing->table.checks; j++)
		if (strcmp(weighing->speakers[j].id, id) == 0)
			break;
	return j;
}

size_t
evidence_outcome(const struct book_speaker *speaker, const char *id)
{
	size_t o;

	for (o = 0; id != NULL && o < speaker->outcome_count; o++)
		if (strcmp(speaker->outcomes[o].id, id) == 0)
			return o;
	return REASON_NONE;
}

/* --- what each says ------------------------------------------------------ */

/* Fold in the causes that were there as well when it was found. */
static void
add_repaired(double *rows, const struct weighing *weighing,
    const struct repair *repair, size_t check, const struct lw_finding *finding)
{
	const struct book_speaker *speaker = &weighing->speakers[check];
	size_t outcomes = speaker->outcome_count, r, i;
	double *one = rows + outcomes, *both = one + outcomes;

	for (r = 0; r < repair->out_count; r++) {
		if (!repair->out[r].repaired ||
		    finding->serial >= repair->out[r].fixed)
			continue;
		i = play_find(weighing->play, repair->out[r].cause);
		if (i == weighing->play->count)
			continue;
		weigh_row(one, weighing, check, i);
		pairs_given(both, rows, one, outcomes, weigh_expected(speaker));
		memcpy(rows, both, outcomes * sizeof *rows);
	}
}

double
evidence_given(double *rows, const struct weighing *weighing,
    const struct repair *repair, size_t check, const struct lw_finding *finding)
{
	const struct book_speaker *speaker = &weighing->speakers[check];
	size_t outcome = evidence_outcome(speaker, finding->outcome);
	size_t also = evidence_outcome(speaker, finding->also);

	add_repaired(rows, weighing, repair, check, finding);
	if (also != REASON_NONE)
		return (rows[outcome] + rows[also]) / 2;
	return rows[outcome];
}

static size_t
most_outcomes(const struct weighing *weighing)
{
	size_t most = 1, j;

	for (j = 0; j < weighing->table.checks; j++)
		if (weighing->speakers[j].outcome_count > most)
			most = weighing->speakers[j].outcome_count;
	return most;
}

enum lw_status
evidence_find(struct evidence *evidence, struct lw_arena *arena,
    const struct findings *findings, const struct repair *repair,
    const struct weighing *weighing, struct lw_err *err)
{
	size_t causes = weighing->table.causes, kept = 0, i, j, c;
	enum lw_status status;
	double *rows;

	memset(evidence, 0, sizeof *evidence);
	status = gather(evidence, arena, findings, repair, err);
	if (status != LW_OK)
		return status;
	evidence->check =
	    arena_array(arena, evidence->count + 1, sizeof *evidence->check);
	evidence->likelihood = arena_array(arena,
	    (evidence->count + 1) * causes, sizeof *evidence->likelihood);
	rows = arena_array(arena, 3 * most_outcomes(weighing), sizeof *rows);
	if (evidence->check == NULL || evidence->likelihood == NULL ||
	    rows == NULL)
		return err_no_memory(err);
	for (i = 0; i < evidence->count; i++) {
		const struct lw_finding *finding = evidence->items[i];

		j = evidence_check(weighing, finding->subject);
		if (j == weighing->table.checks ||
		    evidence_outcome(&weighing->speakers[j],
			finding->outcome) == REASON_NONE)
			continue;
		for (c = 0; c < causes; c++) {
			weigh_row(rows, weighing, j, c);
			evidence->likelihood[kept * causes + c] =
			    evidence_given(rows, weighing, repair, j, finding);
		}
		evidence->check[kept] = j;
		evidence->items[kept++] = finding;
	}
	evidence->count = kept;
	return LW_OK;
}
