/* This terminal as a screen: one screen at a time holds a vehicle. */
#ifndef CLI_SCREEN_H
#define CLI_SCREEN_H

#include <lampwright/job.h>

/*
 * Who acts, now: the terminal session, so that all commands of one terminal
 * are one screen; or $LAMPWRIGHT_SCREEN, which then is the name as well. The
 * texts last as long as the program.
 */
struct lw_actor screen_actor(void);

#endif
