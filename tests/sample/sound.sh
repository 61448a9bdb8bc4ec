#!/bin/sh
# SPDX-License-Identifier: MIT
#
# usage: sound.sh FOLDER
# The sample is what its README says: size, classes, relief, valid polygons, brook that runs
# downhill; the habitat table and the rasters know the same values.
set -eu
folder=$1
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
bad=0

# WHAT, CONDITION for awk
hold() {
    awk "BEGIN { exit !($2) }" || {
        echo "$1: $2 does not hold"
        bad=1
    }
}

# FILE SQL: the one number that it yields.
number() {
    ogrinfo -q "$folder/$1" -dialect SQLite -sql "$2" | sed -n 's/.* = //p'
}

size=$(gdalinfo "$folder/landcover.tif" | sed -n 's/^Size is //p')
hold "land cover, columns" "${size%,*} >= 600"
hold "land cover, rows" "${size#*, } >= 500"

gdal_translate -q -of XYZ "$folder/landcover.tif" "$scratch/cells"
awk '{ print $3 }' "$scratch/cells" | sort -n | uniq -c | awk '{ print $2 }' >"$scratch/classes"
sed -n 's/^\([0-9][0-9]*\),.*/\1/p' "$folder/habitats.csv" | sort -n >"$scratch/listed"
cmp "$scratch/classes" "$scratch/listed" || bad=1
hold "classes" "$(wc -l <"$scratch/classes") >= 9"

cp "$folder/elevation.tif" "$scratch"
heights=$(gdalinfo -stats "$scratch/elevation.tif")
low=$(echo "$heights" | sed -n 's/.*STATISTICS_MINIMUM=//p')
high=$(echo "$heights" | sed -n 's/.*STATISTICS_MAXIMUM=//p')
hold "relief" "$high - $low >= 150 && $high - $low <= 350"

for layer in core meadow pasture; do
    hold "zone $layer" "$(number zones.gpkg "select min(ST_IsValid(geom)) from $layer") == 1"
done
hold "parcels" "$(number parcels.gpkg 'select min(ST_IsValid(geom)) from parcels') == 1"
hold "traps" "$(number running.gpkg 'select count(*) from running') == 3"

# The ground under the brook, point by point from spring to mouth, where the elevation reaches.
ogrinfo -q "$folder/brook.gpkg" -sql "select * from brook where kind = 'brook'" |
    sed -n 's/.*LINESTRING (\(.*\))/\1/p' | tr ',' '\n' |
    gdallocationinfo -valonly -geoloc "$folder/elevation.tif" 2>/dev/null | grep . >"$scratch/brook"
hold "points of the brook" "$(wc -l <"$scratch/brook") > 300"
awk 'NR > 1 && $1 > lowest + 1.5 { print "the brook climbs from " lowest " to " $1; bad = 1 }
    NR == 1 || $1 < lowest { lowest = $1 }
    END { exit bad }' "$scratch/brook" || bad=1
exit $bad
