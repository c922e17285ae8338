/* What the commands share: their table entry, the arguments, and the one way
 * to show a document or to complain. */
#ifndef CLI_CLI_H
#define CLI_CLI_H

#include "cli/options.h"

#include <lampwright.h>

#include <stdbool.h>
#include <stdint.h>

enum exit_code {
	EXIT_YES = 0,	/* done, found, sound */
	EXIT_NO = 1,	/* nothing found, undecided, problems found */
	EXIT_USAGE = 2, /* it was asked in a way that cannot be read */
	EXIT_BROKEN = 3 /* disk, permission, damage, memory */
};

enum needs {
	NEEDS_NOTHING,
	NEEDS_BOOK /* opened, and created where there is none */
};

struct cli {
	const struct command *command;
	const struct action *action; /* the one that runs, or NULL */
	struct args args;
	bool json;
	struct lw_book *book;  /* NULL where the command needs none */
	const char *book_path; /* of the open book */
};

/* What a command does by its first word: `job list`, `pack add`. */
struct action {
	const char *name; /* NULL ends the table */
	int (*run)(struct cli *cli);
};

struct command {
	const char *name;
	const char *summary;	      /* one line, for the list of commands */
	const char *synopsis;	      /* what follows the name, a form a line */
	const char *help;	      /* the rest of its help page */
	const struct option *options; /* ends with a NULL name; or NULL */
	const struct action *actions; /* instead of `run` */
	enum needs needs;
	const char *bookless; /* an option with which it needs none; or NULL */
	int (*run)(struct cli *cli); /* the exit code */
};

/* Each stands in its own file, cmd_NAME.c. */
extern const struct command command_read;
extern const struct command command_plan;
extern const struct command command_watch;
extern const struct command command_tap;
extern const struct command command_find;
extern const struct command command_trace;
extern const struct command command_job;
extern const struct command command_device;
extern const struct command command_teach;
extern const struct command command_rig;
extern const struct command command_setting;
extern const struct command command_reckon;
extern const struct command command_note;
extern const struct command command_pack;
extern const struct command command_serve;
extern const struct command command_screen;
extern const struct command command_book;

/* Seconds since 1970. */
int64_t cli_now(void);

/* A sentence on stderr, after the program's name. */
void cli_say(const char *format, ...) __attribute__((format(printf, 1, 2)));

/* A sentence on stderr and how the command is used; EXIT_USAGE. */
int cli_usage(const struct cli *cli, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* The exit code for a status. */
int cli_code(enum lw_status status);

/* Say what went wrong, and return the exit code. With --json and EXIT_NO a
 * document with `error` is printed, since there is no other. */
int cli_fail(const struct cli *cli, const struct lw_err *err);

/* As cli_fail for a text that was typed: the text as it was typed follows,
 * with a caret under the character that could not be read. */
int cli_fail_at(
    const struct cli *cli, const struct lw_err *err, const char *typed);

/* Print the document by the text template cli/NAME.txt, or as JSON. False,
 * with the reason said, where that fails. */
bool cli_show(
    const struct cli *cli, const char *name, const struct lw_doc *doc);

/*
 * The end of most commands: show the document where there is one, say the
 * sentence of any status but LW_OK, free the document, return the code.
 */
int cli_finish(const struct cli *cli, const char *name, struct lw_doc *doc,
    enum lw_status status, const struct lw_err *err);

/* The number of a job or note; says so and gives -1 where it is none. */
int64_t cli_number(const struct cli *cli, const char *what, const char *text);

/* The words from `first` on, joined by spaces; the caller frees it. NULL,
 * having said so, when memory has run out. */
char *cli_join(const struct cli *cli, size_t first);

/* The word at a place, NULL past the end. */
const char *cli_word(const struct cli *cli, size_t place);

#endif
