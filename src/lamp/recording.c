/* Recordings as they are read. First sketch. */
#include <lampwright/light.h>

#include "base/err.h"

#include <stdlib.h>

struct lw_recording {
	struct lw_series series;
};

enum lw_status
lw_recording_open(
    struct lw_recording **recording, bool taps, struct lw_err *err)
{
	(void)taps;
	*recording = calloc(1, sizeof **recording);
	return *recording == NULL ? err_no_memory(err) : LW_OK;
}

enum lw_status
lw_recording_feed(struct lw_recording *recording, const char *bytes,
    size_t length, struct lw_err *err)
{
	(void)recording;
	(void)bytes;
	(void)length;
	(void)err;
	return LW_OK;
}

enum lw_status
lw_recording_end(const struct lw_series **series,
    struct lw_recording *recording, struct lw_err *err)
{
	*series = &recording->series;
	return err_set(err, LW_BAD_INPUT, "the recording is empty");
}

void
lw_recording_close(struct lw_recording *recording)
{
	free(recording);
}
