// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "access/buckets.h"
#include "choose_random.h"

static void cells_leave_a_bucket_in_the_order_they_came(void **state) {
    (void)state;
    struct sel_buckets buckets = {0};
    int32_t cell;
    assert_true(sel_buckets_reset(&buckets, 3));
    assert_false(sel_buckets_pop(&buckets, 1, &cell));
    for (int32_t i = 0; i < 2000; i++) // many chunks
        assert_true(sel_buckets_push(&buckets, i % 3, i));
    for (int32_t i = 0; i < 2000; i++) {
        assert_true(sel_buckets_pop(&buckets, i % 3, &cell));
        assert_int_equal(cell, i);
    }
    for (int bucket = 0; bucket < 3; bucket++)
        assert_false(sel_buckets_pop(&buckets, bucket, &cell));
    sel_buckets_clear(&buckets);
}

// Against plain arrays with a beginning and an end; reset leaves nothing behind.
static void pushes_and_pops_in_any_mix_agree_with_plain_arrays(void **state) {
    (void)state;
    enum { BUCKETS = 5, MOST = 6000 };
    static int32_t cells[BUCKETS][MOST];
    struct sel_buckets buckets = {0};
    uint64_t random = 12;
    for (int round = 0; round < 4; round++) {
        int begin[BUCKETS] = {0}, end[BUCKETS] = {0};
        assert_true(sel_buckets_reset(&buckets, BUCKETS));
        for (int32_t i = 0; i < MOST; i++) {
            int64_t bucket = random_below(&random, BUCKETS);
            int32_t cell = -1;
            assert_int_equal(sel_buckets_any(&buckets, bucket), begin[bucket] < end[bucket]);
            if (random_below(&random, 5) < 3) {
                cells[bucket][end[bucket]++] = i;
                assert_true(sel_buckets_push(&buckets, bucket, i));
            } else if (begin[bucket] == end[bucket]) {
                assert_false(sel_buckets_pop(&buckets, bucket, &cell));
            } else {
                assert_true(sel_buckets_pop(&buckets, bucket, &cell));
                assert_int_equal(cell, cells[bucket][begin[bucket]++]);
            }
        }
    }
    sel_buckets_clear(&buckets);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(cells_leave_a_bucket_in_the_order_they_came),
        cmocka_unit_test(pushes_and_pops_in_any_mix_agree_with_plain_arrays),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
