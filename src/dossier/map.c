// SPDX-License-Identifier: MIT
//
// The overview map: ground and edges as a picture, everything else as SVG over it, so that it stays
// sharp in print and can be moved and enlarged on the screen. What has a fixed size on the page
// (markers, letters) is in groups of class "steady", which the page's script counter-scales.
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "dossier/html.h"
#include "dossier/parts.h"
#include "dossier/svg.h"

// Thousandths of the page's width.
static const double FRAME_WIDE = 962.0, FRAME_HIGH = 880.0, LEFT = 34.0, TOP = 4.0, BELOW = 66.0,
                    MARK_SIZE = 1.3;
static const double NARROW = 720.0, BELOW_NARROW = 18.0, LETTER = 5.8;
enum { NAME_LEAST = 8, NAME_MOST = 60, WORDS_OF_GRID = 30 }; // "Map grid: ; grid north is up"
enum { GROUND_PIXELS = 1500, GROUND_BYTES_MOST = 2000000 };

struct overview {
    struct sel_dossier *dossier;
    struct sel_map_page page; // its frame begins at 0, 0
    double extent[4];
};

static sel_status lay_out(struct sel_dossier *dossier, struct overview *map) {
    struct sel_map_picture picture;
    sel_status status = sel_map_picture_read(dossier->package, GROUND_PIXELS, &picture);
    if (status != SEL_OK)
        return status;
    sel_map_find_extent(dossier->package, &picture, map->extent);
    sel_map_picture_clear(&picture);
    double wide = map->extent[2] - map->extent[0], high = map->extent[3] - map->extent[1];
    if (!(wide > 0.0 && high > 0.0))
        return sel_fail(dossier->package->context, SEL_BAD_INPUT,
            "%s: picture backdrop shows no known ground: there is nothing to draw",
            dossier->package->path);
    double scale = fmin(FRAME_WIDE / wide, FRAME_HIGH / high);
    map->dossier = dossier;
    map->page = (struct sel_map_page){.unit = 1.0,
        .frame = {0, 0, wide * scale, high * scale},
        .west = map->extent[0],
        .north = map->extent[3],
        .scale = scale,
        .metres = dossier->metres};
    return SEL_OK;
}

// The map grid's name has a line of its own where it would run into the scale.
static bool is_narrow(const struct overview *map) {
    return map->page.frame.width < NARROW;
}

// --- coordinate grid ---

static void add_tick(struct overview *map, double at, double step, bool east) {
    struct sel_text *html = map->dossier->html;
    const struct sel_map_page *page = &map->page;
    double pixel = east ? sel_page_x(page, at) : sel_page_y(page, at);
    struct vec2 from = east ? (struct vec2){pixel, 0} : (struct vec2){0, pixel};
    struct vec2 to =
        east ? (struct vec2){pixel, page->frame.height} : (struct vec2){page->frame.width, pixel};
    (void)step;
    sel_svg_line(html, from, to,
        "class=\"grid\" stroke=\"#ffffff\" stroke-opacity=\"0.5\" "
        "vector-effect=\"non-scaling-stroke\"");
}

static void add_tick_label(struct overview *map, double at, double step, bool east) {
    struct sel_text *html = map->dossier->html;
    const struct sel_map_page *page = &map->page;
    double bottom = TOP + page->frame.height;
    char label[48], look[128];
    snprintf(label, sizeof label, "%.*f", step >= 1.0 ? 0 : (int)ceil(-log10(step)), at);
    if (east) {
        double x = LEFT + sel_page_x(page, at);
        sel_svg_line(html, (struct vec2){x, bottom}, (struct vec2){x, bottom + 4.0},
            "stroke=\"" SEL_INK "\"");
        sel_svg_label(html, (struct vec2){x, bottom + 16.0}, 11.0,
            "text-anchor=\"middle\" fill=\"" SEL_FAINT_INK "\"", label);
        return;
    }
    double y = TOP + sel_page_y(page, at);
    sel_svg_line(
        html, (struct vec2){LEFT - 4.0, y}, (struct vec2){LEFT, y}, "stroke=\"" SEL_INK "\"");
    snprintf(look, sizeof look,
        "text-anchor=\"middle\" fill=\"" SEL_FAINT_INK "\" transform=\"rotate(-90 %.2f %.2f)\"",
        LEFT - 10.0, y);
    sel_svg_label(html, (struct vec2){LEFT - 10.0, y}, 11.0, look, label);
}

typedef void tick_fn(struct overview *map, double at, double step, bool east);

static void each_tick(struct overview *map, tick_fn *visit) {
    const struct sel_map_page *page = &map->page;
    double wide = map->extent[2] - map->extent[0], high = map->extent[3] - map->extent[1];
    double step = sel_round_step(fmax(wide, high) / 4.0);
    double room = 40.0 / page->scale; // half a label, at the frame's ends
    double x = ceil((page->west + room) / step) * step;
    double y = ceil((page->north - high + room) / step) * step;
    for (int i = 0; x + i * step <= page->west + wide - room; i++)
        visit(map, x + i * step, step, true);
    for (int i = 0; y + i * step <= page->north - room; i++)
        visit(map, y + i * step, step, false);
}

// --- markers ---

static void add_mark_title(struct sel_text *html, const struct sel_site_row *site) {
    if (sel_is_primary(site))
        sel_text_addf(html, "Rank %" PRId64 ": site ", site->rank);
    else
        sel_text_addf(html, "Reserve for rank %" PRId64 ": ", site->rank);
    sel_html_text_within(html, site->site, 24);
    sel_text_add(html, ", ");
    sel_html_text_within(html, site->pair, 80);
}

static void add_mark(
    struct sel_dossier *dossier, const struct sel_map_page *page, const struct sel_map_mark *mark) {
    struct sel_text *html = dossier->html;
    bool primary = sel_is_primary(mark->site);
    double radius = sel_map_mark_radius(page, primary);
    struct vec2 place = {0, 0}, at = {mark->at_x - mark->x, mark->at_y - mark->y};
    char anchor[SEL_SITE_ANCHOR_SIZE], number[24];
    sel_site_anchor(mark->site, anchor);
    snprintf(number, sizeof number, "%" PRId64, mark->site->rank);
    sel_text_addf(html, "<a class=\"mark %s\" href=\"#%s\" data-rank=\"%s\" aria-label=\"",
        primary ? "primary" : "reserve", anchor, number);
    add_mark_title(html, mark->site);
    sel_text_add(html, "\"><g class=\"steady\" data-x=\"");
    sel_svg_number(html, mark->x);
    sel_text_add(html, "\" data-y=\"");
    sel_svg_number(html, mark->y);
    sel_text_add(html, "\" transform=\"translate(");
    sel_svg_number(html, mark->x);
    sel_text_add(html, " ");
    sel_svg_number(html, mark->y);
    sel_text_add(html, ")\"><title>");
    add_mark_title(html, mark->site);
    sel_text_add(html, "</title>\n");
    if (at.x != 0.0 || at.y != 0.0) {
        sel_svg_line(html, place, at, "stroke=\"" SEL_SITE_INK "\" stroke-width=\"1.3\"");
        sel_svg_circle(html, place, 3.0, "fill=\"" SEL_SITE_INK "\"");
    }
    sel_svg_circle(html, at, radius,
        primary ? "class=\"disc\" fill=\"" SEL_SITE_INK "\" stroke=\"#ffffff\" stroke-width=\"1.8\""
                : "class=\"disc\" fill=\"#ffffff\" stroke=\"" SEL_SITE_INK
                  "\" stroke-width=\"1.6\"");
    double size = page->unit * (primary ? 11.5 : 9.0) * (mark->site->rank > 99 ? 0.75 : 1.0);
    sel_svg_label(html, (struct vec2){at.x, at.y + 0.36 * size}, size,
        primary ? "text-anchor=\"middle\" font-weight=\"700\" fill=\"#ffffff\""
                : "text-anchor=\"middle\" font-weight=\"700\" fill=\"" SEL_SITE_INK "\"",
        number);
    sel_text_add(html, "</g></a>\n");
}

static sel_status add_marks(struct overview *map) {
    struct sel_package *package = map->dossier->package;
    struct sel_map_mark *marks = malloc((package->site_count + 1) * sizeof *marks);
    if (!marks)
        return sel_fail_memory(package->context);
    struct sel_map_page page = map->page;
    page.unit = MARK_SIZE;
    size_t count = sel_map_place_marks(&page, package, marks);
    sel_text_add(map->dossier->html, "<g id=\"marks\">\n");
    for (size_t i = count; i > 0; i--) // the best on top
        add_mark(map->dossier, &page, &marks[i - 1]);
    sel_text_add(map->dossier->html, "</g>\n");
    free(marks);
    return SEL_OK;
}

// --- scale and north ---

static void add_scale_labels(struct sel_text *html, struct vec2 at, double length, double wide) {
    static const char *const ANCHORS[] = {"start", "middle", "middle"};
    bool kilometres = length >= 1000.0;
    for (int i = 0; i < 3; i++) {
        double metres = length * i / 2.0;
        char label[32], look[64];
        snprintf(label, sizeof label, "%g%s", kilometres ? metres / 1000.0 : metres,
            i < 2        ? ""
            : kilometres ? " km"
                         : " m");
        snprintf(look, sizeof look, "text-anchor=\"%s\" fill=\"" SEL_INK "\"", ANCHORS[i]);
        sel_svg_label(html, (struct vec2){at.x + wide * i / 2.0, at.y + 18.0}, 11.0, look, label);
    }
}

static void add_scale(struct overview *map, struct vec2 at) {
    struct sel_text *html = map->dossier->html;
    double per_metre = map->page.scale / map->page.metres;
    double length = sel_round_step(190.0 / per_metre), wide = length * per_metre;
    sel_text_add(html, "<g id=\"map-scale\">\n");
    sel_svg_rect(html, at, wide, 6.0, "fill=\"#ffffff\" stroke=\"" SEL_INK "\"");
    sel_svg_rect(html, at, wide / 2.0, 6.0, "fill=\"" SEL_INK "\"");
    add_scale_labels(html, at, length, wide);
    sel_text_add(html, "</g>\n");
}

static void add_north(struct sel_text *html, struct vec2 at) {
    struct vec2 dark[] = {{at.x, at.y}, {at.x - 6.5, at.y + 24.0}, {at.x, at.y + 18.5}};
    struct vec2 light[] = {{at.x, at.y}, {at.x + 6.5, at.y + 24.0}, {at.x, at.y + 18.5}};
    sel_svg_shape(html, dark, 3, true, "fill=\"" SEL_INK "\"");
    sel_svg_shape(html, light, 3, true, "fill=\"#ffffff\" stroke=\"" SEL_INK "\"");
    sel_svg_label(html, (struct vec2){at.x + 11.0, at.y + 20.0}, 13.0,
        "font-weight=\"700\" fill=\"" SEL_INK "\"", "N");
}

static void add_grid_name(struct overview *map, double y) {
    struct sel_text *html = map->dossier->html;
    double wide = map->page.frame.width;
    bool narrow = is_narrow(map);
    int room = narrow ? (int)(wide / LETTER) - WORDS_OF_GRID : NAME_MOST;
    sel_text_addf(html, "<text text-anchor=\"%s\" fill=\"" SEL_FAINT_INK "\" font-size=\"11\" x=\"",
        narrow ? "start" : "end");
    sel_svg_number(html, narrow ? LEFT : LEFT + wide - 46.0);
    sel_text_add(html, "\" y=\"");
    sel_svg_number(html, narrow ? y + BELOW_NARROW : y);
    sel_text_add(html, "\">Map grid: ");
    sel_html_text_within(html, map->dossier->crs ? map->dossier->crs : "unnamed",
        room > NAME_LEAST ? room : NAME_LEAST);
    sel_text_add(html, "; grid north is up</text>\n");
}

static void add_foot(struct overview *map) {
    double y = TOP + map->page.frame.height + 30.0, right = LEFT + map->page.frame.width;
    add_scale(map, (struct vec2){LEFT, y});
    add_north(map->dossier->html, (struct vec2){right - 26.0, y - 4.0});
    add_grid_name(map, y + 16.0);
}

// --- the map ---

static void begin_map(struct overview *map) {
    struct sel_text *html = map->dossier->html;
    const struct sel_map_box *frame = &map->page.frame;
    sel_text_add(html, "<svg id=\"overview\" class=\"overview\" role=\"group\" viewBox=\"0 0 ");
    sel_svg_number(html, LEFT + frame->width + 4.0);
    sel_text_add(html, " ");
    sel_svg_number(html, TOP + frame->height + BELOW + (is_narrow(map) ? BELOW_NARROW : 0.0));
    sel_text_addf(html,
        "\" aria-label=\"Overview map: %" PRId64 " ranked sites and %" PRId64
        " reserves on the land cover; every marker is a link to its sheet\"",
        map->dossier->primaries, map->dossier->reserves);
    sel_text_addf(html,
        " data-west=\"%.6f\" data-north=\"%.6f\" data-scale=\"%.12g\" data-metres=\"%.9g\">\n",
        map->page.west, map->page.north, map->page.scale, map->page.metres);
}

static void open_ground(struct overview *map) {
    struct sel_text *html = map->dossier->html;
    const struct sel_map_box *frame = &map->page.frame;
    sel_text_addf(html,
        "<svg id=\"ground\" x=\"%g\" y=\"%g\" width=\"%.2f\" height=\"%.2f\" viewBox=\"0 0 %.2f "
        "%.2f\">\n",
        LEFT, TOP, frame->width, frame->height, frame->width, frame->height);
    sel_text_addf(html,
        "<image x=\"0\" y=\"0\" width=\"%.2f\" height=\"%.2f\" preserveAspectRatio=\"none\" "
        "href=\"",
        frame->width, frame->height);
}

static sel_status add_layers(struct overview *map) {
    struct sel_dossier *dossier = map->dossier;
    sel_status status = sel_dossier_ground(
        dossier, NULL, map->extent, GROUND_PIXELS, GROUND_BYTES_MOST, &dossier->edges_shown);
    sel_text_add(dossier->html, "\"/>\n");
    each_tick(map, add_tick);
    if (status == SEL_OK)
        status = sel_dossier_draw_zones(dossier, &map->page);
    if (status == SEL_OK)
        status = sel_dossier_draw_area(dossier, &map->page);
    if (status == SEL_OK)
        status = sel_dossier_draw_access(dossier, &map->page);
    if (status == SEL_OK)
        status = sel_dossier_draw_walks(dossier, &map->page);
    sel_dossier_draw_occupied(dossier, &map->page);
    return status == SEL_OK ? add_marks(map) : status;
}

sel_status sel_dossier_add_map(struct sel_dossier *dossier) {
    struct overview map;
    struct sel_text *html = dossier->html;
    sel_status status = lay_out(dossier, &map);
    if (status != SEL_OK)
        return status;
    begin_map(&map);
    open_ground(&map);
    status = add_layers(&map);
    sel_text_add(html, "</svg>\n");
    sel_svg_rect(html, (struct vec2){LEFT, TOP}, map.page.frame.width, map.page.frame.height,
        "fill=\"none\" stroke=\"" SEL_INK "\" stroke-width=\"1.3\" pointer-events=\"none\"");
    sel_text_add(html, "<g id=\"map-ticks\">\n");
    each_tick(&map, add_tick_label);
    sel_text_add(html, "</g>\n");
    add_foot(&map);
    sel_text_add(html, "</svg>\n");
    return status;
}
