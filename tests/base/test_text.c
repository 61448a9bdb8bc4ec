// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stdint.h>
#include <stddef.h>
#include <stdlib.h>

#include <cmocka.h>

#include "base/text.h"

static void appends_keep_their_order(void **state) {
    (void)state;
    struct sel_text text;
    sel_text_init(&text);
    sel_text_add(&text, "riparian");
    sel_text_addf(&text, " wood %d|%.2f", 7, 0.5);
    assert_int_equal(text.length, 20);
    char *taken = sel_text_take(&text);
    assert_string_equal(taken, "riparian wood 7|0.50");
    free(taken);
}

static void an_empty_text_is_an_empty_string(void **state) {
    (void)state;
    struct sel_text text;
    sel_text_init(&text);
    char *taken = sel_text_take(&text);
    assert_string_equal(taken, "");
    free(taken);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(appends_keep_their_order),
        cmocka_unit_test(an_empty_text_is_an_empty_string),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
