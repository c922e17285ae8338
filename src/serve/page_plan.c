/* The page that compiles a tree: the form, the page to wait on, the tree, and
 * the form that keeps it. Working it out is left to plans.c. */
#include "serve/conns.h"
#include "serve/pages.h"
#include "serve/plans.h"

#include "base/err.h"
#include "base/num.h"
#include "fill/fill.h"

#include <lampwright/rig.h>
#include <lampwright/view.h>

#include <microhttpd.h>
#include <stdio.h>
#include <string.h>

enum { WHAT_MAX = 400, TITLE_MAX = 400, AT_FIRST_S = 3 };

/* What an address or a form asks for. */
static struct plans_question
question_of(const struct request *request, const struct form *form)
{
	struct plans_question question = {
	    .plan = {.what = form_get_or_null(form, "for"),
		.device = form_get_or_null(form, "device"),
		.rig = form_get_or_null(form, "rig")},
	    .asker = request->screen.id,
	    .now_s = request->now_s,
	};

	/* One that cannot be read makes nothing the same as anything. */
	if (lw_book_change(request->book, &question.change, NULL) != LW_OK)
		question.change = -1;
	return question;
}

static void
add_address(struct buf *address, const struct lw_plan_for *plan)
{
	buf_add(address, "/plan");
	url_add_query(address, "for", plan->what);
	url_add_query(address, "device", plan->device);
	url_add_query(address, "rig", plan->rig);
}

static void
put_address(
    struct reply *reply, const char *key, const struct lw_plan_for *plan)
{
	struct buf address;

	buf_init(&address, 8192);
	add_address(&address, plan);
	if (address.status == LW_OK)
		reply_text(reply, key, buf_text(&address));
	buf_clear(&address);
}

/* --- the form ------------------------------------------------------------- */

static void
show_form(const struct request *request, struct reply *reply, unsigned status,
    const struct lw_plan_for *plan, const struct lw_err *why)
{
	const char *rig = plan->rig;
	struct lw_err err = {.code = LW_OK};
	struct lw_doc *doc = NULL;

	if (rig == NULL && plan->what != NULL)
		rig = "";
	if (lw_view_plan_ask(&doc, request->book, plan->what, plan->device, rig,
		&err) != LW_OK) {
		reply_failure(reply, &err);
		return;
	}
	reply_page(reply, status, "plan-ask", doc);
	if (why != NULL)
		reply_typed(reply, plan->what != NULL ? plan->what : "", why);
}

/* --- waiting -------------------------------------------------------------- */

static void
show_waiting(struct reply *reply, const struct lw_plan_for *plan,
    const struct plans_found *found)
{
	bool full = found->state == PLANS_FULL;
	bool own = found->state == PLANS_OWN_FIRST;
	struct buf again;

	reply_page(reply,
	    full || own ? MHD_HTTP_SERVICE_UNAVAILABLE : MHD_HTTP_ACCEPTED,
	    "plan-wait", NULL);
	if (full || own)
		reply->retry_s = 2;
	reply_int(reply, "again_s",
	    full || own || found->since_s >= AT_FIRST_S ? 2 : 1);
	reply_bool(reply, "is_full", full);
	reply_bool(reply, "is_own_first", own);
	reply_int(reply, "most_s", PLAN_CHILD_S);
	reply_int(reply, "since_s", found->since_s);
	reply_text(reply, "what", plan->what);
	reply_text(reply, "to_keep", found->title);
	/* Where the page has no address of its own, having been posted. */
	buf_init(&again, 8192);
	buf_add(&again, "/plan");
	url_add_query(&again, "for", plan->what);
	if (plan->device != NULL)
		url_add_query(&again, "device", plan->device);
	if (plan->rig != NULL)
		url_add_query(&again, "rig", plan->rig);
	reply_text(
	    reply, "again", again.status == LW_OK ? buf_text(&again) : "/plan");
	buf_clear(&again);
}

/* --- the tree ------------------------------------------------------------- */

/* The names of the device and the rig that it is for. */
static void
put_names(const struct request *request, struct reply *reply,
    const struct lw_plan_for *plan)
{
	struct lw_arena *arena = lw_arena_new();
	const struct lw_device *device;
	const struct lw_rig *rig;
	const char *in_hand;

	if (arena == NULL)
		return;
	if (plan->device != NULL && lw_book_device(request->book, arena,
					plan->device, &device, NULL) == LW_OK)
		reply_text(reply, "device_title",
		    device->title != NULL ? device->title : device->id);
	else
		reply_text(reply, "device_title", plan->device);
	reply_text(reply, "rig", plan->rig);
	if (plan->rig != NULL &&
	    lw_rig_get(request->book, arena, plan->rig, &rig, NULL) == LW_OK)
		reply_text(reply, "rig_title", rig->title);
	/* A tree that is for any vehicle can be had for the one in hand. */
	if (plan->rig == NULL &&
	    lw_rig_in_hand(request->book, arena, &in_hand, NULL) == LW_OK &&
	    in_hand != NULL &&
	    lw_rig_get(request->book, arena, in_hand, &rig, NULL) == LW_OK) {
		struct lw_plan_for with = *plan;

		with.rig = in_hand;
		reply_text(reply, "hand_title", rig->title);
		put_address(reply, "with_hand", &with);
	}
	lw_arena_free(arena);
}

static bool
show_tree(const struct request *request, struct reply *reply, unsigned status,
    const struct lw_plan_for *plan, const struct plans_found *found)
{
	struct lw_plan_for without = *plan;
	struct lw_err err = {.code = LW_OK};
	struct lw_doc *doc = NULL;

	if (fill_doc_read(&doc, found->text, found->length, &err) != LW_OK) {
		reply_error(reply, MHD_HTTP_INTERNAL_SERVER_ERROR, err.text);
		return false;
	}
	without.rig = NULL;
	reply_page(reply, status, "plan", doc);
	put_names(request, reply, plan);
	reply_text(reply, "ask_what", plan->what);
	reply_text(reply, "ask_device", plan->device);
	put_address(reply, "without_rig", &without);
	return true;
}

/* What went wrong while a tree was to be kept: beside the tree, where it is
 * still known. */
static void
show_not_kept(const struct request *request, struct reply *reply,
    const struct plans_question *question, const char *title, unsigned status,
    const char *sentence)
{
	struct plans_found tree;

	plans_recall(&tree, request->server->plans, question, conns_now());
	if (tree.state != PLANS_DONE) {
		reply_error(reply, status, sentence);
		put_address(reply, "way", &question->plan);
		reply_text(reply, "way_title", "Back to the tree");
		return;
	}
	if (!show_tree(request, reply, status, &question->plan, &tree))
		return;
	reply_sentence(reply, "error", sentence);
	reply_text(reply, "typed_title", title);
	reply_bool(reply, "keep_open", true);
}

static void
show_refused(const struct request *request, struct reply *reply,
    const struct plans_question *question, const struct plans_found *found)
{
	const struct lw_plan_for *plan = &question->plan;
	enum lw_status code = found->err.code;

	if (found->title != NULL) {
		show_not_kept(request, reply, question, found->title,
		    reply_status_of(code), found->err.text);
	} else if (code == LW_NOT_FOUND || code == LW_UNDECIDED ||
		   code == LW_BAD_INPUT) {
		show_form(
		    request, reply, reply_status_of(code), plan, &found->err);
	} else {
		reply_failure(reply, &found->err);
		put_address(reply, "way", plan);
		reply_text(reply, "way_title", "Try again");
	}
}

static void
show_death(struct reply *reply, const struct lw_plan_for *plan,
    const struct plans_found *found)
{
	char sentence[sizeof found->err.text];

	snprintf(sentence, sizeof sentence,
	    "%.200s; %stry again, and where it happens again, name the device "
	    "or a rig, which makes less of it, or use `lampwright plan` at the "
	    "machine that serves the book",
	    found->err.text,
	    found->title != NULL
		? "look under the trees whether it was kept before you "
		: "");
	reply_error(reply, MHD_HTTP_INTERNAL_SERVER_ERROR, sentence);
	put_address(reply, "way", plan);
	reply_text(reply, "way_title", "Try again");
}

static void
show_found(const struct request *request, struct reply *reply,
    const struct plans_question *question, const struct plans_found *found)
{
	switch (found->state) {
	case PLANS_WORKING:
	case PLANS_FULL:
	case PLANS_OWN_FIRST:
		show_waiting(reply, &question->plan, found);
		break;
	case PLANS_DONE:
		show_tree(request, reply, 200, &question->plan, found);
		break;
	case PLANS_DIED:
		show_death(reply, &question->plan, found);
		break;
	case PLANS_NONE:
	case PLANS_REFUSED:
		show_refused(request, reply, question, found);
		break;
	}
}

/* Whether there is something to work out; else `reply` says what is wrong. */
static bool
is_whole(const struct request *request, struct reply *reply,
    const struct lw_plan_for *plan)
{
	struct lw_err err;

	if (plan->what[strspn(plan->what, " \n\t")] == '\0')
		err_set(&err, LW_BAD_INPUT,
		    "the box is empty; say what the tree is to be for");
	else if (strlen(plan->what) > WHAT_MAX)
		err_set(&err, LW_BAD_INPUT,
		    "that is longer than the %d bytes taken here; a few words "
		    "find more",
		    WHAT_MAX);
	else
		return true;
	show_form(request, reply, MHD_HTTP_BAD_REQUEST, plan, &err);
	return false;
}

void
page_plan(const struct request *request, struct reply *reply)
{
	const struct plans_question question =
	    question_of(request, &request->query);
	struct plans *plans = request->server->plans;
	const char *saving = form_get_or_null(&request->query, "saving");
	struct plans_found found = {.state = PLANS_NONE};
	int64_t number;

	if (question.plan.what == NULL) {
		show_form(request, reply, 200, &question.plan, NULL);
		return;
	}
	if (!is_whole(request, reply, &question.plan))
		return;
	if (saving != NULL && num_parse_int(&number, saving))
		plans_saved(&found, plans, number, conns_now());
	if (found.state == PLANS_NONE)
		plans_look(&found, plans, &question, conns_now());
	show_found(request, reply, &question, &found);
}

void
page_plan_save(const struct request *request, struct reply *reply)
{
	const struct plans_question question =
	    question_of(request, &request->body);
	const char *title = form_get(&request->body, "title");
	struct plans_found found;
	char number[32];
	int64_t save;

	if (question.plan.what == NULL) {
		show_form(request, reply, MHD_HTTP_BAD_REQUEST, &question.plan,
		    &(struct lw_err){.text = "the form does not say what the "
					     "tree is for; work it out anew"});
		return;
	}
	if (!is_whole(request, reply, &question.plan))
		return;
	if (title[strspn(title, " \n\t")] == '\0' ||
	    strlen(title) > TITLE_MAX) {
		show_not_kept(request, reply, &question, title,
		    MHD_HTTP_BAD_REQUEST,
		    "give the tree a name of one line, at most 100 characters");
		return;
	}
	plans_save(&found, &save, request->server->plans, &question, title,
	    conns_now());
	if (found.state != PLANS_WORKING) {
		if (found.state == PLANS_REFUSED)
			show_not_kept(request, reply, &question, title,
			    reply_status_of(found.err.code), found.err.text);
		else {
			show_not_kept(request, reply, &question, title,
			    MHD_HTTP_SERVICE_UNAVAILABLE,
			    "other trees are being worked out just now; press "
			    "the button again in a few seconds");
			reply->retry_s = 2;
		}
		return;
	}
	snprintf(number, sizeof number, "%lld", (long long)save);
	reply_see_other(reply);
	add_address(&reply->location, &question.plan);
	url_add_query(&reply->location, "saving", number);
}
