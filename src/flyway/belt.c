// SPDX-License-Identifier: MIT
//
// Samples the belt of a flyway on both sides of its edge and takes the mean contrast between a
// point of one side and a point of the other.
//
// Sample positions are whole numbers of 2^-32 cells counted from the crack, so a shift by whole
// cells changes nothing, and mirroring a scene mirrors them exactly. The lanes along the belt are
// an even number, none on the centre line, and every position is drawn toward the crack by a hair
// that differs between the two directions: so no sample of an axis-aligned or diagonal belt lies on
// a cell border, where "which cell" would have no mirror-proof answer.
#include "flyway/belt.h"

#include <math.h>
#include <string.h>

#include "flyway/centre_line.h"

enum { FRACTION_BITS = 32 };
static const double FRACTION_ONE = 4294967296.0; // 2^FRACTION_BITS
static const double HAIR_OUT = 1 - 0x1p-16;
static const double HAIR_ASIDE = 1 - 0x1p-15;
static const double SAMPLE_CELLS = 0.5;   // samples lie no farther apart: docs/method.md
static const double COUNT_SLACK = 1e-9;   // 6.000000000001 steps are six
static const double CONTRAST_STEPS = 1e6; // contrast is rounded to 1e-6

// The sample points of one side: rows of them going out, lanes beside each other. Position of the
// point (i, k): origin + i out + k aside with i = 1, 3, .. 2 rows - 1 and k = +-1, +-3, ...
struct sample_grid {
    int64_t origin_x, origin_y; // 2^-32 cells from the north-west corner of the sample box
    int64_t out_x, out_y, aside_x, aside_y;
    int rows, lanes;
};

// How many samples of each habitat.
struct mix {
    uint32_t counts[SEL_HABITATS_MOST + 1];
    uint32_t samples;
};

static double cell_least(const struct sel_belt_rule *rule) {
    return rule->cell_x_m < rule->cell_y_m ? rule->cell_x_m : rule->cell_y_m;
}

int sel_belt_halo(const struct sel_belt_rule *rule) {
    struct vec2 corner_m = {rule->reach_m, rule->belt_m / 2};
    return (int)(vec2_length(corner_m) / cell_least(rule)) + 2;
}

static int64_t fixed(double cells) {
    return (int64_t)(cells * FRACTION_ONE);
}

// Least number of steps that fill a length.
static int step_count(double length_m, double longest_m) {
    int steps = (int)(length_m / longest_m + 1 - COUNT_SLACK);
    return steps > 1 ? steps : 1;
}

static struct sample_grid lay_samples(const struct sel_crack *crack, struct vec2 outward,
    double length_m, const struct sel_belt_rule *rule, int halo) {
    double apart_m = SAMPLE_CELLS * cell_least(rule);
    struct sample_grid grid = {
        .rows = step_count(length_m, apart_m), .lanes = 2 * step_count(rule->belt_m / 2, apart_m)};
    double out_m = HAIR_OUT * length_m / (2 * grid.rows);
    double aside_m = HAIR_ASIDE * rule->belt_m / (2 * grid.lanes);
    int64_t half = (int64_t)1 << (FRACTION_BITS - 1);
    grid.origin_x = (2 * (int64_t)halo + (crack->hx & 1)) * half;
    grid.origin_y = (2 * (int64_t)halo + (crack->hy & 1)) * half;
    grid.out_x = fixed(out_m * outward.x / rule->cell_x_m);
    grid.out_y = fixed(out_m * outward.y / rule->cell_y_m);
    grid.aside_x = fixed(aside_m * -outward.y / rule->cell_x_m);
    grid.aside_y = fixed(aside_m * outward.x / rule->cell_y_m);
    return grid;
}

// Counts the samples of a box that lies wholly in the view: `box` is its north-west cell.
static void count_inside(
    const sel_habitat_id *box, int64_t stride, const struct sample_grid *grid, struct mix *mix) {
    for (int k = 1 - grid->lanes; k < grid->lanes; k += 2) {
        int64_t x = grid->origin_x + grid->out_x + k * grid->aside_x;
        int64_t y = grid->origin_y + grid->out_y + k * grid->aside_y;
        for (int i = 0; i < grid->rows; i++) {
            mix->counts[box[(y >> FRACTION_BITS) * stride + (x >> FRACTION_BITS)]]++;
            x += 2 * grid->out_x;
            y += 2 * grid->out_y;
        }
    }
}

// The same where the box may reach beyond the view.
static void count_checked(const struct sel_habitat_view *view, int64_t row, int64_t col,
    const struct sample_grid *grid, struct mix *mix) {
    for (int k = 1 - grid->lanes; k < grid->lanes; k += 2) {
        int64_t x = grid->origin_x + grid->out_x + k * grid->aside_x;
        int64_t y = grid->origin_y + grid->out_y + k * grid->aside_y;
        for (int i = 0; i < grid->rows; i++) {
            mix->counts[sel_view_at(
                view, row + (y >> FRACTION_BITS), col + (x >> FRACTION_BITS))]++;
            x += 2 * grid->out_x;
            y += 2 * grid->out_y;
        }
    }
}

static void count_samples(const struct sel_habitat_view *view, const struct sel_crack *crack,
    const struct sample_grid *grid, int halo, struct mix *mix) {
    int64_t row = sel_half_floor(crack->hy) - halo, col = sel_half_floor(crack->hx) - halo;
    int64_t last_row = row + 2 * halo, last_col = col + 2 * halo;
    const struct sel_window *window = &view->window;
    if (sel_window_has(*window, row, col) && sel_window_has(*window, last_row, last_col))
        count_inside(view->ids + (row - window->row) * window->cols + (col - window->col),
            window->cols, grid, mix);
    else
        count_checked(view, row, col, grid, mix);
    mix->samples = (uint32_t)(grid->rows * grid->lanes);
}

static struct sel_centre_line measure_side(const struct sel_habitat_view *view,
    const struct sel_crack *crack, struct vec2 outward, sel_habitat_id own,
    const struct sel_belt_rule *rule, struct mix *mix) {
    int halo = sel_belt_halo(rule);
    struct sel_centre_line line = sel_walk_centre_line(view, crack, outward, own, rule);
    struct sample_grid grid = lay_samples(crack, outward, line.belt_m, rule, halo);
    count_samples(view, crack, &grid, halo, mix);
    return line;
}

static float known_share(const struct mix *mix) {
    uint32_t known = mix->samples - mix->counts[SEL_HABITAT_UNKNOWN];
    return (float)known / (float)mix->samples;
}

// sum q_j c_ij, not yet divided by the number of known samples.
static double contrast_with(const struct mix *mix, int id, const struct sel_contrast *contrast) {
    double sum = 0;
    for (int j = 1; j <= contrast->count; j++)
        if (mix->counts[j] > 0)
            sum += mix->counts[j] *
                   (double)sel_contrast_of(contrast, (sel_habitat_id)id, (sel_habitat_id)j);
    return sum;
}

static float mean_contrast(
    const struct mix *a, const struct mix *b, const struct sel_contrast *contrast) {
    double known_a = a->samples - a->counts[SEL_HABITAT_UNKNOWN];
    double known_b = b->samples - b->counts[SEL_HABITAT_UNKNOWN];
    if (known_a == 0 || known_b == 0)
        return 0;
    double sum = 0;
    for (int i = 1; i <= contrast->count; i++)
        if (a->counts[i] > 0)
            sum += a->counts[i] * contrast_with(b, i, contrast);
    double mean = sum / (known_a * known_b);
    return (float)((double)(int32_t)(mean * CONTRAST_STEPS + 0.5) / CONTRAST_STEPS);
}

bool sel_measure_belt(const struct sel_habitat_view *view, const struct sel_crack *crack,
    const struct sel_tangent *tangent, const struct sel_belt_rule *rule,
    const struct sel_contrast *contrast, struct sel_belt *out) {
    struct mix a, b;
    size_t used = (size_t)(contrast->count + 1) * sizeof a.counts[0];
    memset(a.counts, 0, used);
    memset(b.counts, 0, used);
    struct vec2 toward_b = vec2_scale(tangent->toward_a, -1);
    struct sel_centre_line line_a =
        measure_side(view, crack, tangent->toward_a, crack->a, rule, &a);
    struct sel_centre_line line_b = measure_side(view, crack, toward_b, crack->b, rule, &b);
    *out = (struct sel_belt){.contrast = mean_contrast(&a, &b, contrast),
        .known_a = known_share(&a),
        .known_b = known_share(&b),
        .depth_a_m = (float)line_a.depth_m,
        .depth_b_m = (float)line_b.depth_m};
    return (double)out->known_a >= SEL_BELT_KNOWN_LEAST &&
           (double)out->known_b >= SEL_BELT_KNOWN_LEAST;
}
