// SPDX-License-Identifier: MIT
//
// selvedge map FILE [-o PNG] [--width PIXELS]
#include "command.h"

struct options {
    struct common_options common;
    const char *geopackage, *output;
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
    case ARGP_KEY_INIT:
        hand_down(state, &options->common);
        return 0;
    case 'o':
        options->output = argument;
        return 0;
    case KEY_WIDTH:
        options->width = parse_whole(state, "--width", argument, 400, 4000);
        return 0;
    default:
        return parse_one(key, argument, state, &wanted, &options->geopackage);
    }
}

static const struct argp argp = {list, parse, "FILE",
    "Draws the ranked sites of a GeoPackage on the land cover.", writing, NULL, NULL};

int command_map(int argc, char **argv) {
    struct options options = {.output = "sites.png", .width = 1400};
    parse_command(&argp, "map", argc, argv, &options);
    sel_context *context = begin_command(&options.common);
    sel_status status = sel_map(
        context, options.geopackage, options.output, options.width, options.common.overwrite);
    return end_command(context, status, NULL);
}
