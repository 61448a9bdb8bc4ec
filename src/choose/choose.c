// SPDX-License-Identifier: MIT
//
// The greedy choice from end to end: strike out, sort, choose, find reserves, tell why.
#include "choose/choose.h"

#include <stdlib.h>

#include "choose/greedy.h"
#include "choose/problem.h"
#include "choose/quotas.h"

static sel_status take_greedily(sel_context *context, const struct sel_choice_problem *problem,
    size_t *sites, int *site_count) {
    struct sel_greedy *greedy;
    int64_t missing;
    sel_status status = sel_quotas_check(context, problem);
    if (status != SEL_OK)
        return status;
    if (sel_greedy_new(problem, &greedy) != SEL_OK)
        return sel_fail_memory(context);
    *site_count = sel_greedy_run(greedy, NULL, sites, &missing);
    sel_greedy_free(greedy);
    if (missing > 0 && !problem->rule->relax)
        return sel_quotas_fail(context, problem, sites, *site_count, false);
    return SEL_OK;
}

static sel_status choose_open(
    sel_context *context, struct sel_choice_problem *problem, struct sel_choice *choice) {
    int wanted = problem->rule->sites > 0 ? problem->rule->sites : 0;
    size_t *sites = malloc(((size_t)wanted + 1) * sizeof *sites);
    if (!sites)
        return sel_fail_memory(context);
    int site_count = 0;
    sel_status status = SEL_OK;
    if (wanted > 0 && problem->open_count > 0)
        status = take_greedily(context, problem, sites, &site_count);
    if (status == SEL_OK && sel_choice_finish(problem, sites, site_count, choice) != SEL_OK)
        status = sel_fail_memory(context);
    if (status == SEL_OK && site_count == 0)
        status = SEL_NOTHING;
    free(sites);
    return status;
}

sel_status sel_choose(sel_context *context, const struct sel_choice_item *items, size_t count,
    const struct sel_choice_point *occupied, size_t occupied_count,
    const struct sel_choice_rule *rule, struct sel_choice *choice) {
    *choice = (struct sel_choice){0};
    struct sel_choice_problem problem;
    if (sel_choice_problem_init(&problem, items, count, occupied, occupied_count, rule) != SEL_OK)
        return sel_fail_memory(context);
    sel_status status = choose_open(context, &problem, choice);
    sel_choice_problem_clear(&problem);
    return status;
}

// The positions in problem->open of the given items. False when one keeps not apart from occupied
// places, or comes twice.
static bool find_positions(
    const struct sel_choice_problem *problem, const size_t *items, int count, size_t *positions) {
    int found = 0;
    for (size_t i = 0; i < problem->open_count && found < count; i++)
        for (int k = 0; k < count; k++)
            if (problem->open_index[i] == items[k])
                positions[found++] = i;
    return found == count;
}

sel_status sel_choose_given(sel_context *context, const struct sel_choice_item *items, size_t count,
    const struct sel_choice_point *occupied, size_t occupied_count,
    const struct sel_choice_rule *rule, const size_t *sites, int site_count,
    struct sel_choice *choice) {
    *choice = (struct sel_choice){0};
    struct sel_choice_problem problem;
    if (sel_choice_problem_init(&problem, items, count, occupied, occupied_count, rule) != SEL_OK)
        return sel_fail_memory(context);
    size_t *positions = malloc(((size_t)site_count + 1) * sizeof *positions);
    sel_status status = site_count > 0 ? SEL_OK : SEL_NOTHING;
    if (positions && !find_positions(&problem, sites, site_count, positions))
        status = sel_fail(context, SEL_BAD_INPUT,
            "a site that was chosen stands near an occupied place: please report this");
    else if (!positions || sel_choice_finish(&problem, positions, site_count, choice) != SEL_OK)
        status = sel_fail_memory(context);
    free(positions);
    sel_choice_problem_clear(&problem);
    return status;
}
