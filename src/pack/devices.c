/* A device's codes: which lamp each is on, and that no two say the same
 * thing. Whether their faults exist is left to links.c. */
#include "pack/fields.h"

#include "base/err.h"

#include <string.h>

static const struct lw_lamp *
lamp_of(const struct lw_device *device, const char *id, size_t length)
{
	size_t i;

	for (i = 0; i < device->lamp_count; i++)
		if (strlen(device->lamps[i].id) == length &&
		    memcmp(device->lamps[i].id, id, length) == 0)
			return &device->lamps[i];
	return NULL;
}

/* Every lamp of "red:3 green:on" is the device's; the first one, or NULL
 * with a problem told. */
static const struct lw_lamp *
lamps_of_pattern(const struct pack_file *file, const struct lw_device *device,
    const char *pattern, struct lw_where at)
{
	const struct lw_lamp *lamp, *first = NULL;
	const char *s = pattern;
	size_t length;

	while (*s != '\0') {
		length = strcspn(s, ":");
		lamp = lamp_of(device, s, length);
		if (lamp == NULL) {
			pack_tell(file, at, "unknown-id",
			    "the pattern names a lamp that the device does "
			    "not have; name its lamps by their ids");
			return NULL;
		}
		if (first == NULL)
			first = lamp;
		s += strcspn(s, " ");
		s += strspn(s, " ");
	}
	return first;
}

static void
finish_code(const struct pack_file *file, const struct lw_device *device,
    const struct pack_node *node, struct lw_code *code)
{
	struct lw_where at = pack_node_where(node, "pattern");
	const struct lw_lamp *lamp = NULL;

	if (code->fault == NULL && code->meaning == NULL)
		pack_tell(file, code->at, "missing",
		    "a code needs a \"fault\" or a \"meaning\"");
	if (strchr(code->pattern, ':') != NULL) {
		lamp = lamps_of_pattern(file, device, code->pattern, at);
		if (lamp == NULL)
			return;
	}
	if (code->lamp != NULL) {
		if (lamp_of(device, code->lamp, strlen(code->lamp)) == NULL)
			pack_tell(file, pack_node_where(node, "lamp"),
			    "unknown-id", "the device has no lamp \"%s\"",
			    pack_quote(file->set, code->lamp));
		return;
	}
	if (lamp == NULL && device->lamp_count == 1)
		lamp = &device->lamps[0];
	if (lamp == NULL)
		pack_tell(file, code->at, "missing",
		    "the device has several lamps; say which \"lamp\" the code "
		    "is on");
	else
		code->lamp = lamp->id;
}

static void
check_twice(const struct pack_file *file, const struct pack_node *node,
    const struct lw_code *code, struct pack_map *codes)
{
	const char *key =
	    arena_printf(file->set->arena, "%s %s", code->lamp, code->pattern);
	const struct lw_code *earlier =
	    key == NULL ? NULL : pack_map_put(codes, key, code);

	if (earlier == NULL)
		file->set->no_memory = true;
	else if (earlier != code)
		pack_tell(file, pack_node_where(node, "pattern"),
		    "duplicate-code",
		    "the pattern is in line %u already for this lamp; keep "
		    "one of them",
		    earlier->at.line);
}

static void
finish_codes(const struct pack_file *file, struct lw_device *device,
    const struct pack_node *node)
{
	const struct pack_node *each = pack_node_find(node, "codes");
	struct lw_code *codes;
	struct pack_map seen;
	size_t i;

	if (each == NULL)
		return;
	codes =
	    arena_array(file->set->arena, device->code_count, sizeof *codes);
	if (codes == NULL) {
		file->set->no_memory = true;
		return;
	}
	pack_map_init(&seen, file->set->arena);
	each = each->first;
	for (i = 0; i < device->code_count; i++, each = each->next) {
		codes[i] = device->codes[i];
		codes[i].device = device->id;
		finish_code(file, device, each, &codes[i]);
		if (codes[i].lamp != NULL)
			check_twice(file, each, &codes[i], &seen);
	}
	device->codes = codes;
}

void
pack_finish_device(const struct pack_file *file, struct lw_device *device,
    const struct pack_node *node, bool whole)
{
	if (!whole)
		return;
	pack_parts_differ(file, pack_node_find(node, "lamps"), "lamp");
	finish_codes(file, device, node);
}

void
pack_parts_differ(const struct pack_file *file, const struct pack_node *list,
    const char *what)
{
	const struct pack_node *node, *id, *earlier;
	struct pack_map ids;

	pack_map_init(&ids, file->set->arena);
	for (node = list->first; node != NULL; node = node->next) {
		id = pack_node_find(node, "id");
		earlier = pack_map_put(&ids, id->text, id);
		if (earlier == NULL)
			file->set->no_memory = true;
		else if (earlier != id)
			pack_tell(file, id->at, "duplicate-id",
			    "the %s \"%s\" stands in line %u already; give one "
			    "of them another id",
			    what, pack_quote(file->set, id->text),
			    earlier->at.line);
	}
}
