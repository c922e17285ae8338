/* The pages: each takes a request that has passed every check and fills in
 * a reply. One file each, page_NAME.c. */
#ifndef SERVE_PAGES_H
#define SERVE_PAGES_H

#include "serve/reply.h"
#include "serve/request.h"

#include <lampwright/job.h>

#define PAGE(name) \
	void page_##name(const struct request *request, struct reply *reply);

PAGE(home)
PAGE(ask)
PAGE(read)
PAGE(film)
PAGE(film_read)
PAGE(tap)
PAGE(tap_now)
PAGE(replay)
PAGE(find)
PAGE(reckoners)
PAGE(reckon)
PAGE(item)
PAGE(list)
PAGE(known)
PAGE(tree_drop)
PAGE(plan)
PAGE(plan_save)
PAGE(about)

PAGE(jobs)
PAGE(job_new)
PAGE(job)
PAGE(job_now)
PAGE(job_report)
PAGE(job_state)
PAGE(waits)
/* A form's address opened as a page, as by reloading a tab: back to the job
 * it was for. */
PAGE(job_back)
PAGE(job_answer)
PAGE(job_undo)
PAGE(job_value)
PAGE(job_note)
PAGE(job_close)
PAGE(job_reopen)
PAGE(job_resume)
PAGE(job_wait)
PAGE(job_safe)
PAGE(job_pick)
PAGE(job_suppose)
PAGE(job_leave)
PAGE(job_tools)
PAGE(job_take)
PAGE(job_ask)
PAGE(job_hand)
PAGE(job_release)
PAGE(walks)
PAGE(learnt)
PAGE(learnt_forget)

PAGE(rigs)
PAGE(rig_new)
PAGE(rig)
PAGE(rig_back)
PAGE(rig_set)
PAGE(rig_use)
PAGE(rig_remove)
PAGE(rig_points)
PAGE(rig_point_set)
PAGE(rig_settings)
PAGE(rig_setting_add)
PAGE(rig_want)
PAGE(rig_unwant)
PAGE(rig_log)
PAGE(rig_record_add)

PAGE(device_form)
PAGE(device_new)
PAGE(device_teach)
PAGE(device_lesson)
PAGE(device_unteach)

PAGE(note)
PAGE(note_add)
PAGE(note_remove)

PAGE(pair)
PAGE(pair_try)
PAGE(screens)
PAGE(screens_code)
PAGE(screens_others)
PAGE(screen_remove)

PAGE(static)
#undef PAGE

/* The first page again, with what was typed into its box and what was wrong
 * with it. */
void page_home_again(const struct request *request, struct reply *reply,
    const char *typed, const struct lw_err *why);

/* Carry the device that was chosen on to the next page: `for_device` and
 * `for_device_title`, from the query's `device`. Nothing where there is no
 * such device. */
void pages_carry_device(const struct request *request, struct reply *reply);

/* Where to go once a form is taken: back to the page it stood on, as its
 * field `back` says, or to `otherwise`; with the word for said.c. */
void pages_go_back(const struct request *request, struct reply *reply,
    const char *otherwise, const char *said);

/* Who does something, and when: the screen that sent the request. The texts
 * are the request's. */
struct lw_actor pages_actor(const struct request *request);

/* Another answer than the one that was asked for, as request->away says: the
 * way to /pair, or the page once more. */
void page_pair_away(const struct request *request, struct reply *reply);

/* The page that asks for the code, with what was wrong. */
void page_pair_again(const struct request *request, struct reply *reply,
    unsigned status, const char *sentence);

/* Look which screens there are: where one was sent away, by the command line
 * too, no pairing code from before is good. */
void pages_note_screens(struct server *server, int64_t now_s);

/* See to it that a pairing code is good, unless it is locked; as
 * pairing_ready. */
enum lw_status pages_ready_code(
    const struct request *request, bool *fresh, struct lw_err *err);

/* A sentence for the terminal; and the code that is good now. */
void pages_say(const struct request *request, const char *sentence);
void pages_say_code(const struct request *request);

/* An id from a title: letters and digits, with hyphens for all else; "" where
 * nothing of it would do. */
void pages_make_id(char id[65], const char *title);

/* A hash over the assets as hexadecimal, which changes when they do. */
void page_static_hash(char hash[17]);

#endif
