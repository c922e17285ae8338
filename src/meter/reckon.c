/* The table of reckoners, and one reckoning from what was given to what came
 * out. Each formula is left to its reckoner, in a file of its own. */
#include "meter/reckoning.h"

#include "base/arena.h"
#include "base/err.h"
#include "base/near.h"

#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static const struct reckoner *const reckoners[] = {
    &reckon_precharge,
    &reckon_bleed,
    &reckon_drop,
    &reckon_fuse,
    &reckon_isolation,
    &reckon_divider,
    &reckon_throttle,
    &reckon_resistor,
    &reckon_charge,
    &reckon_sag,
    &reckon_coil,
    &reckon_motor,
    &reckon_hall,
    &reckon_winding,
    &reckon_meter,
};

const struct lw_reckoner *const *
lw_reckoners(size_t *count)
{
	static const struct lw_reckoner *faces[COUNT(reckoners)];
	size_t i;

	for (i = 0; i < COUNT(reckoners); i++)
		faces[i] = &reckoners[i]->face;
	*count = COUNT(reckoners);
	return faces;
}

static enum lw_status
find(const struct reckoner **reckoner, const char *name, struct lw_err *err)
{
	char shown[RECKON_SHOWN_MAX];
	struct near near;
	size_t i;

	near_start(&near, name);
	for (i = 0; i < COUNT(reckoners); i++) {
		*reckoner = reckoners[i];
		if (strcmp(name, reckoners[i]->face.name) == 0)
			return LW_OK;
		near_try(&near, reckoners[i]->face.name);
	}
	*reckoner = NULL;
	reckoning_shown(shown, name);
	if (near.best != NULL)
		return err_set(err, LW_NOT_FOUND,
		    "there is no reckoner \"%s\"; nearest is \"%s\"", shown,
		    near.best);
	return err_set(err, LW_NOT_FOUND,
	    "there is no reckoner \"%s\", and none has a name like it", shown);
}

enum lw_status
lw_reckoner_find(
    const struct lw_reckoner **reckoner, const char *name, struct lw_err *err)
{
	const struct reckoner *found;
	enum lw_status status = find(&found, name, err);

	*reckoner = status == LW_OK ? &found->face : NULL;
	return status;
}

/* What was given, in the order of the inputs. */
static void
list_given(struct reckon *reckon, struct lw_reckoning *reckoning)
{
	const struct lw_reckoner *face = &reckon->reckoner->face;
	struct lw_reckon_given *given;
	size_t i, count = 0;

	given = arena_array(reckon->arena, face->input_count, sizeof *given);
	if (given == NULL) {
		reckon->no_memory = true;
		return;
	}
	for (i = 0; i < face->input_count; i++) {
		if (reckon->slots[i].text == NULL)
			continue;
		given[count].input = &face->inputs[i];
		given[count].text = reckon->slots[i].text;
		given[count++].origin = reckon->slots[i].origin;
	}
	reckoning->given = given;
	reckoning->given_count = count;
}

static struct lw_reckoning *
all_of(struct reckon *reckon)
{
	struct lw_reckoning *reckoning =
	    arena_alloc(reckon->arena, sizeof *reckoning);

	if (reckoning == NULL)
		return NULL;
	reckoning->reckoner = &reckon->reckoner->face;
	list_given(reckon, reckoning);
	reckoning->results = reckon->results;
	reckoning->result_count = reckon->result_count;
	reckoning->remarks = reckon->remarks;
	reckoning->remark_count = reckon->remark_count;
	reckoning->sources = reckon->sources;
	reckoning->source_count = reckon->source_count;
	reckoning->plot = reckon->plot;
	return reckon->no_memory ? NULL : reckoning;
}

enum lw_status
lw_reckon(const struct lw_reckoning **reckoning, struct lw_arena *arena,
    const char *name, const struct lw_reckon_pair *pairs, size_t count,
    struct lw_err *err)
{
	struct reckon reckon = {.arena = arena, .digits = 4};
	enum lw_status status;

	*reckoning = NULL;
	status = find(&reckon.reckoner, name, err);
	if (status != LW_OK)
		return status;
	status = reckoning_read(&reckon, pairs, count, err);
	if (status != LW_OK)
		return status;
	status = reckon.reckoner->run(&reckon, err);
	if (status != LW_OK)
		return reckon.no_memory ? err_no_memory(err) : status;
	reckoning_doubts(&reckon);
	*reckoning = all_of(&reckon);
	return *reckoning == NULL ? err_no_memory(err) : LW_OK;
}
