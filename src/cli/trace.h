/* Stepping through a job at the terminal. */
#ifndef CLI_TRACE_H
#define CLI_TRACE_H

#include "cli/cli.h"

#include <lampwright/job.h>

#include <stdint.h>

/*
 * Show the step, take a line, and so on until the job is over or stopped, or
 * the person leaves: by `quit`, the end of input, Ctrl-C, or the terminal
 * going away. The vehicle is let go then. EXIT_YES where the cause was found.
 */
int trace_job(const struct cli *cli, int64_t job);

/* The exit code of tracing: the cause was found (also fixing, proving, and
 * closed with a cure), or not. */
int trace_code(enum lw_job_state state, bool cured);

#endif
