/* Invented recordings of a lamp, from a seed, with what was true of them. */
#ifndef UNIT_SCENE_H
#define UNIT_SCENE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum lamp_kind { LAMP_FLASHES = 0, LAMP_NONE, LAMP_ONCE };

enum noise_kind { NOISE_NORMAL = 0, NOISE_EVEN, NOISE_LAPLACE, NOISE_STEPPED };

/* What is filmed, and how. The swing is 1; what is 0 is not there. */
struct scene {
	const char *name;
	enum lamp_kind lamp;
	unsigned flashes; /* of a group */
	double on_s;
	double gap_s;
	double pause_s;
	double jitter; /* of each time, standard deviation, share */
	double hertz;  /* samples a second */
	double length_s;
	double exposure; /* of a sample, share of a step */
	double uneven;	 /* sample times, share of a step, even */
	double lost;	 /* share of samples */
	double noise;	 /* standard deviation */
	enum noise_kind kind;
	double wave; /* slow drift: amplitude and period */
	double wave_s;
	double step_s; /* exposure jumps about so often, by up to 1.2 */
	double react;  /* exposure follows the lamp: how much, how slowly */
	double react_s;
	bool scales;   /* drift multiplies, dark is half a swing above 0 */
	double ripple; /* amplitude and frequency */
	double ripple_hz;
	double pwm_hz; /* of the lit lamp */
	double pwm_duty;
	double odd; /* share of samples that are something else */
};

struct recorded {
	double *seconds;
	double *levels;
	size_t count;
	double *edges; /* when it came on or went out */
	size_t edge_count;
	bool lit; /* at the beginning */
};

/* Numbers from a seed; a scene from numbers. */
struct chance {
	uint64_t state;
};

double chance_even(struct chance *chance); /* 0 to 1 */
double chance_normal(struct chance *chance);

void scene_record(struct recorded *recorded, const struct scene *scene,
    struct chance *chance);
void scene_clear(struct recorded *recorded);

#endif
