/* Keeping the index of texts in step with the items. Each is called inside
 * the transaction that puts the item in. */
#ifndef BOOK_INDEX_H
#define BOOK_INDEX_H

#include "book/store.h"

/* A device is read from the book, with the builder's codes. */
enum lw_status index_device(
    struct lw_book *book, int64_t number, struct lw_err *err);
enum lw_status index_fault(struct lw_book *book, int64_t number,
    const struct lw_fault *fault, struct lw_err *err);
enum lw_status index_symptom(struct lw_book *book, int64_t number,
    const struct lw_symptom *symptom, struct lw_err *err);
enum lw_status index_cause(struct lw_book *book, int64_t number,
    const struct lw_cause *cause, struct lw_err *err);
enum lw_status index_check(struct lw_book *book, int64_t number,
    const struct lw_check *check, struct lw_err *err);
enum lw_status index_setting(struct lw_book *book, int64_t number,
    const struct lw_known_setting *setting, struct lw_err *err);

/* Take out what is indexed under a number; nothing is fine. */
enum lw_status index_remove(
    struct lw_book *book, int64_t number, struct lw_err *err);

#endif
