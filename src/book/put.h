/* Putting the items of one pack in; shared by the files that do it. */
#ifndef BOOK_PUT_H
#define BOOK_PUT_H

#include "base/buf.h"
#include "book/query.h"

struct put {
	struct lw_book *book;
	const struct lw_pack *pack;
	int64_t now_s;
	struct lw_err *err;
};

/* The row that every item has, and the number it gets. LW_CONFLICT: the id
 * is somebody else's. LW_BAD_INPUT: the pack has it twice. */
enum lw_status put_item_row(struct put *put, const char *kind, size_t seq,
    const char *id, const char *title, const char *source,
    const struct lw_where *at, int64_t *number);

/* Lists: of texts, of ids, and of ids with a weight. */
enum lw_status put_texts(struct put *put, enum statement which, int64_t number,
    const struct lw_texts *texts);
enum lw_status put_ids(struct put *put, enum statement which, int64_t number,
    const struct lw_refs *refs);
enum lw_status put_weights(struct put *put, enum statement which,
    int64_t number, const struct lw_refs *refs);

/* The word of an enumeration, NULL where it is "". */
const char *put_word(const char *word);
/* The power state's word, NULL where it is unknown. */
const char *put_power_word(enum lw_power power);
/* Bind rules by rig, joined by spaces, or NULL where there are none. The
 * caller clears `joined` after the query; what goes wrong the query has. */
void put_rules(struct query *query, int parameter, struct buf *joined,
    const struct lw_texts *only);
/* Bind the number, or NULL where there is none. */
void put_real(struct query *query, int parameter, double value, bool has);

/* One item each, the seq-th of its kind, with all that hangs on it. */
enum lw_status put_device(
    struct put *put, size_t seq, const struct lw_device *device);
enum lw_status put_fault(
    struct put *put, size_t seq, const struct lw_fault *fault);
enum lw_status put_symptom(
    struct put *put, size_t seq, const struct lw_symptom *symptom);
enum lw_status put_cause(
    struct put *put, size_t seq, const struct lw_cause *cause);
enum lw_status put_point(
    struct put *put, size_t seq, const struct lw_point *point);
enum lw_status put_caution(
    struct put *put, size_t seq, const struct lw_caution *caution);
enum lw_status put_value(
    struct put *put, size_t seq, const struct lw_value *value);
enum lw_status put_known_setting(
    struct put *put, size_t seq, const struct lw_known_setting *setting);
enum lw_status put_check(
    struct put *put, size_t seq, const struct lw_check *check);
enum lw_status put_tree(
    struct put *put, size_t seq, const struct lw_tree *tree);

#endif
