// SPDX-License-Identifier: MIT
//
// selvedge legend [NAME]
#include "command.h"

struct options {
    struct common_options common;
    const char *name;
};

static error_t parse(int key, char *argument, struct argp_state *state) {
    struct options *options = state->input;
    switch (key) {
    case ARGP_KEY_INIT:
        state->child_inputs[0] = &options->common;
        return 0;
    case ARGP_KEY_ARG:
        if (options->name)
            argp_error(state, "one legend at a time: '%s' is one too many", argument);
        options->name = argument;
        return 0;
    default:
        return ARGP_ERR_UNKNOWN;
    }
}

static const struct argp_child children[] = {{&common_argp, 0, NULL, 0}, {0}};
static const struct argp argp = {NULL, parse, "[NAME]",
    "Lists the built-in habitat tables, or prints one as CSV to start from.", children, NULL, NULL};

int command_legend(int argc, char **argv) {
    struct options options = {0};
    parse_command(&argp, "legend", argc, argv, &options);
    sel_context *context = begin_command(&options.common);
    char *report = NULL;
    sel_status status = sel_legend(context, options.name, &report);
    return end_command(context, status, report);
}
