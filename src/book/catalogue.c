/* Reading one item by its number, with all that hangs on it. Checks and trees
 * are left to catalogue_checks.c, values to catalogue_values.c, settings to
 * catalogue_settings.c, finding the number to lookup.c. */
#include "book/catalogue.h"

#include "base/arena.h"
#include "base/err.h"
#include "book/rows.h"

#include <string.h>

const char *const catalogue_kinds[] = {"device", "fault", "symptom", "cause",
    "check", "point", "tree", "caution", "value", "setting", NULL};

/* Words that the book cannot have written leave the enumeration at "none". */
static enum lw_coding
get_coding(struct query *query, int column)
{
	enum lw_coding coding = LW_CODING_UNKNOWN;

	if (lw_coding_parse(&coding, query_peek(query, column), NULL) != LW_OK)
		return LW_CODING_UNKNOWN;
	return coding;
}

static enum lw_severity
get_severity(struct query *query, int column)
{
	enum lw_severity severity = LW_SEVERITY_NONE;

	if (lw_severity_parse(&severity, query_peek(query, column), NULL) !=
	    LW_OK)
		return LW_SEVERITY_NONE;
	return severity;
}

static enum lw_signal
get_signal(struct query *query, int column)
{
	enum lw_signal signal = LW_SIGNAL_NONE;

	if (lw_signal_parse(&signal, query_peek(query, column), NULL) != LW_OK)
		return LW_SIGNAL_NONE;
	return signal;
}

static enum lw_status
read_lamps(struct lw_book *book, struct lw_arena *arena, int64_t number,
    struct lw_device *device, struct lw_err *err)
{
	struct query query;
	struct lw_lamp *lamps = NULL, *lamp;
	size_t room = 0;

	query_start(&query, book, SQL_LAMPS, err);
	query_int(&query, 1, number);
	while (query_row(&query)) {
		lamp = query_grow(&query, arena, &lamps, &device->lamp_count,
		    &room, sizeof *lamp);
		if (lamp == NULL)
			break;
		lamp->id = query_get_word(&query, arena, 0);
		lamp->title = query_get_text(&query, arena, 1);
		lamp->colour = query_get_text(&query, arena, 2);
		lamp->coding = get_coding(&query, 3);
		lamp->on_s = query_get_real(&query, 4);
		lamp->gap_s = query_get_real(&query, 5);
		lamp->group_gap_s = query_get_real(&query, 6);
		lamp->pause_s = query_get_real(&query, 7);
		lamp->slow = query_get_text(&query, arena, 8);
		lamp->fast = query_get_text(&query, arena, 9);
		lamp->flicker = query_get_text(&query, arena, 10);
		lamp->source = query_get_text(&query, arena, 11);
	}
	device->lamps = lamps;
	return query_end(&query);
}

/* Codes of a query with the columns lamp, pattern, fault, meaning. */
static enum lw_status
read_codes(struct query *query, struct lw_arena *arena, const char *device,
    bool own, const struct lw_code **out, size_t *count)
{
	struct lw_code *codes = NULL, *code;
	size_t room = 0;

	*count = 0;
	while (query_row(query)) {
		code = query_grow(
		    query, arena, &codes, count, &room, sizeof *code);
		if (code == NULL)
			break;
		code->device = device;
		code->lamp = query_get_word(query, arena, 0);
		code->pattern = query_get_word(query, arena, 1);
		code->fault = query_get_text(query, arena, 2);
		code->meaning = query_get_text(query, arena, 3);
		code->own = own;
	}
	*out = codes;
	return query_end(query);
}

enum lw_status
catalogue_device(struct lw_book *book, struct lw_arena *arena, int64_t number,
    struct lw_device *device, struct lw_err *err)
{
	struct query query;
	enum lw_status status;

	memset(device, 0, sizeof *device);
	status = rows_item(book, arena, number, &device->id, &device->title,
	    &device->source, &device->own, err);
	if (status != LW_OK)
		return status;
	if (rows_start(&query, book, SQL_DEVICE, number, err)) {
		device->kind = query_get_text(&query, arena, 0);
		device->description = query_get_text(&query, arena, 1);
		device->invented = query_get_int(&query, 2) != 0;
	}
	status = query_end(&query);
	if (status == LW_OK)
		status = read_lamps(book, arena, number, device, err);
	if (status != LW_OK)
		return status;
	query_start(&query, book, SQL_CODES, err);
	query_int(&query, 1, number);
	return read_codes(&query, arena, device->id, false, &device->codes,
	    &device->code_count);
}

enum lw_status
catalogue_own_codes(struct lw_book *book, struct lw_arena *arena,
    const char *device, const struct lw_code **codes, size_t *count,
    struct lw_err *err)
{
	struct query query;

	query_start(&query, book, SQL_OWN_CODES, err);
	query_text(&query, 1, device);
	return read_codes(&query, arena, device, true, codes, count);
}

enum lw_status
catalogue_whole_device(struct lw_book *book, struct lw_arena *arena,
    int64_t number, struct lw_device *device, struct lw_err *err)
{
	const struct lw_code *own;
	struct lw_code *all;
	size_t own_count, count, i, j;
	enum lw_status status;

	status = catalogue_device(book, arena, number, device, err);
	if (status != LW_OK)
		return status;
	status =
	    catalogue_own_codes(book, arena, device->id, &own, &own_count, err);
	if (status != LW_OK || own_count == 0)
		return status;
	count = device->code_count;
	all = arena_array(arena, count + own_count, sizeof *all);
	if (all == NULL)
		return err_no_memory(err);
	if (count > 0)
		memcpy(all, device->codes, count * sizeof *all);
	for (i = 0; i < own_count; i++) {
		for (j = 0; j < device->code_count; j++)
			if (strcmp(all[j].lamp, own[i].lamp) == 0 &&
			    strcmp(all[j].pattern, own[i].pattern) == 0)
				break;
		all[j < device->code_count ? j : count++] = own[i];
	}
	device->codes = all;
	device->code_count = count;
	return LW_OK;
}

enum lw_status
catalogue_fault(struct lw_book *book, struct lw_arena *arena, int64_t number,
    struct lw_fault *fault, struct lw_err *err)
{
	struct query query;
	enum lw_status status;

	memset(fault, 0, sizeof *fault);
	status = rows_item(book, arena, number, &fault->id, &fault->title,
	    &fault->source, NULL, err);
	if (status != LW_OK)
		return status;
	if (rows_start(&query, book, SQL_FAULT, number, err)) {
		fault->meaning = query_get_text(&query, arena, 0);
		fault->severity = get_severity(&query, 1);
		fault->clears = query_get_text(&query, arena, 2);
		fault->meanwhile = query_get_text(&query, arena, 3);
		fault->again = rows_power(&query, 4);
	}
	status = query_end(&query);
	if (status == LW_OK)
		status = rows_refs(book, arena, SQL_FAULT_CAUSES, number, true,
		    &fault->causes, err);
	return status;
}

enum lw_status
catalogue_symptom(struct lw_book *book, struct lw_arena *arena, int64_t number,
    struct lw_symptom *symptom, struct lw_err *err)
{
	struct query query;
	enum lw_status status;

	memset(symptom, 0, sizeof *symptom);
	status = rows_item(book, arena, number, &symptom->id, &symptom->title,
	    &symptom->source, NULL, err);
	if (status != LW_OK)
		return status;
	if (rows_start(&query, book, SQL_SYMPTOM, number, err)) {
		symptom->description = query_get_text(&query, arena, 0);
		symptom->again = rows_power(&query, 1);
	}
	status = query_end(&query);
	if (status == LW_OK)
		status = rows_texts(book, arena, SQL_SYMPTOM_PHRASES, number,
		    &symptom->phrases, err);
	if (status == LW_OK)
		status = rows_texts(book, arena, SQL_SYMPTOM_PATTERNS, number,
		    &symptom->patterns, err);
	if (status == LW_OK)
		status = rows_refs(book, arena, SQL_SYMPTOM_CAUSES, number,
		    true, &symptom->causes, err);
	if (status == LW_OK)
		status = rows_refs(book, arena, SQL_SYMPTOM_CAUTIONS, number,
		    false, &symptom->cautions, err);
	return status;
}

enum lw_status
catalogue_cause(struct lw_book *book, struct lw_arena *arena, int64_t number,
    struct lw_cause *cause, struct lw_err *err)
{
	struct query query;
	enum lw_status status;

	memset(cause, 0, sizeof *cause);
	status = rows_item(book, arena, number, &cause->id, &cause->title,
	    &cause->source, NULL, err);
	if (status != LW_OK)
		return status;
	if (rows_start(&query, book, SQL_CAUSE, number, err)) {
		cause->weight = query_get_text(&query, arena, 0);
		cause->why = query_get_text(&query, arena, 1);
		cause->fix = query_get_text(&query, arena, 2);
		cause->parts = query_get_text(&query, arena, 3);
		cause->proof = query_get_text(&query, arena, 4);
		cause->tools = query_get_text(&query, arena, 5);
		cause->damages = query_get_text(&query, arena, 6);
		cause->minutes = query_get_real(&query, 7);
	}
	status = query_end(&query);
	if (status == LW_OK)
		status = rows_refs(book, arena, SQL_CAUSE_ALIKE, number, false,
		    &cause->alike, err);
	return status;
}

enum lw_status
catalogue_point(struct lw_book *book, struct lw_arena *arena, int64_t number,
    struct lw_point *point, struct lw_err *err)
{
	struct query query;
	enum lw_status status;

	memset(point, 0, sizeof *point);
	status = rows_item(
	    book, arena, number, &point->id, &point->title, NULL, NULL, err);
	if (status != LW_OK)
		return status;
	if (rows_start(&query, book, SQL_POINT, number, err))
		point->where = query_get_text(&query, arena, 0);
	return query_end(&query);
}

enum lw_status
catalogue_caution(struct lw_book *book, struct lw_arena *arena, int64_t number,
    struct lw_caution *caution, struct lw_err *err)
{
	struct query query;
	enum lw_status status;

	memset(caution, 0, sizeof *caution);
	status = rows_item(book, arena, number, &caution->id, &caution->hazard,
	    &caution->source, NULL, err);
	if (status != LW_OK)
		return status;
	if (rows_start(&query, book, SQL_CAUTION, number, err)) {
		caution->signal = get_signal(&query, 0);
		caution->avoid = query_get_text(&query, arena, 1);
		caution->where = query_get_text(&query, arena, 2);
		caution->otherwise = query_get_text(&query, arena, 3);
		rows_rules(&query, arena, 4, &caution->only);
		caution->from_volts = query_get_real(&query, 5);
		caution->from_joules = query_get_real(&query, 6);
	}
	status = query_end(&query);
	if (status != LW_OK)
		return status;
	query_start(&query, book, SQL_CAUTION_STATES, err);
	query_int(&query, 1, number);
	while (query_row(&query)) {
		enum lw_power power = rows_power(&query, 0);

		if (power > LW_POWER_UNKNOWN && power < LW_POWER_COUNT)
			caution->states[power] = true;
	}
	return query_end(&query);
}
