// SPDX-License-Identifier: MIT
//
// selvedge check PLAN [--full]
#include "command.h"

struct options {
    struct common_options common;
    const char *plan;
    bool full;
};

enum { KEY_FULL = 0x200 };

static const struct argp_option list[] = {
    {"full", KEY_FULL, 0, 0, "Scan whole rasters instead of a sample", 0},
    {0},
};

static error_t parse(int key, char *argument, struct argp_state *state) {
    struct options *options = state->input;
    switch (key) {
    case ARGP_KEY_INIT:
        state->child_inputs[0] = &options->common;
        return 0;
    case KEY_FULL:
        options->full = true;
        return 0;
    case ARGP_KEY_ARG:
        if (options->plan)
            argp_error(state, "one plan at a time: '%s' is one too many", argument);
        options->plan = argument;
        return 0;
    case ARGP_KEY_END:
        if (!options->plan)
            argp_error(state, "a plan is needed: selvedge check survey.yaml");
        return 0;
    default:
        return ARGP_ERR_UNKNOWN;
    }
}

static const struct argp_child children[] = {{&common_argp, 0, NULL, 0}, {0}};
static const struct argp argp = {list, parse, "PLAN",
    "Validates a plan and its data and tells what will be used. Writes nothing.", children, NULL,
    NULL};

int command_check(int argc, char **argv) {
    struct options options = {0};
    parse_command(&argp, "check", argc, argv, &options);
    sel_context *context = begin_command(&options.common);
    sel_run_options run = run_options(&options.common);
    char *report = NULL;
    sel_status status = sel_check(context, options.plan, options.full, &run, &report);
    return end_command(context, status, report);
}
