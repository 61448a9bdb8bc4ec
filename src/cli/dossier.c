// SPDX-License-Identifier: MIT
//
// selvedge dossier FILE [-o HTML]
#include "command.h"

static const struct argp_option list[] = {
    {"output", 'o', "HTML", 0, "The page to write (default: dossier.html)", 0},
    {0},
};

static const struct one_argument wanted = {"GeoPackage", "selvedge dossier sites.gpkg"};

static error_t parse(int key, char *argument, struct argp_state *state) {
    return parse_shared(key, argument, state, &wanted, state->input);
}

static const struct argp argp = {list, parse, "FILE",
    "Writes a dossier of the ranked sites of a GeoPackage: one page for a permit office, with "
    "maps, a sheet per site and the method, to be read in a browser or printed on A4.",
    writing, NULL, NULL};

int command_dossier(int argc, char **argv) {
    struct common_options options = {.output = "dossier.html"};
    parse_command(&argp, "dossier", argc, argv, &options);
    sel_context *context = begin_command(&options);
    sel_status status = sel_dossier(context, options.argument, options.output, options.overwrite);
    return end_command(context, status, NULL);
}
