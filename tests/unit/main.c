/* Runs every suite; a name as argument runs that suite alone. */
#include "unit/suites.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const struct {
	const char *name;
	Suite *(*make)(void);
} suites[] = {
#define SUITE(name) {#name, suite_##name},
#include "unit/suites.def"
#undef SUITE
};

int
main(int argc, char **argv)
{
	SRunner *runner = srunner_create(NULL);
	size_t i, added = 0;
	int failed;

	for (i = 0; i < sizeof suites / sizeof suites[0]; i++) {
		if (argc > 1 && strcmp(argv[1], suites[i].name) != 0)
			continue;
		srunner_add_suite(runner, suites[i].make());
		added++;
	}
	if (added == 0) {
		fprintf(stderr, "no suite is called %s\n", argv[1]);
		return EXIT_FAILURE;
	}
	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
