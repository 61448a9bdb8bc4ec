#!/bin/sh
# SPDX-License-Identifier: MIT
#
# usage: terminal_test.sh COMMAND
# What a person at a terminal sees while a run goes on: a bar on one line that only grows within a
# stage, never wider than 80 columns, and gone when the summary comes. A file gets no bar.
set -u
here=$(cd "$(dirname "$0")" && pwd -P)
command=$(cd "$(dirname "$1")" && pwd -P)/$(basename "$1")
plan=$here/../../sample-rasters/survey.yaml
scratch=$(mktemp -d) || exit 4
trap 'rm -rf "$scratch"' EXIT
cd "$scratch" || exit 4
command -v script >/dev/null || {
    echo "SKIPPED: script (bsdutils), which gives a terminal, is missing"
    exit 77
}

# One line for each redraw, the clearing codes made visible.
script -qec "'$command' rank '$plan' -o bar.gpkg" /dev/null </dev/null >seen || {
    echo "the run on a terminal failed"
    exit 1
}
tr '\r' '\n' <seen | sed 's/\x1b\[K/<clear>/g' >redraws
awk '
    function wrong(what) { print what ": " $0; bad = 1 }
    /^.+\[[= ]*\] +[0-9]+ %/ {
        bars++
        if (over) wrong("a bar after the summary")
        if (!/<clear>$/) wrong("a bar that leaves the rest of its line")
        stage = substr($0, 1, 25)
        cells = $0; sub(/^[^[]*\[/, "", cells); sub(/\].*/, "", cells)
        share = $0; sub(/^[^]]*\] */, "", share); share += 0
        full = gsub(/=/, "=", cells)
        if (length(cells) != 24) wrong("not 24 cells")
        if (full > 24 * (share + 1) / 100 || full < 24 * (share - 1) / 100 - 1) wrong("bar and share differ")
        if (stage == before && share < last) wrong("a bar that shrinks")
        if (length($0) - length("<clear>") > 80) wrong("wider than a terminal")
        before = stage; last = share
    }
    /^<clear>Alder Brook flyways/ { over = 1 }
    END {
        if (bars < 3) wrong("only " bars + 0 " bars")
        if (!over) wrong("the last bar is not cleared before the summary")
        exit bad
    }' redraws || exit 1

"$command" rank "$plan" -o quiet.gpkg >out 2>err || exit 1
if grep -q "$(printf '[\r\033]')" out err; then
    echo "a file got the codes of a terminal"
    exit 1
fi
[ "$(grep -c '^measuring edges$' err)" = 1 ] || {
    echo "a stage is not named once"
    exit 1
}
