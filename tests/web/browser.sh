#!/bin/sh
# A real browser at the size of a phone, from five flashes to a proved fix, and
# two browsers at one job; with the page's scripts on and off.
. "$SRC/tests/lib.sh"
. "$SRC/tests/web/serve.sh"
trap 'kill "$server" 2>/dev/null' EXIT

here=$SRC/tests/web
modules=$BUILD/npm-web

# The package goes into the build folder, and again only when it changed.
if ! cmp -s "$here/package-lock.json" "$modules/installed.json" ||
	[ ! -d "$modules/node_modules/playwright-core" ]; then
	mkdir -p "$modules"
	cp "$here/package.json" "$here/package-lock.json" "$modules/"
	run npm ci --prefix "$modules" --ignore-scripts --no-audit --no-fund
	same "npm ci: $errout" 0 "$code"
	[ "$code" -eq 0 ] && cp "$here/package-lock.json" "$modules/installed.json"
fi

# The lock names versions and checksums, and no place to fetch them from.
run grep -n -e '"resolved"' -e '://' "$here/package-lock.json"
same "the lock file names a host" "" "$out"

# Each begins with a new book, so that none finds a vehicle in other hands.
for scripts in on off; do
	for what in browser pair; do
		book=$SCRATCH/$what-$scripts.db
		start_server
		run timeout 400 node "$here/$what.mjs" "$modules" "$base" "$scripts"
		printf '%s\n' "$out"
		same "$what, scripts $scripts: $errout" 0 "$code"
		stop_server
	done
done
finish
