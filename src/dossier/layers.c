// SPDX-License-Identifier: MIT
//
// Zones, study area, roads and walks from the GeoPackage as SVG paths over the ground. A rule is
// told by the pattern of its hatching as well as by its colour, so that it survives grey print.
#include <math.h>
#include <string.h>

#include "dossier/html.h"
#include "dossier/parts.h"
#include "dossier/svg.h"
#include "output/gdal_guard.h"

// Vertices nearer than this to the last one drawn are left out, in the page's units.
static const double CLOSE = 0.3;

// --- geometries as path data ---

static void add_line(
    struct sel_text *text, const struct sel_map_page *page, OGRGeometryH line, bool closed) {
    int count = OGR_G_GetPointCount(line);
    struct vec2 last = {(double)NAN, (double)NAN};
    for (int i = 0; i < count; i++) {
        struct vec2 at = {
            sel_page_x(page, OGR_G_GetX(line, i)), sel_page_y(page, OGR_G_GetY(line, i))};
        bool near = vec2_length(vec2_sub(at, last)) < CLOSE * page->unit;
        if (i > 0 && i < count - 1 && near)
            continue;
        sel_svg_point(text, i == 0 ? 'M' : 'L', at);
        last = at;
    }
    if (closed)
        sel_text_add(text, "Z");
}

// A point becomes a small diamond.
static void add_point(struct sel_text *text, const struct sel_map_page *page, OGRGeometryH point) {
    double size = 4.0 * page->unit;
    struct vec2 at = {
        sel_page_x(page, OGR_G_GetX(point, 0)), sel_page_y(page, OGR_G_GetY(point, 0))};
    sel_svg_point(text, 'M', (struct vec2){at.x - size, at.y});
    sel_svg_point(text, 'L', (struct vec2){at.x, at.y - size});
    sel_svg_point(text, 'L', (struct vec2){at.x + size, at.y});
    sel_svg_point(text, 'L', (struct vec2){at.x, at.y + size});
    sel_text_add(text, "Z");
}

static void add_geometry(
    struct sel_text *text, const struct sel_map_page *page, OGRGeometryH geometry, bool ring) {
    OGRwkbGeometryType type = wkbFlatten(OGR_G_GetGeometryType(geometry));
    if (type == wkbPoint) {
        add_point(text, page, geometry);
        return;
    }
    if (type == wkbLineString || type == wkbLinearRing) {
        add_line(text, page, geometry, ring);
        return;
    }
    for (int i = 0; i < OGR_G_GetGeometryCount(geometry); i++)
        add_geometry(text, page, OGR_G_GetGeometryRef(geometry, i), ring || type == wkbPolygon);
}

// --- layers ---

struct layer_walk {
    struct sel_dossier *dossier;
    const struct sel_map_page *page;
    struct sel_text path; // of the features alike so far
};

// Takes one feature; NULL ends the layer.
typedef void feature_fn(struct layer_walk *walk, OGRFeatureH feature, void *user);

// Visits the features within the frame. A layer that the file does not have is passed over: the
// legend says what is shown.
static sel_status each_feature(struct sel_dossier *dossier, const struct sel_map_page *page,
    const char *name, feature_fn *visit, void *user) {
    struct layer_walk walk = {.dossier = dossier, .page = page};
    double wide = page->frame.width / page->scale, high = page->frame.height / page->scale;
    sel_text_init(&walk.path);
    sel_gdal_begin(NULL, NULL);
    OGRLayerH layer = GDALDatasetGetLayerByName(dossier->package->dataset, name);
    if (layer) {
        OGRFeatureH feature;
        OGR_L_SetSpatialFilterRect(
            layer, page->west, page->north - high, page->west + wide, page->north);
        OGR_L_ResetReading(layer);
        while ((feature = OGR_L_GetNextFeature(layer)) != NULL) {
            visit(&walk, feature, user);
            OGR_F_Destroy(feature);
        }
        visit(&walk, NULL, user);
        OGR_L_SetSpatialFilter(layer, NULL);
    }
    sel_gdal_end(NULL);
    dossier->html->failed = dossier->html->failed || walk.path.failed;
    sel_text_clear(&walk.path);
    return SEL_OK;
}

static const char *text_of(OGRFeatureH feature, const char *field) {
    int index = OGR_F_GetFieldIndex(feature, field);
    return index >= 0 && OGR_F_IsFieldSetAndNotNull(feature, index)
               ? OGR_F_GetFieldAsString(feature, index)
               : "";
}

static void extend_path(struct layer_walk *walk, OGRFeatureH feature) {
    OGRGeometryH geometry = OGR_F_GetGeometryRef(feature);
    if (geometry)
        add_geometry(&walk->path, walk->page, geometry, false);
}

// <path> with what was gathered. Strokes keep their width in screen pixels at every zoom.
static void put_path(struct layer_walk *walk, const char *look, double width_px) {
    struct sel_text *html = walk->dossier->html;
    html->failed = html->failed || walk->path.failed;
    if (walk->path.length == 0)
        return;
    sel_text_addf(html, "<path %s vector-effect=\"non-scaling-stroke\" stroke-width=\"", look);
    sel_svg_number(html, width_px);
    sel_text_add(html, "\" d=\"");
    sel_text_add_bytes(html, walk->path.chars, walk->path.length);
    sel_text_add(html, "\"/>\n");
}

static void drop_path(struct layer_walk *walk) {
    sel_text_clear(&walk->path);
    sel_text_init(&walk->path);
}

// --- zones ---

struct zone_state {
    struct sel_text rule, reason; // of the features gathered
};

static bool same(const struct sel_text *kept, const char *text) {
    return strcmp(kept->chars ? kept->chars : "", text) == 0;
}

static void keep(struct sel_text *kept, const char *text) {
    sel_text_clear(kept);
    sel_text_init(kept);
    sel_text_add(kept, text);
}

static void put_zone(struct layer_walk *walk, const struct zone_state *state) {
    struct sel_text *html = walk->dossier->html;
    html->failed = html->failed || walk->path.failed || state->rule.failed || state->reason.failed;
    const char *rule = state->rule.chars ? state->rule.chars : "";
    const char *size = walk->page->unit < 0.5 ? "small" : "large";
    bool exclude = strcmp(rule, "exclude") == 0, note = strcmp(rule, "note") == 0;
    const char *kind = exclude ? "exclude" : note ? "note" : "no-clearing";
    char look[160];
    if (walk->path.length == 0)
        return;
    sel_text_add(html, "<g class=\"zone\"><title>");
    sel_text_add(html, exclude ? "No traps: " : note ? "Note: " : "No clearing: ");
    sel_html_text(html, state->reason.chars);
    sel_text_add(html, "</title>");
    snprintf(look, sizeof look,
        "fill=\"url(#%s-%s)\" fill-opacity=\"0.8\" fill-rule=\"evenodd\" stroke=\"%s\"", kind, size,
        exclude ? "#7a1f0a"
        : note  ? "#5a5f6b"
                : "#17506e");
    put_path(walk, look, 1.2);
    sel_text_add(html, "</g>\n");
}

static void visit_zone(struct layer_walk *walk, OGRFeatureH feature, void *user) {
    struct zone_state *state = user;
    const char *rule = feature ? text_of(feature, "rule") : "";
    bool alike = feature && same(&state->rule, rule);
    if (!alike || !same(&state->reason, text_of(feature, "reason"))) {
        put_zone(walk, state);
        drop_path(walk);
    }
    if (!feature)
        return;
    keep(&state->rule, rule);
    keep(&state->reason, text_of(feature, "reason"));
    extend_path(walk, feature);
}

sel_status sel_dossier_draw_zones(struct sel_dossier *dossier, const struct sel_map_page *page) {
    struct zone_state state;
    sel_text_init(&state.rule);
    sel_text_init(&state.reason);
    sel_status status =
        each_feature(dossier, page, SEL_TABLE_GROUND_ZONES.name, visit_zone, &state);
    sel_text_clear(&state.rule);
    sel_text_clear(&state.reason);
    return status;
}

// --- the others ---

static void visit_area(struct layer_walk *walk, OGRFeatureH feature, void *user) {
    (void)user;
    if (feature) {
        extend_path(walk, feature);
        return;
    }
    put_path(walk, "class=\"area\" fill=\"none\" stroke=\"#ffffff\" stroke-opacity=\"0.8\"", 5.0);
    put_path(walk,
        "class=\"area\" fill=\"none\" stroke=\"" SEL_INK "\" stroke-dasharray=\"9 3 2 3\"", 2.0);
}

sel_status sel_dossier_draw_area(struct sel_dossier *dossier, const struct sel_map_page *page) {
    return each_feature(dossier, page, SEL_TABLE_GROUND_AREA.name, visit_area, NULL);
}

// Gathers the features of one role.
static void visit_role(struct layer_walk *walk, OGRFeatureH feature, void *user) {
    const char *role = user;
    bool way = strcmp(role, "way") == 0;
    if (feature) {
        if (strcmp(text_of(feature, "role"), role) == 0)
            extend_path(walk, feature);
        return;
    }
    put_path(walk,
        "class=\"access\" fill=\"none\" stroke=\"#ffffff\" stroke-linejoin=\"round\" "
        "stroke-opacity=\"0.85\"",
        way ? 3.0 : 4.4);
    put_path(walk,
        way ? "class=\"access way\" fill=\"none\" stroke=\"" SEL_INK "\" stroke-dasharray=\"4 3\""
            : "class=\"access start\" fill=\"none\" stroke=\"" SEL_INK
              "\" stroke-linejoin=\"round\"",
        way ? 1.1 : 1.9);
}

sel_status sel_dossier_draw_access(struct sel_dossier *dossier, const struct sel_map_page *page) {
    char way[] = "way", start[] = "start";
    sel_status status = each_feature(dossier, page, SEL_TABLE_GROUND_ACCESS.name, visit_role, way);
    return status == SEL_OK
               ? each_feature(dossier, page, SEL_TABLE_GROUND_ACCESS.name, visit_role, start)
               : status;
}

static void visit_walk(struct layer_walk *walk, OGRFeatureH feature, void *user) {
    (void)user;
    if (feature) {
        extend_path(walk, feature);
        return;
    }
    put_path(walk, "class=\"walk\" fill=\"none\" stroke=\"#ffffff\"", 3.6);
    put_path(walk,
        "class=\"walk\" fill=\"none\" stroke=\"" SEL_SITE_INK "\" stroke-dasharray=\"1 3\" "
        "stroke-linecap=\"round\"",
        2.2);
}

sel_status sel_dossier_draw_walks(struct sel_dossier *dossier, const struct sel_map_page *page) {
    return each_feature(dossier, page, "walks", visit_walk, NULL);
}

void sel_dossier_draw_occupied(struct sel_dossier *dossier, const struct sel_map_page *page) {
    struct sel_text *html = dossier->html;
    double size = 5.5 * page->unit;
    for (size_t i = 0; i < dossier->occupied_count; i++) {
        struct vec2 at = {
            sel_page_x(page, dossier->occupied[i].x), sel_page_y(page, dossier->occupied[i].y)};
        if (isnan(at.x) || at.x < 0 || at.y < 0 || at.x > page->frame.width ||
            at.y > page->frame.height)
            continue;
        struct vec2 corners[] = {{0, -size}, {size, 0.8 * size}, {-size, 0.8 * size}};
        sel_text_add(html, "<g class=\"steady\" data-x=\"");
        sel_svg_number(html, at.x);
        sel_text_add(html, "\" data-y=\"");
        sel_svg_number(html, at.y);
        sel_text_add(html, "\" transform=\"translate(");
        sel_svg_point(html, ' ', at);
        sel_text_add(html, ")\"><title>A trap stands here already</title>");
        sel_svg_shape(html, corners, 3, true,
            "fill=\"#ffffff\" stroke=\"" SEL_INK "\" stroke-width=\"1.4\" "
            "vector-effect=\"non-scaling-stroke\"");
        sel_text_add(html, "</g>\n");
    }
}

// --- patterns ---

static void add_pattern(
    struct sel_text *html, const char *kind, const char *size, double side, const char *inside) {
    sel_text_addf(
        html, "<pattern id=\"%s-%s\" patternUnits=\"userSpaceOnUse\" width=\"", kind, size);
    sel_svg_number(html, side);
    sel_text_add(html, "\" height=\"");
    sel_svg_number(html, side);
    sel_text_add(html, "\"><g transform=\"scale(");
    sel_svg_number(html, side / 8.0);
    sel_text_addf(html, ")\">%s</g></pattern>\n", inside);
}

void sel_dossier_add_patterns(struct sel_dossier *dossier) {
    static const char EXCLUDE[] =
        "<rect width=\"8\" height=\"8\" fill=\"#ffffff\" fill-opacity=\"0.35\"/><path d=\"M-1 9L9 "
        "-1M-1 1L1 -1M7 9L9 7M-1 -1L9 9M-1 7L1 9M7 -1L9 1\" stroke=\"#7a1f0a\" "
        "stroke-width=\"1.2\"/>";
    static const char NO_CLEARING[] =
        "<rect width=\"8\" height=\"8\" fill=\"#ffffff\" fill-opacity=\"0.25\"/><path d=\"M-1 9L9 "
        "-1M-1 1L1 -1M7 9L9 7\" stroke=\"#17506e\" stroke-width=\"1.2\"/>";
    static const char NOTE[] = "<circle cx=\"2\" cy=\"2\" r=\"0.8\" fill=\"#3d424d\"/><circle "
                               "cx=\"6\" cy=\"6\" r=\"0.8\" fill=\"#3d424d\"/>";
    static const char CANOPY[] =
        "<rect width=\"8\" height=\"8\" fill=\"#a9b89c\"/><path d=\"M-1 1L1 -1M-1 9L9 -1M7 9L9 7\" "
        "stroke=\"#5d7050\" stroke-width=\"1.4\"/>";
    struct sel_text *html = dossier->html;
    sel_text_add(html, "<svg class=\"patterns\" width=\"0\" height=\"0\" aria-hidden=\"true\" "
                       "focusable=\"false\"><defs>\n");
    add_pattern(html, "exclude", "large", 9.0, EXCLUDE);
    add_pattern(html, "exclude", "small", 1.8, EXCLUDE);
    add_pattern(html, "no-clearing", "large", 9.0, NO_CLEARING);
    add_pattern(html, "no-clearing", "small", 1.8, NO_CLEARING);
    add_pattern(html, "note", "large", 9.0, NOTE);
    add_pattern(html, "note", "small", 1.8, NOTE);
    add_pattern(html, "canopy", "small", 1.6, CANOPY);
    sel_text_add(html, "</defs></svg>\n");
}
