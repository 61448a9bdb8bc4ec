// SPDX-License-Identifier: MIT
//
// How each site is reached. Where the survey walked over the ground, its times stand; else the walk
// is guessed as the straight line at off-path speed on the flat (Tobler 1993): the real way is
// longer and rises, a path is faster, so it is marked as a guess everywhere.
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "access/pace.h"
#include "base/array.h"
#include "fieldkit/data.h"
#include "fieldkit/lines.h"

// Access points nearer to each other than this are one place.
static const double SAME_PLACE_M = 1.0;

// What a survey that looked at the way to each site adds to `sites`; a file without these columns
// says nothing of it.
struct way {
    const char *site;
    double walk_m, climb_m;
    double x, y, latitude, longitude; // of the access point
};

static const struct sel_column WAY_COLUMNS[] = {
    {"site", SEL_COLUMN_TEXT, offsetof(struct way, site), 0, "", ""},
    {"walk_m", SEL_COLUMN_REAL, offsetof(struct way, walk_m), 0, "", ""},
    {"climb_m", SEL_COLUMN_REAL, offsetof(struct way, climb_m), 0, "", ""},
    {"access_x", SEL_COLUMN_REAL, offsetof(struct way, x), 0, "", ""},
    {"access_y", SEL_COLUMN_REAL, offsetof(struct way, y), 0, "", ""},
    {"access_latitude", SEL_COLUMN_REAL, offsetof(struct way, latitude), 0, "", ""},
    {"access_longitude", SEL_COLUMN_REAL, offsetof(struct way, longitude), 0, "", ""},
};

enum { WAY_COLUMN_COUNT = sizeof WAY_COLUMNS / sizeof *WAY_COLUMNS };

static const struct sel_table_kind WAYS = {
    "sites", "", wkbPoint, false, WAY_COLUMNS, WAY_COLUMN_COUNT, sizeof(struct way)};

// --- times ---

static void take_time(struct sel_fieldkit_site *site) {
    const struct sel_site_row *row = site->row;
    if (isfinite(row->walk_min)) {
        site->walk_source = SEL_WALK_GROUND;
        site->walk_min = row->walk_min;
    } else if (isfinite(row->access_m)) {
        site->walk_source = SEL_WALK_STRAIGHT;
        site->walk_min = row->access_m * sel_walk_pace(0.0) / SEL_WALK_OFF_PATH;
        site->walk_m = row->access_m;
    }
}

// --- access points ---

static int find_access(const struct sel_fieldkit *kit, double x, double y) {
    for (size_t i = 0; i < kit->access_count; i++)
        if (hypot(kit->access[i].x - x, kit->access[i].y - y) * kit->metres < SAME_PLACE_M)
            return (int)i;
    return SEL_NO_ACCESS;
}

static bool has_access(const struct way *way) {
    return isfinite(way->x) && isfinite(way->y) && fabs(way->latitude) <= 90.0 &&
           fabs(way->longitude) <= 180.0;
}

static bool add_access(struct sel_fieldkit *kit, const struct way *way, size_t *capacity) {
    struct sel_access_point *grown =
        sel_grow(kit->access, kit->access_count + 1, capacity, sizeof *grown);
    if (!grown)
        return false;
    kit->access = grown;
    struct sel_access_point *point = &grown[kit->access_count++];
    *point = (struct sel_access_point){
        .latitude = way->latitude, .longitude = way->longitude, .x = way->x, .y = way->y};
    snprintf(point->name, sizeof point->name, "P%02zu", kit->access_count);
    return true;
}

// False: out of memory.
static bool take_way(struct sel_fieldkit *kit, const struct way *way,
    struct sel_fieldkit_site *site, size_t *capacity) {
    if (site->walk_source == SEL_WALK_GROUND) {
        site->walk_m = way->walk_m;
        site->climb_m = way->climb_m;
    }
    if (!has_access(way))
        return true;
    site->access = find_access(kit, way->x, way->y);
    if (site->access == SEL_NO_ACCESS) {
        if (!add_access(kit, way, capacity))
            return false;
        site->access = (int)kit->access_count - 1;
    }
    return true;
}

static bool tells_ways(const struct sel_package *package) {
    OGRLayerH layer = GDALDatasetGetLayerByName(package->dataset, WAYS.name);
    for (int i = 0; i < WAYS.column_count; i++)
        if (!layer || OGR_FD_GetFieldIndex(OGR_L_GetLayerDefn(layer), WAYS.columns[i].name) < 0)
            return false;
    return true;
}

// The rows are those of the sites, in the same order.
static sel_status read_ways(struct sel_fieldkit *kit) {
    void *rows = NULL;
    size_t count = 0, capacity = 0;
    if (!tells_ways(kit->package))
        return SEL_OK;
    sel_status status = sel_package_rows(kit->package, &WAYS, &rows, &count);
    const struct way *ways = rows;
    for (size_t i = 0; status == SEL_OK && i < count && i < kit->site_count; i++)
        if (!take_way(kit, &ways[i], &kit->sites[i], &capacity))
            status = sel_fail_memory(kit->package->context);
    sel_rows_free(&WAYS, rows, count);
    return status;
}

// --- lines ---

static double *copy_of(const double *numbers, size_t count) {
    double *copy = malloc(count * sizeof *copy);
    if (copy)
        memcpy(copy, numbers, count * sizeof *copy);
    return copy;
}

static sel_status take_walk(void *user, const struct sel_site_line *line) {
    struct sel_fieldkit *kit = user;
    const struct sel_fieldkit_site *found = sel_fieldkit_find(kit, line->site);
    if (!found || found->walk.count > 0)
        return SEL_OK;
    struct sel_walk_line *walk = &kit->sites[found - kit->sites].walk;
    walk->longitude = copy_of(line->longitude, line->count);
    walk->latitude = copy_of(line->latitude, line->count);
    walk->elevation_m = copy_of(line->elevation_m, line->count);
    if (!walk->longitude || !walk->latitude || !walk->elevation_m)
        return sel_fail_memory(kit->package->context);
    walk->count = line->count;
    kit->walks_left_out = false;
    return SEL_OK;
}

sel_status sel_fieldkit_read_walks(struct sel_fieldkit *kit) {
    bool found = false;
    kit->walks_left_out = true;
    for (size_t i = 0; i < kit->site_count; i++)
        take_time(&kit->sites[i]);
    sel_status status = read_ways(kit);
    if (status == SEL_OK)
        status = sel_site_lines_read(kit->package, "walks", take_walk, kit, &found);
    return status;
}
