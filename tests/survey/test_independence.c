// SPDX-License-Identifier: MIT
//
// The same result whatever the machine: tile size, threads and parts change no row of the output.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "survey_lines.h"
#include "survey_scene.h"

// A patchwork with relief, wide enough for several tiles of 512 cells: classes by a whole-number
// hash of coarse squares with ragged borders, ground by two crossing slopes and bumps.
static uint32_t mix(uint32_t a, uint32_t b) {
    uint32_t h = a * 2654435761u ^ (b + 0x9e3779b9u) * 2246822519u;
    h ^= h >> 15;
    h *= 2246822519u;
    return h ^ (h >> 13);
}

static struct survey_scene patchwork(int rows, int cols) {
    struct survey_scene scene = survey_scene_new(rows, cols, 10);
    for (int row = 0; row < rows; row++)
        for (int col = 0; col < cols; col++) {
            uint32_t ragged = mix((uint32_t)row, (uint32_t)col) % 5;
            int y = (row + (int)ragged + (col / 9) % 7) / 37, x = (col + (int)ragged) / 41;
            uint8_t class = (uint8_t)(1 + mix((uint32_t)y, (uint32_t)x) % 5);
            if (mix((uint32_t)row / 3, (uint32_t)col / 3) % 97 == 0)
                class = 0;
            int at = row * cols + col;
            scene.classes[at] = class;
            scene.metres[at] = (float)(100 + (row * 7 + col * 3) % 400 / 10.0 +
                                       (double)((row / 100) * 8 + (col / 130) * 5));
        }
    return scene;
}

// Every row of the tables that a condition of SQL admits, but for some columns (an SQL list) and
// the spatial indexes, whose node order SQLite is free to choose.
static char *rows_of(
    const struct survey_scene *scene, const char *name, const char *tables, const char *but) {
    char command[13200], *out;
    const char *path = survey_scene_path(scene, name);
    snprintf(command, sizeof command,
        "for t in $(sqlite3 '%s' \"SELECT name FROM sqlite_master WHERE type = 'table' AND name "
        "NOT LIKE 'rtree_%%' AND name NOT LIKE 'sqlite_%%' AND name NOT LIKE 'gpkg_%%' AND (%s) "
        "ORDER BY name\"); do echo \"== $t\"; c=$(sqlite3 '%s' \"SELECT group_concat('[' || name "
        "|| ']') "
        "FROM "
        "pragma_table_info('$t') WHERE name NOT IN (%s)\"); sqlite3 -cmd '.mode quote' '%s' "
        "\"SELECT $c FROM \\\"$t\\\" ORDER BY rowid\"; done",
        path, tables, path, but, path);
    if (survey_scene_shell(command, &out) != 0)
        fail_msg("sqlite3 failed on %s", name);
    return out;
}

static void rank(
    const struct survey_scene *scene, const char *name, const sel_run_options *options) {
    const char *message;
    if (survey_scene_rank(scene, name, options, &message) != SEL_OK)
        fail_msg("rank: %s", message);
}

static void expect_same_tables(const struct survey_scene *scene, const char *first,
    const char *second, const char *tables, const char *but) {
    char *a = rows_of(scene, first, tables, but), *b = rows_of(scene, second, tables, but);
    assert_true(strlen(a) > 10000);
    if (strcmp(a, b) != 0) {
        size_t at = 0;
        while (a[at] == b[at])
            at++;
        size_t from = at > 120 ? at - 120 : 0;
        fail_msg("%s and %s differ near:\n%.240s\n---\n%.240s", first, second, a + from, b + from);
    }
    free(a);
    free(b);
}

static void expect_same(const struct survey_scene *scene, const char *first, const char *second) {
    expect_same_tables(scene, first, second, "1", "''");
}

static const char PLAN[] =
    "choose: { sites: 8, apart_m: 500, per_pair: { max: 2 }, block_m: 4000, per_block: { max: 4 } "
    "}\n"
    "uncertainty: { elevation_rmse_m: 2, landcover_accuracy: 0.9 }\n"
    "output: { candidates: 100000 }\n";

static void tile_size_and_threads_change_no_row(void **state) {
    (void)state;
    struct survey_scene scene = patchwork(900, 1200);
    survey_scene_write(&scene, PLAN);
    setenv("SOURCE_DATE_EPOCH", "1790000000", 1);
    rank(&scene, "a.gpkg", &(sel_run_options){.threads = 1, .tile_cells = 512});
    rank(&scene, "b.gpkg", &(sel_run_options){.threads = 3, .tile_cells = 512});
    rank(&scene, "c.gpkg", &(sel_run_options){.threads = 2, .tile_cells = 1024});
    rank(&scene, "d.gpkg", &(sel_run_options){.threads = 1, .tile_cells = 1536});
    expect_same(&scene, "a.gpkg", "b.gpkg");
    expect_same(&scene, "a.gpkg", "c.gpkg");
    expect_same(&scene, "a.gpkg", "d.gpkg");
    survey_scene_free(&scene);
}

static void expect_same_number(
    const struct survey_scene *scene, const char *first, const char *second, const char *sql) {
    double a = survey_scene_number(scene, first, sql), b = survey_scene_number(scene, second, sql);
    if (!(a == b))
        fail_msg("%s: %.17g, not %.17g", sql, b, a);
}

// What is counted of all eligible candidates, and what of the pool, in a run of a small one.
static void expect_same_counts(const struct survey_scene *scene, const char *all, const char *few) {
    static const char ELIGIBLE[] = "SELECT value FROM run WHERE key = 'candidates.eligible'";
    static const char POOL[] = "SELECT value FROM run WHERE key = 'candidates.pool'";
    static const char LIT[] = "SELECT measured FROM criteria WHERE criterion = 'sun'";
    static const char *const COLUMNS[] = {"measured", "min", "median", "max"};
    expect_same_number(scene, all, few, ELIGIBLE);
    for (size_t i = 0; i < sizeof COLUMNS / sizeof *COLUMNS; i++) {
        char sql[128];
        snprintf(sql, sizeof sql, "SELECT %s FROM criteria WHERE criterion = 'slope'", COLUMNS[i]);
        expect_same_number(scene, all, few, sql);
        snprintf(sql, sizeof sql, "SELECT %s FROM criteria WHERE criterion = 'edge_contrast'",
            COLUMNS[i]);
        expect_same_number(scene, all, few, sql);
    }
    double eligible = survey_scene_number(scene, few, ELIGIBLE);
    assert_true(survey_scene_number(scene, all, POOL) == eligible);
    assert_true(survey_scene_number(scene, all, LIT) == eligible);
    assert_true(survey_scene_number(scene, few,
                    "SELECT measured FROM criteria WHERE criterion = "
                    "'slope'") == eligible);
    assert_true(survey_scene_number(scene, few, LIT) < eligible);
    assert_true(survey_scene_number(scene, few, LIT) >= survey_scene_number(scene, few, POOL));
}

// Light is measured for the pool alone. However small the pool begins, sites, reserves, rivals and
// all that is told of them are those of a run that measures everything; what differs is only how
// many candidates were kept, which three tables and some columns count, among which sites are
// ranked when weights vary, and over which the sun's spread is taken.
static void the_pool_changes_nothing_that_is_told_of_sites(void **state) {
    (void)state;
    static const char TOLD[] = "name IN ('sites', 'flyways', 'edges', 'horizon', 'profile', "
                               "'rivals', 'pairs', 'habitats') OR name LIKE 'close_up%%'";
    static const char COUNTED[] =
        "'share_chosen', 'rank_low', 'rank_high', 'by_greedy', 'next_score', 'near_occupied', "
        "'near_chosen', 'pair_full', 'block_full', 'outweighed', 'lower_score', 'left_aside', "
        "'best_left'";
    struct survey_scene scene = patchwork(900, 1200);
    survey_scene_write(&scene, "choose: { sites: 8, apart_m: 500, per_pair: { max: 2 } }\n"
                               "output: { candidates: 10 }\n");
    setenv("SOURCE_DATE_EPOCH", "1790000000", 1);
    rank(&scene, "all.gpkg", &(sel_run_options){.pool_least = 1000000});
    rank(&scene, "few.gpkg", &(sel_run_options){.pool_least = 10});
    rank(&scene, "more.gpkg", &(sel_run_options){.pool_least = 700, .threads = 2});
    expect_same_tables(&scene, "all.gpkg", "few.gpkg", TOLD, COUNTED);
    expect_same_tables(&scene, "all.gpkg", "more.gpkg", TOLD, COUNTED);
    assert_true(survey_scene_number(&scene, "few.gpkg",
                    "SELECT count FROM dropped WHERE reason LIKE 'left aside%'") > 1000);
    expect_same_counts(&scene, "all.gpkg", "few.gpkg");
    survey_scene_free(&scene);
}

static void gather(const struct survey_scene *scene, const char *name, size_t parts) {
    char plan[4096], *paths[16], *summary = NULL;
    sel_context *context = sel_context_new();
    snprintf(plan, sizeof plan, "%s", survey_scene_path(scene, "survey.yaml"));
    for (size_t i = 0; i < parts; i++) {
        char file[32];
        snprintf(file, sizeof file, "part%zu.gpkg", i + 1);
        paths[i] = strdup(survey_scene_path(scene, file));
    }
    sel_status status = sel_gather(context, plan, (const char *const *)paths, parts,
        survey_scene_path(scene, name), &(sel_run_options){.threads = 2}, &summary);
    if (status != SEL_OK)
        fail_msg("gather: %s", sel_context_message(context));
    for (size_t i = 0; i < parts; i++)
        free(paths[i]);
    sel_text_free(summary);
    sel_context_free(context);
}

static void parts_gathered_are_the_whole(void **state) {
    (void)state;
    struct survey_scene scene = patchwork(900, 1200);
    survey_scene_write(&scene, PLAN);
    setenv("SOURCE_DATE_EPOCH", "1790000000", 1);
    rank(&scene, "whole.gpkg", &(sel_run_options){.threads = 2});
    // In any order, each on another machine: of few processors or many, with much memory or little.
    sel_run_options machines[] = {{.tile_cells = 1536, .threads = 2}, {.memory_mb = 100},
        {.memory_mb = 100, .threads = 8}, {.tile_cells = 512}, {.memory_mb = 4000, .threads = 1}};
    for (int i = 5; i >= 1; i--) {
        char file[32];
        snprintf(file, sizeof file, "part%d.gpkg", i);
        machines[i - 1].part = i;
        machines[i - 1].parts = 5;
        rank(&scene, file, &machines[i - 1]);
    }
    gather(&scene, "gathered.gpkg", 5);
    expect_same(&scene, "whole.gpkg", "gathered.gpkg");
    survey_scene_free(&scene);
}

static void more_parts_than_blocks_are_the_whole(void **state) {
    (void)state;
    struct survey_scene scene = patchwork(500, 600);
    survey_scene_write(&scene, "choose: { sites: 2, apart_m: 500 }\n");
    setenv("SOURCE_DATE_EPOCH", "1790000000", 1);
    rank(&scene, "whole.gpkg", &(sel_run_options){0});
    for (int i = 1; i <= 4; i++) {
        char file[32];
        snprintf(file, sizeof file, "part%d.gpkg", i);
        rank(&scene, file, &(sel_run_options){.part = i, .parts = 4});
    }
    gather(&scene, "gathered.gpkg", 4);
    expect_same(&scene, "whole.gpkg", "gathered.gpkg");
    survey_scene_free(&scene);
}

// Roads and paths through the patchwork, some leaving the ground and coming back.
static void lay_access(const struct survey_scene *scene) {
    survey_scene_lines(scene, "roads.gpkg",
        (const char *const[]){"LINESTRING (499000 5397000, 503310 5394520, 507007 5390003)",
            "LINESTRING (508123 5399990, 510440 5397777, 513000 5397100)", "POINT (511235 5392345)",
            NULL});
    survey_scene_lines(scene, "paths.gpkg",
        (const char *const[]){"LINESTRING (501000 5396000, 504321 5398765, 509000 5398900)",
            "LINESTRING (511235 5392345, 508000 5393500, 503310 5394520)", NULL});
}

static const char ON_FOOT[] =
    "access: [ roads.gpkg, { file: paths.gpkg, role: way } ]\n"
    "criteria: { access: { weight: 4, by: time, value: [[0, 0.3], [3, 1], [20, 0]], limit: 25, "
    "min_m: 15 } }\n"
    "choose: { sites: 8, apart_m: 500, per_pair: { max: 2 } }\n"
    "output: { candidates: 100000 }\n";

// One window for all, windows as small as the tiles, windows cut for the sake of threads or memory:
// the very same times and walks.
static void walking_windows_and_threads_change_no_row(void **state) {
    (void)state;
    struct survey_scene scene = patchwork(1100, 1300);
    lay_access(&scene);
    survey_scene_write(&scene, ON_FOOT);
    setenv("SOURCE_DATE_EPOCH", "1790000000", 1);
    rank(&scene, "a.gpkg", &(sel_run_options){.threads = 1});
    rank(&scene, "b.gpkg", &(sel_run_options){.threads = 3, .tile_cells = 512});
    rank(&scene, "c.gpkg", &(sel_run_options){.threads = 3});
    rank(&scene, "d.gpkg", &(sel_run_options){.threads = 2, .memory_mb = 8});
    expect_same(&scene, "a.gpkg", "b.gpkg");
    expect_same(&scene, "a.gpkg", "c.gpkg");
    expect_same(&scene, "a.gpkg", "d.gpkg");
    assert_true(survey_scene_number(&scene, "a.gpkg", "SELECT count(*) FROM walks") >= 8);
    assert_true(survey_scene_number(&scene, "a.gpkg", "SELECT max(walk_min) FROM candidates") > 24);
    survey_scene_free(&scene);
}

static void parts_walked_apart_are_the_whole(void **state) {
    (void)state;
    struct survey_scene scene = patchwork(1100, 1300);
    lay_access(&scene);
    survey_scene_write(&scene, ON_FOOT);
    setenv("SOURCE_DATE_EPOCH", "1790000000", 1);
    rank(&scene, "whole.gpkg", &(sel_run_options){.threads = 2});
    for (int i = 1; i <= 4; i++) {
        char file[32];
        snprintf(file, sizeof file, "part%d.gpkg", i);
        rank(&scene, file,
            &(sel_run_options){.threads = i, .memory_mb = 100, .part = i, .parts = 4});
    }
    gather(&scene, "gathered.gpkg", 4);
    expect_same(&scene, "whole.gpkg", "gathered.gpkg");
    survey_scene_free(&scene);
}

static void a_part_that_is_missing_is_named(void **state) {
    (void)state;
    struct survey_scene scene = patchwork(600, 600);
    survey_scene_write(&scene, PLAN);
    rank(&scene, "part1.gpkg", &(sel_run_options){.tile_cells = 512, .part = 1, .parts = 2});
    char plan[4096], part[4096], *summary;
    snprintf(plan, sizeof plan, "%s", survey_scene_path(&scene, "survey.yaml"));
    snprintf(part, sizeof part, "%s", survey_scene_path(&scene, "part1.gpkg"));
    const char *one[] = {part}, *twice[] = {part, part};
    sel_context *context = sel_context_new();
    const char *out = survey_scene_path(&scene, "sites.gpkg");
    assert_int_equal(
        sel_gather(context, plan, one, 1, out, &(sel_run_options){0}, &summary), SEL_BAD_INPUT);
    assert_non_null(strstr(sel_context_message(context), "part 2 of 2 is missing among the 1"));
    assert_non_null(strstr(sel_context_message(context), "rank PLAN --part 2/2"));
    assert_int_equal(
        sel_gather(context, plan, twice, 2, out, &(sel_run_options){0}, &summary), SEL_BAD_INPUT);
    assert_non_null(strstr(sel_context_message(context), "name each part once"));
    sel_context_free(context);
    survey_scene_free(&scene);
}

struct three_parts {
    struct survey_scene scene;
    char plan[4096], files[3][4096];
};

// Of a scene of 2 x 3 blocks: parts 1 to 3 hold the blocks 0 and 1, 2 and 3, 4 and 5.
static void rank_three_parts(struct three_parts *three) {
    three->scene = patchwork(600, 1100);
    survey_scene_write(&three->scene, "choose: { sites: 2, apart_m: 500 }\n");
    snprintf(
        three->plan, sizeof three->plan, "%s", survey_scene_path(&three->scene, "survey.yaml"));
    for (int i = 0; i < 3; i++) {
        char name[32];
        snprintf(name, sizeof name, "part%d.gpkg", i + 1);
        rank(&three->scene, name, &(sel_run_options){.part = i + 1, .parts = 3});
        snprintf(
            three->files[i], sizeof three->files[i], "%s", survey_scene_path(&three->scene, name));
    }
}

// Spoils the table of part 2 and expects the parts to be refused for that reason.
static void expect_refused(const struct three_parts *three, const char *spoil, const char *why) {
    char command[13000], *summary;
    const char *second = three->files[1];
    const char *parts[] = {three->files[0], second, three->files[2]};
    snprintf(command, sizeof command, "cp '%s' '%s.kept' && sqlite3 '%s' \"UPDATE part SET %s\"",
        second, second, second, spoil);
    assert_int_equal(survey_scene_shell(command, NULL), 0);
    sel_context *context = sel_context_new();
    const char *out = survey_scene_path(&three->scene, "sites.gpkg");
    assert_int_equal(
        sel_gather(context, three->plan, parts, 3, out, &(sel_run_options){0}, &summary),
        SEL_BAD_INPUT);
    if (!strstr(sel_context_message(context), why))
        fail_msg("%s: %s", spoil, sel_context_message(context));
    sel_context_free(context);
    snprintf(command, sizeof command, "mv '%s.kept' '%s'", second, second);
    assert_int_equal(survey_scene_shell(command, NULL), 0);
}

static void parts_must_hold_the_ground_once(void **state) {
    (void)state;
    static struct three_parts three;
    rank_three_parts(&three);
    expect_refused(&three, "first_block = 1",
        "part2.gpkg: holds the blocks 1 to 4, where part 2 of 3 begins at 2 of 6: make it anew");
    expect_refused(&three, "end_block = 5",
        "part3.gpkg: holds the blocks 4 to 6, where part 3 of 3 begins at 5 of 6: make it anew");
    expect_refused(&three, "block_cols = 4", "part2.gpkg: was made for other ground than ");
    expect_refused(&three, "part = 3", "part 2 of 3 is missing among the 3");
    expect_refused(&three, "part = 1", "is part 1, and so is ");
    expect_refused(&three, "parts = 4", "part2.gpkg: is part 2 of 4, but ");
    expect_refused(&three, "part = 7", "part2.gpkg: its table 'part' is damaged");
    survey_scene_free(&three.scene);
}

static void a_part_of_another_plan_is_refused(void **state) {
    (void)state;
    struct survey_scene scene = patchwork(600, 600);
    survey_scene_write(&scene, PLAN);
    rank(&scene, "part1.gpkg", &(sel_run_options){.tile_cells = 512, .part = 1, .parts = 1});
    survey_scene_write(&scene, "choose: { sites: 3 }\n");
    char plan[4096], part[4096], *summary;
    snprintf(plan, sizeof plan, "%s", survey_scene_path(&scene, "survey.yaml"));
    snprintf(part, sizeof part, "%s", survey_scene_path(&scene, "part1.gpkg"));
    const char *one[] = {part};
    sel_context *context = sel_context_new();
    assert_int_equal(sel_gather(context, plan, one, 1, survey_scene_path(&scene, "sites.gpkg"),
                         &(sel_run_options){0}, &summary),
        SEL_BAD_INPUT);
    assert_non_null(
        strstr(sel_context_message(context), "another plan, habitat table, grid or version"));
    survey_scene_write(&scene, PLAN); // the plan of the part again, but another table
    char command[4400];
    snprintf(command, sizeof command, "sed -i s/scrub,4/scrub,5/ '%s'",
        survey_scene_path(&scene, "habitats.csv"));
    assert_int_equal(survey_scene_shell(command, NULL), 0);
    assert_int_equal(sel_gather(context, plan, one, 1, survey_scene_path(&scene, "sites.gpkg"),
                         &(sel_run_options){0}, &summary),
        SEL_BAD_INPUT);
    assert_non_null(strstr(sel_context_message(context), "another plan, habitat table"));
    sel_context_free(context);
    survey_scene_free(&scene);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(tile_size_and_threads_change_no_row),
        cmocka_unit_test(the_pool_changes_nothing_that_is_told_of_sites),
        cmocka_unit_test(parts_gathered_are_the_whole),
        cmocka_unit_test(more_parts_than_blocks_are_the_whole),
        cmocka_unit_test(walking_windows_and_threads_change_no_row),
        cmocka_unit_test(parts_walked_apart_are_the_whole),
        cmocka_unit_test(a_part_that_is_missing_is_named),
        cmocka_unit_test(parts_must_hold_the_ground_once),
        cmocka_unit_test(a_part_of_another_plan_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
