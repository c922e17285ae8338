/* Every unit test file defines one suite_NAME; suites.def lists the names. */
#ifndef UNIT_SUITES_H
#define UNIT_SUITES_H

#include <check.h>

#define SUITE(name) Suite *suite_##name(void);
#include "unit/suites.def"
#undef SUITE

#endif
