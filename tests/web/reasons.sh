#!/bin/sh
# What a job says of reasoning, on its pages: why a check comes next, another
# one instead, tools, fixes, what does not go together, the tree that is left,
# what waits and what was learnt. The bench is invented; no script is needed.
. "$SRC/tests/lib.sh"
. "$SRC/tests/web/serve.sh"
trap 'kill "$server" 2>/dev/null' EXIT

lw() { "$LAMPWRIGHT" --book "$book" "$@"; }
for pack in $(lw pack list --json | jq -r '.items[].id'); do
	lw pack remove "$pack" >/dev/null
done
lw pack add "$SRC/tests/unit/reasoned.yaml" >/dev/null
lw rig new barrow >/dev/null
lw rig set barrow device.drive=bench-barrow tools=multimeter >/dev/null
lw rig use barrow >/dev/null
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
}
answer() {
	does answer -d "check=$check" "$@"
}
json() {
	lw job show "${job:-1}" --json | jq -r "$1"
}

# --- the step, and another check instead ----------------------------------

get_token
post /jobs -d pattern=2 -d device=drive
same "a job is opened" "303 /jobs/1" "$status $location"
look
has "a way in says why the check it is for" "Why that check: splits the two leading causes" "$page"
answer -d answer=0
look
has "a step says why" "Why this check: splits the two leading causes; 2 min; no change of power state" "$page"
has "another check can be done instead" "Another check instead" "$page"
has "with what it tells" '<span class="row-title">Watch the wheel</span> <span class="row-detail">splits the two leading causes' "$page"
lacks "the step is not among them" '<span class="row-title">Look at the fuse</span>' "$page"
has "what waits for a tool" "waits for: <span class=\"need\">programmer</span>" "$page"
has "no tree leads" "Leave this check out" "$page"
lacks "so none can be left" "Leave the tree" "$page"
has "what no book lists is a suspect" "something that is not in the book" "$page"
lacks "and no cause of the book" "/causes/unlisted" "$page"
does pick -d check=relay-listen
same "another is picked by one tap" 303 "$status"
same "and comes next" "Listen to the relay" "$(json '.step.then')"
does pick -d check=coil-look
same "on an old page none is" 409 "$status"
look
post /jobs/1/undo -d "serial=$serial"
look
has "undone, the step is led by the engine" "Why that check" "$page"
post /jobs/1/leave -d "serial=$serial"
same "without a tree there is none to leave" 409 "$status"
has "and it says so" "No tree leads job 1" "$page"

answer -d answer=0
look
answer -d choice=skip
same "a check is left out" 303 "$status"
same "it does not come again by itself" false "$(json '[.next[].check] | contains(["fuse-look"])')"
look
post /jobs/1/undo -d "serial=$serial"
look
answer -d answer=0
look

# --- tools ------------------------------------------------------------------

has "what is at hand is ticked" 'name="tool.multimeter" value="1" checked="checked"' "$page"
has "what is not, is not" 'name="tool.programmer" value="1"/>' "$page"
post /jobs/1/tools -d tool.multimeter=1 -d tool.programmer=1 --data-urlencode 'more=lamp, <b>odd</b> tool'
same "tools are said" "303 /jobs/1?said=tools" "$status $location"
same "kept with the rig" "multimeter, programmer, lamp, <b>odd</b> tool" "$(lw rig show barrow --json | jq -r '.tools | join(", ")')"
same "and nothing waits" 0 "$(json '.deferred | length')"
look
has "they are escaped" 'name="tool.&lt;b&gt;odd&lt;/b&gt; tool"' "$page"
lacks "and no tag comes of them" "<b>odd" "$page"
post /jobs/1/tools --data-urlencode "more=$(printf '%070d' 0)"
same "a tool too long to be one" 400 "$status"
has "is shown back" 'name="more" type="text" value="0000' "$page"
post /jobs/1/tools -d more=
same "none at all" none "$(lw rig show barrow --json | jq -r '.facts[] | select(.key == "tools") | .value')"
post /jobs/1/tools -d tool.multimeter=1

# --- fixes, and what does not go together -----------------------------------

look
answer -d choice=burnt
look
has "where fixing is cheaper, it says so" "trying fixes in their order costs about" "$page"
has "with the fixes, how likely and how long" '<span class="row-title">Fuse gone</span> <span class="percent">98 %, 60 min</span>' "$page"
has "checks are there all the same" "Or choose a check" "$page"
does suppose -d cause=fuse-gone
same "one tap takes one up" 303 "$status"
same "and its fix comes" fix "$(json .step.purpose)"
look
post /jobs/1/undo -d "serial=$serial"
look
does pick -d check=wheel-watch
look
answer -d choice=ready
look
answer -d choice=turns
look
has "findings that do not go together" "<summary>The findings do not go together</summary>" "$page"
has "and the one to repeat" "Check once more: Look at the fuse" "$page"
has "two causes at once" "Two causes at once are considered too" "$page"
has "each by its own page" '<li><a href="/causes/fuse-gone">Fuse gone</a></li>' "$page"
has "what spoke for it" "Look at the fuse: burnt, speaks for it, x" "$page"
again=$(printf '%s' "$page" | tr -d '\n' | sed -n 's/.*<form method="post" action="\/jobs\/1\/pick" data-once="yes"><input[^>]*><input type="hidden" name="serial" value="\([0-9]*\)"\/><input type="hidden" name="check" value="fuse-look"\/>.*/\1/p')
same "its button is for this very step" "$serial" "$again"
does pick -d check=wheel-watch
same "it is asked again" 303 "$status"
look
post /jobs/1/undo -d "serial=$serial"

# --- what waits ---------------------------------------------------------------

ask "$base/jobs/1/waits"
same "what waits" 200 "$status"
has "by tool" "With: programmer" "$page"
has "vehicle and power state" "control supply only <span class=\"row-detail\">about 4 min" "$page"
has "the check" '<a href="/checks/grip-read">Read the grip</a>' "$page"
ask "$base/waits"
has "of all jobs" "With: programmer" "$page"
ask "$base/rigs/barrow/waits"
has "of a rig" "With: programmer" "$page"

# --- a tree ---------------------------------------------------------------------

post /jobs -d symptom=hums
same "a job with a tree" "303 /jobs/2" "$status $location"
job=2
look 2
has "it leads, and may be left" "Leave the tree" "$page"
does leave
same "it is left" "303 /jobs/2?said=left" "$status $location"
same "and what tells most comes" next "$(json .step.purpose)"
look 2
does leave
same "once" 409 "$status"
ask "$base/jobs/2/leave"
same "the form's address is the job's" "303 /jobs/2" "$status $location"

# --- settings to read or set ----------------------------------------------------

ask "$base/rigs/barrow/settings"
has "a setting can be wanted" 'action="/rigs/barrow/want"' "$page"
post /rigs/barrow/want -d device=drive --data-urlencode 'setting=<b>creep</b> speed' -d value=3 --data-urlencode 'why=it "jumps"' -d job=
same "it is" "303 /rigs/barrow/settings?said=wish" "$status $location"
post /rigs/barrow/want -d device=drive -d setting=odometer -d value= -d job=
ask "$base/rigs/barrow/settings"
has "it is on the list, escaped" "<strong>drive, &lt;b&gt;creep&lt;/b&gt; speed</strong>: set it to <span class=\"value\">3</span>" "$page"
lacks "and no tag comes of it" "<b>creep" "$page"
has "one is only to be read" "<strong>drive, odometer</strong>: read it" "$page"
wish=$(printf '%s' "$page" | sed -n 's/.*settings?wish=\([0-9]*\)#.*/\1/p' | head -n 1)
ask "$base/rigs/barrow/settings?wish=$wish"
has "what is to be written down stands there" 'name="became" type="text" value="3"' "$page"
ask "$base/rigs/barrow/settings?wish=99x"
same "no such wish is no trouble" 200 "$status"
ask "$base/waits"
has "it stands with what waits" "Settings, while the tool for them is here" "$page"
has "what is to be read first" "drive, odometer" "$(printf '%s' "$page" | grep '<strong>drive, ' | head -n 1)"
post /rigs/barrow/want -d device=motor -d setting=creep -d value=3 -d job=
same "no such device" 404 "$status"
has "what was typed is there still" 'id="want-setting" name="setting" type="text" value="creep"' "$page"
has "and the form is open" '<details class="card" open="open">' "$page"
post /rigs/barrow/unwant -d "wish=$wish" -d back=/waits
same "one is taken off" "303 /waits?said=wish-away" "$status $location"
post /rigs/barrow/unwant -d "wish=$wish" -d back=//evil.example/
same "once more, and nowhere else" "303 /rigs/barrow/settings?said=wish-away" "$status $location"
post /rigs/barrow/settings -d device=drive -d setting=odometer -d was= -d became=212 -d why= -d job=
ask "$base/rigs/barrow/settings"
lacks "what is written down leaves the list" ": read it" "$page"

# --- what was learnt ------------------------------------------------------------

ask "$base/learnt"
same "nothing was learnt yet" 200 "$status"
has "and it says so" "Nothing is counted yet" "$page"
lacks "nothing can be forgotten" "/learnt/forget" "$page"
job=1
look
does suppose -d cause=fuse-gone
tries=0
while [ "$(json .cured)" != true ] && [ $tries -lt 9 ]; do
	tries=$((tries + 1))
	look
	case $check in
	way-isolated) answer -d answer=0 ;;
	way-*) answer -d choice=ready ;;
	fuse-look) answer -d choice=whole ;;
	=fix) answer -d choice=fixed ;;
	=again) answer -d choice=gone ;;
	*) break ;;
	esac
done
same "a job is cured" true "$(json .cured)"
ask "$base/learnt"
has "it counts" "<strong>1 of 1 times</strong>" "$page"
has "for its cause" '<a href="/causes/fuse-gone">Fuse gone</a>' "$page"
has "by what it began with" '<a href="/faults/stands-still">Stands still</a>' "$page"
ask "$base/learnt?device=bench-barrow"
has "on its device" "<strong>1 of 1 times</strong>" "$page"
ask "$base/learnt?device=bench-sledge"
same "on another" 200 "$status"
has "nothing" "Nothing is counted yet" "$page"
ask "$base/learnt?device=nothing"
same "no such device" 404 "$status"
post /jobs -d pattern=2 -d device=drive
look 3
has "later jobs say it" "the one time here" "$page"
post /learnt/forget -d device=
same "nothing is forgotten by one press" 400 "$status"
has "it asks for a tick" "tick that the counts are to go" "$page"
has "and is open for it" '<details class="card noprint" open="open">' "$page"
post /learnt/forget -d device=bench-barrow -d sure=1
same "with it, it is" "303 /learnt?device=bench-barrow&said=forgotten" "$status $location"
ask "$base$location"
has "and said" "Counting begins anew. The jobs stay." "$page"
look 3
lacks "later jobs say nothing of it" "time here" "$page"

stop_server
finish
