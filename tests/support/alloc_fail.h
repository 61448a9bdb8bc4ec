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
    size_t stride;      // of the allocations to fail every stride-th; 1: all of them
};

// Calls once with all the memory there is and notes from where in the program what is allocated;
// then again and again, each time with one allocation failing: the first and the last from each
// place (each chain of calls). Fails the test unless every such call returns SEL_NO_MEMORY with its
// message and leaves the folder empty; calls once more at the end, as at the beginning.
void alloc_fail_everywhere(const struct alloc_fail_sweep *sweep);

#endif
