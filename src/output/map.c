// SPDX-License-Identifier: MIT
//
// Draws the map page with Cairo: reads backdrop and tables from the GeoPackage, lays the page out,
// puts the layers down and writes the PNG in one piece. Text is set by Cairo's own simple
// interface, which does not shape or turn right-to-left writing.
#include "output/map.h"

#include <cpl_string.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/files.h"
#include "base/text.h"
#include "output/gdal_guard.h"
#include "output/map_page.h"

enum { WIDTH_LEAST = 400, WIDTH_MOST = 4000, PICTURE_MOST = 4000 };

// --- backdrop ---

// What Cairo wants: alpha times colour, in the machine's byte order.
static uint32_t premultiplied(const uint8_t rgba[4]) {
    uint32_t alpha = rgba[3];
    uint32_t red = rgba[0] * alpha / 255, green = rgba[1] * alpha / 255,
             blue = rgba[2] * alpha / 255;
    return alpha << 24 | red << 16 | green << 8 | blue;
}

struct known_box {
    int left, top, right, bottom; // pixels, right and bottom beyond the last
};

static void widen(struct known_box *box, int col, int row) {
    box->left = col < box->left ? col : box->left;
    box->right = col + 1 > box->right ? col + 1 : box->right;
    box->top = row < box->top ? row : box->top;
    box->bottom = row + 1 > box->bottom ? row + 1 : box->bottom;
}

// Fills the surface; tells which part of it is known.
static struct known_box fill_surface(
    cairo_surface_t *surface, const uint8_t *rgba, int width, int height) {
    struct known_box known = {width, height, 0, 0};
    unsigned char *bytes = cairo_image_surface_get_data(surface);
    int stride = cairo_image_surface_get_stride(surface);
    for (int row = 0; row < height; row++) {
        for (int col = 0; col < width; col++) {
            const uint8_t *pixel = rgba + 4 * ((size_t)row * (size_t)width + (size_t)col);
            uint32_t value = premultiplied(pixel);
            memcpy(bytes + (size_t)row * (size_t)stride + 4 * (size_t)col, &value, sizeof value);
            if (pixel[3] > 0)
                widen(&known, col, row);
        }
    }
    cairo_surface_mark_dirty(surface);
    return known;
}

static void place_picture(struct sel_map_picture *picture, const double transform[6],
    double shrink_x, double shrink_y, struct known_box known) {
    picture->x0 = transform[0];
    picture->y0 = transform[3];
    picture->pixel_x = transform[1] * shrink_x;
    picture->pixel_y = -transform[5] * shrink_y;
    picture->west = picture->x0 + known.left * picture->pixel_x;
    picture->east = picture->x0 + known.right * picture->pixel_x;
    picture->north = picture->y0 - known.top * picture->pixel_y;
    picture->south = picture->y0 - known.bottom * picture->pixel_y;
}

static sel_status read_pixels(struct sel_package *package, GDALDatasetH dataset, int width,
    int height, struct sel_map_picture *picture) {
    int cols = GDALGetRasterXSize(dataset), rows = GDALGetRasterYSize(dataset);
    double transform[6];
    uint8_t *rgba = malloc((size_t)width * (size_t)height * 4);
    picture->surface = cairo_image_surface_create(CAIRO_FORMAT_ARGB32, width, height);
    sel_status status = SEL_OK;
    if (!rgba || cairo_surface_status(picture->surface) != CAIRO_STATUS_SUCCESS)
        status = sel_fail_memory(package->context);
    else if (GDALGetGeoTransform(dataset, transform) != CE_None ||
             GDALDatasetRasterIO(dataset, GF_Read, 0, 0, cols, rows, rgba, width, height, GDT_Byte,
                 4, NULL, 4, 4 * width, 1) != CE_None)
        status = sel_fail_gdal(package->context, SEL_IO, package->path, "backdrop cannot be read");
    else
        place_picture(picture, transform, (double)cols / width, (double)rows / height,
            fill_surface(picture->surface, rgba, width, height));
    free(rgba);
    return status;
}

static GDALDatasetH open_backdrop(const struct sel_package *package) {
    static const char *const DRIVERS[] = {"GPKG", NULL};
    static const char *const OPTIONS[] = {"TABLE=backdrop", "BAND_COUNT=4", NULL};
    return GDALOpenEx(package->path, GDAL_OF_RASTER | GDAL_OF_READONLY, DRIVERS, OPTIONS, NULL);
}

static sel_status read_backdrop(struct sel_package *package, struct sel_map_picture *picture) {
    sel_gdal_begin(NULL, NULL);
    sel_status status = SEL_OK;
    GDALDatasetH dataset = open_backdrop(package);
    if (!dataset) {
        status = sel_fail(package->context, SEL_BAD_INPUT,
            "%s: picture backdrop is missing: the file was changed; rank again", package->path);
    } else {
        int cols = GDALGetRasterXSize(dataset), rows = GDALGetRasterYSize(dataset);
        int width = cols < PICTURE_MOST ? cols : PICTURE_MOST;
        int height = rows < PICTURE_MOST ? rows : PICTURE_MOST;
        status = read_pixels(package, dataset, width, height, picture);
        GDALClose(dataset);
    }
    sel_gdal_end(NULL);
    return status;
}

// --- page ---

// What is known of the ground, and all sites.
static void find_extent(
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

static sel_status draw(struct drawing *drawing, struct sel_map_page *page) {
    sel_set_ink(page, SEL_INK_PAPER);
    cairo_paint(page->cairo);
    sel_draw_ground(page, &drawing->picture);
    sel_status status = sel_draw_edges(page, drawing->package);
    if (status != SEL_OK)
        return status;
    sel_draw_grid(page);
    sel_draw_heading(page, drawing->package);
    sel_draw_margin(page, drawing->package, drawing->habitats, drawing->habitat_count);
    return sel_draw_sites(page, drawing->package);
}

static cairo_status_t take_bytes(void *user, const unsigned char *bytes, unsigned length) {
    struct sel_text *png = user;
    sel_text_add_bytes(png, (const char *)bytes, length);
    return png->failed ? CAIRO_STATUS_NO_MEMORY : CAIRO_STATUS_SUCCESS;
}

static sel_status draw_png(struct drawing *drawing, int width_px, struct sel_text *png) {
    sel_context *context = drawing->package->context;
    struct sel_map_page page = {0};
    double extent[4];
    find_extent(drawing->package, &drawing->picture, extent);
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
    if (status == SEL_OK &&
        (cairo_status(page.cairo) != CAIRO_STATUS_SUCCESS ||
            cairo_surface_write_to_png_stream(surface, take_bytes, png) != CAIRO_STATUS_SUCCESS))
        status = sel_fail_memory(context);
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
        status = read_backdrop(package, &drawing.picture);
    if (status == SEL_OK)
        status = draw_png(&drawing, width_px, png);
    if (drawing.picture.surface)
        cairo_surface_destroy(drawing.picture.surface);
    sel_rows_free(&SEL_TABLE_HABITATS, habitats, drawing.habitat_count);
    return status;
}

sel_status sel_map_write(
    sel_context *context, const char *geopackage, const char *path, int width_px, bool overwrite) {
    if (width_px < WIDTH_LEAST || width_px > WIDTH_MOST)
        return sel_fail(context, SEL_USAGE,
            "width of the map: %d is not in %d..%d pixels: give one", width_px, WIDTH_LEAST,
            WIDTH_MOST);
    sel_status status = sel_check_output(context, path, overwrite);
    if (status != SEL_OK)
        return status;
    struct sel_package package;
    struct sel_text png;
    sel_text_init(&png);
    status = sel_package_open(context, geopackage, &package);
    if (status == SEL_OK)
        status = draw_package(&package, width_px, &png);
    if (status == SEL_OK)
        status = sel_write_file(context, path, png.chars, png.length, overwrite);
    sel_text_clear(&png);
    sel_package_close(&package);
    return status;
}
