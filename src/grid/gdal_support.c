// SPDX-License-Identifier: MIT
//
// GDAL's error state belongs to the thread, so hushing needs no lock.
#include "grid/gdal_support.h"

#include <pthread.h>
#include <string.h>

#include <cpl_conv.h>
#include <cpl_error.h>
#include <gdal.h>

// GDAL's block cache would take 5 % of the machine's memory; windows are read once or twice, so
// this much serves. The user's own setting wins.
static const GIntBig CACHE_BYTES = 64 * 1024 * 1024;

static void register_drivers(void) {
    GDALAllRegister();
    if (!CPLGetConfigOption("GDAL_CACHEMAX", NULL))
        GDALSetCacheMax64(CACHE_BYTES);
}

void sel_gdal_start(void) {
    static pthread_once_t once = PTHREAD_ONCE_INIT;
    pthread_once(&once, register_drivers);
}

void sel_gdal_hush(void) {
    CPLErrorReset();
    CPLPushErrorHandler(CPLQuietErrorHandler);
}

const char *sel_gdal_speak(void) {
    CPLPopErrorHandler();
    const char *message = CPLGetLastErrorMsg();
    return message[0] ? message : "no reason given";
}

// GDAL would also take file names and web addresses; a plan's CRS is neither.
static bool names_a_crs(const char *text) {
    if (strchr(text, '[') || strstr(text, "proj="))
        return true;
    return strchr(text, ':') && !strchr(text, '/');
}

OGRSpatialReferenceH sel_crs_from_text(const char *text) {
    if (!names_a_crs(text))
        return NULL;
    OGRSpatialReferenceH crs = OSRNewSpatialReference(NULL);
    if (!crs)
        return NULL;
    if (OSRSetFromUserInput(crs, text) != OGRERR_NONE) {
        OSRDestroySpatialReference(crs);
        return NULL;
    }
    OSRSetAxisMappingStrategy(crs, OAMS_TRADITIONAL_GIS_ORDER);
    return crs;
}

OGRSpatialReferenceH sel_crs_flat(OGRSpatialReferenceH crs) {
    OGRSpatialReferenceH flat = OSRClone(crs);
    if (!flat)
        return NULL;
    if (OSRIsCompound(flat))
        OSRStripVertical(flat);
    if (OSRGetAxesCount(flat) == 3 && !OSRIsGeocentric(flat))
        OSRDemoteTo2D(flat, NULL);
    OSRSetAxisMappingStrategy(flat, OAMS_TRADITIONAL_GIS_ORDER);
    return flat;
}

bool sel_crs_wkt(OGRSpatialReferenceH crs, char **wkt) {
    static const char *const options[] = {"FORMAT=WKT2_2019", NULL};
    char *text = NULL;
    bool written = OSRExportToWktEx(crs, &text, options) == OGRERR_NONE && text;
    *wkt = written ? strdup(text) : NULL;
    CPLFree(text);
    return written;
}
