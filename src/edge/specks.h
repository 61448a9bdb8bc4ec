// SPDX-License-Identifier: MIT
//
// Speck removal: patches too small to matter take the habitat around them.
//
// A speck is a 4-connected patch of one habitat whose area is below A = min_patch_m2 and whose
// bounding box is no longer than 4 sqrt(A) either way, so that thin strips survive. Each of its
// cells takes the habitat of the nearest cell (centre to centre, metres) of a patch that is no
// speck; ties: lower row, then lower column. If none lies within 8 sqrt(A), it becomes unknown.
// Unknown cells stay unknown and belong to no patch.
#ifndef SEL_EDGE_SPECKS_H
#define SEL_EDGE_SPECKS_H

#include "base/status.h"
#include "plan/habitats.h"

struct sel_speck_rule {
    double cell_x_m, cell_y_m;
    double min_patch_m2; // 0: nothing is a speck
};

// Scratch that a caller keeps between windows; zero-initialise, clear when done.
struct sel_speck_scratch;
struct sel_speck_scratch *sel_speck_scratch_new(void); // NULL: out of memory
void sel_speck_scratch_free(struct sel_speck_scratch *scratch);

// How many cells around a window must be known for its result to be exact: >= 12 sqrt(A).
int sel_speck_halo(const struct sel_speck_rule *rule);

// Removes specks in place from a row-major window of rows x cols ids. Cells nearer than the halo
// to the window's border come out right only where the window's border is the grid's own (outside
// the grid all is unknown). Returns SEL_OK or SEL_NO_MEMORY (no message).
sel_status sel_remove_specks(const struct sel_speck_rule *rule, int64_t rows, int64_t cols,
    sel_habitat_id *ids, struct sel_speck_scratch *scratch);

#endif
