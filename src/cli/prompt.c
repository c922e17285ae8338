/* Reads lines from the person at the terminal. What they mean is left to the
 * commands. */
#include "cli/prompt.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

static volatile sig_atomic_t interrupted;
static const int signals[] = {SIGINT, SIGHUP, SIGTERM};
enum { SIGNAL_COUNT = sizeof signals / sizeof signals[0] };
static struct sigaction before[SIGNAL_COUNT];

static void
on_interrupt(int signal)
{
	(void)signal;
	interrupted = 1;
}

void
prompt_begin(void)
{
	struct sigaction action;
	size_t i;

	/* Without SA_RESTART a read ends with EINTR. */
	memset(&action, 0, sizeof action);
	action.sa_handler = on_interrupt;
	sigemptyset(&action.sa_mask);
	interrupted = 0;
	for (i = 0; i < SIGNAL_COUNT; i++)
		sigaction(signals[i], &action, &before[i]);
}

void
prompt_end(void)
{
	size_t i;

	for (i = 0; i < SIGNAL_COUNT; i++)
		sigaction(signals[i], &before[i], NULL);
}

/* Read up to a line end. False at the end of input or at an interrupt. */
static bool
read_line(int fd, char line[PROMPT_MAX])
{
	size_t length = 0, from;
	ssize_t n;
	char c;

	for (;;) {
		if (interrupted)
			return false;
		n = read(fd, &c, 1);
		if (n < 0 && errno == EINTR)
			continue;
		if (n <= 0 && length == 0)
			return false;
		if (n <= 0 || c == '\n')
			break;
		if (c != '\0' && length + 1 < PROMPT_MAX)
			line[length++] = c;
	}
	while (length > 0 && strchr(" \t\r", line[length - 1]) != NULL)
		length--;
	line[length] = '\0';
	from = strspn(line, " \t");
	memmove(line, line + from, length - from + 1);
	return true;
}

bool
prompt_line(char line[PROMPT_MAX], const char *prompt)
{
	if (isatty(STDIN_FILENO) && isatty(STDOUT_FILENO))
		fputs(prompt, stdout);
	fflush(stdout);
	return read_line(STDIN_FILENO, line);
}

bool
prompt_yes(bool *asked, const char *question)
{
	char line[PROMPT_MAX];
	bool yes = false;
	int fd;

	*asked = false;
	fflush(stdout);
	fd = open("/dev/tty", O_RDWR | O_CLOEXEC | O_NOCTTY);
	if (fd < 0)
		return false;
	*asked = true;
	prompt_begin();
	if (write(fd, question, strlen(question)) > 0 && read_line(fd, line))
		yes = strcmp(line, "y") == 0 || strcmp(line, "yes") == 0;
	prompt_end();
	close(fd);
	return yes;
}
