#!/bin/sh
# SPDX-License-Identifier: MIT
#
# Words that must not stand in the code: banned functions anywhere, printing and ending the program
# in the library, leftovers, paths of somebody's machine; and the licence line that must.
set -eu
. "$(dirname "$0")/files.sh"
require gcc
# shellcheck disable=SC2086 # lists of folders and files
folders=
for folder in src include tests sample-rasters docs; do
    [ ! -d "$folder" ] || folders="$folders $folder"
done
pages=$(find . -maxdepth 1 -type f \( -name '*.md' -o -name CMakeLists.txt \))
bad=0

# FILE, WHAT, PATTERN: complains of each line of its bare code that matches.
look() {
    if grep -E "$3" "$bare" >"$found"; then
        echo "$1: $2:"
        sed 's/^ */    /' "$found"
        bad=1
    fi
}
bare=$(mktemp) found=$(mktemp)
trap 'rm -f "$bare" "$found"' EXIT

banned='(^|[^A-Za-z0-9_])(sprintf|vsprintf|strcpy|strcat|gets|atoi|atol|atof|system|rand|srand|strtok|alloca|tmpnam|mktemp)[[:space:]]*\('
loud='(^|[^A-Za-z0-9_])((printf|vprintf|puts|putchar|perror|exit|_exit|quick_exit|abort|assert|raise)[[:space:]]*\(|stdout|stderr)'
# Tests run outside tools through popen; nothing else starts a shell.
shell='(^|[^A-Za-z0-9_])popen[[:space:]]*\('
for file in $(c_files $folders); do
    bare_code "$file" >"$bare"
    look "$file" "banned function" "$banned"
    case $file in
    tests/*) ;;
    *) look "$file" "banned function" "$shell" ;;
    esac
    case $file in
    src/cli/*) ;;
    src/*) look "$file" "the library neither prints nor ends the program" "$loud" ;;
    esac
    head -n 1 "$file" | grep -q '^// SPDX-License-Identifier: MIT$' || {
        echo "$file: the first line is not the licence's SPDX line"
        bad=1
    }
done

leftover='(^|[^A-Za-z])(TO''DO|FIX''ME|XX''X)([^A-Za-z]|$)'
place='(^|[^A-Za-z0-9_.])/(wo''rk|ro''ot|ho''me|Us''ers)/'
for pattern in "$leftover" "$place"; do
    if grep -rnIE "$pattern" $folders $pages; then
        echo "a leftover, or a path of one machine (above)"
        bad=1
    fi
done
exit $bad
