// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "flyway/contrast.h"
#include "flyway_near.h"

static const double EXACT = 1e-12;
static const double FLOAT = 1e-7;

// Canopy 16 m is the trait sqrt(16)/5 = 0.8, 0.25 m is 0.1, 25 m is 1.
static struct sel_habitat wood = {
    .name = "wood", .canopy_m = 16, .cover = 0.9, .wetness = 0.3, .edge = 1};
static struct sel_habitat meadow = {
    .name = "meadow", .canopy_m = 0.25, .cover = 0.1, .wetness = 0.5, .edge = 0.9};
static struct sel_habitat village = {
    .name = "village", .canopy_m = 0, .cover = 0, .wetness = 0, .edge = 0};

static void two_habitats_worked_by_hand(void **state) {
    (void)state;
    // (2 |0.8 - 0.1| + |0.9 - 0.1| + |0.3 - 0.5|) / 4 = 2.4 / 4 = 0.6; times min(1, 0.9) = 0.54
    assert_near(sel_gower_contrast(&wood, &meadow), 0.54, EXACT);
    assert_near(sel_gower_contrast(&meadow, &wood), 0.54, EXACT);
}

// Gower dissimilarities of R's cluster::daisy for slope 0, 10, 20; aspect N, S, S; edge 100, 300,
// 500: d12 = 0.66666667, d13 = 1, d23 = 0.33333333. Slope and edge differ alike, so the canopy with
// its weight of 2 stands for both, the cover for the aspect; the wetness, in which all agree, takes
// a quarter of our weight: ours is 3/4 of theirs.
static void agrees_with_a_published_implementation(void **state) {
    (void)state;
    struct sel_habitat first = {.canopy_m = 0, .cover = 0, .wetness = 0.4, .edge = 1};
    struct sel_habitat second = {.canopy_m = 6.25, .cover = 1, .wetness = 0.4, .edge = 1};
    struct sel_habitat third = {.canopy_m = 25, .cover = 1, .wetness = 0.4, .edge = 1};
    assert_near(sel_gower_contrast(&first, &second) * 4 / 3, 0.66666667, 1e-8);
    assert_near(sel_gower_contrast(&first, &third) * 4 / 3, 1, 1e-8);
    assert_near(sel_gower_contrast(&second, &third) * 4 / 3, 0.33333333, 1e-8);
}

static void opposite_traits_are_as_different_as_can_be(void **state) {
    (void)state;
    struct sel_habitat bare = {.canopy_m = 0, .cover = 0, .wetness = 0, .edge = 1};
    struct sel_habitat swamp = {.canopy_m = 25, .cover = 1, .wetness = 1, .edge = 1};
    assert_near(sel_gower_contrast(&bare, &swamp), 1, EXACT);
    assert_near(sel_gower_contrast(&swamp, &swamp), 0, EXACT);
}

static void canopy_above_25_m_makes_no_difference(void **state) {
    (void)state;
    struct sel_habitat high = wood, higher = wood;
    high.canopy_m = 25;
    higher.canopy_m = 60;
    assert_near(sel_gower_contrast(&high, &higher), 0, EXACT);
}

static void an_edge_with_a_worthless_habitat_has_no_contrast(void **state) {
    (void)state;
    assert_near(sel_gower_contrast(&wood, &village), 0, EXACT);
}

static struct sel_habitat table[3];
static struct sel_plan_contrast listed[1];

static struct sel_plan plan_of_three(void) {
    table[0] = wood;
    table[1] = meadow;
    table[2] = village;
    return (struct sel_plan){.path = "survey.yaml",
        .habitats_source = "habitats.csv",
        .habitats = {.items = table, .count = 3},
        .contrast = listed};
}

static void the_table_is_symmetric_and_zero_where_it_must_be(void **state) {
    (void)state;
    sel_context *context = sel_context_new();
    struct sel_plan plan = plan_of_three();
    struct sel_contrast contrast;
    assert_int_equal(sel_contrast_build(context, &plan, &contrast), SEL_OK);
    assert_int_equal(contrast.count, 3);
    for (int a = 0; a <= 3; a++)
        for (int b = 0; b <= 3; b++) {
            bool wood_and_meadow = (a == 1 && b == 2) || (a == 2 && b == 1);
            assert_near((double)sel_contrast_of(&contrast, (sel_habitat_id)a, (sel_habitat_id)b),
                wood_and_meadow ? 0.54 : 0, FLOAT);
        }
    sel_contrast_clear(&contrast);
    assert_null(contrast.values);
    sel_context_free(context);
}

static void a_listed_pair_overrides_the_computed_contrast(void **state) {
    (void)state;
    sel_context *context = sel_context_new();
    struct sel_plan plan = plan_of_three();
    listed[0] =
        (struct sel_plan_contrast){.habitat_a = "village", .habitat_b = "wood", .contrast = 0.25};
    plan.contrast_count = 1;
    struct sel_contrast contrast;
    assert_int_equal(sel_contrast_build(context, &plan, &contrast), SEL_OK);
    assert_near((double)sel_contrast_of(&contrast, 1, 3), 0.25, FLOAT);
    assert_near((double)sel_contrast_of(&contrast, 3, 1), 0.25, FLOAT);
    assert_near((double)sel_contrast_of(&contrast, 1, 2), 0.54, FLOAT);
    sel_contrast_clear(&contrast);
    sel_context_free(context);
}

static void fails_with(struct sel_plan_contrast pair, const char *message) {
    sel_context *context = sel_context_new();
    struct sel_plan plan = plan_of_three();
    listed[0] = pair;
    plan.contrast_count = 1;
    struct sel_contrast contrast;
    assert_int_equal(sel_contrast_build(context, &plan, &contrast), SEL_BAD_INPUT);
    assert_string_equal(sel_context_message(context), message);
    assert_null(contrast.values);
    sel_context_free(context);
}

static void an_unknown_name_is_told_with_its_place(void **state) {
    (void)state;
    const char *message = "survey.yaml:31: contrast: \"woood\" is not in the habitat table "
                          "habitats.csv: use a name from its column \"habitat\"";
    fails_with((struct sel_plan_contrast){"woood", "meadow", 0.5, {31, 5}}, message);
    fails_with((struct sel_plan_contrast){"meadow", "woood", 0.5, {31, 5}}, message);
}

static void a_habitat_paired_with_itself_is_refused(void **state) {
    (void)state;
    fails_with((struct sel_plan_contrast){"wood", "wood", 0.5, {7, 5}},
        "survey.yaml:7: contrast: \"wood\" is paired with itself: name two different habitats");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(two_habitats_worked_by_hand),
        cmocka_unit_test(agrees_with_a_published_implementation),
        cmocka_unit_test(opposite_traits_are_as_different_as_can_be),
        cmocka_unit_test(canopy_above_25_m_makes_no_difference),
        cmocka_unit_test(an_edge_with_a_worthless_habitat_has_no_contrast),
        cmocka_unit_test(the_table_is_symmetric_and_zero_where_it_must_be),
        cmocka_unit_test(a_listed_pair_overrides_the_computed_contrast),
        cmocka_unit_test(an_unknown_name_is_told_with_its_place),
        cmocka_unit_test(a_habitat_paired_with_itself_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
