#!/bin/sh
# A job over HTTP, on a small bench of its own: answers and what is refused,
# two screens at one vehicle, pausing, choosing, the fix and its proof.
. "$SRC/tests/lib.sh"
. "$SRC/tests/web/serve.sh"
trap 'kill "$server" 2>/dev/null' EXIT

"$LAMPWRIGHT" --book "$book" pack add "$SRC/tests/cli/bench.yaml" >/dev/null
# The ways into power states are the bench's own, not those that ship.
"$LAMPWRIGHT" --book "$book" pack remove safety >/dev/null

one=$SCRATCH/jar
two=$SCRATCH/jar-two
three=$SCRATCH/jar-three

# as JAR COMMAND...: as another screen
as() {
	jar=$1
	shift
	"$@"
	jar=$one
}
# look [JOB]: its page, and the serial and the check of its step
look() {
	ask "$base/jobs/${1:-1}"
	serial=$(printf '%s' "$page" | sed -n 's/.*name="serial" value="\([0-9]*\)".*/\1/p' | head -n 1)
	check=$(printf '%s' "$page" | sed -n 's/.*name="check" value="\([^"]*\)".*/\1/p' | head -n 1)
}
# answer FIELD...: to the step that look showed last
answer() {
	post "/jobs/${job:-1}/answer" -d "serial=$serial" -d "check=$check" "$@"
}
job_json() {
	"$LAMPWRIGHT" --book "$book" job show 1 --json
}

start_server

# --- a screen -------------------------------------------------------------

ask "$base/"
cookie=$(printf '%s\n' "$headers" | sed -n 's/^Set-Cookie: //p')
id=$(printf '%s' "$cookie" | sed -n 's/^screen=\([0-9a-f]*\);.*/\1/p')
same "a screen has 128 bits" 32 "${#id}"
for part in "Path=/" HttpOnly SameSite=Strict Max-Age=; do
	has "its cookie: $part" "; $part" "$cookie"
done
lacks "and is for every host alike" "Domain" "$cookie"
ask "$base/jobs"
lacks "it is given once" "Set-Cookie" "$headers"
ask -b "$SCRATCH/none" "$base/static/app.css"
as "$SCRATCH/jar-asset" ask "$base/static/app.css"
lacks "not with what may be kept" "Set-Cookie" "$headers"
for bad in short "${id}0" "$(printf '%s' "$id" | tr 'a-f0-9' 'G-LP-Y')" "../../../../etc/passwd"; do
	as /dev/null ask -H "Cookie: screen=$bad" "$base/"
	has "a cookie that is none, $bad, is replaced" "Set-Cookie: screen=" "$headers"
	lacks "and not sent back" "$bad" "$headers"
done
as /dev/null ask -H "Cookie: screen=$id; screen=$id" "$base/"
has "nor two of them" "Set-Cookie: screen=" "$headers"
# A link from elsewhere leaves a strict cookie out; it is not to be lost.
as /dev/null ask -H "Sec-Fetch-Site: cross-site" "$base/"
lacks "a link from another site takes no cookie away" "Set-Cookie" "$headers"
as /dev/null ask -H "Host: evil.example" "$base/"
lacks "a stranger gets none" "Set-Cookie" "$headers"
lacks "no page shows a screen's id" "$id" "$page"

# --- answers --------------------------------------------------------------

get_token
post /jobs -d pattern=4 -d device=bench-drive -d lamp=
same "a job is opened" "303 /jobs/1" "$status $location"
look
same "its page" 200 "$status"
has "is kept by no shared cache" "Cache-Control: private, no-cache" "$headers"
has "it asks one thing" "What does the meter read?" "$page"
has "and says what is proved" "not known: prove it first" "$page"
has "a stop is told from a warning" "A stop: what may be done meanwhile" "$page"
has "with what may be done meanwhile" "<strong>Meanwhile:</strong> Wait." "$page"
post /jobs/1/answer -d answer=0.2 -d "check=$check" -d serial=
same "an answer without its step" 409 "$status"
has "the step is shown" 'name="serial"' "$page"
answer -d choice=nonsense
same "no answer of this check" 400 "$status"
answer -d choice= -d answer=
same "no answer at all" 400 "$status"
answer --data-urlencode 'answer=12"x4' --data-urlencode 'words=kept <too>'
same "no reading" 400 "$status"
has "it is shown back" 'value="12&quot;x4"' "$page"
has "the words too" 'kept &lt;too&gt;</textarea>' "$page"
lacks "nobody can insist on it" 'name="sure"' "$page"
answer -d answer=0.2 --data-urlencode 'words=<b>"wet" & dirty</b>'
same "an answer" "303 /jobs/1" "$status $location"
first=$serial
answer -d answer=0.2
same "the same once more is stale" 409 "$status"
has "the current step is shown" "Bench battery volts" "$page"
same "nothing came of it" 1 "$(job_json | jq '[.findings[] | select(.kind == "check")] | length')"
look
has "words are escaped" '&lt;b&gt;&quot;wet&quot; &amp; dirty&lt;/b&gt;' "$page"
lacks "and no tag comes of them" '<b>' "$page"
has "the state is proved" "isolated and proved dead" "$page"
for field in serial=-1 serial=x serial=99999999999999999999 serial=999 "serial=$first"; do
	post /jobs/1/answer -d "$field" -d "check=$check" -d answer=45
	same "an answer with $field" 409 "$status"
done

# A reading that a person can insist on.
answer -d answer=20 -d minus=1
same "a negative reading asks" 400 "$status"
has "it is shown with its sign" 'value="-20"' "$page"
has "one may have looked again" 'name="sure"' "$page"
same "nothing is kept yet" 1 "$(job_json | jq '[.findings[] | select(.kind == "check")] | length')"
answer -d answer=-20 -d sure=1
same "it is kept" 303 "$status"
same "as it was read" "differs -20 V" "$(job_json | jq -r '.findings[-1] | "\(.kind) \(.reading)"')"
look
post /jobs/1/undo -d "serial=1"
same "a stale undo" 409 "$status"
post /jobs/1/undo -d "serial=$serial"
same "undo" "303 /jobs/1?said=undone" "$status $location"
ask "$base$location"
has "it says so" "The last answer is taken back." "$page"
ask "$base/jobs/1?said=%3Cscript%3E"
lacks "nobody else's sentence is shown" "script&gt;" "$page"
look
answer -d answer=0.1
look

# Cannot, with what is missing.
answer -d choice=cannot -d missing.meter=1 --data-urlencode 'words=on loan till Friday'
same "cannot" 303 "$status"
same "what is missing is kept" "missing: meter. on loan till Friday" "$(job_json | jq -r '.put_aside[0].words')"
look
has "it goes on with what can be done" "Bench fuse" "$page"
answer -d choice=cannot -d missing.torch=1
look
has "then the job waits" "This job waits" "$page"
ask "$base/waits"
has "by tool" "With: meter" "$page"
has "with its check" "Bench battery volts" "$page"
ask "$base/jobs/1/waits"
same "of this job" 200 "$status"
look
post /jobs/1/reopen -d "serial=$serial"
same "taken up" "303 /jobs/1?said=reopened" "$status $location"
look
answer -d choice=differs --data-urlencode 'words=it has no terminals'
same "not as described" "differs it has no terminals" "$(job_json | jq -r '.findings[-1] | "\(.kind) \(.words)"')"
look
post /jobs/1/undo -d "serial=$serial"
look
[ "$check" = bench-safe ] && { answer -d answer=0.1; look; }
answer -d choice=not-reproduced
same "not reproduced" not-reproduced "$(job_json | jq -r '.findings[-1].kind')"
look
post /jobs/1/undo -d "serial=$serial"

# --- two screens ----------------------------------------------------------

look
as "$two" ask "$base/jobs/1"
has "the second has a cookie of its own" "Set-Cookie: screen=" "$headers"
has "it sees who has the vehicle" "In other hands: computer" "$page"
has "and the step" 'id="step-title"' "$page"
lacks "which it cannot answer" "/jobs/1/answer" "$page"
lacks "nor undo" "/jobs/1/undo" "$page"
has "it may ask" 'action="/jobs/1/ask"' "$page"
lacks "it may not take" 'action="/jobs/1/take"' "$page"
before=$(job_json | jq -c '[.findings, .state, .power]')
as "$two" answer -d answer=0.1
same "an answer from another screen" 409 "$status"
has "says who has it" "has the vehicle in hand" "$page"
for what in "undo" "close" "reopen" "wait -d words=x" "pick -d check=bench-volts" \
	"suppose -d cause=bench-flat" "safe" "take" "hand" "hand -d keep=1"; do
	# shellcheck disable=SC2086 # a path and fields
	set -- $what
	path=$1
	shift
	as "$two" post "/jobs/1/$path" -d "serial=$serial" "$@"
	same "$what from another screen" 409 "$status"
	has "$what shows the step" 'id="step-title"' "$page"
done
as "$two" post /jobs/1/resume
same "going on from another screen" 303 "$status"
as "$two" post /jobs/1/release
same "letting go from another screen" 303 "$status"
as /dev/null post /jobs/1/answer -d "serial=$serial" -d "check=$check" -d answer=0.1
same "without a cookie" 403 "$status"
has "it is a new screen" "Set-Cookie: screen=" "$headers"
same "none of it changed anything" "$before" "$(job_json | jq -c '[.findings, .state, .power]')"

as "$two" post /jobs/1/ask
same "the second asks" "303 /jobs/1?said=asked" "$status $location"
as "$two" ask "$base/jobs/1"
has "it is told" "You have asked" "$page"
as "$two" post /jobs/1/take
same "and cannot take yet" 409 "$status"
as "$three" ask "$base/jobs/1"
as "$three" post /jobs/1/ask
same "a third cannot ask too" 409 "$status"
look
has "the first is asked" "asks for the vehicle" "$page"
has "and may hand over" 'action="/jobs/1/hand"' "$page"
post /jobs/1/hand -d keep=1
same "it keeps" "303 /jobs/1?said=kept" "$status $location"
post /jobs/1/hand
same "nobody asks now" 409 "$status"
as "$two" post /jobs/1/ask
post /jobs/1/hand
same "it hands over" "303 /jobs/1?said=handed" "$status $location"
look
lacks "the first looks on" "/jobs/1/answer" "$page"
post /jobs/1/answer -d "serial=${serial:-9}" -d "check=$check" -d answer=0.1
same "and is refused" 409 "$status"
as "$two" look
has "the second has it" "/jobs/1/answer" "$page"
same "and proves the state again" bench-safe "$check"
as "$two" answer -d answer=0.3
same "it answers" 303 "$status"
as "$two" post /jobs/1/release
same "it lets go" "303 /jobs/1?said=released" "$status $location"
as "$two" look
has "nobody has it" "Nobody has the vehicle in hand" "$page"
post /jobs/1/take
same "the first takes it" "303 /jobs/1?said=taken" "$status $location"
look
same "and proves the state again" bench-safe "$check"
ask "$base/jobs/1/state"
same "the page on power" 200 "$status"
has "nothing is proved" "What is proved now: not known" "$page"
has "it can be made safe" 'action="/jobs/1/safe"' "$page"
has "by the bench's own way" 'href="/checks/bench-safe"' "$page"
answer -d answer=0
ask "$base/jobs/1/state"
has "it is proved" "What is proved now: isolated" "$page"
has "by what" "by: Make the bench dead." "$page"
has "for how long" "it holds for 15 minutes more" "$page"
lacks "no button where it is dead" 'action="/jobs/1/safe"' "$page"
post /jobs/1/safe
same "nothing to make safe" 409 "$status"

# --- pausing, choosing, what is forged ------------------------------------

look
post /jobs/1/wait -d "serial=$serial" -d words=
same "a pause for nothing" 400 "$status"
post /jobs/1/wait -d "serial=1" -d words=parts
same "a stale pause" 409 "$status"
post /jobs/1/wait -d "serial=$serial" --data-urlencode "words=$(big 5000)"
case $status in
400 | 413) ok ;;
*) not_ok "a pause for too long a word: $status" ;;
esac
has "with what was typed" "aaaaaaaa" "$page"
answer -d choice=cannot -d missing.meter=1
look
same "with a check put aside" bench-fuse-look "$check"
post /jobs/1/wait -d "serial=$serial" --data-urlencode "words=a new fuse <b>"
same "a pause" "303 /jobs/1?said=waits" "$status $location"
look
has "says what for" "For: a new fuse &lt;b&gt;" "$page"
post /jobs/1/answer -d "serial=$serial" -d check=bench-fuse-look -d choice=whole
same "an answer to a waiting job" 409 "$status"
post /jobs/1/resume
same "it goes on" "303 /jobs/1" "$status $location"
look
has "with a step, though a check is put aside" 'id="step-title"' "$page"
post /jobs/1/reopen -d "serial=$serial"
look

for what in "pick -d check=no-such" "pick -d check=" "suppose -d cause=no-such" "suppose -d cause=unlisted" \
	"suppose -d cause=" "pick -d check=../../etc/passwd"; do
	# shellcheck disable=SC2086 # a path and fields
	set -- $what
	path=$1
	shift
	post "/jobs/1/$path" -d "serial=$serial" "$@"
	same "$what" 404 "$status"
	has "$what leads back" 'href="/jobs/1"' "$page"
done
for path in answer undo close reopen wait pick suppose safe take ask hand release resume note; do
	for number in 0 77 1x -1 99999999999999999999; do
		post "/jobs/$number/$path" -d serial=1 -d words=x -d choice=x -d check=bench-volts -d cause=bench-flat
		same "/jobs/$number/$path" 404 "$status"
	done
	ask "$base/jobs/1/$path"
	same "GET of $path leads to the job" "303 /jobs/1" "$status $location"
done
for path in undo close reopen pick suppose; do
	post "/jobs/1/$path" -d serial=1 -d check=bench-volts -d cause=bench-flat
	same "a stale $path" 409 "$status"
	has "shows the step" 'id="step-title"' "$page"
done
look
post /jobs/1/pick -d "serial=$serial" -d check=bench-volts
same "a check is picked" "303 /jobs/1?said=picked" "$status $location"
look
while [ "$check" = bench-safe ]; do
	answer -d answer=0
	look
done
same "it comes next" bench-volts "$check"
has "and says so" "The check you chose" "$page"
answer -d answer=44

# --- the fix and its proof ------------------------------------------------

look
post /jobs/1/suppose -d "serial=$serial" -d cause=bench-fuse
same "a cause is taken" "303 /jobs/1?said=supposed" "$status $location"
look
has "its fix is shown" "Find the short and fit a new fuse." "$page"
lacks "which is never as described" 'value="differs"' "$page"
answer -d choice=begun
look
answer -d choice=fixed
look
same "it is being proved" proving "$(job_json | jq -r .state)"
has "with what the job began with" "once more" "$page"
turn=0
while [ "$(job_json | jq -r .state)" = proving ] && [ "$turn" -lt 8 ]; do
	look
	case $check in
	bench-safe) answer -d answer=0 ;;
	bench-volts) answer -d answer=50 ;;
	bench-fuse-look) answer -d choice=whole ;;
	*) answer -d choice=gone --data-urlencode 'words=ran an hour' ;;
	esac
	turn=$((turn + 1))
done
same "proved, and cured" "closed true" "$(job_json | jq -r '"\(.state) \(.cured)"')"
look
has "the page says so" ">Cured<" "$page"
post /jobs/1/answer -d "serial=$serial" -d check=bench-volts -d answer=50
same "an answer to a closed job" 409 "$status"
post /jobs/1/close -d "serial=$serial"
same "closing it twice" 409 "$status"

post /jobs/1/note --data-urlencode "words=first line
second line"
same "a note" "303 /jobs/1?said=note" "$status $location"
post /jobs/1/note -d "words="
same "an empty note" 400 "$status"
post /jobs/1/note --data-urlencode "words=$(big 3000)"
same "a word without an end" 303 "$status"
ask "$base/jobs/1/report"
same "the report" 200 "$status"
for part in "second line" "Bench fuse blown" "44 V" "40 V to 60 V" "Fix proved, trouble gone." "Time spent"; do
	has "the report has: $part" "$part" "$page"
done
lacks "nothing is left unfilled" "{{" "$page"
look
post /jobs/1/reopen -d "serial=$serial"
same "reopen" "303 /jobs/1?said=reopened" "$status $location"
look
post /jobs/1/close -d "serial=$serial" -d "words=sold it" -d end=given-up
same "giving up" "303 /jobs/1?said=given-up" "$status $location"
look
has "says how it ended" "sold it" "$page"
has "and that it was given up" ">Given up<" "$page"

# --- an end to get away from, and what opens no job -----------------------

job=2
post /jobs -d symptom=bench-dead
same "a second job" "303 /jobs/2" "$status $location"
look 2
answer -d answer=0
look 2
answer -d answer=70
look 2
has "it stops" "Stop here" "$page"
has "with what to do" "Find out who charged it." "$page"
post /jobs/2/pick -d "serial=$serial" -d check=bench-volts
same "nothing is picked then" 409 "$status"
post /jobs -d pattern=77 -d device=bench-drive
same "no job from an unknown code" "303 /read?pattern=77&device=bench-drive" "$status $location"
post /jobs -d symptom=no-such
same "no job from nothing" 404 "$status"
post /jobs -d symptom=bench-dead -d rig=no-such
same "nor for a rig that is none" 404 "$status"
post /jobs -d "pattern="
same "no job from less" 400 "$status"

# A pack that drops the check in use: the job keeps what it showed.
"$LAMPWRIGHT" --book "$book" pack remove bench >/dev/null
for where in /jobs/1 /jobs/2 /jobs/1/report /jobs/2/state /waits /jobs; do
	ask "$base$where"
	same "$where without its pack" 200 "$status"
done
has "and its title" "Bench" "$page"
stop_server
finish
