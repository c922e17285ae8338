/* Wire sizes by the American wire gauge, as they are written. */
#ifndef METER_GAUGE_H
#define METER_GAUGE_H

#include "meter/unit.h"

#include <lampwright/status.h>

enum {
	GAUGE_LEAST = -3, /* 4/0 */
	GAUGE_MOST = 56,  /* ASTM B258 goes so far */
};

struct gauge {
	int number; /* 1/0 is 0, 2/0 is -1 */
	size_t end; /* where it ends in the text */
};

/* Read "2 AWG", "2/0 AWG", "AWG 2", "2/0", "00 AWG", "#2 AWG"; where AWG is
 * wanted a bare number too. LW_NOT_FOUND: it is something else. LW_BAD_INPUT:
 * there is no such size. */
enum lw_status gauge_read(struct gauge *gauge, const char *text,
    const struct unit *want, struct lw_err *err);

/* The sentence that says what sizes there are. */
enum lw_status gauge_refuse(const char *text, size_t at, struct lw_err *err);

/* "2 AWG", "2/0 AWG"; `text` has room for LW_QUANTITY_MAX bytes. */
void gauge_write(char *text, int number);

#endif
