/* Sorts arguments into options and words. What they mean is left to the
 * commands. */
#include "cli/options.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define NAMES_MAX 32
#define WORD_MAX 32 /* longer words are near to nothing */

bool
args_init(struct args *args, int argc)
{
	memset(args, 0, sizeof *args);
	args->words = calloc((size_t)argc + 1, sizeof *args->words);
	args->given = calloc((size_t)argc + 1, sizeof *args->given);
	return args->words != NULL && args->given != NULL;
}

void
args_free(struct args *args)
{
	free(args->words);
	free(args->given);
	memset(args, 0, sizeof *args);
}

static bool
is_letter(char c)
{
	return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

/* Letters stepped, changed or left out between two words. */
static size_t
edits(const char *one, const char *other)
{
	size_t row[WORD_MAX + 1], length = strlen(other), i, k, before, above;

	for (k = 0; k <= length; k++)
		row[k] = k;
	for (i = 1; one[i - 1] != '\0'; i++) {
		before = row[0];
		row[0] = i;
		for (k = 1; k <= length; k++) {
			above = row[k];
			before += one[i - 1] != other[k - 1];
			if (above + 1 < before)
				before = above + 1;
			if (row[k - 1] + 1 < before)
				before = row[k - 1] + 1;
			row[k] = before;
			before = above;
		}
	}
	return row[length];
}

const char *
args_nearest(const char *word, const char *const *names, size_t count)
{
	size_t best = WORD_MAX, distance, i;
	const char *nearest = NULL;

	if (strlen(word) > WORD_MAX)
		return NULL;
	for (i = 0; i < count; i++) {
		if (strlen(names[i]) > WORD_MAX)
			continue;
		distance = edits(word, names[i]);
		if (distance < best && distance < strlen(names[i]) &&
		    distance <= 1 + strlen(word) / 3) {
			best = distance;
			nearest = names[i];
		}
	}
	return nearest;
}

static const struct option *
find(const struct option *options, const char *name, size_t length)
{
	for (; options != NULL && options->name != NULL; options++) {
		if (strlen(options->name) == length &&
		    strncmp(options->name, name, length) == 0)
			return options;
	}
	return NULL;
}

static void
say_unknown(char sentence[ARGS_SENTENCE], const char *arg,
    const struct option *options, const struct option *more)
{
	const char *names[NAMES_MAX], *nearest;
	size_t count = 0;

	for (; options != NULL && options->name != NULL; options++) {
		if (count < NAMES_MAX)
			names[count++] = options->name;
	}
	for (; more != NULL && more->name != NULL; more++) {
		if (count < NAMES_MAX)
			names[count++] = more->name;
	}
	nearest = args_nearest(arg + strspn(arg, "-"), names, count);
	if (nearest != NULL)
		snprintf(sentence, ARGS_SENTENCE,
		    "there is no option %.60s; the nearest is --%s", arg,
		    nearest);
	else
		snprintf(sentence, ARGS_SENTENCE,
		    "there is no option %.60s; put -- before a word that "
		    "begins with a hyphen",
		    arg);
}

static bool
looks_like_option(const char *arg)
{
	return arg[0] == '-' &&
	       (is_letter(arg[1]) || (arg[1] == '-' && is_letter(arg[2])));
}

bool
args_read(struct args *args, const struct option *options,
    const struct option *more, int argc, char **argv, int *at, bool stop,
    char sentence[ARGS_SENTENCE])
{
	const struct option *option;
	const char *arg, *name, *value;
	size_t length;

	for (; *at < argc; (*at)++) {
		arg = argv[*at];
		if (strcmp(arg, "--") == 0) {
			++*at;
			while (!stop && *at < argc)
				args->words[args->word_count++] = argv[(*at)++];
			return true;
		}
		if (!looks_like_option(arg)) {
			if (stop)
				return true;
			args->words[args->word_count++] = arg;
			continue;
		}
		if (strcmp(arg, "-h") == 0)
			arg = "--help";
		name = arg + 2;
		length = strcspn(name, "=");
		value = name[length] == '=' ? name + length + 1 : NULL;
		option = NULL;
		if (arg[1] == '-')
			option = find(options, name, length);
		if (option == NULL && arg[1] == '-')
			option = find(more, name, length);
		if (option == NULL) {
			say_unknown(sentence, arg, options, more);
			return false;
		}
		if (option->value == NULL && value != NULL) {
			snprintf(sentence, ARGS_SENTENCE, "--%s takes no value",
			    option->name);
			return false;
		}
		if (option->value != NULL && value == NULL) {
			if (*at + 1 >= argc ||
			    strcmp(argv[*at + 1], "--") == 0 ||
			    looks_like_option(argv[*at + 1])) {
				snprintf(sentence, ARGS_SENTENCE,
				    "--%s needs a value: --%s %s", option->name,
				    option->name, option->value);
				return false;
			}
			value = argv[++*at];
		}
		args->given[args->given_count].option = option;
		args->given[args->given_count++].value = value;
	}
	return true;
}

bool
args_has(const struct args *args, const char *name)
{
	size_t i;

	for (i = 0; i < args->given_count; i++) {
		if (strcmp(args->given[i].option->name, name) == 0)
			return true;
	}
	return false;
}

const char *
args_value(const struct args *args, const char *name)
{
	const char *value = NULL;
	size_t i;

	for (i = 0; i < args->given_count; i++) {
		if (strcmp(args->given[i].option->name, name) == 0)
			value = args->given[i].value;
	}
	return value;
}

size_t
args_values(
    const struct args *args, const char *name, const char **values, size_t room)
{
	size_t i, count = 0;

	for (i = 0; i < args->given_count && count < room; i++) {
		if (strcmp(args->given[i].option->name, name) == 0)
			values[count++] = args->given[i].value;
	}
	return count;
}
