#!/bin/sh
# Shares, factors, conflicts and repairs against exact fractions (Python), and
# trees against linear programmes (glpsol), over random tables from a seed.
. "$SRC/tests/lib.sh"

seed=${LAMPWRIGHT_SEED:-20260719}
run /usr/bin/python3 "$SRC/tests/reference/reason.py" "$BUILD/tests/reason_main" "$seed"
same "against fractions and glpsol, seed $seed: $errout" 0 "$code"
finish
