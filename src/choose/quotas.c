// SPDX-License-Identifier: MIT
//
// A group that comes short has too few candidates, or they lie too close together (how many can fit
// is counted for a few, and bounded by a cover of hexagons for many, see choose/cover.h), or others
// that are needed as well stand in the way.
#include "choose/quotas.h"

#include <stdio.h>
#include <stdlib.h>

#include "base/text.h"
#include "choose/cover.h"
#include "choose/exact.h"
#include "choose/taken.h"

struct kind_words {
    const char *key, *one, *many;
};

static const struct kind_words WORDS[SEL_QUOTA_KINDS] = {
    [SEL_BY_PAIR] = {"choose.per_pair", "pair", "pairs of habitats"},
    [SEL_BY_BLOCK] = {"choose.per_block", "block", "blocks"},
};

enum { PLAN_WORDS = 1024 };

// "plan.yaml: ", or nothing.
static const char *plan_of(const struct sel_choice_problem *problem, char words[PLAN_WORDS]) {
    const char *plan = problem->rule->plan;
    snprintf(words, PLAN_WORDS, "%s%s", plan ? plan : "", plan ? ": " : "");
    return words;
}

static sel_status check_kind(
    sel_context *context, const struct sel_choice_problem *problem, int kind) {
    const struct sel_quota *quota = &problem->rule->quota[kind];
    char plan[PLAN_WORDS];
    if (quota->groups == 0)
        return SEL_OK;
    if (quota->most > 0 && quota->least > quota->most)
        return sel_fail(context, SEL_BAD_INPUT,
            "%s%s: min %d is more than max %d: lower min or raise max", plan_of(problem, plan),
            WORDS[kind].key, quota->least, quota->most);
    int64_t needed = 0, groups = 0;
    for (int32_t group = 0; group < quota->groups; group++) {
        needed += problem->need[kind][group];
        groups += problem->need[kind][group] > 0;
    }
    if (needed <= problem->rule->sites || problem->rule->relax)
        return SEL_OK;
    return sel_fail(context, SEL_BAD_INPUT,
        "%s%s.min: %d for each of %lld %s makes more than choose.sites: %d: raise choose.sites, "
        "lower %s.min, or set choose.relax: true for the choice that comes nearest",
        plan_of(problem, plan), WORDS[kind].key, quota->least, (long long)groups, WORDS[kind].many,
        problem->rule->sites, WORDS[kind].key);
}

sel_status sel_quotas_check(sel_context *context, const struct sel_choice_problem *problem) {
    sel_status status = SEL_OK;
    for (int kind = 0; kind < SEL_QUOTA_KINDS && status == SEL_OK; kind++)
        status = check_kind(context, problem, kind);
    return status;
}

// ---- who comes short ----

// The open candidates of a group. NULL: out of memory.
static struct sel_choice_item *items_of(
    const struct sel_choice_problem *problem, const struct sel_shortfall *at, size_t *count) {
    struct sel_choice_item *items = malloc((problem->open_count + 1) * sizeof *items);
    *count = 0;
    for (size_t i = 0; items && i < problem->open_count; i++)
        if (sel_group_slot(problem->rule, &problem->open[i], (int)at->kind) == at->group)
            items[(*count)++] = problem->open[i];
    return items;
}

// How many of a few can keep apart, exactly; -1: out of memory.
static int exact_fit(
    const struct sel_choice_problem *problem, struct sel_choice_item *items, size_t count) {
    struct sel_choice_rule rule = {.sites = SEL_EXACT_MOST, .apart_m = problem->rule->apart_m};
    struct sel_choice_problem alone;
    size_t sites[SEL_EXACT_MOST];
    int fit;
    for (size_t i = 0; i < count; i++)
        items[i].score = 1;
    if (sel_choice_problem_init(&alone, items, count, NULL, 0, &rule) != SEL_OK)
        return -1;
    sel_choose_exact(&alone, 0, sites, &fit);
    sel_choice_problem_clear(&alone);
    return fit;
}

// How many of many can keep apart at most; -1: out of memory.
static int cover_fit(
    const struct sel_choice_problem *problem, const struct sel_choice_item *items, size_t count) {
    int32_t *cells = malloc((count + 1) * sizeof *cells), most = cells ? INT32_MAX : -1;
    for (int cover = 0; most >= 0 && cover < SEL_COVERS; cover++) {
        int32_t cell_count = 0;
        if (!sel_cover_number(items, count, problem->rule->apart_m, cover, cells, &cell_count))
            most = -1;
        else if (cell_count < most)
            most = cell_count;
    }
    free(cells);
    return (int)most;
}

static int most_that_fit(
    const struct sel_choice_problem *problem, struct sel_choice_item *items, size_t count) {
    return count <= SEL_EXACT_MOST ? exact_fit(problem, items, count)
                                   : cover_fit(problem, items, count);
}

// Looks for the reason; false: out of memory.
static bool look_into(const struct sel_choice_problem *problem, struct sel_shortfall *at) {
    size_t count;
    struct sel_choice_item *items = items_of(problem, at, &count);
    at->open = (int64_t)count;
    at->room = items ? most_that_fit(problem, items, count) : -1;
    free(items);
    return at->room >= 0;
}

// Each group that a candidate belongs to needs what the quota asks.
static sel_status list_kind(const struct sel_choice_problem *problem, int kind, const int *got,
    struct sel_shortfall **list, int *count) {
    const struct sel_quota *quota = &problem->rule->quota[kind];
    const int first = *count;
    bool *has_any = calloc((size_t)quota->groups + 1, sizeof *has_any);
    sel_status status = has_any ? SEL_OK : SEL_NO_MEMORY;
    for (size_t i = 0; i < problem->count && status == SEL_OK; i++)
        has_any[sel_group_slot(problem->rule, &problem->items[i], kind)] = true;
    for (int32_t group = 0; group < quota->groups && status == SEL_OK; group++) {
        if (!has_any[group] || got[group] >= quota->least)
            continue;
        struct sel_shortfall *grown = realloc(*list, ((size_t)*count + 1) * sizeof *grown);
        if (grown) {
            *list = grown;
            grown[*count] =
                (struct sel_shortfall){(enum sel_quota_kind)kind, group, got[group], -1, -1};
            if (*count - first < SEL_SHORT_TOLD && !look_into(problem, &grown[*count]))
                status = SEL_NO_MEMORY;
            ++*count;
        } else {
            status = SEL_NO_MEMORY;
        }
    }
    free(has_any);
    return status;
}

sel_status sel_quotas_list_short(const struct sel_choice_problem *problem, const size_t *sites,
    int site_count, struct sel_shortfall **shortfalls, int *count) {
    struct sel_taken taken;
    *shortfalls = NULL;
    *count = 0;
    if (!sel_taken_init(&taken, problem))
        return SEL_NO_MEMORY;
    for (int i = 0; i < site_count; i++)
        sel_taken_count(&taken, &problem->open[sites[i]], 1);
    sel_status status = SEL_OK;
    for (int kind = 0; kind < SEL_QUOTA_KINDS && status == SEL_OK; kind++)
        status = list_kind(problem, kind, taken.sites[kind], shortfalls, count);
    sel_taken_clear(&taken);
    if (status != SEL_OK) {
        free(*shortfalls);
        *shortfalls = NULL;
        *count = 0;
    }
    return status;
}

// ---- reasons ----

static const char *name_of(
    const struct sel_choice_problem *problem, const struct sel_shortfall *at, char spare[32]) {
    const struct sel_quota *quota = &problem->rule->quota[at->kind];
    if (quota->names)
        return quota->names[at->group];
    snprintf(spare, 32, "number %d", (int)at->group);
    return spare;
}

static void add_reason(struct sel_text *text, const struct sel_choice_problem *problem,
    const struct sel_shortfall *at, bool proven) {
    const int least = problem->rule->quota[at->kind].least;
    char spare[32];
    sel_text_addf(text, "%s %s ", WORDS[at->kind].one, name_of(problem, at, spare));
    if (at->open < least)
        sel_text_addf(text, "has only %lld away from occupied places", (long long)at->open);
    else if (at->room < least)
        sel_text_addf(text, "has room for no more than %d with %g m between them", at->room,
            problem->rule->apart_m);
    else
        sel_text_addf(text, "%s only %d beside what other minimums need%s",
            proven ? "can have" : "gets", at->got, proven ? "" : ", as far as the search went");
}

static void add_short(struct sel_text *text, const struct sel_choice_problem *problem,
    const struct sel_shortfall *list, int count, bool proven) {
    for (int i = 0; i < count && i < SEL_SHORT_TOLD; i++) {
        bool same_kind = i > 0 && list[i].kind == list[i - 1].kind;
        if (i > 0)
            sel_text_add(text, same_kind ? ", " : "; ");
        if (!same_kind)
            sel_text_addf(text, "%s.min: %d: ", WORDS[list[i].kind].key,
                problem->rule->quota[list[i].kind].least);
        add_reason(text, problem, &list[i], proven);
    }
    if (count > SEL_SHORT_TOLD)
        sel_text_addf(text, ", and %d more come short", count - SEL_SHORT_TOLD);
}

sel_status sel_quotas_fail(sel_context *context, const struct sel_choice_problem *problem,
    const size_t *sites, int site_count, bool proven) {
    struct sel_shortfall *list;
    int count;
    if (sel_quotas_list_short(problem, sites, site_count, &list, &count) != SEL_OK)
        return sel_fail_memory(context);
    struct sel_text text;
    char plan[PLAN_WORDS];
    sel_text_init(&text);
    sel_text_add(&text, plan_of(problem, plan));
    add_short(&text, problem, list, count, proven);
    sel_status status =
        text.failed || !text.chars
            ? sel_fail_memory(context)
            : sel_fail(context, SEL_BAD_INPUT,
                  "%s: lower the minimum or choose.apart_m, raise choose.sites, or set "
                  "choose.relax: true for the choice that comes nearest",
                  text.chars);
    sel_text_clear(&text);
    free(list);
    return status;
}
