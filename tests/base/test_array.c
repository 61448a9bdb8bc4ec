// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

#include "base/array.h"

static void what_was_there_survives_growing(void **state) {
    (void)state;
    size_t capacity = 0;
    int *items = NULL;
    for (int i = 0; i < 10000; i++) {
        int *grown = sel_grow(items, (size_t)i + 1, &capacity, sizeof *items);
        assert_non_null(grown);
        assert_true(capacity > (size_t)i);
        items = grown;
        items[i] = 3 * i;
    }
    for (int i = 0; i < 10000; i++)
        assert_int_equal(items[i], 3 * i);
    free(items);
}

static void room_that_suffices_is_left_alone(void **state) {
    (void)state;
    size_t capacity = 0;
    char *items = sel_grow(NULL, 100, &capacity, 1);
    size_t before = capacity;
    assert_ptr_equal(sel_grow(items, before, &capacity, 1), items);
    assert_ptr_equal(sel_grow(items, 0, &capacity, 1), items);
    assert_int_equal(capacity, before);
    free(items);
}

// Appending n elements must copy O(n) of them in all: the room at least doubles.
static void growth_is_at_least_twofold(void **state) {
    (void)state;
    size_t capacity = 0;
    char *items = sel_grow(NULL, 1, &capacity, 1);
    for (int i = 0; i < 10; i++) {
        size_t before = capacity;
        items = sel_grow(items, before + 1, &capacity, 1);
        assert_non_null(items);
        assert_true(capacity >= 2 * before);
    }
    free(items);
}

static void even_nothing_gets_an_array(void **state) {
    (void)state;
    size_t capacity = 0;
    char *items = sel_grow(NULL, 0, &capacity, 8);
    assert_non_null(items);
    assert_true(capacity > 0);
    free(items);
}

static void a_byte_count_that_overflows_fails_and_changes_nothing(void **state) {
    (void)state;
    size_t capacity = 0;
    double *items = sel_grow(NULL, 4, &capacity, sizeof *items);
    items[3] = 7;
    size_t before = capacity;
    assert_null(sel_grow(items, SIZE_MAX / sizeof *items + 1, &capacity, sizeof *items));
    assert_null(sel_grow(items, SIZE_MAX, &capacity, sizeof *items));
    assert_int_equal(capacity, before);
    assert_true(items[3] == 7);
    free(items);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_was_there_survives_growing),
        cmocka_unit_test(room_that_suffices_is_left_alone),
        cmocka_unit_test(growth_is_at_least_twofold),
        cmocka_unit_test(even_nothing_gets_an_array),
        cmocka_unit_test(a_byte_count_that_overflows_fails_and_changes_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
