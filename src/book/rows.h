/* Reading what items of every kind have in their rows. */
#ifndef BOOK_ROWS_H
#define BOOK_ROWS_H

#include "book/query.h"

/* Start the statement that reads an item's own row, and step to it. A row
 * that is not there is LW_CORRUPT. */
bool rows_start(struct query *query, struct lw_book *book, enum statement which,
    int64_t number, struct lw_err *err);

/* What every item has. `source` and `own` may be NULL. */
enum lw_status rows_item(struct lw_book *book, struct lw_arena *arena,
    int64_t number, const char **id, const char **title, const char **source,
    bool *own, struct lw_err *err);

/* A list of texts: column 0. */
enum lw_status rows_texts(struct lw_book *book, struct lw_arena *arena,
    enum statement which, int64_t number, struct lw_texts *texts,
    struct lw_err *err);

/* Rules by rig, as put_rules keeps them; NULL is none. */
void rows_rules(struct query *query, struct lw_arena *arena, int column,
    struct lw_texts *only);

/* A list of ids: column 0, and with `words` the word in column 1. */
enum lw_status rows_refs(struct lw_book *book, struct lw_arena *arena,
    enum statement which, int64_t number, bool words, struct lw_refs *refs,
    struct lw_err *err);

/* A word that the book cannot have written leaves the state unknown. */
enum lw_power rows_power(struct query *query, int column);
/* One that it cannot have written is none. */
enum lw_meter rows_meter(struct query *query, int column);

#endif
