/* What waits, by tool: the order in which to do it while the tool is here.
 * What waits at all is gathered in waits_gather.c. */
#include "view/waits.h"

#include "view/job.h"

#include <string.h>
#include <strings.h>

/* One vehicle in one power state. */
struct group {
	const struct wait *first;
	enum lw_power power;
};

static bool
same_vehicle(const struct wait *one, const struct wait *other)
{
	if (one->rig == NULL || other->rig == NULL)
		return one->rig == other->rig && one->job == other->job;
	return strcmp(one->rig, other->rig) == 0;
}

static void
put_minutes(struct view *view, json_t *object, double minutes)
{
	char text[VIEW_MINUTES_MAX];

	view_minutes(view, object, "minutes", minutes);
	view_text(
	    view, object, "minutes_text", view_minutes_text(text, minutes));
}

static json_t *
put_check(struct view *view, json_t *list, const struct wait *wait)
{
	json_t *object = view_add(view, list), *besides;
	size_t i;

	view_int(view, object, "job", wait->job);
	view_words(view, object, "check", wait->id);
	view_words(view, object, "title", wait->title);
	view_words(view, object, "power", lw_power_name(wait->power));
	view_words(view, object, "power_title", lw_power_title(wait->power));
	put_minutes(view, object, wait->minutes);
	view_bool(view, object, "put_aside", wait->put_aside);
	view_text(view, object, "words", wait->words);
	view_text(view, object, "why", wait->why);
	besides = view_list(view, object, "besides");
	for (i = 0; i < wait->besides_count; i++)
		view_add_text(view, besides, wait->besides[i]);
	view_bool(view, object, "has_besides", wait->besides_count > 0);
	return object;
}

/* The checks of one vehicle in one power state, in the order gathered. Their
 * minutes. */
static double
put_group(struct waits *waits, json_t *groups, json_t *all, const char *tool,
    const struct group *group)
{
	struct view *view = waits->view;
	json_t *object = NULL, *checks = NULL, *check;
	double minutes = 0;
	size_t i;

	for (i = 0; i < waits->count; i++) {
		const struct wait *wait = &waits->items[i];

		if (wait->is_fix || wait->power != group->power ||
		    strcasecmp(wait->tool, tool) != 0 ||
		    !same_vehicle(wait, group->first))
			continue;
		if (object == NULL) {
			object = view_add(view, groups);
			view_text(view, object, "rig", wait->rig);
			view_text(view, object, "rig_title", wait->rig_title);
			view_words(
			    view, object, "power", lw_power_name(group->power));
			view_words(view, object, "power_title",
			    lw_power_title(group->power));
			checks = view_list(view, object, "checks");
		}
		check = put_check(view, checks, wait);
		view_add_again(view, all, check);
		minutes += wait->minutes;
	}
	if (object != NULL)
		put_minutes(view, object, minutes);
	return minutes;
}

/* Whether an item is the first of its vehicle among those of a tool. */
static bool
begins_vehicle(const struct waits *waits, size_t item)
{
	const struct wait *wait = &waits->items[item];
	size_t i;

	for (i = 0; i < item; i++)
		if (!waits->items[i].is_fix &&
		    strcasecmp(waits->items[i].tool, wait->tool) == 0 &&
		    same_vehicle(&waits->items[i], wait))
			return false;
	return true;
}

static void
put_fixes(struct waits *waits, json_t *list, const char *tool)
{
	struct view *view = waits->view;
	json_t *object;
	size_t i;

	for (i = 0; i < waits->count; i++) {
		const struct wait *wait = &waits->items[i];

		if (!wait->is_fix || strcasecmp(wait->tool, tool) != 0)
			continue;
		object = view_add(view, list);
		view_int(view, object, "job", wait->job);
		view_words(view, object, "cause", wait->id);
		view_words(view, object, "title", wait->title);
		view_share(view, object, wait->share);
		put_minutes(view, object, wait->minutes);
	}
}

static void
put_tool(struct waits *waits, json_t *list, const char *tool)
{
	struct view *view = waits->view;
	json_t *object = view_add(view, list);
	json_t *checks, *groups, *fixes;
	double minutes = 0;
	size_t i;
	int power;

	view_words(view, object, "tool", tool);
	checks = view_list(view, object, "checks");
	groups = view_list(view, object, "groups");
	for (i = 0; i < waits->count; i++) {
		struct group group = {.first = &waits->items[i]};

		if (group.first->is_fix ||
		    strcasecmp(group.first->tool, tool) != 0 ||
		    !begins_vehicle(waits, i))
			continue;
		for (power = 0; power < LW_POWER_COUNT; power++) {
			group.power = (enum lw_power)power;
			minutes +=
			    put_group(waits, groups, checks, tool, &group);
		}
	}
	view_number(
	    view, object, "check_count", (int64_t)json_array_size(checks));
	put_minutes(view, object, minutes);
	fixes = view_list(view, object, "fixes");
	put_fixes(waits, fixes, tool);
	view_bool(view, object, "has_fixes", json_array_size(fixes) > 0);
}

static bool
begins_tool(const struct waits *waits, size_t item)
{
	size_t i;

	for (i = 0; i < item; i++)
		if (strcasecmp(waits->items[i].tool, waits->items[item].tool) ==
		    0)
			return false;
	return true;
}

void
waits_put_tools(struct waits *waits, json_t *root)
{
	json_t *list = view_list(waits->view, root, "tools");
	size_t i;

	for (i = 0; i < waits->count && waits->view->status == LW_OK; i++)
		if (begins_tool(waits, i))
			put_tool(waits, list, waits->items[i].tool);
	view_bool(waits->view, root, "one_tool", json_array_size(list) == 1);
}
