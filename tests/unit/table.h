/* Tables of input and expected: tab-separated lines, # comments. */
#ifndef UNIT_TABLE_H
#define UNIT_TABLE_H

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { TABLE_FIELDS = 6 };

struct table {
	FILE *file;
	char line[2048];
	unsigned row;		   /* line in the file, from 1 */
	size_t count;		   /* fields of this line */
	char *field[TABLE_FIELDS]; /* "" past the last one */
};

/* `name` is relative to tests/tables/. */
static inline void
table_open(struct table *table, const char *name)
{
	char path[1024];

	memset(table, 0, sizeof *table);
	snprintf(path, sizeof path, "%s/tables/%s", TESTS_DIR, name);
	table->file = fopen(path, "r");
	ck_assert_msg(table->file != NULL, "%s cannot be opened", path);
}

/* In a field \xHH is a byte, \t a tab and \e the empty text. */
static inline void
table_unescape(char *text)
{
	char *to = text;
	char hex[3] = "";

	while (*text != '\0') {
		if (text[0] == '\\' && text[1] == 'x' && text[2] && text[3]) {
			memcpy(hex, text + 2, 2);
			*to++ = (char)strtol(hex, NULL, 16);
			text += 4;
		} else if (text[0] == '\\' && text[1] == 't') {
			*to++ = '\t';
			text += 2;
		} else if (text[0] == '\\' && text[1] == 'e') {
			text += 2;
		} else {
			*to++ = *text++;
		}
	}
	*to = '\0';
}

/* The next row that is no comment; 0 after the last one. */
static inline int
table_next(struct table *table)
{
	char *s;
	size_t i;

	while (fgets(table->line, sizeof table->line, table->file) != NULL) {
		table->row++;
		table->line[strcspn(table->line, "\n")] = '\0';
		if (table->line[0] == '#' || table->line[0] == '\0')
			continue;
		table->count = 0;
		for (s = table->line; s != NULL && table->count < TABLE_FIELDS;)
			table->field[table->count++] = strsep(&s, "\t");
		for (i = 0; i < TABLE_FIELDS; i++) {
			if (i >= table->count)
				table->field[i] =
				    table->line + sizeof table->line - 1;
			else
				table_unescape(table->field[i]);
		}
		table->line[sizeof table->line - 1] = '\0';
		return 1;
	}
	return 0;
}

static inline void
table_close(struct table *table)
{
	fclose(table->file);
}

#endif
