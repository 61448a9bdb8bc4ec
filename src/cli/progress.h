// SPDX-License-Identifier: MIT
//
// Progress and notes on standard error: a bar with the time left on a terminal, plain lines
// otherwise.
#ifndef SEL_CLI_PROGRESS_H
#define SEL_CLI_PROGRESS_H

void show_progress(void *user, const char *what, double share);
void show_note(void *user, const char *text);

// Wipes the bar, so that what follows starts on a clean line.
void clear_progress(void);

#endif
