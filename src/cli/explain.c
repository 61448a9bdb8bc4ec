// SPDX-License-Identifier: MIT
//
// selvedge explain FILE [RANK | --pair "A|B"]
#include "command.h"

struct options {
    struct common_options common;
    const char *geopackage;
    const char *pair;
    int rank;
};

enum { OPTION_PAIR = 'p' };

static error_t parse(int key, char *argument, struct argp_state *state) {
    struct options *options = state->input;
    switch (key) {
    case OPTION_PAIR:
        options->pair = argument;
        return 0;
    case ARGP_KEY_ARG:
        if (state->arg_num == 0)
            options->geopackage = argument;
        else if (state->arg_num == 1)
            options->rank = parse_whole(state, "RANK", argument, 1, 100000);
        else
            argp_error(state, "'%s' is one too many", argument);
        return 0;
    case ARGP_KEY_END:
        if (!options->geopackage)
            argp_error(state, "a GeoPackage is needed: selvedge explain sites.gpkg 3");
        if (options->pair && options->rank > 0)
            argp_error(state, "a rank and --pair are two questions: ask one at a time");
        return 0;
    default:
        return parse_shared(key, argument, state, NULL, &options->common);
    }
}

static const struct argp_option options_of_explain[] = {
    {"pair", OPTION_PAIR, "A|B", 0, "Tell of a pair of habitats instead of a site", 0}, {0}};
static const struct argp argp = {options_of_explain, parse, "FILE [RANK]",
    "Tells why a site ranks where it does; without RANK, of all sites in short.", talking, NULL,
    NULL};

int command_explain(int argc, char **argv) {
    struct options options = {0};
    parse_command(&argp, "explain", argc, argv, &options);
    sel_context *context = begin_command(&options.common);
    char *report = NULL;
    sel_status status = options.pair
                            ? sel_explain_pair(context, options.geopackage, options.pair, &report)
                            : sel_explain(context, options.geopackage, options.rank, &report);
    return end_command(context, status, report);
}
