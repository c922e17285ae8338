/* The settings ledger: added to, and looked at as a whole, as of a time, and
 * between two times. What the device itself says is left to records.c. */
#include "book/rigs.h"

#include "base/err.h"
#include "book/nearest.h"
#include "book/query.h"
#include "book/texts.h"

#include <string.h>

enum { TEXT_MAX = 200, WHY_MAX = 1000, DAY_S = 24 * 60 * 60 };

/* --- adding ------------------------------------------------------------- */

/* A text that has to be there. */
static enum lw_status
check_text(const char *what, const char *text, struct lw_err *err)
{
	return texts_check(
	    what, text == NULL ? "" : text, TEXT_MAX, false, err);
}

static enum lw_status
check_setting(const struct lw_setting *setting, struct lw_err *err)
{
	enum lw_status status;

	status = check_text("the name of the device", setting->device, err);
	if (status == LW_OK)
		status = check_text(
		    "the name of the setting", setting->setting, err);
	if (status == LW_OK && setting->was != NULL)
		status = check_text("the value before", setting->was, err);
	if (status == LW_OK)
		status = check_text("the value", setting->became, err);
	if (status == LW_OK && setting->why != NULL && setting->why[0] != '\0')
		status =
		    texts_check("the reason", setting->why, WHY_MAX, true, err);
	return status;
}

static enum lw_status
put_setting(struct lw_book *book, const char *rig,
    const struct lw_setting *setting, int64_t now_s, int64_t *entry,
    struct lw_err *err)
{
	struct query query;

	query_start(&query, book, SQL_PUT_SETTING, err);
	query_text(&query, 1, rig);
	query_text(&query, 2, setting->device);
	query_text(&query, 3, setting->setting);
	query_text(&query, 4, setting->was);
	query_text(&query, 5, setting->became);
	if (setting->why != NULL && setting->why[0] != '\0')
		query_text(&query, 6, setting->why);
	if (setting->job != 0)
		query_int(&query, 7, setting->job);
	query_int(&query, 8, now_s);
	if (query_row(&query))
		*entry = query_get_int(&query, 0);
	return query_run(&query);
}

enum lw_status
lw_setting_add(struct lw_book *book, const char *rig,
    const struct lw_setting *setting, int64_t now_s, int64_t *entry,
    struct lw_err *err)
{
	int64_t number = 0;
	enum lw_status status;

	if (entry != NULL)
		*entry = 0;
	status = check_setting(setting, err);
	if (status != LW_OK)
		return status;
	status = store_begin_write(book, err);
	if (status != LW_OK)
		return status;
	status =
	    rigs_check_entry(book, rig, setting->device, setting->job, err);
	if (status == LW_OK)
		status = put_setting(book, rig, setting, now_s, &number, err);
	status = store_end_write(book, status, err);
	if (status == LW_OK && entry != NULL)
		*entry = number;
	return status;
}

/* --- looking ------------------------------------------------------------ */

/* Column 8 is what the ledger had last; NULL before the first entry. */
static enum lw_status
read_settings(
    struct query *query, struct lw_arena *arena, struct lw_settings *settings)
{
	struct lw_setting *items = NULL, *setting;
	const char *found;
	size_t room = 0;

	while (query_row(query)) {
		setting = query_grow(query, arena, &items, &settings->count,
		    &room, sizeof *setting);
		if (setting == NULL)
			break;
		setting->entry = query_get_int(query, 0);
		setting->time_s = query_get_int(query, 1);
		setting->device = query_get_word(query, arena, 2);
		setting->setting = query_get_word(query, arena, 3);
		setting->was = query_get_text(query, arena, 4);
		setting->became = query_get_word(query, arena, 5);
		setting->why = query_get_text(query, arena, 6);
		setting->job = query_get_int(query, 7);
		/* What was found on the device: before a change, or as it was
		 * only read. */
		found = setting->was != NULL ? setting->was : setting->became;
		setting->unexplained = !query_get_null(query, 8) &&
				       strcmp(found, query_peek(query, 8)) != 0;
	}
	settings->items = items;
	return query_end(query);
}

/* Begin to read the ledger of a rig, which may have been removed. */
static enum lw_status
begin(struct lw_book *book, const char *rig, struct lw_err *err)
{
	bool removed;
	enum lw_status status;

	status = store_begin_read(book, err);
	if (status != LW_OK)
		return status;
	status = rigs_find(book, rig, &removed, err);
	return status == LW_OK ? LW_OK : store_end_read(book, status);
}

enum lw_status
lw_setting_history(struct lw_book *book, struct lw_arena *arena,
    const char *rig, const char *device, struct lw_settings *settings,
    struct lw_err *err)
{
	struct query query;
	enum lw_status status;

	memset(settings, 0, sizeof *settings);
	status = begin(book, rig, err);
	if (status != LW_OK)
		return status;
	query_start(&query, book, SQL_SETTINGS, err);
	query_text(&query, 1, rig);
	query_text(&query, 2, device);
	status = read_settings(&query, arena, settings);
	return store_end_read(book, status);
}

enum lw_status
lw_setting_as_of(struct lw_book *book, struct lw_arena *arena, const char *rig,
    int64_t at_s, struct lw_settings *settings, struct lw_err *err)
{
	struct query query;
	enum lw_status status;

	memset(settings, 0, sizeof *settings);
	status = begin(book, rig, err);
	if (status != LW_OK)
		return status;
	query_start(&query, book, SQL_SETTINGS_AS_OF, err);
	query_text(&query, 1, rig);
	query_int(&query, 2, at_s);
	status = read_settings(&query, arena, settings);
	return store_end_read(book, status);
}

enum lw_status
lw_setting_of_job(struct lw_book *book, struct lw_arena *arena, int64_t job,
    struct lw_settings *settings, struct lw_err *err)
{
	struct query query;

	memset(settings, 0, sizeof *settings);
	query_start(&query, book, SQL_SETTINGS_OF_JOB, err);
	query_int(&query, 1, job);
	return read_settings(&query, arena, settings);
}

enum lw_status
lw_setting_difference(struct lw_book *book, struct lw_arena *arena,
    const char *rig, int64_t from_s, int64_t to_s,
    const struct lw_setting_change **changes, size_t *count, struct lw_err *err)
{
	struct query query;
	struct lw_setting_change *items = NULL, *change;
	size_t room = 0;
	enum lw_status status;

	*changes = NULL;
	*count = 0;
	status = begin(book, rig, err);
	if (status != LW_OK)
		return status;
	query_start(&query, book, SQL_SETTINGS_DIFFERENCE, err);
	query_text(&query, 1, rig);
	query_int(&query, 2, from_s);
	query_int(&query, 3, to_s);
	while (query_row(&query)) {
		change = query_grow(
		    &query, arena, &items, count, &room, sizeof *change);
		if (change == NULL)
			break;
		change->device = query_get_word(&query, arena, 0);
		change->setting = query_get_word(&query, arena, 1);
		change->before = query_get_text(&query, arena, 2);
		change->after = query_get_text(&query, arena, 3);
	}
	*changes = items;
	return store_end_read(book, query_end(&query));
}

/* --- days --------------------------------------------------------------- */

static bool
is_leap(int64_t year)
{
	return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
}

/* Days before a year, counted from the year 1. */
static int64_t
days_before(int64_t year)
{
	year--;
	return year * 365 + year / 4 - year / 100 + year / 400;
}

/* "####-##-##", and nothing else. The three are 0 before. */
static bool
read_day(const char *day, int64_t *year, int64_t *month, int64_t *date)
{
	static const char form[] = "####-##-##";
	int64_t *parts[] = {year, month, date}, **part = parts;
	size_t i;

	for (i = 0; form[i] != '\0'; i++) {
		if (form[i] == '#') {
			if (day[i] < '0' || day[i] > '9')
				return false;
			**part = **part * 10 + (day[i] - '0');
		} else if (day[i] == form[i]) {
			part++;
		} else {
			return false;
		}
	}
	return day[i] == '\0';
}

enum lw_status
lw_day_end(int64_t *time_s, const char *day, struct lw_err *err)
{
	static const int lengths[] = {
	    31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
	char name[NEAREST_NAME_MAX];
	int64_t year = 0, month = 0, date = 0, days, i, length = 0;

	*time_s = 0;
	if (!read_day(day, &year, &month, &date))
		return err_set(err, LW_BAD_INPUT,
		    "\"%s\" is not a day; write year, month and day, as in "
		    "2026-11-25",
		    nearest_name(name, day));
	if (month >= 1 && month <= 12)
		length =
		    lengths[month - 1] + (month == 2 && is_leap(year) ? 1 : 0);
	if (year < 1970 || date < 1 || date > length)
		return err_set(err, LW_BAD_INPUT,
		    "there is no day %s in the calendar from 1970 on; write "
		    "year, month and day, as in 2026-11-25",
		    nearest_name(name, day));
	days = days_before(year) - days_before(1970) + date - 1;
	for (i = 1; i < month; i++)
		days += lengths[i - 1] + (i == 2 && is_leap(year) ? 1 : 0);
	*time_s = (days + 1) * DAY_S - 1;
	return LW_OK;
}
