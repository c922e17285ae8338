/*
 * The book in a browser: a small web server, on this machine alone or for the
 * phones of its network. It is part of the program, so it may ask the clock
 * and for random numbers.
 */
#ifndef SERVE_SERVE_H
#define SERVE_SERVE_H

#include <lampwright/book.h>
#include <lampwright/status.h>

#include <signal.h>
#include <stdbool.h>
#include <stddef.h>

/* What the terminal is told once, when the server can be reached. */
struct serve_ready {
	unsigned port;
	bool lan;
	bool tls;
	/* "http://192.168.1.5:8017/", "http://127.0.0.1:8017/": the one that is
	 * best for a phone first, this machine's own last. */
	const char *const *addresses;
	size_t address_count;
	const char *code;      /* with lan: the pairing code, "482 913" */
	unsigned code_minutes; /* how long it is good for */
	const char
	    *print; /* with tls: the certificate's SHA-256, "AB:CD:..." */
};

struct serve_options {
	struct lw_book *book;
	const char *book_path; /* its file, for processes of their own */
	unsigned port;	       /* 0: any free one */
	const char *web_dir;   /* templates and assets read live; or NULL */
	bool lan;	       /* for this network, to paired screens */
	const char *tls_cert;  /* file of certificates, PEM; or NULL */
	const char *tls_key;   /* file of the key, PEM; or NULL */
	const volatile sig_atomic_t *stop; /* serving ends once it is not 0 */
	/* Told once, when the server can be reached; may be NULL. */
	void (*ready)(const struct serve_ready *ready, void *closure);
	/* Told what the person at the terminal is to know: a new pairing code,
	 * a lock, a screen that was paired; one sentence. May be NULL. */
	void (*say)(const char *sentence, void *closure);
	/* Told the best address for a phone where it has become another one,
	 * as on a laptop that woke up elsewhere. May be NULL. */
	void (*moved)(const char *address, void *closure);
	void *closure;
};

/* Serve until told to stop: on 127.0.0.1, and with `lan` on this machine's
 * IPv4 addresses too. LW_BAD_INPUT: a certificate or key that will not do.
 * LW_CONFLICT: the port is taken. LW_FAILED: it cannot be listened on for
 * another reason. */
enum lw_status serve_run(
    const struct serve_options *options, struct lw_err *err);

#endif
