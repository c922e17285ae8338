/* The rig that a command is about. */
#ifndef CLI_RIG_NAMED_H
#define CLI_RIG_NAMED_H

#include "cli/cli.h"

#include <lampwright/rig.h>

#include <stddef.h>

/* The name at a place among the words; where there is no such word, the rig
 * in hand. LW_NOT_FOUND: none is in hand. */
enum lw_status rig_named(const char **rig, const struct cli *cli,
    struct lw_arena *arena, size_t place, struct lw_err *err);

/* `rig log`: keep what a device said, or list what is kept. */
int rig_log(struct cli *cli);

#endif
