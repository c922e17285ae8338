#!/bin/sh
# Every source, template and pack is listed in Makefile.am, so that a release
# has it; and nothing else stands at the top.
. "$SRC/tests/lib.sh"

missing=$(cd "$SRC" && find src web kb tests -type f \
	\( -name '*.[ch]' -o -name '*.sql' -o -path 'src/cli/*.txt' -o -path 'web/*' -o -name '*.yaml' -path 'kb/*' \) |
	grep -v -e '^tests/fuzz/corpus/' -e '^tests/books/' -e '^tests/web/' -e '^tests/kb/' -e '^tests/reference/.*node_modules' |
	sort | while read -r file; do
		grep -q -F "$file" Makefile.am || echo "$file"
	done)
same "not in Makefile.am" "" "$missing"

if [ -d "$SRC/.git" ] || [ -f "$SRC/.git" ]; then
	top=$(cd "$SRC" && git ls-files | cut -d/ -f1 | sort -u | grep -v '^\.' | tr '\n' ' ')
	same "the top level" "DEVELOPERS.md LICENSE Makefile.am README.md configure.ac kb src tests web " "$top"
fi
finish
