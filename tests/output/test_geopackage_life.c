// SPDX-License-Identifier: MIT
//
// The GeoPackage's life: nothing is left behind by a run that fails, nothing is replaced unasked,
// and two runs write the same rows.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <cpl_conv.h>
#include <ogr_srs_api.h>
#include <pthread.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/status.h"
#include "output/geopackage.h"
#include "output_scene.h"

static const struct output_scene_size SMALL = {60, 80, 3, 1, 150, false};

static void write_text(const char *path, const char *chars) {
    FILE *stream = fopen(path, "wb");
    assert_non_null(stream);
    assert_true(fputs(chars, stream) >= 0);
    assert_int_equal(fclose(stream), 0);
}

static void expect_text(const char *path, const char *chars) {
    char got[256] = "";
    FILE *stream = fopen(path, "rb");
    assert_non_null(stream);
    size_t length = fread(got, 1, sizeof got - 1, stream);
    fclose(stream);
    got[length] = '\0';
    assert_string_equal(got, chars);
}

static void expect_message(const struct output_scene *scene, const char *part) {
    const char *message = sel_context_message(scene->context);
    if (!strstr(message, part))
        fprintf(stderr, "\"%s\" is not in \"%s\"\n", part, message);
    assert_non_null(strstr(message, part));
}

// --- atomic ---

static void an_abandoned_file_leaves_the_earlier_one_and_no_litter(void **state) {
    struct output_scene *scene = *state;
    char *path = output_scene_path(scene, "kept.gpkg");
    struct sel_traced_lines lines = {0};
    struct sel_geopackage *file;
    write_text(path, "the earlier result");
    assert_int_equal(
        sel_geopackage_open(scene->context, path, true, &scene->plan, &scene->study, &file),
        SEL_OK);
    assert_int_equal(output_scene_files(scene, ".part.gpkg"), 1);
    output_scene_block(scene, 0, 0, &lines);
    assert_int_equal(sel_geopackage_add_edges(file, 0, 0, &lines), SEL_OK);
    sel_geopackage_abandon(file);
    expect_text(path, "the earlier result");
    assert_int_equal(output_scene_files(scene, ".part"), 0);
    assert_int_equal(output_scene_files(scene, "kept"), 1);
    sel_geopackage_abandon(NULL);
    free(lines.items);
    free(lines.vertices);
    free(path);
}

// What a second signal does: the file and SQLite's journal go at once, the earlier result stays.
static void a_discarded_file_leaves_the_earlier_one_and_no_litter(void **state) {
    struct output_scene *scene = *state;
    char *path = output_scene_path(scene, "kept.gpkg");
    struct sel_geopackage *file;
    write_text(path, "the earlier result");
    assert_int_equal(
        sel_geopackage_open(scene->context, path, true, &scene->plan, &scene->study, &file),
        SEL_OK);
    char journal[4096];
    snprintf(journal, sizeof journal, "%.*s.kept.%ld.part.gpkg-journal",
        (int)(strlen(path) - strlen("kept.gpkg")), path, (long)getpid());
    write_text(journal, "of a write cut short");
    assert_int_equal(output_scene_files(scene, ".part"), 2);
    sel_discard(scene->context);
    assert_int_equal(output_scene_files(scene, ".part"), 0);
    expect_text(path, "the earlier result");
    sel_geopackage_abandon(file);
    free(path);
}

static void an_interrupted_finish_leaves_no_litter(void **state) {
    struct output_scene *scene = *state;
    char *path = output_scene_path(scene, "cut.gpkg");
    struct sel_geopackage *file;
    assert_int_equal(
        sel_geopackage_open(scene->context, path, false, &scene->plan, &scene->study, &file),
        SEL_OK);
    sel_cancel(scene->context);
    assert_int_equal(sel_geopackage_finish(file, &scene->survey), SEL_INTERRUPTED);
    assert_int_equal(output_scene_files(scene, "cut"), 0);
    free(path);
}

// The disk is made to look full by a limit on the size of files.
static void write_on_a_full_disk(struct output_scene *scene, const char *path, rlim_t bytes) {
    struct rlimit earlier, limit;
    signal(SIGXFSZ, SIG_IGN);
    assert_int_equal(getrlimit(RLIMIT_FSIZE, &earlier), 0);
    limit = (struct rlimit){bytes, earlier.rlim_max};
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &limit), 0);
    sel_status status = output_scene_write(scene, path, true, false);
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &earlier), 0);
    assert_int_equal(status, SEL_IO);
    expect_message(scene, path);
    sel_context_begin(scene->context);
}

static void a_full_disk_is_told_and_leaves_no_litter(void **state) {
    static const rlim_t BYTES[] = {1 << 14, 1 << 16, 1 << 17, 1 << 18, 300 * 1024, 350 * 1024};
    struct output_scene *scene = *state;
    char *path = output_scene_path(scene, "full.gpkg");
    write_text(path, "the earlier result");
    for (size_t i = 0; i < sizeof BYTES / sizeof *BYTES; i++) {
        write_on_a_full_disk(scene, path, BYTES[i]);
        expect_text(path, "the earlier result");
        assert_int_equal(output_scene_files(scene, "full"), 1);
    }
    free(path);
}

static void what_exists_is_replaced_only_when_asked(void **state) {
    struct output_scene *scene = *state;
    char *path = output_scene_path(scene, "twice.gpkg");
    assert_int_equal(output_scene_write(scene, path, false, false), SEL_OK);
    assert_int_equal(output_scene_write(scene, path, false, false), SEL_BAD_INPUT);
    expect_message(scene, "twice.gpkg: exists already");
    expect_message(scene, "--overwrite");
    sel_context_begin(scene->context);
    assert_int_equal(output_scene_write(scene, path, true, false), SEL_OK);
    assert_int_equal(output_scene_files(scene, "twice"), 1);
    free(path);
}

static void a_file_that_appears_meanwhile_is_kept(void **state) {
    struct output_scene *scene = *state;
    char *path = output_scene_path(scene, "late.gpkg");
    struct sel_geopackage *file;
    assert_int_equal(
        sel_geopackage_open(scene->context, path, false, &scene->plan, &scene->study, &file),
        SEL_OK);
    write_text(path, "someone else's");
    assert_int_equal(sel_geopackage_finish(file, &scene->survey), SEL_BAD_INPUT);
    expect_text(path, "someone else's");
    assert_int_equal(output_scene_files(scene, "late"), 1);
    free(path);
}

// --- refusals ---

static void refuse(
    struct output_scene *scene, const char *path, sel_status wanted, const char *message) {
    struct sel_geopackage *file;
    assert_int_equal(
        sel_geopackage_open(scene->context, path, false, &scene->plan, &scene->study, &file),
        wanted);
    assert_null(file);
    expect_message(scene, message);
    sel_context_begin(scene->context);
}

static void a_bad_name_or_folder_is_refused(void **state) {
    struct output_scene *scene = *state;
    char *other = output_scene_path(scene, "sites.shp");
    char *folder = output_scene_path(scene, "nowhere/sites.gpkg");
    refuse(scene, other, SEL_BAD_INPUT, "sites.shp: the result is a GeoPackage");
    refuse(scene, folder, SEL_BAD_INPUT, "nowhere does not exist");
    refuse(scene, ".gpkg", SEL_BAD_INPUT, "give a name that ends in .gpkg");
    free(other);
    free(folder);
}

static void a_bad_source_date_epoch_is_refused(void **state) {
    struct output_scene *scene = *state;
    char *path = output_scene_path(scene, "epoch.gpkg");
    setenv("SOURCE_DATE_EPOCH", "yesterday", 1);
    refuse(scene, path, SEL_BAD_INPUT, "SOURCE_DATE_EPOCH: \"yesterday\"");
    unsetenv("SOURCE_DATE_EPOCH");
    free(path);
}

static void a_block_with_too_many_lines_is_refused(void **state) {
    struct output_scene *scene = *state;
    char *path = output_scene_path(scene, "many.gpkg");
    struct sel_geopackage *file;
    struct sel_traced_lines lines = {.count = 1 << 20};
    assert_int_equal(
        sel_geopackage_open(scene->context, path, false, &scene->plan, &scene->study, &file),
        SEL_OK);
    assert_int_equal(sel_geopackage_add_edges(file, 2, 3, &lines), SEL_IO);
    expect_message(scene, "layer edges: block 2, 3");
    sel_geopackage_abandon(file);
    free(path);
}

// --- the same rows ---

static char *dump(const char *path) {
    char command[8192], *rows;
    snprintf(command, sizeof command, "sqlite3 '%s' .dump", path);
    assert_int_equal(output_scene_run(command, &rows), 0);
    return rows;
}

static void two_runs_write_the_same_rows_whatever_the_order_of_the_blocks(void **state) {
    (void)state;
    struct output_scene *scene =
        output_scene_new((struct output_scene_size){600, 1100, 5, 1, 400, false});
    char *first = output_scene_path(scene, "first.gpkg");
    char *second = output_scene_path(scene, "second.gpkg");
    setenv("SOURCE_DATE_EPOCH", "1798761600", 1); // 2027-01-01
    assert_int_equal(output_scene_write(scene, first, false, false), SEL_OK);
    assert_int_equal(output_scene_write(scene, second, false, true), SEL_OK);
    unsetenv("SOURCE_DATE_EPOCH");
    char *rows = dump(first), *others = dump(second);
    assert_int_equal(strlen(rows), strlen(others));
    assert_string_equal(rows, others);
    char *dates = output_scene_sql(first, "SELECT DISTINCT last_change FROM gpkg_contents");
    assert_string_equal(dates, "2027-01-01T00:00:00.000Z");
    free(dates);
    free(rows);
    free(others);
    free(first);
    free(second);
    output_scene_free(scene);
}

struct worker {
    struct output_scene *scene;
    struct sel_geopackage *file;
    int64_t first;
};

static void *add_blocks(void *user) {
    struct worker *worker = user;
    struct sel_traced_lines lines = {0};
    for (int64_t block = worker->first; block < 6; block += 2) {
        output_scene_block(worker->scene, block / 3, block % 3, &lines);
        if (sel_geopackage_add_edges(worker->file, block / 3, block % 3, &lines) != SEL_OK)
            abort();
    }
    free(lines.items);
    free(lines.vertices);
    return NULL;
}

static void two_threads_may_add_edges(void **state) {
    (void)state;
    struct output_scene *scene =
        output_scene_new((struct output_scene_size){600, 1100, 1, 0, 400, false});
    char *alone = output_scene_path(scene, "alone.gpkg");
    char *shared = output_scene_path(scene, "shared.gpkg");
    setenv("SOURCE_DATE_EPOCH", "1798761600", 1);
    assert_int_equal(output_scene_write(scene, alone, false, false), SEL_OK);
    struct sel_geopackage *file;
    assert_int_equal(
        sel_geopackage_open(scene->context, shared, false, &scene->plan, &scene->study, &file),
        SEL_OK);
    struct worker workers[2] = {{scene, file, 0}, {scene, file, 1}};
    pthread_t threads[2];
    for (int i = 0; i < 2; i++)
        assert_int_equal(pthread_create(&threads[i], NULL, add_blocks, &workers[i]), 0);
    for (int i = 0; i < 2; i++)
        assert_int_equal(pthread_join(threads[i], NULL), 0);
    assert_int_equal(sel_geopackage_finish(file, &scene->survey), SEL_OK);
    unsetenv("SOURCE_DATE_EPOCH");
    char *rows = dump(alone), *others = dump(shared);
    assert_string_equal(rows, others);
    free(rows);
    free(others);
    free(alone);
    free(shared);
    output_scene_free(scene);
}

// --- options ---

static void expect_sql(const char *path, const char *query, const char *wanted) {
    char *answer = output_scene_sql(path, query);
    assert_string_equal(answer, wanted);
    free(answer);
}

static void a_criterion_not_in_use_is_null_everywhere(void **state) {
    (void)state;
    struct output_scene_size size = SMALL;
    size.no_access = true;
    struct output_scene *scene = output_scene_new(size);
    char *path = output_scene_path(scene, "sites.gpkg");
    assert_int_equal(output_scene_write(scene, path, false, false), SEL_OK);
    expect_sql(path,
        "SELECT count(*) FROM sites WHERE coalesce(access_m, v_access, w_access) IS NOT NULL", "0");
    expect_sql(path, "SELECT count(*) FROM candidates WHERE access_m IS NOT NULL", "0");
    expect_sql(path,
        "SELECT in_use, weight IS NULL, min IS NULL FROM criteria WHERE criterion = "
        "'access'",
        "0|1|1");
    expect_sql(path, "SELECT round(sum(weight), 6) FROM criteria", "1.0");
    free(path);
    output_scene_free(scene);
}

static void candidates_keep_to_their_limit(void **state) {
    (void)state;
    struct output_scene *scene = output_scene_new(SMALL);
    char *path = output_scene_path(scene, "sites.gpkg");
    scene->plan.candidates_limit = 4;
    assert_int_equal(output_scene_write(scene, path, false, false), SEL_OK);
    // The four best, and whatever became a site or a reserve beyond them.
    expect_sql(path, "SELECT count(*) FROM candidates WHERE fid <= 4", "4");
    expect_sql(path, "SELECT count(*) FROM candidates WHERE fid > 4 AND site IS NULL", "0");
    expect_sql(path,
        "SELECT count(*) FROM sites WHERE site NOT IN (SELECT site FROM candidates WHERE site IS "
        "NOT NULL)",
        "0");
    expect_sql(path,
        "SELECT (SELECT value FROM run WHERE key = 'candidates.written') = (SELECT count(*) FROM "
        "candidates)",
        "1");
    expect_sql(path,
        "SELECT (SELECT value FROM run WHERE key = 'candidates.eligible') = (SELECT count FROM "
        "dropped WHERE step = 'eligible' AND reason = 'all')",
        "1");
    expect_sql(path, "SELECT count(*) FROM rivals WHERE candidate > 4", "0");
    scene->plan.candidates_limit = 0;
    assert_int_equal(output_scene_write(scene, path, true, false), SEL_OK);
    expect_sql(path, "SELECT count(*) FROM gpkg_contents WHERE table_name = 'candidates'", "0");
    free(path);
    output_scene_free(scene);
}

static void large_files_are_told_without_a_checksum(void **state) {
    (void)state;
    struct output_scene *scene = output_scene_new(SMALL);
    char *path = output_scene_path(scene, "sites.gpkg");
    scene->plan.checksum_mb = 0.0015; // 1,500 bytes: less than lc.tif and dem.tif
    assert_int_equal(output_scene_write(scene, path, false, false), SEL_OK);
    expect_sql(path,
        "SELECT file, sha256 IS NULL, note FROM inputs WHERE file IN ('dem.tif', 'lc.vrt')",
        "lc.vrt|0|\ndem.tif|1|larger than checksum_mb (0.0015 MB): not summed");
    free(path);
    output_scene_free(scene);
}

static void vectors_and_legends_are_told_too(void **state) {
    (void)state;
    struct output_scene *scene = output_scene_new(SMALL);
    char *path = output_scene_path(scene, "sites.gpkg"), command[8192];
    snprintf(command, sizeof command,
        "cd '%s' && printf 'id,wkt\\n1,POINT(15 46)\\n' > p.csv && ogr2ogr -f 'ESRI Shapefile' "
        "roads.shp p.csv -oo GEOM_POSSIBLE_NAMES=wkt -oo KEEP_GEOM_COLUMNS=NO -a_srs EPSG:4326 "
        "2>/dev/null",
        scene->folder);
    assert_int_equal(output_scene_run(command, NULL), 0);
    char *roads = output_scene_path(scene, "roads.shp");
    struct sel_plan_access access = {{roads, NULL, {0, 0}}, SEL_ACCESS_START};
    struct sel_plan_zone zone = {{roads, "roads", {0, 0}}, SEL_ZONE_NO_CLEARING, (char *)"hay"};
    scene->plan.access = &access;
    scene->plan.zones = &zone;
    scene->plan.access_count = scene->plan.zones_count = 1;
    scene->plan.habitats_is_legend = true;
    assert_int_equal(output_scene_write(scene, path, false, false), SEL_OK);
    expect_sql(path,
        "SELECT role, file, driver, crs, coalesce(layer, '-') FROM inputs WHERE driver "
        "= 'ESRI Shapefile'",
        "access: start|roads.shp|ESRI Shapefile|WGS 84 (EPSG:4326)|-\n"
        "zone: no_clearing|roads.shp|ESRI Shapefile|WGS 84 (EPSG:4326)|roads");
    expect_sql(path,
        "SELECT file FROM inputs WHERE belongs_to = 'roads.shp' AND role LIKE 'a%' "
        "ORDER BY file",
        "roads.dbf\nroads.prj\nroads.shx");
    expect_sql(path, "SELECT note FROM inputs WHERE role = 'habitats'", "built-in legend");
    free(roads);
    free(path);
    output_scene_free(scene);
}

// A coordinate system without a registered code, as a resampled grid may have.
static void a_grid_without_a_code_is_written_soundly(void **state) {
    (void)state;
    struct output_scene *scene = output_scene_new(SMALL);
    char *path = output_scene_path(scene, "sites.gpkg"), command[8192], *wkt = NULL;
    OGRSpatialReferenceH crs = OSRNewSpatialReference(NULL);
    assert_int_equal(
        OSRImportFromProj4(crs, "+proj=laea +lat_0=46.3 +lon_0=15.2 +datum=WGS84"), OGRERR_NONE);
    assert_int_equal(OSRExportToWkt(crs, &wkt), OGRERR_NONE);
    free(scene->study.grid.crs);
    scene->study.grid.crs = strdup(wkt);
    CPLFree(wkt);
    OSRRelease(crs);
    assert_int_equal(output_scene_write(scene, path, false, false), SEL_OK);
    expect_sql(path,
        "SELECT count(DISTINCT srs_id) FROM gpkg_contents WHERE data_type <> "
        "'attributes'",
        "1");
    expect_sql(path, "PRAGMA foreign_key_check", "");
    snprintf(command, sizeof command,
        "/usr/bin/python3 -c 'import osgeo_utils.samples.validate_gpkg' 2>/dev/null || exit 0; "
        "/usr/bin/python3 -m osgeo_utils.samples.validate_gpkg --extra '%s' 2>&1",
        path);
    assert_int_equal(output_scene_run(command, NULL), 0);
    free(path);
    output_scene_free(scene);
}

// Latin-1 bytes in a name (a habitat table saved by an old spreadsheet) must not make bad text.
static void bytes_that_are_no_utf8_are_replaced(void **state) {
    (void)state;
    struct output_scene *scene = output_scene_new(SMALL);
    char *path = output_scene_path(scene, "sites.gpkg");
    free(scene->plan.habitats.items[0].name);
    scene->plan.habitats.items[0].name = strdup("caf\xE9");
    assert_int_equal(output_scene_write(scene, path, false, false), SEL_OK);
    expect_sql(path, "SELECT habitat FROM habitats WHERE id = 1", "caf\xEF\xBF\xBD");
    free(path);
    output_scene_free(scene);
}

static void a_ring_is_closed_once(void **state) {
    (void)state;
    struct output_scene *scene = output_scene_new(SMALL);
    char *path = output_scene_path(scene, "sites.gpkg");
    struct vec2 vertices[] = {{10, 10}, {20, 10}, {20, 20}, {30, 30}, {40, 30}, {40, 40}, {30, 30}};
    struct sel_traced_line items[] = {{1, 2, 0, 3, 3, 150, true}, {1, 2, 3, 4, 4, 200, true}};
    struct sel_traced_lines lines = {items, 2, 2, vertices, 7, 7};
    struct sel_geopackage *file;
    assert_int_equal(
        sel_geopackage_open(scene->context, path, false, &scene->plan, &scene->study, &file),
        SEL_OK);
    assert_int_equal(sel_geopackage_add_edges(file, 0, 0, &lines), SEL_OK);
    assert_int_equal(sel_geopackage_finish(file, &scene->survey), SEL_OK);
    char command[8192], *printed;
    snprintf(command, sizeof command, "ogrinfo -q '%s' edges", path);
    assert_int_equal(output_scene_run(command, &printed), 0);
    assert_non_null(strstr(printed, "LINESTRING (512050 5125950,512100 5125950,512100 5125900,"
                                    "512050 5125950)"));
    assert_non_null(strstr(printed, "LINESTRING (512150 5125850,512200 5125850,512200 5125800,"
                                    "512150 5125850)"));
    free(printed);
    free(path);
    output_scene_free(scene);
}

static int set_up(void **state) {
    *state = output_scene_new(SMALL);
    return 0;
}

static int tear_down(void **state) {
    output_scene_free(*state);
    return 0;
}

int main(void) {
    unsetenv("SOURCE_DATE_EPOCH");
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(
            an_abandoned_file_leaves_the_earlier_one_and_no_litter, set_up, tear_down),
        cmocka_unit_test_setup_teardown(
            a_discarded_file_leaves_the_earlier_one_and_no_litter, set_up, tear_down),
        cmocka_unit_test_setup_teardown(an_interrupted_finish_leaves_no_litter, set_up, tear_down),
        cmocka_unit_test_setup_teardown(
            a_full_disk_is_told_and_leaves_no_litter, set_up, tear_down),
        cmocka_unit_test_setup_teardown(what_exists_is_replaced_only_when_asked, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_file_that_appears_meanwhile_is_kept, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_bad_name_or_folder_is_refused, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_bad_source_date_epoch_is_refused, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_block_with_too_many_lines_is_refused, set_up, tear_down),
        cmocka_unit_test(two_runs_write_the_same_rows_whatever_the_order_of_the_blocks),
        cmocka_unit_test(two_threads_may_add_edges),
        cmocka_unit_test(a_criterion_not_in_use_is_null_everywhere),
        cmocka_unit_test(candidates_keep_to_their_limit),
        cmocka_unit_test(large_files_are_told_without_a_checksum),
        cmocka_unit_test(vectors_and_legends_are_told_too),
        cmocka_unit_test(a_grid_without_a_code_is_written_soundly),
        cmocka_unit_test(bytes_that_are_no_utf8_are_replaced),
        cmocka_unit_test(a_ring_is_closed_once),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
