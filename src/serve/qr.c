/* Draws QR codes for the terminal and for pages; which address they are of is
 * left to the callers. */
#include "serve/qr.h"

#include "base/err.h"

#include <errno.h>
#include <qrencode.h>
#include <string.h>

#define QUIET 4 /* modules around it, ISO/IEC 18004 section 5.3.8 */

/* Black and white out of the fixed part of the 256 colours, which themes of
 * terminals leave alone. */
#define BLACK_ON_WHITE "\033[38;5;16;48;5;231m"
#define PLAIN "\033[0m"

static enum lw_status
encode(QRcode **code, const char *text, struct lw_err *err)
{
	size_t length = strlen(text);

	/* Byte mode, error correction level M: 15 % may be unreadable. The
	 * longest that a code of that level holds is 2331 bytes. */
	*code = length > 2331
		    ? NULL
		    : QRcode_encodeData((int)length,
			  (const unsigned char *)text, 0, QR_ECLEVEL_M);
	if (*code != NULL)
		return LW_OK;
	if (length <= 2331 && errno == ENOMEM)
		return err_no_memory(err);
	return err_set(err, LW_BAD_INPUT,
	    "no QR code can hold %zu bytes; 1 to 2331 would do", length);
}

/* Whether the module is dark at a place that counts from the quiet zone's
 * corner; past the symbol everything is light. */
static bool
is_dark(const QRcode *code, int row, int column)
{
	row -= QUIET;
	column -= QUIET;
	return row >= 0 && row < code->width && column >= 0 &&
	       column < code->width &&
	       (code->data[row * code->width + column] & 1) != 0;
}

enum lw_status
qr_add_blocks(
    struct buf *out, const char *text, bool coloured, struct lw_err *err)
{
	/* By which halves of the cell are drawn: upper 1, lower 2. */
	static const char *const cells[] = {
	    " ", "\xe2\x96\x80", "\xe2\x96\x84", "\xe2\x96\x88"};
	enum lw_status status;
	int row, column, side;
	QRcode *code;

	if ((status = encode(&code, text, err)) != LW_OK)
		return status;
	side = code->width + 2 * QUIET;
	for (row = 0; row < side; row += 2) {
		if (coloured)
			buf_add(out, BLACK_ON_WHITE);
		for (column = 0; column < side; column++) {
			unsigned dark =
			    (is_dark(code, row, column) ? 1u : 0u) |
			    (is_dark(code, row + 1, column) ? 2u : 0u);

			buf_add(out, cells[coloured ? dark : 3u - dark]);
		}
		buf_add(out, coloured ? PLAIN "\n" : "\n");
	}
	QRcode_free(code);
	return buf_check(out, err);
}

enum lw_status
qr_add_path(
    struct buf *out, unsigned *side, const char *text, struct lw_err *err)
{
	enum lw_status status;
	int row, column, end, width;
	QRcode *code;

	if ((status = encode(&code, text, err)) != LW_OK)
		return status;
	width = code->width + 2 * QUIET;
	for (row = 0; row < width; row++) {
		for (column = 0; column < width; column = end + 1) {
			end = column;
			while (is_dark(code, row, end))
				end++;
			if (end > column)
				buf_printf(out, "M%d %dh%dv1h-%dz", column, row,
				    end - column, end - column);
		}
	}
	*side = (unsigned)width;
	QRcode_free(code);
	return buf_check(out, err);
}
