/* What was built while an expression was parsed, kept in an arena; and what
 * can be asked of it there. */
#include "meter/expr_grammar.h"

#include "base/arena.h"
#include "base/err.h"

/* Keep what the result needs; nodes that were worked out at once are left
 * behind. */
static enum lw_status
keep_nodes(struct expr *expr, struct expr_build *build, short root)
{
	short to[EXPR_NODES_MAX];
	bool used[EXPR_NODES_MAX] = {false};
	struct expr_node *nodes;
	size_t i, j;

	used[root] = true;
	for (i = 0; i < build->fork_count; i++)
		used[build->forks[i].condition] = true;
	for (i = build->count; i-- > 0;)
		for (j = 0; j < 3 && used[i]; j++)
			if (build->nodes[i].operand[j] >= 0)
				used[build->nodes[i].operand[j]] = true;
	nodes = arena_array(build->arena, build->count, sizeof *nodes);
	if (nodes == NULL)
		return err_no_memory(build->err);
	for (i = 0; i < build->count; i++) {
		if (!used[i])
			continue;
		to[i] = (short)expr->count;
		nodes[expr->count] = build->nodes[i];
		for (j = 0; j < 3; j++)
			if (build->nodes[i].operand[j] >= 0)
				nodes[expr->count].operand[j] =
				    to[build->nodes[i].operand[j]];
		expr->count++;
	}
	for (i = 0; i < build->fork_count; i++)
		build->forks[i].condition = to[build->forks[i].condition];
	expr->nodes = nodes;
	expr->root = (size_t)to[root];
	return LW_OK;
}

static const char *const *
keep_words(struct lw_arena *arena, const char *const *words)
{
	const char **kept;
	size_t count = 0, i;

	while (words[count] != NULL)
		count++;
	kept = arena_array(arena, count + 1, sizeof *kept);
	for (i = 0; i < count && kept != NULL; i++) {
		kept[i] = arena_dup(arena, words[i]);
		if (kept[i] == NULL)
			return NULL;
	}
	return (const char *const *)kept;
}

static enum lw_status
keep_names(struct expr *expr, struct expr_build *build)
{
	const char **names;
	const char *const **choices;
	size_t i;

	names = arena_array(build->arena, EXPR_NAMES_MAX, sizeof *names);
	choices = arena_array(build->arena, EXPR_NAMES_MAX, sizeof *choices);
	if (names == NULL || choices == NULL)
		return err_no_memory(build->err);
	for (i = 0; i < build->name_count; i++) {
		names[i] = build->names[i].name;
		if (build->names[i].choices == NULL)
			continue;
		choices[i] = keep_words(build->arena, build->names[i].choices);
		if (choices[i] == NULL)
			return err_no_memory(build->err);
	}
	expr->names = names;
	expr->choices = choices;
	expr->name_count = build->name_count;
	return LW_OK;
}

enum lw_status
expr_keep(const struct expr **out, struct expr_build *build, const char *text,
    short root)
{
	struct expr *expr = arena_alloc(build->arena, sizeof *expr);
	enum lw_status status;
	size_t i;

	if (expr == NULL)
		return err_no_memory(build->err);
	expr->text = arena_dup(build->arena, text);
	if (expr->text == NULL)
		return err_no_memory(build->err);
	status = keep_nodes(expr, build, root);
	if (status == LW_OK)
		status = keep_names(expr, build);
	if (status != LW_OK)
		return status;
	for (i = 0; i < expr->count; i++)
		expr->ends += expr->nodes[i].op >= EXPR_LOW &&
			      expr->nodes[i].op <= EXPR_MIDDLE;
	expr->slots = build->slots;
	expr->slot_count = build->slot_count;
	expr->forks = build->forks;
	expr->fork_count = build->fork_count;
	*out = expr;
	return LW_OK;
}

struct lw_dimension
expr_dimension(const struct expr *expr)
{
	return expr->nodes[expr->root].dimension;
}

size_t
expr_name_count(const struct expr *expr)
{
	return expr->name_count;
}

const char *
expr_name_at(const struct expr *expr, size_t i)
{
	return expr->names[i];
}
