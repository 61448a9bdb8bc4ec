// SPDX-License-Identifier: MIT
//
// Candidates are sorted by the chunk of the walking grid that they lie in. A window fills its
// chunks one after the other, noting for each candidate of its core from which cells it can be
// reached, is searched once, and then answers for all of them. Ground is only read where a walk
// from some start to some candidate could lead.
#include "survey/walk.h"

#include <math.h>
#include <stdlib.h>

#include "base/array.h"
#include "base/pool.h"
#include "base/whole.h"
#include "survey/walk_tract.h"

// From where a candidate is reached.
struct anchor {
    uint32_t candidate;
    int32_t cell;
};

// What a thread works with, kept from window to window.
struct walker {
    struct sel_walk_tract tract;
    struct anchor *anchors; // owned
    size_t count, capacity;
};

struct walking {
    sel_context *context;
    const struct sel_job *job;
    struct sel_worker *workers;
    struct sel_candidate *candidates;
    struct sel_window chunks; // of the whole walking grid
    size_t *first;           // owned; chunk i has candidates order[first[i]] .. order[first[i + 1]]
    uint32_t *order;         // owned
    uint8_t *near_candidate; // owned; by chunk: whether a walk from it may reach a candidate
    struct sel_walk_cut cut;
    struct walker *walkers; // owned
};

// ---- candidates by chunk ----

static size_t chunk_number(const struct walking *walking, const struct sel_candidate *candidate) {
    int64_t row, col;
    sel_walk_chunk_of(&walking->job->walking, candidate->hx, candidate->hy, &row, &col);
    return (size_t)(row * walking->chunks.cols + col);
}

static sel_status sort_by_chunk(struct walking *walking, size_t count) {
    size_t chunks = sel_window_cells(walking->chunks);
    walking->first = calloc(chunks + 2, sizeof *walking->first);
    walking->order = malloc((count + 1) * sizeof *walking->order);
    if (!walking->first || !walking->order || count > UINT32_MAX)
        return sel_fail_memory(walking->context);
    // Counted two places on, summed, then raised while sorting: in the end first[i] is right.
    size_t *next = walking->first + 1;
    for (size_t i = 0; i < count; i++)
        walking->first[chunk_number(walking, &walking->candidates[i]) + 2]++;
    for (size_t i = 2; i < chunks + 2; i++)
        walking->first[i] += walking->first[i - 1];
    for (size_t i = 0; i < count; i++)
        walking->order[next[chunk_number(walking, &walking->candidates[i])]++] = (uint32_t)i;
    return SEL_OK;
}

static bool has_candidates(const struct walking *walking, int64_t row, int64_t col) {
    size_t chunk = (size_t)(row * walking->chunks.cols + col);
    return walking->first[chunk + 1] > walking->first[chunk];
}

// The chunks that hold candidates lie in this rectangle.
static struct sel_window chunks_in_use(const struct walking *walking) {
    int64_t row = INT64_MAX, col = INT64_MAX, row_end = 0, col_end = 0;
    for (int64_t r = 0; r < walking->chunks.rows; r++)
        for (int64_t c = 0; c < walking->chunks.cols; c++) {
            if (!has_candidates(walking, r, c))
                continue;
            row = sel_smaller(row, r), row_end = r + 1;
            col = sel_smaller(col, c), col_end = sel_larger(col_end, c + 1);
        }
    return (struct sel_window){row, col, row_end - row, col_end - col};
}

// Sets every place within `reach` places of a set one, on a line of `count` places that are
// `stride` apart.
static void spread(uint8_t *line, int64_t count, int64_t stride, int64_t reach) {
    enum { CLEAR, SET, SPREAD };
    for (int pass = 0; pass < 2; pass++) {
        int64_t since = reach;
        for (int64_t i = 0; i < count; i++) {
            uint8_t *at = &line[(pass == 0 ? i : count - 1 - i) * stride];
            if (*at == SET)
                since = 0;
            else if (++since <= reach)
                *at = SPREAD;
        }
    }
    for (int64_t i = 0; i < count; i++)
        line[i * stride] = line[i * stride] != CLEAR;
}

static sel_status mark_near_candidates(struct walking *walking) {
    const struct sel_walk_rule *rule = &walking->job->walking;
    const struct sel_window *chunks = &walking->chunks;
    int64_t reach = (rule->halo + 3 + rule->chunk - 1) / rule->chunk;
    walking->near_candidate = malloc(sel_window_cells(*chunks));
    if (!walking->near_candidate)
        return sel_fail_memory(walking->context);
    for (int64_t row = 0; row < chunks->rows; row++)
        for (int64_t col = 0; col < chunks->cols; col++)
            walking->near_candidate[row * chunks->cols + col] = has_candidates(walking, row, col);
    for (int64_t row = 0; row < chunks->rows; row++)
        spread(walking->near_candidate + row * chunks->cols, chunks->cols, 1, reach);
    for (int64_t col = 0; col < chunks->cols; col++)
        spread(walking->near_candidate + col, chunks->rows, chunks->cols, reach);
    return SEL_OK;
}

// ---- one window ----

static sel_status note_anchors(struct walking *walking, struct walker *walker, uint32_t number) {
    const struct sel_candidate *candidate = &walking->candidates[number];
    int64_t cells[SEL_TRACT_ANCHORS_MOST];
    int count = sel_walk_tract_anchors(&walker->tract, candidate->hx, candidate->hy, cells);
    struct anchor *grown =
        sel_grow(walker->anchors, walker->count + (size_t)count, &walker->capacity, sizeof *grown);
    if (!grown)
        return count == 0 ? SEL_OK : sel_fail_memory(walking->context);
    walker->anchors = grown;
    for (int i = 0; i < count; i++)
        grown[walker->count++] = (struct anchor){number, (int32_t)cells[i]};
    return SEL_OK;
}

static sel_status fill_chunk(struct walking *walking, int thread, struct sel_window core,
    int64_t chunk_row, int64_t chunk_col) {
    struct walker *walker = &walking->walkers[thread];
    size_t chunk = (size_t)(chunk_row * walking->chunks.cols + chunk_col);
    if (!walking->near_candidate[chunk] ||
        !sel_walk_chunk_in_reach(walking->job, chunk_row, chunk_col))
        return SEL_OK;
    sel_status status = sel_check_cancel(walking->context);
    struct sel_window part =
        sel_walk_chunk(&walking->job->walking, chunk_row, chunk_col, walker->tract.window);
    if (status == SEL_OK)
        status =
            sel_walk_tract_fill(walking->context, &walking->workers[thread], &walker->tract, part);
    if (!sel_window_has(core, part.row, part.col))
        return status;
    for (size_t i = walking->first[chunk]; i < walking->first[chunk + 1] && status == SEL_OK; i++)
        status = note_anchors(walking, walker, walking->order[i]);
    return status;
}

static sel_status fill_window(struct walking *walking, int thread, struct sel_window core) {
    const struct sel_window *window = &walking->walkers[thread].tract.window;
    int64_t side = walking->job->walking.chunk;
    sel_status status = SEL_OK;
    for (int64_t row = window->row / side; row * side < window->row + window->rows; row++)
        for (int64_t col = window->col / side;
             col * side < window->col + window->cols && status == SEL_OK; col++)
            status = fill_chunk(walking, thread, core, row, col);
    return status;
}

static void answer(struct walking *walking, const struct walker *walker) {
    for (size_t i = 0; i < walker->count; i++) {
        struct sel_candidate *candidate = &walking->candidates[walker->anchors[i].candidate];
        struct sel_walk_leg leg = sel_walk_tract_leg(
            &walker->tract, walking->job, walker->anchors[i].cell, candidate->hx, candidate->hy);
        double *minutes = &candidate->measure[SEL_CRITERION_ACCESS];
        *minutes = fmin(*minutes, leg.minutes);
    }
}

static bool any_candidate(const struct walking *walking, struct sel_window core) {
    int64_t side = walking->job->walking.chunk;
    for (int64_t row = core.row / side; row * side < core.row + core.rows; row++)
        for (int64_t col = core.col / side; col * side < core.col + core.cols; col++)
            if (has_candidates(walking, row, col))
                return true;
    return false;
}

static sel_status walk_window(void *user, int thread, int64_t index) {
    struct walking *walking = user;
    struct walker *walker = &walking->walkers[thread];
    struct sel_window core = sel_walk_core(walking->job, &walking->cut, index);
    if (!any_candidate(walking, core))
        return SEL_OK;
    walker->count = 0;
    sel_status status = sel_walk_tract_lay(walking->context, walking->job, &walker->tract,
        sel_walk_window(walking->job, &walking->cut, index));
    if (status == SEL_OK)
        status = fill_window(walking, thread, core);
    if (status == SEL_OK)
        status = sel_walk_tract_search(
            walking->context, &walker->tract, walking->job->walking.limit_min);
    if (status == SEL_OK)
        answer(walking, walker);
    return status;
}

// ---- all of them ----

static sel_status walk_windows(
    struct walking *walking, int threads, const sel_run_options *options) {
    walking->cut = sel_walk_cut_of(walking->job, chunks_in_use(walking), options);
    walking->walkers = calloc((size_t)threads, sizeof *walking->walkers);
    if (!walking->walkers)
        return sel_fail_memory(walking->context);
    sel_status status = sel_pool_run(walking->context, "walking to candidates", threads,
        walking->cut.rows * walking->cut.cols, walk_window, walking);
    for (int i = 0; i < threads; i++) {
        sel_walk_tract_clear(&walking->walkers[i].tract);
        free(walking->walkers[i].anchors);
    }
    free(walking->walkers);
    return status;
}

sel_status sel_walk_candidates(sel_context *context, const struct sel_job *job,
    struct sel_worker *workers, int threads, const sel_run_options *options,
    struct sel_candidates *candidates) {
    const struct sel_walk_rule *rule = &job->walking;
    if (!rule->in_use || candidates->count == 0)
        return SEL_OK;
    struct walking walking = {.context = context,
        .job = job,
        .workers = workers,
        .candidates = candidates->items,
        .chunks = {0, 0, (rule->rows + rule->chunk - 1) / rule->chunk,
            (rule->cols + rule->chunk - 1) / rule->chunk}};
    for (size_t i = 0; i < candidates->count; i++)
        candidates->items[i].measure[SEL_CRITERION_ACCESS] = HUGE_VAL;
    for (int i = 0; i < threads; i++)
        sel_worker_rest(&workers[i]);
    sel_status status = sort_by_chunk(&walking, candidates->count);
    if (status == SEL_OK)
        status = mark_near_candidates(&walking);
    if (status == SEL_OK)
        status = walk_windows(&walking, threads, options);
    free(walking.first);
    free(walking.order);
    free(walking.near_candidate);
    return status;
}
