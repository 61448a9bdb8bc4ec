#!/bin/sh
# SPDX-License-Identifier: MIT
#
# Times `selvedge rank` against public tools on the same rasters; see README.md here.
set -eu
export LC_ALL=C
here=$(cd "$(dirname "$0")" && pwd -P)
ROOT=$(cd "$here/../.." && pwd -P)
. "$ROOT/tests/setup.sh"

usage="usage: run.sh [--size N]... [--scene FOLDER]... [--build FOLDER] [--repeat K]"
folder=$ROOT/build sizes="" scenes="" repeat=1
while [ $# -gt 0 ]; do
    [ $# -ge 2 ] || die "$usage"
    case $1 in
    --size) sizes="$sizes $2" ;;
    --scene) scenes="$scenes $(cd "$2" && pwd -P)" ;;
    --build) folder=$2 ;;
    --repeat) repeat=$2 ;;
    *) die "$usage" ;;
    esac
    shift 2
done
[ -n "$sizes$scenes" ] || sizes=1000
selvedge=$folder/selvedge
[ -x "$selvedge" ] || die "no selvedge in $folder: build it first"
[ -x /usr/bin/time ] || die "no /usr/bin/time: install the package time"
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT

cached() {
    sed -n "s/^$1:[A-Z]*=//p" "$folder/CMakeCache.txt" | head -n 1
}

# What the figures depend on.
describe() {
    kind=$(cached CMAKE_BUILD_TYPE)
    flags=$(cached "CMAKE_C_FLAGS_$(echo "${kind:-RelWithDebInfo}" | tr '[:lower:]' '[:upper:]')")
    changed=""
    [ -z "$(git -C "$ROOT" status --porcelain 2>/dev/null)" ] || changed=+changes
    say "cpu $(sed -n 's/^model name[^:]*: //p' /proc/cpuinfo | head -n 1)"
    say "processors $(nproc)"
    say "memory_mib $(awk '/^MemTotal/ { print int($2 / 1024) }' /proc/meminfo)"
    say "compiler $("$(cached CMAKE_C_COMPILER)" --version | head -n 1)"
    say "build ${kind:-RelWithDebInfo} (as set in CMakeLists.txt) $flags"
    say "sanitizers $(cached SELVEDGE_SANITIZE)"
    say "gdal $(gdalinfo --version)"
    say "commit $(git -C "$ROOT" rev-parse --short HEAD 2>/dev/null || echo unknown)$changed"
    say "date $(date -u +%Y-%m-%dT%H:%MZ)"
    say "repeat $repeat"
}

# Median wall, its user time and the peak of `repeat` runs: measure NAME COMMAND...
# Writes "wall user peak_kib" to $scratch/NAME.
measure() {
    name=$1
    shift
    : >"$scratch/runs"
    for round in $(seq "$repeat"); do
        rm -rf "$scratch/out"
        mkdir "$scratch/out"
        /usr/bin/time -f '%e %U %M' -o "$scratch/time" "$@" >"$scratch/said" 2>&1 || {
            cat "$scratch/said" >&2
            die "$name failed in round $round: $*"
        }
        tail -n 1 "$scratch/time" >>"$scratch/runs"
    done
    sort -n "$scratch/runs" | awk '
        { line[NR] = $1 " " $2; if ($3 > peak) peak = $3 }
        END { print line[int((NR + 1) / 2)], peak }' >"$scratch/$name"
}

plan_for() {
    sed "s|@SCENE@|$1|g" "$here/survey.yaml.in" >"$scratch/survey.yaml"
    sed 's/by: distance, value: .* }/by: time }/' "$scratch/survey.yaml" >"$scratch/foot.yaml"
    cp "$here/habitats.csv" "$scratch/habitats.csv"
}

table() {
    for what in rank-1 rank-2 foot-1 foot-2 polygonize slope proximity; do
        printf '%s %s\n' "$what" "$(cat "$scratch/$what")"
    done | awk -v scene="$1" '
        { wall[$1] = $2; user[$1] = $3; peak[$1] = $4; order[NR] = $1 }
        function ratio(a, b) { return b > 0 ? sprintf("%.3f", a / b) : "-" }
        function row(w) {
            printf "%s\t%s\t%.2f\t%.2f\t%.1f\t%s\t%s\t%s\t%s\t%s\t%s\n", scene, w, wall[w],
                user[w], peak[w] / 1024, ratio(wall[w], wall["polygonize"]),
                ratio(user[w], user["polygonize"]), ratio(peak[w], peak["polygonize"]),
                ratio(wall[w], wall["slope"]), ratio(wall[w], wall["proximity"]),
                ratio(user[w], user["proximity"])
        }
        function difference(w, with, without) {
            wall[w] = wall[with] - wall[without]
            user[w] = user[with] - user[without]
            peak[w] = peak[with] - peak[without]
            row(w)
        }
        END {
            for (i = 1; i <= NR; i++) row(order[i])
            difference("walking-1", "foot-1", "rank-1")
            difference("walking-2", "foot-2", "rank-2")
        }'
}

bench() {
    scene=$1
    size=$(gdalinfo "$scene/lc.tif" | sed -n 's/^Size is \([0-9]*\), \([0-9]*\)/\1x\2/p')
    plan_for "$scene"
    out=$scratch/out
    measure slope gdaldem slope -q "$scene/dem.tif" "$out/slope.tif"
    measure polygonize gdal_polygonize.py -q -f GPKG "$scene/lc.tif" "$out/patches.gpkg"
    measure proximity sh "$here/proximity.sh" "$scene" "$out"
    for threads in 1 2; do
        measure "rank-$threads" "$selvedge" rank --quiet --threads "$threads" \
            "$scratch/survey.yaml" -o "$out/sites.gpkg"
        measure "foot-$threads" "$selvedge" rank --quiet --threads "$threads" \
            "$scratch/foot.yaml" -o "$out/sites.gpkg"
    done
    table "$size"
}

describe
printf '\nscene\twhat\twall_s\tuser_s\tpeak_mib\twall_to_polygonize\tuser_to_polygonize\tpeak_to_polygonize\twall_to_slope\twall_to_proximity\tuser_to_proximity\n'
for size in $sizes; do
    /usr/bin/python3 "$here/make_scene.py" "$size" "$scratch/scene"
    bench "$scratch/scene"
    rm -rf "$scratch/scene"
done
for scene in $scenes; do
    bench "$scene"
done
