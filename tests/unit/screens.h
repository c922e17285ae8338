/* What the suites of paired screens share: keys, and short ways to pair, look
 * up and list. Every failure stops the test. */
#ifndef UNIT_SCREENS_H
#define UNIT_SCREENS_H

#include "unit/bench.h"

#define SCREENS_HOLDS_S (INT64_C(90) * 24 * 60 * 60)

/* A key of 64 digits for each letter; that of 'k' has letters in it. */
static inline const char *
key(char letter)
{
	static char keys[26][65];
	char *one = keys[letter - 'a'];

	snprintf(one, sizeof keys[0], "%064x", (unsigned)letter);
	memset(one, "0123456789abcdef"[letter % 16], 32);
	return one;
}

static inline int64_t
pair_at(struct bench *bench, const char *with, const char *name, int64_t now_s)
{
	int64_t number = 0;

	ck_assert_msg(lw_screen_pair(&number, bench->book, with, name,
			  "Invented browser", now_s, &bench->err) == LW_OK,
	    "%s", bench->err.text);
	ck_assert_int_gt(number, 0);
	return number;
}

/* NULL where it is not paired. */
static inline const struct lw_screen *
get(struct bench *bench, const char *with, int64_t now_s)
{
	const struct lw_screen *screen = NULL;
	enum lw_status status;

	status = lw_screen_get(
	    &screen, bench->book, bench->arena, with, now_s, &bench->err);
	ck_assert(status == (screen != NULL ? LW_OK : LW_NOT_FOUND));
	return screen;
}

static inline struct lw_screens
list_at(struct bench *bench, int64_t now_s)
{
	struct lw_screens screens;

	ck_assert_int_eq(lw_screen_list(&screens, bench->book, bench->arena,
			     now_s, &bench->err),
	    LW_OK);
	return screens;
}

#endif
