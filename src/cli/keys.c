/*
 * Takes the terminal over for single keys and gives it back, whatever
 * happens. What the keys mean is left to keystroke.c.
 *
 * Everything that the signal handlers call is async-signal-safe by POSIX:
 * tcgetattr, tcsetattr, tcgetpgrp, getpgrp, sigaction, sigprocmask, raise.
 */
#include "cli/keys.h"

#include "base/err.h"

#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <string.h>
#include <sys/ioctl.h>
#include <termios.h>
#include <time.h>
#include <unistd.h>

#define PENDING_MAX 8192
#define FLUSH_MS 200

/* Signals that end the program, by their own doing or because it crashed. */
static const int ending[] = {SIGINT, SIGTERM, SIGHUP, SIGQUIT, SIGALRM, SIGPIPE,
    SIGUSR1, SIGUSR2, SIGXCPU, SIGXFSZ, SIGABRT, SIGSEGV, SIGBUS, SIGFPE,
    SIGILL, SIGSYS, SIGTRAP};
enum { ENDING_COUNT = sizeof ending / sizeof ending[0] };

static struct sigaction ending_before[ENDING_COUNT];
static struct sigaction stop_before, continue_before, size_before;

static const int tty = STDIN_FILENO;
static int out = -1; /* a description of its own, which never waits */
static bool is_open;
static struct termios before, ours;
static volatile sig_atomic_t entered; /* the terminal is set to `ours` */
static volatile sig_atomic_t continued, resized;

static char pending[PENDING_MAX];
static size_t pending_from, pending_length;

double
keys_now(void)
{
	struct timespec now;

	clock_gettime(CLOCK_MONOTONIC, &now);
	return (double)now.tv_sec + (double)now.tv_nsec / 1e9;
}

/* Whether the terminal is this program's to set. One that controls no job
 * is. */
static bool
in_foreground(void)
{
	pid_t group = tcgetpgrp(tty);

	return group < 0 || group == getpgrp();
}

static bool
is_ours(const struct termios *now)
{
	return now->c_iflag == ours.c_iflag && now->c_lflag == ours.c_lflag &&
	       now->c_cc[VMIN] == ours.c_cc[VMIN] &&
	       now->c_cc[VTIME] == ours.c_cc[VTIME];
}

static void
enter(void)
{
	struct termios now;

	if (!in_foreground())
		return;
	/* Somebody may have set it otherwise meanwhile. */
	if (tcgetattr(tty, &now) == 0 && !is_ours(&now))
		before = now;
	entered = 1;
	tcsetattr(tty, TCSANOW, &ours);
}

static void
leave(void)
{
	if (entered && in_foreground())
		tcsetattr(tty, TCSANOW, &before);
	entered = 0;
}

/* SA_RESETHAND has put the usual action back; it is done on return, since a
 * signal is held back while it is handled. */
static void
on_end(int signal)
{
	leave();
	raise(signal);
}

static void
on_continue(int signal)
{
	int kept = errno;

	(void)signal;
	enter();
	continued = 1;
	errno = kept;
}

/* Put the terminal back, and stop as without a handler. What comes after is
 * on_continue's. */
static void
on_stop(int signal)
{
	struct sigaction usual, mine;
	sigset_t set, old;
	int kept = errno;

	leave();
	memset(&usual, 0, sizeof usual);
	usual.sa_handler = SIG_DFL;
	sigemptyset(&usual.sa_mask);
	sigaction(signal, &usual, &mine);
	raise(signal);
	sigemptyset(&set);
	sigaddset(&set, signal);
	sigprocmask(SIG_UNBLOCK, &set, &old);
	sigprocmask(SIG_SETMASK, &old, NULL);
	sigaction(signal, &mine, NULL);
	/* Where stopping is refused (a group without a shell) it goes on. */
	if (!entered)
		on_continue(SIGCONT);
	errno = kept;
}

static void
on_size(int signal)
{
	(void)signal;
	resized = 1;
}

static void catch (
    int signal, void (*handler)(int), int flags, struct sigaction *kept)
{
	struct sigaction action;

	memset(&action, 0, sizeof action);
	action.sa_handler = handler;
	action.sa_flags = flags;
	/* One at a time: each sets the terminal. */
	sigfillset(&action.sa_mask);
	sigaction(signal, NULL, kept);
	/* What is ignored stays so (nohup), and what others handle. */
	if (kept->sa_handler == SIG_DFL)
		sigaction(signal, &action, NULL);
}

static void
catch_all(void)
{
	size_t i;

	for (i = 0; i < ENDING_COUNT; i++)
		catch (ending[i], on_end, (int)SA_RESETHAND, &ending_before[i]);
	catch (SIGTSTP, on_stop, 0, &stop_before);
	catch (SIGCONT, on_continue, 0, &continue_before);
	catch (SIGWINCH, on_size, 0, &size_before);
}

static void
hold_signals(sigset_t *old)
{
	sigset_t all;

	sigfillset(&all);
	sigprocmask(SIG_SETMASK, &all, old);
}

static void
catch_no_more(void)
{
	size_t i;

	for (i = 0; i < ENDING_COUNT; i++)
		sigaction(ending[i], &ending_before[i], NULL);
	sigaction(SIGTSTP, &stop_before, NULL);
	sigaction(SIGCONT, &continue_before, NULL);
	sigaction(SIGWINCH, &size_before, NULL);
}

static void
make_ours(void)
{
	ours = before;
	/* Signals stay the terminal's, and so does what is written. */
	ours.c_iflag &= ~(tcflag_t)(ICRNL | INLCR | IGNCR | ISTRIP | IXON);
	ours.c_lflag &= ~(tcflag_t)(ICANON | ECHO | ECHONL | IEXTEN);
	ours.c_cc[VMIN] = 1;
	ours.c_cc[VTIME] = 0;
}

/* A way to write to the terminal that never waits. The flag for that must not
 * be set on what others share, so it is opened anew where that can be. */
static int
open_out(void)
{
	const char *name = "/dev/tty";

	if (tcgetpgrp(tty) < 0)
		name = ttyname(tty);
	if (name == NULL)
		return -1;
	return open(name, O_WRONLY | O_NOCTTY | O_NONBLOCK | O_CLOEXEC);
}

enum lw_status
keys_open(struct lw_err *err)
{
	sigset_t old;
	int tries;

	if (!isatty(tty))
		return err_set(err, LW_BAD_INPUT,
		    "standard input is no terminal; tap in a terminal, or give "
		    "the times in a file to: lampwright watch --taps FILE");
	/* In the background the terminal is set as the shell likes it: wait
	 * until it is ours. */
	for (tries = 0; !in_foreground(); tries++) {
		if (tries == 3)
			return err_set(err, LW_FAILED,
			    "the terminal is another program's; tap where this "
			    "one is in the foreground");
		raise(SIGTTIN);
	}
	memset(&before, 0, sizeof before);
	if (tcgetattr(tty, &before) != 0)
		return err_set(err, LW_FAILED,
		    "the terminal does not say how it is set: %s",
		    strerror(errno));
	make_ours();
	out = open_out();
	pending_from = pending_length = 0;
	continued = resized = 0;
	is_open = true;
	hold_signals(&old);
	catch_all();
	enter();
	sigprocmask(SIG_SETMASK, &old, NULL);
	tcflush(tty, TCIFLUSH);
	return LW_OK;
}

void
keys_close(void)
{
	sigset_t old;

	if (!is_open)
		return;
	keys_flush();
	hold_signals(&old);
	leave();
	catch_no_more();
	sigprocmask(SIG_SETMASK, &old, NULL);
	if (out >= 0)
		close(out);
	out = -1;
	is_open = false;
}

/* Write what is left of the last text, as far as the terminal takes it. */
static void
push(void)
{
	ssize_t n;

	while (pending_length > 0 && entered) {
		n = write(out, pending + pending_from, pending_length);
		if (n < 0 && errno == EINTR)
			continue;
		if (n < 0 && errno != EAGAIN && errno != EWOULDBLOCK)
			pending_length = 0; /* nobody will see it */
		if (n <= 0)
			break;
		pending_from += (size_t)n;
		pending_length -= (size_t)n;
	}
}

bool
keys_write(const char *text, size_t length)
{
	push();
	if (pending_length > 0 || !entered || out < 0 || length > PENDING_MAX)
		return false;
	memcpy(pending, text, length);
	pending_from = 0;
	pending_length = length;
	push();
	return true;
}

void
keys_flush(void)
{
	double until = keys_now() + FLUSH_MS / 1000.0;

	while (pending_length > 0 && entered && keys_now() < until) {
		struct pollfd ready = {.fd = out, .events = POLLOUT};

		poll(&ready, 1, 20);
		push();
	}
	pending_length = 0;
}

enum keys_got
keys_wait(void *bytes, size_t room, size_t *length, double *at_s, double wait_s)
{
	struct pollfd ready = {.fd = tty, .events = POLLIN};
	ssize_t n;
	int got;

	push();
	*length = 0;
	got = poll(&ready, 1, wait_s > 0 ? (int)(wait_s * 1000) + 1 : 0);
	if (got <= 0) {
		*at_s = 0;
		return got == 0 || errno == EINTR ? KEYS_NOTHING : KEYS_GONE;
	}
	*at_s = keys_now();
	n = read(tty, bytes, room);
	if (n < 0 && (errno == EINTR || errno == EAGAIN))
		return KEYS_NOTHING;
	if (n <= 0)
		return KEYS_GONE;
	*length = (size_t)n;
	return KEYS_BYTES;
}

bool
keys_continued(void)
{
	bool was = continued;

	continued = 0;
	return was;
}

bool
keys_resized(void)
{
	bool was = resized;

	resized = 0;
	return was;
}

struct keys_size
keys_size(void)
{
	struct keys_size size = {0, 0};
	struct winsize window;

	if (ioctl(tty, TIOCGWINSZ, &window) == 0) {
		size.columns = window.ws_col;
		size.rows = window.ws_row;
	}
	return size;
}
