/* Reading packs: the files of a set one by one, then what can be told only
 * of all of them together. */
#include "base/err.h"
#include "pack/advice.h"

#include <inttypes.h>
#include <stdint.h>
#include <string.h>

/* FNV-1a, 64 bits (Fowler, Noll, Vo), in hexadecimal. */
const char *
pack_digest(struct lw_arena *arena, const char *text, size_t length)
{
	uint64_t h = 14695981039346656037u;
	size_t i;

	for (i = 0; i < length; i++)
		h = (h ^ (unsigned char)text[i]) * 1099511628211u;
	return arena_printf(arena, "%016" PRIx64, h);
}

static enum lw_status
read_text(
    struct pack_file *file, const struct lw_pack_text *text, struct lw_err *err)
{
	struct pack_set *set = file->set;
	enum lw_status status;
	size_t before = set->told;

	status = pack_node_read(file, text->text, text->length, err);
	if (status != LW_OK)
		return status;
	file->flawed = set->told != before;
	if (file->root != NULL)
		pack_read_file(file);
	if (file->pack == NULL) {
		set->unread = true;
	} else {
		file->pack->digest =
		    pack_digest(set->arena, text->text, text->length);
		if (file->pack->digest == NULL)
			set->no_memory = true;
	}
	return set->no_memory ? err_no_memory(err) : LW_OK;
}

/* What for. */
enum reading { READING_PUT, READING_CHECK, READING_SHIPPED };

static enum lw_status
read_all(struct lw_arena *arena, const struct lw_pack_text *texts, size_t count,
    struct lw_book *book, enum reading how, const struct lw_pack **packs,
    struct lw_problems *problems, struct lw_err *err)
{
	struct pack_set set = {
	    .arena = arena, .book = book, .tried = how == READING_SHIPPED};
	enum lw_status status;
	size_t i;

	memset(problems, 0, sizeof *problems);
	for (i = 0; i < count; i++)
		packs[i] = NULL;
	pack_map_init(&set.ids, arena);
	pack_map_init(&set.names, arena);
	pack_map_init(&set.of_book, arena);
	set.files = arena_array(arena, count, sizeof *set.files);
	if (set.files == NULL)
		return err_no_memory(err);
	set.file_count = count;
	for (i = 0; i < count; i++) {
		set.files[i].set = &set;
		set.files[i].name = arena_dup(arena, texts[i].name);
		set.files[i].index = i;
		if (set.files[i].name == NULL)
			return err_no_memory(err);
		status = read_text(&set.files[i], &texts[i], err);
		if (status != LW_OK)
			return status;
	}
	status = pack_lint(&set, err);
	if (status == LW_OK && how == READING_CHECK && !set.no_memory)
		status = pack_advise(&set, err);
	if (status == LW_OK && set.no_memory)
		status = err_no_memory(err);
	if (status == LW_OK)
		status = pack_problems(&set, problems, err);
	if (status != LW_OK)
		return status;
	for (i = 0; i < count; i++)
		if (!set.files[i].flawed)
			packs[i] = set.files[i].pack;
	return LW_OK;
}

enum lw_status
lw_pack_read(struct lw_arena *arena, const struct lw_pack_text *texts,
    size_t count, struct lw_book *book, const struct lw_pack **packs,
    struct lw_problems *problems, struct lw_err *err)
{
	return read_all(
	    arena, texts, count, book, READING_PUT, packs, problems, err);
}

enum lw_status
lw_pack_check(struct lw_arena *arena, const struct lw_pack_text *texts,
    size_t count, struct lw_book *book, const struct lw_pack **packs,
    struct lw_problems *problems, struct lw_err *err)
{
	return read_all(
	    arena, texts, count, book, READING_CHECK, packs, problems, err);
}

enum lw_status
pack_read_shipped(struct lw_arena *arena, const struct lw_pack_text *texts,
    size_t count, const struct lw_pack **packs, struct lw_problems *problems,
    struct lw_err *err)
{
	return read_all(
	    arena, texts, count, NULL, READING_SHIPPED, packs, problems, err);
}
