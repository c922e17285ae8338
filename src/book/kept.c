/* Keeps what was read until the book changes. What is kept, and reading it,
 * is left to lookup.c and rig_facts.c. */
#include "book/kept.h"

#include "base/arena.h"
#include "base/err.h"
#include "book/query.h"

#include <string.h>

enum { BUCKETS = 512, BYTES_MAX = 4 << 20 };

struct item {
	struct item *next;
	unsigned hash;
	const char *kind;
	const char *id;	   /* or NULL */
	const char *other; /* or NULL */
	const void *what;
};

struct kept_set {
	struct lw_arena *arena; /* this lies in it too */
	int64_t version;	/* of the book, as other programs change it */
	int changes;		/* rows that this one has changed */
	unsigned begun;		/* reads begun and not ended: it stays */
	struct item *buckets[BUCKETS];
};

void
kept_drop(struct lw_book *book)
{
	if (book->kept != NULL)
		lw_arena_free(book->kept->arena);
	book->kept = NULL;
}

/* A number that differs from the last where another program has written. */
static enum lw_status
ask_version(struct lw_book *book, int64_t *version, struct lw_err *err)
{
	struct query query;

	*version = 0;
	query_start(&query, book, SQL_DATA_VERSION, err);
	if (query_row(&query))
		*version = query_get_int(&query, 0);
	return query_end(&query);
}

/* The set to look into: another one once the book has changed, or it has
 * grown too large. Asked once in a transaction, in which all stays as it is. */
static enum lw_status
find_set(struct lw_book *book, struct lw_err *err)
{
	struct lw_arena *arena;
	int64_t version;
	enum lw_status status;

	if (book->kept_is_current && book->kept != NULL &&
	    (book->kept->begun > 0 ||
		lw_arena_used(book->kept->arena) < BYTES_MAX))
		return LW_OK;
	status = ask_version(book, &version, err);
	if (status != LW_OK)
		return status;
	if (book->kept == NULL || book->kept->version != version ||
	    book->kept->changes != sqlite3_total_changes(book->db) ||
	    lw_arena_used(book->kept->arena) >= BYTES_MAX) {
		kept_drop(book);
		arena = lw_arena_new();
		if (arena == NULL)
			return err_no_memory(err);
		book->kept = arena_alloc(arena, sizeof *book->kept);
		if (book->kept == NULL) {
			lw_arena_free(arena);
			return err_no_memory(err);
		}
		book->kept->arena = arena;
		book->kept->version = version;
		book->kept->changes = sqlite3_total_changes(book->db);
	}
	book->kept_is_current = true;
	return LW_OK;
}

/* FNV-1a, 32 bits. */
static unsigned
hash_text(unsigned hash, const char *text)
{
	if (text == NULL)
		text = "";
	for (; *text != '\0'; text++)
		hash = (hash ^ (unsigned char)*text) * 16777619u;
	return (hash ^ 0xFF) * 16777619u;
}

static bool
same(const char *one, const char *other)
{
	if (one == NULL || other == NULL)
		return one == other;
	return strcmp(one, other) == 0;
}

static const struct item *
find_item(const struct kept *kept)
{
	const struct item *item = kept->set->buckets[kept->hash % BUCKETS];

	for (; item != NULL; item = item->next)
		if (item->hash == kept->hash &&
		    strcmp(item->kind, kept->kind) == 0 &&
		    same(item->id, kept->id) && same(item->other, kept->other))
			break;
	return item;
}

enum lw_status
kept_begin(struct kept *kept, struct lw_book *book, struct lw_arena *arena,
    const char *kind, const char *id, const char *other, struct lw_err *err)
{
	const struct item *item;
	enum lw_status status;

	memset(kept, 0, sizeof *kept);
	status = store_begin_read(book, err);
	if (status != LW_OK)
		return status;
	kept->book = book;
	kept->arena = kept->caller = arena;
	if (book->writes)
		return LW_OK;
	status = find_set(book, err);
	if (status != LW_OK)
		return store_end_read(book, status);
	kept->set = book->kept;
	kept->set->begun++;
	kept->arena = kept->set->arena;
	kept->kind = kind;
	kept->id = id;
	kept->other = other;
	kept->hash =
	    hash_text(hash_text(hash_text(2166136261u, kind), id), other);
	item = find_item(kept);
	if (item != NULL) {
		kept->what = item->what;
		kept->found = true;
	}
	return LW_OK;
}

/* A copy of an id in the set's arena; false when memory has run out. */
static bool
copy(const char **text, struct lw_arena *arena, const char *from)
{
	*text = from == NULL ? NULL : arena_dup(arena, from);
	return from == NULL || *text != NULL;
}

static enum lw_status
put_item(const struct kept *kept, struct lw_err *err)
{
	struct lw_arena *arena = kept->set->arena;
	struct item **bucket = &kept->set->buckets[kept->hash % BUCKETS];
	struct item *item = arena_alloc(arena, sizeof *item);

	if (item == NULL || !copy(&item->id, arena, kept->id) ||
	    !copy(&item->other, arena, kept->other))
		return err_no_memory(err);
	item->hash = kept->hash;
	item->kind = kept->kind;
	item->what = kept->what;
	item->next = *bucket;
	*bucket = item;
	return LW_OK;
}

enum lw_status
kept_end(struct kept *kept, enum lw_status status, struct lw_err *err)
{
	if (status == LW_OK && kept->set != NULL && !kept->found)
		status = put_item(kept, err);
	/* What is read for something else that is kept lies with it. */
	if (status == LW_OK && kept->set != NULL &&
	    kept->caller != kept->set->arena &&
	    !arena_hold(kept->caller, kept->set->arena))
		status = err_no_memory(err);
	if (kept->set != NULL)
		kept->set->begun--;
	return store_end_read(kept->book, status);
}
