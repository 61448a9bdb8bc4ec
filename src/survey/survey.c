// SPDX-License-Identifier: MIT
//
// Far ground, tiles, judgement, choice, details.
#include "survey/survey.h"

#include <stdlib.h>
#include <string.h>

#include "survey/details.h"
#include "survey/dispersion.h"
#include "survey/judge.h"
#include "survey/picture.h"
#include "survey/remarks.h"
#include "survey/reserve_note.h"
#include "survey/rivals.h"
#include "survey/robustness.h"
#include "survey/uncertainty.h"
#include "survey/walk.h"

enum { BACKDROP_PIXELS = 1024 };

static sel_status detail_sites(
    sel_context *context, struct sel_worker *worker, struct sel_survey *survey) {
    sel_status status = SEL_OK;
    for (size_t i = 0; i < survey->site_count && status == SEL_OK; i++) {
        sel_progress(context, "describing sites", (double)i / (double)survey->site_count);
        status = sel_check_cancel(context);
        if (status == SEL_OK)
            status = sel_site_detail(context, worker, survey, &survey->sites[i]);
    }
    return status;
}

// From findings to the finished survey.
static sel_status conclude(sel_context *context, struct sel_crew *crew,
    struct sel_findings *findings, struct sel_survey *survey) {
    struct sel_worker *worker = &crew->workers[0];
    sel_pool_begin(findings, survey);
    sel_status settled = sel_settle(context, crew, findings, survey);
    if (settled != SEL_OK && settled != SEL_NOTHING)
        return settled;
    sel_status status = sel_reserve_notes_write(context, survey);
    if (status == SEL_OK)
        status = sel_remarks_write(context, &crew->job, survey);
    if (status == SEL_OK)
        status = sel_robustness_find(context, crew, survey);
    if (status == SEL_OK)
        status = sel_dispersion_find(context, survey);
    if (status == SEL_OK)
        status = sel_uncertainty_find(context, worker, survey);
    if (status == SEL_OK)
        status = detail_sites(context, worker, survey);
    if (status == SEL_OK)
        status = sel_rivals_find(context, survey);
    if (status == SEL_OK)
        status =
            sel_picture_paint(context, worker, crew->job.focus, BACKDROP_PIXELS, &survey->backdrop);
    return status == SEL_OK ? settled : status;
}

// What parts measured must be the ground that the plan and its data name now.
static sel_status check_ground(
    sel_context *context, const struct sel_job *job, const struct sel_findings *findings) {
    struct sel_cut whole = sel_cut_of(job, &(sel_run_options){0});
    if (memcmp(&whole, &findings->cut, sizeof whole) == 0)
        return SEL_OK;
    return sel_fail(context, SEL_BAD_INPUT,
        "%s: names other ground than the parts were made for: its study area was changed since; "
        "make the parts anew",
        job->plan->path);
}

static void introduce(const struct sel_job *job, struct sel_survey *survey) {
    *survey = (struct sel_survey){.plan = job->plan, .study = job->study, .lengths = job->lengths};
    for (int i = 0; i < SEL_CRITERIA; i++) {
        survey->in_use[i] = job->in_use[i];
        survey->weights[i] = job->weights[i];
    }
}

static sel_status measure(sel_context *context, struct sel_crew *crew,
    const sel_run_options *options, const struct sel_edge_sink *sink,
    struct sel_findings *findings) {
    struct sel_tiling tiling = sel_tiling_of(&crew->job, options);
    sel_status status = sel_findings_init(context, crew->job.plan, findings);
    if (status == SEL_OK)
        status =
            sel_measure(context, &crew->job, &tiling, crew->workers, crew->threads, sink, findings);
    if (status == SEL_OK)
        status = sel_walk_candidates(
            context, &crew->job, crew->workers, crew->threads, options, &findings->candidates);
    if (status != SEL_OK)
        sel_findings_clear(findings);
    return status;
}

sel_status sel_survey_run(sel_context *context, const struct sel_plan *plan,
    const struct sel_study *study, const sel_run_options *options, const struct sel_edge_sink *sink,
    struct sel_survey *survey) {
    struct sel_crew crew;
    struct sel_findings findings;
    sel_status status = sel_crew_hire(context, plan, study, options, &crew);
    if (status != SEL_OK)
        return status;
    introduce(&crew.job, survey);
    status = measure(context, &crew, options, sink, &findings);
    if (status == SEL_OK) {
        status = conclude(context, &crew, &findings, survey);
        sel_findings_clear(&findings);
    }
    sel_crew_dismiss(&crew);
    return status;
}

sel_status sel_survey_measure(sel_context *context, const struct sel_plan *plan,
    const struct sel_study *study, const sel_run_options *options, const struct sel_edge_sink *sink,
    struct sel_findings *findings) {
    struct sel_crew crew;
    sel_status status = sel_crew_hire(context, plan, study, options, &crew);
    if (status != SEL_OK)
        return status;
    status = measure(context, &crew, options, sink, findings);
    sel_crew_dismiss(&crew);
    return status;
}

sel_status sel_survey_conclude(sel_context *context, const struct sel_plan *plan,
    const struct sel_study *study, const sel_run_options *options, struct sel_findings *findings,
    struct sel_survey *survey) {
    struct sel_crew crew;
    sel_status status = sel_crew_hire(context, plan, study, options, &crew);
    if (status != SEL_OK)
        return status;
    introduce(&crew.job, survey);
    status = check_ground(context, &crew.job, findings);
    if (status == SEL_OK)
        status = conclude(context, &crew, findings, survey);
    sel_crew_dismiss(&crew);
    return status;
}

void sel_survey_clear(struct sel_survey *survey) {
    for (size_t i = 0; i < survey->site_count; i++)
        sel_site_clear(&survey->sites[i]);
    for (size_t i = 0; i < survey->remark_count; i++)
        free(survey->remarks[i]);
    free(survey->sites);
    free(survey->remarks);
    free(survey->candidates);
    free(survey->fates);
    free(survey->rivals);
    free(survey->pairs);
    for (size_t i = 0; i < survey->block_count + survey->empty_block_count; i++)
        free(survey->blocks[i].name);
    free(survey->blocks);
    free(survey->shortfalls);
    sel_picture_clear(&survey->backdrop);
    *survey = (struct sel_survey){0};
}
