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
	    {"closed", "The job is closed."},
	    {"given-up", "The job is closed without a cure."},
	    {"waits", "The job waits. Go on with it when you can."},
	    {"safe", "First the way back to isolated and proved dead."},
	    {"picked", "The check you chose comes next."},
	    {"supposed", "Taken as the cause: its fix comes next."},
	    {"left", "The tree is left. From now on, what tells most for its "
		     "time comes next."},
	    {"tools", "The tools at hand are kept."},
	    {"tree-dropped", "Your tree is dropped."},
	    {"forgotten", "Counting begins anew. The jobs stay."},
	    {"wish", "It is on the list of settings to read or set."},
	    {"wish-away", "It is taken off the list."},
	    {"taken", "This screen has the vehicle now. Its power state has "
		      "to be proved again."},
	    {"asked", "The other screen is asked. Its answer shows here, at "
		      "the latest when you look again."},
	    {"handed", "The vehicle is handed over. This screen looks on."},
	    {"kept", "This screen keeps the vehicle."},
	    {"released", "The vehicle is free for any screen to take."},
	    {"rig", "The rig is in the book, and in hand. Now say what you "
		    "know of it."},
	    {"rig-in-hand", "This rig is in hand: new jobs are for it."},
	    {"rig-put-down", "No rig is in hand now."},
	    {"rig-removed", "The rig has left the list. What is on it is "
			    "kept."},
	    {"facts", "What you said of the rig is kept."},
	    {"setting", "The change is in the ledger."},
	    {"record", "The record is kept."},
	    {"reopened", "The job goes on."},
	    {"screen-away", "The screen is sent away. What it held is free."},
	    {"screens-away", "They are sent away. What they held is free."},
	    {"code-said", "The code is in the terminal where lampwright serve "
			  "runs."},
	};
	size_t i;

	for (i = 0; i < sizeof all / sizeof all[0]; i++)
		if (strcmp(word, all[i].word) == 0)
			return all[i].sentence;
	return NULL;
}
