/* Lists that the public views do not give. */
#ifndef VIEW_LIST_H
#define VIEW_LIST_H

#include <lampwright/view.h>

/* As lw_view_list of "note", on one subject only. */
enum lw_status view_notes_on(struct lw_doc **doc, struct lw_book *book,
    const char *subject_kind, const char *subject, struct lw_err *err);

#endif
