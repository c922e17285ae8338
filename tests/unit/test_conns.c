/* Which connections have to go, and when. A crowd at a running server is left
 * to tests/web/crowd.mjs. */
#include "serve/conns.h"
#include "unit/suites.h"

#include <errno.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/socket.h>
#include <unistd.h>

#define PEERS_MAX 40

/* Connections whose other ends the test holds. */
struct peers {
	struct conns conns;
	struct conn *conn[PEERS_MAX];
	int theirs[PEERS_MAX];
	int ours[PEERS_MAX];
	size_t count;
};

static void
peers_init(struct peers *peers, size_t most, size_t most_of_one)
{
	memset(peers, 0, sizeof *peers);
	ck_assert_int_eq(conns_init(&peers->conns, NULL), LW_OK);
	peers->conns.most = most;
	peers->conns.most_of_one = most_of_one;
}

static size_t
peers_add(struct peers *peers, uint32_t from, int64_t now_ms)
{
	size_t at = peers->count++;
	int pair[2];

	ck_assert_uint_lt(at, PEERS_MAX);
	ck_assert_int_eq(socketpair(AF_UNIX, SOCK_STREAM, 0, pair), 0);
	peers->ours[at] = pair[0];
	peers->theirs[at] = pair[1];
	peers->conn[at] = conns_add(&peers->conns, pair[0], from, now_ms);
	return at;
}

/* Whether it was shut down, as its peer sees it. */
static bool
is_over(const struct peers *peers, size_t at)
{
	char byte;
	ssize_t n = recv(peers->theirs[at], &byte, 1, MSG_DONTWAIT);

	ck_assert(
	    n == 0 || (n < 0 && (errno == EAGAIN || errno == EWOULDBLOCK)));
	return n == 0;
}

/* Those that are over, as digits and letters: "03a". */
static const char *
over(const struct peers *peers)
{
	static char text[PEERS_MAX + 1];
	size_t i, n = 0;

	for (i = 0; i < peers->count; i++) {
		if (is_over(peers, i))
			text[n++] =
			    "0123456789abcdefghijklmnopqrstuvwxyzABCD"[i];
	}
	text[n] = '\0';
	return text;
}

static void
peers_close(struct peers *peers)
{
	size_t i;

	for (i = 0; i < peers->count; i++) {
		close(peers->ours[i]);
		close(peers->theirs[i]);
	}
}

START_TEST(each_part_of_a_request_has_its_time)
{
	struct peers peers;

	/* The figures are those of the design: a head 10 s, a body 60 s, an
	 * answer 60 s, idle 20 s. */
	peers_init(&peers, 16, 16);
	peers_add(&peers, 1, 0);
	conns_enter(peers.conn[peers_add(&peers, 1, 0)], CONN_BODY, 1000);
	conns_enter(peers.conn[peers_add(&peers, 1, 0)], CONN_ANSWER, 2000);
	conns_enter(peers.conn[peers_add(&peers, 1, 0)], CONN_IDLE, 3000);
	conns_sweep(&peers.conns, 9999);
	ck_assert_str_eq(over(&peers), "");
	conns_sweep(&peers.conns, 10000);
	ck_assert_str_eq(over(&peers), "0");
	conns_sweep(&peers.conns, 22999);
	ck_assert_str_eq(over(&peers), "0");
	conns_sweep(&peers.conns, 23000);
	ck_assert_str_eq(over(&peers), "03");
	conns_sweep(&peers.conns, 60999);
	ck_assert_str_eq(over(&peers), "03");
	conns_sweep(&peers.conns, 61000);
	ck_assert_str_eq(over(&peers), "013");
	conns_sweep(&peers.conns, 62000);
	ck_assert_str_eq(over(&peers), "0123");
	/* What was ended does not come back. */
	conns_enter(peers.conn[0], CONN_BODY, 62000);
	ck_assert_int_eq(peers.conn[0]->phase, CONN_ENDED);
	conns_enter(NULL, CONN_BODY, 62000);
	conns_remove(NULL);
	peers_close(&peers);
}
END_TEST

START_TEST(an_address_at_its_cap_makes_room_for_itself)
{
	struct peers peers;

	peers_init(&peers, 32, 4);
	peers_add(&peers, 7, 100);
	peers_add(&peers, 8, 50); /* another's, and older */
	peers_add(&peers, 7, 200);
	peers_add(&peers, 7, 300);
	peers_add(&peers, 7, 400);
	ck_assert_str_eq(over(&peers), "");
	/* It was silent for longest, but has asked now. */
	conns_enter(peers.conn[0], CONN_BODY, 450);
	peers_add(&peers, 7, 500);
	ck_assert_str_eq(over(&peers), "2");
	peers_add(&peers, 7, 600);
	ck_assert_str_eq(over(&peers), "23");
	/* Idle ones have asked for nothing either. */
	conns_enter(peers.conn[5], CONN_IDLE, 610);
	conns_enter(peers.conn[4], CONN_IDLE, 650);
	conns_enter(peers.conn[6], CONN_ANSWER, 600);
	peers_add(&peers, 7, 700);
	ck_assert_str_eq(over(&peers), "235");
	peers_close(&peers);
}
END_TEST

START_TEST(slow_bodies_and_answers_make_room_too)
{
	struct peers peers;
	size_t i;

	peers_init(&peers, 32, 4);
	for (i = 0; i < 3; i++)
		conns_enter(peers.conn[peers_add(&peers, 7, 0)],
		    i == 1 ? CONN_BODY : CONN_ANSWER,
		    (int64_t)(3000 - 1000 * i));
	/* It came late, and is not what is in the way: 100 ms without a whole
	 * request against 7 s of an answer. */
	peers_add(&peers, 7, 7900);
	peers_add(&peers, 7, 8000);
	ck_assert_str_eq(over(&peers), "2");
	/* Now 1.6 s, four times, against 6.1 s and 5.1 s. */
	peers_add(&peers, 7, 9500);
	ck_assert_str_eq(over(&peers), "12");
	peers_close(&peers);
}
END_TEST

START_TEST(who_waits_for_this_side_is_in_nobodys_way)
{
	struct peers peers;

	peers_init(&peers, 32, 3);
	peers_add(&peers, 7, 0);
	peers_add(&peers, 7, 1000);
	conns_enter(peers.conn[peers_add(&peers, 7, 0)], CONN_ANSWER, 4000);
	ck_assert_int_eq(send(peers.theirs[0], "GET", 3, 0), 3);
	/* Bytes that nobody takes while it is answered do not help. */
	ck_assert_int_eq(send(peers.theirs[2], "GET", 3, 0), 3);
	peers_add(&peers, 7, 5000);
	ck_assert_str_eq(over(&peers), "1");
	peers_add(&peers, 7, 5000);
	ck_assert_str_eq(over(&peers), "12");
	/* Where all wait, none is ended, and the next one makes up for it. */
	ck_assert_int_eq(send(peers.theirs[3], "GET", 3, 0), 3);
	ck_assert_int_eq(send(peers.theirs[4], "GET", 3, 0), 3);
	peers_add(&peers, 7, 6000);
	ck_assert_str_eq(over(&peers), "12");
	conns_enter(peers.conn[0], CONN_ANSWER, 6000);
	conns_enter(peers.conn[3], CONN_ANSWER, 6001);
	peers_add(&peers, 7, 7000);
	ck_assert_str_eq(over(&peers), "0125");
	peers_close(&peers);
}
END_TEST

START_TEST(a_full_server_makes_room_where_the_most_are_from)
{
	struct peers peers;
	size_t i;

	/* From 12 of 16 on: 5 of one address, 7 that are alone. */
	peers_init(&peers, 16, 16);
	for (i = 0; i < 12; i++)
		peers_add(&peers, i % 2 == 1 && i < 10 ? 99 : (uint32_t)i,
		    (int64_t)(100 + i));
	ck_assert_str_eq(over(&peers), "");
	peers_add(&peers, 50, 300);
	ck_assert_str_eq(over(&peers), "1");
	for (i = 0; i < 3; i++)
		peers_add(&peers, (uint32_t)(60 + i), 300);
	ck_assert_str_eq(over(&peers), "1357");
	/* The table is full while those that were ended are not closed. */
	peers_add(&peers, 70, 300);
	ck_assert_ptr_null(peers.conn[16]);
	ck_assert(is_over(&peers, 16));
	conns_remove(peers.conn[1]);
	peers_add(&peers, 71, 300);
	ck_assert_ptr_nonnull(peers.conn[17]);
	ck_assert_int_eq(peers.conn[17]->phase, CONN_HEAD);
	peers_close(&peers);
}
END_TEST

START_TEST(no_more_connections_than_files_may_be_open)
{
	static struct conns conns;
	struct rlimit before, now;
	struct lw_err err;

	ck_assert_int_eq(getrlimit(RLIMIT_NOFILE, &before), 0);
	now = before;
	now.rlim_cur = 132;
	ck_assert_int_eq(setrlimit(RLIMIT_NOFILE, &now), 0);
	ck_assert_int_eq(conns_init(&conns, &err), LW_OK);
	ck_assert_uint_eq(conns.most, 100);
	ck_assert_uint_eq(conns.most_of_one, 50);
	now.rlim_cur = 40;
	ck_assert_int_eq(setrlimit(RLIMIT_NOFILE, &now), 0);
	ck_assert_int_eq(conns_init(&conns, &err), LW_FAILED);
	ck_assert_ptr_nonnull(strstr(err.text, "ulimit -n"));
	now.rlim_cur = before.rlim_max;
	ck_assert_int_eq(setrlimit(RLIMIT_NOFILE, &now), 0);
	if (before.rlim_max >= 1024) {
		ck_assert_int_eq(conns_init(&conns, &err), LW_OK);
		ck_assert_uint_eq(conns.most, 512);
		ck_assert_uint_eq(conns.most_of_one, 128);
	}
	ck_assert_int_eq(setrlimit(RLIMIT_NOFILE, &before), 0);
}
END_TEST

Suite *
suite_conns(void)
{
	Suite *suite = suite_create("conns");
	TCase *tests = tcase_create("all");

	tcase_add_test(tests, each_part_of_a_request_has_its_time);
	tcase_add_test(tests, an_address_at_its_cap_makes_room_for_itself);
	tcase_add_test(tests, slow_bodies_and_answers_make_room_too);
	tcase_add_test(tests, who_waits_for_this_side_is_in_nobodys_way);
	tcase_add_test(tests, a_full_server_makes_room_where_the_most_are_from);
	tcase_add_test(tests, no_more_connections_than_files_may_be_open);
	suite_add_tcase(suite, tests);
	return suite;
}
