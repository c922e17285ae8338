/* Follows what was written and not synced, and makes of it what a loss of
 * power may leave; which operation it comes at is left to disk.c. */
#include "crash/loss.h"

#include "crash/crash.h"

#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum {
	SECTOR = 512, /* what a disk writes whole, if it does */
	PATHS = 8
};

struct bytes {
	unsigned char *data;
	size_t size;
};

/* A write, or with `cut` a truncation, that is not synced. */
struct change {
	struct change *next;
	size_t at;
	size_t amount;
	bool cut;
	unsigned char data[];
};

/* A file, whatever its name is by now. */
struct loss_node {
	struct loss_node *next;
	struct bytes kept; /* as it was last synced */
	struct change *first, **last;
	bool journal;
	bool synced;
};

static struct loss_node *nodes;

static struct {
	char *path;
	struct loss_node *now;
	struct loss_node *kept; /* what the name surely stands for */
} names[PATHS];
static size_t name_count;

/* Names made and removed since the folder was synced, in order. */
static struct {
	size_t name;
	struct loss_node *node; /* NULL: removed */
} * entries;
static size_t entry_count, entry_room;

static void *
need(void *memory)
{
	if (memory == NULL)
		crash_give_up("no memory");
	return memory;
}

static size_t
name_of(const char *path)
{
	size_t i;

	for (i = 0; i < name_count; i++)
		if (strcmp(names[i].path, path) == 0)
			return i;
	if (name_count == PATHS)
		crash_give_up("more files than the test knows");
	names[name_count].path = need(strdup(path));
	return name_count++;
}

static void
add_entry(size_t name, struct loss_node *node)
{
	if (entry_count == entry_room) {
		entry_room = entry_room * 2 + 16;
		entries = need(realloc(entries, entry_room * sizeof *entries));
	}
	entries[entry_count].name = name;
	entries[entry_count++].node = node;
	names[name].now = node;
}

static void
sync_folder(void)
{
	size_t i;

	for (i = 0; i < name_count; i++)
		names[i].kept = names[i].now;
	entry_count = 0;
}

static struct bytes
load(const char *path)
{
	struct bytes bytes = {0};
	struct stat info;
	FILE *file = fopen(path, "rb");

	if (file == NULL || fstat(fileno(file), &info) != 0)
		crash_give_up(path);
	bytes.size = (size_t)info.st_size;
	bytes.data = need(malloc(bytes.size + 1));
	if (fread(bytes.data, 1, bytes.size, file) != bytes.size)
		crash_give_up(path);
	fclose(file);
	return bytes;
}

struct loss_node *
loss_open(const char *path, bool journal, bool create)
{
	size_t name = name_of(path);
	struct loss_node *node = names[name].now;
	bool there = access(path, F_OK) == 0;

	if (node != NULL || (!there && !create))
		return node;
	node = need(calloc(1, sizeof *node));
	node->last = &node->first;
	node->journal = journal;
	node->next = nodes;
	nodes = node;
	if (!there) {
		add_entry(name, node);
		return node;
	}
	/* From before the beginning: safe. */
	node->kept = load(path);
	node->synced = true;
	names[name].now = node;
	names[name].kept = node;
	return node;
}

static void
add_change(struct loss_node *node, bool cut, const void *from, size_t amount,
    size_t at)
{
	struct change *change = need(malloc(sizeof *change + amount));

	change->next = NULL;
	change->at = at;
	change->amount = amount;
	change->cut = cut;
	if (amount > 0)
		memcpy(change->data, from, amount);
	*node->last = change;
	node->last = &change->next;
}

void
loss_write(struct loss_node *node, const void *from, int amount, int64_t at)
{
	add_change(node, false, from, (size_t)amount, (size_t)at);
}

void
loss_truncate(struct loss_node *node, int64_t size)
{
	add_change(node, true, NULL, 0, (size_t)size);
}

/* Longer, where it has to be, with zeros or with what lay on the disk. */
static void
reach(struct bytes *bytes, size_t size, bool rubbish, uint64_t *seed)
{
	if (size <= bytes->size)
		return;
	bytes->data = need(realloc(bytes->data, size));
	for (; bytes->size < size; bytes->size++)
		bytes->data[bytes->size] =
		    rubbish ? (unsigned char)crash_dice(seed, 256) : 0;
}

static void
put(struct bytes *bytes, const struct change *change, size_t from, size_t to)
{
	memcpy(bytes->data + change->at + from, change->data + from, to - from);
}

static void
cut(struct bytes *bytes, size_t size)
{
	uint64_t none = 0;

	reach(bytes, size, false, &none);
	bytes->size = size;
}

static void
forget_changes(struct loss_node *node)
{
	struct change *change;

	while ((change = node->first) != NULL) {
		node->first = change->next;
		free(change);
	}
	node->last = &node->first;
}

/* All of a change. */
static void
apply(struct bytes *bytes, const struct change *change)
{
	uint64_t none = 0;

	if (change->cut) {
		cut(bytes, change->at);
		return;
	}
	reach(bytes, change->at + change->amount, false, &none);
	put(bytes, change, 0, change->amount);
}

void
loss_sync(struct loss_node *node)
{
	const struct change *change;

	for (change = node->first; change != NULL; change = change->next)
		apply(&node->kept, change);
	forget_changes(node);
	if (node->journal && !node->synced)
		sync_folder();
	node->synced = true;
}

void
loss_delete(const char *path, bool sync)
{
	add_entry(name_of(path), NULL);
	if (sync)
		sync_folder();
}

/* --- when the power is gone ---------------------------------------------- */

/* Any sectors of a change, each whole, not, or torn. */
static void
scatter(struct bytes *bytes, const struct change *change, uint64_t *seed)
{
	size_t from, to, end = change->at + change->amount;

	if (change->cut) {
		if (crash_dice(seed, 2) == 0)
			cut(bytes, change->at);
		return;
	}
	/* The length may have come through, and the rest not. */
	if (crash_dice(seed, 2) == 0)
		reach(bytes, end, crash_dice(seed, 2) == 0, seed);
	for (from = 0; from < change->amount; from = to) {
		to = from + SECTOR - (change->at + from) % SECTOR;
		if (to > change->amount)
			to = change->amount;
		switch (crash_dice(seed, 5)) {
		case 0:
		case 1:
			continue;
		case 2:
			/* Torn, from its beginning on. */
			reach(bytes, change->at + to, true, seed);
			put(bytes, change, from,
			    from + crash_dice(seed, (unsigned)(to - from) + 1));
			continue;
		default:
			reach(bytes, change->at + to, true, seed);
			put(bytes, change, from, to);
		}
	}
}

static bool
save(const char *path, const struct bytes *bytes)
{
	FILE *file = fopen(path, "wb");
	bool done;

	if (file == NULL)
		return false;
	done = bytes->size == 0 ||
	       fwrite(bytes->data, 1, bytes->size, file) == bytes->size;
	return fclose(file) == 0 && done;
}

/* `way`: 0 nothing more than what was synced, 1 all, 2 the first changes
 * and a part of the next, 3 any. */
static bool
settle(const char *path, struct loss_node *node, unsigned way, uint64_t *seed)
{
	const struct change *change;
	unsigned changes = 0, whole;

	for (change = node->first; change != NULL; change = change->next)
		changes++;
	whole = crash_dice(seed, changes + 1);
	for (change = node->first; change != NULL && way != 0;
	     change = change->next) {
		if (way == 1 || (way == 2 && whole > 0)) {
			apply(&node->kept, change);
			whole--;
			continue;
		}
		scatter(&node->kept, change, seed);
		if (way == 2)
			break;
	}
	return save(path, &node->kept);
}

bool
loss_settle(uint64_t seed)
{
	unsigned way = crash_dice(&seed, 4);
	size_t come = way == 0	 ? 0
		      : way == 1 ? entry_count
				 : crash_dice(&seed, (unsigned)entry_count + 1);
	bool done = true;
	size_t i;

	for (i = 0; i < come; i++)
		names[entries[i].name].kept = entries[i].node;
	for (i = 0; i < name_count; i++) {
		if (names[i].kept != NULL)
			done =
			    settle(names[i].path, names[i].kept, way, &seed) &&
			    done;
		else if (unlink(names[i].path) != 0 &&
			 access(names[i].path, F_OK) == 0)
			done = false;
	}
	return done;
}

void
loss_forget(void)
{
	struct loss_node *node;

	while ((node = nodes) != NULL) {
		nodes = node->next;
		forget_changes(node);
		free(node->kept.data);
		free(node);
	}
	while (name_count > 0)
		free(names[--name_count].path);
	memset(names, 0, sizeof names);
	free(entries);
	entries = NULL;
	entry_count = 0;
	entry_room = 0;
}
