// SPDX-License-Identifier: MIT
//
// What the commands of the program share. Each command parses its options, calls the library once
// and prints what comes back; nothing else.
#ifndef SEL_CLI_COMMAND_H
#define SEL_CLI_COMMAND_H

#include <argp.h>

#include "selvedge.h"

// Options and arguments that several commands take.
struct common_options {
    bool quiet, verbose, overwrite;
    int threads, memory_mb, tile_cells;
    const char *output;   // -o; what it names is each command's own
    const char *argument; // of a command that takes one
};

// The groups of options for a command's argp: all commands talk, some write a file, some run over
// the ground.
extern const struct argp_child talking[], writing[], running[], writing_and_running[];

// The one argument of a command.
struct one_argument {
    const char *noun;    // "GeoPackage"
    const char *example; // NULL: the command does without
};

// For a command's own parser, which leaves every key to it that it does not know: hands the options
// down to the groups, takes -o and the argument. `wanted` is NULL when the command takes its
// arguments itself.
error_t parse_shared(int key, char *argument, struct argp_state *state,
    const struct one_argument *wanted, struct common_options *options);

// Parses a command's arguments. `name` is shown as "selvedge NAME". Exits with 1 on a usage error,
// as argp does.
void parse_command(const struct argp *argp, const char *name, int argc, char **argv, void *options);

// A context that reports progress and notes on standard error as the options ask. SIGINT, SIGTERM
// and SIGHUP cancel it, a second one clears away what is half written and ends the program at once;
// a broken pipe is a failed write.
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
