/* The checks that speak about given causes, read in four statements for all of
 * them. What they make of a suspect is left to src/job. */
#include "book/speaks.h"

#include "base/arena.h"
#include "base/buf.h"
#include "base/err.h"
#include "book/rows.h"

enum { NAMES_MAX = 16 << 20 }; /* bytes of all ids at once */

/* What is known of one check while it is gathered. */
struct gathered {
	struct book_speaker *speaker;
	struct book_speaker_outcome *outcomes;
	struct book_spoken *spoken;
	struct lw_text *tools;
	size_t outcome_room;
	size_t spoken_room;
	size_t tool_room;
	int64_t number;
};

struct speaking {
	struct lw_book *book;
	struct lw_arena *arena;
	struct lw_err *err;
	struct buf names; /* of the causes: a JSON list */
	struct book_speaker *speakers;
	struct gathered *gathered; /* one for each, until all is read */
	size_t count;
	size_t cause_count;
};

/* A text in JSON's quotes. */
static void
add_name(struct buf *names, const char *name)
{
	buf_add(names, "\"");
	for (; *name != '\0'; name++)
		if (*name == '"' || *name == '\\' || (unsigned char)*name < ' ')
			buf_printf(
			    names, "\\u%04x", (unsigned)(unsigned char)*name);
		else
			buf_add_char(names, *name);
	buf_add(names, "\"");
}

static void
write_names(struct speaking *all, const char *const *causes)
{
	size_t i;

	buf_add(&all->names, "[");
	for (i = 0; i < all->cause_count; i++) {
		buf_add(&all->names, i > 0 ? "," : "");
		add_name(&all->names, causes[i]);
	}
	buf_add(&all->names, "]");
}

static void
start(struct query *query, const struct speaking *all, enum statement which)
{
	query_start(query, all->book, which, all->err);
	query_text(query, 1, buf_text(&all->names));
}

static enum lw_status
read_checks(struct speaking *all)
{
	struct book_speaker *speaker;
	struct gathered *gathered;
	struct query query;
	size_t room = 0, more = 0, known = 0, i;

	start(&query, all, SQL_SPEAKERS);
	while (query_row(&query)) {
		speaker = query_grow(&query, all->arena, &all->speakers,
		    &all->count, &room, sizeof *speaker);
		gathered = speaker == NULL
			       ? NULL
			       : query_grow(&query, all->arena, &all->gathered,
				     &known, &more, sizeof *gathered);
		if (gathered == NULL)
			break;
		gathered->number = query_get_int(&query, 0);
		speaker->id = query_get_word(&query, all->arena, 1);
		speaker->title = query_get_word(&query, all->arena, 2);
		speaker->power = rows_power(&query, 3);
		speaker->meter = rows_meter(&query, 4);
		speaker->minutes = query_get_real(&query, 5);
		rows_rules(&query, all->arena, 6, &speaker->only);
	}
	for (i = 0; i < known; i++)
		all->gathered[i].speaker = &all->speakers[i];
	return query_end(&query);
}

/* The check that a row is about. Rows come in the order of the checks, so it
 * is this one or a later one. */
static struct gathered *
of_row(const struct speaking *all, struct query *query, size_t *at)
{
	int64_t number = query_get_int(query, 0);

	while (*at < all->count && all->gathered[*at].number != number)
		(*at)++;
	return *at < all->count ? &all->gathered[*at] : NULL;
}

static enum lw_status
read_outcomes(struct speaking *all)
{
	struct book_speaker_outcome *outcome;
	struct gathered *check;
	struct query query;
	size_t at = 0;

	start(&query, all, SQL_SPEAKER_OUTCOMES);
	while (query_row(&query)) {
		check = of_row(all, &query, &at);
		if (check == NULL)
			break;
		outcome = query_grow(&query, all->arena, &check->outcomes,
		    &check->speaker->outcome_count, &check->outcome_room,
		    sizeof *outcome);
		if (outcome == NULL)
			break;
		outcome->id = query_get_word(&query, all->arena, 1);
		outcome->expected = query_get_int(&query, 2) != 0;
		outcome->stops = query_get_int(&query, 3) != 0;
		outcome->unproves = query_get_int(&query, 4) != 0;
		outcome->enters = rows_power(&query, 5);
		check->speaker->outcomes = check->outcomes;
	}
	return query_end(&query);
}

static enum lw_status
read_spoken(struct speaking *all)
{
	struct book_spoken *spoken;
	struct gathered *check;
	struct query query;
	int64_t outcome, cause;
	size_t at = 0;

	start(&query, all, SQL_SPOKEN);
	while (query_row(&query)) {
		check = of_row(all, &query, &at);
		if (check == NULL)
			break;
		outcome = query_get_int(&query, 1);
		cause = query_get_int(&query, 2);
		if (outcome < 0 ||
		    (uint64_t)outcome >= check->speaker->outcome_count ||
		    cause < 0 || (uint64_t)cause >= all->cause_count)
			continue;
		spoken = query_grow(&query, all->arena, &check->spoken,
		    &check->speaker->spoken_count, &check->spoken_room,
		    sizeof *spoken);
		if (spoken == NULL)
			break;
		spoken->outcome = (size_t)outcome;
		spoken->cause = (size_t)cause;
		spoken->word = query_get_text(&query, all->arena, 3);
		check->speaker->spoken = check->spoken;
	}
	return query_end(&query);
}

static enum lw_status
read_tools(struct speaking *all)
{
	struct gathered *check;
	struct lw_text *tool;
	struct query query;
	size_t at = 0;

	start(&query, all, SQL_SPEAKER_TOOLS);
	while (query_row(&query)) {
		check = of_row(all, &query, &at);
		if (check == NULL)
			break;
		tool = query_grow(&query, all->arena, &check->tools,
		    &check->speaker->tool_count, &check->tool_room,
		    sizeof *tool);
		if (tool == NULL)
			break;
		tool->text = query_get_word(&query, all->arena, 1);
		check->speaker->tools = check->tools;
	}
	return query_end(&query);
}

enum lw_status
book_speakers(const struct book_speaker **speakers, size_t *count,
    struct lw_book *book, struct lw_arena *arena, const char *const *causes,
    size_t cause_count, struct lw_err *err)
{
	struct speaking all = {
	    .book = book,
	    .arena = arena,
	    .err = err,
	    .cause_count = cause_count,
	};
	enum lw_status status;

	*speakers = NULL;
	*count = 0;
	if (cause_count == 0)
		return LW_OK;
	buf_init(&all.names, NAMES_MAX);
	write_names(&all, causes);
	status = buf_check(&all.names, err);
	if (status == LW_OK)
		status = store_begin_read(book, err);
	if (status != LW_OK)
		goto out;
	status = read_checks(&all);
	if (status == LW_OK && all.count > 0)
		status = read_outcomes(&all);
	if (status == LW_OK && all.count > 0)
		status = read_spoken(&all);
	if (status == LW_OK && all.count > 0)
		status = read_tools(&all);
	status = store_end_read(book, status);
	if (status == LW_OK) {
		*speakers = all.speakers;
		*count = all.count;
	}
out:
	buf_clear(&all.names);
	return status;
}
