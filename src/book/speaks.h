/*
 * The checks that speak about given causes, with what reasoning needs of them
 * and no more, in few reads: the whole check is fetched when it is asked.
 */
#ifndef BOOK_SPEAKS_H
#define BOOK_SPEAKS_H

#include <lampwright/arena.h>
#include <lampwright/book.h>

struct book_spoken {
	size_t outcome; /* its place in the check */
	size_t cause;	/* its place in `causes` */
	const char *word;
};

struct book_speaker_outcome {
	const char *id;
	bool expected;
	bool stops;
	bool unproves;
	enum lw_power enters;
};

struct book_speaker {
	const char *id;
	const char *title;
	enum lw_power power;
	enum lw_meter meter;
	double minutes;
	const struct book_speaker_outcome *outcomes;
	size_t outcome_count;
	const struct book_spoken *spoken; /* about the causes asked for */
	size_t spoken_count;
	const struct lw_text *tools;
	size_t tool_count;
	struct lw_texts only; /* rigs that it is for; see struct lw_check */
};

/* Every check that speaks about one of these causes (ids), in the order of
 * packs and authors; none is LW_OK with count 0. */
enum lw_status book_speakers(const struct book_speaker **speakers,
    size_t *count, struct lw_book *book, struct lw_arena *arena,
    const char *const *causes, size_t cause_count, struct lw_err *err);

#endif
