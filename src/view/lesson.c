/* Reads a pasted list of codes, and shows what it would teach. Keeping it is
 * left to the caller. */
#include "view/lesson.h"

#include "base/arena.h"
#include "base/err.h"
#include "base/utf8.h"
#include "view/hint.h"
#include "view/parts.h"

#include <string.h>

struct reader {
	struct lesson *lesson;
	struct lw_arena *arena;
	struct lw_book *book;
	struct lw_lamp_hint hint;
	struct lesson_line *lines;
	struct lw_code *codes;
	size_t room;
};

static bool
is_space(char c)
{
	return c == ' ' || c == '\t' || c == '\r';
}

/* A copy of a stretch of text without the space around it; NULL: no memory. */
static char *
trimmed(struct lw_arena *arena, const char *text, size_t length)
{
	while (length > 0 && is_space(text[length - 1]))
		length--;
	while (length > 0 && is_space(*text)) {
		text++;
		length--;
	}
	return arena_dup_n(arena, text, length);
}

static const char *
not_clear(struct lw_arena *arena, const struct lw_pattern_readings *readings)
{
	if (readings->count == 0)
		return arena_printf(arena,
		    "the lamp's entry does not say how fast \"%s\" is; write "
		    "the rate, such as 2Hz",
		    readings->word);
	return arena_printf(arena, "this could be %s or %s; write one of them",
	    readings->items[0].text, readings->items[1].text);
}

/* Read the code of a line. On LW_OK either pattern or problem is set. */
static enum lw_status
read_code(struct reader *reader, struct lesson_line *line, const char *code,
    struct lw_err *err)
{
	struct lw_pattern_readings readings;
	struct lw_err refused;
	enum lw_status status;

	status = lw_pattern_read(&readings, code, &reader->hint, &refused);
	if (status == LW_BAD_INPUT || status == LW_TOO_BIG) {
		line->problem = arena_dup(reader->arena, refused.text);
	} else if (status != LW_OK) {
		if (err != NULL)
			*err = refused;
		return status;
	} else if (readings.count == 1) {
		line->pattern =
		    arena_dup(reader->arena, readings.items[0].text);
	} else {
		line->problem = not_clear(reader->arena, &readings);
	}
	if (line->pattern == NULL && line->problem == NULL)
		return err_no_memory(err);
	return LW_OK;
}

/*
 * Split a line at the first tab, equals sign or colon: the first of them
 * that leaves a code in front of it, since a code may have a colon itself.
 */
static enum lw_status
split_line(struct reader *reader, struct lesson_line *line, struct lw_err *err)
{
	static const char marks[] = "\t=:";
	const char *text = line->text, *at, *problem = NULL;
	enum lw_status status;
	char *code, *meaning;
	size_t i;

	for (i = 0; marks[i] != '\0'; i++) {
		at = strchr(text, marks[i]);
		if (at == NULL)
			continue;
		code = trimmed(reader->arena, text, (size_t)(at - text));
		meaning = trimmed(reader->arena, at + 1, strlen(at + 1));
		if (code == NULL || meaning == NULL)
			return err_no_memory(err);
		if (marks[i] == '\t' && meaning[0] == '=')
			continue;
		line->meaning = meaning[0] != '\0' ? meaning : NULL;
		line->problem = NULL;
		status = read_code(reader, line, code, err);
		if (status != LW_OK)
			return status;
		if (line->pattern != NULL)
			break;
		if (problem == NULL)
			problem = line->problem;
	}
	if (line->pattern == NULL) {
		line->problem = problem != NULL
				    ? problem
				    : "a line is a code, an equals "
				      "sign and its meaning, such as "
				      "5 = supply voltage too low";
	} else if (line->meaning == NULL) {
		line->problem = "the meaning is missing after the equals sign";
	}
	return LW_OK;
}

static enum lw_status
look_twice(struct reader *reader, struct lesson_line *line, struct lw_err *err)
{
	size_t i;

	for (i = 0; i < reader->lesson->count; i++) {
		const struct lesson_line *other = &reader->lines[i];

		if (other == line || other->problem != NULL ||
		    strcmp(other->pattern, line->pattern) != 0)
			continue;
		line->problem = arena_printf(reader->arena,
		    "line %u has the code %s already; leave one of the two",
		    other->line, line->pattern);
		if (line->problem == NULL)
			return err_no_memory(err);
		break;
	}
	return LW_OK;
}

static enum lw_status
read_line(struct reader *reader, unsigned number, const char *text,
    size_t length, struct lw_err *err)
{
	struct lesson *lesson = reader->lesson;
	const struct lw_fault *fault;
	struct lesson_line *line;
	struct lw_code *code;
	enum lw_status status;
	char *whole;

	whole = trimmed(reader->arena, text, length);
	if (whole == NULL)
		return err_no_memory(err);
	if (whole[0] == '\0' || whole[0] == '#')
		return LW_OK;
	if (lesson->count == LESSON_LINES_MAX)
		return err_set_at(err, LW_TOO_BIG, number, 0,
		    "there are more than %d codes in the list; teach them in "
		    "parts",
		    LESSON_LINES_MAX);
	line = arena_grow(reader->arena, &reader->lines, &lesson->count,
	    &reader->room, sizeof *line);
	if (line == NULL)
		return err_no_memory(err);
	line->line = number;
	line->text = whole;
	status = split_line(reader, line, err);
	if (status == LW_OK && line->problem == NULL)
		status = look_twice(reader, line, err);
	if (status != LW_OK)
		return status;
	if (line->problem != NULL) {
		lesson->bad++;
		return LW_OK;
	}
	status = lesson_match(
	    &fault, reader->arena, reader->book, line->meaning, err);
	if (status != LW_OK)
		return status;
	if (fault != NULL) {
		line->fault = fault->id;
		line->fault_title = fault->title;
	}
	code = &reader->codes[lesson->good++];
	code->device = lesson->device->id;
	code->lamp = lesson->lamp->id;
	code->pattern = line->pattern;
	code->fault = line->fault;
	code->meaning = line->meaning;
	code->own = true;
	return LW_OK;
}

enum lw_status
lesson_read(struct lesson *lesson, struct lw_arena *arena, struct lw_book *book,
    const char *device, const char *lamp, const char *lines, struct lw_err *err)
{
	struct reader reader = {.lesson = lesson, .arena = arena, .book = book};
	size_t length = strlen(lines), end;
	enum lw_status status;
	unsigned number = 1;

	memset(lesson, 0, sizeof *lesson);
	if (length > LESSON_BYTES_MAX)
		return err_set(err, LW_TOO_BIG,
		    "the list is longer than %u KiB; teach it in parts",
		    LESSON_BYTES_MAX >> 10);
	if (utf8_valid(lines, length) != length)
		return err_set(err, LW_BAD_INPUT,
		    "the list is not UTF-8 text; save it as UTF-8");
	status = lw_book_device(book, arena, device, &lesson->device, err);
	if (status == LW_OK)
		status = view_lamp(&lesson->lamp, lesson->device, lamp, err);
	if (status == LW_OK)
		status = view_hint(
		    &reader.hint, arena, lesson->device, lesson->lamp, err);
	if (status != LW_OK)
		return status;
	reader.codes =
	    arena_array(arena, LESSON_LINES_MAX, sizeof *reader.codes);
	if (reader.codes == NULL)
		return err_no_memory(err);
	if (strncmp(lines, "\xef\xbb\xbf", 3) == 0)
		lines += 3;
	for (; *lines != '\0'; number++) {
		end = strcspn(lines, "\n");
		status = read_line(&reader, number, lines, end, err);
		if (status != LW_OK)
			return status;
		lines += end;
		lines += *lines == '\n';
	}
	lesson->lines = reader.lines;
	lesson->codes = reader.codes;
	return LW_OK;
}

enum lw_status
lw_view_lesson(struct lw_doc **doc, struct lw_book *book, const char *device,
    const char *lamp, const char *lines, struct lw_err *err)
{
	enum lw_status status, outcome = LW_OK;
	struct lesson lesson;
	struct view view;
	json_t *list, *object;
	size_t i;

	view_begin(&view, book);
	if (view.status != LW_OK)
		return view_end(&view, doc, LW_OK, err);
	status = lesson_read(
	    &lesson, view.arena, book, device, lamp, lines, &view.last);
	if (status != LW_OK) {
		view_fail(&view, status);
		return view_end(&view, doc, LW_OK, err);
	}
	view_words(&view, view.root, "device", lesson.device->id);
	view_text(&view, view.root, "device_title", lesson.device->title);
	view_words(&view, view.root, "lamp", lesson.lamp->id);
	list = view_list(&view, view.root, "lines");
	for (i = 0; i < lesson.count; i++) {
		const struct lesson_line *line = &lesson.lines[i];

		object = view_add(&view, list);
		view_int(&view, object, "line", line->line);
		view_words(&view, object, "text", line->text);
		view_text(&view, object, "pattern", line->pattern);
		view_text(&view, object, "meaning", line->meaning);
		view_text(&view, object, "fault", line->fault);
		view_text(&view, object, "fault_title", line->fault_title);
		view_text(&view, object, "problem", line->problem);
	}
	view_int(&view, view.root, "good", (int64_t)lesson.good);
	view_int(&view, view.root, "bad", (int64_t)lesson.bad);
	if (lesson.good == 0 && view.status == LW_OK)
		outcome = err_set(&view.err, LW_BAD_INPUT,
		    "no line of the list can be read; a line is a code, an "
		    "equals sign and its meaning, such as 5 = supply voltage "
		    "too low");
	return view_end(&view, doc, outcome, err);
}
