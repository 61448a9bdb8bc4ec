// SPDX-License-Identifier: MIT
//
// selvedge legend [NAME]
#include "command.h"

struct options {
    struct common_options common;
    const char *name;
};

static const struct one_argument wanted = {"legend", NULL};

static error_t parse(int key, char *argument, struct argp_state *state) {
    struct options *options = state->input;
    switch (key) {
    case ARGP_KEY_INIT:
        hand_down(state, &options->common);
        return 0;
    default:
        return parse_one(key, argument, state, &wanted, &options->name);
    }
}

static const struct argp argp = {NULL, parse, "[NAME]",
    "Lists the built-in habitat tables, or prints one as CSV to start from.", talking, NULL, NULL};

int command_legend(int argc, char **argv) {
    struct options options = {0};
    parse_command(&argp, "legend", argc, argv, &options);
    sel_context *context = begin_command(&options.common);
    char *report = NULL;
    sel_status status = sel_legend(context, options.name, &report);
    return end_command(context, status, report);
}
