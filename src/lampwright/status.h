/* What a call says about how it went. */
#ifndef LAMPWRIGHT_STATUS_H
#define LAMPWRIGHT_STATUS_H

#ifdef __cplusplus
extern "C" {
#endif

enum lw_status {
	LW_OK = 0,
	LW_NOT_FOUND, /* expected: there is no such thing */
	LW_UNDECIDED, /* expected: more than one reading, or too little */
	LW_CONFLICT,  /* expected: exists already, or the step is stale */
	LW_BAD_INPUT, /* what was given cannot be read; err says where */
	LW_TOO_BIG,   /* past a size, depth or count limit; err names it */
	LW_CORRUPT,   /* the file is not a book, or is damaged */
	LW_NEWER,     /* the book was written by a newer version */
	LW_FAILED,    /* the system refused: disk, permission, lock */
	LW_NO_MEMORY  /* memory ran out */
};

/*
 * Where and why. Of fixed size, so that it works when memory is gone.
 * `text` is one sentence that says what was wrong and what would be right,
 * without prefix or newline. `line` and `column` count from 1, in characters
 * (code points); 0 means not known. `file` is empty where none is concerned.
 */
struct lw_err {
	enum lw_status code;
	char file[256];
	unsigned line;
	unsigned column;
	char text[512];
};

/* The status as one lower-case word, for logs and tests. Never NULL. */
const char *lw_status_name(enum lw_status status);

/* The library's version, "major.minor.patch". */
const char *lw_version(void);

#ifdef __cplusplus
}
#endif
#endif
