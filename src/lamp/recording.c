/* Recordings as they are read: bytes into lines, lines into rows. Cells are
 * left to recording_line.c, headers to recording_head.c, what is kept to
 * recording_rows.c. */
#include "lamp/recording_inside.h"

#include "base/err.h"
#include "base/num.h"
#include "base/utf8.h"

#include <limits.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* What is past these is no time and no level of any lamp; and what is nearer
 * to nothing than the last would be lost in any square. */
static const double most_s = 1e9;
static const double most_level = 1e15;
static const double least_level = 1e-30;

/* A first time past this is a clock's: times are counted from it. */
static const double clock_s = 1e6;

struct lw_recording {
	bool taps;
	bool ended;
	struct lw_err failed; /* the first error */

	/* The line that is being read. */
	char line[RECORDING_LINE_MAX];
	size_t length;
	unsigned number;
	bool quoted;
	bool in_comment;
	bool after_cr;

	/* The last comment that was a whole line: it may be a header. */
	char comment[RECORDING_LINE_MAX];
	size_t comment_length;
	unsigned comment_number;

	char separator;
	bool headed; /* the line before was the header */
	double from; /* what times are counted from, in the file's unit */
	struct marks marks;
	struct columns columns;
	struct rows rows;
	struct remarks remarks;
	const char *lamps[LW_SERIES_LAMPS_MAX];
	struct lw_series series;
};

void
recording_remark(struct remarks *remarks, const char *format, ...)
{
	char *text;
	va_list args;
	int length;

	if (remarks->count == RECORDING_REMARKS_MAX)
		return;
	text = remarks->texts[remarks->count];
	va_start(args, format);
	length = vsnprintf(text, RECORDING_REMARK_SIZE, format, args);
	va_end(args);
	if (length < 0)
		return;
	if (length >= RECORDING_REMARK_SIZE)
		text[utf8_whole(text, RECORDING_REMARK_SIZE - 1)] = '\0';
	remarks->list[remarks->count++] = text;
}

enum lw_status
lw_recording_open(
    struct lw_recording **recording, bool taps, struct lw_err *err)
{
	*recording = calloc(1, sizeof **recording);
	if (*recording == NULL)
		return err_no_memory(err);
	(*recording)->taps = taps;
	(*recording)->number = 1;
	return LW_OK;
}

void
lw_recording_close(struct lw_recording *recording)
{
	if (recording == NULL)
		return;
	recording_rows_free(&recording->rows);
	free(recording);
}

/* --- rows ---------------------------------------------------------------- */

static enum lw_status
beyond(const struct line *line, size_t cell, const char *what, const char *most,
    struct lw_err *err)
{
	char shown[RECORDING_SHOWN_SIZE];

	return err_set_at(err, LW_BAD_INPUT, line->number,
	    recording_column(line, cell),
	    "\"%s\" is beyond any %s, which is "
	    "at most %s",
	    recording_show(shown, &line->cells[cell]), what, most);
}

/* The first time says what times are counted from. */
static void
choose_start(struct lw_recording *recording, double time)
{
	char text[32];

	recording->from = 0;
	if (fabs(time / recording->columns.per_second) < clock_s)
		return;
	recording->from = time;
	num_format(text, sizeof text, time / recording->columns.per_second);
	recording_remark(&recording->remarks,
	    "Times are counted from the first row, which is at %s s.", text);
}

static enum lw_status
read_time(double *seconds, struct lw_recording *recording,
    const struct line *line, size_t cell, struct lw_err *err)
{
	double time;
	enum lw_status status;

	status =
	    recording_number(&time, &recording->marks, line, cell, "time", err);
	if (status != LW_OK)
		return status;
	if (recording->rows.taken == 0)
		choose_start(recording, time);
	*seconds = (time - recording->from) / recording->columns.per_second;
	if (fabs(*seconds) > most_s)
		return beyond(line, cell, "time",
		    "a thousand million seconds from the first", err);
	return LW_OK;
}

static enum lw_status
read_level(double *level, struct lw_recording *recording,
    const struct line *line, size_t cell, struct lw_err *err)
{
	enum lw_status status;

	status = recording_number(
	    level, &recording->marks, line, cell, "level", err);
	if (status != LW_OK)
		return status;
	if (fabs(*level) > most_level)
		return beyond(line, cell, "level", "1e15", err);
	if (fabs(*level) < least_level)
		*level = 0;
	return LW_OK;
}

static enum lw_status
take_tap(struct lw_recording *recording, const struct line *line, size_t cell,
    struct lw_err *err)
{
	struct rows *rows = &recording->rows;
	double seconds;
	enum lw_status status;

	status = read_time(&seconds, recording, line, cell, err);
	if (status != LW_OK)
		return status;
	if (rows->taken == LW_TAPS_MAX)
		return err_set_at(err, LW_BAD_INPUT, line->number, 0,
		    "a recording has at most %d taps, and this is one more; "
		    "a few minutes are plenty",
		    LW_TAPS_MAX);
	if (line->count > 1 && line->separator == ',' &&
	    recording->columns.count == 0 && rows->taken > 0 &&
	    seconds <= rows->last_s)
		return err_set_at(err, LW_BAD_INPUT, line->number,
		    recording_column(line, cell),
		    "the taps do not follow each other in time here; if a "
		    "comma is a decimal mark, write a point, as in 0.42");
	return recording_row(rows, seconds, NULL, line->number, err);
}

static enum lw_status
take_row(
    struct lw_recording *recording, const struct line *line, struct lw_err *err)
{
	const struct columns *columns = &recording->columns;
	double seconds = 0, levels[LW_SERIES_LAMPS_MAX] = {0};
	enum lw_status status = LW_OK;
	size_t i, lamp = 0;

	for (i = 0; i < line->count && status == LW_OK; i++) {
		if (columns->roles[i] == COLUMN_TIME)
			status = read_time(&seconds, recording, line, i, err);
		else if (columns->roles[i] == COLUMN_LEVEL)
			status = read_level(
			    &levels[lamp++], recording, line, i, err);
	}
	if (status != LW_OK)
		return status;
	return recording_row(
	    &recording->rows, seconds, levels, line->number, err);
}

/* --- lines --------------------------------------------------------------- */

/* A comment just above the first row may be the header. */
static bool
comment_heads(struct lw_recording *recording, const struct line *row)
{
	struct columns columns = {.count = 0};
	struct remarks remarks = recording->remarks;
	struct line line = {.text = recording->comment,
	    .number = recording->comment_number,
	    .separator = row->separator};

	if (recording->comment_length == 0 ||
	    recording->comment_length > sizeof recording->comment ||
	    recording_split(&line, recording->comment,
		recording->comment_length, NULL) != LW_OK ||
	    line.count != row->count)
		return false;
	recording_remark(&remarks,
	    "The comment on line %u was taken for the header.", line.number);
	if (recording_header(
		&columns, &remarks, &line, recording->taps, NULL) != LW_OK)
		return false;
	recording->columns = columns;
	recording->remarks = remarks;
	return true;
}

static void
remark_unit(struct lw_recording *recording)
{
	double per_second = recording->columns.per_second;

	if (recording->columns.unit_said && per_second != 1)
		recording_remark(&recording->remarks,
		    "Times were read as %s, as the header says.",
		    per_second == 1e3	? "milliseconds"
		    : per_second == 1e6 ? "microseconds"
					: "nanoseconds");
}

/* The first row, and there was no header: LW_OK with what columns hold. */
static enum lw_status
begin_rows(
    struct lw_recording *recording, const struct line *line, struct lw_err *err)
{
	enum lw_status status = LW_OK;

	if (!comment_heads(recording, line)) {
		recording->columns.per_second = 1;
		if (!recording->taps)
			status =
			    recording_headless(&recording->columns, line, err);
	}
	recording->rows.lamp_count = recording->columns.lamp_count;
	if (status == LW_OK)
		remark_unit(recording);
	return status;
}

static enum lw_status
take_header(
    struct lw_recording *recording, const struct line *line, struct lw_err *err)
{
	enum lw_status status;

	status = recording_header(&recording->columns, &recording->remarks,
	    line, recording->taps, err);
	recording->headed = true;
	recording->separator = line->separator;
	recording->rows.lamp_count = recording->columns.lamp_count;
	return status;
}

static enum lw_status
check_count(
    const struct lw_recording *recording, struct line *line, struct lw_err *err)
{
	size_t count = recording->columns.count;
	const struct cell *last = &line->cells[line->count - 1];

	if (line->count == count + 1 && last->length == 0 && !last->quoted)
		line->count--;
	if (line->count == count)
		return LW_OK;
	return err_set_at(err, LW_BAD_INPUT, line->number, 0,
	    "this line has %zu %s where the lines before have %zu%s",
	    line->count, line->count == 1 ? "column" : "columns", count,
	    line->separator == ',' && line->count == 2 * count
		? "; if commas are decimal marks, part the columns by "
		  "semicolons"
		: "");
}

static bool
is_header(const struct line *line)
{
	return line->cells[0].length > 0 && !recording_is_number(line, 0) &&
	       strchr("+-.0123456789", line->cells[0].text[0]) == NULL;
}

static enum lw_status
take_cells(
    struct lw_recording *recording, struct line *line, struct lw_err *err)
{
	bool first = recording->rows.taken == 0;
	bool headed = recording->headed, units;
	enum lw_status status = LW_OK;
	size_t i;

	recording->headed = false;
	if (first && recording->columns.count == 0) {
		if (line->count > 1 && line->cells[line->count - 1].length == 0)
			line->count--;
		if (is_header(line))
			return take_header(recording, line, err);
		status = begin_rows(recording, line, err);
	} else if (first && headed) {
		units = recording_units(&recording->columns, line);
		remark_unit(recording);
		if (units)
			return LW_OK;
	}
	if (status != LW_OK)
		return status;
	if (recording->columns.count == 0) {
		for (i = 0; i < line->count && status == LW_OK; i++)
			status = take_tap(recording, line, i, err);
		return status;
	}
	recording->separator = line->separator;
	status = check_count(recording, line, err);
	if (status != LW_OK)
		return status;
	return recording->taps
		   ? take_tap(recording, line, recording->columns.time, err)
		   : take_row(recording, line, err);
}

/* The line without what is around it: a mark of UTF-8, spaces. */
static enum lw_status
take_line(struct lw_recording *recording, struct lw_err *err)
{
	struct line line = {
	    .text = recording->line, .number = recording->number};
	char *text = recording->line;
	size_t length = recording->length;
	enum lw_status status;

	if (line.number == 1 && length >= 3 &&
	    memcmp(text, "\xEF\xBB\xBF", 3) == 0) {
		text += 3;
		length -= 3;
		line.text = text;
	}
	for (; length > 0 && (*text == ' ' || *text == '\t'); length--)
		text++;
	while (
	    length > 0 && (text[length - 1] == ' ' || text[length - 1] == '\t'))
		length--;
	if (length == 0)
		return LW_OK;
	recording->in_comment = false;
	if (recording->quoted)
		return err_set_at(err, LW_BAD_INPUT, line.number, 0,
		    "a quotation mark is opened in this line and not closed");
	line.separator = recording->separator != '\0'
			     ? recording->separator
			     : recording_separator(text, length);
	status = recording_split(&line, text, length, err);
	return status != LW_OK ? status : take_cells(recording, &line, err);
}

static enum lw_status
end_line(struct lw_recording *recording, struct lw_err *err)
{
	enum lw_status status = LW_OK;

	if (recording->length > 0)
		status = take_line(recording, err);
	recording->length = 0;
	recording->quoted = false;
	recording->in_comment = false;
	if (recording->number < UINT_MAX)
		recording->number++;
	return status;
}

/* --- bytes --------------------------------------------------------------- */

static enum lw_status
no_text(const struct lw_recording *recording, unsigned char byte,
    struct lw_err *err)
{
	const char *line = recording->line;

	if (recording->number == 1 && recording->length >= 2 &&
	    (memcmp(line, "\xFF\xFE", 2) == 0 ||
		memcmp(line, "\xFE\xFF", 2) == 0))
		return err_set_at(err, LW_BAD_INPUT, 1, 0,
		    "this text is UTF-16; save it as CSV in UTF-8");
	if (byte == 0)
		return err_set_at(err, LW_BAD_INPUT, recording->number, 0,
		    "there is a zero byte in this line, so it is no CSV text "
		    "in UTF-8; a recording is lines such as 0.04,12.5");
	return err_set_at(err, LW_BAD_INPUT, recording->number, 0,
	    "there is a control character (0x%02X) in this line; a recording "
	    "is lines of text such as 0.04,12.5",
	    byte);
}

/* A byte that is part of a comment. */
static void
add_comment(struct lw_recording *recording, char c)
{
	if (recording->comment_length < sizeof recording->comment)
		recording->comment[recording->comment_length] = c;
	if (recording->comment_length <= sizeof recording->comment)
		recording->comment_length++;
}

static void
begin_comment(struct lw_recording *recording)
{
	recording->in_comment = true;
	recording->comment_length = 0;
	recording->comment_number = recording->number;
}

static enum lw_status
take_byte(struct lw_recording *recording, char c, struct lw_err *err)
{
	unsigned char byte = (unsigned char)c;

	if (c == '\n' || c == '\r') {
		if (c == '\n' && recording->after_cr) {
			recording->after_cr = false;
			return LW_OK;
		}
		recording->after_cr = c == '\r';
		return end_line(recording, err);
	}
	recording->after_cr = false;
	if ((byte < 0x20 && c != '\t') || byte == 0x7F)
		return no_text(recording, byte, err);
	if (recording->in_comment) {
		add_comment(recording, c);
		return LW_OK;
	}
	if (c == '#' && !recording->quoted) {
		begin_comment(recording);
		return LW_OK;
	}
	if (c == '"')
		recording->quoted = !recording->quoted;
	if (recording->length == sizeof recording->line)
		return err_set_at(err, LW_BAD_INPUT, recording->number, 0,
		    "this line is longer than %d bytes; a recording has "
		    "seconds and the levels on a line, such as 0.04,12.5",
		    RECORDING_LINE_MAX);
	recording->line[recording->length++] = c;
	return LW_OK;
}

/* Keep the first error, and give it again to whoever goes on. */
static enum lw_status
fail(struct lw_recording *recording, enum lw_status status, struct lw_err *err)
{
	if (recording->failed.code == LW_OK)
		recording->failed.code = status;
	if (err != NULL)
		*err = recording->failed;
	return recording->failed.code;
}

enum lw_status
lw_recording_feed(struct lw_recording *recording, const char *bytes,
    size_t length, struct lw_err *err)
{
	enum lw_status status = LW_OK;
	size_t i;

	if (recording->failed.code != LW_OK)
		return fail(recording, LW_OK, err);
	for (i = 0; i < length && status == LW_OK; i++)
		status = take_byte(recording, bytes[i], &recording->failed);
	return status == LW_OK ? LW_OK : fail(recording, status, err);
}

static enum lw_status
check_enough(const struct lw_recording *recording, struct lw_err *err)
{
	size_t count = recording->rows.count;

	if (recording->rows.taken == 0 && recording->taps)
		return err_set(err, LW_BAD_INPUT,
		    "there is no tap; write the time of each in seconds, one "
		    "a line");
	if (recording->rows.taken == 0)
		return err_set(err, LW_BAD_INPUT,
		    "there is no row; a recording is lines of seconds and "
		    "level, such as 0.04,12.5");
	if (count < 2 && !recording->taps)
		return err_set(err, LW_BAD_INPUT,
		    "there is %s; record some seconds, in at least 20 rows a "
		    "second",
		    recording->rows.taken == 1 ? "one row alone"
					       : "one time alone");
	return LW_OK;
}

static void
give_series(struct lw_recording *recording)
{
	struct lw_series *series = &recording->series;
	size_t l;

	series->count = recording->rows.count;
	series->seconds = recording->rows.seconds;
	series->lamp_count = recording->rows.lamp_count;
	series->levels = recording->rows.levels;
	for (l = 0; l < series->lamp_count; l++)
		recording->lamps[l] = recording->columns.names[l];
	series->lamps = recording->columns.named && series->lamp_count > 0
			    ? recording->lamps
			    : NULL;
	for (l = 0; l < recording->remarks.count; l++)
		recording->remarks.list[l] = recording->remarks.texts[l];
	series->remarks = recording->remarks.list;
	series->remark_count = recording->remarks.count;
}

enum lw_status
lw_recording_end(const struct lw_series **series,
    struct lw_recording *recording, struct lw_err *err)
{
	enum lw_status status = LW_OK;

	*series = &recording->series;
	if (recording->failed.code != LW_OK)
		return fail(recording, LW_OK, err);
	if (recording->ended)
		return LW_OK;
	status = end_line(recording, &recording->failed);
	if (status == LW_OK)
		status = recording_settle(
		    &recording->rows, &recording->remarks, &recording->failed);
	if (status == LW_OK)
		status = check_enough(recording, &recording->failed);
	if (status != LW_OK)
		return fail(recording, status, err);
	give_series(recording);
	recording->ended = true;
	return LW_OK;
}
