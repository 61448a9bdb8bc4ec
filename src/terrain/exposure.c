// SPDX-License-Identifier: MIT
//
// A horizon met with a season. What is summed is the light lost, so that open ground loses exactly
// nothing. Between two of its directions the horizon is not known; a sun there is taken to meet
// either of the two, in proportion to its nearness. For the first and last sun of a day, where a
// moment is wanted, the horizon itself is interpolated.
#include "terrain/exposure.h"

#include <math.h>

#include "terrain/season.h"

static const double STEP_H = 24.0 / SEL_STEPS_PER_DAY;

// The horizon with its azimuths turned to true ones.
struct turned {
    const struct sel_horizon *horizon;
    float turn; // grid azimuth minus true, in directions, 0 <= turn < 72
};

struct between {
    int one, other; // directions
    float share;    // of the other
};

static inline struct between directions_at(const struct turned *turned, float azimuth) {
    float grid = azimuth + turned->turn;
    int one = (int)grid;
    float share = grid - (float)one;
    one = one < SEL_HORIZON_DIRECTIONS ? one : one - SEL_HORIZON_DIRECTIONS;
    return (struct between){one, one + 1 < SEL_HORIZON_DIRECTIONS ? one + 1 : 0, share};
}

static inline float lost_in(const struct sel_horizon *horizon, int direction, float tangent) {
    if (tangent > horizon->canopy_tan[direction])
        return 0.0f;
    return tangent > horizon->ground_tan[direction] ? horizon->cover[direction] : 1.0f;
}

static inline float lost_at(const struct turned *turned, float azimuth, float tangent) {
    struct between at = directions_at(turned, azimuth);
    return (1.0f - at.share) * lost_in(turned->horizon, at.one, tangent) +
           at.share * lost_in(turned->horizon, at.other, tangent);
}

// The highest canopy of the directions that a group of steps may meet.
static float highest_met(const struct turned *turned, int group) {
    const float *canopy = turned->horizon->canopy_tan;
    int first = directions_at(turned, (float)group).one;
    float highest = 0.0f;
    for (int i = 0; i < 3; i++) {
        int direction =
            first + i < SEL_HORIZON_DIRECTIONS ? first + i : first + i - SEL_HORIZON_DIRECTIONS;
        highest = canopy[direction] > highest ? canopy[direction] : highest;
    }
    return highest;
}

struct lost {
    double beam, east, north; // W per square metre, summed
    double steps[2];          // before and after noon
};

// Steps above every canopy that their group may meet lose nothing; the rest come first.
static void add_group(
    const struct sel_season *season, const struct turned *turned, int group, struct lost *lost) {
    int half = group >= SEL_HORIZON_DIRECTIONS / 2; // the sun stands west after noon
    float highest = highest_met(turned, group);
    for (int i = season->group_begin[group]; i < season->group_begin[group + 1]; i++) {
        const struct sel_sun_step *step = &season->steps[i];
        if (step->tangent > highest)
            return;
        float share = lost_at(turned, step->azimuth, step->tangent);
        lost->beam += (double)(share * step->beam);
        lost->east += (double)(share * step->east);
        lost->north += (double)(share * step->north);
        lost->steps[half] += (double)share;
    }
}

// How far the sun stands above what takes half of its light or more; not above 0: dark.
static float clearance(const struct turned *turned, const struct sel_sun_moment *moment) {
    const struct sel_horizon *horizon = turned->horizon;
    struct between at = directions_at(turned, moment->azimuth);
    float near = 1.0f - at.share, far = at.share;
    float cover = near * horizon->cover[at.one] + far * horizon->cover[at.other];
    const float *shade = cover < 0.5f ? horizon->ground_tan : horizon->canopy_tan;
    float tangent = near * shade[at.one] + far * shade[at.other];
    return moment->tangent - (tangent > 0.0f ? tangent : 0.0f);
}

// The true solar hour between a dark and a bright moment when light begins or ends.
static double hour_between(
    const struct sel_season *season, const struct turned *turned, int dark, int bright) {
    double below = (double)clearance(turned, &season->path[dark]);
    double above = (double)clearance(turned, &season->path[bright]);
    double part = below / (below - above); // from dark to bright
    return (dark + part * (bright - dark)) * 24.0 / SEL_PATH_STEPS;
}

static double first_sun(const struct sel_season *season, const struct turned *turned) {
    int i = season->path_begin;
    while (i < season->path_end && clearance(turned, &season->path[i]) <= 0.0f)
        i++;
    if (i == season->path_end)
        return NAN;
    return i == 0 ? 0.0 : hour_between(season, turned, i - 1, i) + season->true_to_mean_h;
}

// There is a first sun.
static double last_sun(const struct sel_season *season, const struct turned *turned) {
    int i = season->path_end - 1;
    while (clearance(turned, &season->path[i]) <= 0.0f)
        i--;
    return i == SEL_PATH_STEPS ? 24.0
                               : hour_between(season, turned, i + 1, i) + season->true_to_mean_h;
}

static struct turned turn(const struct sel_horizon *horizon, double convergence_deg) {
    double turn = -convergence_deg * SEL_HORIZON_DIRECTIONS / 360.0;
    turn -= floor(turn / SEL_HORIZON_DIRECTIONS) * SEL_HORIZON_DIRECTIONS;
    // A tiny negative turn may round to a whole one.
    return (struct turned){horizon, turn < SEL_HORIZON_DIRECTIONS ? (float)turn : 0.0f};
}

struct sel_exposure sel_season_exposure(
    const struct sel_season *season, const struct sel_horizon *horizon, double convergence_deg) {
    struct turned turned = turn(horizon, convergence_deg);
    struct lost lost = {0.0, 0.0, 0.0, {0.0, 0.0}};
    for (int group = 0; group < SEL_HORIZON_DIRECTIONS; group++)
        add_group(season, &turned, group, &lost);
    double hours_per_step = STEP_H / season->days, sky = sel_sky_view(horizon);
    double all = season->beam_sum + season->diffuse_sum;
    double all_lost = lost.beam + season->diffuse_sum * (1.0 - sky);
    struct sel_exposure exposure = {.sky_view = sky};
    exposure.sun_share = all > 0.0 ? 1.0 - all_lost / all : (double)NAN;
    exposure.morning_h = (season->morning_steps - lost.steps[0]) * hours_per_step;
    exposure.afternoon_h = (season->afternoon_steps - lost.steps[1]) * hours_per_step;
    exposure.sun_hours = exposure.morning_h + exposure.afternoon_h;
    exposure.kwh_m2_day = (all - all_lost) * hours_per_step / 1000.0;
    exposure.light_azimuth_deg = sel_beam_azimuth(
        season->east_sum - lost.east, season->north_sum - lost.north, season->beam_sum - lost.beam);
    exposure.first_sun_h = first_sun(season, &turned);
    exposure.last_sun_h = isnan(exposure.first_sun_h) ? (double)NAN : last_sun(season, &turned);
    return exposure;
}
