#!/bin/sh
# What the meter should say on a vehicle: bands from its values, readings that
# are too close to call, values that are asked for. The bench is invented.
. "$SRC/tests/lib.sh"
export LAMPWRIGHT_BOOK="$SCRATCH/book.db"
lw() { run "$LAMPWRIGHT" "$@"; }

for pack in demo traction-trees traction supply contactor power-stage motor controls links drive-bays rig safety; do
	lw pack remove "$pack"
done
lw pack add "$SRC/tests/unit/metered.yaml"
same "the bench is read" 0 "$code"
lw rig new cart48
lw rig set cart48 pack.cells=24 pack.kind=lead fill.resistor="470 ohm 5%"
same "values are set" 0 "$code"
lw rig use cart48

# A drop against a limit of 0.2 V: ISO 14253-1, with 0.5 % + 2 counts.
lw trace --symptom stands
lw job pick 1 check lug-drop
lw job answer 1 0.0
lw job show 1 --json
same "what to expect" "below 0.2 V" "$(printf %s "$out" | jq -r .step.expect.text)"
same "the meter's accuracy, and that nobody said it" "0.5 % + 2 counts true" \
	"$(printf %s "$out" | jq -r '.step | "\(.accuracy) \(.usual_accuracy)"')"
lw job answer 1 0.198
same "too close to call is exit 1" 1 "$code"
has "it says by how much" "0.0035 V" "$errout"
has "and how to insist" "--sure" "$errout"
lw job show 1 --json
same "nothing was kept" lug-drop "$(printf %s "$out" | jq -r .step.check)"
lw job answer 1 0.198 --sure --json
same "insisted on, it is kept" 0 "$code"
lw job show 1 --json
same "as what is nearest, with the other" "0.198 V|0.0035 V|small|large" \
	"$(printf %s "$out" | jq -r '[.findings[] | select(.subject == "lug-drop" and .kind == "check")][-1] | [.reading, .spread, .outcome_title, .also] | join("|")')"

# 470 ohm, 5 %: from 446.5 to 493.5 ohm.
same "the tolerance makes the band" "446.5 ohm to 493.5 ohm" "$(printf %s "$out" | jq -r .step.expect.text)"
has "it says from what" "470 ohm" "$(printf %s "$out" | jq -r .step.expect.why)"
same "no value is lacking" "null 0" "$(printf %s "$out" | jq -r '.step | "\(.asks) \(.lacks | length)"')"
lw job answer 1 470.0 V
same "another dimension is exit 2" 2 "$code"
has "and the right one is named" "ohm" "$errout"
lw job answer 1 4k7
same "RKM is a reading" 0 "$code"
lw job undo 1
lw job answer 1 0.0
lw job answer 1 470.0
same "in band" 0 "$code"
lw job show 1 --json
same "the pack's band, by its cells" "46.8 V to 58.8 V" "$(printf %s "$out" | jq -r .step.expect.text)"
lw job show 1
has "in words" "Cells in series 24" "$(flat "$out")"
lw job answer 1 45.20
same "a low pack is found" 0 "$code"

# Nothing is known: it asks, once, and nothing is guessed.
lw rig new trike36
lw rig use trike36
lw trace --symptom stands
lw job pick 2 check pack-at-rest
lw job answer 2 0.0
lw job show 2
has "it says what it lacks" "Cells in series" "$out"
has "and how to say it" "say pack.cells=" "$out"
lw job answer 2 OL
has "OL says what to do" "set a higher range" "$errout"
lw job answer 2 38.10
same "what cannot be judged is exit 1" 1 "$code"
has "and how to keep it" "if it stays: lampwright job answer 2 38.10 --sure" "$errout"
has "and says why" "not known of the vehicle: Cells in series" "$(flat "$errout")"
lw job say 2 pack.cells=18
same "a value is said" 0 "$code"
has "and shown back" "Kept: Cells in series: 18" "$out"
lw job say 2 pack.kind=unknown
same "or that nobody knows" 0 "$code"
lw job show 2 --json
lacks "it is not asked for again" "pack.kind" "$(printf %s "$out" | jq -c .step.asks)"
lw job say 2 pack.cells=1800
same "what cannot be is exit 2" 2 "$code"
lw job say 2 pack.sells=18
same "what there is not is exit 2" 2 "$code"
has "with the nearest" "pack.cells" "$errout"
lw job say 2 18
same "half a sentence is exit 2" 2 "$code"
lw rig show trike36 --json
same "the rig knows it from now on" 18 "$(printf %s "$out" | jq -r '.facts[] | select(.key == "pack.cells") | .value')"
lw job answer 2 34.00
same "below every kind of cell it is clear" 0 "$code"

# At the prompt.
printf '0.0\nsay pack.kind=lead\nquit\n' >"$SCRATCH/lines"
lw job undo 2
lw job answer 2 0.0
"$LAMPWRIGHT" trace --job 2 <"$SCRATCH/lines" >"$SCRATCH/talk" 2>&1
has "a value said at the prompt" "35.1 V to 44.1 V" "$(cat "$SCRATCH/talk")"
has "in the words of its choice" "Kept: Kind of battery: lead-acid" "$(cat "$SCRATCH/talk")"

lw job report 1
has "the report has the uncertainty" "± 0.0035 V" "$(flat "$out")"
finish
