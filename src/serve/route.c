/* The table of addresses; what stands at each is left to its page. */
#include "serve/route.h"

#include "serve/pages.h"

#include <string.h>

typedef void page(const struct request *request, struct reply *reply);

/* How long a form may be, in bytes. */
enum {
	TOUCH = 1024,		/* a token and a number, or little more */
	LINES = 16 * 1024,	/* some short fields, or a page to go back to */
	WORDS = FORM_BYTES_MAX, /* what somebody has to say */
	SERIES = 1024 * 1024	/* a recording of a lamp */
};

/* A segment "*" stands for any one. The first match counts. */
struct route {
	const char *path;
	page *get;
	page *post;
	size_t most; /* bytes of the form that it takes; 0: it takes none */
};

static const struct route routes[] = {
    {"/", page_home, NULL, 0},
    {"/ask", page_ask, NULL, 0},
    {"/read", page_read, NULL, 0},
    {"/film", page_film, page_film_read, SERIES},
    {"/tap", page_tap, NULL, 0},
    {"/tap/now", page_tap_now, NULL, 0},
    {"/replay", page_replay, NULL, 0},
    {"/find", page_find, NULL, 0},
    {"/reckon", page_reckoners, NULL, 0},
    {"/reckon/*", page_reckon, NULL, 0},
    {"/plan", page_plan, page_plan_save, LINES},
    {"/about", page_about, NULL, 0},
    {"/static/*", page_static, NULL, 0},

    {"/pair", page_pair, page_pair_try, TOUCH},
    {"/screens", page_screens, NULL, 0},
    {"/screens/code", NULL, page_screens_code, TOUCH},
    {"/screens/others", NULL, page_screens_others, TOUCH},
    {"/screens/*/remove", NULL, page_screen_remove, TOUCH},

    {"/jobs", page_jobs, page_job_new, LINES},
    {"/jobs/*", page_job, NULL, 0},
    {"/jobs/*/now", page_job_now, NULL, 0},
    {"/jobs/*/report", page_job_report, NULL, 0},
    {"/jobs/*/state", page_job_state, NULL, 0},
    {"/jobs/*/waits", page_waits, NULL, 0},
    {"/jobs/*/answer", page_job_back, page_job_answer, WORDS},
    {"/jobs/*/value", page_job_back, page_job_value, LINES},
    {"/jobs/*/undo", page_job_back, page_job_undo, TOUCH},
    {"/jobs/*/note", page_job_back, page_job_note, WORDS},
    {"/jobs/*/close", page_job_back, page_job_close, WORDS},
    {"/jobs/*/reopen", page_job_back, page_job_reopen, TOUCH},
    {"/jobs/*/resume", page_job_back, page_job_resume, TOUCH},
    {"/jobs/*/wait", page_job_back, page_job_wait, WORDS},
    {"/jobs/*/safe", page_job_back, page_job_safe, TOUCH},
    {"/jobs/*/pick", page_job_back, page_job_pick, TOUCH},
    {"/jobs/*/suppose", page_job_back, page_job_suppose, TOUCH},
    {"/jobs/*/leave", page_job_back, page_job_leave, TOUCH},
    {"/jobs/*/tools", page_job_back, page_job_tools, LINES},
    {"/jobs/*/take", page_job_back, page_job_take, TOUCH},
    {"/jobs/*/ask", page_job_back, page_job_ask, TOUCH},
    {"/jobs/*/hand", page_job_back, page_job_hand, TOUCH},
    {"/jobs/*/release", page_job_back, page_job_release, TOUCH},
    {"/waits", page_waits, NULL, 0},
    {"/learnt", page_learnt, NULL, 0},
    {"/learnt/forget", NULL, page_learnt_forget, TOUCH},

    {"/rigs", page_rigs, page_rig_new, LINES},
    {"/rigs/*", page_rig, NULL, 0},
    {"/rigs/*/set", page_rig_back, page_rig_set, WORDS},
    {"/rigs/*/use", page_rig_back, page_rig_use, TOUCH},
    {"/rigs/*/remove", page_rig_back, page_rig_remove, TOUCH},
    {"/rigs/*/points", page_rig_points, page_rig_point_set, WORDS},
    {"/rigs/*/settings", page_rig_settings, page_rig_setting_add, WORDS},
    {"/rigs/*/want", page_rig_back, page_rig_want, WORDS},
    {"/rigs/*/unwant", page_rig_back, page_rig_unwant, LINES},
    {"/rigs/*/log", page_rig_log, page_rig_record_add, WORDS},
    {"/rigs/*/waits", page_waits, NULL, 0},

    {"/devices/new", page_device_form, page_device_new, LINES},
    {"/devices/*/teach", NULL, page_device_teach, WORDS},
    {"/devices/*/lesson", NULL, page_device_lesson, WORDS},
    {"/devices/*/unteach", NULL, page_device_unteach, LINES},

    {"/notes", page_list, page_note_add, WORDS},
    {"/notes/*", page_note, NULL, 0},
    {"/notes/*/remove", NULL, page_note_remove, LINES},

    {"/packs", page_list, NULL, 0},
    {"/devices", page_list, NULL, 0},
    {"/devices/*", page_item, NULL, 0},
    {"/faults", page_list, NULL, 0},
    {"/faults/*", page_item, NULL, 0},
    {"/symptoms", page_list, NULL, 0},
    {"/symptoms/*", page_item, NULL, 0},
    {"/causes", page_list, NULL, 0},
    {"/causes/*", page_item, NULL, 0},
    {"/checks", page_list, NULL, 0},
    {"/checks/*", page_item, NULL, 0},
    {"/settings", page_known, NULL, 0},
    {"/settings/*", page_item, NULL, 0},
    {"/trees", page_list, NULL, 0},
    {"/trees/*", page_item, NULL, 0},
    {"/walks", page_walks, NULL, 0},
    {"/trees/*/drop", NULL, page_tree_drop, TOUCH},
};

static bool
is_at(const struct route *route, const struct url_path *path)
{
	const char *want = route->path;
	size_t i;

	for (i = 0; i < path->count; i++) {
		size_t n;

		if (*want++ != '/')
			return false;
		n = strcspn(want, "/");
		if (!(n == 1 && want[0] == '*') &&
		    (strlen(path->segments[i]) != n ||
			strncmp(path->segments[i], want, n) != 0))
			return false;
		want += n;
	}
	return *want == '\0' || (path->count == 0 && strcmp(want, "/") == 0);
}

static const struct route *
first_at(const struct url_path *path)
{
	size_t i;

	for (i = 0; i < sizeof routes / sizeof routes[0]; i++)
		if (is_at(&routes[i], path))
			return &routes[i];
	return NULL;
}

const struct route *
route_find(const struct url_path *path, enum method method, const char **allow)
{
	const struct route *route = first_at(path);

	*allow = NULL;
	if (route == NULL)
		return NULL;
	if ((method == METHOD_GET && route->get != NULL) ||
	    (method == METHOD_POST && route->post != NULL))
		return route;
	*allow = route->post == NULL  ? "GET, HEAD"
		 : route->get == NULL ? "POST"
				      : "GET, HEAD, POST";
	return NULL;
}

bool
route_is_open(const struct url_path *path)
{
	const struct route *route = first_at(path);

	return route != NULL &&
	       (route->get == page_pair || route->get == page_static);
}

bool
route_is_asset(const struct url_path *path)
{
	const struct route *route = first_at(path);

	return route != NULL && route->get == page_static;
}

size_t
route_most(const struct route *route)
{
	return route->most;
}

void
route_answer(const struct route *route, const struct request *request,
    struct reply *reply)
{
	if (request->method == METHOD_POST)
		route->post(request, reply);
	else
		route->get(request, reply);
}
