/*
 * The connections there are, how long each has been at what it does, and
 * which has to go: one that takes too long, and where there are too many the
 * one that is most in the way, so that a new one always gets in. Time is that
 * of a clock that does not jump, in milliseconds.
 */
#ifndef SERVE_CONNS_H
#define SERVE_CONNS_H

#include <lampwright/status.h>

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct request;

#define CONNS_MAX 512
#define CONNS_OF_ONE_MAX 128 /* from one address */

/* How long each part may take, in milliseconds. */
#define CONNS_HEAD_MS (10 * 1000)
#define CONNS_BODY_MS (60 * 1000)
#define CONNS_ANSWER_MS (60 * 1000)
#define CONNS_IDLE_MS (20 * 1000) /* between two requests */

enum conn_phase {
	CONN_FREE = 0, /* no connection */
	CONN_HEAD,     /* nothing whole came yet */
	CONN_BODY,     /* the head is there */
	CONN_ANSWER,   /* it is being answered */
	CONN_IDLE,     /* it was answered, and may ask again */
	CONN_ENDED     /* shut down here; its owner has not closed it yet */
};

struct conn {
	enum conn_phase phase;
	int fd;
	uint32_t address; /* of the peer, host order */
	int64_t since_ms; /* it is in the phase since then */
	struct request *request; /* begun and not over; its owner's */
};

struct conns {
	struct conn all[CONNS_MAX];
	size_t most;	    /* in all; from 3/4 of it on room is made */
	size_t most_of_one; /* from one address */
};

/* The clock that it goes by. */
int64_t conns_now(void);

/* As many as the limits above and the system's number of open files allow.
 * LW_FAILED: the system allows too few for a server. */
enum lw_status conns_init(struct conns *conns, struct lw_err *err);

/*
 * A new one, in its head. Where its address has too many, another of it is
 * shut down to make room, and where there are too many in all, another of
 * all: the one that is most in the way. That is how long it has been at what
 * it does, four times that without a whole request, and of all as often as
 * there are others from its address; one whose bytes are not looked at yet is
 * never it. NULL: the table is full of those that are shut down and not
 * closed yet, and the new one is shut down, too.
 */
struct conn *conns_add(
    struct conns *conns, int fd, uint32_t address, int64_t now_ms);

/* It goes into another phase; one that was ended stays so. NULL is passed
 * over. */
void conns_enter(struct conn *conn, enum conn_phase phase, int64_t now_ms);

/* Its owner closes it. NULL is passed over. */
void conns_remove(struct conn *conn);

/* Shut down those whose time is over. */
void conns_sweep(struct conns *conns, int64_t now_ms);

#endif
