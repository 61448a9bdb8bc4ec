// SPDX-License-Identifier: MIT
//
// The section along the flyway: one bar of canopy per sample of the profile in its habitat's
// colour, the ground below it, the trap in the middle. Heights are to scale with lengths.
#include <math.h>
#include <string.h>

#include "fieldkit/drawing.h"

static const double WIDTH = 640.0;       // drawing units
static const double HEIGHT_MOST = 200.0; // above it, heights are pressed together
static const double HEAD_M = 1.8;  // of the collecting head above ground, as the survey has it
static const double EARTH_M = 4.0; // of ground drawn below its lowest point

struct section {
    const struct sel_fieldkit *kit;
    const struct sel_profile_row *rows;
    size_t count;
    double low_m, high_m; // what must be shown
    double along_m, to_m; // ends of the profile
    double step_m;        // between its samples
    double across, up;    // units per metre
};

static bool is_of(const struct sel_profile_row *row, const char *id) {
    return row->site && strcmp(row->site, id) == 0;
}

static bool is_known(const struct sel_profile_row *row) {
    return isfinite(row->along_m) && isfinite(row->ground_m) && isfinite(row->canopy_m);
}

// The rows of one site lie together. False: there are too few to draw.
static bool find_rows(const char *id, struct section *section) {
    const struct sel_fieldkit *kit = section->kit;
    size_t first = 0;
    while (first < kit->profile_count && !is_of(&kit->profile[first], id))
        first++;
    section->rows = kit->profile + first;
    for (size_t i = first;
         i < kit->profile_count && is_of(&kit->profile[i], id) && is_known(&kit->profile[i]); i++)
        section->count++;
    return section->count > 2;
}

static bool measure(struct section *section) {
    const struct sel_profile_row *rows = section->rows;
    section->along_m = rows[0].along_m;
    section->to_m = rows[section->count - 1].along_m;
    section->step_m = (section->to_m - section->along_m) / (double)(section->count - 1);
    section->low_m = section->high_m = rows[0].ground_m;
    for (size_t i = 0; i < section->count; i++) {
        section->low_m = fmin(section->low_m, rows[i].ground_m);
        section->high_m = fmax(section->high_m, rows[i].ground_m + fmax(rows[i].canopy_m, 3.0));
    }
    section->low_m -= EARTH_M;
    if (section->step_m <= 0.0)
        return false;
    section->across = WIDTH / (section->to_m - section->along_m + section->step_m);
    section->up = fmin(section->across, HEIGHT_MOST / (section->high_m - section->low_m));
    return true;
}

static double x_of(const struct section *section, double along_m) {
    return (along_m - section->along_m + 0.5 * section->step_m) * section->across;
}

static double y_of(const struct section *section, double height_m) {
    return (section->high_m - height_m) * section->up;
}

static void colour_of(const struct section *section, const char *habitat, char code[8]) {
    const struct sel_fieldkit *kit = section->kit;
    sel_fieldkit_colour(NULL, code);
    for (size_t i = 0; habitat && i < kit->habitat_count; i++)
        if (kit->habitats[i].habitat && strcmp(kit->habitats[i].habitat, habitat) == 0)
            sel_fieldkit_colour(kit->habitats[i].colour, code);
}

// Bare and low habitats still show as a band.
static double top_of(const struct sel_profile_row *row) {
    const double least_m = 0.8;
    return row->ground_m + fmax(row->canopy_m, least_m);
}

static bool same_habitat(const struct sel_profile_row *a, const struct sel_profile_row *b) {
    return a->habitat && b->habitat ? strcmp(a->habitat, b->habitat) == 0
                                    : a->habitat == b->habitat;
}

// One outline for a run of samples of one habitat: its tops in steps, then back along the ground.
static void add_run(
    const struct section *section, size_t first, size_t end, struct sel_text *html) {
    double half = 0.5 * section->step_m;
    char code[8];
    colour_of(section, section->rows[first].habitat, code);
    sel_text_add(html, "<path d=\"");
    for (size_t i = first; i < end; i++) {
        const struct sel_profile_row *row = &section->rows[i];
        double y = y_of(section, top_of(row));
        sel_text_addf(html, "%c%.2f %.2fL%.2f %.2f", i == first ? 'M' : 'L',
            x_of(section, row->along_m - half), y, x_of(section, row->along_m + half), y);
    }
    for (size_t i = end; i-- > first;) {
        const struct sel_profile_row *row = &section->rows[i];
        double y = y_of(section, row->ground_m - 0.5 * EARTH_M);
        sel_text_addf(html, "L%.2f %.2fL%.2f %.2f", x_of(section, row->along_m + half), y,
            x_of(section, row->along_m - half), y);
    }
    sel_text_addf(html, "Z\" fill=\"%s\" fill-opacity=\".75\"/>\n", code);
}

static void add_canopy(const struct section *section, struct sel_text *html) {
    for (size_t first = 0; first < section->count;) {
        size_t end = first + 1;
        while (end < section->count && same_habitat(&section->rows[first], &section->rows[end]))
            end++;
        add_run(section, first, end, html);
        first = end;
    }
}

static void add_ground(const struct section *section, struct sel_text *html) {
    sel_text_addf(html, "<path d=\"M0 %.2f", y_of(section, section->rows[0].ground_m));
    for (size_t i = 0; i < section->count; i++)
        sel_text_addf(html, "L%.2f %.2f", x_of(section, section->rows[i].along_m),
            y_of(section, section->rows[i].ground_m));
    double last = y_of(section, section->rows[section->count - 1].ground_m);
    double bottom = y_of(section, section->low_m);
    sel_text_addf(html,
        "L%.2f %.2fL%.2f %.2fL0 %.2fZ\" fill=\"#8a7a63\" stroke=\"#4b4234\" "
        "stroke-width=\"1\"/>\n",
        WIDTH, last, WIDTH, bottom, bottom);
}

// The sample nearest to the middle of the flyway, where the trap stands.
static const struct sel_profile_row *middle_of(const struct section *section) {
    const struct sel_profile_row *best = section->rows;
    for (size_t i = 1; i < section->count; i++)
        if (fabs(section->rows[i].along_m) < fabs(best->along_m))
            best = &section->rows[i];
    return best;
}

static void add_trap(const struct section *section, struct sel_text *html) {
    const struct sel_profile_row *row = middle_of(section);
    double x = x_of(section, 0.0), foot = y_of(section, row->ground_m);
    double head = y_of(section, row->ground_m + HEAD_M);
    sel_text_addf(html,
        "<line x1=\"%.2f\" y1=\"%.2f\" x2=\"%.2f\" y2=\"%.2f\" stroke=\"#1c1f1d\" "
        "stroke-width=\"3\"/><circle cx=\"%.2f\" cy=\"%.2f\" r=\"4\" fill=\"#f2b632\" "
        "stroke=\"#1c1f1d\" stroke-width=\"1.4\"/>\n",
        x, foot, x, head, x, head);
}

static void add_scale(const struct section *section, struct sel_text *html) {
    double y = y_of(section, section->low_m) + 7.0;
    double bar = 20.0 * section->across;
    sel_text_addf(html,
        "<text x=\"2\" y=\"%.2f\" class=\"c\" text-anchor=\"start\">a</text>"
        "<text x=\"%.2f\" y=\"%.2f\" class=\"c\" text-anchor=\"end\">b</text>"
        "<path d=\"M%.2f %.2fh%.2f\" stroke=\"#1c1f1d\" stroke-width=\"1.4\"/>"
        "<text x=\"%.2f\" y=\"%.2f\" class=\"c\">20 m</text>\n",
        y + 8.0, WIDTH - 2.0, y + 8.0, 0.5 * (WIDTH - bar), y, bar, 0.5 * WIDTH, y + 13.0);
}

void sel_fieldkit_draw_section(
    const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site, struct sel_text *html) {
    struct section section = {.kit = kit};
    if (!find_rows(sel_fieldkit_id(site), &section) || !measure(&section))
        return;
    sel_text_addf(html,
        "<svg class=\"section\" viewBox=\"0 -2 %.0f %.2f\" role=\"img\" "
        "aria-label=\"section along the flyway\">\n",
        WIDTH, y_of(&section, section.low_m) + 26.0);
    add_canopy(&section, html);
    add_ground(&section, html);
    add_trap(&section, html);
    add_scale(&section, html);
    sel_text_add(html, "</svg>\n");
    if (section.up < section.across)
        sel_text_add(html, "<p class=\"soft\">Heights are drawn smaller than lengths here.</p>\n");
}
