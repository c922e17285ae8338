/* Lists that the public views do not give. */
#ifndef VIEW_LIST_H
#define VIEW_LIST_H

#include <lampwright/view.h>

/* As lw_view_list of "note", on one subject only. */
enum lw_status view_notes_on(struct lw_doc **doc, struct lw_book *book,
    const char *subject_kind, const char *subject, struct lw_err *err);

/* As lw_view_jobs, of one rig. LW_NOT_FOUND: no such rig; with the document,
 * no job on it. */
enum lw_status view_jobs_of(struct lw_doc **doc, struct lw_book *book,
    const char *rig, int64_t now_s, struct lw_err *err);

/* As lw_view_settings, of one device of the rig (NULL: of all). */
enum lw_status view_settings_of(struct lw_doc **doc, struct lw_book *book,
    const char *rig, const char *device, const struct lw_ledger_days *days,
    int64_t now_s, struct lw_err *err);

/* What can be said of any rig: `facts[]` and `parts[]` as of a rig of which
 * nothing is known. */
enum lw_status view_rig_keys(
    struct lw_doc **doc, struct lw_book *book, struct lw_err *err);

#endif
