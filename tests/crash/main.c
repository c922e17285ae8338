/* Strikes jobs in every way and says what came of it: nothing that was
 * acknowledged is lost, nothing is there by half. A name as argument tries
 * that part alone: kills, faults, losses, making. */
#include "crash/crash.h"
#include "crash/disk.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static unsigned failures;

void
crash_give_up(const char *why)
{
	fprintf(stderr, "crash: the test cannot go on: %s\n", why);
	exit(2);
}

void
crash_fail(const char *format, ...)
{
	va_list args;

	failures++;
	fputs("NOT OK: ", stderr);
	va_start(args, format);
	vfprintf(stderr, format, args);
	va_end(args);
	fputc('\n', stderr);
}

unsigned
crash_failures(void)
{
	return failures;
}

unsigned
crash_dice(uint64_t *seed, unsigned sides)
{
	*seed = *seed * 6364136223846793005u + 1442695040888963407u;
	return sides == 0 ? 0 : (unsigned)((*seed >> 33) % sides);
}

unsigned
crash_rounds(unsigned full)
{
	return getenv("LAMPWRIGHT_SHORT") != NULL ? full / 10 : full;
}

int
main(int argc, char **argv)
{
	static const struct {
		const char *name;
		void (*try)(const char *folder);
		bool fails; /* on a disk that does */
	} parts[] = {
	    {"kills", kills_try, false},
	    {"faults", faults_try, true},
	    {"losses", losses_try, true},
	    {"making", making_try, true},
	};
	/* Memory serves as a disk: what is lost is lost by the tests. */
	const char *base = access("/dev/shm", W_OK | X_OK) == 0
			       ? "/dev/shm"
			       : getenv("TMPDIR");
	char folder[200], filled[220];
	size_t i, tried = 0;

	snprintf(folder, sizeof folder, "%s/lampwright-XXXXXX",
	    base != NULL ? base : "/tmp");
	if (mkdtemp(folder) == NULL)
		crash_give_up("no folder");
	for (i = 0; i < sizeof parts / sizeof parts[0]; i++) {
		if (argc > 1 && strcmp(argv[1], parts[i].name) != 0)
			continue;
		if (parts[i].fails && !disk_install())
			crash_give_up("no VFS");
		parts[i].try(folder);
		fflush(stdout);
		tried++;
	}
	snprintf(filled, sizeof filled, "%s/filled.db", folder);
	unlink(filled);
	if (rmdir(folder) != 0)
		crash_fail("something was left in %s", folder);
	if (tried == 0)
		crash_give_up("there is no such part");
	return failures == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
