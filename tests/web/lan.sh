#!/bin/sh
# Real browsers at a server for the network: from the QR code that the terminal
# draws to a finding that a second screen sees, and to being sent away.
. "$SRC/tests/lib.sh"
. "$SRC/tests/web/modules.sh"

for scripts in on off; do
	mkdir -p "$SCRATCH/$scripts"
	run timeout 400 node "$here/lan.mjs" "$modules" "$LAMPWRIGHT" "$SCRATCH/$scripts" "$scripts"
	printf '%s\n' "$out"
	same "lan, scripts $scripts: $errout" 0 "$code"
done
finish
