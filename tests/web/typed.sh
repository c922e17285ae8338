#!/bin/sh
# What was typed into a form that could not be taken is on the page that says
# so: the forms of jobs and of rigs, refused for what they say and for being
# late. And the line that a page follows its job by.
. "$SRC/tests/lib.sh"
. "$SRC/tests/web/serve.sh"
trap 'kill "$server" 2>/dev/null' EXIT

"$LAMPWRIGHT" --book "$book" pack add "$SRC/tests/cli/bench.yaml" >/dev/null
"$LAMPWRIGHT" --book "$book" pack remove safety >/dev/null

one=$SCRATCH/jar
two=$SCRATCH/jar-two
as() {
	jar=$1
	shift
	"$@"
	jar=$one
}
look() {
	ask "$base/jobs/1"
	serial=$(printf '%s' "$page" | sed -n 's/.*name="serial" value="\([0-9]*\)".*/\1/p' | head -n 1)
	check=$(printf '%s' "$page" | sed -n 's/.*name="check" value="\([^"]*\)".*/\1/p' | head -n 1)
}
now() {
	ask "$base/jobs/1/now"
}
typed="as typed <&> here"
shown="as typed &lt;&amp;&gt; here"

start_server
get_token
ask "$base/"
post /jobs -d pattern=4 -d device=bench-drive -d lamp=
look

# --- how a job stands ---------------------------------------------------------

now
same "how it stands" 200 "$status"
has "is kept nowhere" "Cache-Control: no-store" "$headers"
has "is no page" "Content-Type: text/plain" "$headers"
[ "${#page}" -lt 200 ] || not_ok "it is short: $page"
before=$page
for place in "" /report /state; do
	ask "$base/jobs/1$place"
	has "the page$place follows it" "data-follow=\"$before\"" "$page"
	has "the page$place has a way to look again" ">Look again</a>" "$page"
done
now
same "nothing has changed" "$before" "$page"
ask "$base/jobs/99/now"
same "of no job" 404 "$status"
ask "$base/jobs/x/now"
same "of no number" 404 "$status"
ask -X POST "$base/jobs/1/now"
same "is only read" 405 "$status"

# --- answers ------------------------------------------------------------------

for choice in cannot differs not-reproduced; do
	post /jobs/1/answer -d "serial=$serial" -d "check=$check" -d choice=$choice \
		--data-urlencode "words=$typed$(big 5000)"
	[ "$status" = 303 ] && not_ok "too long a word with $choice: $status"
	has "$choice: the words are there" "$shown" "$page"
done
post /jobs/1/answer -d "serial=$serial" -d "check=$check" --data-urlencode "answer=$typed" --data-urlencode "words=$typed, too"
same "no reading" 400 "$status"
has "the reading is there" "value=\"$shown\"" "$page"
has "the words too" "$shown, too</textarea>" "$page"
post /jobs/1/answer -d "serial=$serial" -d "check=$check" -d answer=0.2
same "a reading" 303 "$status"
now
[ "$page" != "$before" ] || not_ok "a finding does not show in how it stands: $page"
first=${page%% *}
old=$serial
post /jobs/1/answer -d "serial=$old" -d "check=$check" --data-urlencode "answer=12 $typed" --data-urlencode "words=$typed, too"
same "late" 409 "$status"
has "a late reading is shown" "You had typed: <span class=\"words typed-before\">12 $shown" "$page"
has "with its words" "$shown, too</span>" "$page"
lacks "and in no box of the next step" "$shown, too</textarea>" "$page"

# --- pausing, closing, notes ----------------------------------------------------

for way in wait close; do
	post /jobs/1/$way -d "serial=$old" --data-urlencode "words=$typed"
	same "$way: late" 409 "$status"
	has "$way: the words are in the form" "name=\"words\"" "$page"
	same "$way: beside the sentence and in the form" 2 "$(printf '%s' "$page" | grep -c "$shown")"
	look
	post /jobs/1/$way -d "serial=$serial" --data-urlencode "words=$typed$(big 5000)"
	[ "$status" = 303 ] && not_ok "$way: too long a word: $status"
	has "$way: too long: the words are there" "$shown" "$page"
	as "$two" ask "$base/jobs/1"
done
post /jobs/1/note --data-urlencode "words=$typed$(big 5000)"
[ "$status" = 303 ] && not_ok "a note too long: $status"
has "a note: the words are there" "$shown" "$page"

# Another screen may not, and keeps what it typed.
as "$two" get_token
as "$two" post /jobs/1/wait -d "serial=$serial" --data-urlencode "words=$typed"
same "in other hands" 409 "$status"
has "its words are there" "$shown" "$page"

# Who asks is in the line, and no form is old by it.
as "$two" post /jobs/1/ask
get_token
now
same "asking makes no form old" "$first" "${page%% *}"
asked=$page
as "$two" ask "$base/jobs/1"
has "the one that asks is told so" "You have asked" "$page"
ask "$base/jobs/1/state"
has "the page on power has both buttons" "Hand it over" "$page"
ask "$base/jobs/1/report"
has "the report too" "Hand it over" "$page"
post /jobs/1/hand
now
[ "$page" != "$asked" ] || not_ok "handing over does not show in how it stands: $page"
[ "${page%% *}" != "$first" ] || not_ok "the old holder's forms are old then: $page"

# --- rigs ---------------------------------------------------------------------

post /rigs --data-urlencode "title=cart" -d rig=cart
same "a rig" 303 "$status"
post /rigs --data-urlencode "title=$typed" --data-urlencode "rig=No Such Name"
[ "$status" = 303 ] && not_ok "a bad short name: $status"
has "a new rig: its name is there" "value=\"$shown\"" "$page"
has "its short name too" 'value="No Such Name"' "$page"
post /rigs/cart/set --data-urlencode "fact.pack.full=$typed" -d was.pack.full=
same "no voltage" 400 "$status"
has "a fact: it is there" "value=\"$shown\"" "$page"
post /rigs/cart/set --data-urlencode "fact.title=$typed$(big 500)" -d was.title=cart
[ "$status" = 303 ] && not_ok "too long a name: $status"
has "a name: it is there" "$shown" "$page"
has "with what is wrong with it" 'class="problem"' "$page"
post /rigs/cart/set --data-urlencode "device_name=$typed" -d device=bench-drive
[ "$status" = 303 ] && not_ok "a bad device name: $status"
has "a device: its name is there" "value=\"$shown\"" "$page"
has "and which it was" '<option value="bench-drive" selected="selected">' "$page"
point=$(curl -s -b "$jar" "$base/rigs/cart/points" | sed -n 's/.*name="point" value="\([^"]*\)".*/\1/p' | head -n 1)
post /rigs/cart/points -d "point=$point" --data-urlencode "words=$typed$(big 5000)"
[ "$status" = 303 ] && not_ok "too long words for a point: $status"
has "a point: they are there" "$shown" "$page"
post /rigs/cart/settings --data-urlencode "device=$typed$(big 500)" --data-urlencode "setting=$typed 1" \
	--data-urlencode "was=$typed 2" --data-urlencode "became=$typed 3" --data-urlencode "why=$typed 4"
[ "$status" = 303 ] && not_ok "a setting of a bad device: $status"
for n in 1 2 3 4; do
	has "a setting: field $n" "$shown $n" "$page"
done
post /rigs/cart/log --data-urlencode "device=drive" -d kind=fault --data-urlencode "subject=$typed 1" \
	--data-urlencode "value=$typed 2" --data-urlencode "count=$typed 3" --data-urlencode "words=$typed 4"
same "no count" 400 "$status"
for n in 1 2 3 4; do
	has "a record: field $n" "$shown $n" "$page"
done
post /notes -d kind=rig -d id=cart --data-urlencode "words=$typed$(big 5000)"
[ "$status" = 303 ] && not_ok "a note on a rig: $status"
has "a note on a rig: the words are there" "$shown" "$page"

stop_server
finish
