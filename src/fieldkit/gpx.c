// SPDX-License-Identifier: MIT
//
// GPX 1.1 as its schema orders elements: metadata, wpt, trk; in a waypoint ele, magvar, name, cmt,
// desc, type. Names are ASCII and at most ten characters, for handsets with short lists. Longitudes
// are -180 <= l < 180 and magvar 0 <= m < 360 degrees, as the schema's types ask.
#include "fieldkit/gpx.h"

#include <math.h>

#include "fieldkit/markup.h"
#include "fieldkit/tour_words.h"
#include "fieldkit/words.h"

static double gpx_longitude(double longitude) {
    return longitude >= 180.0 ? longitude - 360.0 : longitude;
}

// --- metadata ---

struct bounds {
    double south, west, north, east;
};

static struct bounds bounds_of(const struct sel_fieldkit *kit) {
    struct bounds bounds = {90.0, 180.0, -90.0, -180.0};
    for (size_t i = 0; i < kit->site_count; i++) {
        double latitude = kit->sites[i].row->latitude;
        double longitude = gpx_longitude(kit->sites[i].row->longitude);
        bounds.south = fmin(bounds.south, latitude);
        bounds.north = fmax(bounds.north, latitude);
        bounds.west = fmin(bounds.west, longitude);
        bounds.east = fmax(bounds.east, longitude);
    }
    for (size_t i = 0; i < kit->access_count; i++) {
        bounds.south = fmin(bounds.south, kit->access[i].latitude);
        bounds.north = fmax(bounds.north, kit->access[i].latitude);
        bounds.west = fmin(bounds.west, gpx_longitude(kit->access[i].longitude));
        bounds.east = fmax(bounds.east, gpx_longitude(kit->access[i].longitude));
    }
    return bounds;
}

static void add_metadata(const struct sel_fieldkit *kit, struct sel_text *gpx) {
    struct bounds bounds = bounds_of(kit);
    sel_text_add(gpx, "  <metadata>\n");
    sel_markup_wrap(gpx, "    <name>", kit->title, "</name>\n");
    sel_text_add(gpx, "    <desc>Sites for flight traps, their reserves and where the walks begin. "
                      "Positions come from maps: look at each place before a trap goes up, and ask "
                      "for permission first.</desc>\n");
    sel_markup_wrap(gpx, "    <time>", kit->written, "</time>\n");
    sel_text_addf(gpx,
        "    <bounds minlat=\"%.7f\" minlon=\"%.7f\" maxlat=\"%.7f\" maxlon=\"%.7f\"/>\n",
        bounds.south, bounds.west, bounds.north, bounds.east);
    sel_text_add(gpx, "  </metadata>\n");
}

// --- waypoints ---

static void begin_point(
    struct sel_text *gpx, const char *element, double latitude, double longitude) {
    sel_text_addf(
        gpx, "<%s lat=\"%.7f\" lon=\"%.7f\">", element, latitude, gpx_longitude(longitude));
}

static void add_magvar(struct sel_text *gpx, double declination_deg) {
    if (isnan(declination_deg))
        return;
    double hundredths = round(declination_deg * 100.0);
    double folded = fmod(hundredths + 36000.0, 36000.0);
    sel_text_addf(gpx, "    <magvar>%.2f</magvar>\n", folded / 100.0);
}

static void add_trap(const struct sel_site_row *row, struct sel_text *gpx) {
    sel_text_add(gpx, "Panel ");
    sel_add_bearing(gpx, row->panel_true_deg);
    sel_text_add(gpx, ", head to ");
    sel_add_bearing(gpx, row->head_true_deg);
    sel_text_add(gpx, " true");
    if (!isnan(row->head_magnetic_deg)) {
        sel_text_add(gpx, "; by compass ");
        sel_add_bearing(gpx, row->panel_magnetic_deg);
        sel_text_add(gpx, ", ");
        sel_add_bearing(gpx, row->head_magnetic_deg);
    }
    sel_text_add(gpx, ". ");
}

static void add_walk(
    const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site, struct sel_text *gpx) {
    if (site->walk_source == SEL_WALK_UNKNOWN)
        return;
    sel_text_add(gpx, "Walk ");
    sel_add_walk(site, gpx);
    if (site->access != SEL_NO_ACCESS)
        sel_text_addf(gpx, " from %s", kit->access[site->access].name);
    sel_text_add(gpx, site->walk_source == SEL_WALK_STRAIGHT
                          ? " one way, guessed from the straight line. "
                          : " one way, an estimate. ");
}

static void add_description(
    const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site, struct sel_text *gpx) {
    const struct sel_site_row *row = site->row;
    sel_text_add(gpx, "    <desc>");
    if (row->reserve_for)
        sel_markup_wrap(gpx, "Reserve for ", row->reserve_for, ". ");
    sel_markup_add(gpx, sel_fieldkit_habitat(row->habitat_a));
    sel_markup_wrap(gpx, " | ", sel_fieldkit_habitat(row->habitat_b), ". ");
    add_trap(row, gpx);
    add_walk(kit, site, gpx);
    sel_text_addf(gpx, "Good to %.0f m.", ceil(row->coordinate_uncertainty_m));
    if (row->notes && row->notes[0])
        sel_markup_wrap(gpx, " ", row->notes, ".");
    sel_text_add(gpx, "</desc>\n");
}

static void add_site(
    const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site, struct sel_text *gpx) {
    const struct sel_site_row *row = site->row;
    sel_text_add(gpx, "  ");
    begin_point(gpx, "wpt", row->latitude, row->longitude);
    sel_text_add(gpx, "\n");
    if (!isnan(row->elevation_m))
        sel_text_addf(gpx, "    <ele>%.1f</ele>\n", row->elevation_m);
    add_magvar(gpx, row->declination_deg);
    sel_markup_wrap(gpx, "    <name>", sel_fieldkit_id(site), "</name>\n");
    sel_text_add(gpx, "    <cmt>");
    if (row->reserve_for)
        sel_markup_wrap(gpx, "reserve for ", row->reserve_for, "");
    else
        sel_text_addf(gpx, "rank %lld, round %d", (long long)row->rank, site->round + 1);
    sel_text_add(gpx, "</cmt>\n");
    add_description(kit, site, gpx);
    sel_text_addf(gpx, "    <type>%s</type>\n  </wpt>\n", row->reserve_for ? "reserve" : "site");
}

// Of an access point: where a walk that begins there begins; NAN: no walk tells.
static double height_of(const struct sel_fieldkit *kit, int access) {
    for (size_t i = 0; i < kit->site_count; i++) {
        const struct sel_walk_line *walk = &kit->sites[i].walk;
        if (kit->sites[i].access == access && walk->count > 0 && isfinite(walk->elevation_m[0]))
            return walk->elevation_m[0];
    }
    return (double)NAN;
}

static void add_access(
    const struct sel_fieldkit *kit, const struct sel_access_point *point, struct sel_text *gpx) {
    const char *between = "";
    sel_text_add(gpx, "  ");
    begin_point(gpx, "wpt", point->latitude, point->longitude);
    sel_text_add(gpx, "\n");
    double height_m = height_of(kit, (int)(point - kit->access));
    if (isfinite(height_m))
        sel_text_addf(gpx, "    <ele>%.1f</ele>\n", height_m);
    sel_text_addf(gpx, "    <name>%s</name>\n    <cmt>access point</cmt>\n", point->name);
    sel_text_add(gpx, "    <desc>The walk begins here to ");
    for (size_t i = 0; i < kit->site_count; i++) {
        int access = kit->sites[i].access;
        if (access == SEL_NO_ACCESS || &kit->access[access] != point)
            continue;
        sel_markup_wrap(gpx, between, sel_fieldkit_id(&kit->sites[i]), "");
        between = ", ";
    }
    sel_text_add(gpx, ".</desc>\n    <type>access</type>\n  </wpt>\n");
}

// --- tracks ---

static void add_track(
    const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site, struct sel_text *gpx) {
    const struct sel_walk_line *walk = &site->walk;
    if (walk->count < 2)
        return;
    sel_markup_wrap(gpx, "  <trk>\n    <name>W", sel_fieldkit_id(site), "</name>\n");
    sel_text_add(gpx, "    <desc>");
    add_walk(kit, site, gpx);
    sel_text_add(gpx, "The least time over the map's ground: fences, crops and water may be in the "
                      "way.</desc>\n    <type>walk</type>\n    <trkseg>\n");
    for (size_t i = 0; i < walk->count; i++) {
        sel_text_add(gpx, "      ");
        begin_point(gpx, "trkpt", walk->latitude[i], walk->longitude[i]);
        if (isfinite(walk->elevation_m[i]))
            sel_text_addf(gpx, "<ele>%.1f</ele>", walk->elevation_m[i]);
        sel_text_add(gpx, "</trkpt>\n");
    }
    sel_text_add(gpx, "    </trkseg>\n  </trk>\n");
}

void sel_fieldkit_gpx(const struct sel_fieldkit *kit, struct sel_text *gpx) {
    sel_text_addf(gpx,
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
        "<gpx version=\"1.1\" creator=\"selvedge %s\" "
        "xmlns=\"http://www.topografix.com/GPX/1/1\">\n",
        sel_version());
    add_metadata(kit, gpx);
    for (size_t i = 0; i < kit->site_count; i++)
        add_site(kit, &kit->sites[i], gpx);
    for (size_t i = 0; i < kit->access_count; i++)
        add_access(kit, &kit->access[i], gpx);
    for (size_t i = 0; i < kit->site_count; i++)
        add_track(kit, &kit->sites[i], gpx);
    sel_text_add(gpx, "</gpx>\n");
}
