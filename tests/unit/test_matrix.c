/* matrix: tables as text, good and bad, line by line of tables/matrix.tsv; and
 * how large they may be. */
#include "unit/suites.h"
#include "unit/table.h"

#include "base/buf.h"
#include "base/num.h"
#include "base/utf8.h"
#include "reason/matrix.h"

static enum lw_status
read_text(struct matrix *matrix, struct lw_arena *arena, const char *text,
    size_t length, struct lw_err *err)
{
	memset(err, 0, sizeof *err);
	return matrix_read(matrix, arena, text, length, "a.csv", err);
}

static void
add_number(struct buf *buf, double number)
{
	char text[32];

	num_format(text, sizeof text, number);
	buf_add(buf, text);
}

/* As in the table's second column. */
static void
write_out(struct buf *buf, const struct matrix *matrix)
{
	const struct plan_grid *grid = &matrix->grid;
	size_t i, j;

	for (j = 0; j < grid->checks; j++) {
		buf_printf(buf, "%s%s=", j > 0 ? "," : "", matrix->check[j]);
		add_number(buf, grid->cost[j]);
	}
	for (i = 0; i < grid->causes; i++) {
		buf_printf(buf, "|%s=", matrix->cause[i]);
		add_number(buf, grid->weight[i]);
		buf_add(buf, ":");
		for (j = 0; j < grid->checks; j++) {
			unsigned number = grid->outcome[j * grid->causes + i];

			ck_assert_uint_lt(number, matrix->outcomes[j]);
			buf_printf(buf, "%s%s", j > 0 ? "," : "",
			    matrix->outcome[j][number]);
		}
	}
}

START_TEST(table_of_tables)
{
	struct lw_arena *arena = lw_arena_new();
	struct matrix matrix;
	struct table table;
	struct lw_err err;
	struct buf got;
	size_t good = 0, bad = 0;
	enum lw_status status;
	char place[40], *exact;

	table_open(&table, "matrix.tsv");
	while (table_next(&table)) {
		const char *text = table.field[0];
		size_t length = strlen(text);

		/* To its last byte, so that reading past it is seen. */
		exact = malloc(length + 1);
		ck_assert_ptr_nonnull(exact);
		memcpy(exact, text, length);
		exact = realloc(exact, length > 0 ? length : 1);
		ck_assert_ptr_nonnull(exact);
		status = read_text(&matrix, arena, exact, length, &err);
		free(exact);
		if (table.field[1][0] != '!') {
			ck_assert_msg(status == LW_OK, "row %u: %u:%u %s",
			    table.row, err.line, err.column, err.text);
			buf_init(&got, 10000);
			write_out(&got, &matrix);
			ck_assert_msg(
			    strcmp(buf_text(&got), table.field[1]) == 0,
			    "row %u: %s", table.row, buf_text(&got));
			buf_clear(&got);
			good++;
			continue;
		}
		ck_assert_msg(status == LW_BAD_INPUT, "row %u: %s", table.row,
		    lw_status_name(status));
		snprintf(place, sizeof place, "!%u:%u", err.line, err.column);
		ck_assert_msg(strcmp(place, table.field[1]) == 0,
		    "row %u: %s: %s", table.row, place, err.text);
		ck_assert_msg(table.field[2][0] != '\0' &&
				  strstr(err.text, table.field[2]) != NULL,
		    "row %u: %s", table.row, err.text);
		ck_assert_str_eq(err.file, "a.csv");
		ck_assert_int_eq((int)err.code, LW_BAD_INPUT);
		bad++;
	}
	table_close(&table);
	ck_assert_uint_ge(good, 15);
	ck_assert_uint_ge(bad, 45);
	lw_arena_free(arena);
}
END_TEST

START_TEST(no_err_is_fine)
{
	struct lw_arena *arena = lw_arena_new();
	struct matrix matrix;

	ck_assert_int_eq(
	    matrix_read(&matrix, arena, "x", 1, "a.csv", NULL), LW_BAD_INPUT);
	ck_assert_int_eq(
	    matrix_read(&matrix, arena, "cause,weight\na,1", 16, "a.csv", NULL),
	    LW_OK);
	lw_arena_free(arena);
}
END_TEST

START_TEST(nul_is_refused)
{
	static const char text[] = "cause,weight,t\na\0b,1,x\n";
	struct lw_arena *arena = lw_arena_new();
	struct matrix matrix;
	struct lw_err err;

	ck_assert_int_eq(read_text(&matrix, arena, text, sizeof text - 1, &err),
	    LW_BAD_INPUT);
	ck_assert_uint_eq(err.line, 2);
	ck_assert_uint_eq(err.column, 2);
	lw_arena_free(arena);
}
END_TEST

/* A name that is cut in a sentence is cut between characters. */
START_TEST(long_names_in_sentences)
{
	struct lw_arena *arena = lw_arena_new();
	struct matrix matrix;
	struct lw_err err;
	struct buf text;
	size_t i, lead;

	for (lead = 0; lead < 3; lead++) {
		buf_init(&text, 10000);
		buf_add(&text, "cause,weight\n");
		for (i = 0; i < lead; i++)
			buf_add(&text, "x");
		for (i = 0; i < 100; i++)
			buf_add(&text, "\xe2\x82\xac");
		buf_add(&text, ",none\n");
		ck_assert_int_eq(read_text(&matrix, arena, buf_text(&text),
				     text.length, &err),
		    LW_BAD_INPUT);
		ck_assert_uint_eq(err.column, lead + 102);
		buf_clear(&text);
		buf_init(&text, 10000);
		buf_add(&text, "cause,weight,");
		for (i = 0; i < lead; i++)
			buf_add(&text, "x");
		for (i = 0; i < 100; i++)
			buf_add(&text, "\xe2\x82\xac");
		buf_add(&text, ":none\na,1,x\n");
		ck_assert_int_eq(read_text(&matrix, arena, buf_text(&text),
				     text.length, &err),
		    LW_BAD_INPUT);
		ck_assert_uint_eq(
		    utf8_valid(err.text, strlen(err.text)), strlen(err.text));
		buf_clear(&text);
	}
	lw_arena_free(arena);
}
END_TEST

static void
expect_too_big(struct buf *text, const char *says)
{
	struct lw_arena *arena = lw_arena_new();
	struct matrix matrix;
	struct lw_err err;
	enum lw_status status;

	ck_assert_int_eq(text->status, LW_OK);
	status = read_text(&matrix, arena, buf_text(text), text->length, &err);
	if (says == NULL) {
		ck_assert_msg(status == LW_OK, "%s", err.text);
	} else {
		ck_assert_msg(status == LW_TOO_BIG, "%s: %s",
		    lw_status_name(status), err.text);
		ck_assert_msg(strstr(err.text, says) != NULL, "%s", err.text);
	}
	lw_arena_free(arena);
	buf_clear(text);
}

static void
add_rows(struct buf *text, size_t rows, bool differ)
{
	size_t i;

	buf_init(text, MATRIX_BYTES_MAX + 100);
	buf_add(text, "cause,weight,t\n");
	for (i = 0; i < rows; i++)
		buf_printf(text, "c%zu,1,o%zu\n", i, differ ? i : i % 7);
}

START_TEST(how_large_it_may_be)
{
	struct buf text;
	size_t i;

	add_rows(&text, PLAN_CAUSES_MAX, false);
	expect_too_big(&text, NULL);
	add_rows(&text, PLAN_CAUSES_MAX + 1, false);
	expect_too_big(&text, "more than 100000 causes");
	add_rows(&text, 65535, true);
	expect_too_big(&text, NULL);
	add_rows(&text, 65536, true);
	expect_too_big(&text, "more than 65535 outcomes");
	buf_init(&text, MATRIX_BYTES_MAX + 100);
	buf_add(&text, "cause,weight");
	for (i = 0; i <= PLAN_CHECKS_MAX; i++)
		buf_printf(&text, ",t%zu", i);
	buf_add(&text, "\n");
	expect_too_big(&text, "more than 10000 checks");
	buf_init(&text, MATRIX_BYTES_MAX + 100);
	for (i = 0; i <= MATRIX_BYTES_MAX / 64; i++)
		buf_add(&text,
		    "0123456789012345678901234567890123456789012345678901234567"
		    "89\n\n\n\n");
	expect_too_big(&text, "larger than 16 MiB");
}
END_TEST

Suite *
suite_matrix(void)
{
	Suite *suite = suite_create("matrix");
	TCase *tables = tcase_create("tables");

	tcase_add_test(tables, table_of_tables);
	tcase_add_test(tables, no_err_is_fine);
	tcase_add_test(tables, nul_is_refused);
	tcase_add_test(tables, long_names_in_sentences);
	tcase_add_test(tables, how_large_it_may_be);
	tcase_set_timeout(tables, 60);
	suite_add_tcase(suite, tables);
	return suite;
}
