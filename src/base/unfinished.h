// SPDX-License-Identifier: MIT
//
// The names of files that a job writes and has not finished yet, kept ready for a program that is
// to end at once: removing them needs neither memory nor a lock, so a signal handler may do it.
// Names are never taken off again before the list is cleared: a file that was moved into place no
// longer has the name.
#ifndef SEL_BASE_UNFINISHED_H
#define SEL_BASE_UNFINISHED_H

#include <stdatomic.h>
#include <stdbool.h>

struct sel_unfinished_name;
struct sel_unfinished {
    _Atomic(struct sel_unfinished_name *) first; // owned; NULL: none
};

// Copies the name, unless the list has it. False: out of memory. One thread at a time.
bool sel_unfinished_add(struct sel_unfinished *names, const char *path);

// Removes what bears one of the names. Async-signal-safe, also while a name is being added.
void sel_unfinished_remove(struct sel_unfinished *names);

void sel_unfinished_clear(struct sel_unfinished *names);

#endif
