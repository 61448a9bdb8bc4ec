// SPDX-License-Identifier: MIT
//
// How far off the study grid a layer still counts. Walks stay on the grid; straight lines to a
// start lead beyond it, but tell places apart only as far as the limit, or to where the value
// function ends.
#include "survey/reach.h"

#include <math.h>
#include <stdio.h>

enum { WORDS = 1200 };

// "roads.gpkg" or "roads.gpkg: layer lanes", as the plan has it.
static void name_layer(const struct sel_layer_ref *source, char words[WORDS]) {
    snprintf(words, WORDS, "%s%s%s", source->file, source->layer ? ": layer " : "",
        source->layer ? source->layer : "");
}

// ---- layers that must count ----

// By distance, metres; also what the reach is, in words.
static double start_reach_m(const struct sel_plan_criterion *access, const char **words) {
    double last = access->value[access->value_count - 1].at;
    bool falls = access->value[0].worth > access->value[access->value_count - 1].worth;
    bool limited = access->has_limit && (falls || access->limit > last);
    *words = limited ? "criteria.access.limit is" : "criteria.access.value ends at";
    return limited ? access->limit : last;
}

static double access_reach_m(const struct sel_job *job, size_t index, char words[WORDS]) {
    const struct sel_plan *plan = job->plan;
    if (job->walking.in_use) {
        snprintf(words, WORDS, "walks stay on the study grid");
        return 0.0;
    }
    if (plan->access[index].role == SEL_ACCESS_START) {
        const char *what;
        double reach = start_reach_m(&plan->criteria[SEL_CRITERION_ACCESS], &what);
        snprintf(words, WORDS, "%s %.6g m", what, reach);
        return fmax(reach, plan->access_min_m);
    }
    snprintf(words, WORDS, "by distance a way counts within criteria.access.min_m, %.6g m",
        plan->access_min_m);
    return plan->access_min_m;
}

sel_status sel_check_access_reach(
    sel_context *context, const struct sel_job *job, size_t index, struct sel_layer_tally tally) {
    const struct sel_layer_ref *source = &job->plan->access[index].source;
    char words[WORDS], layer[WORDS];
    if (tally.off_m <= access_reach_m(job, index, words))
        return SEL_OK;
    name_layer(source, layer);
    return sel_fail(context, SEL_BAD_INPUT,
        "%s:%d: access: %s: the nearest of its %lld features lies %.0f m off the study grid, and "
        "%s: check its place and its CRS, or leave the entry out",
        job->plan->path, source->place.line, layer, (long long)tally.features, tally.off_m, words);
}

sel_status sel_check_blocks_reach(sel_context *context, const struct sel_job *job) {
    const struct sel_layer_ref *source = &job->plan->blocks;
    char layer[WORDS];
    if (!job->blocks || sel_polygons_count(job->blocks) > 0)
        return SEL_OK;
    name_layer(source, layer);
    return sel_fail(context, SEL_BAD_INPUT,
        "%s:%d: choose.blocks: %s: none of its %lld polygons meets the study grid: check its place "
        "and its CRS, or leave the key out",
        job->plan->path, source->place.line, layer,
        (long long)sel_polygons_tally(job->blocks).features);
}

// ---- layers that may be empty here ----

struct telling {
    sel_idle_layer_fn *tell;
    void *user;
};

static void tell_idle(const struct telling *telling, const char *key,
    const struct sel_layer_ref *source, struct sel_layer_tally tally, const char *shapes) {
    char layer[WORDS], sentence[WORDS + 256];
    name_layer(source, layer);
    snprintf(sentence, sizeof sentence,
        "%s: %s: none of its %lld %s meets the study grid: it changes nothing here.", key, layer,
        (long long)tally.features, shapes);
    telling->tell(telling->user, sentence);
}

static void tell_idle_polygons(const struct telling *telling, const char *key,
    const struct sel_layer_ref *source, const struct sel_polygons *polygons) {
    if (polygons && sel_polygons_count(polygons) == 0)
        tell_idle(telling, key, source, sel_polygons_tally(polygons), "polygons");
}

void sel_each_idle_layer(const struct sel_job *job, sel_idle_layer_fn *tell, void *user) {
    const struct sel_plan *plan = job->plan;
    const struct telling telling = {tell, user};
    for (size_t i = 0; i < plan->lines_count; i++) {
        struct sel_layer_tally tally = sel_narrow_tally(job->narrow, i);
        if (tally.off_m > 0.5 * plan->lines[i].width_m)
            tell_idle(&telling, "lines", &plan->lines[i].source, tally, "features");
    }
    tell_idle_polygons(&telling, "parcels", &plan->parcels, job->parcels);
    for (size_t i = 0; i < plan->zones_count; i++)
        tell_idle_polygons(&telling, "zones", &plan->zones[i].source, job->zones[i]);
    if (plan->occupied.file && job->occupied_tally.off_m >= plan->choose.apart_m)
        tell_idle(&telling, "occupied", &plan->occupied, job->occupied_tally, "features");
}
