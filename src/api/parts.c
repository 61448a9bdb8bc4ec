// SPDX-License-Identifier: MIT
//
// A run cut up and joined again. Parts may be made in any order, on any machine of the same kind;
// one that is lost is made again alone.
#include "api/parts.h"

#include <stdlib.h>
#include <string.h>

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
    if (status == SEL_OK)
        status = sel_part_finish(file, &findings, &facts);
    else
        sel_geopackage_abandon(file);
    if (status == SEL_OK)
        status = tell_part(context, output, &facts, &findings, summary);
    sel_findings_clear(&findings);
    return status;
}

// Checks one part against the plan and against those seen before.
static sel_status admit(sel_context *context, const char *path, const char *fingerprint,
    size_t part_count, const char **by_number, int *parts) {
    struct sel_part_facts facts;
    sel_status status = sel_part_facts_read(context, path, &facts);
    if (status != SEL_OK)
        return status;
    if (strcmp(facts.fingerprint, fingerprint) != 0)
        return sel_fail(context, SEL_BAD_INPUT,
            "%s: was made with another plan, grid or version: make it anew with this plan", path);
    if (*parts != 0 && facts.parts != *parts)
        return sel_fail(context, SEL_BAD_INPUT,
            "%s: is part %d of %d, but another part is one of %d: cut the run in one way only",
            path, facts.part, facts.parts, *parts);
    *parts = facts.parts;
    if ((size_t)facts.parts > part_count || facts.part < 1 || facts.part > facts.parts)
        return sel_fail(context, SEL_BAD_INPUT,
            "%s: is part %d of %d, but only %zu files are given: name all parts", path, facts.part,
            facts.parts, part_count);
    if (by_number[facts.part - 1])
        return sel_fail(context, SEL_BAD_INPUT, "%s: is part %d, and so is %s: name each once",
            path, facts.part, by_number[facts.part - 1]);
    by_number[facts.part - 1] = path;
    return SEL_OK;
}

// Puts the parts in the order of their numbers; all must be there. Since each number occurs once
// and there are as many files as parts, none is missing then.
static sel_status sort_parts(sel_context *context, const struct sel_opened *opened,
    const char *const *parts, size_t part_count, const char **by_number) {
    char fingerprint[SEL_FINGERPRINT_SIZE];
    int count = 0;
    sel_status status = sel_part_fingerprint(context, &opened->plan, &opened->study, fingerprint);
    for (size_t i = 0; i < part_count && status == SEL_OK; i++)
        status = admit(context, parts[i], fingerprint, part_count, by_number, &count);
    return status;
}

static sel_status join(sel_context *context, const struct sel_opened *opened,
    const char *const *by_number, size_t part_count, struct sel_geopackage *file,
    struct sel_findings *findings) {
    sel_status status = sel_findings_init(context, &opened->plan, findings);
    for (size_t i = 0; i < part_count && status == SEL_OK; i++) {
        sel_progress(context, "joining parts", (double)i / (double)part_count);
        status = sel_check_cancel(context);
        if (status == SEL_OK)
            status = sel_part_join(context, by_number[i], file, findings);
    }
    return status;
}

static sel_status gather_into(sel_context *context, const struct sel_opened *opened,
    const char *const *by_number, size_t part_count, struct sel_geopackage *file,
    const sel_run_options *options, char **summary) {
    struct sel_findings findings = {0};
    struct sel_survey survey = {0};
    struct sel_text text;
    sel_text_init(&text);
    sel_status status = join(context, opened, by_number, part_count, file, &findings);
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
    const char **by_number = calloc(part_count, sizeof *by_number);
    if (!by_number)
        return sel_fail_memory(context);
    sel_status status = sort_parts(context, opened, parts, part_count, by_number);
    if (status == SEL_OK)
        status = sel_geopackage_open(
            context, output, options->overwrite, &opened->plan, &opened->study, &file);
    if (status == SEL_OK)
        status = gather_into(context, opened, by_number, part_count, file, options, summary);
    free(by_number);
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
