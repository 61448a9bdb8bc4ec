// SPDX-License-Identifier: MIT
//
// Where on Earth the study lies: a globe in orthographic projection (Snyder 1987, "Map Projections:
// A Working Manual", USGS Professional Paper 1395, equations 20-3 and 20-4) turned toward the
// study.
#include <math.h>
#include <stdio.h>

#include "dossier/html.h"
#include "dossier/land.h"
#include "dossier/parts.h"
#include "dossier/svg.h"

static const double DEGREE = 0.017453292519943295;
static const double RADIUS = 15.0, CENTRE = 16.0; // mm
enum { STEP_DEG = 4, GRID_DEG = 30 };

struct globe {
    struct sel_text *html;
    double longitude, latitude; // seen from above, degrees
};

// x and y on the page; false on the far side, where the nearest place of the limb is given.
static bool project(const struct globe *globe, double longitude, double latitude, struct vec2 *at) {
    double turn = (longitude - globe->longitude) * DEGREE, phi = latitude * DEGREE;
    double phi0 = globe->latitude * DEGREE;
    double x = cos(phi) * sin(turn);
    double y = cos(phi0) * sin(phi) - sin(phi0) * cos(phi) * cos(turn);
    double toward = sin(phi0) * sin(phi) + cos(phi0) * cos(phi) * cos(turn);
    double stretch = 1.0;
    if (toward < 0.0)
        stretch = 1.0 / fmax(1e-6, hypot(x, y));
    *at = (struct vec2){CENTRE + RADIUS * stretch * x, CENTRE - RADIUS * stretch * y};
    return toward >= 0.0;
}

// --- land ---

static bool ring_is_seen(const struct globe *globe, size_t first, size_t end) {
    struct vec2 at;
    for (size_t i = first; i < end; i += 2)
        if (project(globe, SEL_LAND[i] / 2.0, SEL_LAND[i + 1] / 2.0, &at))
            return true;
    return false;
}

// The way from one vertex to the next in steps, so that it bends with the globe.
static void add_coast(const struct globe *globe, size_t from, size_t to, bool first) {
    double lon0 = SEL_LAND[from] / 2.0, lat0 = SEL_LAND[from + 1] / 2.0;
    double lon1 = SEL_LAND[to] / 2.0, lat1 = SEL_LAND[to + 1] / 2.0;
    int steps = (int)ceil(fmax(fabs(lon1 - lon0), fabs(lat1 - lat0)) / STEP_DEG);
    for (int i = first ? 0 : 1; i <= steps; i++) {
        double share = steps > 0 ? (double)i / steps : 0.0;
        struct vec2 at;
        project(globe, lon0 + share * (lon1 - lon0), lat0 + share * (lat1 - lat0), &at);
        sel_svg_point(globe->html, first && i == 0 ? 'M' : 'L', at);
    }
}

static void add_ring(const struct globe *globe, size_t first, size_t end) {
    if (!ring_is_seen(globe, first, end))
        return;
    for (size_t i = first; i + 2 < end; i += 2)
        add_coast(globe, i, i + 2, i == first);
    sel_text_add(globe->html, "Z");
}

static void add_land(const struct globe *globe) {
    size_t first = 0;
    sel_text_add(globe->html, "<path fill=\"#cfcabb\" stroke=\"#8b857c\" stroke-width=\"0.12\" "
                              "stroke-linejoin=\"round\" d=\"");
    for (size_t i = 0; i < SEL_LAND_COUNT; i += 2) {
        if (SEL_LAND[i] != SEL_LAND_END)
            continue;
        add_ring(globe, first, i);
        first = i + 2;
    }
    sel_text_add(globe->html, "\"/>\n");
}

// --- grid ---

static void add_grid_line(
    const struct globe *globe, double from, double to, double fixed, bool meridian) {
    bool pen_down = false;
    const double step = STEP_DEG / 2.0;
    for (int i = 0; from + i * step <= to; i++) {
        double along = from + i * step;
        struct vec2 at;
        bool seen =
            meridian ? project(globe, fixed, along, &at) : project(globe, along, fixed, &at);
        if (seen)
            sel_svg_point(globe->html, pen_down ? 'L' : 'M', at);
        pen_down = seen;
    }
}

static void add_grid(const struct globe *globe) {
    sel_text_add(globe->html, "<path fill=\"none\" stroke=\"#9aa3ad\" stroke-width=\"0.13\" d=\"");
    for (int longitude = -180; longitude < 180; longitude += GRID_DEG)
        add_grid_line(globe, -90, 90, longitude, true);
    for (int latitude = -60; latitude <= 60; latitude += GRID_DEG)
        add_grid_line(globe, -180, 180, latitude, false);
    sel_text_add(globe->html, "\"/>\n");
}

// --- the locator ---

static void add_caption(
    struct sel_dossier *dossier, double latitude, double longitude, bool inset) {
    struct sel_text *html = dossier->html;
    const struct sel_package *package = dossier->package;
    double wide = sel_package_number(package, "grid.columns") *
                  sel_package_number(package, "grid.cell_x_m") / 1000.0;
    double high = sel_package_number(package, "grid.rows") *
                  sel_package_number(package, "grid.cell_y_m") / 1000.0;
    sel_text_addf(html,
        "<p>Study grid: %.3g by %.3g&nbsp;km about %.2f\xC2\xB0&nbsp;%c, "
        "%.2f\xC2\xB0&nbsp;%c%s.</p>\n",
        wide, high, fabs(latitude), latitude < 0.0 ? 'S' : 'N', fabs(longitude),
        longitude < 0.0 ? 'W' : 'E',
        inset ? ", dot on the globe; above: outline and sites" : ", dot on the globe");
}

void sel_dossier_add_locator(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    double latitude = sel_package_number(dossier->package, "grid.latitude");
    double longitude = sel_package_number(dossier->package, "grid.longitude");
    if (isnan(latitude) || isnan(longitude))
        return;
    // Seen a little from the side of the equator, so that neighbours can be recognised.
    struct globe globe = {html, longitude, 0.75 * latitude};
    struct vec2 centre = {CENTRE, CENTRE}, place;
    sel_text_add(html, "<div class=\"locator\">\n");
    bool inset = sel_dossier_add_inset(dossier);
    sel_text_add(html, "<div>\n");
    sel_svg_begin(
        html, "globe", 2 * CENTRE, 2 * CENTRE, "Globe turned toward the study, which a dot marks");
    sel_svg_circle(html, centre, RADIUS, "fill=\"#eef2f4\"");
    add_land(&globe);
    add_grid(&globe);
    sel_svg_circle(
        html, centre, RADIUS, "fill=\"none\" stroke=\"" SEL_FAINT_INK "\" stroke-width=\"0.25\"");
    project(&globe, longitude, latitude, &place);
    sel_svg_circle(
        html, place, 1.0, "fill=\"" SEL_SITE_INK "\" stroke=\"#ffffff\" stroke-width=\"0.35\"");
    sel_svg_end(html);
    add_caption(dossier, latitude, longitude, inset);
    sel_text_add(html, "</div>\n</div>\n");
}
