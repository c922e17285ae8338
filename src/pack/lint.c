/* What can be told once all files are read: the parts of each item against
 * one another, references, power states. */
#include "base/err.h"
#include "pack/set.h"

enum lw_status
pack_lint(struct pack_set *set, struct lw_err *err)
{
	return pack_links_check(set, err);
}
