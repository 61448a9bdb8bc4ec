// SPDX-License-Identifier: MIT
//
// One page per site. What would make a page too long (names, rivals, reserves) is cut short here
// and told in full elsewhere in the document or in the GeoPackage.
#include <inttypes.h>
#include <math.h>

#include "dossier/html.h"
#include "dossier/parts.h"
#include "output/names.h"

enum { NAME_MOST = 40, NOTES_MOST = 180 };

// --- heading ---

static void add_heading(struct sel_dossier *dossier, const struct sel_site_row *site) {
    struct sel_text *html = dossier->html;
    char anchor[SEL_SITE_ANCHOR_SIZE];
    sel_site_anchor(site, anchor);
    sel_text_addf(html,
        "<section class=\"sheet site\" id=\"%s\" aria-labelledby=\"%s-head\">\n<header>"
        "<span class=\"badge\" title=\"rank\">%" PRId64 "</span><div><h2 id=\"%s-head\">Site ",
        anchor, anchor, site->rank, anchor);
    sel_html_name_within(html, site->site, 16);
    sel_text_add(html, "</h2><p>Edge between ");
    sel_html_name_within(html, site->habitat_a, NAME_MOST);
    sel_text_add(html, " (side a) and ");
    sel_html_name_within(html, site->habitat_b, NAME_MOST);
    sel_text_addf(html,
        " (side b)</p></div><p class=\"score\">rank %" PRId64 " of %" PRId64
        "<br>score <strong>%.3f</strong> of 1<br><a class=\"screen\" href=\"#map\">to the map</a>"
        "</p></header>\n",
        site->rank, dossier->primaries, site->score);
}

// --- reserves ---

static void add_reserve(struct sel_dossier *dossier, const struct sel_site_row *site,
    const struct sel_site_row *reserve) {
    struct sel_text *html = dossier->html;
    double east = (reserve->x - site->x) * dossier->metres;
    double north = (reserve->y - site->y) * dossier->metres;
    double bearing =
        atan2(east, north) * 57.29577951308232 + sel_dossier_convergence(dossier, site);
    sel_text_add(html, "<tr><th scope=\"row\">");
    sel_html_name_within(html, reserve->site, 16);
    sel_text_add(html, "</th><td>");
    sel_html_name_within(html, reserve->habitat_a, 24);
    sel_text_add(html, " | ");
    sel_html_name_within(html, reserve->habitat_b, 24);
    sel_text_addf(html,
        "</td><td class=\"n\">%.3f</td><td>%.0f&nbsp;m %s</td><td class=\"n\">%.5f, %.5f</td><td>",
        reserve->score, hypot(east, north), sel_compass_name(bearing), reserve->latitude,
        reserve->longitude);
    sel_html_name_within(html, reserve->parcel, 20);
    sel_text_add(html, reserve->clearing == 0 ? "; no clearing" : "");
    sel_text_add(html, "</td></tr>\n");
}

static void add_reserves(struct sel_dossier *dossier, const struct sel_site_row *site) {
    struct sel_text *html = dossier->html;
    const struct sel_package *package = dossier->package;
    int shown = 0;
    for (size_t i = 0; i < package->site_count; i++) {
        const struct sel_site_row *row = &package->sites[i];
        if (row->rank != site->rank || sel_is_primary(row))
            continue;
        if (shown++ == 0)
            sel_html_begin_table(html, "reserves",
                "reserve|edge between|#score|from the site|#latitude, longitude|parcel");
        add_reserve(dossier, site, row);
    }
    if (shown > 0)
        sel_html_end_table(html);
    else
        sel_text_add(html, "<p>There is no reserve for this site.</p>\n");
}

// --- all of it ---

static void add_notes(struct sel_text *html, const struct sel_site_row *site) {
    if (!site->notes || !site->notes[0])
        return;
    sel_text_add(html, "<p><strong>Heed:</strong> ");
    sel_html_name_within(html, site->notes, NOTES_MOST);
    sel_text_add(html, ".</p>\n");
}

static sel_status add_place(struct sel_dossier *dossier, const struct sel_site_row *site) {
    struct sel_text *html = dossier->html;
    sel_text_add(html, "<div class=\"place\">\n");
    sel_status status = sel_sheet_add_close_up(dossier, site);
    sel_text_add(html, "<div>\n");
    sel_sheet_add_facts(dossier, site);
    add_notes(html, site);
    sel_sheet_add_rivals(dossier, site);
    sel_text_add(html, "</div>\n</div>\n");
    return status;
}

sel_status sel_dossier_add_sheet(struct sel_dossier *dossier, const struct sel_site_row *site) {
    struct sel_text *html = dossier->html;
    add_heading(dossier, site);
    sel_status status = add_place(dossier, site);
    sel_text_add(html, "<div class=\"stand\">\n");
    sel_sheet_add_stand(dossier, site);
    sel_sheet_add_sun(dossier, site);
    sel_text_add(html, "</div>\n");
    sel_sheet_add_profile(dossier, site);
    sel_sheet_add_criteria(dossier, site);
    add_reserves(dossier, site);
    sel_text_add(html,
        "<p class=\"prevail\">Look at the place before a trap goes up. Local rules and "
        "licensed practice stand above this sheet.</p>\n</section>\n");
    return status;
}
