// SPDX-License-Identifier: MIT
//
// The line layer `walks`: how each site is reached on foot. Made only when access goes by time.
// Every vertex holds its elevation (Z) and the minutes walked so far (M), so that lengths, climbs
// and times can be summed again from the line.
#include <stdlib.h>

#include "output/writer.h"

// The coordinates of a walk, one kind after the other. NULL: out of memory.
static double *unravel(const struct sel_site_walk *walk, struct sel_shape *shape) {
    size_t count = walk->place_count;
    double *numbers = malloc(4 * count * sizeof *numbers);
    if (!numbers)
        return NULL;
    for (size_t i = 0; i < count; i++) {
        numbers[i] = walk->places[i].x;
        numbers[count + i] = walk->places[i].y;
        numbers[2 * count + i] = walk->places[i].elevation_m;
        numbers[3 * count + i] = walk->places[i].minutes;
    }
    *shape = (struct sel_shape){
        numbers, numbers + count, (int)count, numbers + 2 * count, numbers + 3 * count};
    return numbers;
}

static sel_status add_walk(struct sel_geopackage *file, const struct sel_survey *survey,
    struct sel_table *table, const struct sel_site *site) {
    const struct sel_site_walk *walk = &site->walk;
    char id[SEL_SITE_ID_SIZE];
    struct sel_shape shape;
    if (walk->place_count < 2) // the site lies on the access geometry
        return SEL_OK;
    sel_site_id(survey, site, id);
    double *numbers = unravel(walk, &shape);
    if (!numbers)
        return sel_fail_memory(file->context);
    struct sel_walk_row row = {.rank = site->rank,
        .site = id,
        .role = sel_role_name(site),
        .walk_m = walk->length_m,
        .walk_min = walk->minutes,
        .out_min = walk->out_minutes,
        .back_min = walk->back_minutes,
        .climb_m = walk->climb_m,
        .climb_back_m = walk->climb_back_m};
    sel_status status = sel_table_add(file->context, file->path, table, 0, &row, &shape);
    free(numbers);
    return status;
}

sel_status sel_write_walks(struct sel_geopackage *file, const struct sel_survey *survey) {
    struct sel_table table = {0};
    if (!survey->in_use[SEL_CRITERION_ACCESS] ||
        survey->plan->criteria[SEL_CRITERION_ACCESS].by != SEL_ACCESS_BY_TIME)
        return SEL_OK;
    sel_status status = sel_begin_table(file, &SEL_TABLE_WALKS, &table);
    for (size_t i = 0; i < survey->site_count && status == SEL_OK; i++)
        status = add_walk(file, survey, &table, &survey->sites[i]);
    if (status == SEL_OK)
        status = sel_table_settle(file->context, file->path, &table);
    sel_table_close(&table);
    return status;
}
