/* Who can reach the server, and by which names: hashes and addresses. The
 * running server, and TLS, are left to tests/web. */
#include "serve/hash.h"
#include "serve/lan.h"
#include "unit/suites.h"

#include <arpa/inet.h>
#include <netinet/in.h>
#include <stdio.h>
#include <string.h>
#include <sys/socket.h>

#define COUNT(list) (sizeof(list) / sizeof(list)[0])

START_TEST(hashes_as_published)
{
	char got[HASH_SIZE];

	/* FIPS 180-4's own examples (NIST, "SHA256", one and two blocks), and
	 * the empty message of NIST's CAVP vectors. */
	hash_text(got, "abc");
	ck_assert_str_eq(got,
	    "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
	hash_text(
	    got, "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq");
	ck_assert_str_eq(got,
	    "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
	hash_text(got, "");
	ck_assert_str_eq(got,
	    "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
}
END_TEST

START_TEST(keyed_hashes_as_published)
{
	char key[132], text[51], got[HASH_SIZE];

	/* RFC 4231, section 4: test cases 1, 2, 3 and 6. */
	memset(key, 0x0b, 20);
	key[20] = '\0';
	hash_keyed(got, key, "Hi There");
	ck_assert_str_eq(got,
	    "b0344c61d8db38535ca8afceaf0bf12b881dc200c9833da726e9376c2e32cff7");
	hash_keyed(got, "Jefe", "what do ya want for nothing?");
	ck_assert_str_eq(got,
	    "5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843");
	memset(key, 0xaa, 131);
	memset(text, 0xdd, 50);
	key[131] = text[50] = '\0';
	hash_keyed(got, key + 111, text);
	ck_assert_str_eq(got,
	    "773ea91e36800e46854db8ebd09181a72959098b3ef8c122d9635514ced565fe");
	hash_keyed(
	    got, key, "Test Using Larger Than Block-Size Key - Hash Key First");
	ck_assert_str_eq(got,
	    "60e431591ee0b67f0d8a26aacbf5b77f8e0bc6213728c5140546040f0ee37f54");
}
END_TEST

static uint32_t
address(const char *text)
{
	struct in_addr in;

	ck_assert_int_eq(inet_pton(AF_INET, text, &in), 1);
	return ntohl(in.s_addr);
}

static void
put_address(struct lan *lan, const char *text, unsigned prefix)
{
	lan->addresses[lan->address_count].address = address(text);
	lan->addresses[lan->address_count++].prefix = prefix;
}

/* A laptop in a workshop, with one address that the world can reach. */
static void
fill_lan(struct lan *lan)
{
	memset(lan, 0, sizeof *lan);
	lan->open = true;
	lan->port = 8017;
	lan->looked_s = 1000;
	put_address(lan, "192.168.1.5", 24);
	put_address(lan, "198.51.100.9", 28);
}

START_TEST(hosts_are_known_exactly)
{
	static const struct {
		const char *host;
		bool ours;
	} all[] = {
	    {"127.0.0.1:8017", true},
	    {"localhost:8017", true},
	    {"[::1]:8017", true},
	    {"192.168.1.5:8017", true},
	    {"198.51.100.9:8017", true},
	    {"workshop.test:8017", true},
	    {"Workshop.TEST:8017", true},
	    {"", false},
	    {":8017", false},
	    {"192.168.1.5", false},
	    {"192.168.1.5:", false},
	    {"192.168.1.5:0", false},
	    {"192.168.1.5:80", false},
	    {"192.168.1.5:8018", false},
	    {"192.168.1.5:80171", false},
	    {"192.168.1.5:801", false},
	    {"192.168.1.5:08017", false},
	    {"192.168.1.5:+8017", false},
	    {"192.168.1.5: 8017", false},
	    {"192.168.1.5:8017 ", false},
	    {" 192.168.1.5:8017", false},
	    {"192.168.1.5:8017:8017", false},
	    {"192.168.1.5:8017/", false},
	    {"192.168.1.5:8017.evil.test", false},
	    {"192.168.1.5.evil.test:8017", false},
	    {"192.168.1.5.:8017", false},
	    {"192.168.1.50:8017", false},
	    {"1192.168.1.5:8017", false},
	    {"192.168.1.05:8017", false},
	    {"192.168.001.005:8017", false},
	    {"192.168.261:8017", false},
	    {"3232235781:8017", false},
	    {"0xc0a80105:8017", false},
	    {"[::ffff:192.168.1.5]:8017", false},
	    {"somebody@192.168.1.5:8017", false},
	    {"192.168.1.5:8017@evil.test", false},
	    {"192.168.1.6:8017", false},
	    {"127.0.0.1", false},
	    {"127.0.0.2:8017", false},
	    {"127.0.0.1:8017.evil", false},
	    {"127.1:8017", false},
	    {"0.0.0.0:8017", false},
	    {"LOCALHOST:8017", false},
	    {"localhost.:8017", false},
	    {"localhost.evil.test:8017", false},
	    {"::1:8017", false},
	    {"[::]:8017", false},
	    {"[0:0:0:0:0:0:0:1]:8017", false},
	    {"workshop.test", false},
	    {"workshop.test.:8017", false},
	    {"workshop.test:80170", false},
	    {"a.workshop.test:8017", false},
	    {"xworkshop.test:8017", false},
	    {"workshop.testx:8017", false},
	    {"evil.test:8017", false},
	    {"evil.test", false},
	};
	struct lan lan;
	size_t i;

	fill_lan(&lan);
	lan_add_name(&lan, "Workshop.test");
	for (i = 0; i < COUNT(all); i++)
		ck_assert_msg(
		    lan_host_is_ours(&lan, all[i].host, 1000) == all[i].ours,
		    "%s", all[i].host);
}
END_TEST

START_TEST(a_port_is_left_out_only_where_it_is_the_schemes)
{
	static const struct {
		bool tls;
		unsigned port;
		const char *host;
		bool ours;
	} all[] = {
	    {false, 80, "192.168.1.5", true},
	    {false, 80, "192.168.1.5:80", true},
	    {false, 80, "localhost", true},
	    {false, 80, "192.168.1.5:443", false},
	    {false, 443, "192.168.1.5", false},
	    {false, 443, "192.168.1.5:443", true},
	    {true, 443, "192.168.1.5", true},
	    {true, 443, "192.168.1.5:443", true},
	    {true, 443, "192.168.1.5:", false},
	    {true, 80, "192.168.1.5", false},
	    {true, 80, "192.168.1.5:80", true},
	};
	struct lan lan;
	size_t i;

	for (i = 0; i < COUNT(all); i++) {
		fill_lan(&lan);
		lan.tls = all[i].tls;
		lan.port = all[i].port;
		ck_assert_msg(
		    lan_host_is_ours(&lan, all[i].host, 1000) == all[i].ours,
		    "%d %u %s", all[i].tls, all[i].port, all[i].host);
	}
}
END_TEST

START_TEST(addresses_count_only_where_the_network_is_served)
{
	struct lan lan;

	fill_lan(&lan);
	lan.open = false;
	ck_assert(!lan_host_is_ours(&lan, "192.168.1.5:8017", 1000));
	ck_assert(lan_host_is_ours(&lan, "127.0.0.1:8017", 1000));
}
END_TEST

START_TEST(an_unknown_host_makes_it_look_again_but_not_often)
{
	struct lan lan;

	/* An address that nobody has (RFC 5737) is forgotten by a look. */
	fill_lan(&lan);
	lan.addresses[0].address = address("203.0.113.77");
	ck_assert(!lan_host_is_ours(&lan, "evil.test:8017", 1004));
	ck_assert(lan_host_is_ours(&lan, "203.0.113.77:8017", 1004));
	ck_assert(lan_host_is_ours(&lan, "203.0.113.77:8017", 1900));
	ck_assert_int_eq(lan.looked_s, 1000);
	ck_assert(!lan_host_is_ours(&lan, "evil.test:8017", 1905));
	ck_assert_int_eq(lan.looked_s, 1905);
	ck_assert(!lan_host_is_ours(&lan, "203.0.113.77:8017", 1905));
	/* A clock that was set back does not stop it. */
	lan_look(&lan, 1000);
	ck_assert_int_eq(lan.looked_s, 1000);
}
END_TEST

START_TEST(names_of_a_certificate)
{
	static const char *const bad[] = {"", "*.workshop.test", ".test",
	    "workshop.test.", "a b", "a/b", "a:8017", "a@b", "192.168.1.9",
	    "caf\xc3\xa9.test", "[::1]"};
	char longest[LAN_NAME_SIZE + 1], name[32];
	struct lan lan;
	size_t i;

	fill_lan(&lan);
	for (i = 0; i < COUNT(bad); i++)
		lan_add_name(&lan, bad[i]);
	memset(longest, 'a', sizeof longest);
	longest[LAN_NAME_SIZE] = '\0';
	lan_add_name(&lan, longest);
	ck_assert_uint_eq(lan.name_count, 0);
	lan_add_name(&lan, longest + 1);
	ck_assert_uint_eq(lan.name_count, 1);
	for (i = 0; i < 2 * LAN_NAMES_MAX; i++) {
		snprintf(name, sizeof name, "Bench-%zu.test", i);
		lan_add_name(&lan, name);
	}
	ck_assert_uint_eq(lan.name_count, LAN_NAMES_MAX);
	ck_assert_str_eq(lan.names[1], "bench-0.test");
}
END_TEST

START_TEST(origins_are_the_page_that_was_asked)
{
	struct lan lan;

	fill_lan(&lan);
	ck_assert(lan_origin_is_ours(
	    &lan, "http://192.168.1.5:8017", "192.168.1.5:8017"));
	ck_assert(!lan_origin_is_ours(
	    &lan, "https://192.168.1.5:8017", "192.168.1.5:8017"));
	ck_assert(!lan_origin_is_ours(
	    &lan, "http://198.51.100.9:8017", "192.168.1.5:8017"));
	ck_assert(!lan_origin_is_ours(
	    &lan, "http://192.168.1.5:80170", "192.168.1.5:8017"));
	ck_assert(!lan_origin_is_ours(
	    &lan, "http://192.168.1.5:8017/", "192.168.1.5:8017"));
	ck_assert(!lan_origin_is_ours(&lan, "null", "192.168.1.5:8017"));
	ck_assert(!lan_origin_is_ours(&lan, "", ""));
	lan.tls = true;
	ck_assert(lan_origin_is_ours(
	    &lan, "https://192.168.1.5:8017", "192.168.1.5:8017"));
	ck_assert(!lan_origin_is_ours(
	    &lan, "http://192.168.1.5:8017", "192.168.1.5:8017"));
}
END_TEST

static bool
peer_is_near(const struct lan *lan, const char *text)
{
	struct sockaddr_in in = {.sin_family = AF_INET,
	    .sin_addr = {htonl(address(text))},
	    .sin_port = htons(40000)};

	return lan_peer_is_near(lan, (const struct sockaddr *)&in);
}

START_TEST(peers_are_answered_where_they_are_near)
{
	static const struct {
		const char *peer;
		bool near;
	} all[] = {
	    /* RFC 1918, section 3, and RFC 3927: the first and the last, and
	     * the neighbours of both. */
	    {"10.0.0.0", true},
	    {"10.255.255.255", true},
	    {"9.255.255.255", false},
	    {"11.0.0.0", false},
	    {"172.16.0.0", true},
	    {"172.31.255.255", true},
	    {"172.15.255.255", false},
	    {"172.32.0.0", false},
	    {"192.168.0.0", true},
	    {"192.168.255.255", true},
	    {"192.167.255.255", false},
	    {"192.169.0.0", false},
	    {"169.254.0.0", true},
	    {"169.254.255.255", true},
	    {"169.253.255.255", false},
	    {"169.255.0.0", false},
	    {"127.0.0.1", true},
	    {"127.255.255.255", true},
	    {"126.255.255.255", false},
	    {"128.0.0.0", false},
	    /* 198.51.100.9/28 is on the network from .0 to .15. */
	    {"198.51.100.0", true},
	    {"198.51.100.15", true},
	    {"198.51.100.16", false},
	    {"203.0.113.1", false},
	    {"0.0.0.0", false},
	    {"255.255.255.255", false},
	};
	struct sockaddr other = {.sa_family = AF_INET6};
	struct lan lan;
	size_t i;

	fill_lan(&lan);
	for (i = 0; i < COUNT(all); i++)
		ck_assert_msg(peer_is_near(&lan, all[i].peer) == all[i].near,
		    "%s", all[i].peer);
	ck_assert(!lan_peer_is_near(&lan, NULL));
	ck_assert(!lan_peer_is_near(&lan, &other));
	/* A route to everywhere makes nobody near; one to a single machine
	 * only that. */
	lan.addresses[1].prefix = 0;
	ck_assert(!peer_is_near(&lan, "203.0.113.1"));
	lan.addresses[1].prefix = 32;
	ck_assert(peer_is_near(&lan, "198.51.100.9"));
	ck_assert(!peer_is_near(&lan, "198.51.100.8"));
	lan.open = false;
	ck_assert(peer_is_near(&lan, "127.0.0.1"));
	ck_assert(!peer_is_near(&lan, "192.168.1.6"));
	ck_assert(!peer_is_near(&lan, "198.51.100.9"));
}
END_TEST

/* All addresses for people, with blanks between. */
static const char *
urls(const struct lan *lan)
{
	static char text[2048];
	char url[LAN_URL_SIZE];
	size_t i;

	text[0] = '\0';
	for (i = 0; lan_url(url, lan, i); i++) {
		if (i > 0)
			strcat(text, " ");
		strcat(text, url);
		ck_assert_uint_lt(i, 10);
	}
	return text;
}

START_TEST(addresses_for_people)
{
	struct lan lan;

	fill_lan(&lan);
	ck_assert_str_eq(urls(&lan),
	    "http://192.168.1.5:8017/ http://198.51.100.9:8017/ "
	    "http://127.0.0.1:8017/");
	lan.tls = true;
	lan_add_name(&lan, "localhost");
	lan_add_name(&lan, "workshop.test");
	lan_add_name(&lan, "bench.test");
	ck_assert_str_eq(urls(&lan),
	    "https://192.168.1.5:8017/ https://198.51.100.9:8017/ "
	    "https://workshop.test:8017/ https://bench.test:8017/ "
	    "https://127.0.0.1:8017/");
	lan.by_name = true;
	ck_assert_str_eq(urls(&lan),
	    "https://workshop.test:8017/ https://bench.test:8017/ "
	    "https://192.168.1.5:8017/ https://198.51.100.9:8017/ "
	    "https://127.0.0.1:8017/");
	lan.open = false;
	lan.by_name = false;
	lan.address_count = 0;
	ck_assert_str_eq(urls(&lan), "https://127.0.0.1:8017/");
}
END_TEST

/* An address of this machine alone is none for a phone, nor is a name. */
START_TEST(without_a_network_no_address_is_the_best)
{
	char url[LAN_URL_SIZE];
	struct lan lan;

	fill_lan(&lan);
	lan_best(url, &lan);
	ck_assert_str_eq(url, "http://192.168.1.5:8017/");
	lan_add_name(&lan, "workshop.test");
	lan.by_name = true;
	lan_best(url, &lan);
	ck_assert_str_eq(url, "http://workshop.test:8017/");
	lan.address_count = 0;
	lan_best(url, &lan);
	ck_assert_str_eq(url, "");
	lan.by_name = false;
	lan.name_count = 0;
	lan_best(url, &lan);
	ck_assert_str_eq(url, "");
}
END_TEST

START_TEST(looking_finds_no_loopback_and_nothing_without_a_network)
{
	struct lw_err err;
	struct lan lan;
	size_t i, k;

	ck_assert_int_eq(lan_init(&lan, false, true, 443, &err), LW_OK);
	ck_assert(!lan.open && lan.tls);
	ck_assert_uint_eq(lan.port, 443);
	ck_assert_uint_eq(lan.address_count, 0);
	ck_assert_int_eq(lan_init(&lan, true, false, 8017, &err), LW_OK);
	for (i = 0; i < lan.address_count; i++) {
		ck_assert_uint_ne(lan.addresses[i].address >> 24, 127);
		ck_assert_uint_le(lan.addresses[i].prefix, 32);
		for (k = 0; k < i; k++)
			ck_assert_uint_ne(
			    lan.addresses[i].address, lan.addresses[k].address);
	}
}
END_TEST

Suite *
suite_serve_net(void)
{
	Suite *suite = suite_create("serve_net");
	TCase *tests = tcase_create("all");

	tcase_add_test(tests, hashes_as_published);
	tcase_add_test(tests, keyed_hashes_as_published);
	tcase_add_test(tests, hosts_are_known_exactly);
	tcase_add_test(tests, a_port_is_left_out_only_where_it_is_the_schemes);
	tcase_add_test(tests, addresses_count_only_where_the_network_is_served);
	tcase_add_test(
	    tests, an_unknown_host_makes_it_look_again_but_not_often);
	tcase_add_test(tests, names_of_a_certificate);
	tcase_add_test(tests, origins_are_the_page_that_was_asked);
	tcase_add_test(tests, peers_are_answered_where_they_are_near);
	tcase_add_test(tests, addresses_for_people);
	tcase_add_test(tests, without_a_network_no_address_is_the_best);
	tcase_add_test(
	    tests, looking_finds_no_loopback_and_nothing_without_a_network);
	suite_add_tcase(suite, tests);
	return suite;
}
