/* The table of addresses; what stands at each is left to its page. */
#include "serve/route.h"

#include "serve/pages.h"

#include <string.h>

typedef void page(const struct request *request, struct reply *reply);

/* A segment "*" stands for any one. The first match counts. */
struct route {
	const char *path;
	page *get;
	page *post;
};

static const struct route routes[] = {
    {"/", page_home, NULL},
    {"/ask", page_ask, NULL},
    {"/read", page_read, NULL},
    {"/find", page_find, NULL},
    {"/about", page_about, NULL},
    {"/static/*", page_static, NULL},

    {"/jobs", page_jobs, page_job_new},
    {"/jobs/*", page_job, NULL},
    {"/jobs/*/now", page_job_now, NULL},
    {"/jobs/*/report", page_job_report, NULL},
    {"/jobs/*/state", page_job_state, NULL},
    {"/jobs/*/waits", page_waits, NULL},
    {"/jobs/*/answer", page_job_back, page_job_answer},
    {"/jobs/*/undo", page_job_back, page_job_undo},
    {"/jobs/*/note", page_job_back, page_job_note},
    {"/jobs/*/close", page_job_back, page_job_close},
    {"/jobs/*/reopen", page_job_back, page_job_reopen},
    {"/jobs/*/resume", page_job_back, page_job_resume},
    {"/jobs/*/wait", page_job_back, page_job_wait},
    {"/jobs/*/safe", page_job_back, page_job_safe},
    {"/jobs/*/pick", page_job_back, page_job_pick},
    {"/jobs/*/suppose", page_job_back, page_job_suppose},
    {"/jobs/*/take", page_job_back, page_job_take},
    {"/jobs/*/ask", page_job_back, page_job_ask},
    {"/jobs/*/hand", page_job_back, page_job_hand},
    {"/jobs/*/release", page_job_back, page_job_release},
    {"/waits", page_waits, NULL},

    {"/rigs", page_rigs, page_rig_new},
    {"/rigs/*", page_rig, NULL},
    {"/rigs/*/set", page_rig_back, page_rig_set},
    {"/rigs/*/use", page_rig_back, page_rig_use},
    {"/rigs/*/remove", page_rig_back, page_rig_remove},
    {"/rigs/*/points", page_rig_points, page_rig_point_set},
    {"/rigs/*/settings", page_rig_settings, page_rig_setting_add},
    {"/rigs/*/log", page_rig_log, page_rig_record_add},
    {"/rigs/*/waits", page_waits, NULL},

    {"/devices/new", page_device_form, page_device_new},
    {"/devices/*/teach", NULL, page_device_teach},
    {"/devices/*/lesson", NULL, page_device_lesson},
    {"/devices/*/unteach", NULL, page_device_unteach},

    {"/notes", page_list, page_note_add},
    {"/notes/*", page_note, NULL},
    {"/notes/*/remove", NULL, page_note_remove},

    {"/packs", page_list, NULL},
    {"/devices", page_list, NULL},
    {"/devices/*", page_item, NULL},
    {"/faults", page_list, NULL},
    {"/faults/*", page_item, NULL},
    {"/symptoms", page_list, NULL},
    {"/symptoms/*", page_item, NULL},
    {"/causes", page_list, NULL},
    {"/causes/*", page_item, NULL},
    {"/checks", page_list, NULL},
    {"/checks/*", page_item, NULL},
    {"/trees", page_list, NULL},
    {"/trees/*", page_item, NULL},
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

const struct route *
route_find(const struct url_path *path, enum method method, const char **allow)
{
	size_t i;

	*allow = NULL;
	for (i = 0; i < sizeof routes / sizeof routes[0]; i++) {
		if (!is_at(&routes[i], path))
			continue;
		if ((method == METHOD_GET && routes[i].get != NULL) ||
		    (method == METHOD_POST && routes[i].post != NULL))
			return &routes[i];
		*allow = routes[i].post == NULL	 ? "GET, HEAD"
			 : routes[i].get == NULL ? "POST"
						 : "GET, HEAD, POST";
		return NULL;
	}
	return NULL;
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
