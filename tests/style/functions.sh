#!/bin/sh
# SPDX-License-Identifier: MIT
#
# usage: functions.sh FOLDER...   (COMPLEXITY_BELOW: another bound than 15)
# Of the functions in the folders 90 % are under 40 lines, none is over 80, and none has a cyclomatic
# complexity (McCabe 1976, every case of a switch counted) of 15 or more. Measured with pmccabe.
set -eu
. "$(dirname "$0")/files.sh"
require pmccabe
c_files "$@" | grep '\.c$' | xargs pmccabe | awk -F '\t' -v below="${COMPLEXITY_BELOW:-15}" '
    { lines[NR] = $5; if ($5 < 40) short++ }
    $5 > 80 { print "over 80 lines (" $5 "): " $6; bad = 1 }
    $2 >= below { print "complexity " $2 ": " $6; bad = 1 }
    END {
        if (NR == 0) { print "no functions found"; exit 1 }
        printf "%d functions, %.1f %% under 40 lines\n", NR, 100 * short / NR
        if (short < 0.9 * NR) { print "fewer than 90 % are under 40 lines"; bad = 1 }
        exit bad
    }'
