#!/bin/sh
# reckon: the list, what one takes, every example, what comes from a rig, bad
# input, the plot's file.
. "$SRC/tests/lib.sh"
export LAMPWRIGHT_BOOK="$SCRATCH/book.db"
lw() { run "$LAMPWRIGHT" "$@"; }
get() { printf %s "$out" | jq -r "$1"; }

lw reckon
same "the list" 0 "$code"
has "has pre-charge" "  precharge " "$out"
has "and how to go on" "lampwright reckon precharge" "$out"
lw reckon --json
names=$(get '.reckoners[].name')
for name in precharge bleed drop fuse isolation divider throttle resistor charge; do
	has "the list has $name" "$name" "$names"
done
same "the keys of a reckoner" "example name plots summary title" "$(get '.reckoners[0] | keys | join(" ")')"
printf %s "$out" | jq -r '.reckoners[] | "\(.name) \(.plots) \(.example)"' >"$SCRATCH/examples"

# --- each of them: its form, and its example ------------------------------

while read -r name plots example; do
	lw reckon "$name"
	same "$name: what it takes" 0 "$code"
	has "$name: its example" "lampwright reckon $name $example" "$(flat "$out")"
	same "$name: 80 columns" "" "$(printf '%s\n' "$out" | grep -v '^    lampwright' | awk 'length($0) > 90')"
	lw reckon "$name" --json
	same "$name: its keys" "asked done example given has_formulas inputs name plot plots problem problem_key ranged remarks results rig rig_says rig_title shape sources summary taken title verdict" "$(get 'keys | join(" ")')"
	same "$name: nothing was asked, so nothing is wrong" "false null null" "$(get '"\(.asked) \(.problem) \(.problem_key)"')"
	same "$name: the keys of an input" "from_rig help is_word key keypad needed problem rig_value title unit usual usual_title value words" \
		"$(get '.inputs[0] | keys | join(" ")')"
	eval "set -- $example"
	rm -f "$SCRATCH/$name.svg"
	if [ "$plots" = true ]; then
		lw reckon "$name" "$@" --svg "$SCRATCH/$name.svg"
		same "$name $example: $errout" 0 "$code"
		run xmllint --noout "$SCRATCH/$name.svg"
		same "$name: its plot is well-formed: $errout" 0 "$code"
		has "$name: an SVG" 'xmlns="http://www.w3.org/2000/svg"' "$(cat "$SCRATCH/$name.svg")"
		lacks "$name: no number went wrong" nan "$(tr '[:upper:]' '[:lower:]' <"$SCRATCH/$name.svg")"
	else
		lw reckon "$name" "$@" --svg "$SCRATCH/$name.svg"
		same "$name has no curve" 2 "$code"
		same "and no file is made" "" "$(find "$SCRATCH" -name "$name.svg*")"
	fi
	lw reckon "$name" "$@"
	same "$name $example: $errout" 0 "$code"
	has "$name: a source" "Source:" "$out"
	lw reckon "$name" "$@" --json
	same "$name: done" "true null" "$(get '"\(.done) \(.problem)"')"
	same "$name: results" true "$(get '.results | length > 0')"
	same "$name: the keys of a result" "formula high is_number is_verdict low name range text title unit value" "$(get '.results[0] | keys | join(" ")')"
	same "$name: a number is within its range" true \
		"$(get 'all(.results[]; .low == null or (.low <= .value and .value <= .high))')"
	same "$name: numbers have a value, words none" true \
		"$(get 'all(.results[]; .is_number == (.value != null))')"
	same "$name: sources" true "$(get '.sources | length > 0')"
	# shellcheck disable=SC2016 # $d is jq's
	same "$name: every one that was taken is in given" true \
		"$(get '. as $d | all(.taken[]; .text == $d.given[.key])')"
	same "$name: no word from a rig where there is none" 0 "$(get '[.taken[] | select(.is_rig)] | length')"
done <"$SCRATCH/examples"

# --- pre-charge, worked out by hand ---------------------------------------

# 48 V / 10 kohm = 4.8 mA; tau = 100 s, and ln 20 = 2.996, so 300 s to 95 %.
lw reckon precharge volts=48V resistor=10k capacitor=10mF
has "the verdict comes first" "reaches 95 % in 300 s" "$(printf '%s\n' "$out" | sed -n 3p)"
has "the current at the start" "4.8 mA" "$out"
has "with its formula" "volts / resistor = 48 V / 10 kohm" "$(flat "$out")"
has "the time to 95 %" "300 s" "$out"
lw reckon precharge volts=48V resistor=10k capacitor=10mF --json
same "the current as a number" "4.8 mA" "$(get '.results[] | select(.name == "peak-current") | "\(.value) \(.unit)"')"
same "300 s to 95 %" true "$(get '[.results[] | select(.unit == "s" and (.value - 299.57 | fabs) < 0.1)] | length > 0')"
same "what was given, as it was understood" "10 kohm" "$(get .given.resistor)"
same "and where from" "given" "$(get '.taken[] | select(.key == "resistor") | .origin')"
same "the curve" "time (s) bus voltage (V)" "$(get '"\(.plot.x_text) \(.plot.y_text)"')"
same "is drawn" M "$(get '.plot.curves[0].d[0:1]')"

# The energy at 48 V is 10 mF (48 V)^2 / 2 = 11.52 J.
has "the energy" "11.5 J" "$out"

# Words go on with the value before them, so a shell needs no quotes; a
# tolerance gives ranges: 48 V / 10.5 kohm to 48 V / 9.5 kohm.
lw reckon precharge volts=48 resistor=10 kohm 5% capacitor=10mF
same "words in a row" 0 "$code"
has "a range" "4.8 mA (4.571 mA to 5.053 mA)" "$(flat "$out")"
lw reckon precharge volts=48 resistor=10k "resistor=470 ohm" capacitor=10mF --json
same "the last of two counts" "470 ohm" "$(get .given.resistor)"

# --- a rig ----------------------------------------------------------------

lw rig new cart48
lw rig set cart48 pack.full=58.8V bus.capacitor="10000 uF 20%"
lw reckon precharge resistor=10k
same "without a rig in hand values are missing" 2 "$code"
lw reckon precharge resistor=10k --rig cart48 --json
same "a rig gives what is not typed" "rig rig given" \
	"$(get '[(.taken[] | select(.key == "volts" or .key == "capacitor" or .key == "resistor") | .origin)] | sort | reverse | join(" ")')"
same "which rig" cart48 "$(get .rig)"
lw rig use cart48
lw reckon precharge
has "what the rig in hand says" "58.8 V" "$out"
has "is said to be the rig's" "cart48 says" "$out"
lw reckon precharge resistor=10k
same "the rig in hand" 0 "$code"
has "each value says where it is from" "58.8 V (from cart48)" "$out"
lw reckon precharge resistor=10k volts=48V --json
same "what is typed goes before" "48 V given" "$(get '.taken[] | select(.key == "volts") | "\(.text) \(.origin)"')"
lw reckon precharge resistor=10k volts=
same "a blank keeps the rig's out" 2 "$code"
has "and is missing then" "volts: " "$errout"
lw reckon precharge resistor=10k --no-rig
same "--no-rig" 2 "$code"
lw reckon precharge --no-rig --json
same "takes nothing from it" "null" "$(get .rig)"
lw reckon precharge --rig no-such
same "no such rig" 1 "$code"
lw reckon precharge --rig cart48 --no-rig
same "a rig and none" 2 "$code"

# --- what cannot be read --------------------------------------------------

lw reckon prechrge
same "no such reckoner" 1 "$code"
has "the nearest is named" precharge "$errout"
for bad in resistor=-5 resistor=0 resistor=nan resistor=1e400 "resistor=10 V" \
	"resistor=10 kohm 200%" "resistor=3,200" resistor=ten "resistor=(((((" \
	"resistor=%s%n"; do
	lw reckon precharge volts=48V capacitor=10mF "$bad"
	same "$bad" 2 "$code"
	has "$bad: says which" "resistor: " "$errout"
	same "$bad: nothing on stdout" "" "$out"
	same "$bad: one sentence, and where" yes "$([ "$(printf '%s\n' "$errout" | wc -l)" -le 3 ] && echo yes)"
done
lw reckon precharge volts=48V capacitor=10mF "resistor=10 kohq"
has "the value that was typed" "    10 kohq" "$errout"
lw reckon precharge volts=48V resistr=10k --json
same "a key that it does not take" 2 "$code"
has "the nearest key is named" "resistor" "$errout"
same "and no document" "" "$out"
lw reckon precharge 48V
same "a word without a key" 2 "$code"
has "says how to write it" "KEY=VALUE" "$errout"
lw reckon precharge =48V
same "a value without a key" 2 "$code"
lw reckon precharge volts=48V resistor=10k "capacitor=$(printf '%05000d' 1)"
same "a value that is too long" 2 "$code"
# shellcheck disable=SC2046 # that many words
lw reckon precharge volts=48V $(yes a | head -n 60000)
has "also in many words" "too long" "$errout"
lw reckon precharge "volts=$(printf '\377')" resistor=10k capacitor=10mF
same "what is not UTF-8" 2 "$code"
lw reckon precharge "volts=$(printf '\033[31m')" resistor=10k capacitor=10mF
lacks "an escape does not reach the terminal" "$(printf '\033')" "$errout"
lw reckon --svg x.svg
same "a file of nothing" 2 "$code"

# --- the file of the plot -------------------------------------------------

set -- volts=48V resistor=10k capacitor=10mF
printf 'what was there' >"$SCRATCH/old.svg"
lw reckon precharge "$@" resistor=-1 --svg "$SCRATCH/old.svg"
same "after bad input the file is as it was" "2 what was there" "$code $(cat "$SCRATCH/old.svg")"
lw reckon precharge --no-rig --svg "$SCRATCH/old.svg"
same "without values there is no curve" "2 what was there" "$code $(cat "$SCRATCH/old.svg")"
lw reckon precharge "$@" --svg "$SCRATCH/no/such/folder.svg"
same "a folder that is not there" 3 "$code"
has "is named" "no/such/folder.svg" "$(flat "$errout")"
same "and nothing is shown" "" "$out"
lw reckon precharge "$@" --svg "$SCRATCH"
same "a folder is no file" 3 "$code"
if [ -e /dev/full ]; then
	lw reckon precharge "$@" --svg /dev/full
	same "a disk that is full" 3 "$code"
fi
lw reckon precharge "$@" --svg "$SCRATCH/old.svg"
same "the file is replaced" 0 "$code"
run xmllint --noout "$SCRATCH/old.svg"
same "by a whole one" 0 "$code"
lw reckon precharge "$@" --svg -
same "on standard output" 0 "$code"
same "the picture is there" "</svg>" "$(printf '%s\n' "$out" | tail -n 1)"
lacks "and nothing else" "4.8 mA" "$out"
printf 'what was there' >"$SCRATCH/aim.svg"
ln -s aim.svg "$SCRATCH/link.svg"
lw reckon precharge "$@" --svg "$SCRATCH/link.svg"
same "a link stays one" yes "$([ -L "$SCRATCH/link.svg" ] && echo yes)"
has "and what it leads to is replaced" "</svg>" "$(cat "$SCRATCH/aim.svg")"
ln -s no/such/file.svg "$SCRATCH/lost.svg"
lw reckon precharge "$@" --svg "$SCRATCH/lost.svg"
same "a link to nowhere" 3 "$code"
mkfifo "$SCRATCH/pipe"
cat "$SCRATCH/pipe" >"$SCRATCH/through" &
reader=$!
lw reckon precharge "$@" --svg "$SCRATCH/pipe"
same "a pipe is written to" 0 "$code"
wait $reader
has "and stays a pipe" "</svg> yes" "$(tail -n 1 "$SCRATCH/through") $([ -p "$SCRATCH/pipe" ] && echo yes)"
same "nothing is left beside it" "" "$(find "$SCRATCH" -name '*.new')"
lw book check
same "the book is sound after all that" 0 "$code"
finish
