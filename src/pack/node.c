/* libyaml's events to a tree of nodes. Refuses what a pack may not have
 * (anchors, tags, several documents, repeated keys, depth, size); what the
 * keys mean is left to read.c. */
#include "pack/node.h"

#include "base/err.h"
#include "base/utf8.h"
#include "pack/set.h"

#include <string.h>
#include <yaml.h>

struct reader {
	struct pack_file *file;
	struct lw_arena *arena;
	const char *text;
	size_t length;
	yaml_parser_t parser;
	size_t nodes;
	size_t mark_index, mark_byte; /* the last place asked for */
	bool stop;		      /* nothing more can be read */
};

const char *
pack_node_kind_name(enum pack_node_kind kind)
{
	static const char *const names[] = {
	    [PACK_NODE_BROKEN] = "nothing",
	    [PACK_NODE_TEXT] = "a text",
	    [PACK_NODE_LIST] = "a list",
	    [PACK_NODE_MAP] = "keys with values",
	};

	return names[kind];
}

const struct pack_node *
pack_node_find(const struct pack_node *map, const char *key)
{
	const struct pack_node *value;

	if (map == NULL || map->kind != PACK_NODE_MAP)
		return NULL;
	for (value = map->first; value != NULL; value = value->next)
		if (strcmp(value->key->text, key) == 0)
			return value;
	return NULL;
}

struct lw_where
pack_node_where(const struct pack_node *map, const char *key)
{
	const struct pack_node *value = pack_node_find(map, key);

	return value != NULL ? value->at : map->at;
}

static struct lw_where
where(yaml_mark_t mark)
{
	struct lw_where at = {
	    (unsigned)mark.line + 1, (unsigned)mark.column + 1};

	return at;
}

/* What may not stand in a text: control characters but tab and newline. */
static bool
is_control(uint32_t point)
{
	return (point < 0x20 && point != '\n' && point != '\t') ||
	       (point >= 0x7F && point < 0xA0);
}

/*
 * Look over the raw text: valid UTF-8, no control characters, none of the
 * line ends that only YAML takes for line ends.
 */
static bool
check_characters(struct pack_file *file, const char *text, size_t length)
{
	struct lw_where at = {1, 1};
	size_t byte = 0, n;
	uint32_t point = 0;

	while (byte < length) {
		n = utf8_decode(text + byte, length - byte, &point);
		if (n == 0) {
			pack_tell(file, at, "encoding",
			    "the byte 0x%02X here is not UTF-8; save the "
			    "file as UTF-8",
			    (unsigned)(unsigned char)text[byte]);
			return false;
		}
		if ((is_control(point) && point != '\r') || point == 0x2028 ||
		    point == 0x2029 || point == 0xFEFF || point == 0xFFFE ||
		    point == 0xFFFF) {
			pack_tell(file, at, "encoding",
			    "the character U+%04X may not stand in a pack; "
			    "take it out",
			    (unsigned)point);
			return false;
		}
		byte += n;
		at.column++;
		if (point == '\n' ||
		    (point == '\r' && (byte == length || text[byte] != '\n'))) {
			at.line++;
			at.column = 1;
		}
	}
	return true;
}

/* libyaml's complaint as a sentence. */
static void
tell_syntax(struct reader *reader)
{
	static const struct {
		const char *theirs, *ours;
	} sentences[] = {
	    {"found character that cannot start any token",
		"a value cannot begin with this character; put it in quotes, "
		"and indent with spaces, never with tabs"},
	    {"mapping values are not allowed in this context",
		"a colon followed by a space cannot stand here; put the text "
		"in quotes, or indent the key as its neighbours are"},
	    {"did not find expected key",
		"a key was expected here; indent it as its neighbours are, "
		"or put the text before it in quotes"},
	    {"could not find expected ':'",
		"a colon was expected after the key; write \"key: value\""},
	    {"did not find expected ',' or ']'",
		"a comma or a closing ] was expected here"},
	    {"did not find expected ',' or '}'",
		"a comma or a closing } was expected here"},
	    {"did not find expected '-' indicator",
		"a list's next item was expected here; indent its - as those "
		"before it"},
	    {"found unexpected end of stream",
		"the file ends within a quoted text; close the quote"},
	    {"did not find expected <document start>",
		"this cannot stand at the end of a pack; a pack is one map of "
		"keys and values"},
	};
	const yaml_parser_t *parser = &reader->parser;
	const char *problem = parser->problem, *text = NULL;
	size_t i;

	if (problem == NULL)
		problem = "it is not YAML";
	for (i = 0; i < sizeof sentences / sizeof sentences[0]; i++)
		if (strcmp(problem, sentences[i].theirs) == 0)
			text = sentences[i].ours;
	if (text != NULL)
		pack_tell(reader->file, where(parser->problem_mark), "syntax",
		    "%s", text);
	else
		pack_tell(reader->file, where(parser->problem_mark), "syntax",
		    "the YAML cannot be read here (%s)", problem);
}

/* The next event; false at an error, which is told. */
static bool
next_event(struct reader *reader, yaml_event_t *event)
{
	if (yaml_parser_parse(&reader->parser, event))
		return true;
	reader->stop = true;
	if (reader->parser.error == YAML_MEMORY_ERROR)
		reader->file->set->no_memory = true;
	else
		tell_syntax(reader);
	return false;
}

static struct pack_node *
new_node(struct reader *reader, enum pack_node_kind kind, yaml_mark_t mark)
{
	struct pack_node *node;

	if (++reader->nodes > PACK_NODES_MAX) {
		pack_tell(reader->file, where(mark), "too-big",
		    "the file has more than %d values; split it into several "
		    "packs",
		    PACK_NODES_MAX);
		reader->stop = true;
		return NULL;
	}
	node = arena_alloc(reader->arena, sizeof *node);
	if (node == NULL) {
		reader->file->set->no_memory = true;
		reader->stop = true;
		return NULL;
	}
	node->kind = kind;
	node->at = where(mark);
	return node;
}

/* The byte at a mark; places are asked for in rising order. NUL past it. */
static char
byte_at(struct reader *reader, yaml_mark_t mark)
{
	size_t n;

	while (reader->mark_index < mark.index &&
	       reader->mark_byte < reader->length) {
		n = utf8_decode(reader->text + reader->mark_byte,
		    reader->length - reader->mark_byte, NULL);
		reader->mark_byte += n == 0 ? 1 : n;
		reader->mark_index++;
	}
	if (reader->mark_index != mark.index ||
	    reader->mark_byte >= reader->length)
		return '\0';
	return reader->text[reader->mark_byte];
}

/* Anchors and tags: told, and then read as if they were not there. */
static void
check_properties(struct reader *reader, const yaml_event_t *event,
    const yaml_char_t *anchor, const yaml_char_t *tag)
{
	char first = byte_at(reader, event->start_mark);

	if (anchor != NULL)
		pack_tell(reader->file, where(event->start_mark), "anchor",
		    "a pack has no anchors or aliases; write the value out "
		    "where it is needed");
	if (tag != NULL || first == '!')
		pack_tell(reader->file, where(event->start_mark), "tag",
		    "a pack has no tags: every value is text; leave the tag "
		    "out");
}

/* Where the first letter of a text of so many stands, where it is written on
 * one line as it is; 0 otherwise. */
static unsigned
first_column(const yaml_event_t *event, size_t letters)
{
	size_t begin = event->start_mark.column, end = event->end_mark.column;
	size_t quote = event->data.scalar.style != YAML_PLAIN_SCALAR_STYLE;

	if (event->start_mark.line != event->end_mark.line ||
	    event->data.scalar.anchor != NULL ||
	    event->data.scalar.tag != NULL ||
	    begin + letters + 2 * quote != end)
		return 0;
	return (unsigned)(begin + quote) + 1;
}

static struct pack_node *
scalar(struct reader *reader, const yaml_event_t *event)
{
	struct pack_node *node =
	    new_node(reader, PACK_NODE_TEXT, event->start_mark);
	const char *text = (const char *)event->data.scalar.value;
	size_t length = event->data.scalar.length, at = 0, letters = 0, n;
	uint32_t point = 0;

	if (node == NULL)
		return NULL;
	check_properties(
	    reader, event, event->data.scalar.anchor, event->data.scalar.tag);
	/* The last line's end is the block's, not the text's. */
	if (event->data.scalar.style == YAML_LITERAL_SCALAR_STYLE ||
	    event->data.scalar.style == YAML_FOLDED_SCALAR_STYLE)
		while (length > 0 && text[length - 1] == '\n')
			length--;
	while (at < length) {
		n = utf8_decode(text + at, length - at, &point);
		if (n == 0 || is_control(point)) {
			pack_tell(reader->file, node->at, "encoding",
			    "the escape for the character U+%04X may not "
			    "stand in a pack; take it out",
			    n == 0 ? 0xFFFDu : (unsigned)point);
			node->kind = PACK_NODE_BROKEN;
			length = 0;
			break;
		}
		at += n;
		letters++;
	}
	node->length = length;
	node->column = first_column(event, letters);
	node->text = arena_dup_n(reader->arena, text, length);
	if (node->text == NULL) {
		reader->file->set->no_memory = true;
		reader->stop = true;
		return NULL;
	}
	return node;
}

static struct pack_node *value_of(
    struct reader *reader, const yaml_event_t *event, int depth);

/* A key: a text, not yet in the map. NULL at the end of the map, and with
 * reader->stop where nothing can be made of it. */
static struct pack_node *
map_key(struct reader *reader, const struct pack_node *map, bool *repeated)
{
	const struct pack_node *other;
	struct pack_node *key = NULL;
	yaml_event_t event;

	if (!next_event(reader, &event))
		return NULL;
	if (event.type == YAML_SCALAR_EVENT) {
		key = scalar(reader, &event);
	} else if (event.type != YAML_MAPPING_END_EVENT) {
		pack_tell(reader->file, where(event.start_mark), "wrong-type",
		    "a key is a text; neither a list, nor keys and values, "
		    "nor an alias may be one");
		reader->stop = true;
	}
	yaml_event_delete(&event);
	if (key == NULL)
		return NULL;
	if (map->count >= PACK_KEYS_MAX) {
		pack_tell(reader->file, key->at, "too-big",
		    "there are more than %d keys in one place; split them",
		    PACK_KEYS_MAX);
		reader->stop = true;
		return NULL;
	}
	other = pack_node_find(map, key->text);
	*repeated = other != NULL && key->kind == PACK_NODE_TEXT;
	if (*repeated)
		pack_tell(reader->file, key->at, "repeated-key",
		    "\"%s\" stands in line %u already; keep one of them",
		    pack_quote(reader->file->set, key->text),
		    other->key->at.line);
	return key;
}

static void
fill_map(struct reader *reader, struct pack_node *map, int depth)
{
	struct pack_node *key, *value, *last = NULL;
	yaml_event_t event;
	bool repeated = false;

	while (!reader->stop) {
		key = map_key(reader, map, &repeated);
		if (key == NULL || !next_event(reader, &event))
			return;
		value = value_of(reader, &event, depth + 1);
		yaml_event_delete(&event);
		if (value == NULL)
			return;
		if (repeated || key->kind == PACK_NODE_BROKEN)
			continue;
		value->key = key;
		if (last == NULL)
			map->first = value;
		else
			last->next = value;
		last = value;
		map->count++;
	}
}

static void
fill_list(struct reader *reader, struct pack_node *list, int depth)
{
	struct pack_node *value, *last = NULL;
	yaml_event_t event;
	bool end;

	while (!reader->stop) {
		if (!next_event(reader, &event))
			return;
		end = event.type == YAML_SEQUENCE_END_EVENT;
		value = end ? NULL : value_of(reader, &event, depth + 1);
		yaml_event_delete(&event);
		if (value == NULL)
			return;
		if (last == NULL)
			list->first = value;
		else
			last->next = value;
		last = value;
		list->count++;
	}
}

/* The node that begins with an event; NULL with reader->stop. */
static struct pack_node *
value_of(struct reader *reader, const yaml_event_t *event, int depth)
{
	struct pack_node *node;

	if (depth > LW_PACK_MAX_DEPTH) {
		pack_tell(reader->file, where(event->start_mark), "too-deep",
		    "this is more than %d levels deep; no pack needs that",
		    LW_PACK_MAX_DEPTH);
		reader->stop = true;
		return NULL;
	}
	switch (event->type) {
	case YAML_SCALAR_EVENT:
		return scalar(reader, event);
	case YAML_ALIAS_EVENT:
		pack_tell(reader->file, where(event->start_mark), "anchor",
		    "a pack has no anchors or aliases; write the value out "
		    "where it is needed");
		return new_node(reader, PACK_NODE_BROKEN, event->start_mark);
	case YAML_SEQUENCE_START_EVENT:
		node = new_node(reader, PACK_NODE_LIST, event->start_mark);
		if (node == NULL)
			return NULL;
		check_properties(reader, event,
		    event->data.sequence_start.anchor,
		    event->data.sequence_start.tag);
		fill_list(reader, node, depth);
		break;
	default:
		node = new_node(reader, PACK_NODE_MAP, event->start_mark);
		if (node == NULL)
			return NULL;
		check_properties(reader, event,
		    event->data.mapping_start.anchor,
		    event->data.mapping_start.tag);
		fill_map(reader, node, depth);
		break;
	}
	return reader->stop ? NULL : node;
}

/* Tag directives stand before a document. */
static void
check_start(struct reader *reader, const yaml_event_t *event)
{
	if (event->data.document_start.tag_directives.start !=
	    event->data.document_start.tag_directives.end)
		pack_tell(reader->file, where(event->start_mark), "tag",
		    "a pack has no tags: every value is text; leave the "
		    "directive out");
}

static struct pack_node *
read_stream(struct reader *reader)
{
	struct pack_node *root = NULL;
	yaml_event_t event;
	yaml_event_type_t type;
	int documents = 0;

	while (!reader->stop && next_event(reader, &event)) {
		type = event.type;
		if (type == YAML_DOCUMENT_START_EVENT && ++documents == 1) {
			check_start(reader, &event);
		} else if (type == YAML_DOCUMENT_START_EVENT) {
			pack_tell(reader->file, where(event.start_mark),
			    "several-documents",
			    "a file holds one pack; put what follows in a "
			    "file of its own");
			reader->stop = true;
		} else if (type != YAML_STREAM_START_EVENT &&
			   type != YAML_DOCUMENT_END_EVENT &&
			   type != YAML_STREAM_END_EVENT) {
			root = value_of(reader, &event, 1);
		}
		yaml_event_delete(&event);
		if (type == YAML_STREAM_END_EVENT)
			break;
	}
	return reader->stop ? NULL : root;
}

enum lw_status
pack_node_read(
    struct pack_file *file, const char *text, size_t length, struct lw_err *err)
{
	struct lw_where whole = {0, 0}, start = {1, 1};
	struct reader reader = {.file = file, .arena = file->set->arena};

	if (length > LW_PACK_MAX_BYTES) {
		pack_tell(file, whole, "too-big",
		    "the file has %zu bytes; a pack has at most %u", length,
		    LW_PACK_MAX_BYTES);
		return LW_OK;
	}
	if (length >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0) {
		text += 3; /* a byte order mark, as some editors write */
		length -= 3;
	}
	if (!check_characters(file, text, length))
		return LW_OK;
	reader.text = text;
	reader.length = length;
	if (!yaml_parser_initialize(&reader.parser))
		return err_no_memory(err);
	yaml_parser_set_encoding(&reader.parser, YAML_UTF8_ENCODING);
	yaml_parser_set_input_string(
	    &reader.parser, (const unsigned char *)text, length);
	file->root = read_stream(&reader);
	yaml_parser_delete(&reader.parser);
	if (file->root == NULL && !reader.stop)
		pack_tell(file, start, "missing",
		    "the file is empty; a pack begins with \"pack: NAME\"");
	return file->set->no_memory ? err_no_memory(err) : LW_OK;
}
