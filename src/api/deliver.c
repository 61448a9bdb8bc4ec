// SPDX-License-Identifier: MIT
//
// The summary is made before the file is moved into place: a run that has no memory for the one
// must not leave the other.
#include "api/deliver.h"

#include "api/jobs.h"
#include "output/summary.h"

static sel_status pass_edges(
    void *user, int64_t block_row, int64_t block_col, const struct sel_traced_lines *lines) {
    return sel_geopackage_add_edges(user, block_row, block_col, lines);
}

struct sel_edge_sink sel_sink_of(struct sel_geopackage *file) {
    return (struct sel_edge_sink){pass_edges, file};
}

static sel_status tell(sel_context *context, const struct sel_survey *survey, char **summary) {
    struct sel_text text;
    sel_text_init(&text);
    sel_summary_write(survey, &text);
    sel_status status = sel_hand_over(context, &text, summary);
    sel_text_clear(&text);
    return status;
}

sel_status sel_deliver(sel_context *context, sel_status ended, const struct sel_survey *survey,
    struct sel_geopackage *file, char **summary) {
    sel_status status = ended;
    char *told = NULL;
    if (ended == SEL_OK || ended == SEL_NOTHING) {
        sel_status handed = tell(context, survey, &told);
        status = handed == SEL_OK ? ended : handed;
    }
    if (status == SEL_OK)
        status = sel_geopackage_finish(file, survey);
    else
        sel_geopackage_abandon(file);
    if (status == SEL_OK || status == SEL_NOTHING)
        *summary = told;
    else
        sel_text_free(told);
    return status;
}
