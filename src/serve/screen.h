/* A screen: one browser on one phone or computer. It is known by a cookie of
 * random digits, so that one screen at a time can hold a vehicle, and so that
 * on a network only paired ones are let in. */
#ifndef SERVE_SCREEN_H
#define SERVE_SCREEN_H

#include "serve/guard.h"
#include "serve/hash.h"

#include <lampwright/screen.h>
#include <lampwright/status.h>

#include <stdbool.h>
#include <stdint.h>

/* A name that says where it is from (RFC 6265bis, section 4.1.3): over TLS, a
 * cookie that was once sent in the clear, or planted there, is not the one
 * that is looked for; and it is not in the way of the other. */
#define SCREEN_COOKIE "screen"
#define SCREEN_COOKIE_TLS "__Host-screen"

struct screen {
	char cookie[GUARD_TOKEN_SIZE]; /* 128 bits in hexadecimal */
	char id[HASH_SIZE];	       /* what the book knows it by: its hash */
	char name[LW_SCREEN_NAME_BYTES + 1]; /* "phone 3f", or as paired */
	bool brought;	/* the request came with the cookie */
	bool give;	/* the answer gives the browser the cookie */
	bool paired;	/* the book knows it */
	int64_t number; /* as paired */
};

/*
 * The screen of a request: its Cookie header (NULL: none) and its User-Agent
 * (NULL: none). What is not a cookie of ours counts as none, and a new screen
 * is made, which the browser need not be given. It is not looked up whether
 * it is paired. LW_FAILED: no random numbers.
 */
enum lw_status screen_read(struct screen *screen, const char *cookies,
    const char *agent, bool tls, struct lw_err *err);

/* Another cookie for the same browser: a new screen, with the name kept. */
enum lw_status screen_renew(struct screen *screen, struct lw_err *err);

/* What the forms of a screen carry: it goes with the cookie, so that it is
 * still good after the server was started anew. For a browser without one,
 * which has nothing but the form to pair, it goes with `secret`. */
void screen_token(char token[GUARD_TOKEN_SIZE], const struct screen *screen,
    const char *secret);

#endif
