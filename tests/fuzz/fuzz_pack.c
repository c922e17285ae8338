/* Input: the text of a pack. It is read; problems must have places and
 * sentences, and a pack without problems must come back from its canonical
 * form, byte for byte the second time. */
#include <lampwright/pack.h>

#include "base/utf8.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void
require(bool good)
{
	if (!good)
		abort();
}

static void
look_at(const struct lw_problems *problems, size_t size)
{
	const struct lw_problem *problem;
	size_t i, j, length;

	require(problems->count <= LW_PACK_MAX_PROBLEMS);
	for (i = 0; i < problems->count; i++) {
		problem = &problems->items[i];
		require(problem->rule[0] != '\0');
		require(problem->line <= size + 2);
		require(problem->column <= size + 2);
		require((problem->line == 0) == (problem->column == 0));
		length = strlen(problem->text);
		require(length > 0);
		require(utf8_valid(problem->text, length) == length);
		for (j = 0; j < length; j++)
			require((unsigned char)problem->text[j] >= 0x20);
		require(i == 0 || problem[-1].line < problem->line ||
			(problem[-1].line == problem->line &&
			    problem[-1].column <= problem->column));
	}
}

static const struct lw_pack *
read_one(struct lw_arena *arena, const char *text, size_t length,
    struct lw_problems *problems)
{
	struct lw_pack_text one = {"fuzz", text, length};
	const struct lw_pack *pack;

	require(
	    lw_pack_read(arena, &one, 1, NULL, &pack, problems, NULL) == LW_OK);
	return pack;
}

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	struct lw_arena *arena = lw_arena_new();
	struct lw_problems problems;
	const struct lw_pack *pack;
	const char *text, *again;
	size_t length, length_again;

	require(arena != NULL);
	pack = read_one(arena, (const char *)data, size, &problems);
	look_at(&problems, size);
	require(pack != NULL || problems.count > 0);
	if (pack != NULL) {
		require(
		    lw_pack_write(arena, pack, &text, &length, NULL) == LW_OK);
		if (problems.count == 0) {
			pack = read_one(arena, text, length, &problems);
			require(pack != NULL && problems.count == 0);
			require(lw_pack_write(arena, pack, &again,
				    &length_again, NULL) == LW_OK);
			require(length == length_again &&
				memcmp(text, again, length) == 0);
		}
	}
	lw_arena_free(arena);
	return 0;
}
