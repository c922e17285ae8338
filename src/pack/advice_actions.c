/* How many actions an instruction asks for (ASD-STE100 asks for one). It goes
 * by words: a sentence, or a clause after its condition, that begins with a
 * verb of the shop is an action; so is such a verb after "and", "then" or a
 * semicolon. What forbids or informs is none. */
#include "pack/advice.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

enum { WORD_MAX = 24 };

/* Verbs that instructions begin with. */
static const char *const verbs[] = {"add", "adjust", "agree", "align", "allow",
    "answer", "apply", "ask", "bend", "bleed", "bolt", "bring", "charge",
    "check", "choose", "chock", "clean", "clip", "close", "compare", "connect",
    "count", "cover", "cut", "disconnect", "divide", "do", "draw", "drive",
    "dry", "enter", "fasten", "feel", "fill", "find", "fit", "fix", "flex",
    "follow", "free", "get", "give", "go", "guard", "have", "hold", "insert",
    "insulate", "join", "keep", "lay", "leave", "let", "lift", "listen", "load",
    "lock", "look", "loosen", "lower", "make", "mark", "measure", "mount",
    "move", "multiply", "note", "open", "operate", "pass", "place", "plug",
    "point", "press", "prove", "pull", "push", "put", "read", "record",
    "release", "remember", "remove", "renew", "repeat", "replace", "reset",
    "rock", "roll", "rub", "save", "scrape", "screw", "see", "select", "send",
    "set", "shake", "show", "sit", "slide", "slip", "smell", "spin", "stand",
    "start", "stay", "steer", "step", "stick", "stop", "subtract", "swap",
    "switch", "tag", "take", "tap", "teach", "tell", "test", "think", "tie",
    "tighten", "tilt", "touch", "trace", "try", "turn", "twist", "undo",
    "unplug", "unscrew", "use", "wait", "walk", "warm", "watch", "wear", "wipe",
    "work", "wrap", "write", NULL};

/* Verbs that may end a sentence: "and wait". */
static const char *const alone[] = {
    "listen", "look", "measure", "read", "wait", NULL};

/* What follows a verb, and no noun of the same sound. */
static const char *const objects[] = {"a", "again", "all", "an", "any", "at",
    "away", "back", "below", "black", "both", "by", "down", "each", "every",
    "everybody", "everything", "five", "for", "from", "half", "how", "in",
    "into", "it", "its", "no", "nothing", "off", "on", "one", "out", "over",
    "red", "slowly", "somebody", "ten", "that", "the", "them", "these", "this",
    "those", "three", "through", "to", "two", "until", "up", "what", "when",
    "where", "whether", "which", "with", "your", NULL};

static bool
is_one_of(const char *const *words, const char *word)
{
	for (; *words != NULL; words++)
		if (strcmp(*words, word) == 0)
			return true;
	return false;
}

/* The next word in small letters, and what stands behind it; "" at the end.
 * One that is too long is no verb. */
static const char *
next_word(char word[WORD_MAX], const char *text, char *after)
{
	size_t length = 0;

	text += strspn(text, " \t\n\"'()");
	while (*text != '\0' && strchr(" \t\n.,;:\"'()?!", *text) == NULL) {
		if (length < WORD_MAX - 1)
			word[length++] = (char)tolower((unsigned char)*text);
		text++;
	}
	word[length] = '\0';
	while (*text != '\0' && strchr("\"')", *text) != NULL)
		text++;
	*after = *text;
	if (*text != '\0' && strchr(".,;:?!", *text) != NULL)
		text++;
	return text;
}

/* Whether a verb that follows "and" is one, by what comes after it. */
static bool
is_action(const char *verb, const char *rest, char after)
{
	char word[WORD_MAX], end;

	if (!is_one_of(verbs, verb))
		return false;
	if (after != ' ' && after != '\n')
		return is_one_of(alone, verb);
	next_word(word, rest, &end);
	return is_one_of(objects, word);
}

unsigned
advice_count_actions(const char *text)
{
	bool begins = true, condition = false, forbids = false;
	char word[WORD_MAX], next[WORD_MAX], after = ' ', end;
	unsigned count = 0;
	const char *rest;

	for (; *text != '\0';
	     begins = after != '\0' && strchr(".;:?!", after) != NULL) {
		if (begins)
			forbids = false;
		text = next_word(word, text, &after);
		if (word[0] == '\0' && after == '\0')
			break;
		if (begins) {
			condition = !is_one_of(verbs, word);
			forbids = strcmp(word, "never") == 0;
			next_word(next, text, &end);
			if (strcmp(word, "do") == 0 && strcmp(next, "not") == 0)
				forbids = true;
			if (strcmp(word, "let") == 0 && strcmp(next, "no") == 0)
				forbids = true;
			if (strcmp(word, "but") == 0)
				forbids = true;
			count += !condition && !forbids;
			continue;
		}
		if (forbids)
			continue;
		/* "If it sticks, free it": the clause that follows. */
		if (condition && after == ',') {
			rest = next_word(next, text, &end);
			if (strcmp(next, "do") == 0 ||
			    strcmp(next, "never") == 0)
				forbids = strncmp(rest, " not", 4) == 0 ||
					  strcmp(next, "never") == 0;
			if (is_one_of(verbs, next) && !forbids) {
				count++;
				condition = false;
				text = rest;
				after = end;
			}
			continue;
		}
		if (strcmp(word, "and") != 0 && strcmp(word, "then") != 0)
			continue;
		rest = next_word(next, text, &end);
		if (strcmp(next, "then") == 0)
			rest = next_word(next, rest, &end);
		if (is_action(next, rest, end)) {
			count += !condition;
			text = rest;
			after = end;
		}
	}
	return count;
}

void
advice_actions(const struct pack_file *file, const struct lw_check *check)
{
	const struct lw_instruction *step;
	size_t i;

	for (i = 0; i < check->steps.count; i++) {
		step = &check->steps.items[i];
		if (advice_count_actions(step->text) > 1)
			pack_tell(file, step->at, "two-actions",
			    "this asks for more than one action: \"%s\"; "
			    "give each a line of its own",
			    pack_quote(file->set, step->text));
	}
}
