/* What the pages and forms of a rig share. */
#ifndef SERVE_RIG_PAGE_H
#define SERVE_RIG_PAGE_H

#include "serve/reply.h"
#include "serve/request.h"

/* The rig that the address names; it may not exist. */
const char *rig_page_of(const struct request *request);

/* On to /rigs/NAME and `more` ("/points", or NULL), with a word for said.c or
 * NULL. */
void rig_page_go(
    struct reply *reply, const char *rig, const char *more, const char *said);

/* A failure as a page of one sentence, with the list of rigs as the way on. */
void rig_page_fail(struct reply *reply, const struct lw_err *err);

/* The rig's own page; false when `reply` has an error instead. */
bool rig_page_show(
    const struct request *request, struct reply *reply, unsigned status);

/* Whether a form that failed so is worth showing again, with what was typed;
 * else `reply` has the error. */
bool rig_page_may_again(struct reply *reply, const struct lw_err *err);

/* A sentence about the value KEY without its "for KEY, ", to stand beside the
 * value's field. */
const char *rig_page_without_key(const char *sentence, const char *key);

/* The rig's only device, where it has one alone, stands in the field of a new
 * entry already. */
void rig_page_fill_device(const struct request *request, struct reply *reply);

/* What a wish of the query's field `wish` is about stands in the fields of a
 * new entry. Nothing where there is no such wish. */
void rig_page_fill_wish(const struct request *request, struct reply *reply);

/* The page of settings once more, with what was wrong; false when `reply` has
 * an error instead. */
bool rig_page_settings_again(const struct request *request, struct reply *reply,
    const struct lw_err *why);

/* The number of the job that a page or form is for, in its field `job`; 0
 * where there is none. */
int64_t rig_page_job(const struct form *form);

#endif
