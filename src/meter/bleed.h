/* Capacitors that were charged: what they store, how long they bleed. */
#ifndef METER_BLEED_H
#define METER_BLEED_H

/* Energy in J that `farads` hold at `volts`: C V^2 / 2. */
double bleed_joules(double farads, double volts);

/*
 * Seconds until `farads` have fallen from `from_volts` to `to_volts` through
 * `ohms`: R C ln(V0 / V). 0 where they are that low already. All four above
 * zero; a resistor and a capacitor alone, so leaks only make it shorter.
 */
double bleed_seconds(
    double ohms, double farads, double from_volts, double to_volts);

#endif
