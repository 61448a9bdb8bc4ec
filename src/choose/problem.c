// SPDX-License-Identifier: MIT
//
// Occupied places strike candidates out, a sort puts the rest in order of score, row, column and
// pair, so that nothing later depends on the order of the input.
#include "choose/problem.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

static int compare_numbers(int64_t a, int64_t b) {
    return (a > b) - (a < b);
}

// The score lies beside the pointer, so that the sort hardly ever has to follow it.
struct ranked {
    double score;
    const struct sel_choice_item *item;
};

static int better_first(const void *left, const void *right) {
    const struct ranked *a = left, *b = right;
    if (a->score != b->score)
        return a->score > b->score ? -1 : 1;
    int order = compare_numbers(a->item->hy, b->item->hy);
    if (order == 0)
        order = compare_numbers(a->item->hx, b->item->hx);
    return order ? order : compare_numbers(a->item->pair, b->item->pair);
}

static void find_open(
    struct sel_choice_problem *problem, const struct sel_places *occupied, struct ranked *ranked) {
    for (size_t i = 0; i < problem->count; i++) {
        const struct sel_choice_item *item = &problem->items[i];
        if (sel_places_near(occupied, item->x_m, item->y_m, SEL_NO_PLACE)) {
            problem->fates[i] = SEL_CHOICE_NEAR_OCCUPIED;
        } else {
            problem->fates[i] = SEL_CHOICE_LOWER_SCORE;
            ranked[problem->open_count++] = (struct ranked){item->score, item};
        }
    }
    qsort(ranked, problem->open_count, sizeof *ranked, better_first);
    for (size_t i = 0; i < problem->open_count; i++) {
        problem->open[i] = *ranked[i].item;
        problem->open_index[i] = (size_t)(ranked[i].item - problem->items);
    }
}

sel_status sel_choice_problem_init(struct sel_choice_problem *problem,
    const struct sel_choice_item *items, size_t count, const struct sel_choice_point *occupied,
    size_t occupied_count, const struct sel_choice_rule *rule) {
    *problem = (struct sel_choice_problem){.items = items, .count = count, .rule = rule};
    problem->open = malloc((count + 1) * sizeof *problem->open);
    problem->open_index = malloc((count + 1) * sizeof *problem->open_index);
    problem->fates = malloc(count + 1);
    struct ranked *ranked = malloc((count + 1) * sizeof *ranked);
    struct sel_places places = {0};
    sel_status status = SEL_NO_MEMORY;
    if (!problem->open || !problem->open_index || !problem->fates || !ranked ||
        !sel_places_init(&places, rule->apart_m, occupied_count))
        goto done;
    for (size_t i = 0; i < occupied_count; i++)
        sel_places_add(&places, occupied[i].x_m, occupied[i].y_m);
    find_open(problem, &places, ranked);
    status = SEL_OK;
done:
    sel_places_clear(&places);
    free(ranked);
    if (status != SEL_OK)
        sel_choice_problem_clear(problem);
    return status;
}

sel_status sel_choice_problem_part(const struct sel_choice_problem *whole, const size_t *positions,
    size_t count, struct sel_choice_problem *part) {
    *part = (struct sel_choice_problem){
        .items = whole->items, .count = whole->count, .rule = whole->rule, .open_count = count};
    part->open = malloc((count + 1) * sizeof *part->open);
    part->open_index = malloc((count + 1) * sizeof *part->open_index);
    if (!part->open || !part->open_index) {
        sel_choice_problem_clear(part);
        return SEL_NO_MEMORY;
    }
    for (size_t i = 0; i < count; i++) {
        part->open[i] = whole->open[positions[i]];
        part->open_index[i] = whole->open_index[positions[i]];
    }
    return SEL_OK;
}

void sel_choice_problem_clear(struct sel_choice_problem *problem) {
    free(problem->open);
    free(problem->open_index);
    free(problem->fates);
    *problem = (struct sel_choice_problem){0};
}

static const double STEPS_PER_SCORE = 1e9;
enum { WEIGHT_PER_STEP = 1024 };

int64_t sel_site_weight(double score) {
    return llround(score * STEPS_PER_SCORE) * WEIGHT_PER_STEP + 1;
}

double sel_score_of_weight(int64_t weight) {
    int64_t steps = (weight + WEIGHT_PER_STEP - 1) / WEIGHT_PER_STEP;
    return (double)steps / STEPS_PER_SCORE;
}

const char *sel_choice_pair_name(
    const struct sel_choice_rule *rule, int32_t pair, char *spare, size_t spare_size) {
    if (rule->pair_names)
        return rule->pair_names[pair];
    snprintf(spare, spare_size, "number %d", (int)pair);
    return spare;
}
