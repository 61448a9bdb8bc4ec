// SPDX-License-Identifier: MIT
//
// What the GeoPackage holds, read back with other programs: the sqlite3 shell, ogrinfo, GDAL's own
// GeoPackage validator. Requirement numbers are those of OGC 12-128.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "output/geopackage.h"
#include "output_scene.h"

static struct output_scene *scene;
static char *path;

static void assert_near(double value, double wanted, double tolerance) {
    if (!(fabs(value - wanted) <= tolerance))
        fprintf(stderr, "%.12g is not %.12g\n", value, wanted);
    assert_true(fabs(value - wanted) <= tolerance);
}

static void expect_sql(const char *query, const char *wanted) {
    char *answer = output_scene_sql(path, query);
    assert_string_equal(answer, wanted);
    free(answer);
}

static double number_sql(const char *query) {
    char *answer = output_scene_sql(path, query);
    double number = strtod(answer, NULL);
    free(answer);
    return number;
}

// --- the container ---

static void the_validator_finds_nothing(void **state) {
    (void)state;
    char command[8192], *printed;
    if (output_scene_run(
            "/usr/bin/python3 -c 'import osgeo_utils.samples.validate_gpkg' 2>&1", NULL) != 0) {
        fprintf(stderr, "SKIPPED: GDAL's GeoPackage validator (python3-gdal) is not installed\n");
        skip();
    }
    snprintf(command, sizeof command,
        "/usr/bin/python3 -m osgeo_utils.samples.validate_gpkg --extra --warning-as-error '%s' "
        "2>&1",
        path);
    int result = output_scene_run(command, &printed);
    if (result != 0)
        fprintf(stderr, "%s\n", printed);
    assert_int_equal(result, 0);
    free(printed);
}

// Requirements 1, 2, 6 and 7.
static void the_file_is_a_sound_geopackage(void **state) {
    (void)state;
    unsigned char head[72];
    FILE *stream = fopen(path, "rb");
    assert_non_null(stream);
    assert_int_equal(fread(head, 1, sizeof head, stream), sizeof head);
    fclose(stream);
    assert_memory_equal(head, "SQLite format 3", 16);
    assert_memory_equal(head + 68, "GPKG", 4);
    expect_sql("PRAGMA application_id", "1196444487");
    expect_sql("PRAGMA integrity_check", "ok");
    expect_sql("PRAGMA foreign_key_check", "");
}

// Requirements 10, 13, 20, 58, 75.
static void the_required_tables_and_indexes_are_there(void **state) {
    (void)state;
    expect_sql("SELECT count(*) FROM sqlite_master WHERE name IN ('gpkg_spatial_ref_sys', "
               "'gpkg_contents', 'gpkg_geometry_columns', 'gpkg_extensions', "
               "'gpkg_tile_matrix_set', 'gpkg_tile_matrix')",
        "6");
    expect_sql("SELECT group_concat(srs_id) FROM (SELECT srs_id FROM gpkg_spatial_ref_sys "
               "WHERE srs_id IN (-1, 0, 4326, 32633) ORDER BY 1)",
        "-1,0,4326,32633");
    expect_sql("SELECT group_concat(table_name) FROM (SELECT table_name FROM gpkg_extensions "
               "WHERE extension_name = 'gpkg_rtree_index' ORDER BY 1)",
        "candidates,edges,flyways,ground_access,ground_area,ground_occupied,ground_zones,sites");
    expect_sql("SELECT (SELECT count(*) FROM rtree_edges_geom) = (SELECT count(*) FROM edges), "
               "(SELECT count(*) FROM rtree_candidates_geom) = (SELECT count(*) FROM candidates)",
        "1|1");
}

static void layers_and_tables_come_in_reading_order(void **state) {
    (void)state;
    expect_sql("SELECT group_concat(table_name) FROM gpkg_contents WHERE data_type = 'features'",
        "sites,flyways,edges,candidates,ground_area,ground_zones,ground_access,ground_occupied");
    expect_sql("SELECT group_concat(table_name) FROM gpkg_contents WHERE data_type = 'attributes'",
        "criteria,horizon,profile,rivals,close_up,habitats,pairs,blocks,sensitivity,dropped,inputs,"
        "plan,"
        "run");
    expect_sql(
        "SELECT count(*) FROM gpkg_contents WHERE description = '' OR description IS NULL", "0");
    expect_sql("SELECT group_concat(geometry_type_name) FROM gpkg_geometry_columns",
        "POINT,LINESTRING,LINESTRING,POINT,MULTIPOLYGON,MULTIPOLYGON,GEOMETRY,POINT");
}

// The extent in gpkg_contents against the coordinates of the survey itself.
static void the_extent_is_that_of_the_sites(void **state) {
    (void)state;
    double west = (double)INFINITY, south = (double)INFINITY, east = (double)-INFINITY,
           north = (double)-INFINITY;
    for (size_t i = 0; i < scene->survey.site_count; i++) {
        west = fmin(west, scene->survey.sites[i].x);
        east = fmax(east, scene->survey.sites[i].x);
        south = fmin(south, scene->survey.sites[i].y);
        north = fmax(north, scene->survey.sites[i].y);
    }
    char wanted[128];
    snprintf(wanted, sizeof wanted, "%.1f|%.1f|%.1f|%.1f|32633", west, south, east, north);
    expect_sql("SELECT min_x, min_y, max_x, max_y, srs_id FROM gpkg_contents WHERE "
               "table_name = 'sites'",
        wanted);
}

// --- sites ---

static void sites_has_the_columns_that_are_promised(void **state) {
    (void)state;
    expect_sql("SELECT group_concat(name) FROM pragma_table_info('sites')",
        "fid,geom,rank,site,role,reserve_for,score,habitat_a,habitat_b,pair,edge_contrast,"
        "slope_deg,sun_share,sun_hours,access_m,walk_m,walk_min,climb_m,access_x,access_y,"
        "access_latitude,access_longitude,v_edge_contrast,v_slope,v_sun,v_access,"
        "w_edge_contrast,w_slope,w_sun,w_access,next_score,score_low,score_high,share_chosen,"
        "rank_low,rank_high,by_greedy,flyway_true_deg,"
        "edge_true_deg,panel_true_deg,head_true_deg,head_choice,panel_magnetic_deg,"
        "head_magnetic_deg,declination_deg,elevation_m,latitude,longitude,"
        "coordinate_uncertainty_m,parcel,owner_ref,zone,clearing,support,shade,water_m,"
        "above_water_m,horizon_complete,edge_straightness,depth_a_m,depth_b_m,sky_view,"
        "light_kwh_m2_day,light_azimuth_true_deg,first_sun_h,last_sun_h,"
        "first_bright_h,last_bright_h,morning_sun_h,afternoon_sun_h,block,nearest_site_m,"
        "reserve_note,notes");
}

static void every_criterion_has_its_value_and_weight_column(void **state) {
    (void)state;
    for (int i = 0; i < SEL_CRITERIA; i++) {
        for (int w = 0; w < 2; w++) {
            char *column = output_scene_column(w ? 'w' : 'v', (enum sel_criterion)i), query[256];
            snprintf(query, sizeof query,
                "SELECT count(*) FROM pragma_table_info('sites') WHERE name = '%s'", column);
            expect_sql(query, "1");
            free(column);
        }
    }
}

// What is found row by row, against the survey's own structs.
static void sites_hold_what_the_survey_found(void **state) {
    (void)state;
    char query[512];
    for (size_t i = 0; i < scene->survey.site_count; i++) {
        const struct sel_site *site = &scene->survey.sites[i];
        const struct sel_candidate *candidate = &scene->survey.candidates[site->candidate];
        snprintf(query, sizeof query,
            "SELECT rank = %d AND abs(score - %.12f) < 1e-9 AND abs(edge_contrast - %.12f) < 1e-6 "
            "AND abs(slope_deg - %.12f) < 1e-4 AND abs(sun_share - %.12f) < 1e-6 AND "
            "abs(access_m - %.12f) < 0.01 AND abs(latitude - %.12f) < 1e-7 AND "
            "abs(longitude - %.12f) < 1e-7 AND abs(v_sun - %.12f) < 1e-9 FROM sites "
            "WHERE fid = %zu",
            site->rank, candidate->score, candidate->measure[0], candidate->measure[1],
            candidate->measure[2], candidate->measure[3], site->latitude, site->longitude,
            site->values[SEL_CRITERION_SUN], i + 1);
        expect_sql(query, "1");
    }
}

static void the_first_rows_read_as_expected(void **state) {
    (void)state;
    expect_sql("SELECT rank, site, role, reserve_for, flyway_true_deg, edge_true_deg, "
               "panel_true_deg, head_true_deg, head_choice FROM sites ORDER BY fid LIMIT 2",
        "1|S01|primary||114.14|24.14|24.14|204.14|clear\n"
        "1|S01R1|reserve|S01|114.14|24.14|24.14|204.14|weak");
    expect_sql("SELECT parcel = '12/4 \xD7\x97\xD7\x9C\xD7\xA7\xD7\x94', clearing, zone IS NULL "
               "FROM sites WHERE fid = 1",
        "1|1|1");
    expect_sql("SELECT clearing, zone FROM sites WHERE fid = 3",
        "0|hay-meadow agreement \"A\"; cattle from June");
    expect_sql("SELECT water_m IS NULL, above_water_m IS NULL FROM sites WHERE fid = 5", "1|1");
}

static void the_weighted_values_add_up_to_the_score(void **state) {
    (void)state;
    expect_sql("SELECT count(*) FROM sites WHERE abs(v_edge_contrast * w_edge_contrast + "
               "v_slope * w_slope + v_sun * w_sun + v_access * w_access - score) > 1e-8",
        "0");
}

static void columns_of_later_stages_are_null(void **state) {
    (void)state;
    expect_sql("SELECT count(*) FROM sites WHERE coalesce(walk_min, panel_magnetic_deg, "
               "head_magnetic_deg, declination_deg) IS NOT NULL",
        "0");
}

// The figures of the scene, see output_choice.c: by the site's number in the file.
static void sites_tell_how_they_stand(void **state) {
    (void)state;
    expect_sql("SELECT count(*) FROM sites WHERE abs(share_chosen - (1 - 0.125 * ((fid - 1) % 4))) "
               "> 1e-9 OR rank_low <> fid OR rank_high <> 10 * fid",
        "0");
    expect_sql("SELECT count(*) FROM sites WHERE abs(score_low - score + 0.1) > 1e-8 OR "
               "abs(score_high - score - 0.05) > 1e-8",
        "0");
    expect_sql("SELECT count(*) FROM sites WHERE role = 'primary' AND (abs(next_score - score + "
               "0.02) > 1e-8 OR nearest_site_m <> 249 + fid OR by_greedy <> (rank <> 4))",
        "0");
    expect_sql("SELECT count(*) FROM sites WHERE role = 'reserve' AND coalesce(next_score, "
               "nearest_site_m, by_greedy) IS NOT NULL",
        "0");
}

static void sensitivity_has_a_row_per_site_and_criterion(void **state) {
    (void)state;
    expect_sql("SELECT (SELECT count(*) FROM sensitivity) = 4 * (SELECT count(*) FROM sites WHERE "
               "role = 'primary')",
        "1");
    expect_sql("SELECT count(*) FROM sensitivity WHERE abs(smallest_change - CASE criterion WHEN "
               "'edge_contrast' THEN 0.03 WHEN 'slope' THEN 0.06 WHEN 'sun' THEN 0.09 END) > 1e-8",
        "0");
    expect_sql("SELECT count(*) FROM sensitivity WHERE (smallest_change IS NULL) <> (criterion = "
               "'access')",
        "0");
}

static void the_run_tells_how_good_the_choice_is(void **state) {
    (void)state;
    expect_sql("SELECT abs(r.value - (SELECT sum(score) FROM sites WHERE role = 'primary')) < 1e-7 "
               "FROM run r WHERE key = 'choice.total_score'",
        "1");
    expect_sql("SELECT abs(value - 0.0125) < 1e-9 FROM run WHERE key = 'choice.gap'", "1");
    expect_sql("SELECT value FROM run WHERE key = 'robustness.draws'", "2000");
    expect_sql("SELECT value FROM run WHERE key = 'spread.clark_evans'", "1.25");
}

// What became of the candidates of a pair adds up, and the shares are those of the rows.
static void the_fates_of_a_pairs_candidates_add_up(void **state) {
    (void)state;
    expect_sql("SELECT count(*) FROM pairs WHERE sites + reserves + near_occupied + near_chosen + "
               "pair_full + block_full + outweighed + lower_score + left_aside <> candidates",
        "0");
    expect_sql("SELECT count(*) FROM pairs p WHERE near_chosen <> (SELECT count(*) FROM candidates "
               "c WHERE c.pair = p.pair AND c.fate = 'too near a chosen site')",
        "0");
    expect_sql("SELECT abs(sum(site_share) - 1) < 1e-4 FROM pairs", "1");
    expect_sql("SELECT count(*) FROM pairs p WHERE abs(best_left - (SELECT max(score) FROM "
               "candidates c WHERE c.pair = p.pair AND c.fate <> 'site')) > 1e-8",
        "0");
}

static void blocks_are_listed_with_their_sites(void **state) {
    (void)state;
    expect_sql("SELECT group_concat(block) FROM blocks", "west,east");
    expect_sql("SELECT count(*) FROM blocks b WHERE sites <> (SELECT count(*) FROM sites s WHERE "
               "s.block = b.block AND role = 'primary')",
        "0");
}

// Common practice, no source: shade where more than three quarters of the light arrive. Told only
// where the sun was measured.
static void the_bottle_is_shaded_where_most_of_the_light_arrives(void **state) {
    (void)state;
    expect_sql("SELECT count(*) FROM sites WHERE shade <> (sun_share > 0.75)", "0");
    expect_sql("SELECT count(DISTINCT shade) FROM sites", "2");
}

static void hostile_names_are_kept_letter_by_letter(void **state) {
    (void)state;
    expect_sql(
        "SELECT notes = '<script>alert(''x'')</script> ' || char(27) || '[31mred' FROM sites "
        "WHERE fid = 2",
        "1");
    expect_sql("SELECT owner_ref = 'O''Malley & ' || char(34) || 'Sons' || char(34) || ' ' || "
               "char(128029) || ' <o>' FROM sites WHERE fid = 1",
        "1");
    expect_sql("SELECT owner_ref IS NULL FROM sites WHERE fid = 4", "1");
    expect_sql("SELECT habitat FROM habitats WHERE id = 9",
        "fen \xD7\xA1\xD7\x95\xD7\xA3 '); DROP TABLE sites;--");
}

// Point blobs as OGC 12-128 draws them (requirement 19): GP, version 0, little-endian without
// envelope, srs, then a little-endian WKB point.
static void a_points_bytes_are_those_of_the_standard(void **state) {
    (void)state;
    char wanted[128];
    double place[2] = {scene->survey.sites[0].x, scene->survey.sites[0].y};
    unsigned char bytes[16];
    memcpy(bytes, place, 16);
    int used = snprintf(wanted, sizeof wanted, "47500001797F00000101000000");
    for (int i = 0; i < 16; i++)
        used += snprintf(wanted + used, sizeof wanted - (size_t)used, "%02X", bytes[i]);
    expect_sql("SELECT hex(geom) FROM sites WHERE fid = 1", wanted);
}

// --- lines ---

// The transect by its definition: from reach on side a to reach on side b, through the crack.
static void flyways_run_from_side_a_to_side_b(void **state) {
    (void)state;
    const struct sel_candidate *candidate =
        &scene->survey.candidates[scene->survey.sites[0].candidate];
    double x = 512000.0 + 5.0 * candidate->crack_hx, y = 5126000.0 - 5.0 * candidate->crack_hy;
    double east = 60.0 * (double)candidate->toward_a_x,
           south = 60.0 * (double)candidate->toward_a_y;
    char wanted[256], command[8192], *printed;
    snprintf(wanted, sizeof wanted, "LINESTRING (%.0f %.0f,%.0f %.0f)", x + east, y - south,
        x - east, y + south);
    snprintf(command, sizeof command, "ogrinfo -q '%s' flyways -fid 1", path);
    assert_int_equal(output_scene_run(command, &printed), 0);
    assert_non_null(strstr(printed, wanted));
    free(printed);
    expect_sql("SELECT length_m, rank, site FROM flyways WHERE fid = 1", "120.0|1|S01");
}

// The cracks counted one by one, each 10 m long.
static void edges_and_pairs_hold_every_crack(void **state) {
    (void)state;
    int64_t cracks = 0;
    for (int64_t row = 0; row < scene->study.grid.rows; row++) {
        for (int64_t col = 0; col < scene->study.grid.cols; col++) {
            sel_habitat_id here = output_scene_habitat(scene, row, col);
            sel_habitat_id east = output_scene_habitat(scene, row, col + 1);
            sel_habitat_id south = output_scene_habitat(scene, row + 1, col);
            cracks += east != SEL_HABITAT_UNKNOWN && east != here;
            cracks += south != SEL_HABITAT_UNKNOWN && south != here;
        }
    }
    assert_near(number_sql("SELECT sum(length_m) FROM edges"), 10.0 * (double)cracks, 1e-6);
    assert_near(number_sql("SELECT sum(length_m) FROM pairs"), 10.0 * (double)cracks, 1e-6);
    assert_near(number_sql("SELECT sum(length_share) FROM pairs"), 1.0, 1e-5);
    assert_int_equal((int64_t)number_sql("SELECT sum(cracks) FROM edges"), cracks);
    expect_sql("SELECT count(*) FROM pairs p WHERE abs(length_m - (SELECT sum(length_m) FROM edges "
               "e WHERE e.pair = p.pair)) > 0.01",
        "0");
}

static void edge_numbers_tell_block_and_line(void **state) {
    (void)state;
    expect_sql("SELECT min(fid) FROM edges", "1");
    expect_sql(
        "SELECT group_concat(block) FROM (SELECT DISTINCT (fid - 1) >> 20 AS block FROM edges "
        "ORDER BY 1)",
        "0,1");
    expect_sql("SELECT count(*) FROM (SELECT (fid - 1) >> 20 AS block, count(*) AS lines, "
               "max((fid - 1) & 1048575) + 1 AS highest FROM edges GROUP BY 1) WHERE lines <> "
               "highest",
        "0");
}

// --- candidates ---

static void candidates_are_those_of_the_survey_in_its_order(void **state) {
    (void)state;
    assert_int_equal(
        (size_t)number_sql("SELECT count(*) FROM candidates"), scene->survey.candidate_count);
    expect_sql("SELECT count(*) FROM candidates a JOIN candidates b ON b.fid = a.fid + 1 WHERE "
               "b.score > a.score",
        "0");
    expect_sql("SELECT (SELECT group_concat(site) FROM (SELECT site FROM candidates WHERE site IS "
               "NOT NULL ORDER BY site)) = (SELECT group_concat(site) FROM (SELECT site FROM sites "
               "ORDER BY site))",
        "1");
}

// --- tables ---

static void criteria_tell_weights_values_and_spread(void **state) {
    (void)state;
    expect_sql(
        "SELECT criterion, unit, weight_as_written, weight, in_use, value, \\\"limit\\\" FROM "
        "criteria",
        "edge_contrast||4.0|0.444444444|1|[[0.1, 0], [0.7, 1]]|\n"
        "slope|deg|2.0|0.222222222|1|[[5, 1], [20, 0]]|25.0\n"
        "sun|share|2.0|0.222222222|1|[[0.3, 0], [0.8, 1]]|\n"
        "access|m|1.0|0.111111111|1|[[200, 1], [2000, 0]]|");
    expect_sql("SELECT (SELECT abs(min - (SELECT min(slope_deg) FROM candidates)) < 1e-4 AND "
               "abs(max - (SELECT max(slope_deg) FROM candidates)) < 1e-4 FROM criteria WHERE "
               "criterion = 'slope')",
        "1");
    // As many candidates below the median as above it.
    expect_sql("SELECT abs((SELECT count(*) FROM candidates WHERE slope_deg < median - 1e-4) - "
               "(SELECT count(*) FROM candidates WHERE slope_deg > median + 1e-4)) <= 2 FROM "
               "criteria WHERE criterion = 'slope'",
        "1");
}

static void horizon_and_profile_are_told_for_each_site(void **state) {
    (void)state;
    char wanted[64];
    size_t sites = scene->survey.site_count;
    snprintf(wanted, sizeof wanted, "%zu|%zu", 72 * sites, 25 * sites);
    expect_sql("SELECT (SELECT count(*) FROM horizon), (SELECT count(*) FROM profile)", wanted);
    // tan 38.66 degrees = 0.8, tan 2.86 = 0.05 (closed form); convergence 0.137.
    expect_sql("SELECT azimuth_deg, azimuth_true_deg, ground_deg, canopy_deg, cover FROM horizon "
               "WHERE site = 'S01' AND azimuth_deg IN (0.0, 355.0)",
        "0.0|0.14|2.86|2.86|0.0\n355.0|355.14|5.71|38.66|0.75");
    expect_sql("SELECT min(along_m), max(along_m) FROM profile WHERE site = 'S01R1'", "-60.0|60.0");
}

static void dropped_adds_up_step_by_step(void **state) {
    (void)state;
    expect_sql("SELECT step, sum(count * (reason = 'all')) = sum(count * (reason <> 'all')) FROM "
               "dropped GROUP BY step",
        "candidates|1\neligible|1\ngroups|1");
    expect_sql("SELECT (SELECT count FROM dropped WHERE reason = 'became candidates') = (SELECT "
               "count FROM dropped WHERE step = 'candidates' AND reason = 'all')",
        "1");
    expect_sql("SELECT (SELECT count FROM dropped WHERE step = 'candidates' AND reason = "
               "'eligible') = (SELECT count FROM dropped WHERE step = 'eligible' AND reason = "
               "'all')",
        "1");
}

static void run_tells_facts_and_remarks(void **state) {
    (void)state;
    expect_sql("SELECT value FROM run WHERE key IN ('software', 'title', 'grid.crs', 'seed', "
               "'aggregate', 'grid.rows') ORDER BY fid",
        "selvedge\nAlder Brook flyways\nWGS 84 / UTM zone 33N\n500\narithmetic\n20270515");
    expect_sql("SELECT value FROM run WHERE key = 'remark.001'",
        "elevation: the unit is not told; metres are assumed");
    expect_sql("SELECT count(*) > 0 FROM plan WHERE key = 'title'", "1");
}

static void rivals_point_into_the_candidates(void **state) {
    (void)state;
    expect_sql("SELECT count(*) > 100 FROM rivals", "1");
    expect_sql("SELECT count(*) FROM rivals r LEFT JOIN candidates c ON c.fid = r.candidate WHERE "
               "c.fid IS NULL OR abs(c.score - r.score) > 1e-9",
        "0");
}

static void inputs_tell_files_and_checksums(void **state) {
    (void)state;
    char command[8192], *printed;
    expect_sql(
        "SELECT role, file, coalesce(belongs_to, '-'), coalesce(resampling, '-') FROM inputs",
        "plan|survey.yaml|-|-\nlandcover|lc.vrt|-|as it is\nlandcover|lc.tif|lc.vrt|-\n"
        "elevation|dem.tif|-|cubic\nhabitats|habitats.csv|-|-");
    expect_sql(
        "SELECT raster_columns, raster_rows, pixel_x, band FROM inputs WHERE file = 'dem.tif'",
        "60|50|30.0|1");
    snprintf(command, sizeof command,
        "cd '%s' && for f in survey.yaml lc.vrt lc.tif dem.tif habitats.csv; do sha256sum $f | cut "
        "-c1-64; stat -c %%s $f; done",
        scene->folder);
    assert_int_equal(output_scene_run(command, &printed), 0);
    char *told =
        output_scene_sql(path, "SELECT sha256 || char(10) || size_bytes FROM inputs ORDER BY fid");
    printed[strlen(printed) - 1] = '\0';
    assert_string_equal(told, printed);
    free(told);
    free(printed);
}

// --- pictures ---

static void pictures_lie_where_the_ground_is(void **state) {
    (void)state;
    char command[8192], *printed;
    expect_sql("SELECT min_x, min_y, max_x, max_y, srs_id FROM gpkg_contents WHERE table_name = "
               "'backdrop'",
        "512000.0|5121000.0|518000.0|5126000.0|32633");
    snprintf(command, sizeof command, "gdalinfo 'GPKG:%s:backdrop'", path);
    assert_int_equal(output_scene_run(command, &printed), 0);
    assert_non_null(strstr(printed, "Origin = (512000.000000000000000,5126000.000000000000000)"));
    free(printed);
    const struct sel_window *window = &scene->survey.sites[0].close_up.window;
    double west = 512000.0 + 10.0 * (double)window->col,
           north = 5126000.0 - 10.0 * (double)window->row;
    char wanted[128];
    snprintf(
        wanted, sizeof wanted, "%.1f|%.1f|%.1f|%.1f", west, north - 400.0, west + 400.0, north);
    expect_sql("SELECT west, south, east, north FROM close_up WHERE site = 'S01'", wanted);
}

// However many sites there are, the file has one tile table: a tile table a site made writing take
// time by the square of their number.
static void a_close_up_is_a_row_and_no_table(void **state) {
    (void)state;
    expect_sql(
        "SELECT group_concat(table_name) FROM gpkg_contents WHERE data_type = 'tiles'", "backdrop");
    expect_sql("SELECT (SELECT group_concat(site) FROM (SELECT site FROM sites ORDER BY fid)) = "
               "(SELECT group_concat(site) FROM (SELECT site FROM close_up ORDER BY fid))",
        "1");
    expect_sql("SELECT name FROM pragma_index_list('close_up')", "close_up_site");
}

// The signature and the header of a PNG image: PNG (third edition), 5.2 and 11.2.1; 40 by 40
// pixels of 8 bits, colour type 6 (red, green, blue, alpha).
static void a_close_up_is_a_png_image(void **state) {
    (void)state;
    expect_sql("SELECT DISTINCT hex(substr(png, 1, 8)), hex(substr(png, 13, 17)) FROM close_up",
        "89504E470D0A1A0A|4948445200000028000000280806000000");
}

// Decoded by another program, the middle pixel has the hue of the habitat it lies in.
static void a_close_up_shows_its_habitats_colour(void **state) {
    (void)state;
    char command[8192], *printed;
    snprintf(command, sizeof command,
        "cd '%s' && sqlite3 '%s' \"select writefile('s.png', png) from close_up where site = "
        "'S01'\" >/dev/null && gdallocationinfo -valonly s.png 3 5",
        scene->folder, path);
    assert_int_equal(output_scene_run(command, &printed), 0);
    const struct sel_picture *picture = &scene->survey.sites[0].close_up;
    char query[128];
    snprintf(query, sizeof query, "SELECT colour FROM habitats WHERE id = %d",
        picture->habitat[5 * picture->cols + 3]);
    unsigned seen[4], told[3];
    assert_int_equal(sscanf(printed, "%u %u %u %u", &seen[0], &seen[1], &seen[2], &seen[3]), 4);
    char *colour = output_scene_sql(path, query);
    assert_int_equal(sscanf(colour, "#%2x%2x%2x", &told[0], &told[1], &told[2]), 3);
    for (int i = 0; i < 3; i++)
        assert_in_range(
            seen[i], (unsigned)(0.6 * told[i]), (unsigned)fmin(255, 1.13 * told[i] + 1));
    assert_int_equal(seen[3], 255);
    free(colour);
    free(printed);
}

// A pixel in the middle of the pond has the pond's hue and lies within the shade's range of it.
static void a_pictures_pixel_has_its_habitats_colour(void **state) {
    (void)state;
    char command[8192], *printed;
    int64_t row = (int64_t)(0.79 * 500), col = (int64_t)(0.23 * 600);
    assert_int_equal(output_scene_habitat(scene, row, col), SCENE_WATER);
    snprintf(command, sizeof command, "gdallocationinfo -valonly 'GPKG:%s:backdrop' %d %d", path,
        (int)col, (int)row);
    assert_int_equal(output_scene_run(command, &printed), 0);
    unsigned seen[3], told[3];
    assert_int_equal(sscanf(printed, "%u %u %u", &seen[0], &seen[1], &seen[2]), 3);
    char *colour = output_scene_sql(path, "SELECT colour FROM habitats WHERE id = 7");
    assert_int_equal(sscanf(colour, "#%2x%2x%2x", &told[0], &told[1], &told[2]), 3);
    for (int i = 0; i < 3; i++)
        assert_in_range(
            seen[i], (unsigned)(0.6 * told[i]), (unsigned)fmin(255, 1.13 * told[i] + 1));
    free(colour);
    free(printed);
}

static void habitat_shares_are_those_of_the_backdrop(void **state) {
    (void)state;
    int64_t water = 0;
    for (int64_t row = 0; row < 500; row++)
        for (int64_t col = 0; col < 600; col++)
            water += output_scene_habitat(scene, row, col) == SCENE_WATER;
    assert_near(number_sql("SELECT backdrop_share FROM habitats WHERE id = 7"),
        (double)water / 300000.0, 1e-6);
    assert_near(number_sql("SELECT sum(backdrop_share) FROM habitats"), 1.0, 1e-5);
}

static int set_up(void **state) {
    (void)state;
    scene = output_scene_new((struct output_scene_size){500, 600, 12, 1, 400, false});
    path = output_scene_path(scene, "sites.gpkg");
    sel_status status = output_scene_write(scene, path, false, false);
    if (status != SEL_OK)
        fprintf(stderr, "%s\n", sel_context_message(scene->context));
    return status == SEL_OK ? 0 : -1;
}

static int tear_down(void **state) {
    (void)state;
    free(path);
    output_scene_free(scene);
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_validator_finds_nothing),
        cmocka_unit_test(the_file_is_a_sound_geopackage),
        cmocka_unit_test(the_required_tables_and_indexes_are_there),
        cmocka_unit_test(layers_and_tables_come_in_reading_order),
        cmocka_unit_test(the_extent_is_that_of_the_sites),
        cmocka_unit_test(sites_has_the_columns_that_are_promised),
        cmocka_unit_test(every_criterion_has_its_value_and_weight_column),
        cmocka_unit_test(sites_hold_what_the_survey_found),
        cmocka_unit_test(the_first_rows_read_as_expected),
        cmocka_unit_test(the_weighted_values_add_up_to_the_score),
        cmocka_unit_test(columns_of_later_stages_are_null),
        cmocka_unit_test(sites_tell_how_they_stand),
        cmocka_unit_test(sensitivity_has_a_row_per_site_and_criterion),
        cmocka_unit_test(the_run_tells_how_good_the_choice_is),
        cmocka_unit_test(the_fates_of_a_pairs_candidates_add_up),
        cmocka_unit_test(blocks_are_listed_with_their_sites),
        cmocka_unit_test(the_bottle_is_shaded_where_most_of_the_light_arrives),
        cmocka_unit_test(hostile_names_are_kept_letter_by_letter),
        cmocka_unit_test(a_points_bytes_are_those_of_the_standard),
        cmocka_unit_test(flyways_run_from_side_a_to_side_b),
        cmocka_unit_test(edges_and_pairs_hold_every_crack),
        cmocka_unit_test(edge_numbers_tell_block_and_line),
        cmocka_unit_test(candidates_are_those_of_the_survey_in_its_order),
        cmocka_unit_test(criteria_tell_weights_values_and_spread),
        cmocka_unit_test(horizon_and_profile_are_told_for_each_site),
        cmocka_unit_test(dropped_adds_up_step_by_step),
        cmocka_unit_test(run_tells_facts_and_remarks),
        cmocka_unit_test(rivals_point_into_the_candidates),
        cmocka_unit_test(inputs_tell_files_and_checksums),
        cmocka_unit_test(pictures_lie_where_the_ground_is),
        cmocka_unit_test(a_close_up_is_a_row_and_no_table),
        cmocka_unit_test(a_close_up_is_a_png_image),
        cmocka_unit_test(a_close_up_shows_its_habitats_colour),
        cmocka_unit_test(a_pictures_pixel_has_its_habitats_colour),
        cmocka_unit_test(habitat_shares_are_those_of_the_backdrop),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
