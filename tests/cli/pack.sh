#!/bin/sh
# pack: in, out, checked; and files that are no packs.
. "$SRC/tests/lib.sh"
export LAMPWRIGHT_BOOK="$SCRATCH/book.db"
lw() { run "$LAMPWRIGHT" "$@"; }
bench=$SRC/tests/cli/bench.yaml

lw pack list --json
same "the shipped packs are there" true "$(printf %s "$out" | jq '[.items[].id] | (index("demo") != null) and (index("traction") != null) and (index("supply") != null)')"
lw pack check "$bench"
same "a sound pack" 0 "$code"
lw pack check "$bench" --json
same "no problems: an empty list" "[] 0" "$(printf %s "$out" | jq -r '[(.problems | tostring), .count] | join(" ")')"
lw pack add "$bench"
same "pack add" 0 "$code"
lw pack write bench
same "pack write" 0 "$code"
has "it says that comments are not kept" "comments" "$errout"
printf '%s\n' "$out" >"$SCRATCH/once.yaml"
lw pack check "$SCRATCH/once.yaml"
same "what was written reads back" 0 "$code"
lw pack add "$SCRATCH/once.yaml"
lw pack write bench
printf '%s\n' "$out" >"$SCRATCH/twice.yaml"
same "byte for byte the second time" "" "$(cmp "$SCRATCH/once.yaml" "$SCRATCH/twice.yaml" 2>&1)"
lw pack write bench --json
same "pack write --json" "bench true" "$(printf %s "$out" | jq -r '[.name, (.text | startswith("pack: bench") | tostring)] | join(" ")')"
lw pack write nobody
same "no such pack is exit 1" 1 "$code"

# Problems.
sed 's/cause: bench-flat}/cause: bench-falt}/' "$bench" >"$SCRATCH/bad.yaml"
lw pack check "$SCRATCH/bad.yaml"
same "a pack with a problem is exit 1" 1 "$code"
same "file:line:column: rule: sentence" 1 "$(printf '%s\n' "$out" | grep -cE "^$SCRATCH/bad.yaml:[0-9]+:[0-9]+: [a-z-]+: .*bench-falt")"
lw pack check "$SCRATCH/bad.yaml" --json
same "its keys" "column file line rule text" "$(printf %s "$out" | jq -r '.problems[0] | keys | join(" ")')"
same "its line" "$(grep -n 'bench-falt' "$SCRATCH/bad.yaml" | cut -d: -f1)" "$(printf %s "$out" | jq -r '.problems[0].line')"
lw pack add "$SCRATCH/bad.yaml"
same "it is not put in" 1 "$code"
has "and that is said" "nothing was put in the book" "$errout"
printf 'pack: [unclosed\n  - x: {' >"$SCRATCH/broken.yaml"
lw pack check "$SCRATCH/broken.yaml"
same "broken YAML is exit 1" 1 "$code"
has "with its place" "broken.yaml:" "$out"
printf 'pack: other\ntitle: \377\376\n' >"$SCRATCH/latin.yaml"
lw pack check "$SCRATCH/latin.yaml"
case $code in
1 | 3) ok ;;
*) not_ok "invalid UTF-8: exit code $code" ;;
esac
has "invalid UTF-8 is said" "UTF-8" "$out$errout"
printf 'pack: [1, 2]\ndevices: no\nfaults: {a: b}\n' >"$SCRATCH/types.yaml"
lw pack check "$SCRATCH/types.yaml"
same "wrong types are exit 1" 1 "$code"
: >"$SCRATCH/empty.yaml"
lw pack check "$SCRATCH/empty.yaml"
same "an empty file is exit 1" 1 "$code"
head -c 50000000 /dev/zero | tr '\0' '#' >"$SCRATCH/big.yaml"
lw pack check "$SCRATCH/big.yaml"
same "a pack of 50 MB is exit 3" 3 "$code"
has "and how large it may be is said" "4" "$errout"
rm -f "$SCRATCH/big.yaml"
lw pack check "$SCRATCH/not-there.yaml"
same "no such file is exit 3" 3 "$code"
has "and it is named" "not-there.yaml" "$errout"
lw pack check "$SCRATCH/not-there.yaml" "$SCRATCH/bad.yaml"
same "with one that can be read it is still exit 3" 3 "$code"
has "and the other is still checked" "bench-falt" "$out"
lw pack check "$SCRATCH"
same "a folder is exit 3" 3 "$code"
lw pack check
same "no file is exit 2" 2 "$code"
lw pack check - --json
same "an empty standard input is exit 1" 1 "$code"

# Ids that belong to somebody else.
sed 's/^pack: bench/pack: rival/' "$bench" >"$SCRATCH/rival.yaml"
lw pack add "$SCRATCH/rival.yaml"
same "another pack's ids are exit 1" 1 "$code"
lw pack write rival
same "nothing of it is kept" 1 "$code"

# Own devices and codes as a pack.
lw device new zz-mine --coding count
lw teach zz-mine 3 bench-low
lw pack write own
has "the builder's own" "zz-mine" "$out"
lw pack remove own
same "own cannot be removed" 2 "$code"
lw pack remove bench
same "remove" 0 "$code"
lw read 4 --device bench-drive
same "its device is gone" 1 "$code"
lw device show zz-mine
same "the own device stays" 0 "$code"
lw pack remove bench
same "removed twice is exit 1" 1 "$code"
lw pack remove demo
lw pack list --json
same "a shipped pack that was removed stays away" null "$(printf %s "$out" | jq '[.items[].id] | index("demo")')"
finish
