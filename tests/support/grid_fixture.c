// SPDX-License-Identifier: MIT
#include "grid_fixture.h"

#include <stdlib.h>

#include "scene.h"

int grid_fixture_set_up(void **state) {
    struct grid_fixture *f = calloc(1, sizeof *f);
    if (!f)
        return -1;
    f->folder = scene_folder();
    f->context = sel_context_new();
    sel_context_on_note(f->context, grid_keep_notes, f->notes);
    *state = f;
    return 0;
}

int grid_fixture_tear_down(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_close(f);
    grid_plan_clear(&f->plan);
    sel_context_free(f->context);
    free(f->landcover);
    free(f->elevation);
    free(f->canopy);
    scene_remove(f->folder);
    free(f);
    return 0;
}

void grid_fixture_give(
    struct grid_fixture *f, struct grid_raster landcover, struct grid_raster elevation) {
    f->landcover = grid_make_raster(f->folder, "landcover.tif", &landcover);
    f->elevation = grid_make_raster(f->folder, "elevation.tif", &elevation);
    grid_plan_init(&f->plan, f->landcover, f->elevation);
}

void grid_fixture_close(struct grid_fixture *f) {
    sel_reader_free(f->reader);
    f->reader = NULL;
    sel_study_clear(&f->study);
}
