/* Forms as browsers send them (application/x-www-form-urlencoded), in a body
 * or in the query of an address. */
#ifndef SERVE_FORM_H
#define SERVE_FORM_H

#include <lampwright/status.h>

#include <stdbool.h>
#include <stddef.h>

#define FORM_BYTES_MAX (64u * 1024)
#define FORM_FIELDS_MAX 2048

struct form_field {
	const char *name;
	const char *value; /* valid UTF-8; lines end in a newline alone */
};

struct form {
	struct form_field *fields;
	size_t count;
	char *store;
};

/*
 * Read a form of FORM_BYTES_MAX at most; it is left empty on failure.
 * LW_BAD_INPUT: an escape that is not one, a NUL or another control character,
 * what is not UTF-8, or a field given twice. LW_TOO_BIG: past a cap. The caller
 * calls form_clear.
 */
enum lw_status form_read(
    struct form *form, const char *text, size_t length, struct lw_err *err);
/* The same with a cap of its own, in bytes. */
enum lw_status form_read_most(struct form *form, const char *text,
    size_t length, size_t most, struct lw_err *err);

/* Free what it holds; it is an empty form then. */
void form_clear(struct form *form);

/* The value of a field; "" when it is not there. */
const char *form_get(const struct form *form, const char *name);
/* The value of a field; NULL when it is not there or empty. */
const char *form_get_or_null(const struct form *form, const char *name);
/* The value of the field "name.number". */
const char *form_get_at(
    const struct form *form, const char *name, unsigned number);

#endif
