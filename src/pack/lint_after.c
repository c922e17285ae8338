/* The compulsory checks before a way into a power state: those that `after`
 * lists can be made where they are asked, and say when all is well. That
 * each is there, and stands once, is left to links.c and lists.c. */
#include "base/err.h"
#include "pack/set.h"

/* The state that one of a check's outcomes enters; LW_POWER_UNKNOWN: none. */
static enum lw_power
entered_by(const struct lw_check *check)
{
	size_t i;

	for (i = 0; i < check->outcome_count; i++)
		if (check->outcomes[i].enters != LW_POWER_UNKNOWN)
			return check->outcomes[i].enters;
	return LW_POWER_UNKNOWN;
}

static bool
has_expected(const struct lw_check *check)
{
	size_t i;

	for (i = 0; i < check->outcome_count; i++)
		if (check->outcomes[i].expected)
			return true;
	return false;
}

/* One compulsory check, of a way into the state `into`. */
static void
lint_first(const struct pack_file *file, const struct lw_ref *ref,
    const struct lw_check *first, enum lw_power into)
{
	const char *id = pack_quote(file->set, ref->id);

	if (entered_by(first) != LW_POWER_UNKNOWN || first->after.count > 0) {
		pack_tell(file, ref->at, "after-chain",
		    "\"%s\" %s, and what comes compulsorily before a way "
		    "into a state stands by itself",
		    id,
		    first->after.count > 0 ? "has checks before it"
					   : "is a way into a state itself");
		return;
	}
	if (!has_expected(first))
		pack_tell(file, ref->at, "after-without-expected",
		    "\"%s\" has no outcome marked \"expected: yes\", so it "
		    "can never be passed",
		    id);
	if (first->power != LW_POWER_ISOLATED)
		pack_tell(file, ref->at, "after-live",
		    "\"%s\" is made in the state %s; what comes compulsorily "
		    "before a way into a state is made isolated",
		    id, lw_power_name(first->power));
	else if (into == LW_POWER_ISOLATED &&
		 lw_meter_needs_isolation(first->meter))
		pack_tell(file, ref->at, "after-range",
		    "%s drives current into the circuit, and \"%s\" comes "
		    "before that is proved dead; look, or measure volts",
		    lw_meter_name(first->meter), id);
}

enum lw_status
pack_lint_after(const struct pack_file *file, const struct lw_check *check,
    const struct pack_node *node, struct lw_err *err)
{
	enum lw_power into = entered_by(check);
	const struct lw_check *first;
	enum lw_status status;
	size_t i;

	if (check->after.count == 0)
		return LW_OK;
	if (into == LW_POWER_UNKNOWN) {
		pack_tell(file, pack_node_where(node, "after"),
		    "after-without-gate",
		    "no outcome of the check enters a state, so no check is "
		    "compulsory before it; leave \"after\" out");
		return LW_OK;
	}
	for (i = 0; i < check->after.count; i++) {
		status = pack_check_of(
		    file->set, &first, check->after.items[i].id, err);
		if (status != LW_OK)
			return status;
		if (first != NULL)
			lint_first(file, &check->after.items[i], first, into);
	}
	return LW_OK;
}
