/*
 * What a loss of power leaves. The files are followed from when they are
 * opened: what was synced stays; of what came after, any part may be there.
 *
 * As os_unix.c of SQLite does it: the first sync of a journal syncs its folder
 * too, and so does a deletion that asks for it; other new and deleted names
 * are not safe until then.
 */
#ifndef CRASH_LOSS_H
#define CRASH_LOSS_H

#include <stdbool.h>
#include <stdint.h>

struct loss_node;

/* Follow a file that is about to be opened. NULL: it is not there, and is not
 * to be made. */
struct loss_node *loss_open(const char *path, bool journal, bool create);
void loss_write(
    struct loss_node *node, const void *from, int amount, int64_t at);
void loss_truncate(struct loss_node *node, int64_t size);
void loss_sync(struct loss_node *node);
void loss_delete(const char *path, bool sync);

/* Make the files what the loss left of them. */
bool loss_settle(uint64_t seed);

void loss_forget(void);

#endif
