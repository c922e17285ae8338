/* Forks a process that works out one tree, and reads what it left. How many
 * there are, and what becomes of them, is left to plans.c. */
#define _GNU_SOURCE /* memfd_create, close_range */
#include "serve/plan_child.h"

#include "base/buf.h"
#include "base/err.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

enum {
	ANSWER_FILE = 3,	  /* its number in the child */
	SEARCH_BYTES = 256 << 20, /* of the search alone */
	ROOM_BYTES = 512 << 20,	  /* of all that is taken after the fork */
	CPU_S = 15,
	NICE = 10,
	CLOSED_ONE_BY_ONE = 4096
};

/* --- in the child --------------------------------------------------------- */

/* What the process takes of addresses now: sanitizers and valgrind take much.
 * 0 where the system does not say. */
static rlim_t
bytes_taken(void)
{
	char text[64];
	int file = open("/proc/self/statm", O_RDONLY | O_CLOEXEC);
	ssize_t n;

	if (file < 0)
		return 0;
	n = read(file, text, sizeof text - 1);
	close(file);
	if (n <= 0)
		return 0;
	text[n] = '\0';
	return (rlim_t)strtoull(text, NULL, 10) * (rlim_t)sysconf(_SC_PAGESIZE);
}

static void
limit(int what, rlim_t most)
{
	struct rlimit now;

	if (getrlimit(what, &now) != 0)
		return;
	if (now.rlim_max == RLIM_INFINITY || most < now.rlim_max)
		now.rlim_max = most;
	now.rlim_cur = now.rlim_max;
	setrlimit(what, &now);
}

/* Nothing of the server's is kept open: a connection that it closes is to be
 * closed. What goes wrong may still be said on the terminal. */
static void
close_all_but(int file)
{
	int null = open("/dev/null", O_RDWR);
	int fd;

	if (null >= 0) {
		dup2(null, STDIN_FILENO);
		dup2(null, STDOUT_FILENO);
	}
	if (file != ANSWER_FILE)
		dup2(file, ANSWER_FILE);
	if (close_range(ANSWER_FILE + 1, ~0u, 0) == 0)
		return;
	for (fd = ANSWER_FILE + 1; fd < CLOSED_ONE_BY_ONE; fd++)
		close(fd);
}

/* It ends by the signals that the server takes for its own, and with it. */
static void
become_child(int file, pid_t parent, const sigset_t *signals)
{
	static const int taken[] = {
	    SIGINT, SIGTERM, SIGHUP, SIGPIPE, SIGCHLD, SIGALRM};
	rlim_t bytes = bytes_taken();
	size_t i;

	for (i = 0; i < sizeof taken / sizeof taken[0]; i++)
		signal(taken[i], SIG_DFL);
	sigprocmask(SIG_SETMASK, signals, NULL);
	if (prctl(PR_SET_PDEATHSIG, SIGKILL) != 0 || getppid() != parent)
		_exit(1);
	close_all_but(file);
	limit(RLIMIT_CORE, 0);
	limit(RLIMIT_CPU, CPU_S);
	limit(RLIMIT_AS, bytes + ROOM_BYTES);
	/* The server comes first. */
	setpriority(PRIO_PROCESS, 0, NICE);
}

static bool
is_late(void *what)
{
	const struct timespec *until = what;
	struct timespec now;

	clock_gettime(CLOCK_MONOTONIC, &now);
	return now.tv_sec > until->tv_sec ||
	       (now.tv_sec == until->tv_sec && now.tv_nsec >= until->tv_nsec);
}

static enum lw_status
work(struct lw_doc **doc, const struct plan_task *task, struct lw_err *err)
{
	struct timespec until;
	const struct lw_plan_limits limits = {SEARCH_BYTES, is_late, &until};
	struct lw_book *book = NULL;
	enum lw_status status;

	clock_gettime(CLOCK_MONOTONIC, &until);
	until.tv_sec += PLAN_CHILD_S;
	/* Opening would make one. */
	if (access(task->book, F_OK) != 0)
		return err_set(err, LW_FAILED,
		    "the book is not where it was, so no tree can be worked "
		    "out; put it back, or start the server again");
	status = lw_book_open(&book, NULL, task->book, err);
	if (status == LW_OK && task->title != NULL)
		status = lw_plan_save(doc, book, &task->plan, task->title,
		    &limits, task->now_s, err);
	else if (status == LW_OK)
		status = lw_plan_book(doc, book, &task->plan, &limits, err);
	lw_book_close(book);
	return status;
}

static bool
put(int file, const char *text, size_t length)
{
	size_t at = 0;
	ssize_t n;

	while (at < length) {
		n = write(file, text + at, length - at);
		if (n < 0 && errno == EINTR)
			continue;
		if (n <= 0)
			return false;
		at += (size_t)n;
	}
	return true;
}

/* A line with the status and, of what was typed, the place; then the document
 * or the sentence. */
static int
run(const struct plan_task *task)
{
	struct lw_err err = {.code = LW_OK};
	struct lw_doc *doc = NULL;
	enum lw_status status = work(&doc, task, &err);
	const char *body = err.text;
	char head[40], *text = NULL;
	size_t length = 0;

	if (status == LW_OK)
		status = lw_doc_json(&text, &length, doc, &err);
	if (status == LW_OK && length > PLAN_CHILD_BYTES_MAX)
		status = err_set(&err, LW_TOO_BIG,
		    "the tree is larger than a page should be; `lampwright "
		    "plan` writes it to a file");
	if (status == LW_OK)
		body = text;
	else
		length = strlen(err.text);
	snprintf(head, sizeof head, "%d %u\n", (int)status, err.column);
	return put(ANSWER_FILE, head, strlen(head)) &&
		       put(ANSWER_FILE, body, length)
		   ? 0
		   : 1;
}

/* --- in the server ---------------------------------------------------------*/

enum lw_status
plan_child_start(
    pid_t *child, int *file, const struct plan_task *task, struct lw_err *err)
{
	pid_t server = getpid();
	sigset_t all, before;

	*file = memfd_create("plan", MFD_CLOEXEC);
	if (*file < 0)
		return err_set(err, LW_FAILED,
		    "the system gives no room for a tree: %s", strerror(errno));
	/* So that none is taken for the server's on the way. */
	sigfillset(&all);
	sigprocmask(SIG_SETMASK, &all, &before);
	*child = fork();
	if (*child == 0) {
		become_child(*file, server, &before);
		_exit(run(task));
	}
	sigprocmask(SIG_SETMASK, &before, NULL);
	if (*child < 0) {
		err_set(err, LW_FAILED,
		    "the system starts no process for it (%s); try again when "
		    "it has less to do",
		    strerror(errno));
		close(*file);
		*file = -1;
		return LW_FAILED;
	}
	return LW_OK;
}

static bool
get(char *text, int file, size_t length)
{
	size_t at = 0;
	ssize_t n;

	while (at < length) {
		n = pread(file, text + at, length - at, (off_t)at);
		if (n < 0 && errno == EINTR)
			continue;
		if (n <= 0)
			return false;
		at += (size_t)n;
	}
	return true;
}

enum lw_status
plan_child_read(struct plan_answer *answer, int file, struct lw_err *err)
{
	struct stat info;
	enum lw_status status = LW_OK;
	unsigned code, column;
	int head = 0;
	size_t size;

	memset(answer, 0, sizeof *answer);
	size = fstat(file, &info) == 0 ? (size_t)info.st_size : 0;
	answer->text = malloc(size + 1);
	if (answer->text == NULL)
		return err_no_memory(err);
	answer->text[size] = '\0';
	if (size > PLAN_CHILD_BYTES_MAX + 100 ||
	    !get(answer->text, file, size) ||
	    sscanf(answer->text, "%2u %6u%n", &code, &column, &head) != 2 ||
	    code > LW_NO_MEMORY || answer->text[head] != '\n') {
		status = err_set(err, LW_FAILED, "it left nothing whole");
		goto out;
	}
	head++;
	answer->length = size - (size_t)head;
	memmove(answer->text, answer->text + head, answer->length + 1);
	if (code == LW_OK)
		return LW_OK;
	err_set_at(
	    &answer->err, (enum lw_status)code, 0, column, "%s", answer->text);
out:
	free(answer->text);
	answer->text = NULL;
	answer->length = 0;
	return status;
}
