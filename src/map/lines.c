// SPDX-License-Identifier: MIT
//
// What the plan and the run lay over the ground: the study area's outline and the walks to the
// sites. A file without those layers has none to draw.
#include "map/page.h"
#include "output/gdal_guard.h"

static const double WHITE_ROUND = 1.6; // units of white on either side, so that lines stand out

// Adds a line, ring, polygon or a collection of them to cairo's path.
static void trace(const struct sel_map_page *page, OGRGeometryH geometry) {
    int parts = OGR_G_GetGeometryCount(geometry), count = OGR_G_GetPointCount(geometry);
    for (int i = 0; i < parts; i++)
        trace(page, OGR_G_GetGeometryRef(geometry, i));
    for (int i = 0; parts == 0 && i < count; i++) {
        double x = sel_page_x(page, OGR_G_GetX(geometry, i));
        double y = sel_page_y(page, OGR_G_GetY(geometry, i));
        if (i == 0)
            cairo_move_to(page->cairo, x, y);
        else
            cairo_line_to(page->cairo, x, y);
    }
}

static bool trace_layer(
    const struct sel_map_page *page, struct sel_package *package, const char *name) {
    OGRLayerH layer = GDALDatasetGetLayerByName(package->dataset, name);
    OGRFeatureH feature;
    bool any = false;
    if (!layer)
        return false;
    OGR_L_ResetReading(layer);
    while ((feature = OGR_L_GetNextFeature(layer)) != NULL) {
        OGRGeometryH geometry = OGR_F_GetGeometryRef(feature);
        if (geometry)
            trace(page, geometry);
        any = any || geometry;
        OGR_F_Destroy(feature);
    }
    return any;
}

void sel_stroke_line(const struct sel_map_page *page, const struct sel_map_stroke *stroke) {
    cairo_t *cairo = page->cairo;
    double dashes[4];
    for (int i = 0; i < stroke->dash_count; i++)
        dashes[i] = stroke->dashes[i] * page->unit;
    cairo_save(cairo);
    cairo_set_line_join(cairo, CAIRO_LINE_JOIN_ROUND);
    cairo_set_source_rgba(cairo, 1, 1, 1, 0.7);
    cairo_set_line_width(cairo, (stroke->width + 2 * WHITE_ROUND) * page->unit);
    cairo_stroke_preserve(cairo);
    sel_set_ink(page, stroke->ink);
    cairo_set_dash(cairo, dashes, stroke->dash_count, 0);
    cairo_set_line_width(cairo, stroke->width * page->unit);
    cairo_stroke(cairo);
    cairo_restore(cairo);
}

const struct sel_map_stroke SEL_STROKE_AREA = {{0.13, 0.14, 0.18, 1}, 1.6, {9, 3, 2, 3}, 4},
                            SEL_STROKE_WALK = {{0.50, 0.05, 0.34, 1}, 1.4, {3, 2}, 2};

void sel_draw_lines(struct sel_map_page *page, struct sel_package *package) {
    sel_gdal_begin(NULL, NULL);
    cairo_save(page->cairo);
    cairo_rectangle(
        page->cairo, page->frame.x, page->frame.y, page->frame.width, page->frame.height);
    cairo_clip(page->cairo);
    page->area_shown = trace_layer(page, package, SEL_TABLE_GROUND_AREA.name);
    sel_stroke_line(page, &SEL_STROKE_AREA);
    page->walks_shown = trace_layer(page, package, SEL_TABLE_WALKS.name);
    sel_stroke_line(page, &SEL_STROKE_WALK);
    cairo_restore(page->cairo);
    sel_gdal_end(NULL);
}
