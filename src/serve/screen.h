/* A screen: one browser on one phone or computer. It is known by a cookie of
 * random digits, so that one screen at a time can hold a vehicle. */
#ifndef SERVE_SCREEN_H
#define SERVE_SCREEN_H

#include "serve/guard.h"

#include <lampwright/status.h>

#include <stdbool.h>

#define SCREEN_COOKIE "screen"
/* A year: a phone that closes its browser stays the same screen. */
#define SCREEN_COOKIE_S (365 * 24 * 60 * 60)

struct screen {
	char id[GUARD_TOKEN_SIZE]; /* 128 bits in hexadecimal */
	char name[24];		   /* what people call it: "phone 3f" */
	bool give;		   /* the browser is to be given the cookie */
};

/*
 * The screen of a request: its cookie (NULL: none), its User-Agent (NULL:
 * none) and its Sec-Fetch-Site (NULL: none). What is not a cookie of ours
 * counts as none, and a new screen is made. It is not given to a browser that
 * comes from another site's link, because such a request leaves the cookie
 * out that the browser may well have. LW_FAILED: no random numbers.
 */
enum lw_status screen_read(struct screen *screen, const char *cookie,
    const char *agent, const char *site, struct lw_err *err);

#endif
