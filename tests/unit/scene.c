/* Makes recordings of a lamp, sample by sample; knows nothing of how they are
 * read. */
#include "unit/scene.h"

#include <math.h>
#include <stdlib.h>

#define TURN 6.283185307179586

/* Marsaglia's xorshift64. */
double
chance_even(struct chance *chance)
{
	chance->state ^= chance->state << 13;
	chance->state ^= chance->state >> 7;
	chance->state ^= chance->state << 17;
	return (double)(chance->state >> 11) / 9007199254740992.0;
}

double
chance_normal(struct chance *chance)
{
	double length = sqrt(-2 * log(chance_even(chance) + 1e-300));

	return length * cos(TURN * chance_even(chance));
}

/* Groups of flashes, begun anywhere in a cycle. */
static void
flash(
    struct recorded *recorded, const struct scene *scene, struct chance *chance)
{
	double cycle_s = scene->flashes * scene->on_s +
			 (scene->flashes - 1) * scene->gap_s + scene->pause_s;
	double at = -chance_even(chance) * cycle_s;
	unsigned flashed = 0;
	bool lit = true, begun = false;

	while (at < scene->length_s) {
		double lasts = lit			   ? scene->on_s
			       : flashed == scene->flashes ? scene->pause_s
							   : scene->gap_s;

		lasts *= 1 + scene->jitter * chance_normal(chance);
		at += lasts > 0.02 ? lasts : 0.02;
		if (lit)
			flashed++;
		else if (flashed == scene->flashes)
			flashed = 0;
		if (at > 0 && !begun)
			recorded->lit = lit;
		begun = begun || at > 0;
		if (at > 0 && at < scene->length_s)
			recorded->edges[recorded->edge_count++] = at;
		lit = !lit;
	}
}

static bool
is_lit(const struct recorded *recorded, double seconds, size_t *hint)
{
	size_t i = *hint;

	while (i < recorded->edge_count && recorded->edges[i] <= seconds)
		i++;
	while (i > 0 && recorded->edges[i - 1] > seconds)
		i--;
	*hint = i;
	return recorded->lit != ((i & 1) == 1);
}

static double
noise(const struct scene *scene, struct chance *chance)
{
	double x;

	switch (scene->kind) {
	case NOISE_EVEN:
		return scene->noise * (chance_even(chance) - 0.5) * 3.464;
	case NOISE_LAPLACE:
		x = log(chance_even(chance) + 1e-300) / 1.414;
		return scene->noise * (chance_even(chance) < 0.5 ? x : -x);
	default:
		return scene->noise * chance_normal(chance);
	}
}

/* What comes between lamp and level, as it stands. */
struct camera {
	double wave;
	double ripple;
	double pwm;    /* phases */
	double next_s; /* step of the exposure */
	double aim;
	double stepped;
	double reacted;
	double last_s;
	size_t hint;
};

/* Lamp and ripple over one exposure. */
static double
expose(struct camera *camera, const struct recorded *recorded,
    const struct scene *scene, double seconds)
{
	int i, parts = scene->exposure > 0 ? 60 : 1;
	double sum = 0;

	if (scene->exposure > 0 && scene->pwm_hz + scene->ripple > 0)
		parts = 200;
	for (i = 0; i < parts; i++) {
		double at = scene->exposure * ((i + 0.5) / parts - 0.5);
		double moment = seconds + (parts > 1 ? at / scene->hertz : 0);
		double phase = moment * scene->pwm_hz + camera->pwm;
		bool lit = is_lit(recorded, moment, &camera->hint);

		if (scene->pwm_hz > 0 &&
		    phase - floor(phase) >= scene->pwm_duty)
			lit = false;
		sum += lit ? (scene->pwm_hz > 0 ? 1 / scene->pwm_duty : 1) : 0;
		sum += scene->ripple *
		       sin(TURN * scene->ripple_hz * moment + camera->ripple);
	}
	return sum / parts;
}

static double
see(struct camera *camera, const struct recorded *recorded,
    const struct scene *scene, double seconds, struct chance *chance)
{
	double base = 2, lamp, gone = seconds - camera->last_s, level;

	if (scene->wave > 0)
		base += scene->wave *
			sin(TURN * seconds / scene->wave_s + camera->wave);
	if (scene->step_s > 0 && seconds > camera->next_s) {
		camera->aim += 2.4 * (chance_even(chance) - 0.5);
		camera->next_s =
		    seconds + scene->step_s * (0.3 + chance_even(chance));
	}
	camera->stepped +=
	    (camera->aim - camera->stepped) * (1 - exp(-gone / 0.2));
	base += camera->stepped;
	lamp = expose(camera, recorded, scene, seconds);
	if (scene->react > 0) {
		double to =
		    is_lit(recorded, seconds, &camera->hint) ? scene->react : 0;

		camera->reacted +=
		    (to - camera->reacted) * (1 - exp(-gone / scene->react_s));
	}
	camera->last_s = seconds;
	level = scene->scales
		    ? base / 2 * (1 - camera->reacted / 2) * (0.5 + lamp)
		    : base + lamp - camera->reacted;
	level += noise(scene, chance);
	if (scene->kind == NOISE_STEPPED)
		level = floor(level / scene->noise) * scene->noise;
	if (chance_even(chance) < scene->odd)
		level += (0.5 + 2 * chance_even(chance)) *
			 (chance_even(chance) < 0.5 ? -1 : 1);
	return level;
}

void
scene_record(
    struct recorded *recorded, const struct scene *scene, struct chance *chance)
{
	size_t room = (size_t)(scene->length_s * scene->hertz) + 1, i;
	struct camera camera = {.wave = TURN * chance_even(chance),
	    .ripple = TURN * chance_even(chance),
	    .pwm = chance_even(chance),
	    .next_s = scene->step_s};

	*recorded = (struct recorded){.seconds = calloc(room, sizeof(double)),
	    .levels = calloc(room, sizeof(double)),
	    .edges =
		calloc((size_t)(scene->length_s / 0.02) + 2, sizeof(double))};
	if (recorded->seconds == NULL || recorded->levels == NULL ||
	    recorded->edges == NULL)
		abort();
	if (scene->lamp == LAMP_FLASHES)
		flash(recorded, scene, chance);
	if (scene->lamp == LAMP_ONCE)
		recorded->edges[recorded->edge_count++] =
		    scene->length_s * (0.2 + 0.6 * chance_even(chance));
	for (i = 0; i < room; i++) {
		double at = (double)i / scene->hertz, level;

		at +=
		    scene->uneven * (chance_even(chance) - 0.5) / scene->hertz;
		level = see(&camera, recorded, scene, at, chance);
		if (chance_even(chance) < scene->lost)
			continue;
		recorded->seconds[recorded->count] = at;
		recorded->levels[recorded->count++] = level;
	}
}

void
scene_clear(struct recorded *recorded)
{
	free(recorded->seconds);
	free(recorded->levels);
	free(recorded->edges);
}
