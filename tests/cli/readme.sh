#!/bin/sh
# The README's examples: every line that begins with "    $ " and what is
# shown below it, run in order on one new book. A line "..." stands for any
# number of lines.
. "$SRC/tests/lib.sh"

LAMPWRIGHT_BOOK=$SCRATCH/readme.db
PATH=$(dirname "$LAMPWRIGHT"):$PATH
export LAMPWRIGHT_BOOK PATH
# Its paths are those of the source.
cd "$SRC" || exit 1

# One file a command, and one with what is expected of it.
awk -v dir="$SCRATCH" '
	/^    \$ / { n++; print substr($0, 7) > (dir "/" n ".cmd"); printf "" > (dir "/" n ".want"); open = 1; next }
	/^    / && open { print substr($0, 5) > (dir "/" n ".want"); next }
	/^$/ && open { print "" > (dir "/" n ".want"); next }
	{ open = 0 }
' "$SRC/README.md"

# matches WANT GOT: line by line, "..." for any lines
matches() {
	awk '
		NR == FNR { want[++w] = $0; next }
		{ got[++g] = $0 }
		END {
			while (w > 0 && want[w] == "") w--
			while (g > 0 && got[g] == "") g--
			at = 1; free = 0
			for (i = 1; i <= w; i++) {
				if (want[i] == "...") { free = 1; continue }
				while (free && at <= g && got[at] != want[i]) at++
				if (at > g || got[at] != want[i]) {
					printf "expected: %s\n     got: %s\n", want[i], got[at]
					exit 1
				}
				at++; free = 0
			}
			exit !(free || at > g)
		}' "$1" "$2"
}

n=1
while [ -e "$SCRATCH/$n.cmd" ]; do
	sh "$SCRATCH/$n.cmd" >"$SCRATCH/$n.got" 2>/dev/null </dev/null
	if [ ! -s "$SCRATCH/$n.want" ] || ! grep -q . "$SCRATCH/$n.want"; then
		# No output is shown: it only has to run, and need not decide.
		ok
	elif why=$(matches "$SCRATCH/$n.want" "$SCRATCH/$n.got"); then
		ok
	else
		not_ok "README: $(cat "$SCRATCH/$n.cmd")
$why"
	fi
	n=$((n + 1))
done
same "there are examples" yes "$([ "$n" -gt 8 ] && echo yes)"

# The comparison can fail.
printf 'a\n...\nz\n' >"$SCRATCH/want"
printf 'a\nb\nc\n' >"$SCRATCH/got"
if matches "$SCRATCH/want" "$SCRATCH/got" >/dev/null; then
	not_ok "a missing line is not noticed"
else
	ok
fi
finish
