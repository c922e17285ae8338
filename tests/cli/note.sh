#!/bin/sh
# note: own words on anything; they outlive packs.
. "$SRC/tests/lib.sh"
export LAMPWRIGHT_BOOK="$SCRATCH/book.db"
lw() { run "$LAMPWRIGHT" "$@"; }

lw pack add "$SRC/tests/cli/bench.yaml"
lw trace --device bench-drive --pattern 4 --json
lw note list
same "no notes is exit 0" 0 "$code"
lw note list --json
same "no notes: an empty list" "[]" "$(printf %s "$out" | jq -c .items)"
n=0
for on in "device bench-drive" "pattern 9" "fault bench-low" "symptom bench-dead" "cause bench-flat" "check bench-volts" "job 1"; do
	n=$((n + 1))
	# shellcheck disable=SC2086 # two words
	lw note add $on words on it
	same "a note on $on" 0 "$code"
	has "its number" "(note $n)" "$out"
done
lw note add pattern "bench-drive four flashes" seen in rain
same "a pattern on a device, as typed" 0 "$code"
lw note list pattern "bench-drive 4" --json
same "is kept in canonical notation" "bench-drive 4" "$(printf %s "$out" | jq -r '.items[0].subject')"
lw note list --json
same "all notes, the newest first" "8 7 6 5 4 3 2 1" "$(printf %s "$out" | jq -r '[.items[].note] | join(" ")')"
same "the keys" "detail id kind kind_title note own subject subject_kind time title when words" "$(printf %s "$out" | jq -r '.items[0] | keys | join(" ")')"
lw note list fault bench-low
has "on one subject" "words on it" "$out"
lacks "and no other" "seen in rain" "$out"

lw note add fault nothing-such words
same "no such subject is exit 1" 1 "$code"
lw note add gadget x words
same "no such kind is exit 2" 2 "$code"
lw note add fault bench-low
same "no words is exit 2" 2 "$code"
lw note add fault bench-low ""
same "empty words are exit 2" 2 "$code"
lw note add fault bench-low "$(printf '\377')"
same "invalid UTF-8 is exit 2" 2 "$code"
lw note add fault bench-low "$(printf '%05000d' 0)"
same "a note too long is exit 2" 2 "$code"
lw note add fault bench-low "$(printf 'red \033[31m alert')"
lw note list fault bench-low
lacks "a note cannot drive the terminal" "$(printf '\033')" "$out"
lw note remove 3
same "remove" 0 "$code"
lw note remove 3
same "a note that is gone is exit 1" 1 "$code"
lw note remove three
same "not a number is exit 2" 2 "$code"

lw pack add "$SRC/tests/cli/bench.yaml"
lw note list cause bench-flat
has "a note outlives reading the pack again" "words on it" "$out"
lw pack remove bench
lw note list --json
same "and taking it out" true "$(printf %s "$out" | jq '[.items[].subject] | index("bench-flat") != null')"
finish
