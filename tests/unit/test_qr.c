/* QR codes, read back module by module and held against what the standard
 * says of every code. That a camera reads them is left to tests/web. */
#include "serve/qr.h"
#include "unit/suites.h"

#include "base/buf.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define COUNT(list) (sizeof(list) / sizeof(list)[0])
#define SIDE_MAX 80

/* A code's modules, with the quiet zone: 1 is dark. */
struct modules {
	int side;
	unsigned char dark[SIDE_MAX][SIDE_MAX];
};

/* Read lines of half blocks back, as they look: where `coloured`, ink is
 * dark; otherwise ink is the terminal's light. */
static void
read_blocks(struct modules *modules, const char *text, bool coloured)
{
	static const char before[] = "\033[38;5;16;48;5;231m";
	static const char after[] = "\033[0m";
	int row = 0, column, width = 0;

	memset(modules, 0, sizeof *modules);
	while (*text != '\0') {
		if (coloured) {
			ck_assert_int_eq(
			    strncmp(text, before, strlen(before)), 0);
			text += strlen(before);
		}
		for (column = 0; *text != '\n' && *text != '\033'; column++) {
			int ink;

			ck_assert_int_lt(row + 1, SIDE_MAX);
			ck_assert_int_lt(column, SIDE_MAX);
			if (*text == ' ')
				ink = 0;
			else if (strncmp(text, "\u2580", 3) == 0)
				ink = 1;
			else if (strncmp(text, "\u2584", 3) == 0)
				ink = 2;
			else if (strncmp(text, "\u2588", 3) == 0)
				ink = 3;
			else
				ck_abort_msg("no half block: %.3s", text);
			text += ink == 0 ? 1 : 3;
			if (!coloured)
				ink = 3 - ink;
			modules->dark[row][column] = ink & 1;
			modules->dark[row + 1][column] = ink >> 1;
		}
		if (coloured) {
			ck_assert_int_eq(
			    strncmp(text, after, strlen(after)), 0);
			text += strlen(after);
		}
		ck_assert(width == 0 || column == width);
		width = column;
		ck_assert_int_eq(*text++, '\n');
		row += 2;
	}
	/* Two rows of modules a line; the last line has one of its own. */
	ck_assert_int_eq(row, width + 1);
	modules->side = width;
}

/* Read the path of a picture back: "M4 4h7v1h-7z" is 7 modules in a row. */
static void
read_path(struct modules *modules, const char *text, unsigned side)
{
	int column, row, length, back, taken, i;

	memset(modules, 0, sizeof *modules);
	modules->side = (int)side;
	for (; *text != '\0'; text += taken) {
		taken = 0;
		ck_assert_int_eq(sscanf(text, "M%d %dh%dv1h-%dz%n", &column,
				     &row, &length, &back, &taken),
		    4);
		ck_assert_int_gt(taken, 0);
		ck_assert_int_eq(length, back);
		for (i = 0; i < length; i++)
			modules->dark[row][column + i] = 1;
	}
}

/* ISO/IEC 18004, section 6.3.3: a dark square of 7 with a light ring of 5
 * and a dark core of 3, and light around it. */
static void
check_finder(const struct modules *modules, int top, int left)
{
	int row, column;

	for (row = -1; row <= 7; row++) {
		for (column = -1; column <= 7; column++) {
			int up = abs(row - 3), across = abs(column - 3);
			int ring = up > across ? up : across;

			ck_assert_msg(modules->dark[top + row][left + column] ==
					  (ring == 3 || ring <= 1),
			    "%d %d", row, column);
		}
	}
}

/* What every code has, whatever it says. */
static void
check_modules(const struct modules *modules, int size)
{
	int row, column, end = size + 4;

	ck_assert_int_eq(modules->side, size + 8);
	for (row = 0; row < size + 8; row++) {
		for (column = 0; column < size + 8; column++) {
			if (row < 4 || column < 4 || row >= end ||
			    column >= end)
				ck_assert(!modules->dark[row][column]);
		}
	}
	check_finder(modules, 4, 4);
	check_finder(modules, 4, end - 7);
	check_finder(modules, end - 7, 4);
	/* Section 6.3.5: dark and light by turns between the finders. */
	for (column = 8; column < size - 8; column++) {
		ck_assert_int_eq(modules->dark[10][4 + column], !(column & 1));
		ck_assert_int_eq(modules->dark[4 + column][10], !(column & 1));
	}
	/* Section 7.9.1: the module that is always dark; the level's bits,
	 * 00 for M, under the mask's 10. */
	ck_assert(modules->dark[end - 8][12]);
	ck_assert(modules->dark[12][4]);
	ck_assert(!modules->dark[12][5]);
}

START_TEST(codes_have_what_every_code_has)
{
	/* ISO/IEC 18004, table 7: bytes that versions 1 to 4 hold at level M,
	 * and their sizes by table 1. */
	static const struct {
		size_t length;
		int size;
	} all[] = {{1, 21}, {14, 21}, {15, 25}, {24, 25}, {26, 25}, {27, 29},
	    {42, 29}, {43, 33}, {62, 33}, {63, 37}};
	static struct modules plain, coloured, path;
	char text[64];
	size_t i;

	for (i = 0; i < COUNT(all); i++) {
		struct buf a, b, c;
		unsigned side = 0;

		memset(text, 'a', sizeof text);
		memcpy(text, "http://192.168.1.5:8017/", 14);
		text[all[i].length] = '\0';
		buf_init(&a, 1u << 18);
		buf_init(&b, 1u << 18);
		buf_init(&c, 1u << 18);
		ck_assert_int_eq(qr_add_blocks(&a, text, false, NULL), LW_OK);
		ck_assert_int_eq(qr_add_blocks(&b, text, true, NULL), LW_OK);
		ck_assert_int_eq(qr_add_path(&c, &side, text, NULL), LW_OK);
		read_blocks(&plain, buf_text(&a), false);
		read_blocks(&coloured, buf_text(&b), true);
		read_path(&path, buf_text(&c), side);
		check_modules(&plain, all[i].size);
		check_modules(&coloured, all[i].size);
		check_modules(&path, all[i].size);
		ck_assert_mem_eq(&plain, &coloured, sizeof plain);
		ck_assert_mem_eq(&plain, &path, sizeof plain);
		buf_clear(&a);
		buf_clear(&b);
		buf_clear(&c);
	}
}
END_TEST

START_TEST(what_no_code_can_hold_is_said)
{
	static char text[2333];
	struct lw_err err;
	struct buf out;
	unsigned side;

	buf_init(&out, 1u << 20);
	memset(text, 'a', sizeof text - 1);
	ck_assert_int_eq(qr_add_path(&out, &side, text, &err), LW_BAD_INPUT);
	ck_assert_int_eq(qr_add_blocks(&out, text, true, &err), LW_BAD_INPUT);
	ck_assert_int_eq(qr_add_path(&out, &side, "", &err), LW_BAD_INPUT);
	/* Table 7: version 40 at level M. */
	text[2331] = '\0';
	ck_assert_int_eq(qr_add_path(&out, &side, text, &err), LW_OK);
	ck_assert_uint_eq(side, 177 + 8);
	buf_clear(&out);
	/* A cap that is too small is an error, not half a code. */
	buf_init(&out, 100);
	ck_assert_int_eq(
	    qr_add_path(&out, &side, "http://127.0.0.1/", &err), LW_TOO_BIG);
	buf_clear(&out);
}
END_TEST

Suite *
suite_qr(void)
{
	Suite *suite = suite_create("qr");
	TCase *tests = tcase_create("all");

	tcase_add_test(tests, codes_have_what_every_code_has);
	tcase_add_test(tests, what_no_code_can_hold_is_said);
	suite_add_tcase(suite, tests);
	return suite;
}
