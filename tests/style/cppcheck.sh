#!/bin/sh
# SPDX-License-Identifier: MIT
#
# cppcheck finds nothing. A finding that is wrong is silenced beside the line, with the
# reason; arrayIndexThenCheck mistakes ties broken by position for bounds.
set -eu
. "$(dirname "$0")/files.sh"
only_when_full
require cppcheck
cppcheck --quiet --std=c11 --enable=warning,performance,portability --inline-suppr \
    --suppress=missingIncludeSystem --suppress=arrayIndexThenCheck --error-exitcode=1 -j "$(nproc)" \
    -I include -I src -D_XOPEN_SOURCE=700 -DSEL_VERSION='"0"' src sample-rasters
