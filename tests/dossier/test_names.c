// SPDX-License-Identifier: MIT
//
// Looking names up, against a scan from the front.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "dossier/names.h"

struct row {
    int64_t filler;
    const char *name;
};

static struct sel_named_rows rows_of(const struct row *rows, size_t count) {
    return (struct sel_named_rows){rows, sizeof *rows, offsetof(struct row, name), count};
}

static void a_name_is_found_where_it_stands_first(void **state) {
    (void)state;
    static const struct row ROWS[] = {
        {0, "marsh"}, {0, NULL}, {0, "brook"}, {0, "wood"}, {0, "brook"}, {0, ""}};
    struct sel_names names;
    assert_true(sel_names_init(&names, rows_of(ROWS, 6)));
    assert_int_equal(sel_names_find(&names, "marsh"), 0);
    assert_int_equal(sel_names_find(&names, "brook"), 2);
    assert_int_equal(sel_names_find(&names, "wood"), 3);
    assert_int_equal(sel_names_find(&names, ""), 5);
    assert_int_equal(sel_names_find(&names, "a"), -1);
    assert_int_equal(sel_names_find(&names, "zz"), -1);
    assert_int_equal(sel_names_find(&names, NULL), -1);
    sel_names_clear(&names);
    assert_true(sel_names_init(&names, rows_of(NULL, 0)));
    assert_int_equal(sel_names_find(&names, "marsh"), -1);
    sel_names_clear(&names);
}

static void rows_of_a_site_are_those_that_follow_one_another(void **state) {
    (void)state;
    static const struct row SITES[] = {{0, "S02"}, {0, NULL}, {0, "S01"}, {0, "S03"}};
    static const struct row ROWS[] = {{0, "S01"}, {0, "S01"}, {0, "S09"}, {0, "S02"}, {0, "S02"},
        {0, "S02"}, {0, NULL}, {0, "S01"}};
    struct sel_names names;
    assert_true(sel_names_init(&names, rows_of(SITES, 4)));
    struct sel_row_span *spans = sel_names_spans(&names, rows_of(ROWS, 8));
    assert_non_null(spans);
    assert_int_equal(spans[0].first, 3);
    assert_int_equal(spans[0].count, 3);
    assert_int_equal(spans[1].count, 0);
    assert_int_equal(spans[2].first, 0);
    assert_int_equal(spans[2].count, 2); // a stray row further down is left out
    assert_int_equal(spans[3].count, 0);
    free(spans);
    sel_names_clear(&names);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_name_is_found_where_it_stands_first),
        cmocka_unit_test(rows_of_a_site_are_those_that_follow_one_another),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
