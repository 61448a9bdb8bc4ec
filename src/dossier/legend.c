// SPDX-License-Identifier: MIT
//
// The legend of the overview map: only what the map shows, with its sign.
#include <math.h>
#include <string.h>

#include "dossier/html.h"
#include "dossier/parts.h"
#include "dossier/svg.h"
#include "output/gdal_guard.h"

enum { HABITATS_SHOWN = 24 };

static void begin_entry(struct sel_text *html) {
    sel_text_add(html, "<li><svg class=\"sign\" viewBox=\"0 0 24 14\" aria-hidden=\"true\" "
                       "focusable=\"false\">");
}

static void end_entry(struct sel_text *html, const char *words) {
    sel_text_addf(html, "</svg><span>%s</span></li>\n", words);
}

static void add_marker(struct sel_text *html, bool primary, const char *words) {
    begin_entry(html);
    sel_svg_circle(html, (struct vec2){12, 7}, primary ? 6.4 : 5.2,
        primary ? "fill=\"" SEL_SITE_INK "\""
                : "fill=\"#ffffff\" stroke=\"" SEL_SITE_INK "\" stroke-width=\"1.4\"");
    sel_svg_label(html, (struct vec2){12, 10}, 8,
        primary ? "text-anchor=\"middle\" font-weight=\"700\" fill=\"#ffffff\""
                : "text-anchor=\"middle\" font-weight=\"700\" fill=\"" SEL_SITE_INK "\"",
        "1");
    end_entry(html, words);
}

static void add_stroke(struct sel_text *html, sel_svg_look look, const char *words) {
    begin_entry(html);
    sel_svg_line(html, (struct vec2){1, 7}, (struct vec2){23, 7}, look);
    end_entry(html, words);
}

static void add_fill(struct sel_text *html, sel_svg_look look, const char *words) {
    begin_entry(html);
    sel_svg_rect(html, (struct vec2){1, 1}, 22, 12, look);
    end_entry(html, words);
}

// Whether a layer has a feature whose field reads `value`; `field` NULL: any feature.
static bool layer_has(
    const struct sel_dossier *dossier, const char *name, const char *field, const char *value) {
    bool found = false;
    sel_gdal_begin(NULL, NULL);
    OGRLayerH layer = GDALDatasetGetLayerByName(dossier->package->dataset, name);
    if (layer)
        OGR_L_ResetReading(layer);
    OGRFeatureH feature;
    while (layer && !found && (feature = OGR_L_GetNextFeature(layer)) != NULL) {
        int index = field ? OGR_F_GetFieldIndex(feature, field) : -1;
        found =
            !field || (index >= 0 && strcmp(OGR_F_GetFieldAsString(feature, index), value) == 0);
        OGR_F_Destroy(feature);
    }
    sel_gdal_end(NULL);
    return found;
}

static void add_sites(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    add_marker(html, true, "site, by rank");
    if (dossier->reserves > 0)
        add_marker(html, false, "reserve for that site");
    if (dossier->occupied_count > 0) {
        static const struct vec2 CORNERS[] = {{12, 1}, {18, 12}, {6, 12}};
        begin_entry(html);
        sel_svg_shape(
            html, CORNERS, 3, true, "fill=\"#ffffff\" stroke=\"" SEL_INK "\" stroke-width=\"1.6\"");
        end_entry(html, "trap that stands already");
    }
}

static void add_lines(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    const char *access = SEL_TABLE_GROUND_ACCESS.name;
    if (layer_has(dossier, "walks", NULL, NULL))
        add_stroke(html,
            "stroke=\"" SEL_SITE_INK "\" stroke-width=\"2.2\" stroke-dasharray=\"1 3\" "
            "stroke-linecap=\"round\"",
            "walk to a site");
    if (layer_has(dossier, access, "role", "start"))
        add_stroke(html, "stroke=\"" SEL_INK "\" stroke-width=\"1.9\"", "reachable by vehicle");
    if (layer_has(dossier, access, "role", "way"))
        add_stroke(
            html, "stroke=\"" SEL_INK "\" stroke-width=\"1.1\" stroke-dasharray=\"4 3\"", "path");
    if (dossier->edges_shown)
        add_stroke(html, "stroke=\"#4a443e\" stroke-width=\"0.8\"", "habitat edge");
    if (layer_has(dossier, SEL_TABLE_GROUND_AREA.name, NULL, NULL))
        add_stroke(html, "stroke=\"" SEL_INK "\" stroke-width=\"2\" stroke-dasharray=\"9 3 2 3\"",
            "study area");
}

static void add_zones(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    const char *zones = SEL_TABLE_GROUND_ZONES.name;
    if (layer_has(dossier, zones, "rule", "exclude"))
        add_fill(html, "fill=\"url(#exclude-large)\" stroke=\"#7a1f0a\"", "zone: no traps");
    if (layer_has(dossier, zones, "rule", "no_clearing"))
        add_fill(html, "fill=\"url(#no-clearing-large)\" stroke=\"#17506e\"", "zone: no clearing");
    if (layer_has(dossier, zones, "rule", "note"))
        add_fill(html, "fill=\"url(#note-large)\" stroke=\"#5a5f6b\"", "zone: note");
}

static void add_habitat(struct sel_dossier *dossier, const struct sel_habitat_row *habitat) {
    struct sel_text *html = dossier->html;
    char code[SEL_COLOUR_SIZE], look[64];
    sel_dossier_colour(dossier, habitat->habitat, code);
    snprintf(look, sizeof look, "fill=\"%s\" stroke=\"#8b857c\" stroke-width=\"0.7\"", code);
    begin_entry(html);
    sel_svg_rect(html, (struct vec2){1, 1}, 22, 12, look);
    sel_text_add(html, "</svg><span>");
    sel_html_name_within(html, habitat->habitat, 44);
    if (habitat->backdrop_share < 0.005)
        sel_text_add(html, " <small>&lt;&nbsp;1&nbsp;%</small>");
    else
        sel_text_addf(html, " <small>%.0f&nbsp;%%</small>", 100.0 * habitat->backdrop_share);
    sel_text_add(html, "</span></li>\n");
}

static void add_habitats(struct sel_dossier *dossier) {
    double below = (double)INFINITY;
    int after = -1, shown = 0;
    for (; shown < HABITATS_SHOWN; shown++) {
        after = sel_habitat_by_share(dossier->habitats, dossier->habitat_count, below, after);
        if (after < 0)
            break;
        below = dossier->habitats[after].backdrop_share;
        add_habitat(dossier, &dossier->habitats[after]);
    }
    if (shown == HABITATS_SHOWN)
        sel_text_add(dossier->html, "<li><span>more habitats stand in the list at the "
                                    "end, if there are any</span></li>\n");
}

void sel_dossier_add_map_legend(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    sel_text_add(html, "<ul class=\"legend\">\n");
    add_sites(dossier);
    add_lines(dossier);
    add_zones(dossier);
    sel_text_add(html, "</ul>\n<ul class=\"legend habitats\">\n");
    add_habitats(dossier);
    sel_text_add(html, "</ul>\n");
}
