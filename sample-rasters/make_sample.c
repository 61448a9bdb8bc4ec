// SPDX-License-Identifier: MIT
//
// Makes the rasters and layers of the invented Alder Brook valley (see README.md here).
//
// usage: make_sample FOLDER
//
// Everything is computed from fixed numbers: two runs, on any machine, give the same rasters.
#include <stdio.h>
#include <stdlib.h>

#include "valley.h"

static bool valley_make(struct valley *valley) {
    if (!terrain_make(valley) || !routes_make(valley))
        return false;
    parcels_make(valley);
    cover_make(valley);
    hedges_make(valley);
    return true;
}

int main(int argc, char **argv) {
    if (argc != 2 || argv[1][0] == '-') {
        fprintf(stderr, "usage: make_sample FOLDER\n");
        return 1;
    }
    struct valley *valley = calloc(1, sizeof *valley);
    if (!valley || !valley_make(valley)) {
        fprintf(stderr, "make_sample: out of memory\n");
        free(valley);
        return 5;
    }
    bool written = write_all(valley, argv[1]);
    free(valley);
    return written ? 0 : 4;
}
