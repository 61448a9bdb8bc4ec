// SPDX-License-Identifier: MIT
//
// Whole surveys: blocks, minimums that cannot be met, reserves, and how far scores may be off.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "survey_expect.h"
#include "survey_scene.h"

static const sel_run_options PLAIN = {.threads = 1};

static void expect_message(const struct survey_scene *scene, const char *part) {
    const char *message;
    assert_int_equal(survey_scene_rank(scene, "none.gpkg", &PLAIN, &message), SEL_BAD_INPUT);
    if (!strstr(message, part))
        fail_msg("\"%s\" is not in \"%s\"", part, message);
}

// x from 500000 to 503000: squares of 1000 m give three columns; y down from 5400000 to 5397600:
// three rows, the last of them cut.
static void squares_of_ground_keep_their_quota(void **state) {
    (void)state;
    struct survey_scene scene = survey_squares();
    survey_scene_write(
        &scene, "choose: { sites: 20, apart_m: 150, block_m: 1000, per_block: { max: 2 } }\n");
    survey_must_rank(&scene, "sites.gpkg", &PLAIN);
    survey_must_tell(&scene, "SELECT count(*) FROM sites WHERE role = 'primary'", 18);
    survey_must_tell(&scene,
        "SELECT max(n) FROM (SELECT count(*) AS n FROM sites WHERE role = 'primary' GROUP BY "
        "floor(ST_MinX(geom) / 1000), floor(ST_MinY(geom) / 1000))",
        2);
    survey_must_tell(&scene, "SELECT count(*) FROM blocks", 9);
    survey_must_tell(&scene,
        "SELECT count(*) FROM sites WHERE block <> 'E ' || CAST(1000 * floor(ST_MinX(geom) / 1000) "
        "AS INTEGER) || ' N ' || CAST(1000 * floor(ST_MinY(geom) / 1000) AS INTEGER)",
        0);
    survey_must_tell(&scene,
        "SELECT sum(candidates) - (SELECT count FROM dropped WHERE step = "
        "'eligible' AND reason = 'all') FROM blocks",
        0);
    survey_scene_free(&scene);
}

// Two polygons named west, one named east, and ground in neither.
static void write_blocks(const struct survey_scene *scene) {
    char command[8192];
    snprintf(command, sizeof command,
        "cd '%s' && printf 'id,sort,WKT\\n"
        "1,west,\"POLYGON((500000 5400000,500500 5400000,500500 5397600,500000 5397600,500000 "
        "5400000))\"\\n"
        "2,west,\"POLYGON((500500 5400000,501000 5400000,501000 5397600,500500 5397600,500500 "
        "5400000))\"\\n"
        "3,east,\"POLYGON((502000 5400000,503000 5400000,503000 5397600,502000 5397600,502000 "
        "5400000))\"\\n' > blocks.csv && ogr2ogr -q -f GPKG -a_srs EPSG:32633 blocks.gpkg "
        "blocks.csv -oo GEOM_POSSIBLE_NAMES=WKT",
        scene->folder);
    if (survey_scene_shell(command, NULL) != 0)
        fail_msg("ogr2ogr failed");
}

static void polygons_of_one_name_are_one_block(void **state) {
    (void)state;
    struct survey_scene scene = survey_squares();
    write_blocks(&scene);
    survey_scene_write(&scene, "choose: { sites: 12, apart_m: 150, per_block: { min: 2, max: 3 },\n"
                               "  blocks: { file: blocks.gpkg, column: sort } }\n");
    survey_must_rank(&scene, "sites.gpkg", &PLAIN);
    survey_must_tell(&scene, "SELECT count(*) FROM sites WHERE role = 'primary'", 12);
    survey_must_tell(&scene, "SELECT count(*) FROM blocks WHERE block IN ('west', 'east')", 2);
    survey_must_tell(&scene, "SELECT count(*) FROM blocks WHERE sites NOT BETWEEN 2 AND 3", 0);
    survey_must_tell(&scene,
        "SELECT count(*) FROM sites WHERE (block IS NULL) <> (ST_MinX(geom) > "
        "501000 AND ST_MinX(geom) < 502000)",
        0);
    survey_must_tell(&scene, "SELECT count(*) FROM inputs WHERE role = 'blocks'", 1);
    survey_scene_write(&scene, "choose: { sites: 12, per_block: { max: 3 },\n"
                               "  blocks: { file: blocks.gpkg, column: name } }\n");
    expect_message(&scene, "choose.blocks.column: name: there is no such column: name one of those "
                           "it has: id, sort");
    survey_scene_free(&scene);
}

// At 1100 m apart a block of 1000 m has room for one site, and never for three.
static void a_minimum_that_cannot_be_met_is_explained_or_relaxed(void **state) {
    (void)state;
    struct survey_scene scene = survey_squares();
    survey_scene_write(&scene, "choose: { sites: 30, apart_m: 1500, block_m: 1000, per_block: { "
                               "min: 3 } }\n");
    expect_message(&scene,
        "survey.yaml: choose.per_block.min: 3: block E 500000 N 5397000 has room for no more "
        "than ");
    expect_message(&scene, "with 1500 m between them");
    expect_message(&scene, "set choose.relax: true");
    survey_scene_write(&scene, "choose: { sites: 30, apart_m: 1500, block_m: 1000, relax: true, "
                               "per_block: { min: 3 } }\n");
    survey_must_rank(&scene, "sites.gpkg", &PLAIN);
    survey_must_tell(&scene,
        "SELECT count(*) FROM run WHERE value LIKE 'Minimum not reached: choose.per_block.min 3 "
        "is missed by __ sites in all, in 9 of 9 blocks. E 500000 N 5397000 has _ (room for no "
        "more than _ at this spacing), %; the other 5 are in the table blocks.'",
        1);
    survey_must_tell(&scene, "SELECT count(*) FROM run WHERE value LIKE 'Minimum not reached%'", 1);
    survey_must_tell(&scene, "SELECT value FROM run WHERE key = 'choice.minimums_missed'", 9);
    survey_must_tell(&scene,
        "SELECT (SELECT value FROM run WHERE key = 'choice.sites_missed') + sum(min(sites, 3)) "
        "FROM blocks",
        27);
    survey_scene_free(&scene);
}

// No reserve lies nearer than a quarter of the spacing; where none is found, it is said why.
static void reserves_stand_off_or_are_missed_with_a_reason(void **state) {
    (void)state;
    struct survey_scene scene = survey_squares();
    survey_scene_write(&scene, "choose: { sites: 6, apart_m: 400, reserves: 2 }\n");
    survey_must_rank(&scene, "sites.gpkg", &PLAIN);
    survey_must_tell(&scene,
        "SELECT count(*) FROM sites a, sites b WHERE a.rank = b.rank AND a.fid < b.fid AND "
        "ST_Distance(a.geom, b.geom) < 100",
        0);
    survey_must_tell(&scene,
        "SELECT count(*) FROM sites p WHERE role = 'primary' AND (reserve_note IS NULL) <> (2 = "
        "(SELECT count(*) FROM sites r WHERE r.reserve_for = p.site))",
        0);
    survey_scene_write(&scene, "choose: { sites: 200, apart_m: 170, reserves: 1 }\n");
    const char *message;
    assert_int_equal(survey_scene_rank(&scene, "sites.gpkg",
                         &(sel_run_options){.threads = 1, .overwrite = true}, &message),
        SEL_OK);
    assert_true(survey_scene_number(&scene, "sites.gpkg",
                    "SELECT count(*) FROM sites WHERE reserve_note LIKE 'no reserve: none of the % "
                    "other candidates within 170 m serves: %'") > 0);
    survey_scene_free(&scene);
}

// ---- uncertainty ----

// One straight edge of wood and meadow, traps in the meadow only. A misread wood is meadow, since
// no other habitat has any edge, and the other way about; either leaves no contrast, both together
// leave it as it is. So the contrast is gone in a share of 2 p (1 - p).
static struct survey_scene straight(void) {
    struct survey_scene scene = survey_scene_new(160, 200, 10);
    survey_scene_paint(&scene, 0, 0, 160, 100, 1);
    return scene;
}

static void misread_habitats_take_the_contrast_away(void **state) {
    (void)state;
    struct survey_scene scene = straight();
    survey_scene_write(&scene, "choose: { sites: 3, apart_m: 300 }\n"
                               "uncertainty: { landcover_accuracy: 0.9 }\n");
    survey_must_rank(&scene, "sites.gpkg", &PLAIN);
    survey_must_tell(&scene, "SELECT count(*) FROM sites WHERE abs(score_high - score) > 1e-8", 0);
    survey_must_tell(&scene,
        "SELECT count(*) FROM sites WHERE abs(score_low - (score - v_edge_contrast * "
        "w_edge_contrast)) > 1e-8",
        0);
    survey_scene_free(&scene);
    scene = straight();
    survey_scene_write(&scene, "choose: { sites: 3, apart_m: 300 }\n"
                               "uncertainty: { landcover_accuracy: 0.98 }\n"); // 3.9 % of draws
    survey_must_rank(&scene, "sites.gpkg", &PLAIN);
    survey_must_tell(&scene, "SELECT count(*) FROM sites WHERE abs(score_low - score) > 1e-8", 0);
    survey_scene_free(&scene);
}

// The variance of Horn's gradient under errors of correlation exp(-(d / r)^2): a double sum over
// the window's weights.
static double gradient_variance(double cell, double deviation, double range) {
    static const double weights[3][3] = {{-1, 0, 1}, {-2, 0, 2}, {-1, 0, 1}};
    double sum = 0;
    for (int a = 0; a < 9; a++)
        for (int b = 0; b < 9; b++) {
            double dx = cell * (a % 3 - b % 3) / range, dy = cell * (a / 3 - b / 3) / range;
            sum += weights[a / 3][a % 3] * weights[b / 3][b % 3] * exp(-dx * dx - dy * dy);
        }
    return sum * deviation * deviation / (64 * cell * cell);
}

// On flat ground the slope's tangent is then Rayleigh distributed: its 95th percentile is
// s sqrt(-2 ln 0.05), its 5th s sqrt(-2 ln 0.95). Value function of slope: 1 at 5 degrees, 0 at 20.
static void errors_of_elevation_tilt_flat_ground(void **state) {
    (void)state;
    struct survey_scene scene = straight();
    survey_scene_write(&scene, "choose: { sites: 3, apart_m: 300 }\n"
                               "uncertainty: { elevation_rmse_m: 3, elevation_range_m: 60 }\n");
    survey_must_rank(&scene, "sites.gpkg", &PLAIN);
    const double degrees = 180 / acos(-1);
    double s = sqrt(gradient_variance(10, 3, 60));
    double steep = atan(s * sqrt(-2 * log(0.05))) * degrees;
    double worth = 1 - (steep - 5) / 15;
    assert_true(worth > 0.2 && worth < 0.9); // in the midst of the value function
    double weight = survey_scene_number(&scene, "sites.gpkg", "SELECT w_slope FROM sites");
    double fall =
        survey_scene_number(&scene, "sites.gpkg", "SELECT avg(score - score_low) FROM sites");
    if (fabs(fall - weight * (1 - worth)) > 0.06 * weight * (1 - worth))
        fail_msg("fell by %g instead of %g", fall, weight * (1 - worth));
    survey_must_tell(&scene, "SELECT count(*) FROM sites WHERE score_high > score + 1e-8", 0);
    survey_scene_free(&scene);
}

static void without_uncertainty_there_is_no_range(void **state) {
    (void)state;
    struct survey_scene scene = straight();
    survey_scene_write(&scene, "choose: { sites: 3, apart_m: 300 }\n");
    survey_must_rank(&scene, "sites.gpkg", &PLAIN);
    survey_must_tell(&scene,
        "SELECT count(*) FROM sites WHERE coalesce(score_low, score_high) IS NOT "
        "NULL",
        0);
    survey_must_tell(&scene,
        "SELECT count(*) FROM sites WHERE share_chosen NOT BETWEEN 0 AND 1 OR "
        "rank_low > rank_high OR rank_low < 1",
        0);
    survey_must_tell(&scene, "SELECT count(*) FROM sensitivity", 3 * 3); // no access here
    survey_scene_free(&scene);
}

// Along one straight edge of even worth spread alone decides: three sites on 1590 m of edge.
static void spread_lays_sites_out_evenly(void **state) {
    (void)state;
    struct survey_scene scene = straight();
    survey_scene_write(&scene, "choose: { sites: 3, apart_m: 100, spread: 1, reserves: 0 }\n");
    survey_must_rank(&scene, "sites.gpkg", &PLAIN);
    // N of 3 on a ground of length L: D = L / 3, and sites at both ends and the middle reach it.
    survey_must_tell(&scene, "SELECT value FROM run WHERE key = 'choice.objective'", 3);
    survey_must_tell(&scene, "SELECT value FROM run WHERE key = 'choice.gap'", 0);
    assert_true(survey_scene_number(
                    &scene, "sites.gpkg", "SELECT min(nearest_site_m) FROM sites") >= 1500.0 / 3);
    survey_scene_free(&scene);
}

// Whom a limit of the sun strikes is counted with no pair and no block.
static void a_limit_of_the_sun_leaves_its_own_counts(void **state) {
    (void)state;
    struct survey_scene scene = survey_squares();
    survey_scene_write(&scene,
        "choose: { sites: 6, apart_m: 200, block_m: 1000, per_block: { max: 4 } }\n"
        "criteria: { sun: { limit: 0.7 } }\n");
    survey_must_rank(&scene, "sites.gpkg", &PLAIN);
    double eligible = survey_scene_number(&scene, "sites.gpkg",
        "SELECT count FROM dropped WHERE step = 'eligible' AND reason = 'all'");
    assert_true(survey_scene_number(&scene, "sites.gpkg",
                    "SELECT count FROM dropped WHERE step = 'candidates' AND reason = 'beyond the "
                    "limit of sun'") > 0);
    survey_must_tell(&scene, "SELECT sum(candidates) FROM pairs", eligible);
    survey_must_tell(&scene, "SELECT sum(candidates) FROM blocks", eligible);
    survey_must_tell(&scene, "SELECT sum(left_aside) FROM pairs", 0);
    survey_scene_free(&scene);
}

// With no spacing the best choice is the N best candidates. Sums of scores are rounded one way or
// the other with N, which must not cost the last of them its place.
static void without_spacing_the_best_are_chosen_however_many(void **state) {
    (void)state;
    struct survey_scene scene = survey_squares();
    for (int i = 0; i < 240 * 300; i++)
        scene.metres[i] =
            (float)(1.8 * (i / 300) + 20.0 * sin(i % 300 / 11.0) * cos(i / 300 / 17.0));
    for (int sites = 19; sites <= 31; sites += 4) {
        char more[160], best[160];
        snprintf(more, sizeof more,
            "choose: { sites: %d, apart_m: 0, reserves: 0 }\noutput: { candidates: 200 }\n", sites);
        survey_scene_write(&scene, more);
        remove(survey_scene_path(&scene, "sites.gpkg"));
        survey_must_rank(&scene, "sites.gpkg", &PLAIN);
        snprintf(best, sizeof best,
            "SELECT sum(score) FROM (SELECT score FROM candidates ORDER BY score DESC LIMIT %d)",
            sites);
        survey_must_tell(&scene, "SELECT sum(score) FROM sites",
            survey_scene_number(&scene, "sites.gpkg", best));
    }
    survey_scene_free(&scene);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(squares_of_ground_keep_their_quota),
        cmocka_unit_test(polygons_of_one_name_are_one_block),
        cmocka_unit_test(a_minimum_that_cannot_be_met_is_explained_or_relaxed),
        cmocka_unit_test(reserves_stand_off_or_are_missed_with_a_reason),
        cmocka_unit_test(misread_habitats_take_the_contrast_away),
        cmocka_unit_test(errors_of_elevation_tilt_flat_ground),
        cmocka_unit_test(without_uncertainty_there_is_no_range),
        cmocka_unit_test(spread_lays_sites_out_evenly),
        cmocka_unit_test(a_limit_of_the_sun_leaves_its_own_counts),
        cmocka_unit_test(without_spacing_the_best_are_chosen_however_many),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
