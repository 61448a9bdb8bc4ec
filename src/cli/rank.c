// SPDX-License-Identifier: MIT
//
// selvedge rank PLAN [-o FILE] [--part I/N]
#include <stdlib.h>

#include "command.h"

struct options {
    struct common_options common;
    int part, parts;
};

enum { KEY_PART = 0x200, MOST_PARTS = 100000 };

static const struct argp_option list[] = {
    {"output", 'o', "FILE", 0, "The GeoPackage to write (default: sites.gpkg)", 0},
    {"part", KEY_PART, "I/N", 0, "Do only part I of N; join the parts with 'gather'", 0},
    {0},
};

static void parse_part(struct argp_state *state, const char *text, struct options *options) {
    char *slash, *end;
    long part = strtol(text, &slash, 10);
    long parts = *slash == '/' ? strtol(slash + 1, &end, 10) : 0;
    if (*slash != '/' || *end != '\0' || part < 1 || parts > MOST_PARTS || part > parts)
        argp_error(
            state, "--part: '%s' is not I/N with I from 1 to N, N at most %d", text, MOST_PARTS);
    options->part = (int)part;
    options->parts = (int)parts;
}

static const struct one_argument wanted = {"plan", "selvedge rank survey.yaml"};

static error_t parse(int key, char *argument, struct argp_state *state) {
    struct options *options = state->input;
    switch (key) {
    case KEY_PART:
        parse_part(state, argument, options);
        return 0;
    default:
        return parse_shared(key, argument, state, &wanted, &options->common);
    }
}

static const struct argp argp = {list, parse, "PLAN",
    "Ranks trap sites along habitat edges and writes them as a GeoPackage.", writing_and_running,
    NULL, NULL};

int command_rank(int argc, char **argv) {
    struct options options = {.common.output = "sites.gpkg"};
    parse_command(&argp, "rank", argc, argv, &options);
    sel_context *context = begin_command(&options.common);
    sel_run_options run = run_options(&options.common);
    run.part = options.part;
    run.parts = options.parts;
    char *summary = NULL;
    sel_status status =
        sel_rank(context, options.common.argument, options.common.output, &run, &summary);
    return end_command(context, status, summary);
}
