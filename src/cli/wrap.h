/* Laying out what a text template gave. */
#ifndef CLI_WRAP_H
#define CLI_WRAP_H

#include "base/buf.h"

#include <stdbool.h>

#define WRAP_COLUMNS 80

/*
 * Lay out a text: tabs become aligned columns over neighbouring lines, lines
 * are broken at spaces to fit 80 columns with what follows set under the
 * beginning of the last column, "# " at the start marks a heading, "= " a
 * line to be left as it is, "; " at the end of one is dropped, runs of empty
 * lines become one. A line that begins with a command of ours is not broken, so
 * that it can be copied. With `style` headings and signal words are bold.
 */
void wrap_text(struct buf *out, const char *text, bool style);

#endif
