/* Jobs in child processes that are killed at random moments. The child tells
 * each acknowledged call through a pipe; what has to be there afterwards is
 * left to mirror. */
#include "crash/crash.h"
#include "crash/disk.h"

#include <errno.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

enum {
	JOBS = 280,
	JOBS_A_BOOK = 28, /* so that books stay small */
	CALLS = 30,	  /* of a child that is not killed before */
	CALLS_MEANT = 12, /* where the kill comes in the middle */
	SLOW_US = 100
};

/* Runs until it is killed, or has made all its calls. */
static _Noreturn void
child(const char *path, uint64_t seed, int out)
{
	/* On a slow disk more kills fall into the middle of a change. */
	const struct disk_plan slow = {.slow_us = SLOW_US};
	struct lw_err err = {0};
	struct walk_report report;
	struct lw_book *book;
	uint32_t i;

	if (seed % 2 == 0 && disk_install())
		disk_begin(&slow);
	if (lw_book_open(&book, NULL, path, &err) != LW_OK) {
		fprintf(stderr, "crash: a child cannot open: %s\n", err.text);
		_exit(2);
	}
	for (i = 0; i < CALLS; i++) {
		report = walk_call(book, seed, i, &err);
		if (walk_broke((enum lw_status)report.status)) {
			fprintf(stderr, "crash: a child cannot go on: %s\n",
			    err.text);
			_exit(3);
		}
		if (write(out, &report, sizeof report) != sizeof report)
			_exit(4);
	}
	/* Killed even so: the book is never closed in an orderly way. */
	for (;;)
		pause();
}

static uint64_t
now_us(void)
{
	struct timespec now;

	clock_gettime(CLOCK_MONOTONIC, &now);
	return (uint64_t)now.tv_sec * 1000000 + (uint64_t)now.tv_nsec / 1000;
}

/* What the child told. A record comes whole: it is shorter than a pipe's
 * atomic write. */
static uint32_t
listen(int in, struct walk_report reports[CALLS])
{
	uint32_t told = 0;
	ssize_t size;

	while (told < CALLS) {
		size = read(in, &reports[told], sizeof reports[told]);
		if (size < 0 && errno == EINTR)
			continue;
		if (size != (ssize_t)sizeof reports[told])
			break;
		if (reports[told].number != told)
			crash_give_up("a child counts wrong");
		told++;
	}
	return told;
}

static void
sleep_us(uint64_t us)
{
	struct timespec left = {
	    (time_t)(us / 1000000), (long)(us % 1000000 * 1000)};

	while (nanosleep(&left, &left) != 0 && errno == EINTR)
		continue;
}

/* One child, killed after `us`; gives how many calls it told. */
static uint32_t
run(const char *path, uint64_t seed, uint64_t us,
    struct walk_report reports[CALLS])
{
	int ends[2], how = 0;
	uint32_t told;
	pid_t pid;

	fflush(NULL);
	if (pipe(ends) != 0)
		crash_give_up(strerror(errno));
	pid = fork();
	if (pid < 0)
		crash_give_up(strerror(errno));
	if (pid == 0) {
		close(ends[0]);
		child(path, seed, ends[1]);
	}
	close(ends[1]);
	sleep_us(us);
	kill(pid, SIGKILL);
	while (waitpid(pid, &how, 0) < 0 && errno == EINTR)
		continue;
	if (!WIFSIGNALED(how) || WTERMSIG(how) != SIGKILL)
		crash_fail("kills: a child ended by itself (%d)", how);
	told = listen(ends[0], reports);
	close(ends[0]);
	return told;
}

/* How long a child takes to open a book and make so many calls. */
static uint64_t
measure(const char *path)
{
	struct lw_err err = {0};
	struct lw_book *book;
	uint64_t before = now_us();
	uint32_t i;

	if (lw_book_open(&book, NULL, path, &err) != LW_OK)
		crash_give_up(err.text);
	for (i = 0; i < CALLS_MEANT; i++)
		(void)walk_call(book, 1, i, &err);
	lw_book_close(book);
	return now_us() - before;
}

/* Whether the kill fell into the middle of a change. */
static bool
left_journal(const char *path)
{
	char journal[300];

	snprintf(journal, sizeof journal, "%s-journal", path);
	return access(journal, F_OK) == 0;
}

void
kills_try(const char *folder)
{
	struct walk_report reports[CALLS];
	struct mirror mirror;
	uint64_t typical_us, spent_us, us, dice = 1;
	unsigned jobs = crash_rounds(JOBS), i, more = 0, calls = 0, idle = 0;
	unsigned half = 0;
	uint32_t told, common;
	bool going = false;

	mirror_begin(&mirror, folder, "kills");
	spent_us = typical_us = measure(mirror.struck);
	mirror_end(&mirror);
	for (i = 0; i < jobs; i++) {
		if (!going)
			mirror_begin(&mirror, folder, "kills");
		us = crash_dice(&dice, (unsigned)(2 * typical_us));
		told = run(mirror.struck, 1000 + i, us, reports);
		half += left_journal(mirror.struck);
		going = mirror_compare(
		    &mirror, 1000 + i, 0, told, reports, &common);
		more += going && common > told;
		calls += told;
		/* A machine that has other work, too, is slower from now on. */
		spent_us += us;
		typical_us = spent_us / (CALLS_MEANT + calls) * CALLS_MEANT;
		idle += told == CALLS;
		if (i % JOBS_A_BOOK == JOBS_A_BOOK - 1)
			going = going && (mirror_end(&mirror), false);
		else if (!going)
			mirror_end(&mirror);
	}
	if (going)
		mirror_end(&mirror);
	printf("kills: %u jobs killed after %u acknowledged calls, %u in the "
	       "middle of a change; %u more calls had come through\n",
	    jobs, calls, half, more);
	/* A test that kills too early, too late, or always between two changes
	 * tries nothing. */
	if (calls < 5 * jobs || idle > jobs / 2 || half < jobs / 20)
		crash_fail(
		    "kills: the moments are badly chosen (%u idle)", idle);
}
