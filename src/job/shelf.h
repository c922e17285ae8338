/*
 * What a job needs of the book, fetched once and kept: many findings and many
 * jobs ask for the same checks. What is not in the book is NULL, not an error.
 */
#ifndef JOB_SHELF_H
#define JOB_SHELF_H

#include "book/speaks.h"

#include <lampwright/book.h>

#include <stdbool.h>

struct shelf_item;
struct shelf_speakers;

struct shelf_cautions {
	bool known;
	const struct lw_caution **items;
	size_t count;
};

struct shelf {
	struct lw_book *book;
	struct lw_arena *arena; /* everything fetched lives here */
	struct lw_arena *work;	/* what is made of it; the same, unless many
				 * jobs are looked at one after the other */
	struct shelf_item *items;
	size_t count;
	size_t room;
	struct {
		bool known;
		const struct lw_check *check;
	} gates[LW_POWER_COUNT];
	struct shelf_cautions cautions[LW_POWER_COUNT];
	struct shelf_speakers *speakers;
	size_t speakers_count;
	size_t speakers_room;
};

void shelf_init(
    struct shelf *shelf, struct lw_book *book, struct lw_arena *arena);

enum lw_status shelf_device(const struct lw_device **device,
    struct shelf *shelf, const char *id, struct lw_err *err);
enum lw_status shelf_fault(const struct lw_fault **fault, struct shelf *shelf,
    const char *id, struct lw_err *err);
enum lw_status shelf_symptom(const struct lw_symptom **symptom,
    struct shelf *shelf, const char *id, struct lw_err *err);
enum lw_status shelf_cause(const struct lw_cause **cause, struct shelf *shelf,
    const char *id, struct lw_err *err);
enum lw_status shelf_check(const struct lw_check **check, struct shelf *shelf,
    const char *id, struct lw_err *err);
enum lw_status shelf_point(const struct lw_point **point, struct shelf *shelf,
    const char *id, struct lw_err *err);
enum lw_status shelf_caution(const struct lw_caution **caution,
    struct shelf *shelf, const char *id, struct lw_err *err);
enum lw_status shelf_tree(const struct lw_tree **tree, struct shelf *shelf,
    const char *id, struct lw_err *err);

/* The check that leads into a power state; NULL where there is none. */
enum lw_status shelf_gate(const struct lw_check **check, struct shelf *shelf,
    enum lw_power power, struct lw_err *err);
/* As book_speakers. */
enum lw_status shelf_speakers(const struct book_speaker **speakers,
    size_t *count, struct shelf *shelf, const char *const *causes,
    size_t cause_count, struct lw_err *err);
/* Cautions that go with a power state, gravest first; maybe none. */
enum lw_status shelf_cautions_in(const struct shelf_cautions **cautions,
    struct shelf *shelf, enum lw_power power, struct lw_err *err);

#endif
