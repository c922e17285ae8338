/* Reckoning in tests: "key=value|key=value" in, one result out. */
#ifndef UNIT_RECKONED_H
#define UNIT_RECKONED_H

#include <lampwright/reckon.h>

/* `given` is split at bars. */
enum lw_status reckoned(const struct lw_reckoning **reckoning,
    struct lw_arena *arena, const char *name, const char *given,
    struct lw_err *err);

/* The result of that name; the test fails where there is none. */
const struct lw_reckon_result *reckoned_result(
    const struct lw_reckoning *reckoning, const char *name);

/* Check every row of a table under tests/tables: reckoner, what is given,
 * result, expected, source. Returns how many there were. */
unsigned reckoned_table(const char *name);

#endif
