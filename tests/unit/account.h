/*
 * An account of its own of jobs that are walked at random: who holds which
 * vehicle, what is proved, which compulsory checks were passed, what is known
 * of a rig. It is kept from the packs' checks, from the findings and from
 * what the test did; nothing of src/job is asked.
 */
#ifndef UNIT_ACCOUNT_H
#define UNIT_ACCOUNT_H

#include <lampwright.h>

#include <check.h>
#include <stdbool.h>

/* As ck_assert_msg, which writes to a file for every look that it takes; walks
 * look many million times. */
#define must(condition, ...)                                       \
	do {                                                       \
		if (!(condition))                                  \
			ck_abort_msg(#condition ": " __VA_ARGS__); \
	} while (0)

enum { ACCOUNT_SCREENS = 3, ACCOUNT_CHECKS = 800, ACCOUNT_FACTS = 16 };

extern const char *const account_screens[ACCOUNT_SCREENS];

/* All checks and cautions of a book. */
struct account_book {
	const struct lw_check *checks[ACCOUNT_CHECKS];
	size_t check_count;
	const struct lw_caution *cautions[ACCOUNT_CHECKS];
	size_t caution_count;
};
void account_load(
    struct account_book *book, struct lw_book *from, struct lw_arena *arena);
/* NULL: none of the book's. */
const struct lw_check *account_check(
    const struct account_book *book, const char *id);
/* The state that an outcome of the check proves, or 0. */
enum lw_power account_enters(const struct lw_check *check);

/* What is known of a rig. */
struct account_rig {
	const char *name; /* NULL: no rig */
	struct {
		const char *key;
		char value[40];
	} facts[ACCOUNT_FACTS];
	size_t fact_count;
};
void account_learn(struct account_rig *rig, const char *key, const char *value);
const char *account_fact(const struct account_rig *rig, const char *key);
bool account_rules_hold(
    const struct account_rig *rig, const struct lw_texts *only);
bool account_applies(
    const struct account_rig *rig, const struct lw_caution *caution);

/* Who holds a vehicle; screens by their place, -1 none. */
struct account_hold {
	int screen;
	int64_t job;
	int64_t last_s;
	int asker;
	int64_t asked_s;
};
/* Held, and not run out. */
bool account_is_held(const struct account_hold *hold, int64_t now_s);
/* By another than this screen. */
bool account_is_others(
    const struct account_hold *hold, int screen, int64_t now_s);

/* One job. */
struct account {
	int64_t job;
	const struct account_rig *rig;
	struct account_hold *hold;
	enum lw_power power;
	bool passed[ACCOUNT_CHECKS]; /* by their place in the book */
	const struct lw_check *gate; /* the way in that proved the state */
	bool before[ACCOUNT_CHECKS]; /* what had passed before that */
	bool through;		     /* a walk-through leads */
	bool wrong[ACCOUNT_CHECKS];  /* what gave something else last */
	int64_t last_s;		     /* of the last finding */
	size_t finding_count;
};
/* Take one more finding into the account, before more is learnt of the rig. */
void account_note(struct account *account, const struct account_book *book,
    const struct lw_finding *finding);
/* Whether what the account says is still so for a screen that would act. */
bool account_is_fresh(const struct account *account,
    const struct account_book *book, int screen, int64_t now_s);
/* What is proved for it (-1: for one that looks on). */
enum lw_power account_power(const struct account *account,
    const struct account_book *book, int screen, int64_t now_s);
/* Whether everything compulsory before a way in was passed. */
bool account_may_enter(const struct account *account,
    const struct account_book *book, const struct lw_check *gate);

#endif
