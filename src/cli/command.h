// SPDX-License-Identifier: MIT
//
// What the commands of the program share. Each command parses its options, calls the library once
// and prints what comes back; nothing else.
#ifndef SEL_CLI_COMMAND_H
#define SEL_CLI_COMMAND_H

#include <argp.h>

#include "selvedge.h"

// Options that most commands take.
struct common_options {
    bool quiet, verbose, overwrite;
    int threads, memory_mb, tile_cells;
};

// The argp child that parses them; its input is a struct common_options.
extern const struct argp common_argp;

// Parses a command's arguments. `name` is shown as "selvedge NAME". Exits with 1 on a usage error,
// as argp does.
void parse_command(const struct argp *argp, const char *name, int argc, char **argv, void *options);

// A context that reports progress and notes on standard error as the options ask, and is cancelled
// by SIGINT and SIGTERM.
sel_context *begin_command(const struct common_options *options);

// Prints `text` (may be NULL) to standard output and the context's message to standard error,
// frees both and returns the exit status.
int end_command(sel_context *context, sel_status status, char *text);

sel_run_options run_options(const struct common_options *options);

// A whole number in low..high from an option's argument; a usage error otherwise.
int parse_whole(struct argp_state *state, const char *what, const char *text, int low, int high);

int command_start(int argc, char **argv);
int command_check(int argc, char **argv);
int command_rank(int argc, char **argv);
int command_gather(int argc, char **argv);
int command_explain(int argc, char **argv);
int command_map(int argc, char **argv);
int command_fieldkit(int argc, char **argv);
int command_dossier(int argc, char **argv);
int command_legend(int argc, char **argv);

#endif
