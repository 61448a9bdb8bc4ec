// SPDX-License-Identifier: MIT
//
// The few manners every use of GDAL in this folder shares: drivers registered once, errors kept
// quiet and put into our own messages, coordinate reference systems in x-east y-north axis order
// and without a vertical part. Not for the kernels.
#ifndef SEL_GRID_GDAL_SUPPORT_H
#define SEL_GRID_GDAL_SUPPORT_H

#include <stdbool.h>

#include <ogr_srs_api.h>

// Registers the drivers; cheap after the first call. Thread-safe.
void sel_gdal_start(void);

// From here on this thread's GDAL errors are kept, not printed. Pairs nest.
void sel_gdal_hush(void);

// Ends the hush. The last error's text since it began, "no reason given" when there was none;
// valid until the thread's next GDAL call.
const char *sel_gdal_speak(void);

// A new CRS from WKT, "EPSG:n" or a PROJ string, never from a file or the network; NULL when the
// text is none of these. Free with OSRDestroySpatialReference.
OGRSpatialReferenceH sel_crs_from_text(const char *text);

// A copy in x-east y-north axis order, its vertical part dropped. Free as above; NULL: no memory.
OGRSpatialReferenceH sel_crs_flat(OGRSpatialReferenceH crs);

// WKT 2, to be freed with free; *wkt NULL: out of memory. False when it cannot be written.
bool sel_crs_wkt(OGRSpatialReferenceH crs, char **wkt);

#endif
