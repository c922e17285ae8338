#!/bin/sh
# screen: paired phones and computers, listed and sent away; and what a copy
# of the book leaves out. Rows are put in by hand: pairing is the server's.
. "$SRC/tests/lib.sh"
export LAMPWRIGHT_BOOK="$SCRATCH/book.db"
lw() { run "$LAMPWRIGHT" "$@"; }

one=$(printf '%064x' 1)
two=$(printf '%064x' 2)
# pair KEY NAME AGENT LAST
now=$(date +%s)
pair() {
	sqlite3 "$LAMPWRIGHT_BOOK" "insert into screens (key, name, agent, since_s, last_s, until_s)
		values ('$1', '$2', '$3', $now - 3600, $now - $4, $now + 86400);"
}

lw screen list
same "no screens is exit 0" 0 "$code"
has "and it says how to pair one" "lampwright serve --lan" "$out"
lw screen list --json
same "no screens: an empty list" "[]" "$(printf %s "$out" | jq -c .screens)"
lw screen remove --all
same "none to send away is exit 0" 0 "$code"
same "and it says so" "No screen is paired." "$out"

pair "$one" "phone 3f" "Invented browser (Mobile)" 30
pair "$two" "computer 04" "" 10
sqlite3 "$LAMPWRIGHT_BOOK" "insert into screens (key, name, agent, since_s, last_s, until_s)
	values ('$(printf '%064x' 3)', 'phone old', '', 1, 2, $now - 1);"
lw pack add "$SRC/tests/cli/bench.yaml"
lw rig new cart48 --title "Market garden cart"
lw rig use cart48
lw trace --device bench-drive --pattern 4 --json
job=$(printf %s "$out" | jq .job)
LAMPWRIGHT_SCREEN=$one lw job answer "$job" not-open
same "the phone answers: $errout" 0 "$code"
LAMPWRIGHT_SCREEN=$two lw job ask "$job"
same "the computer asks: $errout" 0 "$code"

lw screen list
same "list" 0 "$code"
has "a number and a name" "Screen 1: phone 3f" "$out"
has "what it says it is" "Says it is:  Invented browser (Mobile)" "$out"
has "since when" "Paired:      $(date -u -d "@$((now - 3600))" '+%Y-%m-%d %H:%M')" "$out"
has "last seen" "Last seen:   $(date -u -d "@$((now - 30))" '+%Y-%m-%d %H:%M')" "$out"
has "what it holds" "Holds: Market garden cart, for job $job (" "$(flat "$out")"
lacks "one that is over is not listed" "phone old" "$out"
lacks "no key is shown" "00000000" "$out"
lw screen list --json
same "the last seen first" "2 1" "$(printf %s "$out" | jq -r '[.screens[].screen] | join(" ")')"
same "the keys" "agent holds last last_time name own screen since since_time until until_time" "$(printf %s "$out" | jq -r '.screens[0] | keys | join(" ")')"
same "what it holds" "[{\"job\":$job,\"rig\":\"cart48\",\"rig_title\":\"Market garden cart\"}]" "$(printf %s "$out" | jq -c '.screens[1].holds | map(del(.title))')"
lacks "no key in JSON" "00000000" "$out"

# What cannot be read.
for words in "" "x" "0" "-1" "1 x" "1.5" "99999999999999999999" "1 --all"; do
	# shellcheck disable=SC2086 # several words
	lw screen remove $words
	same "remove $words is exit 2" 2 "$code"
done
lw screen list extra
same "list takes no words" 2 "$code"
lw screen list --all
same "list takes no --all" 2 "$code"
lw screen
same "what to do is missing" 2 "$code"
lw screen list --json
same "and nobody is away for it" 2 "$(printf %s "$out" | jq '.screens | length')"

# A copy carries neither screens nor holds; the book keeps both.
lw book save "$SCRATCH/copy.db"
same "save" 0 "$code"
run "$LAMPWRIGHT" screen list --json --book "$SCRATCH/copy.db"
same "a copy pairs nobody" "[]" "$(printf %s "$out" | jq -c .screens)"
run "$LAMPWRIGHT" job show "$job" --json --book "$SCRATCH/copy.db"
same "and has no hold" false "$(printf %s "$out" | jq .hold.held)"
same "but the job with its findings" true "$(printf %s "$out" | jq '(.findings | length) >= 2')"
run "$LAMPWRIGHT" book check --book "$SCRATCH/copy.db"
same "and is sound" 0 "$code"
same "and has no key in it" 0 "$(grep -c -a -e "$one" -e "$two" "$SCRATCH/copy.db")"
same "which the book has" 1 "$(grep -q -a "$one" "$LAMPWRIGHT_BOOK" && echo 1)"

# Away.
lw screen remove 9 1
same "a number of nobody is exit 1" 1 "$code"
has "and it says which" "there is no screen 9" "$errout"
same "the other is away all the same" "Screen 1 is sent away." "$out"
lw job show "$job" --json
same "what it held is free" false "$(printf %s "$out" | jq .hold.held)"
lw screen remove 1
same "away is away" 1 "$code"
lw screen remove 2 --json
same "remove --json shows who is left" "[]" "$(printf %s "$out" | jq -c .screens)"
pair "$one" "phone 3f" "" 5
lw screen remove --all
same "the only one" "Every screen is sent away." "$out"
pair "$one" "phone 3f" "" 5
pair "$two" "$(printf 'red\033[31m')" "" 5
lw screen list
lacks "a name cannot drive the terminal" "$(printf '\033')" "$out"
same "numbers go on" "5 6" "$(lw screen list --json && printf %s "$out" | jq -r '[.screens[].screen] | sort | join(" ")')"
lw screen remove --all
same "all of them" "Every screen is sent away." "$out"
lw screen list --json
same "and none is left" "[]" "$(printf %s "$out" | jq -c .screens)"
lw book check
same "and the book is sound" 0 "$code"

# The files are their owner's, whatever the umask.
for mask in 000 022; do
	# shellcheck disable=SC2016 # for the inner shell
	run sh -c 'umask "$1"; unset LAMPWRIGHT_BOOK
	XDG_DATA_HOME="$2" "$0" book save "$2-copy.db"' "$LAMPWRIGHT" "$mask" "$SCRATCH/data$mask"
	same "umask $mask: a new book and a copy: $errout" 0 "$code"
	same "umask $mask: modes" "700 700 600 600" "$(stat -c %a "$SCRATCH/data$mask" "$SCRATCH/data$mask/lampwright" \
		"$SCRATCH/data$mask/lampwright/book.db" "$SCRATCH/data$mask-copy.db" | tr '\n' ' ' | sed 's/ $//')"
done
finish
