// SPDX-License-Identifier: MIT
//
// selvedge check PLAN [--full]
#include "command.h"

struct options {
    struct common_options common;
    bool full;
};

enum { KEY_FULL = 0x200 };

static const struct argp_option list[] = {
    {"full", KEY_FULL, 0, 0, "Scan whole rasters instead of a sample", 0},
    {0},
};

static const struct one_argument wanted = {"plan", "selvedge check survey.yaml"};

static error_t parse(int key, char *argument, struct argp_state *state) {
    struct options *options = state->input;
    switch (key) {
    case KEY_FULL:
        options->full = true;
        return 0;
    default:
        return parse_shared(key, argument, state, &wanted, &options->common);
    }
}

static const struct argp argp = {list, parse, "PLAN",
    "Validates a plan and its data and tells what will be used. Writes nothing.", running, NULL,
    NULL};

int command_check(int argc, char **argv) {
    struct options options = {0};
    parse_command(&argp, "check", argc, argv, &options);
    sel_context *context = begin_command(&options.common);
    sel_run_options run = run_options(&options.common);
    char *report = NULL;
    sel_status status = sel_check(context, options.common.argument, options.full, &run, &report);
    return end_command(context, status, report);
}
