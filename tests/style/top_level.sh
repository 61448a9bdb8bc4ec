#!/bin/sh
# SPDX-License-Identifier: MIT
#
# The top level of the checkout holds what DEVELOPERS.md maps and nothing else; builds stand beside it.
set -eu
bad=0
for entry in *; do
    case $entry in
    README.md | DEVELOPERS.md | CMakeLists.txt | LICENSE) ;;
    include | src | tests | sample-rasters | docs) ;;
    build*) ;;
    *)
        echo "$entry: does not belong in the top level"
        bad=1
        ;;
    esac
done
exit $bad
