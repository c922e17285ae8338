/* fill: templates over the tables in tests/tables/templates, limits, sources
 * and documents. The reference is in tests/reference/mustache.sh. */
#include "unit/suites.h"

#include "fill/doc.h"
#include "fill/fill.h"
#include "reference/fill_case.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static const char *const good_tables[] = {
    "values", "sections", "lines", "partials", "differs"};

static json_t *
load_table(const char *name)
{
	char path[4096];
	json_error_t error;
	json_t *table;

	snprintf(
	    path, sizeof path, "%s/tables/templates/%s.json", TESTS_DIR, name);
	table = json_load_file(path, JSON_ALLOW_NUL, &error);
	ck_assert_msg(table != NULL, "%s: %s", path, error.text);
	ck_assert_uint_gt(json_array_size(json_object_get(table, "cases")), 10);
	return table;
}

static const char *
text_of(json_t *object, const char *key)
{
	return json_string_value(json_object_get(object, key));
}

START_TEST(tables)
{
	json_t *table = load_table(good_tables[_i]), *test, *expected;
	struct lw_err err;
	struct buf out;
	size_t i;

	json_array_foreach(json_object_get(table, "cases"), i, test)
	{
		buf_init(&out, 1 << 20);
		err.text[0] = '\0';
		ck_assert_msg(fill_case(&out, test, &err) == LW_OK, "%s: %s",
		    text_of(test, "name"), err.text);
		expected = json_object_get(test, "expected");
		ck_assert_msg(json_string_length(expected) == out.length &&
				  memcmp(json_string_value(expected),
				      buf_text(&out), out.length) == 0,
		    "%s: expected\n%s\ngot\n%s", text_of(test, "name"),
		    json_string_value(expected), buf_text(&out));
		buf_clear(&out);
	}
	json_decref(table);
}
END_TEST

START_TEST(malformed)
{
	json_t *table = load_table("bad"), *test;
	const char *name, *file;
	struct lw_err err;
	struct buf out;
	size_t i;

	json_array_foreach(json_object_get(table, "cases"), i, test)
	{
		name = text_of(test, "name");
		file = text_of(test, "file");
		memset(&err, 'x', sizeof err);
		buf_init(&out, 1 << 20);
		ck_assert_msg(
		    fill_case(&out, test, &err) == LW_BAD_INPUT, "%s", name);
		buf_clear(&out);
		ck_assert_int_eq(err.code, LW_BAD_INPUT);
		ck_assert_msg(strstr(err.text, text_of(test, "says")) != NULL,
		    "%s: says \"%s\"", name, err.text);
		ck_assert_msg(
		    strchr(err.text, '\n') == NULL, "%s: %s", name, err.text);
		ck_assert_msg(
		    err.line ==
			    json_integer_value(json_object_get(test, "line")) &&
			err.column ==
			    json_integer_value(json_object_get(test, "column")),
		    "%s: at %u:%u", name, err.line, err.column);
		ck_assert_str_eq(err.file, file == NULL ? "" : file);
	}
	json_decref(table);
}
END_TEST

/* Fill a template with a document given as JSON. */
static enum lw_status
try(struct buf *out, const struct fill_source *from, enum fill_kind kind,
    const char *template, const char *json, struct lw_err *err)
{
	struct lw_doc doc = {.root = json_loads(json, 0, NULL)};
	enum lw_status status;

	ck_assert_ptr_nonnull(doc.root);
	status =
	    fill_string(out, from, kind, template, strlen(template), &doc, err);
	json_decref(doc.root);
	return status;
}

/* `text` written `count` times; the caller frees. */
static char *
repeat(const char *text, size_t count)
{
	char *whole = calloc(count + 1, strlen(text));
	size_t i;

	ck_assert_ptr_nonnull(whole);
	for (i = 0; i < count; i++)
		memcpy(whole + i * strlen(text), text, strlen(text));
	return whole;
}

START_TEST(sections_have_a_depth)
{
	char *open = repeat("{{#o}}", 33), *close = repeat("{{/o}}", 33);
	char template[1024];
	struct lw_err err;
	struct buf out;

	buf_init(&out, 100);
	snprintf(template, sizeof template, "%.*sx%.*s", 32 * 6, open, 32 * 6,
	    close);
	ck_assert_int_eq(
	    try(&out, NULL, FILL_HTML, template, "{\"o\":{}}", &err), LW_OK);
	ck_assert_str_eq(buf_text(&out), "x");
	snprintf(template, sizeof template, "%sx%s", open, close);
	ck_assert_int_eq(
	    try(&out, NULL, FILL_HTML, template, "{\"o\":{}}", &err),
	    LW_TOO_BIG);
	ck_assert_uint_eq(err.column, 32 * 6 + 1);
	buf_clear(&out);
	free(open);
	free(close);
}
END_TEST

#define ASSET(name, text)                                          \
	{                                                          \
		name, (const unsigned char *)text, sizeof text - 1 \
	}

static const struct asset multiplying[] = {
    ASSET("self", "x{{>self}}"),
    ASSET("wide", "{{#l}}{{#l}}{{#l}}{{#l}}{{#l}}{{#l}}"
		  "{{/l}}{{/l}}{{/l}}{{/l}}{{/l}}{{/l}}"),
    ASSET("twice", "{{#k}}\n {{>twice}}\n\t{{>twice}}\n{{/k}}\n"),
    ASSET("chain", "{{n}}{{#k}}{{>chain}}{{/k}}"),
    {NULL, NULL, 0},
};

/* {"n":1,"k":{"n":1,"k":... null}}, so many objects. */
static void
nested(char *json, size_t size, int levels)
{
	size_t used = 0;
	int i;

	for (i = 0; i < levels; i++)
		used += (size_t)snprintf(
		    json + used, size - used, "{\"n\":1,\"k\":");
	used += (size_t)snprintf(json + used, size - used, "null");
	for (i = 0; i < levels; i++)
		used += (size_t)snprintf(json + used, size - used, "}");
}

START_TEST(partials_have_a_depth)
{
	struct fill_source from = {.table = multiplying};
	struct lw_err err;
	struct buf out;
	char json[1024];
	int levels;

	buf_init(&out, 1000);
	ck_assert_int_eq(
	    try(&out, &from, FILL_HTML, "{{>self}}", "{}", &err), LW_TOO_BIG);
	ck_assert_str_eq(err.file, "self");
	ck_assert_uint_eq(err.column, 2);
	buf_clear(&out);
	/* As deep as the document is: 16 is allowed, 17 is not. */
	for (levels = 16; levels <= 17; levels++) {
		nested(json, sizeof json, levels);
		ck_assert_int_eq(
		    try(&out, &from, FILL_HTML, "{{>chain}}", json, &err),
		    levels == 16 ? LW_OK : LW_TOO_BIG);
		if (levels == 16)
			ck_assert_str_eq(buf_text(&out), "1111111111111111");
		buf_clear(&out);
	}
}
END_TEST

/* Sections and partials that multiply: ended by the work they make, before
 * any depth is reached. */
START_TEST(work_is_limited)
{
	struct fill_source from = {.table = multiplying};
	char *ones = repeat("1,", 100), json[1024];
	struct lw_err err;
	struct buf out;

	buf_init(&out, 1000);
	snprintf(json, sizeof json, "{\"l\":[%s1]}", ones);
	free(ones);
	ck_assert_int_eq(
	    try(&out, &from, FILL_HTML, "{{>wide}}", json, &err), LW_TOO_BIG);
	ck_assert_ptr_nonnull(strstr(err.text, "steps"));
	nested(json, sizeof json, 14);
	ck_assert_int_eq(
	    try(&out, &from, FILL_HTML, "{{>twice}}", json, &err), LW_TOO_BIG);
	ck_assert_ptr_nonnull(strstr(err.text, "steps"));
	buf_clear(&out);
}
END_TEST

START_TEST(sizes_are_limited)
{
	struct asset table[] = {{"big", NULL, 0}, {NULL, NULL, 0}};
	struct fill_source from = {.table = table};
	char *big = repeat("1234567\n", FILL_TEMPLATE_MAX / 8 + 1);
	struct lw_err err;
	struct buf out;

	table[0].data = (const unsigned char *)big;
	table[0].size = FILL_TEMPLATE_MAX;
	buf_init(&out, FILL_TEMPLATE_MAX);
	ck_assert_int_eq(
	    try(&out, &from, FILL_HTML, "{{>big}}", "{}", &err), LW_OK);
	ck_assert_uint_eq(out.length, FILL_TEMPLATE_MAX);
	buf_clear(&out);
	ck_assert_int_eq(
	    try(&out, &from, FILL_HTML, " {{>big}}", "{}", &err), LW_TOO_BIG);
	ck_assert_str_eq(err.file, "big");
	buf_clear(&out);
	ck_assert_int_eq(
	    try(&out, &from, FILL_HTML, big, "{}", &err), LW_TOO_BIG);
	buf_clear(&out);
	buf_init(&out, 7);
	ck_assert_int_eq(
	    try(&out, NULL, FILL_HTML, "1234{{a}}", "{\"a\":\"567\"}", &err),
	    LW_OK);
	buf_clear(&out);
	ck_assert_int_eq(
	    try(&out, NULL, FILL_HTML, "1234{{a}}", "{\"a\":\"<\"}", &err),
	    LW_TOO_BIG);
	buf_clear(&out);
	free(big);
}
END_TEST

START_TEST(bytes_that_are_not_utf8)
{
	struct lw_doc doc = {.root = json_object()};
	struct lw_err err;
	struct buf out;

	json_object_set_new(
	    doc.root, "t", json_string_nocheck("a\xFF\xC3(\xED\xA0\x80z"));
	buf_init(&out, 100);
	ck_assert_int_eq(
	    fill_string(&out, NULL, FILL_HTML, "{{t}}", 5, &doc, &err), LW_OK);
	ck_assert_str_eq(buf_text(&out), "a\uFFFD\uFFFD(\uFFFD\uFFFD\uFFFDz");
	ck_assert_int_eq(
	    fill_string(&out, NULL, FILL_TEXT, "a\n\xC3(", 4, &doc, &err),
	    LW_BAD_INPUT);
	ck_assert_uint_eq(err.line, 2);
	ck_assert_uint_eq(err.column, 1);
	ck_assert_int_eq(
	    fill_string(&out, NULL, FILL_TEXT, "a\0b", 3, &doc, NULL),
	    LW_BAD_INPUT);
	buf_clear(&out);
	json_decref(doc.root);
}
END_TEST

static const struct asset assets[] = {
    {"web/home.html", (const unsigned char *)"built in {{>foot}}", 18},
    {"web/foot.html", (const unsigned char *)"foot {{shape}}", 14},
    {"web/style.css", (const unsigned char *)"a{}\0b", 5},
    {"web/../x.css", (const unsigned char *)"x", 1},
    {"cli/read.txt", (const unsigned char *)"x", 1},
    {NULL, NULL, 0},
};

static void
make_dir(char *dir, size_t size)
{
	const char *base = getenv("TMPDIR");

	snprintf(dir, size, "%s/lampwright-fill-XXXXXX",
	    base == NULL ? P_tmpdir : base);
	ck_assert_ptr_nonnull(mkdtemp(dir));
}

static void
write_file(const char *dir, const char *name, const char *text)
{
	char path[5000];
	FILE *file;

	snprintf(path, sizeof path, "%s/%s", dir, name);
	file = fopen(path, "w");
	ck_assert_ptr_nonnull(file);
	fputs(text, file);
	fclose(file);
}

/* Fill a template with {"a": "..."}, and see what comes of it. */
static void
ck_fills(const struct fill_source *from, const char *name, const char *a,
    const char *expected)
{
	struct lw_doc *doc;
	struct lw_err err;
	struct buf out;

	ck_assert_int_eq(fill_doc_empty(&doc, NULL), LW_OK);
	ck_assert_int_eq(fill_set_text(doc, "a", a, NULL), LW_OK);
	buf_init(&out, 1 << 20);
	if (fill_template(&out, from, FILL_HTML, name, doc, &err) != LW_OK)
		ck_assert_str_eq(err.text, expected);
	else
		ck_assert_str_eq(buf_text(&out), expected);
	buf_clear(&out);
	lw_doc_free(doc);
}

/* What is kept is the template, not the page; and what is in a folder is read
 * each time. */
START_TEST(templates_are_kept)
{
	static const char page[] = "{{>in}}  {{>in}}\n  {{>in}}\n{{>in}}\n";
	static const char in[] = "<{{a}}>\n";
	static const char bad[] = "{{#a}}";
	const struct asset table[] = {
	    {"page", (const unsigned char *)page, sizeof page - 1},
	    {"in", (const unsigned char *)in, sizeof in - 1},
	    {"bad", (const unsigned char *)bad, sizeof bad - 1},
	    {NULL, NULL, 0},
	};
	struct fill_source from = {.table = table, .kept = fill_kept_new()};
	char dir[4096], path[5000];
	int i;

	ck_assert_ptr_nonnull(from.kept);
	for (i = 0; i < 3; i++) {
		ck_fills(&from, "page", "1", "<1>\n  <1>\n\n  <1>\n<1>\n");
		ck_fills(&from, "in", "&", "<&amp;>\n");
		ck_fills(&from, "page", "22", "<22>\n  <22>\n\n  <22>\n<22>\n");
		ck_fills(&from, "bad", "1",
		    "this section is never closed; {{/a}} is missing");
	}
	make_dir(dir, sizeof dir);
	from.dir = dir;
	write_file(dir, "in", "one");
	ck_fills(&from, "in", "1", "one");
	write_file(dir, "in", "two");
	ck_fills(&from, "in", "1", "two");
	snprintf(path, sizeof path, "%s/in", dir);
	unlink(path);
	rmdir(dir);
	from.dir = NULL;
	ck_fills(&from, "in", "1", "<1>\n");
	fill_kept_free(from.kept);
	fill_kept_free(NULL);
}
END_TEST

START_TEST(templates_are_found)
{
	struct fill_source from = {
	    .table = assets, .prefix = "web/", .suffix = ".html"};
	char dir[4096], path[5000];
	struct lw_doc *doc;
	struct lw_err err;
	struct buf out;

	ck_assert_int_eq(fill_doc_empty(&doc, NULL), LW_OK);
	buf_init(&out, 1 << 20);
	ck_assert_int_eq(
	    fill_template(&out, &from, FILL_HTML, "home", doc, &err), LW_OK);
	ck_assert_str_eq(buf_text(&out), "built in foot 1");
	buf_clear(&out);
	ck_assert_int_eq(
	    fill_template(&out, &from, FILL_HTML, "gone", doc, &err),
	    LW_BAD_INPUT);
	ck_assert_int_eq(err.code, LW_BAD_INPUT);
	ck_assert_ptr_nonnull(strstr(err.text, "web/gone.html"));
	ck_assert_int_eq(
	    fill_template(&out, &from, FILL_HTML, "../cli/read", doc, &err),
	    LW_BAD_INPUT);

	/* A folder goes before the table, file by file. */
	make_dir(dir, sizeof dir);
	from.dir = dir;
	write_file(dir, "home.html", "live {{>foot}}");
	ck_assert_int_eq(
	    fill_template(&out, &from, FILL_HTML, "home", doc, &err), LW_OK);
	ck_assert_str_eq(buf_text(&out), "live foot 1");
	buf_clear(&out);
	write_file(dir, "home.html", "1\n {{#x}}");
	ck_assert_int_eq(
	    fill_template(&out, &from, FILL_HTML, "home", doc, &err),
	    LW_BAD_INPUT);
	ck_assert_uint_eq(err.line, 2);
	ck_assert_uint_eq(err.column, 2);
	snprintf(path, sizeof path, "%s/home.html", dir);
	ck_assert_str_eq(err.file, path);
	/* What is there and cannot be read is said, not passed over. */
	unlink(path);
	ck_assert_int_eq(mkdir(path, 0700), 0);
	ck_assert_int_eq(
	    fill_template(&out, &from, FILL_HTML, "home", doc, &err),
	    LW_FAILED);
	ck_assert_str_eq(err.file, path);
	rmdir(path);
	ck_assert_int_eq(mkfifo(path, 0600), 0);
	ck_assert_int_eq(
	    fill_template(&out, &from, FILL_HTML, "home", doc, &err),
	    LW_FAILED);
	unlink(path);
	rmdir(dir);
	buf_clear(&out);
	lw_doc_free(doc);
}
END_TEST

START_TEST(files_are_found)
{
	static const char *const refused[] = {"web/gone.css", "cli/read.txt",
	    "style.css", "web/../x.css", "web//etc/passwd", "/etc/passwd",
	    "../etc/passwd", "web/", ""};
	struct fill_source from = {.table = assets, .prefix = "web/"};
	char dir[4096], path[5000];
	struct lw_err err;
	struct buf out;
	size_t i, turn;

	buf_init(&out, 100);
	ck_assert_int_eq(fill_file(&out, &from, "web/style.css", &err), LW_OK);
	ck_assert_uint_eq(out.length, 5);
	ck_assert_int_eq(memcmp(out.data, "a{}\0b", 5), 0);
	buf_clear(&out);
	make_dir(dir, sizeof dir);
	for (turn = 0; turn < 2; turn++) {
		for (i = 0; i < sizeof refused / sizeof refused[0]; i++)
			ck_assert_msg(
			    fill_file(&out, &from, refused[i], &err) ==
				    LW_NOT_FOUND &&
				err.code == LW_NOT_FOUND && out.length == 0,
			    "%s", refused[i]);
		from.dir = dir;
	}
	write_file(dir, "style.css", "live");
	ck_assert_int_eq(fill_file(&out, &from, "web/style.css", &err), LW_OK);
	ck_assert_str_eq(buf_text(&out), "live");
	buf_clear(&out);
	buf_init(&out, 3);
	ck_assert_int_eq(
	    fill_file(&out, &from, "web/style.css", &err), LW_TOO_BIG);
	buf_clear(&out);
	snprintf(path, sizeof path, "%s/style.css", dir);
	unlink(path);
	rmdir(dir);
}
END_TEST

START_TEST(documents_as_json)
{
	/* From memory of RFC 8259; the numbers are exact or well known. */
	static const char expected[] = "{\n"
				       "  \"shape\": 1,\n"
				       "  \"z\": \"1\\\"\\\\\\n\\u001b\\u007f"
				       "\\u009b\\u202eé\",\n"
				       "  \"a\": [\n"
				       "    0.3,\n"
				       "    1.0,\n"
				       "    -9007199254740993,\n"
				       "    null\n"
				       "  ],\n"
				       "  \"none\": [],\n"
				       "  \"m\": {\n"
				       "    \"b\": true,\n"
				       "    \"o\": {}\n"
				       "  },\n"
				       "  \"path\": \"/x\uFFFD\",\n"
				       "  \"count\": -3,\n"
				       "  \"paired\": false,\n"
				       "  \"nothing\": null\n"
				       "}\n";
	struct lw_doc *doc =
	    doc_new(json_pack("{s:s, s:[f,f,I,n], s:i, s:[], s:{s:b, s:{}}}",
		"z", "1\"\\\n\x1b\x7f\xC2\x9b\u202eé", "a", 0.3, 1.0,
		(json_int_t)-9007199254740993, "shape", 7, "none", "m", "b", 1,
		"o"));
	struct lw_err err;
	json_t *again;
	char *text;
	size_t length;

	ck_assert_ptr_nonnull(doc);
	ck_assert_int_eq(fill_set_text(doc, "path", "first", &err), LW_OK);
	ck_assert_int_eq(fill_set_text(doc, "path", "/x\xFF", &err), LW_OK);
	ck_assert_int_eq(fill_set_int(doc, "count", -3, &err), LW_OK);
	ck_assert_int_eq(fill_set_bool(doc, "paired", false, &err), LW_OK);
	ck_assert_int_eq(fill_set_text(doc, "nothing", NULL, &err), LW_OK);
	ck_assert_int_eq(lw_doc_json(&text, &length, doc, &err), LW_OK);
	ck_assert_str_eq(text, expected);
	ck_assert_uint_eq(length, strlen(text));
	/* jansson reads back what was written. */
	again = json_loadb(text, length, 0, NULL);
	ck_assert_ptr_nonnull(again);
	ck_assert(json_equal(again, doc->root));
	json_decref(again);
	free(text);
	lw_doc_free(doc);
	lw_doc_free(NULL);
	ck_assert_ptr_null(doc_new(NULL));
}
END_TEST

START_TEST(json_has_a_depth)
{
	struct lw_doc *doc;
	struct lw_err err;
	json_t *value;
	char *text;
	size_t length;
	int i, deep;

	/* As deep as the header says is allowed, one more is not. */
	for (deep = 1000; deep <= 1001; deep++) {
		value = json_object();
		for (i = 0; i < deep; i++)
			value = json_pack("{s:o}", "o", value);
		doc = doc_new(value);
		ck_assert_int_eq(lw_doc_json(&text, &length, doc, &err),
		    deep == 1000 ? LW_OK : LW_TOO_BIG);
		ck_assert((text == NULL) == (deep > 1000));
		free(text);
		lw_doc_free(doc);
	}
}
END_TEST

START_TEST(documents_from_json)
{
	static const char *const bad[] = {"", "{", "[1]", "7", "\"a\"", "null",
	    "{\"a\": 1, \"a\": 2}", "{\"a\": 1} x", "{'a': 1}", "{\"a\": 1",
	    "{\"a\": \"\xFF\"}", "{\"a\": \"\\u0000\"}"};
	static const char good[] = "{\"a\": [0.1, 1e300, \"\\u00b5 \\\"\"], "
				   "\"b\": null, \"c\": {\"d\": true}}";
	struct lw_doc *doc, *again;
	struct lw_err err;
	char *text;
	size_t i, length;

	for (i = 0; i < sizeof bad / sizeof bad[0]; i++) {
		ck_assert_msg(fill_doc_read(&doc, bad[i], strlen(bad[i]),
				  &err) == LW_BAD_INPUT,
		    "%s", bad[i]);
		ck_assert_ptr_null(doc);
		ck_assert(err.text[0] != '\0');
	}
	ck_assert_int_eq(fill_doc_read(&doc, good, strlen(good), &err), LW_OK);
	ck_assert_int_eq(
	    json_integer_value(json_object_get(doc->root, "shape")), 1);
	ck_assert_int_eq(lw_doc_json(&text, &length, doc, &err), LW_OK);
	ck_assert_int_eq(fill_doc_read(&again, text, length, &err), LW_OK);
	ck_assert(json_equal(doc->root, again->root));
	/* Cut short it is none, wherever. */
	for (i = 0; i + 2 < length; i++) {
		lw_doc_free(again);
		ck_assert_int_eq(
		    fill_doc_read(&again, text, i, &err), LW_BAD_INPUT);
	}
	free(text);
	lw_doc_free(again);
	lw_doc_free(doc);
}
END_TEST

START_TEST(one_item_of_a_list_gets_a_text)
{
	struct lw_doc *doc =
	    doc_new(json_pack("{s:[{s:s},{s:s},{s:i},n,{s:s}]}", "facts", "key",
		"motor", "key", "pack", "key", 7, "key", "pack"));
	static const struct {
		const char *list, *key, *is;
	} none[] = {{"facts", "key", "strings"}, {"facts", "kez", "pack"},
	    {"factz", "key", "pack"}, {"shape", "key", "pack"},
	    {"facts", "key", ""}};
	json_t *facts, *before;
	struct lw_err err;
	size_t i;

	ck_assert_ptr_nonnull(doc);
	before = json_deep_copy(doc->root);
	for (i = 0; i < sizeof none / sizeof none[0]; i++) {
		ck_assert_int_eq(
		    fill_set_text_in(doc, none[i].list, none[i].key, none[i].is,
			"typed", "x", &err),
		    LW_OK);
		ck_assert(json_equal(before, doc->root));
	}
	json_decref(before);
	ck_assert_int_eq(fill_set_text_in(doc, "facts", "key", "pack", "typed",
			     "9\xFF", &err),
	    LW_OK);
	facts = json_object_get(doc->root, "facts");
	ck_assert_str_eq(
	    text_of(json_array_get(facts, 1), "typed"), "9\xEF\xBF\xBD");
	for (i = 0; i < json_array_size(facts); i++)
		if (i != 1)
			ck_assert_ptr_null(
			    json_object_get(json_array_get(facts, i), "typed"));
	lw_doc_free(doc);
}
END_TEST

Suite *
suite_fill(void)
{
	Suite *suite = suite_create("fill");
	TCase *cases = tcase_create("fill");

	tcase_add_loop_test(
	    cases, tables, 0, sizeof good_tables / sizeof good_tables[0]);
	tcase_add_test(cases, malformed);
	tcase_add_test(cases, sections_have_a_depth);
	tcase_add_test(cases, partials_have_a_depth);
	tcase_add_test(cases, work_is_limited);
	tcase_add_test(cases, sizes_are_limited);
	tcase_add_test(cases, bytes_that_are_not_utf8);
	tcase_add_test(cases, templates_are_found);
	tcase_add_test(cases, templates_are_kept);
	tcase_add_test(cases, files_are_found);
	tcase_add_test(cases, documents_as_json);
	tcase_add_test(cases, json_has_a_depth);
	tcase_add_test(cases, documents_from_json);
	tcase_add_test(cases, one_item_of_a_list_gets_a_text);
	suite_add_tcase(suite, cases);
	return suite;
}
