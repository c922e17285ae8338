/* Somebody who taps along with a lamp: which keys count, which taps make a
 * group, and when it is enough. Times are seconds of one steady clock. */
#ifndef CLI_TAPPING_H
#define CLI_TAPPING_H

#include <lampwright/light.h>

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* A person taps six times a second at most; keys closer than this are one
 * press, or a held key that repeats. */
#define TAPPING_ONE_PRESS_S 0.06
#define TAPPING_REPEAT_S 0.12 /* from one repeat of a held key to the next */
#define TAPPING_FAST_S 0.4    /* faster flashes are not tapped reliably */
#define TAPPING_SURE 0.95     /* confidence at which it ends by itself */
#define TAPPING_GROUPS_MAX 64

enum tapping_told {
	TAPPING_TOLD_NOTHING,
	TAPPING_TOLD_HELD,     /* a held key counts once */
	TAPPING_TOLD_TOGETHER, /* keys came together and count once */
	TAPPING_TOLD_BACK,     /* the last tap was taken back */
	TAPPING_TOLD_NO_BACK,  /* there was none */
	TAPPING_TOLD_AGAIN     /* it was suspended and begins again */
};

struct tapping {
	double seconds[LW_TAPS_MAX];
	uint32_t keys[LW_TAPS_MAX];
	size_t count;
	double usual_pause_s;	/* of the lamp; 0: not known */
	double active_s;	/* when a key was last pressed */
	enum tapping_told told; /* about the last key */
	/* The key that came last, counted or not. */
	bool any;
	uint32_t last_key;
	double last_s;
	size_t run;	 /* how often it has come again in quick turn */
	size_t run_from; /* the tap that began this */
};

/* What the taps look like: gaps inside groups, and pauses between them. */
struct tapping_shape {
	double cut_s;	/* what is longer is a pause; 0: evenly spaced so far */
	double gap_s;	/* usual gap; 0: not known */
	double pause_s; /* usual pause; 0: not known */
	bool over;	/* the last group is over: a pause has begun */
	size_t closed;	/* groups that are over, the first one too */
};

enum tapping_next {
	TAPPING_GO_ON,
	TAPPING_IS_SURE,   /* read, with a pause begun */
	TAPPING_HAS_ENDED, /* no tap for long */
	TAPPING_ARE_FULL   /* LW_TAPS_MAX */
};

/* None yet. */
void tapping_begin(struct tapping *taps, double usual_pause_s);

/* A key that counts as a tap, unless it repeats or comes with another. */
void tapping_key(struct tapping *taps, uint32_t key, double at_s);

/* Take the last tap back. */
void tapping_back(struct tapping *taps, double at_s);

/* Begin again after a break in which nobody could tap. */
void tapping_again(struct tapping *taps, double now_s);

void tapping_shape(
    struct tapping_shape *shape, const struct tapping *taps, double now_s);

/* Sizes of the last groups, at most TAPPING_GROUPS_MAX; how many. The last one
 * goes on unless shape->over. */
size_t tapping_groups(size_t sizes[TAPPING_GROUPS_MAX],
    const struct tapping *taps, const struct tapping_shape *shape);

/* Up to when no tap was missing: now, but a silence that is much longer than
 * a pause says that the person has stopped, and nothing about the lamp. */
double tapping_until(const struct tapping *taps,
    const struct tapping_shape *shape, double now_s);

/* Whether to go on; `seen` (what lw_taps_read says of these taps) may be
 * NULL. */
enum tapping_next tapping_next(const struct tapping *taps,
    const struct tapping_shape *shape, const struct lw_seen *seen,
    double now_s);

#endif
