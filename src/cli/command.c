// SPDX-License-Identifier: MIT
//
// Common options, the way a command begins and ends.
#include "command.h"

#include <errno.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "progress.h"

enum { KEY_THREADS = 0x100, KEY_MEMORY, KEY_OVERWRITE, KEY_TILE };
enum { STATUS_INTERRUPTED = 130 };

static const struct argp_option common_list[] = {
    {"quiet", 'q', 0, 0, "No progress, no notes", 90},
    {"verbose", 'v', 0, 0, "Notes on what was assumed while reading", 90},
    {"threads", KEY_THREADS, "N", 0, "Threads to use (default: one per processor)", 90},
    {"memory", KEY_MEMORY, "MB", 0, "Aim for at most this much working memory, in MiB", 90},
    {"tile", KEY_TILE, "CELLS", 0, "Side of the working windows, a multiple of 512", 90},
    {"overwrite", KEY_OVERWRITE, 0, 0, "Replace an output that exists", 90},
    {0},
};

int parse_whole(struct argp_state *state, const char *what, const char *text, int low, int high) {
    char *end;
    errno = 0;
    long value = strtol(text, &end, 10);
    if (errno != 0 || end == text || *end != '\0' || value < low || value > high)
        argp_error(state, "%s: '%s' is not a whole number from %d to %d", what, text, low, high);
    return (int)value;
}

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

const struct argp common_argp = {common_list, parse_common, NULL, NULL, NULL, NULL, NULL};

void parse_command(
    const struct argp *argp, const char *name, int argc, char **argv, void *options) {
    static char shown[64];
    snprintf(shown, sizeof shown, "selvedge %s", name);
    argv[0] = shown;
    argp_parse(argp, argc, argv, 0, NULL, options);
}

static sel_context *volatile running;

static void on_signal(int number) {
    (void)number;
    if (running)
        sel_cancel(running);
}

static void catch_signals(void) {
    struct sigaction action = {.sa_handler = on_signal};
    sigemptyset(&action.sa_mask);
    sigaction(SIGINT, &action, NULL);
    sigaction(SIGTERM, &action, NULL);
}

sel_context *begin_command(const struct common_options *options) {
    sel_context *context = sel_context_new();
    if (!context) {
        fputs("selvedge: out of memory\n", stderr);
        exit(SEL_NO_MEMORY);
    }
    if (!options->quiet)
        sel_context_on_progress(context, show_progress, NULL);
    if (options->verbose)
        sel_context_on_note(context, show_note, NULL);
    running = context;
    catch_signals();
    return context;
}

int end_command(sel_context *context, sel_status status, char *text) {
    clear_progress();
    running = NULL;
    bool printed = !text || (fputs(text, stdout) >= 0 && fflush(stdout) == 0);
    if (status != SEL_OK)
        fprintf(stderr, "selvedge: %s\n", sel_context_message(context));
    else if (!printed)
        fprintf(stderr, "selvedge: standard output: %s\n", strerror(errno));
    sel_text_free(text);
    sel_context_free(context);
    if (status == SEL_OK && !printed)
        return SEL_IO;
    return status == SEL_INTERRUPTED ? STATUS_INTERRUPTED : (int)status;
}

sel_run_options run_options(const struct common_options *options) {
    return (sel_run_options){.threads = options->threads,
        .tile_cells = options->tile_cells,
        .memory_mb = options->memory_mb,
        .overwrite = options->overwrite};
}
