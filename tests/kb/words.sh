#!/bin/sh
# One name for one thing in the packs that ship: words.tsv.
. "$SRC/tests/lib.sh"

# Without what people say: phrases, patterns, and comments.
for file in "$SRC"/kb/*.yaml; do
	awk '/^ *#/ { next }
		/^    (phrases|patterns):/ { skip = 1; next }
		skip && /^      - / { next }
		{ skip = 0; printf "%s:%d:%s\n", FILENAME, FNR, $0 }' "$file"
done | sed 's|^.*/kb/|kb/|' >"$SCRATCH/words.txt"
if [ "$(wc -l <"$SCRATCH/words.txt")" -gt 3000 ]; then ok; else not_ok "there is little to look at"; fi
tried=0
while IFS='	' read -r say but; do
	case $say in '#'* | '') continue ;; esac
	tried=$((tried + 1))
	found=$(grep -i -w -E -e "$but" "$SCRATCH/words.txt" | head -n 5)
	same "\"$say\", not \"$but\"" "" "$found"
done <"$SRC/tests/kb/words.tsv"
if [ "$tried" -gt 15 ]; then ok; else not_ok "only $tried words were tried"; fi
finish
