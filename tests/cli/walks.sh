#!/bin/sh
# Walk-throughs at the terminal: listed, gone through step by step, with what
# is wrong, put aside and passed. The bench is invented.
. "$SRC/tests/lib.sh"
export LAMPWRIGHT_BOOK="$SCRATCH/book.db"
lw() { run "$LAMPWRIGHT" "$@"; }
get() { printf %s "$out" | jq -r "$1"; }
# lines LINES ARGUMENTS...: with those lines as standard input
lines() {
	printf '%b' "$1" >"$SCRATCH/in"
	shift
	# shellcheck disable=SC2016 # for the inner shell
	run sh -c 'in=$1; shift; exec "$@" <"$in"' sh "$SCRATCH/in" "$LAMPWRIGHT" "$@"
}

lw pack add "$SRC/tests/unit/through.yaml"
same "the pack is in the book: $errout" 0 "$code"
# The ways into power states are the bench's own, not those that ship.
lw pack remove safety

# --- listed -----------------------------------------------------------------

lw trace --walks --json
same "they are listed" 0 "$code"
same "the keys" "has_walks rig rig_title shape walks" "$(get 'keys | join(" ")')"
same "of one" "description fits left_out one_step steps title tree" "$(get '.walks[0] | keys | join(" ")')"
same "by id and title, with steps" "round Once round 4" "$(get '.walks[] | select(.tree == "round") | "\(.tree) \(.title) \(.steps)"')"
same "for nobody's vehicle" null "$(get .rig)"
lw trace --walks
has "as text" "Once round (4 steps)" "$out"
has "with what it is for" "Before it is switched on for the first time." "$out"
has "and how to begin" "lampwright trace --tree ID" "$out"
lw rig new trike36
lw rig set trike36 motor=series
lw trace --walks --rig trike36 --json
same "for a rig, by its facts" "trike36 3 1" "$(get '.rig + (.walks[] | select(.tree == "round") | " \(.steps) \(.left_out)")')"
lw trace --walks --rig trike36
has "one that is not for it" "Once round a brushless one (0 steps, none for this vehicle)" "$out"
lw trace --walks --rig nobody
same "no such rig is exit 1" 1 "$code"
lw trace --walks --symptom stands
same "it lists, and opens nothing" 2 "$code"
lw trace --walks --job 1
same "nor goes on" 2 "$code"
lw trace --symptom stands --tree round
same "nor with a symptom" 2 "$code"
has "and says why" "is a walk-through" "$errout"
lw job list
same "none of these opened a job" 1 "$code"

# --- step by step -----------------------------------------------------------

lines '0.2\nwrong\nright\nsprings\nready\nforwards\n' trace --tree round --rig trike36
same "all passed is exit 0: $errout" 0 "$code"
has "it says where it stands" "Once round: step 1 of 3" "$out"
has "what was left out" "Steps for other vehicles, left out: 1" "$out"
has "what is wrong" "Not as it should be: Pack polarity" "$out"
has "what it says" "Connect nothing." "$out"
has "what it may be" "Leads crossed (always gives this)" "$out"
has "the fix" "Swap the leads." "$out"
has "the proof" "It reads right." "$out"
has "what to do" "Put it right, then answer again." "$out"
has "the next step" "Once round: step 2 of 3" "$out"
has "at the end" "Every step passed" "$out"
has "what can be said" "It may be driven, slowly." "$out"
has "make it safe" "The vehicle is not proved dead now." "$out"
lacks "no suspects" "Still possible" "$out"
lw job show 1 --json
same "passed" "passed true 3 3" "$(get '"\(.state) \(.walk.complete) \(.walk.passed) \(.walk.steps)"')"
same "exit 0" 0 "$code"
same "its keys" "aside complete conclusion description failed left_out passed progress step steps title tree" \
	"$(get '.walk | keys | join(" ")')"
same "nothing is suspected" "0 0" "$(get '"\(.suspects | length) \(.next | length)"')"
lw job answer 1 right
same "no step is left to answer" 1 "$code"
lw job close 1 --why "driven round the yard"
same "closed" 0 "$code"
has "with what can be said" "It may be driven, slowly." "$out"
lw trace --job 1
same "one that passed is exit 0, closed too" 0 "$code"
lw job report 1
flat=$(flat "$out")
for part in "Walk-through List: Once round (round) Progress: 3 of 3 steps passed; 1 left out" "It may be driven, slowly." \
	"Pack polarity: the wrong way round; expected the right way round" "driven round the yard"; do
	has "the report has $part" "$part" "$flat"
done
lacks "no cause" "What may still be the cause" "$out"
same "80 columns" "" "$(printf '%s\n' "$out" | grep -E '^.{81}')"

# --- put aside --------------------------------------------------------------

lw trace --tree round --json
same "without a rig every step is asked" "2 step 1 of 4 way-isolated" "$(get '"\(.job) \(.walk.progress) \(.step.check)"')"
lw job answer 2 dead
lw job answer 2 wrong --json
same "a step that is wrong" "polarity wrong true" "$(get '"\(.step.check) \(.walk.failed.outcome) \(.walk.failed.is_dead)"')"
same "its keys" "also check has_points is_dead outcome outcome_title points reading say spread title" "$(get '.walk.failed | keys | join(" ")')"
same "what it points to, likeliest first" "crossed loose" "$(get '[.walk.failed.points[].cause] | join(" ")')"
same "the keys of one" "cause fix often proof title" "$(get '.walk.failed.points[0] | keys | join(" ")')"
lw job pick 2 cause crossed
same "it looks for no cause" 1 "$code"
lw job leave 2
same "nor is it left" 1 "$code"
lw job answer 2 cannot no light in here
has "the next step" "step 2 of 4, 1 put aside" "$out"
lw job answer 2 skip
lw job answer 2 springs
lw job answer 2 ready
lw job answer 2 backwards
has "with power on: safe first" "Make it safe first (lampwright job safe 2)." "$out"
lw job answer 2 forwards
same "with something put aside it waits, exit 1" 1 "$code"
has "what was not done" "Not done: Pack polarity (it gave: the wrong way round); Field winding. 2 of 4 steps passed" "$(flat "$out")"
lacks "and not that all is well" "It may be driven" "$out"
lw job report 2
has "the report says so, too" "2 of 4 steps passed" "$out"
lacks "and not that all is well" "It may be driven" "$out"
lw job waits 2
has "what waits for a tool" "multimeter" "$out"
lw job close 2 --given-up --why "sold"
has "given up, it says what was not done" "Not done: Field winding" "$(flat "$out")"
lacks "and not that all is well" "It may be driven" "$out"
lw job reopen 2
lw job reopen 2
same "taken up again" 0 "$code"
lw job show 2 --json
same "from the first that was not done" "step 1 of 4" "$(get .walk.progress)"
lw job answer 2 dead
lw job answer 2 right
lw job answer 2 "2.00 ohm"
has "then all passed" "It may be driven, slowly." "$out"
lw job undo 2 --json
same "and taken back" "open step 2 of 4 null" "$(get '"\(.state) \(.walk.progress) \(.walk.conclusion)"')"

# --- it stops ---------------------------------------------------------------

lw trace --tree short-round --json
lw job answer 3 dead
lw job answer 3 hot
same "a stop is exit 1" 1 "$code"
has "and says so" "stop here" "$out"
lw job why 3
same "why" 0 "$code"
has "says where it stands" "Looking once: " "$out"
lacks "and suspects nothing" "What it may be" "$out"

lw pack write rounds
printf '%s\n' "$out" >"$SCRATCH/rounds.yaml"
has "the pack is written whole" "    only:
          - motor=separately-excited" "$out"
lw pack check "$SCRATCH/rounds.yaml"
same "and reads back" 0 "$code"

finish
