/* Fetches from the book and keeps what it fetched; what it means is left to
 * the other files here. */
#include "job/shelf.h"

#include "base/arena.h"
#include "base/err.h"

#include <string.h>

enum kind { DEVICE, FAULT, SYMPTOM, CAUSE, CHECK, POINT, CAUTION, TREE };

struct shelf_item {
	enum kind kind;
	const char *id;
	const void *what; /* NULL: the book has none */
};

/* The checks that speak about some causes. */
struct shelf_speakers {
	const char **causes;
	size_t cause_count;
	const struct book_speaker *items;
	size_t count;
};

/* Jobs that began alike have the same causes in play; but not all can be
 * kept. */
enum { SPEAKERS_KEPT = 32 };

void
shelf_init(struct shelf *shelf, struct lw_book *book, struct lw_arena *arena)
{
	memset(shelf, 0, sizeof *shelf);
	shelf->book = book;
	shelf->arena = arena;
	shelf->work = arena;
}

static enum lw_status
fetch(const void **what, struct shelf *shelf, enum kind kind, const char *id,
    struct lw_err *err)
{
	struct lw_book *book = shelf->book;
	struct lw_arena *arena = shelf->arena;
	const struct lw_device *device = NULL;
	const struct lw_fault *fault = NULL;
	const struct lw_symptom *symptom = NULL;
	const struct lw_cause *cause = NULL;
	const struct lw_check *check = NULL;
	const struct lw_point *point = NULL;
	const struct lw_caution *caution = NULL;
	const struct lw_tree *tree = NULL;
	enum lw_status status = LW_NOT_FOUND;

	switch (kind) {
	case DEVICE:
		status = lw_book_device(book, arena, id, &device, err);
		*what = device;
		break;
	case FAULT:
		status = lw_book_fault(book, arena, id, &fault, err);
		*what = fault;
		break;
	case SYMPTOM:
		status = lw_book_symptom(book, arena, id, &symptom, err);
		*what = symptom;
		break;
	case CAUSE:
		status = lw_book_cause(book, arena, id, &cause, err);
		*what = cause;
		break;
	case CHECK:
		status = lw_book_check_of(book, arena, id, &check, err);
		*what = check;
		break;
	case POINT:
		status = lw_book_point(book, arena, id, &point, err);
		*what = point;
		break;
	case CAUTION:
		status = lw_book_caution(book, arena, id, &caution, err);
		*what = caution;
		break;
	case TREE:
		status = lw_book_tree(book, arena, id, &tree, err);
		*what = tree;
		break;
	}
	if (status != LW_OK)
		*what = NULL;
	return status == LW_NOT_FOUND ? LW_OK : status;
}

static enum lw_status
take(const void **what, struct shelf *shelf, enum kind kind, const char *id,
    struct lw_err *err)
{
	struct shelf_item *item;
	enum lw_status status;
	size_t i;

	*what = NULL;
	if (id == NULL)
		return LW_OK;
	for (i = 0; i < shelf->count; i++)
		if (shelf->items[i].kind == kind &&
		    strcmp(shelf->items[i].id, id) == 0) {
			*what = shelf->items[i].what;
			return LW_OK;
		}
	status = fetch(what, shelf, kind, id, err);
	if (status != LW_OK)
		return status;
	item = arena_grow(shelf->arena, &shelf->items, &shelf->count,
	    &shelf->room, sizeof *item);
	if (item == NULL)
		return err_no_memory(err);
	item->kind = kind;
	item->what = *what;
	item->id = arena_dup(shelf->arena, id);
	if (item->id == NULL) {
		shelf->count--;
		return err_no_memory(err);
	}
	return LW_OK;
}

#define TAKER(name, KIND)                                                  \
	enum lw_status shelf_##name(const struct lw_##name **name,         \
	    struct shelf *shelf, const char *id, struct lw_err *err)       \
	{                                                                  \
		const void *what;                                          \
		enum lw_status status = take(&what, shelf, KIND, id, err); \
                                                                           \
		*name = what;                                              \
		return status;                                             \
	}

TAKER(device, DEVICE)
TAKER(fault, FAULT)
TAKER(symptom, SYMPTOM)
TAKER(cause, CAUSE)
TAKER(check, CHECK)
TAKER(point, POINT)
TAKER(caution, CAUTION)
TAKER(tree, TREE)

enum lw_status
shelf_gate(const struct lw_check **check, struct shelf *shelf,
    enum lw_power power, struct lw_err *err)
{
	enum lw_status status;

	*check = NULL;
	if (power <= LW_POWER_UNKNOWN || power >= LW_POWER_COUNT)
		return LW_OK;
	if (!shelf->gates[power].known) {
		struct lw_err found = {0};

		/* That there is none is no error, and leaves no sentence. */
		status = lw_book_gate(
		    shelf->book, shelf->arena, power, check, &found);
		if (status != LW_OK && status != LW_NOT_FOUND) {
			if (err != NULL)
				*err = found;
			return status;
		}
		if (status == LW_NOT_FOUND)
			*check = NULL;
		shelf->gates[power].check = *check;
		shelf->gates[power].known = true;
	}
	*check = shelf->gates[power].check;
	return LW_OK;
}

enum lw_status
shelf_cautions_in(const struct shelf_cautions **cautions, struct shelf *shelf,
    enum lw_power power, struct lw_err *err)
{
	static const struct shelf_cautions none = {.known = true};
	struct shelf_cautions *kept;
	enum lw_status status;

	*cautions = &none;
	if (power <= LW_POWER_UNKNOWN || power >= LW_POWER_COUNT)
		return LW_OK;
	kept = &shelf->cautions[power];
	if (!kept->known) {
		status = lw_book_cautions_in(shelf->book, shelf->arena, power,
		    &kept->items, &kept->count, err);
		if (status != LW_OK && status != LW_NOT_FOUND)
			return status;
		if (status == LW_NOT_FOUND)
			kept->count = 0;
		kept->known = true;
	}
	*cautions = kept;
	return LW_OK;
}

static bool
is_about(
    const struct shelf_speakers *kept, const char *const *causes, size_t count)
{
	size_t i;

	for (i = 0; i < count && kept->cause_count == count; i++)
		if (strcmp(kept->causes[i], causes[i]) != 0)
			return false;
	return kept->cause_count == count;
}

enum lw_status
shelf_speakers(const struct book_speaker **speakers, size_t *count,
    struct shelf *shelf, const char *const *causes, size_t cause_count,
    struct lw_err *err)
{
	struct shelf_speakers *kept;
	enum lw_status status;
	size_t i;

	for (i = 0; i < shelf->speakers_count; i++) {
		kept = &shelf->speakers[i];
		if (!is_about(kept, causes, cause_count))
			continue;
		*speakers = kept->items;
		*count = kept->count;
		return LW_OK;
	}
	if (shelf->speakers_count >= SPEAKERS_KEPT)
		return book_speakers(speakers, count, shelf->book, shelf->work,
		    causes, cause_count, err);
	status = book_speakers(speakers, count, shelf->book, shelf->arena,
	    causes, cause_count, err);
	if (status != LW_OK)
		return status;
	kept = arena_grow(shelf->arena, &shelf->speakers,
	    &shelf->speakers_count, &shelf->speakers_room, sizeof *kept);
	if (kept == NULL)
		return err_no_memory(err);
	*kept = (struct shelf_speakers){.items = *speakers, .count = *count};
	kept->causes =
	    arena_array(shelf->arena, cause_count, sizeof *kept->causes);
	for (i = 0; kept->causes != NULL && i < cause_count; i++) {
		kept->causes[i] = arena_dup(shelf->arena, causes[i]);
		if (kept->causes[i] == NULL)
			break;
		kept->cause_count++;
	}
	if (kept->cause_count == cause_count)
		return LW_OK;
	shelf->speakers_count--;
	return err_no_memory(err);
}
