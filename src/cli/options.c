// SPDX-License-Identifier: MIT
//
// The options and arguments that several commands share, in groups, so that no command takes an
// option that does nothing there.
#include <errno.h>
#include <stdlib.h>

#include "command.h"

enum { KEY_THREADS = 0x100, KEY_MEMORY, KEY_OVERWRITE, KEY_TILE };

int parse_whole(struct argp_state *state, const char *what, const char *text, int low, int high) {
    char *end;
    errno = 0;
    long value = strtol(text, &end, 10);
    if (errno != 0 || end == text || *end != '\0' || value < low || value > high)
        argp_error(state, "%s: '%s' is not a whole number from %d to %d", what, text, low, high);
    return (int)value;
}

// --- groups of options ---

static const struct argp_option talk_list[] = {
    {"quiet", 'q', 0, 0, "No progress, no notes", 90},
    {"verbose", 'v', 0, 0, "Notes on what was assumed while reading", 90},
    {0},
};

static const struct argp_option write_list[] = {
    {"overwrite", KEY_OVERWRITE, 0, 0, "Replace an output that exists", 90},
    {0},
};

static const struct argp_option run_list[] = {
    {"threads", KEY_THREADS, "N", 0, "Threads to use (default: one per processor)", 90},
    {"memory", KEY_MEMORY, "MB", 0, "Aim for at most this much working memory, in MiB", 90},
    {"tile", KEY_TILE, "CELLS", 0, "Side of the working windows, a multiple of 512", 90},
    {0},
};

// Of any group: argp asks for the keys of the group's own list alone.
static error_t parse_common(int key, char *argument, struct argp_state *state) {
    struct common_options *options = state->input;
    switch (key) {
    case 'q':
        options->quiet = true;
        return 0;
    case 'v':
        options->verbose = true;
        return 0;
    case KEY_THREADS:
        options->threads = parse_whole(state, "--threads", argument, 1, 256);
        return 0;
    case KEY_MEMORY:
        options->memory_mb = parse_whole(state, "--memory", argument, 64, 1 << 20);
        return 0;
    case KEY_TILE:
        options->tile_cells = parse_whole(state, "--tile", argument, 512, 8192);
        return 0;
    case KEY_OVERWRITE:
        options->overwrite = true;
        return 0;
    default:
        return ARGP_ERR_UNKNOWN;
    }
}

static const struct argp talk = {talk_list, parse_common, NULL, NULL, NULL, NULL, NULL};
static const struct argp write_file = {write_list, parse_common, NULL, NULL, NULL, NULL, NULL};
static const struct argp run = {run_list, parse_common, NULL, NULL, NULL, NULL, NULL};

const struct argp_child talking[] = {{&talk, 0, NULL, 0}, {0}};
const struct argp_child writing[] = {{&talk, 0, NULL, 0}, {&write_file, 0, NULL, 0}, {0}};
const struct argp_child running[] = {{&talk, 0, NULL, 0}, {&run, 0, NULL, 0}, {0}};
const struct argp_child writing_and_running[] = {
    {&talk, 0, NULL, 0}, {&write_file, 0, NULL, 0}, {&run, 0, NULL, 0}, {0}};

sel_run_options run_options(const struct common_options *options) {
    return (sel_run_options){.threads = options->threads,
        .tile_cells = options->tile_cells,
        .memory_mb = options->memory_mb,
        .overwrite = options->overwrite};
}

// --- arguments ---

static void take_argument(struct argp_state *state, const struct one_argument *wanted,
    char *argument, struct common_options *options) {
    if (options->argument)
        argp_error(state, "one %s at a time: '%s' is one too many", wanted->noun, argument);
    options->argument = argument;
}

static void hand_down(struct argp_state *state, struct common_options *options) {
    for (int i = 0; state->root_argp->children[i].argp; i++)
        state->child_inputs[i] = options;
}

error_t parse_shared(int key, char *argument, struct argp_state *state,
    const struct one_argument *wanted, struct common_options *options) {
    switch (key) {
    case ARGP_KEY_INIT:
        hand_down(state, options);
        return 0;
    case 'o':
        options->output = argument;
        return 0;
    case ARGP_KEY_ARG:
        if (!wanted)
            return ARGP_ERR_UNKNOWN;
        take_argument(state, wanted, argument, options);
        return 0;
    case ARGP_KEY_END:
        if (wanted && wanted->example && !options->argument)
            argp_error(state, "a %s is needed: %s", wanted->noun, wanted->example);
        return 0;
    default:
        return ARGP_ERR_UNKNOWN;
    }
}

// --- parsing ---

void parse_command(
    const struct argp *argp, const char *name, int argc, char **argv, void *options) {
    static char shown[64];
    snprintf(shown, sizeof shown, "selvedge %s", name);
    argv[0] = shown;
    argp_parse(argp, argc, argv, 0, NULL, options);
}
