/* Search by words: the index, and the patterns that symptoms carry. How the
 * index is kept is left to index.c and notes.c. */
#include "base/arena.h"
#include "base/buf.h"
#include "base/err.h"
#include "base/utf8.h"
#include "book/nearest.h"
#include "book/query.h"
#include "book/terms.h"
#include "regex/regex.h"

#include <stdlib.h>
#include <string.h>

enum {
	FEW = 3, /* fewer hits for all words, and half of them will do */
	LIMIT_MAX = 200,
	EXPRESSION_MAX = 4096,
	MARK_START = 2, /* around what matched, in a snippet */
	MARK_END = 3,
	DETAIL_MAX = 160
};

/* A score is the tier, plus what is below 1 for how well it fits. */
enum tier { TIER_SOME, TIER_ALL, TIER_PATTERN };

static const char *const kinds[] = {
    "symptom", "fault", "cause", "check", "setting", "note", "device"};

enum {
	KINDS = sizeof kinds / sizeof kinds[0],
	KIND_SYMPTOM = 0,
	KIND_NOTE = 5
};

struct hit {
	struct lw_entry entry;
	int64_t number;
	int kind;
	size_t order; /* as found, so that sorting is stable */
};

struct search {
	struct lw_book *book;
	struct lw_arena *arena;
	struct lw_err *err;
	struct terms terms;
	int64_t limit;
	struct hit *hits;
	size_t count;
	size_t room;
};

/* The line of a snippet with the most marks in it, without them. */
static char *
best_line(struct lw_arena *arena, const char *snippet)
{
	const char *line = snippet, *best = snippet, *next;
	size_t most = 0, length, marks, i, used = 0;
	char *text;

	for (;;) {
		length = strcspn(line, "\n");
		for (marks = i = 0; i < length; i++)
			marks += line[i] == MARK_START;
		if (marks > most) {
			most = marks;
			best = line;
		}
		next = line + length;
		if (*next == '\0')
			break;
		line = next + 1;
	}
	length = strcspn(best, "\n");
	text = arena_alloc(arena, length + 1);
	if (text == NULL)
		return NULL;
	for (i = 0; i < length; i++)
		if (best[i] != MARK_START && best[i] != MARK_END)
			text[used++] = best[i];
	return text;
}

/* The first line of a text, cut where it is long. */
static char *
beginning(struct lw_arena *arena, const char *text)
{
	size_t length = strcspn(text, "\n");

	if (length <= DETAIL_MAX)
		return arena_dup_n(arena, text, length);
	length = utf8_whole(text, DETAIL_MAX);
	return arena_printf(arena, "%.*s...", (int)length, text);
}

static struct hit *
find_hit(struct search *search, int kind, int64_t number)
{
	size_t i;

	for (i = 0; i < search->count; i++)
		if (search->hits[i].kind == kind &&
		    search->hits[i].number == number)
			return &search->hits[i];
	return NULL;
}

static struct hit *
add_hit(struct search *search, struct query *query, int kind, int64_t number)
{
	struct hit *hit;

	hit = query_grow(query, search->arena, &search->hits, &search->count,
	    &search->room, sizeof *hit);
	if (hit == NULL)
		return NULL;
	hit->kind = kind;
	hit->number = number;
	hit->order = search->count;
	hit->entry.kind = kinds[kind];
	hit->entry.subject_kind = "";
	hit->entry.subject = "";
	return hit;
}

/* What the hit shows: what matched, unless that is its title again. */
static void
set_detail(struct search *search, struct query *query, struct hit *hit)
{
	const char *text = best_line(search->arena, query_peek(query, 3));

	if (text != NULL && (strcmp(text, hit->entry.title) == 0 ||
				strcmp(text, hit->entry.id) == 0))
		text = beginning(search->arena, query_peek(query, 4));
	if (text == NULL)
		query_no_memory(query);
	hit->entry.detail = text == NULL ? "" : text;
}

/* bm25 is the better the further below zero. */
static double
goodness(double bm25)
{
	return bm25 < 0 ? -bm25 / (1 - bm25) : 0;
}

/* How well it fits, below 1: how many of the words, then how well they do. */
static double
fit(const struct search *search, enum tier tier, double bm25, int64_t matched)
{
	double all = (double)search->terms.count;

	if (tier == TIER_ALL)
		return goodness(bm25);
	return ((double)matched - 1 + goodness(bm25)) / all;
}

/* Hits of one kind that are not there yet, with at least that many of the
 * words in them. */
static enum lw_status
search_kind(struct search *search, const char *expression, int kind,
    enum tier tier, size_t least)
{
	struct query query;
	struct hit *hit;
	bool notes = kind == KIND_NOTE;

	query_start(&query, search->book,
	    notes ? SQL_SEARCH_NOTES : SQL_SEARCH_ITEMS, search->err);
	query_text(&query, 1, expression);
	if (notes) {
		query_int(&query, 2, search->limit);
		query_int(&query, 3, (int64_t)least);
	} else {
		query_text(&query, 2, kinds[kind]);
		query_int(&query, 3, search->limit);
		query_int(&query, 4, (int64_t)least);
	}
	while (query_row(&query)) {
		int64_t number = query_get_int(&query, 0);

		if (find_hit(search, kind, number) != NULL)
			continue;
		hit = add_hit(search, &query, kind, number);
		if (hit == NULL)
			break;
		hit->entry.id = query_get_word(&query, search->arena, 1);
		hit->entry.title = query_get_word(&query, search->arena, 2);
		set_detail(search, &query, hit);
		hit->entry.score =
		    tier + fit(search, tier, query_get_real(&query, 5),
			       query_get_int(&query, 8));
		hit->entry.own = query_get_int(&query, 6) != 0;
		hit->entry.time_s = query_get_int(&query, 7);
		if (notes) {
			hit->entry.subject_kind =
			    query_get_word(&query, search->arena, 9);
			hit->entry.subject =
			    query_get_word(&query, search->arena, 10);
		}
	}
	return query_end(&query);
}

/* All kinds, or the one that is asked for. */
static enum lw_status
search_words(struct search *search, int only, enum tier tier, size_t least)
{
	struct buf expression;
	enum lw_status status;
	int kind;

	if (search->terms.count == 0)
		return LW_OK;
	buf_init(&expression, EXPRESSION_MAX);
	terms_write(&search->terms, tier == TIER_ALL, &expression);
	status = buf_check(&expression, search->err);
	for (kind = 0; kind < KINDS && status == LW_OK; kind++)
		if (only < 0 || kind == only)
			status = search_kind(
			    search, buf_text(&expression), kind, tier, least);
	buf_clear(&expression);
	return status;
}

/* A pattern that does not compile or runs into a limit matches nothing: the
 * pack's lint has said so. */
static bool
matches(const char *pattern, const char *text)
{
	struct regex *regex = NULL;
	bool found = false;

	if (regex_compile(&regex, pattern, REGEX_CASELESS, NULL) == LW_OK)
		found =
		    regex_run(regex, text, strlen(text), NULL, NULL) == LW_OK;
	regex_free(regex);
	return found;
}

/* Symptoms whose patterns match what was typed rank before all others. */
static enum lw_status
search_patterns(struct search *search)
{
	struct query query;
	struct hit *hit;
	const char *text;

	query_start(&query, search->book, SQL_ALL_PATTERNS, search->err);
	while (query_row(&query)) {
		int64_t number = query_get_int(&query, 0);

		hit = find_hit(search, KIND_SYMPTOM, number);
		if (hit != NULL && hit->entry.score >= TIER_PATTERN)
			continue;
		if (!matches(query_peek(&query, 4), search->terms.text))
			continue;
		if (hit != NULL) {
			hit->entry.score +=
			    TIER_PATTERN - (hit->entry.score >= TIER_ALL
						   ? TIER_ALL
						   : TIER_SOME);
			continue;
		}
		hit = add_hit(search, &query, KIND_SYMPTOM, number);
		if (hit == NULL)
			break;
		hit->entry.id = query_get_word(&query, search->arena, 1);
		hit->entry.title = query_get_word(&query, search->arena, 2);
		text = beginning(search->arena, query_peek(&query, 3));
		if (text == NULL)
			query_no_memory(&query);
		hit->entry.detail = text == NULL ? "" : text;
		hit->entry.score = TIER_PATTERN;
		hit->entry.own = query_get_int(&query, 5) != 0;
		hit->entry.time_s = query_get_int(&query, 6);
	}
	return query_end(&query);
}

static int
compare(const void *a, const void *b)
{
	const struct hit *one = a, *other = b;

	if (one->kind != other->kind)
		return one->kind < other->kind ? -1 : 1;
	if (one->entry.score > other->entry.score)
		return -1;
	if (one->entry.score < other->entry.score)
		return 1;
	return one->order < other->order ? -1 : one->order > other->order;
}

/* In order, and no more of a kind than was asked for. */
static enum lw_status
hand_over(struct search *search, struct lw_entries *out)
{
	struct lw_entry *items;
	size_t i, kept = 0;
	int64_t of_kind = 0;

	if (search->count == 0)
		return LW_OK;
	qsort(search->hits, search->count, sizeof *search->hits, compare);
	items = arena_array(search->arena, search->count, sizeof *items);
	if (items == NULL)
		return err_no_memory(search->err);
	for (i = 0; i < search->count; i++) {
		if (i == 0 || search->hits[i].kind != search->hits[i - 1].kind)
			of_kind = 0;
		if (of_kind++ < search->limit)
			items[kept++] = search->hits[i].entry;
	}
	out->items = items;
	out->count = kept;
	return LW_OK;
}

/* All words, then half of them, and one alone only where that is nothing.
 * Where all words hit, half of them are noise but for another symptom. */
static enum lw_status
search_all(struct search *search, int only)
{
	size_t words = search->terms.count;
	enum lw_status status;

	status = search_words(search, only, TIER_ALL, words);
	if (status == LW_OK && (only < 0 || only == KIND_SYMPTOM))
		status = search_patterns(search);
	if (status == LW_OK && search->count < FEW && words > 1) {
		if (search->count > 0 && only < 0)
			only = KIND_SYMPTOM;
		status = search_words(search, only, TIER_SOME, (words + 1) / 2);
	}
	if (status == LW_OK && search->count == 0 && words > 2)
		status = search_words(search, only, TIER_SOME, 1);
	return status;
}

/* `only` is the kind, or -1 for all. */
static enum lw_status
find(struct lw_book *book, struct lw_arena *arena, int only, const char *words,
    size_t limit, struct lw_entries *hits, struct lw_err *err)
{
	struct search search = {.book = book, .arena = arena, .err = err};
	char name[NEAREST_NAME_MAX];
	enum lw_status status;

	hits->items = NULL;
	hits->count = 0;
	search.limit = limit < LIMIT_MAX ? (int64_t)limit : LIMIT_MAX;
	terms_read(&search.terms, words);
	status = store_begin_read(book, err);
	if (status != LW_OK)
		return status;
	status = search_all(&search, only);
	status = store_end_read(book, status);
	if (status == LW_OK)
		status = hand_over(&search, hits);
	if (status == LW_OK && hits->count == 0)
		status = err_set(err, LW_NOT_FOUND,
		    "nothing in the book answers to \"%s\"; try other words, "
		    "or fewer",
		    nearest_name(name, words));
	return status;
}

enum lw_status
lw_book_find(struct lw_book *book, struct lw_arena *arena, const char *words,
    size_t limit, struct lw_entries *hits, struct lw_err *err)
{
	return find(book, arena, -1, words, limit, hits, err);
}

enum lw_status
lw_book_find_kind(struct lw_book *book, struct lw_arena *arena,
    const char *kind, const char *words, size_t limit, struct lw_entries *hits,
    struct lw_err *err)
{
	char name[NEAREST_NAME_MAX];
	int i;

	for (i = 0; i < KINDS; i++)
		if (strcmp(kinds[i], kind) == 0)
			return find(book, arena, i, words, limit, hits, err);
	hits->items = NULL;
	hits->count = 0;
	return err_set(err, LW_BAD_INPUT,
	    "\"%s\" cannot be searched by words; symptom, fault, cause, "
	    "check, setting, note and device can",
	    nearest_name(name, kind));
}
