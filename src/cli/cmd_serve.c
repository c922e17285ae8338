/* lampwright serve: the book in a browser, until Ctrl-C. Serving is left to
 * serve. */
#include "cli/cli.h"

#include "base/num.h"
#include "serve/serve.h"

#include <signal.h>
#include <stdio.h>
#include <string.h>

#define PORT_USUAL 8017

static volatile sig_atomic_t stop;

static void
on_signal(int signal)
{
	(void)signal;
	stop = 1;
}

static void
on_ready(const struct serve_ready *ready, void *closure)
{
	(void)closure;
	printf("Lampwright is at %s (Ctrl-C ends it)\n",
	    ready->addresses[ready->address_count - 1]);
	fflush(stdout);
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

static int
run_serve(struct cli *cli)
{
	const char *port_text = args_value(&cli->args, "port");
	struct serve_options options;
	int64_t port = PORT_USUAL;
	struct lw_err err;

	if (cli->args.word_count > 0)
		return cli_usage(
		    cli, "%.60s has no place here", cli->args.words[0]);
	if (port_text != NULL &&
	    (!num_parse_int(&port, port_text) || port < 0 || port > 65535))
		return cli_usage(cli,
		    "%.60s is not a port; a port is 0 (any free one) to 65535",
		    port_text);
	if (args_has(&cli->args, "lan")) {
		cli_say("--lan is refused, because a phone cannot yet be "
			"paired with a code; without it the book is shown to "
			"this machine alone");
		return EXIT_USAGE;
	}
	memset(&options, 0, sizeof options);
	options.book = cli->book;
	options.port = (unsigned)port;
	options.web_dir = args_value(&cli->args, "web-dir");
	options.stop = &stop;
	options.ready = on_ready;
	catch_signals();
	if (serve_run(&options, &err) != LW_OK) {
		cli_fail(cli, &err);
		return EXIT_BROKEN;
	}
	return EXIT_YES;
}

static const struct option table[] = {
    {"port", "N", "the port (8017); 0 takes any free one"},
    {"web-dir", "DIR", "read templates and style live from a folder"},
    {"lan", NULL, "for other machines, too; refused until they can be paired"},
    {NULL, NULL, NULL},
};

const struct command command_serve = {
    .name = "serve",
    .summary = "The book in a browser.",
    .synopsis = "[--port N] [--web-dir DIR]",
    .help = "It answers this machine alone. Ctrl-C ends it.\n",
    .options = table,
    .needs = NEEDS_BOOK,
    .run = run_serve,
};
