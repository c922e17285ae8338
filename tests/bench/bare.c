/*
 * What the web server's library does at its barest: one fixed answer of a
 * given size to every request, with the flags of src/serve/server.c and the
 * headers of a page. tests/bench/serve.sh measures lampwright beside it.
 *
 *     bare SIZE        prints the port that it listens on, until killed
 */
#define _POSIX_C_SOURCE 200809L
#include <arpa/inet.h>
#include <microhttpd.h>
#include <netinet/in.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>

static const struct {
	const char *name;
	const char *value;
} headers[] = {
    {"Content-Security-Policy",
	"default-src 'self'; object-src 'none'; base-uri 'none'; "
	"form-action 'self'; frame-ancestors 'none'"},
    {"X-Content-Type-Options", "nosniff"},
    {"Referrer-Policy", "same-origin"},
    {"Cross-Origin-Resource-Policy", "same-origin"},
    {"Content-Type", "text/html; charset=utf-8"},
    {"Cache-Control", "private, no-cache"},
};

static enum MHD_Result
take(void *response, struct MHD_Connection *connection, const char *url,
    const char *method, const char *version, const char *data, size_t *size,
    void **begun)
{
	(void)url;
	(void)method;
	(void)version;
	(void)data;
	(void)size;
	if (*begun == NULL) {
		*begun = response;
		return MHD_YES;
	}
	return MHD_queue_response(connection, MHD_HTTP_OK, response);
}

static int
fail(const char *what)
{
	fprintf(stderr, "bare: %s\n", what);
	return EXIT_FAILURE;
}

int
main(int argc, char **argv)
{
	struct sockaddr_in address = {.sin_family = AF_INET};
	struct MHD_Response *response;
	struct MHD_Daemon *daemon;
	socklen_t length = sizeof address;
	size_t size, i;
	char *body;
	int fd;

	if (argc != 2 || (size = strtoul(argv[1], NULL, 10)) == 0 ||
	    (body = malloc(size)) == NULL)
		return fail("give the size of the answer in bytes");
	memset(body, 'x', size);
	response =
	    MHD_create_response_from_buffer(size, body, MHD_RESPMEM_MUST_FREE);
	for (i = 0; i < sizeof headers / sizeof headers[0]; i++)
		MHD_add_response_header(
		    response, headers[i].name, headers[i].value);

	signal(SIGPIPE, SIG_IGN);
	address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
	fd = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC | SOCK_NONBLOCK, 0);
	if (fd < 0 ||
	    bind(fd, (const struct sockaddr *)&address, length) != 0 ||
	    listen(fd, 512) != 0 ||
	    getsockname(fd, (struct sockaddr *)&address, &length) != 0)
		return fail("cannot listen");
	daemon = MHD_start_daemon(MHD_USE_AUTO | MHD_USE_ERROR_LOG, 0, NULL,
	    NULL, take, response, MHD_OPTION_LISTEN_SOCKET, (MHD_socket)fd,
	    MHD_OPTION_SIGPIPE_HANDLED_BY_APP, (int)1,
	    MHD_OPTION_CONNECTION_LIMIT, (unsigned int)512,
	    MHD_OPTION_CONNECTION_TIMEOUT, (unsigned int)20,
	    MHD_OPTION_CONNECTION_MEMORY_LIMIT, (size_t)(32u * 1024),
	    MHD_OPTION_END);
	if (daemon == NULL)
		return fail("the library does not start");
	printf("http://127.0.0.1:%u/\n", (unsigned)ntohs(address.sin_port));
	fflush(stdout);
	while (MHD_run_wait(daemon, 250) == MHD_YES)
		;
	return fail("the library cannot go on");
}
