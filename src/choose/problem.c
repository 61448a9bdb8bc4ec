// SPDX-License-Identifier: MIT
//
// Occupied places strike candidates out, a sort puts the rest in order of score, row, column and
// pair, so that nothing later depends on the order of the input.
#include "choose/problem.h"

#include <limits.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "choose/spread.h"

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
    return order ? order
                 : compare_numbers(a->item->group[SEL_BY_PAIR], b->item->group[SEL_BY_PAIR]);
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

int sel_group_most(const struct sel_choice_rule *rule, int kind, int32_t slot) {
    const struct sel_quota *quota = &rule->quota[kind];
    return slot < quota->groups && quota->most > 0 ? quota->most : INT_MAX;
}

static bool allocate_needs(struct sel_choice_problem *problem) {
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++) {
        size_t slots = (size_t)problem->rule->quota[kind].groups + 1;
        problem->need[kind] = calloc(slots, sizeof *problem->need[kind]);
        if (!problem->need[kind])
            return false;
    }
    return true;
}

static void set_needs(struct sel_choice_problem *problem) {
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++) {
        const struct sel_quota *quota = &problem->rule->quota[kind];
        for (size_t i = 0; i < problem->count && quota->least > 0; i++) {
            int32_t slot = sel_group_slot(problem->rule, &problem->items[i], kind);
            problem->need[kind][slot] = slot < quota->groups ? quota->least : 0;
        }
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
        !allocate_needs(problem) || !sel_places_init(&places, rule->apart_m, occupied_count))
        goto done;
    set_needs(problem);
    for (size_t i = 0; i < occupied_count; i++)
        sel_places_add(&places, occupied[i].x_m, occupied[i].y_m);
    find_open(problem, &places, ranked);
    status = sel_spread_even_m(problem, &problem->even_m) ? SEL_OK : SEL_NO_MEMORY;
done:
    sel_places_clear(&places);
    free(ranked);
    if (status != SEL_OK)
        sel_choice_problem_clear(problem);
    return status;
}

sel_status sel_choice_problem_part(const struct sel_choice_problem *whole, const size_t *positions,
    size_t count, struct sel_choice_problem *part) {
    *part = (struct sel_choice_problem){.items = whole->items,
        .count = whole->count,
        .rule = whole->rule,
        .open_count = count,
        .slack = whole->slack,
        .even_m = whole->even_m};
    part->open = malloc((count + 1) * sizeof *part->open);
    part->open_index = malloc((count + 1) * sizeof *part->open_index);
    if (!part->open || !part->open_index || !allocate_needs(part)) {
        sel_choice_problem_clear(part);
        return SEL_NO_MEMORY;
    }
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++) {
        size_t slots = (size_t)whole->rule->quota[kind].groups + 1;
        memcpy(part->need[kind], whole->need[kind], slots * sizeof *part->need[kind]);
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
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++)
        free(problem->need[kind]);
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
