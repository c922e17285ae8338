/* Listens and runs the loop: one thread, and caps on connections, time and
 * memory. What a request is answered with is left to request.c and the pages,
 * and which connection has to go to conns.c. */
#include "serve/serve.h"

#include "base/err.h"
#include "serve/conns.h"
#include "serve/pages.h"
#include "serve/reply.h"
#include "serve/request.h"
#include "serve/server.h"
#include "serve/tls.h"

#include <arpa/inet.h>
#include <errno.h>
#include <microhttpd.h>
#include <netinet/in.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <time.h>
#include <unistd.h>

#define WAITING_MAX 128 /* that the system keeps until they are accepted */
#define CONNECTION_BYTES (32u * 1024)
#define WAIT_MS 250
#define ADDRESSES_MAX (LAN_ADDRESSES_MAX + LAN_NAMES_MAX + 1)

/* A server and what only its loop knows. */
struct loop {
	struct server server;
	struct conns conns;
	struct tls tls;
	/* The address that was said last; "": that there is none. */
	char best[LAN_URL_SIZE];
	char complaint[256]; /* the web library's last one */
	int64_t swept_ms;
};

/* Kept for when the server does not start or go on; strangers could fill the
 * terminal with the rest. */
static void __attribute__((format(printf, 2, 0)))
complain(void *closure, const char *format, va_list args)
{
	struct loop *loop = closure;

	vsnprintf(loop->complaint, sizeof loop->complaint, format, args);
	loop->complaint[strcspn(loop->complaint, "\r\n")] = '\0';
}

static struct conn *
conn_of(struct MHD_Connection *connection)
{
	const union MHD_ConnectionInfo *info = MHD_get_connection_info(
	    connection, MHD_CONNECTION_INFO_SOCKET_CONTEXT);

	return info != NULL ? info->socket_context : NULL;
}

/* Not only where a request was answered: of one that the library refuses by
 * itself it may not say that it is over. */
static void
drop_request(struct conn *conn)
{
	request_free(conn->request);
	conn->request = NULL;
}

static enum MHD_Result
accept_peer(void *closure, const struct sockaddr *peer, socklen_t length)
{
	const struct loop *loop = closure;

	(void)length;
	return lan_peer_is_near(&loop->server.lan, peer) ? MHD_YES : MHD_NO;
}

static void
begin_or_end_connection(void *closure, struct MHD_Connection *connection,
    void **context, enum MHD_ConnectionNotificationCode what)
{
	const union MHD_ConnectionInfo *fd, *peer;
	struct loop *loop = closure;
	struct sockaddr_in in;

	if (what == MHD_CONNECTION_NOTIFY_CLOSED) {
		if (*context != NULL)
			drop_request(*context);
		conns_remove(*context);
		*context = NULL;
		return;
	}
	fd = MHD_get_connection_info(
	    connection, MHD_CONNECTION_INFO_CONNECTION_FD);
	peer = MHD_get_connection_info(
	    connection, MHD_CONNECTION_INFO_CLIENT_ADDRESS);
	if (fd == NULL || peer == NULL || peer->client_addr == NULL)
		return;
	memcpy(&in, peer->client_addr, sizeof in);
	*context = conns_add(&loop->conns, fd->connect_fd,
	    ntohl(in.sin_addr.s_addr), conns_now());
}

/* Called with a request's first line, before anything is decoded. */
static void *
begin_request(void *closure, const char *target, struct MHD_Connection *conn)
{
	struct loop *loop = closure;
	struct conn *entry = conn_of(conn);

	if (entry == NULL)
		return NULL; /* it is shut down */
	/* The first head's time runs from the beginning of the connection. */
	if (entry->phase != CONN_HEAD)
		conns_enter(entry, CONN_HEAD, conns_now());
	drop_request(entry);
	entry->request = request_new(&loop->server, target);
	return entry->request;
}

static void
end_request(void *closure, struct MHD_Connection *conn, void **request,
    enum MHD_RequestTerminationCode how)
{
	struct conn *entry = conn_of(conn);

	(void)closure;
	(void)how;
	*request = NULL;
	if (entry == NULL)
		return;
	drop_request(entry);
	conns_enter(entry, CONN_IDLE, conns_now());
}

static bool
announces_too_much(
    const struct request *request, struct MHD_Connection *connection)
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
	       (expect != NULL && bytes > request_most(request));
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
		conns_enter(conn_of(connection), CONN_BODY, conns_now());
		request_begin(request, connection, method);
		if (!request->unclear &&
		    !announces_too_much(request, connection))
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
	conns_enter(conn_of(connection), CONN_ANSWER, conns_now());
	return sent ? MHD_YES : MHD_NO;
}

/* A socket that listens; `port` becomes the one it got. */
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
	    listen(fd, WAITING_MAX) != 0 ||
	    getsockname(fd, (struct sockaddr *)&address, &length) != 0) {
		enum lw_status status =
		    errno == EADDRINUSE ? LW_CONFLICT : LW_FAILED;

		if (status == LW_CONFLICT)
			err_set(err, status,
			    "port %u is taken by another program; stop it, or "
			    "give another port with --port",
			    *port);
		else
			err_set(err, status, "cannot listen on port %u: %s",
			    *port, strerror(errno));
		close(fd);
		return status;
	}
	*port = ntohs(address.sin_port);
	*out = fd;
	return LW_OK;
}

static enum lw_status
start(struct MHD_Daemon **daemon, struct loop *loop, int fd, struct lw_err *err)
{
	bool tls = loop->server.lan.tls;
	struct MHD_OptionItem secure[] = {
	    {MHD_OPTION_HTTPS_MEM_CERT, 0, loop->tls.cert},
	    {MHD_OPTION_HTTPS_MEM_KEY, 0, loop->tls.key},
	    {MHD_OPTION_HTTPS_PRIORITIES, 0, (void *)(uintptr_t)TLS_PRIORITIES},
	    {MHD_OPTION_END, 0, NULL},
	};

	if (tls && MHD_is_feature_supported(MHD_FEATURE_TLS) != MHD_YES)
		return err_set(err, LW_FAILED,
		    "the web library of this system was built without TLS; "
		    "without --tls-cert and --tls-key it can be used");
	/* The options are varargs: each is cast to the type that is read. */
	*daemon = MHD_start_daemon(
	    MHD_USE_AUTO | MHD_USE_ERROR_LOG | (tls ? MHD_USE_TLS : 0),
	    (uint16_t)loop->server.lan.port, accept_peer, (void *)loop, take,
	    (void *)loop, MHD_OPTION_EXTERNAL_LOGGER, complain, (void *)loop,
	    MHD_OPTION_LISTEN_SOCKET, (MHD_socket)fd,
	    MHD_OPTION_SIGPIPE_HANDLED_BY_APP, (int)1,
	    MHD_OPTION_URI_LOG_CALLBACK, begin_request, (void *)loop,
	    MHD_OPTION_NOTIFY_COMPLETED, end_request, (void *)NULL,
	    MHD_OPTION_NOTIFY_CONNECTION, begin_or_end_connection, (void *)loop,
	    MHD_OPTION_CONNECTION_LIMIT, (unsigned int)loop->conns.most,
	    MHD_OPTION_CONNECTION_TIMEOUT, (unsigned int)(CONNS_IDLE_MS / 1000),
	    MHD_OPTION_CONNECTION_MEMORY_LIMIT, (size_t)CONNECTION_BYTES,
	    MHD_OPTION_ARRAY, tls ? secure : &secure[3], MHD_OPTION_END);
	if (*daemon == NULL)
		return err_set(err, LW_FAILED,
		    "the web server does not start: %s", loop->complaint);
	return LW_OK;
}

/* A code for the first phone, and where it may be typed. */
static enum lw_status
tell(struct loop *loop, struct lw_err *err)
{
	const struct serve_options *options = loop->server.options;
	struct pairing *pairing = &loop->server.pairing;
	char texts[ADDRESSES_MAX][LAN_URL_SIZE], code[PAIRING_CODE_SIZE + 1];
	const char *addresses[ADDRESSES_MAX];
	struct serve_ready ready = {.port = loop->server.lan.port,
	    .lan = options->lan,
	    .tls = loop->server.lan.tls,
	    .addresses = addresses,
	    .code_minutes = PAIRING_CODE_S / 60,
	    .print = loop->server.lan.tls ? loop->tls.print : NULL};
	enum lw_status status;
	bool fresh;

	while (ready.address_count < ADDRESSES_MAX &&
	       lan_url(texts[ready.address_count], &loop->server.lan,
		   ready.address_count)) {
		addresses[ready.address_count] = texts[ready.address_count];
		ready.address_count++;
	}
	lan_best(loop->best, &loop->server.lan);
	if (options->lan) {
		pages_note_screens(&loop->server, (int64_t)time(NULL));
		if ((status = pairing_ready(
			 pairing, &fresh, pairing_now(), err)) != LW_OK)
			return status;
		snprintf(code, sizeof code, "%.3s %.3s", pairing->code,
		    pairing->code + 3);
		ready.code = code;
	}
	if (options->ready != NULL)
		options->ready(&ready, options->closure);
	return LW_OK;
}

/* Between two rounds of the web library. */
static void
sweep(struct loop *loop)
{
	const struct serve_options *options = loop->server.options;
	int64_t now_ms = conns_now();
	char best[LAN_URL_SIZE];

	if (now_ms - loop->swept_ms < WAIT_MS)
		return;
	loop->swept_ms = now_ms;
	plans_sweep(loop->server.plans, now_ms);
	conns_sweep(&loop->conns, now_ms);
	lan_look(&loop->server.lan, (int64_t)time(NULL));
	lan_best(best, &loop->server.lan);
	if (strcmp(best, loop->best) == 0)
		return;
	memcpy(loop->best, best, sizeof best);
	if (best[0] == '\0' && options->say != NULL)
		options->say("This machine is in no network now; no phone can "
			     "reach it.",
		    options->closure);
	else if (best[0] != '\0' && options->moved != NULL)
		options->moved(best, options->closure);
}

static enum lw_status
prepare(struct loop *loop, int *fd, struct lw_err *err)
{
	const struct serve_options *options = loop->server.options;
	struct lan *lan = &loop->server.lan;
	unsigned port = options->port;
	enum lw_status status;
	bool tls = options->tls_cert != NULL;

	if ((status = guard_token_new(loop->server.secret, err)) != LW_OK ||
	    (status = conns_init(&loop->conns, err)) != LW_OK)
		return status;
	loop->server.plans = plans_new(options->book_path);
	if (loop->server.plans == NULL)
		return err_no_memory(err);
	if (tls && (status = tls_read(&loop->tls, options->tls_cert,
			options->tls_key, (int64_t)time(NULL), options->say,
			options->closure, err)) != LW_OK)
		return status;
	if ((status = listen_on(fd, &port, options->lan, err)) != LW_OK ||
	    (status = lan_init(lan, options->lan, tls, port, err)) != LW_OK)
		return status;
	if (tls)
		tls_add_names(&loop->tls, lan);
	loop->server.pairing.on = options->lan;
	page_static_hash(loop->server.assets);
	return LW_OK;
}

enum lw_status
serve_run(const struct serve_options *options, struct lw_err *err)
{
	struct sigaction ignore = {.sa_handler = SIG_IGN}, before;
	struct sigaction usual = {.sa_handler = SIG_DFL}, child_before;
	struct MHD_Daemon *daemon = NULL;
	enum lw_status status;
	struct loop *loop;
	int fd = -1;

	if ((loop = calloc(1, sizeof *loop)) == NULL)
		return err_no_memory(err);
	loop->server.book = options->book;
	loop->server.options = options;
	loop->server.web_dir = options->web_dir;
	loop->server.templates = (struct fill_source){
	    program_assets, "web/", ".html", options->web_dir, fill_kept_new()};
	sigaction(SIGPIPE, &ignore, &before);
	/* Ignored, it would take from us how a process of ours has ended. */
	sigaction(SIGCHLD, &usual, &child_before);
	if ((status = prepare(loop, &fd, err)) != LW_OK ||
	    (status = start(&daemon, loop, fd, err)) != LW_OK)
		goto out;
	fd = -1; /* the daemon closes it */
	status = tell(loop, err);
	while (!*options->stop && status == LW_OK) {
		if (MHD_run_wait(daemon, WAIT_MS) == MHD_NO)
			status = err_set(err, LW_FAILED,
			    "the web server cannot go on: %s", loop->complaint);
		sweep(loop);
	}
out:
	if (daemon != NULL)
		MHD_stop_daemon(daemon);
	if (fd >= 0)
		close(fd);
	tls_clear(&loop->tls);
	plans_free(loop->server.plans);
	fill_kept_free(loop->server.templates.kept);
	free(loop);
	sigaction(SIGCHLD, &child_before, NULL);
	sigaction(SIGPIPE, &before, NULL);
	return status;
}
