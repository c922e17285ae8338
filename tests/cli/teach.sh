#!/bin/sh
# device and teach: own devices, own codes, one by one and as a list.
. "$SRC/tests/lib.sh"
export LAMPWRIGHT_BOOK="$SCRATCH/book.db"
lw() { run "$LAMPWRIGHT" "$@"; }
# list LINES ARGUMENTS...: with those lines as standard input, no terminal
list() {
	printf '%b' "$1" >"$SCRATCH/in"
	shift
	# shellcheck disable=SC2016 # for the inner shell
	run setsid sh -c 'in=$1; shift; exec "$@" <"$in"' sh "$SCRATCH/in" "$LAMPWRIGHT" "$@"
}

lw pack add "$SRC/tests/cli/bench.yaml"
lw device list --json
same "device list" true "$(printf %s "$out" | jq '[.items[].id] | index("bench-drive") != null')"
lw device show bench-two
has "device show: lamps" "Lamp run" "$out"
has "device show: codes" "no answer" "$out"
lw device show bench-tow
same "an unknown device is exit 1" 1 "$code"
has "and the nearest is named" "bench-two" "$errout"
lw device new zz-mine --coding digits --title "My own drive" --kind drive
same "device new" 0 "$code"
lw device new zz-mine --coding count
same "a device that is there is exit 1" 1 "$code"
lw device new bench-drive --coding count
same "also one of a pack" 1 "$code"
lw device new "Bad Name" --coding count
same "not a name is exit 2" 2 "$code"
lw device new other
same "no coding is exit 2" 2 "$code"
lw device new other --coding morse
same "an unknown coding is exit 2" 2 "$code"
has "and the codings are named" "long-short" "$errout"
lw device list --json
same "own devices first" zz-mine "$(printf %s "$out" | jq -r '.items[0].id')"

# One code.
lw teach zz-mine "3 then 2" bench-low
same "teach a fault by its id" 0 "$code"
has "and see it" "Bench voltage too low" "$out"
lw teach zz-mine 1-1 voltage is far too low --json
same "teach by words: the fault that fits" bench-low "$(printf %s "$out" | jq -r '.matches[0].fault')"
has "which one is said" "bench-low" "$errout"
has "and the words are kept" "voltage is far too low" "$(printf %s "$out" | jq -r '.matches[0].meaning')"
lw teach zz-mine 1-2 teapot is empty --json
same "teach by words that fit none" "null teapot is empty" "$(printf %s "$out" | jq -r '.matches[0] | [(.fault | tostring), .title] | join(" ")')"
lw teach zz-mine 1-2 kettle is empty --json
same "a code taught again is replaced" "kettle is empty" "$(printf %s "$out" | jq -r '.matches[0].title')"
lw teach zz-mine 1-z bench-low
same "an unreadable code is exit 2" 2 "$code"
has "with a caret" "^" "$errout"
lw teach nobody 1 bench-low
same "an unknown device is exit 1" 1 "$code"
lw teach bench-two 4 bench-low
same "two lamps and none named is exit 2" 2 "$code"
lw teach bench-two 4 bench-low --lamp err
same "a lamp named" 0 "$code"
lw teach zz-mine 1-1
same "no meaning is exit 2" 2 "$code"
lw teach zz-mine
same "no pattern is exit 2" 2 "$code"
lw teach
same "no device is exit 2" 2 "$code"

# Over a pack's code, and off again.
lw teach bench-drive 4 bench-warm
lw read 4 --device bench-drive --json
same "own stands over the pack's" bench-warm "$(printf %s "$out" | jq -r '.matches[0].fault')"
lw pack add "$SRC/tests/cli/bench.yaml"
lw read 4 --device bench-drive --json
same "and outlives reading the pack again" bench-warm "$(printf %s "$out" | jq -r '.matches[0].fault')"
lw teach bench-drive --remove 4
same "remove" 0 "$code"
lw read 4 --device bench-drive --json
same "the pack's is back" bench-low "$(printf %s "$out" | jq -r '.matches[0].fault')"
lw teach bench-drive --remove 4
same "a pack's code is not removed" 1 "$code"
lw teach bench-drive --remove 44
same "no such code is exit 1" 1 "$code"

# A list.
text='# from the lid\n\n4-1 = heatsink gets warm\n4-2: kettle, empty\n4-3\tteapot = full\n'
list "$text" teach zz-mine -
same "a list without a yes is exit 1" 1 "$code"
has "it is shown" "heatsink gets warm" "$out"
has "with the fault that fits" "bench-warm" "$out"
has "it says that nothing was kept" "nothing was kept" "$errout"
lw read 4-1 --device zz-mine
same "nothing was kept" 1 "$code"
list "$text" teach zz-mine - --yes
same "a list with --yes" 0 "$code"
has "it says what was kept" "Kept 3 codes on zz-mine." "$out"
lw read 4-1 --device zz-mine --json
same "an equals sign" bench-warm "$(printf %s "$out" | jq -r '.matches[0].fault')"
lw read 4-2 --device zz-mine --json
same "a colon" "kettle, empty" "$(printf %s "$out" | jq -r '.matches[0].title')"
lw read 4-3 --device zz-mine --json
same "a tab" "teapot = full" "$(printf %s "$out" | jq -r '.matches[0].title')"
list '5-1 = one\nrhubarb = two\n5-1 = three\n' teach zz-mine - --yes
same "bad lines are exit 1" 1 "$code"
has "and told with their number" "line 2" "$out"
lw read 5-1 --device zz-mine --json
same "the good ones are kept" one "$(printf %s "$out" | jq -r '.matches[0].title')"
list '6-1 = one\n' teach zz-mine - --json
same "a list with --json" "1 1 false" "$(printf %s "$out" | jq -r '[.good, (.lines | length), (.kept | tostring)] | join(" ")')"
list 'rhubarb\n' teach zz-mine - --yes
same "no line that can be read is exit 2" 2 "$code"
list '' teach zz-mine - --yes
same "an empty list is exit 2" 2 "$code"
list '6-1 = \0377\n' teach zz-mine - --yes
same "invalid UTF-8 is exit 2" 2 "$code"
list '6-1 = a\0000b\n' teach zz-mine - --yes
same "a zero byte is exit 2" 2 "$code"
head -c 5000000 /dev/zero | tr '\0' '#' >"$SCRATCH/in"
# shellcheck disable=SC2016 # for the inner shell
run sh -c '"$0" teach zz-mine - --yes <"$1"' "$LAMPWRIGHT" "$SCRATCH/in"
same "a list without end is exit 2" 2 "$code"

# A yes at the terminal: script(1) gives one.
if command -v script >/dev/null; then
	printf '7-1 = seven\n' >"$SCRATCH/in"
	(sleep 1 && echo yes && sleep 1) | script -qec "'$LAMPWRIGHT' teach zz-mine - <'$SCRATCH/in'" /dev/null >"$SCRATCH/out" 2>&1
	has "the terminal is asked" "Keep these codes?" "$(cat "$SCRATCH/out")"
	lw read 7-1 --device zz-mine
	same "and a yes keeps them" 0 "$code"
	(sleep 1 && echo no && sleep 1) | script -qec "'$LAMPWRIGHT' teach zz-mine - <'$SCRATCH/in'" /dev/null >"$SCRATCH/out" 2>&1
	has "a no does not" "nothing was kept" "$(cat "$SCRATCH/out")"
fi
finish
