// SPDX-License-Identifier: MIT
//
// One context for all tests of a program, or a fresh one for each: these are the fixtures of a
// group or of a test.
#ifndef SEL_TEST_SHARED_CONTEXT_H
#define SEL_TEST_SHARED_CONTEXT_H

#include "selvedge.h"

extern sel_context *context;

int make_context(void **state);
int free_context(void **state);

#endif
