/*
 * Numbers by chance, the same on every machine: xoshiro256** (D. Blackman,
 * S. Vigna: Scrambled linear pseudorandom number generators, ACM TOMS 47,
 * 2021), its state filled by splitmix64 (G. Steele, D. Lea, C. Flood: Fast
 * splittable pseudorandom number generators, OOPSLA 2014).
 */
#ifndef TESTS_CHANCE_H
#define TESTS_CHANCE_H

#include <math.h>
#include <stdint.h>

struct chance {
	uint64_t state[4];
};

static inline void
chance_seed(struct chance *chance, uint64_t seed)
{
	uint64_t z;
	int i;

	for (i = 0; i < 4; i++) {
		seed += 0x9E3779B97F4A7C15u;
		z = seed;
		z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
		z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
		chance->state[i] = z ^ (z >> 31);
	}
}

static inline uint64_t
chance_turn(uint64_t x, int by)
{
	return (x << by) | (x >> (64 - by));
}

static inline uint64_t
chance_next(struct chance *chance)
{
	uint64_t *s = chance->state;
	uint64_t result = chance_turn(s[1] * 5, 7) * 9, t = s[1] << 17;

	s[2] ^= s[0];
	s[3] ^= s[1];
	s[1] ^= s[2];
	s[0] ^= s[3];
	s[2] ^= t;
	s[3] = chance_turn(s[3], 45);
	return result;
}

/* 0 to below 1. */
static inline double
chance_share(struct chance *chance)
{
	return (double)(chance_next(chance) >> 11) / 9007199254740992.0;
}

static inline double
chance_between(struct chance *chance, double low, double high)
{
	return low + (high - low) * chance_share(chance);
}

/* Evenly on a logarithmic scale. */
static inline double
chance_ratio(struct chance *chance, double low, double high)
{
	return low * pow(high / low, chance_share(chance));
}

/* low to high, both within. */
static inline unsigned
chance_whole(struct chance *chance, unsigned low, unsigned high)
{
	return low + (unsigned)(chance_share(chance) * (high - low + 1));
}

/* Normal with mean 0 and standard deviation 1 (Box and Muller, 1958). */
static inline double
chance_normal(struct chance *chance)
{
	double radius = sqrt(-2 * log(1 - chance_share(chance)));

	return radius * cos(6.283185307179586 * chance_share(chance));
}

#endif
