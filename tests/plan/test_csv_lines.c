// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "plan/csv_lines.h"

static size_t lines_of(const char *text, int lines[8]) {
    return sel_csv_record_lines(text, strlen(text), lines, 8);
}

static void each_line_is_a_record(void **state) {
    (void)state;
    int lines[8];
    assert_int_equal(lines_of("a,b\n1,2\n3,4", lines), 3);
    assert_int_equal(lines[0], 1);
    assert_int_equal(lines[2], 3);
}

static void empty_lines_begin_no_record(void **state) {
    (void)state;
    int lines[8];
    assert_int_equal(lines_of("\n\na,b\r\n\r\n1,2\r\n", lines), 2);
    assert_int_equal(lines[0], 3);
    assert_int_equal(lines[1], 5);
}

static void a_quoted_field_may_run_over_lines(void **state) {
    (void)state;
    int lines[8];
    assert_int_equal(lines_of("a\n\"x\n\n\"\"y\"\"\"\nz\n", lines), 3);
    assert_int_equal(lines[1], 2);
    assert_int_equal(lines[2], 5);
}

static void records_beyond_the_room_are_counted_only(void **state) {
    (void)state;
    int lines[8] = {0};
    assert_int_equal(sel_csv_record_lines("a\nb\nc\n", 6, lines, 2), 3);
    assert_int_equal(lines[1], 2);
    assert_int_equal(lines[2], 0);
    assert_int_equal(sel_csv_record_lines("", 0, lines, 2), 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_line_is_a_record),
        cmocka_unit_test(empty_lines_begin_no_record),
        cmocka_unit_test(a_quoted_field_may_run_over_lines),
        cmocka_unit_test(records_beyond_the_room_are_counted_only),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
