#!/bin/sh
# SPDX-License-Identifier: MIT
#
# usage: real_data.sh CHECKOUT
# Are the real rasters there? When they are not, this shows up among the tests that did not run.
folder=${SELVEDGE_DATA:-$1/../shared/data}
if [ ! -d "$folder" ]; then
    echo "SKIPPED: no real rasters at $folder (set SELVEDGE_DATA to their folder)"
    exit 77
fi
echo "real rasters at $folder"
