/* Reads a JSON list of template cases from standard input and writes a JSON
 * list of what our renderer makes of them, for mustache.mjs to compare: a
 * text each, or {"error": sentence}. */
#include "reference/fill_case.h"

#include <stdio.h>
#include <stdlib.h>

int
main(void)
{
	json_t *cases, *results = json_array(), *test, *result;
	json_error_t error;
	struct lw_err err;
	struct buf out;
	size_t i;

	cases = json_loadf(stdin, JSON_ALLOW_NUL, &error);
	if (cases == NULL || results == NULL) {
		fprintf(stderr, "the cases cannot be read: %s\n", error.text);
		return EXIT_FAILURE;
	}
	json_array_foreach(cases, i, test)
	{
		buf_init(&out, 1 << 20);
		if (fill_case(&out, test, &err) == LW_OK)
			result = json_stringn(buf_text(&out), out.length);
		else
			result = json_pack("{s:s}", "error", err.text);
		buf_clear(&out);
		if (json_array_append_new(results, result) != 0) {
			fprintf(stderr, "case %zu made no UTF-8\n", i);
			return EXIT_FAILURE;
		}
	}
	json_dumpf(results, stdout, JSON_COMPACT);
	json_decref(results);
	json_decref(cases);
	return fflush(stdout) == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
