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

# The answer is kept before the next line is read.
lines '0\n' trace --device bench-drive --pattern four
same "left open is exit 1" 1 "$code"
has "how to go on" "lampwright trace --job 2" "$out"
lw job show 2 --json
same "the answer was kept" dead "$(printf %s "$out" | jq -r '.findings[-1].outcome')"
same "the tree's check is next" bench-volts "$(printf %s "$out" | jq -r .step.check)"
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
same "Ctrl-C: the answer is kept" dead "$(printf %s "$out" | jq -r '.findings[-1].outcome')"

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
