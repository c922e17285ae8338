/*
 * Packs that are read together: their files, items, references and problems.
 */
#ifndef PACK_SET_H
#define PACK_SET_H

#include <lampwright/pack.h>

#include "pack/map.h"
#include "pack/node.h"
#include "pack/schema.h"

struct pack_set;
struct pack_names;

struct pack_file {
	struct pack_set *set;
	const char *name;
	size_t index;
	const struct pack_node *root; /* NULL: cannot be read */
	struct lw_pack *pack;	      /* its whole items; NULL as root */
	bool flawed;		      /* reading it found a problem */
};

/* An item with an id of its own. */
struct pack_item {
	enum pack_kind kind;
	const char *id;
	const struct pack_file *file;
	const struct pack_node *node;
	const void *item; /* NULL where it has problems of its own */
};

/* A reference by id that has to be found in the files or in the book. */
struct pack_link {
	enum pack_kind kind;
	const char *id;
	const struct pack_file *file;
	struct lw_where at;
};

struct pack_found { /* a problem, and the place of its file */
	struct lw_problem problem;
	size_t index;
	size_t order;
};

struct pack_set {
	struct lw_arena *arena;
	struct lw_book *book; /* may be NULL */
	struct pack_file *files;
	size_t file_count;
	const struct pack_item **items;
	size_t item_count, item_room;
	struct pack_link *links;
	size_t link_count, link_room;
	struct pack_found *found;
	size_t found_count, found_room;
	size_t told;		 /* problems, those past the cap included */
	struct pack_map ids;	 /* "kind id" -> struct pack_item */
	struct pack_map names;	 /* pack name -> struct pack_file */
	struct pack_map of_book; /* check id -> struct lw_check */
	struct pack_names *values; /* what expressions may name */
	bool no_memory;
	bool tried; /* its patterns were tried when the program was made */
	bool broken[PACK_KINDS]; /* an item of the kind was left out */
	bool unread;		 /* a file was left out */
	size_t regexes;
	size_t guesses; /* ids looked at for suggestions; capped */
	struct lw_entries known[PACK_KINDS]; /* of the book, once asked for */
	bool asked[PACK_KINDS];
};

/* Tell a problem in a file. Memory that runs out is kept in no_memory. */
void pack_tell(const struct pack_file *file, struct lw_where at,
    const char *rule, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

/* The problems in order of file, line and column, without doubles. */
enum lw_status pack_problems(
    struct pack_set *set, struct lw_problems *problems, struct lw_err *err);

/* A text as it may stand in a sentence: one line, not too long. */
const char *pack_quote(struct pack_set *set, const char *text);

/* Read what file->root holds into file->pack, telling problems. */
void pack_read_file(struct pack_file *file);

/* Put a whole device's codes on its lamps, telling problems. */
void pack_finish_device(const struct pack_file *file, struct lw_device *device,
    const struct pack_node *node, bool whole);

/* Tell ids that parts of an item share; every part has one. */
void pack_parts_differ(const struct pack_file *file,
    const struct pack_node *list, const char *what);

/* Add an item; told as a duplicate where its kind has the id already. */
void pack_items_add(const struct pack_file *file, enum pack_kind kind,
    const char *id, const struct pack_node *node, const void *item);

/* Find an item by kind and id in the files; NULL. */
const struct pack_item *pack_items_find(
    struct pack_set *set, enum pack_kind kind, const char *id);

void pack_links_add(const struct pack_file *file, enum pack_kind kind,
    const char *id, struct lw_where at);

/* Tell the links that lead nowhere, and ids that the book has elsewhere. */
enum lw_status pack_links_check(struct pack_set *set, struct lw_err *err);

/* The check of an id, in the files or else in the book; NULL where there is
 * none, or it has problems of its own. */
enum lw_status pack_check_of(struct pack_set *set,
    const struct lw_check **check, const char *id, struct lw_err *err);

/* Whether an id of a kind is the book's, and not of a pack that one of the
 * files will replace; `pack` is then whose. */
enum lw_status pack_in_book(struct pack_set *set, bool *there,
    const char **pack, enum pack_kind kind, const char *id, struct lw_err *err);

/* As lw_pack_read, of packs that came with the program: their patterns, which
 * take longest, were tried by its tests. */
enum lw_status pack_read_shipped(struct lw_arena *arena,
    const struct lw_pack_text *texts, size_t count,
    const struct lw_pack **packs, struct lw_problems *problems,
    struct lw_err *err);

/* Everything that can be told once all files are read. */
enum lw_status pack_lint(struct pack_set *set, struct lw_err *err);

/* One item each, whole; `node` is what it was read from. */
void pack_lint_check(const struct pack_file *file, const struct lw_check *check,
    const struct pack_node *node);
void pack_lint_bands(const struct pack_file *file, const struct lw_check *check,
    const struct pack_node *node);
/* What comes before a way into a power state; looks at other checks. */
enum lw_status pack_lint_after(const struct pack_file *file,
    const struct lw_check *check, const struct pack_node *node,
    struct lw_err *err);
/* A tree that is no walk-through. */
enum lw_status pack_lint_tree(const struct pack_file *file,
    const struct lw_tree *tree, const struct pack_node *node,
    struct lw_err *err);
/* The steps of a walk-through, and that no other tree has its keys. */
enum lw_status pack_lint_walk(const struct pack_file *file,
    const struct lw_tree *tree, const struct pack_node *node,
    struct lw_err *err);

/* Power states: gates and cautions, over all files and the book. */
enum lw_status pack_lint_states(struct pack_set *set, struct lw_err *err);

/* FNV-1a of a text, in hexadecimal; NULL when memory has run out. */
const char *pack_digest(
    struct lw_arena *arena, const char *text, size_t length);

#endif
