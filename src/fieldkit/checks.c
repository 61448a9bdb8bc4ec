// SPDX-License-Identifier: MIT
//
// What to look for on site, as questions that are answered yes where all is well. Common practice,
// no source; the numbers beside them are the file's.
#include <math.h>

#include "fieldkit/markup.h"
#include "fieldkit/setup_parts.h"
#include "survey/flood.h"

static void begin_check(struct sel_text *html, bool decisive, const char *question) {
    sel_text_addf(html, "<tr><td>%s%s%s ", decisive ? "<b>" : "", question, decisive ? "</b>" : "");
}

static void end_check(struct sel_text *html) {
    sel_text_add(html, "</td><td class=\"box\"></td><td class=\"box\"></td></tr>\n");
}

static void add_check(struct sel_text *html, bool decisive, const char *question) {
    begin_check(html, decisive, question);
    end_check(html);
}

static void ask_permission(const struct sel_site_row *row, struct sel_text *html) {
    begin_check(html, true, "May a trap stand here: landowner and authority have agreed?");
    if (row->zone && row->zone[0])
        sel_markup_wrap(html, "Zone: <bdi>", row->zone, "</bdi>.");
    if (row->clearing == 0)
        sel_text_add(html, " Nothing may be cut here.");
    end_check(html);
}

static void ask_stems(const struct sel_site_row *row, struct sel_text *html) {
    begin_check(html, false, "Stems or poles for both ends of the panel?");
    sel_text_add(html, row->support == 1 ? "The map says there are stems."
                                         : "The map says there are none: bring poles.");
    end_check(html);
}

static void ask_level(const struct sel_fieldkit_site *site, struct sel_text *html) {
    begin_check(html, false, "Level ground along the panel, safe to stand on?");
    if (!isnan(site->row->slope_deg))
        sel_text_addf(html, "Slope by the map %.0f\u00B0.", site->row->slope_deg);
    if (site->sand || site->rock)
        sel_text_addf(html, " %s: bring ballast.", site->sand ? "Sand" : "Rock");
    end_check(html);
}

static void ask_light(const struct sel_site_row *row, struct sel_text *html) {
    begin_check(html, false, "Head in the light, no branch above it?");
    if (!isnan(row->sun_hours))
        sel_text_addf(html, "About %.1f h of sun a day by the map%s.", row->sun_hours,
            row->shade == 1 ? ": shade the bottle, not the head" : "");
    end_check(html);
}

static double wetness_of(const struct sel_habitat_row *habitat) {
    return habitat ? habitat->wetness : (double)NAN;
}

static void ask_water(const struct sel_fieldkit_site *site, struct sel_text *html) {
    const struct sel_site_row *row = site->row;
    begin_check(html, true, "Above any water that can rise?");
    if (!isnan(row->water_m) && !isnan(row->above_water_m))
        sel_text_addf(html, "Open water %.0f m away, %.1f m %s.", row->water_m,
            fabs(row->above_water_m), row->above_water_m < 0.0 ? "higher" : "lower");
    else
        sel_text_add(html, "The map shows no open water near.");
    if (sel_may_flood(row->water_m, row->above_water_m))
        sel_text_add(html, " <b>It may flood.</b>");
    if (sel_water_is_unmapped(row->water_m, wetness_of(site->a), wetness_of(site->b)))
        sel_text_add(html, " <b>A wet habitat: expect water that the map lacks.</b>");
    end_check(html);
}

void sel_card_checks(const struct sel_fieldkit_site *site, struct sel_text *html) {
    const struct sel_site_row *row = site->row;
    sel_text_add(html,
        "<h2>Check on site</h2>\n<table class=\"yes\"><thead><tr><th></th>"
        "<th class=\"box\">yes</th><th class=\"box\">no</th></tr></thead>\n<tbody>\n");
    ask_permission(row, html);
    add_check(html, true, "Is the edge here, with these two habitats on its sides?");
    ask_stems(row, html);
    ask_level(site, html);
    add_check(html, false, "Panel clear: nothing touches it, flight free on both sides?");
    ask_light(row, html);
    ask_water(site, html);
    add_check(html, false, "Out of reach of livestock, out of sight of paths?");
    sel_text_add(html, "</tbody></table>\n");
    if (row->notes && row->notes[0])
        sel_markup_wrap(html, "<p class=\"soft\">From the map: <bdi>", row->notes, "</bdi>.</p>\n");
}
