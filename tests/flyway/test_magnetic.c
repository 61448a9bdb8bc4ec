// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <string.h>

#include "flyway/magnetic.h"
#include "flyway/wmm2025.h"
#include "flyway_near.h"
#include "score_reference.h"

static const double HALF_PRINTED_CENTIDEGREE = 0.005 + 1e-9;
static const double HALF_PRINTED_DECINANOTESLA = 0.05 + 1e-9;

static struct sel_magnetic field_at(
    double latitude, double longitude, double height_km, double year) {
    struct sel_magnetic field;
    assert_true(sel_magnetic_at(latitude, longitude, height_km, year, &field));
    return field;
}

// Year, height, latitude and longitude lead every row of the reference tables.
static struct sel_magnetic field_of(const struct reference_row *row) {
    const double *n = row->numbers;
    return field_at(n[2], n[3], n[1], n[0]);
}

// Printed to 1e-6 nT. The tolerance on X and H is the error of the file's X, see there.
static void check_official(const struct reference_row *row) {
    const double *n = row->numbers;
    struct sel_magnetic got = field_of(row);
    assert_near(got.x_nt, n[4], 7.2e-4);
    assert_near(got.y_nt, n[5], 1e-6);
    assert_near(got.z_nt, n[6], 3e-6);
    assert_near(got.horizontal_nt, n[7], 7.2e-4);
    assert_near(got.inclination_deg, n[8], HALF_PRINTED_CENTIDEGREE);
    assert_near(got.declination_deg, n[9], HALF_PRINTED_CENTIDEGREE);
}

static void the_hundred_official_test_values_come_out(void **state) {
    (void)state;
    assert_int_equal(reference_each("wmm2025_values.csv", 10, check_official), 100);
}

static void check_report(const struct reference_row *row) {
    const double *n = row->numbers;
    struct sel_magnetic got = field_of(row);
    assert_near(got.x_nt, n[4], HALF_PRINTED_DECINANOTESLA);
    assert_near(got.y_nt, n[5], HALF_PRINTED_DECINANOTESLA);
    assert_near(got.z_nt, n[6], HALF_PRINTED_DECINANOTESLA);
    assert_near(got.horizontal_nt, n[7], HALF_PRINTED_DECINANOTESLA);
    assert_near(got.inclination_deg, n[8], HALF_PRINTED_CENTIDEGREE);
    assert_near(got.declination_deg, n[9], HALF_PRINTED_CENTIDEGREE);
    assert_near(got.annual_change_deg, n[10], HALF_PRINTED_CENTIDEGREE);
}

static void the_table_of_the_report_comes_out(void **state) {
    (void)state;
    assert_int_equal(reference_each("wmm2025_report.csv", 11, check_report), 12);
}

// The WMM2025 report's worked example at 2027.5, 100 km, 80 S, 240 E, printed to ten decimals
// (angles in radians); read in public test code that quotes it as the report's table 3b.
static void the_worked_example_of_the_report_comes_out(void **state) {
    (void)state;
    struct sel_magnetic got = field_at(-80, 240, 100, 2027.5);
    const double degree = 180 / acos(-1);
    assert_near(got.x_nt, 5983.9760496518, 1e-9);
    assert_near(got.y_nt, 14760.1359757868, 1e-9);
    assert_near(got.z_nt, -49317.6706154255, 1e-9);
    assert_near(got.horizontal_nt, 15927.0079860130, 1e-9);
    assert_near(got.declination_deg, 1.1856308407 * degree, 1e-10 * degree);
    assert_near(got.inclination_deg, -1.2584221541 * degree, 1e-10 * degree);
    assert_near(got.annual_change_deg, -0.0019677910 * degree, 1e-10 * degree);
}

// NOAA's calculator (WMM, 5 September 2026 and other dates), quoted to 0.001 degree in a public
// note; the height of the place is not given and taken as 0.
static void the_official_calculator_agrees_from_the_first_year_to_the_last(void **state) {
    (void)state;
    const double drift[][2] = {{2025, -4.994}, {2027, -5.069}, {2029, -5.144}, {2030, -5.182}};
    for (size_t i = 0; i < sizeof drift / sizeof *drift; i++)
        assert_near(field_at(25.03, 121.56, 0, drift[i][0]).declination_deg, drift[i][1], 0.0006);
    double year = sel_decimal_year((struct sel_date){2026, 9, 5});
    assert_near(field_at(25.03, 121.56, 0, year).declination_deg, -5.057, 0.0006);
    assert_near(field_at(25.03, 121.56, 0, year).annual_change_deg, -0.0376, 0.0001);
    assert_near(field_at(22.63, 120.30, 0, year).declination_deg, -4.346, 0.0006);
    assert_near(field_at(22.63, 120.30, 0, year).annual_change_deg, -0.0343, 0.0001);
}

// The declinations of the report's table, 2025.0 and 2027.5, printed to 0.01 degree: the mean of
// the changes at both ends must be their difference over the 2.5 years.
static void the_annual_change_is_the_difference_of_official_declinations(void **state) {
    (void)state;
    const double rows[][5] = {
        {80, 0, 0, 1.28, 2.59},
        {0, 120, 0, -0.16, -0.24},
        {-80, 240, 0, 68.78, 68.49},
        {80, 0, 100, 0.85, 2.16},
        {0, 120, 100, -0.15, -0.23},
        {-80, 240, 100, 68.21, 67.93},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const double *n = rows[i];
        double before = field_at(n[0], n[1], n[2], 2025.0).annual_change_deg;
        double after = field_at(n[0], n[1], n[2], 2027.5).annual_change_deg;
        assert_near((before + after) / 2, (n[4] - n[3]) / 2.5, 0.01 / 2.5);
    }
}

static void the_annual_change_is_the_slope_of_the_declination_in_time(void **state) {
    (void)state;
    const double step = 0.01;
    for (int latitude = -85; latitude <= 75; latitude += 10)
        for (int longitude = -180; longitude < 180; longitude += 37) {
            double before = field_at(latitude, longitude, 0, 2027 - step).declination_deg;
            double after = field_at(latitude, longitude, 0, 2027 + step).declination_deg;
            double turn = remainder(after - before, 360);
            double got = field_at(latitude, longitude, 0, 2027).annual_change_deg;
            assert_near(got, turn / (2 * step), 1e-5);
        }
}

// At 6371.2 km from the centre above each pole, north along the meridian of Greenwich, 2025.0: the
// report's section on the poles, to 0.1 nT; read in public test code that quotes it.
static void the_poles_are_the_reports(void **state) {
    (void)state;
    const double height_km = 6371.2 - 6356.752314245; // over the WGS 84 polar radius
    struct sel_magnetic north = field_at(90, 0, height_km, 2025);
    assert_near(north.x_nt, 1709.5, HALF_PRINTED_DECINANOTESLA);
    assert_near(north.y_nt, 417.8, HALF_PRINTED_DECINANOTESLA);
    assert_near(north.z_nt, 56517.5, HALF_PRINTED_DECINANOTESLA);
    struct sel_magnetic south = field_at(-90, 0, height_km, 2025);
    assert_near(south.x_nt, 14185.8, HALF_PRINTED_DECINANOTESLA);
    assert_near(south.y_nt, -8732.7, HALF_PRINTED_DECINANOTESLA);
    assert_near(south.z_nt, -51366.5, HALF_PRINTED_DECINANOTESLA);
}

// Closed form: at a pole only the orders 0 (down) and 1 (across) are left, where P(n, 0) = 1 and
// dP(n, 1) = sqrt(n (n + 1) / 2); in the south every odd degree changes sign, and east turns about.
static void pole_sums(int pole, double longitude_deg, double height_km, double sums[3]) {
    double ratio = 6371.2 / (6356.752314245179 + height_km), angle = longitude_deg * acos(-1) / 180;
    memset(sums, 0, 3 * sizeof *sums);
    for (int i = 0; i < SEL_WMM_TERMS; i++) {
        const struct sel_wmm_term *term = &sel_wmm2025[i];
        int n = term->degree;
        double weight = pow(ratio, n + 2) * (pole < 0 && n % 2 ? -1 : 1);
        double first = sqrt(n * (n + 1) / 2.0);
        if (term->order == 0)
            sums[2] -= weight * (n + 1) * term->g;
        if (term->order == 1) {
            sums[0] += weight * first * (term->g * cos(angle) + term->h * sin(angle));
            sums[1] += pole * weight * first * (term->g * sin(angle) - term->h * cos(angle));
        }
    }
}

static void the_poles_follow_their_closed_form_on_every_meridian(void **state) {
    (void)state;
    for (int pole = -1; pole <= 1; pole += 2)
        for (int longitude = -180; longitude <= 180; longitude += 45) {
            double sums[3];
            pole_sums(pole, longitude, 2, sums);
            struct sel_magnetic got = field_at(90 * pole, longitude, 2, 2025);
            assert_near(got.x_nt, sums[0], 1e-6);
            assert_near(got.y_nt, sums[1], 1e-6);
            assert_near(got.z_nt, sums[2], 1e-6);
        }
}

static void assert_same_field(
    const struct sel_magnetic *a, const struct sel_magnetic *b, double tolerance_nt) {
    assert_near(a->x_nt, b->x_nt, tolerance_nt);
    assert_near(a->y_nt, b->y_nt, tolerance_nt);
    assert_near(a->z_nt, b->z_nt, tolerance_nt);
    assert_near(a->annual_change_deg, b->annual_change_deg, tolerance_nt);
}

static void a_pole_is_the_end_of_its_meridian(void **state) {
    (void)state;
    for (int pole = -1; pole <= 1; pole += 2)
        for (int longitude = -150; longitude <= 180; longitude += 30) {
            struct sel_magnetic at = field_at(90 * pole, longitude, 0, 2026.5);
            struct sel_magnetic beside = field_at((90 - 1e-9) * pole, longitude, 0, 2026.5);
            assert_same_field(&at, &beside, 1e-5);
        }
}

// The field at a pole is one arrow: going round the pole turns north against it, degree by degree.
static void around_a_pole_the_declination_turns_with_the_longitude(void **state) {
    (void)state;
    for (int pole = -1; pole <= 1; pole += 2) {
        struct sel_magnetic from = field_at(90 * pole, 0, 0, 2025);
        for (int longitude = -170; longitude <= 170; longitude += 20) {
            struct sel_magnetic got = field_at(90 * pole, longitude, 0, 2025);
            double turn = got.declination_deg - from.declination_deg - pole * longitude;
            assert_near(remainder(turn, 360), 0, 1e-9);
            assert_near(got.horizontal_nt, from.horizontal_nt, 1e-7);
        }
    }
}

static void the_antimeridian_is_no_seam(void **state) {
    (void)state;
    for (int latitude = -80; latitude <= 80; latitude += 20) {
        struct sel_magnetic east = field_at(latitude, 180, 1, 2028);
        struct sel_magnetic west = field_at(latitude, -180, 1, 2028);
        struct sel_magnetic beside = field_at(latitude, -180 + 1e-9, 1, 2028);
        assert_same_field(&east, &west, 1e-7);
        assert_same_field(&east, &beside, 1e-4);
    }
}

static void a_full_turn_of_longitude_changes_nothing(void **state) {
    (void)state;
    struct sel_magnetic here = field_at(51, -3, 0.2, 2027), turned = field_at(51, 357, 0.2, 2027);
    struct sel_magnetic back = field_at(51, -363, 0.2, 2027);
    assert_same_field(&here, &turned, 0);
    assert_same_field(&here, &back, 0);
}

static void the_elements_follow_from_the_components(void **state) {
    (void)state;
    struct sel_magnetic got = field_at(-33, 109, 51, 2025);
    assert_near(got.horizontal_nt * cos(got.declination_deg * acos(-1) / 180), got.x_nt, 1e-7);
    assert_near(got.horizontal_nt * sin(got.declination_deg * acos(-1) / 180), got.y_nt, 1e-7);
    assert_near(got.horizontal_nt * tan(got.inclination_deg * acos(-1) / 180), got.z_nt, 1e-7);
}

static bool answers(double latitude, double longitude, double height_km, double year) {
    struct sel_magnetic field, untouched;
    memset(&field, 0x5a, sizeof field);
    memcpy(&untouched, &field, sizeof field);
    bool given = sel_magnetic_at(latitude, longitude, height_km, year, &field);
    assert_int_equal(given, memcmp(&field, &untouched, sizeof field) != 0);
    return given;
}

static void the_model_answers_for_its_five_years_only(void **state) {
    (void)state;
    assert_true(answers(51, -3, 0, 2025));
    assert_true(answers(51, -3, 0, 2030));
    assert_false(answers(51, -3, 0, nextafter(2025, 0)));
    assert_false(answers(51, -3, 0, nextafter(2030, 3000)));
    assert_false(answers(51, -3, 0, 2024.5));
    assert_false(answers(51, -3, 0, 2030.5));
    assert_true(answers(51, -3, 0, sel_decimal_year((struct sel_date){2029, 12, 31})));
    assert_false(answers(51, -3, 0, sel_decimal_year((struct sel_date){2024, 12, 31})));
    assert_false(answers(51, -3, 0, sel_decimal_year((struct sel_date){2030, 1, 2})));
}

static void the_model_answers_for_places_on_earth_only(void **state) {
    (void)state;
    assert_true(answers(90, 0, 850, 2026));
    assert_true(answers(-90, 0, -1, 2026));
    assert_false(answers(90.0001, 0, 0, 2026));
    assert_false(answers(-90.0001, 0, 0, 2026));
    assert_false(answers(0, 0, 850.001, 2026));
    assert_false(answers(0, 0, -1.001, 2026));
    const double none[] = {(double)NAN, (double)INFINITY, -(double)INFINITY};
    for (size_t i = 0; i < sizeof none / sizeof *none; i++) {
        assert_false(answers(none[i], 0, 0, 2026));
        assert_false(answers(0, none[i], 0, 2026));
        assert_false(answers(0, 0, none[i], 2026));
        assert_false(answers(0, 0, 0, none[i]));
    }
}

// The report's bounds, see the header.
static void a_weak_field_warns_and_a_weaker_one_forbids(void **state) {
    (void)state;
    assert_int_equal(sel_compass_where(0), SEL_COMPASS_USELESS);
    assert_int_equal(sel_compass_where(1999.9), SEL_COMPASS_USELESS);
    assert_int_equal(sel_compass_where(2000), SEL_COMPASS_CAUTION);
    assert_int_equal(sel_compass_where(5999.9), SEL_COMPASS_CAUTION);
    assert_int_equal(sel_compass_where(6000), SEL_COMPASS_GOOD);
    assert_int_equal(sel_compass_where((double)NAN), SEL_COMPASS_USELESS);
}

// Rows of the official table: H 1504.3 nT, 2164.3 nT and 24300.8 nT.
static void the_compass_zones_lie_where_the_official_values_put_them(void **state) {
    (void)state;
    assert_int_equal(field_at(89, -121, 28, 2025).compass, SEL_COMPASS_USELESS);
    assert_int_equal(field_at(80, -96, 48, 2025).compass, SEL_COMPASS_CAUTION);
    assert_int_equal(field_at(43, 93, 65, 2025).compass, SEL_COMPASS_GOOD);
}

// From memory: the model's dip poles of 2025.0 are at 85.762 N 139.298 E and 63.851 S 135.078 E; H
// grows by some 20 nT a kilometre from them.
static void the_needle_stands_upright_at_the_magnetic_poles(void **state) {
    (void)state;
    struct sel_magnetic north = field_at(85.762, 139.298, 0, 2025);
    struct sel_magnetic south = field_at(-63.851, 135.078, 0, 2025);
    assert_true(north.horizontal_nt < 5 && south.horizontal_nt < 5);
    assert_near(north.inclination_deg, 90, 0.01);
    assert_near(south.inclination_deg, -90, 0.01);
    assert_int_equal(north.compass, SEL_COMPASS_USELESS);
    assert_near(north.uncertainty_deg, 180, 0);
}

// The report's equation sqrt(0.26^2 + (5417 / H)^2): 0.29 degrees where H is 41,875 nT, its largest
// value at the surface; read in public test code that quotes it.
static void the_uncertainty_is_the_reports(void **state) {
    (void)state;
    struct sel_magnetic strong = field_at(10, 105, 0, 2025);
    assert_true(strong.horizontal_nt > 40000 && strong.horizontal_nt <= 41875);
    assert_near(strong.uncertainty_deg, 0.29, HALF_PRINTED_CENTIDEGREE);
    struct sel_magnetic weak = field_at(89, -121, 28, 2025);
    assert_near(weak.uncertainty_deg, 3.610, 0.001); // by hand: 5417 / 1504.298 = 3.60101
}

static void a_decimal_year_counts_the_days_of_its_own_year(void **state) {
    (void)state;
    assert_near(sel_decimal_year((struct sel_date){2025, 1, 1}), 2025, 0);
    assert_near(sel_decimal_year((struct sel_date){2027, 7, 2}), 2027 + 182 / 365.0, 1e-12);
    assert_near(sel_decimal_year((struct sel_date){2028, 7, 2}), 2028.5, 0);
    assert_near(sel_decimal_year((struct sel_date){2028, 2, 29}), 2028 + 59 / 366.0, 1e-12);
    assert_near(sel_decimal_year((struct sel_date){2028, 12, 31}), 2028 + 365 / 366.0, 1e-12);
    assert_near(sel_decimal_year((struct sel_date){2029, 12, 31}), 2029 + 364 / 365.0, 1e-12);
}

static void the_coefficients_stand_in_order(void **state) {
    (void)state;
    int i = 0;
    for (int degree = 1; degree <= SEL_WMM_DEGREE; degree++)
        for (int order = 0; order <= degree; order++, i++) {
            assert_int_equal(sel_wmm2025[i].degree, degree);
            assert_int_equal(sel_wmm2025[i].order, order);
            if (order == 0) // there is no wave to go with the sine
                assert_true(sel_wmm2025[i].h == 0 && sel_wmm2025[i].h_rate == 0);
        }
    assert_int_equal(i, SEL_WMM_TERMS);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_hundred_official_test_values_come_out),
        cmocka_unit_test(the_table_of_the_report_comes_out),
        cmocka_unit_test(the_worked_example_of_the_report_comes_out),
        cmocka_unit_test(the_official_calculator_agrees_from_the_first_year_to_the_last),
        cmocka_unit_test(the_annual_change_is_the_difference_of_official_declinations),
        cmocka_unit_test(the_annual_change_is_the_slope_of_the_declination_in_time),
        cmocka_unit_test(the_poles_are_the_reports),
        cmocka_unit_test(the_poles_follow_their_closed_form_on_every_meridian),
        cmocka_unit_test(a_pole_is_the_end_of_its_meridian),
        cmocka_unit_test(around_a_pole_the_declination_turns_with_the_longitude),
        cmocka_unit_test(the_antimeridian_is_no_seam),
        cmocka_unit_test(a_full_turn_of_longitude_changes_nothing),
        cmocka_unit_test(the_elements_follow_from_the_components),
        cmocka_unit_test(the_model_answers_for_its_five_years_only),
        cmocka_unit_test(the_model_answers_for_places_on_earth_only),
        cmocka_unit_test(a_weak_field_warns_and_a_weaker_one_forbids),
        cmocka_unit_test(the_compass_zones_lie_where_the_official_values_put_them),
        cmocka_unit_test(the_needle_stands_upright_at_the_magnetic_poles),
        cmocka_unit_test(the_uncertainty_is_the_reports),
        cmocka_unit_test(a_decimal_year_counts_the_days_of_its_own_year),
        cmocka_unit_test(the_coefficients_stand_in_order),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
