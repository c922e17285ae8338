/* Checks that speak about causes. A first version: by whole checks. */
#include "book/speaks.h"

#include "base/arena.h"
#include "base/err.h"

#include <string.h>

static enum lw_status
put(struct book_speaker *speaker, struct lw_arena *arena,
    const struct lw_check *check, const char *const *causes, size_t cause_count,
    struct lw_err *err)
{
	struct book_speaker_outcome *outcomes =
	    arena_array(arena, check->outcome_count + 1, sizeof *outcomes);
	struct book_spoken *spoken;
	size_t room = 0, o, s, c;

	for (o = 0; o < check->outcome_count; o++)
		room += check->outcomes[o].speaks.count;
	spoken = arena_array(arena, room + 1, sizeof *spoken);
	if (outcomes == NULL || spoken == NULL)
		return err_no_memory(err);
	speaker->id = check->id;
	speaker->title = check->title;
	speaker->power = check->power;
	speaker->meter = check->meter;
	speaker->minutes = check->minutes;
	speaker->outcomes = outcomes;
	speaker->outcome_count = check->outcome_count;
	speaker->spoken = spoken;
	speaker->tools = check->tools.items;
	speaker->tool_count = check->tools.count;
	for (o = 0; o < check->outcome_count; o++) {
		const struct lw_outcome *out = &check->outcomes[o];

		outcomes[o].id = out->id;
		outcomes[o].expected = out->expected;
		outcomes[o].stops = out->stops;
		outcomes[o].unproves = out->unproves;
		outcomes[o].enters = out->enters;
		for (s = 0; s < out->speaks.count; s++)
			for (c = 0; c < cause_count; c++)
				if (strcmp(out->speaks.items[s].id,
					causes[c]) == 0)
					spoken[speaker->spoken_count++] =
					    (struct book_spoken){o, c,
						out->speaks.items[s].word};
	}
	return LW_OK;
}

enum lw_status
book_speakers(const struct book_speaker **speakers, size_t *count,
    struct lw_book *book, struct lw_arena *arena, const char *const *causes,
    size_t cause_count, struct lw_err *err)
{
	struct book_speaker *list = NULL, *item;
	const struct lw_check *check;
	struct lw_entries entries;
	enum lw_status status;
	size_t room = 0, c, i, k;

	*count = 0;
	for (c = 0; c < cause_count; c++) {
		status =
		    lw_book_checks_for(book, arena, causes[c], &entries, err);
		if (status == LW_NOT_FOUND)
			continue;
		if (status != LW_OK)
			return status;
		for (i = 0; i < entries.count; i++) {
			for (k = 0; k < *count; k++)
				if (strcmp(list[k].id, entries.items[i].id) ==
				    0)
					break;
			if (k < *count)
				continue;
			status = lw_book_check_of(
			    book, arena, entries.items[i].id, &check, err);
			if (status != LW_OK)
				return status;
			item = arena_grow(
			    arena, &list, count, &room, sizeof *item);
			if (item == NULL)
				return err_no_memory(err);
			status =
			    put(item, arena, check, causes, cause_count, err);
			if (status != LW_OK)
				return status;
		}
	}
	*speakers = list;
	return LW_OK;
}
