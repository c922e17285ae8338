# Sourced by the browser tests: the npm packages that they need. They go into
# the build folder, and again only when their list changed. Sets $here and
# $modules.
here=$SRC/tests/web
modules=$BUILD/npm-web

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
