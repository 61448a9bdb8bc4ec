// SPDX-License-Identifier: MIT
//
// Bearings, walk, habitats and reserves of a card. The checks are in checks.c.
#include "fieldkit/setup_parts.h"

#include <math.h>
#include <string.h>

#include "fieldkit/drawing.h"
#include "fieldkit/markup.h"
#include "fieldkit/tour_words.h"
#include "fieldkit/words.h"
#include "flyway/bearing.h"
#include "output/names.h"

// --- bearings ---

static void add_axis(struct sel_text *html, double degrees) {
    if (isnan(degrees)) {
        sel_text_add(html, "\u2013");
        return;
    }
    int end = sel_whole_axis(degrees);
    sel_add_bearing(html, end);
    sel_text_add(html, " / ");
    sel_add_bearing(html, end + 180);
}

static void add_one(struct sel_text *html, double degrees) {
    if (isnan(degrees))
        sel_text_add(html, "\u2013");
    else
        sel_add_bearing(html, degrees);
}

static void add_bearing_row(
    struct sel_text *html, const char *what, double true_deg, double magnetic_deg, bool axis) {
    sel_text_addf(html, "<tr><td>%s</td><td class=\"num\">", what);
    if (axis)
        add_axis(html, true_deg);
    else
        add_one(html, true_deg);
    sel_text_add(html, "</td><td class=\"num\"><b>");
    if (axis)
        add_axis(html, magnetic_deg);
    else
        add_one(html, magnetic_deg);
    sel_text_add(html, "</b></td></tr>\n");
}

static void add_change(double degrees_a_year, struct sel_text *html) {
    if (isnan(degrees_a_year))
        return;
    sel_text_addf(html, ", changing by %.2f\u00B0 to the %s each year", fabs(degrees_a_year),
        degrees_a_year < 0.0 ? "west" : "east");
}

static void add_north(
    const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site, struct sel_text *html) {
    sel_text_add(html, "<p class=\"soft\">");
    if (isnan(site->row->declination_deg)) {
        sel_text_add(html, "<b>No magnetic bearings:</b> the season lies outside the magnetic "
                           "model\u2019s years (2025 to 2030), or a compass is useless here. Take "
                           "true bearings by GPS or by the sun. ");
    } else {
        sel_text_add(html, "Magnetic north lies ");
        sel_add_turn(html, site->row->declination_deg);
        sel_text_add(html, " of true north (World Magnetic Model 2025, for ");
        sel_add_long_date(html, kit->middle_day);
        add_change(site->annual_change_deg, html);
        sel_text_add(html, "). ");
    }
    if (!isnan(site->convergence_deg)) {
        sel_text_add(html, "Grid north of the map lies ");
        sel_add_turn(html, site->convergence_deg);
        sel_text_add(html, " of true north. ");
    }
    sel_text_add(html, "Keep the compass away from steel.</p>\n");
}

static double to_magnetic(const struct sel_site_row *row, double true_deg) {
    return sel_axis_fold(true_deg - row->declination_deg); // NAN stays NAN
}

static void add_head_choice(const struct sel_site_row *row, struct sel_text *html) {
    bool clear = row->head_choice && strcmp(row->head_choice, "clear") == 0;
    sel_text_addf(html, "<p>Head (H) to the %s: %s</p>\n", sel_compass_name(row->head_true_deg),
        clear ? "that end of the panel gets more light."
              : "a weak choice, both ends get about the same light; look which one is freer.");
}

void sel_card_bearings(
    const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site, struct sel_text *html) {
    const struct sel_site_row *row = site->row;
    sel_text_add(html, "<h2>Bearings</h2>\n<table class=\"bear\"><thead><tr><th></th>"
                       "<th class=\"num\">true</th><th class=\"num\">by compass</th></tr></thead>\n"
                       "<tbody>\n");
    add_bearing_row(html, "head points to", row->head_true_deg, row->head_magnetic_deg, false);
    add_bearing_row(html, "panel stands along", row->panel_true_deg, row->panel_magnetic_deg, true);
    add_bearing_row(html, "edge runs along", row->edge_true_deg,
        isnan(row->declination_deg) ? (double)NAN : to_magnetic(row, row->edge_true_deg), true);
    sel_text_add(html, "</tbody></table>\n");
    add_head_choice(row, html);
    add_north(kit, site, html);
}

// --- walk ---

static void add_way(
    const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site, struct sel_text *html) {
    sel_text_add(html, site->walk_source == SEL_WALK_STRAIGHT ? "It takes " : "About ");
    sel_add_walk(site, html);
    sel_text_add(html, " each way");
    if (site->access != SEL_NO_ACCESS) {
        const struct sel_access_point *point = &kit->access[site->access];
        sel_text_addf(html, " from %s (", point->name);
        sel_add_position(html, point->latitude, point->longitude);
        sel_text_add(html, ")");
    }
    if (!isnan(site->walk_m))
        sel_text_addf(html, ", %.0f m", site->walk_m);
    if (!isnan(site->climb_m))
        sel_text_addf(html, ", %.0f m of climb", site->climb_m);
    sel_text_add(html, site->walk_source == SEL_WALK_STRAIGHT
                           ? ": guessed from the straight line to the nearest access, the real way "
                             "is longer."
                           : ": an estimate.");
}

void sel_card_walk(
    const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site, struct sel_text *html) {
    sel_text_add(html, "<h2>Walk</h2>\n<p>");
    if (site->walk_source == SEL_WALK_UNKNOWN)
        sel_text_add(html, "Not known: the plan names no access.");
    else
        add_way(kit, site, html);
    sel_text_add(html, "</p>\n");
}

// --- habitats ---

static const char *cover_words(double cover) {
    return cover >= 0.7 ? "closed canopy" : cover >= 0.4 ? "half open" : "open";
}

static const char *wetness_words(double wetness) {
    return wetness >= 0.9   ? "wet or water"
           : wetness >= 0.6 ? "wet"
           : wetness >= 0.4 ? "moist"
                            : "dry";
}

static void add_traits(const struct sel_habitat_row *habitat, struct sel_text *html) {
    if (!habitat) {
        sel_text_add(html, "<td colspan=\"4\">not in the file\u2019s habitat table</td>");
        return;
    }
    sel_text_addf(html, "<td>about %.2g m, %s</td><td>%s</td>", habitat->canopy_m,
        cover_words(habitat->cover), wetness_words(habitat->wetness));
    sel_markup_wrap(html, "<td>", habitat->ground, "");
    sel_text_addf(html, "%s</td><td>%s</td>", habitat->support == 1 ? ", stems to tie to" : "",
        habitat->trap == 1 ? "yes" : "<b>no</b>");
}

static void add_habitat(struct sel_text *html, const char *side, const char *name,
    const struct sel_habitat_row *habitat, double depth_m, double toward_deg) {
    char code[8];
    sel_fieldkit_colour(habitat ? habitat->colour : NULL, code);
    sel_text_addf(
        html, "<tr><td><span class=\"sw\" style=\"background:%s\"></span><b>%s</b> ", code, side);
    sel_markup_name(html, sel_fieldkit_habitat(name));
    sel_text_addf(html, "</td><td>%s</td>", isnan(toward_deg) ? "" : sel_compass_name(toward_deg));
    add_traits(habitat, html);
    sel_text_addf(html, "<td class=\"num\">%.0f m</td></tr>\n", depth_m);
}

void sel_card_habitats(const struct sel_fieldkit_site *site, struct sel_text *html) {
    const struct sel_site_row *row = site->row;
    sel_text_add(html,
        "<h2>What it should look like</h2>\n<table class=\"look\"><thead><tr><th>side</th>"
        "<th>lies to the</th><th>vegetation</th><th>soil</th><th>ground</th><th>trap here</th>"
        "<th class=\"num\">depth</th></tr>"
        "</thead>\n<tbody>\n");
    double toward_a =
        isnan(site->toward_b_deg) ? (double)NAN : sel_bearing_fold(site->toward_b_deg + 180.0);
    add_habitat(html, "a", row->habitat_a, site->a, row->depth_a_m, toward_a);
    add_habitat(html, "b", row->habitat_b, site->b, row->depth_b_m, site->toward_b_deg);
    sel_text_add(html, "</tbody></table>\n");
}

// --- reserves ---

static void add_reserve(const struct sel_fieldkit *kit, const struct sel_fieldkit_site *from,
    const struct sel_fieldkit_site *to, struct sel_text *html) {
    struct vec2 way = {
        (to->row->x - from->row->x) * kit->metres, (from->row->y - to->row->y) * kit->metres};
    sel_markup_wrap(html, "<b>", sel_fieldkit_id(to), "</b>");
    sel_text_addf(html, ", %.0f m ", vec2_length(way));
    if (!isnan(from->convergence_deg)) {
        double bearing = sel_bearing_fold(sel_bearing_of(way) + from->convergence_deg);
        sel_text_addf(html, "to the %s (", sel_compass_name(bearing));
        sel_add_bearing(html, bearing);
        sel_text_add(html, " true) ");
    }
    sel_text_add(html, "at <span class=\"mono\">");
    sel_add_position(html, to->row->latitude, to->row->longitude);
    sel_text_add(html, "</span>");
}

void sel_card_reserves(
    const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site, struct sel_text *html) {
    const char *before = "<p><b>One no in bold, or three in all: move to the "
                         "reserve</b> ";
    if (site->row->reserve_for) {
        sel_text_add(html, "<p><b>One no in bold, or three in all: do not set up "
                           "here;</b> report back, so that another place can be chosen.</p>\n");
        return;
    }
    for (size_t i = 0; i < kit->site_count; i++) {
        if (kit->sites[i].primary != site)
            continue;
        sel_text_add(html, before);
        add_reserve(kit, site, &kit->sites[i], html);
        before = ", or ";
    }
    bool none = before[0] == '<';
    sel_text_add(html, none ? "<p><b>One no in bold, or three in all: do not set up "
                              "here.</b> There is no reserve.</p>\n"
                            : ".</p>\n");
}
