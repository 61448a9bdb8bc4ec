// SPDX-License-Identifier: MIT
//
// A uniform grid of square bins over the segments' extent, filled by counting sort: a segment is
// entered in every bin that its supercover passes. A query looks through rings of bins around the
// point (around the nearest place of the extent when the point lies outside it) and stops when no
// unseen ring can hold anything nearer, so the answer is exact. Bins are padded by a millionth of
// their side, which is far more than rounding can move a segment across a border.
//
// Pieces with a coordinate that is not finite are left out.
#include "access/distance.h"

#include <float.h>
#include <stdlib.h>

static const double PAD_SHARE = 1e-6;       // of a bin's side
static const double ROUNDING_SHARE = 1e-12; // of a squared distance
static const double LENGTH_PER_BIN = 0.25;  // least bin side, in mean segment lengths

struct sel_segment_index {
    struct sel_segment *segments;
    size_t count;
    double west, north, east, south; // extent; y points south
    double side, pad;
    int64_t rows, cols;
    size_t *starts;  // of each bin's entries; one more than there are bins
    size_t *entries; // segment numbers, bin by bin
};

static bool is_finite_segment(const struct sel_segment *s) {
    return isfinite(s->x0) && isfinite(s->y0) && isfinite(s->x1) && isfinite(s->y1);
}

static void copy_finite(const struct sel_segments *from, struct sel_segment_index *index) {
    for (size_t i = 0; i < from->count; i++)
        if (is_finite_segment(&from->items[i]))
            index->segments[index->count++] = from->items[i];
}

static void measure_extent(struct sel_segment_index *index) {
    index->west = index->north = HUGE_VAL;
    index->east = index->south = -HUGE_VAL;
    for (size_t i = 0; i < index->count; i++) {
        const struct sel_segment *s = &index->segments[i];
        index->west = fmin(index->west, fmin(s->x0, s->x1));
        index->east = fmax(index->east, fmax(s->x0, s->x1));
        index->north = fmin(index->north, fmin(s->y0, s->y1));
        index->south = fmax(index->south, fmax(s->y0, s->y1));
    }
}

static double total_length(const struct sel_segment_index *index) {
    double sum = 0;
    for (size_t i = 0; i < index->count; i++) {
        const struct sel_segment *s = &index->segments[i];
        sum += vec2_length((struct vec2){s->x1 - s->x0, s->y1 - s->y0});
    }
    return sum;
}

// About one bin per segment, never more than two, and few bins per segment.
static void lay_grid(struct sel_segment_index *index) {
    double width = index->east - index->west, height = index->south - index->north;
    double count = (double)index->count;
    double side = fmax(sqrt(width / count * height), (width + height) / count);
    side = fmax(side, LENGTH_PER_BIN * total_length(index) / count);
    double largest = fmax(
        fmax(fabs(index->west), fabs(index->east)), fmax(fabs(index->north), fabs(index->south)));
    index->side = side > 0 ? side : 1;
    index->pad = PAD_SHARE * index->side + 4 * DBL_EPSILON * largest;
    index->cols = (int64_t)(width / index->side) + 1;
    index->rows = (int64_t)(height / index->side) + 1;
}

static int64_t clamp_number(double number, int64_t count) {
    return (int64_t)fmax(0, fmin(floor(number), (double)(count - 1)));
}

static int64_t col_of(const struct sel_segment_index *index, double x) {
    return clamp_number((x - index->west) / index->side, index->cols);
}

static int64_t row_of(const struct sel_segment_index *index, double y) {
    return clamp_number((y - index->north) / index->side, index->rows);
}

// The x at which a segment stands at a given y, kept to its ends; for a level one, its end.
static double x_at(const struct sel_segment *s, double y, double when_level) {
    if (s->y0 == s->y1)
        return when_level;
    double t = fmax(0, fmin((y - s->y0) / (s->y1 - s->y0), 1));
    return s->x0 + t * (s->x1 - s->x0);
}

// Enters a segment in its bins; without entries, only counts. next[bin] is raised either way.
static void enter_segment(
    const struct sel_segment_index *index, size_t number, size_t *next, size_t *entries) {
    const struct sel_segment *s = &index->segments[number];
    int64_t last_row = row_of(index, fmax(s->y0, s->y1) + index->pad);
    for (int64_t row = row_of(index, fmin(s->y0, s->y1) - index->pad); row <= last_row; row++) {
        double top = index->north + (double)row * index->side - index->pad;
        double bottom = index->north + (double)(row + 1) * index->side + index->pad;
        double xa = x_at(s, top, s->x0), xb = x_at(s, bottom, s->x1);
        int64_t last_col = col_of(index, fmax(xa, xb) + index->pad);
        for (int64_t col = col_of(index, fmin(xa, xb) - index->pad); col <= last_col; col++) {
            size_t at = next[row * index->cols + col]++;
            if (entries)
                entries[at] = number;
        }
    }
}

static sel_status fill_bins(struct sel_segment_index *index) {
    size_t bins = (size_t)index->rows * (size_t)index->cols;
    index->starts = calloc(bins + 2, sizeof *index->starts);
    if (!index->starts)
        return SEL_NO_MEMORY;
    // Counted two places on, summed, then raised while filling: in the end starts[bin] is right.
    size_t *counts = index->starts + 2;
    for (size_t i = 0; i < index->count; i++)
        enter_segment(index, i, counts, NULL);
    for (size_t bin = 1; bin < bins; bin++)
        counts[bin] += counts[bin - 1];
    index->entries = malloc((counts[bins - 1] + 1) * sizeof *index->entries);
    if (!index->entries)
        return SEL_NO_MEMORY;
    for (size_t i = 0; i < index->count; i++)
        enter_segment(index, i, index->starts + 1, index->entries);
    return SEL_OK;
}

sel_status sel_segment_index_new(
    const struct sel_segments *segments, struct sel_segment_index **index) {
    *index = calloc(1, sizeof **index);
    if (!*index)
        return SEL_NO_MEMORY;
    sel_status status = SEL_OK;
    (*index)->segments = malloc((segments->count + 1) * sizeof *segments->items);
    if (!(*index)->segments) {
        status = SEL_NO_MEMORY;
        goto done;
    }
    copy_finite(segments, *index);
    if ((*index)->count > 0) {
        measure_extent(*index);
        lay_grid(*index);
        status = fill_bins(*index);
    }
done:
    if (status != SEL_OK) {
        sel_segment_index_free(*index);
        *index = NULL;
    }
    return status;
}

void sel_segment_index_free(struct sel_segment_index *index) {
    if (!index)
        return;
    free(index->segments);
    free(index->starts);
    free(index->entries);
    free(index);
}

struct search {
    const struct sel_segment_index *index;
    struct vec2 from, nearest;
    double square; // of the least distance so far
};

static struct vec2 closest_on_segment(const struct sel_segment *s, struct vec2 from) {
    struct vec2 along = {s->x1 - s->x0, s->y1 - s->y0};
    double square = vec2_dot(along, along);
    double t = vec2_dot(vec2_sub(from, (struct vec2){s->x0, s->y0}), along);
    if (!(t > 0))
        return (struct vec2){s->x0, s->y0};
    if (t >= square)
        return (struct vec2){s->x1, s->y1};
    return (struct vec2){s->x0 + t / square * along.x, s->y0 + t / square * along.y};
}

// Of places equally near, the northernmost and then the westernmost counts, so that the order of
// the segments does not matter.
static void try_segment(struct search *search, const struct sel_segment *segment) {
    struct vec2 place = closest_on_segment(segment, search->from);
    struct vec2 gap = vec2_sub(place, search->from);
    double square = vec2_dot(gap, gap);
    if (square > search->square || !isfinite(square))
        return;
    if (square == search->square &&
        (place.y > search->nearest.y ||
            (place.y == search->nearest.y && place.x >= search->nearest.x)))
        return;
    search->square = square;
    search->nearest = place;
}

bool sel_segment_nearer(
    const struct sel_segment *segment, struct vec2 from, struct vec2 *nearest, double *square_m2) {
    struct search search = {.from = from, .nearest = *nearest, .square = *square_m2};
    try_segment(&search, segment);
    bool nearer = search.nearest.x != nearest->x || search.nearest.y != nearest->y;
    *nearest = search.nearest;
    *square_m2 = search.square;
    return nearer;
}

// The bins of one row from one column to another, both within the grid; they lie side by side.
static void try_bins(struct search *search, int64_t row, int64_t first_col, int64_t last_col) {
    const struct sel_segment_index *index = search->index;
    size_t end = index->starts[row * index->cols + last_col + 1];
    for (size_t i = index->starts[row * index->cols + first_col]; i < end; i++)
        try_segment(search, &index->segments[index->entries[i]]);
}

// The bins at Chebyshev distance `ring` from (row, col), as far as they lie in the grid.
static void try_ring(struct search *search, int64_t row, int64_t col, int64_t ring) {
    const struct sel_segment_index *index = search->index;
    int64_t west = col - ring, east = col + ring;
    int64_t first = west < 0 ? 0 : west;
    int64_t last = east >= index->cols ? index->cols - 1 : east;
    for (int64_t r = row - ring < 0 ? 0 : row - ring; r <= row + ring && r < index->rows; r++) {
        if (r == row - ring || r == row + ring) {
            try_bins(search, r, first, last);
            continue;
        }
        if (west >= 0)
            try_bins(search, r, west, west);
        if (east < index->cols)
            try_bins(search, r, east, east);
    }
}

// How far from (x, y), a place in bin (row, col), the nearest bin beyond `ring` begins; infinity
// when there is none.
static double beyond_ring(const struct sel_segment_index *index, double x, double y, int64_t row,
    int64_t col, int64_t ring) {
    double nearest = HUGE_VAL, side = index->side;
    if (col - ring > 0)
        nearest = fmin(nearest, x - (index->west + (double)(col - ring) * side));
    if (col + ring < index->cols - 1)
        nearest = fmin(nearest, index->west + (double)(col + ring + 1) * side - x);
    if (row - ring > 0)
        nearest = fmin(nearest, y - (index->north + (double)(row - ring) * side));
    if (row + ring < index->rows - 1)
        nearest = fmin(nearest, index->north + (double)(row + ring + 1) * side - y);
    return fmax(0, nearest - index->pad);
}

// The rings are laid around q, the place of the extent nearest to the point p. The extent is
// convex, so every place x in it has |p x|^2 >= |p q|^2 + |q x|^2.
static void search_rings(struct search *search) {
    const struct sel_segment_index *index = search->index;
    double x = fmax(index->west, fmin(search->from.x, index->east));
    double y = fmax(index->north, fmin(search->from.y, index->south));
    double out_x = search->from.x - x, out_y = search->from.y - y;
    double outside = out_x * out_x + out_y * out_y;
    int64_t row = row_of(index, y), col = col_of(index, x);
    double beyond = 0;
    for (int64_t ring = 0; isfinite(beyond); ring++) {
        try_ring(search, row, col, ring);
        beyond = beyond_ring(index, x, y, row, col, ring);
        if ((outside + beyond * beyond) * (1 - ROUNDING_SHARE) > search->square)
            return;
    }
}

double sel_segment_distance(
    const struct sel_segment_index *index, double x, double y, struct vec2 *nearest) {
    struct search search = {
        .index = index, .from = {x, y}, .nearest = {(double)NAN, (double)NAN}, .square = HUGE_VAL};
    if (index->count > 0)
        search_rings(&search);
    if (nearest)
        *nearest = search.nearest;
    return sqrt(search.square);
}

bool sel_segment_within(
    const struct sel_segment_index *index, double x, double y, double radius_m) {
    struct search search = {.index = index,
        .from = {x, y},
        .nearest = {(double)NAN, (double)NAN},
        .square = radius_m * radius_m};
    if (index->count > 0)
        search_rings(&search);
    return !isnan(search.nearest.x);
}

void sel_segments_near(const struct sel_segment_index *index, double west, double north,
    double east, double south, sel_segment_fn *visit, void *user) {
    if (index->count == 0 || west > index->east || east < index->west || north > index->south ||
        south < index->north)
        return;
    int64_t first_col = col_of(index, west), last_col = col_of(index, east);
    int64_t last_row = row_of(index, south);
    for (int64_t row = row_of(index, north); row <= last_row; row++) {
        size_t end = index->starts[row * index->cols + last_col + 1];
        for (size_t i = index->starts[row * index->cols + first_col]; i < end; i++)
            visit(user, &index->segments[index->entries[i]]);
    }
}
