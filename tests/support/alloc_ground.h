// SPDX-License-Identifier: MIT
//
// A tiny survey in which nearly everything is in use, for the tests in which allocations fail.
#ifndef SEL_TEST_ALLOC_GROUND_H
#define SEL_TEST_ALLOC_GROUND_H

#include "alloc_fail.h"
#include "survey_scene.h"

enum { ALLOC_GROUND_PATH = 1024 };

struct alloc_ground {
    struct survey_scene scene;
    char plan[ALLOC_GROUND_PATH], landcover[ALLOC_GROUND_PATH], elevation[ALLOC_GROUND_PATH];
    char road[ALLOC_GROUND_PATH];
    char ranked[ALLOC_GROUND_PATH]; // what sel_rank makes of the plan
    char part[ALLOC_GROUND_PATH];   // the whole of it as part 1 of 1
    char actual[ALLOC_GROUND_PATH]; // services really done, for the field kit
    char out[ALLOC_GROUND_PATH];    // an empty folder
};

// For cmocka_run_group_tests: *state is a struct alloc_ground.
int alloc_ground_set_up(void **state);
int alloc_ground_tear_down(void **state);

// out/NAME in static storage; a new call overwrites it.
const char *alloc_ground_out(const struct alloc_ground *ground, const char *name);

// alloc_fail_everywhere for a call whose `user` is the ground, leaving no chain of calls out.
void alloc_ground_sweep(const char *name, alloc_fail_call *call, void **state);

#endif
