/*
 * Runs a command in a terminal of its own, as its foreground job, and plays
 * the person and the shell: presses keys at set times, sends signals, changes
 * the window, looks at how the terminal is set.
 *
 *   pty [-o STDOUT] [-t SCREEN] [-c COLUMNS] COMMAND ARGUMENT... <SCRIPT
 *
 * What the command writes to the terminal goes to SCREEN, its standard output
 * to STDOUT, else to the terminal. At the end it says on its own standard
 * output how the command ended ("exit 1", "signal 2") and whether the terminal
 * is as before. A line of the script is one of:
 *
 *   wait BYTES               until the screen has them, after the last wait
 *   keys BYTES               with \e \n \xHH for what cannot be written
 *   taps GAP PAUSE KEY N...  groups of N taps, in ms; ends with a pause
 *   hold DELAY EACH N KEY    a key that is held: N repeats
 *   pause MS
 *   signal NAME
 *   size COLUMNS ROWS
 *   raw, cooked              until single keys are read; until it is as before
 *   stopped                  until the command is suspended
 *   foreground, background   whose the terminal is
 *   deaf, listen             leave alone what it writes; read it again
 *   hangup                   the terminal goes away
 *
 * Times are kept from one beginning, so that lateness does not add up.
 */
#define _GNU_SOURCE /* posix_openpt */
#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <sys/wait.h>
#include <termios.h>
#include <time.h>
#include <unistd.h>

#define PATIENCE_MS 30000
#define LINE_MAX_BYTES 500
#define SCREEN_MAX (1u << 20)

static int master = -1, slave = -1;
static struct termios before;
static pid_t child;
static bool ended, suspended, is_deaf;
static int how; /* by waitpid */
static char screen[SCREEN_MAX + 1];
static size_t screen_length, screen_seen;
static FILE *screen_file;
static int line_number;

__attribute__((noreturn)) static void
fail(const char *what, const char *which)
{
	fprintf(stderr, "pty: line %d: %s %s\n", line_number, what, which);
	fprintf(stderr, "the screen since:\n%s\n", screen + screen_seen);
	if (child > 0) {
		kill(child, SIGKILL);
		kill(child, SIGCONT);
	}
	exit(EXIT_FAILURE);
}

static long long
now_ms(void)
{
	struct timespec now;

	clock_gettime(CLOCK_MONOTONIC, &now);
	return (long long)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

static void
look_at_child(void)
{
	int status;

	if (ended ||
	    waitpid(child, &status, WNOHANG | WUNTRACED | WCONTINUED) != child)
		return;
	if (WIFSTOPPED(status)) {
		suspended = true;
	} else if (WIFCONTINUED(status)) {
		suspended = false;
	} else {
		ended = true;
		how = status;
	}
}

/* Let it go on for so long, reading what it writes. */
static void
go_on(long long wait_ms)
{
	struct pollfd ready = {.fd = is_deaf ? -1 : master, .events = POLLIN};
	ssize_t n;

	look_at_child();
	if (poll(&ready, 1, wait_ms > 10 ? 10 : (int)wait_ms) <= 0)
		return;
	n = read(master, screen + screen_length, SCREEN_MAX - screen_length);
	if (n <= 0) {
		/* Nobody has it open: let time pass all the same. */
		poll(NULL, 0, wait_ms > 10 ? 10 : (int)wait_ms);
		return;
	}
	if (screen_file != NULL)
		fwrite(screen + screen_length, 1, (size_t)n, screen_file);
	screen_length += (size_t)n;
	screen[screen_length] = '\0';
}

static void
until_ms(long long when)
{
	long long left;

	while ((left = when - now_ms()) > 0)
		go_on(left);
}

/* --- the terminal -------------------------------------------------------- */

static bool
as_before(void)
{
	struct termios now;

	memset(&now, 0, sizeof now);
	return tcgetattr(slave, &now) == 0 &&
	       memcmp(&now, &before, sizeof now) == 0;
}

static bool
is_raw(void)
{
	struct termios now;

	return tcgetattr(slave, &now) == 0 && (now.c_lflag & ICANON) == 0 &&
	       (now.c_lflag & ECHO) == 0;
}

static bool
has_ended(void)
{
	return ended;
}

static bool
is_suspended(void)
{
	return suspended;
}

static void
until_true(bool (*what)(void), const char *name)
{
	long long end = now_ms() + PATIENCE_MS;

	while (!what()) {
		if (now_ms() > end || (ended && what != as_before))
			fail("waited in vain until", name);
		go_on(10);
	}
}

static void
set_size(unsigned short columns, unsigned short rows)
{
	struct winsize size;

	memset(&size, 0, sizeof size);
	size.ws_col = columns;
	size.ws_row = rows;
	ioctl(master, TIOCSWINSZ, &size);
}

static void
open_terminal(unsigned short columns)
{
	const char *name;

	master = posix_openpt(O_RDWR | O_NOCTTY | O_CLOEXEC);
	if (master < 0 || grantpt(master) != 0 || unlockpt(master) != 0 ||
	    (name = ptsname(master)) == NULL)
		fail("no terminal:", strerror(errno));
	slave = open(name, O_RDWR | O_NOCTTY | O_CLOEXEC);
	if (slave < 0 || ioctl(slave, TIOCSCTTY, 0) != 0)
		fail("the terminal does not open:", strerror(errno));
	memset(&before, 0, sizeof before);
	tcgetattr(slave, &before);
	set_size(columns, 24);
}

static void
start(char **command, const char *stdout_path)
{
	static const int usual[] = {
	    SIGINT, SIGQUIT, SIGHUP, SIGTERM, SIGTSTP, SIGTTIN, SIGTTOU};
	size_t i;
	int out;

	signal(SIGTTOU, SIG_IGN);
	signal(SIGHUP, SIG_IGN);
	child = fork();
	if (child < 0)
		fail("fork:", strerror(errno));
	if (child > 0) {
		setpgid(child, child);
		tcsetpgrp(slave, child);
		return;
	}
	setpgid(0, 0);
	tcsetpgrp(slave, getpid());
	for (i = 0; i < sizeof usual / sizeof usual[0]; i++)
		signal(usual[i], SIG_DFL);
	dup2(slave, STDIN_FILENO);
	dup2(slave, STDOUT_FILENO);
	dup2(slave, STDERR_FILENO);
	if (stdout_path != NULL) {
		out = open(stdout_path, O_WRONLY | O_CREAT | O_TRUNC, 0600);
		if (out < 0)
			_exit(126);
		dup2(out, STDOUT_FILENO);
		close(out);
	}
	execvp(command[0], command);
	_exit(127);
}

/* --- steps --------------------------------------------------------------- */

/* The bytes of a text with \e, \n and \xHH in it. */
static size_t
unescape(char bytes[LINE_MAX_BYTES], const char *text)
{
	size_t length = 0;
	char hex[3] = "";

	for (; *text != '\0'; text++) {
		char c = *text;

		if (c == '\\' && text[1] != '\0') {
			c = *++text;
			if (c == 'e') {
				c = 0x1b;
			} else if (c == 'n') {
				c = '\n';
			} else if (c == 'x' && text[1] != '\0' &&
				   text[2] != '\0') {
				memcpy(hex, text + 1, 2);
				c = (char)strtol(hex, NULL, 16);
				text += 2;
			}
		}
		bytes[length++] = c;
	}
	bytes[length] = '\0';
	return length;
}

static void
press(const char *text)
{
	char bytes[LINE_MAX_BYTES];
	size_t length = unescape(bytes, text);

	/* One write: the bytes of a key arrive together. */
	if (write(master, bytes, length) != (ssize_t)length)
		fail("the keys are not taken:", strerror(errno));
}

static void
do_taps(char *words)
{
	char *gap = strtok(words, " "), *pause = strtok(NULL, " ");
	char *key = strtok(NULL, " "), *group;
	long long at = now_ms();
	int i;

	if (key == NULL)
		fail("unreadable", "taps");
	while ((group = strtok(NULL, " ")) != NULL) {
		for (i = 0; i < atoi(group); i++) {
			at += i > 0 ? atoi(gap) : 0;
			until_ms(at);
			if (ended)
				return;
			press(key);
		}
		at += atoi(pause);
	}
	until_ms(at);
}

static void
do_hold(char *words)
{
	char *delay = strtok(words, " "), *each = strtok(NULL, " ");
	char *count = strtok(NULL, " "), *key = strtok(NULL, " ");
	long long at = now_ms();
	int i;

	if (key == NULL)
		fail("unreadable", "hold");
	press(key);
	at += atoi(delay);
	for (i = 0; i < atoi(count); i++) {
		until_ms(at);
		press(key);
		at += atoi(each);
	}
}

static void
do_wait(const char *text)
{
	long long end = now_ms() + PATIENCE_MS;
	char bytes[LINE_MAX_BYTES];
	size_t length = unescape(bytes, text);
	const char *found;

	while ((found = strstr(screen + screen_seen, bytes)) == NULL) {
		if (ended || now_ms() > end)
			fail("waited in vain for", text);
		go_on(10);
	}
	screen_seen = (size_t)(found - screen) + length;
}

static void
do_signal(const char *name)
{
	static const struct {
		const char *name;
		int number;
	} signals[] = {{"INT", SIGINT}, {"TERM", SIGTERM}, {"HUP", SIGHUP},
	    {"QUIT", SIGQUIT}, {"TSTP", SIGTSTP}, {"STOP", SIGSTOP},
	    {"CONT", SIGCONT}, {"SEGV", SIGSEGV}, {"ABRT", SIGABRT},
	    {"USR1", SIGUSR1}};
	size_t i;

	for (i = 0; i < sizeof signals / sizeof signals[0]; i++) {
		if (strcmp(signals[i].name, name) == 0) {
			kill(child, signals[i].number);
			return;
		}
	}
	fail("no signal", name);
}

static void
step(char *line)
{
	char *words = strchr(line, ' ');
	char *other;
	long columns;

	if (words != NULL)
		*words++ = '\0';
	else
		words = line + strlen(line);
	if (strcmp(line, "wait") == 0) {
		do_wait(words);
	} else if (strcmp(line, "keys") == 0) {
		press(words);
	} else if (strcmp(line, "taps") == 0) {
		do_taps(words);
	} else if (strcmp(line, "hold") == 0) {
		do_hold(words);
	} else if (strcmp(line, "pause") == 0) {
		until_ms(now_ms() + atoi(words));
	} else if (strcmp(line, "signal") == 0) {
		do_signal(words);
	} else if (strcmp(line, "size") == 0) {
		columns = strtol(words, &other, 10);
		set_size((unsigned short)columns,
		    (unsigned short)strtol(other, NULL, 10));
	} else if (strcmp(line, "raw") == 0) {
		until_true(is_raw, line);
	} else if (strcmp(line, "cooked") == 0) {
		until_true(as_before, line);
	} else if (strcmp(line, "stopped") == 0) {
		until_true(is_suspended, line);
	} else if (strcmp(line, "foreground") == 0) {
		tcsetpgrp(slave, child);
	} else if (strcmp(line, "background") == 0) {
		tcsetpgrp(slave, getpgrp());
	} else if (strcmp(line, "deaf") == 0) {
		is_deaf = true;
	} else if (strcmp(line, "listen") == 0) {
		is_deaf = false;
	} else if (strcmp(line, "hangup") == 0) {
		close(master);
		master = -1;
	} else {
		fail("no step", line);
	}
}

static int
play(char **command, const char *stdout_path, unsigned short columns)
{
	char line[LINE_MAX_BYTES];

	open_terminal(columns);
	start(command, stdout_path);
	while (fgets(line, sizeof line, stdin) != NULL) {
		line_number++;
		line[strcspn(line, "\n")] = '\0';
		if (line[0] != '\0')
			step(line);
	}
	if (!ended)
		until_true(has_ended, "it ends");
	go_on(10); /* the last of what it wrote */
	if (WIFSIGNALED(how))
		printf("signal %d\n", WTERMSIG(how));
	else
		printf("exit %d\n", WEXITSTATUS(how));
	if (master >= 0)
		printf("terminal %s\n", as_before() ? "as before" : "changed");
	if (screen_file != NULL)
		fclose(screen_file);
	return EXIT_SUCCESS;
}

int
main(int argc, char **argv)
{
	const char *stdout_path = NULL;
	unsigned short columns = 80;
	int option, status;
	pid_t leader;

	while ((option = getopt(argc, argv, "+c:o:t:")) != -1) {
		if (option == 'o')
			stdout_path = optarg;
		else if (option == 'c')
			columns = (unsigned short)atoi(optarg);
		else if (option == 't')
			screen_file = fopen(optarg, "w");
		else
			return 2;
	}
	if (optind >= argc)
		return 2;
	/* A session of its own, for which it must lead no group. */
	if (setsid() < 0) {
		leader = fork();
		if (leader > 0)
			return waitpid(leader, &status, 0) == leader &&
				       WIFEXITED(status)
				   ? WEXITSTATUS(status)
				   : EXIT_FAILURE;
		if (leader < 0 || setsid() < 0)
			return EXIT_FAILURE;
	}
	return play(argv + optind, stdout_path, columns);
}
