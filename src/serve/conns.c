/* Keeps the table of connections and shuts down those that have to go;
 * closing them, and what they say, is left to the web library. */
#include "serve/conns.h"

#include "base/err.h"

#include <string.h>
#include <sys/ioctl.h>
#include <sys/resource.h>
#include <sys/socket.h>
#include <time.h>

/* Open files besides connections: the book, its journal, the ends of the
 * program, the socket that listens, and some to spare. */
#define OTHER_FILES 32
#define CONNS_LEAST 16

int64_t
conns_now(void)
{
	struct timespec now;

	/* Not the clock that goes on while the machine sleeps: what came in
	 * before it did has its time afterwards. */
	clock_gettime(CLOCK_MONOTONIC, &now);
	return (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

enum lw_status
conns_init(struct conns *conns, struct lw_err *err)
{
	struct rlimit files;

	memset(conns, 0, sizeof *conns);
	conns->most = CONNS_MAX;
	conns->most_of_one = CONNS_OF_ONE_MAX;
	if (getrlimit(RLIMIT_NOFILE, &files) != 0 ||
	    files.rlim_cur == RLIM_INFINITY ||
	    files.rlim_cur >= CONNS_MAX + OTHER_FILES)
		return LW_OK;
	if (files.rlim_cur < CONNS_LEAST + OTHER_FILES)
		return err_set(err, LW_FAILED,
		    "only %llu files may be open at a time here, and serving "
		    "takes %d; see ulimit -n",
		    (unsigned long long)files.rlim_cur,
		    CONNS_LEAST + OTHER_FILES);
	conns->most = (size_t)files.rlim_cur - OTHER_FILES;
	if (conns->most_of_one > conns->most / 2)
		conns->most_of_one = conns->most / 2;
	return LW_OK;
}

static bool
is_there(const struct conn *conn)
{
	return conn->phase != CONN_FREE && conn->phase != CONN_ENDED;
}

static void
end(struct conn *conn)
{
	/* Its owner sees that nothing comes any more, and closes it. */
	shutdown(conn->fd, SHUT_RDWR);
	conn->phase = CONN_ENDED;
}

/* How many there are from an address. */
static size_t
count_of(const struct conns *conns, uint32_t address)
{
	size_t count = 0, i;

	for (i = 0; i < conns->most; i++)
		count += is_there(&conns->all[i]) &&
			 conns->all[i].address == address;
	return count;
}

/* How much a connection is in the way: for how long it has been at what it
 * does, where a while without a whole request counts as four. */
static int64_t
burden_of(const struct conn *conn, int64_t now_ms)
{
	int64_t age_ms = now_ms - conn->since_ms;

	return conn->phase == CONN_HEAD || conn->phase == CONN_IDLE ? 4 * age_ms
								    : age_ms;
}

/* Whether it has sent what is not looked at yet, so that it is this side
 * that is behind. */
static bool
is_waiting(const struct conn *conn)
{
	int bytes = 0;

	return (conn->phase == CONN_HEAD || conn->phase == CONN_IDLE) &&
	       ioctl(conn->fd, FIONREAD, &bytes) == 0 && bytes > 0;
}

/* End the one that is most in the way, of an address or (NULL) of all; of
 * all, each counts as often as there are others from its address. False:
 * all are waiting for this side, which lasts no longer than a round of the
 * loop. */
static bool
make_room(struct conns *conns, const uint32_t *address, int64_t now_ms)
{
	struct conn *worst = NULL;
	int64_t most = -1;
	size_t i;

	for (i = 0; i < conns->most; i++) {
		struct conn *conn = &conns->all[i];
		int64_t burden;

		if (!is_there(conn) ||
		    (address != NULL && conn->address != *address))
			continue;
		burden = burden_of(conn, now_ms);
		if (address == NULL)
			burden *= (int64_t)count_of(conns, conn->address);
		if (burden > most && !is_waiting(conn)) {
			most = burden;
			worst = conn;
		}
	}
	if (worst != NULL)
		end(worst);
	return worst != NULL;
}

struct conn *
conns_add(struct conns *conns, int fd, uint32_t address, int64_t now_ms)
{
	struct conn *free_one = NULL;
	size_t count = 0, of_one, i;

	for (i = 0; i < conns->most; i++) {
		struct conn *conn = &conns->all[i];

		if (conn->phase == CONN_FREE && free_one == NULL)
			free_one = conn;
		count += is_there(conn);
	}
	if (free_one == NULL) {
		shutdown(fd, SHUT_RDWR);
		return NULL;
	}
	of_one = count_of(conns, address);
	while (of_one >= conns->most_of_one &&
	       make_room(conns, &address, now_ms)) {
		of_one--;
		count--;
	}
	if (count >= conns->most - conns->most / 4)
		make_room(conns, NULL, now_ms);
	free_one->fd = fd;
	free_one->address = address;
	free_one->since_ms = now_ms;
	free_one->phase = CONN_HEAD;
	return free_one;
}

void
conns_enter(struct conn *conn, enum conn_phase phase, int64_t now_ms)
{
	if (conn == NULL || !is_there(conn))
		return;
	conn->phase = phase;
	conn->since_ms = now_ms;
}

void
conns_remove(struct conn *conn)
{
	if (conn != NULL)
		conn->phase = CONN_FREE;
}

void
conns_sweep(struct conns *conns, int64_t now_ms)
{
	static const int64_t limits[] = {[CONN_HEAD] = CONNS_HEAD_MS,
	    [CONN_BODY] = CONNS_BODY_MS,
	    [CONN_ANSWER] = CONNS_ANSWER_MS,
	    [CONN_IDLE] = CONNS_IDLE_MS};
	size_t i;

	for (i = 0; i < conns->most; i++) {
		struct conn *conn = &conns->all[i];

		if (is_there(conn) &&
		    now_ms - conn->since_ms >= limits[conn->phase])
			end(conn);
	}
}
