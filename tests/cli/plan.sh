#!/bin/sh
# plan: trees for tables, with published answers, and from the book; what is
# kept and followed; pictures; bad input.
. "$SRC/tests/lib.sh"
export LAMPWRIGHT_BOOK="$SCRATCH/book.db"
lw() { run "$LAMPWRIGHT" "$@"; }
get() { printf %s "$out" | jq -r "$1"; }
# table TEXT: as a file, \n a line's end
table() {
	# shellcheck disable=SC2059 # the text is the format
	printf "$1" >"$SCRATCH/table.csv"
}
plan() {
	lw plan --matrix "$SCRATCH/table.csv" "$@"
}
# What a tree costs by its definition: over all leaves, share times the costs
# on the way there.
cost_of() {
	# shellcheck disable=SC2016 # $paid and $now are jq's
	get 'def cost($paid): if .is_leaf then .share * $paid
		else (.cost + $paid) as $now | [.outcomes[].next | cost($now)] | add end;
		.tree | cost(0) * 1e9 | round | . / 1e9'
}
rounded() {
	get '.expected_cost * 1e9 | round | . / 1e9'
}

# --- tables with published answers ------------------------------------------

# Pattipati and Alexandridis 1990, unit costs: optimum 2.18.
table 'cause,weight,t1,t2,t3,t4,t5
s0,.70,0,0,0,0,0\ns1,.01,0,1,0,0,1\ns2,.02,0,0,1,1,0
s3,.10,1,0,0,1,1\ns4,.05,1,1,0,0,0\ns5,.12,1,1,1,1,0\n'
plan --json
same "Pattipati and Alexandridis: $errout" 0 "$code"
same "2.18, proved" "2.18 true 2.18" "$(rounded) $(get '"\(.optimal) \(.lower_bound * 1e9 | round | . / 1e9)"')"
same "and by its tree" 2.18 "$(cost_of)"
same "nothing stopped it, no unit, nothing saved" "false null null null" "$(get '"\(.stopped) \(.unit) \(.for) \(.saved)"')"
same "checks of the tree" true "$(get '([.tree | .. | objects | .check? // empty] | unique | length) == .checks_used')"
same "the keys" "bound_text causes checks checks_used drawing expected_cost expected_text for groups has_groups has_mute lower_bound mute optimal remarks saved shape stopped text_tree title tree unit" \
	"$(get 'keys | join(" ")')"
same "the keys of a check" "changes_power check cost cost_text is_leaf left_out outcomes percent power power_title setup setup_text share title" \
	"$(get '.tree | keys | join(" ")')"
same "of an outcome" "next outcome percent share stop title" "$(get '.tree.outcomes[0] | keys | join(" ")')"
same "of a leaf" "causes is_leaf percent share told_apart" "$(get '[.tree | .. | objects | select(.is_leaf == true)][0] | keys | join(" ")')"
same "all causes, once" "s0 s1 s2 s3 s4 s5" "$(get '[.tree | .. | objects | select(.is_leaf == true) | .causes[].cause] | sort | join(" ")')"
same "their shares add up to 1" 1 "$(get '[.tree | .. | objects | select(.is_leaf == true) | .causes[].share] | add * 1e9 | round | . / 1e9')"
plan
has "as text" "Expected: 2.18 on average; no tree costs less." "$out"
has "its checks with their cost" "(cost 1)" "$out"
has "its ends" "=> s5" "$out"

# Balakrishnan and Semmelbauer, Decision Support Systems 25, 1999, table 1:
# optimum 2.4.
table 'cause,weight,a,b,c,d\n1,1,0,0,0,0\n2,1,0,0,0,1\n3,1,0,0,1,1\n4,1,0,1,1,1\n5,1,1,1,1,1\n'
plan --json
same "Balakrishnan and Semmelbauer" "2.4 true 2.4" "$(rounded) $(get .optimal) $(cost_of)"

# Six bottles, one of them bad, by 8, 6, 4, 2, 2, 1 of 23 (Cover and Thomas,
# from memory): tasted one by one 55/23; any mixture 54/23, which is Huffman's.
awk 'BEGIN { printf("cause,weight"); for (j = 1; j <= 6; j++) printf(",taste %d", j); print ""
	split("8 6 4 2 2 1", w, " ")
	for (i = 1; i <= 6; i++) { printf("%d,%d", i, w[i])
		for (j = 1; j <= 6; j++) printf(",%s", i == j ? "bad" : "good"); print "" } }' >"$SCRATCH/table.csv"
plan --json
same "one by one" "$(jq -n '55 / 23 * 1e9 | round | . / 1e9') true" "$(rounded) $(get .optimal)"
awk 'BEGIN { printf("cause,weight"); for (j = 1; j < 32; j++) printf(",mix %d", j); print ""
	split("8 6 4 2 2 1", w, " ")
	for (i = 1; i <= 6; i++) { printf("%d,%d", i, w[i])
		for (j = 1; j < 32; j++) printf(",%s", int(j / 2 ^ (i - 1)) % 2 ? "bad" : "good"); print "" } }' >"$SCRATCH/table.csv"
plan --json
same "mixtures" "$(jq -n '54 / 23 * 1e9 | round | . / 1e9') true $(rounded)" "$(rounded) $(get .optimal) $(cost_of)"

# A chain of 27, all as likely: the least external path of 27 leaves is
# 27 * 5 - 32 + 27 = 130 (Knuth, The Art of Computer Programming 3, 5.3.1).
awk 'BEGIN { printf("cause,weight"); for (j = 1; j < 27; j++) printf(",%d", j); print ""
	for (i = 0; i < 27; i++) { printf("c%d,1", i)
		for (j = 1; j < 27; j++) printf(",%s", i < j ? "before" : "behind"); print "" } }' >"$SCRATCH/table.csv"
plan --json
same "a chain of 27" "$(jq -n '130 / 27 * 1e9 | round | . / 1e9') true" "$(rounded) $(get .optimal)"

# --- what a table may say ---------------------------------------------------

# By hand: a dear check that tells all, or two cheap ones: 1 + 3/4 * 2 = 2.5.
table 'Cause,Weight,"all, at once:3",first:1,second:2,"says ""no"""\r\nx,1,x,yes,no,-\r\ny,1,y,no,yes,-\r\nz,2,z,no,no,-\r\n'
plan --json
same "costs count: $errout" "2.5 first first,second" "$(get '"\(.expected_cost) \(.tree.check)"') $(get '[.tree | .. | objects | .check? // empty] | unique | join(",")')"
same "a check that tells nothing" 'true says "no"' "$(get '"\(.has_mute) \(.mute | join(","))"')"
plan
has "as text" 'These checks tell nothing apart: says "no"' "$out"
table 'cause,weight,t:4\na,1,x\nb,2,x\nc,1,y\n'
plan --json
same "what is not told apart ends together at no further cost" "4 true a,b" \
	"$(get '"\(.expected_cost) \(.has_groups) \(.groups[0].causes | join(","))"')"
same "and says so" "false 0.75" "$(get '[.tree | .. | objects | select(.is_leaf == true and (.causes | length) == 2)][0] | "\(.told_apart) \(.share)"')"
plan
has "as text" "No check tells these apart" "$out"
table 'cause,weight\na,1\nb,2\n'
plan --json
same "no checks: one leaf" "0 true true" "$(get '"\(.expected_cost) \(.optimal) \(.tree.is_leaf)"')"
table 'cause,weight,t\na,1,x\n'
plan --json
same "one cause" "0 true a" "$(get '"\(.expected_cost) \(.tree.is_leaf) \(.tree.causes[0].cause)"')"
table 'cause,weight,free:0,t\na,1,x,x\nb,0,y,x\n'
plan --json
same "a cost of 0, a weight of 0" "0 true" "$(get '"\(.expected_cost) \(.optimal)"')"
table 'cause,weight,t\na,1,x\nb,1,y\n'
# shellcheck disable=SC2016 # for the inner shell
run sh -c '"$1" plan --matrix - --json <"$2"' sh "$LAMPWRIGHT" "$SCRATCH/table.csv"
same "from standard input" "0 1" "$code $(get .expected_cost)"
run env LAMPWRIGHT_BOOK=/nonexistent/book.db "$LAMPWRIGHT" plan --matrix "$SCRATCH/table.csv"
same "a table needs no book: $errout" 0 "$code"

# Deeper than people look, and never cut: one cause apart from all, forty times.
awk 'BEGIN { printf("cause,weight"); for (j = 1; j <= 60; j++) printf(",%d:%d", j, 1 + j % 7); print ""
	for (i = 0; i <= 60; i++) { printf("c%d,%d", i, 1 + i * 37 % 11)
		for (j = 1; j <= 60; j++) printf(",%s", i == j ? "here" : "elsewhere"); print "" } }' >"$SCRATCH/table.csv"
plan --seconds 0.3 --mib 16 --json
same "limits end it, and that is no failure: $errout" 0 "$code"
if get . >/dev/null 2>&1; then
	same "with a bound that holds" true "$(get '.lower_bound <= .expected_cost and (.optimal or .stopped)')"
else
	# jq 1.6 reads no deeper than 256.
	has "with a bound" '"lower_bound"' "$out"
fi
plan --seconds 0.3
has "as text" "Expected:" "$out"
same "80 columns" "" "$(printf '%s\n' "$out" | sed 1d | awk 'length($0) > 80')"
plan --seconds 0.3 --svg "$SCRATCH/deep.svg"
run xmllint --noout "$SCRATCH/deep.svg"
same "its picture is well-formed: $errout" 0 "$code"
has "and says what is left out" "checks;" "$(cat "$SCRATCH/deep.svg")"

# --- bad tables: one sentence, with the place -------------------------------

# bad TEXT PLACE SAYS
bad() {
	table "$1"
	plan
	same "bad: $3: exit 2" 2 "$code"
	has "bad: its place" "table.csv:$2: " "$errout"
	has "bad: what it says" "$3" "$errout"
	same "bad: $3: one sentence" 1 "$(printf '%s\n' "$errout" | wc -l | tr -d ' ')"
	same "bad: $3: no result" "" "$out"
	plan --json
	same "bad: $3: with --json" 2 "$code"
}
bad '' 1:1 "the table is empty"
bad 'a,1,x\n' 1:1 "begins with cause,weight"
bad 'cause;weight;t\na;1;x\n' 1:1 "has semicolons between them"
bad 'cause,weight,t:dear\na,1,x\n' 1:14 "is no cost"
bad 'cause,weight,t:-1\na,1,x\n' 1:14 "is no cost"
bad 'cause,weight,t,t\na,1,x,y\n' 1 "named twice"
bad 'cause,weight,t\na,1,x\na,1,y\n' 3:1 "named twice"
bad 'cause,weight,t\na,1,\n' 2:5 'what check "t" gives for "a" is missing'
bad 'cause,weight,t\na,1\n' 2:3 "2 of the 3 cells"
bad 'cause,weight,t\na,1,x,y\n' 2:7 "more than the 3 cells"
bad 'cause,weight,t\na,nan,x\n' 2:3 'the weight "nan" is no number'
bad 'cause,weight,t\na,1e999,x\n' 2:3 'the weight "1e999" is no number'
bad 'cause,weight,t\na,1,"x\n' 2:5 "does not end with one"
bad 'cause,weight,t\na,1,\377\n' 2:5 "not UTF-8"
bad 'cause,weight,t\n' 2:1 "no cause after the header"
table 'cause,weight,t\na,0,x\nb,0,y\n'
plan
same "all weights 0" 2 "$code"
has "says so" "every weight is 0" "$errout"
lw plan --matrix "$SCRATCH/nothing.csv"
same "no such file" 3 "$code"
has "says what to do" "name a table, or - for standard input" "$errout"
lw plan --matrix "$SCRATCH"
same "a folder" 3 "$code"
head -c 17000000 /dev/zero | tr '\0' 'a' >"$SCRATCH/table.csv"
plan
same "too large" 2 "$code"
has "says so" "larger than 16 MiB" "$errout"

# --- wrong use --------------------------------------------------------------

table 'cause,weight,t\na,1,x\nb,1,y\n'
for seconds in 0 -1 nan inf many 86401 ''; do
	plan --seconds "$seconds"
	same "--seconds $seconds" 2 "$code"
	has "--seconds $seconds: what would be right" "a number above 0" "$errout"
done
for mib in 0 15 16.5 many 1048577; do
	plan --mib "$mib"
	same "--mib $mib" 2 "$code"
	has "--mib $mib: what would be right" "a whole number from 16" "$errout"
done
lw plan
same "for nothing" 2 "$code"
lw plan bench-dead
same "a bare word" 2 "$code"
has "says how" "--tree-for" "$errout"
plan --tree-for x
same "both" 2 "$code"
plan --rig x
same "a table with a rig" 2 "$code"
plan --save x
same "a table is not kept" 2 "$code"

# --- from the book ----------------------------------------------------------

cat >"$SCRATCH/walk.yaml" <<'EOF'
pack: walk
title: Things that can be walked through, invented for the tests
version: "1"
license: CC0-1.0
source: invented
devices:
  - id: walk-drive
    title: Walk drive
    kind: controller
    source: invented
    lamps:
      - {id: status, title: Status, colour: red, coding: count}
    codes:
      - {lamp: status, pattern: 4, fault: walk-fault}
faults:
  - {id: walk-fault, title: Walk drive stops, meaning: It stops., severity: stops, causes: [walk-fuse: common, walk-wire: rare], source: invented}
symptoms:
  - {id: walk-still, title: Walk stands still, phrases: [the walk is over], causes: [walk-fuse: common, walk-flat: common, walk-wire: occasional, walk-box: rare], cautions: [bench-chocks], source: invented}
  - {id: walk-slow, title: Walk is slow, phrases: [the walk drags], causes: [walk-mud: common], source: invented}
causes:
  - {id: walk-fuse, title: Walk fuse open, weight: common, minutes: 90, fix: Fit one., proof: It walks., source: invented}
  - {id: walk-flat, title: Walk battery flat, weight: common, minutes: 120, fix: Charge it., proof: It walks., source: invented}
  - {id: walk-wire, title: Walk wire broken, weight: occasional, minutes: 150, fix: Mend it., proof: It walks., source: invented}
  - {id: walk-box, title: Walk box broken, weight: rare, minutes: 200, fix: Mend it., proof: It walks., source: invented}
  - {id: walk-mud, title: Mud, weight: common, minutes: 20, fix: Wash it., proof: It walks., source: invented}
checks:
  - id: walk-look
    title: Look at the walk fuse
    ask: How does it look?
    power: isolated
    minutes: 2
    do: [Look.]
    source: invented
    outcomes:
      - {id: whole, title: whole, expected: yes, speaks: [walk-fuse: never]}
      - {id: open, title: open, speaks: [walk-fuse: always]}
  - id: walk-lamp
    title: Walk lamp
    ask: Is it lit?
    power: isolated
    minutes: 3
    do: [Look.]
    source: invented
    outcomes:
      - {id: lit, title: lit, expected: yes, speaks: [walk-flat: never]}
      - {id: dark, title: dark, speaks: [walk-flat: always]}
      - {id: smoke, title: smoking, say: Get away from it., stops: yes}
  - id: walk-ohms
    title: Resistance of the walk wire
    ask: Is it whole?
    power: isolated
    minutes: 6
    do: [Measure.]
    tools: [walk-meter]
    source: invented
    outcomes:
      - {id: whole, title: whole, expected: yes, speaks: [walk-wire: never]}
      - {id: broken, title: broken, speaks: [walk-wire: always]}
EOF
lw pack check "$SCRATCH/walk.yaml"
problems=$out
lw pack add "$SRC/tests/cli/bench.yaml"
lw pack add "$SCRATCH/walk.yaml"
same "the pack of the tests: $errout $problems" 0 "$code"
# The ways into power states are the bench's own, not those that ship.
lw pack remove safety

lw plan --tree-for walk-still --json
same "for a symptom: $errout" 0 "$code"
same "what for" "walk-still symptom min" "$(get '"\(.for) \(.for_kind) \(.unit)"')"
same "a bound that holds" true "$(get '.lower_bound <= .expected_cost + 1e-9')"
same "in minutes, isolated" "true isolated" "$(get '"\(.tree.cost == 2 or .tree.cost == 3) \(.tree.power)"')"
same "the power state is changed once, to begin with" "true 1" \
	"$(get '"\(.tree.changes_power) \([.. | objects | select(.changes_power? == true)] | length)"')"
same "an outcome that says stop" "Get away from it." "$(get '[.. | objects | select(.outcome? == "smoke")][0].stop')"
same "the keys of a leaf" "causes fixes is_leaf percent share sure told_apart" "$(get '[.tree | .. | objects | select(.is_leaf == true)][0] | keys | join(" ")')"
same "shares of the ways add up" true \
	"$(get '[.tree | .. | objects | select(.is_leaf == false) | (([.outcomes[].share] | add) - .share | fabs) < 1e-9] | all')"
same "what is not in the book is one of the causes" true "$(get '[.. | objects | select(.cause? == "unlisted")] | length > 0')"
same "cautions of the symptom" "true The bench can roll." "$(get '"\(.has_cautions) \(.cautions[0].hazard)"')"
lw plan --tree-for walk-still
has "what the symptom says to beware of, before the tree" "WARNING: The bench can roll. Chock it." "${out%%Look at the walk fuse*}"
has "ways in are not left out" "They come first all the same" "$(flat "$out")"
has "as text, in hours" " h on average, mending included" "$(flat "$out")"
has "with the power state where it changes" "isolated and proved dead" "$(flat "$out")"
has "ends list fixes" "=> Walk fuse open" "$out"
has "what says stop" "STOP. Get away from it." "$out"
same "80 columns" "" "$(printf '%s\n' "$out" | awk 'length($0) > 80')"
for words in "the walk is over" "Walk stands STILL"; do
	lw plan --tree-for "$words" --json
	same "by what it is called: $errout" walk-still "$(get .for)"
	lw plan --tree-for "$words" --device walk-drive --json
	same "also where a device is named: $errout" walk-still "$(get .for)"
done
lw plan --tree-for 4 --device walk-drive --json
same "by a pattern: $errout" "walk-fault fault walk-drive" "$(get '"\(.for) \(.for_kind) \(.device)"')"
lw plan --tree-for walk-fault --json
same "by a fault, which has no cautions" "walk-fault false" "$(get '"\(.for) \(.has_cautions)"')"
lw rig new barrow --title Barrow
lw rig set barrow device.drive=walk-drive
lw plan --tree-for 4 --rig barrow --device drive --json
same "by the rig's name for the device: $errout" "0 walk-fault" "$code $(get .for)"
lw rig set barrow tools=torch
lw plan --tree-for walk-still --rig barrow --json
same "without the tool there is no such check" 0 "$(get '[.. | objects | select(.check? == "walk-ohms")] | length')"

lw plan --tree-for walk-slow
same "no check speaks of it: exit 1" 1 "$code"
has "says so" "no check" "$errout"
lw plan --tree-for no-such-thing
same "no such symptom" 1 "$code"
lw plan --tree-for no-such-thing --json
same "with --json a document all the same" "1 1" "$code $(get .shape)"
lw plan --tree-for walk
same "several are meant" 1 "$code"
has "and named" "walk-still" "$errout"
has "both of them" "walk-slow" "$errout"
lw plan --tree-for 77 --device walk-drive
same "no such pattern" 1 "$code"
lw plan --tree-for "4 xyzzy" --device walk-drive
same "no pattern at all" 2 "$code"
lw plan --tree-for 4 --device nobody
same "no such device" 1 "$code"
lw plan --tree-for walk-still --rig nobody
same "no such rig" 1 "$code"

# --- the picture ------------------------------------------------------------

lw plan --tree-for walk-still --svg "$SCRATCH/walk.svg"
same "a picture: $errout" 0 "$code"
has "beside the text" "Expected:" "$out"
run xmllint --noout "$SCRATCH/walk.svg"
same "is well-formed: $errout" 0 "$code"
svg=$(cat "$SCRATCH/walk.svg")
has "an SVG" 'xmlns="http://www.w3.org/2000/svg"' "$svg"
has "with a title" "<title>Walk stands still</title>" "$svg"
has "and a description" "<desc>A tree of" "$svg"
has "checks" "Walk lamp" "$svg"
has "what an edge says" ">whole<" "$svg"
has "what says stop" "Get away from it." "$svg"
lacks "no number went wrong" nan "$(printf %s "$svg" | tr '[:upper:]' '[:lower:]')"
lw plan --tree-for walk-still --svg -
same "on standard output it is all" "<?xml" "$(printf %s "$out" | head -c 5)"
lw plan --tree-for walk-still --svg "$SCRATCH/no/walk.svg"
same "where there is no folder" 3 "$code"
table 'cause,weight,<&">\n<b>,1,"<a href=""x"">"\n&amp;,1,y\n'
sed -i 's/,<&">/,"<\&"">"/' "$SCRATCH/table.csv"
plan --svg "$SCRATCH/odd.svg"
run xmllint --noout "$SCRATCH/odd.svg"
same "odd names are escaped: $errout" 0 "$code"
has "as they are" "&lt;b&gt;" "$(cat "$SCRATCH/odd.svg")"

# Everything that is drawn is within the picture, and no box over another.
check_drawing() {
	# shellcheck disable=SC2016 # the variables are jq's
	same "$1: within the picture" true "$(get '.drawing as $d | $d.boxes | all(.x >= 0 and .y >= 0 and .x + .width <= $d.width and .y + .height <= $d.height)')"
	# shellcheck disable=SC2016 # the variables are jq's
	same "$1: no box over another" 0 "$(get '[.drawing.boxes | range(length) as $i | range($i) as $k | [.[$i], .[$k]] |
		select(.[0].x == .[1].x and .[0].y < .[1].y + .[1].height and .[1].y < .[0].y + .[0].height)] | length')"
	# shellcheck disable=SC2016 # the variables are jq's
	same "$1: every edge leads from a box to a box" true "$(get '.drawing as $d | $d.edges | all(. as $e |
		any($d.boxes[]; .x == $e.to_x and .y < $e.to_y and $e.to_y < .y + .height) and
		any($d.boxes[]; .x + .width == $e.from_x and .y < $e.from_y and $e.from_y < .y + .height))')"
	same "$1: all boxes but the first have one" true "$(get '(.drawing.boxes | length) == (.drawing.edges | length) + 1')"
}
lw plan --tree-for walk-still --json
check_drawing "a symptom"
same "all of it is drawn" true "$(get '([.tree | .. | objects | select(.is_leaf? == false)] | length) == ([.drawing.boxes[] | select(.is_check)] | length)')"
awk 'BEGIN { printf("cause,weight"); for (j = 1; j <= 9; j++) printf(",a check with so long a name that it takes several lines %d", j); print ""
	for (i = 0; i < 200; i++) { printf("cause %d with supercalifragilisticexpialidocious-words-that-do-not-fit,%d", i, 1 + i * i % 17)
		for (j = 0; j < 9; j++) printf(",an outcome of some length %d", int(i / 2 ^ j) % 2); print "" } }' >"$SCRATCH/table.csv"
plan --seconds 1 --json
check_drawing "a large one"
same "the likeliest ways of it" true "$(get '(.drawing.boxes | length) < 100')"
has "and it says so" "checks; from a dashed box it goes on" "$(get '[.drawing.notes[].text] | join(" ")')"

# --- kept, and followed -----------------------------------------------------

lw plan --tree-for walk-still --save "Walk, step by step" --json
same "kept: $errout" 0 "$code"
tree=$(get .saved)
same "under an id of its name" own-walk-step-by-step "$tree"
printf %s "$out" >"$SCRATCH/kept.json"
lw plan --tree-for walk-still --save "Walk, step by step"
same "kept anew in its place: $errout" 0 "$code"
has "and says how to follow it" "lampwright trace --tree $tree" "$(flat "$out")"
lw plan --tree-for walk-still --save "Ää"
same "a name that makes no id" 2 "$code"
lw plan --tree-for walk-still --save ""
same "no title" 2 "$code"
cat >"$SCRATCH/lone.yaml" <<'END'
pack: lone
title: A symptom with one cause
symptoms:
  - {id: lone-stands, title: Stands alone, causes: [bench-fuse]}
END
lw pack add "$SCRATCH/lone.yaml"
lw plan --tree-for lone-stands --save "Nothing to ask"
same "where no check pays there is none to keep: exit 1" 1 "$code"
has "says so" "no check pays before a fix" "$errout"

# follow OUTCOME...: answer each step with the first of these that it has; what
# was asked of the tree in $asked, the job's state in $state
follow() {
	lw trace --tree "$tree" --json
	job=$(get .job)
	asked=
	tries=0
	while [ "$tries" -lt 20 ]; do
		tries=$((tries + 1))
		lw job show "$job" --json
		state=$(get .state)
		step=$(get '.step.check // empty')
		if [ "$state" != open ] || [ -z "$step" ]; then
			break
		fi
		case $step in walk-*) asked="$asked $step" ;; esac
		answer="0.1 V"
		for one in "$@"; do
			case " $(get '[.step.outcomes[].outcome] | join(" ")') " in
			*" $one "*)
				answer=$one
				break
				;;
			esac
		done
		lw job answer "$job" "$answer"
		[ "$code" -le 1 ] || break
	done
	asked=${asked# }
}
# expect OUTCOME...: what the document's tree asks on that way
expect() {
	jq -r --arg said "$*" '($said | split(" ")) as $said |
		def way: if .is_leaf then empty else .check, (.outcomes[] | select(.stop == null) |
			select(.outcome as $o | any($said[]; . == $o)) | .next | way) end;
		[.tree | way] | join(" ")' "$SCRATCH/kept.json"
}
follow open dark broken
same "one way" "$(expect open dark broken)" "$asked"
follow whole lit broken
same "another" "$(expect whole lit broken)" "$asked"
follow whole dark whole
same "a third" "$(expect whole dark whole)" "$asked"
follow smoke open broken
same "one that says stop" stopped "$state"
lw trace --symptom walk-still --json
same "it leads a job with its symptom" "$tree" "$(get .tree.tree)"
finish
