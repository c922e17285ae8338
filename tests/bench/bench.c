/*
 * How long the things take that people wait for, on the shipped packs. Each
 * is timed in the same run as one fetch of a fault by its id, and shown as
 * a multiple of it, so that figures compare across machines.
 *
 *     make tests/bench/bench && tests/bench/bench [BOOK]
 */
#define _POSIX_C_SOURCE 200809L
#include <lampwright.h>

#include "base/buf.h"
#include "bench/timing.h"
#include "fill/fill.h"

#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

static struct lw_book *book;
static int64_t job;
static const int64_t now_s = 1700000000;
static struct lw_err err;

static void
must(enum lw_status status)
{
	if (status == LW_OK || status == LW_NOT_FOUND)
		return;
	fprintf(stderr, "bench: %s\n", err.text);
	exit(EXIT_FAILURE);
}

static void
fetch_fault(void)
{
	struct lw_arena *arena = lw_arena_new();
	const struct lw_fault *fault;

	must(lw_book_fault(book, arena, "supply-low", &fault, &err));
	lw_arena_free(arena);
}

static void
read_canonical(void)
{
	struct lw_pattern_readings readings;

	must(lw_pattern_read(&readings, "3-2", NULL, &err));
}

static void
read_phrase(void)
{
	struct lw_pattern_readings readings;

	must(lw_pattern_read(&readings, "blinks three pause two", NULL, &err));
}

static void
look_up(void)
{
	struct lw_doc *doc = NULL;

	must(lw_view_read(&doc, book, "5", "field-cart-drive", NULL, &err));
	lw_doc_free(doc);
}

static void
look_up_everywhere(void)
{
	struct lw_doc *doc = NULL;

	must(lw_view_read(&doc, book, "5", NULL, NULL, &err));
	lw_doc_free(doc);
}

static void
find_words(void)
{
	struct lw_doc *doc = NULL;

	must(lw_view_find(&doc, book, "creeps after letting go", &err));
	lw_doc_free(doc);
}

static void
show_job(void)
{
	struct lw_doc *doc = NULL;

	must(lw_view_job(&doc, book, job, NULL, now_s, &err));
	lw_doc_free(doc);
}

static void
show_job_page(void)
{
	static const struct fill_source pages = {
	    program_assets, "web/", ".html", NULL, NULL};
	struct lw_doc *doc = NULL;
	struct buf page;

	buf_init(&page, 1 << 20);
	must(lw_view_job(&doc, book, job, NULL, now_s, &err));
	must(fill_template(&page, &pages, FILL_HTML, "job", doc, &err));
	buf_clear(&page);
	lw_doc_free(doc);
}

int
main(int argc, char **argv)
{
	static const struct {
		const char *what;
		void (*call)(void);
	} tried[] = {
	    {"read a canonical pattern", read_canonical},
	    {"read a typed phrase", read_phrase},
	    {"look a pattern up on a device", look_up},
	    {"look a pattern up on every device", look_up_everywhere},
	    {"find four words", find_words},
	    {"work out a job", show_job},
	    {"work out a job and fill its page", show_job_page},
	};
	const char *path = argc > 1 ? argv[1] : "bench.db";
	const char *pattern = "5";
	struct lw_job_start start = {.device = "field-cart-drive",
	    .patterns = &pattern,
	    .pattern_count = 1};
	double one, took;
	size_t i, shipped;

	must(lw_book_open(&book, NULL, path, &err));
	must(lw_pack_ship(book, now_s, &shipped, &err));
	must(lw_job_new(book, &start, now_s, &job, &err));
	one = time_of(fetch_fault);
	printf("%-36s %10.1f us %8.2f\n", "fetch a fault by its id", one * 1e6,
	    1.0);
	for (i = 0; i < sizeof tried / sizeof tried[0]; i++) {
		took = time_of(tried[i].call);
		printf("%-36s %10.1f us %8.2f\n", tried[i].what, took * 1e6,
		    took / one);
	}
	lw_book_close(book);
	if (argc <= 1)
		unlink(path);
	return EXIT_SUCCESS;
}
