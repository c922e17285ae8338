/* Keys out of the bytes that a terminal sends: a key may be several bytes,
 * and one byte may be the beginning of a longer key. */
#ifndef CLI_KEYSTROKE_H
#define CLI_KEYSTROKE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* An escape byte is the key of that name when nothing follows for so long;
 * over a slow line the bytes of an arrow key may come apart. */
#define KEYSTROKE_ALONE_S 0.1

enum keystroke_kind {
	KEYSTROKE_TAP,	  /* any key that is none of these */
	KEYSTROKE_BACK,	  /* Backspace */
	KEYSTROKE_ESCAPE, /* Esc */
	KEYSTROKE_END,	  /* Ctrl-D */
	KEYSTROKE_BREAK	  /* Ctrl-C, where the terminal makes no signal of it */
};

struct keystroke {
	enum keystroke_kind kind;
	uint32_t key; /* the same for the same key */
	double at_s;  /* when its first byte came */
};

/* What has been read of a key so far; begins as all zero. */
struct keystrokes {
	uint32_t key;
	double at_s;
	int place;   /* inside an escape sequence; 0: in none */
	bool bare;   /* nothing but escape bytes so far */
	bool fresh;  /* the escape came in this read */
	int follows; /* bytes of a character that are to come */
};

/* The next byte, at the time of its read. True: a key is complete. */
bool keystroke_byte(struct keystrokes *keys, struct keystroke *out,
    unsigned char byte, double at_s);

/* Bytes of one read follow one another; the next read begins. */
void keystroke_next_read(struct keystrokes *keys);

/* Nothing has come up to now. True: what was begun is a key by itself. */
bool keystroke_waited(
    struct keystrokes *keys, struct keystroke *out, double now_s);

#endif
