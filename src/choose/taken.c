// SPDX-License-Identifier: MIT
//
// Plain counts by slot.
#include "choose/taken.h"

#include <stdlib.h>
#include <string.h>

static size_t slots_of(const struct sel_choice_problem *problem, int kind) {
    return (size_t)problem->rule->quota[kind].groups + 1;
}

static int64_t missing_of(const struct sel_taken *taken, int kind, int32_t slot) {
    int need = taken->problem->need[kind][slot], sites = taken->sites[kind][slot];
    return need > sites ? need - sites : 0;
}

bool sel_taken_init(struct sel_taken *taken, const struct sel_choice_problem *problem) {
    *taken = (struct sel_taken){.problem = problem};
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++) {
        taken->sites[kind] = malloc(slots_of(problem, kind) * sizeof *taken->sites[kind]);
        if (!taken->sites[kind]) {
            sel_taken_clear(taken);
            return false;
        }
    }
    sel_taken_reset(taken);
    return true;
}

void sel_taken_clear(struct sel_taken *taken) {
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++)
        free(taken->sites[kind]);
    *taken = (struct sel_taken){0};
}

void sel_taken_reset(struct sel_taken *taken) {
    taken->missing = 0;
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++) {
        size_t slots = slots_of(taken->problem, kind);
        memset(taken->sites[kind], 0, slots * sizeof *taken->sites[kind]);
        for (size_t slot = 0; slot < slots; slot++)
            taken->missing += taken->problem->need[kind][slot];
    }
}

void sel_taken_count(struct sel_taken *taken, const struct sel_choice_item *item, int by) {
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++) {
        int32_t slot = sel_group_slot(taken->problem->rule, item, kind);
        taken->missing -= missing_of(taken, kind, slot);
        taken->sites[kind][slot] += by;
        taken->missing += missing_of(taken, kind, slot);
    }
}

bool sel_taken_has_room(const struct sel_taken *taken, const struct sel_choice_item *item) {
    const struct sel_choice_rule *rule = taken->problem->rule;
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++) {
        int32_t slot = sel_group_slot(rule, item, kind);
        if (taken->sites[kind][slot] >= sel_group_most(rule, kind, slot))
            return false;
    }
    return true;
}

int sel_taken_gain(const struct sel_taken *taken, const struct sel_choice_item *item) {
    int gain = 0;
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++)
        gain += missing_of(taken, kind, sel_group_slot(taken->problem->rule, item, kind)) > 0;
    return gain;
}

int sel_taken_loss(const struct sel_taken *taken, const struct sel_choice_item *item) {
    int loss = 0;
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++) {
        int32_t slot = sel_group_slot(taken->problem->rule, item, kind);
        loss += taken->sites[kind][slot] <= taken->problem->need[kind][slot];
    }
    return loss;
}

bool sel_taken_needs(const struct sel_taken *taken, const struct sel_choice_item *item) {
    return sel_taken_gain(taken, item) > 0;
}

bool sel_taken_can_spare(const struct sel_taken *taken, const struct sel_choice_item *item) {
    return sel_taken_loss(taken, item) == 0;
}

bool sel_taken_may_exchange(
    struct sel_taken *taken, const struct sel_choice_item *out, const struct sel_choice_item *in) {
    int64_t missing = taken->missing;
    sel_taken_count(taken, out, -1);
    bool allowed = sel_taken_has_room(taken, in);
    sel_taken_count(taken, in, 1);
    allowed = allowed && taken->missing <= missing;
    sel_taken_count(taken, in, -1);
    sel_taken_count(taken, out, 1);
    return allowed;
}

bool sel_taken_missing(const struct sel_choice_problem *problem, const size_t *sites,
    int site_count, int64_t *missing) {
    struct sel_taken taken;
    if (!sel_taken_init(&taken, problem))
        return false;
    for (int i = 0; i < site_count; i++)
        sel_taken_count(&taken, &problem->open[sites[i]], 1);
    *missing = taken.missing;
    sel_taken_clear(&taken);
    return true;
}
