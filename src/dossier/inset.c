// SPDX-License-Identifier: MIT
//
// The study area in its surroundings: its outline, or that of the study grid where the plan names
// no area, in a window about twice as wide, with lines of latitude and longitude to find it by on
// any other map. Drawn in the equirectangular projection with its standard parallel at the middle
// (Snyder 1987, USGS Professional Paper 1395, equations 12-1 and 12-2), on a sphere. No coasts,
// roads or names: the file has none of the surroundings.
#include <math.h>
#include <ogr_srs_api.h>
#include <stdio.h>

#include "dossier/html.h"
#include "dossier/parts.h"
#include "dossier/svg.h"
#include "output/gdal_guard.h"

static const double SIDE = 44.0, FRAME = 40.0; // mm; the rest is for labels
static const double DEGREE = 0.017453292519943295, DEGREE_KM = 111.195; // 6371 km
static const double ROOM = 2.2;       // of the window to the outline's longer side
static const double LABEL = 0.26;     // of the window: a label and some room
static const double POLAR_DEG = 85.0; // beyond it this projection shows nothing well
enum { BREAKS = 300 };                // an outline is broken at so many parts of the window

struct inset {
    struct sel_text *html;
    double longitude, latitude; // of the middle
    double window_km;
};

static struct vec2 km_of(const struct inset *inset, double longitude, double latitude) {
    double turn = fmod(longitude - inset->longitude + 540.0, 360.0) - 180.0;
    return (struct vec2){
        turn * DEGREE_KM * cos(inset->latitude * DEGREE), (latitude - inset->latitude) * DEGREE_KM};
}

static struct vec2 page_of(const struct inset *inset, double longitude, double latitude) {
    struct vec2 km = km_of(inset, longitude, latitude);
    double scale = FRAME / inset->window_km;
    return (struct vec2){0.5 * FRAME + km.x * scale, 0.5 * FRAME - km.y * scale};
}

// --- the outline ---

static OGRGeometryH grid_rectangle(const struct sel_package *package) {
    double west = sel_package_number(package, "grid.x0");
    double north = sel_package_number(package, "grid.y0");
    double east = west + sel_package_number(package, "grid.columns") *
                             sel_package_number(package, "grid.cell_x");
    double south = north - sel_package_number(package, "grid.rows") *
                               sel_package_number(package, "grid.cell_y");
    const double x[] = {west, east, east, west, west}, y[] = {north, north, south, south, north};
    OGRGeometryH ring = OGR_G_CreateGeometry(wkbLinearRing);
    OGRGeometryH polygon = OGR_G_CreateGeometry(wkbPolygon);
    for (int i = 0; i < 5; i++)
        OGR_G_AddPoint_2D(ring, x[i], y[i]);
    OGR_G_AddGeometryDirectly(polygon, ring);
    return polygon;
}

// All polygons of the study area in one; NULL: the file has none.
static OGRGeometryH area_of(const struct sel_package *package) {
    OGRLayerH layer = GDALDatasetGetLayerByName(package->dataset, SEL_TABLE_GROUND_AREA.name);
    OGRGeometryH all = NULL;
    OGRFeatureH feature;
    if (layer)
        OGR_L_ResetReading(layer);
    while (layer && (feature = OGR_L_GetNextFeature(layer)) != NULL) {
        OGRGeometryH one = OGR_F_GetGeometryRef(feature);
        if (one && !all)
            all = OGR_G_CreateGeometry(wkbGeometryCollection);
        if (one)
            OGR_G_AddGeometry(all, one);
        OGR_F_Destroy(feature);
    }
    return all;
}

// Into degrees, longitude first. False where that cannot be done.
static bool make_geographic(const struct sel_package *package, OGRGeometryH outline) {
    OGRLayerH sites = GDALDatasetGetLayerByName(package->dataset, SEL_TABLE_SITES.name);
    OGRSpatialReferenceH from = sites ? OGR_L_GetSpatialRef(sites) : NULL;
    OGRSpatialReferenceH to = OSRNewSpatialReference(NULL);
    OSRSetWellKnownGeogCS(to, "WGS84");
    OSRSetAxisMappingStrategy(to, OAMS_TRADITIONAL_GIS_ORDER);
    OGRCoordinateTransformationH way = from ? OCTNewCoordinateTransformation(from, to) : NULL;
    bool done = way && OGR_G_Transform(outline, way) == OGRERR_NONE;
    if (way)
        OCTDestroyCoordinateTransformation(way);
    OSRDestroySpatialReference(to);
    return done;
}

static void add_ring(const struct inset *inset, OGRGeometryH ring) {
    int count = OGR_G_GetPointCount(ring);
    struct vec2 last = {(double)NAN, (double)NAN};
    for (int i = 0; i < count; i++) {
        struct vec2 at = page_of(inset, OGR_G_GetX(ring, i), OGR_G_GetY(ring, i));
        if (i > 0 && i < count - 1 && vec2_length(vec2_sub(at, last)) < FRAME / BREAKS)
            continue;
        sel_svg_point(inset->html, i == 0 ? 'M' : 'L', at);
        last = at;
    }
    sel_text_add(inset->html, "Z");
}

static void add_rings(const struct inset *inset, OGRGeometryH geometry) {
    int parts = OGR_G_GetGeometryCount(geometry);
    if (parts == 0 && OGR_G_GetPointCount(geometry) > 2)
        add_ring(inset, geometry);
    for (int i = 0; i < parts; i++)
        add_rings(inset, OGR_G_GetGeometryRef(geometry, i));
}

static void add_outline(const struct inset *inset, OGRGeometryH outline) {
    sel_text_add(inset->html, "<path class=\"outline\" fill=\"#e3cfdb\" fill-rule=\"evenodd\" "
                              "stroke=\"" SEL_SITE_INK "\" stroke-width=\"0.5\" d=\"");
    add_rings(inset, outline);
    sel_text_add(inset->html, "\"/>\n");
}

// --- lines of latitude and longitude ---

// The least handy step, in minutes of arc, that is at least `least`.
static double step_of(double least) {
    static const double STEPS[] = {
        0.5, 1, 2, 3, 4, 6, 10, 15, 20, 30, 40, 60, 90, 120, 180, 300, 600, 900, 1800};
    size_t at = 0;
    while (at + 1 < sizeof STEPS / sizeof *STEPS && STEPS[at] < least)
        at++;
    return STEPS[at];
}

// "49°54′N"; half minutes as "49°54.5′N".
static void name_line(char label[32], double minutes, double step, char positive, char negative) {
    double size = fabs(minutes), degrees = floor(size / 60.0 + 1e-9);
    int used = snprintf(label, 32, "%.0f\xC2\xB0", degrees);
    if (step < 60.0)
        used += snprintf(label + used, (size_t)(32 - used), "%0*.*f\xE2\x80\xB2",
            step < 1.0 ? 4 : 2, step < 1.0 ? 1 : 0, fabs(size - 60.0 * degrees));
    snprintf(label + used, (size_t)(32 - used), "%c", minutes < 0.0 ? negative : positive);
}

static void add_line(const struct inset *inset, double minutes, double step, bool meridian) {
    struct sel_text *html = inset->html;
    char label[32];
    struct vec2 at = meridian ? page_of(inset, minutes / 60.0, inset->latitude)
                              : page_of(inset, inset->longitude, minutes / 60.0);
    struct vec2 from = meridian ? (struct vec2){at.x, 0} : (struct vec2){0, at.y};
    struct vec2 to = meridian ? (struct vec2){at.x, FRAME} : (struct vec2){FRAME, at.y};
    double turned = meridian ? fmod(minutes + 5.0 * 10800.0, 21600.0) - 10800.0 : minutes;
    sel_svg_line(html, from, to, "stroke=\"#9aa3ad\" stroke-width=\"0.2\"");
    name_line(label, turned, step, meridian ? 'E' : 'N', meridian ? 'W' : 'S');
    if (meridian)
        sel_svg_label(html, (struct vec2){at.x, FRAME + 2.9}, 2.4,
            "text-anchor=\"middle\" fill=\"" SEL_FAINT_INK "\"", label);
    else
        sel_svg_label(
            html, (struct vec2){0.8, at.y - 0.5}, 2.4, "fill=\"" SEL_FAINT_INK "\"", label);
}

// Lines far enough from the frame's ends that their labels have room.
static void add_lines(const struct inset *inset, bool meridian) {
    double km = DEGREE_KM * (meridian ? cos(inset->latitude * DEGREE) : 1.0);
    double window = inset->window_km / km * 60.0, step = step_of(LABEL * window);
    double middle = 60.0 * (meridian ? inset->longitude : inset->latitude);
    double least = middle - 0.4 * window, most = middle + 0.4 * window;
    double first = ceil(least / step) * step;
    for (int i = 0; first + i * step <= most; i++)
        add_line(inset, first + i * step, step, meridian);
}

// --- the drawing ---

static void add_sites(const struct inset *inset, const struct sel_package *package) {
    for (size_t i = 0; i < package->site_count; i++)
        if (sel_is_primary(&package->sites[i]))
            sel_svg_circle(inset->html,
                page_of(inset, package->sites[i].longitude, package->sites[i].latitude), 0.55,
                "class=\"place\" fill=\"" SEL_SITE_INK "\"");
}

static void add_scale(const struct inset *inset) {
    double length = sel_round_step(0.3 * inset->window_km);
    double wide = length * FRAME / inset->window_km;
    char label[32];
    snprintf(label, sizeof label, "%g km", length);
    sel_svg_rect(inset->html, (struct vec2){FRAME - 1.5 - wide, FRAME - 2.0}, wide, 0.8,
        "fill=\"" SEL_INK "\"");
    sel_svg_label(inset->html, (struct vec2){FRAME - 1.5, FRAME - 2.7}, 2.4,
        "text-anchor=\"end\" fill=\"" SEL_INK "\"", label);
}

// The window around the outline; false where it cannot be drawn.
static bool find_window(struct inset *inset, OGRGeometryH outline) {
    OGREnvelope box;
    OGR_G_GetEnvelope(outline, &box);
    inset->longitude = 0.5 * (box.MinX + box.MaxX);
    inset->latitude = 0.5 * (box.MinY + box.MaxY);
    struct vec2 corner = km_of(inset, box.MaxX, box.MaxY);
    inset->window_km = ROOM * 2.0 * fmax(corner.x, corner.y);
    return fabs(inset->latitude) < POLAR_DEG && box.MaxX - box.MinX < 90.0 &&
           inset->window_km > 0.0;
}

static void draw(
    struct inset *inset, const struct sel_package *package, OGRGeometryH outline, bool area) {
    sel_svg_begin(inset->html, "inset", SIDE, SIDE,
        area ? "Outline of the study area among lines of latitude and longitude"
             : "Outline of the study grid among lines of latitude and longitude");
    sel_svg_rect(inset->html, (struct vec2){0, 0}, FRAME, FRAME, "fill=\"#f6f5f1\"");
    add_outline(inset, outline);
    add_lines(inset, true);
    add_lines(inset, false);
    add_sites(inset, package);
    add_scale(inset);
    sel_svg_rect(inset->html, (struct vec2){0.15, 0.15}, FRAME - 0.3, FRAME - 0.3,
        "fill=\"none\" stroke=\"" SEL_INK "\" stroke-width=\"0.3\"");
    sel_svg_end(inset->html);
}

bool sel_dossier_add_inset(struct sel_dossier *dossier) {
    const struct sel_package *package = dossier->package;
    struct inset inset = {.html = dossier->html};
    sel_gdal_begin(NULL, NULL);
    OGRGeometryH outline = area_of(package);
    bool area = outline != NULL;
    if (!outline)
        outline = grid_rectangle(package);
    bool drawn = make_geographic(package, outline) && find_window(&inset, outline);
    if (drawn)
        draw(&inset, package, outline, area);
    OGR_G_DestroyGeometry(outline);
    sel_gdal_end(NULL);
    return drawn;
}
