/* Knows this machine's addresses and names; listening on them is left to
 * server.c, and what is done about a stranger to request.c and conns.c. */
#include "serve/lan.h"

#include "base/err.h"

#include <arpa/inet.h>
#include <errno.h>
#include <ifaddrs.h>
#include <net/if.h>
#include <netinet/in.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>
#include <sys/socket.h>
#include <unistd.h>

#define LOOK_S 5

/* The address that the system would send from to the world, 0 for none. A
 * datagram socket that is connected sends nothing; 192.0.2.1 is nobody's
 * (RFC 5737). */
static uint32_t
address_to_world(void)
{
	struct sockaddr_in address = {.sin_family = AF_INET,
	    .sin_addr = {htonl(0xc0000201)},
	    .sin_port = htons(9)};
	socklen_t length = sizeof address;
	uint32_t found = 0;
	int fd = socket(AF_INET, SOCK_DGRAM | SOCK_CLOEXEC, 0);

	if (fd < 0)
		return 0;
	if (connect(fd, (const struct sockaddr *)&address, sizeof address) ==
		0 &&
	    getsockname(fd, (struct sockaddr *)&address, &length) == 0)
		found = ntohl(address.sin_addr.s_addr);
	close(fd);
	return found;
}

/* Whether an interface is made by software (a bridge, a tunnel), for which no
 * device stands in sysfs. */
static bool
is_made(const char *name)
{
	char path[64];

	snprintf(
	    path, sizeof path, "/sys/class/net/%.*s/device", IF_NAMESIZE, name);
	return access(path, F_OK) != 0;
}

static bool
is_link_local(uint32_t address)
{
	return address >> 16 == 0xa9fe; /* 169.254/16, RFC 3927 */
}

/* How little an address is worth to a phone: 0 is the best. */
static unsigned
rank_of(const char *interface, uint32_t address, uint32_t to_world)
{
	return 2u * (is_made(interface) || is_link_local(address)) +
	       (address != to_world);
}

static unsigned
prefix_of(const struct sockaddr *mask)
{
	struct sockaddr_in in;
	unsigned length = 0;
	uint32_t bits;

	if (mask == NULL)
		return 32;
	memcpy(&in, mask, sizeof in);
	for (bits = ntohl(in.sin_addr.s_addr); bits & 0x80000000u; bits <<= 1)
		length++;
	return length;
}

/* Put an address where its rank says, behind those of the same. */
static void
put(struct lan *lan, unsigned ranks[LAN_ADDRESSES_MAX], unsigned rank,
    uint32_t address, unsigned prefix)
{
	size_t at = lan->address_count, i;

	for (i = 0; i < lan->address_count; i++) {
		if (lan->addresses[i].address == address)
			return;
	}
	while (at > 0 && ranks[at - 1] > rank)
		at--;
	if (at == LAN_ADDRESSES_MAX)
		return;
	if (lan->address_count < LAN_ADDRESSES_MAX)
		lan->address_count++;
	for (i = lan->address_count - 1; i > at; i--) {
		lan->addresses[i] = lan->addresses[i - 1];
		ranks[i] = ranks[i - 1];
	}
	lan->addresses[at].address = address;
	lan->addresses[at].prefix = prefix;
	ranks[at] = rank;
}

/* What was known stays where the system does not say. */
static enum lw_status
look_up(struct lan *lan, struct lw_err *err)
{
	unsigned ranks[LAN_ADDRESSES_MAX] = {0};
	uint32_t to_world = address_to_world();
	struct ifaddrs *all, *each;
	struct sockaddr_in in;

	if (getifaddrs(&all) != 0)
		return err_set(err, LW_FAILED,
		    "the system does not tell this machine's addresses: %s",
		    strerror(errno));
	lan->address_count = 0;
	for (each = all; each != NULL; each = each->ifa_next) {
		if (each->ifa_addr == NULL ||
		    each->ifa_addr->sa_family != AF_INET ||
		    (each->ifa_flags & IFF_UP) == 0 ||
		    (each->ifa_flags & IFF_LOOPBACK) != 0)
			continue;
		memcpy(&in, each->ifa_addr, sizeof in);
		put(lan, ranks,
		    rank_of(
			each->ifa_name, ntohl(in.sin_addr.s_addr), to_world),
		    ntohl(in.sin_addr.s_addr), prefix_of(each->ifa_netmask));
	}
	freeifaddrs(all);
	return LW_OK;
}

enum lw_status
lan_init(
    struct lan *lan, bool open, bool tls, unsigned port, struct lw_err *err)
{
	memset(lan, 0, sizeof *lan);
	lan->open = open;
	lan->tls = tls;
	lan->port = port;
	return open ? look_up(lan, err) : LW_OK;
}

void
lan_look(struct lan *lan, int64_t now_s)
{
	/* A clock that was set back holds nothing up. */
	if (!lan->open ||
	    (now_s >= lan->looked_s && now_s - lan->looked_s < LOOK_S))
		return;
	lan->looked_s = now_s;
	look_up(lan, NULL);
}

void
lan_add_name(struct lan *lan, const char *name)
{
	static const char good[] = "abcdefghijklmnopqrstuvwxyz"
				   "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789.-_";
	size_t length = strlen(name), i;
	char *own;

	if (length == 0 || length >= LAN_NAME_SIZE ||
	    lan->name_count == LAN_NAMES_MAX || strspn(name, good) != length ||
	    name[0] == '.' || name[length - 1] == '.' ||
	    strspn(name, "0123456789.") == length)
		return;
	own = lan->names[lan->name_count++];
	for (i = 0; i <= length; i++)
		own[i] = name[i] >= 'A' && name[i] <= 'Z'
			     ? (char)(name[i] - 'A' + 'a')
			     : name[i];
}

/* Whether a Host header is `name` with the port. */
static bool
is_at(const struct lan *lan, const char *host, const char *name, bool fold)
{
	char full[LAN_NAME_SIZE + 8];
	int (*compare)(const char *, const char *) = fold ? strcasecmp : strcmp;

	if (lan->port == (lan->tls ? 443u : 80u) && compare(host, name) == 0)
		return true;
	snprintf(full, sizeof full, "%s:%u", name, lan->port);
	return compare(host, full) == 0;
}

static void
write_address(char text[INET_ADDRSTRLEN], uint32_t address)
{
	struct in_addr in = {htonl(address)};

	inet_ntop(AF_INET, &in, text, INET_ADDRSTRLEN);
}

static bool
is_address(const struct lan *lan, const char *host)
{
	char text[INET_ADDRSTRLEN];
	size_t i;

	for (i = 0; i < lan->address_count; i++) {
		write_address(text, lan->addresses[i].address);
		if (is_at(lan, host, text, false))
			return true;
	}
	return false;
}

bool
lan_host_is_ours(struct lan *lan, const char *host, int64_t now_s)
{
	static const char *const own[] = {"127.0.0.1", "localhost", "[::1]"};
	size_t i;

	for (i = 0; i < sizeof own / sizeof own[0]; i++) {
		if (is_at(lan, host, own[i], false))
			return true;
	}
	/* A name of the certificate may stand for this machine in its own
	 * table of hosts, so it counts without `open`, too. */
	for (i = 0; i < lan->name_count; i++) {
		if (is_at(lan, host, lan->names[i], true))
			return true;
	}
	if (!lan->open)
		return false;
	if (is_address(lan, host))
		return true;
	lan_look(lan, now_s);
	return is_address(lan, host);
}

bool
lan_origin_is_ours(const struct lan *lan, const char *origin, const char *host)
{
	const char *scheme = lan->tls ? "https://" : "http://";

	return strncmp(origin, scheme, strlen(scheme)) == 0 &&
	       strcmp(origin + strlen(scheme), host) == 0;
}

/* The name at a place among those that lead a phone here; NULL past the end. */
static const char *
name_at(const struct lan *lan, size_t place)
{
	size_t i;

	for (i = 0; i < lan->name_count; i++) {
		if (strcmp(lan->names[i], "localhost") != 0 && place-- == 0)
			return lan->names[i];
	}
	return NULL;
}

bool
lan_url(char url[LAN_URL_SIZE], const struct lan *lan, size_t place)
{
	size_t names = 0, addresses = lan->address_count;
	size_t first_name, first_address;
	char text[INET_ADDRSTRLEN];
	const char *host = text;

	while (lan->open && name_at(lan, names) != NULL)
		names++;
	first_name = lan->by_name ? 0 : addresses;
	first_address = lan->by_name ? names : 0;
	if (place > names + addresses)
		return false;
	if (place == names + addresses)
		write_address(text, INADDR_LOOPBACK);
	else if (place >= first_name && place < first_name + names)
		host = name_at(lan, place - first_name);
	else
		write_address(
		    text, lan->addresses[place - first_address].address);
	snprintf(url, LAN_URL_SIZE, "http%s://%s:%u/", lan->tls ? "s" : "",
	    host, lan->port);
	return true;
}

void
lan_best(char url[LAN_URL_SIZE], const struct lan *lan)
{
	if (lan->address_count == 0 || !lan_url(url, lan, 0))
		url[0] = '\0';
}

static bool
is_private(uint32_t address)
{
	return address >> 24 == 10 || address >> 20 == 0xac1 ||
	       address >> 16 == 0xc0a8 || is_link_local(address);
}

bool
lan_peer_is_near(const struct lan *lan, const struct sockaddr *peer)
{
	struct sockaddr_in in;
	uint32_t address;
	size_t i;

	if (peer == NULL || peer->sa_family != AF_INET)
		return false;
	memcpy(&in, peer, sizeof in);
	address = ntohl(in.sin_addr.s_addr);
	if (address >> 24 == 127)
		return true;
	if (!lan->open)
		return false;
	if (is_private(address))
		return true;
	for (i = 0; i < lan->address_count; i++) {
		unsigned prefix = lan->addresses[i].prefix;

		/* A network of everything would let everybody in. */
		if (prefix > 0 && prefix <= 32 &&
		    (address ^ lan->addresses[i].address) >> (32 - prefix) == 0)
			return true;
	}
	return false;
}
