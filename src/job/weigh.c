/* Makes plain arrays of the book's checks for the causes in play; what is
 * reckoned with them is left to reason. */
#include "job/weigh.h"

#include "base/arena.h"
#include "base/err.h"
#include "reason/belief.h"
#include "reason/pairs.h"

#include <math.h>
#include <string.h>
#include <strings.h>

/* So many a pack may say of a fix. */
static const double MINUTES_MOST = 100000;

/* How often a check ends the job, in place of what was to be seen, where
 * nobody says: as often as "never". A judgement. */
static const double STOP_UNSAID = 0.01;

size_t
weigh_expected(const struct book_speaker *speaker)
{
	size_t o;

	for (o = 0; o < speaker->outcome_count; o++)
		if (speaker->outcomes[o].expected)
			return o;
	return REASON_NONE;
}

bool
weigh_lacks(const struct lw_rig *rig, const char *tool)
{
	size_t i;

	if (rig == NULL || !rig->known_tools)
		return false;
	for (i = 0; i < rig->tool_count; i++)
		if (strcasecmp(rig->tools[i], tool) == 0)
			return false;
	return true;
}

void
weigh_row(
    double *given, const struct weighing *weighing, size_t check, size_t cause)
{
	const struct reason_check *row = &weighing->table.check[check];
	size_t o;

	for (o = 0; o < row->outcomes; o++)
		given[o] = row->given[o * weighing->table.causes + cause];
}

/* What a damaged book may hold in place of minutes is made some. */
static double
sane_minutes(double minutes)
{
	return minutes > 0 ? fmin(minutes, MINUTES_MOST) : 0;
}

/* --- likelihoods --------------------------------------------------------- */

/* What ends a job, as a swollen battery does, is rare where no author says
 * that a cause gives it: what was filled in goes to the other outcomes. */
static void
make_stops_rare(double *given, const double *said,
    const struct book_speaker *speaker, size_t causes)
{
	double stops = 0, others = 0;
	size_t o;

	for (o = 0; o < speaker->outcome_count; o++)
		if (!speaker->outcomes[o].stops || said[o] > 0)
			others += given[o * causes];
		else
			stops += fmin(given[o * causes], STOP_UNSAID);
	/* Where every one does, none is rarer than another. */
	if (!(others > 0) || stops >= 1)
		return;
	for (o = 0; o < speaker->outcome_count; o++)
		if (!speaker->outcomes[o].stops || said[o] > 0)
			given[o * causes] *= (1 - stops) / others;
		else
			given[o * causes] =
			    fmin(given[o * causes], STOP_UNSAID);
}

double
weigh_hazard(enum lw_power power)
{
	static const double minutes[LW_POWER_COUNT] = {
	    [LW_POWER_CONTROL] = 2,
	    [LW_POWER_PRECHARGED] = 10,
	    [LW_POWER_LIVE_FREE] = 20,
	    [LW_POWER_LIVE_GROUND] = 40,
	};

	return power < LW_POWER_COUNT ? minutes[power] : 0;
}

/* Whether the check names this cause, or one of these two. */
static bool
is_named(const struct weighing *weighing, const struct book_speaker *speaker,
    const struct play_cause *item)
{
	const struct lw_cause *cause;
	size_t i;

	for (i = 0; i < speaker->spoken_count; i++) {
		cause = weighing->play->items[speaker->spoken[i].cause].cause;
		if (cause != NULL &&
		    (cause == item->cause || cause == item->also))
			return true;
	}
	return false;
}

bool
weigh_fits(const struct weighing *weighing, size_t check, const double *share)
{
	/* Nearly all: judgement. */
	static const double nearly = 0.9;
	const struct book_speaker *speaker = &weighing->speakers[check];
	double named = 0, listed = 0;
	size_t i;

	if (weigh_expected(speaker) != REASON_NONE)
		return true;
	for (i = 0; i < weighing->play->count; i++) {
		const struct play_cause *item = &weighing->play->items[i];

		if (item->cause == NULL)
			continue;
		listed += share[i];
		if (is_named(weighing, speaker, item))
			named += share[i];
	}
	return listed > 0 && named >= nearly * listed;
}

/* Where nothing is expected, a cause that is not named gives what the named
 * ones give on average. `row` has the sum of theirs, of so many. */
static double
unnamed(const double *row, size_t count, size_t outcomes, size_t expected,
    size_t outcome)
{
	if (expected != REASON_NONE || count == 0)
		return belief_unnamed(outcomes, expected, outcome);
	return row[outcome] / (double)count;
}

/* What the author left unsaid is filled in, cause by cause: those that the
 * check names, then the others. */
static enum lw_status
fill_given(double *given, const struct book_speaker *speaker, size_t causes,
    struct lw_arena *scratch, struct lw_err *err)
{
	size_t outcomes = speaker->outcome_count, count = 0, i, o;
	size_t expected = weigh_expected(speaker), pass;
	double *said = arena_array(scratch, 2 * outcomes + 1, sizeof *said);
	bool *done = arena_array(scratch, causes + 1, sizeof *done), named;
	double *row;

	if (said == NULL || done == NULL)
		return err_no_memory(err);
	row = said + outcomes;
	for (i = 0; i < speaker->spoken_count; i++) {
		const struct book_spoken *spoken = &speaker->spoken[i];

		given[spoken->outcome * causes + spoken->cause] =
		    lw_likelihood_value(spoken->word);
	}
	for (pass = 0; pass < 2; pass++)
		for (i = 0; i < causes; i++) {
			named = false;
			for (o = 0; o < outcomes; o++) {
				said[o] = given[o * causes + i];
				named = named || said[o] > 0;
			}
			if (done[i] || (pass == 0 && !named))
				continue;
			done[i] = true;
			count += pass == 0;
			for (o = 0; o < outcomes; o++)
				given[o * causes + i] =
				    named ? belief_likelihood(said, outcomes, o)
					  : unnamed(row, count, outcomes,
						expected, o);
			make_stops_rare(&given[i], said, speaker, causes);
			for (o = 0; pass == 0 && o < outcomes; o++)
				row[o] += given[o * causes + i];
		}
	return LW_OK;
}

static enum lw_status
make_checks(
    struct weighing *weighing, struct lw_arena *arena, struct lw_err *err)
{
	struct reason_table *table = &weighing->table;
	struct reason_check *checks;
	enum lw_status status = LW_OK;
	double *given;
	size_t outcomes, j, i;

	checks = arena_array(arena, table->checks + 1, sizeof *checks);
	if (checks == NULL)
		return err_no_memory(err);
	for (j = 0; j < table->checks && status == LW_OK; j++) {
		const struct book_speaker *speaker = &weighing->speakers[j];

		/* One without, in a damaged book, tells nothing. */
		outcomes =
		    speaker->outcome_count > 0 ? speaker->outcome_count : 1;
		given =
		    arena_array(arena, outcomes * table->causes, sizeof *given);
		if (given == NULL)
			return err_no_memory(err);
		for (i = 0; speaker->outcome_count == 0 && i < table->causes;
		     i++)
			given[i] = 1;
		status = fill_given(given, speaker, table->causes, arena, err);
		checks[j].outcomes = outcomes;
		checks[j].given = given;
		checks[j].cost = sane_minutes(speaker->minutes) +
				 weigh_hazard(speaker->power);
		checks[j].state = speaker->power;
	}
	table->check = checks;
	return status;
}

/* --- power states -------------------------------------------------------- */

/* Minutes of the way into a state: what is compulsory first, and the way in
 * itself. */
static enum lw_status
way_minutes(double *minutes, bool *after, struct shelf *shelf,
    const struct lw_rig *rig, enum lw_power power, struct lw_err *err)
{
	const struct lw_check *gate, *check;
	enum lw_status status;
	size_t i;

	*minutes = 0;
	*after = false;
	status = shelf_gate(&gate, shelf, power, err);
	if (status != LW_OK || gate == NULL)
		return status;
	*minutes = sane_minutes(gate->minutes);
	for (i = 0; i < gate->after.count; i++) {
		status =
		    shelf_check(&check, shelf, gate->after.items[i].id, err);
		if (status != LW_OK)
			return status;
		if (check == NULL || !lw_rig_holds(rig, &check->only))
			continue;
		*minutes += sane_minutes(check->minutes);
		*after = true;
	}
	return LW_OK;
}

static enum lw_status
make_setup(struct weighing *weighing, struct shelf *shelf,
    const struct lw_rig *rig, enum lw_power now, struct lw_err *err)
{
	struct reason_table *table = &weighing->table;
	double *setup, minutes[LW_POWER_COUNT] = {0};
	bool after[LW_POWER_COUNT] = {false};
	enum lw_status status = LW_OK;
	size_t from, to;

	table->states = LW_POWER_COUNT;
	table->begin = now;
	setup = arena_array(shelf->work,
	    (size_t)LW_POWER_COUNT * LW_POWER_COUNT, sizeof *setup);
	if (setup == NULL)
		return err_no_memory(err);
	table->setup = setup;
	for (to = LW_POWER_ISOLATED; to < LW_POWER_COUNT; to++) {
		status =
		    way_minutes(&minutes[to], &after[to], shelf, rig, to, err);
		if (status != LW_OK)
			return status;
	}
	for (from = 0; from < LW_POWER_COUNT; from++)
		for (to = LW_POWER_ISOLATED; to < LW_POWER_COUNT; to++) {
			if (from == to)
				continue;
			setup[from * LW_POWER_COUNT + to] = minutes[to];
			/* What is compulsory is done isolated. */
			if (after[to] && to != LW_POWER_ISOLATED &&
			    from != LW_POWER_ISOLATED)
				setup[from * LW_POWER_COUNT + to] +=
				    minutes[LW_POWER_ISOLATED];
		}
	return LW_OK;
}

/* --- fixes --------------------------------------------------------------- */

enum { TOOL_MAX = 100 };

/* The first tool of a cause's fix, in a list with commas, that is lacking;
 * NULL for none. */
static const char *
lacking_tool(
    struct lw_arena *arena, const struct lw_rig *rig, const char *tools)
{
	const char *rest = tools;
	char tool[TOOL_MAX];
	size_t length;

	while (rest != NULL && *rest != '\0') {
		rest += strspn(rest, " ,");
		length = strcspn(rest, ",");
		if (length > 0 && length < sizeof tool) {
			memcpy(tool, rest, length);
			tool[length] = '\0';
			if (weigh_lacks(rig, tool))
				return arena_dup(arena, tool);
		}
		rest += length;
	}
	return NULL;
}

double
weigh_fix_minutes(const struct lw_cause *cause)
{
	return cause->minutes > 0 ? sane_minutes(cause->minutes)
				  : WEIGH_FIX_MINUTES;
}

static double
fix_cost(const struct lw_cause *cause)
{
	if (cause == NULL)
		return WEIGH_LAST_MINUTES;
	return weigh_fix_minutes(cause) +
	       (cause->parts != NULL ? WEIGH_PARTS_MINUTES : 0);
}

/* Fixes that need the same tool that has to be fetched are a cluster. */
static enum lw_status
make_fixes(struct weighing *weighing, struct lw_arena *arena,
    const struct lw_rig *rig, struct lw_err *err)
{
	const struct play *play = weighing->play;
	struct reason_fixes *fixes = &weighing->fixes;
	double *cost = arena_array(arena, play->count, sizeof *cost);
	double *open = arena_array(arena, play->count, sizeof *open);
	size_t *cluster = arena_array(arena, play->count, sizeof *cluster);
	const char **tool = arena_array(arena, play->count, sizeof *tool);
	size_t i, k;

	if (cost == NULL || open == NULL || cluster == NULL || tool == NULL)
		return err_no_memory(err);
	fixes->last = REASON_NONE;
	for (i = 0; i < play->count; i++) {
		const struct play_cause *item = &play->items[i];
		const char *lacks = NULL;

		cost[i] = fix_cost(item->cause);
		cluster[i] = REASON_NONE;
		if (item->cause == NULL)
			fixes->last = i;
		else
			lacks = lacking_tool(arena, rig, item->cause->tools);
		if (lacks == NULL)
			continue;
		for (k = 0; k < fixes->clusters; k++)
			if (strcasecmp(tool[k], lacks) == 0)
				break;
		if (k == fixes->clusters) {
			open[k] = WEIGH_FETCH_MINUTES;
			tool[fixes->clusters++] = lacks;
		}
		cluster[i] = k;
	}
	fixes->cost = cost;
	fixes->open = open;
	fixes->cluster = fixes->clusters > 0 ? cluster : NULL;
	return LW_OK;
}

/* --- all of it ----------------------------------------------------------- */

static enum lw_status
find_speakers(
    struct weighing *weighing, struct shelf *shelf, struct lw_err *err)
{
	const struct play *play = weighing->play;
	const char **ids = arena_array(shelf->work, play->count, sizeof *ids);
	size_t i;

	if (ids == NULL)
		return err_no_memory(err);
	/* An id that is no cause's keeps the places alike. */
	for (i = 0; i < play->count; i++)
		ids[i] = play->items[i].cause != NULL ? play->items[i].cause->id
						      : "";
	return shelf_speakers(&weighing->speakers, &weighing->table.checks,
	    shelf, ids, play->count, err);
}

enum lw_status
weigh(struct weighing *weighing, struct shelf *shelf, const struct play *play,
    const struct lw_rig *rig, enum lw_power now, struct lw_err *err)
{
	enum lw_status status;

	memset(weighing, 0, sizeof *weighing);
	weighing->play = play;
	weighing->table.causes = play->count;
	status = find_speakers(weighing, shelf, err);
	if (status == LW_OK)
		status = make_checks(weighing, shelf->work, err);
	if (status == LW_OK)
		status = make_setup(weighing, shelf, rig, now, err);
	if (status == LW_OK)
		status = make_fixes(weighing, shelf->work, rig, err);
	return status;
}

static size_t
place_of(const struct play *play, const struct lw_cause *cause)
{
	size_t i;

	for (i = 0; i < play->count; i++)
		if (play->items[i].cause == cause &&
		    play->items[i].also == NULL)
			break;
	return i;
}

/* The rows of single causes, then those of pairs. */
static void
widen(double *given, const struct weighing *single, size_t check,
    const struct play *play, double *row)
{
	size_t outcomes = single->table.check[check].outcomes, i, o;
	size_t few = single->table.causes;
	const double *from = single->table.check[check].given;
	double *one = row, *other = row + outcomes, *both = other + outcomes;

	for (o = 0; o < outcomes; o++)
		memcpy(&given[o * play->count], &from[o * few],
		    few * sizeof *given);
	for (i = few; i < play->count; i++) {
		weigh_row(one, single, check,
		    place_of(single->play, play->items[i].cause));
		weigh_row(other, single, check,
		    place_of(single->play, play->items[i].also));
		pairs_given(both, one, other, outcomes,
		    weigh_expected(&single->speakers[check]));
		for (o = 0; o < outcomes; o++)
			given[o * play->count + i] = both[o];
	}
}

static enum lw_status
widen_fixes(struct weighing *weighing, struct lw_arena *arena,
    const struct weighing *single, struct lw_err *err)
{
	const struct play *play = weighing->play;
	size_t few = single->table.causes, i;
	double *cost = arena_array(arena, play->count, sizeof *cost);
	size_t *cluster = arena_array(arena, play->count, sizeof *cluster);

	if (cost == NULL || cluster == NULL)
		return err_no_memory(err);
	memcpy(cost, single->fixes.cost, few * sizeof *cost);
	if (single->fixes.cluster != NULL)
		memcpy(cluster, single->fixes.cluster, few * sizeof *cluster);
	for (i = few; i < play->count; i++) {
		cost[i] = fix_cost(play->items[i].cause) +
			  fix_cost(play->items[i].also);
		cluster[i] = REASON_NONE;
	}
	weighing->fixes.cost = cost;
	if (single->fixes.cluster != NULL)
		weighing->fixes.cluster = cluster;
	return LW_OK;
}

enum lw_status
weigh_pairs(struct weighing *weighing, struct lw_arena *arena,
    const struct weighing *single, const struct play *play, struct lw_err *err)
{
	struct reason_check *checks;
	double *given, *row;
	size_t j, outcomes;

	*weighing = *single;
	weighing->play = play;
	weighing->table.causes = play->count;
	checks = arena_array(arena, single->table.checks + 1, sizeof *checks);
	if (checks == NULL)
		return err_no_memory(err);
	for (j = 0; j < single->table.checks; j++) {
		outcomes = single->table.check[j].outcomes;
		given =
		    arena_array(arena, outcomes * play->count, sizeof *given);
		row = arena_array(arena, 3 * outcomes, sizeof *row);
		if (given == NULL || row == NULL)
			return err_no_memory(err);
		widen(given, single, j, play, row);
		checks[j] = single->table.check[j];
		checks[j].given = given;
	}
	weighing->table.check = checks;
	return widen_fixes(weighing, arena, single, err);
}
