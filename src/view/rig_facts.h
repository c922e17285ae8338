/* What can be said of a rig, and what it comes to. */
#ifndef VIEW_RIG_FACTS_H
#define VIEW_RIG_FACTS_H

#include "view/parts.h"

/* `facts`, `parts`, `known_facts`, `unknown`, `conflicts` and `cautions` of
 * the document. */
void view_rig_facts(struct view *view, const struct lw_rig *rig);

#endif
