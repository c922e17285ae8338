/*
 * Views: one function a document. Each gives the whole document with LW_OK,
 * and also with LW_NOT_FOUND or LW_UNDECIDED where it says so. The caller
 * frees the document. DEVELOPERS.md lists the keys.
 */
#ifndef LAMPWRIGHT_VIEW_H
#define LAMPWRIGHT_VIEW_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include <lampwright/book.h>
#include <lampwright/doc.h>
#include <lampwright/job.h>
#include <lampwright/light.h>
#include <lampwright/pack.h>
#include <lampwright/reckon.h>
#include <lampwright/status.h>

#ifdef __cplusplus
extern "C" {
#endif

/* What a pattern means, on one device or on all (device NULL). LW_NOT_FOUND:
 * no device has it; the document has the nearest codes. LW_BAD_INPUT: the
 * pattern cannot be read (err->column); no document. */
enum lw_status lw_view_read(struct lw_doc **doc, struct lw_book *book,
    const char *pattern, const char *device, const char *lamp,
    struct lw_err *err);

/*
 * What a recording of a lamp shows: the pattern with how sure it is, what else
 * it may be, a drawn timeline, and what the pattern means on the device. What
 * the book knows of the device's lamp sharpens it; of several columns each is
 * the lamp of that id, title or colour. `lamp`: the one that was recorded,
 * NULL where the device has one alone, or it is not known; `device` NULL:
 * nothing is known. LW_OK; LW_UNDECIDED with the document, which says how much
 * longer to watch. LW_NOT_FOUND: no such device or lamp, LW_BAD_INPUT: the
 * series is none; no document.
 */
enum lw_status lw_view_watch(struct lw_doc **doc, struct lw_book *book,
    const struct lw_series *series, const char *device, const char *lamp,
    struct lw_err *err);

/* The same of taps, as lw_taps_read takes them. LW_TOO_BIG: more than
 * LW_TAPS_MAX, and no document. */
enum lw_status lw_view_taps(struct lw_doc **doc, struct lw_book *book,
    const double *seconds, size_t count, double until_s, const char *device,
    const char *lamp, struct lw_err *err);

/*
 * A pattern to be played on a page for comparing by eye, and a still picture of
 * one cycle: in the times of the device's lamp where they are known, else in
 * what is usual; slowed so that there are 2.5 flashes a second at most.
 * `pattern` is canonical, or as people type it. `device` and `lamp` may be
 * NULL. `playing`: it is to move. LW_BAD_INPUT: the pattern cannot be read, or
 * in two ways; LW_NOT_FOUND: no such device or lamp; no document.
 */
enum lw_status lw_view_replay(struct lw_doc **doc, struct lw_book *book,
    const char *pattern, const char *device, const char *lamp, bool playing,
    struct lw_err *err);

/* What can be reckoned. */
enum lw_status lw_view_reckoners(struct lw_doc **doc, struct lw_err *err);

/*
 * One reckoner: what it takes, and, where enough is known, what comes of it.
 * What `pairs` do not name is taken from a rig, as far as that is known there
 * (rig NULL: the one in hand; "": none); a blank value keeps the rig's out,
 * and one that is just the rig's is still the rig's. LW_BAD_INPUT, with the
 * document: a value of `pairs` would not do, or one is missing; without any
 * pair that is no problem, and nothing is done. LW_NOT_FOUND: no such
 * reckoner, or no such rig; no document.
 */
enum lw_status lw_view_reckon(struct lw_doc **doc, struct lw_book *book,
    const char *name, const char *rig, const struct lw_reckon_pair *pairs,
    size_t count, struct lw_err *err);

/* All walk-throughs, with the number of steps that each has for a rig (NULL:
 * the one in hand, if there is one). LW_NOT_FOUND: there are none, with the
 * document; or no such rig. */
enum lw_status lw_view_walks(struct lw_doc **doc, struct lw_book *book,
    const char *rig, struct lw_err *err);

/* What a search finds. LW_NOT_FOUND: nothing. */
enum lw_status lw_view_find(struct lw_doc **doc, struct lw_book *book,
    const char *words, struct lw_err *err);

/* A job as it stands, as a screen sees it (NULL: one that only looks).
 * LW_NOT_FOUND: none, and no document. */
enum lw_status lw_view_job(struct lw_doc **doc, struct lw_book *book,
    int64_t job, const char *screen, int64_t now_s, struct lw_err *err);

/* The same, and the job that it is about, in the arena: both as they are at
 * one moment. */
enum lw_status lw_view_job_with(struct lw_doc **doc, const struct lw_job **out,
    struct lw_book *book, struct lw_arena *arena, int64_t job,
    const char *screen, int64_t now_s, struct lw_err *err);

/* What jobs wait for, by tool with what to do while it is here, and the
 * settings to read or set: of one job and its rig, of a rig (job 0), or of all
 * (rig NULL too).
 * LW_NOT_FOUND: nothing waits, with the document; or no such job or rig. */
enum lw_status lw_view_waits(struct lw_doc **doc, struct lw_book *book,
    int64_t job, const char *rig, int64_t now_s, struct lw_err *err);

/* What closed jobs have taught, by device and by what they began with;
 * `device` NULL: on all. LW_NOT_FOUND: nothing yet, with the document; or no
 * such device. */
enum lw_status lw_view_learnt(struct lw_doc **doc, struct lw_book *book,
    const char *device, struct lw_err *err);

/* What a tree may be compiled for (lampwright/plan.h): the devices and rigs, and
 * the symptoms and faults that words find where they name none. All but the
 * book may be NULL; `rig` NULL: the one in hand is chosen, "": none is. */
enum lw_status lw_view_plan_ask(struct lw_doc **doc, struct lw_book *book,
    const char *what, const char *device, const char *rig,
    struct lw_err *err);

/* One rig: its facts with what can be said, devices, points that have words,
 * jobs, notes. LW_NOT_FOUND: none, and no document. */
enum lw_status lw_view_rig(struct lw_doc **doc, struct lw_book *book,
    const char *rig, int64_t now_s, struct lw_err *err);

/* Every point, with the rig's words. */
enum lw_status lw_view_rig_points(struct lw_doc **doc, struct lw_book *book,
    const char *rig, struct lw_err *err);

/* The ledger: as of a day (`on`), what differs between two (`from`, `to`; to
 * NULL: now), or the list that puts settings back (`back`: to that day). Days
 * are "2026-11-25" or NULL; with none, every entry and how it stands now.
 * LW_NOT_FOUND: no such rig; with the document, nothing to list. LW_BAD_INPUT:
 * not a day. */
struct lw_ledger_days {
	const char *on;
	const char *from;
	const char *to;
	const char *back;
};
enum lw_status lw_view_settings(struct lw_doc **doc, struct lw_book *book,
    const char *rig, const struct lw_ledger_days *days, int64_t now_s,
    struct lw_err *err);

/* What a rig's devices said, newest last. */
enum lw_status lw_view_records(struct lw_doc **doc, struct lw_book *book,
    const char *rig, struct lw_err *err);

/* All jobs. LW_NOT_FOUND: there are none. */
enum lw_status lw_view_jobs(struct lw_doc **doc, struct lw_book *book,
    int64_t now_s, struct lw_err *err);

/* One item with everything on it: kind is device, fault, symptom, cause,
 * check, tree, setting. LW_NOT_FOUND: none, and no document. */
enum lw_status lw_view_item(struct lw_doc **doc, struct lw_book *book,
    const char *kind, const char *id, struct lw_err *err);

/* All of a kind, as lw_book_list; also "pack", "note" and "rig". */
enum lw_status lw_view_list(struct lw_doc **doc, struct lw_book *book,
    const char *kind, struct lw_err *err);

/* What settings do, as packs know it, by part. LW_NOT_FOUND: none does, with
 * the document. */
enum lw_status lw_view_known_settings(
    struct lw_doc **doc, struct lw_book *book, struct lw_err *err);

/* What the first page needs: devices, open jobs. */
enum lw_status lw_view_home(struct lw_doc **doc, struct lw_book *book,
    int64_t now_s, struct lw_err *err);

/* The paired screens and what they hold; `own` is the number of the one that
 * asks, 0 where it is none of them. */
enum lw_status lw_view_screens(struct lw_doc **doc, struct lw_book *book,
    int64_t now_s, int64_t own, struct lw_err *err);

/*
 * What a pasted list of `code = meaning` lines would teach: each line with
 * its pattern, its meaning and the generic fault that fits best, or what is
 * wrong with it. LW_BAD_INPUT when no line can be read (document given).
 */
enum lw_status lw_view_lesson(struct lw_doc **doc, struct lw_book *book,
    const char *device, const char *lamp, const char *lines,
    struct lw_err *err);

/* The problems of packs. LW_UNDECIDED when there are any. */
enum lw_status lw_view_problems(struct lw_doc **doc,
    const struct lw_problems *problems, struct lw_err *err);

#ifdef __cplusplus
}
#endif
#endif
