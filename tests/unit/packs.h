/* Packs read from text or files, for the suites of packs. Every failure
 * stops the test. */
#ifndef UNIT_PACKS_H
#define UNIT_PACKS_H

#include <lampwright/pack.h>

#include <stdbool.h>

enum { PACKS_MAX = 128 };

struct packs {
	struct lw_arena *arena;
	struct lw_pack_text texts[PACKS_MAX];
	const struct lw_pack *packs[PACKS_MAX];
	size_t count;
	struct lw_problems problems;
	struct lw_err err;
};

void packs_start(struct packs *packs);
void packs_end(struct packs *packs);

/* Add a text, or a file, to be read. */
void packs_text(struct packs *packs, const char *name, const char *text);
void packs_file(struct packs *packs, const char *path);
/* Every FOLDER/BEGINNING*.yaml; fails where there is none. */
void packs_folder(
    struct packs *packs, const char *folder, const char *beginning);

/* Read them together; `book` may be NULL. */
void packs_read(struct packs *packs, struct lw_book *book);
/* And with what keeps no pack out of the book. */
void packs_advise(struct packs *packs, struct lw_book *book);

/* Fail unless there is no problem, or these alone in this order:
 * "rule line column" or "file rule line column", a line each. */
void packs_sound(const struct packs *packs);
void packs_problems(const struct packs *packs, const char *expected);

/* As packs_text, packs_read and packs_problems with one text. */
void packs_check(const char *text, const char *expected);

#endif
