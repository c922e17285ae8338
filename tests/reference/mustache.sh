#!/bin/sh
# Our template renderer against the npm package mustache, over the tables in
# tests/tables/templates and over templates made from a seed.
. "$SRC/tests/lib.sh"

here=$SRC/tests/reference
modules=$BUILD/npm

npm_modules "$here" "$modules" mustache

# The lock names versions and checksums, and no place to fetch them from.
run grep -n -e '"resolved"' -e '://' "$here/package-lock.json"
same "the lock file names a host" "" "$out"

run node "$here/mustache.mjs" "$BUILD/tests/fill_main" "$modules" "$SRC/tests/tables/templates"
[ -n "$out" ] && printf '%s\n' "$out"
same "against mustache: $errout" 0 "$code"
finish
