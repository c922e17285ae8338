/* The templates that ship, src/cli and web: each can be taken apart, the
 * partials it names are there, and no page lets a value out of its place. */
#include "unit/suites.h"

#include "fill/template.h"

#include <dirent.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static const struct {
	const char *base;   /* partials are named from here */
	const char *folder; /* below the base; "" for itself */
	const char *suffix;
	size_t least; /* files, so that an empty folder is noticed */
} folders[] = {
    {"web", "", ".html", 5},
    {"web", "part/", ".html", 5},
    {"src/cli", "", ".txt", 5},
};

static char *
read_whole(const char *path, size_t *length)
{
	FILE *file = fopen(path, "rb");
	char *text;
	long size;

	ck_assert_msg(file != NULL, "%s", path);
	fseek(file, 0, SEEK_END);
	size = ftell(file);
	rewind(file);
	text = malloc((size_t)size + 1);
	ck_assert_ptr_nonnull(text);
	*length = fread(text, 1, (size_t)size, file);
	fclose(file);
	return text;
}

static void
check_partials(
    const struct template *template, const char *base, const char *suffix)
{
	const struct piece *piece;
	char path[4096];
	size_t i;

	for (i = 0; i < template->count; i++) {
		piece = &template->pieces[i];
		if (piece->kind != PIECE_PARTIAL)
			continue;
		snprintf(path, sizeof path, "%s/../%s/%.*s%s", TESTS_DIR, base,
		    (int)piece->length, piece->text, suffix);
		ck_assert_msg(access(path, R_OK) == 0, "%s: no partial %s",
		    template->file, path);
	}
}

/* Where in a page a piece of text leaves off. */
struct place {
	bool in_tag;
	char quote; /* the mark a value in a tag is quoted with, or 0 */
	bool raw;   /* in a script or style, where escaping is no help */
};

static void
follow(struct place *place, const char *text, size_t length)
{
	size_t i;

	for (i = 0; i < length; i++) {
		if (place->quote != '\0') {
			if (text[i] == place->quote)
				place->quote = '\0';
		} else if (place->in_tag) {
			if (text[i] == '"' || text[i] == '\'')
				place->quote = text[i];
			else if (text[i] == '>')
				place->in_tag = false;
		} else if (text[i] == '<') {
			place->in_tag = true;
			if (length - i > 7 &&
			    (strncmp(text + i, "<script", 7) == 0 ||
				strncmp(text + i, "<style", 6) == 0))
				place->raw = true;
			if (length - i > 1 && text[i + 1] == '/')
				place->raw = false;
		}
	}
}

/* A value stands in content or in a quoted attribute, where escaping the
 * five characters is enough; never bare in a tag, nor in a script or style. */
static void
check_places(const struct template *template)
{
	struct place place = {false, '\0', false};
	const struct piece *piece;
	unsigned line, column;
	size_t i;

	for (i = 0; i < template->count; i++) {
		piece = &template->pieces[i];
		if (piece->kind == PIECE_TEXT) {
			follow(&place, piece->text, piece->length);
		} else if (piece->kind == PIECE_VALUE) {
			template_place(&line, &column, template, piece->offset);
			ck_assert_msg(!place.in_tag || place.quote != '\0',
			    "%s:%u:%u: a value in a tag needs quotes",
			    template->file, line, column);
			ck_assert_msg(!place.raw || place.in_tag,
			    "%s:%u:%u: a value in a script or style",
			    template->file, line, column);
		}
	}
	ck_assert_msg(!place.in_tag, "%s: ends in a tag", template->file);
}

START_TEST(shipped)
{
	const char *suffix = folders[_i].suffix;
	size_t length, found = 0, name_length;
	struct lw_arena *arena = lw_arena_new();
	struct template template;
	struct dirent *entry;
	struct lw_err err;
	char path[4096], *text;
	DIR *dir;

	snprintf(path, sizeof path, "%s/../%s/%s", TESTS_DIR, folders[_i].base,
	    folders[_i].folder);
	dir = opendir(path);
	ck_assert_msg(dir != NULL, "%s", path);
	while ((entry = readdir(dir)) != NULL) {
		name_length = strlen(entry->d_name);
		if (name_length < strlen(suffix) ||
		    strcmp(entry->d_name + name_length - strlen(suffix),
			suffix) != 0)
			continue;
		snprintf(path, sizeof path, "%s/../%s/%s%s", TESTS_DIR,
		    folders[_i].base, folders[_i].folder, entry->d_name);
		text = read_whole(path, &length);
		ck_assert_msg(template_parse(&template, arena, path, text,
				  length, "", 0, &err) == LW_OK,
		    "%s:%u:%u: %s", path, err.line, err.column, err.text);
		free(text);
		check_partials(&template, folders[_i].base, suffix);
		if (strcmp(suffix, ".html") == 0)
			check_places(&template);
		found++;
	}
	closedir(dir);
	lw_arena_free(arena);
	ck_assert_uint_ge(found, folders[_i].least);
}
END_TEST

/* The checks above find what they are for. */
START_TEST(values_out_of_place)
{
	static const struct {
		const char *text;
		bool in_tag, quoted, raw;
	} cases[] = {
	    {"<p>", false, false, false},
	    {"<p title=", true, false, false},
	    {"<p title=\"a'", true, true, false},
	    {"<p title='a\" ", true, true, false},
	    {"<p title=\"a>\">", false, false, false},
	    {"<script src=\"a\"> x ", false, false, true},
	    {"<style> x ", false, false, true},
	    {"<script></script> x", false, false, false},
	};
	struct place place;
	size_t i;

	for (i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		memset(&place, 0, sizeof place);
		follow(&place, cases[i].text, strlen(cases[i].text));
		ck_assert_msg(place.in_tag == cases[i].in_tag &&
				  (place.quote != '\0') == cases[i].quoted &&
				  place.raw == cases[i].raw,
		    "%s", cases[i].text);
	}
}
END_TEST

Suite *
suite_templates(void)
{
	Suite *suite = suite_create("templates");
	TCase *cases = tcase_create("templates");

	tcase_add_loop_test(
	    cases, shipped, 0, sizeof folders / sizeof folders[0]);
	tcase_add_test(cases, values_out_of_place);
	suite_add_tcase(suite, cases);
	return suite;
}
