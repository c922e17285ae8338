/* The running picture while somebody taps along: lines of text, and the bytes
 * that put them on a terminal. */
#ifndef CLI_TAP_PICTURE_H
#define CLI_TAP_PICTURE_H

#include "base/buf.h"
#include "cli/tapping.h"

#define PICTURE_LINES 8
#define PICTURE_WIDEST 120 /* columns; a wider terminal is not filled */
#define PICTURE_BYTES (PICTURE_WIDEST * 3 + 1)

struct picture {
	char lines[PICTURE_LINES][PICTURE_BYTES];
	size_t count;
};

/* How the terminal is. */
struct picture_room {
	int columns;
	int rows;
	bool utf8;
};

/* What is seen of the taps up to now. */
struct picture_of {
	const struct tapping *taps;
	const struct tapping_shape *shape;
	const struct lw_seen *seen; /* NULL: nothing yet */
	double now_s;
	bool done;   /* it has ended */
	bool enough; /* by itself: the person may still be tapping */
};

/* No line is longer than the terminal is wide, less one column, so that none
 * wraps; and no more lines than it has rows, less one. */
void picture_make(struct picture *picture, const struct picture_of *of,
    const struct picture_room *room);

bool picture_same(const struct picture *a, const struct picture *b);

/* Add what replaces the picture that was drawn before (NULL: none is there)
 * by this one. The cursor stands at the start of the line below. */
void picture_redraw(struct buf *out, const struct picture *picture,
    const struct picture *before, int columns);

/* What has been said so far where nothing can be drawn over. */
struct picture_said {
	bool begun;
	size_t taps;  /* of these marks are out */
	bool open;    /* in the middle of a line */
	size_t marks; /* on that line */
	enum tapping_told told;
	bool fast;
	char read[PICTURE_BYTES];
};

/* Add what is new since: marks as they come, a line for each group and for
 * each new reading. `said` begins as all zero. */
void picture_say(
    struct buf *out, struct picture_said *said, const struct picture_of *of);

#endif
