// SPDX-License-Identifier: MIT
//
// The facts of a site: coordinates in three ways, land, clearing, water, the way in.
#include <math.h>
#include <string.h>

#include "dossier/html.h"
#include "dossier/parts.h"
#include "output/duration.h"
#include "survey/flood.h"

enum { NAME_MOST = 60, ZONE_MOST = 110 };

static void begin(struct sel_text *html, const char *label) {
    sel_text_addf(html, "<dt>%s</dt><dd>", label);
}

static void end(struct sel_text *html) {
    sel_text_add(html, "</dd>\n");
}

// --- where ---

static void add_degrees(struct sel_text *html, double degrees, const char *letters) {
    sel_text_addf(html, "%.5f\xC2\xB0&nbsp;%c", fabs(degrees), letters[degrees < 0.0]);
}

// Whole degrees and minutes to a thousandth, rounded together: 59.9996' becomes the next degree.
static void add_minutes(struct sel_text *html, double degrees, const char *letters) {
    double thousandths = round(fabs(degrees) * 60000.0);
    double whole = floor(thousandths / 60000.0);
    sel_text_addf(html, "%.0f\xC2\xB0&nbsp;%06.3f\xE2\x80\xB2&nbsp;%c", whole,
        (thousandths - 60000.0 * whole) / 1000.0, letters[degrees < 0.0]);
}

static void add_coordinates(struct sel_dossier *dossier, const struct sel_site_row *site) {
    struct sel_text *html = dossier->html;
    begin(html, "Position");
    add_degrees(html, site->latitude, "NS");
    sel_text_add(html, ", ");
    add_degrees(html, site->longitude, "EW");
    sel_text_add(html, " (WGS&nbsp;84)");
    end(html);
    begin(html, "Degrees, minutes");
    add_minutes(html, site->latitude, "NS");
    sel_text_add(html, ", ");
    add_minutes(html, site->longitude, "EW");
    end(html);
    begin(html, "Survey grid");
    sel_text_addf(html, "%.1f, %.1f (", site->x, site->y);
    sel_html_name_within(html, dossier->crs, 40);
    sel_text_add(html, ")");
    end(html);
    begin(html, "Good to");
    sel_html_number(html, ceil(site->coordinate_uncertainty_m), 0, "m");
    if (!isnan(site->elevation_m)) {
        sel_text_add(html, "; elevation ");
        sel_html_number(html, site->elevation_m, 0, "m");
    }
    end(html);
}

// --- land ---

static void add_land(struct sel_dossier *dossier, const struct sel_site_row *site) {
    struct sel_text *html = dossier->html;
    begin(html, "Parcel, owner");
    sel_html_name_within(html, site->parcel, NAME_MOST);
    sel_text_add(html, ", ");
    sel_html_name_within(html, site->owner_ref, NAME_MOST);
    end(html);
    begin(html, "Zones");
    if (site->zone && site->zone[0])
        sel_html_name_within(html, site->zone, ZONE_MOST);
    else
        sel_text_add(html, "none");
    end(html);
}

static void add_clearing(struct sel_dossier *dossier, const struct sel_site_row *site) {
    struct sel_text *html = dossier->html;
    double area = sel_dossier_clearing_m2(dossier);
    begin(html, "Clearing");
    if (site->clearing == 0)
        sel_text_add(html, "<strong>none: a zone forbids it</strong>");
    else if (site->clearing == SEL_UNSAID)
        sel_html_name(html, NULL);
    else if (!(area > 0.0))
        sel_text_add(html, "none asked for; no zone forbids it");
    else
        sel_text_addf(html,
            "%g by %g&nbsp;m a trap, %.4g&nbsp;m\xC2\xB2 in all; no zone forbids it",
            dossier->permit.clearing_m[0], dossier->permit.clearing_m[1],
            area * dossier->permit.traps_per_site);
    end(html);
}

static void add_water(struct sel_dossier *dossier, const struct sel_site_row *site) {
    struct sel_text *html = dossier->html;
    begin(html, "Open water");
    if (isnan(site->water_m)) {
        sel_text_add(html, "none found on the map near the site");
    } else {
        sel_html_number(html, site->water_m, 0, "m");
        sel_text_addf(html, " away, %.1f&nbsp;m %s the site", fabs(site->above_water_m),
            site->above_water_m < 0.0 ? "above" : "below");
        if (sel_may_flood(site->water_m, site->above_water_m))
            sel_text_add(html, ": <strong>may flood</strong>");
    }
    end(html);
}

// --- the way in, the stand ---

static void add_walk(struct sel_text *html, const struct sel_site_row *site) {
    sel_text_add(html, "; on foot ");
    sel_add_duration(html, site->walk_min);
    if (!isnan(site->walk_m))
        sel_text_addf(html, " over %.0f&nbsp;m of way", site->walk_m);
    if (!isnan(site->climb_m))
        sel_text_addf(html, " with %.0f&nbsp;m of climb", site->climb_m);
    sel_text_add(html, ", mean of out and back, estimated");
}

static void add_start(struct sel_text *html, const struct sel_site_row *site) {
    if (isnan(site->access_latitude) || isnan(site->access_longitude))
        return;
    sel_text_add(html, isnan(site->walk_min) ? ". That place: " : ". The walk begins at ");
    add_degrees(html, site->access_latitude, "NS");
    sel_text_add(html, ", ");
    add_degrees(html, site->access_longitude, "EW");
}

static void add_way(struct sel_dossier *dossier, const struct sel_site_row *site) {
    struct sel_text *html = dossier->html;
    begin(html, "The way in");
    if (isnan(site->access_m)) {
        sel_text_add(html, "no access layer was given");
    } else {
        sel_html_number(html, site->access_m, 0, "m");
        sel_text_add(html, " from the nearest access, in a straight line");
    }
    if (!isnan(site->walk_min))
        add_walk(html, site);
    else if (!isnan(site->access_m))
        sel_text_add(html, "; the walk will be longer, and its time is not in this file");
    add_start(html, site);
    end(html);
}

static void add_stand(struct sel_dossier *dossier, const struct sel_site_row *site) {
    struct sel_text *html = dossier->html;
    begin(html, "To bring");
    sel_text_addf(html, "%s; %s",
        sel_yes_or_no(site->support, "no poles: stems to tie to are near",
            "poles: no stems to tie to", "poles, in case no stems stand near"),
        sel_yes_or_no(site->shade, "shade for the bottle, never for the upper head",
            "no shade needed", "shade for the bottle, in case it is hot"));
    end(html);
}

void sel_sheet_add_facts(struct sel_dossier *dossier, const struct sel_site_row *site) {
    sel_text_add(dossier->html, "<dl class=\"facts\">\n");
    add_coordinates(dossier, site);
    add_land(dossier, site);
    add_clearing(dossier, site);
    add_water(dossier, site);
    add_way(dossier, site);
    add_stand(dossier, site);
    sel_text_add(dossier->html, "</dl>\n");
}
