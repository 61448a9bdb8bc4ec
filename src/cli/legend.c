// SPDX-License-Identifier: MIT
//
// selvedge legend [NAME]
#include "command.h"

static const struct one_argument wanted = {"legend", NULL};

static error_t parse(int key, char *argument, struct argp_state *state) {
    return parse_shared(key, argument, state, &wanted, state->input);
}

static const struct argp argp = {NULL, parse, "[NAME]",
    "Lists the built-in habitat tables, or prints one as CSV to start from.", talking, NULL, NULL};

int command_legend(int argc, char **argv) {
    struct common_options options = {0};
    parse_command(&argp, "legend", argc, argv, &options);
    sel_context *context = begin_command(&options);
    char *report = NULL;
    sel_status status = sel_legend(context, options.argument, &report);
    return end_command(context, status, report);
}
