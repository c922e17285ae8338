#!/bin/sh
# Each public header compiles alone, as C and as C++, without a warning.
. "$SRC/tests/lib.sh"

for header in "$SRC"/src/lampwright.h "$SRC"/src/lampwright/*.h; do
	name=${header#"$SRC"/src/}
	printf '#include <%s>\n' "$name" >"$SCRATCH/one.c"
	cp "$SCRATCH/one.c" "$SCRATCH/one.cc"
	run cc -std=c11 -Wall -Wextra -Wpedantic -Werror -fsyntax-only -I"$SRC/src" "$SCRATCH/one.c"
	same "$name as C: $errout" 0 "$code"
	run g++ -std=c++11 -Wall -Wextra -Wpedantic -Werror -fsyntax-only -I"$SRC/src" "$SCRATCH/one.cc"
	same "$name as C++: $errout" 0 "$code"
done
finish
