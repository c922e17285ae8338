/*
 * The pairing code: six digits from the system's random numbers, shown in the
 * terminal, good for ten minutes; five wrong ones lock pairing for a minute
 * and make a new code. Time is that of a clock that does not jump and goes on
 * while the machine sleeps (CLOCK_BOOTTIME), in seconds.
 */
#ifndef SERVE_PAIRING_H
#define SERVE_PAIRING_H

#include <lampwright/status.h>

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#define PAIRING_CODE_SIZE 7 /* six digits and a NUL */
#define PAIRING_CODE_S (10 * 60)
#define PAIRING_TRIES 5
#define PAIRING_LOCK_S 60
#define PAIRING_SCREENS_MAX 64 /* LW_SCREENS_MAX */

struct pairing {
	bool on;		      /* --lan: screens have to be paired */
	char code[PAIRING_CODE_SIZE]; /* "": none is good now */
	int64_t until_s;	      /* the code is good before that */
	int64_t locked_until_s;	      /* no code is taken before that */
	unsigned wrong; /* wrong ones since the last right one, or lock */
	/* The screens that there were when it was last looked. */
	int64_t screens[PAIRING_SCREENS_MAX];
	size_t screen_count;
};

enum pairing_result {
	PAIRING_RIGHT = 0,
	PAIRING_WRONG,	 /* and there are tries left */
	PAIRING_LOCKING, /* wrong, and the last try: locked from now on */
	PAIRING_LOCKED,	 /* not looked at: it is locked */
	PAIRING_OVER	 /* no code is good now; ask for one */
};

/* The clock that it goes by. */
int64_t pairing_now(void);

/* See to it that a code is good, unless it is locked. `fresh`: it is a new
 * one, which the terminal has to show. LW_FAILED: no random numbers. */
enum lw_status pairing_ready(
    struct pairing *pairing, bool *fresh, int64_t now_s, struct lw_err *err);

/* Try a code as it was typed; blanks and hyphens in it are passed over. It
 * takes the same time whatever digits are right. A right one stays good until
 * its time is over, for the next phone. */
enum pairing_result pairing_try(
    struct pairing *pairing, const char *typed, int64_t now_s);

/* No code is good from now on, as after a screen was sent away: who read the
 * old one from the terminal does not come back with it. */
void pairing_forget(struct pairing *pairing);

/* The numbers of the screens that there are. Where one is missing that there
 * was, it was sent away, by this program or another: the code is forgotten. */
void pairing_note(
    struct pairing *pairing, const int64_t *numbers, size_t count);

#endif
