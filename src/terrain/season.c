// SPDX-License-Identifier: MIT
//
// A season's sun, once per latitude: the light of every quarter of an hour of up to 16 sample days,
// sorted for meeting horizons, and the path of the middle day. A sample day is the true solar day
// around a moment at which the sun crosses the meridian.
#include "terrain/season.h"

#include <math.h>
#include <stdlib.h>

#include "terrain/clear_sky.h"
#include "terrain/sun_position.h"

static const double DEGREES = 57.29577951308232; // per radian
static const double DIRECTION_DEG = 360.0 / SEL_HORIZON_DIRECTIONS;
static const double LEAST_RESULTANT = 0.05; // of the beam's sum; below it light has no direction

struct place {
    double latitude_deg, longitude_deg, altitude_m;
};

// The Julian day when the sun crosses the meridian, near a given one.
static double true_noon(double near_noon, double longitude_deg) {
    double noon = near_noon;
    for (int i = 0; i < 3; i++)
        noon -= sel_sun_position(noon, 0.0, longitude_deg).hour_angle_deg / 360.0;
    return noon;
}

static struct sel_sun sun_at(double noon, double hours_from_noon, const struct place *place) {
    return sel_sun_position(
        noon + hours_from_noon / 24.0, place->latitude_deg, place->longitude_deg);
}

static float direction_of(double azimuth_deg) {
    float directions = (float)(azimuth_deg / DIRECTION_DEG);
    return directions < (float)SEL_HORIZON_DIRECTIONS ? directions : 0.0f;
}

static void add_step(struct sel_season *season, int *count, const struct sel_sun *sun, bool morning,
    double altitude_m) {
    if (sun->elevation_deg <= 0.0)
        return;
    struct sel_irradiance light = sel_clear_sky(sun->elevation_deg, sun->distance_au, altitude_m);
    struct sel_sun_step *step = &season->steps[(*count)++];
    step->azimuth = direction_of(sun->azimuth_deg);
    step->tangent = (float)tan(sun->elevation_deg / DEGREES);
    step->beam = (float)light.beam;
    step->east = (float)(light.beam * sin(sun->azimuth_deg / DEGREES));
    step->north = (float)(light.beam * cos(sun->azimuth_deg / DEGREES));
    season->beam_sum += (double)step->beam;
    season->diffuse_sum += light.diffuse;
    season->east_sum += (double)step->east;
    season->north_sum += (double)step->north;
    season->morning_steps += morning;
    season->afternoon_steps += !morning;
}

static int by_group_and_tangent(const void *a, const void *b) {
    const struct sel_sun_step *one = a, *other = b;
    int group = (int)one->azimuth - (int)other->azimuth;
    if (group != 0)
        return group;
    return (one->tangent > other->tangent) - (one->tangent < other->tangent);
}

static void sort_steps(struct sel_season *season, int count) {
    qsort(season->steps, (size_t)count, sizeof season->steps[0], by_group_and_tangent);
    int step = 0;
    for (int group = 0; group < SEL_HORIZON_DIRECTIONS; group++) {
        season->group_begin[group] = step;
        while (step < count && (int)season->steps[step].azimuth == group)
            step++;
    }
    season->group_begin[SEL_HORIZON_DIRECTIONS] = step;
}

// `first_noon`: mean solar noon of the season's first day.
static void fill_days(
    struct sel_season *season, double first_noon, int64_t length, const struct place *place) {
    int count = 0;
    for (int day = 0; day < season->days; day++) {
        double since_first = floor((day + 0.5) * (double)length / season->days);
        double noon = true_noon(first_noon + since_first, place->longitude_deg);
        for (int step = 0; step < SEL_STEPS_PER_DAY; step++) {
            double hours = (step + 0.5) * 24.0 / SEL_STEPS_PER_DAY - 12.0;
            struct sel_sun sun = sun_at(noon, hours, place);
            add_step(season, &count, &sun, hours < 0.0, place->altitude_m);
        }
    }
    sort_steps(season, count);
}

static void fill_path(struct sel_season *season, double mean_noon, const struct place *place) {
    double noon = true_noon(mean_noon, place->longitude_deg);
    season->true_to_mean_h = (noon - mean_noon) * 24.0;
    for (int i = 0; i <= SEL_PATH_STEPS; i++) {
        struct sel_sun sun = sun_at(noon, i * 24.0 / SEL_PATH_STEPS - 12.0, place);
        season->path[i].azimuth = direction_of(sun.azimuth_deg);
        season->path[i].tangent = (float)tan(sun.elevation_deg / DEGREES);
        if (season->path[i].tangent <= 0.0f)
            continue;
        season->path_begin = season->path_end == 0 ? i : season->path_begin;
        season->path_end = i + 1;
    }
}

sel_status sel_season_new(struct sel_date from, struct sel_date to, double latitude_deg,
    double longitude_deg, double altitude_m, struct sel_season **season) {
    struct place place = {latitude_deg, longitude_deg, altitude_m};
    struct sel_season *made = calloc(1, sizeof *made);
    *season = made;
    if (!made)
        return SEL_NO_MEMORY;
    int64_t length = sel_days_between(from, to) + 1;
    double first_noon = sel_julian_day(from, 12.0) - longitude_deg / 360.0;
    made->days = (int)(length < SEL_SEASON_DAYS_MOST ? length : SEL_SEASON_DAYS_MOST);
    fill_days(made, first_noon, length, &place);
    fill_path(made, first_noon + floor((double)length / 2.0), &place);
    return SEL_OK;
}

void sel_season_free(struct sel_season *season) {
    free(season);
}

bool sel_season_has_sun(const struct sel_season *season) {
    return season->beam_sum + season->diffuse_sum > 0.0;
}

double sel_beam_azimuth(double east, double north, double sum) {
    if (sum <= 0.0 || sqrt(east * east + north * north) < LEAST_RESULTANT * sum)
        return (double)NAN;
    double azimuth = atan2(east, north) * DEGREES;
    return azimuth < 0.0 ? azimuth + 360.0 : azimuth;
}

double sel_season_light_azimuth(const struct sel_season *season) {
    return sel_beam_azimuth(season->east_sum, season->north_sum, season->beam_sum);
}
