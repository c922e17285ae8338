#!/bin/sh
# read: what a pattern means; canonical, typed, ambiguous, unknown, unreadable.
. "$SRC/tests/lib.sh"
export LAMPWRIGHT_BOOK="$SCRATCH/book.db"
lw() { run "$LAMPWRIGHT" "$@"; }

lw read 5 --device field-cart-drive
same "read says yes" 0 "$code"
has "a new book is told of" "made a new book" "$errout"
has "the fault" "Supply voltage too low" "$out"
has "its causes have shares" " %" "$out"
has "how to go on" "lampwright trace --device field-cart-drive --pattern 5" "$out"
lw read 5 --device field-cart-drive
same "a book that is there is not told of" "" "$errout"

lw read 5 --device field-cart-drive --json
same "read --json says yes" 0 "$code"
same "shape is first" '"shape"' "$(printf '%s\n' "$out" | sed -n '2s/^ *\("shape"\).*/\1/p')"
same "the keys" "coding device device_title found lamp matches nearest notes pattern query readings shape teach word" \
	"$(printf %s "$out" | jq -r 'keys | join(" ")')"
same "the keys of a match" "causes clears colour device device_title fault has_causes invented lamp lamp_title meaning meanwhile notes own pattern severity source title trees" \
	"$(printf %s "$out" | jq -r '.matches[0] | keys | join(" ")')"
same "the shares add up to one" true "$(printf %s "$out" | jq '[.matches[0].causes[].share] | add | . > 0.999999 and . < 1.000001')"
same "the likeliest cause first" true "$(printf %s "$out" | jq '[.matches[0].causes[].share] | . == (sort | reverse)')"

# As people type it, with and without quotes.
for typed in "5" "five" "5 flashes" "blinks 5 times" "5x" "Five  Flashes"; do
	lw read "$typed" --device field-cart-drive --json
	same "read $typed" "5" "$(printf %s "$out" | jq -r .pattern)"
done
lw read blinks 5 times --device field-cart-drive --json
same "words need no quotes" "5" "$(printf %s "$out" | jq -r .pattern)"
lw read --json --device=field-cart-drive -- 5
same "--device=D and --" "5" "$(printf %s "$out" | jq -r .pattern)"
lw --json --book "$SCRATCH/book.db" read 5
same "options before the verb" "5" "$(printf %s "$out" | jq -r .pattern)"
lw read "-- ." --json
same "dashes are a pattern, not an option" "2L1S" "$(printf %s "$out" | jq -r .pattern)"
lw read --json -- "-- ."
same "dashes after --" "2L1S" "$(printf %s "$out" | jq -r .pattern)"

# Without a device everybody answers.
lw pack add "$SRC/tests/cli/bench.yaml"
same "the pack of the tests goes in" 0 "$code"
lw read 4 --json
same "all devices answer" true "$(printf %s "$out" | jq '[.matches[].device] | (index("bench-drive") != null) and (index("field-cart-drive") != null)')"
lw read 32 --json
same "ambiguous: pattern is null" null "$(printf %s "$out" | jq .pattern)"
same "ambiguous: both readings" "3-2 32" "$(printf %s "$out" | jq -r '.readings | sort | join(" ")')"
same "ambiguous: the coding of a lamp settles it" "3-2" "$(printf %s "$out" | jq -r '.matches[] | select(.device == "bench-digits") | .pattern')"
lw read fast --json
same "a rate word without a lamp" "fast null" "$(printf %s "$out" | jq -r '[.word, (.pattern | tostring)] | join(" ")')"
same "is looked up where a lamp defines it" "4Hz" "$(printf %s "$out" | jq -r '.matches[] | select(.device == "bench-drive") | .pattern')"
lw read 2 --device bench-two --lamp err --json
same "one lamp of two" "no answer" "$(printf %s "$out" | jq -r '.matches[0].title')"
lw read "run 2Hz, err 2" --device bench-two --json
same "both lamps at once" "err run" "$(printf %s "$out" | jq -r '[.matches[].lamp] | sort | join(" ")')"
lw read "run 2Hz err 2" --json
same "lamp names are known without a device, too" "true" "$(printf %s "$out" | jq '[.matches[].device] | index("bench-two") != null')"
lw read 2 --device bench-two --lamp red
same "no such lamp is exit 1" 1 "$code"
has "and the lamps are named" "run, err" "$errout"

# Unknown.
lw read 5 --device bench-drive
same "unknown code is exit 1" 1 "$code"
has "unknown code: the nearest" "Bench voltage too low" "$out"
has "unknown code: how to teach it" "lampwright teach bench-drive 5" "$out"
lw read 5 --device bench-drive --json
same "unknown code with --json is exit 1" 1 "$code"
same "unknown code: a whole document" "false 4" "$(printf %s "$out" | jq -r '[(.found | tostring), .nearest[0].pattern] | join(" ")')"
lw read 5 --device bench-driv --json
same "unknown device is exit 1" 1 "$code"
has "unknown device: the nearest" "bench-drive" "$errout"
same "unknown device: a whole document" "[]" "$(printf %s "$out" | jq -c .matches)"

# Unreadable.
lw read "4 xyzzy"
same "unreadable is exit 2" 2 "$code"
same "unreadable: nothing on stdout" "" "$out"
same "unreadable: the text as it was typed" "    4 xyzzy" "$(printf '%s\n' "$errout" | sed -n 2p)"
same "unreadable: a caret under the character" "      ^" "$(printf '%s\n' "$errout" | sed -n 3p)"
lw read "é xyzzy"
same "the caret counts characters, not bytes" "    ^" "$(printf '%s\n' "$errout" | sed -n 3p)"
lw read "$(printf '5\377')"
same "invalid UTF-8 is exit 2" 2 "$code"
lw read "$(printf '5\033[31m flashhh')"
same "control characters are exit 2" 2 "$code"
lacks "and do not reach the terminal" "$(printf '\033')" "$errout"
lw read "$(printf '%0500d' 5)"
same "too long is exit 2" 2 "$code"
lw read ""
same "empty is exit 2" 2 "$code"
lw read
same "nothing is exit 2" 2 "$code"

# Notes are shown.
lw note add pattern "bench-drive 4" seen after rain
lw note add fault bench-low the fuse again
lw read 4 --device bench-drive
has "a note on the pattern" "seen after rain" "$out"
has "a note on the fault" "the fuse again" "$out"

# No line is longer than 80 columns but what is to be copied.
lw read 5
same "80 columns" "" "$(printf '%s\n' "$out" | grep -v '^ *lampwright ' | awk 'length($0) > 80')"
finish
