// SPDX-License-Identifier: MIT
//
// The main job: survey and output joined.
#include "api/deliver.h"
#include "api/parts.h"
#include "survey/survey.h"

static sel_status rank_opened(sel_context *context, const struct sel_opened *opened,
    const char *output, const sel_run_options *options, char **summary) {
    struct sel_geopackage *file = NULL;
    struct sel_survey survey = {0};
    sel_status status = sel_geopackage_open(
        context, output, options->overwrite, &opened->plan, &opened->study, &file);
    if (status != SEL_OK)
        return status;
    struct sel_edge_sink sink = sel_sink_of(file);
    status = sel_survey_run(context, &opened->plan, &opened->study, options, &sink, &survey);
    status = sel_deliver(context, status, &survey, file, summary);
    sel_survey_clear(&survey);
    return status;
}

sel_status sel_rank(sel_context *context, const char *plan, const char *output,
    const sel_run_options *options, char **summary) {
    struct sel_opened opened;
    sel_context_begin(context);
    *summary = NULL;
    sel_status status = sel_check_options(context, options);
    if (status == SEL_OK)
        status = sel_opened_open(context, plan, &opened);
    if (status != SEL_OK)
        return status;
    status = options->parts > 0 ? sel_rank_part(context, &opened, output, options, summary)
                                : rank_opened(context, &opened, output, options, summary);
    sel_opened_close(&opened);
    return status;
}
