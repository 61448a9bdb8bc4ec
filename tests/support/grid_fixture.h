// SPDX-License-Identifier: MIT
//
// A study over small rasters in a folder of its own, for the tests that open one.
#ifndef SEL_TEST_GRID_FIXTURE_H
#define SEL_TEST_GRID_FIXTURE_H

#include "grid_scene.h"

struct grid_fixture {
    char *folder;
    char *landcover, *elevation, *canopy; // paths; NULL until given
    struct sel_plan plan;
    sel_context *context;
    struct sel_study study;
    struct sel_reader *reader; // NULL unless the test opened one
    char notes[4096];
};

// For cmocka's set-up and tear-down: *state is a struct grid_fixture.
int grid_fixture_set_up(void **state);
int grid_fixture_tear_down(void **state);

// Writes the rasters and a plan over them.
void grid_fixture_give(
    struct grid_fixture *f, struct grid_raster landcover, struct grid_raster elevation);

// Closes the reader and the study, so that others may be opened.
void grid_fixture_close(struct grid_fixture *f);

#endif
