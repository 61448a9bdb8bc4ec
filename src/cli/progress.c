// SPDX-License-Identifier: MIT
//
// The bar is redrawn at most ten times a second; without a terminal, a stage is named once when it
// begins.
#include "progress.h"

#include <stdbool.h>
#include <stdio.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

enum { BAR_CELLS = 24, STAGE_LENGTH = 64 };
static const double REDRAW_SECONDS = 0.1;

static struct {
    char stage[STAGE_LENGTH];
    double begun, drawn;
    bool shown;
} bar;

static double now(void) {
    struct timespec time;
    clock_gettime(CLOCK_MONOTONIC, &time);
    return (double)time.tv_sec + 1e-9 * (double)time.tv_nsec;
}

static void draw(double share, double time) {
    char cells[BAR_CELLS + 1];
    int full = (int)(share * BAR_CELLS);
    for (int i = 0; i < BAR_CELLS; i++)
        cells[i] = i < full ? '=' : ' ';
    cells[BAR_CELLS] = '\0';
    double spent = time - bar.begun;
    fprintf(stderr, "\r%-24s [%s] %3.0f %%", bar.stage, cells, 100 * share);
    if (share > 0.02 && spent > 1.0)
        fprintf(stderr, "  %.0f s left ", spent * (1 - share) / share);
    fputs("\033[K", stderr);
    bar.shown = true;
    bar.drawn = time;
}

void show_progress(void *user, const char *what, double share) {
    (void)user;
    bool terminal = isatty(STDERR_FILENO);
    double time = now();
    if (strcmp(what, bar.stage) != 0) {
        snprintf(bar.stage, sizeof bar.stage, "%s", what);
        bar.begun = time;
        bar.drawn = 0;
        if (!terminal)
            fprintf(stderr, "%s\n", what);
    }
    if (terminal && time - bar.drawn > REDRAW_SECONDS)
        draw(share, time);
}

void clear_progress(void) {
    if (bar.shown)
        fputs("\r\033[K", stderr);
    bar.shown = false;
}

void show_note(void *user, const char *text) {
    (void)user;
    clear_progress();
    fprintf(stderr, "note: %s\n", text);
}
