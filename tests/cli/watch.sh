#!/bin/sh
# watch: recordings and taps as somebody has them, to what they mean; the
# timeline in the terminal and as a file; what cannot be read. Every recording
# is invented.
. "$SRC/tests/lib.sh"
export LAMPWRIGHT_BOOK="$SCRATCH/book.db"
lw() { run "$LAMPWRIGHT" "$@"; }
get() { printf %s "$out" | jq -r "$1"; }

# flashes COUNTS CYCLES START [ON GAP GROUP-GAP PAUSE RATE]: seconds,level from
# a moment on; a level of 20 in the dark and 220 lit, with some ripple
flashes() {
	awk -v counts="$1" -v cycles="$2" -v start="$3" -v on="${4:-0.25}" -v gap="${5:-0.25}" \
		-v between="${6:-0.9}" -v pause="${7:-1.5}" -v rate="${8:-30}" 'BEGIN {
		n = split(counts, count, "-")
		for (c = 0; c < cycles; c++)
			for (g = 1; g <= n; g++)
				for (k = 1; k <= count[g]; k++) {
					from[e] = t; to[e++] = t + on
					t += on + (k < count[g] ? gap : g < n ? between : pause)
				}
		for (i = 0; (x = start + i / rate) < t; i++) {
			while (at < e && to[at] <= x) at++
			printf "%.4f,%.1f\n", x - start, (at < e && from[at] <= x ? 220 : 20) + (i * 7919 % 13) / 2
		}
	}'
}

# --- seven flashes on the field cart, from the middle of a group on ---------

flashes 7 4 1.2 >"$SCRATCH/seven.csv"
lw book check
lw watch "$SCRATCH/seven.csv" --device field-cart-drive --svg "$SCRATCH/seven.svg"
same "seven flashes are read: $errout" 0 "$code"
has "the pattern comes first" "7, " "$(printf '%s\n' "$out" | sed -n 1p)"
has "with how sure it is" "% sure, on Field cart drive controller" "$(printf '%s\n' "$out" | sed -n 1p)"
has "its fault" "(throttle-not-at-rest)" "$out"
has "how it goes on" "lampwright trace --device field-cart-drive --pattern 7" "$out"
has "its timing" "gap between flashes  0.25 s" "$out"
has "the part that is shown" "The whole recording, " "$out"
has "light in the timeline" "██" "$out"
has "dark in the timeline" "··" "$out"
has "what the characters mean" "█ lit, · dark" "$out"
has "what was cut off at the start" "or more" "$out"
same "80 columns" "" "$(printf '%s\n' "$out" | sed 's/█/x/g; s/·/x/g' | awk 'length($0) > 80')"
lacks "nothing is said on stderr" "lampwright:" "$errout"

run xmllint --noout "$SCRATCH/seven.svg"
same "the picture is well-formed: $errout" 0 "$code"
svg=$(cat "$SCRATCH/seven.svg")
has "it is one" 'xmlns="http://www.w3.org/2000/svg"' "$svg"
has "with a title" "<title>Timeline of the light</title>" "$svg"
has "and what it shows" "<desc>The whole recording" "$svg"
has "flashes are numbered" ">7</text>" "$svg"
lacks "no number went wrong" nan "$(printf %s "$svg" | tr '[:upper:]' '[:lower:]')"
lw watch "$SCRATCH/seven.csv" --svg -
has "the picture alone on standard output" "<?xml" "$(printf '%s\n' "$out" | sed -n 1p)"
lacks "without text" "sure" "$out"
lw watch "$SCRATCH/seven.csv" --svg "$SCRATCH/none/x.svg"
same "a picture that cannot be written" 3 "$code"
same "then nothing is shown" "" "$out"

lw watch "$SCRATCH/seven.csv"
same "without a device it is read as well" 0 "$code"
has "and how to name one is said" "--device D" "$out"

# --- the contract of the document -------------------------------------------

lw watch "$SCRATCH/seven.csv" --device field-cart-drive --json
same "decided" "0 1" "$code $(get .shape)"
same "its keys" "also coding coding_title confidence cycles cycles_text device device_title duty has_also has_times hertz is_several is_sure is_taps lamp lamp_title lamps pattern percent read remarks shape text_timeline timeline times timing watch watch_s" \
	"$(get 'keys | join(" ")')"
same "the pattern" "7 count" "$(get '"\(.pattern) \(.coding)"')"
same "confidence is a probability" true "$(get '.confidence > 0.9 and .confidence <= 1')"
same "never all of it" false "$(get '.percent == "100 %"')"
same "whole cycles" true "$(get '.cycles == 3')"
same "the timing's keys" "gap_s group_gap_s long_s on_s pause_s" "$(get '.timing | keys | join(" ")')"
same "the timing, to a frame" true "$(get '.timing | (.on_s - 0.25 | fabs) < 0.034 and (.gap_s - 0.25 | fabs) < 0.034 and (.pause_s - 1.5 | fabs) < 0.034')"
same "what it lacks is null" "null null" "$(get '"\(.timing.long_s) \(.timing.group_gap_s)"')"
same "a lamp's keys" "also coding coding_title confidence cycles cycles_text duty has_times hertz lamp lamp_title pattern percent remarks stretch_count stretches times timing" \
	"$(get '.lamps[0] | keys | join(" ")')"
same "a stretch's keys" "from_s kind mended on open to_s" "$(get '.lamps[0].stretches[0] | keys | join(" ")')"
# shellcheck disable=SC2016 # $i is jq's
same "they follow each other" true "$(get '.lamps[0].stretches | [range(1; length) as $i | .[$i].from_s == .[$i - 1].to_s and .[$i].on != .[$i - 1].on] | all')"
same "the first is open" true "$(get '.lamps[0].stretches[0].open')"
same "what it means" "throttle-not-at-rest" "$(get '.read.matches[0].fault')"
same "the lamp of the device" "status" "$(get .lamp)"
lw watch "$SCRATCH/seven.csv" --json
same "no device, and no meaning" "null null" "$(get '"\(.device) \(.read)"')"

# --- too little to tell --------------------------------------------------------

flashes 5 1 0.6 | head -n 64 >"$SCRATCH/short.csv"
lw watch "$SCRATCH/short.csv"
same "half a group does not decide" 1 "$code"
has "it says so first" "Not sure yet" "$(printf '%s\n' "$out" | sed -n 1p)"
has "how much longer" " more" "$(flat "$out")"
has "on stderr as well" "watch it for " "$errout"
lw watch "$SCRATCH/short.csv" --json
same "undecided is null, with confidence 0" "1 null 0" "$code $(get '"\(.pattern) \(.confidence)"')"
same "others are listed, the likeliest first" true "$(get '[.also[].confidence] | length > 0 and . == (sort | reverse)')"
awk 'BEGIN { for (i = 0; i < 200; i++) printf "%.3f,%d\n", i / 25, 100 + i % 2 }' >"$SCRATCH/level.csv"
lw watch "$SCRATCH/level.csv" --json
same "a level that never changes" "1 null" "$code $(get .pattern)"
same "cannot tell on from off" "off on" "$(get '[.also[].pattern] | sort | join(" ")')"
lw watch "$SCRATCH/level.csv" --svg "$SCRATCH/level.svg"
same "it is drawn all the same" 1 "$code"
run xmllint --noout "$SCRATCH/level.svg"
same "well-formed: $errout" 0 "$code"

# --- digits, and a code that the device does not list --------------------------

flashes 4-2 4 0 0.2 0.3 0.9 2.5 >"$SCRATCH/digits.csv"
lw watch "$SCRATCH/digits.csv" --device orchard-trike-drive --json
same "digits" "4-2 digits motor-circuit-open" "$(get '"\(.pattern) \(.coding) \(.read.matches[0].fault)"')"
flashes 12 4 0 >"$SCRATCH/twelve.csv"
lw watch "$SCRATCH/twelve.csv" --device field-cart-drive
same "a code that is not listed is decided" 0 "$code"
has "and not hidden" "12, " "$(printf '%s\n' "$out" | sed -n 1p)"
has "the list does not have it" "field-cart-drive lists no such code" "$out"
has "the nearest that it has" "  11  " "$out"

# --- two lamps in two columns ---------------------------------------------------

flashes 3 5 0 0.2 0.2 0 1 60 >"$SCRATCH/err"
flashes 1 20 0 0.2 0.2 0 0.2 60 >"$SCRATCH/run"
{
	echo "seconds,red,green"
	paste -d, "$SCRATCH/err" "$SCRATCH/run" | awk -F, 'NF == 4 && $4 != "" { print $1 "," $2 "," $4 }'
} >"$SCRATCH/two.csv"
lw watch "$SCRATCH/two.csv" --device canopen-node --json
same "both lamps are read: $errout" 0 "$code"
same "columns are the lamps of that colour" "err run" "$(get '[.lamps[].lamp] | join(" ")')"
same "each by itself" "3 2.5Hz" "$(get '[.lamps[].pattern | sub("/.*"; "")] | join(" ")')"
same "both are looked up" "canopen-pre-operational canopen-sync-error" "$(get '[.read.matches[].fault] | sort | join(" ")')"
same "both are drawn" 2 "$(get '.timeline.rows[0].lanes | length')"
lw watch "$SCRATCH/two.csv" --device canopen-node --lamp err
same "one of them alone" 0 "$code"
has "is read alone" "3, " "$(printf '%s\n' "$out" | sed -n 1p)"
lw watch "$SCRATCH/two.csv" --device canopen-node
has "both are named in the timeline" "err:" "$out"
lw watch "$SCRATCH/two.csv" --lamp green
has "a column by its name" "2.5Hz" "$(printf '%s\n' "$out" | sed -n 1p)"
lw watch "$SCRATCH/two.csv" --lamp blue
same "no such column" 1 "$code"
has "it names those there are" "red, green" "$(flat "$errout")"
lw watch "$SCRATCH/two.csv" --device canopen-node --lamp blue
same "no such lamp" 1 "$code"
has "it names those there are, too" "run, err" "$(flat "$errout")"
# The cart has one lamp, a red one.
lw watch "$SCRATCH/two.csv" --device field-cart-drive
same "a column that is no lamp of the device: $errout" 0 "$code"
has "is read all the same" "status:3 green:2.5Hz" "$(printf '%s\n' "$out" | sed -n 1p)"
has "the other is looked up" "(over-temperature-motor)" "$out"
has "with its own pattern" "--pattern 3" "$out"
has "and it is said" "has no lamp green, and what that shows is not looked up; it has status (red)." "$(flat "$out")"
lw watch "$SCRATCH/two.csv" --device field-cart-drive --lamp red
same "one of them by its colour: $errout" 0 "$code"
has "is looked up" "(over-temperature-motor)" "$out"
lw watch "$SCRATCH/err" --device canopen-node
has "which lamp it was would help" "canopen" "$(flat "$out" | tr '[:upper:]' '[:lower:]')"
has "is said" "has 2 lamps" "$(flat "$out")"
lw watch "$SCRATCH/err" --device canopen-node --lamp err
lacks "and not once it was said" "has 2 lamps" "$(flat "$out")"
lw watch "$SCRATCH/seven.csv" --device no-such
same "no such device" 1 "$code"
has "is named" "no-such" "$errout"

# --- taps ------------------------------------------------------------------------

awk 'BEGIN { for (c = 0; c < 4; c++) { for (k = 0; k < 5; k++) { printf "%.3f\n", t; t += 0.5 } t += 1.5 } }' >"$SCRATCH/taps.txt"
lw watch --taps "$SCRATCH/taps.txt" --device field-cart-drive --svg "$SCRATCH/taps.svg"
same "taps are read: $errout" 0 "$code"
has "as five" "5, " "$(printf '%s\n' "$out" | sed -n 1p)"
has "with their fault" "(supply-low)" "$out"
has "each tap is a line" "|···" "$out"
run xmllint --noout "$SCRATCH/taps.svg"
same "their picture is well-formed: $errout" 0 "$code"
has "a picture of taps" "Timeline of the taps" "$(cat "$SCRATCH/taps.svg")"
lw watch --taps "$SCRATCH/taps.txt" --json
same "they are said to be taps" true "$(get .is_taps)"

# --- standard input, and what cannot be read --------------------------------------

code=0
out=$("$LAMPWRIGHT" watch - --device field-cart-drive <"$SCRATCH/seven.csv" 2>/dev/null) || code=$?
same "standard input" 0 "$code"
has "is read the same" "7, " "$(printf '%s\n' "$out" | sed -n 1p)"
{ head -n 20 "$SCRATCH/seven.csv"; echo "what is this"; tail -n +21 "$SCRATCH/seven.csv"; } >"$SCRATCH/bad.csv"
lw watch "$SCRATCH/bad.csv"
same "a line that is no row" 2 "$code"
has "is named with its file" "bad.csv:21:" "$errout"
same "in one line" 1 "$(printf '%s\n' "$errout" | grep -c .)"
same "and nothing is shown" "" "$out"
code=0
errout=$("$LAMPWRIGHT" watch - <"$SCRATCH/bad.csv" 2>&1 >/dev/null) || code=$?
same "the same from standard input" 2 "$code"
has "with the line" "standard input:21:" "$errout"
: >"$SCRATCH/empty.csv"
lw watch "$SCRATCH/empty.csv"
same "nothing in it" 2 "$code"
has "is said" "empty.csv: " "$errout"
lw watch "$SCRATCH/missing.csv"
same "no such file" 3 "$code"
has "is said, too" "missing.csv" "$errout"
lw watch "$SCRATCH"
same "a folder" 3 "$code"
has "is said to be one" "is a folder" "$(flat "$errout")"
lw watch
same "which recording?" 2 "$code"
lw watch "$SCRATCH/seven.csv" "$SCRATCH/twelve.csv"
same "one at a time" 2 "$code"
lw watch --taps "$SCRATCH/seven.csv"
same "a recording is no list of taps" 2 "$code"

# --- a million rows ------------------------------------------------------------------

flashes 3 5 0 0.25 0.25 0.9 1.5 72000 | head -n 1000000 >"$SCRATCH/million.csv"
lw watch "$SCRATCH/million.csv" --svg "$SCRATCH/million.svg"
same "a million rows are read: $errout" 0 "$code"
has "as three" "3, " "$(printf '%s\n' "$out" | sed -n 1p)"
same "and drawn small" true "$([ "$(wc -c <"$SCRATCH/million.svg")" -lt 100000 ] && echo true)"
finish
