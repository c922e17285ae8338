#!/bin/sh
# job: every step without a terminal.
. "$SRC/tests/lib.sh"
export LAMPWRIGHT_BOOK="$SCRATCH/book.db"
lw() { run "$LAMPWRIGHT" "$@"; }

lw pack add "$SRC/tests/cli/bench.yaml"
# The ways into power states are the bench's own, not those that ship.
lw pack remove safety
lw job list
same "no jobs is exit 1" 1 "$code"
lw job list --json
same "no jobs: a whole document" "[]" "$(printf %s "$out" | jq -c .jobs)"
lw job show
same "no last job is exit 1" 1 "$code"

lw trace --device bench-drive --pattern 4 --json
same "a job is opened" 1 "$(printf %s "$out" | jq .job)"
lw job show 1 --json
same "the keys" "advice answered can_choose can_leave can_undo cause checks closed conflict conflict_bits created created_time cured deferred device device_title ending ends_with_advice excluded excluded_count fault findings fix_first fixes fixing given_up has_deferred has_fixes has_next has_other_suspects has_pairs has_put_aside has_rig has_tools hold is_found is_passed job known_tools lamp last last_time likely little_count make_safe more_deferred next notes open over patterns power power_title proving put_aside records remarks repeat rig rig_title safe_first say serial settings shape state state_title step stopped suspects symptom title tools tree undecided waiting waits_for walk worked worked_s" \
	"$(printf %s "$out" | jq -r 'keys | join(" ")')"
same "the keys of the step" "accuracy ask asks black cautions check compulsory do expect figures gate has_brief has_standing into into_title is_again is_fix is_next is_pick is_proof is_safe is_tree lacks meter minutes missing mistake needs outcomes part parts points power power_title purpose reading reason red serial source then title unit usual_accuracy why" \
	"$(printf %s "$out" | jq -r '.step | keys | join(" ")')"
same "suspects add up to one" true "$(printf %s "$out" | jq '[.suspects[].share] | add | . > 0.999999 and . < 1.000001')"
serial=$(printf %s "$out" | jq .serial)

check=$(printf %s "$out" | jq -r .step.check)
lw job answer 1 -0.4 --step "$serial:$check"
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
lw job answer 1 cannot the torch is flat
same "cannot is kept, and waiting is exit 1" 1 "$code"
has "with what is missing" "Bench fuse: the torch is flat" "$out"
lw job show 1
same "waiting is exit 1 for show, too" 1 "$code"
lw job waits 1
has "what waits" "Bench fuse" "$out"
has "and its tool" "With: torch" "$out"
lw job waits --json
same "of all jobs" "1 bench-fuse-look torch" "$(printf %s "$out" | jq -r '[.jobs[0].job, .jobs[0].put_aside[0].check, .tools[0].tool] | join(" ")')"
lw job waits 1 --rig x
same "a job and a rig is exit 2" 2 "$code"
lw job reopen 1 --json
same "what was put aside is taken up" bench-fuse-look "$(printf %s "$out" | jq -r .step.check)"
lw job answer 1 2 --json
same "a choice by its number" "found bench-fuse" "$(printf %s "$out" | jq -r '[.state, .cause.cause] | join(" ")')"
lw job show 1
same "found is exit 0" 0 "$code"
lw job undo 1 --json
same "undo takes it back, and the power state is proved again" "open unknown bench-safe Bench fuse" \
	"$(printf %s "$out" | jq -r '[.state, .power, .step.check, .step.then] | join(" ")')"
lw job answer 1 dead
lw job answer 1 blown
same "by its word" 0 "$code"
lw job note 1 fitted a new fuse
same "a note" 0 "$code"
lw job report 1
same "report" 0 "$code"
for part in "Time spent: under a minute" "Bench drive (bench-drive)" "Bench voltage too low (bench-low)" "45.2 V" "expected 40 V to 60 V" \
	"Cause: Bench fuse blown" "Find the short and fit a new fuse." "It runs for an hour." "fitted a new fuse"; do
	has "the report has $part" "$part" "$(printf '%s\n' "$out" | tr '\n' ' ' | tr -s ' ')"
done
same "80 columns" "" "$(printf '%s\n' "$out" | grep -E '^.{81}')"
lw job answer 1 fixed
same "the fix is done, exit 0" 0 "$code"
has "and its proof comes" "After the fix it has to be as expected" "$out"
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
for step in 1: :bench-volts 1x:bench-volts 1:bench:volts; do
	lw job answer 1 1 --step "$step"
	same "--step $step" "$([ "$step" = 1:bench:volts ] && echo 1 || echo 2)" "$code"
done
lw job show 1 --json
shown=$(printf %s "$out" | jq .serial)
title=$(printf %s "$out" | jq -r .step.title)
findings=$(printf %s "$out" | jq '.findings | length')
lw job answer 1 31 --step "$shown:no-such-check"
same "a step of that serial with another check is exit 1" 1 "$code"
has "and the current one is shown" "$title" "$out"
lw job show 1 --json
same "and nothing is kept" "$findings" "$(printf %s "$out" | jq '.findings | length')"
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
same "all put aside waits" waiting "$(printf %s "$out" | jq -r .state)"
same "and not proved dead" true "$(printf %s "$out" | jq .make_safe)"
lw job show "$job"
has "which is said" "not proved dead now" "$(flat "$out")"
has "with the way back" "    lampwright job safe $job" "$out"
# Nothing to do at the end is exit 1; a step to do or a cause is 0.
same "and it is exit 1" 1 "$code"
lw job safe "$job" --json
same "the way back is the step" "bench-safe safe" "$(printf %s "$out" | jq -r '[.step.check, .step.purpose] | join(" ")')"
lw trace --device bench-drive --pattern 4 --json
job=$(printf %s "$out" | jq .job)
lw job show "$job"
same "a step to do is exit 0" 0 "$code"
lw job answer "$job" dead
same "an answer with a step after it is exit 0" 0 "$code"
lw job safe "$job"
same "no way back where it is proved dead: exit 1" 1 "$code"

# Pausing, choosing, giving up.
lw job wait "$job"
same "wait needs words: exit 2" 2 "$code"
lw job wait "$job" the spare fuse on Friday
same "wait" 0 "$code"
has "wait says what for" "Waits for: the spare fuse on Friday" "$out"
lw job show "$job"
same "waiting is exit 1" 1 "$code"
lw job answer "$job" 45
same "no answer while it waits: exit 1" 1 "$code"
lw job resume "$job" --json
same "resume goes on, from proving it dead" "open bench-safe" "$(printf %s "$out" | jq -r '[.state, .step.check] | join(" ")')"
lw job pick "$job" check bench-fuse-look --json
same "pick a check" "pick Bench fuse" "$(printf %s "$out" | jq -r '[.step.purpose, .step.then] | join(" ")')"
lw job pick "$job" cause bench-flat --json
same "pick a cause" "found bench-flat" "$(printf %s "$out" | jq -r '[.state, .cause.cause] | join(" ")')"
lw job pick "$job" bench-volts
same "an id alone will do" 0 "$code"
lw job pick "$job"
same "nothing picked is exit 2" 2 "$code"
lw job pick "$job" check
same "a kind without an id is exit 2" 2 "$code"
lw job pick "$job" check bench-flat
same "a cause is no check: exit 1" 1 "$code"
lw job pick "$job" nothing-such
same "neither is exit 1" 1 "$code"
lw job pick 999 check bench-volts
same "no such job is exit 1" 1 "$code"
lw job undo "$job" now
same "a word too many is exit 2" 2 "$code"
lw job close "$job" --given-up --why "no parts to be had"
same "given up" 0 "$code"
has "and said" "Given up" "$out"
lw job show "$job" --json
same "given up is exit 1" "1 given-up" "$code $(printf %s "$out" | jq -r .state)"

# Answers that say more.
lw trace --device bench-drive --pattern 4 --json
job=$(printf %s "$out" | jq .job)
lw job answer "$job" dead --words "after two minutes"
lw job answer "$job" -45
same "a doubtful reading is exit 2" 2 "$code"
has "and how to be sure is said" "lampwright job answer $job -45 --sure" "$errout"
lw job answer "$job" -45 --sure
same "sure" 0 "$code"
lw job show "$job" --json
same "is kept with its sign" "differs -45 V" "$(printf %s "$out" | jq -r '.findings[-1] | [.kind, .reading] | join(" ")')"
same "words are kept" "after two minutes" "$(printf %s "$out" | jq -r '[.findings[] | select(.kind == "check")][0].words')"
lw job answer "$job" differs --words "two fuses side by side"
lw job show "$job" --json
same "differs keeps how" "differs two fuses side by side" "$(printf %s "$out" | jq -r '.findings[-1] | [.kind, .words] | join(" ")')"

# A number that may have been meant for the step before a break.
lw trace --device bench-drive --pattern 4 --json
job=$(printf %s "$out" | jq .job)
lw job answer "$job" 0
lw job answer "$job" 45
# Findings refuse to be changed, so the trigger goes first.
sqlite3 "$LAMPWRIGHT_BOOK" "drop trigger findings_stay;
	update findings set time_s = time_s - 1000 where job = $job;
	update holds set last_s = last_s - 1000, since_s = since_s - 1000;"
lw job answer "$job" 2
same "after a break a number is refused: exit 1" 1 "$code"
has "and why" "there was a break" "$errout"
has "with the step that comes now" "Make the bench dead" "$out"
lw job show "$job" --json
same "and was no answer to anything" "open unknown bench-safe" "$(printf %s "$out" | jq -r '[.state, .power, .step.check] | join(" ")')"
lw job answer "$job" 2 --json
same "now it is the reading" "isolated bench-fuse-look" "$(printf %s "$out" | jq -r '[.power, .step.check] | join(" ")')"

# One screen holds the vehicle.
lw trace --device bench-drive --pattern 4 --json
job=$(printf %s "$out" | jq .job)
serial=$(printf %s "$out" | jq .serial)
on() {
	screen=$1
	shift
	run env LAMPWRIGHT_SCREEN="$screen" "$LAMPWRIGHT" "$@"
}
on shed job answer "$job" 0
same "the first to answer holds it" 0 "$code"
on door job show "$job"
same "another may look" 0 "$code"
has "and is told who holds it" "shed has the vehicle in hand" "$out"
has "and how to ask" "    lampwright job ask $job" "$out"
on door job show "$job" --json
same "as JSON" "shed true false" "$(printf %s "$out" | jq -r '[.hold.name, .hold.others, .hold.may_act] | map(tostring) | join(" ")')"
on door job answer "$job" 45
same "its answer is refused: exit 1" 1 "$code"
has "with who" "shed has the vehicle" "$errout"
for act in undo safe "wait x" "pick bench-volts" reopen close; do
	# shellcheck disable=SC2086 # several words
	set -- $act
	verb=$1
	shift
	on door job "$verb" "$job" "$@"
	same "so is $verb" 1 "$code"
done
on door job hand "$job"
same "what is not held cannot be handed over" 1 "$code"
on door job take "$job"
same "nor taken without asking" 1 "$code"
on shed job ask "$job"
same "the holder has nothing to ask for" 1 "$code"
on door job ask "$job"
same "ask" 0 "$code"
on door job take "$job"
same "not at once" 1 "$code"
on shed job show "$job"
has "the holder is told" "door asks for the vehicle" "$out"
on shed job keep "$job"
same "keep" 0 "$code"
on shed job show "$job"
lacks "the question is gone" "asks for the vehicle" "$out"
on door job ask "$job"
on shed job hand "$job"
same "hand" 0 "$code"
on door job show "$job" --json
same "now it is theirs, and proved again" "true bench-safe" "$(printf %s "$out" | jq -r '[.hold.mine, .step.check] | map(tostring) | join(" ")')"
on door job release "$job"
on shed job take "$job"
same "what is let go may be taken" 0 "$code"
on door job ask "$job"
sqlite3 "$LAMPWRIGHT_BOOK" "update holds set asked_s = asked_s - 61;"
on door job show "$job"
has "a minute without a word: it may be taken" "It may be taken now:" "$out"
on door job take "$job"
same "and is" 0 "$code"
on "$(printf '%070d' 1)" job undo "$job"
same "a screen with too long a name is exit 2" 2 "$code"
has "a stale serial stays stale for the holder" "conflict" "$(on door job answer "$job" 0 --step "$serial"; [ "$code" = 1 ] && echo conflict)"

# Of one vehicle.
lw rig new cart48
for other in 1 2; do
	lw trace --rig cart48 --device bench-drive --pattern 4 --json
	eval "job$other=$(printf %s "$out" | jq .job)"
done
# shellcheck disable=SC2154 # set above
on shed job answer "$job1" 0
# shellcheck disable=SC2154 # set above
on door job show "$job2"
has "held for another job of the vehicle" "for job $job1. You look on." "$(flat "$out")"
on door job answer "$job2" 0
same "which is refused here" 1 "$code"
on shed job release "$job1"
lw rig new trike36
lw job list --rig trike36
same "no jobs on a vehicle is exit 1" 1 "$code"
lw trace --rig trike36 --device bench-drive --pattern 4 --json
job=$(printf %s "$out" | jq .job)
lw job list --rig trike36 --json
same "its jobs" "1 $job" "$(printf %s "$out" | jq -r '[(.jobs | length), .jobs[0].job] | join(" ")')"
lw job list --rig cart49
same "no such vehicle is exit 1" 1 "$code"
lw job waits --rig trike36
same "nothing waits there: exit 1" 1 "$code"
lw rig remove trike36
lw job show "$job"
same "a job outlives its vehicle" 0 "$code"
has "and says which" "trike36" "$out"

# A whole job of the packs that ship, on at most two sheets of 60 lines.
export LAMPWRIGHT_BOOK="$SCRATCH/shipped.db"
lw rig new cart48
lw rig set cart48 device.drive=field-cart-drive motor=series pack.full=58.8V
lw trace --rig cart48 --pattern 5 --json
steps=0
while [ $steps -lt 40 ]; do
	lw job show 1 --json
	answer=$(printf %s "$out" | jq -r 'if .step == null then "" elif .step.reading then
		([.step.outcomes[] | select(.expected)][0].outcome) else ([.step.outcomes[] | select(.expected)][0].outcome // .step.outcomes[0].outcome) end')
	[ -n "$answer" ] || break
	lw job answer 1 "$answer" --json
	steps=$((steps + 1))
done
for n in 1 2 3 4 5 6; do
	lw setting change cart48 drive "setting $n" "$n" 7 --job 1 --why "to see whether it helps"
	lw rig log cart48 drive "fault.$n=3" --job 1
done
lw job report 1
same "a report of a whole job" 0 "$code"
same "is at most two sheets" "" "$(printf '%s\n' "$out" | awk 'NR == 121')"
same "in 80 columns" "" "$(printf '%s\n' "$out" | awk 'length($0) > 80')"
for part in "What was wrong" "What was done" "expected" "Hardly possible:" "Time spent:" "Setting:" "Said by drive:"; do
	has "with $part" "$part" "$out"
done
finish
