// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

#include "plan/numbers.h"

static void decimals_with_a_point_are_numbers(void **state) {
    (void)state;
    static const struct {
        const char *text;
        double number;
    } cases[] = {{"0", 0}, {"12", 12}, {"-3.5", -3.5}, {"+2", 2}, {".5", 0.5}, {"5.", 5},
        {"1e3", 1000}, {"2.5E-1", 0.25}, {"007", 7}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        double number;
        assert_true(sel_parse_number(cases[i].text, &number));
        assert_true(number == cases[i].number);
    }
}

static void everything_else_is_none(void **state) {
    (void)state;
    static const char *const others[] = {"", " 1", "1 ", "0x10", "inf", "nan", "1,5", "1_000",
        "4 m", "400m", "1e", "1e+", ".", "-", "--1", "1e999", "auto"};
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++) {
        double number;
        assert_false(sel_parse_number(others[i], &number));
    }
}

static void whole_numbers_have_no_point_and_fit_64_bits(void **state) {
    (void)state;
    int64_t number;
    assert_true(sel_parse_whole("-42", &number));
    assert_int_equal(number, -42);
    assert_true(sel_parse_whole("9223372036854775807", &number));
    assert_true(number == INT64_MAX);
    static const char *const others[] = {"", "1.0", "1e3", " 1", "0x1", "9223372036854775808", "-"};
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++)
        assert_false(sel_parse_whole(others[i], &number));
}

static void numbers_are_written_short_and_read_back_the_same(void **state) {
    (void)state;
    assert_string_equal(sel_number_text(0.1).chars, "0.1");
    assert_string_equal(sel_number_text(1000000).chars, "1000000");
    assert_string_equal(sel_number_text(-3).chars, "-3");
    static const double numbers[] = {
        0.1, 1.0 / 3.0, 25.0 / 48.0, 1e-9, 1e300, 123456.789, 0.30000000000000004};
    for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; i++)
        assert_true(strtod(sel_number_text(numbers[i]).chars, NULL) == numbers[i]);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(decimals_with_a_point_are_numbers),
        cmocka_unit_test(everything_else_is_none),
        cmocka_unit_test(whole_numbers_have_no_point_and_fit_64_bits),
        cmocka_unit_test(numbers_are_written_short_and_read_back_the_same),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
