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
#include <lampwright/status.h>

#ifdef __cplusplus
extern "C" {
#endif

/* After so long without an answer the power state has to be proved again. */
#define LW_JOB_POWER_HOLDS_S (15 * 60)
#define LW_JOB_PATTERNS_MAX 8

enum lw_finding_kind {
	LW_FINDING_PATTERN = 1, /* subject pattern */
	LW_FINDING_SYMPTOM,     /* subject symptom id */
	LW_FINDING_TREE,        /* subject tree id: which one leads */
	LW_FINDING_CHECK,       /* subject check id, outcome */
	LW_FINDING_CANNOT,      /* subject check id: cannot be done now */
	LW_FINDING_SKIP,        /* subject check id: put aside */
	LW_FINDING_TAKE_UP,     /* what was put aside is asked again */
	LW_FINDING_RESUME,      /* gone on with: power state unknown */
	LW_FINDING_UNDO,        /* takes back the last one still standing */
	LW_FINDING_CLOSE,       /* words say how it ended */
	LW_FINDING_REOPEN
};

/* "pattern", "symptom", ...: the word in JSON. */
const char *lw_finding_kind_name(enum lw_finding_kind kind);

struct lw_finding {
	int64_t serial; /* from 1, without holes */
	int64_t time_s;
	enum lw_finding_kind kind;
	const char *subject;
	const char *title; /* as it was shown then */
	const char *outcome; /* of a pattern: the fault's id; of a cannot or
			      * skip: the way in that it stopped at */
	const char *outcome_title; /* as it was shown then */
	bool has_value;
	double value; /* in unit; +infinity is OL */
	const char *unit;
	const char *expected; /* the expectation as it was shown then */
	const char *words;
	bool undone; /* taken back by a later undo */
};

enum lw_job_state {
	LW_JOB_OPEN = 1,  /* there is a step to do */
	LW_JOB_FOUND,     /* a cause has been reached */
	LW_JOB_UNDECIDED, /* the tree has ended; suspects are what is left */
	LW_JOB_STOPPED,   /* an outcome said to stop and get away */
	LW_JOB_CLOSED
};

/* "open", "found", "undecided", "stopped", "closed". */
const char *lw_job_state_name(enum lw_job_state state);

struct lw_suspect {
	const char *cause; /* id; "unlisted": none that the book has */
	const char *title;
	double share; /* 0-1; the shares of all suspects add up to 1 */
};

/* The one thing to do next. */
struct lw_job_step {
	const struct lw_check *check;
	bool gate; /* it leads into a power state, before `then` */
	const struct lw_check *then; /* the check the gate is for, or NULL */
	const struct lw_caution *const *cautions; /* gravest first */
	size_t caution_count;
	const struct lw_point *black; /* NULL: none */
	const struct lw_point *red;
	const struct lw_point *const *points;
	size_t point_count;
	const struct lw_outcome *expected; /* NULL: none is marked */
	char expect_text[128]; /* "40 V to 58 V", "no damage": "" if none */
};

struct lw_job {
	int64_t job;
	int64_t created_s;
	enum lw_job_state state;
	enum lw_power power;  /* proved now; unknown otherwise */
	int64_t serial;       /* of the last finding: names the step */
	const char *device;   /* id or NULL */
	const char *lamp;     /* id or NULL */
	const char *fault;    /* what the first known pattern means, or NULL */
	const char *symptom;  /* id or NULL */
	const char *tree;     /* id or NULL */
	const char *title;    /* "field-cart-drive: 5 flashes: ..." */
	const struct lw_finding *findings;
	size_t finding_count;
	const struct lw_suspect *suspects; /* the likeliest first */
	size_t suspect_count;
	const struct lw_job_step *step; /* NULL unless LW_JOB_OPEN */
	const char *cause;       /* LW_JOB_FOUND, and when closed then: id */
	const char *likely;      /* LW_JOB_UNDECIDED: what the tree points to,
				  * though checks were put aside; or NULL */
	const char *ending;      /* words of the branch or of closing; or NULL */
	const struct lw_check *const *put_aside; /* in the order put aside */
	size_t put_aside_count;
	const char *say; /* what the last outcome says to the person; or NULL */
	bool can_undo;
};

struct lw_job_start {
	const char *device; /* id or NULL */
	const char *lamp;   /* id or NULL: the device's only lamp */
	const char *const *patterns; /* as typed; read with the lamp's coding */
	size_t pattern_count;
	const char *symptom; /* id or NULL */
	const char *tree;    /* id or NULL: a tree for the fault or symptom */
};

/*
 * Open a job. It needs a pattern, a symptom or a tree. LW_BAD_INPUT: a
 * pattern that cannot be read, one whose fault only informs and has no causes,
 * or nothing to start from. LW_NOT_FOUND: no such device, symptom or tree; an unknown pattern on a known device.
 * LW_UNDECIDED: an ambiguous pattern, or one known on several devices.
 */
enum lw_status lw_job_new(struct lw_book *book,
    const struct lw_job_start *start, int64_t now_s, int64_t *job,
    struct lw_err *err);

/* The job as it stands at now_s. LW_NOT_FOUND. */
enum lw_status lw_job_get(struct lw_book *book, struct lw_arena *arena,
    int64_t job, int64_t now_s, const struct lw_job **out,
    struct lw_err *err);

/* All jobs, the last touched first. kind "job", id its number, title,
 * detail the state's name, time_s of the last finding. */
enum lw_status lw_job_list(struct lw_book *book, struct lw_arena *arena,
    int64_t now_s, struct lw_entries *jobs, struct lw_err *err);

/*
 * Answer the step: an outcome's id, a reading for a check that takes one,
 * "cannot" or "skip". `serial` is the step's, or -1 for whatever is current.
 *
 * LW_CONFLICT: the step is stale, or the job has none; nothing is changed.
 * Also when the power state has run out since the step was shown and the
 * answer could be meant for that step or for the way in that comes now: then
 * a resume is noted, and the step shown next is beyond doubt.
 * LW_BAD_INPUT: not an answer to this check (the sentence lists what is);
 * a negative reading where none is possible.
 */
enum lw_status lw_job_answer(struct lw_book *book, int64_t job,
    int64_t serial, const char *answer, const char *words, int64_t now_s,
    struct lw_err *err);

/* Take back the last answer (check, cannot, skip, take-up), or the closing
 * of a job that is closed. What it started from stays. LW_NOT_FOUND: nothing
 * to take back. */
enum lw_status lw_job_undo(
    struct lw_book *book, int64_t job, int64_t now_s, struct lw_err *err);

/* Say that somebody goes on after a break: the power state has to be proved
 * again. Does nothing where none was proved, but notes one that ran out. */
enum lw_status lw_job_resume(
    struct lw_book *book, int64_t job, int64_t now_s, struct lw_err *err);

/* Close with a word on how it ended (may be NULL). LW_CONFLICT: closed. */
enum lw_status lw_job_close(struct lw_book *book, int64_t job,
    const char *words, int64_t now_s, struct lw_err *err);

/* Open a closed job again; in one that is not closed, take up what was put
 * aside. LW_CONFLICT: there is nothing to take up, or an answer said to
 * stop. */
enum lw_status lw_job_reopen(
    struct lw_book *book, int64_t job, int64_t now_s, struct lw_err *err);

#ifdef __cplusplus
}
#endif
#endif
