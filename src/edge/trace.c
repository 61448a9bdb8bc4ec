// SPDX-License-Identifier: MIT
//
// Traces the cracks of a block into lines. Every crack is walked with habitat a on the left; at a
// corner with exactly two cracks, both of the pair, the walk goes on, anywhere else it ends, as it
// does where the next crack belongs to another block. The cracks are visited in order of hy, then
// hx, so the lines come in the order of their first such crack; a ring starts there.
//
// The corners walked are the points that are smoothed (smooth.c) and thinned. Coordinates are kept
// relative to the block until the end, so that a block's lines do not depend on where it lies.
#include "edge/trace.h"

#include <stdlib.h>
#include <string.h>

#include "base/array.h"
#include "edge/corner.h"
#include "edge/smooth.h"

// Points this much off the smoothed line may go, in cells of the smaller side.
static const double THINNING = 0.1;

enum { SIDE = SEL_TRACE_BLOCK, PADDED = SIDE + 2 };

struct sel_trace_scratch {
    sel_habitat_id ids[PADDED * PADDED]; // the block with one cell around it
    // Whether the crack that leaves a corner eastward (0) or southward (1) was walked.
    bool walked[2][SIDE * SIDE];
    struct vec2 *path, *spare; // owned
    size_t path_capacity, spare_capacity;
};

struct sel_trace_scratch *sel_trace_scratch_new(void) {
    return calloc(1, sizeof(struct sel_trace_scratch));
}

void sel_trace_scratch_free(struct sel_trace_scratch *scratch) {
    if (!scratch)
        return;
    free(scratch->path);
    free(scratch->spare);
    free(scratch);
}

void sel_traced_lines_clear(struct sel_traced_lines *lines) {
    free(lines->items);
    free(lines->vertices);
    *lines = (struct sel_traced_lines){0};
}

// A directed crack: it leaves the corner (row, col) of the block in a direction.
struct step {
    int row, col, direction;
};

// Habitats on the left and on the right hand of a walk.
struct sides {
    sel_habitat_id left, right;
};

static sel_habitat_id quadrant(const struct sel_trace_scratch *scratch, int row, int col, int q) {
    return scratch->ids[(row + 1 + sel_quadrant_row[q]) * PADDED + col + 1 + sel_quadrant_col[q]];
}

// The same crack as one that leaves a corner eastward or southward.
static struct step named(struct step step) {
    if (step.direction == SEL_WEST)
        return (struct step){step.row, step.col - 1, SEL_EAST};
    if (step.direction == SEL_NORTH)
        return (struct step){step.row - 1, step.col, SEL_SOUTH};
    return step;
}

static bool *walked_mark(struct sel_trace_scratch *scratch, struct step step) {
    struct step name = named(step);
    return &scratch->walked[name.direction == SEL_SOUTH][name.row * SIDE + name.col];
}

static bool in_block(struct step step) {
    struct step name = named(step);
    return name.row >= 0 && name.row < SIDE && name.col >= 0 && name.col < SIDE;
}

static bool same_crack(struct step a, struct step b) {
    struct step x = named(a), y = named(b);
    return x.row == y.row && x.col == y.col && x.direction == y.direction;
}

// The step that carries the walk on from the end of `step`; false when the line ends there.
static bool step_on(const struct sel_trace_scratch *scratch, struct sides sides, struct step step,
    struct step *on) {
    *on = (struct step){.row = step.row + sel_step_row[step.direction],
        .col = step.col + sel_step_col[step.direction]};
    sel_habitat_id around[SEL_DIRECTIONS];
    for (int q = 0; q < SEL_DIRECTIONS; q++)
        around[q] = quadrant(scratch, on->row, on->col, q);
    int cracks = 0;
    bool found = false;
    for (int q = 0; q < SEL_DIRECTIONS; q++) {
        sel_habitat_id left = around[q], right = around[sel_right_of(q)];
        if (left == right || left == SEL_HABITAT_UNKNOWN || right == SEL_HABITAT_UNKNOWN)
            continue;
        cracks++;
        if (left == sides.left && right == sides.right) {
            on->direction = q;
            found = true;
        }
    }
    return found && cracks == 2 && in_block(*on);
}

// Walks back from `step` to the line's first step. True when that comes round to `step` itself.
static bool find_start(
    const struct sel_trace_scratch *scratch, struct sides sides, struct step *step) {
    struct step origin = *step;
    // Backwards, left and right change places.
    struct sides turned = {sides.right, sides.left};
    struct step back = {origin.row + sel_step_row[origin.direction],
        origin.col + sel_step_col[origin.direction], sel_opposite(origin.direction)};
    struct step on;
    while (step_on(scratch, turned, back, &on)) {
        if (same_crack(on, origin)) {
            *step = origin;
            return true;
        }
        back = on;
    }
    *step = (struct step){back.row + sel_step_row[back.direction],
        back.col + sel_step_col[back.direction], sel_opposite(back.direction)};
    return false;
}

static bool add_corner(struct sel_trace_scratch *scratch, size_t at, int row, int col) {
    struct vec2 *grown =
        sel_grow(scratch->path, at + 1, &scratch->path_capacity, sizeof *scratch->path);
    if (!grown)
        return false;
    scratch->path = grown;
    scratch->path[at] = (struct vec2){2 * col, 2 * row};
    return true;
}

// Walks from `start` to the line's end, marks its cracks and writes its corners to the path.
static sel_status walk_line(struct sel_trace_scratch *scratch, struct sides sides,
    struct step start, bool closed, size_t *sides_walked) {
    struct step step = start, on;
    size_t count = 0;
    if (!add_corner(scratch, 0, step.row, step.col))
        return SEL_NO_MEMORY;
    for (bool more = true; more; step = on) {
        *walked_mark(scratch, step) = true;
        count++;
        if (!add_corner(scratch, count, step.row + sel_step_row[step.direction],
                step.col + sel_step_col[step.direction]))
            return SEL_NO_MEMORY;
        more = step_on(scratch, sides, step, &on) && !(closed && same_crack(on, start));
    }
    *sides_walked = count;
    return SEL_OK;
}

// Room for one more line and `points` more vertices.
static sel_status reserve(
    struct sel_trace_scratch *scratch, struct sel_traced_lines *lines, size_t points) {
    struct vec2 *spare = sel_grow(scratch->spare, points, &scratch->spare_capacity, sizeof *spare);
    if (!spare)
        return SEL_NO_MEMORY;
    scratch->spare = spare;
    struct sel_traced_line *items =
        sel_grow(lines->items, lines->count + 1, &lines->capacity, sizeof *items);
    if (!items)
        return SEL_NO_MEMORY;
    lines->items = items;
    struct vec2 *vertices = sel_grow(
        lines->vertices, lines->vertex_count + points, &lines->vertex_capacity, sizeof *vertices);
    if (!vertices)
        return SEL_NO_MEMORY;
    lines->vertices = vertices;
    return SEL_OK;
}

// Smooths and thins the path and appends it as a line of the pair.
static sel_status append_line(struct sel_trace_scratch *scratch, const struct sel_trace_rule *rule,
    struct vec2 origin, struct sel_traced_line line, struct sel_traced_lines *lines) {
    size_t sides = (size_t)line.crack_count;
    if (reserve(scratch, lines, sides + 1) != SEL_OK)
        return SEL_NO_MEMORY;
    struct vec2 scale = {0.5 * rule->cell_x_m, 0.5 * rule->cell_y_m};
    double tolerance = THINNING * fmin(rule->cell_x_m, rule->cell_y_m);
    sel_smooth_line(scratch->path, scratch->spare, sides, line.closed);
    line.count = sel_thin_line(scratch->path, sides + 1, scale, tolerance);
    line.length_m = sel_line_length(scratch->path, line.count, scale);
    line.first = lines->vertex_count;
    for (size_t i = 0; i < line.count; i++)
        lines->vertices[lines->vertex_count++] = vec2_add(origin, scratch->path[i]);
    lines->items[lines->count++] = line;
    return SEL_OK;
}

// Traces the line of the crack that leaves (row, col) eastward or southward, unless there is none
// or it was walked.
static sel_status trace_from(struct sel_trace_scratch *scratch, const struct sel_trace_rule *rule,
    struct vec2 origin, struct step step, struct sel_traced_lines *lines) {
    sel_habitat_id left = quadrant(scratch, step.row, step.col, step.direction);
    sel_habitat_id right = quadrant(scratch, step.row, step.col, sel_right_of(step.direction));
    if (left == right || left == SEL_HABITAT_UNKNOWN || right == SEL_HABITAT_UNKNOWN ||
        *walked_mark(scratch, step))
        return SEL_OK;
    if (left > right) // walk it the other way, with a on the left
        step = (struct step){step.row + sel_step_row[step.direction],
            step.col + sel_step_col[step.direction], sel_opposite(step.direction)};
    struct sides sides = left < right ? (struct sides){left, right} : (struct sides){right, left};
    struct sel_traced_line line = {.a = sides.left, .b = sides.right};
    size_t walked;
    line.closed = find_start(scratch, sides, &step);
    if (walk_line(scratch, sides, step, line.closed, &walked) != SEL_OK)
        return SEL_NO_MEMORY;
    line.crack_count = (int32_t)walked;
    return append_line(scratch, rule, origin, line, lines);
}

// Copies the block and one cell around it; what the view lacks is unknown.
static void copy_block(struct sel_trace_scratch *scratch, const struct sel_habitat_view *view,
    int64_t row, int64_t col) {
    struct sel_window window = view->window;
    memset(scratch->ids, SEL_HABITAT_UNKNOWN, sizeof scratch->ids);
    int64_t first = col - 1 > window.col ? col - 1 : window.col;
    int64_t end = col - 1 + PADDED;
    if (end > window.col + window.cols)
        end = window.col + window.cols;
    for (int64_t i = 0; i < PADDED && first < end; i++) {
        int64_t from = row - 1 + i - window.row;
        if (from < 0 || from >= window.rows)
            continue;
        memcpy(scratch->ids + i * PADDED + (first - (col - 1)),
            view->ids + from * window.cols + (first - window.col), (size_t)(end - first));
    }
}

sel_status sel_trace_block(const struct sel_habitat_view *view, int64_t block_row,
    int64_t block_col, const struct sel_trace_rule *rule, struct sel_trace_scratch *scratch,
    struct sel_traced_lines *lines) {
    lines->count = 0;
    lines->vertex_count = 0;
    copy_block(scratch, view, block_row * SIDE, block_col * SIDE);
    memset(scratch->walked, 0, sizeof scratch->walked);
    struct vec2 origin = {(double)(2 * block_col * SIDE), (double)(2 * block_row * SIDE)};
    for (int row = 0; row < SIDE; row++) {
        for (int direction = SEL_EAST; direction <= SEL_SOUTH; direction += SEL_SOUTH - SEL_EAST) {
            for (int col = 0; col < SIDE; col++) {
                struct step step = {row, col, direction};
                if (trace_from(scratch, rule, origin, step, lines) != SEL_OK)
                    return SEL_NO_MEMORY;
            }
        }
    }
    return SEL_OK;
}
