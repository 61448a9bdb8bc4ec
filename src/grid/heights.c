// SPDX-License-Identifier: MIT
//
// Foot lengths: the international foot is 0.3048 m (1959 agreement), the US survey foot 1200/3937 m
// (Mendenhall order, 1893). Names as GDAL, EPSG and common files write them.
#include "grid/heights.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <cpl_port.h>
#include <ogr_srs_api.h>

#include "grid/gdal_support.h"

static const double FOOT = 0.3048, SURVEY_FOOT = 1200.0 / 3937.0;

struct unit_name {
    const char *name;
    double metres;
};

static double metres_of(const char *name) {
    static const struct unit_name units[] = {{"m", 1}, {"metre", 1}, {"meter", 1}, {"metres", 1},
        {"meters", 1}, {"dm", 0.1}, {"decimetre", 0.1}, {"decimeter", 0.1}, {"cm", 0.01},
        {"centimetre", 0.01}, {"centimeter", 0.01}, {"mm", 0.001}, {"millimetre", 0.001},
        {"millimeter", 0.001}, {"ft", FOOT}, {"foot", FOOT}, {"feet", FOOT},
        {"international foot", FOOT}, {"us survey foot", SURVEY_FOOT},
        {"us_survey_foot", SURVEY_FOOT}, {"us survey feet", SURVEY_FOOT}, {"us-ft", SURVEY_FOOT},
        {"ftus", SURVEY_FOOT}, {"foot_us", SURVEY_FOOT}, {"us foot", SURVEY_FOOT},
        {"survey foot", SURVEY_FOOT}};
    for (size_t i = 0; i < sizeof units / sizeof units[0]; i++)
        if (EQUAL(name, units[i].name))
            return units[i].metres;
    return (double)NAN;
}

static const char *planned_name(enum sel_unit unit) {
    switch (unit) {
    case SEL_UNIT_METRE:
        return "metre";
    case SEL_UNIT_DECIMETRE:
        return "decimetre";
    case SEL_UNIT_FOOT:
        return "foot";
    case SEL_UNIT_FROM_FILE:
        break;
    }
    return NULL;
}

// The unit of the CRS's vertical part, if it has one; free with free.
static char *vertical_unit(const struct sel_raster *raster, double *metres) {
    OGRSpatialReferenceH crs = GDALGetSpatialRef(raster->dataset);
    if (!crs || !OSRIsCompound(crs))
        return NULL;
    char *name = NULL; // borrowed from the CRS
    *metres = OSRGetTargetLinearUnits(crs, "COMPD_CS|VERT_CS", &name);
    return name ? strdup(name) : NULL;
}

static bool is_in_feet(const struct sel_raster *raster) {
    OGRSpatialReferenceH crs = GDALGetSpatialRef(raster->dataset);
    return crs && OSRIsProjected(crs) && fabs(OSRGetLinearUnits(crs, NULL) - FOOT) < 1e-3;
}

static sel_status assume_metres(
    sel_context *context, const struct sel_raster *raster, const char *key) {
    if (is_in_feet(raster))
        sel_note(context,
            "%s: band %d names no unit of height, although the map's unit is a foot: metres are "
            "taken; if they are feet, say rasters: { %s: { file: ..., unit: ft } }",
            raster->file, raster->band_number, key);
    else
        sel_note(context, "%s: band %d names no unit of height: metres are taken", raster->file,
            raster->band_number);
    return SEL_OK;
}

sel_status sel_height_unit(sel_context *context, const struct sel_raster *raster, const char *key,
    enum sel_unit wanted, double *metres, char **name) {
    *metres = 1;
    *name = NULL;
    const char *said = planned_name(wanted);
    if (!said)
        said = GDALGetRasterUnitType(raster->band);
    if (said[0]) {
        *metres = metres_of(said);
        if (isnan(*metres))
            return sel_fail(context, SEL_BAD_INPUT,
                "%s: band %d: its unit \"%s\" is not known: say m, dm or ft as rasters: { %s: { "
                "file: ..., unit: ... } }",
                raster->file, raster->band_number, said, key);
        *name = strdup(said);
    } else {
        *name = vertical_unit(raster, metres);
        if (!*name) {
            assume_metres(context, raster, key);
            *name = strdup("metre, assumed");
        }
    }
    return *name ? SEL_OK : sel_fail_memory(context);
}
