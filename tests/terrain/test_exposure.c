// SPDX-License-Identifier: MIT
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "terrain/clear_sky.h"
#include "terrain/season.h"
#include "terrain/sun_position.h"
#include "terrain_eyes.h"
#include "terrain_near.h"
#include "terrain_table.h"

static const double RADIANS = 0.017453292519943295;
enum { DIRECTIONS = SEL_HORIZON_DIRECTIONS };

struct when {
    struct sel_date from, to;
};
static const struct when SUMMER = {{2027, 5, 15}, {2027, 8, 31}};

static struct sel_exposure expose(const struct when *when, double latitude_deg,
    const struct sel_horizon *horizon, double convergence_deg) {
    struct sel_season *season;
    assert_int_equal(
        sel_season_new(when->from, when->to, latitude_deg, 0.0, 200.0, &season), SEL_OK);
    struct sel_exposure exposure = sel_season_exposure(season, horizon, convergence_deg);
    sel_season_free(season);
    return exposure;
}

static struct sel_horizon open_horizon(void) {
    struct sel_horizon horizon;
    memset(&horizon, 0, sizeof horizon);
    horizon.complete = true;
    return horizon;
}

// A horizon of many heights, ground and canopy of every closure.
static struct sel_horizon ragged_horizon(uint32_t salt) {
    struct sel_horizon horizon = open_horizon();
    for (int i = 0; i < DIRECTIONS; i++) {
        double ground = terrain_random(salt, i, 1), canopy = terrain_random(salt, i, 2);
        horizon.ground_tan[i] = (float)fmax(0.0, ground - 0.4);
        horizon.canopy_tan[i] = horizon.ground_tan[i];
        if (canopy > 0.4) {
            horizon.canopy_tan[i] += (float)(3.0 * canopy * canopy);
            horizon.cover[i] = (float)terrain_random(salt, i, 3);
        }
    }
    return horizon;
}

// --- open ground

static void open_ground_gets_all_of_the_light_exactly(void **state) {
    (void)state;
    struct sel_horizon horizon = open_horizon();
    for (int latitude = -80; latitude <= 80; latitude += 20)
        for (int turn = -7; turn <= 7; turn += 7) {
            struct sel_exposure exposure = expose(&SUMMER, latitude, &horizon, turn * 0.31);
            assert_true(exposure.sun_share == 1.0);
            assert_true(exposure.sky_view == 1.0);
        }
}

// Sunrise and sunset of the centre of the sun, unrefracted, by FAO-56: 12 h -+ half the day, in
// true solar time; on 8 July the sun is 4 min 50 s behind the mean one (from memory).
static void open_ground_sees_the_sun_from_rise_to_set(void **state) {
    (void)state;
    struct sel_horizon horizon = open_horizon();
    struct when july_8 = {{2027, 7, 8}, {2027, 7, 8}};
    for (int latitude = -45; latitude <= 45; latitude += 15) {
        struct sel_exposure exposure = expose(&july_8, latitude, &horizon, 0.0);
        double half = 0.5 * sel_day_length(latitude, 189), late = 4.83 / 60.0;
        assert_near(exposure.first_sun_h, 12.0 - half + late, 0.06);
        assert_near(exposure.last_sun_h, 12.0 + half + late, 0.06);
        assert_near(exposure.sun_hours, 2.0 * half, 0.26);
        assert_near(exposure.morning_h, exposure.afternoon_h, 1e-9);
    }
}

// By how much later than the almanac's the unrefracted centre rises, hours: the almanac's sun
// stands at -50 minutes of arc. Hour angles of both by the spherical triangle, the declination by
// FAO-56, equation 24.
static double later_h(double latitude_deg, int day_of_year) {
    double latitude = latitude_deg * RADIANS;
    double declination = 0.409 * sin(2.0 * 3.141592653589793 / 365.0 * day_of_year - 1.39);
    double product = sin(latitude) * sin(declination), whole = cos(latitude) * cos(declination);
    double almanac = acos((sin(-50.0 / 60.0 * RADIANS) - product) / whole);
    return (almanac - acos(-product / whole)) / RADIANS / 15.0;
}

// What the almanac states on a date, and the local day on which it happens.
struct event {
    struct sel_date date;
    double latitude_deg, longitude_deg, local_h;
};

static struct event event_of(const struct terrain_row *row, int field) {
    const char *hhmm = row->fields[field];
    struct event event = {
        {(int)terrain_number(row, 2), (int)terrain_number(row, 3), (int)terrain_number(row, 4)},
        terrain_number(row, 0), terrain_number(row, 1), 0.0};
    event.local_h = strtod(hhmm, NULL) + strtod(hhmm + 3, NULL) / 60.0 + event.longitude_deg / 15.0;
    int days = (int)floor(event.local_h / 24.0);
    event.local_h -= 24.0 * days;
    event.date.day += days; // by one at most, and no date of the table ends a month
    return event;
}

static struct sel_exposure open_day(const struct event *event) {
    struct sel_season *season;
    struct sel_horizon horizon = open_horizon();
    assert_int_equal(sel_season_new(event->date, event->date, event->latitude_deg,
                         event->longitude_deg, 0.0, &season),
        SEL_OK);
    struct sel_exposure exposure = sel_season_exposure(season, &horizon, 0.0);
    sel_season_free(season);
    return exposure;
}

// First and last sun on open ground against the US Naval Observatory's rise and set, ten places
// within 60 degrees of the equator and 13 dates over the year (test_sun_year.c: every day). Minutes
// are what the almanac states.
static void first_and_last_sun_are_an_almanac_s_less_refraction(void **state) {
    (void)state;
    FILE *table = terrain_table_open("sun_rise_set.csv");
    struct terrain_row row;
    int compared = 0;
    while (terrain_table_next(table, &row)) {
        if (fabs(terrain_number(&row, 0)) > 60.0)
            continue;
        for (int field = 5; field <= 7; field += 2) {
            if (!strchr(row.fields[field], ':'))
                continue;
            struct event event = event_of(&row, field);
            int64_t of_year =
                sel_days_between((struct sel_date){event.date.year, 1, 1}, event.date) + 1;
            double later = later_h(event.latitude_deg, (int)of_year);
            struct sel_exposure exposure = open_day(&event);
            double ours = field == 5 ? exposure.first_sun_h - later : exposure.last_sun_h + later;
            assert_near(ours, event.local_h, 1.2 / 60.0);
            compared++;
        }
    }
    fclose(table);
    assert_true(compared > 240);
}

static void the_midnight_sun_shines_from_midnight_to_midnight(void **state) {
    (void)state;
    struct sel_horizon horizon = open_horizon();
    struct when june = {{2027, 6, 10}, {2027, 6, 30}};
    struct sel_exposure exposure = expose(&june, 75.0, &horizon, 0.0);
    assert_near(exposure.first_sun_h, 0.0, 0.0);
    assert_near(exposure.last_sun_h, 24.0, 0.0);
    assert_near(exposure.sun_hours, 24.0, 1e-9);
}

static void in_the_polar_night_there_is_no_sun_to_share(void **state) {
    (void)state;
    struct sel_horizon horizon = ragged_horizon(3);
    struct when december = {{2026, 12, 5}, {2027, 1, 5}};
    struct sel_exposure exposure = expose(&december, 78.0, &horizon, 0.0);
    assert_true(isnan(exposure.sun_share));
    assert_true(isnan(exposure.light_azimuth_deg));
    assert_true(isnan(exposure.first_sun_h) && isnan(exposure.last_sun_h));
    assert_near(exposure.sun_hours, 0.0, 0.0);
    assert_near(exposure.kwh_m2_day, 0.0, 0.0);
    assert_near(exposure.sky_view, sel_sky_view(&horizon), 0.0);
}

// --- against a plain loop over the steps, written apart

struct sums {
    double beam, diffuse, beam_through, hours, morning_hours, east, north;
};

static double interpolated(const float *values, double grid_azimuth_deg) {
    double place = fmod(grid_azimuth_deg + 720.0, 360.0) / 5.0;
    int one = (int)floor(place) % DIRECTIONS;
    double share = place - floor(place);
    return (double)values[one] * (1.0 - share) + (double)values[(one + 1) % DIRECTIONS] * share;
}

static double let_through(
    const struct sel_horizon *horizon, const struct sel_sun *sun, double convergence_deg) {
    double azimuth = sun->azimuth_deg - convergence_deg;
    double tangent = tan(sun->elevation_deg * RADIANS);
    if (tangent <= interpolated(horizon->ground_tan, azimuth))
        return 0.0;
    if (tangent <= interpolated(horizon->canopy_tan, azimuth))
        return 1.0 - interpolated(horizon->cover, azimuth);
    return 1.0;
}

static void add_day(struct sums *sums, double noon, double latitude_deg,
    const struct sel_horizon *horizon, double convergence_deg) {
    for (int k = 0; k < 5; k++)
        noon -= sel_sun_position(noon, latitude_deg, 0.0).hour_angle_deg / 360.0;
    for (double hours = -11.875; hours < 12.0; hours += 0.25) {
        struct sel_sun sun = sel_sun_position(noon + hours / 24.0, latitude_deg, 0.0);
        struct sel_irradiance light = sel_clear_sky(sun.elevation_deg, sun.distance_au, 200.0);
        if (sun.elevation_deg <= 0.0)
            continue;
        double through = let_through(horizon, &sun, convergence_deg);
        sums->beam += light.beam;
        sums->diffuse += light.diffuse;
        sums->beam_through += light.beam * through;
        sums->hours += 0.25 * through;
        sums->morning_hours += hours < 0.0 ? 0.25 * through : 0.0;
        sums->east += light.beam * through * sin(sun.azimuth_deg * RADIANS);
        sums->north += light.beam * through * cos(sun.azimuth_deg * RADIANS);
    }
}

static void check_against_loop(const struct when *when, int days, double latitude_deg,
    const struct sel_horizon *horizon, double convergence_deg) {
    struct sums sums = {0};
    double first = sel_julian_day(when->from, 12.0);
    double length = (double)sel_days_between(when->from, when->to) + 1.0;
    for (int day = 0; day < days; day++)
        add_day(&sums, first + floor((day + 0.5) * length / days), latitude_deg, horizon,
            convergence_deg);
    double sky = sel_sky_view(horizon);
    struct sel_exposure ours = expose(when, latitude_deg, horizon, convergence_deg);
    double arriving = sums.beam_through + sums.diffuse * sky;
    assert_near(ours.sun_share, arriving / (sums.beam + sums.diffuse), 2e-3);
    assert_near(ours.kwh_m2_day, arriving * 0.25 / 1000.0 / days, 0.02);
    assert_near(ours.sun_hours, sums.hours / days, 0.03);
    assert_near(ours.morning_h, sums.morning_hours / days, 0.03);
    assert_near(ours.sun_hours, ours.morning_h + ours.afternoon_h, 1e-12);
    double light = atan2(sums.east, sums.north) / RADIANS;
    if (hypot(sums.east, sums.north) > 0.1 * sums.beam_through)
        assert_near(remainder(ours.light_azimuth_deg - light, 360.0), 0.0, 1.0);
}

static void any_horizon_is_met_as_by_a_plain_loop(void **state) {
    (void)state;
    const struct when spring = {{2027, 3, 1}, {2027, 3, 9}};
    for (uint32_t salt = 1; salt <= 12; salt++) {
        struct sel_horizon horizon = ragged_horizon(salt);
        double latitude = -70.0 + 12.0 * salt, convergence = -4.4 + 0.83 * salt;
        check_against_loop(&spring, 9, latitude, &horizon, convergence);
        if (fabs(latitude) < 60.0)
            check_against_loop(&SUMMER, 16, latitude, &horizon, convergence);
    }
}

static void a_season_over_new_year_is_met_as_by_a_plain_loop(void **state) {
    (void)state;
    const struct when southern_summer = {{2026, 12, 10}, {2027, 2, 20}};
    struct sel_horizon horizon = ragged_horizon(40);
    check_against_loop(&southern_summer, 16, -37.0, &horizon, 1.2);
}

// --- closed forms

// On the equator at the equinox the sun climbs 15 degrees an hour due east. Over a horizon of 30
// degrees it comes up two hours after six, true solar time; 7.5 minutes later by the mean.
static void on_the_equator_at_the_equinox_the_sun_climbs_fifteen_degrees_an_hour(void **state) {
    (void)state;
    const struct when equinox = {{2026, 3, 20}, {2026, 3, 20}};
    struct sel_horizon horizon = open_horizon();
    for (int i = 0; i < DIRECTIONS; i++)
        horizon.ground_tan[i] = horizon.canopy_tan[i] = (float)tan(30.0 * RADIANS);
    struct sel_exposure exposure = expose(&equinox, 0.0, &horizon, 0.0);
    assert_near(exposure.first_sun_h, 8.0 + 7.5 / 60.0, 0.02);
    assert_near(exposure.last_sun_h, 16.0 + 7.5 / 60.0, 0.02);
    assert_near(exposure.sun_hours, 8.0, 0.13);
}

// Canopy all around up to the zenith, nearly: beam and diffuse light are cut to 1 - cover alike.
static void under_an_even_canopy_what_it_does_not_close_arrives(void **state) {
    (void)state;
    struct sel_horizon horizon = open_horizon();
    for (int i = 0; i < DIRECTIONS; i++) {
        horizon.canopy_tan[i] = 1000.0f;
        horizon.cover[i] = 0.7f;
    }
    struct sel_exposure exposure = expose(&SUMMER, 48.0, &horizon, 0.0);
    struct sel_horizon open = open_horizon();
    struct sel_exposure all = expose(&SUMMER, 48.0, &open, 0.0);
    assert_near(exposure.sun_share, 0.3, 1e-5);
    assert_near(exposure.sun_hours, 0.3 * all.sun_hours, 1e-5);
    assert_near(exposure.kwh_m2_day, 0.3 * all.kwh_m2_day, 1e-4);
    assert_near(exposure.first_sun_h, all.first_sun_h, 1e-9);
    assert_near(exposure.last_sun_h, all.last_sun_h, 1e-9);
    assert_true(isnan(exposure.first_bright_h) && isnan(exposure.last_bright_h));
}

static struct sel_exposure under_canopy(double cover) {
    struct sel_horizon under = open_horizon();
    for (int i = 0; i < DIRECTIONS; i++) {
        under.canopy_tan[i] = 1000.0f;
        under.cover[i] = (float)cover;
    }
    return expose(&SUMMER, 48.0, &under, 0.0);
}

static void a_canopy_less_than_half_closed_does_not_hide_the_first_bright_sun(void **state) {
    (void)state;
    struct sel_horizon open = open_horizon();
    struct sel_exposure all = expose(&SUMMER, 48.0, &open, 0.0), thin = under_canopy(0.49);
    assert_near(all.first_bright_h, all.first_sun_h, 0.0);
    assert_near(all.last_bright_h, all.last_sun_h, 0.0);
    assert_near(thin.first_bright_h, all.first_sun_h, 1e-9);
    assert_near(thin.last_bright_h, all.last_sun_h, 1e-9);
}

static void a_canopy_without_a_gap_hides_the_sun(void **state) {
    (void)state;
    struct sel_exposure none = under_canopy(1.0);
    assert_near(none.sun_hours, 0.0, 1e-9);
    assert_true(isnan(none.first_sun_h) && isnan(none.last_sun_h));
    assert_true(!isnan(under_canopy(0.99).first_sun_h));
}

// A step of the hours is a quarter of an hour and reaches half of that beyond its middle.
static void check_hours_within(const struct sel_exposure *day, double true_to_mean_h) {
    static const double REACH_H = 0.125 + 1e-6;
    double noon = 12.0 + true_to_mean_h;
    if (isnan(day->first_sun_h)) {
        assert_true(day->sun_hours <= REACH_H);
        return;
    }
    assert_true(day->morning_h <= fmax(0.0, noon - day->first_sun_h) + REACH_H);
    assert_true(day->afternoon_h <= fmax(0.0, day->last_sun_h - noon) + REACH_H);
    if (isnan(day->first_bright_h))
        return;
    assert_true(day->first_sun_h <= day->first_bright_h && day->last_bright_h <= day->last_sun_h);
}

// One rule: what the hours of a day count, by whatever fraction, lies between its first and last
// sun.
static void the_hours_of_a_day_lie_between_its_first_and_last_sun(void **state) {
    (void)state;
    const struct when days[] = {{{2027, 3, 21}, {2027, 3, 21}}, {{2027, 6, 21}, {2027, 6, 21}},
        {{2027, 12, 21}, {2027, 12, 21}}};
    for (size_t k = 0; k < sizeof days / sizeof *days; k++)
        for (int latitude = -60; latitude <= 60; latitude += 30)
            for (uint32_t salt = 0; salt < 40; salt++) {
                struct sel_season *season;
                struct sel_horizon horizon = ragged_horizon(salt);
                assert_int_equal(
                    sel_season_new(days[k].from, days[k].to, latitude, 12.0, 300.0, &season),
                    SEL_OK);
                struct sel_exposure day = sel_season_exposure(season, &horizon, 0.4);
                check_hours_within(&day, season->true_to_mean_h);
                sel_season_free(season);
            }
}

static void ground_up_to_the_zenith_leaves_nothing(void **state) {
    (void)state;
    struct sel_horizon horizon = open_horizon();
    for (int i = 0; i < DIRECTIONS; i++)
        horizon.ground_tan[i] = horizon.canopy_tan[i] = 1e6f;
    struct sel_exposure exposure = expose(&SUMMER, 10.0, &horizon, 0.0);
    assert_near(exposure.sun_share, 0.0, 1e-6);
    assert_near(exposure.sun_hours, 0.0, 1e-9);
    assert_true(isnan(exposure.light_azimuth_deg));
}

// --- symmetry

static struct sel_horizon reordered(const struct sel_horizon *horizon, int from, int step) {
    struct sel_horizon other = open_horizon();
    for (int i = 0; i < DIRECTIONS; i++) {
        int j = ((from + step * i) % DIRECTIONS + DIRECTIONS) % DIRECTIONS;
        other.ground_tan[i] = horizon->ground_tan[j];
        other.canopy_tan[i] = horizon->canopy_tan[j];
        other.cover[i] = horizon->cover[j];
    }
    return other;
}

// A grid turned by k directions sees its horizon k directions on.
static void convergence_turns_the_horizon(void **state) {
    (void)state;
    struct sel_horizon horizon = ragged_horizon(5);
    struct sel_exposure straight = expose(&SUMMER, 48.0, &horizon, 1.7);
    for (int k = -3; k <= 3; k++) {
        struct sel_horizon turned = reordered(&horizon, k, 1);
        struct sel_exposure exposure = expose(&SUMMER, 48.0, &turned, 1.7 + 5.0 * k);
        assert_near(exposure.sun_share, straight.sun_share, 1e-5);
        assert_near(exposure.first_sun_h, straight.first_sun_h, 1e-3);
    }
}

// East for west: the day runs backward.
static void a_scene_mirrored_east_for_west_swaps_morning_and_afternoon(void **state) {
    (void)state;
    const struct when june = {{2027, 6, 21}, {2027, 6, 21}}; // the sun's declination stands still
    struct sel_horizon horizon = ragged_horizon(6), mirrored = reordered(&horizon, 0, -1);
    struct sel_exposure one = expose(&june, 48.0, &horizon, 0.0);
    struct sel_exposure other = expose(&june, 48.0, &mirrored, 0.0);
    assert_near(one.sun_share, other.sun_share, 1e-3);
    assert_near(one.morning_h, other.afternoon_h, 0.02);
    assert_near(one.afternoon_h, other.morning_h, 0.02);
    double noon = 0.5 * (expose(&june, 48.0, &mirrored, 0.0).last_sun_h + one.first_sun_h);
    assert_near(noon, 12.0 + 1.8 / 60.0, 0.02); // equation of time -1 min 47 s (from memory)
    assert_near(one.last_sun_h + other.first_sun_h, 2.0 * noon, 0.01);
    assert_near(remainder(one.light_azimuth_deg + other.light_azimuth_deg, 360.0), 0.0, 0.1);
}

// North for south, latitude and half a year: the same light but for the sun's distance.
static void a_mirrored_hemisphere_half_a_year_on_gets_the_same_share(void **state) {
    (void)state;
    const struct when june = {{2027, 6, 11}, {2027, 7, 1}},
                      december = {{2027, 12, 12}, {2028, 1, 1}};
    for (uint32_t salt = 7; salt < 11; salt++) {
        struct sel_horizon horizon = ragged_horizon(salt);
        struct sel_horizon mirrored = reordered(&horizon, DIRECTIONS / 2, -1);
        struct sel_exposure north = expose(&june, 44.0, &horizon, 0.0);
        struct sel_exposure south = expose(&december, -44.0, &mirrored, 0.0);
        assert_near(north.sun_share, south.sun_share, 2e-3);
        assert_near(north.sun_hours, south.sun_hours, 0.05);
        assert_near(north.sky_view, south.sky_view, 1e-9);
    }
}

// The same with a whole scene: ground and woods are mirrored, and horizons looked for anew.
struct mirrored_scene {
    uint32_t salt;
    bool mirrored;
};

static struct terrain_cell rolling_or_mirrored(
    const void *scene, int level, int64_t row, int64_t col) {
    const struct mirrored_scene *mirror = scene;
    return terrain_rolling(&mirror->salt, level, mirror->mirrored ? 15 - row : row, col);
}

static struct sel_exposure in_scene(
    const struct mirrored_scene *scene, int64_t hy, const struct when *when, double latitude) {
    struct terrain_setting setting = terrain_setting_usual();
    setting.rule.reach_m = 3000.0;
    struct terrain_eyes eyes;
    terrain_eyes_open(&eyes, &setting, rolling_or_mirrored, scene);
    struct sel_horizon horizon = terrain_look(&eyes, 13, hy);
    terrain_eyes_close(&eyes);
    return expose(when, latitude, &horizon, 0.0);
}

static void a_scene_mirrored_over_the_equator_half_a_year_on_gets_the_same_share(void **state) {
    (void)state;
    const struct when june = {{2027, 6, 11}, {2027, 7, 1}},
                      december = {{2027, 12, 12}, {2028, 1, 1}};
    for (uint32_t salt = 31; salt < 35; salt++) {
        struct mirrored_scene one = {salt, false}, other = {salt, true};
        struct sel_exposure north = in_scene(&one, 10, &june, 44.0);
        struct sel_exposure south = in_scene(&other, 32 - 10, &december, -44.0);
        assert_near(north.sun_share, south.sun_share, 3e-3);
        assert_near(north.sun_hours, south.sun_hours, 0.05);
        assert_near(north.sky_view, south.sky_view, 1e-6);
    }
}

// --- what must come out

struct edge {
    bool wood_in_the_north;
};

static struct terrain_cell wood_edge(const void *scene, int level, int64_t row, int64_t col) {
    (void)level, (void)col;
    bool wood = (row < 8) == ((const struct edge *)scene)->wood_in_the_north;
    return (struct terrain_cell){100.0f, wood ? 18.0f : 0.0f, 217};
}

static double share_at_edge(bool wood_in_the_north, const struct when *when, double latitude) {
    struct edge edge = {wood_in_the_north};
    struct terrain_setting setting = terrain_setting_usual();
    setting.rule.reach_m = 700.0;
    struct terrain_eyes eyes;
    terrain_eyes_open(&eyes, &setting, wood_edge, &edge);
    struct sel_horizon horizon = terrain_look(&eyes, 11, 16); // on the east-west edge
    terrain_eyes_close(&eyes);
    return expose(when, latitude, &horizon, 0.0).sun_share;
}

static void the_equator_s_side_of_a_wood_is_far_sunnier(void **state) {
    (void)state;
    const struct when spring = {{2027, 3, 25}, {2027, 5, 10}};
    const struct when southern_spring = {{2027, 9, 25}, {2027, 11, 10}};
    double south_side = share_at_edge(true, &spring, 50.0);
    double north_side = share_at_edge(false, &spring, 50.0);
    assert_true(south_side > 0.8 && north_side < 0.4);
    double northern_side = share_at_edge(false, &southern_spring, -50.0);
    double southern_side = share_at_edge(true, &southern_spring, -50.0);
    assert_true(northern_side > 0.8 && southern_side < 0.4);
    // Near midsummer, and at the equator, the difference is less, and of the same sense or none.
    assert_true(share_at_edge(true, &SUMMER, 50.0) > 1.5 * share_at_edge(false, &SUMMER, 50.0));
    const struct when equinox = {{2027, 3, 10}, {2027, 4, 1}};
    assert_near(share_at_edge(true, &equinox, 0.0), share_at_edge(false, &equinox, 0.0), 0.12);
}

// One season may serve a band of latitude: 0.09 degrees is a tile of 10 km.
static void a_tenth_of_a_degree_of_latitude_changes_next_to_nothing(void **state) {
    (void)state;
    for (uint32_t salt = 20; salt < 28; salt++) {
        struct sel_horizon horizon = ragged_horizon(salt);
        double here = expose(&SUMMER, 50.0, &horizon, 0.0).sun_share;
        assert_near(expose(&SUMMER, 50.09, &horizon, 0.0).sun_share, here, 0.004);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(open_ground_gets_all_of_the_light_exactly),
        cmocka_unit_test(open_ground_sees_the_sun_from_rise_to_set),
        cmocka_unit_test(first_and_last_sun_are_an_almanac_s_less_refraction),
        cmocka_unit_test(the_midnight_sun_shines_from_midnight_to_midnight),
        cmocka_unit_test(in_the_polar_night_there_is_no_sun_to_share),
        cmocka_unit_test(any_horizon_is_met_as_by_a_plain_loop),
        cmocka_unit_test(a_season_over_new_year_is_met_as_by_a_plain_loop),
        cmocka_unit_test(on_the_equator_at_the_equinox_the_sun_climbs_fifteen_degrees_an_hour),
        cmocka_unit_test(under_an_even_canopy_what_it_does_not_close_arrives),
        cmocka_unit_test(a_canopy_less_than_half_closed_does_not_hide_the_first_bright_sun),
        cmocka_unit_test(a_canopy_without_a_gap_hides_the_sun),
        cmocka_unit_test(the_hours_of_a_day_lie_between_its_first_and_last_sun),
        cmocka_unit_test(ground_up_to_the_zenith_leaves_nothing),
        cmocka_unit_test(convergence_turns_the_horizon),
        cmocka_unit_test(a_scene_mirrored_east_for_west_swaps_morning_and_afternoon),
        cmocka_unit_test(a_mirrored_hemisphere_half_a_year_on_gets_the_same_share),
        cmocka_unit_test(a_scene_mirrored_over_the_equator_half_a_year_on_gets_the_same_share),
        cmocka_unit_test(the_equator_s_side_of_a_wood_is_far_sunnier),
        cmocka_unit_test(a_tenth_of_a_degree_of_latitude_changes_next_to_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
