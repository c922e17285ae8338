#!/bin/sh
# rig: vehicles, what is known of them, points, and what devices say.
. "$SRC/tests/lib.sh"
export LAMPWRIGHT_BOOK="$SCRATCH/book.db"
lw() { run "$LAMPWRIGHT" "$@"; }

lw pack add "$SRC/tests/cli/bench.yaml"
# The ways into power states are the bench's own, not those that ship.
lw pack remove safety
lw rig list
same "no rigs is exit 0" 0 "$code"
has "and how to make one" "lampwright rig new NAME" "$out"
lw rig list --json
same "no rigs: an empty list" "[]" "$(printf %s "$out" | jq -c .items)"
lw rig show
same "no rig in hand is exit 1" 1 "$code"
has "and what to do" "lampwright rig use NAME" "$errout"

lw rig new cart48 --title "Field cart"
same "new" 0 "$code"
has "it is made" "cart48 is made" "$out"
has "how to take it in hand" "lampwright rig use cart48" "$out"
lw rig show cart48
has "it is shown" "Field cart (cart48)" "$out"
has "what is not known counts as dangerous" "counts as series-wound" "$(flat "$out")"
lw rig new cart48
same "a name that is taken is exit 1" 1 "$code"
for name in Cart 48cart "my cart" "" "$(printf '%065d' 1)" "$(printf 'x\377')"; do
	lw rig new "$name"
	same "not a name: \"$name\" is exit 2" 2 "$code"
done
lw rig new
same "no name is exit 2" 2 "$code"
lw rig new trike36
lw rig use cart48
same "use" 0 "$code"
lw rig list
has "the one in hand" "cart48   Field cart (in hand)" "$out"
lw rig show --json
same "show without a name: the one in hand" "cart48 true" "$(printf %s "$out" | jq -r '[.rig, .in_hand] | map(tostring) | join(" ")')"
same "the keys" "cautions choices conflicts devices facts in_hand jobs known_facts known_tools notes parts points records removed rig settings shape title tools unknown" \
	"$(printf %s "$out" | jq -r 'keys | join(" ")')"
lw rig use nobody
same "use of no rig is exit 1" 1 "$code"
lw rig use
same "use without a name is exit 2" 2 "$code"
lw rig use cart48 --none
same "a name and --none is exit 2" 2 "$code"
lw rig use --none
same "none in hand" 0 "$code"
lw rig show
same "then show needs a name" 1 "$code"
lw rig use cart48

# What is known of it.
lw rig set cart48 motor=series reference=floating "pack.full=58.8 V" bus.capacitor=10mF device.drive=bench-drive "tools=meter, torch"
same "set" 0 "$code"
lw rig show cart48 --json
same "facts" "series floating 58.8 V" "$(printf %s "$out" | jq -r '[.facts[] | select(.key == "motor" or .key == "reference" or .key == "pack.full") | .value] | join(" ")')"
same "a device by the rig's name" "drive bench-drive" "$(printf %s "$out" | jq -r '.devices[0] | [.name, .device] | join(" ")')"
same "tools" "meter torch" "$(printf %s "$out" | jq -r '.tools | join(" ")')"
lw rig set cart48 motor=unknown
lw rig show cart48 --json
same "a fact is taken back" false "$(printf %s "$out" | jq '.facts[] | select(.key == "motor") | .known')"
lw rig set cart48 contactor=yes motor=steam
same "a value that is none is exit 2" 2 "$code"
has "and what would be right is said" "brushless" "$errout"
lw rig show cart48 --json
same "and nothing of it is kept" false "$(printf %s "$out" | jq '.facts[] | select(.key == "contactor") | .known')"
for wrong in moter=series motor =series pack.full=58 pack.full=5V pack.full=5000V bus.capacitor=10V "pack.full=3,200 V" pack.full; do
	lw rig set cart48 "$wrong"
	case "$wrong $code" in
	# A bare number is in the key's unit.
	"pack.full=58 0") ok ;;
	*" 2") ok ;;
	*) not_ok "rig set $wrong: exit code $code, $errout" ;;
	esac
	[ "$code" = 0 ] || lacks "rig set $wrong: something is said" "||" "|$errout|"
done
lw rig set cart48 device.drive=nothing-such
same "a device that is not in the book is exit 1" 1 "$code"
lw rig set nobody motor=series
same "no such rig is exit 1" 1 "$code"
lw rig set cart48
same "nothing to set is exit 2" 2 "$code"
lw rig keys
same "keys" 0 "$code"
has "what can be said" "motor=series " "$out"
has "where to find it" "Where to find it:" "$out"
has "and within what" "20 V to 150 V" "$out"
same "keys: 80 columns" "" "$(printf '%s\n' "$out" | awk 'length($0) > 80')"
lw rig keys --json
same "keys as JSON" true "$(printf %s "$out" | jq '[.facts[].key] | (index("motor") != null) and (index("tools") != null)')"

# In numbers.
lw rig set cart48 pack.cells=24 pack.kind=lead pack.full=unknown precharge.resistor="470 ohm 5%" bus.capacitor="10 mF 20%" \
	cable.size="2 AWG" cable.length="4 m"
same "numbers" 0 "$code"
has "a number" "Cells in series: 24 (pack.cells)" "$(flat "$out")"
has "as it was typed" "470 ohm ±5 %" "$out"
has "with its tolerance" "10 mF ±20 %" "$out"
has "a size" "2 AWG" "$out"
has "a usual tolerance says so" "4 m (tolerance not said, taken as 10 %)" "$(flat "$out")"
has "what is worked out says from what" "58.8 V, worked out: 24 * 2.45 V" "$(flat "$out")"
has "what is usual says so" "the usual one, since nobody said" "$(flat "$out")"
# A sign of plus or minus has two bytes.
same "numbers: 80 columns" "" "$(printf '%s\n' "$out" | sed 's/±/+/g' | awk 'length($0) > 80')"
lw rig show cart48 --json
same "as JSON" "null false true 58.8 V 24 * 2.45 V" "$(printf %s "$out" | jq -r '.facts[] | select(.key == "pack.full") | [.value, .known, .is_worked, .comes_to, .from] | map(tostring) | join(" ")')"
lw rig set cart48 pack.cells=16 pack.full=58.8V
has "what contradicts is said" "is said to be 58.8 V, and Cells in series (16) and Kind of battery (lead-acid) give 39.2 V: one of them is wrong" "$(flat "$out")"
lw rig set cart48 pack.cells=24 "bus.capacitor=100 mF"
same "what could be two things is exit 1" 1 "$code"
has "and says how to write either" "uF" "$errout"
lw rig show cart48 --json
same "and nothing is kept" 16 "$(printf %s "$out" | jq -r '.facts[] | select(.key == "pack.cells") | .value')"
lw rig set cart48 pack.cells=24 meter.volts="0.9% + 1 digits" throttle.kind=hall
has "a meter" "0.9 % + 1 count" "$out"
for wrong in pack.cells=4k7 "pack.cells=24 V" pack.cells=1000 pack.cells=24.5.1 "precharge.resistor=470 V" "precharge.resistor=470 ohm 500%" \
	"precharge.resistor=-470 ohm" cable.length=1e400 cable.size=nan throttle.kind=knob meter.volts=good "pack.full=$(printf '%01000d' 1)" pack.cels=24; do
	lw rig set cart48 "$wrong"
	same "rig set $(printf %.30s "$wrong") is exit 2" 2 "$code"
	lacks "rig set $(printf %.30s "$wrong"): something is said" "||" "|$errout|"
done
has "the nearest of all" 'the nearest is "pack.cells"' "$errout"
# A pack brings its own; without it they stay as they are.
sed -e '/^devices:/,$d' -e 's/^pack: .*/pack: extra/' "$SRC/tests/cli/bench.yaml" >"$SCRATCH/extra.yaml"
cat >>"$SCRATCH/extra.yaml" <<'END'
values:
  - {id: mast.height, title: Height of the mast, part: Mast, kind: quantity, help: It tips over., where: Measure it., unit: m, from: 0.5 m, to: 3 m, source: invented}
END
lw pack add "$SCRATCH/extra.yaml"
same "a pack with a value" 0 "$code"
lw rig set cart48 mast.height=1.2
same "it can be said" 0 "$code"
has "with its part" "Mast" "$out"
lw rig keys
has "and is listed" "mast.height: Height of the mast" "$out"
lw pack remove extra
lw rig show cart48
has "without the pack it stays" "mast.height: 1.2 m" "$(flat "$out")"
lw rig set cart48 mast.height=1.5
same "but cannot be said" 2 "$code"
lw rig set cart48 mast.height=unknown
same "and is taken back" 0 "$code"
lw rig show cart48
lacks "for good" "mast.height" "$out"

# Points.
lw rig point cart48 bench-plus grey 8-way plug, pin 3, red
same "a point" 0 "$code"
has "is said back" "On cart48, bench-plus is now: grey 8-way plug, pin 3, red" "$out"
lw rig points cart48
has "among the points" "Here: grey 8-way plug, pin 3, red" "$out"
has "beside the pack's words" "Bench plus: The red terminal." "$out"
has "and those without words" "bench-minus" "$out"
same "points: 80 columns" "" "$(printf '%s\n' "$out" | awk 'length($0) > 80')"
same "point without words lists them, too" "$out" "$("$LAMPWRIGHT" rig point cart48)"
lw rig points --json
same "those with words first" "bench-plus true" "$(printf %s "$out" | jq -r '.points[0] | [.point, .has_own] | map(tostring) | join(" ")')"
lw trace --device drive --pattern 4
has "a step shows them" "On cart48: grey 8-way plug, pin 3, red" "$(flat "$out")"
has "and the vehicle" "Vehicle:  Field cart" "$out"
lw rig point cart48 bench-pluss x
same "no such point is exit 1" 1 "$code"
has "with the nearest" "bench-plus" "$errout"
lw rig point cart48 bench-plus "$(printf '%0301d' 1)"
same "words too long are exit 2" 2 "$code"
lw rig point cart48 bench-plus "$(printf '\377')"
same "not UTF-8 is exit 2" 2 "$code"
lw rig point cart48 bench-minus "$(printf 'red \033[31m plug')"
lw rig points cart48
lacks "words cannot drive the terminal" "$(printf '\033')" "$out"
lw rig point cart48 bench-plus --none
same "words are taken back" 0 "$code"
lw rig point cart48 bench-minus ""
same "also by no words" 0 "$code"
lw rig points cart48 --json
same "none is left" 0 "$(printf %s "$out" | jq '[.points[] | select(.has_own)] | length')"
lw rig points nobody
same "points of no rig is exit 1" 1 "$code"

# What its devices say.
lw rig log cart48
same "nothing kept is exit 0" 0 "$code"
has "and how to keep it" "rig log cart48 DEVICE hours=1234" "$out"
lw rig log cart48 drive hours=1234 firmware=2.1 fault.5=3 'fault."over temperature"=2' 'live.battery volts=51.2V' --job 1 --words "before the rain"
same "log" 0 "$code"
has "how many" "Kept 5 things" "$out"
lw rig log
has "hours" "Running hours: 1234" "$out"
has "a fault with its count" "Logged fault: 5, 3 times" "$out"
has "a fault with a name" "Logged fault: over temperature, 2 times" "$out"
has "a live value" "Live value: battery volts, 51.2V" "$out"
has "with words and job" "before the rain (job 1)" "$(flat "$out")"
lw rig log cart48 --json
same "as JSON" "fault 5 3" "$(printf %s "$out" | jq -r '.records[2] | [.kind, .subject, .count] | map(tostring) | join(" ")')"
lw job show 1 --json
same "the job has them" 5 "$(printf %s "$out" | jq '.records | length')"
count=$(lw rig log cart48 --json && printf %s "$out" | jq '.records | length')
for wrong in hours hours= hours.x=5 minutes=5 fault=3 fault.=3 fault.5= fault.5=often fault.5=-1 fault.5=99999999999999999999 live=5V live.x= 'fault."x=2' firmware.x=2 =5 "$(printf 'firmware=\377')"; do
	lw rig log cart48 drive firmware=2.2 "$wrong"
	same "rig log $wrong is exit 2" 2 "$code"
	lacks "rig log $wrong: something is said" "||" "|$errout|"
done
lw rig log cart48 drive
same "nothing to keep is exit 2" 2 "$code"
lw rig log cart48 motor hours=5
same "no such device is exit 1" 1 "$code"
has "with those it has" "drive" "$errout"
lw rig log cart48 drive hours=5 --job 999
same "no such job is exit 1" 1 "$code"
lw rig log cart48 drive hours=5 --job x
same "not a job is exit 2" 2 "$code"
lw rig log nobody drive hours=5
same "log of no rig is exit 1" 1 "$code"
lw rig log cart48 --json
same "none of these kept anything that was refused" true "$(printf %s "$out" | jq "(.records | length) - $count <= 1")"

# A note on it, and taking it out.
lw note add rig cart48 lives behind the second shed
same "a note on a rig" 0 "$code"
lw rig show cart48
has "is shown with it" "lives behind the second shed" "$out"
same "show: 80 columns" "" "$(printf '%s\n' "$out" | awk 'length($0) > 80')"
lw rig remove cart48
same "remove" 0 "$code"
lw rig list --json
same "it is out of the list" "trike36" "$(printf %s "$out" | jq -r '[.items[].id] | join(" ")')"
lw rig show cart48
has "and still known" "It is out of the lists." "$out"
lw rig remove nobody
same "remove of no rig is exit 1" 1 "$code"
lw rig new cart48
lw rig show cart48 --json
same "the name brings it back with all that is on it" "floating 5" "$(printf %s "$out" | jq -r '[(.facts[] | select(.key == "reference") | .value), ([.records[] | select(.job == 1)] | length)] | map(tostring) | join(" ")')"
lw rig shwo
same "an unknown word is exit 2" 2 "$code"
has "and the nearest is named" "show" "$errout"
lw book check
same "the book is sound after all that" 0 "$code"
# A size of wire without a unit is one thing here and another there.
lw rig set cart48 cable.size=4
same "a bare size of wire is undecided" 1 "$code"
has "with both ways to write it" "write 4 mm2 or 4 AWG" "$errout"
lw rig set cart48 cable.size=35
same "where one of them alone can be, it is that" 0 "$code"
has "and is shown back" "35 mm2" "$out"

finish
