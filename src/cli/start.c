// SPDX-License-Identifier: MIT
//
// selvedge start --landcover FILE --elevation FILE [--access FILE] [--legend NAME] [-o DIR]
#include "command.h"

struct options {
    struct common_options common;
    const char *landcover, *elevation, *access, *legend;
};

enum { KEY_LANDCOVER = 0x200, KEY_ELEVATION, KEY_ACCESS, KEY_LEGEND };

static const struct argp_option list[] = {
    {"landcover", KEY_LANDCOVER, "FILE", 0, "The land-cover raster", 0},
    {"elevation", KEY_ELEVATION, "FILE", 0, "The elevation raster", 0},
    {"access", KEY_ACCESS, "FILE", 0, "Roads or parking places, as vectors", 0},
    {"legend", KEY_LEGEND, "NAME", 0, "The built-in legend of the land cover", 0},
    {"output", 'o', "DIR", 0, "The folder to write to (default: this one)", 0},
    {0},
};

static error_t parse(int key, char *argument, struct argp_state *state) {
    struct options *options = state->input;
    switch (key) {
    case KEY_LANDCOVER:
        options->landcover = argument;
        return 0;
    case KEY_ELEVATION:
        options->elevation = argument;
        return 0;
    case KEY_ACCESS:
        options->access = argument;
        return 0;
    case KEY_LEGEND:
        options->legend = argument;
        return 0;
    case ARGP_KEY_ARG:
        argp_error(state, "'%s' is not expected here", argument);
        return 0;
    case ARGP_KEY_END:
        if (!options->landcover || !options->elevation)
            argp_error(state, "--landcover and --elevation are needed");
        return 0;
    default:
        return parse_shared(key, argument, state, NULL, &options->common);
    }
}

static const struct argp argp = {list, parse, NULL,
    "Reads two rasters and writes a commented survey.yaml and a habitats.csv to edit.", writing,
    NULL, NULL};

int command_start(int argc, char **argv) {
    struct options options = {.common.output = "."};
    parse_command(&argp, "start", argc, argv, &options);
    sel_context *context = begin_command(&options.common);
    char *report = NULL;
    sel_status status = sel_start(context, options.landcover, options.elevation, options.access,
        options.legend, options.common.output, options.common.overwrite, &report);
    return end_command(context, status, report);
}
