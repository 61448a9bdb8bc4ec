#!/bin/sh
# SPDX-License-Identifier: MIT
#
# Installs what is missing, builds selvedge into build/ and ranks trap sites in the Alder Brook
# sample. Run it from any folder: sh sample-rasters/demo.sh
set -eu
export LC_ALL=C
ROOT=$(cd "$(dirname "$0")/.." && pwd -P)
. "$ROOT/tests/setup.sh"

need build
say "Building in $ROOT/build"
build "$ROOT/build" -DSELVEDGE_TESTS=OFF # tests/run.sh switches them on

out=$ROOT/sample-rasters/out
mkdir -p "$out"
"$ROOT/build/selvedge" rank "$ROOT/sample-rasters/survey.yaml" -o "$out/sites.gpkg" --overwrite

say ""
say "The ranked sites are in $out/sites.gpkg"
say "Open it in any GIS (layers sites, flyways, edges), or look at it here:"
say "  $ROOT/build/selvedge explain $out/sites.gpkg 1"
say "  ogrinfo -q $out/sites.gpkg sites    (from the package gdal-bin)"
