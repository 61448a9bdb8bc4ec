#!/bin/sh
# SPDX-License-Identifier: MIT
#
# usage: symbols.sh LIBRARY
# Every name that the library gives away begins with sel_, constants with SEL_.
set -eu
. "$(dirname "$0")/files.sh"
require nm
if nm -g --defined-only "$1" 2>/dev/null | awk 'NF == 3 && $3 !~ /^_*(asan|odr_asan)/ { print $3 }' |
    grep -vE '^(sel|SEL)_'; then
    echo "public names that do not begin with sel_ (above)"
    exit 1
fi
