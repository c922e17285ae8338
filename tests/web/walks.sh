#!/bin/sh
# Walk-throughs in a browser: found from the first page and a rig's, begun for
# the rig in hand, gone through with what is wrong, put aside and passed. The
# bench is invented; no script is needed.
. "$SRC/tests/lib.sh"
. "$SRC/tests/web/serve.sh"
trap 'kill "$server" 2>/dev/null' EXIT

lw() { "$LAMPWRIGHT" --book "$book" "$@"; }
for pack in $(lw pack list --json | jq -r '.items[].id'); do
	lw pack remove "$pack" >/dev/null
done
start_server

# look [JOB]: its page, and the serial and the check of its step
look() {
	ask "$base/jobs/${1:-1}"
	serial=$(printf '%s' "$page" | sed -n 's/.*name="serial" value="\([0-9]*\)".*/\1/p' | head -n 1)
	check=$(printf '%s' "$page" | sed -n 's/.*name="check" value="\([^"]*\)".*/\1/p' | head -n 1)
}
# does WHAT FIELD...: to the job, at the step that look showed last
does() {
	what=$1
	shift
	post "/jobs/${job:-1}/$what" -d "serial=$serial" "$@"
	look "${job:-1}"
}
answer() {
	does answer -d "check=$check" "$@"
}

# --- found ------------------------------------------------------------------

ask "$base/walks"
same "a book without any: a page all the same" 200 "$status"
has "which says so" "The book has none." "$page"
lw pack add "$SRC/tests/unit/through.yaml" >/dev/null
ask "$base/"
has "the first page leads there" 'href="/walks"' "$page"
ask "$base/walks"
same "they are listed" 200 "$status"
has "by title" '<a href="/trees/round">Once round</a>' "$page"
has "with what one is for" "Before it is switched on for the first time." "$page"
has "and how many steps it has" "4 steps" "$page"
has "without a rig every step is asked" "No rig in hand" "$page"
lw rig new cart48 >/dev/null
lw rig set cart48 motor=series >/dev/null
lw rig new trike36 >/dev/null
lw rig set trike36 motor=separately-excited >/dev/null
lw rig use cart48 >/dev/null
ask "$base/rigs/trike36"
has "a rig's page leads there" 'href="/walks?rig=trike36"' "$page"
ask "$base/walks?rig=trike36"
has "for that rig" '<a href="/rigs/trike36"><strong>trike36</strong></a>' "$page"
has "which the button says" 'name="rig" value="trike36"' "$page"
ask "$base/walks?rig=nobody"
same "no such rig" 404 "$status"
ask "$base/walks"
has "the rig in hand" '<a href="/rigs/cart48"><strong>cart48</strong></a>' "$page"
has "its steps" "3 steps, 1 more for other vehicles" "$page"
has "what is not for it" "None of its steps is for this vehicle." "$page"
has "the button" "Begin: Once round" "$page"

ask "$base/trees/round"
has "its own page is a list" "walk-through" "$page"
has "with what it is for" "Before it is switched on for the first time." "$page"
has "the steps" '<a href="/checks/field">Field winding</a>' "$page"
has "with the rigs that one is for" "Only where kind of motor: separately excited" "$page"
has "and what can be said then" "It may be driven, slowly." "$page"
lacks "no branches" 'class="branches"' "$page"
ask "$base/trees"
has "all trees lead to them" 'href="/walks"' "$page"

# --- gone through -----------------------------------------------------------

get_token
post /jobs -d rig=cart48 -d tree=round
same "it is begun" "303 /jobs/1" "$status $location"
look
has "how far it is" "Once round</a>: step 1 of 3" "$page"
has "the way in first" "Prove it dead" "$page"
lacks "nothing is suspected" "What it may be" "$page"
lacks "nor another check offered" "Another check instead" "$page"
answer -d answer=0.2
answer -d choice=wrong
has "what is wrong" "Not as it should be: Pack polarity" "$page"
has "what it gave" "<strong>the wrong way round</strong>" "$page"
has "what it says" "Connect nothing." "$page"
has "what to do" "Put it right, then answer again." "$page"
lacks "dead already" "Make it safe first." "$page"
has "what it may be" "<summary>Leads crossed" "$page"
has "the fix" "<strong>Fix:</strong> Swap the leads." "$page"
has "the proof" "<strong>Proof:</strong> It reads right." "$page"
first=${page%%Lug loose*}
has "the likeliest first" "Leads crossed" "$first"
has "it is asked again" "Which way round is it?" "$page"
post /jobs/1/suppose -d "serial=$serial" -d cause=crossed
same "it looks for no cause" 409 "$status"
look
answer -d choice=right
has "then the next" "step 2 of 3" "$page"
lacks "and it is no longer wrong" "Not as it should be" "$page"
answer -d choice=cannot -d 'words=the pedal is off'
has "put aside" "step 3 of 3, 1 put aside" "$page"
answer -d choice=springs
has "on the way in it is asked all the same" "Switch on with the wheels up" "$page"
answer -d choice=ready
answer -d choice=backwards
has "with power on: safe first" "Make it safe first. Put it right, then answer again." "$page"
has "with a button" "Make it safe now" "$page"
answer -d choice=forwards
has "a step that passed on the way in counts" "It may be driven, slowly." "$page"
does undo
has "taken back" "step 3 of 3" "$page"

# --- put aside --------------------------------------------------------------

job=2
post /jobs -d rig=cart48 -d tree=short-round
same "another" "303 /jobs/2" "$status $location"
look 2
answer -d answer=0.2
answer -d choice=right
answer -d choice=cannot -d 'words=the pedal is off'
has "it waits" "This job waits" "$page"
has "and says what was not done" "Not done: Throttle at rest. 1 of 2 steps passed" "$page"
lacks "not that all is well" "It looks well." "$page"
has "it can be taken up" "Take up what was put aside" "$page"
lacks "no check is offered instead" "Choose a check" "$page"
ask "$base/jobs/2/report"
has "the report says how far it is" "1 of 2 steps passed" "$page"
has "and what was not done" "Not done: Throttle at rest" "$page"
lacks "not that all is well" "It looks well." "$page"
look 2
does close -d words=later -d end=closed
has "closed, it says what was not done" 'Not done: <a href="/checks/throttle-rest">Throttle at rest</a>' "$page"
lacks "and not that all is well" "It looks well." "$page"
does reopen
does reopen
answer -d answer=0.2
answer -d choice=springs
has "every step passed" "Every step passed" "$page"
has "what can be said" "It looks well." "$page"
does close -d words= -d end=closed
has "closed" "2 of 2 steps passed" "$page"
has "with what can be said" "It looks well." "$page"
ask "$base/jobs/2/report"
has "in the report, too" "It looks well." "$page"
lacks "which asks for no cause" "Still possible" "$page"
ask "$base/jobs"
same "the list of jobs" 200 "$status"

# --- it stops ---------------------------------------------------------------

job=3
post /jobs -d tree=short-round
look 3
answer -d answer=0.2
answer -d choice=hot
has "a stop" "Stop here" "$page"
post /jobs -d symptom=stands -d tree=round
same "none together with a symptom" 400 "$status"
has "and why" "is a walk-through" "$page"

stop_server
finish
