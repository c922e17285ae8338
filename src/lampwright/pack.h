/*
 * Packs: the YAML text files that carry the catalogue. kb/README.md is the
 * format.
 */
#ifndef LAMPWRIGHT_PACK_H
#define LAMPWRIGHT_PACK_H

#include <stddef.h>
#include <stdint.h>

#include <lampwright/arena.h>
#include <lampwright/book.h>
#include <lampwright/catalogue.h>
#include <lampwright/status.h>

#ifdef __cplusplus
extern "C" {
#endif

#define LW_PACK_MAX_BYTES (4u << 20) /* of one file */
#define LW_PACK_MAX_DEPTH 16
#define LW_PACK_MAX_PROBLEMS 500 /* told at most, in all */

struct lw_problem {
	const char *file;
	unsigned line; /* from 1; 0 the file as a whole */
	unsigned column;
	const char *rule; /* a word: "unknown-id", "loop", ... */
	const char *text; /* one sentence */
};

struct lw_problems {
	const struct lw_problem *items;
	size_t count;
};

/* A text to be read as a pack; `name` is the file's, for messages. */
struct lw_pack_text {
	const char *name;
	const char *text;
	size_t length;
};

/*
 * Read and lint packs together: they may refer to one another, and to what
 * `book` (may be NULL) has from packs of other names. packs gets one for
 * each text, NULL where it could not be read. Whether a pack may be put in
 * is `problems->count == 0`. LW_OK however many problems there are.
 */
enum lw_status lw_pack_read(struct lw_arena *arena,
    const struct lw_pack_text *texts, size_t count, struct lw_book *book,
    const struct lw_pack **packs, struct lw_problems *problems,
    struct lw_err *err);

/*
 * As lw_pack_read, and where nothing is wrong, tell besides what keeps no pack
 * out of the book and makes it a worse one to work with: causes that no check
 * speaks for, instructions with two actions, and the like.
 */
enum lw_status lw_pack_check(struct lw_arena *arena,
    const struct lw_pack_text *texts, size_t count, struct lw_book *book,
    const struct lw_pack **packs, struct lw_problems *problems,
    struct lw_err *err);

/*
 * Read a file into the arena for lw_pack_read. LW_TOO_BIG past
 * LW_PACK_MAX_BYTES; LW_FAILED where it cannot be read. `path` "-" is
 * standard input.
 */
enum lw_status lw_pack_load(struct lw_arena *arena, const char *path,
    struct lw_pack_text *text, struct lw_err *err);

/*
 * Put the shipped packs into the book where they are missing or have
 * changed since; a pack that the builder removed, or put another in place
 * of, is left alone. `count` is how many were put in.
 */
enum lw_status lw_pack_ship(struct lw_book *book, int64_t now_s,
    size_t *count, struct lw_err *err);

/* Canonical YAML; text lives in the arena. It reads back to the same pack,
 * and writing that gives the same bytes. Comments are not kept. */
enum lw_status lw_pack_write(struct lw_arena *arena,
    const struct lw_pack *pack, const char **text, size_t *length,
    struct lw_err *err);

#ifdef __cplusplus
}
#endif
#endif
