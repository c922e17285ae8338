#!/bin/sh
# trace: step by step at the terminal, here line by line from a file.
. "$SRC/tests/lib.sh"
export LAMPWRIGHT_BOOK="$SCRATCH/book.db"
lw() { run "$LAMPWRIGHT" "$@"; }
# lines LINES ARGUMENTS...: with those lines as standard input
lines() {
	printf '%b' "$1" >"$SCRATCH/in"
	shift
	# shellcheck disable=SC2016 # for the inner shell
	run sh -c 'in=$1; shift; exec "$@" <"$in"' sh "$SCRATCH/in" "$LAMPWRIGHT" "$@"
}

lw pack add "$SRC/tests/cli/bench.yaml"
# The ways into power states are the bench's own, not those that ship.
lw pack remove safety

lw trace
same "nothing to start from is exit 2" 2 "$code"
lw trace 5
same "a pattern without --pattern is exit 2" 2 "$code"
lw trace --device bench-drive --pattern "4 xyzzy"
same "an unreadable pattern is exit 2" 2 "$code"
same "with a caret" "      ^" "$(printf '%s\n' "$errout" | sed -n 3p)"
lw trace --pattern "4 xyzzy"
same "also without a device" "      ^" "$(printf '%s\n' "$errout" | sed -n 3p)"
lw trace --device bench-drive --pattern 77
same "an unknown pattern is exit 1" 1 "$code"
lw trace --device nobody --pattern 4
same "an unknown device is exit 1" 1 "$code"
lw trace --symptom nothing-such
same "an unknown symptom is exit 1" 1 "$code"
lw job list
same "none of these opened a job" 1 "$code"

# A danger goes with every isolated check.
cat >"$SCRATCH/burst.yaml" <<'EOF'
pack: burst
title: A danger, invented for the tests
version: "1"
license: CC0-1.0
source: invented
cautions:
  - {id: bench-burst, signal: danger, hazard: A cell on the bench can burst., avoid: Get away., source: invented, states: [isolated]}
EOF
lw pack add "$SCRATCH/burst.yaml"

# To a cause.
lines '0.2\n31 V\n' trace --device bench-drive --pattern 4
same "cause found is exit 0" 0 "$code"
has "the power state first" "Power state for this check: isolated" "$out"
has "its caution" "WARNING: The bench can roll. Chock it." "$out"
has "the tools" "Tools:  meter" "$out"
has "the instructions are numbered" "  1. Open the disconnect." "$out"
has "the probes" "Black probe:  Bench minus: The black terminal." "$out"
has "what to expect" "Expected:     40 V to 60 V" "$out"
has "the cause" "Cause: Bench battery flat" "$out"
has "the fix" "Charge it." "$out"
has "the proof" "It runs." "$out"
before=${out%%Tools:*}
has "cautions stand before the tools" "WARNING" "$before"

after=${out#*What does the meter read}
has "what stands is short" "WARNING: as before: The bench can roll." "$out"
lacks "and not said whole again" "Chock it." "$after"
has "a danger is always whole" "DANGER: A cell on the bench can burst. Get away." "$after"

# The answer is kept before the next line is read.
lines '0\n' trace --device bench-drive --pattern four
same "left open is exit 1" 1 "$code"
has "how to go on" "lampwright trace --job 2" "$out"
lw job show 2 --json
same "the answer was kept" dead "$(printf %s "$out" | jq -r '.findings[-1].outcome')"
same "the tree's check is next, behind its way in" "bench-safe Bench battery volts" \
	"$(printf %s "$out" | jq -r '[.step.check, .step.then] | join(" ")')"
same "and the vehicle is let go" false "$(printf %s "$out" | jq .hold.held)"
lines 'quit\n' trace --job 2
has "after a break the power state is proved again" "Make the bench dead" "$out"
lines '0\n45\n2\n' trace --job 2
same "going on to a cause" 0 "$code"
has "a number of the list is an answer" "Cause: Bench fuse blown" "$out"

# The other ends.
lines '0\n45\nwhole\n' trace --symptom bench-dead
same "undecided is exit 1" 1 "$code"
has "undecided: the words of the tree" "Battery and fuse are sound." "$out"
has "undecided: what is still possible" "Still possible:" "$out"
lines '0\n70\n' trace --tree bench-low
same "stopped is exit 1" 1 "$code"
has "stopped: the words" "Leave it off." "$out"
has "what the outcome says" "Find out who charged it." "$out"
lines '0\nsound\nBLOWN\n' trace --device bench-drive --pattern 4
same "outcome words, in any case" 0 "$code"

# What else the prompt takes.
lines '?\n\nwhy\nnote the seat was wet\nbogus\n3,200\n0\nundo\n0\ncannot\nskip\n' trace --device bench-drive --pattern 4
has "? lists the answers" "take back the last answer" "$out"
has "why shows the suspects" " %  Bench battery flat" "$out"
has "note is kept" "Noted (note 1)." "$out"
has "what is no answer is said" "bogus" "$errout"
has "an ambiguous number is refused" "3,200" "$errout"
lw job show --json
same "undone is kept as undone" true "$(printf %s "$out" | jq '[.findings[].undone] | any')"
same "the note is on the job" "the seat was wet" "$(printf %s "$out" | jq -r '.notes[0].words')"
same "cannot is put aside" bench-volts "$(printf %s "$out" | jq -r '.put_aside[0].check')"
lines 'note \0377\n' trace --device bench-drive --pattern 4
has "invalid UTF-8 is refused" "UTF-8" "$errout"
head -c 100000 /dev/zero | tr '\0' x >"$SCRATCH/long"
# shellcheck disable=SC2016 # for the inner shell
run sh -c '"$0" trace --job 6 <"$1"' "$LAMPWRIGHT" "$SCRATCH/long"
same "an endless line is survived" 1 "$code"

# Ctrl-C loses nothing: the program is interrupted while it waits.
mkfifo "$SCRATCH/fifo"
"$LAMPWRIGHT" trace --device bench-drive --pattern 4 <"$SCRATCH/fifo" >"$SCRATCH/out" 2>&1 &
pid=$!
exec 3>"$SCRATCH/fifo"
echo 0 >&3
tries=0
while ! grep -q "at the battery" "$SCRATCH/out" && [ $tries -lt 100 ]; do
	sleep 0.1
	tries=$((tries + 1))
done
kill -INT $pid 2>/dev/null
code=0
wait $pid || code=$?
exec 3>&-
same "Ctrl-C: left open" 1 "$code"
has "Ctrl-C: how to go on is said" "lampwright trace --job" "$(tail -n 3 "$SCRATCH/out")"
lw job show --json
same "Ctrl-C: the answer is kept" dead "$(printf %s "$out" | jq -r '[.findings[] | select(.outcome != null)][-1].outcome')"
same "Ctrl-C: the vehicle is let go" false "$(printf %s "$out" | jq .hold.held)"

# From the cause to the end: its fix, its proof, and the symptom once more.
lines '0\n45\nblown\nbegun\nfixed\nwhole\ngone\n' trace --device bench-drive --pattern 4
same "cured is exit 0" 0 "$code"
has "the fix is a step" "Fix: Bench fuse blown" "$out"
has "what proves it" "After the fix it has to be as expected." "$out"
has "what it began with" "Once more: 4" "$out"
has "the end" "Closed: the trouble is gone, and the fix is proved" "$out"
lacks "nothing more to go on with" "Everything so far is kept" "$out"
lw job show --json
same "and closed" "closed true" "$(printf %s "$out" | jq -r '[.state, .cured] | join(" ")')"
lines '0\n45\nblown\nfixed\n' trace --device bench-drive --pattern 4
same "left while proving is exit 0" 0 "$code"
lines '0\n45\nblown\nwrong\n' trace --device bench-drive --pattern 4
same "a cause that it is not is exit 1" 1 "$code"
lw job show --json
same "and that cause is out" "bench-fuse false" "$(printf %s "$out" | jq -r '.excluded[0] | [.cause, .repaired] | join(" ")')"
lines '0\n45\nblown\nfixed\nblown\n' trace --device bench-drive --pattern 4
has "a fix that has not taken leads back to it" "the fix has not taken" "$out"
same "with the cause still found" 0 "$code"
lines '0\n45\nblown\nfixed\nwhole\nstill\n' trace --device bench-drive --pattern 4
same "still there is exit 1" 1 "$code"
lw job show --json
same "and the cause is kept as repaired" true "$(printf %s "$out" | jq '[.excluded[] | select(.cause == "bench-fuse") | .repaired] | any')"

# A reading that cannot well be: typed the same once more it counts as sure.
lines '0\n-45\n-46\n' trace --device bench-drive --pattern 4
has "a negative reading is asked about" "below zero" "$errout"
same "what to do is on the next line" "lampwright: look again; if the meter really shows it, type the same once more" "$(printf '%s\n' "$errout" | sed -n 2p)"
lw job show --json
same "another is no confirmation" bench-safe "$(printf %s "$out" | jq -r '[.findings[] | select(.kind == "check")][-1].subject')"
lines '0\n-45\n-45\n' trace --device bench-drive --pattern 4
lw job show --json
same "the same once more is kept, with its sign" "differs -45 V" "$(printf %s "$out" | jq -r '[.findings[] | select(.reading != null)][-1] | [.kind, .reading] | join(" ")')"
lines '0\n900\n900\n' trace --device bench-drive --pattern 4
has "what no vehicle can have is refused" "cannot be on such a vehicle" "$errout"
lacks "and not to be typed again" "once more" "$errout"
lw job show --json
same "and never kept" bench-safe "$(printf %s "$out" | jq -r '[.findings[] | select(.kind == "check")][-1].subject')"

# What else may be said, where there is a step and where there is none.
lines '0\ncannot the meter is on loan\nskip\nresume\nwait for the meter\nresume\nwait\n' trace --device bench-drive --pattern 4
has "cannot keeps what is missing" "Put aside:  Bench battery volts: the meter is on loan" "$out"
has "wait says what for" "Waits for: for the meter" "$out"
has "wait needs words" "it does not say what the job waits for" "$errout"
lines '0\n45\nwhole\npick bench-volts\nundo\npick cause bench-flat\npick\npick nothing-such\n' trace --device bench-drive --pattern 4
has "undecided: what may be picked" "    pick cause ID" "$out"
has "the check that was picked" "You chose this check." "$out"
has "a cause that was picked" "Fix: Bench battery flat" "$out"
has "pick needs an id" "it does not say what to pick" "$errout"
has "and one of the book" "neither a check nor a cause" "$errout"
lines '0\n45\ndiffers there are two fuses\n' trace --device bench-drive --pattern 4
lw job show --json
same "differs keeps how" "differs there are two fuses" "$(printf %s "$out" | jq -r '.findings[-1] | [.kind, .words] | join(" ")')"
lines '0\n45\nnot reproduced\n' trace --device bench-drive --pattern 4
lw job show --json
same "not reproduced, also as two words" not-reproduced "$(printf %s "$out" | jq -r '.findings[-1].kind')"
lines '0\nsafe\n' trace --device bench-drive --pattern 4
has "safe where it is: said" "proved dead already" "$errout"
lines 'safe\n' trace --device bench-drive --pattern 4
has "safe: the way back" "The way back to isolated" "$out"
lines '0\nclose sold the bench\n' trace --device bench-drive --pattern 4
same "closed without a cure is exit 1" 1 "$code"
has "and said" "sold the bench" "$out"
lines '0\ngive-up no parts to be had\n' trace --device bench-drive --pattern 4
same "given up is exit 1" 1 "$code"
has "given up: said" "Given up" "$out"

# Two screens at one vehicle.
lines '0\n45\n' trace --device bench-drive --pattern 4
job=$(lw job list --json && printf %s "$out" | jq '.jobs[0].job')
LAMPWRIGHT_SCREEN=shed lw job answer "$job" 0
LAMPWRIGHT_SCREEN=door lines '1\nask\ntake\n' trace --job "$job"
has "who has it is said" "shed has the vehicle in hand" "$out"
has "an answer is refused" "shed has the vehicle in hand; ask for it, or look on" "$errout"
has "after asking: how it goes on" "Without a word from there it may be taken after a minute" "$out"
LAMPWRIGHT_SCREEN=shed lines '\nhand\n' trace --job "$job"
has "the holder is told" "door asks for the vehicle" "$out"
has "how to hand it over" "    hand" "$out"
lw job show "$job" --json
same "handed over" "door" "$(printf %s "$out" | jq -r .hold.name)"
LAMPWRIGHT_SCREEN=door lines 'quit\n' trace --job "$job"
lw job show "$job" --json
same "quit lets the vehicle go" false "$(printf %s "$out" | jq .hold.held)"

# A rig's points, and its own name for a device.
lw rig new cart48 --title "Field cart"
lw rig set cart48 device.drive=bench-drive
lw rig point cart48 bench-plus grey 8-way plug, pin 3, red
lines '0\n' trace --rig cart48 --device drive --pattern 4
has "the vehicle" "Vehicle:  Field cart" "$out"
has "the builder's words beside the probe" "On cart48:    grey 8-way plug, pin 3, red" "$out"
lw trace --rig cart49 --pattern 4
same "no such rig is exit 1" 1 "$code"
lw trace --job 1 --rig cart48
same "--job and --rig is exit 2" 2 "$code"

# A terminal that goes away lets the vehicle go, too.
rm -f "$SCRATCH/fifo"
mkfifo "$SCRATCH/fifo"
"$LAMPWRIGHT" trace --device bench-drive --pattern 4 <"$SCRATCH/fifo" >"$SCRATCH/out" 2>&1 &
pid=$!
exec 3>"$SCRATCH/fifo"
echo 0 >&3
tries=0
while ! grep -q "at the battery" "$SCRATCH/out" && [ $tries -lt 100 ]; do
	sleep 0.1
	tries=$((tries + 1))
done
lw job show --json
same "held while it is stepped through" true "$(printf %s "$out" | jq .hold.held)"
kill -HUP $pid 2>/dev/null
wait $pid
exec 3>&-
lw job show --json
same "and let go when the terminal is gone" false "$(printf %s "$out" | jq .hold.held)"

# Without prompting.
lw trace --device bench-drive --pattern 4 --json
same "trace --json opens a job" 0 "$code"
same "and prints it" "open bench-safe" "$(printf %s "$out" | jq -r '[.state, .step.check] | join(" ")')"
lw trace --device bench-drive --pattern 77 --json
same "trace --json without a match is exit 1" 1 "$code"
same "with a document" true "$(printf %s "$out" | jq 'has("error")')"
lw trace --job 999
same "no such job is exit 1" 1 "$code"
lw trace --job x
same "not a number is exit 2" 2 "$code"
lw trace --job 1 --pattern 4
same "--job and --pattern is exit 2" 2 "$code"
# A lamp that only informs is nothing to trace.
LAMPWRIGHT_BOOK=$SCRATCH/shipped.db lw trace --device field-cart-drive --pattern on
same "no fault is exit 2" 2 "$code"
has "no fault: what to do" "start from a symptom" "$errout"
finish
