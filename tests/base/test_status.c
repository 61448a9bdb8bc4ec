// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/status.h"
#include "shared_context.h"

static void a_new_context_has_no_message(void **state) {
    (void)state;
    assert_string_equal(sel_context_message(context), "");
    assert_int_equal(sel_check_cancel(context), SEL_OK);
    sel_context_free(NULL);
}

static void the_first_failure_stands(void **state) {
    (void)state;
    assert_int_equal(sel_fail(context, SEL_BAD_INPUT, "%s:%d: say %s", "survey.yaml", 12, "metres"),
        SEL_BAD_INPUT);
    assert_int_equal(sel_fail(context, SEL_IO, "later"), SEL_IO);
    assert_string_equal(sel_context_message(context), "survey.yaml:12: say metres");
}

static void a_new_job_begins_without_message_and_cancel(void **state) {
    (void)state;
    sel_fail(context, SEL_IO, "earlier");
    sel_cancel(context);
    sel_context_begin(context);
    assert_string_equal(sel_context_message(context), "");
    assert_int_equal(sel_check_cancel(context), SEL_OK);
    sel_fail(context, SEL_IO, "now");
    assert_string_equal(sel_context_message(context), "now");
}

static void a_message_too_long_is_cut_not_overrun(void **state) {
    (void)state;
    char *longest = malloc(20001);
    memset(longest, 'x', 20000);
    longest[20000] = '\0';
    sel_fail(context, SEL_IO, "%s", longest);
    size_t length = strlen(sel_context_message(context));
    assert_true(length > 1000 && length < 20000);
    assert_memory_equal(sel_context_message(context), longest, length);
    free(longest);
}

static void among_a_pool_s_jobs_the_lowest_message_stands(void **state) {
    (void)state;
    assert_int_equal(sel_fail_as_job(7), SEL_OUTSIDE_JOBS);
    sel_fail(context, SEL_IO, "seven");
    sel_fail_as_job(3);
    sel_fail(context, SEL_IO, "three");
    sel_fail(context, SEL_IO, "three again");
    sel_fail_as_job(5);
    sel_fail(context, SEL_IO, "five");
    assert_int_equal(sel_fail_as_job(SEL_OUTSIDE_JOBS), 5);
    sel_fail(context, SEL_IO, "outside");
    assert_string_equal(sel_context_message(context), "three");
}

static void running_out_of_memory_names_the_mend(void **state) {
    (void)state;
    assert_int_equal(sel_fail_memory(context), SEL_NO_MEMORY);
    assert_non_null(strstr(sel_context_message(context), "--memory"));
}

static void cancelling_makes_the_job_interrupted(void **state) {
    (void)state;
    sel_cancel(context);
    assert_int_equal(sel_check_cancel(context), SEL_INTERRUPTED);
    assert_non_null(strstr(sel_context_message(context), "nothing was written"));
}

struct heard {
    char text[64];
    double share;
    int calls;
};

static void hear_note(void *user, const char *text) {
    struct heard *heard = user;
    strncpy(heard->text, text, sizeof heard->text - 1);
    heard->calls++;
}

static void hear_progress(void *user, const char *what, double share) {
    hear_note(user, what);
    ((struct heard *)user)->share = share;
}

static void notes_and_progress_reach_their_callbacks(void **state) {
    (void)state;
    struct heard note = {{0}, 0, 0}, progress = {{0}, 0, 0};
    sel_note(context, "nobody listens");
    sel_progress(context, "nobody listens", 0.1);
    sel_context_on_note(context, hear_note, &note);
    sel_context_on_progress(context, hear_progress, &progress);
    sel_note(context, "%d tracks left out", 3);
    sel_progress(context, "candidates", 0.25);
    assert_string_equal(note.text, "3 tracks left out");
    assert_string_equal(progress.text, "candidates");
    assert_true(progress.share == 0.25);
    assert_int_equal(note.calls + progress.calls, 2);
    assert_string_equal(sel_context_message(context), ""); // a note is no failure
}

// The numbers are the command's exit status and thus a promise.
static void statuses_keep_their_numbers_and_have_names(void **state) {
    (void)state;
    const int numbers[] = {SEL_OK, SEL_USAGE, SEL_BAD_INPUT, SEL_NOTHING, SEL_IO, SEL_NO_MEMORY};
    for (int i = 0; i < 6; i++)
        assert_int_equal(numbers[i], i);
    for (int i = SEL_OK; i <= SEL_INTERRUPTED; i++)
        for (int k = SEL_OK; k < i; k++)
            assert_string_not_equal(sel_status_name((sel_status)i), sel_status_name((sel_status)k));
    assert_string_equal(sel_status_name((sel_status)99), "unknown status");
    assert_true(strlen(sel_version()) >= 5);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_new_context_has_no_message, make_context, free_context),
        cmocka_unit_test_setup_teardown(the_first_failure_stands, make_context, free_context),
        cmocka_unit_test_setup_teardown(
            a_new_job_begins_without_message_and_cancel, make_context, free_context),
        cmocka_unit_test_setup_teardown(
            a_message_too_long_is_cut_not_overrun, make_context, free_context),
        cmocka_unit_test_setup_teardown(
            among_a_pool_s_jobs_the_lowest_message_stands, make_context, free_context),
        cmocka_unit_test_setup_teardown(
            running_out_of_memory_names_the_mend, make_context, free_context),
        cmocka_unit_test_setup_teardown(
            cancelling_makes_the_job_interrupted, make_context, free_context),
        cmocka_unit_test_setup_teardown(
            notes_and_progress_reach_their_callbacks, make_context, free_context),
        cmocka_unit_test(statuses_keep_their_numbers_and_have_names),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
