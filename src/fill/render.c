/* Shows a document through a template; taking templates apart is left to
 * template.c, finding them to source.c. */
#include "fill/fill.h"

#include "base/arena.h"
#include "base/err.h"
#include "base/num.h"
#include "fill/doc.h"
#include "fill/escape.h"
#include "fill/source.h"
#include "fill/template.h"

#include <stdlib.h>
#include <string.h>

/* The values around a piece, innermost first. */
struct context {
	json_t *value;
	const struct context *outer;
};

/* A template that was taken apart before, with the indentation it had. */
struct known {
	struct known *next;
	const char *name;
	size_t length;
	const char *indent;
	size_t indent_length;
	struct template template;
};

struct fill_kept {
	struct lw_arena *arena;
	struct known *first;
};

struct render {
	struct buf *out;
	const struct fill_source *from;
	enum fill_kind kind;
	struct fill_kept *kept; /* the source's, or of this fill alone */
	struct lw_err *err;
	size_t work;
	unsigned depth; /* of partials */
};

static enum lw_status show_pieces(struct render *render,
    const struct template *template, size_t from, size_t to,
    const struct context *context);

/* Count work done; the limit stops templates that multiply themselves. */
static enum lw_status
spend(struct render *render, size_t work)
{
	if (work > FILL_WORK_MAX - render->work)
		return err_set(render->err, LW_TOO_BIG,
		    "the page takes more than %d steps to fill; it needs fewer "
		    "or shorter lists",
		    FILL_WORK_MAX);
	render->work += work;
	return LW_OK;
}

/* An error at a tag. */
static void
place_error(struct lw_err *err, const struct template *template,
    const struct piece *piece)
{
	if (err == NULL)
		return;
	template_place(&err->line, &err->column, template, piece->offset);
	err_in_file(err, template->file);
}

/* The value of a name: NULL where there is none. *steps counts the values
 * looked into. */
static json_t *
look_up(size_t *steps, const struct context *context, const char *name,
    size_t length)
{
	const char *point;
	size_t part;
	json_t *value = NULL;

	*steps = 1;
	if (length == 1 && name[0] == '.')
		return context->value;
	point = memchr(name, '.', length);
	part = point == NULL ? length : (size_t)(point - name);
	for (; context != NULL && value == NULL; context = context->outer) {
		value = json_object_getn(context->value, name, part);
		++*steps;
	}
	while (value != NULL && part < length) {
		name += part + 1;
		length -= part + 1;
		point = memchr(name, '.', length);
		part = point == NULL ? length : (size_t)(point - name);
		value = json_object_getn(value, name, part);
		++*steps;
	}
	return value;
}

static bool
is_true(const json_t *value)
{
	if (value == NULL)
		return false;
	switch (json_typeof(value)) {
	case JSON_OBJECT:
	case JSON_TRUE:
		return true;
	case JSON_ARRAY:
		return json_array_size(value) > 0;
	case JSON_STRING:
		return json_string_length(value) > 0;
	case JSON_INTEGER:
		return json_integer_value(value) != 0;
	case JSON_REAL:
		return json_real_value(value) != 0;
	default:
		return false;
	}
}

static void
show_value(struct render *render, const json_t *value)
{
	char number[32];

	if (value == NULL)
		return;
	switch (json_typeof(value)) {
	case JSON_STRING:
		if (render->kind == FILL_HTML)
			escape_html(render->out, json_string_value(value),
			    json_string_length(value));
		else
			escape_text(render->out, json_string_value(value),
			    json_string_length(value));
		break;
	case JSON_INTEGER:
		buf_printf(render->out, "%" JSON_INTEGER_FORMAT,
		    json_integer_value(value));
		break;
	case JSON_REAL:
		num_format(number, sizeof number, json_real_value(value));
		buf_add(render->out, number);
		break;
	case JSON_TRUE:
		buf_add(render->out, "true");
		break;
	case JSON_FALSE:
		buf_add(render->out, "false");
		break;
	default:
		break;
	}
}

static enum lw_status
show_section(struct render *render, const struct template *template, size_t at,
    json_t *value, const struct context *context)
{
	struct context inner = {.value = value, .outer = context};
	size_t end = template->pieces[at].end, i;
	enum lw_status status = LW_OK;

	if (json_is_true(value))
		return show_pieces(render, template, at + 1, end, context);
	if (!json_is_array(value))
		return show_pieces(render, template, at + 1, end, &inner);
	for (i = 0; i < json_array_size(value) && status == LW_OK; i++) {
		inner.value = json_array_get(value, i);
		status = spend(render, 1);
		if (status == LW_OK)
			status =
			    show_pieces(render, template, at + 1, end, &inner);
	}
	return status;
}

static bool
same_text(const char *a, size_t a_length, const char *b, size_t b_length)
{
	return a_length == b_length &&
	       (a_length == 0 || memcmp(a, b, a_length) == 0);
}

/* The template of a name, taken apart once. LW_NOT_FOUND: there is none. */
static enum lw_status
get_template(const struct template **template, struct render *render,
    const char *name, size_t length, const char *indent, size_t indent_length)
{
	struct lw_arena *arena = render->kept->arena;
	struct known *known;
	const char *text, *file;
	size_t size;
	enum lw_status status;

	for (known = render->kept->first; known != NULL; known = known->next) {
		if (same_text(known->name, known->length, name, length) &&
		    same_text(known->indent, known->indent_length, indent,
			indent_length)) {
			*template = &known->template;
			return LW_OK;
		}
		status = spend(render, 1);
		if (status != LW_OK)
			return status;
	}
	known = arena_alloc(arena, sizeof *known);
	if (known == NULL)
		return err_no_memory(render->err);
	status = source_find(&text, &size, &file, arena, render->from, name,
	    length, render->err);
	if (status == LW_OK)
		status = template_parse(&known->template, arena, file, text,
		    size, indent, indent_length, render->err);
	if (status == LW_OK)
		status = spend(render, known->template.length);
	if (status != LW_OK)
		return status;
	/* The tag that it is named by may be of a shorter life. */
	known->name = arena_dup_n(arena, name, length);
	known->indent = arena_dup_n(arena, indent, indent_length);
	if (known->name == NULL || known->indent == NULL)
		return err_no_memory(render->err);
	known->length = length;
	known->indent_length = indent_length;
	known->next = render->kept->first;
	render->kept->first = known;
	*template = &known->template;
	return LW_OK;
}

static enum lw_status
show_partial(struct render *render, const struct template *around,
    struct piece *tag, const struct context *context)
{
	enum lw_status status = LW_OK;

	if (render->depth == FILL_PARTIALS_MAX) {
		err_set(render->err, LW_TOO_BIG,
		    "partials stand inside one another more than %d deep; "
		    "does one include itself?",
		    FILL_PARTIALS_MAX);
		place_error(render->err, around, tag);
		return LW_TOO_BIG;
	}
	if (tag->partial == NULL)
		status = get_template(&tag->partial, render, tag->text,
		    tag->length, tag->indent, tag->indent_length);
	if (status == LW_NOT_FOUND) {
		status = LW_BAD_INPUT;
		if (render->err != NULL)
			render->err->code = status;
		place_error(render->err, around, tag);
	}
	if (status != LW_OK)
		return status;
	render->depth++;
	status =
	    show_pieces(render, tag->partial, 0, tag->partial->count, context);
	render->depth--;
	return status;
}

static enum lw_status
show_piece(struct render *render, const struct template *template, size_t at,
    const struct context *context)
{
	struct piece *piece = &template->pieces[at];
	enum lw_status status;
	json_t *value;
	size_t steps;

	if (piece->kind == PIECE_TEXT) {
		buf_add_n(render->out, piece->text, piece->length);
		return LW_OK;
	}
	if (piece->kind == PIECE_PARTIAL)
		return show_partial(render, template, piece, context);
	value = look_up(&steps, context, piece->text, piece->length);
	status = spend(render, steps);
	if (status != LW_OK)
		return status;
	if (piece->kind == PIECE_VALUE)
		show_value(render, value);
	else if (piece->kind == PIECE_SECTION && is_true(value))
		return show_section(render, template, at, value, context);
	else if (piece->kind == PIECE_INVERTED && !is_true(value))
		return show_pieces(
		    render, template, at + 1, piece->end, context);
	return LW_OK;
}

/* The pieces from `from` up to `to`, not including it. */
static enum lw_status
show_pieces(struct render *render, const struct template *template, size_t from,
    size_t to, const struct context *context)
{
	const struct piece *piece;
	enum lw_status status = LW_OK;
	size_t at;

	for (at = from; at < to && status == LW_OK;) {
		piece = &template->pieces[at];
		status = spend(render, 1);
		if (status == LW_OK)
			status = show_piece(render, template, at, context);
		if (status == LW_OK && render->out->status != LW_OK)
			status = buf_check(render->out, render->err);
		at = piece->kind == PIECE_SECTION ||
			     piece->kind == PIECE_INVERTED
			 ? piece->end
			 : at + 1;
	}
	return status;
}

/* Show the document, unless something has failed. */
static enum lw_status
show(struct render *render, const struct template *template,
    const struct lw_doc *doc, enum lw_status status)
{
	struct context context = {.value = doc->root};

	if (status == LW_OK)
		status =
		    show_pieces(render, template, 0, template->count, &context);
	if (status == LW_OK)
		status = buf_check(render->out, render->err);
	return status;
}

struct fill_kept *
fill_kept_new(void)
{
	struct fill_kept *kept = calloc(1, sizeof *kept);

	if (kept == NULL)
		return NULL;
	kept->arena = lw_arena_new();
	if (kept->arena == NULL) {
		free(kept);
		return NULL;
	}
	return kept;
}

void
fill_kept_free(struct fill_kept *kept)
{
	if (kept == NULL)
		return;
	lw_arena_free(kept->arena);
	free(kept);
}

enum lw_status
fill_template(struct buf *out, const struct fill_source *from,
    enum fill_kind kind, const char *name, const struct lw_doc *doc,
    struct lw_err *err)
{
	bool keeps = from->kept != NULL && from->dir == NULL;
	struct render render = {.out = out,
	    .from = from,
	    .kind = kind,
	    .kept = keeps ? from->kept : fill_kept_new(),
	    .err = err};
	const struct template *template = NULL;
	enum lw_status status;

	if (render.kept == NULL)
		return err_no_memory(err);
	status = get_template(&template, &render, name, strlen(name), "", 0);
	if (status == LW_NOT_FOUND) {
		status = LW_BAD_INPUT;
		if (err != NULL)
			err->code = status;
	}
	status = show(&render, template, doc, status);
	if (!keeps)
		fill_kept_free(render.kept);
	return status;
}

enum lw_status
fill_string(struct buf *out, const struct fill_source *from,
    enum fill_kind kind, const char *text, size_t length,
    const struct lw_doc *doc, struct lw_err *err)
{
	struct render render = {.out = out,
	    .from = from,
	    .kind = kind,
	    .kept = fill_kept_new(),
	    .err = err};
	struct template template;
	enum lw_status status;

	if (render.kept == NULL)
		return err_no_memory(err);
	status = template_parse(
	    &template, render.kept->arena, "", text, length, "", 0, err);
	if (status == LW_OK)
		status = spend(&render, length);
	status = show(&render, &template, doc, status);
	fill_kept_free(render.kept);
	return status;
}
