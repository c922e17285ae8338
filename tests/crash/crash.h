/*
 * Jobs that are struck while they go on: by kill -9, by a disk that fails, by
 * a loss of power. A walk of calls is made of a seed and a number alone, so
 * that a mirror (a second book that nothing happens to) can make the same
 * calls; after every blow the two books have to say the same.
 */
#ifndef CRASH_CRASH_H
#define CRASH_CRASH_H

#include <lampwright.h>

#include <stdbool.h>
#include <stdint.h>

/* --- main.c -------------------------------------------------------------- */

/* Say what went wrong in the test itself, and end it. */
_Noreturn void crash_give_up(const char *why);

/* Say what was found wrong with the library; the test fails in the end. */
__attribute__((format(printf, 1, 2))) void crash_fail(const char *format, ...);
unsigned crash_failures(void);

/* A number from 0 to sides - 1. */
unsigned crash_dice(uint64_t *seed, unsigned sides);

/* Whether LAMPWRIGHT_SHORT asks for a tenth of everything. */
unsigned crash_rounds(unsigned full);

/* --- walk.c -------------------------------------------------------------- */

/* Whether the library says that it could not do what it was asked. */
bool walk_broke(enum lw_status status);

/* Fill a new book: the bench's pack, and two rigs. */
enum lw_status walk_fill(struct lw_book *book, struct lw_err *err);

/* What was told of one call. */
struct walk_report {
	uint32_t number;
	int32_t status;
	int64_t job;	/* the job it was about; 0: none */
	int64_t serial; /* of its last finding afterwards */
};

/* Call `number` of the walk with that seed: the same on books that say the
 * same. Call 0 opens a job. */
struct walk_report walk_call(
    struct lw_book *book, uint64_t seed, uint32_t number, struct lw_err *err);

/* --- mirror.c ------------------------------------------------------------ */

struct mirror {
	char struck[240]; /* path of the book that is struck */
	char path[240];	  /* of the mirror */
	struct lw_book *book;
	const char *what; /* is being tried, for messages */
};

/* Two new books in the folder, filled alike. */
void mirror_begin(struct mirror *mirror, const char *folder, const char *what);
void mirror_end(struct mirror *mirror);

/*
 * Compare, after a blow in the walk `seed`, whose calls `from` to before
 * `told` were acknowledged as `reports` say; one more may have been made.
 * The struck book is closed. Gives the number of calls that the books have
 * now in common; false: they differ.
 */
bool mirror_compare(struct mirror *mirror, uint64_t seed, uint32_t from,
    uint32_t told, const struct walk_report *reports, uint32_t *common);

/* Whether a closed book is sound, in the library's eyes and in ours. */
bool mirror_is_sound(const char *path, const char *what);

/* --- kills.c, faults.c, making.c ----------------------------------------- */

void kills_try(const char *folder);
void faults_try(const char *folder);
void losses_try(const char *folder);
void making_try(const char *folder);

#endif
