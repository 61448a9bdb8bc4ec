#!/bin/sh
# SPDX-License-Identifier: MIT
#
# usage: sample.sh FOLDER COMMAND SAMPLE
# Ranks the sample with 20 sites 1,100 m apart into FOLDER/sites.gpkg and makes FOLDER/dossier.html.
set -eu
mkdir -p "$1"
cp "$3"/*.tif "$3"/*.gpkg "$3"/*.csv "$1"
sed 's/sites: 12, apart_m: 400/sites: 20, apart_m: 1100/' "$3/survey.yaml" >"$1/survey.yaml"
grep -q 'apart_m: 1100' "$1/survey.yaml"
"$2" rank -q --overwrite -o "$1/sites.gpkg" "$1/survey.yaml" >"$1/rank.txt"
"$2" dossier -q --overwrite -o "$1/dossier.html" "$1/sites.gpkg"
