/*
 * A job: one fault-finding. Its findings are an append-only list, and all
 * else (the step, the suspects, the state) is worked out from them, so undo
 * is exact and nothing is lost when a screen goes away.
 */
#ifndef LAMPWRIGHT_JOB_H
#define LAMPWRIGHT_JOB_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include <lampwright/arena.h>
#include <lampwright/book.h>
#include <lampwright/catalogue.h>
#include <lampwright/rig.h>
#include <lampwright/status.h>

#ifdef __cplusplus
extern "C" {
#endif

/* After so long without an answer the power state has to be proved again. */
#define LW_JOB_POWER_HOLDS_S (15 * 60)
#define LW_JOB_PATTERNS_MAX 8

enum lw_finding_kind {
	LW_FINDING_PATTERN = 1, /* subject pattern */
	LW_FINDING_SYMPTOM,	/* subject symptom id */
	LW_FINDING_TREE,	/* subject tree id: which one leads */
	LW_FINDING_CHECK,	/* subject check id, outcome */
	LW_FINDING_CANNOT,	/* subject check id: cannot be done now */
	LW_FINDING_SKIP,	/* subject check id: put aside */
	LW_FINDING_TAKE_UP,	/* what was put aside is asked again */
	LW_FINDING_RESUME,	/* gone on with: power state unknown */
	LW_FINDING_UNDO,	/* takes back the last one still standing */
	LW_FINDING_CLOSE,	/* words say how it ended; outcome "given-up"
				 * or NULL */
	LW_FINDING_REOPEN,
	LW_FINDING_DIFFERS,    /* subject check id: not as described */
	LW_FINDING_NOT_SEEN,   /* subject check id, or LW_JOB_AGAIN: what it is
				* about did not show itself */
	LW_FINDING_PICK,       /* subject check id: the person chose it */
	LW_FINDING_SUPPOSE,    /* subject cause id: taken as the cause */
	LW_FINDING_BEGUN,      /* subject cause id: its fix has begun */
	LW_FINDING_FIXED,      /* subject cause id: its fix is done */
	LW_FINDING_STRUCK,     /* subject cause id: found sound */
	LW_FINDING_PROVED,     /* subject check id, about cause: as expected */
	LW_FINDING_NOT_PROVED, /* subject check id, about cause: not so */
	LW_FINDING_GONE,      /* about cause: what the job began with is gone */
	LW_FINDING_STILL,     /* about cause: it is still there */
	LW_FINDING_WAIT,      /* words say what for */
	LW_FINDING_MAKE_SAFE, /* the way back to isolated is asked for */
	LW_FINDING_TAKE,      /* subject screen: it took the vehicle */
	LW_FINDING_VALUE,     /* subject a rig value's id; outcome what was
			       * said of it, NULL: nobody knows. Cannot be
			       * undone: it is said anew */
	LW_FINDING_LEAVE      /* subject tree id: it leads no longer */
};

/* Subjects of findings that are about no check of the book. */
#define LW_JOB_FIX "=fix"     /* the fix itself */
#define LW_JOB_PROOF "=proof" /* the cause's own check once more */
#define LW_JOB_AGAIN "=again" /* what the job began with once more */
#define LW_JOB_SAFE "=safe"   /* the way back to isolated */

/* "pattern", "symptom", ...: the word in JSON. */
const char *lw_finding_kind_name(enum lw_finding_kind kind);

struct lw_finding {
	int64_t serial; /* from 1, without holes */
	int64_t time_s;
	enum lw_finding_kind kind;
	const char *subject;
	const char *title;   /* as it was shown then */
	const char *outcome; /* of a pattern: the fault's id; of a cannot or
			      * skip: the way in that it stopped at */
	const char *outcome_title; /* as it was shown then */
	bool has_value;
	double value; /* in unit; +infinity is OL */
	const char *unit;
	double step;   /* what one more in the reading's last digit was, in
			* unit; 0 not known */
	double spread; /* its expanded uncertainty U, in unit; 0 not known */
	const char *also; /* the outcome that it may have been as well: it was
			   * too close to call, and said to be so; or NULL */
	const char *expected; /* the expectation as it was shown then */
	const char *words;
	const char *ask;   /* the question as it was shown then */
	const char *about; /* of a fix or proof: the cause's id */
	/* What was concluded from it when it was given, so that it stays
	 * though the pack is read in again without the check. */
	enum lw_power power; /* of an answer to a check: proved after it */
	enum lw_power leads; /* of an answer to a way in, or what put one
			      * aside: the state that it leads into */
	bool passed;	     /* it gave what is expected */
	const char *stop;    /* the sentence that says to stop; or NULL */
	const char *say;     /* what the outcome says to the person; or NULL */
	bool undone;	     /* taken back by a later undo */
};

enum lw_job_state {
	LW_JOB_OPEN = 1,  /* there is a check to do */
	LW_JOB_FOUND,	  /* a cause has been reached; its fix comes next */
	LW_JOB_UNDECIDED, /* the tree has ended; suspects are what is left */
	LW_JOB_STOPPED,	  /* an outcome said to stop and get away */
	LW_JOB_CLOSED,	  /* proved, or closed by a person */
	LW_JOB_WAITING,	  /* for what was put aside, or what a person said */
	LW_JOB_FIXING,	  /* the fix has begun */
	LW_JOB_PROVING,	  /* the fix is done and not yet proved */
	LW_JOB_GIVEN_UP,  /* closed without a cure */
	LW_JOB_PASSED	  /* every step of a walk-through passed */
};

/* "open", "found", "undecided", "stopped", "closed", "waiting", "fixing",
 * "proving", "given-up", "passed". */
const char *lw_job_state_name(enum lw_job_state state);
/* Whether it is over: closed or given up. */
bool lw_job_is_over(enum lw_job_state state);

/* What one finding said about a suspect. */
struct lw_why {
	int64_t serial;	     /* of the finding */
	const char *title;   /* of its check */
	const char *outcome; /* as it was shown: "in band" */
	double factor; /* by how much it changed the odds: below 1 it speaks
			* against, above 1 for */
	const char *text; /* "Pack voltage at rest: in band, speaks against
			   * it, x0.1" */
};

struct lw_suspect {
	const char *cause; /* id; "unlisted": none that the book has */
	const char *title;
	double share; /* 0-1; the shares of all suspects add up to 1 */
	const char *also; /* two at once: the other cause's id; or NULL. The
			   * title names both */
	double began;	  /* its share before any check */
	const struct lw_why *whys; /* the strongest first */
	size_t why_count;
	unsigned here; /* of `cases` that began alike on this device and were
			* proved, so many were this */
	unsigned cases;
	unsigned elsewhere; /* and of `others` on other devices */
	unsigned others;
	const char *counted; /* "3 of 4 times here"; or NULL */
};

/* A check that would tell something, and why it stands where it does. */
struct lw_next {
	const struct lw_check *check;
	const char *why; /* "splits the two leading causes; 3 min; no change of
			  * power state" */
	double bits;	 /* of information */
	double minutes;	 /* its own */
	double setup_minutes; /* to change the power state for it */
	const char *const *missing; /* tools that it needs and are not there */
	size_t missing_count;
	const struct lw_check *yields; /* one in a safer power state that tells
					* as much, or NULL */
};

/* A fix that may be tried, in the order in which to try them. */
struct lw_fix {
	const char *cause; /* id */
	const char *title; /* of the cause */
	double share;
	double minutes; /* to do it and see whether it cured */
};

/* A cause that is no longer in play. */
struct lw_excluded {
	const char *cause; /* id */
	const char *title;
	const char *reason; /* "found sound", "Pack voltage at rest: in band" */
	bool repaired;	    /* its fix was proved, and something remained */
};

/* What a step is for. */
enum lw_purpose {
	LW_PURPOSE_TREE = 1, /* the tree asks it */
	LW_PURPOSE_PICK,     /* a person chose it */
	LW_PURPOSE_FIX,	     /* to do the fix */
	LW_PURPOSE_PROOF,    /* the cause's own check once more */
	LW_PURPOSE_AGAIN,    /* what the job began with once more */
	LW_PURPOSE_SAFE,     /* the way back to isolated */
	LW_PURPOSE_NEXT	     /* it tells most for what it costs */
};
/* "tree", "pick", "fix", "proof", "again", "safe", "next". */
const char *lw_purpose_name(enum lw_purpose purpose);

/* The one thing to do next. */
struct lw_job_band;
struct lw_job_step {
	const struct lw_check *check; /* of a fix or again: made for the job */
	enum lw_purpose purpose;      /* of `then`, where there is one */
	bool gate;	 /* it leads into a power state, before `then` */
	bool compulsory; /* a check that has to pass before the way in itself */
	const struct lw_check *then; /* the check the gate is for, or NULL */
	enum lw_power into; /* of a gate: the state that it leads into */
	size_t part, parts; /* of a gate: 2 of 5 on this way in */
	const char *const *instructions; /* those for this rig, in order */
	size_t instruction_count;
	const struct lw_caution *const *cautions; /* for this rig, gravest
						   * first */
	const bool *standing; /* for each: shown on the way into this state
			       * already, and still true */
	size_t caution_count;
	const char *const *figures; /* of a gate: what this rig's figures say:
				     * highest voltage, energy, bleed-down */
	size_t figure_count;
	const char *const *missing; /* tools it needs and the rig has not */
	size_t missing_count;
	const struct lw_point *black; /* NULL: none */
	const struct lw_point *red;
	const struct lw_point *const *points;
	const char *black_own; /* the rig's words for it, or NULL */
	const char *red_own;
	const char *const *point_owns; /* for each point, or NULL */
	size_t point_count;
	const struct lw_outcome *expected; /* NULL: none is marked */
	char expect_text[128]; /* "40 V to 58 V", "no damage": "" if none */
	const struct lw_job_band *bands; /* one for each outcome, as it is on
					  * this vehicle; NULL: no reading */
	const char *expect_why; /* what the band is worked out from, and with
				 * which values: a sentence; or NULL */
	bool wide; /* the band is wide, because a value is not known */
	const struct lw_value *asks; /* a value that would say it closer and
				      * that nobody was asked for in this job;
				      * or NULL */
	const char *const *lacks; /* titles of all values that are not known */
	size_t lack_count;
	const char *why; /* of a next check: why this one; or NULL */
	const char *accuracy; /* "0.5 % + 2 counts", of the meter; or NULL */
	bool usual_accuracy;  /* nobody said it: the usual one */
};

/* What an outcome's band is on the vehicle, in the check's unit. */
struct lw_job_band {
	bool is_band; /* false: the outcome is a choice */
	bool has_from;
	bool has_below;
	double from; /* the lowest that it may be, where it is not sure */
	double below; /* the highest */
	bool sure; /* no value behind it is unknown */
	const char *text; /* "42 V to 58.8 V"; or NULL */
};

/* A cause that an answer points to. */
struct lw_pointed {
	const struct lw_cause *cause;
	const char *word; /* how often it gives that answer: "usually" */
	double weight;	  /* by which they are ordered: no share */
	size_t place;	  /* in the author's order */
};

/* A walk-through: its steps in order, each until it passes. */
struct lw_job_walk {
	const struct lw_tree *tree;
	size_t step;	 /* the one that comes, from 1; 0: none is left */
	size_t steps;	 /* those for this rig */
	size_t passed;	 /* of them */
	size_t aside;	 /* put aside */
	size_t left_out; /* for other rigs */
	bool complete;	 /* every one passed: `tree->passed` may be said */
	/* What the check that is asked, or else the one that it leads to, gave
	 * last, where that was not what is expected: it is asked again once
	 * that is put right. NULL: nothing such. */
	const struct lw_finding *failed;
	const struct lw_pointed *points; /* what that points to, the likeliest
					  * first */
	size_t point_count;
};

/* Who holds the vehicle. */
struct lw_hold {
	bool held;	    /* by somebody, and not run out */
	bool mine;	    /* by the screen that asks */
	bool free;	    /* the screen that asks may take it */
	const char *screen; /* the holder's id */
	const char *name;   /* what people call it */
	int64_t job;	    /* the job it holds the vehicle for */
	int64_t since_s;
	int64_t until_s;   /* when the hold runs out by itself */
	const char *asker; /* a screen that asks for it, or NULL */
	const char *asker_name;
	bool i_ask; /* that is the screen that looks */
};

struct lw_job {
	int64_t job;
	int64_t created_s;
	enum lw_job_state state;
	enum lw_power power;	  /* proved now; unknown otherwise */
	int64_t serial;		  /* of the last finding: names the step */
	const struct lw_rig *rig; /* NULL: none, or gone */
	const char *rig_name;	  /* NULL: none; also of one that is gone */
	const char *device;	  /* id or NULL */
	const char *lamp;	  /* id or NULL */
	const char *fault;   /* what the first known pattern means, or NULL */
	const char *symptom; /* id or NULL */
	const char *tree;    /* id or NULL */
	const char *title;   /* "field-cart-drive: 5 flashes: ..." */
	const struct lw_finding *findings;
	size_t finding_count;
	const struct lw_suspect *suspects; /* the likeliest first */
	size_t suspect_count;
	const struct lw_excluded *excluded;
	size_t excluded_count;
	const struct lw_job_step *step; /* NULL where there is nothing to do
					 * but choose, wait or stop */
	const char *cause;     /* FOUND, FIXING, PROVING, and over then: id */
	const char *likely;    /* what the tree points to though checks were put
				* aside; or NULL */
	const char *ending;    /* words of the branch or of closing; or NULL */
	const char *waits_for; /* WAITING: what for, in words; or NULL */
	bool cured;	       /* the fix was proved, and the trouble is gone */
	bool make_safe; /* it was switched on, or may be, and is not proved
			 * dead: before hands go near */
	const struct lw_check *const *put_aside; /* in the order put aside */
	size_t put_aside_count;
	const struct lw_next *next; /* what can be done now, the best first; not
				     * while something is fixed or proved */
	size_t next_count;
	const struct lw_next *deferred; /* what waits for a tool, the one that
					 * tells most first */
	size_t deferred_count;
	const struct lw_fix *fixes; /* in the order in which to try them */
	size_t fix_count;
	bool fix_first; /* trying them costs less than any further check */
	double fix_minutes; /* on average, trying fixes from now on */
	double check_minutes; /* on average, with the best check first; 0: there
			       * is none */
	const char *advice; /* that, as a sentence; or NULL */
	const char *conflict; /* the findings do not go together: a sentence; or
			       * NULL */
	double conflict_bits;
	const struct lw_finding *repeat; /* then: the one most worth repeating */
	bool pairs; /* two causes at once are among the suspects */
	bool can_leave; /* a tree leads, and may be left */
	const struct lw_job_walk *walk; /* a walk-through leads: there are no
					 * suspects, and nothing is advised;
					 * or NULL */
	const char *const *remarks; /* a clock set back, a rig gone, ... */
	size_t remark_count;
	const char *say; /* what the last outcome says to the person; or NULL */
	bool can_undo;
	int64_t worked_s; /* time between findings, breaks of over a quarter
			   * of an hour left out */
	struct lw_hold hold;
};

struct lw_job_start {
	const char *rig;    /* name or NULL: the rig in hand, where the device
			     * is NULL or one of its own */
	const char *device; /* id, or the rig's name for it; or NULL: the rig's
			     * device, where it has one alone */
	const char *lamp;   /* id or NULL: the device's only lamp */
	const char *const *patterns; /* as typed; read with the lamp's coding */
	size_t pattern_count;
	const char *symptom; /* id or NULL */
	const char *tree;    /* id or NULL: a tree for the fault or symptom, or
			      * a walk-through, which takes no pattern nor
			      * symptom */
};

/*
 * Open a job. It needs a pattern, a symptom or a tree. LW_BAD_INPUT: a
 * pattern that cannot be read, one whose fault only informs and has no causes,
 * or nothing to start from. LW_NOT_FOUND: no such device, symptom or tree; an
 * unknown pattern on a known device. LW_UNDECIDED: an ambiguous pattern, or one
 * known on several devices. A walk-through together with a pattern or symptom
 * is LW_BAD_INPUT.
 */
enum lw_status lw_job_new(struct lw_book *book,
    const struct lw_job_start *start, int64_t now_s, int64_t *job,
    struct lw_err *err);

/* The job as it stands at now_s, as a screen sees it (NULL: as one that only
 * looks). LW_NOT_FOUND. */
enum lw_status lw_job_get(struct lw_book *book, struct lw_arena *arena,
    int64_t job, const char *screen, int64_t now_s, const struct lw_job **out,
    struct lw_err *err);

/* All jobs, the last touched first. kind "job", id its number, title,
 * detail the state's name, subject the rig's name or "", time_s of the last
 * finding. */
enum lw_status lw_job_list(struct lw_book *book, struct lw_arena *arena,
    int64_t now_s, struct lw_entries *jobs, struct lw_err *err);

/*
 * --- doing something: who does it, and when ------------------------------
 *
 * A screen is a phone, a browser, a terminal. One screen at a time holds a
 * vehicle (the rig, or the job where it has none); only it answers. A screen
 * that does something takes the vehicle where nobody holds it, and where the
 * holder has done nothing for LW_JOB_POWER_HOLDS_S. Where another holds it:
 * LW_CONFLICT, nothing is changed, and the sentence says who.
 */
struct lw_actor {
	const char *screen; /* its id: 1-64 bytes, no control characters */
	const char *name;   /* what people call it: "phone 3f", "terminal" */
	int64_t now_s;
};

struct lw_answer {
	int64_t serial;	   /* the step's, or -1 for whatever is current */
	const char *check; /* the check that was shown; NULL: not said */
	const char *text;  /* see lw_job_answer */
	const char *words; /* the person's, or NULL */
	bool sure; /* the person has looked again: the meter really shows it */
};

/*
 * Answer the step: an outcome's id, a reading for a check that takes one, or
 * one of these, of which the first three lead on as the tree can:
 *   "cannot"          cannot be done now; words say what is missing
 *   "differs"         the vehicle is not as described; words say how
 *   "not-reproduced"  what it is about did not show itself
 *   "skip"            left out
 * A fix takes "begun", "fixed", "wrong" (the part is sound) and "cannot"; what
 * the job began with takes "gone", "still", "not-reproduced" and "cannot".
 *
 * LW_CONFLICT: the step is stale, or the job has none, or another screen
 * holds the vehicle; nothing is changed. Also when the power state has run
 * out since the step was shown and the answer could be meant for that step
 * or for the way in that comes now: then a resume is noted, and the step
 * shown next is beyond doubt.
 * LW_BAD_INPUT: not an answer to this check (the sentence lists what is); a
 * reading that cannot be. A negative reading where the check has no outcome
 * below zero, and one beyond what this vehicle can have, are refused with a
 * question; with `sure` the first is kept as "differs" with its value, the
 * second is judged, unless no such vehicle can have it.
 * LW_UNDECIDED: a reading too close to call, by the meter's own accuracy or
 * because a value of the vehicle is not known; the sentence says what would
 * settle it. Nothing is changed. With `sure` it counts as what it is nearest
 * to, and `also` names the other; but on a way into a power state and in a
 * proof it then never counts as what is expected.
 */
enum lw_status lw_job_answer(struct lw_book *book, int64_t job,
    const struct lw_actor *actor, const struct lw_answer *answer,
    struct lw_err *err);

/*
 * Say what a value of the vehicle is: NULL, "" or "unknown": nobody knows, and
 * it is not asked for again. It is kept with the rig, where the job has one,
 * and with the job. LW_BAD_INPUT (also where there is no such value),
 * LW_UNDECIDED: as lw_rig_set. LW_CONFLICT: the job is over, or another screen
 * holds it.
 */
enum lw_status lw_job_value(struct lw_book *book, int64_t job, const char *key,
    const char *text, const struct lw_actor *actor, struct lw_err *err);

/* Take back the last answer (also cannot, skip, take-up, pick, suppose, fix,
 * proof, wait), or the closing of a job that is closed. What it started from
 * stays. LW_NOT_FOUND: nothing to take back. */
enum lw_status lw_job_undo(struct lw_book *book, int64_t job,
    const struct lw_actor *actor, struct lw_err *err);

/* Go on after a break, or from waiting: the power state has to be proved
 * again. Does nothing where none was proved and the job does not wait, but
 * notes one that ran out. */
enum lw_status lw_job_resume(struct lw_book *book, int64_t job,
    const struct lw_actor *actor, struct lw_err *err);

/* Close with a word on how it ended (may be NULL). LW_CONFLICT: it is over. */
enum lw_status lw_job_close(struct lw_book *book, int64_t job, bool given_up,
    const char *words, const struct lw_actor *actor, struct lw_err *err);

/* Open a closed job again; in one that is not closed, take up what was put
 * aside. LW_CONFLICT: there is nothing to take up, or an answer said to
 * stop. */
enum lw_status lw_job_reopen(struct lw_book *book, int64_t job,
    const struct lw_actor *actor, struct lw_err *err);

/* Do this check next, whatever the tree asks; its way in first. A check that
 * was answered is asked again. LW_NOT_FOUND: no such check; LW_CONFLICT: the
 * job is over, stopped, or at a fix or its proof. */
enum lw_status lw_job_pick(struct lw_book *book, int64_t job, const char *check,
    const struct lw_actor *actor, struct lw_err *err);

/* Leave the tree: the engine goes on from the same findings. LW_CONFLICT: no
 * tree leads, or it is a walk-through, or as lw_job_pick. */
enum lw_status lw_job_leave(struct lw_book *book, int64_t job,
    const struct lw_actor *actor, struct lw_err *err);

/* Take this cause as the one, and go on to its fix. LW_NOT_FOUND: no such
 * cause; LW_CONFLICT as lw_job_leave. */
enum lw_status lw_job_suppose(struct lw_book *book, int64_t job,
    const char *cause, const struct lw_actor *actor, struct lw_err *err);

/* Pause: words say what it waits for (LW_BAD_INPUT where there are none). The
 * hold is let go; going on is lw_job_resume. LW_CONFLICT: over, or waiting. */
enum lw_status lw_job_wait(struct lw_book *book, int64_t job, const char *words,
    const struct lw_actor *actor, struct lw_err *err);

/* Ask for the way back to isolated: it comes before everything else until it
 * is proved. Also in a job that is over, stopped or waiting. LW_CONFLICT: it
 * is isolated and proved dead now. */
enum lw_status lw_job_make_safe(struct lw_book *book, int64_t job,
    const struct lw_actor *actor, struct lw_err *err);

/* An asker that has waited so long without a word may take the vehicle. */
#define LW_JOB_ASKED_S 60

/* Take the vehicle: where nobody holds it, where the hold has run out, or
 * where this screen asked LW_JOB_ASKED_S ago and got no word. The power state
 * is unknown then. LW_CONFLICT says who holds it and what can be done. */
enum lw_status lw_job_take(struct lw_book *book, int64_t job,
    const struct lw_actor *actor, struct lw_err *err);
/* Ask the holder for it. LW_CONFLICT: nobody holds it, or this screen does,
 * or another asks already. */
enum lw_status lw_job_ask(struct lw_book *book, int64_t job,
    const struct lw_actor *actor, struct lw_err *err);
/* The holder hands it to the asker (`keep`: does not). LW_CONFLICT: this
 * screen does not hold it, or nobody asks. */
enum lw_status lw_job_hand(struct lw_book *book, int64_t job, bool keep,
    const struct lw_actor *actor, struct lw_err *err);
/* Let it go, so that any screen may take it. Nothing where it is not held by
 * this screen. */
enum lw_status lw_job_release(struct lw_book *book, int64_t job,
    const struct lw_actor *actor, struct lw_err *err);

#ifdef __cplusplus
}
#endif
#endif
