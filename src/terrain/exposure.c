// SPDX-License-Identifier: MIT
//
// A horizon met with a season. What is summed is the light lost, so that open ground loses exactly
// nothing. Between two of its directions the horizon's tangents and cover are interpolated.
#include "terrain/exposure.h"

#include <math.h>

#include "terrain/season.h"

static const double STEP_H = 24.0 / SEL_STEPS_PER_DAY;

// The horizon turned to true azimuths, less than one direction short of it, and two directions more
// than once around, so that nothing need be wrapped.
enum { AROUND = SEL_HORIZON_DIRECTIONS + 2 };
struct turned {
    float ground_tan[AROUND], canopy_tan[AROUND], cover[AROUND];
    float rest; // what is to be added to a true azimuth, in directions, 0 <= rest < 1
};

static void copy_turned(const float *from, int first, float *to) {
    for (int i = 0; i < AROUND; i++)
        to[i] = from[(first + i) % SEL_HORIZON_DIRECTIONS];
}

static void turn(const struct sel_horizon *horizon, double convergence_deg, struct turned *turned) {
    double turn = -convergence_deg * SEL_HORIZON_DIRECTIONS / 360.0; // grid minus true
    int first = (int)floor(turn) % SEL_HORIZON_DIRECTIONS;
    first += first < 0 ? SEL_HORIZON_DIRECTIONS : 0;
    copy_turned(horizon->ground_tan, first, turned->ground_tan);
    copy_turned(horizon->canopy_tan, first, turned->canopy_tan);
    copy_turned(horizon->cover, first, turned->cover);
    turned->rest = fminf((float)(turn - floor(turn)), 0.999f);
}

struct between {
    int one;     // a direction; the other is the next
    float share; // of the other
};

static inline struct between directions_at(const struct turned *turned, float azimuth) {
    float place = azimuth + turned->rest;
    int one = (int)place;
    return (struct between){one, place - (float)one};
}

static inline float mix(const float *values, struct between at) {
    return values[at.one] * (1.0f - at.share) + values[at.one + 1] * at.share;
}

// The share of the beam that a step loses.
static inline float lost_at(const struct turned *turned, const struct sel_sun_step *step) {
    struct between at = directions_at(turned, step->azimuth);
    if (step->tangent > mix(turned->canopy_tan, at))
        return 0.0f;
    if (step->tangent > mix(turned->ground_tan, at))
        return mix(turned->cover, at);
    return 1.0f;
}

static float highest_of_three(const float *values) {
    float highest = values[0] > values[1] ? values[0] : values[1];
    return values[2] > highest ? values[2] : highest;
}

struct lost {
    double beam, east, north; // W per square metre, summed
    double steps[2];          // before and after noon
};

// Steps above every canopy that their group may meet lose nothing; the rest come first.
static void add_group(
    const struct sel_season *season, const struct turned *turned, int group, struct lost *lost) {
    int half = group >= SEL_HORIZON_DIRECTIONS / 2; // the sun stands west after noon
    float highest = highest_of_three(turned->canopy_tan + group);
    for (int i = season->group_begin[group]; i < season->group_begin[group + 1]; i++) {
        const struct sel_sun_step *step = &season->steps[i];
        if (step->tangent > highest)
            return;
        float share = lost_at(turned, step);
        lost->beam += (double)(share * step->beam);
        lost->east += (double)(share * step->east);
        lost->north += (double)(share * step->north);
        lost->steps[half] += (double)share;
    }
}

// Canopy of so large a cover hides the sun when first and last sun are asked for.
static const float HIDES = 0.999999f; // all of it, but for rounding between two directions
static const float HIDES_HALF = 0.5f;

// A horizon met with the middle day.
struct day {
    const struct sel_season *season;
    const struct turned *turned;
    float hides;
};

// How far the sun stands above what hides it; not above 0: dark.
static float clearance(const struct day *day, int i) {
    const struct sel_sun_moment *moment = &day->season->path[i];
    const struct turned *turned = day->turned;
    struct between at = directions_at(turned, moment->azimuth);
    bool passes = mix(turned->cover, at) < day->hides;
    float tangent = mix(passes ? turned->ground_tan : turned->canopy_tan, at);
    return moment->tangent - (tangent > 0.0f ? tangent : 0.0f);
}

// The mean solar hour between a dark and a bright moment when light begins or ends.
static double hour_between(const struct day *day, int dark, int bright) {
    double below = (double)clearance(day, dark), above = (double)clearance(day, bright);
    double part = below / (below - above); // from dark to bright
    return (dark + part * (bright - dark)) * 24.0 / SEL_PATH_STEPS + day->season->true_to_mean_h;
}

static double first_sun(const struct day *day) {
    int i = day->season->path_begin;
    while (i < day->season->path_end && clearance(day, i) <= 0.0f)
        i++;
    if (i == day->season->path_end)
        return (double)NAN;
    return i == 0 ? 0.0 : hour_between(day, i - 1, i);
}

static double last_sun(const struct day *day) {
    int i = day->season->path_end - 1;
    while (i >= day->season->path_begin && clearance(day, i) <= 0.0f)
        i--;
    if (i < day->season->path_begin)
        return (double)NAN;
    return i == SEL_PATH_STEPS ? 24.0 : hour_between(day, i + 1, i);
}

static void tell_times(
    const struct sel_season *season, const struct turned *turned, struct sel_exposure *exposure) {
    struct day any = {season, turned, HIDES}, bright = {season, turned, HIDES_HALF};
    exposure->first_sun_h = first_sun(&any);
    exposure->last_sun_h = last_sun(&any);
    exposure->first_bright_h = first_sun(&bright);
    exposure->last_bright_h = last_sun(&bright);
}

struct sel_exposure sel_season_exposure(
    const struct sel_season *season, const struct sel_horizon *horizon, double convergence_deg) {
    struct turned turned;
    turn(horizon, convergence_deg, &turned);
    struct lost lost = {0.0, 0.0, 0.0, {0.0, 0.0}};
    for (int group = 0; group < SEL_HORIZON_DIRECTIONS; group++)
        add_group(season, &turned, group, &lost);
    double hours_per_step = STEP_H / season->days, sky = sel_sky_view(horizon);
    double all = season->beam_sum + season->diffuse_sum;
    double all_lost = lost.beam + season->diffuse_sum * (1.0 - sky);
    struct sel_exposure exposure = {.sky_view = sky};
    exposure.sun_share = all > 0.0 ? fmax(0.0, 1.0 - all_lost / all) : (double)NAN;
    exposure.morning_h = (season->morning_steps - lost.steps[0]) * hours_per_step;
    exposure.afternoon_h = (season->afternoon_steps - lost.steps[1]) * hours_per_step;
    exposure.sun_hours = exposure.morning_h + exposure.afternoon_h;
    exposure.kwh_m2_day = fmax(0.0, all - all_lost) * hours_per_step / 1000.0;
    exposure.light_azimuth_deg = sel_beam_azimuth(
        season->east_sum - lost.east, season->north_sum - lost.north, season->beam_sum - lost.beam);
    tell_times(season, &turned, &exposure);
    return exposure;
}
