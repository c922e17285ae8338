/* What closed jobs have taught: `lampwright job learnt`. */
#ifndef CLI_LEARNT_H
#define CLI_LEARNT_H

#include "cli/cli.h"

/* Show it, or, with --forget, begin to count anew; the exit code. */
int learnt_show(struct cli *cli);

#endif
