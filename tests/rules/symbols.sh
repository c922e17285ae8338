#!/bin/sh
# What the library exports is what the public headers declare, no more and no
# less.
. "$SRC/tests/lib.sh"

lib=$(find "$BUILD/.libs" -name 'liblampwright.so*' -type f | head -n 1)
[ -n "$lib" ] || {
	echo "no shared library in $BUILD/.libs" >&2
	exit 1
}
nm -D --defined-only "$lib" | awk '$2 ~ /[A-Z]/ {print $3}' | sort -u >"$SCRATCH/exported"

# Declared: every lw_name that is followed by ( outside a comment.
cat "$SRC"/src/lampwright/*.h | cc -fpreprocessed -dD -E -P -x c - 2>/dev/null |
	grep -oE '\blw_[a-z0-9_]+ *\(' | tr -d ' (' | sort -u >"$SCRATCH/declared"

same "exported but not declared" "" "$(comm -23 "$SCRATCH/exported" "$SCRATCH/declared")"
same "declared but not exported" "" "$(comm -13 "$SCRATCH/exported" "$SCRATCH/declared")"
same "there are some at all" yes "$([ "$(wc -l <"$SCRATCH/exported")" -gt 40 ] && echo yes)"
finish
