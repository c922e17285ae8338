/* Filling struct lw_err. Every function here accepts err == NULL. */
#ifndef BASE_ERR_H
#define BASE_ERR_H

#include <lampwright/status.h>

/* Set code and sentence, clear the place, and return the code, so that a
 * failing function can say: return err_set(err, LW_BAD_INPUT, "..."); */
enum lw_status err_set(struct lw_err *err, enum lw_status code,
    const char *format, ...) __attribute__((format(printf, 3, 4)));

/* As err_set, at a line and column (from 1; 0 not known). */
enum lw_status err_set_at(struct lw_err *err, enum lw_status code,
    unsigned line, unsigned column, const char *format, ...)
    __attribute__((format(printf, 5, 6)));

/* The sentence for memory that has run out. */
enum lw_status err_no_memory(struct lw_err *err);

/* Name the file that an error is about; keeps the rest. */
void err_in_file(struct lw_err *err, const char *file);

#endif
