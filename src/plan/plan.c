// SPDX-License-Identifier: MIT
//
// What belongs to the plan as a whole: names of the criteria, and giving the memory back.
#include "plan/plan.h"

#include <stdlib.h>

#include "plan/reader.h"

static void clear_layer(struct sel_layer_ref *layer) {
    free(layer->file);
    free(layer->layer);
}

static void clear_lists(struct sel_plan *plan) {
    for (size_t i = 0; i < plan->contrast_count; i++) {
        free(plan->contrast[i].habitat_a);
        free(plan->contrast[i].habitat_b);
    }
    for (size_t i = 0; i < plan->lines_count; i++) {
        clear_layer(&plan->lines[i].source);
        free(plan->lines[i].habitat);
    }
    for (size_t i = 0; i < plan->access_count; i++)
        clear_layer(&plan->access[i].source);
    for (size_t i = 0; i < plan->zones_count; i++) {
        clear_layer(&plan->zones[i].source);
        free(plan->zones[i].reason);
    }
    free(plan->contrast);
    free(plan->lines);
    free(plan->access);
    free(plan->zones);
}

void sel_plan_clear(struct sel_plan *plan) {
    clear_lists(plan);
    clear_layer(&plan->area);
    clear_layer(&plan->parcels);
    clear_layer(&plan->blocks);
    clear_layer(&plan->occupied);
    sel_habitats_clear(&plan->habitats);
    free(plan->landcover.file);
    free(plan->elevation.file);
    free(plan->canopy.file);
    free(plan->habitats_source);
    free(plan->crs);
    free(plan->parcel_name);
    free(plan->block_name);
    free(plan->parcel_owner);
    free(plan->field.preservative);
    free(plan->field.collector);
    free(plan->field.trap_type);
    free(plan->field.place);
    free(plan->field.region);
    free(plan->field.country_code);
    free(plan->title);
    free(plan->permit.applicant);
    free(plan->permit.contact);
    free(plan->permit.authority);
    free(plan->permit.purpose);
    free(plan->permit.fluids);
    sel_forget_written(plan);
    free(plan->path);
    free(plan->folder);
    *plan = (struct sel_plan){0};
}

const char *sel_criterion_name(enum sel_criterion criterion) {
    static const char *const names[SEL_CRITERIA] = {"edge_contrast", "slope", "sun", "access"};
    return names[criterion];
}

const char *sel_criterion_unit(enum sel_criterion criterion) {
    static const char *const units[SEL_CRITERIA] = {"", "deg", "share", "m"};
    return units[criterion];
}

const char *sel_measure_unit(const struct sel_plan *plan, enum sel_criterion criterion) {
    bool by_time = criterion == SEL_CRITERION_ACCESS &&
                   plan->criteria[SEL_CRITERION_ACCESS].by == SEL_ACCESS_BY_TIME;
    return by_time ? "min" : sel_criterion_unit(criterion);
}
