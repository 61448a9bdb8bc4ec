// SPDX-License-Identifier: MIT
//
// The sun's way over a site: the sky as a disc, north up, the zenith in the middle and the
// horizontal at the rim (equidistant azimuthal), with the ground's and the canopy's horizon and the
// sun on the season's first, middle and last day.
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "dossier/html.h"
#include "dossier/parts.h"
#include "dossier/sun_day.h"
#include "dossier/svg.h"
#include "terrain/sun_position.h"

static const double SIDE = 50.0, RADIUS = 21.6; // mm
enum { DAYS = 3, RING_DEG = 30, SKYLINE_POINTS = 144, POINTS_MOST = SKYLINE_POINTS + 1 };

struct sky {
    struct sel_text *html;
    const struct sel_dossier *dossier;
    const struct sel_site_row *site;
    struct sel_sun_horizon horizon;
    struct sel_date dates[DAYS];
    struct sel_sun_day days[DAYS];
};

static struct vec2 on_sky(double azimuth_deg, double elevation_deg) {
    double from_zenith = RADIUS * (90.0 - fmin(90.0, fmax(0.0, elevation_deg))) / 90.0;
    return sel_svg_toward((struct vec2){0.5 * SIDE, 0.5 * SIDE}, azimuth_deg, from_zenith);
}

// --- data ---

static struct sel_sun_horizon horizon_of(
    const struct sel_dossier *dossier, const struct sel_site_row *site) {
    struct sel_row_span rows = dossier->horizon_rows[sel_dossier_index(dossier, site)];
    return (struct sel_sun_horizon){dossier->horizon + rows.first, rows.count};
}

static void fill(struct sky *sky) {
    const struct sel_dossier *dossier = sky->dossier;
    double first = sel_julian_day(dossier->from, 0.0);
    for (int i = 0; i < DAYS; i++) {
        double day = floor((double)(dossier->days - 1) * i / 2.0);
        sky->dates[i] = sel_date_of_julian_day(first + day);
        sel_sun_day_of(
            sky->dates[i], sky->site->latitude, sky->site->longitude, &sky->horizon, &sky->days[i]);
    }
}

// --- the sky and what stands in it ---

static void add_rings(const struct sky *sky) {
    struct vec2 centre = {0.5 * SIDE, 0.5 * SIDE};
    sel_svg_circle(sky->html, centre, RADIUS, "fill=\"#eaf1f6\"");
}

static void add_grid(const struct sky *sky) {
    struct vec2 centre = {0.5 * SIDE, 0.5 * SIDE};
    for (int ring = RING_DEG; ring < 90; ring += RING_DEG)
        sel_svg_circle(sky->html, centre, RADIUS * (90.0 - ring) / 90.0,
            "fill=\"none\" stroke=\"#7b8794\" stroke-width=\"0.15\"");
    for (int azimuth = 0; azimuth < 180; azimuth += 45)
        sel_svg_line(sky->html, on_sky(azimuth, 0.0), on_sky(azimuth + 180.0, 0.0),
            "stroke=\"#7b8794\" stroke-width=\"0.12\"");
}

// Between the rim and a skyline.
static void add_skyline(const struct sky *sky, bool canopy, sel_svg_look look) {
    struct sel_text *html = sky->html;
    sel_text_addf(html, "<path %s fill-rule=\"evenodd\" d=\"", look);
    for (int i = 0; i < SKYLINE_POINTS; i++)
        sel_svg_point(html, i == 0 ? 'M' : 'L', on_sky(360.0 * i / SKYLINE_POINTS, 0.0));
    sel_text_add(html, "Z");
    for (int i = 0; i < SKYLINE_POINTS; i++) {
        double azimuth = 360.0 * i / SKYLINE_POINTS;
        struct sel_skyline line = sel_skyline_at(&sky->horizon, azimuth);
        sel_svg_point(html, i == 0 ? 'M' : 'L',
            on_sky(azimuth, canopy ? fmax(line.canopy_deg, line.ground_deg) : line.ground_deg));
    }
    sel_text_add(html, "Z\"/>\n");
}

// --- the sun ---

enum light { HIDDEN, DIMMED, FULL };

static enum light light_of(const struct sel_sun_moment *moment) {
    return moment->through <= 0.0 ? HIDDEN : moment->through < 1.0 ? DIMMED : FULL;
}

static void put_run(
    const struct sky *sky, const struct vec2 *points, size_t count, enum light light) {
    static const char *const LOOKS[] = {
        "class=\"sun hidden\" fill=\"none\" stroke=\"#ffffff\" stroke-width=\"0.25\" "
        "stroke-dasharray=\"0.5 0.8\"",
        "class=\"sun dimmed\" fill=\"none\" stroke=\"#a85400\" stroke-width=\"0.35\" "
        "stroke-dasharray=\"1 0.7\"",
        "class=\"sun full\" fill=\"none\" stroke=\"#a85400\" stroke-width=\"0.8\"",
    };
    if (count > 1)
        sel_svg_shape(sky->html, points, count, false, LOOKS[light]);
}

// The way of one day, in runs of like light.
static void add_path(const struct sky *sky, const struct sel_sun_day *day) {
    struct vec2 points[SEL_SUN_STEPS + 1];
    size_t count = 0;
    enum light light = HIDDEN;
    for (int i = 0; i < SEL_SUN_STEPS; i++) {
        const struct sel_sun_moment *moment = &day->moments[i];
        bool up = moment->elevation_deg > 0.0;
        struct vec2 at = on_sky(moment->azimuth_deg, moment->elevation_deg);
        if (up && count > 0 && light_of(moment) != light) {
            points[count++] = at;
            put_run(sky, points, count, light);
            count = 0;
        } else if (!up) {
            put_run(sky, points, count, light);
            count = 0;
        }
        if (up) {
            light = light_of(moment);
            points[count++] = at;
        }
    }
    put_run(sky, points, count, light);
}

static void add_sign(const struct sky *sky, int which, struct vec2 at) {
    struct vec2 triangle[] = {
        {at.x, at.y - 0.9}, {at.x + 0.9, at.y + 0.7}, {at.x - 0.9, at.y + 0.7}};
    sel_svg_look look = "fill=\"#ffffff\" stroke=\"#a85400\" stroke-width=\"0.35\"";
    if (which == 0)
        sel_svg_circle(sky->html, at, 0.75, look);
    else if (which == 1)
        sel_svg_rect(sky->html, (struct vec2){at.x - 0.7, at.y - 0.7}, 1.4, 1.4, look);
    else
        sel_svg_shape(sky->html, triangle, 3, true, look);
}

// A sign at 6, 9, 12, 15 and 18 o'clock, and the hour beside the middle day's.
static void add_hours(const struct sky *sky, int which) {
    for (int hour = 6; hour <= 18; hour += 3) {
        const struct sel_sun_moment *moment = &sky->days[which].moments[hour * SEL_SUN_STEPS / 24];
        if (moment->elevation_deg <= 0.0)
            continue;
        struct vec2 at = on_sky(moment->azimuth_deg, moment->elevation_deg);
        add_sign(sky, which, at);
        if (which != 1)
            continue;
        char label[8];
        snprintf(label, sizeof label, "%d", hour);
        struct vec2 beside = on_sky(moment->azimuth_deg, moment->elevation_deg + 8.0);
        sel_svg_label(sky->html, (struct vec2){beside.x, beside.y + 0.8}, 2.2,
            "class=\"hour\" text-anchor=\"middle\" fill=\"" SEL_INK "\" stroke=\"#ffffff\" "
            "stroke-width=\"0.5\" paint-order=\"stroke\"",
            label);
    }
}

static void add_frame(const struct sky *sky) {
    static const char *const POINTS[] = {"N", "E", "S", "W"};
    struct vec2 centre = {0.5 * SIDE, 0.5 * SIDE};
    sel_svg_circle(
        sky->html, centre, RADIUS, "fill=\"none\" stroke=\"" SEL_INK "\" stroke-width=\"0.35\"");
    for (int i = 0; i < 4; i++) {
        struct vec2 at = sel_svg_toward(centre, 90.0 * i, RADIUS + 1.9);
        sel_svg_label(sky->html, (struct vec2){at.x, at.y + 1.0}, 2.8,
            "text-anchor=\"middle\" font-weight=\"700\" fill=\"" SEL_INK "\"", POINTS[i]);
    }
}

static void add_title(const struct sky *sky, struct sel_text *title) {
    sel_text_addf(title, "The sun's way over the site: hours of sun %.1f, %.1f and %.1f on ",
        sky->days[0].hours_through, sky->days[1].hours_through, sky->days[2].hours_through);
    for (int i = 0; i < DAYS; i++)
        sel_text_addf(title, "%s%04d-%02d-%02d", i == 0 ? "" : ", ", sky->dates[i].year,
            sky->dates[i].month, sky->dates[i].day);
}

static void draw(const struct sky *sky) {
    struct sel_text title;
    sel_text_init(&title);
    add_title(sky, &title);
    sel_svg_begin(sky->html, "sky", SIDE, SIDE, title.chars ? title.chars : "");
    add_rings(sky);
    add_skyline(sky, true,
        "class=\"canopy\" fill=\"url(#canopy-small)\" stroke=\"#5d7050\" stroke-width=\"0.2\"");
    add_skyline(sky, false, "class=\"ground\" fill=\"#565a63\"");
    add_grid(sky);
    for (int i = 0; i < DAYS; i++)
        add_path(sky, &sky->days[i]);
    for (int i = 0; i < DAYS; i++)
        add_hours(sky, i);
    add_frame(sky);
    sel_svg_end(sky->html);
    sky->html->failed = sky->html->failed || title.failed;
    sel_text_clear(&title);
}

// --- in words ---

static void add_day(const struct sky *sky, int which) {
    struct sel_text *html = sky->html;
    sel_text_add(html,
        "<tr><th scope=\"row\"><svg class=\"sun-sign\" viewBox=\"-1.2 -1.2 2.4 2.4\" "
        "aria-hidden=\"true\" focusable=\"false\">");
    add_sign(sky, which, (struct vec2){0, 0});
    sel_text_add(html, "</svg> ");
    sel_html_day(html, sky->dates[which]);
    sel_text_addf(html, "</th><td class=\"n\">%.1f</td><td class=\"n\">%.1f</td></tr>",
        sky->days[which].hours_through, sky->days[which].hours_up);
}

static void add_words(const struct sky *sky) {
    struct sel_text *html = sky->html;
    sel_html_begin_table(html, "sun-days", "hours of sun|#here|#in the open");
    for (int i = 0; i < DAYS; i++)
        add_day(sky, i);
    sel_html_end_table(html);
    sel_text_add(html, "Clear sky. Dark: ground; hatched: canopy, which dims the "
                       "sun. Rings 30\xC2\xB0 and 60\xC2\xB0 up; hours in solar time.");
    if (!isnan(sky->site->sun_share))
        sel_text_addf(html,
            " Over the season %.0f&nbsp;%% of the light reaches the head, %.1f&nbsp;h "
            "of sun a day, an hour behind canopy counted by the light that it lets through.",
            100.0 * sky->site->sun_share, sky->site->sun_hours);
    if (sky->site->horizon_complete == 0)
        sel_text_add(html, " The elevation data end within reach: the true horizon may be higher.");
}

void sel_sheet_add_sun(struct sel_dossier *dossier, const struct sel_site_row *site) {
    struct sky sky = {.html = dossier->html,
        .dossier = dossier,
        .site = site,
        .horizon = horizon_of(dossier, site)};
    sel_text_add(dossier->html, "<figure class=\"sun\">\n");
    if (sky.horizon.count == 0) {
        sel_text_add(dossier->html, "<figcaption>This file holds no horizon for the site, so the "
                                    "sun's way is not drawn.</figcaption>\n</figure>\n");
        return;
    }
    fill(&sky);
    draw(&sky);
    sel_text_add(dossier->html, "<figcaption>");
    add_words(&sky);
    sel_text_add(dossier->html, "</figcaption>\n</figure>\n");
}
