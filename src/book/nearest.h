/* The ids nearest to one that there is not. */
#ifndef BOOK_NEAREST_H
#define BOOK_NEAREST_H

#include "book/store.h"

enum { NEAREST_NAME_MAX = 72 };

/* A text as a sentence may show it: cut after 64 bytes, and what is not
 * UTF-8 or not printable as question marks. `name` has NEAREST_NAME_MAX
 * bytes. Returns name. */
const char *nearest_name(char *name, const char *text);

/* Set LW_NOT_FOUND with 'there is no device "foo"; nearest are "fob"', and
 * return it, or what went wrong meanwhile. */
enum lw_status nearest_not_found(
    struct lw_book *book, const char *kind, const char *id, struct lw_err *err);

/* The same of a rig; those that were removed are not named. */
enum lw_status nearest_rig_not_found(
    struct lw_book *book, const char *rig, struct lw_err *err);

#endif
