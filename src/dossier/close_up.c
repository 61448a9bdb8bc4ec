// SPDX-License-Identifier: MIT
//
// The close-up map of a site: the ground with the transect's belt, the line of the panel, where the
// head points, and other sites and reserves near it.
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "dossier/html.h"
#include "dossier/parts.h"
#include "dossier/svg.h"

static const double SIDE = 76.0;        // mm
static const double REACHES = 2.0;      // half of the side, in reaches of the transect
static const double PANEL_SIGN = 13.0;  // length of the panel's line, mm; not to scale
static const double ROADS_WITHIN = 8.0; // m: lines less exact than this are not drawn so near
enum { PIXELS = 420, BYTES_MOST = 170000 };

struct close_up {
    struct sel_dossier *dossier;
    const struct sel_site_row *site;
    struct sel_dossier_flyway flyway;
    struct sel_map_page page;
    double extent[4];
    double half_m, turn; // turn: from true to grid bearings, degrees
};

static double reach_of(const struct sel_dossier *dossier) {
    double reach = sel_package_number(dossier->package, "reach_m");
    return reach > 0.0 ? reach : 60.0;
}

static void lay_out(
    struct sel_dossier *dossier, const struct sel_site_row *site, struct close_up *map) {
    double half_m = REACHES * reach_of(dossier), half = half_m / dossier->metres;
    *map = (struct close_up){.dossier = dossier,
        .site = site,
        .flyway = dossier->flyways[sel_dossier_index(dossier, site)],
        .extent = {site->x - half, site->y - half, site->x + half, site->y + half},
        .half_m = half_m,
        .turn = -sel_dossier_convergence(dossier, site)};
    map->page = (struct sel_map_page){.unit = 0.18,
        .frame = {0, 0, SIDE, SIDE},
        .west = map->extent[0],
        .north = map->extent[3],
        .scale = SIDE / (2.0 * half),
        .metres = dossier->metres};
}

static struct vec2 on_page(const struct close_up *map, struct vec2 at) {
    return (struct vec2){sel_page_x(&map->page, at.x), sel_page_y(&map->page, at.y)};
}

// --- ground ---

// Whether the layers of roads and zones are exact enough to be drawn so near.
static sel_status look_how_exact(struct sel_dossier *dossier, bool *enough) {
    void *read = NULL;
    size_t count = 0;
    *enough = true;
    if (!sel_dossier_has_layer(dossier, SEL_TABLE_GROUND_ACCESS.name))
        return SEL_OK;
    sel_status status = sel_package_rows(dossier->package, &SEL_TABLE_GROUND_ACCESS, &read, &count);
    const struct sel_ground_access_row *rows = read;
    if (status == SEL_OK && count > 0)
        *enough = rows[0].within_m <= ROADS_WITHIN;
    sel_rows_free(&SEL_TABLE_GROUND_ACCESS, read, count);
    return status;
}

static sel_status add_ground(struct close_up *map) {
    struct sel_dossier *dossier = map->dossier;
    sel_text_addf(dossier->html,
        "<image x=\"0\" y=\"0\" width=\"%g\" height=\"%g\" preserveAspectRatio=\"none\" href=\"",
        SIDE, SIDE);
    sel_status status =
        sel_dossier_ground(dossier, map->site, map->extent, PIXELS, BYTES_MOST, NULL);
    sel_text_add(dossier->html, "\"/>\n");
    bool enough = false;
    if (status == SEL_OK)
        status = look_how_exact(dossier, &enough);
    if (status == SEL_OK && enough)
        status = sel_dossier_draw_zones(dossier, &map->page);
    if (status == SEL_OK && enough)
        status = sel_dossier_draw_access(dossier, &map->page);
    return status == SEL_OK ? sel_dossier_draw_walks(dossier, &map->page) : status;
}

// --- transect ---

static struct vec2 unit_between(struct vec2 from, struct vec2 to) {
    struct vec2 way = vec2_sub(to, from);
    double length = vec2_length(way);
    return length > 0.0 ? vec2_scale(way, 1.0 / length) : (struct vec2){0, 0};
}

static void add_end(struct sel_text *html, struct vec2 at, struct vec2 outward, const char *name) {
    struct vec2 label = vec2_add(at, vec2_scale(outward, 3.0));
    sel_svg_circle(
        html, label, 2.1, "fill=\"#ffffff\" stroke=\"" SEL_INK "\" stroke-width=\"0.3\"");
    sel_svg_label(html, (struct vec2){label.x, label.y + 1.0}, 2.9,
        "text-anchor=\"middle\" font-weight=\"700\" fill=\"" SEL_INK "\"", name);
}

static void add_transect(struct close_up *map) {
    struct sel_text *html = map->dossier->html;
    struct vec2 a = on_page(map, map->flyway.a), b = on_page(map, map->flyway.b);
    if (isnan(a.x) || isnan(b.x))
        return;
    double belt = sel_package_number(map->dossier->package, "belt_m");
    double half = 0.5 * belt * SIDE / (2.0 * map->half_m);
    struct vec2 along = unit_between(a, b);
    struct vec2 aside = {-along.y * half, along.x * half};
    struct vec2 corners[] = {
        vec2_add(a, aside), vec2_add(b, aside), vec2_sub(b, aside), vec2_sub(a, aside)};
    if (half > 0.0)
        sel_svg_shape(html, corners, 4, true,
            "class=\"belt\" fill=\"#ffffff\" fill-opacity=\"0.28\" stroke=\"" SEL_INK "\" "
            "stroke-width=\"0.25\" stroke-dasharray=\"1.2 0.8\"");
    sel_svg_line(html, a, b, "class=\"transect\" stroke=\"" SEL_INK "\" stroke-width=\"0.5\"");
    add_end(html, a, vec2_scale(along, -1.0), "a");
    add_end(html, b, along, "b");
}

// --- the trap ---

static void add_trap(struct close_up *map) {
    struct sel_text *html = map->dossier->html;
    struct vec2 here = {0.5 * SIDE, 0.5 * SIDE};
    double panel = map->site->panel_true_deg + map->turn;
    double head = map->site->head_true_deg + map->turn;
    if (!isnan(panel)) {
        struct vec2 one = sel_svg_toward(here, panel, 0.5 * PANEL_SIGN);
        struct vec2 other = sel_svg_toward(here, panel, -0.5 * PANEL_SIGN);
        sel_svg_line(html, one, other, "stroke=\"#ffffff\" stroke-width=\"2\"");
        sel_svg_line(
            html, one, other, "class=\"panel\" stroke=\"" SEL_SITE_INK "\" stroke-width=\"1.1\"");
    }
    if (!isnan(head)) {
        struct vec2 tip = sel_svg_toward(here, head, 0.5 * PANEL_SIGN + 3.6);
        struct vec2 direction = sel_svg_toward((struct vec2){0, 0}, head, 1.0);
        sel_svg_arrow_head(html, tip, direction, 3.4,
            "class=\"head\" fill=\"" SEL_SITE_INK "\" stroke=\"#ffffff\" stroke-width=\"0.3\"");
    }
    sel_svg_circle(html, here, 1.5,
        "class=\"site\" fill=\"" SEL_SITE_INK "\" stroke=\"#ffffff\" stroke-width=\"0.4\"");
}

static void add_neighbour(struct close_up *map, const struct sel_site_row *site) {
    struct sel_text *html = map->dossier->html;
    struct vec2 at = on_page(map, (struct vec2){site->x, site->y});
    char number[24];
    if (isnan(at.x) || at.x < 2 || at.y < 2 || at.x > SIDE - 2 || at.y > SIDE - 2)
        return;
    bool primary = sel_is_primary(site);
    snprintf(number, sizeof number, "%" PRId64, site->rank);
    sel_svg_circle(html, at, 2.0,
        primary
            ? "class=\"other\" fill=\"" SEL_SITE_INK "\" stroke=\"#ffffff\" stroke-width=\"0.3\""
            : "class=\"other\" fill=\"#ffffff\" stroke=\"" SEL_SITE_INK "\" stroke-width=\"0.4\"");
    sel_svg_label(html, (struct vec2){at.x, at.y + 0.9}, 2.4,
        primary ? "text-anchor=\"middle\" font-weight=\"700\" fill=\"#ffffff\""
                : "text-anchor=\"middle\" font-weight=\"700\" fill=\"" SEL_SITE_INK "\"",
        number);
}

static void add_neighbours(struct close_up *map) {
    const struct sel_package *package = map->dossier->package;
    for (size_t i = 0; i < package->site_count; i++)
        if (&package->sites[i] != map->site)
            add_neighbour(map, &package->sites[i]);
}

// --- scale and frame ---

static void add_scale(struct close_up *map) {
    struct sel_text *html = map->dossier->html;
    double per_metre = SIDE / (2.0 * map->half_m);
    double length = sel_round_step(22.0 / per_metre), wide = length * per_metre;
    struct vec2 at = {3.0, SIDE - 4.4};
    char label[32];
    snprintf(label, sizeof label, "%g m", length);
    sel_svg_rect(html, (struct vec2){1.2, SIDE - 6.6}, wide + 12.5, 5.4,
        "rx=\"0.8\" fill=\"#ffffff\" fill-opacity=\"0.88\"");
    sel_svg_rect(html, at, wide, 1.2, "fill=\"" SEL_INK "\"");
    sel_svg_label(
        html, (struct vec2){at.x + wide + 1.4, at.y + 1.6}, 2.7, "fill=\"" SEL_INK "\"", label);
}

static void add_north(struct sel_text *html) {
    struct vec2 dark[] = {{SIDE - 4.6, 1.9}, {SIDE - 6.3, 7.4}, {SIDE - 4.6, 6.1}};
    struct vec2 light[] = {{SIDE - 4.6, 1.9}, {SIDE - 2.9, 7.4}, {SIDE - 4.6, 6.1}};
    sel_svg_rect(html, (struct vec2){SIDE - 8.0, 1.2}, 6.8, 10.8,
        "rx=\"0.8\" fill=\"#ffffff\" fill-opacity=\"0.88\"");
    sel_svg_shape(html, dark, 3, true, "fill=\"" SEL_INK "\"");
    sel_svg_shape(
        html, light, 3, true, "fill=\"#ffffff\" stroke=\"" SEL_INK "\" stroke-width=\"0.25\"");
    sel_svg_label(html, (struct vec2){SIDE - 4.6, 11.0}, 3.0,
        "text-anchor=\"middle\" font-weight=\"700\" fill=\"" SEL_INK "\"", "N");
}

static void begin(struct close_up *map) {
    struct sel_text *html = map->dossier->html;
    struct sel_text title;
    sel_text_init(&title);
    sel_text_add(&title, "Close-up map of site ");
    sel_html_text_within(&title, map->site->site, 16);
    sel_text_addf(&title,
        ", %.0f by %.0f metres: the transect from side a to side b, the panel's line and the "
        "head's "
        "direction",
        2.0 * map->half_m, 2.0 * map->half_m);
    sel_svg_begin(html, "close-up", SIDE, SIDE, title.chars ? title.chars : "");
    html->failed = html->failed || title.failed;
    sel_text_clear(&title);
}

sel_status sel_sheet_add_close_up(struct sel_dossier *dossier, const struct sel_site_row *site) {
    struct sel_text *html = dossier->html;
    struct close_up map;
    lay_out(dossier, site, &map);
    sel_text_add(html, "<figure class=\"map\">\n");
    begin(&map);
    sel_status status = add_ground(&map);
    add_transect(&map);
    add_neighbours(&map);
    add_trap(&map);
    add_scale(&map);
    add_north(html);
    sel_svg_rect(html, (struct vec2){0.2, 0.2}, SIDE - 0.4, SIDE - 0.4,
        "fill=\"none\" stroke=\"" SEL_INK "\" stroke-width=\"0.4\"");
    sel_svg_end(html);
    sel_text_add(html,
        "<figcaption>Dashed: the transect from side a to side b. Thick line: how the "
        "panel runs (longer than the trap); arrow: where the head points. Grid north "
        "is up.</figcaption>\n</figure>\n");
    return status;
}
