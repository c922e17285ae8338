/*
 * A pasted list of codes, read but not kept: what the command line and the
 * pages show before they teach it, and then hand to lw_book_teach.
 */
#ifndef VIEW_LESSON_H
#define VIEW_LESSON_H

#include <lampwright/arena.h>
#include <lampwright/book.h>
#include <lampwright/catalogue.h>

#define LESSON_LINES_MAX 500
#define LESSON_BYTES_MAX (256u << 10)

struct lesson_line {
	unsigned line;	     /* from 1, in the text given */
	const char *text;    /* the line as it stands */
	const char *pattern; /* canonical; NULL where it cannot be read */
	const char *meaning; /* NULL where there is none */
	const char *fault;   /* id of the fault that fits best, or NULL */
	const char *fault_title;
	const char *problem; /* one sentence; NULL where all is well */
};

struct lesson {
	const struct lw_device *device;
	const struct lw_lamp *lamp;
	const struct lesson_line *lines;
	size_t count;
	const struct lw_code *codes; /* of the good lines, to be taught */
	size_t good;
	size_t bad;
};

/*
 * Read lines of `code = meaning`; `code: meaning` and a tab between the two
 * will do as well. Empty lines and lines beginning with # are passed over.
 * `lamp` may be NULL for the device's only one.
 *
 * LW_OK whatever the lines are like. LW_NOT_FOUND: no such device or lamp.
 * LW_BAD_INPUT: it does not say which lamp, or is not UTF-8. LW_TOO_BIG.
 */
enum lw_status lesson_read(struct lesson *lesson, struct lw_arena *arena,
    struct lw_book *book, const char *device, const char *lamp,
    const char *lines, struct lw_err *err);

/*
 * The fault that a meaning's words speak of; NULL where none convinces: a
 * word that matters has to be in the fault's title, and about half of them in
 * its title or meaning.
 */
enum lw_status lesson_match(const struct lw_fault **fault,
    struct lw_arena *arena, struct lw_book *book, const char *meaning,
    struct lw_err *err);

#endif
