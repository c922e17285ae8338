/*
 * A program for the build: writes files as a C source with a table of
 * assets. Which files go into which table is left to the makefile.
 *
 *     embed NAME SRCDIR FILE... >table.c
 *
 * defines `const struct asset NAME[]` (base/asset.h) from the files, each
 * given relative to SRCDIR. An asset is called by that relative path with a
 * leading "src/" left out: src/book/schema.sql is "book/schema.sql",
 * kb/traction.yaml is "kb/traction.yaml". Bytes are written as numbers, since
 * a string literal of more than 4095 characters is not portable C.
 */
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char usage[] = "usage: embed NAME SRCDIR FILE... >table.c\n";

/* The asset's name: the path without a leading "src/". */
static const char *
asset_name(const char *path)
{
	return strncmp(path, "src/", 4) == 0 ? path + 4 : path;
}

/* A name goes into the source as it is, so it must need no escaping; and no
 * path may leave SRCDIR. */
static int
name_is_plain(const char *path)
{
	static const char allowed[] = "abcdefghijklmnopqrstuvwxyz"
				      "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
				      "0123456789._-/";

	return path[0] != '\0' && path[0] != '/' &&
	       strspn(path, allowed) == strlen(path) &&
	       strstr(path, "..") == NULL;
}

/* Write one file as an array called file_NUMBER, and tell its size. */
static int
write_file(size_t *size, const char *dir, const char *path, int number)
{
	size_t room = strlen(dir) + strlen(path) + 2;
	char *whole = malloc(room);
	FILE *file = NULL;
	int c, ok = 0;

	*size = 0;
	if (whole == NULL) {
		fprintf(stderr, "embed: memory ran out\n");
		goto out;
	}
	snprintf(whole, room, "%s/%s", dir, path);
	file = fopen(whole, "rb");
	if (file == NULL) {
		fprintf(stderr, "embed: %s: %s\n", whole, strerror(errno));
		goto out;
	}
	printf("\n/* %s */\nstatic const unsigned char file_%d[] = {",
	    asset_name(path), number);
	while ((c = getc(file)) != EOF) {
		printf("%s%d,", *size % 16 == 0 ? "\n    " : " ", c);
		++*size;
	}
	if (ferror(file)) {
		fprintf(stderr, "embed: %s: %s\n", whole, strerror(errno));
		goto out;
	}
	printf("\n    0,\n};\n");
	ok = 1;
out:
	if (file != NULL)
		fclose(file);
	free(whole);
	return ok;
}

int
main(int argc, char **argv)
{
	size_t *sizes;
	int i, j, result = EXIT_FAILURE;

	if (argc < 3) {
		fputs(usage, stderr);
		return EXIT_FAILURE;
	}
	sizes = calloc((size_t)argc, sizeof *sizes);
	if (sizes == NULL) {
		fprintf(stderr, "embed: memory ran out\n");
		return EXIT_FAILURE;
	}
	printf("/* Made by embed from files; change those instead. */\n"
	       "#include \"base/asset.h\"\n");
	for (i = 3; i < argc; i++) {
		if (!name_is_plain(argv[i])) {
			fprintf(stderr,
			    "embed: %s: a relative path of letters, digits "
			    "and ._-/ is needed\n",
			    argv[i]);
			goto out;
		}
		for (j = 3; j < i; j++) {
			if (strcmp(asset_name(argv[j]), asset_name(argv[i])) ==
			    0) {
				fprintf(stderr,
				    "embed: %s: given twice under one name\n",
				    argv[i]);
				goto out;
			}
		}
		if (!write_file(&sizes[i], argv[2], argv[i], i - 2))
			goto out;
	}
	printf("\nconst struct asset %s[] = {\n", argv[1]);
	for (i = 3; i < argc; i++)
		printf("    {\"%s\", file_%d, %zu},\n", asset_name(argv[i]),
		    i - 2, sizes[i]);
	printf("    {NULL, NULL, 0},\n};\n");
	if (fflush(stdout) != 0 || ferror(stdout)) {
		fprintf(
		    stderr, "embed: standard output: %s\n", strerror(errno));
		goto out;
	}
	result = EXIT_SUCCESS;
out:
	free(sizes);
	return result;
}
