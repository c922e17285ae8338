#!/bin/sh
# Sourced by every shell test. The runner sets:
#   SRC      the top of the source        BUILD  the build folder
#   LAMPWRIGHT  the program under test    SCRATCH  an empty folder of the test's own
# A test says ok or not_ok for each thing it tried, and ends with `finish`.

passed=0
failed=0

ok() {
	passed=$((passed + 1))
}

not_ok() {
	failed=$((failed + 1))
	printf 'NOT OK: %s\n' "$*" >&2
}

# same WHAT EXPECTED GOT
same() {
	if [ "$2" = "$3" ]; then
		ok
	else
		not_ok "$1"
		printf '  expected: %s\n       got: %s\n' "$2" "$3" >&2
	fi
}

# has WHAT PART WHOLE: the whole contains the part
has() {
	case $3 in
	*"$2"*) ok ;;
	*)
		not_ok "$1"
		printf '  expected to contain: %s\n                  got: %s\n' "$2" "$3" >&2
		;;
	esac
}

# lacks WHAT PART WHOLE
lacks() {
	case $3 in
	*"$2"*)
		not_ok "$1"
		printf '  expected not to contain: %s\n                      got: %s\n' "$2" "$3" >&2
		;;
	*) ok ;;
	esac
}

# flat TEXT: on one line, for what may be wrapped where a path is long
flat() {
	printf '%s' "$1" | tr '\n' ' ' | tr -s ' '
}

# run COMMAND...: sets $out, $errout, $code
run() {
	code=0
	"$@" >"$SCRATCH/.out" 2>"$SCRATCH/.err" </dev/null || code=$?
	out=$(cat "$SCRATCH/.out")
	errout=$(cat "$SCRATCH/.err")
}

# npm_modules FROM INTO NAME: the packages that FROM locks, in INTO. They are
# fetched only where the lock has changed, or the named package is not there.
npm_modules() {
	if ! cmp -s "$1/package-lock.json" "$2/installed.json" ||
		[ ! -d "$2/node_modules/$3" ]; then
		mkdir -p "$2"
		cp "$1/package.json" "$1/package-lock.json" "$2/"
		run npm ci --prefix "$2" --ignore-scripts --no-audit --no-fund
		same "npm ci: $errout" 0 "$code"
		[ "$code" -eq 0 ] && cp "$1/package-lock.json" "$2/installed.json"
	fi
	return 0
}

finish() {
	printf '%s: %d passed, %d failed\n' "$(basename "$0")" "$passed" "$failed"
	[ "$failed" -eq 0 ] && [ "$passed" -gt 0 ]
}
