/* SHA-256 (FIPS 180-4) and HMAC (RFC 2104), by way of GnuTLS, as lower-case
 * hexadecimal. */
#ifndef SERVE_HASH_H
#define SERVE_HASH_H

#include <stddef.h>

#define HASH_SIZE 65 /* 256 bits in hexadecimal, and a NUL */

void hash_text(char out[HASH_SIZE], const char *text);
void hash_keyed(char out[HASH_SIZE], const char *key, const char *text);

#endif
