/* The certificate and key of the server, from files (PEM, RFC 7468). */
#ifndef SERVE_TLS_H
#define SERVE_TLS_H

#include <lampwright/status.h>

#include <stdbool.h>
#include <stdint.h>

#define TLS_PRINT_SIZE 96 /* 32 bytes as "AB:CD:...", and a NUL */
#define TLS_FILE_MAX (64u * 1024)
/* TLS 1.3 (RFC 8446) and 1.2 (RFC 5246); older ones are not to be used any
 * more (RFC 8996). */
#define TLS_PRIORITIES "NORMAL:-VERS-ALL:+VERS-TLS1.3:+VERS-TLS1.2"

struct lan;

struct tls {
	char *cert; /* the files' texts */
	char *key;
	char print[TLS_PRINT_SIZE]; /* the certificate's SHA-256 */
};

/*
 * Read both files and look whether they fit. `say` is told what is odd and
 * still does: a key that others may read, a certificate that is over or not
 * valid yet at `now_s`. LW_BAD_INPUT: a file that is missing, too long or no
 * PEM, an encrypted key, one that does not fit. tls_clear is due in any case.
 */
enum lw_status tls_read(struct tls *tls, const char *cert_file,
    const char *key_file, int64_t now_s,
    void (*say)(const char *sentence, void *closure), void *closure,
    struct lw_err *err);
void tls_clear(struct tls *tls);

/* Give the certificate's names to the list of those that count as hosts, and
 * note whether phones had better use one of them, because the certificate
 * holds for a name and not for the best address. */
void tls_add_names(const struct tls *tls, struct lan *lan);

#endif
