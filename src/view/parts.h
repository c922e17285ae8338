/*
 * Building documents: JSON values with one remembered failure, and the parts
 * that several views share. Every function does nothing once something has
 * failed, so a view builds away and asks once, in view_end.
 */
#ifndef VIEW_PARTS_H
#define VIEW_PARTS_H

#include "fill/doc.h"

#include <lampwright/arena.h>
#include <lampwright/book.h>
#include <lampwright/catalogue.h>
#include <lampwright/job.h>
#include <lampwright/rig.h>
#include <lampwright/view.h>

#include <stdbool.h>
#include <stdint.h>

struct view {
	struct lw_book *book;
	struct lw_arena *arena;
	json_t *root;
	enum lw_status status; /* the first failure */
	struct lw_err err;     /* its sentence */
	struct lw_err last;    /* of the last call, for view_got */
	bool looks;	       /* at the book, until view_end */
};

/* Begin a document on a book, which may be NULL. It shows one state of the
 * book: nothing may be written before view_end. */
void view_begin(struct view *view, struct lw_book *book);

/* Begin one on a rig, with its name and title; NULL after a failure, which a
 * rig that is not there is too. */
const struct lw_rig *view_begin_rig(
    struct view *view, struct lw_book *book, const char *name);

/* Fail: the first failure is kept. Returns the status. */
enum lw_status view_fail(struct view *view, enum lw_status status);

/*
 * Whether a call (with &view->last as its err) gave its result. LW_NOT_FOUND
 * is no failure; every other status is, and is remembered.
 */
bool view_got(struct view *view, enum lw_status status);

/*
 * Hand over the document, and return `outcome`; with another outcome than
 * LW_OK its sentence is in view->err. After a failure there is no document
 * and the failure is returned.
 */
enum lw_status view_end(struct view *view, struct lw_doc **doc,
    enum lw_status outcome, struct lw_err *err);

/* --- values; a NULL object or array is an earlier failure ------------- */

/* A text; null where it is NULL or empty. */
void view_text(
    struct view *view, json_t *object, const char *key, const char *text);
/* A text that stands there even when empty. */
void view_words(
    struct view *view, json_t *object, const char *key, const char *text);
void view_int(
    struct view *view, json_t *object, const char *key, int64_t value);
/* A number from 1; null where it is 0. */
void view_number(
    struct view *view, json_t *object, const char *key, int64_t value);
void view_bool(struct view *view, json_t *object, const char *key, bool value);
/* A number; null where it is not finite. */
void view_real(
    struct view *view, json_t *object, const char *key, double value);
void view_null(struct view *view, json_t *object, const char *key);
/* A new object, a new list; borrowed. */
json_t *view_object(struct view *view, json_t *object, const char *key);
json_t *view_list(struct view *view, json_t *object, const char *key);
/* Add to a list: a new object (borrowed), a text. */
json_t *view_add(struct view *view, json_t *list);
void view_add_text(struct view *view, json_t *list, const char *text);
/* Add an object that stands in the document already; it is the same one. To a
 * list, and under a key. */
void view_add_again(struct view *view, json_t *list, json_t *object);
void view_put_again(
    struct view *view, json_t *object, const char *key, json_t *child);

/* --- parts ------------------------------------------------------------ */

/* `time` and `when`. */
void view_time(struct view *view, json_t *object, int64_t time_s);
/* KEY as text and KEY_time; both null where the time is 0. */
void view_moment(
    struct view *view, json_t *object, const char *key, int64_t time_s);
/* "2026-11-25", UTC. */
void view_day(
    struct view *view, json_t *object, const char *key, int64_t time_s);
/* `share` and `percent`. */
void view_share(struct view *view, json_t *object, double share);
/* "Symptom" and "Symptoms". */
const char *view_kind_title(const char *kind);
const char *view_kind_titles(const char *kind);

/* Add the notes on a subject to a list. */
void view_notes(struct view *view, json_t *list, const char *subject_kind,
    const char *subject);
void view_note(struct view *view, json_t *list, const struct lw_entry *note);
/* Add causes with shares from weights alone, the likeliest first. */
void view_causes(struct view *view, json_t *list, const struct lw_refs *causes);
/* Add the trees for a fault or for a symptom; the other is NULL. */
void view_trees(
    struct view *view, json_t *list, const char *fault, const char *symptom);
void view_caution(
    struct view *view, json_t *list, const struct lw_caution *caution);
/* The cautions that are referred to, the gravest first; unknown ids are
 * left out. */
void view_cautions(
    struct view *view, json_t *list, const struct lw_refs *cautions);
/* A point's keys; `own` are the rig's words for it, or NULL. */
void view_put_point(struct view *view, json_t *object,
    const struct lw_point *point, const char *own);
/* A point under a key; null where it is NULL. */
void view_point(struct view *view, json_t *object, const char *key,
    const struct lw_point *point, const char *own);
void view_entry(struct view *view, json_t *list, const struct lw_entry *entry);
void view_job_entry(
    struct view *view, json_t *list, const struct lw_entry *entry);
/* Add jobs, the last touched first: those of a rig (NULL: of all); at most so
 * many that are not over (0: all, also those that are). How many there are of
 * that kind. */
size_t view_jobs(struct view *view, json_t *list, const char *rig,
    size_t most_open, int64_t now_s);
/* `open`, `found` ...: the words for a state; whether the job is over. */
const char *view_state_title(const char *state);
bool view_is_over(const char *state);

/* Entries of the ledger, and what devices said, in the order given. */
void view_settings(
    struct view *view, json_t *list, const struct lw_settings *settings);
/* A setting that is to be read or set on a rig. */
void view_wish(struct view *view, json_t *list, const struct lw_rig *rig,
    const struct lw_setting_wish *wish);
void view_records(
    struct view *view, json_t *list, const struct lw_records *records);

/*
 * Rules by rig in words, a text for each key: "kind of motor: series-wound or
 * separately excited". view_rules adds them to a list; view_rules_text joins
 * them with "; " (in the view's arena; "" without rules).
 */
void view_rules(struct view *view, json_t *list, const struct lw_texts *rules);
const char *view_rules_text(struct view *view, const struct lw_texts *rules);

/* The keys of a step. `serial` is left to the caller. */
void view_step(
    struct view *view, json_t *object, const struct lw_job_step *step);
enum { VIEW_BAND_MAX = 300 };
/* "40 V to 60 V", "below 40 V", "below pack.low"; "" for an outcome without a
 * band. */
void view_band(char *text, size_t size, const struct lw_outcome *outcome,
    const char *unit);

#endif
