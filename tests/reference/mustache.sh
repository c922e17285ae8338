#!/bin/sh
# Our template renderer against the npm package mustache, over the tables in
# tests/tables/templates and over templates made from a seed.
. "$SRC/tests/lib.sh"

here=$SRC/tests/reference
modules=$BUILD/npm

# The package goes into the build folder, and again only when it changed.
if ! cmp -s "$here/package-lock.json" "$modules/installed.json" ||
	[ ! -d "$modules/node_modules/mustache" ]; then
	mkdir -p "$modules"
	cp "$here/package.json" "$here/package-lock.json" "$modules/"
	run npm ci --prefix "$modules" --ignore-scripts --no-audit --no-fund
	same "npm ci: $errout" 0 "$code"
	[ "$code" -eq 0 ] && cp "$here/package-lock.json" "$modules/installed.json"
fi

# The lock names versions and checksums, and no place to fetch them from.
run grep -n -e '"resolved"' -e '://' "$here/package-lock.json"
same "the lock file names a host" "" "$out"

run node "$here/mustache.mjs" "$BUILD/tests/fill_main" "$modules" "$SRC/tests/tables/templates"
[ -n "$out" ] && printf '%s\n' "$out"
same "against mustache: $errout" 0 "$code"
finish
