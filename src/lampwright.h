/*
 * Lampwright: the whole public interface in one include.
 *
 * The library never prints, exits, reads the environment or asks the clock:
 * time is always a parameter, in seconds since 1970-01-01T00:00:00Z.
 */
#ifndef LAMPWRIGHT_H
#define LAMPWRIGHT_H

#include <lampwright/arena.h>
#include <lampwright/book.h>
#include <lampwright/catalogue.h>
#include <lampwright/doc.h>
#include <lampwright/job.h>
#include <lampwright/light.h>
#include <lampwright/pack.h>
#include <lampwright/pattern.h>
#include <lampwright/plan.h>
#include <lampwright/quantity.h>
#include <lampwright/reading.h>
#include <lampwright/reckon.h>
#include <lampwright/rig.h>
#include <lampwright/screen.h>
#include <lampwright/status.h>
#include <lampwright/view.h>

#endif
