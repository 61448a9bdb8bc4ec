// SPDX-License-Identifier: MIT
//
// The section `permit`: what an application says beside the sites.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "base/text.h"
#include "plan_files.h"

static struct plan_files files;

static int open_files(void **state) {
    (void)state;
    plan_files_open(&files);
    return 0;
}

static int close_files(void **state) {
    (void)state;
    plan_files_close(&files);
    return 0;
}

static void without_a_permit_nothing_is_made_up(void **state) {
    (void)state;
    assert_int_equal(plan_files_read(&files, plan_files_least), SEL_OK);
    const struct sel_plan_permit *permit = &files.plan.permit;
    assert_null(permit->applicant);
    assert_null(permit->contact);
    assert_null(permit->authority);
    assert_null(permit->purpose);
    assert_null(permit->fluids);
    assert_int_equal(permit->traps_per_site, 1);
    assert_true(permit->clearing_m[0] == 0.0 && permit->clearing_m[1] == 0.0);
}

static void every_part_of_a_permit_is_kept_as_it_is_written(void **state) {
    (void)state;
    assert_int_equal(
        plan_files_read(&files, plan_files_with("permit:\n"
                                                "  applicant: \"Brook <Survey> & Sons\"\n"
                                                "  contact: desk at the mill\n"
                                                "  authority: Valley Office\n"
                                                "  purpose: counting hoverflies\n"
                                                "  fluids: ethanol 70 %\n"
                                                "  traps_per_site: 2\n"
                                                "  clearing_m: [2, 4.5]\n")),
        SEL_OK);
    const struct sel_plan_permit *permit = &files.plan.permit;
    assert_string_equal(permit->applicant, "Brook <Survey> & Sons");
    assert_string_equal(permit->contact, "desk at the mill");
    assert_string_equal(permit->authority, "Valley Office");
    assert_string_equal(permit->purpose, "counting hoverflies");
    assert_string_equal(permit->fluids, "ethanol 70 %");
    assert_int_equal(permit->traps_per_site, 2);
    assert_true(permit->clearing_m[0] == 2.0 && permit->clearing_m[1] == 4.5);
}

static void a_clearing_is_two_lengths(void **state) {
    (void)state;
    static const char wanted[] =
        "@/survey.yaml:3: permit.clearing_m: is not a list of two numbers: give the strip cleared "
        "for one trap, as [across its panel, along its panel], like [2, 4]";
    plan_files_refused(&files, plan_files_with("permit: { clearing_m: 8 }\n"), wanted);
    plan_files_refused(&files, plan_files_with("permit: { clearing_m: [2] }\n"), wanted);
    plan_files_refused(&files, plan_files_with("permit: { clearing_m: [2, 4, 6] }\n"), wanted);
    plan_files_refused(&files, plan_files_with("permit: { clearing_m: [2, 0] }\n"),
        "@/survey.yaml:3: permit.clearing_m: 0 is not in 0.1..100 m: give the strip cleared for "
        "one trap, as [across its panel, along its panel]");
    plan_files_refused(&files, plan_files_with("permit: { traps_per_site: 0 }\n"),
        "@/survey.yaml:3: permit.traps_per_site: 0 is not in 1..100: give how many traps stand at "
        "a site; the field kit counts by it too");
}

// Rows as "key = value" lines, "*" before those that stand by default.
static struct sel_text rows;

static sel_status keep_row(void *user, const char *key, const char *value, bool is_default) {
    (void)user;
    if (strncmp(key, "permit.", 7) == 0)
        sel_text_addf(&rows, "%s%s = %s\n", is_default ? "*" : "", key, value);
    return SEL_OK;
}

static void is_listed_as(const char *more, const char *wanted) {
    sel_text_clear(&rows);
    assert_int_equal(plan_files_read(&files, plan_files_with(more)), SEL_OK);
    assert_int_equal(sel_plan_each(files.context, &files.plan, keep_row, NULL), SEL_OK);
    assert_string_equal(rows.chars, wanted);
    sel_text_clear(&rows);
}

static void the_plan_as_used_tells_what_was_said_and_what_was_not(void **state) {
    (void)state;
    is_listed_as("permit: { purpose: none, clearing_m: [0.5, 3] }\n",
        "*permit.applicant = none\n*permit.contact = none\n*permit.authority = none\n"
        "permit.purpose = none\n*permit.fluids = none\n*permit.traps_per_site = 1\n"
        "permit.clearing_m = [0.5, 3]\n");
    is_listed_as("permit: { traps_per_site: 3 }\n",
        "*permit.applicant = none\n*permit.contact = none\n*permit.authority = none\n"
        "*permit.purpose = none\n*permit.fluids = none\npermit.traps_per_site = 3\n"
        "*permit.clearing_m = none\n");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(without_a_permit_nothing_is_made_up),
        cmocka_unit_test(every_part_of_a_permit_is_kept_as_it_is_written),
        cmocka_unit_test(a_clearing_is_two_lengths),
        cmocka_unit_test(the_plan_as_used_tells_what_was_said_and_what_was_not),
    };
    return cmocka_run_group_tests(tests, open_files, close_files);
}
