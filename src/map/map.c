// SPDX-License-Identifier: MIT
//
// Draws the map page with Cairo: reads backdrop and tables from the GeoPackage, lays the page out,
// puts the layers down and writes the PNG in one piece. Text is set by Cairo's own simple
// interface, which does not shape or turn right-to-left writing.
#include "map/map.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/files.h"
#include "base/text.h"
#include "map/page.h"

enum { WIDTH_LEAST = 400, WIDTH_MOST = 4000, PICTURE_MOST = 4000 };

// --- page ---

void sel_map_find_extent(
    const struct sel_package *package, const struct sel_map_picture *picture, double extent[4]) {
    extent[0] = picture->west;
    extent[1] = picture->south;
    extent[2] = picture->east;
    extent[3] = picture->north;
    for (size_t i = 0; i < package->site_count; i++) {
        double x = package->sites[i].x, y = package->sites[i].y;
        extent[0] = fmin(extent[0], x);
        extent[1] = fmin(extent[1], y);
        extent[2] = fmax(extent[2], x);
        extent[3] = fmax(extent[3], y);
    }
}

struct drawing {
    struct sel_package *package;
    struct sel_map_picture picture;
    const struct sel_habitat_row *habitats;
    size_t habitat_count;
};

static sel_status go_on(sel_context *context, double share) {
    sel_progress(context, "drawing", share);
    return sel_check_cancel(context);
}

static sel_status draw(struct drawing *drawing, struct sel_map_page *page) {
    sel_context *context = drawing->package->context;
    sel_status status = go_on(context, 0.0);
    if (status != SEL_OK)
        return status;
    sel_set_ink(page, SEL_INK_PAPER);
    cairo_paint(page->cairo);
    sel_draw_ground(page, &drawing->picture);
    status = go_on(context, 0.1);
    if (status == SEL_OK)
        status = sel_draw_edges(page, drawing->package);
    if (status == SEL_OK)
        status = go_on(context, 0.3);
    if (status != SEL_OK)
        return status;
    sel_draw_lines(page, drawing->package);
    sel_draw_grid(page);
    sel_draw_heading(page, drawing->package);
    sel_draw_margin(page, drawing->package, drawing->habitats, drawing->habitat_count);
    return sel_draw_sites(page, drawing->package);
}

// Packing the picture takes longer than drawing it.
struct packing {
    sel_context *context;
    struct sel_text *png;
    sel_status status;
};

static cairo_status_t take_bytes(void *user, const unsigned char *bytes, unsigned length) {
    struct packing *packing = user;
    sel_text_add_bytes(packing->png, (const char *)bytes, length);
    packing->status = packing->png->failed ? sel_fail_memory(packing->context)
                                           : sel_check_cancel(packing->context);
    return packing->status == SEL_OK ? CAIRO_STATUS_SUCCESS : CAIRO_STATUS_WRITE_ERROR;
}

static sel_status pack_png(sel_context *context, cairo_surface_t *surface, struct sel_text *png) {
    struct packing packing = {context, png, go_on(context, 0.4)};
    if (packing.status != SEL_OK)
        return packing.status;
    cairo_status_t packed = cairo_surface_write_to_png_stream(surface, take_bytes, &packing);
    if (packing.status == SEL_OK && packed != CAIRO_STATUS_SUCCESS)
        return sel_fail_memory(context);
    return packing.status;
}

static sel_status draw_png(struct drawing *drawing, int width_px, struct sel_text *png) {
    sel_context *context = drawing->package->context;
    bool wordless = false;
    struct sel_map_page page = {.wordless = &wordless};
    double extent[4];
    sel_map_find_extent(drawing->package, &drawing->picture, extent);
    if (!(extent[2] > extent[0] && extent[3] > extent[1]))
        return sel_fail(context, SEL_BAD_INPUT,
            "%s: picture backdrop shows no known ground: there is nothing to draw",
            drawing->package->path);
    double metres = sel_package_number(drawing->package, "grid.metres_per_unit");
    if (!(metres > 0.0))
        return sel_fail(context, SEL_BAD_INPUT,
            "%s: table run: grid.metres_per_unit is missing: the file was changed; rank again",
            drawing->package->path);
    sel_page_lay_out(&page, width_px, extent, metres,
        sel_margin_lines(drawing->habitats, drawing->habitat_count));
    cairo_surface_t *surface =
        cairo_image_surface_create(CAIRO_FORMAT_RGB24, width_px, (int)page.height);
    page.cairo = cairo_create(surface);
    sel_status status = draw(drawing, &page);
    if (status == SEL_OK && (wordless || cairo_status(page.cairo) != CAIRO_STATUS_SUCCESS))
        status = sel_fail_memory(context);
    if (status == SEL_OK)
        status = pack_png(context, surface, png);
    cairo_destroy(page.cairo);
    cairo_surface_destroy(surface);
    return status;
}

static sel_status draw_package(struct sel_package *package, int width_px, struct sel_text *png) {
    struct drawing drawing = {.package = package};
    void *habitats = NULL;
    sel_status status =
        sel_package_rows(package, &SEL_TABLE_HABITATS, &habitats, &drawing.habitat_count);
    drawing.habitats = habitats;
    if (status == SEL_OK)
        status = sel_map_picture_read(package, PICTURE_MOST, &drawing.picture);
    if (status == SEL_OK)
        status = draw_png(&drawing, width_px, png);
    sel_map_picture_clear(&drawing.picture);
    sel_rows_free(&SEL_TABLE_HABITATS, habitats, drawing.habitat_count);
    return status;
}

sel_status sel_map_write(
    sel_context *context, const char *geopackage, const char *path, int width_px, bool overwrite) {
    if (width_px < WIDTH_LEAST || width_px > WIDTH_MOST)
        return sel_fail(context, SEL_USAGE,
            "width of the map: %d is not in %d..%d pixels: give one", width_px, WIDTH_LEAST,
            WIDTH_MOST);
    sel_status status = sel_check_ending(context, path, ".png", "the map is a PNG picture");
    if (status == SEL_OK)
        status = sel_check_output(context, path, overwrite);
    if (status != SEL_OK)
        return status;
    struct sel_package package;
    struct sel_text png;
    sel_text_init(&png);
    status = sel_package_open(context, geopackage, &package);
    if (status == SEL_OK)
        status = draw_package(&package, width_px, &png);
    if (status == SEL_OK)
        status = go_on(context, 1.0);
    if (status == SEL_OK)
        status = sel_write_file(context, path, png.chars, png.length, overwrite);
    sel_text_clear(&png);
    sel_package_close(&package);
    return status;
}
