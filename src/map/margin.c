// SPDX-License-Identifier: MIT
//
// Around the map: the heading above it; north arrow, scale bar and legend in the column beside it.
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "map/page.h"

enum { HABITATS_SHOWN = 16 };

// --- heading ---

static int64_t count_role(const struct sel_package *package, bool primary) {
    int64_t count = 0;
    for (size_t i = 0; i < package->site_count; i++)
        count += primary == !package->sites[i].reserve_for;
    return count;
}

void sel_draw_heading(const struct sel_map_page *page, const struct sel_package *package) {
    double x = page->frame.x, top = page->frame.y - 58.0 * page->unit;
    double most = page->margin.x + page->margin.width - x;
    const char *title = sel_package_fact(package, "title");
    const char *crs = sel_package_fact(package, "grid.crs");
    struct sel_lettering large = {22.0, true, SEL_ANCHOR_LEFT, SEL_INK_TEXT, most};
    struct sel_lettering small = {12.0, false, SEL_ANCHOR_LEFT, SEL_INK_FAINT, most};
    int64_t sites = count_role(package, true), reserves = count_role(package, false);
    char line[256];
    snprintf(line, sizeof line,
        "%" PRId64 " ranked site%s for flight traps, %" PRId64 " reserve%s    map grid: %s", sites,
        sites == 1 ? "" : "s", reserves, reserves == 1 ? "" : "s", crs ? crs : "unnamed");
    sel_letter(
        page, x, top + 24.0 * page->unit, &large, title && title[0] ? title : "Ranked sites");
    sel_letter(page, x, top + 44.0 * page->unit, &small, line);
}

// --- north and scale ---

static double draw_north(const struct sel_map_page *page, double y) {
    cairo_t *cairo = page->cairo;
    double unit = page->unit, x = page->margin.x + page->margin.width - 16.0 * unit;
    struct sel_lettering lettering = {13.0, true, SEL_ANCHOR_MIDDLE, SEL_INK_TEXT, 0};
    sel_letter(page, x, y + 11.0 * unit, &lettering, "N");
    sel_set_ink(page, SEL_INK_TEXT);
    cairo_set_line_width(cairo, 1.2 * unit);
    cairo_move_to(cairo, x, y + 16.0 * unit);
    cairo_line_to(cairo, x - 7.0 * unit, y + 44.0 * unit);
    cairo_line_to(cairo, x, y + 38.0 * unit);
    cairo_close_path(cairo);
    cairo_fill(cairo);
    cairo_move_to(cairo, x, y + 16.0 * unit);
    cairo_line_to(cairo, x + 7.0 * unit, y + 44.0 * unit);
    cairo_line_to(cairo, x, y + 38.0 * unit);
    cairo_close_path(cairo);
    cairo_stroke(cairo);
    return y + 44.0 * unit;
}

static void scale_label(double metres, bool kilometres, char label[32]) {
    snprintf(label, 32, "%g", kilometres ? metres / 1000.0 : metres);
}

static void draw_scale(const struct sel_map_page *page, double y) {
    cairo_t *cairo = page->cairo;
    double unit = page->unit, x = page->margin.x, high = 6.0 * unit;
    double pixels_per_metre = page->scale / page->metres;
    double length = sel_round_step(140.0 * unit / pixels_per_metre);
    double wide = length * pixels_per_metre;
    bool kilometres = length >= 1000.0;
    struct sel_lettering lettering = {10.5, false, SEL_ANCHOR_MIDDLE, SEL_INK_TEXT, 0};
    char label[32];
    sel_set_ink(page, SEL_INK_TEXT);
    cairo_set_line_width(cairo, 1.0 * unit);
    cairo_rectangle(cairo, x, y, wide, high);
    cairo_stroke(cairo);
    cairo_rectangle(cairo, x, y, wide / 2.0, high);
    cairo_fill(cairo);
    lettering.anchor = SEL_ANCHOR_LEFT;
    sel_letter(page, x, y + 20.0 * unit, &lettering, "0");
    lettering.anchor = SEL_ANCHOR_MIDDLE;
    scale_label(length / 2.0, kilometres, label);
    sel_letter(page, x + wide / 2.0, y + 20.0 * unit, &lettering, label);
    scale_label(length, kilometres, label);
    strncat(label, kilometres ? " km" : " m", sizeof label - strlen(label) - 1);
    sel_letter(page, x + wide, y + 20.0 * unit, &lettering, label);
}

// --- legend ---

static bool shown(const struct sel_habitat_row *habitat) {
    return habitat->backdrop_share > 0.0;
}

int sel_habitat_by_share(
    const struct sel_habitat_row *habitats, size_t count, double below, int after) {
    int best = -1;
    for (size_t i = 0; i < count; i++) {
        double share = habitats[i].backdrop_share;
        bool later = share < below || (share == below && (int)i > after);
        if (shown(&habitats[i]) && later && (best < 0 || share > habitats[best].backdrop_share))
            best = (int)i;
    }
    return best;
}

static int count_shown(const struct sel_habitat_row *habitats, size_t count) {
    int found = 0;
    for (size_t i = 0; i < count; i++)
        found += shown(&habitats[i]);
    return found;
}

int sel_margin_lines(const struct sel_habitat_row *habitats, size_t habitat_count) {
    int found = count_shown(habitats, habitat_count);
    return found > HABITATS_SHOWN ? HABITATS_SHOWN + 1 : found;
}

struct sel_ink sel_swatch_ink(const char *colour) {
    unsigned long rgb = colour && colour[0] == '#' ? strtoul(colour + 1, NULL, 16) : 0xc8c8c8;
    unsigned red = rgb >> 16 & 255, green = rgb >> 8 & 255, blue = rgb & 255;
    double keep = 1.0 - SEL_MAP_VEIL;
    return (struct sel_ink){red / 255.0 * keep + SEL_MAP_VEIL, green / 255.0 * keep + SEL_MAP_VEIL,
        blue / 255.0 * keep + SEL_MAP_VEIL, 1.0};
}

static void share_text(double share, char text[16]) {
    if (share < 0.005)
        snprintf(text, 16, "< 1 %%");
    else
        snprintf(text, 16, "%.0f %%", 100.0 * share);
}

static void draw_habitat(
    const struct sel_map_page *page, double y, const struct sel_habitat_row *habitat) {
    double unit = page->unit, x = page->margin.x, right = x + page->margin.width;
    struct sel_lettering name = {
        11.5, false, SEL_ANCHOR_LEFT, SEL_INK_TEXT, page->margin.width - 70.0 * unit};
    struct sel_lettering share = {10.5, false, SEL_ANCHOR_RIGHT, SEL_INK_FAINT, 0};
    char text[16];
    sel_set_ink(page, sel_swatch_ink(habitat->colour));
    cairo_rectangle(page->cairo, x, y - 10.0 * unit, 22.0 * unit, 12.0 * unit);
    cairo_fill_preserve(page->cairo);
    cairo_set_source_rgba(page->cairo, 0.16, 0.13, 0.10, 0.6);
    cairo_set_line_width(page->cairo, 0.7 * unit);
    cairo_stroke(page->cairo);
    share_text(habitat->backdrop_share, text);
    sel_letter(page, x + 30.0 * unit, y, &name, habitat->habitat ? habitat->habitat : "");
    sel_letter(page, right, y, &share, text);
}

static double draw_habitats(const struct sel_map_page *page, double y,
    const struct sel_habitat_row *habitats, size_t count) {
    double below = (double)INFINITY;
    int after = -1, found = count_shown(habitats, count);
    for (int i = 0; i < found && i < HABITATS_SHOWN; i++) {
        after = sel_habitat_by_share(habitats, count, below, after);
        if (after < 0)
            break;
        below = habitats[after].backdrop_share;
        draw_habitat(page, y, &habitats[after]);
        y += 19.0 * page->unit;
    }
    if (found > HABITATS_SHOWN) {
        struct sel_lettering rest = {10.5, false, SEL_ANCHOR_LEFT, SEL_INK_FAINT, 0};
        char text[48];
        snprintf(text, sizeof text, "and %d more", found - HABITATS_SHOWN);
        sel_letter(page, page->margin.x + 30.0 * page->unit, y, &rest, text);
        y += 19.0 * page->unit;
    }
    return y;
}

static void draw_edge_sign(const struct sel_map_page *page, double y) {
    double unit = page->unit, x = page->margin.x;
    cairo_set_source_rgba(page->cairo, 0.16, 0.13, 0.10, 0.7);
    cairo_set_line_width(page->cairo, 0.9 * unit);
    cairo_move_to(page->cairo, x, y);
    cairo_curve_to(page->cairo, x + 8.0 * unit, y - 7.0 * unit, x + 14.0 * unit, y + 7.0 * unit,
        x + 22.0 * unit, y);
    cairo_stroke(page->cairo);
}

static double draw_line_sign(const struct sel_map_page *page, double y,
    const struct sel_map_stroke *stroke, const char *chars) {
    double unit = page->unit, x = page->margin.x;
    struct sel_lettering name = {11.5, false, SEL_ANCHOR_LEFT, SEL_INK_TEXT, 0};
    y += 22.0 * unit;
    cairo_move_to(page->cairo, x, y);
    cairo_line_to(page->cairo, x + 22.0 * unit, y);
    sel_stroke_line(page, stroke);
    sel_letter(page, x + 30.0 * unit, y + 4.0 * unit, &name, chars);
    return y;
}

static double draw_signs(const struct sel_map_page *page, double y) {
    double unit = page->unit, x = page->margin.x;
    struct sel_lettering name = {11.5, false, SEL_ANCHOR_LEFT, SEL_INK_TEXT, 0};
    sel_draw_marker(page, x + 11.0 * unit, y, true, 1);
    sel_letter(page, x + 30.0 * unit, y + 4.0 * unit, &name, "site, by rank");
    y += 24.0 * unit;
    sel_draw_marker(page, x + 11.0 * unit, y, false, 1);
    sel_letter(page, x + 30.0 * unit, y + 4.0 * unit, &name, "reserve for that site");
    if (page->edges_shown) {
        y += 22.0 * unit;
        draw_edge_sign(page, y);
        sel_letter(page, x + 30.0 * unit, y + 4.0 * unit, &name, "habitat edge");
    }
    if (page->walks_shown)
        y = draw_line_sign(page, y, &SEL_STROKE_WALK, "walk to a site");
    if (page->area_shown)
        y = draw_line_sign(page, y, &SEL_STROKE_AREA, "study area");
    return y + 30.0 * unit;
}

static void draw_imprint(const struct sel_map_page *page, const struct sel_package *package) {
    struct sel_lettering small = {9.5, false, SEL_ANCHOR_RIGHT, SEL_INK_FAINT, page->margin.width};
    const char *version = sel_package_fact(package, "version");
    char line[96];
    snprintf(line, sizeof line, "drawn by selvedge %s", version ? version : "");
    sel_letter(
        page, page->margin.x + page->margin.width, page->height - 26.0 * page->unit, &small, line);
}

void sel_draw_margin(const struct sel_map_page *page, const struct sel_package *package,
    const struct sel_habitat_row *habitats, size_t habitat_count) {
    double unit = page->unit, y = page->margin.y;
    struct sel_lettering head = {12.0, true, SEL_ANCHOR_LEFT, SEL_INK_TEXT, 0};
    double under_north = draw_north(page, y);
    draw_scale(page, y + 22.0 * unit);
    y = draw_signs(page, under_north + 26.0 * unit);
    sel_letter(page, page->margin.x, y, &head, "Habitats");
    draw_habitats(page, y + 22.0 * unit, habitats, habitat_count);
    draw_imprint(page, package);
}
