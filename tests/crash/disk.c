/* An SQLite VFS that fails, or loses power, at the operation it was told. What
 * power leaves of the files is worked out in loss.c; the real work is left to
 * the VFS below. */
#include "crash/disk.h"

#include "crash/loss.h"

#include <sqlite3.h>

#include <stddef.h>
#include <string.h>
#include <time.h>

struct file {
	sqlite3_file base;
	struct loss_node *node; /* followed, or NULL */
	bool counts;		/* the book or its journal */
};

static sqlite3_vfs *below;
static struct disk_plan plan;
static unsigned count;
static bool struck;
static bool off; /* the power is gone */

static sqlite3_file *
real(sqlite3_file *file)
{
	return (sqlite3_file *)((struct file *)file + 1);
}

/* Whether this operation fails. */
static bool
fails(enum disk_op op)
{
	struct timespec slow = {0, (long)plan.slow_us * 1000};

	if (off)
		return true;
	if (plan.slow_us > 0 && (DISK_CHANGES & (unsigned)op) != 0)
		nanosleep(&slow, NULL);
	if (plan.fault == DISK_SOUND || (plan.ops & (unsigned)op) == 0)
		return false;
	count++;
	if (count < plan.at || count - plan.at >= plan.times)
		return false;
	struck = true;
	return true;
}

/* Called by the operation at which the power goes: whether it was done before
 * it went. */
static bool
goes_off(void)
{
	if (plan.fault != DISK_POWER_LOSS || off)
		return false;
	off = true;
	return (plan.seed >> 7 & 1) != 0;
}

/* --- files --------------------------------------------------------------- */

static int
file_close(sqlite3_file *file)
{
	return real(file)->pMethods->xClose(real(file));
}

static int
file_read(sqlite3_file *file, void *to, int amount, sqlite3_int64 at)
{
	if (((struct file *)file)->counts && fails(DISK_READ)) {
		(void)goes_off();
		return SQLITE_IOERR_READ;
	}
	return real(file)->pMethods->xRead(real(file), to, amount, at);
}

static int
write_real(sqlite3_file *file, const void *from, int amount, sqlite3_int64 at)
{
	struct loss_node *node = ((struct file *)file)->node;

	if (node != NULL)
		loss_write(node, from, amount, at);
	return real(file)->pMethods->xWrite(real(file), from, amount, at);
}

static int
file_write(sqlite3_file *file, const void *from, int amount, sqlite3_int64 at)
{
	bool was_off = off;

	if (!((struct file *)file)->counts || !fails(DISK_WRITE))
		return write_real(file, from, amount, at);
	if (was_off)
		return SQLITE_IOERR_WRITE;
	if (plan.fault == DISK_POWER_LOSS) {
		/* It had begun: what comes of it is up to the loss. */
		if (goes_off())
			(void)write_real(file, from, amount, at);
		return SQLITE_IOERR_WRITE;
	}
	/* Some of it may have come through. */
	if (plan.seed & 1 && amount > 1)
		(void)write_real(file, from, amount / 2, at);
	return plan.fault == DISK_NO_SPACE ? SQLITE_FULL : SQLITE_IOERR_WRITE;
}

static int
file_truncate(sqlite3_file *file, sqlite3_int64 size)
{
	struct file *own = (struct file *)file;
	bool failed = own->counts && fails(DISK_TRUNCATE);

	if (failed && !goes_off())
		return SQLITE_IOERR_TRUNCATE;
	if (own->node != NULL)
		loss_truncate(own->node, size);
	return failed ? SQLITE_IOERR_TRUNCATE
		      : real(file)->pMethods->xTruncate(real(file), size);
}

static int
file_sync(sqlite3_file *file, int flags)
{
	struct file *own = (struct file *)file;
	bool failed = own->counts && fails(DISK_SYNC);

	if (failed && !goes_off())
		return SQLITE_IOERR_FSYNC;
	if (own->node != NULL)
		loss_sync(own->node);
	return failed ? SQLITE_IOERR_FSYNC
		      : real(file)->pMethods->xSync(real(file), flags);
}

static int
file_size(sqlite3_file *file, sqlite3_int64 *size)
{
	return real(file)->pMethods->xFileSize(real(file), size);
}

static int
file_lock(sqlite3_file *file, int lock)
{
	if (((struct file *)file)->counts && fails(DISK_LOCK))
		return SQLITE_IOERR_LOCK;
	return real(file)->pMethods->xLock(real(file), lock);
}

static int
file_unlock(sqlite3_file *file, int lock)
{
	return real(file)->pMethods->xUnlock(real(file), lock);
}

static int
file_reserved(sqlite3_file *file, int *out)
{
	return real(file)->pMethods->xCheckReservedLock(real(file), out);
}

static int
file_control(sqlite3_file *file, int op, void *arg)
{
	return real(file)->pMethods->xFileControl(real(file), op, arg);
}

static int
file_sector(sqlite3_file *file)
{
	return real(file)->pMethods->xSectorSize(real(file));
}

static int
file_traits(sqlite3_file *file)
{
	return real(file)->pMethods->xDeviceCharacteristics(real(file));
}

/* Version 1: neither shared memory nor mapping, so all goes through here. */
static const sqlite3_io_methods methods = {
    .iVersion = 1,
    .xClose = file_close,
    .xRead = file_read,
    .xWrite = file_write,
    .xTruncate = file_truncate,
    .xSync = file_sync,
    .xFileSize = file_size,
    .xLock = file_lock,
    .xUnlock = file_unlock,
    .xCheckReservedLock = file_reserved,
    .xFileControl = file_control,
    .xSectorSize = file_sector,
    .xDeviceCharacteristics = file_traits,
};

/* --- the VFS ------------------------------------------------------------- */

static int
disk_open(
    sqlite3_vfs *vfs, const char *name, sqlite3_file *file, int flags, int *got)
{
	struct file *own = (struct file *)file;
	int code;

	(void)vfs;
	memset(own, 0, sizeof *own);
	own->counts =
	    name != NULL &&
	    (flags & (SQLITE_OPEN_MAIN_DB | SQLITE_OPEN_MAIN_JOURNAL)) != 0;
	if (own->counts && fails(DISK_OPEN)) {
		(void)goes_off();
		return SQLITE_CANTOPEN;
	}
	/* Before it is there: whether it is new. */
	if (own->counts && plan.fault == DISK_POWER_LOSS)
		own->node =
		    loss_open(name, (flags & SQLITE_OPEN_MAIN_JOURNAL) != 0,
			(flags & SQLITE_OPEN_CREATE) != 0);
	code = below->xOpen(below, name, real(file), flags, got);
	if (real(file)->pMethods != NULL)
		file->pMethods = &methods;
	return code;
}

static int
disk_delete(sqlite3_vfs *vfs, const char *name, int sync)
{
	bool failed = fails(DISK_DELETE);

	(void)vfs;
	if (failed && !goes_off())
		return SQLITE_IOERR_DELETE;
	if (plan.fault == DISK_POWER_LOSS)
		loss_delete(name, sync != 0);
	return failed ? SQLITE_IOERR_DELETE : below->xDelete(below, name, sync);
}

static int
disk_access(sqlite3_vfs *vfs, const char *name, int flags, int *out)
{
	(void)vfs;
	return off ? SQLITE_IOERR_ACCESS
		   : below->xAccess(below, name, flags, out);
}

static int
disk_path(sqlite3_vfs *vfs, const char *name, int size, char *out)
{
	(void)vfs;
	return below->xFullPathname(below, name, size, out);
}

static int
disk_random(sqlite3_vfs *vfs, int size, char *out)
{
	(void)vfs;
	return below->xRandomness(below, size, out);
}

static int
disk_sleep(sqlite3_vfs *vfs, int us)
{
	(void)vfs;
	return below->xSleep(below, us);
}

static int
disk_time(sqlite3_vfs *vfs, double *out)
{
	(void)vfs;
	return below->xCurrentTime(below, out);
}

static int
disk_last_error(sqlite3_vfs *vfs, int size, char *out)
{
	(void)vfs;
	return below->xGetLastError(below, size, out);
}

bool
disk_install(void)
{
	static sqlite3_vfs own = {
	    .iVersion = 1,
	    .zName = "failing",
	    .xOpen = disk_open,
	    .xDelete = disk_delete,
	    .xAccess = disk_access,
	    .xFullPathname = disk_path,
	    .xRandomness = disk_random,
	    .xSleep = disk_sleep,
	    .xCurrentTime = disk_time,
	    .xGetLastError = disk_last_error,
	};

	if (below != NULL)
		return true;
	below = sqlite3_vfs_find(NULL);
	if (below == NULL)
		return false;
	own.szOsFile = (int)sizeof(struct file) + below->szOsFile;
	own.mxPathname = below->mxPathname;
	return sqlite3_vfs_register(&own, 1) == SQLITE_OK;
}

void
disk_begin(const struct disk_plan *wanted)
{
	plan = *wanted;
	count = 0;
	struck = false;
	off = false;
	loss_forget();
}

bool
disk_struck(void)
{
	return struck;
}

unsigned
disk_count(void)
{
	return count;
}

bool
disk_restart(void)
{
	bool done = !off || loss_settle(plan.seed);

	memset(&plan, 0, sizeof plan);
	off = false;
	loss_forget();
	return done;
}
