#!/bin/sh
# SPDX-License-Identifier: MIT
#
# usage: reproduce.sh MAKE_SAMPLE FOLDER
# Makes the sample anew and compares it with the one in the folder: rasters by the bytes of their
# cells and their place, layers by what ogrinfo tells of every feature.
set -eu
tool=$1 kept=$2
fresh=$(mktemp -d)
trap 'rm -rf "$fresh"' EXIT
"$tool" "$fresh"
bad=0

# FOLDER NAME: the raster without its packing.
unpacked() {
    gdal_translate -q -of ENVI "$1/$2" "$fresh/raw"
    gdalinfo -norat -noct "$1/$2" | grep -E '^(Size|Origin|Pixel)|NoData|Type=' >"$fresh/facts"
    cat "$fresh/raw" "$fresh/facts" | sha256sum
}

# FOLDER NAME: every layer and feature.
told() {
    ogrinfo -al "$1/$2" | grep -v '^INFO:' | sha256sum
}

for name in landcover.tif elevation.tif; do
    [ "$(unpacked "$kept" $name)" = "$(unpacked "$fresh" $name)" ] || {
        echo "$name in $kept is not what make_sample makes"
        bad=1
    }
done
for file in "$kept"/*.gpkg; do
    name=$(basename "$file")
    [ "$(told "$kept" "$name")" = "$(told "$fresh" "$name")" ] || {
        echo "$name in $kept is not what make_sample makes"
        bad=1
    }
done
[ "$(cd "$kept" && ls ./*.gpkg ./*.tif)" = "$(cd "$fresh" && ls ./*.gpkg ./*.tif)" ] || {
    echo "there are more or fewer files than make_sample makes"
    bad=1
}
exit $bad
