/* A document's plot or timeline as a picture in a file. */
#ifndef CLI_PLOT_FILE_H
#define CLI_PLOT_FILE_H

#include <lampwright/doc.h>
#include <lampwright/status.h>

/*
 * Write the `plot` of a document to a file, as SVG; "-": to standard output.
 * What the file held is there until the new picture is whole. A link stays,
 * and what it leads to is replaced. LW_BAD_INPUT: the document has no
 * plot. LW_FAILED: it cannot be written.
 */
enum lw_status plot_file_write(
    const char *path, const struct lw_doc *doc, struct lw_err *err);

/* The same for the `timeline` of a document. */
enum lw_status timeline_file_write(
    const char *path, const struct lw_doc *doc, struct lw_err *err);

/* The same of a decision tree (lampwright/plan.h). */
enum lw_status tree_file_write(
    const char *path, const struct lw_doc *doc, struct lw_err *err);

#endif
