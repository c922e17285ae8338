/* An expression for people: its own text, with what the names are in their
 * places, and of an if that can be told the branch alone. */
#include "meter/expr_inside.h"

#include "base/utf8.h"

#include <string.h>

/* One saying: where it goes, and what is known. */
struct saying {
	char *text;
	size_t size;
	size_t used;
	const struct expr *expr;
	const char *const *texts;
	unsigned char truth[EXPR_NODES_MAX];
};

static void
say_n(struct saying *saying, const char *text, size_t length)
{
	size_t room = saying->size - saying->used;

	if (length >= room)
		length = utf8_whole(text, room - 1);
	memcpy(saying->text + saying->used, text, length);
	saying->used += length;
	saying->text[saying->used] = '\0';
	/* What was cut stays cut. */
	if (length + 1 >= room)
		saying->size = saying->used + 1;
}

static void
say(struct saying *saying, const char *text)
{
	say_n(saying, text, strlen(text));
}

/* What stands in a name's place: in brackets where it would be read together
 * with what is around it. */
static void
say_name(struct saying *saying, const struct expr_slot *slot)
{
	const char *text = saying->texts[slot->name];
	const char *after = saying->expr->text + slot->at + slot->length;
	bool whole = slot->length == strlen(saying->expr->text);
	bool apart;

	if (text == NULL) {
		say_n(saying, saying->expr->text + slot->at, slot->length);
		return;
	}
	after += strspn(after, " ");
	apart = !whole && (text[0] == '-' || strchr(text, '/') != NULL ||
			      strstr(text, "\xC2\xB1") != NULL ||
			      (*after == '^' && strchr(text, ' ') != NULL));
	if (apart)
		say(saying, "(");
	say(saying, text);
	if (apart)
		say(saying, ")");
}

/* Whether the word that is put for a choice is one of some. */
static unsigned char
choice_truth(const struct saying *saying, const struct expr_node *node)
{
	const char *const *words = saying->expr->choices[node->name];
	const char *text = saying->texts[node->name];
	size_t i;

	for (i = 0; text != NULL && words[i] != NULL; i++)
		if (strcmp(words[i], text) == 0)
			return (node->words >> i & 1) != 0 ? EXPR_TRUE
							   : EXPR_FALSE;
	return EXPR_EITHER;
}

static unsigned char
join_truth(unsigned char one, unsigned char two, unsigned char settles)
{
	if (one == settles || two == settles)
		return settles;
	return one == two ? one : EXPR_EITHER;
}

/* What the words alone tell of each condition. */
static void
find_truth(struct saying *saying)
{
	const struct expr_node *node;
	unsigned char *truth = saying->truth;
	unsigned char one, two;
	size_t i;

	for (i = 0; i < saying->expr->count; i++) {
		node = &saying->expr->nodes[i];
		truth[i] = EXPR_EITHER;
		one = node->operand[0] < 0 ? EXPR_EITHER
					   : truth[node->operand[0]];
		two = node->operand[1] < 0 ? EXPR_EITHER
					   : truth[node->operand[1]];
		if (node->op == EXPR_CHOICE)
			truth[i] = choice_truth(saying, node);
		else if (node->op == EXPR_AND)
			truth[i] = join_truth(one, two, EXPR_FALSE);
		else if (node->op == EXPR_OR)
			truth[i] = join_truth(one, two, EXPR_TRUE);
		else if (node->op == EXPR_NOT && one != EXPR_EITHER)
			truth[i] = one == EXPR_TRUE ? EXPR_FALSE : EXPR_TRUE;
	}
}

/* The first slot, and the first if, that begins at or after a place. */
static size_t
first_slot(const struct expr *expr, size_t at)
{
	size_t i = 0;

	while (i < expr->slot_count && expr->slots[i].at < at)
		i++;
	return i;
}

static size_t
first_fork(const struct expr *expr, size_t at)
{
	size_t i = 0;

	while (i < expr->fork_count && expr->forks[i].whole.at < at)
		i++;
	return i;
}

/* The text from `at` to `end`. Ifs within ifs are at most EXPR_DEPTH_MAX. */
static void
say_span(struct saying *saying, size_t at, size_t end)
{
	const struct expr *expr = saying->expr;
	size_t slot = first_slot(expr, at), fork = first_fork(expr, at);

	while (at < end) {
		const struct expr_slot *name =
		    slot < expr->slot_count ? &expr->slots[slot] : NULL;
		const struct expr_fork *choice =
		    fork < expr->fork_count ? &expr->forks[fork] : NULL;
		const struct expr_span *branch;
		bool apart;

		if (name != NULL && name->at == at) {
			say_name(saying, name);
			at += name->length;
			slot++;
			continue;
		}
		if (choice == NULL || choice->whole.at != at) {
			say_n(saying, expr->text + at, 1);
			at++;
			continue;
		}
		fork++;
		if (saying->truth[choice->condition] == EXPR_EITHER) {
			say_n(saying, expr->text + at, 1);
			at++;
			continue;
		}
		branch = saying->truth[choice->condition] == EXPR_TRUE
			     ? &choice->then
			     : &choice->otherwise;
		apart =
		    branch->compound &&
		    choice->whole.end - choice->whole.at < strlen(expr->text);
		say(saying, apart ? "(" : "");
		say_span(saying, branch->at, branch->end);
		say(saying, apart ? ")" : "");
		at = choice->whole.end;
		slot = first_slot(expr, at);
		fork = first_fork(expr, at);
	}
}

void
expr_say(
    char *text, size_t size, const struct expr *expr, const char *const *texts)
{
	struct saying saying;

	if (size == 0)
		return;
	memset(&saying, 0, sizeof saying);
	saying.text = text;
	saying.size = size;
	saying.expr = expr;
	saying.texts = texts;
	text[0] = '\0';
	find_truth(&saying);
	say_span(&saying, 0, strlen(expr->text));
}
