/* Reckons what standard input asks for, for other programs to compare: lines
 * of a reckoner and key=value, separated by tabs. Each gives one line of
 * name=value in SI, separated by tabs, or "error: sentence". */
#include <lampwright/quantity.h>
#include <lampwright/reckon.h>

#include <stdio.h>
#include <string.h>

enum { LINE_MAX_ = 2000, PAIRS_MAX = 20 };

static void
print_results(const struct lw_reckoning *reckoning)
{
	const struct lw_reckon_result *result;
	size_t i;

	for (i = 0; i < reckoning->result_count; i++) {
		result = &reckoning->results[i];
		if (result->is_number)
			printf("%s%s=%.12g", i == 0 ? "" : "\t", result->name,
			    lw_quantity_from(result->value, result->unit));
		else
			printf("%s%s=%s", i == 0 ? "" : "\t", result->name,
			    result->text);
	}
	putchar('\n');
}

/* False where memory ran out. */
static int
answer(char *line)
{
	struct lw_reckon_pair pairs[PAIRS_MAX];
	struct lw_arena *arena = lw_arena_new();
	const struct lw_reckoning *reckoning;
	const char *name = strsep(&line, "\t");
	struct lw_err err;
	size_t count = 0;
	char *pair, *value;

	if (arena == NULL)
		return 0;
	while (count < PAIRS_MAX && (pair = strsep(&line, "\t")) != NULL) {
		value = strchr(pair, '=');
		if (value == NULL)
			continue;
		*value++ = '\0';
		pairs[count++] = (struct lw_reckon_pair){pair, value, false};
	}
	if (lw_reckon(&reckoning, arena, name, pairs, count, &err) == LW_OK)
		print_results(reckoning);
	else
		printf("error: %s\n", err.text);
	lw_arena_free(arena);
	return 1;
}

int
main(void)
{
	char line[LINE_MAX_];

	while (fgets(line, sizeof line, stdin) != NULL) {
		line[strcspn(line, "\n")] = '\0';
		if (!answer(line))
			return 1;
	}
	return 0;
}
