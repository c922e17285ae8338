/* Checks reckoners against a table of published values. */
#include "unit/reckoned.h"
#include "unit/table.h"

#include <lampwright/quantity.h>

#include <math.h>

enum { GIVEN_MAX = 1000, PAIRS_MAX = 20 };

/* Half of the fourth digit. */
static const double NEAR = 5.01e-4;

enum lw_status
reckoned(const struct lw_reckoning **reckoning, struct lw_arena *arena,
    const char *name, const char *given, struct lw_err *err)
{
	struct lw_reckon_pair pairs[PAIRS_MAX];
	char copy[GIVEN_MAX], *rest = copy, *pair, *value;
	size_t count = 0;

	ck_assert_uint_lt(strlen(given), sizeof copy);
	strcpy(copy, given);
	while (*given != '\0' && (pair = strsep(&rest, "|")) != NULL) {
		ck_assert_uint_lt(count, PAIRS_MAX);
		value = strchr(pair, '=');
		ck_assert_ptr_nonnull(value);
		*value++ = '\0';
		pairs[count++] = (struct lw_reckon_pair){pair, value, false};
	}
	return lw_reckon(reckoning, arena, name, pairs, count, err);
}

const struct lw_reckon_result *
reckoned_result(const struct lw_reckoning *reckoning, const char *name)
{
	size_t i;

	for (i = 0; i < reckoning->result_count; i++)
		if (strcmp(reckoning->results[i].name, name) == 0)
			return &reckoning->results[i];
	ck_abort_msg("%s has no result %s", reckoning->reckoner->name, name);
	return NULL;
}

static void
check_refused(
    const struct table *row, enum lw_status status, const struct lw_err *err)
{
	const char *begin = row->field[3] + 1;

	ck_assert_msg(status == LW_BAD_INPUT && err->code == status,
	    "row %u: %s", row->row, lw_status_name(status));
	ck_assert_msg(strncmp(err->text, begin, strlen(begin)) == 0,
	    "row %u: %s", row->row, err->text);
	ck_assert_msg(strchr(err->text, '\n') == NULL &&
			  err->text[strlen(err->text) - 1] != '.',
	    "row %u: %s", row->row, err->text);
}

static void
check_remark(const struct table *row, const struct lw_reckoning *reckoning)
{
	size_t i;

	for (i = 0; i < reckoning->remark_count; i++)
		if (strstr(reckoning->remarks[i], row->field[3] + 1) != NULL)
			return;
	for (i = 0; i < reckoning->remark_count; i++)
		fprintf(stderr, "%s\n", reckoning->remarks[i]);
	ck_abort_msg(
	    "row %u: no remark with \"%s\"", row->row, row->field[3] + 1);
}

static void
check_result(const struct table *row, const struct lw_reckoning *reckoning)
{
	const struct lw_reckon_result *result =
	    reckoned_result(reckoning, row->field[2]);
	char *unit;
	double wanted, value;

	if (row->field[3][0] == '~') {
		ck_assert_msg(
		    !result->is_number &&
			strstr(result->text, row->field[3] + 1) != NULL,
		    "row %u: %s", row->row, result->text);
		return;
	}
	wanted = strtod(row->field[3], &unit);
	wanted = lw_quantity_from(wanted, unit + (*unit == ' '));
	ck_assert_msg(result->is_number, "row %u: %s", row->row, result->text);
	value = lw_quantity_from(result->value, result->unit);
	ck_assert_msg(fabs(value - wanted) <= NEAR * fabs(wanted),
	    "row %u: %s is %s, and %s is published", row->row, row->field[2],
	    result->text, row->field[3]);
}

static void
check_row(const struct table *row)
{
	struct lw_arena *arena = lw_arena_new();
	const struct lw_reckoning *reckoning;
	struct lw_err err = {.column = 0};
	enum lw_status status;

	ck_assert_msg(row->count >= 4, "row %u has too few fields", row->row);
	status =
	    reckoned(&reckoning, arena, row->field[0], row->field[1], &err);
	if (strcmp(row->field[2], "error") == 0) {
		check_refused(row, status, &err);
	} else {
		ck_assert_msg(
		    status == LW_OK, "row %u: %s", row->row, err.text);
		if (strcmp(row->field[2], "remark") == 0)
			check_remark(row, reckoning);
		else
			check_result(row, reckoning);
	}
	lw_arena_free(arena);
}

unsigned
reckoned_table(const char *name)
{
	struct table table;
	unsigned rows = 0;

	table_open(&table, name);
	for (; table_next(&table); rows++)
		check_row(&table);
	table_close(&table);
	return rows;
}
