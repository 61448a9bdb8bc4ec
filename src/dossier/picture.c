// SPDX-License-Identifier: MIT
//
// The ground under a drawing as an inline PNG: painted with Cairo by the same functions as the map,
// at a size that keeps the page small.
#include <math.h>

#include "dossier/html.h"
#include "dossier/parts.h"

enum { PIXELS_LEAST = 64 };

static cairo_status_t take_bytes(void *user, const unsigned char *bytes, unsigned length) {
    struct sel_text *png = user;
    sel_text_add_bytes(png, (const char *)bytes, length);
    return png->failed ? CAIRO_STATUS_NO_MEMORY : CAIRO_STATUS_SUCCESS;
}

// A page that is all frame, so many pixels on its longer side.
static struct sel_map_page bare_page(const double extent[4], double metres, int pixels) {
    double wide = extent[2] - extent[0], high = extent[3] - extent[1];
    double scale = pixels / fmax(wide, high);
    struct sel_map_page page = {.unit = pixels / 1000.0,
        .width = fmax(1.0, round(wide * scale)),
        .height = fmax(1.0, round(high * scale)),
        .west = extent[0],
        .north = extent[3],
        .scale = scale,
        .metres = metres};
    page.frame = (struct sel_map_box){0, 0, page.width, page.height};
    return page;
}

static sel_status paint(struct sel_dossier *dossier, const struct sel_map_picture *picture,
    const double extent[4], int pixels, bool *edges_shown, cairo_surface_t **surface) {
    struct sel_map_page page = bare_page(extent, dossier->metres, pixels);
    *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)page.width, (int)page.height);
    page.cairo = cairo_create(*surface);
    sel_draw_ground(&page, picture);
    sel_status status = sel_draw_edges(&page, dossier->package);
    if (status == SEL_OK && cairo_status(page.cairo) != CAIRO_STATUS_SUCCESS)
        status = sel_fail_memory(dossier->package->context);
    *edges_shown = page.edges_shown;
    cairo_destroy(page.cairo);
    return status;
}

// The same picture with three quarters of the pixels along each side; `surface` is dropped.
static cairo_surface_t *shrink(cairo_surface_t *surface) {
    int width = cairo_image_surface_get_width(surface) * 3 / 4;
    int height = cairo_image_surface_get_height(surface) * 3 / 4;
    width = width > 1 ? width : 1;
    height = height > 1 ? height : 1;
    cairo_surface_t *smaller = cairo_image_surface_create(CAIRO_FORMAT_RGB24, width, height);
    cairo_t *cairo = cairo_create(smaller);
    cairo_scale(cairo, (double)width / cairo_image_surface_get_width(surface),
        (double)height / cairo_image_surface_get_height(surface));
    cairo_set_source_surface(cairo, surface, 0, 0);
    cairo_pattern_set_filter(cairo_get_source(cairo), CAIRO_FILTER_GOOD);
    cairo_paint(cairo);
    cairo_destroy(cairo);
    cairo_surface_destroy(surface);
    return smaller;
}

static bool small_enough(cairo_surface_t *surface, const struct sel_text *png, size_t most) {
    return png->length <= most || cairo_image_surface_get_width(surface) <= PIXELS_LEAST ||
           cairo_image_surface_get_height(surface) <= PIXELS_LEAST;
}

static sel_status encode(
    sel_context *context, cairo_surface_t **surface, size_t most_bytes, struct sel_text *png) {
    for (;;) {
        sel_text_clear(png);
        if (cairo_surface_write_to_png_stream(*surface, take_bytes, png) != CAIRO_STATUS_SUCCESS)
            return sel_fail_memory(context);
        if (small_enough(*surface, png, most_bytes))
            return SEL_OK;
        *surface = shrink(*surface);
    }
}

sel_status sel_dossier_ground(struct sel_dossier *dossier, const struct sel_site_row *site,
    const double extent[4], int pixels, size_t most_bytes, bool *edges_shown) {
    struct sel_map_picture picture;
    struct sel_text png;
    cairo_surface_t *surface = NULL;
    bool shown = false;
    sel_text_init(&png);
    sel_status status = site ? sel_map_close_up_read(dossier->package, site, &picture)
                             : sel_map_picture_read(dossier->package, pixels, &picture);
    if (status == SEL_OK)
        status = paint(dossier, &picture, extent, pixels, &shown, &surface);
    if (status == SEL_OK)
        status = encode(dossier->package->context, &surface, most_bytes, &png);
    if (status == SEL_OK)
        sel_html_data_uri(dossier->html, "image/png", png.chars, png.length);
    if (edges_shown)
        *edges_shown = shown;
    if (surface)
        cairo_surface_destroy(surface);
    sel_text_clear(&png);
    sel_map_picture_clear(&picture);
    return status;
}
