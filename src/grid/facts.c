// SPDX-License-Identifier: MIT
//
// Names come from the CRS itself; nothing is looked up.
#include "grid/facts.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <ogr_srs_api.h>

#include "grid/gdal_support.h"
#include "grid/ground.h"

char *sel_crs_name_of(const struct sel_shape *shape) {
    OGRSpatialReferenceH crs = sel_crs_from_text(shape->crs);
    const char *name = crs ? OSRGetName(crs) : NULL;
    char *copy = strdup(name ? name : "unnamed");
    OSRDestroySpatialReference(crs);
    return copy;
}

char *sel_unit_name_of(const struct sel_shape *shape) {
    OGRSpatialReferenceH crs = sel_crs_from_text(shape->crs);
    char *name = NULL; // borrowed from the CRS
    if (crs && OSRIsProjected(crs))
        OSRGetLinearUnits(crs, &name);
    else if (crs)
        OSRGetAngularUnits(crs, &name);
    char *copy = strdup(name ? name : "unknown");
    OSRDestroySpatialReference(crs);
    return copy;
}

void sel_facts_clear(struct sel_raster_facts *facts) {
    free(facts->file);
    free(facts->driver);
    free(facts->crs_name);
    free(facts->unit);
    free(facts->value_unit);
    *facts = (struct sel_raster_facts){0};
}

sel_status sel_facts_fill(sel_context *context, const struct sel_raster *raster,
    enum sel_method method, struct sel_raster_facts *facts) {
    const struct sel_shape *shape = &raster->shape;
    facts->file = strdup(raster->file);
    facts->driver = strdup(GDALGetDriverShortName(GDALGetDatasetDriver(raster->dataset)));
    facts->crs_name = sel_crs_name_of(shape);
    facts->unit = sel_unit_name_of(shape);
    if (!facts->file || !facts->driver || !facts->crs_name || !facts->unit)
        return sel_fail_memory(context);
    facts->rows = shape->rows;
    facts->cols = shape->cols;
    facts->pixel_x = hypot(shape->gt[1], shape->gt[4]);
    facts->pixel_y = hypot(shape->gt[2], shape->gt[5]);
    facts->resampled = method != SEL_AS_IT_IS;
    facts->method = sel_method_name(method);
    return SEL_OK;
}

void sel_note_class_oddities(sel_context *context, const struct sel_raster *raster,
    const struct sel_values *values, const char *table) {
    if (raster->has_odd_nodata)
        sel_note(context,
            "%s: band %d declares NoData %g, which its type (%s) cannot hold: it is left aside",
            raster->file, raster->band_number, raster->odd_nodata,
            GDALGetDataTypeName(raster->type));
    if (raster->has_nodata && !isnan(raster->nodata) &&
        sel_values_id(values, raster->nodata) != SEL_HABITAT_AMISS)
        sel_note(context, "%s: value %g is NoData and so unknown, although %s lists it",
            raster->file, raster->nodata, table);
    if (raster->value_scale != 1 || raster->value_offset != 0)
        sel_note(context,
            "%s: band %d carries scale %g and offset %g: its classes are read without",
            raster->file, raster->band_number, raster->value_scale, raster->value_offset);
}
