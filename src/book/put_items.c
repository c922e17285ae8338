/* Putting in devices, faults, symptoms, causes, points, cautions, values and
 * settings. Checks and trees are left to put_checks.c. */
#include "book/put.h"

#include "book/index.h"

static enum lw_status
put_lamp(
    struct put *put, int64_t number, size_t seq, const struct lw_lamp *lamp)
{
	struct query query;

	query_start(&query, put->book, SQL_PUT_LAMP, put->err);
	query_int(&query, 1, number);
	query_int(&query, 2, (int64_t)seq);
	query_text(&query, 3, lamp->id);
	query_text(&query, 4, lamp->title);
	query_text(&query, 5, lamp->colour);
	query_text(&query, 6, put_word(lw_coding_name(lamp->coding)));
	put_real(&query, 7, lamp->on_s, lamp->on_s > 0);
	put_real(&query, 8, lamp->gap_s, lamp->gap_s > 0);
	put_real(&query, 9, lamp->group_gap_s, lamp->group_gap_s > 0);
	put_real(&query, 10, lamp->pause_s, lamp->pause_s > 0);
	query_text(&query, 11, lamp->slow);
	query_text(&query, 12, lamp->fast);
	query_text(&query, 13, lamp->flicker);
	query_text(&query, 14, lamp->source);
	return query_run(&query);
}

static enum lw_status
put_code(
    struct put *put, int64_t number, size_t seq, const struct lw_code *code)
{
	struct query query;

	query_start(&query, put->book, SQL_PUT_CODE, put->err);
	query_int(&query, 1, number);
	query_int(&query, 2, (int64_t)seq);
	query_text(&query, 3, code->lamp);
	query_text(&query, 4, code->pattern);
	query_text(&query, 5, code->fault);
	query_text(&query, 6, code->meaning);
	return query_run(&query);
}

enum lw_status
put_device(struct put *put, size_t seq, const struct lw_device *device)
{
	struct query query;
	int64_t number = 0;
	enum lw_status status;
	size_t i;

	status = put_item_row(put, "device", seq, device->id, device->title,
	    device->source, &device->at, &number);
	if (status != LW_OK)
		return status;
	query_start(&query, put->book, SQL_PUT_DEVICE, put->err);
	query_int(&query, 1, number);
	query_text(&query, 2, device->kind);
	query_text(&query, 3, device->description);
	query_int(&query, 4, device->invented);
	status = query_run(&query);
	for (i = 0; i < device->lamp_count && status == LW_OK; i++)
		status = put_lamp(put, number, i, &device->lamps[i]);
	for (i = 0; i < device->code_count && status == LW_OK; i++)
		status = put_code(put, number, i, &device->codes[i]);
	if (status == LW_OK)
		status = index_device(put->book, number, put->err);
	return status;
}

enum lw_status
put_fault(struct put *put, size_t seq, const struct lw_fault *fault)
{
	struct query query;
	int64_t number = 0;
	enum lw_status status;

	status = put_item_row(put, "fault", seq, fault->id, fault->title,
	    fault->source, &fault->at, &number);
	if (status != LW_OK)
		return status;
	query_start(&query, put->book, SQL_PUT_FAULT, put->err);
	query_int(&query, 1, number);
	query_text(&query, 2, fault->meaning);
	query_text(&query, 3, put_word(lw_severity_name(fault->severity)));
	query_text(&query, 4, fault->clears);
	query_text(&query, 5, fault->meanwhile);
	query_text(&query, 6, put_power_word(fault->again));
	status = query_run(&query);
	if (status == LW_OK)
		status = put_weights(
		    put, SQL_PUT_FAULT_CAUSE, number, &fault->causes);
	if (status == LW_OK)
		status = index_fault(put->book, number, fault, put->err);
	return status;
}

enum lw_status
put_symptom(struct put *put, size_t seq, const struct lw_symptom *symptom)
{
	struct query query;
	int64_t number = 0;
	enum lw_status status;

	status = put_item_row(put, "symptom", seq, symptom->id, symptom->title,
	    symptom->source, &symptom->at, &number);
	if (status != LW_OK)
		return status;
	query_start(&query, put->book, SQL_PUT_SYMPTOM, put->err);
	query_int(&query, 1, number);
	query_text(&query, 2, symptom->description);
	query_text(&query, 3, put_power_word(symptom->again));
	status = query_run(&query);
	if (status == LW_OK)
		status = put_texts(
		    put, SQL_PUT_SYMPTOM_PHRASE, number, &symptom->phrases);
	if (status == LW_OK)
		status = put_texts(
		    put, SQL_PUT_SYMPTOM_PATTERN, number, &symptom->patterns);
	if (status == LW_OK)
		status = put_weights(
		    put, SQL_PUT_SYMPTOM_CAUSE, number, &symptom->causes);
	if (status == LW_OK)
		status = put_ids(
		    put, SQL_PUT_SYMPTOM_CAUTION, number, &symptom->cautions);
	if (status == LW_OK)
		status = index_symptom(put->book, number, symptom, put->err);
	return status;
}

enum lw_status
put_cause(struct put *put, size_t seq, const struct lw_cause *cause)
{
	struct query query;
	int64_t number = 0;
	enum lw_status status;

	status = put_item_row(put, "cause", seq, cause->id, cause->title,
	    cause->source, &cause->at, &number);
	if (status != LW_OK)
		return status;
	query_start(&query, put->book, SQL_PUT_CAUSE, put->err);
	query_int(&query, 1, number);
	query_text(&query, 2, cause->weight);
	query_text(&query, 3, cause->why);
	query_text(&query, 4, cause->fix);
	query_text(&query, 5, cause->parts);
	query_text(&query, 6, cause->proof);
	query_text(&query, 7, cause->tools);
	query_text(&query, 8, cause->damages);
	if (cause->minutes > 0)
		query_real(&query, 9, cause->minutes);
	status = query_run(&query);
	if (status == LW_OK)
		status = put_ids(
		    put, SQL_PUT_CAUSE_ALIKE, number, &cause->alike);
	if (status == LW_OK)
		status = index_cause(put->book, number, cause, put->err);
	return status;
}

enum lw_status
put_point(struct put *put, size_t seq, const struct lw_point *point)
{
	struct query query;
	int64_t number = 0;
	enum lw_status status;

	status = put_item_row(put, "point", seq, point->id, point->title, NULL,
	    &point->at, &number);
	if (status != LW_OK)
		return status;
	query_start(&query, put->book, SQL_PUT_POINT, put->err);
	query_int(&query, 1, number);
	query_text(&query, 2, point->where);
	return query_run(&query);
}

/* A caution's title is its hazard. */
enum lw_status
put_caution(struct put *put, size_t seq, const struct lw_caution *caution)
{
	struct query query;
	struct buf rules;
	int64_t number = 0;
	enum lw_status status;
	int power;

	status = put_item_row(put, "caution", seq, caution->id, caution->hazard,
	    caution->source, &caution->at, &number);
	if (status != LW_OK)
		return status;
	query_start(&query, put->book, SQL_PUT_CAUTION, put->err);
	query_int(&query, 1, number);
	query_text(&query, 2, put_word(lw_signal_name(caution->signal)));
	query_text(&query, 3, caution->avoid);
	query_text(&query, 4, caution->where);
	query_text(&query, 5, caution->otherwise);
	put_rules(&query, 6, &rules, &caution->only);
	put_real(&query, 7, caution->from_volts, caution->from_volts > 0);
	put_real(&query, 8, caution->from_joules, caution->from_joules > 0);
	status = query_run(&query);
	buf_clear(&rules);
	for (power = LW_POWER_ISOLATED;
	     power < LW_POWER_COUNT && status == LW_OK; power++) {
		if (!caution->states[power])
			continue;
		query_start(&query, put->book, SQL_PUT_CAUTION_STATE, put->err);
		query_int(&query, 1, number);
		query_text(&query, 2, lw_power_name((enum lw_power)power));
		status = query_run(&query);
	}
	return status;
}

static enum lw_status
put_choices(struct put *put, int64_t number, const struct lw_value *value)
{
	struct query query;
	enum lw_status status = LW_OK;
	size_t i;

	for (i = 0; value->choices[i] != NULL && status == LW_OK; i++) {
		query_start(&query, put->book, SQL_PUT_VALUE_CHOICE, put->err);
		query_int(&query, 1, number);
		query_int(&query, 2, (int64_t)i);
		query_text(&query, 3, value->choices[i]);
		query_text(&query, 4, value->choice_titles[i]);
		status = query_run(&query);
	}
	return status;
}

enum lw_status
put_value(struct put *put, size_t seq, const struct lw_value *value)
{
	struct query query;
	bool quantity = value->kind == LW_VALUE_QUANTITY;
	int64_t number = 0;
	enum lw_status status;

	status = put_item_row(put, "value", seq, value->id, value->title,
	    value->source, &value->at, &number);
	if (status != LW_OK)
		return status;
	query_start(&query, put->book, SQL_PUT_VALUE, put->err);
	query_int(&query, 1, number);
	query_text(&query, 2, value->part);
	query_text(&query, 3, value->help);
	query_text(&query, 4, value->where);
	query_text(&query, 5, lw_value_kind_name(value->kind));
	query_text(&query, 6, value->unit);
	put_real(&query, 7, value->low, quantity);
	put_real(&query, 8, value->high, quantity);
	query_text(&query, 9, value->tolerance);
	query_text(&query, 10, value->usual);
	query_text(&query, 11, value->worked);
	status = query_run(&query);
	if (status == LW_OK && value->choices != NULL)
		status = put_choices(put, number, value);
	return status;
}

enum lw_status
put_known_setting(
    struct put *put, size_t seq, const struct lw_known_setting *setting)
{
	struct query query;
	int64_t number = 0;
	enum lw_status status;

	status = put_item_row(put, "setting", seq, setting->id, setting->title,
	    setting->source, &setting->at, &number);
	if (status != LW_OK)
		return status;
	query_start(&query, put->book, SQL_PUT_KNOWN, put->err);
	query_int(&query, 1, number);
	query_text(&query, 2, setting->part);
	query_text(&query, 3, setting->does);
	query_text(&query, 4, setting->low);
	query_text(&query, 5, setting->high);
	query_text(&query, 6, setting->record);
	status = query_run(&query);
	if (status == LW_OK)
		status =
		    put_ids(put, SQL_PUT_KNOWN_FAULT, number, &setting->faults);
	if (status == LW_OK)
		status = put_ids(
		    put, SQL_PUT_KNOWN_SYMPTOM, number, &setting->symptoms);
	if (status == LW_OK)
		status = put_ids(
		    put, SQL_PUT_KNOWN_CAUTION, number, &setting->cautions);
	if (status == LW_OK)
		status = index_setting(put->book, number, setting, put->err);
	return status;
}
