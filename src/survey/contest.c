// SPDX-License-Identifier: MIT
//
// Plain filling in.
#include "survey/contest.h"

#include <math.h>
#include <stdlib.h>

#include "base/text.h"

// A reserve nearer than this share of apart_m to its site would share the site's trouble: the same
// fallen tree, the same herd, the same owner's no (our own choice).
static const double RESERVE_APART_SHARE = 0.25;

int32_t sel_pair_number(const struct sel_survey *survey, sel_habitat_id a, sel_habitat_id b) {
    size_t low = 0, high = survey->pair_count; // by a, then b
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        const struct sel_pair_total *at = &survey->pairs[middle];
        if (at->a == a && at->b == b)
            return (int32_t)middle;
        if (at->a < a || (at->a == a && at->b < b))
            low = middle + 1;
        else
            high = middle;
    }
    return SEL_NO_GROUP;
}

// Reserves are looked for as far off as sites must stand apart: near enough to serve the same
// flyway country, and never nearer than that to another site.
double sel_reserve_reach(const struct sel_survey *survey) {
    return fmax(survey->plan->choose.apart_m, 2 * survey->lengths.every_m);
}

double sel_reserve_apart(const struct sel_survey *survey) {
    return RESERVE_APART_SHARE * survey->plan->choose.apart_m;
}

static void set_rule(const struct sel_survey *survey, struct sel_contest *contest) {
    const struct sel_plan_choose *choose = &survey->plan->choose;
    contest->rule = (struct sel_choice_rule){.sites = choose->sites,
        .apart_m = choose->apart_m,
        .reserves = choose->reserves,
        .reserve_reach_m = sel_reserve_reach(survey),
        .reserve_apart_m = sel_reserve_apart(survey),
        .spread = choose->spread,
        .relax = choose->relax,
        .plan = survey->plan->path};
    contest->rule.quota[SEL_BY_PAIR] = (struct sel_quota){choose->pair_min, choose->pair_max,
        (int32_t)survey->pair_count, contest->names[SEL_BY_PAIR]};
    contest->rule.quota[SEL_BY_BLOCK] = (struct sel_quota){choose->block_min, choose->block_max,
        (int32_t)survey->block_count, contest->names[SEL_BY_BLOCK]};
}

static void set_items(const struct sel_survey *survey, struct sel_contest *contest) {
    const struct sel_grid *grid = &survey->study->grid;
    contest->count = survey->candidate_count;
    for (size_t i = 0; i < contest->count; i++) {
        const struct sel_candidate *candidate = &survey->candidates[i];
        contest->items[i] = (struct sel_choice_item){.score = candidate->score,
            .x_m = 0.5 * candidate->hx * grid->cell_x_m,
            .y_m = 0.5 * candidate->hy * grid->cell_y_m,
            .hy = candidate->hy,
            .hx = candidate->hx,
            .group = {sel_pair_number(survey, candidate->a, candidate->b), candidate->block}};
    }
}

static bool name_groups(const struct sel_survey *survey, struct sel_contest *contest) {
    const struct sel_habitats *habitats = &survey->plan->habitats;
    for (size_t i = 0; i < survey->pair_count; i++) {
        struct sel_text text;
        sel_text_init(&text);
        sel_text_addf(&text, "%s | %s", sel_habitat_get(habitats, survey->pairs[i].a)->name,
            sel_habitat_get(habitats, survey->pairs[i].b)->name);
        contest->pair_names[i] = sel_text_take(&text);
        if (!contest->pair_names[i])
            return false;
        contest->names[SEL_BY_PAIR][i] = contest->pair_names[i];
    }
    for (size_t i = 0; i < survey->block_count; i++)
        contest->names[SEL_BY_BLOCK][i] = survey->blocks[i].name;
    return true;
}

sel_status sel_contest_init(sel_context *context, const struct sel_job *job,
    const struct sel_survey *survey, struct sel_contest *contest) {
    *contest = (struct sel_contest){.job = job, .pair_count = survey->pair_count};
    contest->items = malloc((survey->candidate_count + 1) * sizeof *contest->items);
    contest->pair_names = calloc(survey->pair_count + 1, sizeof *contest->pair_names);
    contest->names[SEL_BY_PAIR] = calloc(survey->pair_count + 1, sizeof(const char *));
    contest->names[SEL_BY_BLOCK] = calloc(survey->block_count + 1, sizeof(const char *));
    if (!contest->items || !contest->pair_names || !contest->names[SEL_BY_PAIR] ||
        !contest->names[SEL_BY_BLOCK] || !name_groups(survey, contest))
        return sel_fail_memory(context);
    set_items(survey, contest);
    set_rule(survey, contest);
    return SEL_OK;
}

void sel_contest_clear(struct sel_contest *contest) {
    for (size_t i = 0; contest->pair_names && i < contest->pair_count; i++)
        free(contest->pair_names[i]);
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++)
        free(contest->names[kind]);
    free(contest->pair_names);
    free(contest->items);
    *contest = (struct sel_contest){0};
}
