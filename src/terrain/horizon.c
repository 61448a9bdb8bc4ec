// SPDX-License-Identifier: MIT
//
// A point's horizon from the near field (near.c), the far fields (far.c) and at an edge its two
// sides (margin.c), and what is prepared for them: the plan, once per run, and the view, once per
// tile.
#include "terrain/horizon.h"

#include <math.h>
#include <stdlib.h>

#include "terrain/far.h"
#include "terrain/margin.h"
#include "terrain/near.h"

static const double MARGIN_CELLS = 1.5;
static const double LEAST_OPENING_M = 1e-6; // what the head touches stands infinitely high

struct sel_horizon_plan {
    float head_m;
    double opening_m;
    bool has_margin;
    int64_t reach[SEL_SURFACE_LEVELS]; // study cells
    int64_t near_cols;
    struct sel_ray rays[SEL_HORIZON_DIRECTIONS];
    struct sel_near near;
};

sel_status sel_horizon_plan_new(const struct sel_horizon_rule *rule, double cell_x_m,
    double cell_y_m, int64_t near_cols, struct sel_horizon_plan **plan) {
    struct sel_horizon_plan *made = malloc(sizeof *made);
    *plan = made;
    if (!made)
        return SEL_NO_MEMORY;
    made->head_m = (float)rule->head_m;
    made->opening_m = rule->opening_m;
    made->has_margin = rule->margin_m > 0;
    made->near_cols = near_cols;
    for (int l = 0; l < SEL_SURFACE_LEVELS; l++)
        made->reach[l] = sel_horizon_level_reach(rule, fmin(cell_x_m, cell_y_m), l);
    for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++)
        made->rays[i] = sel_ray_of(rule, i, cell_x_m, cell_y_m);
    sel_near_init(&made->near, made->rays, fmax(rule->opening_m, rule->margin_m), near_cols);
    return SEL_OK;
}

void sel_horizon_plan_free(struct sel_horizon_plan *plan) {
    free(plan);
}

struct sel_horizon_view {
    const struct sel_horizon_plan *plan;
    int64_t core_most;
    struct sel_window core, near_window;
    struct sel_near_field near;
    struct sel_far_field far[SEL_SURFACE_LEVELS - 1];
    struct sel_strips strips[SEL_SURFACE_LEVELS - 1];
};

sel_status sel_horizon_view_new(
    const struct sel_horizon_plan *plan, int64_t core_most, struct sel_horizon_view **view) {
    struct sel_horizon_view *made = calloc(1, sizeof *made);
    *view = made;
    if (!made)
        return SEL_NO_MEMORY;
    made->plan = plan;
    made->core_most = core_most;
    for (int l = 1; l < SEL_SURFACE_LEVELS; l++) {
        int64_t side = (int64_t)1 << 2 * l;
        sel_status status = sel_strips_init(&made->strips[l - 1], core_most / side + 2,
            (core_most + 2 * plan->reach[l]) / side + 2);
        if (status != SEL_OK) {
            sel_horizon_view_free(made);
            *view = NULL;
            return status;
        }
    }
    return SEL_OK;
}

void sel_horizon_view_free(struct sel_horizon_view *view) {
    for (int l = 1; view && l < SEL_SURFACE_LEVELS; l++)
        sel_strips_clear(&view->strips[l - 1]);
    free(view);
}

static bool holds(struct sel_window outer, struct sel_window inner) {
    return inner.row >= outer.row && inner.col >= outer.col &&
           inner.row + inner.rows <= outer.row + outer.rows &&
           inner.col + inner.cols <= outer.col + outer.cols;
}

static struct sel_window within_reach(
    const struct sel_horizon_plan *plan, struct sel_window core, int level) {
    return sel_surface_window(sel_window_grow(core, plan->reach[level]), level);
}

static struct sel_near_field near_field_of(const struct sel_surface_level *level) {
    struct sel_near_field field = {
        level->ground_m, level->canopy_top_m, level->cover, -INFINITY, false};
    size_t cells = sel_window_cells(level->window);
    for (size_t i = 0; i < cells; i++) {
        if (level->canopy_top_m[i] > field.canopy_most_m)
            field.canopy_most_m = level->canopy_top_m[i];
        field.any_unknown |= isnan(level->ground_m[i]) != 0;
    }
    return field;
}

static struct sel_far_field far_field_of(const struct sel_surface_level *level, int number,
    struct sel_window core, struct sel_window window) {
    struct sel_window core_here = sel_surface_window(core, number);
    core_here.row -= window.row;
    core_here.col -= window.col;
    int64_t first =
        (window.row - level->window.row) * level->window.cols + window.col - level->window.col;
    return (struct sel_far_field){number, window, core_here, level->window.cols,
        level->ground_m + first, level->canopy_top_m + first, level->cover + first};
}

bool sel_horizon_view_aim(
    struct sel_horizon_view *view, const struct sel_surface *surface, struct sel_window core) {
    const struct sel_horizon_plan *plan = view->plan;
    if (surface->levels[0].window.cols != plan->near_cols || core.rows > view->core_most ||
        core.cols > view->core_most)
        return false;
    for (int l = 0; l < SEL_SURFACE_LEVELS; l++)
        if (!holds(surface->levels[l].window, within_reach(plan, core, l)))
            return false;
    view->core = core;
    view->near_window = surface->levels[0].window;
    view->near = near_field_of(&surface->levels[0]);
    for (int l = 1; l < SEL_SURFACE_LEVELS; l++) {
        view->far[l - 1] = far_field_of(&surface->levels[l], l, core, within_reach(plan, core, l));
        sel_strips_fill(&view->strips[l - 1], &view->far[l - 1], plan->rays);
    }
    return true;
}

// The cell of a point in the level-0 window, counted from its first.
static int64_t cell_of(struct sel_window window, int64_t hx, int64_t hy) {
    return ((hy >> 1) - window.row) * window.cols + (hx >> 1) - window.col;
}

// Mean height of the cells that touch a point; NAN when one is unknown.
static float ground_at(const struct sel_horizon_view *view, int64_t hx, int64_t hy) {
    const float *cell = view->near.ground_m + cell_of(view->near_window, hx, hy);
    int64_t west = hx & 1 ? 0 : 1, north = hy & 1 ? 0 : view->near_window.cols;
    return (float)(0.25 * ((double)cell[0] + (double)cell[-west] + (double)cell[-north] +
                              (double)cell[-north - west]));
}

static struct sel_far_start far_start(
    const struct sel_horizon_view *view, int i, int64_t hx, int64_t hy, float eye_m) {
    const struct sel_far_field *field = &view->far[i];
    int64_t half_cells = 2 * ((int64_t)1 << 2 * field->number); // study half-cells in a level cell
    int64_t half_cell = SEL_ONE_CELL / half_cells;
    return (struct sel_far_start){field, &view->strips[i],
        (hx - field->window.col * half_cells) * half_cell - SEL_ONE_CELL / 2,
        (hy - field->window.row * half_cells) * half_cell - SEL_ONE_CELL / 2, eye_m};
}

static void look_around(const struct sel_horizon_view *view, int64_t hx, int64_t hy, float eye_m,
    struct sel_horizon *out) {
    const struct sel_horizon_plan *plan = view->plan;
    struct sel_near_start near = {
        &view->near, (int)(hx & 1) + 2 * (int)(hy & 1), cell_of(view->near_window, hx, hy), eye_m};
    struct sel_far_start one = far_start(view, 0, hx, hy, eye_m);
    struct sel_far_start two = far_start(view, 1, hx, hy, eye_m);
    struct sel_sight sights[SEL_HORIZON_DIRECTIONS];
    sel_near_look(&plan->near, &near, sights);
    sel_far_look(&one, plan->rays, sights);
    sel_far_look(&two, plan->rays, sights);
    for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++) {
        out->ground_tan[i] = sights[i].ground_tan;
        out->canopy_tan[i] = sights[i].canopy_tan;
        out->cover[i] = sights[i].cover;
    }
    out->complete = !sel_near_meets_unknown(&plan->near, &near) &&
                    !sel_far_meets_unknown(&one, plan->rays) &&
                    !sel_far_meets_unknown(&two, plan->rays);
}

bool sel_horizon_at(
    const struct sel_horizon_view *view, int64_t hx, int64_t hy, struct sel_horizon *out) {
    struct sel_window core = view->core;
    if (hx < 2 * core.col || hy < 2 * core.row || hx > 2 * (core.col + core.cols) ||
        hy > 2 * (core.row + core.rows))
        return false;
    float ground_m = ground_at(view, hx, hy);
    if (isnan(ground_m))
        return false;
    look_around(view, hx, hy, ground_m + view->plan->head_m, out);
    return true;
}

double sel_horizon_margin(double opening_m, double cell_x_m, double cell_y_m) {
    return opening_m < fmin(cell_x_m, cell_y_m) ? MARGIN_CELLS * fmax(cell_x_m, cell_y_m) : 0.0;
}

// How high a side's canopy stands over the ground of its cell, given by a half-cell position in it.
static struct sel_margin_side side_of(const struct sel_horizon_view *view,
    const struct sel_horizon_side *side, int64_t hx, int64_t hy, float eye_m) {
    int64_t cell = cell_of(view->near_window, hx, hy);
    float top_m = isnan(side->height_m) ? view->near.canopy_top_m[cell]
                                        : view->near.ground_m[cell] + side->height_m;
    if (side->cover <= 0.0f || !(top_m > view->near.ground_m[cell]))
        return (struct sel_margin_side){-INFINITY, 0.0f};
    double opening_m = fmax(view->plan->opening_m, LEAST_OPENING_M);
    return (struct sel_margin_side){(float)((double)(top_m - eye_m) / opening_m), side->cover};
}

bool sel_horizon_at_edge(const struct sel_horizon_view *view, const struct sel_horizon_edge *edge,
    struct sel_horizon *out) {
    if (!sel_horizon_at(view, edge->hx, edge->hy, out))
        return false;
    if (!view->plan->has_margin)
        return true;
    float eye_m = ground_at(view, edge->hx, edge->hy) + view->plan->head_m;
    bool upright = edge->hx % 2 == 0; // the crack runs north and south
    int64_t first_hx = edge->hx - upright, first_hy = edge->hy - !upright;
    int64_t hx[2] = {first_hx, edge->hx}, hy[2] = {first_hy, edge->hy};
    int a = edge->a_first ? 0 : 1, b = 1 - a;
    struct sel_margin margin = {{edge->toward_a_x, edge->toward_a_y},
        side_of(view, &edge->a, hx[a], hy[a], eye_m), side_of(view, &edge->b, hx[b], hy[b], eye_m)};
    sel_margin_raise(&margin, out);
    return true;
}
