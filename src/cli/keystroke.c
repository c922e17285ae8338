/* Reads keys out of bytes, as terminals send them (ECMA-48 sequences, and
 * what the Linux console makes of its function keys). When bytes come is left
 * to keys.c, what a key is good for to the command. */
#include "cli/keystroke.h"

#define ESC 0x1b

enum place {
	OUTSIDE,
	AFTER_ESC,
	IN_CSI,	     /* ESC [ ... up to a final byte */
	IN_CSI_LINUX /* ESC [ [ and one byte more */
};

static void
add_to_key(struct keystrokes *keys, unsigned char byte)
{
	keys->key = (keys->key ^ byte) * 16777619u; /* FNV-1a */
}

static bool
done(struct keystrokes *keys, struct keystroke *out, enum keystroke_kind kind)
{
	out->kind = kind;
	out->key = keys->key;
	out->at_s = keys->at_s;
	keys->place = OUTSIDE;
	return true;
}

/* Bytes that follow the first one of a UTF-8 character. */
static int
following(unsigned char byte)
{
	if (byte < 0xc2 || byte >= 0xf5)
		return 0;
	return byte >= 0xf0 ? 3 : byte >= 0xe0 ? 2 : 1;
}

static enum keystroke_kind
kind_of(unsigned char byte)
{
	switch (byte) {
	case 0x03:
		return KEYSTROKE_BREAK;
	case 0x04:
		return KEYSTROKE_END;
	case 0x08:
	case 0x7f:
		return KEYSTROKE_BACK;
	default:
		return KEYSTROKE_TAP;
	}
}

static bool
begin(struct keystrokes *keys, struct keystroke *out, unsigned char byte,
    double at_s)
{
	/* Where no character was begun, such a byte is a key of its own: the
	 * terminal has one byte for a character. */
	if (keys->follows > 0 && byte >= 0x80 && byte < 0xc0) {
		keys->follows--;
		return false;
	}
	keys->key = 2166136261u;
	keys->at_s = at_s;
	add_to_key(keys, byte);
	keys->follows = 0;
	if (byte == ESC) {
		keys->place = AFTER_ESC;
		keys->bare = true;
		keys->fresh = true;
		return false;
	}
	keys->follows = following(byte);
	return done(keys, out, kind_of(byte));
}

static bool
after_esc(struct keystrokes *keys, struct keystroke *out, unsigned char byte,
    double at_s)
{
	if (byte == ESC && !keys->fresh) {
		/* Esc, and some time later Esc again. */
		done(keys, out, KEYSTROKE_ESCAPE);
		keys->place = AFTER_ESC;
		keys->at_s = at_s;
		keys->fresh = true;
		return true;
	}
	add_to_key(keys, byte);
	if (byte == ESC)
		return false; /* Alt and a key that is a sequence, or Esc twice
			       */
	keys->bare = false;
	if (byte == 'O')
		return false; /* ESC O P */
	if (byte == '[') {
		keys->place = IN_CSI;
		return false;
	}
	keys->follows = following(byte);
	return done(keys, out, KEYSTROKE_TAP);
}

bool
keystroke_byte(struct keystrokes *keys, struct keystroke *out,
    unsigned char byte, double at_s)
{
	switch (keys->place) {
	case AFTER_ESC:
		return after_esc(keys, out, byte, at_s);
	case IN_CSI:
		add_to_key(keys, byte);
		if (byte == '[') {
			keys->place = IN_CSI_LINUX;
			return false;
		}
		return byte < 0x20 || byte >= 0x40
			   ? done(keys, out, KEYSTROKE_TAP)
			   : false;
	case IN_CSI_LINUX:
		add_to_key(keys, byte);
		return done(keys, out, KEYSTROKE_TAP);
	default:
		return begin(keys, out, byte, at_s);
	}
}

void
keystroke_next_read(struct keystrokes *keys)
{
	keys->fresh = false;
}

bool
keystroke_waited(struct keystrokes *keys, struct keystroke *out, double now_s)
{
	if (keys->place == OUTSIDE || now_s - keys->at_s < KEYSTROKE_ALONE_S)
		return false;
	return done(keys, out, keys->bare ? KEYSTROKE_ESCAPE : KEYSTROKE_TAP);
}
