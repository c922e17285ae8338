/* The parts that several documents share: notes, causes with shares, trees,
 * cautions, points, times. What a step looks like is left to step.c. */
#include "view/parts.h"

#include "base/arena.h"
#include "base/err.h"
#include "reason/belief.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static const struct {
	const char *kind;
	const char *one;
	const char *many;
} kind_titles[] = {
    {"device", "Device", "Devices"},
    {"fault", "Fault", "Faults"},
    {"symptom", "Symptom", "Symptoms"},
    {"cause", "Cause", "Causes"},
    {"check", "Check", "Checks"},
    {"point", "Point", "Points"},
    {"caution", "Caution", "Cautions"},
    {"tree", "Tree", "Trees"},
    {"setting", "Setting", "Settings"},
    {"note", "Note", "Notes"},
    {"pattern", "Pattern", "Patterns"},
    {"pack", "Pack", "Packs"},
    {"rig", "Rig", "Rigs"},
    {"job", "Job", "Jobs"},
};

enum { TIME_BYTES = 32 };

#define KIND_COUNT (sizeof kind_titles / sizeof kind_titles[0])

const char *
view_kind_title(const char *kind)
{
	size_t i;

	for (i = 0; i < KIND_COUNT; i++) {
		if (strcmp(kind_titles[i].kind, kind) == 0)
			return kind_titles[i].one;
	}
	return kind;
}

const char *
view_kind_titles(const char *kind)
{
	size_t i;

	for (i = 0; i < KIND_COUNT; i++) {
		if (strcmp(kind_titles[i].kind, kind) == 0)
			return kind_titles[i].many;
	}
	return kind;
}

const char *
view_state_title(const char *state)
{
	static const char *const titles[][2] = {
	    {"open", "open: a check is to be made"},
	    {"found", "a cause is taken up: its fix comes next"},
	    {"undecided", "undecided: more than one cause is still possible"},
	    {"stopped", "stopped"},
	    {"waiting", "waiting"},
	    {"fixing", "being fixed"},
	    {"proving", "fixed, and to be proved"},
	    {"closed", "closed"},
	    {"given-up", "given up"},
	    {"passed", "every step passed"},
	};
	size_t i;

	for (i = 0; i < sizeof titles / sizeof titles[0]; i++) {
		if (strcmp(titles[i][0], state) == 0)
			return titles[i][1];
	}
	return state;
}

bool
view_is_over(const char *state)
{
	return strcmp(state, lw_job_state_name(LW_JOB_CLOSED)) == 0 ||
	       strcmp(state, lw_job_state_name(LW_JOB_GIVEN_UP)) == 0;
}

/* "2026-11-25 14:05", UTC; "" for a time that is not known. */
static void
write_time(char text[TIME_BYTES], int64_t time_s)
{
	time_t seconds = (time_t)time_s;
	struct tm utc;

	if (time_s <= 0 || gmtime_r(&seconds, &utc) == NULL ||
	    strftime(text, TIME_BYTES, "%Y-%m-%d %H:%M", &utc) == 0)
		text[0] = '\0';
}

void
view_time(struct view *view, json_t *object, int64_t time_s)
{
	char when[TIME_BYTES];

	view_int(view, object, "time", time_s);
	write_time(when, time_s);
	view_text(view, object, "when", when);
}

void
view_moment(struct view *view, json_t *object, const char *key, int64_t time_s)
{
	char when[TIME_BYTES], time_key[40];

	write_time(when, time_s);
	view_text(view, object, key, when);
	snprintf(time_key, sizeof time_key, "%s_time", key);
	view_number(view, object, time_key, time_s);
}

void
view_day(struct view *view, json_t *object, const char *key, int64_t time_s)
{
	char day[TIME_BYTES];

	write_time(day, time_s);
	day[strcspn(day, " ")] = '\0';
	view_text(view, object, key, day);
}

void
view_share(struct view *view, json_t *object, double share)
{
	char percent[32];

	if (share > 0 && share < 0.01)
		snprintf(percent, sizeof percent, "under 1 %%");
	else if (share > 0.99 && share < 1)
		snprintf(percent, sizeof percent, "over 99 %%");
	else
		snprintf(
		    percent, sizeof percent, "%d %%", (int)(share * 100 + 0.5));
	view_real(view, object, "share", share);
	view_text(view, object, "percent", percent);
}

void
view_note(struct view *view, json_t *list, const struct lw_entry *note)
{
	json_t *object = view_add(view, list);

	view_int(view, object, "note", strtoll(note->id, NULL, 10));
	view_words(view, object, "words", note->detail);
	view_time(view, object, note->time_s);
	view_text(view, object, "subject_kind", note->subject_kind);
	view_text(view, object, "subject", note->subject);
}

void
view_notes(struct view *view, json_t *list, const char *subject_kind,
    const char *subject)
{
	struct lw_entries notes;
	size_t i;

	if (view->status != LW_OK || subject == NULL)
		return;
	if (!view_got(view, lw_book_notes(view->book, view->arena, subject_kind,
				subject, &notes, &view->last)))
		return;
	for (i = 0; i < notes.count; i++)
		view_note(view, list, &notes.items[i]);
}

struct weighed {
	const struct lw_cause *cause;
	const char *word;
	double share;
	size_t place; /* the author's order decides between equals */
};

static int
likelier_first(const void *a, const void *b)
{
	const struct weighed *one = a, *other = b;

	if (one->share != other->share)
		return one->share > other->share ? -1 : 1;
	return one->place < other->place ? -1 : one->place > other->place;
}

void
view_causes(struct view *view, json_t *list, const struct lw_refs *causes)
{
	struct weighed *weighed;
	double *weight, *share;
	size_t i, n = 0;
	json_t *object;

	if (view->status != LW_OK || causes->count == 0)
		return;
	weighed = arena_array(view->arena, causes->count, sizeof *weighed);
	weight = arena_array(view->arena, causes->count, sizeof *weight);
	share = arena_array(view->arena, causes->count, sizeof *share);
	if (weighed == NULL || weight == NULL || share == NULL) {
		err_no_memory(&view->last);
		view_fail(view, LW_NO_MEMORY);
		return;
	}
	for (i = 0; i < causes->count; i++) {
		const struct lw_ref *ref = &causes->items[i];
		const struct lw_cause *cause;

		if (!view_got(view, lw_book_cause(view->book, view->arena,
					ref->id, &cause, &view->last)))
			continue;
		weighed[n].cause = cause;
		weighed[n].word = ref->word != NULL ? ref->word : cause->weight;
		weighed[n].place = n;
		weight[n] = lw_weight_value(weighed[n].word);
		n++;
	}
	belief_shares(share, weight, n);
	for (i = 0; i < n; i++)
		weighed[i].share = share[i];
	qsort(weighed, n, sizeof *weighed, likelier_first);
	for (i = 0; i < n; i++) {
		object = view_add(view, list);
		view_words(view, object, "cause", weighed[i].cause->id);
		view_words(view, object, "title", weighed[i].cause->title);
		view_share(view, object, weighed[i].share);
		view_text(view, object, "weight",
		    weighed[i].word != NULL ? weighed[i].word : "occasional");
	}
}

void
view_trees(
    struct view *view, json_t *list, const char *fault, const char *symptom)
{
	struct lw_entries trees;
	json_t *object;
	size_t i;

	if (view->status != LW_OK || (fault == NULL && symptom == NULL))
		return;
	if (!view_got(view, lw_book_trees_for(view->book, view->arena, fault,
				symptom, &trees, &view->last)))
		return;
	for (i = 0; i < trees.count; i++) {
		object = view_add(view, list);
		view_words(view, object, "tree", trees.items[i].id);
		view_words(view, object, "title", trees.items[i].title);
		view_bool(view, object, "own", trees.items[i].own);
	}
}

void
view_caution(struct view *view, json_t *list, const struct lw_caution *caution)
{
	json_t *object = view_add(view, list);
	const char *signal = lw_signal_name(caution->signal);
	char word[16];
	size_t i;

	for (i = 0; i + 1 < sizeof word && signal[i] != '\0'; i++) {
		word[i] = signal[i];
		if (word[i] >= 'a' && word[i] <= 'z')
			word[i] = (char)(word[i] - 'a' + 'A');
	}
	word[i] = '\0';
	view_words(view, object, "caution", caution->id);
	view_text(view, object, "signal", signal);
	view_text(view, object, "signal_word", word);
	view_text(view, object, "hazard", caution->hazard);
	view_text(view, object, "avoid", caution->avoid);
	view_text(view, object, "where", caution->where);
	view_text(view, object, "otherwise", caution->otherwise);
	view_text(view, object, "source", caution->source);
}

void
view_cautions(struct view *view, json_t *list, const struct lw_refs *cautions)
{
	const struct lw_caution *caution;
	int signal;
	size_t i;

	for (signal = LW_SIGNAL_DANGER; signal <= LW_SIGNAL_NOTICE; signal++)
		for (i = 0; i < cautions->count; i++)
			if (view_got(
				view, lw_book_caution(view->book, view->arena,
					  cautions->items[i].id, &caution,
					  &view->last)) &&
			    (int)caution->signal == signal)
				view_caution(view, list, caution);
}

void
view_put_point(struct view *view, json_t *object, const struct lw_point *point,
    const char *own)
{
	view_words(view, object, "point", point->id);
	view_words(view, object, "title", point->title);
	view_text(view, object, "where", point->where);
	view_text(view, object, "own", own);
}

void
view_point(struct view *view, json_t *object, const char *key,
    const struct lw_point *point, const char *own)
{
	if (point == NULL)
		view_null(view, object, key);
	else
		view_put_point(
		    view, view_object(view, object, key), point, own);
}

void
view_entry(struct view *view, json_t *list, const struct lw_entry *entry)
{
	json_t *object = view_add(view, list);

	view_words(view, object, "kind", entry->kind);
	view_words(view, object, "kind_title", view_kind_title(entry->kind));
	view_words(view, object, "id", entry->id);
	view_text(view, object, "title", entry->title);
	view_text(view, object, "detail", entry->detail);
	view_bool(view, object, "own", entry->own);
}

void
view_job_entry(struct view *view, json_t *list, const struct lw_entry *entry)
{
	json_t *object = view_add(view, list);

	view_int(view, object, "job", strtoll(entry->id, NULL, 10));
	view_words(view, object, "title", entry->title);
	view_words(view, object, "state", entry->detail);
	view_words(
	    view, object, "state_title", view_state_title(entry->detail));
	view_text(view, object, "rig", entry->subject);
	view_time(view, object, entry->time_s);
	view_bool(view, object, "over", view_is_over(entry->detail));
}
