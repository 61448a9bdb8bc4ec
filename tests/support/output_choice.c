// SPDX-License-Identifier: MIT
//
// Numbers with a pattern, so that tests can say what must come out.
#include "output_choice.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static double apart(const struct sel_candidate *a, const struct sel_candidate *b) {
    return hypot(5.0 * (a->hx - b->hx), 5.0 * (a->hy - b->hy)); // cells of 10 m
}

static bool near_primary(const struct sel_survey *survey, size_t candidate, double apart_m) {
    for (size_t i = 0; i < survey->site_count; i++)
        if (survey->sites[i].reserve == 0 &&
            apart(&survey->candidates[candidate], &survey->candidates[survey->sites[i].candidate]) <
                apart_m)
            return true;
    return false;
}

static void fill_fates(struct sel_survey *survey, double apart_m) {
    survey->fates = malloc(survey->candidate_count + 1);
    if (!survey->fates)
        abort();
    for (size_t i = 0; i < survey->candidate_count; i++)
        survey->fates[i] =
            near_primary(survey, i, apart_m) ? SEL_CHOICE_NEAR_CHOSEN : SEL_CHOICE_LOWER_SCORE;
    for (size_t i = 0; i < survey->site_count; i++)
        survey->fates[survey->sites[i].candidate] =
            survey->sites[i].reserve == 0 ? SEL_CHOICE_SITE : SEL_CHOICE_RESERVE;
}

static void fill_blocks(struct sel_survey *survey) {
    survey->blocks = calloc(2, sizeof *survey->blocks);
    if (!survey->blocks)
        abort();
    survey->blocks[0].name = strdup("west");
    survey->blocks[1].name = strdup("east");
    survey->block_count = 2;
    for (size_t i = 0; i < survey->candidate_count; i++) {
        struct sel_candidate *candidate = &survey->candidates[i];
        candidate->block = i % 5 == 4 ? SEL_NO_GROUP : candidate->hx >= 160;
        if (candidate->block >= 0)
            survey->blocks[candidate->block].candidates++;
    }
    for (size_t i = 0; i < survey->site_count; i++) {
        int32_t block = survey->candidates[survey->sites[i].candidate].block;
        if (block >= 0 && survey->sites[i].reserve == 0)
            survey->blocks[block].sites++;
    }
}

static void fill_standing(const struct sel_survey *survey, struct sel_site *site, int index) {
    site->standing = (struct sel_standing){site->rank != 4 || site->reserve > 0,
        1.0 - 0.125 * (index % 4), index + 1, 10 * (index + 1), {0}, {0}};
    for (int c = 0; c < SEL_CRITERIA; c++) {
        double weight = survey->weights[c];
        site->standing.lower[c] = c == 0 ? weight - 0.04 : (double)NAN;
        site->standing.higher[c] = c == 3 ? (double)NAN : weight + 0.03 * (c + 1);
    }
    double score = survey->candidates[site->candidate].score;
    site->next_score = site->reserve == 0 ? score - 0.02 : (double)NAN;
    site->score_low = score - 0.1;
    site->score_high = score + 0.05;
    site->nearest_m = site->reserve == 0 ? 250.0 + index : (double)NAN;
}

void output_choice_fill(struct sel_survey *survey, double apart_m) {
    fill_fates(survey, apart_m);
    fill_blocks(survey);
    double total = 0;
    for (size_t i = 0; i < survey->site_count; i++) {
        fill_standing(survey, &survey->sites[i], (int)i);
        total += survey->sites[i].reserve == 0
                     ? survey->candidates[survey->sites[i].candidate].score
                     : 0;
    }
    survey->merit = (struct sel_merit){total, total, 1.0125 * total, 0};
    survey->robustness = (struct sel_robustness){2000, 30, 321};
    survey->dispersion = (struct sel_dispersion){.nearest_mean_m = 300,
        .nearest_least_m = 251,
        .nearest_most_m = 444,
        .ground_m2 = 1e6,
        .ratio = 1.25,
        .ratio_free = 1.5,
        .share_wider = 0.04,
        .sets = 499,
        .balance_ground = 0.31,
        .balance_candidates = 0.28};
}

void output_choice_clear(struct sel_survey *survey) {
    for (size_t i = 0; i < survey->block_count; i++)
        free(survey->blocks[i].name);
    free(survey->blocks);
    free(survey->fates);
}
