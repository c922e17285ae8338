#!/bin/sh
# A real browser at the size of a phone, from five flashes to a proved fix; two
# browsers at one job; what the meter should say; what a job reasons, and a tree
# compiled; and screens that follow a job while the book goes away and comes
# back; with the page's scripts on and off.
. "$SRC/tests/lib.sh"
. "$SRC/tests/web/serve.sh"
. "$SRC/tests/web/modules.sh"
trap 'kill "$server" 2>/dev/null' EXIT

# Each begins with a new book, so that none finds a vehicle in other hands.
for scripts in on off; do
	for what in browser pair reckon reason; do
		book=$SCRATCH/$what-$scripts.db
		start_server
		run timeout 400 node "$here/$what.mjs" "$modules" "$base" "$scripts"
		printf '%s\n' "$out"
		same "$what, scripts $scripts: $errout" 0 "$code"
		stop_server
	done
	# This one stops and starts the server by itself.
	run timeout 400 node "$here/follow.mjs" "$modules" "$LAMPWRIGHT" "$SCRATCH/follow-$scripts.db" "$scripts"
	printf '%s\n' "$out"
	same "follow, scripts $scripts: $errout" 0 "$code"
done
finish
