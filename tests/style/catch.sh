#!/bin/sh
# SPDX-License-Identifier: MIT
#
# The style checks catch what they are for: each is run on a little tree with one offence in it, and
# on the same tree without.
set -eu
here=$(cd "$(dirname "$0")" && pwd -P)
. "$here/files.sh"
require gcc pmccabe clang-format
tree=$(mktemp -d)
trap 'rm -rf "$tree"' EXIT
cp "$here/../../.clang-format" "$tree"
cd "$tree"
bad=0

# A clean tree.
fresh() {
    rm -rf src include tests sample-rasters
    mkdir -p src/base src/edge src/grid src/cli include tests sample-rasters
    printf '// SPDX-License-Identifier: MIT\n// printf( in a comment\nint one(void);\nint one(void) {\n    return 1;\n}\n' >src/edge/one.c
}

# WANTED(0 or 1) CHECK ARGS...
expect() {
    wanted=$1 check=$2
    shift 2
    status=0
    sh "$here/$check.sh" "$@" >said 2>&1 || status=1
    if [ "$status" != "$wanted" ]; then
        echo "$check.sh ended with $status, not $wanted, on: $(tail -n 1 src/edge/one.c)"
        cat said
        bad=1
    fi
}

fresh
expect 0 format
expect 0 words
expect 0 layers
expect 0 functions src

offend() {
    fresh
    printf '%s\n' "$1" >>src/edge/one.c
}
offend 'int  two;' && expect 1 format
offend 'int two(char *a) { return atoi(a); }' && expect 1 words
offend 'int two(void) { return printf("x"); }' && expect 1 words
offend 'int two(void) { fputs("x", stderr); return 0; }' && expect 1 words
offend '// TO''DO later' && expect 1 words
offend '// see /ro''ot/notes' && expect 1 words
offend 'const char *two = "printf(";' && expect 0 words
offend '#include "base/text.h"' && expect 0 layers
offend '#include "flyway/belt.h"' && expect 1 layers
offend '#include <gdal.h>' && expect 1 layers
offend '#include <proj.h>' && expect 1 layers
offend 'void *two(void) { return fopen("a", "r"); }' && expect 1 layers
fresh && echo '#include "base/text.h"' >src/cli/two.c && expect 1 layers
fresh && mkdir src/attic && echo 'int a;' >src/attic/two.c && expect 1 layers
fresh && echo 'int a;' >src/base/two.c && expect 1 words

# A function of 90 lines; one with 15 ways through.
long() {
    echo 'void two(int *a) {'
    for line in $(seq 88); do echo "    *a += $line;"; done
    echo '}'
}
branchy() {
    echo 'int two(int a) {'
    for line in $(seq 14); do echo "    if (a == $line) return $line;"; done
    echo '    return 0;'
    echo '}'
}
offend "$(long)" && expect 1 functions src
offend "$(branchy)" && expect 1 functions src
exit $bad
