/* What a device says about its lamps, for reading a pattern. */
#ifndef VIEW_HINT_H
#define VIEW_HINT_H

#include <lampwright/arena.h>
#include <lampwright/catalogue.h>
#include <lampwright/pattern.h>

/* The hint for one lamp of a device; LW_NO_MEMORY. */
enum lw_status view_hint(struct lw_lamp_hint *hint, struct lw_arena *arena,
    const struct lw_device *device, const struct lw_lamp *lamp,
    struct lw_err *err);

/* The lamp of that id, or the only one when `id` is NULL. LW_NOT_FOUND: no
 * such lamp, LW_BAD_INPUT: several; the sentence names them. */
enum lw_status view_lamp(const struct lw_lamp **lamp,
    const struct lw_device *device, const char *id, struct lw_err *err);

#endif
