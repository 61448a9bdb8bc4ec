#!/bin/sh
# SPDX-License-Identifier: MIT
#
# Installs what is missing, builds, and runs every test. Run it from any folder:
#   sh tests/run.sh           everything: gcc, clang, sanitizers, style
#   sh tests/run.sh --quick   the gcc build and its tests only; those in a browser only where one is
# Real rasters are looked for in SELVEDGE_DATA, else in ../shared/data beside the checkout.
#
# The suite runs once per build. The last run, of the gcc build, also reports how the earlier ones
# ended (tests suite_*), so its closing block tells of everything, what was skipped included.
set -u
export LC_ALL=C
ROOT=$(cd "$(dirname "$0")/.." && pwd -P)
. "$ROOT/tests/setup.sh"

quick=no
case ${1-} in
'') ;;
--quick) quick=yes ;;
*) die "usage: sh tests/run.sh [--quick]" ;;
esac
[ $# -le 1 ] || die "usage: sh tests/run.sh [--quick]"

SELVEDGE_DATA=${SELVEDGE_DATA:-$ROOT/../shared/data}
SELVEDGE_OUTCOMES=$ROOT/build/outcomes
export SELVEDGE_DATA SELVEDGE_OUTCOMES
export CTEST_PARALLEL_LEVEL="${CTEST_PARALLEL_LEVEL:-2}"
export ASAN_OPTIONS="detect_leaks=1:strict_string_checks=1:detect_stack_use_after_return=1"
export LSAN_OPTIONS="suppressions=$ROOT/tests/support/leaks.txt:print_suppressions=0"
export UBSAN_OPTIONS="print_stacktrace=1:halt_on_error=1"

# One more suite in a build of its own: NAME FOLDER LEFT-OUT CONFIGURE-OPTIONS. Tests whose label
# fits LEFT-OUT are left to the last run, for which the outcome is kept.
suite() {
    name=$1 folder=$2 left_out=$3
    shift 3
    say "== $name: build in $folder"
    if ! build "$folder" -DSELVEDGE_WERROR=ON -DSELVEDGE_TESTS=ON "$@"; then
        say "failed: the build" >"$SELVEDGE_OUTCOMES/$name"
        return
    fi
    say "== $name: tests"
    if ctest --test-dir "$folder" --output-on-failure --label-exclude "$left_out"; then
        say "passed" >"$SELVEDGE_OUTCOMES/$name"
    else
        say "failed: see the block of its own above" >"$SELVEDGE_OUTCOMES/$name"
    fi
}

rm -rf "$SELVEDGE_OUTCOMES"
mkdir -p "$SELVEDGE_OUTCOMES" || exit 4
need build test
if [ "$quick" = no ]; then
    need style bench browser
    export SELVEDGE_FULL=1
    suite suite_clang "$ROOT/build-clang" 'style|browser|long' -DCMAKE_C_COMPILER=clang
    # Warnings are errors in the other two; optimised less, gcc sees some that are none.
    suite suite_sanitizers "$ROOT/build-sanitizers" 'style|browser' -DCMAKE_C_COMPILER=gcc \
        -DSELVEDGE_SANITIZE=ON -DSELVEDGE_WERROR=OFF
fi

say "== gcc: build in $ROOT/build"
build "$ROOT/build" -DCMAKE_C_COMPILER=gcc -DSELVEDGE_WERROR=ON -DSELVEDGE_TESTS=ON || exit 1
if [ ! -d "$SELVEDGE_DATA" ]; then
    say "!! SKIPPED: no real rasters at $SELVEDGE_DATA (set SELVEDGE_DATA to their folder);"
    say "!! tests that need them are not run, and real_data is listed as skipped below."
fi
[ "$quick" = no ] || say "!! --quick: suite_clang, suite_sanitizers and slow style checks are skipped;"
[ "$quick" = no ] || say "!! so are browser_* and bench_runs where their tools are missing."
say "== gcc: tests"
ctest --test-dir "$ROOT/build" --output-on-failure
