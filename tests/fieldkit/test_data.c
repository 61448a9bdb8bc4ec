// SPDX-License-Identifier: MIT
//
// What is read from the GeoPackage and laid out over the season, against the hand-made survey and
// against a calendar counted by hand.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "fieldkit_scene.h"
#include "fieldkit/remarks.h"
#include "fieldkit/tour_words.h"
#include "plan/dates.h"

static struct fieldkit_scene *scene;

static void turn_norths(struct output_scene *survey) {
    for (size_t i = 0; i < survey->survey.site_count; i++)
        survey->survey.sites[i].declination_deg = 4.6;
}

static int open_scene(void **state) {
    (void)state;
    struct fieldkit_scene_wish wish = fieldkit_scene_usual();
    wish.adjust = turn_norths;
    scene = fieldkit_scene_new(wish);
    return 0;
}

static int close_scene(void **state) {
    (void)state;
    fieldkit_scene_free(scene);
    return 0;
}

static int64_t day_of(int year, int month, int day) {
    return sel_date_day_number((struct sel_date){year, month, day});
}

static void sites_carry_what_the_survey_says(void **state) {
    (void)state;
    const struct sel_fieldkit *kit = &scene->kit;
    assert_int_equal(kit->site_count, scene->survey->survey.site_count);
    assert_int_equal(kit->primary_count, 12);
    assert_string_equal(kit->title, "Alder Brook flyways");
    assert_string_equal(kit->slug, "alder-brook-flyways-2027");
    assert_int_equal(kit->middle_day, day_of(2027, 7, 8));
    for (size_t i = 0; i < kit->site_count; i++) {
        const struct sel_fieldkit_site *site = &kit->sites[i];
        const struct sel_site *survey = &scene->survey->survey.sites[i];
        assert_true(fabs(site->convergence_deg - survey->convergence) < 0.011);
        assert_string_equal(site->a->habitat, site->row->habitat_a);
        assert_string_equal(site->b->habitat, site->row->habitat_b);
        assert_true((site->primary != NULL) == (survey->reserve > 0));
        assert_true((site->round == SEL_NO_ROUND) == (survey->reserve > 0));
    }
}

// The scene's edges run along rows and columns, so side b lies due north, east, south or west of
// side a on the map, and a convergence of 0.137 degrees further on from true north.
static void side_b_lies_where_the_survey_has_it(void **state) {
    (void)state;
    for (size_t i = 0; i < scene->kit.site_count; i++) {
        const struct sel_candidate *candidate =
            &scene->survey->survey.candidates[scene->survey->survey.sites[i].candidate];
        double east = -(double)candidate->toward_a_x, south = -(double)candidate->toward_a_y;
        double grid = east > 0.5 ? 90 : east < -0.5 ? 270 : south > 0.5 ? 180 : 0;
        double off = scene->kit.sites[i].toward_b_deg - grid - 0.137;
        assert_true(fabs(remainder(off, 360)) < 0.02);
    }
}

// Tobler (1993) off a path on the flat: 0.6 times 5.037 km/h, so 1 km takes 19.85 min.
static void a_walk_without_a_path_is_guessed_from_the_straight_line(void **state) {
    (void)state;
    for (size_t i = 0; i < scene->kit.site_count; i++) {
        const struct sel_fieldkit_site *site = &scene->kit.sites[i];
        assert_int_equal(site->walk_source, SEL_WALK_STRAIGHT);
        double hours = site->row->access_m / 1000.0 / (0.6 * 5.0367);
        assert_true(fabs(site->walk_min - 60.0 * hours) < 0.01);
    }
}

static void rounds_hold_every_primary_once(void **state) {
    (void)state;
    const struct sel_fieldkit *kit = &scene->kit;
    size_t seen = 0;
    for (size_t round = 0; round < kit->round_count; round++) {
        assert_int_equal(kit->rounds[round].first, seen);
        seen += kit->rounds[round].count;
        assert_true(sel_round_total_min(&kit->rounds[round]) <= 8 * 60 + 1e-6);
        double walk = 0;
        for (size_t i = 0; i < kit->rounds[round].count; i++) {
            const struct sel_fieldkit_site *site =
                sel_fieldkit_at(kit, kit->rounds[round].first + i);
            assert_int_equal(site->round, round);
            walk += 2 * site->walk_min;
        }
        assert_true(fabs(walk - kit->rounds[round].walk_min) < 1e-9);
    }
    assert_int_equal(seen, 12);
}

// Set-ups of 60 min do not all fit into the day in which 12 changes of 15 min do.
static void a_setup_is_cut_into_days_that_fit(void **state) {
    (void)state;
    const struct sel_fieldkit *kit = &scene->kit;
    for (size_t round = 0; round < kit->round_count; round++) {
        size_t placed = 0;
        for (int day = 0; day < kit->setup_days[round]; day++) {
            struct sel_round tour = sel_fieldkit_setup(kit, round, day);
            assert_int_equal(tour.first, kit->rounds[round].first + placed);
            assert_true(tour.count > 0);
            assert_true(sel_round_total_min(&tour) <= 8 * 60 + 1e-6);
            assert_true(tour.work_min == 60.0 * (double)tour.count);
            placed += tour.count;
        }
        assert_int_equal(placed, kit->rounds[round].count);
    }
    assert_true(kit->setup_days[0] > 1);
}

static void stints_follow_each_other_from_the_first_day_to_the_last(void **state) {
    (void)state;
    const struct sel_fieldkit *kit = &scene->kit;
    int64_t last = 0;
    for (size_t round = 0; round < kit->round_count; round++) {
        assert_true(kit->setup_day[round] >= day_of(2027, 5, 15));
        for (size_t i = 1; i < kit->stint_count; i++)
            assert_int_equal(sel_fieldkit_stint(kit, round, i).from_day,
                sel_fieldkit_stint(kit, round, i - 1).to_day);
        int64_t end = sel_fieldkit_stint(kit, round, kit->stint_count - 1).to_day;
        last = end > last ? end : last;
    }
    assert_int_equal(last, day_of(2027, 8, 31));
    assert_int_equal(kit->setup_day[0], day_of(2027, 5, 15));
}

static void what_is_set_up_later_has_a_shorter_first_stint(void **state) {
    (void)state;
    const struct sel_fieldkit *kit = &scene->kit;
    for (size_t i = 0; i < kit->primary_count; i++) {
        const struct sel_fieldkit_site *site = sel_fieldkit_at(kit, i);
        struct sel_stint first = sel_fieldkit_site_stint(kit, site, 0);
        assert_int_equal(first.to_day - first.from_day, 7 - site->setup_offset);
        struct sel_stint second = sel_fieldkit_site_stint(kit, site, 1);
        assert_int_equal(second.from_day, first.to_day);
    }
}

static bool remarks_hold(const struct sel_fieldkit *kit, const char *words) {
    struct sel_kit_remarks remarks;
    bool found = false;
    sel_fieldkit_remarks(kit, &remarks);
    for (size_t i = 0; i < remarks.count; i++)
        found = found || strstr(remarks.lines[i], words);
    return found;
}

static void guesses_and_gaps_are_remarked_on(void **state) {
    (void)state;
    assert_true(remarks_hold(&scene->kit, "walk to 24 of 24 places is guessed"));
    assert_true(remarks_hold(&scene->kit, "holds no walks"));
    assert_true(remarks_hold(&scene->kit, "season was not set in the plan"));
    assert_true(remarks_hold(&scene->kit, "Setting up takes more than one day"));
    assert_false(remarks_hold(&scene->kit, "heads are changed every"));
    assert_false(remarks_hold(&scene->kit, "No magnetic bearings"));
}

// --- other wishes ---

static struct fieldkit_scene *with(struct fieldkit_scene_wish wish) {
    wish.size = (struct output_scene_size){
        .rows = 200, .cols = 250, .sites = 6, .reserves = 1, .apart_m = 400};
    return fieldkit_scene_new(wish);
}

static void odd_intervals_are_warned_of(void **state) {
    (void)state;
    static const struct {
        int days;
        const char *words;
    } CASES[] = {{2, "every 2 days. Usual are 3 to 10"}, {14, "every 14 days. Usual are 3 to 10"}};
    for (size_t i = 0; i < sizeof CASES / sizeof *CASES; i++) {
        struct fieldkit_scene_wish wish = fieldkit_scene_usual();
        wish.field.interval_days = CASES[i].days;
        struct fieldkit_scene *odd = with(wish);
        assert_true(remarks_hold(&odd->kit, CASES[i].words));
        fieldkit_scene_free(odd);
    }
}

static void short_days_make_more_rounds_and_teams(void **state) {
    (void)state;
    struct fieldkit_scene_wish wish = fieldkit_scene_usual();
    wish.field.day_hours = 0.5;
    wish.field.interval_days = 3;
    struct fieldkit_scene *brief = with(wish);
    assert_true(brief->kit.round_count > 3);
    assert_true(remarks_hold(&brief->kit, "rounds fall on one day"));
    assert_true(remarks_hold(&brief->kit, "set-up day takes about"));
    fieldkit_scene_free(brief);
}

static void a_season_of_a_day_is_one_stint(void **state) {
    (void)state;
    struct fieldkit_scene_wish wish = fieldkit_scene_usual();
    wish.to = wish.from;
    struct fieldkit_scene *day = with(wish);
    assert_int_equal(day->kit.stint_count, 1);
    assert_true(remarks_hold(&day->kit, "season is so short"));
    for (size_t i = 0; i < day->kit.primary_count; i++) {
        struct sel_stint stint =
            sel_fieldkit_site_stint(&day->kit, sel_fieldkit_at(&day->kit, i), 0);
        assert_true(stint.to_day >= stint.from_day);
    }
    fieldkit_scene_free(day);
}

static void a_season_across_new_year_is_laid_through_it(void **state) {
    (void)state;
    struct fieldkit_scene_wish wish = fieldkit_scene_usual();
    wish.from = (struct sel_date){2027, 12, 20};
    wish.to = (struct sel_date){2028, 3, 1};
    struct fieldkit_scene *south = with(wish);
    assert_string_equal(south->kit.slug, "alder-brook-flyways-2027");
    struct sel_stint last = sel_fieldkit_stint(&south->kit, 0, south->kit.stint_count - 1);
    assert_int_equal(last.to_day, day_of(2028, 3, 1));
    fieldkit_scene_free(south);
}

static void hostile_title(struct output_scene *survey) {
    free(survey->plan.title);
    survey->plan.title = strdup("\u05E1\u05D5\u05E3 -- <b>'); DROP");
}

static void an_identifier_is_made_of_plain_letters(void **state) {
    (void)state;
    struct fieldkit_scene_wish wish = fieldkit_scene_usual();
    wish.adjust = hostile_title;
    struct fieldkit_scene *hostile = with(wish);
    assert_string_equal(hostile->kit.slug, "b-drop-2027");
    fieldkit_scene_free(hostile);
}

static void no_magnetic(struct output_scene *survey) {
    for (size_t i = 0; i < survey->survey.site_count; i++) {
        struct sel_site *site = &survey->survey.sites[i];
        site->declination_deg = site->panel_magnetic_deg = site->head_magnetic_deg = (double)NAN;
    }
}

static void missing_magnetic_bearings_are_told(void **state) {
    (void)state;
    struct fieldkit_scene_wish wish = fieldkit_scene_usual();
    wish.adjust = no_magnetic;
    wish.from.year = wish.to.year = 2031;
    struct fieldkit_scene *late = with(wish);
    assert_true(remarks_hold(&late->kit, "No magnetic bearings for 12 of 12 places"));
    assert_true(isnan(late->kit.sites[0].annual_change_deg));
    fieldkit_scene_free(late);
}

static void without_access_the_walk_is_unknown_and_said_to_be(void **state) {
    (void)state;
    struct fieldkit_scene_wish wish = fieldkit_scene_usual();
    wish.size = (struct output_scene_size){
        .rows = 200, .cols = 250, .sites = 6, .reserves = 1, .apart_m = 400, .no_access = true};
    struct fieldkit_scene *lost = fieldkit_scene_new(wish);
    assert_int_equal(lost->kit.sites[0].walk_source, SEL_WALK_UNKNOWN);
    assert_true(lost->kit.rounds[0].walk_min == 0);
    assert_true(remarks_hold(&lost->kit, "walk to 12 of 12 places is not known"));
    struct sel_text words;
    sel_text_init(&words);
    sel_add_walking(&lost->kit, &lost->kit.rounds[0], &words);
    sel_text_add(&words, "; ");
    sel_add_whole_tour(&lost->kit, &lost->kit.rounds[0], &words);
    assert_non_null(strstr(words.chars, "not known, not counted; at least 1 h"));
    assert_string_equal(sel_travel_ends(&lost->kit), "sites");
    sel_text_clear(&words);
    fieldkit_scene_free(lost);
}

// --- files that were changed ---

static void tamper(const char *sql, sel_status wanted, const char *message) {
    char *copy = output_scene_path(scene->survey, "changed.gpkg");
    char command[2048];
    struct sel_package package;
    struct sel_fieldkit kit = {0};
    snprintf(command, sizeof command, "cp '%s' '%s' && ogrinfo -q '%s' -sql \"%s\" >/dev/null",
        scene->geopackage, copy, copy, sql);
    assert_int_equal(output_scene_run(command, NULL), 0);
    sel_context_begin(scene->survey->context);
    assert_int_equal(sel_package_open(scene->survey->context, copy, &package), SEL_OK);
    assert_int_equal(sel_fieldkit_read(&package, &kit), wanted);
    const char *said = sel_context_message(scene->survey->context);
    assert_non_null(strstr(said, "changed.gpkg"));
    if (!strstr(said, message))
        fail_msg("'%s' does not hold '%s'", said, message);
    sel_fieldkit_clear(&kit);
    sel_package_close(&package);
    free(copy);
}

static void changed_files_are_refused_with_table_and_key(void **state) {
    (void)state;
    tamper("delete from plan where key = 'field.fluid_ml'", SEL_BAD_INPUT,
        "table plan: field.fluid_ml is missing");
    tamper("update plan set value = '-3' where key = 'field.day_hours'", SEL_BAD_INPUT,
        "table plan: field.day_hours: -3 is out of place");
    tamper("update plan set value = 'soon' where key = 'season.from'", SEL_BAD_INPUT,
        "table plan: season.from: soon is out of place");
    tamper("update plan set value = '2026-01-01' where key = 'season.to'", SEL_BAD_INPUT,
        "table plan: season.to: 2026-01-01 is out of place");
    tamper("delete from run where key = 'grid.metres_per_unit'", SEL_BAD_INPUT,
        "table run: grid.metres_per_unit is missing");
    tamper("update sites set latitude = 200 where site = 'S02'", SEL_BAD_INPUT,
        "table sites: S02 has no usable position");
    tamper("update sites set reserve_for = 'S99'", SEL_NOTHING, "has no site");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sites_carry_what_the_survey_says),
        cmocka_unit_test(side_b_lies_where_the_survey_has_it),
        cmocka_unit_test(a_walk_without_a_path_is_guessed_from_the_straight_line),
        cmocka_unit_test(rounds_hold_every_primary_once),
        cmocka_unit_test(a_setup_is_cut_into_days_that_fit),
        cmocka_unit_test(stints_follow_each_other_from_the_first_day_to_the_last),
        cmocka_unit_test(what_is_set_up_later_has_a_shorter_first_stint),
        cmocka_unit_test(guesses_and_gaps_are_remarked_on),
        cmocka_unit_test(odd_intervals_are_warned_of),
        cmocka_unit_test(short_days_make_more_rounds_and_teams),
        cmocka_unit_test(a_season_of_a_day_is_one_stint),
        cmocka_unit_test(a_season_across_new_year_is_laid_through_it),
        cmocka_unit_test(an_identifier_is_made_of_plain_letters),
        cmocka_unit_test(missing_magnetic_bearings_are_told),
        cmocka_unit_test(without_access_the_walk_is_unknown_and_said_to_be),
        cmocka_unit_test(changed_files_are_refused_with_table_and_key),
    };
    return cmocka_run_group_tests(tests, open_scene, close_scene);
}
