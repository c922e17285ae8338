/* Packs of a table of assets, into the book. */
#ifndef PACK_SHIP_H
#define PACK_SHIP_H

#include <lampwright/pack.h>

#include "base/asset.h"

/* As lw_pack_ship, of the table's files kb/NAME.yaml. */
enum lw_status pack_ship_from(struct lw_book *book, const struct asset *table,
    int64_t now_s, size_t *count, struct lw_err *err);

#endif
