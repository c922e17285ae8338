/*
 * The book in a browser: a small web server on this machine alone. It is
 * part of the program, so it may ask the clock and for random numbers.
 */
#ifndef SERVE_SERVE_H
#define SERVE_SERVE_H

#include <lampwright/book.h>
#include <lampwright/status.h>

#include <signal.h>

struct serve_options {
	struct lw_book *book;
	unsigned port;	     /* 0: any free one */
	const char *web_dir; /* templates and assets read live; or NULL */
	const volatile sig_atomic_t *stop; /* serving ends once it is not 0 */
	/* Told once, when the server can be reached; may be NULL. */
	void (*ready)(unsigned port, void *closure);
	void *closure;
};

/* Serve on 127.0.0.1 until told to stop. LW_CONFLICT: the port is taken.
 * LW_FAILED: it cannot be listened on for another reason. */
enum lw_status serve_run(
    const struct serve_options *options, struct lw_err *err);

#endif
