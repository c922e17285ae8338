/* Looking into a document: the value at a path such as "matches.0.fault". */
#ifndef UNIT_DOC_H
#define UNIT_DOC_H

#include "fill/doc.h"
#include "unit/book.h"

#include <lampwright/pack.h>

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The document that is looked into; of the suite that includes this. */
static struct lw_doc *doc;

/* A new book with the pack of a file, named from the folder of the tests. */
static inline void
doc_setup(struct scratch *scratch, const char *name, int64_t now_s)
{
	struct lw_problems problems;
	const struct lw_pack *pack;
	struct lw_pack_text whole;
	char file[4096];

	scratch_make(scratch);
	scratch_open(scratch);
	snprintf(file, sizeof file, "%s/%s", TESTS_DIR, name);
	ck_assert_int_eq(
	    lw_pack_load(scratch->arena, file, &whole, &scratch->err), LW_OK);
	ck_assert_int_eq(lw_pack_read(scratch->arena, &whole, 1, scratch->book,
			     &pack, &problems, &scratch->err),
	    LW_OK);
	ck_assert_msg(problems.count == 0, "%u: %s", problems.items[0].line,
	    problems.items[0].text);
	ck_assert_msg(lw_book_put_pack(
			  scratch->book, pack, now_s, &scratch->err) == LW_OK,
	    "%s", scratch->err.text);
	doc = NULL;
}

/* The value at a path such as "matches.0.causes.1.percent". */
static inline json_t *
at(const char *where)
{
	const char *whole = where;
	json_t *value = doc->root;
	char part[64];
	size_t n;

	while (value != NULL && *where != '\0') {
		n = strcspn(where, ".");
		snprintf(part, sizeof part, "%.*s", (int)n, where);
		if (json_is_array(value))
			value = json_array_get(value, (size_t)atoi(part));
		else
			value = json_object_get(value, part);
		where += n + (where[n] == '.');
	}
	ck_assert_msg(value != NULL, "there is no %s", whole);
	return value;
}

static inline const char *
text(const char *where)
{
	const char *value = json_string_value(at(where));

	return value != NULL ? value : "(no text)";
}

static inline size_t
count(const char *where)
{
	ck_assert_msg(json_is_array(at(where)), "%s is no list", where);
	return json_array_size(at(where));
}

static inline void
is_null(const char *where)
{
	ck_assert_msg(json_is_null(at(where)), "%s is not null", where);
}

/* Every key of a list stands in the object at `where`, and no other. */
static inline void
has_keys(const char *where, const char *keys)
{
	json_t *object = where[0] == '\0' ? doc->root : at(where);
	char all[2000], *key, *rest = NULL;
	size_t n = 0;

	snprintf(all, sizeof all, "%s", keys);
	for (key = strtok_r(all, " ", &rest); key != NULL;
	     key = strtok_r(NULL, " ", &rest), n++)
		ck_assert_msg(json_object_get(object, key) != NULL,
		    "%s lacks %s", where, key);
	if (json_object_size(object) != n) {
		char *dump = json_dumps(object, JSON_COMPACT);

		ck_abort_msg(
		    "%s has other keys than %s: %s", where, keys, dump);
	}
}

static inline bool
is_true(const char *where)
{
	ck_assert_msg(json_is_boolean(at(where)), "%s is no bool", where);
	return json_is_true(at(where));
}

static inline long long
number(const char *where)
{
	ck_assert_msg(json_is_integer(at(where)), "%s is no number", where);
	return json_integer_value(at(where));
}

#endif
