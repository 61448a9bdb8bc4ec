#!/bin/sh
# SPDX-License-Identifier: MIT
#
# usage: proximity.sh SCENE OUT
# Straight-line distance to the scene's roads in every cell of its land cover, by GDAL's tools.
set -eu
size=$(gdalinfo "$1/lc.tif" | sed -n 's/^Size is \([0-9]*\), \([0-9]*\)/\1 \2/p')
corner() {
    gdalinfo "$1/lc.tif" | sed -n "s/^$2 *( *\([-0-9.]*\), *\([-0-9.]*\)).*/\1 \2/p"
}
# shellcheck disable=SC2046,SC2086 # lists of numbers
gdal_rasterize -q -burn 1 -ot Byte -ts $size -te $(corner "$1" 'Lower Left') $(corner "$1" 'Upper Right') \
    "$1/roads.gpkg" "$2/roads.tif"
gdal_proximity.py -q -distunits GEO -values 1 "$2/roads.tif" "$2/distance.tif"
