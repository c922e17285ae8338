/* Reads quantities for other programs to compare: lines of a text and the
 * unit to give it in, separated by a tab; "-" is SI whatever it measures. Each
 * gives one line, a number, or "error: sentence". */
#include <lampwright/quantity.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

int
main(void)
{
	struct lw_quantity quantity;
	struct lw_err err;
	char line[1000], *unit;
	double number;

	while (fgets(line, sizeof line, stdin) != NULL) {
		line[strcspn(line, "\n")] = '\0';
		unit = strrchr(line, '\t');
		if (unit == NULL)
			return EXIT_FAILURE;
		*unit++ = '\0';
		if (strcmp(unit, "-") == 0)
			unit = NULL;
		if (lw_quantity_parse(&quantity, line, unit, &err) != LW_OK) {
			printf("error: %s\n", err.text);
			continue;
		}
		number = unit == NULL ? quantity.value
				      : lw_quantity_in(quantity.value, unit);
		printf("%.17g\n", number);
	}
	return fflush(stdout) == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
