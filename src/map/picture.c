// SPDX-License-Identifier: MIT
//
// Reads a picture of the ground (the backdrop from the GeoPackage's raster tiles, a close-up from
// the table of close-ups) into a Cairo surface, with its place on the map and the part of it that
// is known.
#include <cpl_string.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "map/page.h"
#include "output/gdal_guard.h"

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
        status = sel_fail_gdal(package->context, SEL_IO, package->path, "a picture cannot be read");
    else
        place_picture(picture, transform, (double)cols / width, (double)rows / height,
            fill_surface(picture->surface, rgba, width, height));
    free(rgba);
    return status;
}

static GDALDatasetH open_tiles(const struct sel_package *package) {
    static const char *const DRIVERS[] = {"GPKG", NULL};
    char **options = CSLSetNameValue(NULL, "TABLE", "backdrop");
    options = CSLSetNameValue(options, "BAND_COUNT", "4");
    GDALDatasetH dataset = GDALOpenEx(package->path, GDAL_OF_RASTER | GDAL_OF_READONLY, DRIVERS,
        (const char *const *)options, NULL);
    CSLDestroy(options);
    return dataset;
}

// The sides in pixels: the raster's own, or shrunk alike until the longer is `most`.
static void shrink(int cols, int rows, int most, int *width, int *height) {
    double shrinking = fmax(1.0, (double)(cols > rows ? cols : rows) / most);
    *width = (int)fmax(1.0, floor(cols / shrinking));
    *height = (int)fmax(1.0, floor(rows / shrinking));
}

sel_status sel_map_picture_read(
    struct sel_package *package, int most, struct sel_map_picture *picture) {
    *picture = (struct sel_map_picture){0};
    sel_gdal_begin(NULL, NULL);
    sel_status status = SEL_OK;
    GDALDatasetH dataset = open_tiles(package);
    if (!dataset) {
        status = sel_fail(package->context, SEL_BAD_INPUT,
            "%s: picture backdrop is missing: the file was changed; rank again", package->path);
    } else {
        int width, height;
        shrink(GDALGetRasterXSize(dataset), GDALGetRasterYSize(dataset), most, &width, &height);
        status = read_pixels(package, dataset, width, height, picture);
        GDALClose(dataset);
    }
    sel_gdal_end(NULL);
    if (status != SEL_OK)
        sel_map_picture_clear(picture);
    return status;
}

// --- close-ups ---

// Where Cairo has read so far.
struct source {
    struct sel_bytes bytes;
    size_t at;
};

static cairo_status_t give_bytes(void *user, unsigned char *to, unsigned length) {
    struct source *source = user;
    if (length > source->bytes.length - source->at)
        return CAIRO_STATUS_READ_ERROR;
    memcpy(to, source->bytes.data + source->at, length);
    source->at += length;
    return CAIRO_STATUS_SUCCESS;
}

static sel_status fail_close_up(
    const struct sel_package *package, const struct sel_site_row *site, const char *what) {
    return sel_fail(package->context, SEL_BAD_INPUT,
        "%s: table close_up: the picture of site %s %s: the file was changed; rank again",
        package->path, site->site ? site->site : "(none)", what);
}

static struct known_box known_part(cairo_surface_t *surface, int width, int height) {
    struct known_box known = {width, height, 0, 0};
    const unsigned char *bytes = cairo_image_surface_get_data(surface);
    size_t stride = (size_t)cairo_image_surface_get_stride(surface);
    for (int row = 0; row < height; row++)
        for (int col = 0; col < width; col++) {
            uint32_t pixel;
            memcpy(&pixel, bytes + (size_t)row * stride + 4 * (size_t)col, sizeof pixel);
            if (pixel >> 24 > 0)
                widen(&known, col, row);
        }
    return known;
}

static sel_status decode(struct sel_package *package, const struct sel_site_row *site,
    const struct sel_close_up_row *row, struct sel_map_picture *picture) {
    struct source source = {row->png, 0};
    picture->surface = cairo_image_surface_create_from_png_stream(give_bytes, &source);
    if (cairo_surface_status(picture->surface) == CAIRO_STATUS_NO_MEMORY)
        return sel_fail_memory(package->context);
    if (cairo_surface_status(picture->surface) != CAIRO_STATUS_SUCCESS ||
        cairo_image_surface_get_format(picture->surface) != CAIRO_FORMAT_ARGB32)
        return fail_close_up(package, site, "is no PNG image with red, green, blue and alpha");
    if (!(row->west < row->east && row->south < row->north))
        return fail_close_up(package, site, "has no place");
    int width = cairo_image_surface_get_width(picture->surface);
    int height = cairo_image_surface_get_height(picture->surface);
    double transform[6] = {row->west, (row->east - row->west) / width, 0.0, row->north, 0.0,
        -(row->north - row->south) / height};
    place_picture(picture, transform, 1.0, 1.0, known_part(picture->surface, width, height));
    return SEL_OK;
}

sel_status sel_map_close_up_read(
    struct sel_package *package, const struct sel_site_row *site, struct sel_map_picture *picture) {
    void *rows = NULL;
    size_t count = 0;
    *picture = (struct sel_map_picture){0};
    if (!site->site)
        return fail_close_up(package, site, "is missing");
    sel_status status =
        sel_package_rows_of(package, &SEL_TABLE_CLOSE_UP, site->site, &rows, &count);
    if (status != SEL_OK)
        return status;
    status = count > 0 ? decode(package, site, rows, picture)
                       : fail_close_up(package, site, "is missing");
    sel_rows_free(&SEL_TABLE_CLOSE_UP, rows, count);
    if (status != SEL_OK)
        sel_map_picture_clear(picture);
    return status;
}

void sel_map_picture_clear(struct sel_map_picture *picture) {
    if (picture->surface)
        cairo_surface_destroy(picture->surface);
    *picture = (struct sel_map_picture){0};
}
