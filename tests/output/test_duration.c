// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <math.h>

#include "output/duration.h"

static void durations_read_as_people_say_them(void **state) {
    (void)state;
    static const struct {
        double minutes;
        const char *words;
    } CASES[] = {{0, "0 min"}, {0.49, "under 1 min"}, {0.5, "1 min"}, {35.4, "35 min"},
        {59.6, "1 h"}, {60, "1 h"}, {125, "2 h 05 min"}, {870, "14 h 30 min"},
        {(double)NAN, "unknown"}};
    for (size_t i = 0; i < sizeof CASES / sizeof *CASES; i++) {
        struct sel_text text;
        sel_text_init(&text);
        sel_add_duration(&text, CASES[i].minutes);
        assert_string_equal(text.chars, CASES[i].words);
        sel_text_clear(&text);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(durations_read_as_people_say_them)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
