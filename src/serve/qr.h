/* An address as a QR code (ISO/IEC 18004, by way of libqrencode). */
#ifndef SERVE_QR_H
#define SERVE_QR_H

#include "base/buf.h"

#include <lampwright/status.h>

#include <stdbool.h>

/* As lines of half-block characters, with the quiet zone of four modules
 * around it. `coloured`: dark on white by escape sequences, whatever the
 * terminal's colours are; otherwise its dark modules are the blanks, which
 * reads on a dark terminal. */
enum lw_status qr_add_blocks(
    struct buf *out, const char *text, bool coloured, struct lw_err *err);

/* As the data of an SVG path of one unit a module, whose quiet zone begins at
 * 0 0; `side` gets its width and height in units. */
enum lw_status qr_add_path(
    struct buf *out, unsigned *side, const char *text, struct lw_err *err);

#endif
