// SPDX-License-Identifier: MIT
//
// The look along the near field's tables. Tangents are compared, not angles; every value is the
// greatest of a set, so the order in which a ray is looked along does not matter. The two weights
// of a line are applied so that a mirrored scene gives the same to the last bit. Each step is done
// for all directions before the next: what one ray must wait for, the others fill.
#include "terrain/near.h"

#include <math.h>

#include "terrain/lanes.h"

static inline sel_lanes pick(const float *values, const int32_t *cells) {
    return (sel_lanes){values[cells[0]], values[cells[1]], values[cells[2]], values[cells[3]]};
}

static float main_lines(
    const struct sel_near *near, const struct sel_near_ray *ray, const float *ground, float eye_m) {
    const float *lines = near->lines[ray->on_line], *inverse = near->inverse[ray->on_line];
    const float *beside = ground + ray->line_stride;
    sel_lanes highest = sel_lanes_of(0.0f); // in metres per line
    for (int i = 0; i < ray->line_count; i += SEL_LANES) {
        sel_lanes share = sel_lanes_load(ray->line_share + i);
        sel_lanes height_m = pick(ground, ray->line_cell + i) * (1.0f - share) +
                             pick(beside, ray->line_cell + i) * share;
        sel_lanes tangent = (height_m - eye_m) * sel_lanes_load(inverse + i) -
                            ray->line_drop * sel_lanes_load(lines + i);
        highest = sel_lanes_greater(tangent, highest);
    }
    return sel_lanes_greatest(highest) * ray->line_inverse;
}

static float cross_lines(const struct sel_near_ray *ray, const float *ground, float eye_m) {
    const float *beside = ground + ray->cross_stride;
    float highest = 0.0f;
    for (int i = 0; i < ray->cross_count; i++) {
        struct sel_near_line line = ray->cross[i];
        float height_m = ground[line.cell] * (1.0f - line.share) + beside[line.cell] * line.share;
        float tangent = (height_m - eye_m) * ray->cross_inverse[i] - ray->cross_drop[i];
        highest = tangent > highest ? tangent : highest;
    }
    return highest;
}

static float boxes(const struct sel_near_ray *ray, int first, int end, const float *tops,
    float eye_m, float least) {
    sel_lanes highest = sel_lanes_of(least);
    for (int i = first; i < end; i += SEL_LANES) {
        sel_lanes rise_m = pick(tops, ray->box_cell + i) - eye_m;
        sel_lanes tangent =
            rise_m * sel_lanes_load(ray->box_inverse + i) - sel_lanes_load(ray->box_drop + i);
        highest = sel_lanes_greater(tangent, highest);
    }
    return sel_lanes_greatest(highest);
}

static bool stands_as_high(
    const struct sel_near_ray *ray, int i, const float *tops, float eye_m, float tangent) {
    return (tops[ray->box_cell[i]] - eye_m) * ray->box_inverse[i] - ray->box_drop[i] >= tangent;
}

static int canopy_cover(const struct sel_near_field *field, int64_t cell) {
    return isinf(field->canopy_top_m[cell]) ? 0 : field->cover[cell];
}

// Closure of the first box that stands as high as the canopy's horizon.
static float cover_of(
    const struct sel_near_ray *ray, const struct sel_near_start *start, float highest) {
    const float *tops = start->field->canopy_top_m + start->cell;
    int i = 0;
    while (i + 1 < ray->box_count && !stands_as_high(ray, i, tops, start->eye_m, highest))
        i++;
    int one = ray->along_border ? i & ~1 : i, other = ray->along_border ? one + 1 : i;
    return (float)(canopy_cover(start->field, start->cell + ray->box_cell[one]) +
                   canopy_cover(start->field, start->cell + ray->box_cell[other])) *
           (0.5f / 255.0f);
}

static bool may_rise_above(
    const struct sel_near_ray *ray, const struct sel_near_start *start, float tangent) {
    return ray->boxes_close < ray->box_count &&
           (start->field->canopy_most_m - start->eye_m) * ray->box_inverse[ray->boxes_close] >
               tangent;
}

static void look_over_ground(const struct sel_near *near, const struct sel_near_start *start,
    struct sel_sight sights[SEL_HORIZON_DIRECTIONS]) {
    const float *ground = start->field->ground_m + start->cell;
    for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++) {
        const struct sel_near_ray *ray = &near->rays[start->kind][i];
        float on_main = main_lines(near, ray, ground, start->eye_m);
        float on_cross = cross_lines(ray, ground, start->eye_m);
        float tangent = on_main > on_cross ? on_main : on_cross;
        sights[i] = (struct sel_sight){tangent, tangent, 0.0f};
    }
}

static void look_over_canopy(const struct sel_near_ray rays[SEL_HORIZON_DIRECTIONS],
    const struct sel_near_start *start, struct sel_sight sights[SEL_HORIZON_DIRECTIONS]) {
    const float *tops = start->field->canopy_top_m + start->cell;
    float eye_m = start->eye_m, highest[SEL_HORIZON_DIRECTIONS];
    for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++)
        highest[i] = boxes(&rays[i], 0, rays[i].boxes_close, tops, eye_m, sights[i].canopy_tan);
    for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++)
        if (may_rise_above(&rays[i], start, highest[i]))
            highest[i] =
                boxes(&rays[i], rays[i].boxes_close, rays[i].box_count, tops, eye_m, highest[i]);
    for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++)
        if (highest[i] > sights[i].canopy_tan) {
            sights[i].canopy_tan = highest[i];
            sights[i].cover = cover_of(&rays[i], start, highest[i]);
        }
}

void sel_near_look(const struct sel_near *near, const struct sel_near_start *start,
    struct sel_sight sights[SEL_HORIZON_DIRECTIONS]) {
    look_over_ground(near, start, sights);
    look_over_canopy(near->rays[start->kind], start, sights);
}

static bool ray_meets_unknown(const struct sel_near_ray *ray, const float *ground) {
    const float *beside = ground + ray->line_stride;
    for (int i = 0; i < ray->line_count; i++)
        if (isnan(ground[ray->line_cell[i]]) || isnan(beside[ray->line_cell[i]]))
            return true;
    return false;
}

bool sel_near_meets_unknown(const struct sel_near *near, const struct sel_near_start *start) {
    if (!start->field->any_unknown)
        return false;
    for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++)
        if (ray_meets_unknown(&near->rays[start->kind][i], start->field->ground_m + start->cell))
            return true;
    return false;
}
