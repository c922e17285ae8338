/* Hashes texts by way of GnuTLS; what is hashed, and what a hash is compared
 * with, is left to the callers. */
#include "serve/hash.h"

#include <gnutls/crypto.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define HASH_BYTES ((HASH_SIZE - 1) / 2)

static void
write_hex(char out[HASH_SIZE], const unsigned char bytes[HASH_BYTES])
{
	static const char digits[] = "0123456789abcdef";
	size_t i;

	for (i = 0; i < HASH_BYTES; i++) {
		out[2 * i] = digits[bytes[i] >> 4];
		out[2 * i + 1] = digits[bytes[i] & 15];
	}
	out[2 * HASH_BYTES] = '\0';
}

/* Without a hash there is no telling who may come in, so there is no going
 * on. It happens only where the library forbids SHA-256, or memory ran out. */
static void
must(int result)
{
	if (result >= 0)
		return;
	fprintf(stderr, "lampwright: SHA-256 cannot be worked out: %s\n",
	    gnutls_strerror(result));
	abort();
}

void
hash_text(char out[HASH_SIZE], const char *text)
{
	unsigned char bytes[HASH_BYTES];

	must(gnutls_hash_fast(GNUTLS_DIG_SHA256, text, strlen(text), bytes));
	write_hex(out, bytes);
}

void
hash_keyed(char out[HASH_SIZE], const char *key, const char *text)
{
	unsigned char bytes[HASH_BYTES];

	must(gnutls_hmac_fast(
	    GNUTLS_MAC_SHA256, key, strlen(key), text, strlen(text), bytes));
	write_hex(out, bytes);
}
