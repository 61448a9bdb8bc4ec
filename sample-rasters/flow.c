// SPDX-License-Identifier: MIT
//
// Where water runs: pits are filled by priority flood (Barnes, Lehman & Mulla 2014), each cell
// drains to its steepest lower neighbour (O'Callaghan & Mark 1984).
#include <math.h>
#include <stdlib.h>

#include "valley.h"

struct entry {
    double height;
    int32_t cell;
};

struct heap {
    struct entry *entries;
    int count;
};

static bool before(struct entry a, struct entry b) {
    return a.height < b.height || (a.height == b.height && a.cell < b.cell);
}

static void heap_push(struct heap *heap, double height, int32_t cell) {
    struct entry added = {height, cell};
    int at = heap->count++;
    for (; at > 0 && before(added, heap->entries[(at - 1) / 2]); at = (at - 1) / 2)
        heap->entries[at] = heap->entries[(at - 1) / 2];
    heap->entries[at] = added;
}

static struct entry heap_pop(struct heap *heap) {
    struct entry top = heap->entries[0], last = heap->entries[--heap->count];
    int at = 0;
    for (int child = 1; child < heap->count; child = 2 * at + 1) {
        if (child + 1 < heap->count && before(heap->entries[child + 1], heap->entries[child]))
            child++;
        if (!before(heap->entries[child], last))
            break;
        heap->entries[at] = heap->entries[child];
        at = child;
    }
    heap->entries[at] = last;
    return top;
}

// The k-th of the eight neighbours of a cell, straight ones first; -1 beyond the grid.
static int neighbour(const struct flow_grid *grid, int cell, int k) {
    static const int row_step[8] = {0, -1, 0, 1, -1, -1, 1, 1};
    static const int col_step[8] = {1, 0, -1, 0, 1, -1, -1, 1};
    int row = cell / grid->wide + row_step[k], col = cell % grid->wide + col_step[k];
    if (row < 0 || row >= grid->high || col < 0 || col >= grid->wide)
        return -1;
    return row * grid->wide + col;
}

// A fall so small that it only says which way, m.
static const double TRICKLE = 1e-4;

static void flood(
    const struct flow_grid *grid, struct heap *heap, bool *seen, double *filled, int32_t *order) {
    int popped = 0;
    while (heap->count > 0) {
        struct entry low = heap_pop(heap);
        order[popped++] = low.cell;
        for (int k = 0; k < 8; k++) {
            int next = neighbour(grid, low.cell, k);
            if (next < 0 || seen[next])
                continue;
            seen[next] = true;
            filled[next] = fmax(grid->height[next], low.height + TRICKLE);
            heap_push(heap, filled[next], next);
        }
    }
}

static int32_t steepest(const struct flow_grid *grid, const double *filled, int cell) {
    double best = 0;
    int32_t where = -1;
    for (int k = 0; k < 8; k++) {
        int next = neighbour(grid, cell, k);
        if (next < 0)
            continue;
        double fall = (filled[cell] - filled[next]) / (k < 4 ? 1 : 1.41421356);
        if (fall > best) {
            best = fall;
            where = next;
        }
    }
    return where;
}

bool flow_route(const struct flow_grid *grid, double *filled, int32_t *downstream, int32_t *order) {
    int cells = grid->wide * grid->high;
    struct heap heap = {malloc(sizeof(struct entry) * (size_t)cells), 0};
    bool *seen = calloc((size_t)cells, sizeof *seen);
    bool done = heap.entries && seen;
    if (done) {
        for (int cell = 0; cell < cells; cell++)
            if (grid->outlet[cell]) {
                seen[cell] = true;
                filled[cell] = grid->height[cell];
                heap_push(&heap, filled[cell], cell);
            }
        flood(grid, &heap, seen, filled, order);
        for (int cell = 0; cell < cells; cell++)
            downstream[cell] = grid->outlet[cell] ? -1 : steepest(grid, filled, cell);
    }
    free(heap.entries);
    free(seen);
    return done;
}

void flow_accumulate(
    int cells, const int32_t *downstream, const int32_t *order, double *catchment) {
    for (int cell = 0; cell < cells; cell++)
        catchment[cell] = 1;
    for (int k = cells - 1; k >= 0; k--)
        if (downstream[order[k]] >= 0)
            catchment[downstream[order[k]]] += catchment[order[k]];
}
