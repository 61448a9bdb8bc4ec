// SPDX-License-Identifier: MIT
//
// The ground along a site's transect from side a (left) to side b, with the canopy that the habitat
// has on it, lengths and heights in one scale where the picture's height allows it.
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "dossier/html.h"
#include "dossier/parts.h"
#include "dossier/svg.h"

static const double WIDE = 178.0, HIGH = 33.0, LEFT = 11.0, RIGHT = 4.0, TOP = 4.0, BOTTOM = 7.5;
static const double BELOW_M = 2.0, ABOVE_M = 3.0; // room under the lowest, over the highest
static const double HEAD_M = 1.8;                 // as in the run's horizon

struct section {
    struct sel_text *html;
    const struct sel_dossier *dossier;
    const struct sel_site_row *site;
    const struct sel_profile_row *rows;
    size_t count;
    double first_m, last_m, low_m, high_m;
    double per_along, per_height; // mm per metre
};

static void find_rows(struct section *section) {
    const struct sel_dossier *dossier = section->dossier;
    struct sel_row_span rows = dossier->profile_rows[sel_dossier_index(dossier, section->site)];
    section->rows = dossier->profile + rows.first;
    section->count = rows.count;
}

// False when there is nothing to draw.
static bool measure(struct section *section) {
    section->low_m = (double)INFINITY;
    section->high_m = -(double)INFINITY;
    for (size_t i = 0; i < section->count; i++) {
        const struct sel_profile_row *row = &section->rows[i];
        if (isnan(row->ground_m))
            continue;
        section->low_m = fmin(section->low_m, row->ground_m);
        section->high_m = fmax(section->high_m, row->ground_m + fmax(0.0, row->canopy_m));
    }
    if (section->count < 2 || !(section->high_m >= section->low_m))
        return false;
    section->first_m = section->rows[0].along_m;
    section->last_m = section->rows[section->count - 1].along_m;
    section->low_m -= BELOW_M;
    section->high_m += ABOVE_M;
    section->per_along = (WIDE - LEFT - RIGHT) / (section->last_m - section->first_m);
    section->per_height =
        fmin(section->per_along, (HIGH - TOP - BOTTOM) / (section->high_m - section->low_m));
    return section->last_m > section->first_m;
}

static struct vec2 at(const struct section *section, double along_m, double height_m) {
    return (struct vec2){LEFT + (along_m - section->first_m) * section->per_along,
        HIGH - BOTTOM - (height_m - section->low_m) * section->per_height};
}

// --- drawing ---

// Where a row's stretch begins (side -1) or ends (side 1): half way to its neighbour.
static double border(const struct section *section, size_t i, int side) {
    double here = section->rows[i].along_m;
    if ((side < 0 && i == 0) || (side > 0 && i + 1 == section->count))
        return here;
    return 0.5 * (here + section->rows[side < 0 ? i - 1 : i + 1].along_m);
}

static double ground_at(const struct section *section, size_t i, int side) {
    double here = section->rows[i].ground_m;
    if ((side < 0 && i == 0) || (side > 0 && i + 1 == section->count))
        return here;
    double other = section->rows[side < 0 ? i - 1 : i + 1].ground_m;
    return isnan(other) ? here : 0.5 * (here + other);
}

// The end of the run of rows that look alike, beyond its last.
static size_t run_end(const struct section *section, size_t first) {
    const struct sel_profile_row *row = &section->rows[first];
    size_t end = first + 1;
    while (end < section->count && !isnan(section->rows[end].ground_m) && row->habitat &&
           section->rows[end].habitat && strcmp(section->rows[end].habitat, row->habitat) == 0)
        end++;
    return end;
}

// Canopy of a run: from the ground up, in the habitat's colour. Even a meadow is seen.
static void add_canopy(const struct section *section, size_t first, size_t end) {
    struct sel_text *html = section->html;
    const double least = 0.6;
    char code[SEL_COLOUR_SIZE];
    sel_dossier_colour(section->dossier, section->rows[first].habitat, code);
    sel_text_addf(html, "<path class=\"canopy\" fill=\"%s\" d=\"", code);
    for (size_t i = first; i < end; i++) {
        double canopy = fmax(least, section->rows[i].canopy_m);
        sel_svg_point(html, i == first ? 'M' : 'L',
            at(section, border(section, i, -1), ground_at(section, i, -1) + canopy));
        sel_svg_point(
            html, 'L', at(section, border(section, i, 1), ground_at(section, i, 1) + canopy));
    }
    for (size_t i = end; i > first; i--) {
        sel_svg_point(
            html, 'L', at(section, border(section, i - 1, 1), ground_at(section, i - 1, 1)));
        sel_svg_point(
            html, 'L', at(section, section->rows[i - 1].along_m, section->rows[i - 1].ground_m));
    }
    sel_svg_point(
        html, 'L', at(section, border(section, first, -1), ground_at(section, first, -1)));
    sel_text_add(html, "Z\"/>\n");
}

static void add_canopies(const struct section *section) {
    for (size_t first = 0; first < section->count;) {
        size_t end = run_end(section, first);
        if (!isnan(section->rows[first].ground_m))
            add_canopy(section, first, end);
        first = end;
    }
}

static void add_ground(const struct section *section) {
    struct sel_text *html = section->html;
    bool pen_down = false;
    sel_text_add(html, "<path class=\"ground\" fill=\"#77685a\" d=\"");
    sel_svg_point(html, 'M', at(section, section->first_m, section->low_m));
    for (size_t i = 0; i < section->count; i++)
        if (!isnan(section->rows[i].ground_m))
            sel_svg_point(
                html, 'L', at(section, section->rows[i].along_m, section->rows[i].ground_m));
    sel_svg_point(html, 'L', at(section, section->last_m, section->low_m));
    sel_text_add(
        html, "Z\"/>\n<path fill=\"none\" stroke=\"" SEL_INK "\" stroke-width=\"0.35\" d=\"");
    for (size_t i = 0; i < section->count; i++) {
        if (!isnan(section->rows[i].ground_m))
            sel_svg_point(html, pen_down ? 'L' : 'M',
                at(section, section->rows[i].along_m, section->rows[i].ground_m));
        pen_down = !isnan(section->rows[i].ground_m);
    }
    sel_text_add(html, "\"/>\n");
}

// How far the site lies from the mapped edge, toward side b.
static double site_along(const struct section *section) {
    const struct sel_dossier *dossier = section->dossier;
    const struct sel_dossier_flyway *line =
        &dossier->flyways[sel_dossier_index(dossier, section->site)];
    struct vec2 way = vec2_sub(line->b, line->a);
    double length = vec2_length(way);
    if (!(length > 0.0))
        return 0.0;
    struct vec2 middle = vec2_scale(vec2_add(line->a, line->b), 0.5);
    struct vec2 from = {section->site->x - middle.x, section->site->y - middle.y};
    return vec2_dot(from, way) / length * dossier->metres;
}

static double ground_under(const struct section *section, double along_m) {
    for (size_t i = 1; i < section->count; i++) {
        const struct sel_profile_row *a = &section->rows[i - 1], *b = &section->rows[i];
        if (along_m > b->along_m)
            continue;
        double share = (along_m - a->along_m) / (b->along_m - a->along_m);
        return a->ground_m + share * (b->ground_m - a->ground_m);
    }
    return section->rows[section->count - 1].ground_m;
}

static void add_site(const struct section *section) {
    double along = site_along(section), ground = ground_under(section, along);
    if (isnan(ground))
        return;
    struct vec2 foot = at(section, along, ground), head = at(section, along, ground + HEAD_M);
    struct vec2 edge = at(section, 0.0, ground);
    sel_svg_line(section->html, (struct vec2){edge.x, TOP}, (struct vec2){edge.x, HIGH - BOTTOM},
        "class=\"edge\" stroke=\"" SEL_INK "\" stroke-width=\"0.2\" stroke-dasharray=\"0.8 0.8\"");
    sel_svg_line(section->html, foot, head, "stroke=\"#ffffff\" stroke-width=\"1.6\"");
    sel_svg_line(section->html, foot, head,
        "class=\"trap\" stroke=\"" SEL_SITE_INK "\" stroke-width=\"0.9\"");
    sel_svg_circle(section->html, head, 1.0,
        "class=\"head\" fill=\"" SEL_SITE_INK "\" stroke=\"#ffffff\" stroke-width=\"0.3\"");
}

// --- axes ---

static void add_lengths(const struct section *section) {
    double step = sel_round_step((section->last_m - section->first_m) / 5.0);
    double first = ceil(section->first_m / step) * step;
    for (int i = 0; first + i * step <= section->last_m + 1e-6; i++) {
        double along = first + i * step;
        struct vec2 foot = at(section, along, section->low_m);
        char label[32];
        snprintf(label, sizeof label, "%g", fabs(along));
        sel_svg_line(section->html, foot, (struct vec2){foot.x, foot.y + 1.0},
            "stroke=\"" SEL_INK "\" stroke-width=\"0.25\"");
        sel_svg_label(section->html, (struct vec2){foot.x, foot.y + 3.7}, 2.5,
            "text-anchor=\"middle\" fill=\"" SEL_FAINT_INK "\"", label);
    }
    struct vec2 end = at(section, section->last_m, section->low_m);
    sel_svg_label(section->html, (struct vec2){end.x, end.y + 6.6}, 2.5,
        "text-anchor=\"end\" fill=\"" SEL_FAINT_INK "\"", "metres from the edge; b to the right");
    sel_svg_label(section->html, (struct vec2){LEFT, end.y + 6.6}, 2.5,
        "fill=\"" SEL_FAINT_INK "\"", "a to the left");
}

static void add_heights(const struct section *section) {
    double step = sel_round_step((section->high_m - section->low_m) / 2.5);
    double lowest = ceil(section->low_m / step) * step;
    for (int i = 0; lowest + i * step <= section->high_m; i++) {
        double height = lowest + i * step;
        struct vec2 left = at(section, section->first_m, height);
        char label[32];
        snprintf(label, sizeof label, "%g", height);
        sel_svg_line(section->html, left, (struct vec2){WIDE - RIGHT, left.y},
            "stroke=\"#d8d5cd\" stroke-width=\"0.15\"");
        sel_svg_label(section->html, (struct vec2){LEFT - 1.2, left.y + 0.9}, 2.5,
            "text-anchor=\"end\" fill=\"" SEL_FAINT_INK "\"", label);
    }
}

static void draw(const struct section *section) {
    sel_svg_begin(section->html, "profile", WIDE, HIGH,
        "Profile along the transect, from side a on the left to side b on the right: ground, "
        "canopy "
        "and the trap");
    add_heights(section);
    add_canopies(section);
    add_ground(section);
    add_site(section);
    add_lengths(section);
    sel_svg_end(section->html);
}

// --- in words ---

// The habitats in the order in which they come along the line, each once.
static void add_habitats(const struct section *section) {
    struct sel_text *html = section->html;
    int told = 0;
    for (size_t i = 0; i < section->count && told < 6; i++) {
        const char *name = section->rows[i].habitat;
        bool again = !name;
        for (size_t before = 0; before < i && !again; before++)
            again =
                section->rows[before].habitat && strcmp(section->rows[before].habitat, name) == 0;
        if (again)
            continue;
        char code[SEL_COLOUR_SIZE], look[64];
        sel_dossier_colour(section->dossier, name, code);
        snprintf(look, sizeof look, "fill=\"%s\" stroke=\"#8b857c\"", code);
        sel_text_add(html, " <span class=\"key\"><svg viewBox=\"0 0 12 8\" aria-hidden=\"true\" "
                           "focusable=\"false\">");
        sel_svg_rect(html, (struct vec2){0.5, 0.5}, 11.0, 7.0, look);
        sel_text_add(html, "</svg>");
        sel_html_name_within(html, name, 32);
        sel_text_add(html, "</span>");
        told++;
    }
}

void sel_sheet_add_profile(struct sel_dossier *dossier, const struct sel_site_row *site) {
    struct section section = {.html = dossier->html, .dossier = dossier, .site = site};
    find_rows(&section);
    sel_text_add(dossier->html, "<figure class=\"along\">\n");
    if (!measure(&section)) {
        sel_text_add(dossier->html, "<figcaption>This file holds no profile of the site's transect."
                                    "</figcaption>\n</figure>\n");
        return;
    }
    draw(&section);
    sel_text_add(dossier->html, "<figcaption>Along the transect:");
    add_habitats(&section);
    sel_text_add(dossier->html, ". Heights in metres above sea level");
    if (section.per_height < 0.999 * section.per_along)
        sel_text_addf(dossier->html, ", drawn %.2g times as tall as lengths",
            section.per_height / section.per_along);
    else
        sel_text_add(dossier->html, ", in the scale of the lengths");
    sel_text_add(dossier->html, "; pin: trap and head.</figcaption>\n</figure>\n");
}
