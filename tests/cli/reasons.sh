#!/bin/sh
# job why, leave, waits, learnt: what a job says of reasoning, on a bench
# whose causes and checks are invented. The numbers are tested with the job;
# here it is what a terminal shows of them, and what can be done about it.
. "$SRC/tests/lib.sh"
export LAMPWRIGHT_BOOK="$SCRATCH/book.db"
export LAMPWRIGHT_SCREEN=bench
lw() { run "$LAMPWRIGHT" "$@"; }
one_line() { printf '%s' "$out" | tr '\n' ' ' | tr -s ' '; }

lw pack list --json
for pack in $(printf %s "$out" | jq -r '.items[].id'); do
	"$LAMPWRIGHT" pack remove "$pack" >/dev/null
done
"$LAMPWRIGHT" pack add "$SRC/tests/unit/reasoned.yaml" >/dev/null
"$LAMPWRIGHT" rig new barrow >/dev/null
"$LAMPWRIGHT" rig set barrow device.drive=bench-barrow tools=multimeter >/dev/null

# --- the next check, and why ----------------------------------------------

lw trace --rig barrow --pattern 2 </dev/null
has "the way in says what it is for, and why" "It comes first, for: Look at the fuse (splits the two leading causes; 2 min;" "$(one_line)"
lw job answer 1 0
has "a step says why in one line" "Why this check: splits the two leading causes; 2 min; no change of power state" "$(one_line)"
same "80 columns" "" "$(printf '%s\n' "$out" | grep -E '^.{81}')"
lw job why 1
same "why is exit 0" 0 "$code"
has "the suspects" "67 % Fuse gone" "$(one_line)"
has "what no book lists stays among them" "something that is not in the book" "$out"
has "other checks, with what they tell" "wheel-watch Watch the wheel: splits the two leading causes" "$(one_line)"
lacks "the step is none of them" "  fuse-look" "$out"
has "what waits for a tool" "grip-read Read the grip, for want of: programmer" "$(one_line)"
has "and how to say what is at hand" "lampwright job say 1 tools=TOOL, TOOL" "$out"
same "80 columns" "" "$(printf '%s\n' "$out" | grep -E '^.{81}')"
lw job why
same "without a number, the job last touched" 0 "$code"
lw job why 1 --json
same "as JSON it is the job" "1 fuse-look" "$(printf %s "$out" | jq -r '[.job, .step.check] | join(" ")')"
lw job leave 1
same "no tree leads, so none is left: exit 1" 1 "$code"
has "and it says so" "no tree leads job 1" "$errout"

# --- fixes, and what does not go together ----------------------------------

lw job answer 1 burnt
same "where fixing is cheaper, nothing is asked: exit 1" 1 "$code"
has "the advice" "trying fixes in their order costs about" "$(one_line)"
same "is given once" 1 "$(one_line | grep -o "trying fixes" | grep -c .)"
has "the fixes in order, with share and time" "fuse-gone 98 % 60 min Fuse gone" "$(one_line)"
lw job why 1
has "what speaks for a cause, and how much" "Look at the fuse: burnt, speaks for it, x" "$(one_line)"
has "and against another" "Look at the fuse: burnt, speaks against it, x" "$(one_line)"
lw job pick 1 cause fuse-gone --json
same "one is taken up" "fix" "$(printf %s "$out" | jq -r .step.purpose)"
lw job show 1
lacks "while it is fixed, there is no more advice" "No further check pays" "$out"
lw job why 1 --json
same "what still has its percent is not called hardly possible" true \
	"$(printf %s "$out" | jq '[.suspects[] | select(.share >= 0.01) | .cause] - [.excluded[].cause] == [.suspects[] | select(.share >= 0.01) | .cause]')"
lw job undo 1
lw job pick 1 check wheel-watch
lw job answer 1 ready
lw job answer 1 turns --json
same "findings that do not go together" "true fuse-look" "$(printf %s "$out" | jq -r '[.conflict != null, .repeat.check] | join(" ")')"
lw job show 1
has "are said to" "The findings do not go together" "$out"
has "with the one to repeat" "lampwright job pick 1 check fuse-look" "$out"
lw job why 1
has "two at once are considered" "Two causes at once are considered too" "$(one_line)"
has "and named both" "Both at once: Fuse gone; and Relay stuck" "$(one_line)"
lw job pick 1 check wheel-watch --json
same "the check is asked once more" "wheel-watch" "$(printf %s "$out" | jq -r '.step | if .then != null then "wheel-watch" else .check end')"
lw job undo 1

# --- tools, and what waits --------------------------------------------------

lw job waits 1
same "waits" 0 "$code"
has "by tool, with minutes" "With: programmer (about 4 min, the ways in not counted)" "$(one_line)"
has "by vehicle and power state" "barrow, control supply only: about 4 min" "$(one_line)"
has "and what it would tell" "Job 1 Read the grip (grip-read), 4 min: " "$(one_line)"
lw job say 1 tools=multimeter, programmer --json
same "a tool that is here now waits for nothing" "" "$(printf %s "$out" | jq -r '.deferred[].check')"
lw job waits 1
same "then nothing waits: exit 1" 1 "$code"
lw job say 1 tools=none --json
same "none at all" grip-read "$(printf %s "$out" | jq -r '.deferred[].check')"
lw rig show barrow --json
same "it is kept with the rig" "true 0" "$(printf %s "$out" | jq -r '[.known_tools, (.tools | length)] | join(" ")')"
lw job close 1 --given-up

# --- a tree, and leaving it -------------------------------------------------

lw trace --rig barrow --symptom hums --json </dev/null
same "a tree leads" "hum-tree true Listen to the relay" "$(printf %s "$out" | jq -r '[.tree.tree, .can_leave, .step.then // .step.check] | join(" ")')"
lw job why 2
has "how to leave it is said" "lampwright job leave 2" "$out"
lw job leave 2 --json
same "it is left: what tells most comes next" "false next" "$(printf %s "$out" | jq -r '[.can_leave, .step.purpose] | join(" ")')"
lw job leave 2 now
same "a word too many is exit 2" 2 "$code"
lw job undo 2 --json
same "undo takes that back" true "$(printf %s "$out" | jq -r .can_leave)"
lw job waits 2
same "what tells next to nothing waits for no tool: exit 1" "1 " "$code $out"
out=$(printf 'why\nleave\nwhy\nwaits\nquit\n' | "$LAMPWRIGHT" trace --job 2 2>&1)
has "at the prompt, why" "What it may be" "$out"
has "leave" "It comes first, for: Look at the coil (splits" "$(one_line)"
has "and what waits" "nothing waits" "$out"
lw job close 2 --given-up

# --- what is learnt ---------------------------------------------------------

lw job learnt
same "nothing is learnt yet: exit 1" 1 "$code"
has "and what it takes" "a job counts once its fix is proved" "$errout"
# cure N: open a job and bring it to a proved end
cure() {
	"$LAMPWRIGHT" trace --rig barrow --pattern 2 </dev/null >/dev/null
	for answer in 0 burnt; do
		"$LAMPWRIGHT" job answer "$1" "$answer" >/dev/null
	done
	"$LAMPWRIGHT" job pick "$1" cause fuse-gone >/dev/null
	for answer in fixed whole ready ready gone; do
		"$LAMPWRIGHT" job answer "$1" "$answer" >/dev/null 2>&1
	done
	"$LAMPWRIGHT" job show "$1" --json | jq -r .cured
}
cured=$(cure 3)
lw job learnt --json
if [ "$cured" = true ]; then
	same "the keys" "device device_title devices empty groups has_devices shape" "$(printf %s "$out" | jq -r 'keys | join(" ")')"
	same "what was counted" "bench-barrow stands-still fuse-gone 1 1" \
		"$(printf %s "$out" | jq -r '.groups[0] | [.device, .began, .causes[0].cause, .causes[0].count, .cases] | join(" ")')"
	lw job learnt
	same "as text, exit 0" 0 "$code"
	has "with its words" "1 of 1 times Fuse gone" "$(one_line)"
	lw job learnt --device bench-sledge
	same "of another device nothing: exit 1" 1 "$code"
	lw trace --rig barrow --pattern 2 --json </dev/null
	same "later jobs say it" "the one time here" "$(printf %s "$out" | jq -r '.suspects[0].counted')"
	lw job learnt --forget --device bench-barrow
	same "begin to count anew" 0 "$code"
	has "the jobs stay" "The jobs stay as they are" "$out"
	lw job show 4 --json
	same "then nothing is counted" null "$(printf %s "$out" | jq -r '.suspects[0].counted')"
	lw job learnt --forget --json
	same "with --json what is left" 0 "$(printf %s "$out" | jq -r '.groups | length')"
else
	not_ok "a job is cured: it is not"
fi
lw job learnt --device no-such-device
same "no such device is exit 1" 1 "$code"
lw job learnt now
same "a word too many is exit 2" 2 "$code"
finish
