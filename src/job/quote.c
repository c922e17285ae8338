/* Puts a person's text into a sentence; nothing else. */
#include "job/quote.h"

#include "base/utf8.h"

#include <string.h>

const char *
quote(char *quoted, const char *text)
{
	size_t length = strlen(text), i;

	if (length >= QUOTE_SIZE)
		length = QUOTE_SIZE - 4;
	length = utf8_valid(text, length);
	memcpy(quoted, text, length);
	for (i = 0; i < length; i++)
		if ((unsigned char)quoted[i] < ' ' || quoted[i] == 0x7f)
			quoted[i] = ' ';
	strcpy(quoted + length, text[length] == '\0' ? "" : "...");
	return quoted;
}
