// SPDX-License-Identifier: MIT
//
// A picture of the ranked sites on the land cover, drawn with Cairo from the GeoPackage alone.
#ifndef SEL_MAP_MAP_H
#define SEL_MAP_MAP_H

#include "base/status.h"

// Writes a PNG of `width_px` pixels (400..4000) to `path`, atomically.
sel_status sel_map_write(
    sel_context *context, const char *geopackage, const char *path, int width_px, bool overwrite);

#endif
