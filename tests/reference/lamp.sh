#!/bin/sh
# The cheapest path through two levels, levels that are followed through known
# states, and the clusters of durations, against numpy, over random problems
# from a seed.
. "$SRC/tests/lib.sh"

seed=${LAMPWRIGHT_SEED:-20260719}
run /usr/bin/python3 "$SRC/tests/reference/lamp.py" "$BUILD/tests/lamp_main" "$seed"
same "against numpy, seed $seed: $errout" 0 "$code"
finish
