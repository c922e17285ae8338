/*
 * The terminal as keys that come one by one, unechoed, each with the time of
 * its arrival. The terminal is put back as it was when this is closed, when
 * the program is suspended, and before a signal or a crash ends it. One at a
 * time.
 */
#ifndef CLI_KEYS_H
#define CLI_KEYS_H

#include <lampwright/status.h>

#include <stdbool.h>
#include <stddef.h>

struct keys_size {
	int columns; /* 0: not known */
	int rows;
};

enum keys_got {
	KEYS_BYTES,   /* some bytes of one read */
	KEYS_NOTHING, /* the time is over, or a signal came */
	KEYS_GONE     /* the terminal is gone */
};

/* Seconds of the steady clock that keys are timed by. */
double keys_now(void);

/* Standard input is made to give single keys; what was typed before is
 * dropped. LW_BAD_INPUT: it is no terminal. LW_FAILED. */
enum lw_status keys_open(struct lw_err *err);

/* As it was before. Nothing where it is not open. */
void keys_close(void);

/* Wait for bytes, at most so long. *at_s: when they came. */
enum keys_got keys_wait(
    void *bytes, size_t room, size_t *length, double *at_s, double wait_s);

/* Whether it was suspended and goes on, or its screen was taken by others,
 * since this was last asked. */
bool keys_continued(void);

/* Whether the size may be another one since this was last asked. */
bool keys_resized(void);

struct keys_size keys_size(void);

/*
 * Write to the terminal without ever waiting for it. False: what was written
 * before is not out yet, or this program is not in the foreground, and
 * nothing is written.
 */
bool keys_write(const char *text, size_t length);

/* Give what was written a moment to get out. */
void keys_flush(void);

#endif
