/* Reads a table of causes and checks from comma-separated text; what is made of
 * it is left to plan. */
#include "reason/matrix.h"

#include "reason/matrix_cells.h"

#include "base/arena.h"
#include "base/err.h"
#include "base/num.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum { OUTCOMES_MAX = 65535 };

/* What plan takes; sums of costs and weights stay numbers. */
static const double AMOUNT_MAX = 1e300;

/* --- names by number ----------------------------------------------------- */

/* Texts and their numbers, in the order in which they came. */
struct names {
	size_t *slots; /* number + 1; 0: free */
	size_t room;   /* a power of two */
	const char **texts;
	size_t count;
};

static uint64_t
hash(const char *text)
{
	uint64_t value = UINT64_C(14695981039346656037);

	for (; *text != '\0'; text++)
		value =
		    (value ^ (unsigned char)*text) * UINT64_C(1099511628211);
	return value ^ (value >> 32);
}

static bool
names_begin(struct names *names, size_t most)
{
	names->count = 0;
	for (names->room = 16; names->room < 2 * most; names->room *= 2)
		;
	names->slots = calloc(names->room, sizeof *names->slots);
	names->texts = calloc(most + 1, sizeof *names->texts);
	return names->slots != NULL && names->texts != NULL;
}

static void
names_end(struct names *names)
{
	free(names->slots);
	free(names->texts);
}

/* The number of a text, which is put in where it is new. */
static size_t
names_number(struct names *names, const char *text)
{
	size_t at = (size_t)hash(text) & (names->room - 1);

	while (names->slots[at] != 0) {
		if (strcmp(names->texts[names->slots[at] - 1], text) == 0)
			return names->slots[at] - 1;
		at = (at + 1) & (names->room - 1);
	}
	names->texts[names->count++] = text;
	names->slots[at] = names->count;
	return names->count - 1;
}

/* --- the table ----------------------------------------------------------- */

/* What was read, row by row. */
struct rows {
	const char **checks;
	double *costs;
	size_t check_count;
	const char **causes;
	double *weights;
	size_t cause_count;
	const char **cells; /* [cause * checks + check] */
};

/* A weight or a cost. */
static bool
read_amount(double *amount, const char *text)
{
	if (!num_parse(amount, text, strlen(text)) || *amount < 0 ||
	    *amount > AMOUNT_MAX)
		return false;
	if (*amount == 0)
		*amount = 0; /* and not -0 */
	return true;
}

/* NAME or NAME:COST, by the last colon. */
static enum lw_status
read_check(struct matrix_reader *reader, const struct matrix_cell *cell,
    const char **name, double *cost)
{
	const char *colon = strrchr(cell->text, ':'), *to = colon, *number;

	*cost = 1;
	*name = cell->text;
	if (colon != NULL) {
		number = colon + 1 + strspn(colon + 1, " \t");
		if (!read_amount(cost, number))
			return matrix_complain(reader, cell,
			    "what stands after the last colon of \"%.*s\" is "
			    "no cost; write a number from 0 to 1e300, as in "
			    "fuse:2",
			    matrix_quoted(cell->text), cell->text);
		while (to > cell->text && (to[-1] == ' ' || to[-1] == '\t'))
			to--;
		*name = arena_dup_n(
		    reader->arena, cell->text, (size_t)(to - cell->text));
		if (*name == NULL)
			return err_no_memory(reader->err);
	}
	if ((*name)[0] == '\0')
		return matrix_complain(reader, cell,
		    "a check in the header has no name; write NAME or "
		    "NAME:COST");
	return LW_OK;
}

/* Whether it is the word, in small letters or capitals, whatever the locale. */
static bool
is_word(const char *text, const char *word)
{
	for (; *text != '\0' && *word != '\0'; text++, word++)
		if ((*text >= 'A' && *text <= 'Z' ? *text - 'A' + 'a'
						  : *text) != *word)
			return false;
	return *text == *word;
}

/* One of the two columns that come before the checks. */
static enum lw_status
read_head(
    struct matrix_reader *reader, const struct matrix_cell *cell, size_t number)
{
	static const char *const heads[] = {"cause", "weight"};

	if (is_word(cell->text, heads[number]))
		return LW_OK;
	if (number == 0 && cell->last && strpbrk(cell->text, ";\t") != NULL)
		return matrix_complain(reader, cell,
		    "cells end at commas, and this header has %s between "
		    "them; save the table as comma-separated values",
		    strchr(cell->text, ';') != NULL ? "semicolons" : "tabs");
	return matrix_complain(reader, cell,
	    "the header begins with cause,weight and then names the checks; "
	    "its column %zu says \"%.*s\"",
	    number + 1, matrix_quoted(cell->text), cell->text);
}

static enum lw_status
read_header(struct matrix_reader *reader, struct rows *rows)
{
	size_t name_room = 0, names = 0, cost_room = 0, costs = 0, seen = 0;
	struct matrix_cell cell;
	const char **name;
	double *cost;
	enum lw_status status;

	do {
		status = matrix_read_cell(reader, &cell);
		if (status != LW_OK)
			return status;
		if (seen < 2) {
			status = read_head(reader, &cell, seen++);
			if (status != LW_OK)
				return status;
			continue;
		}
		if (rows->check_count == PLAN_CHECKS_MAX)
			return err_set_at(reader->err, LW_TOO_BIG, cell.line,
			    cell.column,
			    "there are more than %d checks; take out some",
			    PLAN_CHECKS_MAX);
		name = arena_grow(reader->arena, &rows->checks, &names,
		    &name_room, sizeof *name);
		cost = arena_grow(reader->arena, &rows->costs, &costs,
		    &cost_room, sizeof *cost);
		if (name == NULL || cost == NULL)
			return err_no_memory(reader->err);
		status = read_check(reader, &cell, name, cost);
		if (status != LW_OK)
			return status;
		rows->check_count++;
	} while (!cell.last);
	if (seen < 2)
		return matrix_complain(reader, &cell,
		    "the header begins with cause,weight and then names the "
		    "checks");
	return LW_OK;
}

/* One cell of a row: the cause, its weight, an outcome. */
static enum lw_status
take_cell(struct matrix_reader *reader, struct rows *rows,
    const struct matrix_cell *cell, size_t column, const char **outcomes)
{
	double *weight = &rows->weights[rows->cause_count];

	if (cell->text[0] == '\0' && column == 0)
		return matrix_complain(reader, cell,
		    "the cause of this row has no name; write one");
	if (cell->text[0] == '\0' && column == 1)
		return matrix_complain(reader, cell,
		    "the weight of \"%.*s\" is missing; write a number of 0 or "
		    "more",
		    matrix_quoted(rows->causes[rows->cause_count]),
		    rows->causes[rows->cause_count]);
	if (cell->text[0] == '\0')
		return matrix_complain(reader, cell,
		    "what check \"%.*s\" gives for \"%.*s\" is missing; write "
		    "the name of an outcome",
		    matrix_quoted(rows->checks[column - 2]),
		    rows->checks[column - 2],
		    matrix_quoted(rows->causes[rows->cause_count]),
		    rows->causes[rows->cause_count]);
	if (column == 0) {
		rows->causes[rows->cause_count] = cell->text;
	} else if (column == 1) {
		if (!read_amount(weight, cell->text))
			return matrix_complain(reader, cell,
			    "the weight \"%.*s\" is no number from 0 to 1e300; "
			    "write one with a point, as in 0.25",
			    matrix_quoted(cell->text), cell->text);
	} else {
		outcomes[column - 2] = cell->text;
	}
	return LW_OK;
}

static enum lw_status
read_row(struct matrix_reader *reader, struct rows *rows)
{
	size_t width = rows->check_count + 2, column = 0;
	const char **outcomes =
	    &rows->cells[rows->cause_count * rows->check_count];
	struct matrix_cell cell;
	enum lw_status status;

	do {
		status = matrix_read_cell(reader, &cell);
		if (status != LW_OK)
			return status;
		if (column == width)
			return matrix_complain(reader, &cell,
			    "the row has more than the %zu cells that the "
			    "header has",
			    width);
		status = take_cell(reader, rows, &cell, column++, outcomes);
		if (status != LW_OK)
			return status;
	} while (!cell.last);
	if (column < width)
		return matrix_complain(reader, &cell,
		    "the row has %zu of the %zu cells that the header has",
		    column, width);
	rows->cause_count++;
	return LW_OK;
}

/* How many rows there may be, so that room is made once. */
static size_t
count_lines(const struct matrix_reader *reader)
{
	const char *at;
	size_t lines = 1;

	for (at = reader->at; at < reader->end; at++)
		lines +=
		    *at == '\n' ||
		    (*at == '\r' && (at + 1 == reader->end || at[1] != '\n'));
	return lines;
}

static enum lw_status
read_rows(struct matrix_reader *reader, struct rows *rows)
{
	size_t most = count_lines(reader);
	/* A cell takes a byte or more, so that a few long rows do not ask for
	 * room that they cannot fill. */
	size_t bytes = (size_t)(reader->end - reader->at) + 1;
	size_t fits = bytes / (rows->check_count + 2) + 1;
	enum lw_status status = LW_OK;

	if (most > fits)
		most = fits;
	if (most > PLAN_CAUSES_MAX)
		most = PLAN_CAUSES_MAX;
	rows->causes =
	    arena_array(reader->arena, most + 1, sizeof *rows->causes);
	rows->weights =
	    arena_array(reader->arena, most + 1, sizeof *rows->weights);
	rows->cells = arena_array(reader->arena,
	    (most + 1) * rows->check_count + 1, sizeof *rows->cells);
	if (rows->causes == NULL || rows->weights == NULL ||
	    rows->cells == NULL)
		return err_no_memory(reader->err);
	while (status == LW_OK && !matrix_is_done(reader)) {
		if (rows->cause_count == most && most == PLAN_CAUSES_MAX)
			return err_set_at(reader->err, LW_TOO_BIG, reader->line,
			    1, "there are more than %d causes; take out some",
			    PLAN_CAUSES_MAX);
		/* More rows than can be whole: the next one tells what is
		 * missing. */
		status = read_row(reader, rows);
	}
	if (status == LW_OK && rows->cause_count == 0)
		status = err_set_at(reader->err, LW_BAD_INPUT, reader->line, 1,
		    "there is no cause after the header; write a row for each");
	return status;
}

/* --- numbers for names --------------------------------------------------- */

static enum lw_status
refuse_twice(const char *const *list, size_t count, const char *what,
    bool header, struct lw_err *err)
{
	struct names names;
	enum lw_status status = LW_OK;
	size_t i;

	if (!names_begin(&names, count))
		status = err_no_memory(err);
	for (i = 0; i < count && status == LW_OK; i++)
		if (names_number(&names, list[i]) != i)
			status = err_set_at(err, LW_BAD_INPUT,
			    header ? 1 : (unsigned)i + 2, header ? 0 : 1,
			    "the %s \"%.*s\" is named twice; give each a name "
			    "of its own",
			    what, matrix_quoted(list[i]), list[i]);
	names_end(&names);
	return status;
}

/* The outcomes of one check, numbered as they come. */
static enum lw_status
number_outcomes(unsigned *outcome, const char *const **texts_of, size_t *count,
    struct lw_arena *arena, const struct rows *rows, size_t check,
    struct lw_err *err)
{
	const char **texts;
	struct names names;
	enum lw_status status = LW_OK;
	size_t i, number;

	if (!names_begin(&names, rows->cause_count)) {
		status = err_no_memory(err);
		goto out;
	}
	for (i = 0; i < rows->cause_count; i++) {
		number = names_number(
		    &names, rows->cells[i * rows->check_count + check]);
		if (number >= OUTCOMES_MAX) {
			status = err_set(err, LW_TOO_BIG,
			    "check \"%.*s\" has more than %d outcomes; name "
			    "bands in place of values",
			    matrix_quoted(rows->checks[check]),
			    rows->checks[check], OUTCOMES_MAX);
			goto out;
		}
		outcome[i] = (unsigned)number;
	}
	texts = arena_array(arena, names.count, sizeof *texts);
	if (texts == NULL) {
		status = err_no_memory(err);
		goto out;
	}
	memcpy(texts, names.texts, names.count * sizeof *texts);
	*texts_of = texts;
	*count = names.count;
out:
	names_end(&names);
	return status;
}

static enum lw_status
make_matrix(struct matrix *matrix, struct lw_arena *arena,
    const struct rows *rows, struct lw_err *err)
{
	struct plan_grid *grid = &matrix->grid;
	const char *const **texts;
	unsigned *outcome;
	size_t *counts, i;
	enum lw_status status;
	bool any = false;

	for (i = 0; i < rows->cause_count; i++)
		any = any || rows->weights[i] > 0;
	if (!any)
		return err_set(err, LW_BAD_INPUT,
		    "every weight is 0; give at least one cause more");
	status =
	    refuse_twice(rows->checks, rows->check_count, "check", true, err);
	if (status == LW_OK)
		status = refuse_twice(
		    rows->causes, rows->cause_count, "cause", false, err);
	if (status != LW_OK)
		return status;
	grid->causes = rows->cause_count;
	grid->checks = rows->check_count;
	grid->weight = rows->weights;
	grid->cost = rows->costs;
	grid->states = 1;
	outcome = arena_array(
	    arena, rows->cause_count * rows->check_count + 1, sizeof *outcome);
	texts = arena_array(
	    arena, rows->check_count + 1, sizeof(const char *const *));
	counts = arena_array(arena, rows->check_count + 1, sizeof *counts);
	if (outcome == NULL || texts == NULL || counts == NULL)
		return err_no_memory(err);
	grid->outcome = outcome;
	matrix->outcome = texts;
	matrix->outcomes = counts;
	matrix->cause = rows->causes;
	matrix->check = rows->checks;
	for (i = 0; i < rows->check_count && status == LW_OK; i++)
		status = number_outcomes(&outcome[i * rows->cause_count],
		    &texts[i], &counts[i], arena, rows, i, err);
	return status;
}

static enum lw_status
read_table(struct matrix_reader *reader, struct rows *rows)
{
	size_t length = (size_t)(reader->end - reader->at);
	enum lw_status status;

	if (length > MATRIX_BYTES_MAX)
		return err_set(reader->err, LW_TOO_BIG,
		    "the table is larger than %zu MiB; take out what is not "
		    "needed",
		    MATRIX_BYTES_MAX >> 20);
	status = matrix_look(reader);
	if (status != LW_OK)
		return status;
	if (matrix_is_done(reader))
		return err_set_at(reader->err, LW_BAD_INPUT, 1, 1,
		    "the table is empty; its header is "
		    "cause,weight,NAME:COST,...");
	status = read_header(reader, rows);
	return status == LW_OK ? read_rows(reader, rows) : status;
}

enum lw_status
matrix_read(struct matrix *matrix, struct lw_arena *arena, const char *text,
    size_t length, const char *name, struct lw_err *err)
{
	struct matrix_reader reader;
	struct rows rows = {0};
	enum lw_status status;

	memset(matrix, 0, sizeof *matrix);
	matrix_begin(&reader, arena, text, length, err);
	status = read_table(&reader, &rows);
	if (status == LW_OK)
		status = make_matrix(matrix, arena, &rows, err);
	if (status != LW_OK && status != LW_NO_MEMORY)
		err_in_file(err, name);
	return status;
}
