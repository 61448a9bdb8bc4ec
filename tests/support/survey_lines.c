// SPDX-License-Identifier: MIT
//
// Through OGR.
#include "survey_lines.h"

#include <gdal.h>
#include <ogr_api.h>
#include <ogr_srs_api.h>
#include <stdlib.h>

void survey_scene_lines(
    const struct survey_scene *scene, const char *name, const char *const *wkt) {
    GDALDatasetH file = GDALCreate(
        GDALGetDriverByName("GPKG"), survey_scene_path(scene, name), 0, 0, 0, GDT_Unknown, NULL);
    OGRSpatialReferenceH crs = OSRNewSpatialReference(NULL);
    if (!file || OSRSetFromUserInput(crs, scene->crs) != OGRERR_NONE)
        abort();
    OGRLayerH layer = GDALDatasetCreateLayer(file, "lines", crs, wkbUnknown, NULL);
    for (; *wkt; wkt++) {
        OGRFeatureH feature = OGR_F_Create(OGR_L_GetLayerDefn(layer));
        OGRGeometryH geometry = NULL;
        char *text = (char *)*wkt;
        if (OGR_G_CreateFromWkt(&text, NULL, &geometry) != OGRERR_NONE ||
            OGR_F_SetGeometryDirectly(feature, geometry) != OGRERR_NONE ||
            OGR_L_CreateFeature(layer, feature) != OGRERR_NONE)
            abort();
        OGR_F_Destroy(feature);
    }
    OSRRelease(crs);
    GDALClose(file);
}
