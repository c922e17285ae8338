/* The running server, for the files of this folder. */
#ifndef SERVE_SERVER_H
#define SERVE_SERVER_H

#include "fill/fill.h"
#include "serve/guard.h"
#include "serve/lan.h"
#include "serve/pairing.h"
#include "serve/plans.h"
#include "serve/serve.h"

#include <stdbool.h>

struct server {
	struct lw_book *book;
	const struct serve_options *options;
	const char *web_dir; /* or NULL */
	struct lan lan;	     /* the names it answers to */
	/* With --lan only paired screens are answered; this hands out codes. */
	struct pairing pairing;
	/* Keys the forms of browsers that have no cookie yet. */
	char secret[GUARD_TOKEN_SIZE];
	char assets[17]; /* names this build's assets in their addresses */
	struct fill_source templates;
	unsigned long_bodies; /* that are being collected or answered */
	struct plans *plans;  /* trees that are being worked out */
};

#endif
