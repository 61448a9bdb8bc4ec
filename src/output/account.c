// SPDX-License-Identifier: MIT
//
// Three steps, each taking up where the one before ended: groups of cracks become candidates,
// candidates become eligible, and of the eligible the choice takes sites and reserves.
#include "output/account.h"

#include <stdio.h>

#include "output/names.h"

struct account {
    struct sel_account_line *lines;
    int count;
};

static struct sel_account_line *add(
    struct account *account, const char *step, const char *reason, int64_t count) {
    struct sel_account_line *line = &account->lines[account->count++];
    *line = (struct sel_account_line){.step = step, .count = count};
    snprintf(line->reason, sizeof line->reason, "%s", reason);
    return line;
}

static void add_total(struct account *account, const char *step, int64_t count) {
    add(account, step, "all", count)->is_total = true;
}

static void add_groups(struct account *account, const struct sel_tally *tally) {
    int64_t all = 0;
    for (int i = 0; i < SEL_FATES; i++)
        all += tally->fates[i];
    add_total(account, "groups", all);
    for (int i = 0; i < SEL_FATE_CANDIDATE; i++)
        add(account, "groups", sel_fate_name((enum sel_fate)i), tally->fates[i]);
    add(account, "groups", "became candidates", tally->fates[SEL_FATE_CANDIDATE])->goes_on = true;
}

static void name_limit(
    const struct sel_plan *plan, enum sel_criterion criterion, char reason[SEL_REASON_SIZE]) {
    char words[SEL_CRITERION_WORDS];
    sel_criterion_words(sel_criterion_name(criterion), words);
    if (criterion == SEL_CRITERION_ACCESS && plan->criteria[criterion].by == SEL_ACCESS_BY_TIME)
        snprintf(reason, SEL_REASON_SIZE, "cannot be reached on foot within the limit");
    else
        snprintf(reason, SEL_REASON_SIZE, "beyond the limit of %s", words);
}

static void add_candidates(struct account *account, const struct sel_survey *survey) {
    const struct sel_tally *tally = &survey->tally;
    char reason[SEL_REASON_SIZE];
    add_total(account, "candidates", tally->fates[SEL_FATE_CANDIDATE]);
    for (int i = 0; i < SEL_CRITERIA; i++) {
        name_limit(survey->plan, (enum sel_criterion)i, reason);
        add(account, "candidates", reason, tally->beyond_limit[i]);
    }
    add(account, "candidates", "eligible", tally->eligible)->goes_on = true;
}

static void add_eligible(
    struct account *account, const struct sel_tally *tally, const struct sel_plan *plan) {
    add_total(account, "eligible", tally->eligible);
    add(account, "eligible", "too near an occupied place", tally->near_occupied);
    add(account, "eligible", "too near a chosen site", tally->near_chosen);
    add(account, "eligible", "over the quota of its pair", tally->over_quota);
    add(account, "eligible", "over the quota of its block", tally->over_block);
    add(account, "eligible",
        plan->choose.spread > 0 ? "gave way to even spread" : "gave way to a minimum",
        tally->outweighed);
    add(account, "eligible", "lower score", tally->lower_score);
    add(account, "eligible", "left aside: not among the best whatever its light",
        tally->left_aside);
    add(account, "eligible", "sites", tally->sites)->goes_on = true;
    add(account, "eligible", "reserves", tally->reserves)->goes_on = true;
}

int sel_account(const struct sel_survey *survey, struct sel_account_line lines[SEL_ACCOUNT_LINES]) {
    struct account account = {lines, 0};
    add_groups(&account, &survey->tally);
    add_candidates(&account, survey);
    add_eligible(&account, &survey->tally, survey->plan);
    return account.count;
}
