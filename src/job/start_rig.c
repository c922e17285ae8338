/* Finds the rig and the device of a new job; what its lamp shows is left to
 * sight. */
#include "job/start_rig.h"

#include "base/err.h"

#include <string.h>

/* The rig's device by its own name or by the book's id, or NULL. */
static const struct lw_rig_device *
find_device(const struct lw_rig *rig, const char *name)
{
	size_t i;

	for (i = 0; i < rig->device_count; i++)
		if (strcmp(rig->devices[i].name, name) == 0)
			return &rig->devices[i];
	for (i = 0; i < rig->device_count; i++)
		if (strcmp(rig->devices[i].device, name) == 0)
			return &rig->devices[i];
	return NULL;
}

enum lw_status
start_find_rig(const char **name, const char **device, struct shelf *shelf,
    const struct lw_job_start *start, struct lw_err *err)
{
	const struct lw_rig_device *own = NULL;
	const struct lw_rig *rig;
	enum lw_status status;
	const char *wanted = start->rig;

	*name = NULL;
	*device = start->device;
	if (wanted == NULL) {
		status =
		    lw_rig_in_hand(shelf->book, shelf->arena, &wanted, err);
		if (status != LW_OK || wanted == NULL)
			return status;
	}
	status = lw_rig_get(shelf->book, shelf->arena, wanted, &rig, err);
	if (status == LW_NOT_FOUND && start->rig == NULL)
		return LW_OK;
	if (status != LW_OK)
		return status;
	if (rig->removed && start->rig == NULL)
		return LW_OK;
	if (rig->removed)
		return err_set(err, LW_NOT_FOUND,
		    "the rig \"%.64s\" was taken out; make it again under "
		    "that name to bring it back",
		    rig->rig);
	if (start->device != NULL)
		own = find_device(rig, start->device);
	/* A device that the rig in hand has not is of another vehicle. */
	if (start->rig == NULL && start->device != NULL && own == NULL &&
	    rig->device_count > 0)
		return LW_OK;
	*name = rig->rig;
	if (own != NULL)
		*device = own->device;
	else if (start->device == NULL && start->pattern_count > 0 &&
		 rig->device_count == 1)
		*device = rig->devices[0].device;
	return LW_OK;
}
