// SPDX-License-Identifier: MIT
//
// Filling the strips. On a line, a ray of the strip that begins at cell f meets cells f, f + 1 or
// f + 2: it is less than one cell from the strip's beginning and is interpolated with the next
// cell. So first the greatest of every three neighbours is taken, once per axis; then each frame is
// filled line by line, all its strips side by side.
#include "terrain/strips.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "terrain/lanes.h"

static int64_t greater(int64_t a, int64_t b) {
    return a > b ? a : b;
}

static int64_t lesser(int64_t a, int64_t b) {
    return a < b ? a : b;
}

// A frame's strips cover the core seen under a slope of at most one cell per line.
static int64_t strips_most(int64_t core_most) {
    return 2 * core_most + 8;
}

static int64_t blocks_of(int64_t lines) {
    return (lines + SEL_STRIP_LINES - 1) >> SEL_STRIP_BITS;
}

sel_status sel_strips_init(struct sel_strips *strips, int64_t core_most, int64_t window_most) {
    size_t cells = (size_t)window_most * (size_t)window_most;
    size_t abreast = (size_t)strips_most(core_most);
    size_t bounds = abreast * (size_t)blocks_of(window_most) + 2 * SEL_STRIP_SLACK;
    memset(strips, 0, sizeof *strips);
    strips->ground_of_three = malloc(cells * sizeof(float));
    strips->top_of_three = malloc(cells * sizeof(float));
    strips->unknown_of_three = malloc(cells);
    strips->ground_now = malloc(abreast * sizeof(float));
    strips->top_now = malloc(abreast * sizeof(float));
    strips->unknown_now = malloc(abreast);
    bool all = strips->ground_of_three && strips->top_of_three && strips->unknown_of_three &&
               strips->ground_now && strips->top_now && strips->unknown_now;
    for (int i = 0; i < SEL_STRIP_FRAMES; i++) {
        struct sel_strip_frame *frame = &strips->frames[i];
        frame->ground_m = calloc(bounds, sizeof(float));
        frame->canopy_top_m = calloc(bounds, sizeof(float));
        frame->unknown = calloc(bounds, 1);
        all = all && frame->ground_m && frame->canopy_top_m && frame->unknown;
    }
    return all ? SEL_OK : SEL_NO_MEMORY;
}

void sel_strips_clear(struct sel_strips *strips) {
    for (int i = 0; i < SEL_STRIP_FRAMES; i++) {
        free(strips->frames[i].ground_m);
        free(strips->frames[i].canopy_top_m);
        free(strips->frames[i].unknown);
    }
    free(strips->ground_of_three);
    free(strips->top_of_three);
    free(strips->unknown_of_three);
    free(strips->ground_now);
    free(strips->top_now);
    free(strips->unknown_now);
    memset(strips, 0, sizeof *strips);
}

// The field as lines: rows, or columns when along_x.
struct lines {
    int64_t count, cells, stride, step; // elements from line to line, and from cell to cell
};

static struct lines lines_of(const struct sel_far_field *field, bool along_x) {
    return along_x ? (struct lines){field->window.cols, field->window.rows, 1, field->stride}
                   : (struct lines){field->window.rows, field->window.cols, field->stride, 1};
}

static inline float greatest_of_three(const float *cell, int64_t step) {
    float most = -INFINITY;
    for (int64_t i = 0; i < 3; i++)
        most = cell[i * step] > most ? cell[i * step] : most;
    return most;
}

// The last two cells of a line begin no three; no strip asks for them.
static void fill_threes(
    struct sel_strips *strips, const struct sel_far_field *field, struct lines lines) {
    for (int64_t line = 0; line < lines.count; line++)
        for (int64_t cell = 0; cell + 2 < lines.cells; cell++) {
            int64_t from = line * lines.stride + cell * lines.step;
            int64_t to = line * lines.cells + cell;
            strips->ground_of_three[to] = greatest_of_three(field->ground_m + from, lines.step);
            strips->top_of_three[to] = greatest_of_three(field->canopy_top_m + from, lines.step);
        }
}

static void fill_unknown_threes(
    struct sel_strips *strips, const struct sel_far_field *field, struct lines lines) {
    for (int64_t line = 0; line < lines.count; line++)
        for (int64_t cell = 0; cell + 2 < lines.cells; cell++) {
            const float *from = field->ground_m + line * lines.stride + cell * lines.step;
            strips->unknown_of_three[line * lines.cells + cell] =
                isnan(from[0]) || isnan(from[lines.step]) || isnan(from[2 * lines.step]);
        }
}

static bool any_unknown(const struct sel_far_field *field) {
    for (int64_t row = 0; row < field->window.rows; row++)
        for (int64_t col = 0; col < field->window.cols; col++)
            if (isnan(field->ground_m[row * field->stride + col]))
                return true;
    return false;
}

// Strips for every point of the core, with a cell to spare.
static void place_frame(struct sel_strip_frame *frame, const struct sel_far_field *field,
    const struct sel_ray *ray, struct lines lines) {
    struct sel_window core = field->core;
    int64_t main = ray->along_x ? core.col : core.row, mains = ray->along_x ? core.cols : core.rows;
    int64_t minor = ray->along_x ? core.row : core.col;
    int64_t minors = ray->along_x ? core.rows : core.cols;
    double lean = fabs((double)ray->main.slope * 0x1p-32) * (0.5 * (double)mains + 1.0);
    frame->slope = ray->main.slope * ray->main.sign;
    frame->origin = main + mains / 2;
    frame->first = (int64_t)floor((double)minor - lean) - 1;
    frame->strips = (int64_t)ceil((double)(minor + minors) + lean) + 1 - frame->first;
    frame->blocks = blocks_of(lines.count);
}

static void lift(float *now, const float *values, int64_t count) {
    int64_t i = 0;
    for (; i + SEL_LANES <= count; i += SEL_LANES) {
        sel_lanes most = sel_lanes_greater(sel_lanes_load(values + i), sel_lanes_load(now + i));
        memcpy(now + i, &most, sizeof most);
    }
    for (; i < count; i++)
        now[i] = values[i] > now[i] ? values[i] : now[i];
}

static void mark(uint8_t *now, const uint8_t *unknown, int64_t count) {
    for (int64_t i = 0; i < count; i++)
        now[i] |= unknown[i];
}

// Takes one line into the block at hand. Strips that have left the window there are no ray's.
static void include_line(struct sel_strips *strips, const struct sel_strip_frame *frame,
    struct lines lines, int64_t line) {
    int64_t shift = frame->first + (((line - frame->origin) * frame->slope) >> 32);
    int64_t low = greater(0, -shift), high = lesser(frame->strips, lines.cells - 2 - shift);
    int64_t from = line * lines.cells + shift + low;
    if (low >= high)
        return;
    lift(strips->ground_now + low, strips->ground_of_three + from, high - low);
    lift(strips->top_now + low, strips->top_of_three + from, high - low);
    if (strips->any_unknown)
        mark(strips->unknown_now + low, strips->unknown_of_three + from, high - low);
}

static void begin_block(struct sel_strips *strips, int64_t count) {
    for (int64_t i = 0; i < count; i++)
        strips->ground_now[i] = strips->top_now[i] = -INFINITY;
    memset(strips->unknown_now, 0, (size_t)count);
}

static void end_block(struct sel_strips *strips, struct sel_strip_frame *frame, int64_t block) {
    for (int64_t i = 0; i < frame->strips; i++) {
        int64_t at = SEL_STRIP_SLACK + i * frame->blocks + block;
        frame->ground_m[at] = strips->ground_now[i];
        frame->canopy_top_m[at] = strips->top_now[i];
        if (strips->any_unknown)
            frame->unknown[at] = strips->unknown_now[i];
    }
}

static void fill_frame(
    struct sel_strips *strips, struct sel_strip_frame *frame, struct lines lines) {
    for (int64_t block = 0; block < frame->blocks; block++) {
        begin_block(strips, frame->strips);
        int64_t end = lesser((block + 1) * SEL_STRIP_LINES, lines.count);
        for (int64_t line = block * SEL_STRIP_LINES; line < end; line++)
            include_line(strips, frame, lines, line);
        end_block(strips, frame, block);
    }
}

void sel_strips_fill(struct sel_strips *strips, const struct sel_far_field *field,
    const struct sel_ray rays[SEL_HORIZON_DIRECTIONS]) {
    strips->any_unknown = any_unknown(field);
    for (int axis = 0; axis < 2; axis++) {
        bool along_x = axis == 1;
        struct lines lines = lines_of(field, along_x);
        fill_threes(strips, field, lines);
        if (strips->any_unknown)
            fill_unknown_threes(strips, field, lines);
        for (int i = 0; i < SEL_STRIP_FRAMES; i++) {
            if (rays[i].along_x != along_x)
                continue;
            place_frame(&strips->frames[i], field, &rays[i], lines);
            fill_frame(strips, &strips->frames[i], lines);
        }
    }
}
