// SPDX-License-Identifier: MIT
//
// selvedge gather PLAN PART... [-o FILE]
#include <stdlib.h>

#include "command.h"

struct options {
    struct common_options common;
    const char *plan;
    const char **parts;
    size_t part_count;
};

static const struct argp_option list[] = {
    {"output", 'o', "FILE", 0, "The GeoPackage to write (default: sites.gpkg)", 0},
    {0},
};

static error_t parse(int key, char *argument, struct argp_state *state) {
    struct options *options = state->input;
    switch (key) {
    case ARGP_KEY_ARG:
        if (!options->plan)
            options->plan = argument;
        else
            options->parts[options->part_count++] = argument;
        return 0;
    case ARGP_KEY_END:
        if (!options->plan || options->part_count == 0)
            argp_error(state, "a plan and its parts are needed: selvedge gather survey.yaml "
                              "part*.gpkg");
        return 0;
    default:
        return parse_shared(key, argument, state, NULL, &options->common);
    }
}

static const struct argp argp = {list, parse, "PLAN PART...",
    "Joins the parts that 'rank --part' wrote; the result is that of one whole run.",
    writing_and_running, NULL, NULL};

int command_gather(int argc, char **argv) {
    struct options options = {.common.output = "sites.gpkg"};
    options.parts = calloc((size_t)argc + 1, sizeof *options.parts);
    if (!options.parts)
        return SEL_NO_MEMORY;
    parse_command(&argp, "gather", argc, argv, &options);
    sel_context *context = begin_command(&options.common);
    sel_run_options run = run_options(&options.common);
    char *summary = NULL;
    sel_status status = sel_gather(context, options.plan, options.parts, options.part_count,
        options.common.output, &run, &summary);
    free(options.parts);
    return end_command(context, status, summary);
}
