// SPDX-License-Identifier: MIT
//
// selvedge map FILE [-o PNG] [--width PIXELS]
#include "command.h"

struct options {
    struct common_options common;
    int width;
};

enum { KEY_WIDTH = 0x200 };

static const struct argp_option list[] = {
    {"output", 'o', "PNG", 0, "The picture to write (default: sites.png)", 0},
    {"width", KEY_WIDTH, "PIXELS", 0, "Its width, 400 to 4000 (default: 1400)", 0},
    {0},
};

static const struct one_argument wanted = {"GeoPackage", "selvedge map sites.gpkg"};

static error_t parse(int key, char *argument, struct argp_state *state) {
    struct options *options = state->input;
    switch (key) {
    case KEY_WIDTH:
        options->width = parse_whole(state, "--width", argument, 400, 4000);
        return 0;
    default:
        return parse_shared(key, argument, state, &wanted, &options->common);
    }
}

static const struct argp argp = {list, parse, "FILE",
    "Draws the ranked sites of a GeoPackage on the land cover.", writing, NULL, NULL};

int command_map(int argc, char **argv) {
    struct options options = {.common.output = "sites.png", .width = 1400};
    parse_command(&argp, "map", argc, argv, &options);
    sel_context *context = begin_command(&options.common);
    sel_status status = sel_map(context, options.common.argument, options.common.output,
        options.width, options.common.overwrite);
    return end_command(context, status, NULL);
}
