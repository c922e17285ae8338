/* This machine's addresses, the names that a request may call it by, and
 * which peers are near enough to be answered. */
#ifndef SERVE_LAN_H
#define SERVE_LAN_H

#include <lampwright/status.h>

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#define LAN_ADDRESSES_MAX 32
#define LAN_NAMES_MAX 16
#define LAN_NAME_SIZE 254 /* a DNS name, RFC 1035 section 2.3.4, and a NUL */
#define LAN_URL_SIZE (LAN_NAME_SIZE + 16) /* "https://", NAME, ":65535/" */

struct sockaddr;

struct lan {
	bool open; /* for the network, not for this machine alone */
	bool tls;
	unsigned port;
	/* IPv4 addresses of interfaces that are up, with the length of their
	 * network's prefix; without loopback. The best for a phone is first:
	 * of a real interface before a made one, and of those the one that
	 * the system itself would use. Looked up anew at most every few
	 * seconds, because a laptop that wakes may have got another one. */
	struct {
		uint32_t address; /* host order */
		unsigned prefix;
	} addresses[LAN_ADDRESSES_MAX];
	size_t address_count;
	int64_t looked_s;
	/* Names from the certificate, lower case; no wildcards. */
	char names[LAN_NAMES_MAX][LAN_NAME_SIZE];
	size_t name_count;
	bool by_name; /* phones had better use a name than an address */
};

/* Look up the addresses. Without `open` there are none. */
enum lw_status lan_init(
    struct lan *lan, bool open, bool tls, unsigned port, struct lw_err *err);

/* Look them up again, at most every 5 s of `now_s`. */
void lan_look(struct lan *lan, int64_t now_s);

/* A name of the certificate. One that is no plain name of a host (a wildcard,
 * an address), and one too many, is passed over. */
void lan_add_name(struct lan *lan, const char *name);

/*
 * Whether a Host header names this server: exactly 127.0.0.1, localhost,
 * [::1] or a name of the certificate, and with `open` an address of the
 * list; each with the port, which may be left out only where it is the
 * scheme's own (80, with TLS 443). This is what keeps other sites' names
 * for these addresses (DNS rebinding) out. An address that is not known makes
 * it look again, at most every 5 s of `now_s`.
 */
bool lan_host_is_ours(struct lan *lan, const char *host, int64_t now_s);

/* Whether an Origin header is a page of the host that was asked. */
bool lan_origin_is_ours(
    const struct lan *lan, const char *origin, const char *host);

/* Whether a peer is answered at all: this machine; with `open`, also one with
 * an address for private networks (RFC 1918, RFC 3927), or one in the network
 * of an interface. */
bool lan_peer_is_near(const struct lan *lan, const struct sockaddr *peer);

/*
 * The addresses that people can open, "http://192.168.1.5:8017/": from 0, the
 * best for a phone first, this machine's own 127.0.0.1 last. False: there
 * are no more.
 */
bool lan_url(char url[LAN_URL_SIZE], const struct lan *lan, size_t place);

/* The one that leads a phone here; "" where this machine is in no network. */
void lan_best(char url[LAN_URL_SIZE], const struct lan *lan);

#endif
