/* The sentences that confirm a form; the pages put their words into the
 * address they send on to, and reply.c shows them. */
#include "serve/said.h"

#include <stddef.h>
#include <string.h>

const char *
said_sentence(const char *word)
{
	static const struct {
		const char *word;
		const char *sentence;
	} all[] = {
	    {"note", "Your note is kept."},
	    {"note-removed", "The note is removed."},
	    {"code", "The code is kept."},
	    {"codes", "The codes are kept."},
	    {"code-removed", "The code is removed."},
	    {"device", "The device is in the book. Now teach it its codes."},
	    {"undone", "The last answer is taken back."},
	    {"resumed", "The power state has to be proved again."},
	    {"closed", "The job is closed."},
	    {"reopened", "The job goes on."},
	};
	size_t i;

	for (i = 0; i < sizeof all / sizeof all[0]; i++)
		if (strcmp(word, all[i].word) == 0)
			return all[i].sentence;
	return NULL;
}
