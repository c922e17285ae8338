/* Input: a table of causes and checks as text. One that is read has numbers
 * and names throughout, and the same is read from what is written of it; where
 * it is small, a tree of it costs what its definition says. An error has a
 * place in the text and a sentence that can be shown. */
#include "base/buf.h"
#include "base/num.h"
#include "base/utf8.h"
#include "reason/matrix.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

enum { CAUSES_FEW = 8, CHECKS_FEW = 8, WRITTEN_MAX = 1 << 24 };

static void
require(bool good)
{
	if (!good)
		abort();
}

static void
check_text(const char *text)
{
	size_t i, length = strlen(text);

	require(length > 0 && utf8_valid(text, length) == length);
	for (i = 0; i < length; i++)
		require((unsigned char)text[i] >= 0x20 || text[i] == '\t');
}

static void
check_matrix(const struct matrix *matrix)
{
	const struct plan_grid *grid = &matrix->grid;
	size_t i, j;
	bool any = false;

	require(grid->causes >= 1 && grid->causes <= PLAN_CAUSES_MAX);
	require(grid->checks <= PLAN_CHECKS_MAX && grid->states == 1);
	for (i = 0; i < grid->causes; i++) {
		check_text(matrix->cause[i]);
		require(isfinite(grid->weight[i]) && grid->weight[i] >= 0);
		any = any || grid->weight[i] > 0;
	}
	require(any);
	for (j = 0; j < grid->checks; j++) {
		check_text(matrix->check[j]);
		require(isfinite(grid->cost[j]) && grid->cost[j] >= 0);
		for (i = 0; i < matrix->outcomes[j]; i++)
			check_text(matrix->outcome[j][i]);
		for (i = 0; i < grid->causes; i++)
			require(grid->outcome[j * grid->causes + i] <
				matrix->outcomes[j]);
	}
}

static void
add_quoted(struct buf *out, const char *text, const char *after)
{
	buf_add(out, "\"");
	for (; *text != '\0'; text++) {
		if (*text == '"')
			buf_add(out, "\"");
		buf_add_char(out, *text);
	}
	buf_printf(out, "%s\"", after);
}

static void
write_out(struct buf *out, const struct matrix *matrix)
{
	const struct plan_grid *grid = &matrix->grid;
	char number[34];
	size_t i, j;

	buf_add(out, "cause,weight");
	for (j = 0; j < grid->checks; j++) {
		number[0] = ':';
		num_format(number + 1, sizeof number - 1, grid->cost[j]);
		buf_add(out, ",");
		add_quoted(out, matrix->check[j], number);
	}
	for (i = 0; i < grid->causes; i++) {
		num_format(number, sizeof number, grid->weight[i]);
		buf_add(out, "\n");
		add_quoted(out, matrix->cause[i], "");
		buf_printf(out, ",%s", number);
		for (j = 0; j < grid->checks; j++) {
			buf_add(out, ",");
			add_quoted(out,
			    matrix
				->outcome[j]
					 [grid->outcome[j * grid->causes + i]],
			    "");
		}
	}
}

static void
check_same(const struct matrix *one, const struct matrix *other)
{
	const struct plan_grid *a = &one->grid, *b = &other->grid;
	size_t i, j;

	require(a->causes == b->causes && a->checks == b->checks);
	for (i = 0; i < a->causes; i++)
		require(strcmp(one->cause[i], other->cause[i]) == 0 &&
			a->weight[i] == b->weight[i]);
	for (j = 0; j < a->checks; j++)
		require(strcmp(one->check[j], other->check[j]) == 0 &&
			a->cost[j] == b->cost[j] &&
			one->outcomes[j] == other->outcomes[j]);
	for (i = 0; i < a->causes * a->checks; i++)
		require(a->outcome[i] == b->outcome[i]);
}

static void
check_plan(const struct plan_grid *grid, struct lw_arena *arena)
{
	struct plan plan;
	struct lw_err err;
	double again;

	if (grid->causes > CAUSES_FEW || grid->checks > CHECKS_FEW)
		return;
	require(plan_make(&plan, arena, grid, PLAN_BEST, NULL, &err) == LW_OK);
	again = plan_cost_of(plan.root, grid);
	require(plan.optimal && isfinite(plan.cost) && plan.cost >= 0);
	require(fabs(plan.cost - again) <= 1e-9 * fmax(1, plan.cost));
	require(plan.lower_bound <= plan.cost);
}

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	struct lw_arena *arena = lw_arena_new();
	struct lw_err err = {.code = LW_OK};
	struct matrix matrix, again;
	enum lw_status status;
	struct buf out;

	if (arena == NULL)
		return 0;
	status = matrix_read(
	    &matrix, arena, (const char *)data, size, "a table", &err);
	if (status == LW_OK) {
		check_matrix(&matrix);
		buf_init(&out, WRITTEN_MAX);
		write_out(&out, &matrix);
		if (out.status == LW_OK) {
			require(matrix_read(&again, arena, buf_text(&out),
				    out.length, "again", NULL) == LW_OK);
			check_same(&matrix, &again);
		}
		buf_clear(&out);
		check_plan(&matrix.grid, arena);
	} else {
		require(status == LW_BAD_INPUT || status == LW_TOO_BIG);
		require(err.code == status && strcmp(err.file, "a table") == 0);
		check_text(err.text);
		require(err.column <= size + 1 && err.line <= size + 1);
	}
	lw_arena_free(arena);
	return 0;
}
