/* What findings say of one cause by its authors' words: which check proves it,
 * and whether it shows itself anew after a repair. What follows is left to
 * situation. */
#include "job/proof.h"

#include <string.h>

/* Whether the author says that a cause usually gives this, or always. */
static bool
speaks_for(const struct lw_outcome *outcome, const char *cause)
{
	size_t i;

	for (i = 0; i < outcome->speaks.count; i++)
		if (strcmp(outcome->speaks.items[i].id, cause) == 0 &&
		    lw_likelihood_value(outcome->speaks.items[i].word) >= 0.8)
			return true;
	return false;
}

enum lw_status
proof_find(struct situation *at, struct shelf *shelf, struct lw_err *err)
{
	const struct findings *findings = &at->findings;
	const struct lw_check *check;
	enum lw_status status;
	const struct lw_finding *found = NULL, *item;
	size_t i, o;
	bool expects, fits;

	at->led_by = NULL;
	for (i = 0; i < findings->on_count; i++) {
		item = findings->on[i];
		/* The last one of them. */
		if (item->kind != LW_FINDING_CHECK || item->outcome == NULL ||
		    (found != NULL && item < found))
			continue;
		status = shelf_check(&check, shelf, item->subject, err);
		if (status != LW_OK)
			return status;
		if (check == NULL)
			continue;
		expects = false;
		fits = false;
		for (o = 0; o < check->outcome_count; o++) {
			const struct lw_outcome *out = &check->outcomes[o];

			expects = expects || out->expected;
			if (out->expected ||
			    strcmp(out->id, item->outcome) != 0)
				continue;
			if (at->walk.end == WALK_CAUSE &&
			    strcmp(at->walk.target, at->cause) == 0 &&
			    strcmp(at->walk.check, check->id) == 0)
				fits = true;
			fits = fits || speaks_for(out, at->cause);
		}
		if (!expects || !fits)
			continue;
		at->led_by = check->id;
		found = item;
	}
	return LW_OK;
}

/* --- repaired, and there again ------------------------------------------- */

/* Whether the check that proved its repair speaks for it once more. That the
 * trouble as a whole is still there, does not. */
static enum lw_status
shows_again(bool *again, const struct situation *at, struct shelf *shelf,
    const struct repair_out *out, struct lw_err *err)
{
	const struct lw_outcome *outcome;
	const struct lw_finding *item;
	const struct lw_check *check;
	enum lw_status status;
	size_t o;

	*again = false;
	if (out->check == NULL)
		return LW_OK;
	item = findings_on(&at->findings, out->check);
	if (item == NULL || item->serial <= out->fixed ||
	    item->kind != LW_FINDING_CHECK || item->outcome == NULL)
		return LW_OK;
	status = shelf_check(&check, shelf, item->subject, err);
	for (o = 0; check != NULL && o < check->outcome_count; o++) {
		outcome = &check->outcomes[o];
		if (!outcome->expected &&
		    strcmp(outcome->id, item->outcome) == 0 &&
		    speaks_for(outcome, out->cause))
			*again = true;
	}
	return status;
}

enum lw_status
proof_take_back(struct situation *at, struct shelf *shelf, struct lw_err *err)
{
	enum lw_status status;
	bool again;
	size_t i;

	for (i = at->repair.out_count; i-- > 0;) {
		if (!at->repair.out[i].repaired)
			continue;
		status =
		    shows_again(&again, at, shelf, &at->repair.out[i], err);
		if (status != LW_OK)
			return status;
		if (again)
			repair_take_back(&at->repair, at->repair.out[i].cause);
	}
	return LW_OK;
}
