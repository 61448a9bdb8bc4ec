// SPDX-License-Identifier: MIT
//
// The way a command begins and ends, and what signals do in between.
#include "command.h"

#include <errno.h>
#include <signal.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "progress.h"

enum { STATUS_INTERRUPTED = 130 };

// --- signals ---

static sel_context *volatile running_context;
static atomic_flag asked = ATOMIC_FLAG_INIT;

// Who asks twice does not want to wait.
static void on_signal(int number) {
    sel_context *context = running_context;
    if (!atomic_flag_test_and_set(&asked)) {
        if (context)
            sel_cancel(context);
        return;
    }
    if (context)
        sel_discard(context);
    signal(number, SIG_DFL);
    raise(number); // ends the program as soon as the handler is left
}

// SIGHUP stays ignored where it was (nohup).
static void catch_signals(void) {
    struct sigaction action = {.sa_handler = on_signal}, earlier;
    sigfillset(&action.sa_mask);
    sigaction(SIGINT, &action, NULL);
    sigaction(SIGTERM, &action, NULL);
    if (sigaction(SIGHUP, NULL, &earlier) == 0 && earlier.sa_handler != SIG_IGN)
        sigaction(SIGHUP, &action, NULL);
    signal(SIGPIPE, SIG_IGN); // a write that fails says so, and the output is cleared away
}

// --- begin and end ---

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
    running_context = context;
    catch_signals();
    return context;
}

int end_command(sel_context *context, sel_status status, char *text) {
    clear_progress();
    running_context = NULL;
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
