#!/bin/sh
# SPDX-License-Identifier: MIT
#
# usage: sample.sh FOLDER COMMAND SAMPLE EVERY_M CHOOSE
# Ranks the sample with candidates so far apart and with other rules of choice into FOLDER/sites.gpkg,
# all candidates with it, and makes FOLDER/dossier.html.
set -eu
mkdir -p "$1"
cp "$3"/*.tif "$3"/*.gpkg "$3"/*.csv "$1"
grep -q 'every_m: auto' "$3/survey.yaml"
grep -q '^choose: ' "$3/survey.yaml"
sed "s/every_m: auto/every_m: $4/; s/^choose: .*/choose: { $5 }/" "$3/survey.yaml" >"$1/survey.yaml"
echo 'output: { candidates: 100000 }' >>"$1/survey.yaml"
"$2" rank -q --overwrite -o "$1/sites.gpkg" "$1/survey.yaml" >"$1/rank.txt"
"$2" dossier -q --overwrite -o "$1/dossier.html" "$1/sites.gpkg"
