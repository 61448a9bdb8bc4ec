// SPDX-License-Identifier: MIT
#define _GNU_SOURCE // sched_setaffinity

#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <pthread.h>
#include <sched.h>
#include <stdatomic.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

#include <cmocka.h>

#include "base/pool.h"
#include "shared_context.h"

enum { JOBS = 2000 };

struct tally {
    atomic_int runs[JOBS];
    atomic_int wrong_thread;
    int threads;
};

static sel_status count_run(void *user, int thread, int64_t job) {
    struct tally *tally = user;
    atomic_fetch_add(&tally->runs[job], 1);
    if (thread < 0 || thread >= tally->threads)
        atomic_fetch_add(&tally->wrong_thread, 1);
    return SEL_OK;
}

static void every_job_runs_once(void **state) {
    (void)state;
    for (int threads = 1; threads <= 5; threads += 2) {
        struct tally tally = {.threads = threads};
        assert_int_equal(
            sel_pool_run(context, "counting", threads, JOBS, count_run, &tally), SEL_OK);
        for (int i = 0; i < JOBS; i++)
            assert_int_equal(atomic_load(&tally.runs[i]), 1);
        assert_int_equal(atomic_load(&tally.wrong_thread), 0);
    }
}

static void no_jobs_are_done_at_once(void **state) {
    (void)state;
    assert_int_equal(sel_pool_run(context, "nothing", 4, 0, count_run, NULL), SEL_OK);
}

static void nap(long milliseconds) {
    nanosleep(&(struct timespec){.tv_nsec = milliseconds * 1000000}, NULL);
}

struct failing {
    atomic_int started;
};

// Jobs 2 and 3 both fail; 2 takes its time, so that 3 fails first.
static sel_status fail_some(void *user, int thread, int64_t job) {
    struct failing *failing = user;
    (void)thread;
    atomic_fetch_add(&failing->started, 1);
    if (job == 2) {
        nap(60);
        return sel_fail(context, SEL_BAD_INPUT, "job two failed");
    }
    if (job == 3)
        return sel_fail(context, SEL_IO, "job three failed");
    nap(1);
    return SEL_OK;
}

static void the_lowest_failing_job_s_status_and_message_stand(void **state) {
    (void)state;
    for (int threads = 1; threads <= 4; threads++) {
        struct failing failing = {0};
        sel_context_begin(context);
        assert_int_equal(
            sel_pool_run(context, "failing", threads, JOBS, fail_some, &failing), SEL_BAD_INPUT);
        assert_string_equal(sel_context_message(context), "job two failed");
        assert_true(atomic_load(&failing.started) < JOBS / 4); // no new jobs after a failure
    }
    sel_fail(context, SEL_IO, "after the pool");
    assert_string_equal(sel_context_message(context), "job two failed");
}

static sel_status cancel_at_ten(void *user, int thread, int64_t job) {
    (void)thread;
    atomic_fetch_add((atomic_int *)user, 1);
    if (job == 10)
        sel_cancel(context);
    return SEL_OK;
}

static void a_cancel_stops_the_pool(void **state) {
    (void)state;
    for (int threads = 1; threads <= 4; threads++) {
        atomic_int started = 0;
        sel_context_begin(context);
        assert_int_equal(sel_pool_run(context, "long", threads, 10000000, cancel_at_ten, &started),
            SEL_INTERRUPTED);
        assert_non_null(strstr(sel_context_message(context), "interrupted"));
        assert_true(atomic_load(&started) < 10000000);
    }
}

struct watched {
    pthread_t caller;
    double last;
    int calls;
    bool went_back, other_thread;
};

static void watch(void *user, const char *what, double share) {
    struct watched *watched = user;
    assert_string_equal(what, "watched");
    watched->calls++;
    watched->went_back |= share < watched->last || share > 1;
    watched->other_thread |= !pthread_equal(watched->caller, pthread_self());
    watched->last = share;
}

static sel_status rest(void *user, int thread, int64_t job) {
    (void)user, (void)thread, (void)job;
    nap(1);
    return SEL_OK;
}

static void progress_comes_from_the_caller_s_thread_and_never_goes_back(void **state) {
    (void)state;
    for (int threads = 1; threads <= 4; threads++) {
        struct watched watched = {.caller = pthread_self()};
        sel_context_on_progress(context, watch, &watched);
        assert_int_equal(sel_pool_run(context, "watched", threads, 60, rest, NULL), SEL_OK);
        assert_true(watched.calls >= 1);
        assert_true(watched.last == 1);
        assert_false(watched.went_back);
        assert_false(watched.other_thread);
    }
}

static void the_thread_count_follows_the_wish_or_the_processors(void **state) {
    (void)state;
    assert_int_equal(sel_thread_count(3), 3);
    assert_int_equal(sel_thread_count(1000000), 256);
    assert_true(sel_thread_count(0) >= 1);
    assert_int_equal(sel_thread_count(-1), sel_thread_count(0));
    cpu_set_t before, one;
    assert_int_equal(sched_getaffinity(0, sizeof before, &before), 0);
    assert_int_equal(sel_thread_count(0), CPU_COUNT(&before));
    CPU_ZERO(&one);
    for (size_t i = 0; CPU_COUNT(&one) == 0; i++)
        if (CPU_ISSET(i, &before))
            CPU_SET(i, &one);
    assert_int_equal(sched_setaffinity(0, sizeof one, &one), 0);
    assert_int_equal(sel_thread_count(0), 1);
    assert_int_equal(sched_setaffinity(0, sizeof before, &before), 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(every_job_runs_once, make_context, free_context),
        cmocka_unit_test_setup_teardown(no_jobs_are_done_at_once, make_context, free_context),
        cmocka_unit_test_setup_teardown(
            the_lowest_failing_job_s_status_and_message_stand, make_context, free_context),
        cmocka_unit_test_setup_teardown(a_cancel_stops_the_pool, make_context, free_context),
        cmocka_unit_test_setup_teardown(progress_comes_from_the_caller_s_thread_and_never_goes_back,
            make_context, free_context),
        cmocka_unit_test(the_thread_count_follows_the_wish_or_the_processors),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
