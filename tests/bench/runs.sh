#!/bin/sh
# SPDX-License-Identifier: MIT
#
# usage: runs.sh BUILD-FOLDER
# The benchmark runs on a tiny scene and prints its nine rows.
set -eu
here=$(cd "$(dirname "$0")" && pwd -P)
SELVEDGE_SHARED=${SELVEDGE_SHARED:-$here/../../../shared}
export SELVEDGE_SHARED
[ -f "$SELVEDGE_SHARED/bench/make_scene.py" ] && [ -x /usr/bin/time ] || {
    echo "SKIPPED: no make_scene.py in $SELVEDGE_SHARED/bench (set SELVEDGE_SHARED), or no /usr/bin/time"
    exit 77
}
rows=$(sh "$here/run.sh" --size 240 --build "$1" | tee /dev/stderr | grep -cE '^240x240	' || true)
[ "$rows" = 9 ]
