// SPDX-License-Identifier: MIT
//
// Finds the command and runs it.
#include <argp.h>
#include <stdio.h>
#include <string.h>

#include "command.h"

struct command {
    const char *name, *summary;
    int (*run)(int argc, char **argv);
};

static const struct command commands[] = {
    {"start", "write a plan and a habitat table for two rasters", command_start},
    {"check", "validate a plan and its data, and tell what will be used", command_check},
    {"rank", "rank sites: the main job", command_rank},
    {"gather", "join the parts of a run that was cut up", command_gather},
    {"explain", "tell why a site ranks where it does", command_explain},
    {"map", "draw the ranked sites on the land cover", command_map},
    {"fieldkit", "write what goes into the rucksack: waypoints, labels, calendar, lists",
        command_fieldkit},
    {"dossier", "write a page for a permit office: maps, sheets, method", command_dossier},
    {"legend", "list or print the built-in habitat tables", command_legend},
};

static void print_help(FILE *to) {
    fputs("selvedge shortlists places for passive flight traps along habitat edges.\n\n"
          "Usage: selvedge COMMAND [OPTION...] [ARGUMENT...]\n\nCommands:\n",
        to);
    for (size_t i = 0; i < sizeof commands / sizeof *commands; i++)
        fprintf(to, "  %-9s %s\n", commands[i].name, commands[i].summary);
    fputs("\n'selvedge COMMAND --help' tells of one command. Exit status: 0 done, 1 usage, 2 bad "
          "plan or data,\n3 nothing qualifies, 4 input or output failed, 5 out of memory, 130 "
          "interrupted.\n",
        to);
}

static void print_version(FILE *to, struct argp_state *state) {
    (void)state;
    fprintf(to, "selvedge %s\n", sel_version());
}

int main(int argc, char **argv) {
    argp_err_exit_status = SEL_USAGE;
    argp_program_version_hook = print_version;
    if (argc < 2) {
        print_help(stderr);
        return SEL_USAGE;
    }
    if (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "-?") == 0) {
        print_help(stdout);
        return SEL_OK;
    }
    if (strcmp(argv[1], "--version") == 0 || strcmp(argv[1], "-V") == 0) {
        print_version(stdout, NULL);
        return SEL_OK;
    }
    for (size_t i = 0; i < sizeof commands / sizeof *commands; i++)
        if (strcmp(argv[1], commands[i].name) == 0)
            return commands[i].run(argc - 1, argv + 1);
    fprintf(stderr, "selvedge: '%s' is no command: 'selvedge --help' lists them\n", argv[1]);
    return SEL_USAGE;
}
