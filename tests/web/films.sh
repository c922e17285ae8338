#!/bin/sh
# A lamp in a film, and taps along with one, in a real browser: films made here
# go through the page's own file input as far as the fault, and so do taps at
# times that are known.
. "$SRC/tests/lib.sh"
. "$SRC/tests/web/serve.sh"
. "$SRC/tests/web/modules.sh"
trap 'kill "$server" 2>/dev/null' EXIT

mkdir -p "$SCRATCH/films"
run node "$here/film_frames.mjs" "$SCRATCH/films"
same "films are made: $errout" 0 "$code"

start_server
run timeout 400 node "$here/films.mjs" "$modules" "$base" "$SCRATCH/films"
printf '%s\n' "$out"
same "films: $errout" 0 "$code"
run timeout 400 node "$here/pad.mjs" "$modules" "$base"
printf '%s\n' "$out"
same "pad: $errout" 0 "$code"
stop_server
rm -rf "$SCRATCH/films"
finish
