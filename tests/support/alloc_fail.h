// SPDX-License-Identifier: MIT
//
// Allocations that fail on demand. A program linked with -Wl,--wrap=malloc and so on (its source is
// named test_no_memory_*.c, see tests/CMakeLists.txt) sends every allocation of libselvedge and of
// the test itself here; those of GDAL, SQLite, cairo and of the C library within are their own.
#ifndef SEL_TEST_ALLOC_FAIL_H
#define SEL_TEST_ALLOC_FAIL_H

#include "selvedge.h"

// One public call with its arguments in `user`. What it hands over it frees.
typedef sel_status alloc_fail_call(sel_context *context, void *user);

struct alloc_fail_sweep {
    const char *name; // for the message of a failure
    alloc_fail_call *call;
    void *user;
    const char *folder; // where the call writes; empty
    long stride;        // see below; 1: leave nothing out; under sanitizers four times as long
};

// Calls once with all the memory there is and notes from where in the program what is allocated;
// then again and again, each time with one allocation failing: the first or, every other time, the
// last from each place (each chain of calls) that no sweep of this program has met before; of the
// places after the first three hundred every stride-th. Fails the test unless every such call
// returns SEL_NO_MEMORY with its message and leaves the folder empty; calls once more at the end,
// as at the beginning. The call uses one thread.
void alloc_fail_everywhere(const struct alloc_fail_sweep *sweep);

// The same for a call that may use several threads: every stride-th allocation fails, whichever it
// is that time.
void alloc_fail_in_threads(const struct alloc_fail_sweep *sweep);

#endif
