// SPDX-License-Identifier: MIT
//
// Lines through OGR, polygons with columns through its own command.
#include "survey_lines.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <gdal.h>
#include <ogr_api.h>
#include <ogr_srs_api.h>
#include <stdio.h>
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

void survey_scene_polygons(const struct survey_scene *scene, const char *name, const char *rows) {
    char command[8192];
    snprintf(command, sizeof command,
        "cd '%s' && printf 'id,sort,WKT\\n%s' > polygons.csv && rm -f %s && ogr2ogr -q -f GPKG "
        "-a_srs EPSG:32633 %s polygons.csv -oo GEOM_POSSIBLE_NAMES=WKT -oo EMPTY_STRING_AS_NULL=NO",
        scene->folder, rows, name, name);
    if (survey_scene_shell(command, NULL) != 0)
        fail_msg("ogr2ogr failed");
}
