// SPDX-License-Identifier: MIT
//
// The page of the map: where things go, how map positions become pixels, and how ink is put down.
// Everything is in pixels; `unit` pixels are one thousandth of the page's
// width or thereabouts, so that the page looks alike at every width.
#ifndef SEL_MAP_PAGE_H
#define SEL_MAP_PAGE_H

#include <cairo.h>

#include "output/package.h"
#include "output/palette.h"

// A picture of the ground as read from the file.
struct sel_map_picture {
    cairo_surface_t *surface;        // owned; ARGB32, NULL: none
    double x0, y0;                   // north-west corner, CRS units
    double pixel_x, pixel_y;         // CRS units, both > 0
    double west, south, east, north; // what is known of it
};

// Reads the backdrop, shrunk to at most `most` pixels a side. After a failure the picture is empty;
// so it is below.
sel_status sel_map_picture_read(
    struct sel_package *package, int most, struct sel_map_picture *picture);

// Reads the ground around a site.
sel_status sel_map_close_up_read(
    struct sel_package *package, const struct sel_site_row *site, struct sel_map_picture *picture);
void sel_map_picture_clear(struct sel_map_picture *picture);

// West, south, east, north of what is known of the ground, and of all sites.
void sel_map_find_extent(
    const struct sel_package *package, const struct sel_map_picture *picture, double extent[4]);

struct sel_map_box {
    double x, y, width, height; // pixels
};

struct sel_map_page {
    cairo_t *cairo;
    double unit;
    double width, height;
    struct sel_map_box frame;     // the map
    struct sel_map_box margin;    // the column beside it
    double west, north;           // CRS units at the frame's corner
    double scale;                 // pixels per CRS unit
    double metres;                // per CRS unit
    bool edges_shown;             // set by sel_draw_edges: false where they would cover the map
    bool area_shown, walks_shown; // set by sel_draw_lines
    bool *wordless;               // set by sel_letter when memory is out for a word
};

struct sel_ink {
    double red, green, blue, alpha;
};

extern const struct sel_ink SEL_INK_TEXT, SEL_INK_FAINT, SEL_INK_SITE, SEL_INK_PAPER;

// How much white lies over the ground, 0..1, so that marks stand out.
extern const double SEL_MAP_VEIL;

static inline double sel_page_x(const struct sel_map_page *page, double x) {
    return page->frame.x + (x - page->west) * page->scale;
}

static inline double sel_page_y(const struct sel_map_page *page, double y) {
    return page->frame.y + (page->north - y) * page->scale;
}

// Lays a page of `width_px` out around an extent (west, south, east, north in CRS units) with so
// many lines in the margin. No cairo yet.
void sel_page_lay_out(struct sel_map_page *page, int width_px, const double extent[4],
    double metres, int margin_lines);

void sel_set_ink(const struct sel_map_page *page, struct sel_ink ink);

enum sel_anchor { SEL_ANCHOR_LEFT, SEL_ANCHOR_MIDDLE, SEL_ANCHOR_RIGHT };

struct sel_lettering {
    double size; // units
    bool bold;
    enum sel_anchor anchor;
    struct sel_ink ink;
    double most; // pixels; longer text is cut with an ellipsis; 0: no limit
};

// Writes printable text with its baseline at y.
void sel_letter(const struct sel_map_page *page, double x, double y,
    const struct sel_lettering *lettering, const char *chars);

// A round number 1, 2 or 5 times a power of ten, the largest that is at most `most`.
double sel_round_step(double most);

// The layers of the drawing, from bottom to top.
void sel_draw_ground(const struct sel_map_page *page, const struct sel_map_picture *picture);
sel_status sel_draw_edges(struct sel_map_page *page, struct sel_package *package);
void sel_draw_lines(struct sel_map_page *page, struct sel_package *package);
void sel_draw_grid(const struct sel_map_page *page);

// A line over the ground, with white on either side.
struct sel_map_stroke {
    struct sel_ink ink;
    double width, dashes[4]; // units
    int dash_count;
};

extern const struct sel_map_stroke SEL_STROKE_AREA, SEL_STROKE_WALK;

// Strokes cairo's path and clears it.
void sel_stroke_line(const struct sel_map_page *page, const struct sel_map_stroke *stroke);

struct sel_map_mark {
    double x, y;       // the place, pixels
    double at_x, at_y; // its marker
    const struct sel_site_row *site;
};

// Where the markers of all sites go, so that none covers another where there is room; primaries
// first. `marks` has room for all sites. Returns how many have a place.
size_t sel_map_place_marks(
    const struct sel_map_page *page, const struct sel_package *package, struct sel_map_mark *marks);
double sel_map_mark_radius(const struct sel_map_page *page, bool primary);

sel_status sel_draw_sites(const struct sel_map_page *page, const struct sel_package *package);
void sel_draw_marker(
    const struct sel_map_page *page, double x, double y, bool primary, int64_t rank);
void sel_draw_heading(const struct sel_map_page *page, const struct sel_package *package);
void sel_draw_margin(const struct sel_map_page *page, const struct sel_package *package,
    const struct sel_habitat_row *habitats, size_t habitat_count);

// The shown habitat with the next smaller share of the backdrop (ties: table order); -1: none left.
// Begin with INFINITY and -1.
int sel_habitat_by_share(
    const struct sel_habitat_row *habitats, size_t count, double below, int after);

// A habitat's colour as the veiled ground shows it.
struct sel_ink sel_swatch_ink(const char *colour);

// How many lines the margin takes for so many habitats.
int sel_margin_lines(const struct sel_habitat_row *habitats, size_t habitat_count);

#endif
