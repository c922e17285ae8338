/* Listens on this machine's own address and runs the loop: one thread, a cap
 * on connections, time and memory. What a request is answered with is left
 * to request.c and the pages. */
#include "serve/serve.h"

#include "base/err.h"
#include "serve/pages.h"
#include "serve/reply.h"
#include "serve/request.h"
#include "serve/server.h"

#include <arpa/inet.h>
#include <errno.h>
#include <microhttpd.h>
#include <netinet/in.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

#define CONNECTIONS_MAX 64
#define IDLE_S 20
#define CONNECTION_BYTES (32u * 1024)
#define WAIT_MS 250

/* Called with a request's first line, before anything is decoded. */
static void *
begin_request(void *closure, const char *target, struct MHD_Connection *conn)
{
	(void)conn;
	return request_new(closure, target);
}

static void
end_request(void *closure, struct MHD_Connection *conn, void **request,
    enum MHD_RequestTerminationCode how)
{
	(void)closure;
	(void)conn;
	(void)how;
	request_free(*request);
	*request = NULL;
}

static bool
announces_too_much(struct MHD_Connection *connection)
{
	const char *length = MHD_lookup_connection_value(
	    connection, MHD_HEADER_KIND, MHD_HTTP_HEADER_CONTENT_LENGTH);
	const char *expect = MHD_lookup_connection_value(
	    connection, MHD_HEADER_KIND, MHD_HTTP_HEADER_EXPECT);
	unsigned long long bytes;

	if (length == NULL)
		return false;
	errno = 0;
	bytes = strtoull(length, NULL, 10);
	/* A client that asks first gets its answer at once. */
	return errno != 0 || bytes > REQUEST_DRAIN_MAX ||
	       (expect != NULL && bytes > FORM_BYTES_MAX);
}

static enum MHD_Result
take(void *closure, struct MHD_Connection *connection, const char *url,
    const char *method, const char *version, const char *data, size_t *size,
    void **context)
{
	struct request *request = *context;
	struct reply reply;
	bool sent;

	(void)closure;
	(void)url;
	(void)version;
	if (request == NULL)
		return MHD_NO; /* memory ran out */
	if (!request->begun) {
		request->begun = true;
		request_begin(request, connection, method);
		if (!request->unclear && !announces_too_much(connection))
			return MHD_YES;
		request->received = REQUEST_DRAIN_MAX;
	} else if (*size > 0) {
		bool more = request_add(request, data, *size);

		*size = 0;
		return more ? MHD_YES : MHD_NO;
	}
	reply_init(&reply);
	request_answer(request, &reply);
	sent = reply_send(&reply, request, connection);
	reply_clear(&reply);
	return sent ? MHD_YES : MHD_NO;
}

/* A socket that listens on 127.0.0.1; `port` becomes the one it got. */
static enum lw_status
listen_on(int *out, unsigned *port, bool lan, struct lw_err *err)
{
	struct sockaddr_in address = {.sin_family = AF_INET,
	    .sin_addr = {htonl(lan ? INADDR_ANY : INADDR_LOOPBACK)},
	    .sin_port = htons((uint16_t)*port)};
	socklen_t length = sizeof address;
	int fd, on = 1;

	if (*port > 65535)
		return err_set(err, LW_BAD_INPUT,
		    "there is no port %u; ports go up to 65535", *port);
	fd = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC | SOCK_NONBLOCK, 0);
	if (fd < 0)
		return err_set(err, LW_FAILED, "the system gives no socket: %s",
		    strerror(errno));
	if (setsockopt(fd, SOL_SOCKET, SO_REUSEADDR, &on, sizeof on) != 0 ||
	    bind(fd, (const struct sockaddr *)&address, sizeof address) != 0 ||
	    listen(fd, CONNECTIONS_MAX) != 0 ||
	    getsockname(fd, (struct sockaddr *)&address, &length) != 0) {
		if (errno == EADDRINUSE)
			err_set(err, LW_CONFLICT,
			    "port %u is taken by another program; stop it, or "
			    "give another port with --port",
			    *port);
		else
			err_set(err, LW_FAILED, "cannot listen on port %u: %s",
			    *port, strerror(errno));
		close(fd);
		return err == NULL ? LW_FAILED : err->code;
	}
	*port = ntohs(address.sin_port);
	*out = fd;
	return LW_OK;
}

/* Tell the terminal where the server can be reached. */
static void
tell(const struct server *server)
{
	const struct serve_options *options = server->options;
	static char texts[LAN_ADDRESSES_MAX + 1][LAN_HOST_SIZE + 9];
	const char *addresses[LAN_ADDRESSES_MAX + 1];
	struct serve_ready ready = {.port = server->lan.port,
	    .lan = options->lan,
	    .tls = server->lan.tls,
	    .addresses = addresses};
	size_t i;

	for (i = 0; i <= server->lan.address_count; i++) {
		char host[LAN_HOST_SIZE];

		lan_host(host, &server->lan,
		    i < server->lan.address_count
			? server->lan.addresses[i].address
			: INADDR_LOOPBACK);
		snprintf(texts[i], sizeof texts[i], "http%s://%s/",
		    server->lan.tls ? "s" : "", host);
		addresses[ready.address_count++] = texts[i];
	}
	options->ready(&ready, options->closure);
}

enum lw_status
serve_run(const struct serve_options *options, struct lw_err *err)
{
	struct server server = {
	    .book = options->book,
	    .options = options,
	    .web_dir = options->web_dir,
	    .templates = {program_assets, "web/", ".html", options->web_dir,
		fill_kept_new()},
	};
	struct sigaction ignore = {.sa_handler = SIG_IGN}, before;
	struct MHD_Daemon *daemon = NULL;
	enum lw_status status;
	unsigned port = options->port;
	int fd = -1;

	sigaction(SIGPIPE, &ignore, &before);
	if ((status = guard_token_new(server.token, err)) != LW_OK ||
	    (status = listen_on(&fd, &port, options->lan, err)) != LW_OK ||
	    (status = lan_init(&server.lan, options->lan, false, port, err)) !=
		LW_OK)
		goto out;
	page_static_hash(server.assets);
	/* The options are varargs: each is cast to the type that is read. */
	daemon = MHD_start_daemon(MHD_USE_AUTO | MHD_USE_ERROR_LOG,
	    (uint16_t)port, NULL, NULL, take, &server, MHD_OPTION_LISTEN_SOCKET,
	    (MHD_socket)fd, MHD_OPTION_SIGPIPE_HANDLED_BY_APP, (int)1,
	    MHD_OPTION_URI_LOG_CALLBACK, begin_request, (void *)&server,
	    MHD_OPTION_NOTIFY_COMPLETED, end_request, (void *)NULL,
	    MHD_OPTION_CONNECTION_LIMIT, (unsigned int)CONNECTIONS_MAX,
	    MHD_OPTION_CONNECTION_TIMEOUT, (unsigned int)IDLE_S,
	    MHD_OPTION_CONNECTION_MEMORY_LIMIT, (size_t)CONNECTION_BYTES,
	    MHD_OPTION_END);
	if (daemon == NULL) {
		status = err_set(err, LW_FAILED,
		    "the web server does not start; see the messages above");
		goto out;
	}
	fd = -1; /* the daemon closes it */
	if (options->ready != NULL)
		tell(&server);
	while (!*options->stop && status == LW_OK)
		if (MHD_run_wait(daemon, WAIT_MS) == MHD_NO)
			status = err_set(
			    err, LW_FAILED, "the web server cannot go on");
out:
	if (daemon != NULL)
		MHD_stop_daemon(daemon);
	if (fd >= 0)
		close(fd);
	fill_kept_free(server.templates.kept);
	sigaction(SIGPIPE, &before, NULL);
	return status;
}
