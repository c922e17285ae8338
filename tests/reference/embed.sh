#!/bin/sh
# Files that were built in are the files, byte for byte; odd names are refused.
. "$SRC/tests/lib.sh"

cd "$SCRATCH" || exit 1
run cc -std=gnu17 -Wall -Wextra -Wpedantic -Werror -I"$SRC/src" "$SRC/src/base/embed.c" -o embed
same "embed compiles: $errout" 0 "$code"

mkdir -p from/src/book from/kb
# Every byte there is, twice over; no bytes at all; a text without a newline.
LC_ALL=C awk 'BEGIN { for (i = 0; i < 512; i++) printf "%c", i % 256 }' >from/src/book/all.bin
: >from/kb/empty
printf 'no newline' >from/plain.txt
same "all bytes" 512 "$(wc -c <from/src/book/all.bin | tr -d ' ')"

cat >show.c <<'EOF'
#include "base/asset.h"
#include <stdio.h>
extern const struct asset test_assets[];
int main(int argc, char **argv)
{
	const struct asset *asset = asset_find(test_assets, argv[argc - 1]);
	if (asset == NULL || asset->data[asset->size] != 0)
		return 1;
	return fwrite(asset->data, 1, asset->size, stdout) != asset->size;
}
EOF
./embed test_assets from src/book/all.bin kb/empty plain.txt >table.c
same "embed runs" 0 "$?"
run cc -std=gnu17 -Wall -Wextra -Wpedantic -Werror -I"$SRC/src" show.c table.c "$SRC/src/base/asset.c" -o show
same "the table compiles: $errout" 0 "$code"

# content NAME FILE
content() {
	if ./show "$1" >got && cmp -s got "$2"; then
		ok
	else
		not_ok "$1 is not $2"
	fi
}
content book/all.bin from/src/book/all.bin
content kb/empty from/kb/empty
content plain.txt from/plain.txt
for name in src/book/all.bin all.bin book plain.txtx ''; do
	run ./show "$name"
	same "there is no '$name'" 1 "$code"
done

# refused WHAT ARGUMENT...
refused() {
	what=$1
	shift
	run ./embed test_assets from "$@"
	same "$what is refused" 1 "$code"
	has "$what is named" "$1" "$errout"
}
refused "a missing file" gone.txt
refused "a folder upward" ../show.c
refused "an absolute path" /etc/passwd
refused "a folder" src/book
refused "a quote" 'a".txt'
mkdir -p from/a from/src/a
: >from/a/b
: >from/src/a/b
refused "one name for two files" a/b src/a/b
run ./embed
same "no arguments" 1 "$code"
finish
