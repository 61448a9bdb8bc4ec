// SPDX-License-Identifier: MIT
//
// One small function per assumption.
#include "survey/remarks.h"

#include <inttypes.h>
#include <stdlib.h>

#include "base/array.h"
#include "base/text.h"
#include "survey/reach.h"

static const double ROUNDING = 1e-9; // a gap below this is none

struct remarks {
    struct sel_survey *survey;
    size_t capacity;
    bool failed;
};

static void remark(struct remarks *remarks, const char *words) {
    struct sel_text text;
    sel_text_init(&text);
    sel_text_add(&text, words);
    struct sel_survey *survey = remarks->survey;
    char **grown = sel_grow(
        survey->remarks, survey->remark_count + 1, &remarks->capacity, sizeof *survey->remarks);
    if (grown) {
        survey->remarks = grown;
        grown[survey->remark_count] = sel_text_take(&text);
        if (grown[survey->remark_count])
            survey->remark_count++;
        else
            remarks->failed = true;
    } else {
        remarks->failed = true;
    }
    sel_text_clear(&text);
}

static void remark_text(struct remarks *remarks, struct sel_text *text) {
    char *words = sel_text_take(text);
    if (words)
        remark(remarks, words);
    else
        remarks->failed = true;
    free(words);
}

static void on_grid(struct remarks *remarks) {
    const struct sel_study *study = remarks->survey->study;
    struct sel_text text;
    sel_text_init(&text);
    if (study->landcover.resampled) {
        sel_text_addf(&text,
            "The land cover was brought to a metric grid of %.4g m cells by nearest neighbour.",
            study->grid.cell_x_m);
        remark_text(remarks, &text);
    }
    if (study->elevation.resampled) {
        sel_text_addf(
            &text, "Elevation was brought to the study grid (%s).", study->elevation.method);
        remark_text(remarks, &text);
    }
    if (study->lost_share > 0.0005) {
        sel_text_addf(&text,
            "%.1f %% of the land cover lies outside the elevation raster and was left out.",
            100 * study->lost_share);
        remark_text(remarks, &text);
    }
    sel_text_clear(&text);
}

static void on_walking(struct remarks *remarks, const struct sel_walk_rule *rule) {
    struct sel_text text;
    sel_text_init(&text);
    sel_text_addf(&text,
        "Walking times are estimates: Tobler's pace by slope on cells of %.3g x %.3g m, mean of "
        "out "
        "and back, slower off ways and by habitat. Walks stay on the study grid, ground of unknown "
        "habitat is walked on ways only, and nothing is searched beyond %.4g minutes.",
        rule->cell_x_m, rule->cell_y_m, rule->limit_min);
    remark_text(remarks, &text);
    sel_text_clear(&text);
}

static void on_access(struct remarks *remarks, const struct sel_job *job) {
    if (!job->access)
        remark(remarks, "No access layer is given: the criterion access is left out and the other "
                        "weights are rescaled to sum 1.");
    else if (job->walking.in_use)
        on_walking(remarks, &job->walking);
    else
        remark(remarks, "Access is the straight-line distance to the nearest access geometry; the "
                        "walk itself will be longer.");
}

// "14 cells (0.3 %) of the land cover in and around the study area"
static void add_cells(struct sel_text *text, int64_t cells, int64_t of) {
    sel_text_addf(text, "%lld cells (%.1f %%) of the land cover in and around the study area ",
        (long long)cells, 100.0 * (double)cells / (double)of);
}

static void on_canopy_raster(struct remarks *remarks, const struct sel_canopy_count *count) {
    struct sel_text text;
    sel_text_init(&text);
    if (count->unknown > 0) {
        add_cells(&text, count->unknown, count->cells);
        sel_text_add(
            &text, "have no height in the canopy raster: the habitat table's heights stand there.");
        remark_text(remarks, &text);
    }
    if (count->coverless > 0) {
        add_cells(&text, count->coverless, count->cells);
        sel_text_add(&text,
            "have trees in the canopy raster but a habitat whose cover is 0: they cast no shade. "
            "Give that habitat a cover in the habitat table.");
        remark_text(remarks, &text);
    }
    sel_text_clear(&text);
}

static void remark_layer(void *user, const char *sentence) {
    remark(user, sentence);
}

static void on_canopy(struct remarks *remarks, const struct sel_job *job) {
    if (!job->study->has_canopy)
        remark(remarks, "Canopy heights come from the habitat table, not from a raster.");
    else
        on_canopy_raster(remarks, &job->canopy);
    if (job->plan->habitats_is_legend)
        remark(remarks, "Habitat traits are the built-in estimates of a legend; edit a habitat "
                        "table of your own to fit the region.");
}

static bool is_proven(const struct sel_survey *survey) {
    const struct sel_merit *merit = &survey->merit;
    return merit->bound <= merit->objective * (1 + ROUNDING);
}

// docs/plan.md promises it.
static void on_season(struct remarks *remarks) {
    const struct sel_plan *plan = remarks->survey->plan;
    struct sel_text text;
    if (sel_plan_place(plan, "season.from").line > 0)
        return;
    sel_text_init(&text);
    sel_text_addf(&text,
        "The plan names no season: %04d-%02d-%02d to %04d-%02d-%02d is a guess that suits the "
        "temperate north. Set season.from and season.to to the days on which the traps run.",
        plan->season_from.year, plan->season_from.month, plan->season_from.day,
        plan->season_to.year, plan->season_to.month, plan->season_to.day);
    remark_text(remarks, &text);
    sel_text_clear(&text);
}

static void on_choice(struct remarks *remarks) {
    const struct sel_survey *survey = remarks->survey;
    struct sel_text text;
    sel_text_init(&text);
    if (survey->tally.sites < survey->plan->choose.sites) {
        sel_text_addf(&text,
            "%lld of the %d sites asked for stand: none of the other candidates can be added, and "
            "%s. "
            "Loosen choose.apart_m, a quota or a limit to get more.",
            (long long)survey->tally.sites, survey->plan->choose.sites,
            is_proven(survey) && survey->shortfall_count == 0
                ? "no choice with more sites is better"
                : "no choice with more sites that is better was found");
        remark_text(remarks, &text);
    }
    sel_text_clear(&text);
}

// Blocks that a minimum passes over.
static void on_empty_blocks(struct remarks *remarks) {
    const struct sel_survey *survey = remarks->survey;
    struct sel_text text;
    if (survey->plan->choose.block_min < 1 || survey->empty_block_count == 0)
        return;
    sel_text_init(&text);
    sel_text_addf(&text, "choose.per_block.min does not count for %zu block%s without a candidate:",
        survey->empty_block_count, survey->empty_block_count == 1 ? "" : "s");
    for (size_t i = 0; i < survey->empty_block_count; i++)
        sel_text_addf(
            &text, "%s %s", i > 0 ? "," : "", survey->blocks[survey->block_count + i].name);
    sel_text_add(&text, ".");
    remark_text(remarks, &text);
    sel_text_clear(&text);
}

// ---- minimums; only with choose.relax ----

static int least_of(const struct sel_survey *survey, enum sel_quota_kind kind) {
    const struct sel_plan_choose *choose = &survey->plan->choose;
    return kind == SEL_BY_PAIR ? choose->pair_min : choose->block_min;
}

static int64_t missed_of(const struct sel_survey *survey, int kind, int64_t *groups) {
    int64_t sites = 0;
    *groups = 0;
    for (int i = 0; i < survey->shortfall_count; i++) {
        const struct sel_shortfall *at = &survey->shortfalls[i];
        if ((int)at->kind != kind)
            continue;
        sites += least_of(survey, at->kind) - at->got;
        ++*groups;
    }
    return sites;
}

int64_t sel_sites_missed(const struct sel_survey *survey) {
    int64_t sites = 0, groups;
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++)
        sites += missed_of(survey, kind, &groups);
    return sites;
}

// The groups that a minimum is for: those with candidates.
static int64_t groups_of(const struct sel_survey *survey, int kind) {
    int64_t groups = 0;
    if (kind == SEL_BY_BLOCK)
        return (int64_t)survey->block_count;
    for (size_t i = 0; i < survey->pair_count; i++)
        groups += survey->pairs[i].candidates > 0;
    return groups;
}

static void add_group_name(
    struct sel_text *text, const struct sel_survey *survey, const struct sel_shortfall *at) {
    const struct sel_habitats *habitats = &survey->plan->habitats;
    if (at->kind == SEL_BY_PAIR)
        sel_text_addf(text, "%s | %s", sel_habitat_get(habitats, survey->pairs[at->group].a)->name,
            sel_habitat_get(habitats, survey->pairs[at->group].b)->name);
    else
        sel_text_add(text, survey->blocks[at->group].name);
}

static void add_shortfall(
    struct sel_text *text, const struct sel_survey *survey, const struct sel_shortfall *at) {
    int least = least_of(survey, at->kind);
    add_group_name(text, survey, at);
    sel_text_addf(text, " has %d", at->got);
    if (at->open >= 0 && at->open < least)
        sel_text_addf(text, " (only %lld candidate%s away from occupied places)",
            (long long)at->open, at->open == 1 ? "" : "s");
    else if (at->room >= 0 && at->room < least)
        sel_text_addf(text, " (room for no more than %d at this spacing)", at->room);
}

static void add_first_short(struct sel_text *text, const struct sel_survey *survey, int kind) {
    int told = 0;
    for (int i = 0; i < survey->shortfall_count && told < SEL_SHORT_TOLD; i++) {
        if ((int)survey->shortfalls[i].kind != kind)
            continue;
        sel_text_add(text, told++ > 0 ? ", " : "");
        add_shortfall(text, survey, &survey->shortfalls[i]);
    }
}

static void on_shortfalls_of(struct remarks *remarks, int kind) {
    static const char *const KEY[SEL_QUOTA_KINDS] = {"choose.per_pair.min", "choose.per_block.min"};
    static const char *const WHAT[SEL_QUOTA_KINDS] = {"pairs of habitats", "blocks"};
    static const char *const TABLE[SEL_QUOTA_KINDS] = {"pairs", "blocks"};
    const struct sel_survey *survey = remarks->survey;
    int64_t short_groups, sites = missed_of(survey, kind, &short_groups);
    int64_t groups = groups_of(survey, kind);
    int least = least_of(survey, (enum sel_quota_kind)kind), asked = survey->plan->choose.sites;
    struct sel_text text;
    if (short_groups == 0)
        return;
    sel_text_init(&text);
    sel_text_addf(&text,
        "Minimum not reached: %s %d is missed by %lld site%s in all, in %lld of %lld %s", KEY[kind],
        least, (long long)sites, sites == 1 ? "" : "s", (long long)short_groups, (long long)groups,
        WHAT[kind]);
    int64_t together = groups * least;
    if (together > asked)
        sel_text_addf(&text, ": together they ask for %" PRId64 " sites, and choose.sites is %d",
            together, asked);
    sel_text_add(&text, ". ");
    add_first_short(&text, survey, kind);
    if (short_groups > SEL_SHORT_TOLD)
        sel_text_addf(&text, "; the other %lld are in the table %s",
            (long long)(short_groups - SEL_SHORT_TOLD), TABLE[kind]);
    sel_text_add(&text, ".");
    remark_text(remarks, &text);
    sel_text_clear(&text);
}

static void on_reserves(struct remarks *remarks) {
    const struct sel_survey *survey = remarks->survey;
    for (size_t i = 0; i < survey->site_count; i++) {
        struct sel_text text;
        if (!survey->sites[i].reserve_note)
            continue;
        sel_text_init(&text);
        sel_text_addf(&text, "Rank %d: %s.", survey->sites[i].rank, survey->sites[i].reserve_note);
        remark_text(remarks, &text);
        sel_text_clear(&text);
    }
}

// Told once for all: it holds for most places of a study whose elevation raster is no larger than
// its land cover. The column horizon_complete says which.
static void on_horizons(struct remarks *remarks) {
    const struct sel_survey *survey = remarks->survey;
    struct sel_text text;
    size_t cut = 0;
    for (size_t i = 0; i < survey->site_count; i++)
        cut += survey->sites[i].horizon.complete ? 0 : 1;
    if (cut == 0)
        return;
    sel_text_init(&text);
    sel_text_addf(&text,
        "At %zu of %zu places the elevation raster ends before the farthest hills that could shade "
        "them: where such hills stand, the sun comes later and goes sooner than told.",
        cut, survey->site_count);
    remark_text(remarks, &text);
    sel_text_clear(&text);
}

sel_status sel_remarks_write(
    sel_context *context, const struct sel_job *job, struct sel_survey *survey) {
    struct remarks remarks = {.survey = survey};
    on_grid(&remarks);
    on_access(&remarks, job);
    sel_each_idle_layer(job, remark_layer, &remarks);
    on_canopy(&remarks, job);
    on_season(&remarks);
    on_horizons(&remarks);
    on_choice(&remarks);
    on_empty_blocks(&remarks);
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++)
        on_shortfalls_of(&remarks, kind);
    on_reserves(&remarks);
    return remarks.failed ? sel_fail_memory(context) : SEL_OK;
}
