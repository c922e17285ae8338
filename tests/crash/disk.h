/*
 * A disk that fails: an SQLite VFS over the default one. It fails operations
 * when it is told to, or loses power: then whatever was not synced is gone,
 * there, or torn, and the process sees errors alone until disk_restart.
 */
#ifndef CRASH_DISK_H
#define CRASH_DISK_H

#include <stdbool.h>
#include <stdint.h>

enum disk_op {
	DISK_WRITE = 1,
	DISK_SYNC = 2,
	DISK_TRUNCATE = 4,
	DISK_DELETE = 8,
	DISK_READ = 16,
	DISK_OPEN = 32,
	DISK_LOCK = 64,
	DISK_CHANGES = DISK_WRITE | DISK_SYNC | DISK_TRUNCATE | DISK_DELETE
};

enum disk_fault { DISK_SOUND, DISK_IO_ERROR, DISK_NO_SPACE, DISK_POWER_LOSS };

struct disk_plan {
	enum disk_fault fault;
	unsigned ops;	  /* enum disk_op: those that count */
	unsigned at;	  /* the first one that fails, from 1 */
	unsigned times;	  /* so many in a row fail; power is lost for good */
	uint64_t seed;	  /* of what happens to what was not synced */
	unsigned slow_us; /* every change takes so much longer */
};

/* Make it the default VFS of this process. */
bool disk_install(void);

/* Begin to count. Power can be lost only where no file was open before. */
void disk_begin(const struct disk_plan *plan);

/* Whether the fault has come, and how many operations were counted. */
bool disk_struck(void);
unsigned disk_count(void);

/* No faults from here on; all files are closed. After a loss of power the
 * files are what it left of them. False: they could not be written. */
bool disk_restart(void);

#endif
