/* The running server, for the files of this folder. */
#ifndef SERVE_SERVER_H
#define SERVE_SERVER_H

#include "fill/fill.h"
#include "serve/guard.h"
#include "serve/serve.h"

struct server {
	struct lw_book *book;
	const volatile sig_atomic_t *stop;
	const char *web_dir; /* or NULL */
	unsigned port;
	char token[GUARD_TOKEN_SIZE]; /* every form of this run carries it */
	char assets[17]; /* names this build's assets in their addresses */
	struct fill_source templates;
};

#endif
