#!/bin/sh
# find: symptoms first, by any phrasing; nothing is exit 1.
. "$SRC/tests/lib.sh"
export LAMPWRIGHT_BOOK="$SCRATCH/book.db"
lw() { run "$LAMPWRIGHT" "$@"; }

lw find creeps after letting go
same "find says yes" 0 "$code"
same "symptoms come first" "Symptoms" "$(printf '%s\n' "$out" | sed -n 1p)"
has "how to go on" "lampwright trace --symptom" "$out"
lw find creeps after letting go --json
same "the keys" "found groups has_settings hits query shape" "$(printf %s "$out" | jq -r 'keys | join(" ")')"
same "the keys of a hit" "id kind kind_title score snippet title" "$(printf %s "$out" | jq -r '.hits[0] | keys | join(" ")')"
same "the first hit is a symptom" symptom "$(printf %s "$out" | jq -r '.hits[0].kind')"
same "groups hold the same hits" true "$(printf %s "$out" | jq '[.groups[].hits[]] == .hits')"

lw pack add "$SRC/tests/cli/bench.yaml"
lw find flollo --json
same "a beginning and another phrasing find a symptom" bench-dead "$(printf %s "$out" | jq -r '.hits[0].id')"
lw find bench voltage --json
same "the kinds in their order" true "$(printf %s "$out" | jq '[.hits[].kind] as $k | ["symptom","fault","cause","check","setting","note","device"] as $o | [$k[] | . as $x | $o | index($x)] | . == sort')"
lw note add cause bench-flat "marmalade on the terminals"
lw find marmalade --json
same "a note is found" "note" "$(printf %s "$out" | jq -r '.hits[0].kind')"

lw find quixotic zebra
same "nothing is exit 1" 1 "$code"
lw find quixotic zebra --json
same "nothing with --json is exit 1" 1 "$code"
same "and a whole document" "false []" "$(printf %s "$out" | jq -r '[(.found | tostring), (.hits | tostring)] | join(" ")')"
lw find
same "no words is exit 2" 2 "$code"
for odd in '"' "AND OR NOT" "NEAR(" "*" "a*b:c^" "'; drop table note; --" "$(printf '\377')" "%s%n"; do
	lw find "$odd"
	case $code in
	0 | 1 | 2) ok ;;
	*) not_ok "find $odd: exit code $code, $errout" ;;
	esac
done
lw book check
same "the book is sound after all that" 0 "$code"
# Where all words hit, what has but half of them is left out.
LAMPWRIGHT_BOOK=$SCRATCH/shipped.db lw find creeps after letting go --json
same "the symptom first" creeps-at-rest "$(printf %s "$out" | jq -r '.hits[0].id')"
same "and no half hits of other kinds" symptom "$(printf %s "$out" | jq -r '[.hits[].kind] | unique | join(" ")')"
finish
