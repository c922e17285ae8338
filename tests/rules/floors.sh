#!/bin/sh
# Who may include whom: downward only (DEVELOPERS.md, "The floors"), and every
# third-party header in its own folder.
. "$SRC/tests/lib.sh"

# folder: the folders it may include, itself aside
allowed() {
	case $1 in
	base) echo "" ;;
	regex | reason | fill) echo "base" ;;
	lamp | meter) echo "base regex" ;;
	book) echo "base regex lamp meter" ;;
	pack) echo "base regex lamp meter book" ;;
	job) echo "base regex lamp meter reason book" ;;
	view) echo "base regex lamp meter reason fill book pack job" ;;
	cli | serve) echo "base fill view" ;;
	*) return 1 ;;
	esac
}

# header: the folders it may be in
home_of() {
	case $1 in
	sqlite3.h) echo "book" ;;
	yaml.h) echo "pack" ;;
	pcre2.h) echo "regex" ;;
	microhttpd.h) echo "serve" ;;
	jansson.h) echo "view fill" ;;
	qrencode.h | gnutls/*) echo "serve" ;;
	check.h) echo "" ;;
	*) return 1 ;;
	esac
}

# check_tree ROOT: prints a line for each offence
check_tree() {
	for folder in "$1"/*/; do
		folder=$(basename "$folder")
		[ "$folder" = lampwright ] && continue
		may=$(allowed "$folder") || {
			echo "src/$folder is not a folder of the plan"
			continue
		}
		for file in "$1/$folder"/*.[ch]; do
			[ -e "$file" ] || continue
			name=$folder/$(basename "$file")
			sed -n 's/^[ \t]*#[ \t]*include[ \t]*"\([a-z_0-9]*\)\/.*/\1/p' "$file" |
				while read -r other; do
					[ "$name $other" = "cli/cmd_serve.c serve" ] && continue
					case " $folder $may " in
					*" $other "*) ;;
					*) echo "$name includes $other/, which is not below it" ;;
					esac
				done
			sed -n 's/^[ \t]*#[ \t]*include[ \t]*<\([a-z0-9/]*\.h\)>.*/\1/p' "$file" |
				while read -r header; do
					home=$(home_of "$header") || continue
					case " $home " in
					*" $folder "*) ;;
					*) echo "$name includes <$header>, which belongs in: $home" ;;
					esac
				done
		done
	done
}

same "no folder includes upward" "" "$(check_tree "$SRC/src")"

# The test can fail: a tree with one offence of each kind.
mkdir -p "$SCRATCH/src/lamp" "$SCRATCH/src/book" "$SCRATCH/src/attic"
echo '#include "book/jobs.h"' >"$SCRATCH/src/lamp/up.c"
echo '#include <yaml.h>' >"$SCRATCH/src/book/yaml.c"
found=$(check_tree "$SCRATCH/src")
has "upward include is noticed" "lamp/up.c includes book/" "$found"
has "strayed header is noticed" "book/yaml.c includes <yaml.h>" "$found"
has "unknown folder is noticed" "src/attic" "$found"
finish
