/*
 * What a job's findings say: belief over the causes in play, whether the
 * findings go together, what to do next. Worked out anew from the findings
 * each time, so that an undo is exact.
 */
#ifndef JOB_REASONING_H
#define JOB_REASONING_H

#include "job/evidence.h"
#include "job/situation.h"
#include "reason/next.h"

struct reasoning {
	struct play play;	  /* with pairs at the end, if `pairs` */
	struct weighing weighing; /* of all of them */
	struct evidence evidence;
	double *prior;	 /* shares before any check; add up to 1 */
	double *share;	 /* and now */
	double *factor;	 /* [finding * causes + cause]: see belief_factors */
	double conflict; /* bits, of single causes */
	bool rare;	 /* one of them explains it: no contradiction */
	size_t repeat;	 /* the evidence most worth repeating */
	bool pairs;	 /* two at once are considered */
	struct next_choice *choices; /* room for all checks */
	struct next_advice next;     /* of what can be done now */
	struct next_choice *late_choices;
	struct next_advice late; /* of what waits for a tool */
	bool held_back; /* a live check would tell, but is not asked now */
	bool aside;	/* one that was put aside would tell */
	bool *again;  /* of each check: done before a repair that explains what
		       * it gave, or its answer is none any more */
	size_t fetch; /* of `late`: one for which fetching its tool pays; or
		       * REASON_NONE */
	double fetch_expected; /* what it costs then, fetching it included */
	size_t *order;	       /* of all causes, as to be fixed */
	enum lw_power proved;  /* now; what comes next goes by what was proved
				* at the last finding, so that it does not
				* change while somebody works */
};

/* Findings count as contradictory from here on: they are together half as
 * probable as they would be if they had nothing to do with each other:
 * judgement. */
#define REASONING_CONFLICT_BITS 1.0

/* `isolated_only`: nothing is switched on before something is fixed. */
enum lw_status reasoning_find(struct reasoning *reasoning, struct shelf *shelf,
    const struct situation *at, bool isolated_only, struct lw_err *err);

#endif
