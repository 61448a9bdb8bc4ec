#!/bin/sh
# SPDX-License-Identifier: MIT
#
# usage: runs.sh BUILD-FOLDER
# The benchmark runs on a tiny scene and prints its nine rows.
set -eu
here=$(cd "$(dirname "$0")" && pwd -P)
[ -x /usr/bin/time ] || {
    echo "SKIPPED: no /usr/bin/time (package time)"
    exit 77
}
rows=$(sh "$here/run.sh" --size 240 --build "$1" | tee /dev/stderr | grep -cE '^240x240	' || true)
[ "$rows" = 9 ]
