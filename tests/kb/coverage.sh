#!/bin/sh
# What the packs that ship cover: faults by trees, causes by checks, states by
# cautions, with how much there has to be of each. The tables are left in
# coverage.txt of the build folder, and tests/run prints them.
. "$SRC/tests/lib.sh"
export LAMPWRIGHT_BOOK="$SCRATCH/book.db"
table=$BUILD/coverage.txt

run "$LAMPWRIGHT" pack list
same "the book is made" 0 "$code"
run "$LAMPWRIGHT" pack check "$SRC"/kb/*.yaml
same "the packs that ship have no problems, and nothing is advised" "0 " "$code $(printf '%s' "$out" | grep -v '^No problems' | head -n 40)"

# rows SQL: its rows
rows() {
	printf '.read %s/tests/kb/coverage.sql\n%s;\n' "$SRC" "$1" | sqlite3 -list "$LAMPWRIGHT_BOOK"
}
# columns TITLE SQL
columns() {
	printf '%s\n' "$1"
	printf '.read %s/tests/kb/coverage.sql\n.headers on\n%s;\n' "$SRC" "$2" |
		sqlite3 -list -separator '	' "$LAMPWRIGHT_BOOK" | awk -F '	' '
			{ rows[NR] = $0; for (i = 1; i <= NF; i++) if (length($i) > width[i]) width[i] = length($i) }
			END { for (r = 1; r <= NR; r++) { n = split(rows[r], f, "\t"); line = "  "
				for (i = 1; i <= n; i++) line = line sprintf("%-" width[i] + 2 "s", f[i])
				sub(/ +$/, "", line); print line } }'
	echo
}
{
	columns "Faults, and the trees that lead from them" \
		"SELECT fault, severity, causes, tree FROM per_fault ORDER BY pack, fault"
	columns "Symptoms, and the trees that lead from them" \
		"SELECT symptom, causes, phrases, tree FROM per_symptom ORDER BY symptom"
	columns "Causes: how many checks speak for and against them" \
		"SELECT cause, faults, symptoms, speak_for, isolated, against, trees FROM per_cause ORDER BY pack, cause"
	columns "Power states, and their cautions" "SELECT * FROM per_state"
	columns "Walk-throughs" "SELECT * FROM per_walk ORDER BY walk"
	columns "Left open" "SELECT * FROM open_ends"
} >"$table"

same "nothing is left open" "" "$(rows 'SELECT what, id FROM open_ends')"

# at_least WHAT COUNT SQL
at_least() {
	there=$(rows "$3")
	if [ "$there" -ge "$2" ]; then ok; else not_ok "$1: $there, and at least $2 are needed"; fi
}
vehicle="pack IN ('supply', 'contactor', 'power-stage', 'motor', 'controls', 'links', 'traction', 'traction-trees', 'safety', 'walks')"
at_least "faults" 40 "SELECT count(*) FROM items WHERE kind = 'fault' AND $vehicle"
at_least "symptoms" 30 "SELECT count(*) FROM items WHERE kind = 'symptom' AND $vehicle"
at_least "causes" 120 "SELECT count(*) FROM items WHERE kind = 'cause' AND $vehicle"
at_least "checks" 150 "SELECT count(*) FROM items WHERE kind = 'check' AND $vehicle"
at_least "trees" 25 "SELECT count(*) FROM items JOIN trees ON item = number WHERE NOT walk AND $vehicle"
at_least "walk-throughs" 6 "SELECT count(*) FROM per_walk"
at_least "settings" 30 "SELECT count(*) FROM items WHERE kind = 'setting'"
at_least "parts of settings" 7 "SELECT count(DISTINCT part) FROM pack_settings"
at_least "cautions" 30 "SELECT count(*) FROM items WHERE kind = 'caution'"
at_least "values read through a programmer" 12 \
	"SELECT count(DISTINCT item) FROM check_tools WHERE tool = 'the maker''s programming tool'"
for rule in from_volts from_joules; do
	at_least "cautions by $rule" 1 "SELECT count(*) FROM cautions WHERE $rule > 0"
done
for rule in motor= pack.kind= reference=; do
	at_least "cautions by $rule" 2 "SELECT count(*) FROM cautions WHERE only_on LIKE '%$rule%'"
done

# What has no authored tree is compiled: every one can be.
for symptom in $(rows "SELECT symptom FROM per_symptom WHERE tree = 'compiled'"); do
	run "$LAMPWRIGHT" plan --tree-for "$symptom" --seconds 0.1 --json
	same "a tree is compiled for $symptom" "0 true" "$code $(printf '%s' "$out" | jq '.checks_used > 1')"
done
finish
