/* What the columns of a recording hold, by its header: which one is the time
 * and in what unit, what the lamps are called, what is left out. The rows are
 * left to recording_rows.c. */
#include "lamp/recording_inside.h"

#include "base/err.h"

#include <string.h>

enum { NAME_MAX = 80 };

/* A header's cell: its name in small letters, and its unit. */
struct heading {
	char name[NAME_MAX + 1]; /* words parted by one hyphen */
	char unit[NAME_MAX + 1]; /* "" where none is given */
};

static const struct unit {
	const char *name;
	double per_second; /* 0: none of time */
} units[] = {
    {"s", 1},
    {"sec", 1},
    {"secs", 1},
    {"second", 1},
    {"seconds", 1},
    {"sekunde", 1},
    {"sekunden", 1},
    {"ms", 1e3},
    {"msec", 1e3},
    {"msecs", 1e3},
    {"millis", 1e3},
    {"millisecond", 1e3},
    {"milliseconds", 1e3},
    {"millisekunden", 1e3},
    {"us", 1e6},
    {"\xC2\xB5s", 1e6},
    {"\xCE\xBCs", 1e6},
    {"\xB5s", 1e6},
    {"usec", 1e6},
    {"micros", 1e6},
    {"microsecond", 1e6},
    {"microseconds", 1e6},
    {"ns", 1e9},
    {"nsec", 1e9},
    {"nanosecond", 1e9},
    {"nanoseconds", 1e9},
};

static const char *const time_names[] = {"time", "times", "t", "timestamp",
    "ts", "elapsed", "zeit", "temps", "tiempo", "tempo", "x", "x-axis",
    "x-value"};

static const char *const count_names[] = {"frame", "frames", "frame-number",
    "frame-no", "frame-nr", "framenumber", "n", "no", "nr", "number", "index",
    "idx", "i", "row", "line", "sample", "samples", "record", "tap", "flash"};

/* What a column of times alone may be called besides. */
static const char *const tap_names[] = {
    "tap", "taps", "flash", "flashes", "press", "presses"};

static const char *const other_names[] = {"date", "day", "note", "notes",
    "comment", "comments", "remark", "remarks", "label", "marker", "event",
    "file", "filename", "datum", "tag", "notiz", "bemerkung", "bemerkungen",
    "kommentar", "anmerkung", "hinweis", "ereignis"};

/* What one column of levels is called when it names no lamp. */
static const char *const level_names[] = {"level", "levels", "brightness",
    "light", "lamp", "led", "luminance", "luma", "intensity", "value", "y",
    "lux", "lx", "v", "mv", "volt", "volts", "voltage", "adc", "raw", "signal",
    "mean", "average", "grey", "gray", "channel", "channel-a", "ch1", "ch1v",
    "photodiode", "sensor", "helligkeit", "pegel", "wert"};

static bool
is_among(const char *name, const char *const *names, size_t count)
{
	size_t i;

	for (i = 0; i < count; i++)
		if (strcmp(name, names[i]) == 0)
			return true;
	return false;
}
#define IS_AMONG(name, names) \
	is_among(name, names, sizeof(names) / sizeof(names)[0])

static const struct unit *
find_unit(const char *name)
{
	size_t i;

	for (i = 0; i < sizeof units / sizeof units[0]; i++)
		if (strcmp(units[i].name, name) == 0)
			return &units[i];
	return NULL;
}

/* --- one heading --------------------------------------------------------- */

/* Small letters; what is no letter, digit, apostrophe or beyond ASCII parts
 * words. */
static void
copy_words(char to[static NAME_MAX + 1], const char *text, size_t length)
{
	size_t i, used = 0;

	for (i = 0; i < length && used < NAME_MAX; i++) {
		unsigned char c = (unsigned char)text[i];

		if (c >= 'A' && c <= 'Z')
			c |= 0x20;
		if ((c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') ||
		    c >= 0x80)
			to[used++] = (char)c;
		else if (c != '\'' && used > 0 && to[used - 1] != '-')
			to[used++] = '-';
	}
	while (used > 0 && to[used - 1] == '-')
		used--;
	to[used] = '\0';
}

/* "time_ms", "elapsed s": the last word is a unit of time. */
static void
part_unit(struct heading *heading)
{
	char *last = strrchr(heading->name, '-');

	if (last != NULL && find_unit(last + 1) != NULL) {
		strcpy(heading->unit, last + 1);
		*last = '\0';
	} else if (last == NULL && find_unit(heading->name) != NULL) {
		strcpy(heading->unit, heading->name);
		heading->name[0] = '\0';
	}
}

static void
read_heading(struct heading *heading, const struct cell *cell)
{
	size_t n = 0;

	heading->unit[0] = '\0';
	while (n < cell->length && strchr("([/", cell->text[n]) == NULL)
		n++;
	copy_words(heading->name, cell->text, n);
	if (n < cell->length)
		copy_words(heading->unit, cell->text + n, cell->length - n);
	if (heading->unit[0] == '\0')
		part_unit(heading);
}

/* How sure it is that a heading is the time's: 3, 2, 1 (by its unit alone:
 * it is no level, and may be another time), or 0. */
static int
is_time(const struct heading *heading)
{
	const struct unit *unit = find_unit(heading->unit);
	const char *name = heading->name;
	size_t n = strlen(name);

	if (unit != NULL && (name[0] == '\0' || find_unit(name) != NULL))
		return 3;
	if (IS_AMONG(name, time_names))
		return 3;
	if ((n > 5 && strcmp(name + n - 5, "-time") == 0) ||
	    strncmp(name, "time-", 5) == 0)
		return 2;
	return unit != NULL ? 1 : 0;
}

/* --- the header ---------------------------------------------------------- */

/* The column that is the time; the count of columns where none is. */
static size_t
find_time(const struct line *line)
{
	struct heading heading = {.name = ""};
	size_t i, found = line->count;
	int sure, best = 0;

	for (i = 0; i < line->count; i++) {
		read_heading(&heading, &line->cells[i]);
		sure = is_time(&heading);
		if (sure > best && (sure > 1 || i == 0)) {
			best = sure;
			found = i;
		}
	}
	if (line->count == 1 && IS_AMONG(heading.name, tap_names))
		return 0;
	return found;
}

static enum lw_status
no_time(const struct line *line, bool taps, struct lw_err *err)
{
	struct heading heading;
	char shown[RECORDING_SHOWN_SIZE];

	read_heading(&heading, &line->cells[0]);
	recording_show(shown, &line->cells[0]);
	if (line->count > 1 && IS_AMONG(heading.name, count_names))
		return err_set_at(err, LW_BAD_INPUT, line->number, 1,
		    "\"%s\" counts rows and no column holds the time; add one "
		    "that is called seconds",
		    shown);
	return err_set_at(err, LW_BAD_INPUT, line->number, 1,
	    "\"%s\" is no time and no header of a time; begin with a line "
	    "such as %s, and put # before notes",
	    shown, taps ? "seconds" : "seconds,level");
}

static enum lw_status
take_unit(struct columns *columns, const struct line *line, struct lw_err *err)
{
	const struct cell *cell = &line->cells[columns->time];
	const struct unit *unit;
	struct heading heading;
	char shown[RECORDING_SHOWN_SIZE];

	read_heading(&heading, cell);
	columns->per_second = 1;
	if (heading.unit[0] == '\0')
		return LW_OK;
	unit = find_unit(heading.unit);
	if (unit == NULL)
		return err_set_at(err, LW_BAD_INPUT, line->number,
		    recording_column(line, columns->time),
		    "the times of \"%s\" have a unit that is not known; give "
		    "them in s, ms, us or ns",
		    recording_show(shown, cell));
	columns->per_second = unit->per_second;
	columns->unit_said = true;
	return LW_OK;
}

static bool
is_name(const char *name)
{
	return name[0] >= 'a' && name[0] <= 'z' &&
	       strlen(name) <= LAMP_NAME_MAX &&
	       name[strspn(name, "abcdefghijklmnopqrstuvwxyz0123456789-")] ==
		   '\0';
}

static enum lw_status
add_lamp(struct columns *columns, const struct line *line, size_t cell,
    struct lw_err *err)
{
	struct heading heading;
	char *name;

	if (columns->lamp_count == LW_SERIES_LAMPS_MAX)
		return err_set_at(err, LW_BAD_INPUT, line->number,
		    recording_column(line, cell),
		    "a recording has at most %d lamps, and this is one more; "
		    "keep the columns of lamps alone",
		    LW_SERIES_LAMPS_MAX);
	read_heading(&heading, &line->cells[cell]);
	name = columns->names[columns->lamp_count];
	name[0] = '\0';
	if (is_name(heading.name))
		strcpy(name, heading.name);
	columns->roles[cell] = COLUMN_LEVEL;
	columns->lamp_count++;
	return LW_OK;
}

/* Several lamps need names, each its own; one lamp needs none. */
static enum lw_status
check_names(
    struct columns *columns, const struct line *line, struct lw_err *err)
{
	char shown[RECORDING_SHOWN_SIZE];
	size_t i, j, lamp = 0;

	columns->named = true;
	if (columns->lamp_count == 1) {
		columns->named = columns->names[0][0] != '\0' &&
				 !IS_AMONG(columns->names[0], level_names);
		return LW_OK;
	}
	for (i = 0; i < line->count; i++) {
		if (columns->roles[i] != COLUMN_LEVEL)
			continue;
		recording_show(shown, &line->cells[i]);
		if (columns->names[lamp][0] == '\0')
			return err_set_at(err, LW_BAD_INPUT, line->number,
			    recording_column(line, i),
			    "\"%s\" cannot be a lamp's name; names begin with "
			    "a letter and have the letters a to z, digits and "
			    "hyphens, as in seconds,red,green",
			    shown);
		for (j = 0; j < lamp; j++)
			if (strcmp(columns->names[j], columns->names[lamp]) ==
			    0)
				return err_set_at(err, LW_BAD_INPUT,
				    line->number, recording_column(line, i),
				    "two columns are called \"%s\"; give each "
				    "lamp a name of its own",
				    shown);
		lamp++;
	}
	return LW_OK;
}

/* What is neither the time nor a lamp's level, and is not read. */
static bool
is_aside(const struct heading *heading)
{
	return is_time(heading) > 0 || IS_AMONG(heading->name, count_names) ||
	       IS_AMONG(heading->name, other_names);
}

static enum lw_status
take_column(struct columns *columns, struct remarks *remarks,
    const struct line *line, size_t cell, struct lw_err *err)
{
	char shown[RECORDING_SHOWN_SIZE];
	struct heading heading;

	if (cell == columns->time) {
		columns->roles[cell] = COLUMN_TIME;
		return LW_OK;
	}
	read_heading(&heading, &line->cells[cell]);
	if (!is_aside(&heading))
		return add_lamp(columns, line, cell, err);
	columns->roles[cell] = COLUMN_ASIDE;
	recording_remark(remarks, "The column \"%s\" was left out.",
	    recording_show(shown, &line->cells[cell]));
	return LW_OK;
}

enum lw_status
recording_header(struct columns *columns, struct remarks *remarks,
    const struct line *line, bool taps, struct lw_err *err)
{
	enum lw_status status;
	size_t i;

	columns->count = line->count;
	columns->lamp_count = 0;
	columns->unit_said = false;
	columns->time = find_time(line);
	if (columns->time == line->count)
		return no_time(line, taps, err);
	status = take_unit(columns, line, err);
	for (i = 0; i < line->count && status == LW_OK; i++)
		status = take_column(columns, remarks, line, i, err);
	if (status != LW_OK)
		return status;
	if (taps && columns->lamp_count > 0)
		return err_set_at(err, LW_BAD_INPUT, line->number, 0,
		    "taps are one time a line, and this has levels besides; "
		    "read it as a recording of levels");
	if (taps)
		return LW_OK;
	if (columns->lamp_count == 0)
		return err_set_at(err, LW_BAD_INPUT, line->number, 0,
		    "no column holds a level; a recording has lines such as "
		    "seconds,level, and times alone can be read as taps");
	return check_names(columns, line, err);
}

bool
recording_units(struct columns *columns, const struct line *line)
{
	const struct unit *unit;
	char word[NAME_MAX + 1];
	size_t i;

	if (line->count != columns->count)
		return false;
	for (i = 0; i < line->count; i++)
		if (recording_is_number(line, i))
			return false;
	copy_words(word, line->cells[columns->time].text,
	    line->cells[columns->time].length);
	unit = find_unit(word);
	if (unit == NULL)
		return false;
	columns->per_second = unit->per_second;
	columns->unit_said = true;
	return true;
}

enum lw_status
recording_headless(
    struct columns *columns, const struct line *line, struct lw_err *err)
{
	if (line->count == 1)
		return err_set_at(err, LW_BAD_INPUT, line->number, 0,
		    "this line is one number, and a recording has seconds and "
		    "a level on each, such as 0.04,12.5; times alone can be "
		    "read as taps");
	if (line->count == 4 && line->separator == ',')
		return err_set_at(err, LW_BAD_INPUT, line->number, 0,
		    "this line has four numbers; if commas are decimal marks "
		    "here, part the columns by semicolons, and else say what "
		    "they are in a first line such as seconds,red,green");
	if (line->count > 2)
		return err_set_at(err, LW_BAD_INPUT, line->number, 0,
		    "this line has %zu columns; say what they are in a first "
		    "line such as seconds,red,green",
		    line->count);
	columns->count = 2;
	columns->time = 0;
	columns->roles[0] = COLUMN_TIME;
	columns->roles[1] = COLUMN_LEVEL;
	columns->per_second = 1;
	columns->lamp_count = 1;
	return LW_OK;
}
