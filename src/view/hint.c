/* Picks a device's lamp and says what is known of it. Reading the pattern is
 * left to lamp. */
#include "view/hint.h"

#include "base/arena.h"
#include "base/buf.h"
#include "base/err.h"

#include <string.h>

enum lw_status
view_hint(struct lw_lamp_hint *hint, struct lw_arena *arena,
    const struct lw_device *device, const struct lw_lamp *lamp,
    struct lw_err *err)
{
	const char **lamps, **colours;
	size_t i;

	memset(hint, 0, sizeof *hint);
	hint->coding = lamp->coding;
	hint->slow = lamp->slow;
	hint->fast = lamp->fast;
	hint->flicker = lamp->flicker;
	lamps = arena_array(arena, device->lamp_count, sizeof *lamps);
	colours = arena_array(arena, device->lamp_count, sizeof *colours);
	if ((lamps == NULL || colours == NULL) && device->lamp_count > 0)
		return err_no_memory(err);
	for (i = 0; i < device->lamp_count; i++) {
		lamps[i] = device->lamps[i].id;
		colours[i] = device->lamps[i].colour;
	}
	hint->lamps = lamps;
	hint->colours = colours;
	hint->lamp_count = device->lamp_count;
	return LW_OK;
}

enum lw_status
view_lamp(const struct lw_lamp **lamp, const struct lw_device *device,
    const char *id, struct lw_err *err)
{
	enum lw_status status = id == NULL ? LW_BAD_INPUT : LW_NOT_FOUND;
	struct buf names;
	size_t i;

	if (id == NULL && device->lamp_count == 1) {
		*lamp = &device->lamps[0];
		return LW_OK;
	}
	for (i = 0; id != NULL && i < device->lamp_count; i++) {
		if (strcmp(device->lamps[i].id, id) == 0) {
			*lamp = &device->lamps[i];
			return LW_OK;
		}
	}
	buf_init(&names, 400);
	for (i = 0; i < device->lamp_count; i++) {
		buf_add(&names, i == 0 ? "" : ", ");
		buf_add(&names, device->lamps[i].id);
	}
	if (id == NULL)
		err_set(err, status, "%s has more than one lamp; say which: %s",
		    device->id, buf_text(&names));
	else
		err_set(err, status, "%s has no lamp %s; it has %s", device->id,
		    id, buf_text(&names));
	buf_clear(&names);
	return status;
}
