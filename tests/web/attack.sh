#!/bin/sh
# What hostile clients send: odd requests, crowds of slow ones, and script in
# every field that exists.
. "$SRC/tests/lib.sh"
. "$SRC/tests/web/serve.sh"
trap 'kill "$server" 2>/dev/null' EXIT

here=$SRC/tests/web
# Memory that was freed is kept aside for a while, to find its use; less of it
# here, so that what a crowd costs can be seen.
ASAN_OPTIONS=${ASAN_OPTIONS:+$ASAN_OPTIONS:}quarantine_size_mb=8
export ASAN_OPTIONS

# script NAME ARGUMENT...
script() {
	name=$1
	shift
	run timeout 400 node "$here/$name.mjs" "$@"
	printf '%s\n' "$out"
	same "$name: $errout" 0 "$code"
}

# most_resident: in kB, of the server's whole life
most_resident() {
	sed -n 's/^VmHWM:[^0-9]*\([0-9]*\).*/\1/p' "/proc/$server/status"
}

start_server
script attack "$port"
script crowd "$port" "$server"
resident=$(most_resident)
printf 'resident at most: %s kB\n' "$resident"
if [ "${resident:-0}" -gt 1000 ] && [ "$resident" -lt 200000 ]; then
	ok
else
	not_ok "resident at most: $resident kB"
fi
stop_server
# Whoever sends what is broken cannot fill the terminal with it.
lines=$(wc -l <"$SCRATCH/serve.err")
if [ "$lines" -lt 200 ]; then
	ok
else
	not_ok "the server said $lines lines: $(tail -n 3 "$SCRATCH/serve.err")"
fi

book=$SCRATCH/fields.db
start_server
script fields "$port" "$SCRATCH/pages"
stop_server
finish
