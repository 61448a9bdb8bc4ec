// SPDX-License-Identifier: MIT
//
// How the trap stands, seen from above and to scale: panel, head, the strip to be cleared, the
// opening that lets light to the head, and the way insects fly. True north is up.
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "dossier/html.h"
#include "dossier/parts.h"
#include "dossier/svg.h"
#include "output/columns.h"
#include "output/names.h"
#include "plan/numbers.h"

static const double SIDE = 50.0;      // mm
static const double TRAP_LONG = 1.8;  // m, a usual tent trap (common practice, no source)
static const double ROOM_LEAST = 5.0; // m from the site to the picture's side
static const double TO_RIM = 1.15;    // of the largest thing shown

struct stand {
    struct sel_text *html;
    const struct sel_dossier *dossier;
    const struct sel_site_row *site;
    double opening_m, across_m, along_m; // of the clearing; 0: none
    double per_metre;                    // mm
    struct vec2 here;
};

static double plan_number(const struct sel_dossier *dossier, const char *key) {
    const char *value = sel_dossier_plan(dossier, key);
    double number = 0.0;
    return value && sel_parse_number(value, &number) ? number : 0.0;
}

static struct stand stand_of(struct sel_dossier *dossier, const struct sel_site_row *site) {
    struct stand stand = {.html = dossier->html,
        .dossier = dossier,
        .site = site,
        .opening_m = plan_number(dossier, "flyways.opening_m"),
        .here = {0.5 * SIDE, 0.5 * SIDE}};
    if (site->clearing == 1) {
        stand.across_m = dossier->permit.clearing_m[0];
        stand.along_m = dossier->permit.clearing_m[1];
    }
    double room = fmax(
        ROOM_LEAST, TO_RIM * fmax(stand.opening_m, 0.5 * hypot(stand.across_m, stand.along_m)));
    stand.per_metre = 0.5 * SIDE / room;
    return stand;
}

// --- the two habitats ---

// Where the mapped edge lies from the site, mm on the page; the site's own place when not told.
static struct vec2 edge_offset(const struct stand *stand) {
    const struct sel_dossier *dossier = stand->dossier;
    const struct sel_dossier_flyway *line =
        &dossier->flyways[sel_dossier_index(dossier, stand->site)];
    double scale = dossier->metres * stand->per_metre;
    struct vec2 middle = vec2_scale(vec2_add(line->a, line->b), 0.5);
    if (isnan(middle.x))
        return (struct vec2){0, 0};
    return (struct vec2){(middle.x - stand->site->x) * scale, -(middle.y - stand->site->y) * scale};
}

static void add_half(const struct stand *stand, struct vec2 edge, double toward, const char *name) {
    double far = 3.0 * SIDE, along = toward + 90.0;
    struct vec2 one = sel_svg_toward(edge, along, far), other = sel_svg_toward(edge, along, -far);
    struct vec2 corners[] = {
        one, other, sel_svg_toward(other, toward, far), sel_svg_toward(one, toward, far)};
    char code[SEL_COLOUR_SIZE], look[96];
    sel_dossier_colour(stand->dossier, name, code);
    snprintf(look, sizeof look, "fill=\"%s\" fill-opacity=\"0.55\"", code);
    sel_svg_shape(stand->html, corners, 4, true, look);
}

// Side a lies where the transect begins.
static double toward_a(const struct stand *stand) {
    const struct sel_dossier *dossier = stand->dossier;
    const struct sel_dossier_flyway *line =
        &dossier->flyways[sel_dossier_index(dossier, stand->site)];
    struct vec2 way = vec2_sub(line->a, line->b);
    double grid = atan2(way.x, way.y) * 57.29577951308232;
    return grid + sel_dossier_convergence(dossier, stand->site);
}

static void add_letter(const struct stand *stand, double toward, const char *letter) {
    struct vec2 at = sel_svg_toward(stand->here, toward, 0.42 * SIDE);
    sel_svg_circle(
        stand->html, at, 2.3, "fill=\"#ffffff\" stroke=\"" SEL_INK "\" stroke-width=\"0.3\"");
    sel_svg_label(stand->html, (struct vec2){at.x, at.y + 1.1}, 3.1,
        "text-anchor=\"middle\" font-weight=\"700\" fill=\"" SEL_INK "\"", letter);
}

static void add_habitats(const struct stand *stand) {
    double toward = toward_a(stand);
    if (isnan(toward))
        return;
    struct vec2 edge = vec2_add(stand->here, edge_offset(stand));
    struct vec2 one = sel_svg_toward(edge, toward + 90.0, 3.0 * SIDE);
    struct vec2 other = sel_svg_toward(edge, toward - 90.0, 3.0 * SIDE);
    add_half(stand, edge, toward, stand->site->habitat_a);
    add_half(stand, edge, toward + 180.0, stand->site->habitat_b);
    sel_svg_line(stand->html, one, other,
        "class=\"edge\" stroke=\"#4a443e\" stroke-width=\"0.35\" stroke-dasharray=\"2 1\"");
}

// --- what is cut, and the trap ---

static void add_clearing(const struct stand *stand) {
    double panel = stand->site->panel_true_deg;
    double half_along = 0.5 * stand->along_m * stand->per_metre;
    double half_across = 0.5 * stand->across_m * stand->per_metre;
    if (half_along <= 0.0 || isnan(panel))
        return;
    struct vec2 one = sel_svg_toward(stand->here, panel, half_along);
    struct vec2 other = sel_svg_toward(stand->here, panel, -half_along);
    struct vec2 corners[] = {sel_svg_toward(one, panel + 90.0, half_across),
        sel_svg_toward(one, panel - 90.0, half_across),
        sel_svg_toward(other, panel - 90.0, half_across),
        sel_svg_toward(other, panel + 90.0, half_across)};
    sel_svg_shape(stand->html, corners, 4, true,
        "class=\"clearing\" fill=\"#ffffff\" fill-opacity=\"0.6\" stroke=\"" SEL_INK "\" "
        "stroke-width=\"0.45\"");
}

static void add_opening(const struct stand *stand) {
    if (stand->opening_m > 0.0)
        sel_svg_circle(stand->html, stand->here, stand->opening_m * stand->per_metre,
            "class=\"opening\" fill=\"none\" stroke=\"" SEL_INK "\" stroke-width=\"0.3\" "
            "stroke-dasharray=\"0.4 1.1\" stroke-linecap=\"round\"");
}

static void add_flight(const struct stand *stand) {
    const char *flight = sel_package_fact(stand->dossier->package, "flight");
    bool along = flight && strcmp(flight, "along") == 0;
    double bearing = along ? stand->site->edge_true_deg : stand->site->flyway_true_deg;
    if (isnan(bearing))
        return;
    for (int side = 0; side < 2; side++) {
        double from = bearing + 180.0 * side;
        struct vec2 tail = sel_svg_toward(stand->here, from, 0.30 * SIDE);
        struct vec2 tip = sel_svg_toward(stand->here, from, 0.13 * SIDE);
        struct vec2 direction = sel_svg_toward((struct vec2){0, 0}, from, -1.0);
        sel_svg_line(stand->html, tail, tip, "stroke=\"" SEL_INK "\" stroke-width=\"0.4\"");
        sel_svg_arrow_head(stand->html, tip, direction, 2.2, "fill=\"" SEL_INK "\"");
    }
}

static void add_trap(const struct stand *stand) {
    double half = 0.5 * TRAP_LONG * stand->per_metre, panel = stand->site->panel_true_deg;
    double head = stand->site->head_true_deg;
    if (isnan(panel) || isnan(head))
        return;
    struct vec2 one = sel_svg_toward(stand->here, panel, half);
    struct vec2 other = sel_svg_toward(stand->here, panel, -half);
    struct vec2 tip = sel_svg_toward(stand->here, head, half + 4.6);
    sel_svg_line(stand->html, one, other,
        "class=\"panel\" stroke=\"" SEL_SITE_INK "\" stroke-width=\"1.3\"");
    sel_svg_circle(stand->html, sel_svg_toward(stand->here, head, half), 1.3,
        "class=\"head\" fill=\"#ffffff\" stroke=\"" SEL_SITE_INK "\" stroke-width=\"0.7\"");
    sel_svg_arrow_head(stand->html, tip, sel_svg_toward((struct vec2){0, 0}, head, 1.0), 2.6,
        "fill=\"" SEL_SITE_INK "\"");
}

static void add_margin(const struct stand *stand) {
    double length = sel_round_step(0.3 * SIDE / stand->per_metre);
    double wide = length * stand->per_metre;
    char label[32];
    snprintf(label, sizeof label, "%g m", length);
    sel_svg_rect(stand->html, (struct vec2){1.0, SIDE - 5.8}, wide + 10.0, 4.8,
        "rx=\"0.7\" fill=\"#ffffff\" fill-opacity=\"0.88\"");
    sel_svg_rect(stand->html, (struct vec2){2.4, SIDE - 3.9}, wide, 1.0, "fill=\"" SEL_INK "\"");
    sel_svg_label(
        stand->html, (struct vec2){3.6 + wide, SIDE - 2.5}, 2.6, "fill=\"" SEL_INK "\"", label);
    sel_svg_arrow_head(stand->html, (struct vec2){SIDE - 4.0, 1.8}, (struct vec2){0, -1}, 4.0,
        "fill=\"" SEL_INK "\"");
    sel_svg_label(stand->html, (struct vec2){SIDE - 4.0, 9.0}, 3.0,
        "text-anchor=\"middle\" font-weight=\"700\" fill=\"" SEL_INK "\"", "N");
    sel_svg_rect(stand->html, (struct vec2){0.2, 0.2}, SIDE - 0.4, SIDE - 0.4,
        "fill=\"none\" stroke=\"" SEL_INK "\" stroke-width=\"0.4\"");
}

static void draw(const struct stand *stand) {
    struct sel_text title;
    sel_text_init(&title);
    sel_text_addf(&title,
        "Plan of the trap, true north up: panel along %.0f degrees, head toward %.0f degrees",
        stand->site->panel_true_deg, stand->site->head_true_deg);
    sel_svg_begin(stand->html, "stand", SIDE, SIDE, title.chars ? title.chars : "");
    add_habitats(stand);
    add_clearing(stand);
    add_opening(stand);
    add_flight(stand);
    add_trap(stand);
    if (!isnan(toward_a(stand))) {
        add_letter(stand, toward_a(stand), "a");
        add_letter(stand, toward_a(stand) + 180.0, "b");
    }
    add_margin(stand);
    sel_svg_end(stand->html);
    stand->html->failed = stand->html->failed || title.failed;
    sel_text_clear(&title);
}

// --- in words ---

static void add_axis(struct sel_text *html, double degrees) {
    int end = sel_whole_axis(degrees);
    sel_text_addf(html, "%d\xC2\xB0/%d\xC2\xB0", end, end + 180);
}

static void add_bearings(const struct stand *stand) {
    struct sel_text *html = stand->html;
    const struct sel_site_row *site = stand->site;
    bool compass = !isnan(site->panel_magnetic_deg) && !isnan(site->head_magnetic_deg);
    bool weak = site->head_choice && strcmp(site->head_choice, "weak") == 0;
    sel_text_add(html, "<table class=\"bearings\"><thead><tr><td></td><th scope=\"col\">true</th>"
                       "<th scope=\"col\">compass</th></tr></thead><tbody>"
                       "<tr><th scope=\"row\">panel</th><td>");
    add_axis(html, site->panel_true_deg);
    sel_text_add(html, "</td><td>");
    if (compass)
        add_axis(html, site->panel_magnetic_deg);
    else
        sel_text_add(html, "not known");
    sel_text_addf(html, "</td></tr><tr><th scope=\"row\">head</th><td>%d\xC2\xB0%s</td><td>",
        sel_whole_bearing(site->head_true_deg), weak ? "*" : "");
    if (compass)
        sel_text_addf(html, "%d\xC2\xB0", sel_whole_bearing(site->head_magnetic_deg));
    else
        sel_text_add(html, "not known");
    sel_text_add(html, "</td></tr><tr><th scope=\"row\">flight</th><td>");
    add_axis(html, site->flyway_true_deg);
    sel_text_add(html, "</td><td></td></tr></tbody></table>\n");
}

static void add_words(const struct stand *stand) {
    struct sel_text *html = stand->html;
    const struct sel_site_row *site = stand->site;
    bool weak = site->head_choice && strcmp(site->head_choice, "weak") == 0;
    sel_text_addf(html, "Head to the %s%s. ", sel_compass_name(site->head_true_deg),
        weak ? " (*both ends get about the same light)" : "");
    if (!isnan(site->declination_deg))
        sel_text_addf(html, "Declination %.1f\xC2\xB0. ", sel_round_to(site->declination_deg, 1));
    if (stand->along_m > 0.0)
        sel_text_addf(html, "Outlined: the strip to be cleared, %g by %g&nbsp;m. ", stand->across_m,
            stand->along_m);
    if (stand->opening_m > 0.0)
        sel_text_addf(html, "Dotted: no branches within %g&nbsp;m of the head. ", stand->opening_m);
    sel_text_add(html, "On the ground follow the real edge.");
}

void sel_sheet_add_stand(struct sel_dossier *dossier, const struct sel_site_row *site) {
    struct stand stand = stand_of(dossier, site);
    sel_text_add(dossier->html, "<figure class=\"trap\">\n");
    draw(&stand);
    sel_text_add(dossier->html, "<figcaption>");
    add_bearings(&stand);
    add_words(&stand);
    sel_text_add(dossier->html, "</figcaption>\n</figure>\n");
}
