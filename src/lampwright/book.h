/*
 * The book: one SQLite file that holds packs, the builder's own devices,
 * codes and notes, and the jobs.
 *
 * Every call may return LW_FAILED (disk, permission, lock), LW_CORRUPT and
 * LW_NO_MEMORY besides what it names. Results live in the given arena. One
 * thread at a time may use a book, and the arenas of its results with it.
 */
#ifndef LAMPWRIGHT_BOOK_H
#define LAMPWRIGHT_BOOK_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include <lampwright/arena.h>
#include <lampwright/catalogue.h>
#include <lampwright/status.h>

#ifdef __cplusplus
extern "C" {
#endif

struct lw_book;

/*
 * Open the book at `path`, creating it (file 0600) where there is none;
 * `created`, which may be NULL, says whether it was. An older book is
 * upgraded in one transaction. The folder must exist.
 *
 * LW_CORRUPT: not a book. LW_NEWER: from a newer version, left untouched.
 */
enum lw_status lw_book_open(struct lw_book **book, bool *created,
    const char *path, struct lw_err *err);

/* Close the book. NULL is fine. */
void lw_book_close(struct lw_book *book);

/* SQLite's integrity and foreign key checks, and our own: every finding of
 * every job has its serial, every id of the index exists, what is held and
 * the rig in hand are there. LW_CORRUPT with the first problem. */
enum lw_status lw_book_check(struct lw_book *book, struct lw_err *err);

/* A safe copy while in use (file 0600), without the paired screens and without
 * who holds which vehicle, so that a copy that gets about opens no door.
 * LW_CONFLICT: `path` exists already. */
enum lw_status lw_book_save(
    struct lw_book *book, const char *path, struct lw_err *err);

/* A number that changes with every change to the book, from any process. */
enum lw_status lw_book_change(
    struct lw_book *book, int64_t *change, struct lw_err *err);

/* One row of any listing. Texts that do not apply are "". */
struct lw_entry {
	const char *kind; /* device, fault, symptom, cause, check, note, ... */
	const char *id;
	const char *title;
	const char *detail; /* snippet, words, version: what the listing says */
	const char *subject_kind; /* of a note: what it is on */
	const char *subject;
	double score;      /* of a hit: higher is better */
	int64_t time_s;    /* when it was made; 0 not known */
	bool own;          /* the builder's */
};

struct lw_entries {
	const struct lw_entry *items;
	size_t count;
};

/* --- packs ------------------------------------------------------------ */

/*
 * Put a pack in, in place of an earlier one of the same name, in one
 * transaction. Own devices, codes, notes and jobs are never touched.
 * LW_CONFLICT: an id of it belongs to another pack or to the builder.
 */
enum lw_status lw_book_put_pack(struct lw_book *book,
    const struct lw_pack *pack, int64_t now_s, struct lw_err *err);

/* The pack as it was read, in the author's order; "own" gives the builder's
 * devices, codes and trees. LW_NOT_FOUND. */
enum lw_status lw_book_get_pack(struct lw_book *book, struct lw_arena *arena,
    const char *name, const struct lw_pack **pack, struct lw_err *err);

/* LW_NOT_FOUND; LW_BAD_INPUT for "own". */
enum lw_status lw_book_remove_pack(
    struct lw_book *book, const char *name, struct lw_err *err);

/* kind "pack", id name, title, detail version, time_s when read. */
enum lw_status lw_book_list_packs(struct lw_book *book,
    struct lw_arena *arena, struct lw_entries *packs, struct lw_err *err);

/*
 * What the book knows of a pack's name, for re-reading the shipped ones:
 * `digest` (NULL when none), whether it was `shipped`, and whether the
 * builder `removed` it. LW_NOT_FOUND: never seen.
 */
struct lw_pack_state {
	const char *digest;
	bool shipped;
	bool removed;
};
enum lw_status lw_book_pack_state(struct lw_book *book,
    struct lw_arena *arena, const char *name, struct lw_pack_state *state,
    struct lw_err *err);

/* Which pack an id of a kind ("fault", "check", ...) belongs to; "own" for
 * the builder's. LW_NOT_FOUND. */
enum lw_status lw_book_pack_of(struct lw_book *book, struct lw_arena *arena,
    const char *kind, const char *id, const char **pack, struct lw_err *err);

/* --- the catalogue: LW_NOT_FOUND names the nearest ids in its sentence --- */

/* A device's codes are the pack's and the builder's own; an own code stands
 * in place of the pack's for the same lamp and pattern. */
enum lw_status lw_book_device(struct lw_book *book, struct lw_arena *arena,
    const char *id, const struct lw_device **device, struct lw_err *err);
enum lw_status lw_book_fault(struct lw_book *book, struct lw_arena *arena,
    const char *id, const struct lw_fault **fault, struct lw_err *err);
enum lw_status lw_book_symptom(struct lw_book *book, struct lw_arena *arena,
    const char *id, const struct lw_symptom **symptom, struct lw_err *err);
enum lw_status lw_book_cause(struct lw_book *book, struct lw_arena *arena,
    const char *id, const struct lw_cause **cause, struct lw_err *err);
enum lw_status lw_book_check_of(struct lw_book *book, struct lw_arena *arena,
    const char *id, const struct lw_check **check, struct lw_err *err);
enum lw_status lw_book_point(struct lw_book *book, struct lw_arena *arena,
    const char *id, const struct lw_point **point, struct lw_err *err);
enum lw_status lw_book_caution(struct lw_book *book, struct lw_arena *arena,
    const char *id, const struct lw_caution **caution, struct lw_err *err);
enum lw_status lw_book_tree(struct lw_book *book, struct lw_arena *arena,
    const char *id, const struct lw_tree **tree, struct lw_err *err);
enum lw_status lw_book_known_setting(struct lw_book *book,
    struct lw_arena *arena, const char *id,
    const struct lw_known_setting **setting, struct lw_err *err);

/* All of a kind: device, fault, symptom, cause, check, point, caution, tree,
 * value, setting; own first, then by title. LW_BAD_INPUT: no such kind. */
enum lw_status lw_book_list(struct lw_book *book, struct lw_arena *arena,
    const char *kind, struct lw_entries *entries, struct lw_err *err);

/* Trees for a fault or for a symptom (the other is NULL). kind "tree". */
enum lw_status lw_book_trees_for(struct lw_book *book, struct lw_arena *arena,
    const char *fault, const char *symptom, struct lw_entries *trees,
    struct lw_err *err);

/* All settings that packs know: by part, then by pack and in the author's
 * order. None is LW_OK. */
enum lw_status lw_book_known_settings(struct lw_book *book,
    struct lw_arena *arena, const struct lw_known_setting *const **settings,
    size_t *count, struct lw_err *err);

/* Settings whose wrong value can look like a fault or like a symptom (the
 * other is NULL), in that order. kind "setting", detail its part. */
enum lw_status lw_book_settings_like(struct lw_book *book,
    struct lw_arena *arena, const char *fault, const char *symptom,
    struct lw_entries *settings, struct lw_err *err);

/* Walk-throughs, by pack and in the author's order; `detail` is their
 * description or "". kind "tree". */
enum lw_status lw_book_walks(struct lw_book *book, struct lw_arena *arena,
    struct lw_entries *walks, struct lw_err *err);

/* Cautions that go with every check made in a power state, gravest first. */
enum lw_status lw_book_cautions_in(struct lw_book *book,
    struct lw_arena *arena, enum lw_power power,
    const struct lw_caution ***cautions, size_t *count, struct lw_err *err);

/* The check that leads into a power state: one of its outcomes enters it; a
 * shipped pack's before any other, so that none can stand in its way.
 * LW_NOT_FOUND. */
enum lw_status lw_book_gate(struct lw_book *book, struct lw_arena *arena,
    enum lw_power power, const struct lw_check **check, struct lw_err *err);

/* Checks with an outcome that speaks for or against a cause. kind "check". */
enum lw_status lw_book_checks_for(struct lw_book *book,
    struct lw_arena *arena, const char *cause, struct lw_entries *checks,
    struct lw_err *err);

/* --- search ----------------------------------------------------------- */

/*
 * Symptoms first, then faults, causes, checks, settings, notes, devices;
 * within a kind the best first. Words are stemmed and may be beginnings; a symptom also
 * answers by its other phrasings and by its patterns. At most `limit` hits
 * of each kind. No hit is LW_NOT_FOUND. Any text is fine as `words`.
 */
enum lw_status lw_book_find(struct lw_book *book, struct lw_arena *arena,
    const char *words, size_t limit, struct lw_entries *hits,
    struct lw_err *err);

/* As lw_book_find, of one kind only. */
enum lw_status lw_book_find_kind(struct lw_book *book,
    struct lw_arena *arena, const char *kind, const char *words,
    size_t limit, struct lw_entries *hits, struct lw_err *err);

/* --- the builder's own ------------------------------------------------ */

/* A new own device with one lamp "lamp" of that coding. `title` may be NULL
 * (the id then). LW_CONFLICT: the id is taken. LW_BAD_INPUT: not an id
 * (a-z, 0-9, hyphens; begins with a letter; at most 64 bytes). */
enum lw_status lw_book_new_device(struct lw_book *book, const char *id,
    const char *title, const char *kind, enum lw_coding coding,
    int64_t now_s, struct lw_err *err);

/* Removes an own device with its own codes; its notes stay.
 * LW_NOT_FOUND; LW_CONFLICT when it belongs to a pack. */
enum lw_status lw_book_remove_device(
    struct lw_book *book, const char *id, struct lw_err *err);

/*
 * Keep codes on a device, all or none. lamp NULL: the device's only lamp,
 * or LW_BAD_INPUT naming the lamps. fault or meaning may be NULL, not both.
 * A code that was there is replaced.
 */
enum lw_status lw_book_teach(struct lw_book *book, const char *device,
    const struct lw_code *codes, size_t count, int64_t now_s,
    struct lw_err *err);

/* Take an own code off. LW_NOT_FOUND; LW_CONFLICT for a pack's code (the
 * sentence says to teach another meaning over it instead). */
enum lw_status lw_book_unteach(struct lw_book *book, const char *device,
    const char *lamp, const char *pattern, struct lw_err *err);

/*
 * A note on something: subject_kind is device, pattern, fault, symptom,
 * cause, check, rig or job; subject its id ("field-cart-drive 5" for a
 * pattern on a device, "5" for the pattern anywhere). LW_NOT_FOUND: no such
 * subject. LW_BAD_INPUT: empty, over 4000 bytes, or not UTF-8.
 */
enum lw_status lw_book_add_note(struct lw_book *book,
    const char *subject_kind, const char *subject, const char *words,
    int64_t now_s, int64_t *note, struct lw_err *err);
/* LW_NOT_FOUND. */
enum lw_status lw_book_remove_note(
    struct lw_book *book, int64_t note, struct lw_err *err);
/* Notes on a subject, or all with both NULL, newest first. kind "note", id
 * its number, detail the words, subject_kind and subject. */
enum lw_status lw_book_notes(struct lw_book *book, struct lw_arena *arena,
    const char *subject_kind, const char *subject, struct lw_entries *notes,
    struct lw_err *err);

/* --- own trees -------------------------------------------------------- */

/*
 * Keep a tree among the builder's own, in place of an own one of that id; it
 * reads back as it is written, and outlives the packs. It has to be what the
 * lint of packs asks of one. LW_BAD_INPUT: an id or a text that is none (the
 * title takes one line of at most 100 bytes), nothing that it is for, no step
 * at all, a step whose branches are not those of its check's outcomes, or one
 * that is led to from below or from nowhere. LW_TOO_BIG: over 2000 steps.
 * LW_CONFLICT: a pack has a tree of that id. LW_NOT_FOUND: a check, cause,
 * fault or symptom that the book has not.
 */
enum lw_status lw_book_keep_tree(struct lw_book *book,
    const struct lw_tree *tree, int64_t now_s, struct lw_err *err);

/* Drop an own tree. LW_NOT_FOUND; LW_CONFLICT: it belongs to a pack. */
enum lw_status lw_book_drop_tree(
    struct lw_book *book, const char *id, struct lw_err *err);

/* --- what was learnt ------------------------------------------------- */

/* Of `cases` jobs that began alike on a device and were proved, so many came
 * to this cause. */
struct lw_learnt {
	const char *device; /* id; NULL: jobs without one */
	const char *device_title;
	const char *began_kind; /* "fault" or "symptom" */
	const char *began;	/* its id */
	const char *began_title;
	const char *cause; /* id */
	const char *title; /* of the cause */
	unsigned count;
	unsigned cases;
	int64_t last_s; /* when it was last found */
};

struct lw_learnts {
	const struct lw_learnt *items;
	size_t count;
};

/* By device, what it began with, and count; jobs that began with a fault and a
 * symptom are under both. device NULL: all of them. */
enum lw_status lw_book_learnt(struct lw_book *book, struct lw_arena *arena,
    const char *device, struct lw_learnts *learnt, struct lw_err *err);

/* Count anew: only what is cured later counts. The jobs stay. device NULL: on
 * all devices. LW_NOT_FOUND: no such device, neither in the book nor in jobs
 * that count. */
enum lw_status lw_book_forget(struct lw_book *book, const char *device,
    int64_t now_s, struct lw_err *err);

#ifdef __cplusplus
}
#endif
#endif
