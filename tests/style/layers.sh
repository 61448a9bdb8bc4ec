#!/bin/sh
# SPDX-License-Identifier: MIT
#
# The stages of src/ include one way only, and outside libraries only where they belong:
# - a stage includes itself and stages before it; the command sees the public header alone;
# - GDAL and OGR in plan (the habitat table), grid, output and what reads the output; PROJ in grid; GEOS
#   in grid, choose and output; qrencode in fieldkit; no kernel (edge, flyway, terrain, access, score)
#   includes any, nor opens a file.
set -eu
. "$(dirname "$0")/files.sh"
c_files src | xargs awk '
    BEGIN {
        count = split("base plan grid edge flyway terrain access score choose survey output " \
            "explain map fieldkit dossier api cli", order, " ")
        for (i = 1; i <= count; i++) rank[order[i]] = i
        allowed["gdal"] = " plan grid output explain map fieldkit dossier api "
        allowed["proj"] = " grid "
        allowed["geos"] = " grid choose output "
        allowed["qrencode"] = " fieldkit "
    }
    function complain(what) { print FILENAME ":" FNR ": " what ": " $0; bad = 1 }
    function outside_library(header) {
        if (header ~ /^(gdal|ogr|cpl_)/) return "gdal"
        if (header ~ /^proj/) return "proj"
        if (header ~ /^geos/) return "geos"
        if (header ~ /^qrencode/) return "qrencode"
        return ""
    }
    FNR == 1 {
        split(FILENAME, part, "/")
        stage = part[2]
        kernel = stage ~ /^(edge|flyway|terrain|access|score|choose)$/
        if (!(stage in rank)) complain("unknown stage " stage)
    }
    /^[ \t]*#[ \t]*include/ {
        header = $0
        gsub(/^[^"<]*["<]|[">].*$/, "", header)
        library = outside_library(header)
        if (library != "" && index(allowed[library], " " stage " ") == 0)
            complain(library " does not belong in " stage)
        folder = header
        if (header == "selvedge.h" || sub(/\/.*$/, "", folder) == 0 || !(folder in rank)) next
        if (stage == "cli" && folder != "cli") complain("the command sees selvedge.h only")
        else if (rank[folder] > rank[stage]) complain(stage " comes before " folder)
    }
    kernel && /(^|[^A-Za-z0-9_])(fopen|open|fread|fwrite|fprintf)[ \t]*\(/ {
        complain("a kernel touches no file")
    }
    END { exit bad }'
