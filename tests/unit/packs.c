/* What the suites of packs share. */
#include "unit/packs.h"

#include "base/utf8.h"

#include <check.h>
#include <glob.h>
#include <stdio.h>
#include <string.h>

void
packs_start(struct packs *packs)
{
	memset(packs, 0, sizeof *packs);
	packs->arena = lw_arena_new();
	ck_assert_ptr_nonnull(packs->arena);
}

void
packs_end(struct packs *packs)
{
	lw_arena_free(packs->arena);
}

void
packs_text(struct packs *packs, const char *name, const char *text)
{
	ck_assert_uint_lt(packs->count, PACKS_MAX);
	packs->texts[packs->count].name = name;
	packs->texts[packs->count].text = text;
	packs->texts[packs->count].length = strlen(text);
	packs->count++;
}

void
packs_file(struct packs *packs, const char *path)
{
	ck_assert_uint_lt(packs->count, PACKS_MAX);
	ck_assert_msg(lw_pack_load(packs->arena, path,
			  &packs->texts[packs->count++], &packs->err) == LW_OK,
	    "%s: %s", path, packs->err.text);
}

void
packs_folder(struct packs *packs, const char *folder, const char *beginning)
{
	char pattern[1024];
	glob_t found;
	size_t i;

	snprintf(pattern, sizeof pattern, "%s/%s*.yaml", folder, beginning);
	ck_assert_msg(glob(pattern, 0, NULL, &found) == 0, "%s", pattern);
	for (i = 0; i < found.gl_pathc; i++)
		packs_file(packs, found.gl_pathv[i]);
	globfree(&found);
}

/* What holds of every problem: it has a place, a rule and one sentence. */
static void
look_at_problem(const struct lw_problem *problem)
{
	size_t length = strlen(problem->text), i;

	ck_assert_ptr_nonnull(problem->file);
	ck_assert_msg(length > 10 && problem->text[length - 1] != '.', "%s",
	    problem->text);
	ck_assert_uint_eq(utf8_valid(problem->text, length), length);
	for (i = 0; i < length; i++)
		ck_assert_msg((unsigned char)problem->text[i] >= 0x20, "%s",
		    problem->text);
	ck_assert_uint_eq(strspn(problem->rule, "abcdefghijklmnopqrstuvwxyz-"),
	    strlen(problem->rule));
	ck_assert_int_eq(problem->line == 0, problem->column == 0);
}

void
packs_read(struct packs *packs, struct lw_book *book)
{
	size_t i;

	ck_assert_msg(
	    lw_pack_read(packs->arena, packs->texts, packs->count, book,
		packs->packs, &packs->problems, &packs->err) == LW_OK,
	    "%s", packs->err.text);
	for (i = 0; i < packs->problems.count; i++)
		look_at_problem(&packs->problems.items[i]);
}

void
packs_advise(struct packs *packs, struct lw_book *book)
{
	size_t i;

	ck_assert_msg(
	    lw_pack_check(packs->arena, packs->texts, packs->count, book,
		packs->packs, &packs->problems, &packs->err) == LW_OK,
	    "%s", packs->err.text);
	for (i = 0; i < packs->problems.count; i++)
		look_at_problem(&packs->problems.items[i]);
}

void
packs_sound(const struct packs *packs)
{
	const struct lw_problem *first = packs->problems.items;
	size_t i;

	if (packs->problems.count > 0)
		ck_abort_msg("%s:%u:%u: %s: %s", first->file, first->line,
		    first->column, first->rule, first->text);
	for (i = 0; i < packs->count; i++)
		ck_assert_ptr_nonnull(packs->packs[i]);
}

void
packs_problems(const struct packs *packs, const char *expected)
{
	char got[20000] = "";
	const struct lw_problem *problem;
	size_t i, length = 0;

	for (i = 0; i < packs->problems.count; i++) {
		problem = &packs->problems.items[i];
		if (packs->count > 1)
			length += (size_t)snprintf(got + length,
			    sizeof got - length, "%s ", problem->file);
		length += (size_t)snprintf(got + length, sizeof got - length,
		    "%s %u %u\n", problem->rule, problem->line,
		    problem->column);
		ck_assert_uint_lt(length, sizeof got);
	}
	ck_assert_msg(strcmp(got, expected) == 0, "%s\nexpected:\n%sgot:\n%s",
	    packs->texts[0].name, expected, got);
}

void
packs_check(const char *text, const char *expected)
{
	struct packs packs;

	packs_start(&packs);
	packs_text(&packs, "text", text);
	packs_read(&packs, NULL);
	packs_problems(&packs, expected);
	packs_end(&packs);
}
