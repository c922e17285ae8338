#!/bin/sh
# book: where it is, copies, and all that can be wrong with the file.
. "$SRC/tests/lib.sh"
lw() { run "$LAMPWRIGHT" "$@"; }
book=$SCRATCH/book.db

# Where it is.
lw --book "$book" book check
same "check" 0 "$code"
has "check says which book" "$book is sound" "$(flat "$out")"
same "the file is the owner's alone" 600 "$(stat -c %a "$book")"
lw book check --book "$book" --json
same "check --json" "true" "$(printf %s "$out" | jq .sound)"
LAMPWRIGHT_BOOK=$SCRATCH/env.db lw book check
has "the environment" "$SCRATCH/env.db is sound" "$(flat "$out")"
LAMPWRIGHT_BOOK=$SCRATCH/env.db lw book check --book "$book"
has "the option comes first" "$book is sound" "$(flat "$out")"
XDG_DATA_HOME=$SCRATCH/data lw book check
has "the XDG data folder" "$SCRATCH/data/lampwright/book.db is sound" "$(flat "$out")"
same "its folder is the owner's alone" 700 "$(stat -c %a "$SCRATCH/data/lampwright")"
HOME=$SCRATCH/home lw book check
# A long path may be wrapped.
has "the home folder" "$SCRATCH/home/.local/share/lampwright/book.db is sound" "$(flat "$out")"
HOME='' lw book check
same "no home is exit 3" 3 "$code"
has "and what to do is said" "--book" "$errout"

# A copy.
lw book save "$SCRATCH/copy.db" --book "$book"
same "save" 0 "$code"
lw book check --book "$SCRATCH/copy.db"
same "the copy is sound" 0 "$code"
lw book save "$SCRATCH/copy.db" --book "$book"
same "save never writes over a file" 1 "$code"
lw book save "$SCRATCH/no/such/folder.db" --book "$book"
same "a folder that is not there is exit 3" 3 "$code"
lw book save --book "$book"
same "no file is exit 2" 2 "$code"

# Not a book.
echo "this is a shopping list, and rather a long one at that" >"$SCRATCH/list.txt"
sum=$(cksum <"$SCRATCH/list.txt")
lw read 5 --book "$SCRATCH/list.txt"
same "not a book is exit 3" 3 "$code"
same "and is left alone" "$sum" "$(cksum <"$SCRATCH/list.txt")"
sqlite3 "$SCRATCH/other.db" "create table shopping (item text); insert into shopping values ('tea');"
sum=$(cksum <"$SCRATCH/other.db")
lw read 5 --book "$SCRATCH/other.db"
same "another program's database is exit 3" 3 "$code"
same "and is left alone, too" "$sum" "$(cksum <"$SCRATCH/other.db")"
lw read 5 --book "$SCRATCH"
same "a folder is exit 3" 3 "$code"
lw read 5 --book "$SCRATCH/no/such/book.db"
same "no such folder is exit 3" 3 "$code"

# A newer one.
cp "$book" "$SCRATCH/newer.db"
sqlite3 "$SCRATCH/newer.db" "pragma user_version = 9999;"
sum=$(cksum <"$SCRATCH/newer.db")
lw read 5 --book "$SCRATCH/newer.db"
same "a newer book is exit 3" 3 "$code"
has "and it says so" "newer" "$errout"
same "and is left alone, as well" "$sum" "$(cksum <"$SCRATCH/newer.db")"

# A damaged one.
cp "$book" "$SCRATCH/damaged.db"
size=$(stat -c %s "$SCRATCH/damaged.db")
dd if=/dev/urandom of="$SCRATCH/damaged.db" bs=1024 seek=$((size / 2048)) count=64 conv=notrunc 2>/dev/null
lw book check --book "$SCRATCH/damaged.db"
case $code in
1 | 3) ok ;;
*) not_ok "a damaged book: exit code $code" ;;
esac
lacks "a damaged book: something is said" "||" "|$out$errout|"
head -c 3000 "$book" >"$SCRATCH/short.db"
lw read 5 --book "$SCRATCH/short.db"
same "a book cut short is exit 3" 3 "$code"

# Somewhere that cannot be written. Root may write anywhere, so as nobody.
as_nobody=
if [ "$(id -u)" = 0 ]; then
	as_nobody="setpriv --reuid=65534 --regid=65534 --clear-groups"
fi
mkdir "$SCRATCH/locked"
cp "$book" "$SCRATCH/locked/book.db"
chmod 644 "$SCRATCH/locked/book.db"
chmod 555 "$SCRATCH/locked"
# shellcheck disable=SC2086 # several words
if $as_nobody test -x "$LAMPWRIGHT" && $as_nobody "$LAMPWRIGHT" --version >/dev/null 2>&1 &&
	$as_nobody test -r "$SCRATCH/locked/book.db"; then
	run $as_nobody "$LAMPWRIGHT" read 5 --book "$SCRATCH/locked/new.db"
	same "a new book in a read-only folder is exit 3" 3 "$code"
	lacks "a read-only folder: something is said" "||" "|$errout|"
	run $as_nobody "$LAMPWRIGHT" read 5 --book "$SCRATCH/locked/book.db"
	same "a read-only book can be read" 0 "$code"
	run $as_nobody "$LAMPWRIGHT" note add pattern 5 words --book "$SCRATCH/locked/book.db"
	same "and not written to" 3 "$code"
	run $as_nobody env XDG_DATA_HOME="$SCRATCH/locked" "$LAMPWRIGHT" read 5
	same "a data folder that cannot be made is exit 3" 3 "$code"
fi
chmod 755 "$SCRATCH/locked"

# A full disk: the size of files is limited instead, which SQLite sees as one.
cp "$book" "$SCRATCH/full.db"
blocks=$((size / 512 + 8))
# shellcheck disable=SC2016 # for the inner shell
run sh -c 'trap "" XFSZ; ulimit -f "$1"; shift; i=0
while [ $i -lt 60 ]; do
	"$0" note add pattern 5 "$(printf "%03900d" $i)" --book "$1" || exit $?
	i=$((i + 1))
done' "$LAMPWRIGHT" "$blocks" "$SCRATCH/full.db"
same "a full disk is exit 3" 3 "$code"
lacks "a full disk: something is said" "||" "|$errout|"
lw book check --book "$SCRATCH/full.db"
same "the book is sound afterwards" 0 "$code"
kept=$(grep -c Noted "$SCRATCH/.out" || true)
lw note add pattern 5 "there is room again" --book "$SCRATCH/full.db"
same "and goes on when there is room" 0 "$code"
lw note list --json --book "$SCRATCH/full.db"
same "nothing that was confirmed is lost" true "$(printf %s "$out" | jq "(.items | length) >= 1")"
# shellcheck disable=SC2016 # for the inner shell
run sh -c 'exec "$0" read 5 --book "$1" >/dev/full' "$LAMPWRIGHT" "$book"
same "a result that cannot be written is exit 3" 3 "$code"

# Two at once: a new book, and notes from both.
both=$SCRATCH/both.db
for who in one two; do
	(
		i=0
		while [ $i -lt 15 ]; do
			"$LAMPWRIGHT" note add pattern 5 "$who $i" --book "$both" >>"$SCRATCH/$who.log" 2>&1 || echo "$who $i: $?" >>"$SCRATCH/failed.log"
			i=$((i + 1))
		done
	) &
done
wait
same "two processes at once" "" "$(cat "$SCRATCH/failed.log" "$SCRATCH/one.log" 2>/dev/null | grep -v -e Noted -e 'made a new book')"
lw note list --json --book "$both"
same "and every note is there" 30 "$(printf %s "$out" | jq '.items | length')"
lw book check --book "$both"
same "and the book is sound" 0 "$code"
finish
