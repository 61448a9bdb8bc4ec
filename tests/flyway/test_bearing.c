// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>

#include "flyway/bearing.h"
#include "flyway_near.h"

// Degrees.
static void near(double got, double wanted) {
    assert_near(got, wanted, 1e-9);
}

// On the grid x points east and y south.
static void a_vector_has_the_bearing_of_the_compass(void **state) {
    (void)state;
    near(sel_bearing_of((struct vec2){0, -1}), 0);
    near(sel_bearing_of((struct vec2){2, -2}), 45);
    near(sel_bearing_of((struct vec2){3, 0}), 90);
    near(sel_bearing_of((struct vec2){1, 1}), 135);
    near(sel_bearing_of((struct vec2){0, 1}), 180);
    near(sel_bearing_of((struct vec2){-1, 1}), 225);
    near(sel_bearing_of((struct vec2){-1, 0}), 270);
    near(sel_bearing_of((struct vec2){-1, -1}), 315);
    near(sel_bearing_of((struct vec2){1, -sqrt(3)}), 30);
}

static void angles_fold_into_their_half_open_range(void **state) {
    (void)state;
    near(sel_bearing_fold(360), 0);
    near(sel_bearing_fold(-90), 270);
    near(sel_bearing_fold(725), 5);
    near(sel_axis_fold(180), 0);
    near(sel_axis_fold(-30), 150);
    near(sel_axis_fold(359), 179);
    assert_true(sel_bearing_fold(-1e-17) < 360);
    assert_true(sel_axis_fold(-1e-17) < 180);
}

// The bearings of an edge drawn by its own bearing.
static struct sel_trap_bearings bearings_of(
    double edge_deg, enum sel_flight flight, double convergence_deg, double light_deg) {
    double radians = edge_deg * acos(-1) / 180;
    struct vec2 along = {sin(radians), -cos(radians)};
    if (along.x < 0 || (along.x == 0 && along.y < 0))
        along = vec2_scale(along, -1);
    struct sel_tangent tangent = {
        .along = along, .toward_a = {-along.y, along.x}, .straightness = 1};
    return sel_trap_bearings_of(&tangent, flight, convergence_deg, light_deg);
}

static void across_the_panel_runs_along_the_edge(void **state) {
    (void)state;
    struct sel_trap_bearings got = bearings_of(30, SEL_FLIGHT_ACROSS, 0, 180);
    near(got.edge_deg, 30);
    near(got.flyway_deg, 120);
    near(got.panel_deg, 30);
}

static void along_the_panel_stands_across_the_edge(void **state) {
    (void)state;
    struct sel_trap_bearings got = bearings_of(130, SEL_FLIGHT_ALONG, 0, 180);
    near(got.edge_deg, 130);
    near(got.flyway_deg, 40);
    near(got.panel_deg, 40);
}

static void the_head_points_south_in_the_north_and_north_in_the_south(void **state) {
    (void)state;
    // A panel 30-210: the noon sun due south (180) lights its end 210, due north (0) its end 30.
    struct sel_trap_bearings north = bearings_of(30, SEL_FLIGHT_ACROSS, 0, 180);
    assert_true(north.head_clear);
    near(north.head_deg, 210);
    struct sel_trap_bearings south = bearings_of(30, SEL_FLIGHT_ACROSS, 0, 0);
    assert_true(south.head_clear);
    near(south.head_deg, 30);
    // A panel 150-330: the other way round.
    near(bearings_of(150, SEL_FLIGHT_ACROSS, 0, 180).head_deg, 150);
    near(bearings_of(150, SEL_FLIGHT_ACROSS, 0, 0).head_deg, 330);
    // Due north-south.
    near(bearings_of(0, SEL_FLIGHT_ACROSS, 0, 180).head_deg, 180);
    near(bearings_of(0, SEL_FLIGHT_ACROSS, 0, 0).head_deg, 0);
}

static void an_east_west_panel_is_a_weak_choice_for_the_morning_end(void **state) {
    (void)state;
    struct sel_trap_bearings got = bearings_of(90, SEL_FLIGHT_ACROSS, 0, 180);
    assert_false(got.head_clear);
    near(got.head_deg, 90);
    // Along: the same for an edge that runs north-south.
    got = bearings_of(0, SEL_FLIGHT_ALONG, 0, 180);
    assert_false(got.head_clear);
    near(got.head_deg, 90);
}

static void a_tenth_of_a_component_decides(void **state) {
    (void)state;
    // cos 84 = 0.1045, cos 85 = 0.0872: panels 84 and 85 degrees off the light at 180.
    struct sel_trap_bearings clear = bearings_of(96, SEL_FLIGHT_ACROSS, 0, 180);
    assert_true(clear.head_clear);
    near(clear.head_deg, 96);
    clear = bearings_of(84, SEL_FLIGHT_ACROSS, 0, 180);
    assert_true(clear.head_clear);
    near(clear.head_deg, 264);
    assert_false(bearings_of(95, SEL_FLIGHT_ACROSS, 0, 180).head_clear);
    struct sel_trap_bearings weak = bearings_of(85, SEL_FLIGHT_ACROSS, 0, 180);
    assert_false(weak.head_clear);
    near(weak.head_deg, 85);
}

static void without_light_the_eastern_end_is_taken(void **state) {
    (void)state;
    struct sel_trap_bearings got = bearings_of(150, SEL_FLIGHT_ACROSS, 0, (double)NAN);
    assert_false(got.head_clear);
    near(got.head_deg, 150);
    near(bearings_of(20, SEL_FLIGHT_ACROSS, 0, (double)NAN).head_deg, 20);
}

static void a_weak_north_south_panel_takes_its_northern_end(void **state) {
    (void)state;
    struct sel_trap_bearings got = bearings_of(0, SEL_FLIGHT_ACROSS, 0, 90);
    assert_false(got.head_clear);
    near(got.head_deg, 0);
}

static void convergence_turns_grid_into_true_bearings(void **state) {
    (void)state;
    struct sel_trap_bearings got = bearings_of(178, SEL_FLIGHT_ACROSS, 3, 180);
    near(got.edge_deg, 1);
    near(got.flyway_deg, 91);
    near(got.panel_deg, 1);
    near(got.head_deg, 181);
    got = bearings_of(1, SEL_FLIGHT_ACROSS, -3, 180);
    near(got.edge_deg, 178);
    near(got.head_deg, 178);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_vector_has_the_bearing_of_the_compass),
        cmocka_unit_test(angles_fold_into_their_half_open_range),
        cmocka_unit_test(across_the_panel_runs_along_the_edge),
        cmocka_unit_test(along_the_panel_stands_across_the_edge),
        cmocka_unit_test(the_head_points_south_in_the_north_and_north_in_the_south),
        cmocka_unit_test(an_east_west_panel_is_a_weak_choice_for_the_morning_end),
        cmocka_unit_test(a_tenth_of_a_component_decides),
        cmocka_unit_test(without_light_the_eastern_end_is_taken),
        cmocka_unit_test(a_weak_north_south_panel_takes_its_northern_end),
        cmocka_unit_test(convergence_turns_grid_into_true_bearings),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
