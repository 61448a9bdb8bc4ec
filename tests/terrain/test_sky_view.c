// SPDX-License-Identifier: MIT
//
// Sky view against closed forms of a cosine-weighted, evenly bright sky.
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "terrain/horizon.h"
#include "terrain_near.h"

static const double RADIANS = 0.017453292519943295;

static void set_opaque(struct sel_horizon *horizon, int direction, double tangent) {
    horizon->ground_tan[direction] = (float)fmax(0.0, tangent);
    horizon->canopy_tan[direction] = horizon->ground_tan[direction];
    horizon->cover[direction] = 0.0f;
}

static void an_open_place_sees_the_whole_sky_exactly(void **state) {
    (void)state;
    struct sel_horizon horizon;
    memset(&horizon, 0, sizeof horizon);
    assert_true(sel_sky_view(&horizon) == 1.0);
}

// cos^2 H; 30 degrees -> 0.75.
static void an_even_horizon_leaves_the_square_of_its_cosine(void **state) {
    (void)state;
    for (double height = 0.0; height < 90.0; height += 15.0) {
        struct sel_horizon horizon;
        for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++)
            set_opaque(&horizon, i, tan(height * RADIANS));
        assert_near(sel_sky_view(&horizon), pow(cos(height * RADIANS), 2.0), 1e-6);
    }
}

// One infinite wall at elevation b: (1 + cos b) / 2.
static void a_wall_leaves_half_of_one_and_its_cosine(void **state) {
    (void)state;
    const double values[5][2] = {
        {15, .982963}, {30, .933013}, {45, .853553}, {60, .750000}, {75, .629410}};
    for (int k = 0; k < 5; k++) {
        struct sel_horizon horizon;
        for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++)
            set_opaque(&horizon, i, tan(values[k][0] * RADIANS) * sin(5.0 * i * RADIANS));
        assert_near(sel_sky_view(&horizon), values[k][1], 5e-5);
    }
}

// Between two walls: (cos b1 + cos b2) / 2; 30 and 60 degrees -> 0.683013; equal: cos b.
static void a_canyon_leaves_the_mean_of_its_cosines(void **state) {
    (void)state;
    const double values[4][3] = {
        {30, 60, .683013}, {30, 30, .866025}, {45, 45, .707107}, {60, 60, .5}};
    for (int k = 0; k < 4; k++) {
        struct sel_horizon horizon;
        for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++) {
            double side = sin(5.0 * i * RADIANS);
            set_opaque(&horizon, i, tan(values[k][side < 0.0] * RADIANS) * fabs(side));
        }
        assert_near(sel_sky_view(&horizon), values[k][2], 5e-5);
    }
}

// Canopy from 20 to 50 degrees takes its closure of cos^2 20 - cos^2 50.
static void canopy_takes_its_closure_of_the_sky_behind_it(void **state) {
    (void)state;
    struct sel_horizon horizon;
    for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++) {
        horizon.ground_tan[i] = (float)tan(20.0 * RADIANS);
        horizon.canopy_tan[i] = (float)tan(50.0 * RADIANS);
        horizon.cover[i] = 0.6f;
    }
    double above = pow(cos(50.0 * RADIANS), 2.0), below = pow(cos(20.0 * RADIANS), 2.0);
    assert_near(sel_sky_view(&horizon), above + 0.4 * (below - above), 1e-6);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_open_place_sees_the_whole_sky_exactly),
        cmocka_unit_test(an_even_horizon_leaves_the_square_of_its_cosine),
        cmocka_unit_test(a_wall_leaves_half_of_one_and_its_cosine),
        cmocka_unit_test(a_canyon_leaves_the_mean_of_its_cosines),
        cmocka_unit_test(canopy_takes_its_closure_of_the_sky_behind_it),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
