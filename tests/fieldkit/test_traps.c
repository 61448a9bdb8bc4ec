// SPDX-License-Identifier: MIT
//
// Three traps at each site: whatever is counted by the trap is three times what one trap needs, and
// each trap has labels of its own. Also where the survey is, in labels and events.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "fieldkit_scene.h"
#include "fieldkit/events.h"
#include "fieldkit/items.h"
#include "fieldkit/labels.h"
#include "fieldkit/list.h"
#include "fieldkit/remarks.h"

static struct fieldkit_scene *one, *three;
static char fluids[] = "ethanol 70 %, denatured", place[] = "Alder Brook valley";
static char region[] = "Lower <Hills>", country[] = "XX";

static void name_fluids(struct output_scene *survey) {
    survey->plan.permit.fluids = fluids;
}

static int open_scene(void **state) {
    (void)state;
    struct fieldkit_scene_wish wish = fieldkit_scene_usual();
    one = fieldkit_scene_new(wish);
    wish.traps = 3;
    wish.field.place = place;
    wish.field.region = region;
    wish.field.country_code = country;
    wish.adjust = name_fluids;
    three = fieldkit_scene_new(wish);
    return 0;
}

static int close_scene(void **state) {
    (void)state;
    fieldkit_scene_free(one);
    fieldkit_scene_free(three);
    return 0;
}

static struct sel_kit_item total(const struct fieldkit_scene *scene, size_t item) {
    return sel_kit_count(&scene->kit, item, scene->kit.round_count);
}

// Half a spare for each trap is rounded up by round, so it may be up to a piece a round less.
static void whatever_a_trap_needs_is_needed_three_times(void **state) {
    (void)state;
    assert_int_equal(three->kit.plan.traps, 3);
    for (size_t i = 0; i < sel_kit_items(); i++) {
        struct sel_kit_item single = total(one, i), all = total(three, i);
        bool halves = strncmp(single.name, "spare", 5) == 0;
        double rounds = (double)(one->kit.round_count + three->kit.round_count);
        if (halves)
            assert_true(all.setup >= 3 * single.setup - 3 * rounds && all.setup > single.setup);
        else
            assert_true(all.setup == 3 * single.setup && all.change == 3 * single.change);
        if (strcmp(all.name, "preservative") == 0)
            assert_true(all.season == 12 * 3 * 500.0 * (double)three->kit.stint_count);
    }
}

// By hand: 60, 15 and half of 60 minutes at a trap.
static void work_at_a_site_is_that_of_all_its_traps(void **state) {
    (void)state;
    const struct fieldkit_scene *const scenes[] = {one, three};
    for (size_t i = 0; i < 2; i++) {
        const struct sel_fieldkit *kit = &scenes[i]->kit;
        double traps = kit->plan.traps;
        assert_true(sel_fieldkit_tour(kit, 0, 1, SEL_VISIT_SETUP).work_min == 60 * traps);
        assert_true(sel_fieldkit_tour(kit, 0, 1, SEL_VISIT_CHANGE).work_min == 15 * traps);
        assert_true(sel_fieldkit_tour(kit, 0, 1, SEL_VISIT_TAKEDOWN).work_min == 30 * traps);
        for (size_t round = 0; round < kit->round_count; round++) {
            assert_true(
                kit->rounds[round].work_min == 15 * traps * (double)kit->rounds[round].count);
            assert_true(sel_round_total_min(&kit->rounds[round]) <= 8 * 60 + 1e-6);
        }
    }
}

static void every_trap_has_labels_of_its_own(void **state) {
    (void)state;
    struct sel_text html;
    sel_text_init(&html);
    sel_fieldkit_labels(&three->kit, &html);
    size_t bottles = 3 * three->kit.primary_count * three->kit.stint_count;
    size_t reserves = 3 * (three->kit.site_count - three->kit.primary_count);
    assert_int_equal(fieldkit_scene_count(html.chars, "<div class=\"s\">"), bottles + reserves);
    assert_int_equal(fieldkit_scene_count(html.chars, "S01 T1 / 1</b>"), 2);
    assert_int_equal(fieldkit_scene_count(html.chars, "S01 T3 / 1</b>"), 2);
    assert_int_equal(fieldkit_scene_count(html.chars, "T4"), 0);
    sel_text_clear(&html);
    sel_fieldkit_labels(&one->kit, &html);
    assert_int_equal(fieldkit_scene_count(html.chars, "S01 / 1</b>"), 2);
    assert_null(strstr(html.chars, " T1"));
    sel_text_clear(&html);
}

static void the_permit_names_the_preservative_where_the_field_does_not(void **state) {
    (void)state;
    struct sel_text html;
    sel_text_init(&html);
    assert_null(one->kit.plan.field.preservative);
    assert_string_equal(three->kit.plan.field.preservative, fluids);
    sel_fieldkit_list_html(&three->kit, &html);
    assert_non_null(strstr(html.chars, "preservative: <bdi>ethanol 70 %, denatured</bdi>"));
    sel_text_clear(&html);
}

// A week of three traps is 21 trap-days.
static void events_count_the_days_of_all_traps(void **state) {
    (void)state;
    struct sel_text csv;
    sel_text_init(&csv);
    sel_fieldkit_events_planned(&three->kit, &csv);
    assert_non_null(strstr(csv.chars, ",21,day,3 traps x 7 days,"));
    assert_null(strstr(csv.chars, ",7,day,"));
    char words[80];
    snprintf(words, sizeof words, " in %zu bottles,", 3 * three->kit.stint_count);
    assert_non_null(strstr(csv.chars, words));
    sel_text_clear(&csv);
}

static void read_actual(const char *text, struct sel_actual *actual) {
    struct sel_text csv;
    sel_text_init(&csv);
    sel_text_add(&csv, text);
    char *path = fieldkit_scene_file(three, "actual.csv", &csv);
    sel_context_begin(three->survey->context);
    sel_status status = sel_actual_read(&three->kit, path, actual);
    if (status != SEL_OK)
        fail_msg("%s", sel_context_message(three->survey->context));
    free(path);
    sel_text_clear(&csv);
}

// By hand: 7 days of three traps, then 7 days of two: 35 trap-days in 5 bottles.
static void a_trap_that_was_lost_is_not_counted(void **state) {
    (void)state;
    struct sel_actual actual;
    struct sel_text csv;
    sel_text_init(&csv);
    read_actual("site,service,from,to,latitude,longitude,uncertainty_m,traps\n"
                "S01,1,2027-05-17,2027-05-24,46.26,15.17,8,\n"
                "S01,2,2027-05-24,2027-05-31,,,,2\n",
        &actual);
    sel_fieldkit_events_actual(&three->kit, &actual, &csv);
    assert_non_null(strstr(csv.chars, ",35,day,35 trap-days of up to 3 traps in 5 bottles,"));
    assert_non_null(strstr(csv.chars, ",21,day,3 traps x 7 days,"));
    assert_non_null(strstr(csv.chars, ",14,day,2 traps x 7 days,"));
    sel_actual_clear(&actual);
    sel_text_clear(&csv);
}

static void labels_and_events_tell_where_the_survey_is(void **state) {
    (void)state;
    struct sel_text text;
    sel_text_init(&text);
    sel_fieldkit_labels(&three->kit, &text);
    assert_int_equal(2 * fieldkit_scene_count(text.chars, "<div class=\"s\">"),
        fieldkit_scene_count(text.chars,
            "<div class=\"t\"><bdi>XX</bdi>, <bdi>Lower "
            "&lt;Hills&gt;</bdi>, <bdi>Alder Brook valley</bdi></div>"));
    sel_text_clear(&text);
    sel_fieldkit_events_planned(&three->kit, &text);
    assert_non_null(strstr(text.chars, ":S01,XX,Lower <Hills>,\"site S01, Alder Brook valley"));
    sel_text_clear(&text);
}

static bool remarked(const struct fieldkit_scene *scene, const char *words) {
    struct sel_kit_remarks remarks;
    sel_fieldkit_remarks(&scene->kit, &remarks);
    for (size_t i = 0; i < remarks.count; i++)
        if (strstr(remarks.lines[i], words))
            return true;
    return false;
}

static void a_plan_without_a_place_is_remarked_on(void **state) {
    (void)state;
    assert_true(
        remarked(one, "leaves out field.place, field.region and field.country_code: labels"));
    assert_false(remarked(three, "leaves out"));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(whatever_a_trap_needs_is_needed_three_times),
        cmocka_unit_test(work_at_a_site_is_that_of_all_its_traps),
        cmocka_unit_test(every_trap_has_labels_of_its_own),
        cmocka_unit_test(the_permit_names_the_preservative_where_the_field_does_not),
        cmocka_unit_test(events_count_the_days_of_all_traps),
        cmocka_unit_test(a_trap_that_was_lost_is_not_counted),
        cmocka_unit_test(labels_and_events_tell_where_the_survey_is),
        cmocka_unit_test(a_plan_without_a_place_is_remarked_on),
    };
    return cmocka_run_group_tests(tests, open_scene, close_scene);
}
