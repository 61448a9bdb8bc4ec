// SPDX-License-Identifier: MIT
//
// selvedge fieldkit FILE [-o DIR] [--only PARTS] [--actual CSV]
#include "command.h"

struct options {
    struct common_options common;
    const char *only, *actual;
};

enum { KEY_ONLY = 0x200, KEY_ACTUAL };

static const struct argp_option list[] = {
    {"output", 'o', "DIR", 0, "The folder to write to; made if it is not there (default: fieldkit)",
        0},
    {"only", KEY_ONLY, "PARTS", 0,
        "Some parts only, separated by commas: gpx, labels, calendar, events, kit, setup", 0},
    {"actual", KEY_ACTUAL, "CSV", 0,
        "Rewrite the events from the services really done (see docs/fieldkit.md)", 0},
    {0},
};

static const struct one_argument wanted = {"GeoPackage", "selvedge fieldkit sites.gpkg -o kit"};

static error_t parse(int key, char *argument, struct argp_state *state) {
    struct options *options = state->input;
    switch (key) {
    case KEY_ONLY:
        options->only = argument;
        return 0;
    case KEY_ACTUAL:
        options->actual = argument;
        return 0;
    default:
        return parse_shared(key, argument, state, &wanted, &options->common);
    }
}

static const struct argp argp = {list, parse, "FILE",
    "Writes what goes into the rucksack from a ranked GeoPackage: waypoints (GPX), labels, a "
    "calendar, events (Darwin Core), a kit list and setup cards.",
    writing, NULL, NULL};

int command_fieldkit(int argc, char **argv) {
    struct options options = {.common.output = "fieldkit"};
    parse_command(&argp, "fieldkit", argc, argv, &options);
    sel_context *context = begin_command(&options.common);
    char *report = NULL;
    sel_status status = sel_fieldkit(context, options.common.argument, options.common.output,
        options.only, options.actual, options.common.overwrite, &report);
    return end_command(context, status, report);
}
