#!/bin/sh
# SPDX-License-Identifier: MIT
#
# usage: tidy.sh BUILD-FOLDER
# clang-tidy, with the checks of .clang-tidy, finds nothing. The build folder tells the flags.
# Each file has a process of its own: clang-tidy 14 keeps the addresses of names (va_start and its
# like) from one file to the next, and then now and again takes any other function for one of them
# (LLVM's bug 41311).
set -eu
. "$(dirname "$0")/files.sh"
only_when_full
require clang-tidy
found=$(mktemp)
trap 'rm -f "$found"' EXIT
bad=0
c_files src sample-rasters | grep '\.c$' |
    xargs -n 1 -P "$(nproc)" clang-tidy --quiet -p "$1" >"$found" 2>&1 || bad=1
grep -vE '^[0-9]+ warnings?( and [0-9]+ errors?)? generated|^Suppressed|^Use -' "$found" || true
exit $bad
