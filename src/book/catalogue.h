/* Reading items by their number, and the words that enumerations are kept
 * as. Lent to the other files of src/book. */
#ifndef BOOK_CATALOGUE_H
#define BOOK_CATALOGUE_H

#include "book/store.h"

/* The kinds of items, as the book spells them; ends with NULL. */
extern const char *const catalogue_kinds[];

bool catalogue_is_kind(const char *kind);

/* LW_NOT_FOUND with the nearest ids in its sentence. `number` may be NULL. */
enum lw_status catalogue_number(struct lw_book *book, int64_t *number,
    const char *kind, const char *id, struct lw_err *err);

/* Whether there is one, and whose; *pack is NULL where there is none. */
enum lw_status catalogue_owner(struct lw_book *book, struct lw_arena *arena,
    const char *kind, const char *id, int64_t *number, const char **pack,
    struct lw_err *err);

/* The numbers of a pack's items of a kind, in the author's order. */
enum lw_status catalogue_numbers(struct lw_book *book, struct lw_arena *arena,
    const char *pack, const char *kind, const int64_t **numbers, size_t *count,
    struct lw_err *err);

/* The item of that number. A device is read with the pack's codes alone. */
enum lw_status catalogue_device(struct lw_book *book, struct lw_arena *arena,
    int64_t number, struct lw_device *device, struct lw_err *err);
enum lw_status catalogue_fault(struct lw_book *book, struct lw_arena *arena,
    int64_t number, struct lw_fault *fault, struct lw_err *err);
enum lw_status catalogue_symptom(struct lw_book *book, struct lw_arena *arena,
    int64_t number, struct lw_symptom *symptom, struct lw_err *err);
enum lw_status catalogue_cause(struct lw_book *book, struct lw_arena *arena,
    int64_t number, struct lw_cause *cause, struct lw_err *err);
enum lw_status catalogue_check(struct lw_book *book, struct lw_arena *arena,
    int64_t number, struct lw_check *check, struct lw_err *err);
enum lw_status catalogue_point(struct lw_book *book, struct lw_arena *arena,
    int64_t number, struct lw_point *point, struct lw_err *err);
enum lw_status catalogue_caution(struct lw_book *book, struct lw_arena *arena,
    int64_t number, struct lw_caution *caution, struct lw_err *err);
enum lw_status catalogue_value(struct lw_book *book, struct lw_arena *arena,
    int64_t number, struct lw_value *value, struct lw_err *err);
enum lw_status catalogue_known_setting(struct lw_book *book,
    struct lw_arena *arena, int64_t number, struct lw_known_setting *setting,
    struct lw_err *err);
enum lw_status catalogue_tree(struct lw_book *book, struct lw_arena *arena,
    int64_t number, struct lw_tree *tree, struct lw_err *err);

/* The builder's codes on a device, in the order taught. */
enum lw_status catalogue_own_codes(struct lw_book *book, struct lw_arena *arena,
    const char *device, const struct lw_code **codes, size_t *count,
    struct lw_err *err);

/* The device with the builder's codes: each in place of the pack's for the
 * same lamp and pattern, the others after it. */
enum lw_status catalogue_whole_device(struct lw_book *book,
    struct lw_arena *arena, int64_t number, struct lw_device *device,
    struct lw_err *err);

/* All values of all packs that are in the book, by pack and in the author's
 * order. */
enum lw_status catalogue_values(struct lw_book *book, struct lw_arena *arena,
    const struct lw_value *const **values, size_t *count, struct lw_err *err);

/* Where a branch leads, as the book spells it. */
const char *catalogue_branch_word(enum lw_branch_kind kind);

#endif
