// SPDX-License-Identifier: MIT
//
// Site markers: a filled disc with the rank for a primary, a hollow ring with its site's rank for a
// reserve. A marker that would cover another steps aside and points at its place with a line and a
// dot; primaries keep their places first.
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "map/page.h"

static const double PRIMARY_RADIUS = 9.5, RESERVE_RADIUS = 7.5; // units

static const double TURN = 6.283185307179586;

double sel_map_mark_radius(const struct sel_map_page *page, bool primary) {
    return (primary ? PRIMARY_RADIUS : RESERVE_RADIUS) * page->unit;
}

static void disc(const struct sel_map_page *page, double x, double y, double radius) {
    cairo_new_sub_path(page->cairo);
    cairo_arc(page->cairo, x, y, radius, 0, TURN);
}

void sel_draw_marker(
    const struct sel_map_page *page, double x, double y, bool primary, int64_t rank) {
    cairo_t *cairo = page->cairo;
    double radius = sel_map_mark_radius(page, primary);
    struct sel_lettering lettering = {
        primary ? 11.0 : 8.5, true, SEL_ANCHOR_MIDDLE, primary ? SEL_INK_PAPER : SEL_INK_SITE, 0};
    char number[24];
    snprintf(number, sizeof number, "%" PRId64, rank);
    if (rank > 99)
        lettering.size *= 0.75;
    disc(page, x, y, radius + 1.5 * page->unit);
    sel_set_ink(page, SEL_INK_PAPER);
    cairo_fill(cairo);
    disc(page, x, y, radius);
    if (primary) {
        sel_set_ink(page, SEL_INK_SITE);
        cairo_fill(cairo);
    } else {
        sel_set_ink(page, SEL_INK_SITE);
        cairo_set_line_width(cairo, 1.4 * page->unit);
        cairo_stroke(cairo);
    }
    sel_letter(page, x, y + 0.36 * lettering.size * page->unit, &lettering, number);
}

// --- keeping markers apart ---

static bool is_primary(const struct sel_map_mark *mark) {
    return !mark->site->reserve_for;
}

static bool covers(const struct sel_map_page *page, const struct sel_map_mark *marks, size_t count,
    double x, double y, bool primary) {
    for (size_t i = 0; i < count; i++) {
        double near =
            sel_map_mark_radius(page, is_primary(&marks[i])) + sel_map_mark_radius(page, primary);
        if (hypot(marks[i].at_x - x, marks[i].at_y - y) < near)
            return true;
    }
    return false;
}

static bool inside(const struct sel_map_page *page, double x, double y) {
    double most = PRIMARY_RADIUS * page->unit;
    return x - most > page->frame.x && x + most < page->frame.x + page->frame.width &&
           y - most > page->frame.y && y + most < page->frame.y + page->frame.height;
}

// The nearest free spot on a few rings around the place; the place itself when there is none.
static void step_aside(const struct sel_map_page *page, const struct sel_map_mark *marks,
    size_t count, struct sel_map_mark *mark) {
    enum { RINGS = 3, SPOTS = 16 };
    mark->at_x = mark->x;
    mark->at_y = mark->y;
    for (int ring = 0; ring <= RINGS; ring++) {
        double away = ring * 2.1 * PRIMARY_RADIUS * page->unit;
        for (int spot = 0; spot < (ring == 0 ? 1 : SPOTS); spot++) {
            double x = mark->x + away * sin(spot * TURN / SPOTS);
            double y = mark->y - away * cos(spot * TURN / SPOTS);
            if (covers(page, marks, count, x, y, is_primary(mark)) ||
                (ring > 0 && !inside(page, x, y)))
                continue;
            mark->at_x = x;
            mark->at_y = y;
            return;
        }
    }
}

size_t sel_map_place_marks(const struct sel_map_page *page, const struct sel_package *package,
    struct sel_map_mark *marks) {
    size_t count = 0;
    for (int pass = 0; pass < 2; pass++) {
        for (size_t i = 0; i < package->site_count; i++) {
            const struct sel_site_row *site = &package->sites[i];
            bool primary = !site->reserve_for;
            if (primary != (pass == 0) || isnan(site->x) || isnan(site->y))
                continue;
            struct sel_map_mark mark = {
                .x = sel_page_x(page, site->x), .y = sel_page_y(page, site->y), .site = site};
            step_aside(page, marks, count, &mark);
            marks[count++] = mark;
        }
    }
    return count;
}

static void draw_pointer(const struct sel_map_page *page, const struct sel_map_mark *mark) {
    if (mark->at_x == mark->x && mark->at_y == mark->y)
        return;
    sel_set_ink(page, SEL_INK_SITE);
    cairo_set_line_width(page->cairo, 1.2 * page->unit);
    cairo_move_to(page->cairo, mark->x, mark->y);
    cairo_line_to(page->cairo, mark->at_x, mark->at_y);
    cairo_stroke(page->cairo);
    disc(page, mark->x, mark->y, 2.6 * page->unit);
    cairo_fill(page->cairo);
}

sel_status sel_draw_sites(const struct sel_map_page *page, const struct sel_package *package) {
    struct sel_map_mark *marks = malloc((package->site_count + 1) * sizeof *marks);
    if (!marks)
        return sel_fail_memory(package->context);
    size_t count = sel_map_place_marks(page, package, marks);
    for (size_t i = 0; i < count; i++)
        draw_pointer(page, &marks[i]);
    for (size_t i = count; i > 0; i--) // the best on top
        sel_draw_marker(page, marks[i - 1].at_x, marks[i - 1].at_y, is_primary(&marks[i - 1]),
            marks[i - 1].site->rank);
    free(marks);
    return SEL_OK;
}
