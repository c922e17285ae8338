/* A job as it is shown at a terminal. */
#ifndef CLI_SHOWN_H
#define CLI_SHOWN_H

#include "cli/cli.h"

#include <lampwright/job.h>

#include <stdbool.h>
#include <stdint.h>

#define SHOWN_ID 80 /* bytes of a check's id, NUL included */

/* What it was that was shown. */
struct shown {
	enum lw_job_state state;
	int64_t serial;	      /* of its step */
	char check[SHOWN_ID]; /* that the step asks; "" where there is none */
	bool looks_on;	      /* another screen holds the vehicle */
	bool cured;
	bool done; /* nothing is left to be typed: over or stopped */
};

/*
 * Show the job by a text template or as JSON, as this terminal sees it. What
 * may be done is written as it is typed: at the prompt ("pick ID"), else as a
 * command ("lampwright job pick 3 ID"). EXIT_YES, or the code with the reason
 * said; `shown` may be NULL.
 */
int shown_job(const struct cli *cli, const char *name, int64_t job, bool prompt,
    struct shown *shown);

/* The exit code for where a job stands: 1 where it is undecided, stopped,
 * waiting or given up. */
int shown_code(enum lw_job_state state);

#endif
