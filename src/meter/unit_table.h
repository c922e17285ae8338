/* The table of units, for meter/unit.c and what says values. */
#ifndef METER_UNIT_TABLE_H
#define METER_UNIT_TABLE_H

#include "meter/unit.h"

/* clang-format off */
enum {
	U_V, U_MV, U_UV, U_KV, U_A, U_MA, U_UA, U_KA,
	U_OHM, U_KOHM, U_MEGOHM, U_MOHM, U_UOHM,
	U_HZ, U_KHZ, U_S, U_MS, U_MIN, U_H, U_US, U_DAY,
	U_PERCENT, U_DEGC, U_DEGF, U_K,
	U_W, U_KW, U_MW, U_HP, U_AH, U_MAH, U_COULOMB,
	U_F, U_MF, U_UF, U_NF, U_PF, U_RPM,
	U_J, U_KJ, U_MJ, U_WH, U_KWH,
	U_NUMBER,
	U_M, U_CM, U_MM, U_KM, U_IN, U_FT, U_MILE,
	U_MM2, U_AWG, U_CM2, U_M2, U_KCMIL,
	U_KMH, U_MPH, U_MS1, U_NM, U_LBFIN, U_LBFFT, U_N, U_LBF, U_KG, U_LB,
	U_HENRY, U_MILLIHENRY, U_MICROHENRY,
	U_A_MM2, U_OHM_KM, U_MOHM_M, U_OHM_M, U_OHM_KFT,
	U_OHM_V, U_KOHM_V, U_RPM_V, U_NM_A,
	UNIT_COUNT
};
/* clang-format on */

extern const struct unit unit_table[UNIT_COUNT];

/* How a spelling is compared. m and M are a thousand million apart, so a
 * leading one counts; the rest of a spelling is taken in either case. */
enum unit_compare {
	UNIT_EITHER, /* capitals or not */
	UNIT_FIRST,  /* the first letter as it is here */
	UNIT_EXACT,  /* every letter */
	UNIT_BARE    /* every letter, and in a value alone: 10 k */
};

struct unit_spelling {
	const char *text; /* u for micro, ohm for the omega, 2 for a square */
	int unit;
	enum unit_compare compare;
};

extern const struct unit_spelling unit_spellings[];
extern const size_t unit_spelling_count;

#endif
