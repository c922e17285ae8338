/* What a tree of the builder's own has to be like before it is kept: what a
 * pack's lint asks of one, so that it can be written as a pack and read. */
#ifndef BOOK_SOUND_TREE_H
#define BOOK_SOUND_TREE_H

#include "book/store.h"

enum { SOUND_TREE_STEPS_MAX = 2000 };

/* Its texts and numbers, without a look at the book. LW_BAD_INPUT; LW_TOO_BIG:
 * more steps than SOUND_TREE_STEPS_MAX. */
enum lw_status sound_tree_texts(const struct lw_tree *tree, struct lw_err *err);

/* That every id leads somewhere (LW_NOT_FOUND names the nearest), that a step
 * has one branch for each outcome of its check, and that steps run downwards,
 * to each of them (LW_BAD_INPUT). Called within a transaction, with texts that
 * are sound. */
enum lw_status sound_tree(struct lw_book *book, struct lw_arena *scratch,
    const struct lw_tree *tree, struct lw_err *err);

#endif
