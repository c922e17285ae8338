/* Rules by rig: "key=value" on a fact that is a choice. */
#ifndef PACK_RULES_H
#define PACK_RULES_H

#include "pack/set.h"

#include <stdbool.h>

/* Whether a text is a rule on a fact that rigs have; told where it is not. */
bool pack_rule_check(
    const struct pack_file *file, const struct pack_node *node);

#endif
