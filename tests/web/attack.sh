#!/bin/sh
# What hostile clients send: odd requests, crowds of slow ones, script in every
# field that exists, and what strangers try at a server for the network.
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

# The rest is for the network, where screens are paired.
book=$SCRATCH/fields.db
serve_with="--lan$([ "$(id -u)" -ne 0 ] || echo ' --allow-root')"
start_server
tries=0
until code=$(sed -n 's/^Pairing code: \([0-9]*\) \([0-9]*\),.*/\1\2/p' "$SCRATCH/serve.out") && [ -n "$code" ] || [ "$tries" -ge 50 ]; do
	sleep 0.2
	tries=$((tries + 1))
done
same "a code of six digits" 6 "${#code}"
script fields "$port" "$SCRATCH/pages" "$code"
stop_server
script strangers "$LAMPWRIGHT" "$SCRATCH/strangers"
finish
