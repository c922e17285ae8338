/* Makes the pairing code, tries what was typed against it, and locks; who is
 * told is left to the page and the terminal. */
#include "serve/pairing.h"

#include "base/err.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <sys/random.h>
#include <time.h>

#define CODE_DIGITS (PAIRING_CODE_SIZE - 1)
#define CODES 1000000u

int64_t
pairing_now(void)
{
	struct timespec now = {0, 0};

	clock_gettime(CLOCK_BOOTTIME, &now);
	return now.tv_sec;
}

/* Each of the codes is as likely as any other: of the 2^32 numbers, those past
 * the last whole million are drawn again. */
static enum lw_status
draw_code(char code[PAIRING_CODE_SIZE], struct lw_err *err)
{
	const uint32_t end = UINT32_MAX - UINT32_MAX % CODES;
	uint32_t number;

	do {
		if (getrandom(&number, sizeof number, 0) !=
		    (ssize_t)sizeof number) {
			if (errno != EINTR)
				return err_set(err, LW_FAILED,
				    "the system gives no random numbers: %s",
				    strerror(errno));
			number = end;
		}
	} while (number >= end);
	snprintf(code, PAIRING_CODE_SIZE, "%06u", (unsigned)(number % CODES));
	return LW_OK;
}

static bool
is_locked(const struct pairing *pairing, int64_t now_s)
{
	return now_s < pairing->locked_until_s;
}

static bool
is_good(const struct pairing *pairing, int64_t now_s)
{
	return pairing->code[0] != '\0' && now_s < pairing->until_s;
}

enum lw_status
pairing_ready(
    struct pairing *pairing, bool *fresh, int64_t now_s, struct lw_err *err)
{
	enum lw_status status;

	*fresh = false;
	if (is_locked(pairing, now_s) || is_good(pairing, now_s))
		return LW_OK;
	status = draw_code(pairing->code, err);
	if (status != LW_OK) {
		pairing->code[0] = '\0';
		return status;
	}
	pairing->until_s = now_s + PAIRING_CODE_S;
	*fresh = true;
	return LW_OK;
}

/* Whether it is the code: all of its digits are compared, whatever the first
 * ones are. */
static bool
is_code(const char *code, const char *typed)
{
	char digits[CODE_DIGITS] = {0};
	volatile unsigned difference = 0;
	size_t i, count = 0;

	for (; *typed != '\0'; typed++) {
		if (*typed == ' ' || *typed == '-')
			continue;
		if (count < CODE_DIGITS)
			digits[count] = *typed;
		count++;
	}
	for (i = 0; i < CODE_DIGITS; i++)
		difference |= (unsigned char)(code[i] ^ digits[i]);
	difference |= count != CODE_DIGITS;
	return difference == 0;
}

enum pairing_result
pairing_try(struct pairing *pairing, const char *typed, int64_t now_s)
{
	if (is_locked(pairing, now_s))
		return PAIRING_LOCKED;
	if (!is_good(pairing, now_s))
		return PAIRING_OVER;
	if (is_code(pairing->code, typed)) {
		pairing->wrong = 0;
		return PAIRING_RIGHT;
	}
	if (++pairing->wrong < PAIRING_TRIES)
		return PAIRING_WRONG;
	pairing->wrong = 0;
	pairing->code[0] = '\0';
	pairing->locked_until_s = now_s + PAIRING_LOCK_S;
	return PAIRING_LOCKING;
}

void
pairing_forget(struct pairing *pairing)
{
	pairing->code[0] = '\0';
}

static bool
is_among(int64_t number, const int64_t *numbers, size_t count)
{
	size_t i;

	for (i = 0; i < count; i++)
		if (numbers[i] == number)
			return true;
	return false;
}

void
pairing_note(struct pairing *pairing, const int64_t *numbers, size_t count)
{
	size_t i;

	for (i = 0; i < pairing->screen_count; i++)
		if (!is_among(pairing->screens[i], numbers, count))
			pairing_forget(pairing);
	pairing->screen_count =
	    count < PAIRING_SCREENS_MAX ? count : PAIRING_SCREENS_MAX;
	for (i = 0; i < pairing->screen_count; i++)
		pairing->screens[i] = numbers[i];
}
