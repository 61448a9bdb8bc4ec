#!/bin/sh
# SPDX-License-Identifier: MIT
#
# usage: run_case.sh [--regenerate] COMMAND CASE-FOLDER
# Runs one command test (see README.md here) and complains of what differs from its files.
set -u
here=$(cd "$(dirname "$0")" && pwd -P)
regenerate=no
if [ "${1-}" = --regenerate ]; then
    regenerate=yes
    shift
fi
[ $# -eq 2 ] || {
    echo "usage: run_case.sh [--regenerate] COMMAND CASE-FOLDER" >&2
    exit 1
}
command=$(cd "$(dirname "$1")" && pwd -P)/$(basename "$1")
case=$(cd "$2" && pwd -P) || exit 1
[ -x "$command" ] && [ -f "$case/cmd" ] || {
    echo "no command at $1, or no cmd in $2" >&2
    exit 1
}

scratch=$(mktemp -d) || exit 4
trap 'rm -rf "$scratch"' EXIT
mkdir "$scratch/bin" "$scratch/place"
ln -s "$command" "$scratch/bin/selvedge"
ln -s "$here/../../sample-rasters" "$scratch/sample"

(
    cd "$scratch/place" || exit 99
    PATH=$scratch/bin:$PATH SAMPLE=../sample LC_ALL=C COLUMNS=100
    export PATH SAMPLE LC_ALL COLUMNS
    sh "$case/cmd" </dev/null >"$scratch/stdout" 2>"$scratch/stderr"
)
status=$?
wanted=0
[ ! -f "$case/status" ] || wanted=$(cat "$case/status")

bad=0
if [ "$status" != "$wanted" ]; then
    echo "exit status $status, not $wanted"
    bad=1
    [ "$regenerate" = no ] || echo "$status" >"$case/status"
fi
for stream in stdout stderr; do
    pattern=$case/$stream
    [ -f "$pattern" ] || pattern=/dev/null
    awk -f "$here/match.awk" "$pattern" "$scratch/$stream" && continue
    echo "--- $stream must be:"
    cat "$pattern"
    echo "--- $stream was:"
    cat "$scratch/$stream"
    bad=1
    [ "$regenerate" = no ] || cp "$scratch/$stream" "$case/$stream"
done
if [ $bad = 1 ] && [ "$regenerate" = yes ]; then
    [ "$(cat "$case/status" 2>/dev/null)" != 0 ] || rm "$case/status"
    echo "$case: rewritten; look at the difference"
    exit 0
fi
exit $bad
