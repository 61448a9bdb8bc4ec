// SPDX-License-Identifier: MIT
//
// Speck removal over runs: every row is cut into runs of one habitat, runs that touch across rows
// are joined (union-find, Hopcroft & Ullman 1973, path halving), and each patch gets its area and
// its bounding box. Then every cell learns the way to the nearest settled cell (one of a patch
// that is no speck) of its own row, and a speck's cell looks through the rows above and below it,
// nearest first, until none can be nearer: exact, and bounded by the reach.
//
// Only settled cells are looked at and only specks are written, so the order of the cells does not
// matter. Does not look beyond the window: there all is unknown.
#include "edge/specks.h"

#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>

#include "base/array.h"

// The rule's lengths, in units of sqrt(min_patch_m2); docs/method.md, "Edges".
static const double LONGEST_BOX = 4.0;
static const double REACH = 8.0;
static const double HALO = 12.0;

// Areas and lengths that differ by less than this share count as equal, so that a patch of exactly
// min_patch_m2 is no speck however the cell size was rounded.
static const double SLACK = 1e-9;

// Squared distances are compared in whole millionths of the smaller cell's square: equal distances
// tie exactly, whichever way they were summed.
static const double DISTANCE_STEPS = 1e6;

enum { NOWHERE = INT32_MAX };

struct run {
    int32_t first, end; // columns [first, end)
    int32_t parent;     // an earlier run of the same patch, or itself
    sel_habitat_id id;
};

// Of a patch; kept at the index of its root run.
struct patch {
    int64_t cells;
    int32_t first_row, last_row, first_col, end_col;
    bool speck;
};

struct sel_speck_scratch {
    struct run *runs;
    struct patch *patches;
    int32_t *row_starts; // rows + 1: index of each row's first run
    int32_t *ways;       // per cell: columns to the nearest settled cell of its row; < 0: west
    size_t run_count, run_capacity, patch_capacity, row_capacity, way_capacity;
};

struct sel_speck_scratch *sel_speck_scratch_new(void) {
    return calloc(1, sizeof(struct sel_speck_scratch));
}

void sel_speck_scratch_free(struct sel_speck_scratch *scratch) {
    if (!scratch)
        return;
    free(scratch->runs);
    free(scratch->patches);
    free(scratch->row_starts);
    free(scratch->ways);
    free(scratch);
}

int sel_speck_halo(const struct sel_speck_rule *rule) {
    if (!(rule->min_patch_m2 > 0))
        return 0;
    return (int)ceil(HALO * sqrt(rule->min_patch_m2) / fmin(rule->cell_x_m, rule->cell_y_m));
}

static int32_t root_of(struct run *runs, int32_t at) {
    while (runs[at].parent != at) {
        runs[at].parent = runs[runs[at].parent].parent;
        at = runs[at].parent;
    }
    return at;
}

static void join(struct run *runs, int32_t a, int32_t b) {
    a = root_of(runs, a);
    b = root_of(runs, b);
    if (a < b)
        runs[b].parent = a;
    else
        runs[a].parent = b;
}

// Appends the known runs of one row. Room for one run a cell is there already.
static void cut_row(struct sel_speck_scratch *scratch, const sel_habitat_id *ids, int32_t cols) {
    for (int32_t first = 0, end; first < cols; first = end) {
        for (end = first + 1; end < cols && ids[end] == ids[first];)
            end++;
        if (ids[first] == SEL_HABITAT_UNKNOWN)
            continue;
        int32_t at = (int32_t)scratch->run_count++;
        scratch->runs[at] = (struct run){first, end, at, ids[first]};
    }
}

// Joins the runs [above, below) of one row with the runs [below, end) of the next.
static void join_rows(struct run *runs, int32_t above, int32_t below, int32_t end) {
    int32_t above_end = below;
    while (above < above_end && below < end) {
        const struct run *upper = &runs[above], *lower = &runs[below];
        bool touch = upper->first < lower->end && lower->first < upper->end;
        if (touch && upper->id == lower->id)
            join(runs, above, below);
        if (upper->end < lower->end)
            above++;
        else
            below++;
    }
}

static sel_status find_runs(
    struct sel_speck_scratch *scratch, int32_t rows, int32_t cols, const sel_habitat_id *ids) {
    scratch->run_count = 0;
    for (int32_t row = 0; row < rows; row++) {
        size_t most = scratch->run_count + (size_t)cols;
        if (most > INT32_MAX)
            return SEL_NO_MEMORY;
        struct run *grown =
            sel_grow(scratch->runs, most, &scratch->run_capacity, sizeof *scratch->runs);
        if (!grown)
            return SEL_NO_MEMORY;
        scratch->runs = grown;
        int32_t start = (int32_t)scratch->run_count;
        scratch->row_starts[row] = start;
        cut_row(scratch, ids + (size_t)row * (size_t)cols, cols);
        if (row > 0)
            join_rows(grown, scratch->row_starts[row - 1], start, (int32_t)scratch->run_count);
    }
    scratch->row_starts[rows] = (int32_t)scratch->run_count;
    return SEL_OK;
}

static void grow_patch(struct patch *patch, int32_t row, const struct run *run) {
    if (patch->cells == 0)
        *patch = (struct patch){.first_row = row, .first_col = run->first, .end_col = run->end};
    patch->cells += run->end - run->first;
    patch->last_row = row;
    patch->first_col = run->first < patch->first_col ? run->first : patch->first_col;
    patch->end_col = run->end > patch->end_col ? run->end : patch->end_col;
}

static bool is_speck(const struct sel_speck_rule *rule, const struct patch *patch) {
    double area = (double)patch->cells * rule->cell_x_m * rule->cell_y_m;
    double wide = (double)(patch->end_col - patch->first_col) * rule->cell_x_m;
    double high = (double)(patch->last_row - patch->first_row + 1) * rule->cell_y_m;
    double longest = LONGEST_BOX * sqrt(rule->min_patch_m2) * (1 + SLACK);
    return area < rule->min_patch_m2 * (1 - SLACK) && wide <= longest && high <= longest;
}

// Measures the patches; tells whether any is a speck.
static bool judge_patches(
    const struct sel_speck_rule *rule, struct sel_speck_scratch *scratch, int32_t rows) {
    bool any = false;
    for (size_t i = 0; i < scratch->run_count; i++)
        scratch->patches[i].cells = 0;
    for (int32_t row = 0; row < rows; row++) {
        for (int32_t i = scratch->row_starts[row]; i < scratch->row_starts[row + 1]; i++)
            grow_patch(&scratch->patches[root_of(scratch->runs, i)], row, &scratch->runs[i]);
    }
    for (size_t i = 0; i < scratch->run_count; i++) {
        struct patch *patch = &scratch->patches[i];
        patch->speck = patch->cells > 0 && is_speck(rule, patch);
        any = any || patch->speck;
    }
    return any;
}

static bool run_is_speck(struct sel_speck_scratch *scratch, int32_t run) {
    return scratch->patches[root_of(scratch->runs, run)].speck;
}

// Points the cells [first, end) of a row to the nearer of the settled cells in the columns west
// and east of them; ties go west, to the lower column.
static void fill_ways(int32_t *ways, int32_t first, int32_t end, int32_t west, int32_t east) {
    for (int32_t col = first; col < end; col++) {
        int32_t back = west == NOWHERE ? NOWHERE : col - west;
        int32_t ahead = east == NOWHERE ? NOWHERE : east - col;
        ways[col] = back <= ahead && back != NOWHERE ? -back : ahead;
    }
}

static void find_ways_of_row(struct sel_speck_scratch *scratch, int32_t row, int32_t cols) {
    int32_t *ways = scratch->ways + (size_t)row * (size_t)cols;
    int32_t done = 0, west = NOWHERE;
    for (int32_t i = scratch->row_starts[row]; i < scratch->row_starts[row + 1]; i++) {
        if (run_is_speck(scratch, i))
            continue;
        const struct run *run = &scratch->runs[i];
        fill_ways(ways, done, run->first, west, run->first);
        for (int32_t col = run->first; col < run->end; col++)
            ways[col] = 0;
        done = run->end;
        west = run->end - 1;
    }
    fill_ways(ways, done, cols, west, NOWHERE);
}

// What the search for the nearest settled cell needs to know of the window.
struct search {
    const int32_t *ways;
    int32_t rows, cols;
    double x_square, y_square; // squares of the cell's sides over the smaller side's square
    int64_t reach;             // of squared distances, in steps
};

struct nearest {
    int64_t distance; // squared, in steps
    int32_t row, col; // row < 0: none in reach
};

static int64_t squared_distance(const struct search *search, double rows, double cols) {
    double square = rows * rows * search->y_square + cols * cols * search->x_square;
    return (int64_t)(square * DISTANCE_STEPS + 0.5);
}

// Takes row's nearest settled cell when it is nearer than the best so far, or as near and ties
// favour it.
static void look_in_row(const struct search *search, int32_t from_row, int32_t row, int32_t col,
    bool wins_ties, struct nearest *best) {
    if (row < 0 || row >= search->rows)
        return;
    int32_t way = search->ways[(size_t)row * (size_t)search->cols + (size_t)col];
    if (way == NOWHERE)
        return;
    int64_t distance = squared_distance(search, row - from_row, way);
    if (distance < best->distance || (wins_ties && distance == best->distance))
        *best = (struct nearest){distance, row, col + way};
}

// Rows above are lower ones and win ties against all rows seen before them; rows below never do.
static struct nearest find_nearest(const struct search *search, int32_t row, int32_t col) {
    struct nearest best = {search->reach + 1, -1, -1};
    look_in_row(search, row, row, col, false, &best);
    for (int32_t away = 1; squared_distance(search, away, 0) <= best.distance; away++) {
        if (row - away < 0 && row + away >= search->rows)
            break;
        look_in_row(search, row, row - away, col, true, &best);
        look_in_row(search, row, row + away, col, false, &best);
    }
    return best.row < 0 || best.distance > search->reach ? (struct nearest){0, -1, -1} : best;
}

static void replace_run(
    const struct search *search, int32_t row, const struct run *run, sel_habitat_id *ids) {
    for (int32_t col = run->first; col < run->end; col++) {
        struct nearest nearest = find_nearest(search, row, col);
        ids[(size_t)row * (size_t)search->cols + (size_t)col] =
            nearest.row < 0 ? (sel_habitat_id)SEL_HABITAT_UNKNOWN
                            : ids[(size_t)nearest.row * (size_t)search->cols + (size_t)nearest.col];
    }
}

static void replace_specks(const struct sel_speck_rule *rule, struct sel_speck_scratch *scratch,
    int32_t rows, int32_t cols, sel_habitat_id *ids) {
    double unit = fmin(rule->cell_x_m, rule->cell_y_m);
    double reach = REACH * sqrt(rule->min_patch_m2) / unit * (1 + SLACK);
    struct search search = {.ways = scratch->ways,
        .rows = rows,
        .cols = cols,
        .x_square = rule->cell_x_m / unit * (rule->cell_x_m / unit),
        .y_square = rule->cell_y_m / unit * (rule->cell_y_m / unit),
        .reach = (int64_t)(reach * reach * DISTANCE_STEPS)};
    for (int32_t row = 0; row < rows; row++)
        find_ways_of_row(scratch, row, cols);
    for (int32_t row = 0; row < rows; row++) {
        for (int32_t i = scratch->row_starts[row]; i < scratch->row_starts[row + 1]; i++) {
            if (run_is_speck(scratch, i))
                replace_run(&search, row, &scratch->runs[i], ids);
        }
    }
}

// Room for `rows` row starts, and after the runs are known for patches and ways.
static sel_status reserve_rows(struct sel_speck_scratch *scratch, size_t rows) {
    int32_t *grown = sel_grow(
        scratch->row_starts, rows + 1, &scratch->row_capacity, sizeof *scratch->row_starts);
    if (!grown)
        return SEL_NO_MEMORY;
    scratch->row_starts = grown;
    return SEL_OK;
}

static sel_status reserve_patches(struct sel_speck_scratch *scratch) {
    struct patch *grown = sel_grow(
        scratch->patches, scratch->run_count, &scratch->patch_capacity, sizeof *scratch->patches);
    if (!grown)
        return SEL_NO_MEMORY;
    scratch->patches = grown;
    return SEL_OK;
}

static sel_status reserve_ways(struct sel_speck_scratch *scratch, size_t cells) {
    int32_t *grown = sel_grow(scratch->ways, cells, &scratch->way_capacity, sizeof *scratch->ways);
    if (!grown)
        return SEL_NO_MEMORY;
    scratch->ways = grown;
    return SEL_OK;
}

sel_status sel_remove_specks(const struct sel_speck_rule *rule, int64_t rows, int64_t cols,
    sel_habitat_id *ids, struct sel_speck_scratch *scratch) {
    if (!(rule->min_patch_m2 > 0) || rows <= 0 || cols <= 0)
        return SEL_OK;
    if (rows >= INT32_MAX || cols >= INT32_MAX)
        return SEL_NO_MEMORY;
    sel_status status = reserve_rows(scratch, (size_t)rows);
    if (status == SEL_OK)
        status = find_runs(scratch, (int32_t)rows, (int32_t)cols, ids);
    if (status == SEL_OK)
        status = reserve_patches(scratch);
    if (status != SEL_OK || !judge_patches(rule, scratch, (int32_t)rows))
        return status;
    status = reserve_ways(scratch, (size_t)rows * (size_t)cols);
    if (status == SEL_OK)
        replace_specks(rule, scratch, (int32_t)rows, (int32_t)cols, ids);
    return status;
}
