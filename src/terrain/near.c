// SPDX-License-Identifier: MIT
//
// The look along the near field's tables. Tangents are compared, not angles; every value is the
// greatest of a set, so the order in which a ray is looked along does not matter. The two weights
// of a line are applied so that a mirrored scene gives the same to the last bit.
#include "terrain/near.h"

#include <math.h>

static inline float height_at(const float *ground, struct sel_near_line line, int32_t stride) {
    return ground[line.cell] * (1.0f - line.share) + ground[line.cell + stride] * line.share;
}

static float main_lines(
    const struct sel_near *near, const struct sel_near_ray *ray, const float *ground, float eye_m) {
    const float *lines = near->lines[ray->on_line], *inverse = near->inverse[ray->on_line];
    float highest = 0.0f; // in metres per line
    for (int i = 0; i < ray->line_count; i++) {
        float rise_m = height_at(ground, ray->lines[i], ray->line_stride) - eye_m;
        float tangent = rise_m * inverse[i] - ray->line_drop * lines[i];
        highest = tangent > highest ? tangent : highest;
    }
    return highest * ray->line_inverse;
}

static float cross_lines(const struct sel_near_ray *ray, const float *ground, float eye_m) {
    float highest = 0.0f;
    for (int i = 0; i < ray->cross_count; i++) {
        float rise_m = height_at(ground, ray->cross[i].line, ray->cross_stride) - eye_m;
        float tangent = rise_m * ray->cross[i].inverse - ray->cross[i].drop;
        highest = tangent > highest ? tangent : highest;
    }
    return highest;
}

static bool meets_unknown(const struct sel_near_ray *ray, const float *ground) {
    for (int i = 0; i < ray->line_count; i++)
        if (isnan(height_at(ground, ray->lines[i], ray->line_stride)))
            return true;
    return false;
}

static inline float box_tangent(struct sel_near_box box, const float *tops, float eye_m) {
    return (tops[box.cell] - eye_m) * box.inverse - box.drop;
}

static float boxes(const struct sel_near_ray *ray, int first, int end, const float *tops,
    float eye_m, float least) {
    float highest = least;
    for (int i = first; i < end; i++) {
        float tangent = box_tangent(ray->boxes[i], tops, eye_m);
        highest = tangent > highest ? tangent : highest;
    }
    return highest;
}

static int canopy_cover(const struct sel_surface_level *level, int64_t cell) {
    return isinf(level->canopy_top_m[cell]) ? 0 : level->cover[cell];
}

// Closure of the first box that stands as high as the canopy's horizon.
static float cover_of(const struct sel_near_ray *ray, const struct sel_surface_level *level,
    int64_t cell, float eye_m, float highest) {
    int i = 0;
    while (box_tangent(ray->boxes[i], level->canopy_top_m + cell, eye_m) < highest)
        i++;
    int one = ray->along_border ? i & ~1 : i, other = ray->along_border ? one + 1 : i;
    return (float)(canopy_cover(level, cell + ray->boxes[one].cell) +
                   canopy_cover(level, cell + ray->boxes[other].cell)) *
           (0.5f / 255.0f);
}

static bool may_rise_above(const struct sel_near_ray *ray, const struct sel_surface_level *level,
    float eye_m, float tangent) {
    if (ray->box_close == ray->box_count)
        return false;
    if (!level->bounds)
        return true;
    float most_m = level->bounds[sel_surface_bound_count(level->window) - 1].canopy_top_m - eye_m;
    return most_m * ray->boxes[ray->box_close].inverse > tangent;
}

static void look_over_canopy(const struct sel_near_ray *ray, const struct sel_surface_level *level,
    int64_t cell, float eye_m, struct sel_sight *sight) {
    const float *tops = level->canopy_top_m + cell;
    float highest = boxes(ray, 0, ray->box_close, tops, eye_m, sight->canopy_tan);
    if (may_rise_above(ray, level, eye_m, highest))
        highest = boxes(ray, ray->box_close, ray->box_count, tops, eye_m, highest);
    if (highest > sight->canopy_tan) {
        sight->canopy_tan = highest;
        sight->cover = cover_of(ray, level, cell, eye_m, highest);
    }
}

void sel_near_look(const struct sel_near *near, int kind, int direction,
    const struct sel_surface_level *level, int64_t cell, float eye_m, struct sel_sight *sight) {
    const struct sel_near_ray *ray = &near->rays[kind][direction];
    const float *ground = level->ground_m + cell;
    float on_main = main_lines(near, ray, ground, eye_m),
          on_cross = cross_lines(ray, ground, eye_m);
    sel_sight_raise_ground(sight, on_main > on_cross ? on_main : on_cross);
    look_over_canopy(ray, level, cell, eye_m, sight);
    if (!sight->incomplete &&
        (!level->bounds || level->bounds[sel_surface_bound_count(level->window) - 1].unknown))
        sight->incomplete = meets_unknown(ray, ground);
}
