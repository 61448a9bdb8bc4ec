// SPDX-License-Identifier: MIT
//
// A run cut up and joined again. Parts may be made in any order, on any machine of the same kind;
// one that is lost is made again alone.
#include "api/parts.h"

#include "api/part_set.h"
#include "output/not_an_input.h"
#include "output/part.h"
#include "output/summary.h"
#include "survey/survey.h"

static sel_status pass_edges(
    void *user, int64_t block_row, int64_t block_col, const struct sel_traced_lines *lines) {
    return sel_geopackage_add_edges(user, block_row, block_col, lines);
}

static sel_status tell_part(sel_context *context, const char *output,
    const struct sel_part_facts *facts, const struct sel_findings *findings, char **summary) {
    struct sel_text text;
    sel_text_init(&text);
    sel_text_addf(&text,
        "Part %d of %d: %zu candidates from %lld cell sides between habitats, in %s.\n"
        "Join all parts with: selvedge gather PLAN PART... -o sites.gpkg\n",
        facts->part, facts->parts, findings->candidates.count, (long long)findings->counts.cracks,
        output);
    sel_status status = sel_hand_over(context, &text, summary);
    sel_text_clear(&text);
    return status;
}

sel_status sel_rank_part(sel_context *context, const struct sel_opened *opened, const char *output,
    const sel_run_options *options, char **summary) {
    struct sel_part_facts facts = {.part = options->part, .parts = options->parts};
    struct sel_geopackage *file = NULL;
    struct sel_findings findings = {0};
    sel_status status =
        sel_part_fingerprint(context, &opened->plan, &opened->study, facts.fingerprint);
    if (status == SEL_OK)
        status = sel_geopackage_open(
            context, output, options->overwrite, &opened->plan, &opened->study, &file);
    if (status != SEL_OK)
        return status;
    struct sel_edge_sink sink = {pass_edges, file};
    status = sel_survey_measure(context, &opened->plan, &opened->study, options, &sink, &findings);
    facts.cut = findings.cut;
    if (status == SEL_OK)
        status = sel_part_finish(file, &findings, &facts);
    else
        sel_geopackage_abandon(file);
    if (status == SEL_OK)
        status = tell_part(context, output, &facts, &findings, summary);
    sel_findings_clear(&findings);
    return status;
}

static sel_status join(sel_context *context, const struct sel_opened *opened,
    const struct sel_part_set *set, struct sel_geopackage *file, struct sel_findings *findings) {
    sel_status status = sel_findings_init(context, &opened->plan, findings);
    findings->cut = set->ground;
    for (size_t i = 0; i < set->count && status == SEL_OK; i++) {
        sel_progress(context, "joining parts", (double)i / (double)set->count);
        status = sel_check_cancel(context);
        if (status == SEL_OK)
            status = sel_part_join(context, set->parts[i].path, file, findings);
    }
    return status;
}

// All parts came from the files that are there now.
static sel_status check_inputs(
    sel_context *context, const struct sel_part_set *set, struct sel_geopackage *file) {
    sel_status status = SEL_OK;
    for (size_t i = 0; i < set->count && status == SEL_OK; i++) {
        sel_progress(context, "comparing inputs", (double)i / (double)set->count);
        status = sel_part_check_inputs(context, set->parts[i].path, file);
    }
    return status;
}

static sel_status gather_into(sel_context *context, const struct sel_opened *opened,
    const struct sel_part_set *set, struct sel_geopackage *file, const sel_run_options *options,
    char **summary) {
    struct sel_findings findings = {0};
    struct sel_survey survey = {0};
    struct sel_text text;
    sel_text_init(&text);
    sel_status status = check_inputs(context, set, file);
    if (status == SEL_OK)
        status = join(context, opened, set, file, &findings);
    if (status == SEL_OK)
        status = sel_survey_conclude(
            context, &opened->plan, &opened->study, options, &findings, &survey);
    if (status == SEL_OK || status == SEL_NOTHING)
        sel_summary_write(&survey, &text);
    if (status == SEL_OK)
        status = sel_geopackage_finish(file, &survey);
    else
        sel_geopackage_abandon(file);
    if (status == SEL_OK || status == SEL_NOTHING) {
        sel_status handed = sel_hand_over(context, &text, summary);
        status = handed == SEL_OK ? status : handed;
    }
    sel_text_clear(&text);
    sel_findings_clear(&findings);
    sel_survey_clear(&survey);
    return status;
}

static sel_status gather_opened(sel_context *context, const struct sel_opened *opened,
    const char *const *parts, size_t part_count, const char *output, const sel_run_options *options,
    char **summary) {
    struct sel_geopackage *file = NULL;
    struct sel_part_set set;
    sel_status status = sel_part_set_read(context, opened, parts, part_count, &set);
    for (size_t i = 0; i < part_count && status == SEL_OK; i++)
        status = sel_check_not_file(context, output, parts[i], "a part");
    if (status == SEL_OK)
        status = sel_geopackage_open(
            context, output, options->overwrite, &opened->plan, &opened->study, &file);
    if (status == SEL_OK)
        status = gather_into(context, opened, &set, file, options, summary);
    sel_part_set_clear(&set);
    return status;
}

sel_status sel_gather(sel_context *context, const char *plan, const char *const *parts,
    size_t part_count, const char *output, const sel_run_options *options, char **summary) {
    struct sel_opened opened;
    sel_context_begin(context);
    *summary = NULL;
    if (part_count == 0)
        return sel_fail(context, SEL_USAGE, "no part is given: name the parts to join");
    sel_status status = sel_check_options(context, options);
    if (status == SEL_OK)
        status = sel_opened_open(context, plan, &opened);
    if (status != SEL_OK)
        return status;
    status = gather_opened(context, &opened, parts, part_count, output, options, summary);
    sel_opened_close(&opened);
    return status;
}
