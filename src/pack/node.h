/*
 * A YAML file as a tree of nodes, each with its place. Every scalar is text.
 * Lives in an arena.
 */
#ifndef PACK_NODE_H
#define PACK_NODE_H

#include <lampwright/catalogue.h>

#include <stdbool.h>
#include <stddef.h>

enum pack_node_kind {
	PACK_NODE_BROKEN = 0, /* what stood here was refused and told already */
	PACK_NODE_TEXT,
	PACK_NODE_LIST,
	PACK_NODE_MAP
};

struct pack_node {
	enum pack_node_kind kind;
	struct lw_where at;
	const struct pack_node *key;  /* of a value in a map: its key */
	const struct pack_node *next; /* in the same list or map */
	const struct pack_node *first;
	size_t count;	  /* of a list or map */
	const char *text; /* of a text; no NUL within */
	size_t length;
	unsigned column; /* of a text that stands on one line letter by letter:
			  * where its first one does; 0 otherwise */
};

#define PACK_NODES_MAX 400000 /* of one file */
#define PACK_KEYS_MAX 100     /* of one map */

struct pack_file;

/*
 * Read the text of a file into file->root. What is wrong is added to the
 * set's problems; file->root stays NULL where nothing can be made of it.
 * LW_NO_MEMORY.
 */
enum lw_status pack_node_read(struct pack_file *file, const char *text,
    size_t length, struct lw_err *err);

/* The value of a key in a map; NULL where there is none. */
const struct pack_node *pack_node_find(
    const struct pack_node *map, const char *key);

/* Where a key's value stands, or the map itself where there is no such key. */
struct lw_where pack_node_where(const struct pack_node *map, const char *key);

/* "a text", "a list", "a map of keys and values". */
const char *pack_node_kind_name(enum pack_node_kind kind);

#endif
