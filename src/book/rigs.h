/* What the files on rigs, the ledger and records share. */
#ifndef BOOK_RIGS_H
#define BOOK_RIGS_H

#include "book/store.h"

#include <lampwright/rig.h>

/*
 * Whether there is a rig of that name: LW_NOT_FOUND names the nearest. With
 * `removed` NULL one that was removed is LW_NOT_FOUND as well, and the
 * sentence says how it comes back.
 */
enum lw_status rigs_find(
    struct lw_book *book, const char *rig, bool *removed, struct lw_err *err);

/*
 * Whether something may be written down on a rig: it is there; it has a
 * device of that name, or none at all; and the job, where it is not 0, is
 * there and not on another rig.
 */
enum lw_status rigs_check_entry(struct lw_book *book, const char *rig,
    const char *device, int64_t job, struct lw_err *err);

/* The points that a statement gives for a rig. */
enum lw_status rigs_points(struct lw_book *book, struct lw_arena *arena,
    enum statement which, const char *rig, const struct lw_rig_point **points,
    size_t *count, struct lw_err *err);

#endif
