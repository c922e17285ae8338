/* lampwright serve: the book in a browser, until Ctrl-C. Serving is left to
 * serve; what the person at the terminal has to know is said here. */
#include "cli/cli.h"

#include "base/buf.h"
#include "base/num.h"
#include "serve/qr.h"
#include "serve/serve.h"

#include <limits.h>
#include <poll.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#define PORT_USUAL 8017
#define QR_BYTES_MAX (256u * 1024)

static volatile sig_atomic_t stop;

static void
on_signal(int signal)
{
	(void)signal;
	stop = 1;
}

static void
catch_signals(void)
{
	struct sigaction action;

	memset(&action, 0, sizeof action);
	sigemptyset(&action.sa_mask);
	action.sa_handler = on_signal;
	sigaction(SIGINT, &action, NULL);
	sigaction(SIGTERM, &action, NULL);
	action.sa_handler = SIG_IGN;
	sigaction(SIGPIPE, &action, NULL);
}

static void
show_qr(const char *address)
{
	struct lw_err err;
	struct buf blocks;

	buf_init(&blocks, QR_BYTES_MAX);
	if (qr_add_blocks(&blocks, address, isatty(STDOUT_FILENO) == 1, &err) ==
	    LW_OK)
		printf("\n%s", buf_text(&blocks));
	else
		cli_say("the QR code cannot be drawn: %s", err.text);
	buf_clear(&blocks);
	printf("%s\n\n", address);
}

static void
show_lan(const struct serve_ready *ready)
{
	size_t i;

	if (ready->address_count < 2) {
		printf(
		    "This machine has no address in a network, so no phone "
		    "can reach it yet; once\nit has one, it is said here.\n\n");
	} else {
		printf("In this network it is at:\n");
		for (i = 0; i + 1 < ready->address_count; i++)
			printf("    %s\n", ready->addresses[i]);
		show_qr(ready->addresses[0]);
	}
	printf("Pairing code: %s, good for %u minutes.\n", ready->code,
	    ready->code_minutes);
	if (!ready->tls)
		printf("There is no TLS, so others in this network can read "
		       "along; the page /about says\nwhat that means.\n");
}

static void
on_ready(const struct serve_ready *ready, void *closure)
{
	(void)closure;
	printf("Lampwright is at %s (Ctrl-C ends it)\n",
	    ready->addresses[ready->address_count - 1]);
	if (ready->lan)
		show_lan(ready);
	if (ready->print != NULL)
		printf("SHA-256 of the certificate:\n    %.48s\n    %s\n",
		    ready->print, ready->print + 48);
	fflush(stdout);
}

/* Whether the terminal takes a line now. One that was stopped (Ctrl-S), or a
 * pipe that nobody reads, must not stop the server with it. */
static bool
can_print(void)
{
	struct pollfd out = {.fd = STDOUT_FILENO, .events = POLLOUT};

	return poll(&out, 1, 0) == 1 && (out.revents & POLLOUT) != 0;
}

static void
on_say(const char *sentence, void *closure)
{
	time_t now = time(NULL);
	char when[8] = "";
	struct tm local;

	(void)closure;
	if (!can_print())
		return;
	if (localtime_r(&now, &local) != NULL)
		strftime(when, sizeof when, "%H:%M ", &local);
	printf("%s%s\n", when, sentence);
	fflush(stdout);
}

static void
on_moved(const char *address, void *closure)
{
	if (!can_print())
		return;
	on_say("In this network it is now at the address below. Phones are "
	       "paired anew there, because what they keep belongs to the old "
	       "one.",
	    closure);
	show_qr(address);
	fflush(stdout);
}

/* Warn where others at this machine can get at the book: read its file, or
 * put another in its place. The journal beside it is as open as the file. */
static void
look_at_book(const char *path)
{
	const char *slash = strrchr(path, '/');
	char folder[PATH_MAX] = ".";
	struct stat file, around;

	if (slash != NULL)
		snprintf(folder, sizeof folder, "%.*s",
		    slash == path ? 1 : (int)(slash - path), path);
	if (stat(path, &file) != 0 || stat(folder, &around) != 0)
		return;
	if ((file.st_mode & (S_IRWXG | S_IRWXO)) != 0 &&
	    (around.st_mode & (S_IXGRP | S_IXOTH)) != 0)
		cli_say("other people at this machine may get at the book; "
			"chmod 600 '%s' mends it",
		    path);
	else if ((around.st_mode & (S_IWGRP | S_IWOTH)) != 0 &&
		 (around.st_mode & S_ISVTX) == 0)
		cli_say("other people at this machine may put another book in "
			"the place of this one; chmod 700 '%s' mends it",
		    folder);
}

static int
run_serve(struct cli *cli)
{
	const char *port_text = args_value(&cli->args, "port");
	struct serve_options options;
	int64_t port = PORT_USUAL;
	enum lw_status status;
	struct lw_err err;

	memset(&options, 0, sizeof options);
	options.lan = args_has(&cli->args, "lan");
	options.tls_cert = args_value(&cli->args, "tls-cert");
	options.tls_key = args_value(&cli->args, "tls-key");
	if (cli->args.word_count > 0)
		return cli_usage(
		    cli, "%.60s has no place here", cli->args.words[0]);
	if (port_text != NULL &&
	    (!num_parse_int(&port, port_text) || port < 0 || port > 65535))
		return cli_usage(cli,
		    "%.60s is not a port; a port is 0 (any free one) to 65535",
		    port_text);
	if ((options.tls_cert == NULL) != (options.tls_key == NULL))
		return cli_usage(cli,
		    "TLS takes both a certificate and its key; --tls-%s FILE "
		    "is missing",
		    options.tls_cert == NULL ? "cert" : "key");
	if (options.lan && geteuid() == 0 &&
	    !args_has(&cli->args, "allow-root")) {
		cli_say("--lan is refused to root, because whoever broke into "
			"the server would have the whole machine; serve as an "
			"ordinary user, or give --allow-root");
		return EXIT_USAGE;
	}
	look_at_book(cli->book_path);
	options.book = cli->book;
	options.book_path = cli->book_path;
	options.port = (unsigned)port;
	options.web_dir = args_value(&cli->args, "web-dir");
	options.stop = &stop;
	options.ready = on_ready;
	options.say = on_say;
	options.moved = on_moved;
	catch_signals();
	status = serve_run(&options, &err);
	if (status == LW_OK)
		return EXIT_YES;
	cli_fail(cli, &err);
	return status == LW_BAD_INPUT ? EXIT_USAGE : EXIT_BROKEN;
}

static const struct option table[] = {
    {"port", "N", "the port (8017); 0 takes any free one"},
    {"lan", NULL, "for the phones of this network, too; each is paired"},
    {"tls-cert", "FILE", "speak TLS with this certificate (PEM)"},
    {"tls-key", "FILE", "and this key (PEM, without a password)"},
    {"allow-root", NULL, "let root serve a network"},
    {"web-dir", "DIR", "read templates and style live from a folder"},
    {NULL, NULL, NULL},
};

const struct command command_serve = {
    .name = "serve",
    .summary = "The book in a browser.",
    .synopsis = "[--port N] [--tls-cert FILE --tls-key FILE]\n"
		"--lan [--port N] [--tls-cert FILE --tls-key FILE]",
    .help = "Without --lan it answers this machine alone, and nobody is "
	    "paired. With --lan it answers the local network, and every "
	    "browser, on this machine too, is asked once for the pairing code "
	    "that is shown here; lampwright screen lists who is paired, and "
	    "sends away. Ctrl-C ends it.\n",
    .options = table,
    .needs = NEEDS_BOOK,
    .run = run_serve,
};
