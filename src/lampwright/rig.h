/*
 * A rig: the builder's own vehicle. Its facts, its points in the builder's
 * words, the ledger of its settings, and what it and its devices say about
 * themselves. All lists live in the arena. No pack ever touches any of it.
 */
#ifndef LAMPWRIGHT_RIG_H
#define LAMPWRIGHT_RIG_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include <lampwright/arena.h>
#include <lampwright/book.h>
#include <lampwright/status.h>

#ifdef __cplusplus
extern "C" {
#endif

/*
 * All that can be said of a rig: what is built in (the choices that rules are
 * about, and the tools), then what the book's packs bring, by pack and in
 * their order; of one id the first. "device.NAME" is a key besides these:
 * the rig's name for a device of the book.
 */
enum lw_status lw_rig_values(struct lw_book *book, struct lw_arena *arena,
    const struct lw_value *const **values, size_t *count, struct lw_err *err);
/* What is built in; the second is NULL where it has no such id. */
const struct lw_value *lw_rig_built_in(size_t *count);
const struct lw_value *lw_rig_built_in_value(const char *id);

struct lw_rig_fact {
	const char *key;
	const char *value; /* as it is shown: "series", "58.8 V" */
	int64_t set_s;
};

enum lw_known {
	LW_KNOWN_NOT = 0,
	LW_KNOWN_GIVEN,	 /* said of the rig */
	LW_KNOWN_WORKED, /* worked out from what was said */
	LW_KNOWN_USUAL	 /* nobody said: the usual value, or worked out from
			  * one (`from`) */
};

/* What a value comes to on a rig. */
struct lw_rig_value {
	const struct lw_value *value;
	enum lw_known known;
	const char *text; /* as it is shown: "470 ohm ±5 %"; NULL: not known */
	const char *from; /* what it was worked out from, in numbers:
			   * "24 * 2.45 V"; or NULL */
	double nominal;	  /* of a quantity, in SI */
	double low;	  /* with its tolerance; where it is not known, all
			   * that is plausible; in a conflict both of what
			   * was said and what that is worked out to */
	double high;
	bool usual_tolerance; /* nobody said one: the usual one */
	unsigned choices; /* of a choice: bit i: it may be the ith; all of
			   * them where it is not known */
	const char *conflict; /* a sentence: it was given, and what it is
			       * worked out to says otherwise, or what was
			       * given cannot be; or NULL */
};

struct lw_rig_point {
	const char *point; /* id */
	const char *title; /* the pack's; the id where it has left the book */
	const char *where; /* the pack's, or NULL */
	const char *words; /* the builder's, or NULL where none are set */
};

struct lw_rig_device {
	const char *name;   /* the rig's name for it */
	const char *device; /* id in the book */
	const char *title;  /* the book's; the id where it has left it */
};

struct lw_rig {
	const char *rig; /* its name */
	const char *title;
	bool removed;
	bool in_hand;
	int64_t made_s;
	const struct lw_rig_fact *facts; /* those that were said, in the order
					  * of lw_rig_values; then those of
					  * values that no pack brings now */
	size_t fact_count;
	const struct lw_rig_value *values; /* one for each of lw_rig_values */
	size_t value_count;
	const struct lw_rig_device *devices;
	size_t device_count;
	const char *const *tools; /* at hand; known_tools says whether any */
	size_t tool_count;	  /* list was given at all */
	bool known_tools;
	const struct lw_rig_point *points; /* those with words */
	size_t point_count;
};

/* A fact's value; NULL: not known, or rig is NULL. */
const char *lw_rig_fact(const struct lw_rig *rig, const char *key);
/* NULL: there is no such value, or rig is NULL. */
const struct lw_rig_value *lw_rig_value(
    const struct lw_rig *rig, const char *key);
/* A quantity in its unit, said or worked out from what was said. False: not
 * known, or no more than usual. */
bool lw_rig_quantity(const struct lw_rig *rig, const char *key, double *value);
/* The same, all that it can be by its tolerance. */
bool lw_rig_range(
    const struct lw_rig *rig, const char *key, double *low, double *high);
/* Whether rules "key=value" hold for a rig (NULL: nothing is known). Rules
 * of one key are alternatives; what is not known holds. */
bool lw_rig_holds(const struct lw_rig *rig, const struct lw_texts *only);

/* A new rig. `title` NULL: its name. A removed one of that name comes back
 * with all that is on it. LW_CONFLICT: there is one. LW_BAD_INPUT: not a
 * name (a-z, 0-9, hyphens; begins with a letter; at most 64). */
enum lw_status lw_rig_new(struct lw_book *book, const char *rig,
    const char *title, int64_t now_s, struct lw_err *err);
struct lw_rig_pair {
	const char *key;
	const char *value;
};
/* A vehicle that is no rig of the book, of which these facts are known: its
 * name is "". Facts that cannot be read are left out. */
enum lw_status lw_rig_of(struct lw_book *book, struct lw_arena *arena,
    const struct lw_rig_pair *pairs, size_t count, const struct lw_rig **out,
    struct lw_err *err);
/* Take it out of the lists; its ledger, points and jobs stay. LW_NOT_FOUND. */
enum lw_status lw_rig_remove(
    struct lw_book *book, const char *rig, struct lw_err *err);
/* The rig in hand, which new jobs are for; NULL: none. LW_NOT_FOUND. */
enum lw_status lw_rig_use(
    struct lw_book *book, const char *rig, struct lw_err *err);
/* *rig is NULL where none is in hand. */
enum lw_status lw_rig_in_hand(struct lw_book *book, struct lw_arena *arena,
    const char **rig, struct lw_err *err);
/* LW_NOT_FOUND names the nearest. A removed rig is found, and says so. */
enum lw_status lw_rig_get(struct lw_book *book, struct lw_arena *arena,
    const char *rig, const struct lw_rig **out, struct lw_err *err);
/* Those not removed. kind "rig", id, title, time_s made; own is true for the
 * one in hand. */
enum lw_status lw_rig_list(struct lw_book *book, struct lw_arena *arena,
    struct lw_entries *rigs, struct lw_err *err);

/*
 * Set facts, all or none; a value "" or "unknown" takes one back. Keys are
 * "title", those of lw_rig_values, and "device.NAME". LW_BAD_INPUT says which
 * key, what was wrong, and what would be right; LW_UNDECIDED: a quantity that
 * could mean two things (10 mF), and how to write either; LW_NOT_FOUND: no such rig, or
 * no such device in the book (with the nearest); LW_TOO_BIG: more than 32
 * devices. A list takes commas or lines, at most 50 texts of 60 bytes; "none"
 * alone is a list that is known to be empty.
 */
enum lw_status lw_rig_set(struct lw_book *book, const char *rig,
    const struct lw_rig_pair *pairs, size_t count, int64_t now_s,
    struct lw_err *err);

#define LW_SPELLING_MAX 160 /* bytes of a spelling, NUL included */
/*
 * How to write a quantity that came back LW_UNDECIDED so that it can be one
 * thing alone: as it is written, and as it is as likely meant ("10000 uF",
 * "10 uF", each with the tolerance that was said). Both have room for
 * LW_SPELLING_MAX. False: there are no two ways, and nothing was written.
 */
bool lw_rig_spellings(const struct lw_value *value, const char *text,
    char *written, char *meant);

/* The builder's words for a point; NULL or "" takes them back. LW_NOT_FOUND:
 * no such rig, or no such point (with the nearest). LW_BAD_INPUT: more than
 * 300 bytes, or not UTF-8. */
enum lw_status lw_rig_set_point(struct lw_book *book, const char *rig,
    const char *point, const char *words, int64_t now_s, struct lw_err *err);
/* Every point of the book, and those that only the rig still knows, with the
 * rig's words; those with words first, then by title. */
enum lw_status lw_rig_points(struct lw_book *book, struct lw_arena *arena,
    const char *rig, const struct lw_rig_point **points, size_t *count,
    struct lw_err *err);

/* --- the settings ledger ---------------------------------------------- */

struct lw_setting {
	int64_t entry;
	int64_t time_s;
	const char *device; /* the rig's name for it */
	const char *setting;
	const char *was; /* NULL: only read */
	const char *became;
	const char *why;  /* or NULL */
	int64_t job;	  /* 0: none */
	bool unexplained; /* what was found (`was`, or `became` where it was
			   * only read) is not what the ledger had last */
};

struct lw_settings {
	const struct lw_setting *items;
	size_t count;
};

/*
 * Add to the ledger. `was` NULL: the value was only read. Texts are kept as
 * they are, one line each, at most 200 bytes (why 1000). job 0: none.
 * LW_NOT_FOUND: no such rig or job; or the rig has devices and none of that
 * name (with their names). LW_BAD_INPUT: a text that is missing or wrong; a
 * job that is on another rig.
 */
enum lw_status lw_setting_add(struct lw_book *book, const char *rig,
    const struct lw_setting *setting, int64_t now_s, int64_t *entry,
    struct lw_err *err);
/* Every entry of a rig, in the order in which they were written; device NULL:
 * of all devices. Here and below a rig that was removed is read as well;
 * LW_NOT_FOUND: there never was one. */
enum lw_status lw_setting_history(struct lw_book *book, struct lw_arena *arena,
    const char *rig, const char *device, struct lw_settings *settings,
    struct lw_err *err);
/* As the settings stood at a time: the last entry at or before at_s of each
 * setting, by device and name. What was written later with an earlier clock
 * counts by its own time. */
enum lw_status lw_setting_as_of(struct lw_book *book, struct lw_arena *arena,
    const char *rig, int64_t at_s, struct lw_settings *settings,
    struct lw_err *err);

/* A setting that is to be read, or set, once a tool for it is there. */
struct lw_setting_wish {
	int64_t wish;
	int64_t time_s;
	const char *device; /* the rig's name for it */
	const char *setting;
	const char *value; /* what to set it to; NULL: to be read */
	const char *why;   /* or NULL */
	int64_t job;	   /* 0: none */
	const char *last;  /* what the ledger had last, or NULL */
};

struct lw_setting_wishes {
	const struct lw_setting_wish *items;
	size_t count;
};

/*
 * Put a setting on the list, in place of one that was wanted of it before.
 * `wish`, `time_s` and `last` are not read; `number` may be NULL. Errors as
 * lw_setting_add.
 */
enum lw_status lw_setting_want(struct lw_book *book, const char *rig,
    const struct lw_setting_wish *wish, int64_t now_s, int64_t *number,
    struct lw_err *err);
/* Take it off. LW_NOT_FOUND: there is none of that number, or it has been
 * fulfilled. */
enum lw_status lw_setting_unwant(
    struct lw_book *book, int64_t wish, struct lw_err *err);
/*
 * Those still open, in the order in which they came. One to be read is
 * fulfilled by any later entry of the ledger on that device and setting; one
 * to be set by an entry that changes it, or that finds it so already. Also of
 * a rig that was removed; LW_NOT_FOUND: there never was one.
 */
enum lw_status lw_setting_wishes(struct lw_book *book, struct lw_arena *arena,
    const char *rig, struct lw_setting_wishes *wishes, struct lw_err *err);

struct lw_setting_change {
	const char *device;
	const char *setting;
	const char *before; /* at the first time; NULL: not known then */
	const char *after;  /* at the second time; NULL: not known then */
};
/*
 * What differs between two times, by device and name. To put settings back
 * as they were at a time: from now to then. Before the first entry of a
 * setting its value is that entry's `was`, if it has one.
 */
enum lw_status lw_setting_difference(struct lw_book *book,
    struct lw_arena *arena, const char *rig, int64_t from_s, int64_t to_s,
    const struct lw_setting_change **changes, size_t *count,
    struct lw_err *err);

/* --- what the vehicle says -------------------------------------------- */

enum lw_record_kind {
	LW_RECORD_HOURS = 1, /* value: running hours */
	LW_RECORD_FIRMWARE,  /* value: version */
	LW_RECORD_FAULT,     /* subject: as the device shows it; count */
	LW_RECORD_LIVE	     /* subject: the value's name; value with unit */
};
/* "hours", "firmware", "fault", "live". */
const char *lw_record_kind_name(enum lw_record_kind kind);
/* LW_BAD_INPUT lists the names. */
enum lw_status lw_record_kind_parse(
    enum lw_record_kind *kind, const char *name, struct lw_err *err);

struct lw_record {
	int64_t record;
	int64_t time_s;
	const char *device; /* the rig's name for it */
	enum lw_record_kind kind;
	const char *subject; /* or NULL */
	const char *value;   /* or NULL */
	bool has_count;
	int64_t count;
	const char *words; /* or NULL */
	int64_t job;	   /* 0: none */
};

struct lw_records {
	const struct lw_record *items;
	size_t count;
};

/* Keep what a device said. Errors as lw_setting_add; hours have to be a number
 * that is not below zero, and only a fault has a count. */
enum lw_status lw_record_add(struct lw_book *book, const char *rig,
    const struct lw_record *record, int64_t now_s, int64_t *number,
    struct lw_err *err);
/* In order of time; job 0: all of the rig, else those of the job (rig NULL
 * then). */
enum lw_status lw_record_list(struct lw_book *book, struct lw_arena *arena,
    const char *rig, int64_t job, struct lw_records *records,
    struct lw_err *err);
/* The ledger's entries that belong to a job, in order. */
enum lw_status lw_setting_of_job(struct lw_book *book, struct lw_arena *arena,
    int64_t job, struct lw_settings *settings, struct lw_err *err);

/* "2026-11-25" as the last second of that day, UTC. LW_BAD_INPUT. */
enum lw_status lw_day_end(int64_t *time_s, const char *day, struct lw_err *err);

#ifdef __cplusplus
}
#endif
#endif
