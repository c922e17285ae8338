/* Jobs on a disk that fails, or on one that loses power, at every kind of
 * operation. What has to be there afterwards is left to mirror. */
#include "crash/crash.h"
#include "crash/disk.h"

#include <stdio.h>
#include <string.h>

enum {
	ROUNDS = 240,
	ROUNDS_A_BOOK = 24,
	CALLS = 14, /* of a round, where no blow ends it */
	AFTER = 3   /* calls after a blow that has passed */
};

struct round {
	struct mirror *mirror;
	uint64_t seed;
	struct lw_book *book; /* NULL: not open */
	struct walk_report reports[CALLS];
	uint32_t common; /* calls that both books have */
	uint32_t told;	 /* calls told since and before the next */
};

/* A failure has to say so: a status and one sentence. */
static void
look_at_failure(
    const char *what, enum lw_status status, const struct lw_err *err)
{
	size_t length = strlen(err->text);

	if (err->code != status || length < 20 || length > 500 ||
	    err->text[length - 1] == '.' ||
	    strpbrk(err->text, "\n\x1b") != NULL)
		crash_fail("%s: not a sentence for %s: \"%s\"", what,
		    lw_status_name(status), err->text);
	if (status == LW_CORRUPT)
		crash_fail(
		    "%s: called damaged, which it is not: %s", what, err->text);
}

/* Open the struck book; false where it cannot be. */
static bool
open_book(struct round *round)
{
	struct lw_err err = {0};
	enum lw_status status;

	status = lw_book_open(&round->book, NULL, round->mirror->struck, &err);
	if (status == LW_OK)
		return true;
	round->book = NULL;
	look_at_failure(round->mirror->what, status, &err);
	if (!disk_struck())
		crash_fail("%s: cannot open on a sound disk: %s",
		    round->mirror->what, err.text);
	return false;
}

static void
close_book(struct round *round)
{
	lw_book_close(round->book);
	round->book = NULL;
}

/* Closed, compared, and open again. */
static bool
compare(struct round *round)
{
	uint32_t from = round->common;

	close_book(round);
	return mirror_compare(round->mirror, round->seed, from, round->told,
	    &round->reports[from], &round->common);
}

/*
 * Calls until the blow, and a few more where it passes: some on the same
 * handle, since a person just tries again, some on one opened anew.
 */
static bool
run(struct round *round, const struct disk_plan *plan, bool reopens)
{
	struct lw_err err = {0};
	struct walk_report *report;
	uint32_t last = CALLS, i;
	bool passed = false;

	disk_begin(plan);
	if (!open_book(round)) {
		if (!disk_restart() || !compare(round))
			return false;
		passed = true;
		last = AFTER;
		if (!open_book(round))
			return false;
	}
	for (i = 0; i < last; i++) {
		report = &round->reports[i];
		memset(&err, 0, sizeof err);
		*report = walk_call(round->book, round->seed, i, &err);
		round->told = i + 1;
		if (!walk_broke((enum lw_status)report->status))
			continue;
		look_at_failure(
		    round->mirror->what, (enum lw_status)report->status, &err);
		if (passed || !disk_struck()) {
			crash_fail("%s: fails on a sound disk: %s",
			    round->mirror->what, err.text);
			return false;
		}
		/* Not acknowledged: it counts only if it came through. */
		round->told = i;
		if (plan->fault == DISK_POWER_LOSS || reopens)
			close_book(round);
		if (!disk_restart())
			crash_give_up("the disk cannot be put right");
		if (round->book == NULL) {
			if (!compare(round))
				return false;
			if (!open_book(round))
				return false;
		} else if (!mirror_compare(round->mirror, round->seed,
			       round->common, round->told,
			       &round->reports[round->common],
			       &round->common)) {
			return false;
		}
		passed = true;
		last = i + 1 + AFTER < CALLS ? i + 1 + AFTER : CALLS;
		/* A call that left nothing is not in the mirror either. */
		round->common = i + 1;
		round->told = i + 1;
	}
	/* A blow that fell on nothing that mattered: nothing is lost by it. */
	close_book(round);
	return disk_restart() && compare(round);
}

/* Choose what fails, when, and for how long. */
static void
choose(struct disk_plan *plan, bool loss, uint64_t *dice)
{
	static const unsigned kinds[] = {DISK_CHANGES, DISK_CHANGES,
	    DISK_CHANGES, DISK_WRITE, DISK_SYNC, DISK_TRUNCATE, DISK_DELETE,
	    DISK_CHANGES | DISK_READ | DISK_OPEN | DISK_LOCK, DISK_READ,
	    DISK_OPEN, DISK_LOCK};

	memset(plan, 0, sizeof *plan);
	plan->seed = (uint64_t)crash_dice(dice, 1u << 30) << 30 |
		     crash_dice(dice, 1u << 30);
	if (loss) {
		plan->fault = DISK_POWER_LOSS;
		plan->ops = DISK_CHANGES;
		plan->at = 1 + crash_dice(dice, 90);
		plan->times = 1;
		return;
	}
	plan->fault = crash_dice(dice, 3) == 0 ? DISK_NO_SPACE : DISK_IO_ERROR;
	plan->ops =
	    plan->fault == DISK_NO_SPACE
		? DISK_WRITE
		: kinds[crash_dice(dice, sizeof kinds / sizeof kinds[0])];
	plan->at = 1 + crash_dice(dice, plan->ops == DISK_CHANGES ? 80
					: plan->ops == DISK_TRUNCATE ||
						plan->ops == DISK_OPEN ||
						plan->ops == DISK_DELETE
					    ? 8
					    : 40);
	plan->times = crash_dice(dice, 2) == 0 ? 1 : 1 + crash_dice(dice, 20);
}

static void
try_all(const char *folder, const char *what, bool loss)
{
	struct mirror mirror;
	struct round round;
	struct disk_plan plan;
	uint64_t dice = loss ? 5 : 7;
	unsigned rounds = crash_rounds(ROUNDS), i, blows = 0;
	bool going = false;

	for (i = 0; i < rounds && crash_failures() < 20; i++) {
		if (!going)
			mirror_begin(&mirror, folder, what);
		memset(&round, 0, sizeof round);
		round.mirror = &mirror;
		round.seed = (loss ? 5000 : 9000) + i;
		choose(&plan, loss, &dice);
		going = run(&round, &plan, crash_dice(&dice, 2) == 0);
		if (!going) {
			crash_fail("%s: round %u, seed %llu: ops %u, at %u, "
				   "times %u",
			    what, i, (unsigned long long)round.seed, plan.ops,
			    plan.at, plan.times);
			close_book(&round);
			(void)disk_restart();
		}
		blows += disk_struck();
		if (!going || i % ROUNDS_A_BOOK == ROUNDS_A_BOOK - 1) {
			mirror_end(&mirror);
			going = false;
		}
	}
	if (going)
		mirror_end(&mirror);
	printf("%s: %u rounds, %u blows\n", what, i, blows);
	if (blows < i / 2)
		crash_fail("%s: the blows are badly chosen", what);
}

void
faults_try(const char *folder)
{
	try_all(folder, "faults", false);
}

void
losses_try(const char *folder)
{
	try_all(folder, "losses of power", true);
}
