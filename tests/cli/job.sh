#!/bin/sh
# job: every step without a terminal.
. "$SRC/tests/lib.sh"
export LAMPWRIGHT_BOOK="$SCRATCH/book.db"
lw() { run "$LAMPWRIGHT" "$@"; }

lw pack add "$SRC/tests/cli/bench.yaml"
lw job list
same "no jobs is exit 1" 1 "$code"
lw job list --json
same "no jobs: a whole document" "[]" "$(printf %s "$out" | jq -c .jobs)"
lw job show
same "no last job is exit 1" 1 "$code"

lw trace --device bench-drive --pattern 4 --json
same "a job is opened" 1 "$(printf %s "$out" | jq .job)"
lw job show 1 --json
same "the keys" "can_undo cause closed device device_title ending fault findings has_put_aside is_found job lamp likely make_safe notes open patterns power power_title put_aside say serial shape state state_title step stopped suspects symptom title tree undecided" \
	"$(printf %s "$out" | jq -r 'keys | join(" ")')"
same "the keys of the step" "ask black cautions check do expect gate meter minutes mistake needs outcomes points power power_title reading reason red serial source then title unit" \
	"$(printf %s "$out" | jq -r '.step | keys | join(" ")')"
same "suspects add up to one" true "$(printf %s "$out" | jq '[.suspects[].share] | add | . > 0.999999 and . < 1.000001')"
serial=$(printf %s "$out" | jq .serial)

lw job answer 1 -0.4 --step "$serial"
same "a negative reading needs no --" 0 "$code"
has "the next step is shown" "Bench battery volts" "$out"
lw job answer 1 31 --step "$serial"
same "a stale step is exit 1" 1 "$code"
has "and the current one is shown" "Bench battery volts" "$out"
lw job show 1 --json
same "a stale answer changes nothing" bench-volts "$(printf %s "$out" | jq -r .step.check)"
same "the power state is proved" isolated "$(printf %s "$out" | jq -r .power)"
lw job answer 1 rhubarb
same "no answer is exit 2" 2 "$code"
has "and what is one is listed" "sound" "$errout"
lw job answer 1 3,200
same "thousands are exit 2" 2 "$code"
lw job answer 1
same "a missing answer is exit 2" 2 "$code"
lw job answer 1 12 kg
same "a foreign unit is exit 2" 2 "$code"
lw job answer 1 45.2 V
same "a unit may stand apart" 0 "$code"
lw job answer 1 cannot
same "cannot is kept, and undecided is exit 1" 1 "$code"
lw job waits 1
has "what waits" "Bench fuse" "$out"
has "and its tool" "torch" "$out"
lw job reopen 1 --json
same "what was put aside is taken up" bench-fuse-look "$(printf %s "$out" | jq -r .step.check)"
lw job answer 1 2 --json
same "a choice by its number" "found bench-fuse" "$(printf %s "$out" | jq -r '[.state, .cause.cause] | join(" ")')"
lw job answer 1 1
same "an answer to no step is exit 1" 1 "$code"
lw job undo 1 --json
same "undo takes it back, and the power state is proved again" "open unknown bench-safe bench-fuse-look" \
	"$(printf %s "$out" | jq -r '[.state, .power, .step.check] | join(" ")') $(printf %s "$out" | jq -r 'if .step.then == "Bench fuse" then "bench-fuse-look" else .step.then end')"
lw job answer 1 dead
lw job answer 1 blown
same "by its word" 0 "$code"
lw job note 1 fitted a new fuse
same "a note" 0 "$code"
lw job report 1
same "report" 0 "$code"
for part in "Bench drive (bench-drive)" "Bench voltage too low (bench-low)" "45.2 V" "expected 40 V to 60 V" \
	"Cause: Bench fuse blown" "Find the short and fit a new fuse." "It runs for an hour." "fitted a new fuse"; do
	has "the report has $part" "$part" "$(printf '%s\n' "$out" | tr '\n' ' ' | tr -s ' ')"
done
same "80 columns" "" "$(printf '%s\n' "$out" | awk 'length($0) > 80')"
lw job close 1 --why "new fuse, road tested"
same "close" 0 "$code"
has "with its words" "road tested" "$out"
lw job close 1
same "closed twice is exit 1" 1 "$code"
lw job answer 1 1
same "an answer to a closed job is exit 1" 1 "$code"
lw job list --json
same "list" "1 closed" "$(printf %s "$out" | jq -r '.jobs[0] | [.job, .state] | join(" ")')"
lw job list
has "list as text" "closed" "$out"
lw job reopen 1
same "reopen" 0 "$code"

lw job show 99
same "no such job is exit 1" 1 "$code"
lw job show 99 --json
same "with --json a document" true "$(printf %s "$out" | jq 'has("error") and .shape == 1')"
lw job show x
same "not a number is exit 2" 2 "$code"
lw job show -1
same "a negative number is exit 2" 2 "$code"
lw job show 99999999999999999999
same "a number out of range is exit 2" 2 "$code"
lw job show 1 2
same "a word too many is exit 2" 2 "$code"
lw job undo
same "undo needs a number" 2 "$code"
lw job answer 1 1 --step x
same "a serial that is none is exit 2" 2 "$code"
lw job sohw
same "an unknown word is exit 2" 2 "$code"
has "and the nearest is named" "show" "$errout"

# Undo to the beginning, and no further.
lw trace --device bench-drive --pattern 4 --json
lw job undo 2
same "nothing to take back is exit 1" 1 "$code"

# Two at once: one of the answers to a step counts, and no more.
"$LAMPWRIGHT" job answer 2 0 --step "$serial" >/dev/null 2>&1 &
one=$!
"$LAMPWRIGHT" job answer 2 0 --step "$serial" >/dev/null 2>&1 &
other=$!
a=0
b=0
wait $one || a=$?
wait $other || b=$?
same "two answers to one step: one is refused" 1 $((a + b))
lw job show 2 --json
same "and one is kept" 1 "$(printf %s "$out" | jq '[.findings[] | select(.kind == "check")] | length')"
# An end that was reached past a check that was put aside claims nothing, and
# an end that is not proved dead says so before any fix.
lw trace --device bench-drive --pattern 4 --json
job=$(printf %s "$out" | jq .job)
for _ in 1 2 3 4 5 6; do
	lw job answer "$job" skip
done
lw job show "$job" --json
same "all put aside is undecided" undecided "$(printf %s "$out" | jq -r .state)"
same "and not proved dead" true "$(printf %s "$out" | jq .make_safe)"
lw job show "$job"
has "which is said" "not proved dead now" "$out"
# No cause at the end is exit 1, as for trace; a step to do or a cause is 0.
same "undecided is exit 1" 1 "$code"
lw trace --device bench-drive --pattern 4 --json
job=$(printf %s "$out" | jq .job)
lw job show "$job"
same "a step to do is exit 0" 0 "$code"
lw job answer "$job" dead
same "an answer with a step after it is exit 0" 0 "$code"
finish
