// SPDX-License-Identifier: MIT
//
// The direction of an edge at a crack: weighted principal axis (total least squares, Pearson 1901)
// of the middles of the pair's cracks that hang together with it, corner by corner, within the
// radius R. Weight 1 - (d/R)^4 at distance d: of the weights tried, the least worst error on
// straight edges among those that do not favour far cracks over near ones. Positions are whole
// half-cells relative to the crack, so a shift by whole cells changes nothing, to the last bit;
// mirroring and turning only change the order of the sums (relative error about 1e-15).
//
// Does not cross to a boundary that merely passes near, such as the far side of a strip.
#include "edge/tangent.h"

#include <string.h>

#include "edge/corner.h"

enum {
    WORD_BITS = 64,
    // Corners up to SEL_TANGENT_CELLS_MOST + 1 away on either side.
    CORNERS_MOST = 2 * (SEL_TANGENT_CELLS_MOST + 1) + 1,
    WORDS_MOST = (CORNERS_MOST + WORD_BITS - 1) / WORD_BITS,
    FEWEST_CRACKS = 3
};

// A boundary whose spread along the axis is hardly more than across it has no direction: below
// this share of (larger - smaller) / (larger + smaller) variance.
static const double LEAST_ELONGATION = 0.1;

// The crack's own cells tell the sides when it lies within 60 degrees of the tangent (cosine of the
// angle between the normals); else all cracks followed must, by this share of their length.
static const double OWN_SIDE_CLEAR = 0.5;
static const double COMMON_SIDE_CLEAR = 0.1;

// Direction components smaller than this are rounding noise.
static const double NOISE = 1e-12;

// Marks of corners around the crack, one bit each.
struct marks {
    uint64_t words[CORNERS_MOST * WORDS_MOST];
};

// Weighted sums over the cracks followed; positions in metres relative to the first crack's middle.
struct sums {
    int count;
    double w, x, y, xx, xy, yy;
    double vertical;       // weight of the vertical cracks
    double side_x, side_y; // crack lengths, pointing into a
    double length;         // crack lengths
};

struct walk {
    const struct sel_habitat_view *view;
    const struct sel_crack *crack;
    double half_x_m, half_y_m, radius_square;
    int64_t first_row, first_col; // the corner of the first bit
    int corners, row_words;       // corners along each side; words that hold as many
    bool branched;                // a corner was put by
    struct marks done, put_by;
    struct sums sums;
};

static int reach_cells(const struct sel_tangent_rule *rule) {
    return (int)fmin(rule->radius_m / fmin(rule->cell_x_m, rule->cell_y_m), 1e6);
}

int sel_tangent_halo(const struct sel_tangent_rule *rule) {
    return reach_cells(rule) + 1;
}

// Fills all but the marks that no corner in reach needs: clearing those would take longer than the
// walk.
static void begin_walk(struct walk *walk, const struct sel_habitat_view *view,
    const struct sel_crack *crack, const struct sel_tangent_rule *rule) {
    int reach = reach_cells(rule) + 1;
    walk->view = view;
    walk->crack = crack;
    walk->half_x_m = 0.5 * rule->cell_x_m;
    walk->half_y_m = 0.5 * rule->cell_y_m;
    walk->radius_square = rule->radius_m * rule->radius_m;
    walk->first_row = (crack->hy >> 1) - reach;
    walk->first_col = (crack->hx >> 1) - reach;
    walk->corners = 2 * reach + 1;
    walk->row_words = (walk->corners + WORD_BITS - 1) / WORD_BITS;
    walk->branched = false;
    size_t bytes = sizeof(uint64_t) * (size_t)(walk->corners * walk->row_words);
    memset(walk->done.words, 0, bytes);
    memset(walk->put_by.words, 0, bytes);
    walk->sums = (struct sums){0};
}

static int64_t mark_word(const struct walk *walk, int64_t row, int64_t col) {
    return (row - walk->first_row) * walk->row_words + (col - walk->first_col) / WORD_BITS;
}

static uint64_t mark_bit(const struct walk *walk, int64_t col) {
    return (uint64_t)1 << ((uint64_t)(col - walk->first_col) % WORD_BITS);
}

static bool is_done(const struct walk *walk, int64_t row, int64_t col) {
    return (walk->done.words[mark_word(walk, row, col)] & mark_bit(walk, col)) != 0;
}

// The weight of the crack that leaves a corner in a direction, and its middle; 0 beyond the radius.
static double weigh(
    const struct walk *walk, int64_t row, int64_t col, int direction, double *x, double *y) {
    *x = (double)(2 * col + sel_step_col[direction] - walk->crack->hx) * walk->half_x_m;
    *y = (double)(2 * row + sel_step_row[direction] - walk->crack->hy) * walk->half_y_m;
    double share = (*x * *x + *y * *y) / walk->radius_square;
    return share < 1 ? 1 - share * share : 0;
}

static void add_crack(
    struct walk *walk, double w, double x, double y, int direction, bool a_on_left) {
    struct sums *sums = &walk->sums;
    sums->count++;
    sums->w += w;
    sums->x += w * x;
    sums->y += w * y;
    sums->xx += w * x * x;
    sums->xy += w * x * y;
    sums->yy += w * y * y;
    // The left hand is a quarter turn on, the right hand a quarter turn back.
    int side = (direction + (a_on_left ? 1 : 3)) % SEL_DIRECTIONS;
    bool vertical = sel_step_row[direction] != 0;
    double length = 2 * w * (vertical ? walk->half_y_m : walk->half_x_m);
    sums->vertical += vertical ? w : 0;
    sums->side_x += length * sel_step_col[side];
    sums->side_y += length * sel_step_row[side];
    sums->length += length;
}

// Takes a corner: adds the pair's cracks that leave it for corners not taken before, and moves
// (*row, *col) on to one of these; others are put by. False when there is none.
static bool take_corner(struct walk *walk, int64_t *row, int64_t *col) {
    const struct sel_crack *crack = walk->crack;
    int64_t here_row = *row, here_col = *col;
    sel_habitat_id around[SEL_DIRECTIONS];
    for (int q = 0; q < SEL_DIRECTIONS; q++)
        around[q] =
            sel_view_at(walk->view, here_row + sel_quadrant_row[q], here_col + sel_quadrant_col[q]);
    walk->done.words[mark_word(walk, here_row, here_col)] |= mark_bit(walk, here_col);
    bool found = false;
    for (int q = 0; q < SEL_DIRECTIONS; q++) {
        sel_habitat_id left = around[q], right = around[sel_right_of(q)];
        bool a_on_left = left == crack->a && right == crack->b;
        if (!a_on_left && (left != crack->b || right != crack->a))
            continue;
        double x, y, w = weigh(walk, here_row, here_col, q, &x, &y);
        int64_t next_row = here_row + sel_step_row[q], next_col = here_col + sel_step_col[q];
        if (w <= 0 || is_done(walk, next_row, next_col))
            continue;
        add_crack(walk, w, x, y, q, a_on_left);
        if (found) {
            walk->put_by.words[mark_word(walk, next_row, next_col)] |= mark_bit(walk, next_col);
            walk->branched = true;
            continue;
        }
        found = true;
        *row = next_row;
        *col = next_col;
    }
    return found;
}

// The first corner that was put by and not taken since.
static bool next_put_by(const struct walk *walk, int64_t *row, int64_t *col) {
    for (int i = 0; walk->branched && i < walk->corners * walk->row_words; i++) {
        uint64_t left = walk->put_by.words[i] & ~walk->done.words[i];
        if (left == 0)
            continue;
        int bit = 0;
        while (!(left >> bit & 1))
            bit++;
        *row = walk->first_row + i / walk->row_words;
        *col = walk->first_col + (int64_t)(i % walk->row_words) * WORD_BITS + bit;
        return true;
    }
    return false;
}

// Follows the boundary from one corner of the crack, then from the other, then along branches.
static void follow(struct walk *walk) {
    bool vertical = sel_crack_is_vertical(walk->crack);
    int64_t first_row = walk->crack->hy >> 1, first_col = walk->crack->hx >> 1;
    int64_t row = first_row, col = first_col;
    while (take_corner(walk, &row, &col))
        continue;
    row = first_row + (vertical ? 1 : 0);
    col = first_col + (vertical ? 0 : 1);
    if (!is_done(walk, row, col)) {
        while (take_corner(walk, &row, &col))
            continue;
    }
    while (next_put_by(walk, &row, &col)) {
        while (take_corner(walk, &row, &col))
            continue;
    }
}

// Second moments about the weighted mean.
struct moments {
    double xx, xy, yy;
};

static struct moments central_moments(const struct sums *sums) {
    double x = sums->x / sums->w, y = sums->y / sums->w;
    return (struct moments){
        sums->xx / sums->w - x * x, sums->xy / sums->w - x * y, sums->yy / sums->w - y * y};
}

// The eigenvector of the larger eigenvalue, half of (xx + yy + spread); spread > 0.
static struct vec2 principal_axis(const struct moments *m, double spread) {
    struct vec2 axis;
    double difference = m->xx - m->yy;
    if (difference >= 0) {
        axis.x = sqrt((spread + difference) / (2 * spread));
        axis.y = m->xy / (spread * axis.x);
    } else {
        axis.y = sqrt((spread - difference) / (2 * spread));
        axis.x = m->xy / (spread * axis.y);
    }
    if (fabs(axis.x) < NOISE)
        return (struct vec2){0, 1};
    if (fabs(axis.y) < NOISE)
        return (struct vec2){1, 0};
    return axis.x > 0 ? axis : vec2_scale(axis, -1);
}

// Variance across a straight edge that comes from the cells alone: a horizontal crack's middle lies
// anywhere within half a cell's height of the line, straight up or down, a vertical one's within
// half a width.
static double cell_variance(const struct walk *walk, struct vec2 along) {
    double vertical = walk->sums.vertical / walk->sums.w;
    double up = 2 * walk->half_y_m * along.x, aside = 2 * walk->half_x_m * along.y;
    return ((1 - vertical) * up * up + vertical * aside * aside) / 12;
}

// Turns `normal` into a; false when the sides cannot be told (a strip's tip).
static bool turn_to_a(const struct walk *walk, struct vec2 *normal) {
    const struct sel_crack *crack = walk->crack;
    double toward_first = crack->a_first ? -1 : 1;
    double own = toward_first * (sel_crack_is_vertical(crack) ? normal->x : normal->y);
    const struct sums *sums = &walk->sums;
    double common = (sums->side_x * normal->x + sums->side_y * normal->y) / sums->length;
    bool own_is_clear = fabs(own) >= OWN_SIDE_CLEAR;
    if (!own_is_clear && fabs(common) < COMMON_SIDE_CLEAR)
        return false;
    if ((own_is_clear ? own : common) < 0)
        *normal = vec2_scale(*normal, -1);
    return true;
}

bool sel_edge_tangent(const struct sel_habitat_view *view, const struct sel_crack *crack,
    const struct sel_tangent_rule *rule, struct sel_tangent *out) {
    if (!(rule->radius_m > 0) || reach_cells(rule) > SEL_TANGENT_CELLS_MOST)
        return false;
    struct walk walk;
    begin_walk(&walk, view, crack, rule);
    follow(&walk);
    if (walk.sums.count < FEWEST_CRACKS)
        return false;
    struct moments m = central_moments(&walk.sums);
    double difference = m.xx - m.yy, sum = m.xx + m.yy;
    double spread = sqrt(difference * difference + 4 * m.xy * m.xy);
    if (!(spread > LEAST_ELONGATION * sum))
        return false;
    struct vec2 along = principal_axis(&m, spread);
    struct vec2 normal = {along.y, -along.x};
    if (!turn_to_a(&walk, &normal))
        return false;
    double across = 0.5 * (sum - spread) - cell_variance(&walk, along);
    out->along = along;
    out->toward_a = normal;
    out->straightness = 1 - fmax(0, across) / (0.5 * (sum + spread));
    return true;
}
