#!/bin/sh
# cppcheck over the C, shellcheck over the shell.
. "$SRC/tests/lib.sh"

run cppcheck --quiet --std=c11 --language=c --enable=warning,portability,performance \
	--inline-suppr --error-exitcode=1 --suppress=missingIncludeSystem \
	--suppressions-list="$SRC/tests/rules/cppcheck.txt" \
	-DLAMPWRIGHT_VERSION='"0"' -I"$SRC/src" "$SRC/src"
same "cppcheck: $errout" 0 "$code"

scripts=$(find "$SRC/src/up" "$SRC/tests" "$SRC/.ci/run" -type f \( -name '*.sh' -o -name up -o -name run \) ! -path '*/node_modules/*')
# shellcheck disable=SC2086 # a list of names
run shellcheck -x -s sh -e SC1091,SC2154,SC2034 $scripts
same "shellcheck: $out" 0 "$code"
finish
