// SPDX-License-Identifier: MIT
//
// The bottom of the map: the backdrop picture, the habitat edges and the coordinate grid.
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "map/page.h"
#include "output/gdal_guard.h"

static void clip_to_frame(const struct sel_map_page *page) {
    cairo_rectangle(
        page->cairo, page->frame.x, page->frame.y, page->frame.width, page->frame.height);
    cairo_clip(page->cairo);
}

void sel_draw_ground(const struct sel_map_page *page, const struct sel_map_picture *picture) {
    cairo_t *cairo = page->cairo;
    cairo_save(cairo);
    clip_to_frame(page);
    cairo_set_source_rgb(cairo, 0.93, 0.93, 0.92);
    cairo_paint(cairo);
    if (picture->surface) {
        cairo_translate(cairo, sel_page_x(page, picture->x0), sel_page_y(page, picture->y0));
        cairo_scale(cairo, picture->pixel_x * page->scale, picture->pixel_y * page->scale);
        cairo_set_source_surface(cairo, picture->surface, 0, 0);
        bool enlarged = picture->pixel_x * page->scale > 2.0;
        cairo_pattern_set_filter(
            cairo_get_source(cairo), enlarged ? CAIRO_FILTER_NEAREST : CAIRO_FILTER_GOOD);
        cairo_paint(cairo);
        cairo_set_source_rgba(cairo, 1, 1, 1, SEL_MAP_VEIL);
        cairo_paint(cairo);
    }
    cairo_restore(cairo);
}

// --- edges ---

// Visits the lines within the frame: adds each to cairo's path, or only sums their lengths.
static double walk_edges(const struct sel_map_page *page, OGRLayerH layer, bool draw) {
    double sum = 0.0;
    OGRFeatureH feature;
    OGR_L_ResetReading(layer);
    while ((feature = OGR_L_GetNextFeature(layer)) != NULL) {
        OGRGeometryH line = OGR_F_GetGeometryRef(feature);
        int count = line ? OGR_G_GetPointCount(line) : 0;
        sum += line ? OGR_G_Length(line) : 0.0;
        for (int i = 0; draw && i < count; i++) {
            double x = sel_page_x(page, OGR_G_GetX(line, i));
            double y = sel_page_y(page, OGR_G_GetY(line, i));
            if (i == 0)
                cairo_move_to(page->cairo, x, y);
            else
                cairo_line_to(page->cairo, x, y);
        }
        if (draw)
            cairo_stroke(page->cairo);
        OGR_F_Destroy(feature);
    }
    return sum;
}

// Lines that would cover the map are drawn fainter, and not at all when nothing could be told
// apart.
static double edge_alpha(const struct sel_map_page *page, double length) {
    const double strongest = 0.6, ink_per_area = 0.028, faintest = 0.10;
    double area = page->frame.width * page->frame.height;
    double density = length * page->scale / area;
    double alpha = density > 0.0 ? fmin(strongest, ink_per_area / density) : strongest;
    return alpha < faintest ? 0.0 : alpha;
}

sel_status sel_draw_edges(struct sel_map_page *page, struct sel_package *package) {
    OGRLayerH layer = GDALDatasetGetLayerByName(package->dataset, SEL_TABLE_EDGES.name);
    if (!layer)
        return sel_fail(package->context, SEL_BAD_INPUT,
            "%s: layer edges is missing: the file was changed; rank again", package->path);
    sel_gdal_begin(NULL, NULL);
    OGR_L_SetSpatialFilterRect(layer, page->west, page->north - page->frame.height / page->scale,
        page->west + page->frame.width / page->scale, page->north);
    double alpha = edge_alpha(page, walk_edges(page, layer, false));
    page->edges_shown = alpha > 0.0;
    if (page->edges_shown) {
        cairo_save(page->cairo);
        clip_to_frame(page);
        cairo_set_source_rgba(page->cairo, 0.16, 0.13, 0.10, alpha);
        cairo_set_line_width(page->cairo, 0.7 * page->unit);
        cairo_set_line_join(page->cairo, CAIRO_LINE_JOIN_ROUND);
        walk_edges(page, layer, true);
        cairo_restore(page->cairo);
    }
    OGR_L_SetSpatialFilter(layer, NULL);
    sel_gdal_end(NULL);
    return SEL_OK;
}

// --- coordinate grid ---

static void tick_label(double value, double step, char label[48]) {
    int decimals = step >= 1.0 ? 0 : (int)ceil(-log10(step));
    snprintf(label, 48, "%.*f", decimals, value);
}

static void draw_line(const struct sel_map_page *page, double x0, double y0, double x1, double y1) {
    cairo_move_to(page->cairo, x0, y0);
    cairo_line_to(page->cairo, x1, y1);
    cairo_stroke(page->cairo);
}

static void draw_tick(const struct sel_map_page *page, double at, double step, bool east) {
    const struct sel_map_box *frame = &page->frame;
    struct sel_lettering lettering = {10.5, false, SEL_ANCHOR_MIDDLE, SEL_INK_FAINT, 0};
    double bottom = frame->y + frame->height, right = frame->x + frame->width;
    double pixel = floor(east ? sel_page_x(page, at) : sel_page_y(page, at)) + 0.5;
    double tick = 4.0 * page->unit;
    char label[48];
    tick_label(at, step, label);
    cairo_set_source_rgba(page->cairo, 1, 1, 1, 0.45);
    if (east)
        draw_line(page, pixel, frame->y, pixel, bottom);
    else
        draw_line(page, frame->x, pixel, right, pixel);
    sel_set_ink(page, SEL_INK_TEXT);
    if (east) {
        draw_line(page, pixel, bottom, pixel, bottom + tick);
        sel_letter(page, pixel, bottom + 15.0 * page->unit, &lettering, label);
        return;
    }
    draw_line(page, frame->x - tick, pixel, frame->x, pixel);
    cairo_save(page->cairo);
    cairo_translate(page->cairo, frame->x - 7.0 * page->unit, pixel);
    cairo_rotate(page->cairo, -1.5707963267948966);
    sel_letter(page, 0, 0, &lettering, label);
    cairo_restore(page->cairo);
}

// Ticks at the whole steps from `low` to `high`.
static void draw_ticks(
    const struct sel_map_page *page, double low, double high, double step, bool across) {
    double first = ceil(low / step);
    int count = (int)floor((high - first * step) / step) + 1;
    for (int i = 0; i < count; i++)
        draw_tick(page, (first + i) * step, step, across);
}

void sel_draw_grid(const struct sel_map_page *page) {
    const struct sel_map_box *frame = &page->frame;
    double wide = frame->width / page->scale, high = frame->height / page->scale;
    double step = sel_round_step(fmax(wide, high) / 4.0);
    double least = 80.0 * page->unit / page->scale; // labels must not touch
    if (step < least)
        step = sel_round_step(2.5 * least);
    double label_room = 35.0 * page->unit / page->scale; // half a label, at the frame's ends
    cairo_set_line_width(page->cairo, fmax(1.0, 0.8 * page->unit));
    draw_ticks(page, page->west + label_room, page->west + wide - label_room, step, true);
    draw_ticks(page, page->north - high + label_room, page->north - label_room, step, false);
    sel_set_ink(page, SEL_INK_TEXT);
    cairo_set_line_width(page->cairo, fmax(1.0, round(1.2 * page->unit)));
    cairo_rectangle(
        page->cairo, frame->x - 0.5, frame->y - 0.5, frame->width + 1.0, frame->height + 1.0);
    cairo_stroke(page->cairo);
}
